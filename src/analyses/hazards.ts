/**
 * Hazards: signals that a change of one input leaves as they are and that may show a short pulse all the same, and
 * latches that may lose what they hold. Exact for the sums of products as programmed, in ternary algebra (M. Yoeli,
 * S. Rinon, J. ACM 11(1), 1964; with feedback E. B. Eichelberger, IBM J. Res. Dev. 9(2), 1965).
 */
import { optionsOf } from '../arguments/arguments'
import { createDiagrams, withinLimit, type Node } from '../logic/diagrams'
import { refusedFor, type Refused } from '../findings/refused'
import { nameVariables, planVariables, type Space } from '../logic/variables'
import { checkedLogic, type Logic } from '../logic/logic'
import { changeOf, cutPins, type Change } from '../logic/passing-levels'
import { placesOf, showsComplement, type HazardPlace } from './hazard-places'
import { changingVariables, watchedIn, type Watched } from './hazard-signals'

/** A hazard of one signal under changes of one input or register. */
export interface Hazard {
  /** 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  /** What of the cell is unsafe: the level that it drives, its enable, or a control of its register. */
  readonly part: Watched['part']
  /**
   * `static-1`: a signal that stays 1 may fall for a moment. `static-0`: one that stays 0 may rise. `race-1` and
   * `race-0`: feedback through the pin, at 1 or at 0 before, ends at a level that hangs on delays.
   */
  readonly kind: 'static-1' | 'static-0' | 'race-1' | 'race-0'
  /** What changes: a pin by its number, a register as `q19`. */
  readonly input: string
  /** Level that it changes from; null where both directions are alike. */
  readonly from: 0 | 1 | null
  /** How many levels of what else the signal hangs on leave it unsafe, of how many (decimal). */
  readonly combinations: string
  /** Number of all combinations. */
  readonly ofCombinations: string
  /** Rows between which it falls, with the levels of all else; the first few. */
  readonly places: readonly HazardPlace[]
  /** False where more pairs of rows are concerned than `places` names. */
  readonly complete: boolean
}

/** A signal, a variable that changes, and where that is unsafe. */
interface Found {
  readonly watched: Watched
  readonly variable: number
  readonly kind: Hazard['kind']
  /** Level that the variable changes to. */
  readonly to: 0 | 1
  /** True where the change back is known to be as safe. */
  readonly bothWays: boolean
  readonly change: Change
  readonly region: Node
}

/** Limits of an analysis of hazards. */
export interface HazardOptions {
  /** Most nodes of the diagrams (default 1,000,000). */
  readonly maxNodes?: number
}

/**
 * The hazards of a logic under changes of one input, or of one register; those of clocks, resets, presets and loads
 * first, then of enables, then of outputs. Refused where the functions grow past the limit of the diagrams.
 *
 * @param logic the logic of a decoded part
 * @param options most nodes of the diagrams
 * @returns the signals that may pulse; refused past the limit of nodes
 * @throws RangeError for a limit below 2
 * @example hazardsOf(logic) // []
 */
export function hazardsOf(
  logic: Logic,
  options: HazardOptions = {},
): readonly Hazard[] | Refused<'node-limit'> {
  return inSpace([checkedLogic(logic, 'logic')], options, (space) => {
    const found = findAll(space, logic, directionsFor([logic]))
    return found.map((one) => reported(space, logic, one))
  })
}

/**
 * Hazards that the second of two logics has where the first has none, as a simplified map may; refused past the limit.
 *
 * @param first logic of the map that was
 * @param second logic of the map that takes its place
 * @param options most nodes of the diagrams
 * @returns the hazards that only the second has; refused past the limit of nodes
 * @throws RangeError for a limit below 2
 * @example addedHazards(logic, logic) // []
 */
