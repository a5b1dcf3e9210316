/**
 * What is on each net of a board electrically: who drives it, who reads it, which resistors pull it, with their
 * limits.
 */
import { structuralConstant } from '../../logic/logic'
import type { Board, DiodeLimits, Limits } from './board'
import type { Network } from './board-network'
import { readPins } from './board-sweep'

/** A number worked out from limits; null with what was missing for it. */
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
  readonly drivers: readonly Party[]
  readonly readers: readonly Party[]
  /** Everything that has a capacitance, diodes aside. */
  readonly loads: readonly Party[]
  /** Diodes with their anode here, and with their cathode here. */
  readonly anodes: readonly DiodeEnd[]
  readonly cathodes: readonly DiodeEnd[]
  /** Conductances to supply and to ground at least and at most; null without a resistor. */
  readonly pullUp: Pull | null
  readonly pullDown: Pull | null
}

/** Conductance in siemens: `least` by the largest resistances, `most` by the smallest. */
export interface Pull {
  readonly least: Amount
  readonly most: Amount
}

/** All nets of a board. */
export function electricsOf(board: Board, network: Network): NetElectrics[] {
  return network.netNames.map((_, net) => ({
    drivers: driversOf(board, network, net),
    readers: readersOf(board, network, net),
    loads: loadsOf(board, network, net),
    anodes: diodeEnds(board, network, { net, here: 'anode', there: 'cathode' }),
    cathodes: diodeEnds(board, network, { net, here: 'cathode', there: 'anode' }),
    pullUp: pullOf(board, network, { net, to: 'supply' }),
    pullDown: pullOf(board, network, { net, to: 'ground' }),
  }))
}

function partParties(
  board: Board,
  { parts }: Network,
  net: number,
  counts: (part: Network['parts'][number], pin: number) => boolean,
): Party[] {
  return parts.flatMap((part, i) =>
    part.nets.flatMap((each, pin) =>
      each === net && counts(part, pin) ? [{ who: part.name, limits: board.parts[i]!.limits }] : [],
    ),
  )
}

function machineParties(
  { machine }: Board,
  { outside }: Network,
  net: number,
  directions: readonly string[],
): Party[] {
  return outside.flatMap((pin) =>
    pin.net === net && directions.includes(pin.direction) ? [{ who: 'machine', limits: machine }] : [],
  )
}

const isAbleOutput = ({ logic }: Network['parts'][number], pin: number): boolean =>
  logic.cells.some((output) => output.pin === pin && structuralConstant(output.enable) !== 0)

function driversOf(board: Board, network: Network, net: number): Party[] {
  return [
    ...partParties(board, network, net, isAbleOutput),
    ...machineParties(board, network, net, ['input', 'both']),
  ]
}

function readersOf(board: Board, network: Network, net: number): Party[] {
  return [
    ...partParties(board, network, net, ({ logic }, pin) => readPins(logic).includes(pin)),
    ...machineParties(board, network, net, ['output', 'both']),
  ]
}

function loadsOf(board: Board, network: Network, net: number): Party[] {
  return [
    ...partParties(board, network, net, ({ logic }, pin) => !logic.supplyPins.includes(pin)),
    ...machineParties(board, network, net, ['output', 'both']),
  ]
}

function diodeEnds(
  { diodes = [] }: Board,
  network: Network,
  {
    net,
    here,
    there,
  }: { readonly net: number; readonly here: 'anode' | 'cathode'; readonly there: 'anode' | 'cathode' },
): DiodeEnd[] {
  return network.diodes.flatMap((diode, i) =>
    diode[here] === net ? [{ name: diode.name, limits: diodes[i]!.limits, other: diode[there] }] : [],
  )
}

/** The resistors of a net in one direction, those inside the parts included where the board counts on them. */
function pullOf(
  board: Board,
  network: Network,
  { net, to }: { readonly net: number; readonly to: 'supply' | 'ground' },
): Pull | null {
  const outer = network.resistors.flatMap((resistor, i) =>
    resistor.net === net && resistor.to === to ? [board.resistors![i]!] : [],
  )
  const inner =
    to === 'supply' && network.internalPullUps
      ? partParties(board, network, net, ({ logic }, pin) => !logic.supplyPins.includes(pin))
      : []
  if (outer.length + inner.length === 0) return null
  const conductance = (sign: 1 | -1): Amount =>
    sumOf([
      ...outer.map(({ name, ohms, tolerance = 0 }) =>
        inverse(amount(ohms, `ohms for ${name}`), 1 + sign * tolerance),
      ),
      // Only the largest resistance of an internal pull-up is stated; where the most current counts it is small
      // beside the others.
      ...inner.map((party) => inverse(limitOf(party, 'pullUp'), 1)),
    ])
  return { least: conductance(1), most: conductance(-1) }
}

function inverse({ value, missing }: Amount, factor: number): Amount {
  return {
    value: value === null || value * factor <= 0 ? null : 1 / (value * factor),
    missing: value === 0 ? ['a resistance above 0'] : missing,
  }
}

/** A stated number; missing with these words otherwise. */
export function amount(value: number | undefined, words: string): Amount {
  return value === undefined ? { value: null, missing: [words] } : { value, missing: [] }
}

/** A limit of somebody on a net. */
export function limitOf({ who, limits }: Party, key: Exclude<keyof Limits, 'source'>): Amount {
  return amount(limits?.[key], `${key} for ${who}`)
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
