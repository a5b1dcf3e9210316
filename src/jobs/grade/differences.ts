/** Differences between a map and the same with a fault, as functions of what is free; what is known without them. */
import type { Diagrams, Node } from '../../logic/diagrams'
import type { LoopFunction, OutputFunctions, PartFunctions } from '../../logic/functions'
import type { Logic } from '../../logic/logic'
import type { Reached } from '../../logic/reachable'
import { clockVariable } from '../../logic/register-steps'
import { staysBetweenEdges } from '../../logic/tried-levels'
import type { Space } from '../../logic/variables'

/** A map's functions, as far as differences are judged by them. */
export interface Ground {
  readonly logic: Logic
  readonly space: Space
  readonly functions: PartFunctions
  /** What the array reads at a pin. */
  readonly readingOf: (pin: number) => Node
}

/**
 * What is known without the levels that show it: that a map with loops differs while it is at rest (`differs`), or
 * nothing (`unknown`).
 */
export type Unplaced = 'differs' | 'unknown'

/**
 * Where a fault makes a difference at pins: the function of the free levels. For parts with registers it is the
 * difference of levels and of next states together, each in some state.
 */
export type FaultDifference = Node | Unplaced

/** The same, apart: where a level differs as it stands, and where what registers take at a clock differs. */
export interface Differences {
  readonly seen: Node
  readonly taken: Node
  /** The part of `seen` that is a difference of a reset, a preset, a load or a clock. */
  readonly held: Node
  /** True where registers may differ elsewhere too. */
  readonly isOpen: boolean
}

export const NONE: Differences = { seen: 0, taken: 0, held: 0, isOpen: false }

/** True where the levels that show a difference are not known; the limit of diagrams is another matter. */
export function isUnplaced(difference: FaultDifference | 'limit'): difference is Unplaced {
  return difference === 'differs' || difference === 'unknown'
}

/** Both parts of differences as one. */
export function together(diagrams: Diagrams, differences: Differences): Node
export function together(diagrams: Diagrams, differences: Differences | Unplaced): FaultDifference
export function together(diagrams: Diagrams, differences: Differences | Unplaced): FaultDifference {
  return typeof differences === 'string' ? differences : diagrams.or(differences.seen, differences.taken)
}

/**
 * Whether a difference can be met from power-up. A part does not rest in a state that a reset ends at once, but where
 * it goes from there is decided there.
 */
export function isMet(diagrams: Diagrams, { states, moments }: Reached, differences: Differences): boolean {
  if (diagrams.and(together(diagrams, differences), states) !== 0) return true
  const { held } = differences
  return held !== 0 && moments.some((levels) => diagrams.and(diagrams.substitute(held, levels), states) !== 0)
}

/** Differences of several places together: one that is certain tells, whatever the others do. */
export function allOf(ground: Ground, each: readonly (Differences | Unplaced)[]): Differences | Unplaced {
  if (each.includes('differs')) return 'differs'
  const placed = each.filter((one) => typeof one !== 'string')
  const all = placed.reduce((some, one) => both(ground, some, one), NONE)
  if (placed.length === each.length) return all
  return hasLoops(ground) && (all.seen !== 0 || all.taken !== 0) ? 'differs' : 'unknown'
}

/** Whether the map without the fault has loops. */
export const hasLoops = ({ functions }: Ground): boolean => functions.loops.length > 0

function both({ space: { diagrams } }: Ground, a: Differences, b: Differences): Differences {
  const either = (key: 'seen' | 'taken' | 'held'): Node => diagrams.or(a[key], b[key])
  return { seen: either('seen'), taken: either('taken'), held: either('held'), isOpen: a.isOpen || b.isOpen }
}

/** True for a function of the levels of loops. */
export function hangsOnLoops({ space }: Ground, f: Node): boolean {
  return space.diagrams.support(f).some((variable) => space.variables[variable]!.kind === 'loop')
}

/**
 * A difference of levels at a pin. Where it hangs on the levels of loops it tells something only while they rest: then
 * the map stays as it is, and with the fault it does not.
 */
export function seenOf(ground: Ground, seen: Node, loops = ground.functions.loops): Differences | Unplaced {
  if (!hangsOnLoops(ground, seen)) return { ...NONE, seen }
  // Without loops of the map itself the fault makes the loop, and may end in no level at all.
  if (!hasLoops(ground)) return 'unknown'
  return ground.space.diagrams.and(seen, restOf(ground, seen, loops)) === 0 ? 'unknown' : 'differs'
}

/** Where the map rests: each level of a loop, and each other one that `seen` hangs on, is what it is driven to. */
function restOf(ground: Ground, seen: Node, loops: readonly LoopFunction[]): Node {
  const { space } = ground
  const { diagrams } = space
  const excitations = new Map(loops.map(({ pin, excitation }) => [pin, excitation]))
  const pins = diagrams.support(seen).flatMap((variable) => {
    const { kind, name } = space.variables[variable]!
    return kind === 'loop' ? [Number(name)] : []
  })
  let rest: Node = 1
  for (const pin of new Set([...excitations.keys(), ...pins])) {
    const level = diagrams.variable(space.indexOf('loop', String(pin)))
    rest = diagrams.and(rest, diagrams.not(diagrams.xor(level, excitations.get(pin) ?? ground.readingOf(pin))))
  }
  return rest
}

/** A difference of data as it is taken: just before an edge, the clock pin's own column reads 0. */
export function beforeEdge({ space: { diagrams } }: Ground, { register }: OutputFunctions, difference: Node): Node {
  const clock = register && clockVariable(diagrams, register.clock)
  if (clock === null) return difference
  const levels: (Node | undefined)[] = []
  levels[clock] = 0
  return diagrams.substitute(difference, levels)
}

/** True where a register's state stands at its own pin at some time. */
export function shows({ logic }: Ground, output: OutputFunctions): boolean {
  return output.pin !== null && output.enable !== 0 && staysBetweenEdges(logic, output.cell)
}
