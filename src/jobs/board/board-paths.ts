/**
 * The longest time along the paths from each outside input to each outside output of a board: edges of diode nets and
 * delays of parts.
 */
import { expressionsOf, pinCells, usedSignals } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { MissingLimit } from '../../findings/adapter-findings'
import type { Board } from './board'
import { amount, limitOf, missingLimit, type Amount } from './board-electrics'
import { columnsOf, type Network } from './board-network'

/** The slowest way from one pin to another, in seconds. */
export interface PathTime {
  /** Outside pin at which it begins. */
  readonly from: number
  /** Outside pin at which it ends. */
  readonly to: number
  /** Parts and diode nets on it, in order. */
  readonly through: readonly string[]
  /** Longest time; null where a limit for it is missing. */
  readonly seconds: number | null
  /** The time that the machine or the original allows. */
  readonly limit: number | null
  /** `computed`: without a time to hold it against. `not-computed`: something is missing. */
  readonly result: 'holds' | 'exceeded' | 'computed' | 'not-computed'
  /** Limits that were not stated. */
  readonly missing: readonly MissingLimit[]
}

interface PathStep {
  readonly to: number
  readonly by: string
  readonly time: Amount
}

/** The slowest way from a net on, as its first step and the rest. */
interface Way {
  readonly by: string
  readonly rest: Way | null
  /** Time of the known steps. */
  readonly known: number
  /** What any way from here on misses. */
  readonly missing: readonly string[]
}

/** Most pairs of pins that are listed: those of 64 inputs and 64 outputs; the slowest are kept. */
const MAX_PAIRS = 4096

/** Pairs of pins that a path joins. `edges`: rise and fall times of diode nets by `net rise` and `net fall`. */
export function pathTimes(board: Board, network: Network, edges: ReadonlyMap<string, Amount>): PathTime[] {
  const steps = [...diodeSteps(network, edges), ...partSteps(board, network)]
  const { inputs, outputs } = columnsOf(network)
  const from = new Map<number, PathStep[]>()
  for (const [net, step] of steps) append(from, net, step)
  const pairs = outputs.flatMap((output) => {
    const longest = longestTo(output.net, { steps: from, useful: leadingTo(output.net, steps) })
    return inputs.flatMap((input) => {
      const way = input.pin === output.pin ? null : longest(input.net)
      return way ? [{ way, from: input.pin, to: output.pin, limit: board.machine?.time }] : []
    })
  })
  const kept = pairs.length <= MAX_PAIRS ? pairs : pairs.sort((a, b) => b.way.known - a.way.known).slice(0, MAX_PAIRS)
  return kept.map(timeOf)
}

function append<K, V>(lists: Map<K, V[]>, key: K, value: V): void {
  const list = lists.get(key)
  if (list) list.push(value)
  else lists.set(key, [value])
}

function timeOf({
  way: { known, missing, ...way },
  from,
  to,
  limit,
}: {
  readonly way: Way
  readonly from: number
  readonly to: number
  readonly limit: number | undefined
}): PathTime {
  const through: string[] = []
  for (let step: Pick<Way, 'by' | 'rest'> | null = way; step?.rest; step = step.rest) through.push(step.by)
  const seconds = missing.length === 0 ? known : null
  const allowed = amount(limit, 'limit time machine').value
  const judged = allowed === null ? 'computed' : known <= allowed ? 'holds' : 'exceeded'
  return {
    from,
    to,
    through,
    seconds,
    limit: allowed,
    result: seconds === null ? 'not-computed' : judged,
    missing: missing.map(missingLimit),
  }
}

function diodeSteps({ diodes, netNames }: Network, edges: ReadonlyMap<string, Amount>): [number, PathStep][] {
  return diodes.flatMap(({ anode, cathode }): [number, PathStep][] => {
    const [rise, fall] = [edges.get(`${anode} rise`), edges.get(`${cathode} fall`)]
    return [
      ...(rise ? [[cathode, { to: anode, by: netNames[anode]!, time: rise }] as [number, PathStep]] : []),
      ...(fall ? [[anode, { to: cathode, by: netNames[cathode]!, time: fall }] as [number, PathStep]] : []),
    ]
  })
}

function partSteps(board: Board, { parts }: Network): [number, PathStep][] {
  return parts.flatMap(({ name, logic, nets }, i) => {
    const time = limitOf({ who: name, limits: board.parts[i]!.limits }, 'delay')
    const { drives, cellAt } = netlistOf(logic)
    return pinCells(logic).flatMap((output): [number, PathStep][] => {
      if (drives[cellAt.get(output.pin) ?? -1] === 'never') return []
      const read = usedSignals(expressionsOf(output)).map((signal) => logic.signals[signal]!)
      return read.flatMap((signal): [number, PathStep][] =>
        signal.kind === 'pin' && nets[signal.pin]! >= 0
          ? [[nets[signal.pin]!, { to: nets[output.pin]!, by: name, time }]]
          : [],
      )
    })
  })
}

interface Steps {
  readonly steps: ReadonlyMap<number, readonly PathStep[]>
  /** Nets from which some way leads to the target. */
  readonly useful: ReadonlySet<number>
}

const LOOPED: Way = { by: '', rest: null, known: 0, missing: ['loop-end'] }

/**
 * The longest way from a net to `target`; null where there is none. Every way counts for what is missing. Each net is
 * worked out once, those behind it first, so that the work is that of all steps together.
 */
function longestTo(target: number, { steps, useful }: Steps): (net: number) => Way | null {
  const known = new Map<number, Way>([[target, { by: '', rest: null, known: 0, missing: [] }]])
  const opened = new Set<number>()
  const workOut = (start: number): void => {
    const path = [start]
    for (let net = path.at(-1); net !== undefined; net = path.at(-1)) {
      const onward = (steps.get(net) ?? []).filter(({ to }) => useful.has(to))
      // A net that is met while it is open lies in a loop.
      const waiting = opened.has(net) ? [] : onward.flatMap(({ to }) => (known.has(to) || opened.has(to) ? [] : [to]))
      opened.add(net)
      path.push(...waiting)
      if (waiting.length > 0) continue
      path.pop()
      if (!known.has(net)) known.set(net, slowest(onward.map((step) => taken(step, known.get(step.to) ?? LOOPED))))
    }
  }
  return (net) => {
    if (!useful.has(net)) return null
    if (!known.has(net)) workOut(net)
    return known.get(net)!
  }
}

function taken({ by, time }: PathStep, rest: Way): Way {
  return { by, rest, known: (time.value ?? 0) + rest.known, missing: [...time.missing, ...rest.missing] }
}

/** Nets from which some way leads to `target`; a loop beside it does not count. */
function leadingTo(target: number, steps: readonly (readonly [number, PathStep])[]): ReadonlySet<number> {
  const before = new Map<number, number[]>()
  for (const [net, { to }] of steps) append(before, to, net)
  const found = new Set([target])
  for (const net of found) for (const other of before.get(net) ?? []) found.add(other)
  return found
}

function slowest(ways: readonly Way[]): Way {
  const worst = ways.reduce((a, b) => (b.known > a.known ? b : a))
  return { ...worst, missing: [...new Set(ways.flatMap((way) => way.missing))] }
}
