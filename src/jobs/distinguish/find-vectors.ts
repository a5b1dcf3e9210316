/** The search for vectors that tell maps apart: other maps stand in place of faults. */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import { onePiece, takeSteps, withinWork, type Work } from '../../arguments/work'
import { madeVector, testerPins } from '../exercise/made-vector'
import { makeCombinational } from '../exercise/make-combinational'
import { makeSequence } from '../exercise/make-sequence'
import { isUnplaced } from '../grade/differences'
import { prepareFaultFunctions } from '../grade/fault-functions'
import { otherMap, rowLiterals } from '../grade/faults'
import type { GradeTask } from '../grade/grade-task'
import { isExpected } from '../vectors/conditions'
import { outcomeOf, type VectorOutcome } from '../vectors/run-vectors'
import { livePart, pulsedPins, type Conditions, type LivePart } from '../grade/live-part'

/** Two maps by their places in the list. */
export interface Pair {
  readonly a: number
  readonly b: number
}

/** The first vector, from 1, and the pin at which one of two maps passes for certain where the other fails. */
export interface FoundAt {
  readonly vector: number
  readonly pin: number
}

/** Vectors with the levels of the first map, and what they tell. */
export interface FoundVectors {
  readonly vectors: readonly Conditions[]
  readonly told: ReadonlyMap<Pair, FoundAt>
  /** For each map the numbers of the vectors that it is certain to fail. */
  readonly failing: readonly (readonly number[])[]
  /** False where the steps did not suffice. */
  readonly complete: boolean
}

type Told = Omit<FoundVectors, 'complete'>

/** Most nodes of the diagrams of one search. */
const MAX_NODES = 1_000_000

interface Given {
  readonly start: 'unknown' | 'power-up'
  readonly maxVectors: number
  readonly watch: Watch | null
  readonly work: Work
}

/** Finds vectors for pairs of maps; those of the first map with all others come first, the rest where still needed. */
export function* findVectors(
  tasks: readonly GradeTask[],
  pairs: readonly Pair[],
  given: Given,
): Pieces<FoundVectors> {
  const { work } = given
  let stimuli: readonly Conditions[] = []
  let found: Told = { vectors: [], told: new Map(), failing: tasks.map(() => []) }
  let complete = true
  /** Adds what tells one map from others where that tells more pairs apart, or in any case. */
  const add = function* (search: Search, anyway: boolean): Pieces<void> {
    const made = yield* stimuliFor(tasks, search, given)
    const more = [...stimuli, ...made.vectors]
    const telling = onePiece(() => told(tasks, more, { pairs, start: given.start }))
    const next = yield* withinWork(work, work.steps, telling)
    complete &&= made.complete && next !== null
    if (!next || !(anyway || next.told.size > found.told.size)) return
    stimuli = more
    found = next
  }
  const withFirst = pairs.filter(({ a }) => a === 0).map(({ b }) => b)
  if (withFirst.length > 0) yield* add({ base: 0, others: withFirst }, true)
  for (const pair of pairs) {
    if (found.told.has(pair)) continue
    if (work.steps <= 0) return { ...upToLast(found), complete: false }
    yield* add({ base: pair.a, others: [pair.b] }, false)
  }
  return { ...upToLast(found), complete }
}

/** Without the vectors after the last one that tells a pair apart. */
function upToLast({ vectors, told, failing }: Told): Told {
  const last = [...told.values()].reduce((most, { vector }) => Math.max(most, vector), 0)
  return { vectors: vectors.slice(0, last), told, failing: failing.map((all) => all.filter((each) => each <= last)) }
}

/** A map that is told from others. */
interface Search {
  readonly base: number
  readonly others: readonly number[]
}

/** Steps of preparing a search: a bench and the pins. */
const PREPARING_STEPS = 10_000
/** A search takes at most one in so many of the steps that are left: running what it made takes some too. */
const SEARCH_SHARE = 2

/** Vectors that tell one map from others. */
function* stimuliFor(
  tasks: readonly GradeTask[],
  { base, others }: Search,
  { work: all, ...given }: Given,
): Pieces<{ readonly vectors: readonly Conditions[]; readonly complete: boolean }> {
  const task = tasks[base]!
  const { decoded, fuses } = task
  const pins = testerPins(decoded.logic)
  const faults = others.map((other) => otherMap(other, tasks[other]!.decoded.logic))
  const literals = rowLiterals(decoded, fuses)
  const share = Math.ceil(Math.max(0, all.steps) / SEARCH_SHARE)
  const work: Work = { steps: share }
  const preparing = onePiece(() => {
    const functions = prepareFaultFunctions(decoded, fuses, { literals, maxNodes: MAX_NODES })
    const isStateless = functions?.combinational && faults.every((each) => !isUnplaced(functions.differenceOf(each)))
    return { functions, isStateless }
  })
  const { functions, isStateless } = (yield* withinWork(work, share, preparing)) ?? { functions: null }
  const search = { ...given, work, faults, pins }
  const made =
    functions && isStateless
      ? yield* makeCombinational(task, { ...search, functions })
      : yield* makeSequence(task, { ...search, described: functions !== null, maxNodes: MAX_NODES })
  all.steps -= PREPARING_STEPS + share - work.steps
  return made
}

/** The same levels with what the first map gives at every pin, no pin driven that any of the maps drives. */
function told(
  tasks: readonly GradeTask[],
  stimuli: readonly Conditions[],
  { pairs, start }: { readonly pairs: readonly Pair[]; readonly start: Given['start'] },
): Told {
  const pins = testerPins(tasks[0]!.decoded.logic)
  const parts = tasks.map(({ decoded }) => livePart(decoded.logic, start))
  const [first, ...others] = parts as [LivePart, ...LivePart[]]
  const vectors: Conditions[] = []
  const found = new Map<Pair, FoundAt>()
  const failing = tasks.map((): number[] => [])
  for (const stimulus of stimuli) {
    const wanted = {
      levelAt: (pin: number) => (stimulus[pin] === '1' ? (1 as const) : (0 as const)),
      pulsed: pulsedPins(stimulus),
      open: pins.shared.filter((pin) => !'01'.includes(stimulus[pin]!)),
      high: pins.clocks.filter((pin) => stimulus[pin] === '1'),
    }
    const conditions = madeVector(first, pins, wanted, others)
    if (!conditions || !parts.every((part) => part.step(conditions))) break
    const vector = vectors.push(conditions)
    const outcomes = parts.map((part) => pins.outputs.map((pin) => outcomeAt(part.look(pin), conditions[pin]!)))
    outcomes.forEach((outcome, i) => outcome.includes('failed') && failing[i]!.push(vector))
    takeSteps(pairs.length)
    for (const pair of pairs) {
      if (found.has(pair)) continue
      const { a, b } = pair
      const at = pins.outputs.findIndex((_, i) => tells(outcomes[a]![i]!, outcomes[b]![i]!))
      if (at >= 0) found.set(pair, { vector, pin: pins.outputs[at]! })
    }
  }
  return { vectors, told: found, failing }
}

function tells(a: VectorOutcome, b: VectorOutcome): boolean {
  return a !== b && a !== 'undetermined' && b !== 'undetermined'
}

/** What a tester says at a pin that has an output. */
function outcomeAt(look: number, condition: string): VectorOutcome {
  return isExpected(condition) ? outcomeOf(condition, look, false) : 'undetermined'
}
