/**
 * Levels, currents and edges of a board's diode nets, from stated limits: an estimate in the worst case, and no
 * measurement. Nothing is assumed for a limit that is left out.
 */
import type { MissingLimit } from '../../findings/adapter-findings'
import type { Board, Limits, MachineLimits } from './board'
import {
  amount,
  combined,
  electricsOf,
  inputCurrentOf,
  limitOf,
  missingLimit,
  sumOf,
  type Amount,
  type DiodeEnd,
  type NetElectrics,
  type Party,
} from './board-electrics'
import type { Network } from './board-network'
import { pathTimes, type PathTime } from './board-paths'

/** One line: what was worked out for a net, in volts, amperes or seconds, and the limit beside it. */
export interface BudgetLine {
  /** What was worked out. */
  readonly kind: 'low-level' | 'high-level' | 'current' | 'rise-time' | 'fall-time'
  /** Net that it is about. */
  readonly net: string
  /** Unit of `value` and `limit`. */
  readonly unit: 'V' | 'A' | 's'
  /** The worst case; null where a limit for it is missing. */
  readonly value: number | null
  /** Null for edge times, which count in the paths. */
  readonly limit: number | null
  /** `computed`: without a limit to hold it against. `not-computed`: something is missing. */
  readonly result: 'holds' | 'exceeded' | 'computed' | 'not-computed'
  /** How it was worked out, in words. */
  readonly how: string
  /** Limits that were not stated. */
  readonly missing: readonly MissingLimit[]
}

/** Everything that follows from the limits of a board. */
export interface Budget {
  /** Levels, currents and edges, by net. */
  readonly lines: readonly BudgetLine[]
  /** The slowest way between each outside input and output that it reaches. */
  readonly paths: readonly PathTime[]
  /** What the numbers take for granted, in words. */
  readonly assumptions: readonly string[]
  /** Where the limits stand, by what they are of. */
  readonly sources: readonly { readonly of: string; readonly source: string }[]
}

const ASSUMPTIONS: readonly string[] = [
  'an estimate from stated limits, not a measurement; a part may be relabelled, and no file shows its speed',
  'all limits hold at once: a diode net starts an edge from the far rail, resistors are at the end of their tolerance that hurts (0 where none is stated)',
  'a high of a diode AND counts no higher than the drivers’ own high, a low of a diode OR no lower than their own low',
  'the current of a pull resistor is taken with no drop across diode and output; a driver holds all resistors and inputs that it reaches through diodes; it sinks the low-level current of the inputs and gives their high-level current',
  'a part’s delay is its one stated delay from any input to any output; edges of outputs themselves count as part of it',
]

/** The budget of a board. */
export function budgetOf(board: Board, network: Network): Budget {
  const nets = electricsOf(board, network)
  const context: Context = { network, nets, machine: board.machine, lows: new Map(), highs: new Map() }
  const diodeNets = nets.flatMap((net, i) => [
    ...(isAnd(net) ? [{ net: i, and: true }] : []),
    ...(isOr(net) ? [{ net: i, and: false }] : []),
  ])
  const lines = diodeNets.flatMap(({ net, and }) => (and ? andLines(context, net) : orLines(context, net)))
  const edges = new Map(
    diodeNets.map(({ net, and }): [string, Amount] => [
      `${net} ${and ? 'rise' : 'fall'}`,
      and ? riseTime(context, net) : fallTime(context, net),
    ]),
  )
  return { lines, paths: pathTimes(board, network, edges), assumptions: ASSUMPTIONS, sources: sourcesOf(board) }
}

interface Context {
  readonly network: Network
  readonly nets: readonly NetElectrics[]
  readonly machine: MachineLimits | undefined
  /** Levels that diodes bring, by net, as far as they are worked out. */
  readonly lows: Map<number, Amount>
  readonly highs: Map<number, Amount>
}

const isAnd = ({ anodes, pullUp }: NetElectrics): boolean => anodes.length > 0 && pullUp !== null
const isOr = ({ cathodes, pullDown }: NetElectrics): boolean => cathodes.length > 0 && pullDown !== null

function machineLimit({ machine }: Context, key: keyof MachineLimits): Amount {
  return amount(machine?.[key] as number | undefined, `limit ${key} machine`)
}

interface Judged {
  readonly kind: BudgetLine['kind']
  readonly value: Amount
  readonly limit: Amount | null
  readonly how: string
}

function line({ network }: Context, net: number, { kind, value, limit, how }: Judged): BudgetLine {
  const missing = [...new Set([...value.missing, ...(limit?.missing ?? [])])]
  const known = missing.length === 0 && value.value !== null
  const above = kind === 'high-level'
  const holds =
    limit === null || limit.value === null || value.value === null
      ? null
      : above
        ? value.value >= limit.value
        : value.value <= limit.value
  return {
    kind,
    net: network.netNames[net]!,
    unit: kind === 'current' ? 'A' : kind.endsWith('level') ? 'V' : 's',
    value: known ? value.value : null,
    limit: limit?.value ?? null,
    result: !known ? 'not-computed' : limit === null ? 'computed' : holds ? 'holds' : 'exceeded',
    how,
    missing: missing.map(missingLimit),
  }
}

