/** Where a hazard lies: the rows between which it falls, the levels of all else, and the term that would cover it. */
import type { Node } from '../logic/diagrams'
import type { FreeVariable, Space } from '../logic/variables'
import { cellNameOf, type Cube, type Literal, type Logic } from '../logic/logic'
import { expressionText } from '../logic/notation'
import { heldCuts, Stage, type Change } from '../logic/passing-levels'
import type { Watched } from './hazard-signals'

/** One pair of rows between which a hazard falls. */
export interface HazardPlace {
  /**
   * Array rows that are 1 while the input is low, and while it is high; null where no pair of rows is the reason, as
   * for a pulse that comes through another pin.
   */
  readonly rows: { readonly low: number; readonly high: number } | null
  /** Levels of all else, as few as name a case: at pins, Q of registers, at pins that feedback holds. */
  readonly others: {
    readonly inputs: Readonly<Record<string, 0 | 1>>
    readonly state: Readonly<Record<string, 0 | 1>>
    readonly feedback: Readonly<Record<string, 0 | 1>>
  }
  /** Number of combinations at this place (decimal). */
  readonly combinations: string
  /** A term that would cover the pair, in the signs of ISO 80000-2; null where none of the array would. */
  readonly cover: string | null
}

/** Where a change of a variable is unsafe for a signal. */
export interface Unsafe {
  readonly watched: Watched
  readonly variable: number
  /** Level that the variable changes from, as a report gives it. */
  readonly from: 0 | 1
  readonly change: Change
  readonly region: Node
}

/** What is reported of an unsafe change. */
export interface Placed {
  readonly combinations: string
  readonly ofCombinations: string
  readonly places: readonly HazardPlace[]
  readonly complete: boolean
}

/** Most pairs of rows that are named for one signal and input: a person mends them one by one and looks again. */
const MAX_PLACES = 8

/** Counts an unsafe change and names its rows. */
export function placesOf(space: Space, logic: Logic, unsafe: Unsafe): Placed {
  const { diagrams } = space
  const { change, watched, variable, region } = unsafe
  const { zero, one } = watched.levels(change.passing)
  let rest = region
  const pairs: { readonly low: Live; readonly high: Live; readonly within: Node }[] = []
  for (const { low, high } of pairsOf(unsafe)) {
    if (rest === 0 || pairs.length === MAX_PLACES) break
    const within = [low, high].reduce((all, { node }) => diagrams.and(all, node), region)
    if (diagrams.and(within, rest) === 0) continue
    rest = diagrams.and(rest, diagrams.not(within))
    pairs.push({ low, high, within })
  }
  // Rows may tell apart what the signal does not: x·y·z and x·y·¬z.
  const functions = [watched.levels(change.before).one, zero, one, region, ...pairs.map(({ within }) => within)]
  const hangsOn = new Set(functions.flatMap((f) => diagrams.support(f)))
  hangsOn.delete(variable)
  const free = BigInt(diagrams.variableCount - hangsOn.size)
  const counted = (f: Node): string => String(diagrams.count(f) >> free)
  const places = pairs.map(
    ({ low, high, within }): HazardPlace => ({
      rows: { low: low.cube.origin, high: high.cube.origin },
      others: othersOf(space, logic, within),
      combinations: counted(within),
      cover: coverText(space, logic, change.leaving, low, high),
    }),
  )
  if (rest !== 0 && places.length < MAX_PLACES) {
    places.push({ rows: null, others: othersOf(space, logic, rest), combinations: counted(rest), cover: null })
    rest = 0
  }
  return {
    combinations: counted(region),
    ofCombinations: String(1n << BigInt(hangsOn.size)),
    places,
    complete: rest === 0,
  }
}

/** A row of a sum, and where it is 1 at one level of the input. */
interface Live {
  readonly cube: Cube
  readonly sum: readonly Cube[]
  readonly node: Node
}

/** Pairs of rows of one sum that hold it before and after, where none of them need hold it on the way. */
function* pairsOf({ watched, change, from }: Unsafe): Generator<{ readonly low: Live; readonly high: Live }> {
  const [lowStage, highStage] = from === 0 ? [change.before, change.landed] : [change.landed, change.before]
  for (const sum of watched.sums) {
    const live = (stage: Stage): Live[] =>
      sum.map((cube) => ({ cube, sum, node: stage.cube(cube).one })).filter(({ node }) => node !== 0)
    const unsteady = new Set(sum.filter((cube) => change.passing.cube(cube).zero !== 0))
    const highs = live(highStage).filter(({ cube }) => unsteady.has(cube))
    for (const low of live(lowStage))
      if (unsteady.has(low.cube)) for (const high of highs) if (high.cube !== low.cube) yield { low, high }
  }
}

/** Levels that name a case of a function. */
function othersOf({ diagrams, variables }: Space, logic: Logic, f: Node): HazardPlace['others'] {
  const cube = diagrams.shortestCube(f) ?? new Uint8Array(0)
  const fixed = variables.flatMap((variable, i) => (cube[i] === 2 ? [] : [{ ...variable, level: cube[i] as 0 | 1 }]))
  const of = (wanted: FreeVariable['kind']): Record<string, 0 | 1> =>
    Object.fromEntries(
      fixed.flatMap(({ kind, name, level }) =>
        kind !== wanted ? [] : [[name, showsComplement(logic, kind, name) ? ((1 - level) as 0 | 1) : level] as const],
      ),
    )
  return { inputs: of('pin'), state: of('state'), feedback: of('loop') }
}

/** True for a register whose pin shows ¬Q: its variable is the level that the pin shows, reports give Q. */
export function showsComplement({ cells }: Logic, kind: FreeVariable['kind'], name: string): boolean {
  return kind === 'state' && cells.some((cell) => String(cellNameOf(cell)) === name && cell.register?.inverted === true)
}

/** The consensus of two rows (without what changes), shortened as far as it stays within their sum. */
function coverText(space: Space, logic: Logic, leaving: Stage, low: Live, high: Live): string | null {
  const { diagrams } = space
  const still = new Stage(space, logic, new Map(), heldCuts(space, logic))
  const within = still.sum(low.sum).one
  const isSteady = (literal: Literal): boolean => {
    const { zero, one } = leaving.cube({ literals: [literal], origin: -1 })
    return diagrams.and(zero, one) === 0
  }
  const isCover = (literals: readonly Literal[]): boolean =>
    diagrams.and(still.cube({ literals, origin: -1 }).one, diagrams.not(within)) === 0
  let literals = [...new Set([...low.cube.literals, ...high.cube.literals])].filter(isSteady).sort((a, b) => a - b)
  if (!isCover(literals)) return null
  for (const literal of literals) {
    const shorter = literals.filter((other) => other !== literal)
    if (isCover(shorter)) literals = shorter
  }
  return expressionText(logic, { sums: [[{ literals, origin: -1 }]], inverted: false })
}