export function addedHazards(
  first: Logic,
  second: Logic,
  options: HazardOptions = {},
): readonly Hazard[] | Refused<'node-limit'> {
  return inSpace([checkedLogic(first, 'first'), checkedLogic(second, 'second')], options, (space) => {
    const directions = directionsFor([first, second])
    const known = new Map(findAll(space, first, directions).map((found) => [keyOf(found), found.region]))
    return findAll(space, second, directions).flatMap((found) => {
      const region = space.diagrams.and(found.region, space.diagrams.not(known.get(keyOf(found)) ?? 0))
      return region === 0 ? [] : [reported(space, second, { ...found, region })]
    })
  })
}

function inSpace<T>(
  logics: readonly Logic[],
  options: HazardOptions,
  work: (space: Space) => T,
): T | Refused<'node-limit'> {
  optionsOf(options, { maxNodes: true })
  const variables = planVariables(logics.map((logic) => ({ logic })))
  const diagrams = createDiagrams(variables.length, options)
  return withinLimit(() => work(nameVariables(diagrams, variables))) ?? refusedFor('node-limit')
}

/** Without feedback a change is as safe as the one back. */
function directionsFor(logics: readonly Logic[]): readonly (0 | 1)[] {
  return logics.some((logic) => cutPins(logic).length > 0) ? [1, 0] : [1]
}

const keyOf = ({ watched, variable, kind, to }: Found): string =>
  [watched.place, watched.part, variable, kind, to].join(' ')

const PARTS: readonly Watched['part'][] = ['clock', 'reset', 'preset', 'load', 'enable', 'value']

function findAll(space: Space, logic: Logic, directions: readonly (0 | 1)[]): Found[] {
  const watched = watchedIn(logic)
  const found = changingVariables(space, logic).flatMap((variable) =>
    directions.flatMap((to) => {
      const change = changeOf(space, logic, variable, to)
      const bothWays = directions.length === 1
      return watched.flatMap((one) => findOne(space, { watched: one, variable, to, bothWays, change }))
    }),
  )
  const rank = ({ watched: { part, cell } }: Found): number => PARTS.indexOf(part) * logic.cells.length + cell
  return found.sort((a, b) => rank(a) - rank(b))
}

/** Where a signal stays and may still pulse, and where the feedback through its pin ends unknown. */
function findOne({ diagrams }: Space, found: Omit<Found, 'kind' | 'region'>): Found[] {
  const { watched, change } = found
  const passing = watched.levels(change.passing)
  if (diagrams.and(passing.zero, passing.one) === 0) return []
  const both = (...functions: readonly Node[]): Node => functions.reduce((all, f) => diagrams.and(all, f), 1)
  const [before, after] = [watched.levels(change.before), watched.levels(change.after)]
  const on = both(change.resting, watched.enable?.(change.before).one ?? 1)
  const stays = both(on, diagrams.not(watched.enable?.(change.after).zero ?? 0))
  const open = watched.fedBack ? both(on, after.zero, after.one) : 0
  const regions: [Hazard['kind'], Node][] = [
    ['static-1', both(stays, before.one, passing.zero, diagrams.not(after.zero))],
    ['static-0', both(stays, before.zero, passing.one, diagrams.not(after.one))],
    ['race-1', both(open, before.one)],
    ['race-0', both(open, before.zero)],
  ]
  return regions.flatMap(([kind, region]) => (region === 0 ? [] : [{ ...found, kind, region }]))
}

function reported(space: Space, logic: Logic, found: Found): Hazard {
  const { watched, variable, kind, to, bothWays } = found
  const { kind: of, name } = space.variables[variable]!
  const from = (showsComplement(logic, of, name) ? to : 1 - to) as 0 | 1
  return {
    ...(logic.cells[watched.cell]!.pin === null
      ? { pin: 0, cell: String(watched.place) }
      : { pin: Number(watched.place) }),
    part: watched.part,
    kind,
    input: of === 'state' ? `q${name}` : name,
    from: bothWays ? null : from,
    ...placesOf(space, logic, { ...found, from }),
  }
}