const most = (amounts: readonly Amount[]): Amount => combined(amounts, (values) => Math.max(...values))
const least = (amounts: readonly Amount[]): Amount => combined(amounts, (values) => Math.min(...values))
const limits = (parties: readonly Party[], key: Exclude<keyof Limits, 'source'>): Amount[] =>
  parties.map((party) => limitOf(party, key))
const dropOf = ({ name, limits: stated }: DiodeEnd): Amount => amount(stated?.drop, `limit drop ${name}`)

function andLines(context: Context, net: number): BudgetLine[] {
  const { anodes, readers } = context.nets[net]!
  const names = anodes.map(({ name }) => name).join(', ')
  const lines = [
    ...(readers.length === 0
      ? []
      : [
          line(context, net, {
            kind: 'low-level',
            value: lowLevel(context, net),
            limit: least(limits(readers, 'lowIn')),
            how: `highest low of the drivers plus the drop of ${names}`,
          }),
          line(context, net, {
            kind: 'high-level',
            value: highOfAnd(context, net),
            limit: most(limits(readers, 'highIn')),
            how: 'supply less the inputs’ high-level current through the pull-up, at most the lowest high of the drivers',
          }),
        ]),
    ...currentLines(context, net, { ends: anodes, key: 'sink' }),
  ]
  return [
    ...lines,
    line(context, net, {
      kind: 'rise-time',
      value: riseTime(context, net),
      limit: null,
      how: 'R × C × ln(supply / (supply − input high)), from 0 V',
    }),
  ]
}

function orLines(context: Context, net: number): BudgetLine[] {
  const { cathodes, readers } = context.nets[net]!
  const names = cathodes.map(({ name }) => name).join(', ')
  const lines = [
    ...(readers.length === 0
      ? []
      : [
          line(context, net, {
            kind: 'low-level',
            value: lowOfOr(context, net),
            limit: least(limits(readers, 'lowIn')),
            how: 'the inputs’ low-level current through the pull-down, at least the highest low of the drivers',
          }),
          line(context, net, {
            kind: 'high-level',
            value: highLevel(context, net),
            limit: most(limits(readers, 'highIn')),
            how: `lowest high of the drivers less the drop of ${names}`,
          }),
        ]),
    ...currentLines(context, net, { ends: cathodes, key: 'drive' }),
  ]
  return [
    ...lines,
    line(context, net, {
      kind: 'fall-time',
      value: fallTime(context, net),
      limit: null,
      how: 'R × C × ln(supply / input low), from the supply',
    }),
  ]
}

const NO_DRIVER: Amount = { value: null, missing: ['driver'] }
const LOOP: Amount = { value: null, missing: ['diode-loop-end'] }

/** Highest low of a net: of its drivers, else of what its diodes bring. Each net is worked out once. */
function lowLevel(context: Context, net: number): Amount {
  const { drivers, anodes } = context.nets[net]!
  if (drivers.length > 0) return most(limits(drivers, 'lowOut'))
  if (anodes.length === 0) return NO_DRIVER
  return workedOut(context.lows, net, () =>
    most(anodes.map((end) => sumOf([lowLevel(context, end.other), dropOf(end)]))),
  )
}

/** Lowest high of a net: of its drivers, else of what its diodes bring. */
function highLevel(context: Context, net: number): Amount {
  const { drivers, cathodes } = context.nets[net]!
  if (drivers.length > 0) return least(limits(drivers, 'highOut'))
  if (cathodes.length === 0) return NO_DRIVER
  return workedOut(context.highs, net, () =>
    least(
      cathodes.map((end) => combined([highLevel(context, end.other), dropOf(end)], ([high, drop]) => high! - drop!)),
    ),
  )
}

/** The level of a net from a table of those that are known; one that is met while it is worked out is in a circle. */
function workedOut(known: Map<number, Amount>, net: number, work: () => Amount): Amount {
  const found = known.get(net)
  if (found) return found
  known.set(net, LOOP)
  const level = work()
  known.set(net, level)
  return level
}

function takenCurrent({ nets }: Context, net: number, level: 'low' | 'high'): Amount {
  return sumOf(nets[net]!.takers.map((party) => inputCurrentOf(party, level)))
}

