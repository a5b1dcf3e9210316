/**
 * The longest time along the paths from each outside input to each outside output of a board: edges of diode nets and
 * delays of parts.
 */
import { expressionsOf, pinCells, usedSignals } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { Board } from './board'
import { amount, limitOf, type Amount } from './board-electrics'
import { columnsOf, type Network } from './board-network'

/** The slowest way from one pin to another, in seconds. */
export interface PathTime {
  readonly from: number
  readonly to: number
  /** Parts and diode nets on it, in order. */
  readonly through: readonly string[]
  readonly seconds: number | null
  /** The time that the machine or the original allows. */
  readonly limit: number | null
  readonly result: 'holds' | 'exceeded' | 'computed' | 'not-computed'
  readonly missing: readonly string[]
}

interface Step {
  readonly to: number
  readonly by: string
  readonly time: Amount
}

interface Way extends Amount {
  readonly through: readonly string[]
  /** Time of the known steps. */
  readonly known: number
}

/** All pairs of pins that a path joins. `edges`: rise and fall times of diode nets by `net rise` and `net fall`. */
export function pathTimes(board: Board, network: Network, edges: ReadonlyMap<string, Amount>): PathTime[] {
  const steps = [...diodeSteps(network, edges), ...partSteps(board, network)]
  const { inputs, outputs } = columnsOf(network)
  const from = new Map<number, Step[]>()
  for (const [net, step] of steps) from.set(net, [...(from.get(net) ?? []), step])
  return outputs.flatMap((output) => {
    const longest = longestTo(output.net, from)
    return inputs.flatMap((input) => {
      const way = input.pin === output.pin ? null : longest(input.net)
      return way ? [timeOf(way, { from: input.pin, to: output.pin, limit: board.machine?.time })] : []
    })
  })
}

function timeOf(
  { value, missing, through }: Way,
  { from, to, limit }: { readonly from: number; readonly to: number; readonly limit: number | undefined },
): PathTime {
  const allowed = amount(limit, 'time for machine').value
  const result =
    value === null ? 'not-computed' : allowed === null ? 'computed' : value <= allowed ? 'holds' : 'exceeded'
  return { from, to, through, seconds: value, limit: allowed, result, missing }
}

function diodeSteps({ diodes, netNames }: Network, edges: ReadonlyMap<string, Amount>): [number, Step][] {
  return diodes.flatMap(({ anode, cathode }): [number, Step][] => {
    const [rise, fall] = [edges.get(`${anode} rise`), edges.get(`${cathode} fall`)]
    return [
      ...(rise ? [[cathode, { to: anode, by: netNames[anode]!, time: rise }] as [number, Step]] : []),
      ...(fall ? [[anode, { to: cathode, by: netNames[cathode]!, time: fall }] as [number, Step]] : []),
    ]
  })
}

function partSteps(board: Board, { parts }: Network): [number, Step][] {
  return parts.flatMap(({ name, logic, nets }, i) => {
    const time = limitOf({ who: name, limits: board.parts[i]!.limits }, 'delay')
    const { drives, cellAt } = netlistOf(logic)
    return pinCells(logic).flatMap((output): [number, Step][] => {
      if (drives[cellAt.get(output.pin) ?? -1] === 'never') return []
      const read = usedSignals(expressionsOf(output)).map((signal) => logic.signals[signal]!)
      return read.flatMap((signal): [number, Step][] =>
        signal.kind === 'pin' && nets[signal.pin]! >= 0
          ? [[nets[signal.pin]!, { to: nets[output.pin]!, by: name, time }]]
          : [],
      )
    })
  })
}

/** The longest way from a net to `target`; null where there is none. Every way counts for what is missing. */
function longestTo(target: number, steps: ReadonlyMap<number, readonly Step[]>): (net: number) => Way | null {
  const known = new Map<number, Way | null>([[target, { value: 0, known: 0, missing: [], through: [] }]])
  const open = new Set<number>()
  const useful = leadingTo(target, steps)
  const longest = (net: number): Way | null => {
    if (open.has(net)) return { value: null, known: 0, missing: ['an end of a loop'], through: [] }
    if (known.has(net)) return known.get(net)!
    open.add(net)
    const ways = (steps.get(net) ?? []).flatMap(({ to, by, time }): Way[] => {
      if (!useful.has(to)) return []
      const rest = longest(to)
      if (!rest) return []
      const sum = (time.value ?? 0) + rest.known
      return [
        { value: null, known: sum, missing: [...time.missing, ...rest.missing], through: [by, ...rest.through] },
      ]
    })
    open.delete(net)
    const way = slowest(ways)
    known.set(net, way)
    return way
  }
  return longest
}

/** Nets from which some way leads to `target`; a loop beside it does not count. */
function leadingTo(target: number, steps: ReadonlyMap<number, readonly Step[]>): ReadonlySet<number> {
  const found = new Set([target])
  for (let size = 0; size < found.size;) {
    size = found.size
    for (const [net, each] of steps) if (each.some(({ to }) => found.has(to))) found.add(net)
  }
  return found
}

function slowest(ways: readonly Way[]): Way | null {
  if (ways.length === 0) return null
  const worst = ways.reduce((a, b) => (b.known > a.known ? b : a))
  const missing = [...new Set(ways.flatMap((way) => way.missing))]
  return { ...worst, missing, value: missing.length === 0 ? worst.known : null }
}
