/**
 * What is on each net of a board electrically: who drives it, who reads it, which resistors pull it, with their
 * limits.
 */
import type { MissingLimit } from '../../findings/adapter-findings'
import { netlistOf } from '../../logic/netlist'
import type { Board, DiodeLimits, Limits } from './board'
import type { Network, NetworkPart } from './board-network'
import { readPins } from './board-sweep'

/** A number worked out from limits; null with what was missing for it, as `missingLimit` reads it. */
export interface Amount {
  readonly value: number | null
  readonly missing: readonly string[]
}

/** Somebody on a net, with limits where the board states some. */
export interface Party {
  readonly who: string
  readonly limits: Partial<Limits> | undefined
}

export interface DiodeEnd {
  readonly name: string
  readonly limits: DiodeLimits | undefined
  /** Net at the other end. */
  readonly other: number
}

/** One net. */
export interface NetElectrics {
  readonly drivers: Party[]
  readonly readers: Party[]
  /** Everything that has a capacitance, diodes aside. */
  readonly loads: Party[]
  /** What takes current from the net, or gives it: the loads without outputs that always drive. */
  readonly takers: Party[]
  /** Diodes with their anode here, and with their cathode here. */
  readonly anodes: DiodeEnd[]
  readonly cathodes: DiodeEnd[]
  /** Conductances to supply and to ground at least and at most; null without a resistor. */
  readonly pullUp: Pull | null
  readonly pullDown: Pull | null
}

/** Conductance in siemens: `least` by the largest resistances, `most` by the smallest. */
export interface Pull {
  readonly least: Amount
  readonly most: Amount
}

/** All nets of a board, in one walk over its parts, pins, diodes and resistors. */
export function electricsOf(board: Board, network: Network): NetElectrics[] {
  const pulls = pullsOf(board, network)
  const nets = network.netNames.map((_, net): NetElectrics => ({
    drivers: [],
    readers: [],
    loads: [],
    takers: [],
    anodes: [],
    cathodes: [],
    pullUp: pullOf(pulls.supply[net]!),
    pullDown: pullOf(pulls.ground[net]!),
  }))
  network.parts.forEach((part, i) => addPart(nets, part, { who: part.name, limits: board.parts[i]!.limits }))
  addMachine(nets, network, { who: 'machine', limits: board.machine })
  network.diodes.forEach(({ name, anode, cathode }, i) => {
    const { limits } = board.diodes![i]!
    nets[anode]!.anodes.push({ name, limits, other: cathode })
    nets[cathode]!.cathodes.push({ name, limits, other: anode })
  })
  return nets
}

function addPart(nets: readonly NetElectrics[], { logic, nets: own }: NetworkPart, party: Party): void {
  const { cellAt, drives } = netlistOf(logic)
  const read = new Set(readPins(logic))
  own.forEach((net, pin) => {
    if (net < 0) return
    const drive = drives[cellAt.get(pin) ?? -1] ?? 'never'
    if (drive !== 'never') nets[net]!.drivers.push(party)
    if (read.has(pin)) nets[net]!.readers.push(party)
    if (logic.supplyPins.includes(pin)) return
    nets[net]!.loads.push(party)
    if (drive !== 'always') nets[net]!.takers.push(party)
  })
}

function addMachine(nets: readonly NetElectrics[], { outside }: Network, party: Party): void {
  for (const { net, direction } of outside) {
    const at = nets[net]!
    if (direction === 'input' || direction === 'both') at.drivers.push(party)
    if (direction === 'output' || direction === 'both')
      for (const list of [at.readers, at.loads, at.takers]) list.push(party)
  }
}

/** A resistance with the fraction by which it may be off. */
interface Resistance {
  readonly ohms: Amount
  readonly tolerance: number
}

/** The resistors of every net by direction, those inside the parts included where the board counts on them. */
function pullsOf(
  board: Board,
  { netNames, resistors, parts, internalPullUps }: Network,
): Readonly<Record<'supply' | 'ground', Resistance[][]>> {
  const found = { supply: netNames.map((): Resistance[] => []), ground: netNames.map((): Resistance[] => []) }
  resistors.forEach(({ name, net, to }, i) => {
    const { ohms, tolerance = 0 } = board.resistors![i]!
    found[to][net]!.push({ ohms: amount(ohms, `limit ohms ${name}`), tolerance })
  })
  if (internalPullUps)
    parts.forEach(({ name, logic, nets }, i) => {
      // Only the largest resistance of an internal pull-up is stated; where the most current counts it is small
      // beside the others.
      const ohms = limitOf({ who: name, limits: board.parts[i]!.limits }, 'pullUp')
      nets.forEach((net, pin) => {
        if (net >= 0 && !logic.supplyPins.includes(pin)) found.supply[net]!.push({ ohms, tolerance: 0 })
      })
    })
  return found
}

function pullOf(resistances: readonly Resistance[]): Pull | null {
  if (resistances.length === 0) return null
  const conductance = (sign: 1 | -1): Amount =>
    sumOf(resistances.map(({ ohms, tolerance }) => inverse(ohms, 1 + sign * tolerance)))
  return { least: conductance(1), most: conductance(-1) }
}

function inverse({ value, missing }: Amount, factor: number): Amount {
  return {
    value: value === null || value * factor <= 0 ? null : 1 / (value * factor),
    missing: value === 0 ? ['resistance'] : missing,
  }
}

/** A stated number; missing otherwise. */
export function amount(value: number | undefined, missing: `limit ${string} ${string}`): Amount {
  return value === undefined ? { value: null, missing: [missing] } : { value, missing: [] }
}

/** What is missing, from the one text that it is while amounts are put together, so that equal ones are equal texts. */
export function missingLimit(text: string): MissingLimit {
  const [what, limit = '', ...of] = text.split(' ')
  return what === 'limit' ? { what, limit, of: of.join(' ') } : { what: what as OtherMissing }
}

type OtherMissing = Exclude<MissingLimit['what'], 'limit'>

/** Each limit of a list once. */
export function distinctLimits(limits: readonly MissingLimit[]): MissingLimit[] {
  return [...new Map(limits.map((limit) => [JSON.stringify(limit), limit])).values()]
}

/**
 * The current of an input at a level: the figure for that level, else the one for both. An input gives current while it
 * is low, which whoever holds it low sinks, and takes another current while it is high.
 */
export function inputCurrentOf({ who, limits }: Party, level: 'low' | 'high'): Amount {
  const own = level === 'low' ? limits?.inputLowCurrent : limits?.inputHighCurrent
  return amount(own ?? limits?.inputCurrent, `limit ${level === 'low' ? 'inputLowCurrent' : 'inputHighCurrent'} ${who}`)
}

/** A limit of somebody on a net. */
export function limitOf({ who, limits }: Party, key: Exclude<keyof Limits, 'source'>): Amount {
  return amount(limits?.[key], `limit ${key} ${who}`)
}

/** The sum; missing what any of them misses. */
export function sumOf(amounts: readonly Amount[]): Amount {
  return combined(amounts, (values) => values.reduce((sum, value) => sum + value, 0))
}

/** Amounts taken together; null where one is missing. */
export function combined(amounts: readonly Amount[], join: (values: readonly number[]) => number): Amount {
  const missing = [...new Set(amounts.flatMap((each) => each.missing))]
  const values = amounts.map(({ value }) => value)
  const whole = missing.length === 0 && values.every((value) => value !== null)
  return { value: whole ? join(values as number[]) : null, missing }
}