function highOfAnd(context: Context, net: number): Amount {
  const { pullUp, anodes } = context.nets[net]!
  const own = combined(
    [machineLimit(context, 'supplyLeast'), takenCurrent(context, net, 'high'), pullUp!.least],
    ([supply, current, conductance]) => Math.max(0, supply! - current! / conductance!),
  )
  const driven = anodes.filter(({ other }) => context.nets[other]!.drivers.length > 0)
  return least([own, ...driven.map(({ other }) => least(limits(context.nets[other]!.drivers, 'highOut')))])
}

function lowOfOr(context: Context, net: number): Amount {
  const { pullDown, cathodes } = context.nets[net]!
  const own = combined(
    [takenCurrent(context, net, 'low'), pullDown!.least],
    ([current, conductance]) => current! / conductance!,
  )
  const driven = cathodes.filter(({ other }) => context.nets[other]!.drivers.length > 0)
  return most([own, ...driven.map(({ other }) => most(limits(context.nets[other]!.drivers, 'lowOut')))])
}

/** Current of every driver that reaches the net through a diode, against what that driver takes: the worst of them. */
function currentLines(
  context: Context,
  net: number,
  { ends, key }: { readonly ends: readonly DiodeEnd[]; readonly key: 'sink' | 'drive' },
): BudgetLine[] {
  const level = key === 'sink' ? 'low' : 'high'
  const lines = ends.flatMap(({ name, other }) => {
    const { drivers } = context.nets[other]!
    if (drivers.length === 0) return []
    return [
      line(context, net, {
        kind: 'current',
        value: heldCurrent(context, other, key),
        limit: least(limits(drivers, key)),
        how:
          `highest supply over the resistors, and the ${level}-level current of the inputs, ` +
          `that ${drivers[0]!.who} holds through ${name} and others`,
      }),
    ]
  })
  const rank = ({ result, value, limit }: BudgetLine): number =>
    result === 'not-computed' ? Infinity : value! / limit!
  return lines.sort((a, b) => rank(b) - rank(a)).slice(0, 1)
}

/** Current that a driver of this net holds: resistors and inputs of all nets that its level reaches through diodes. */
function heldCurrent(context: Context, start: number, key: 'sink' | 'drive'): Amount {
  const { nets } = context
  const reached = new Set([start])
  for (const net of reached)
    for (const { other } of key === 'sink' ? nets[net]!.cathodes : nets[net]!.anodes) reached.add(other)
  const all = [...reached]
  const pulled = sumOf(all.flatMap((net) => (key === 'sink' ? nets[net]!.pullUp : nets[net]!.pullDown)?.most ?? []))
  const taken = sumOf(all.map((net) => takenCurrent(context, net, key === 'sink' ? 'low' : 'high')))
  return combined(
    [machineLimit(context, 'supplyMost'), pulled, taken],
    ([supply, conductance, current]) => supply! * conductance! + current!,
  )
}

function capacitance(context: Context, net: number): Amount {
  const { loads, anodes, cathodes } = context.nets[net]!
  const diodes = [...anodes, ...cathodes].map(({ name, limits: stated }) =>
    amount(stated?.capacitance, `limit capacitance ${name}`),
  )
  return sumOf([...limits(loads, 'inputCapacitance'), ...diodes, machineLimit(context, 'netCapacitance')])
}

/** Where nobody reads the net itself, the machine's input level stands for those behind it. */
function threshold(context: Context, net: number, key: 'lowIn' | 'highIn'): Amount {
  const { readers } = context.nets[net]!
  return readers.length === 0
    ? machineLimit(context, key)
    : key === 'lowIn'
      ? least(limits(readers, key))
      : most(limits(readers, key))
}

function riseTime(context: Context, net: number): Amount {
  const parts = [
    context.nets[net]!.pullUp!.least,
    capacitance(context, net),
    machineLimit(context, 'supplyLeast'),
    threshold(context, net, 'highIn'),
  ]
  const time = combined(
    parts,
    ([conductance, farads, supply, high]) => (farads! / conductance!) * Math.log(supply! / (supply! - high!)),
  )
  return time.value === null || Number.isFinite(time.value)
    ? time
    : { value: null, missing: ['input-below-supply'] }
}

function fallTime(context: Context, net: number): Amount {
  const parts = [
    context.nets[net]!.pullDown!.least,
    capacitance(context, net),
    machineLimit(context, 'supplyMost'),
    threshold(context, net, 'lowIn'),
  ]
  const time = combined(
    parts,
    ([conductance, farads, supply, low]) => (farads! / conductance!) * Math.log(supply! / low!),
  )
  return time.value === null || Number.isFinite(time.value)
    ? time
    : { value: null, missing: ['input-above-ground'] }
}

function sourcesOf({ parts, diodes = [], machine }: Board): Budget['sources'] {
  const stated = [...parts, ...diodes].flatMap(({ name, limits: own }) =>
    own ? [{ of: name, source: own.source }] : [],
  )
  return [...stated, ...(machine ? [{ of: 'machine', source: machine.source }] : [])]
}
