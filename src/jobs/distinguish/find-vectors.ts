/** The search for vectors that tell maps apart: other maps stand in place of faults. */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import { prepareFast } from '../../logic/fast-logic'
import { madeVector, testerPins } from '../exercise/made-vector'
import { makeCombinational } from '../exercise/make-combinational'
import { makeSequence } from '../exercise/make-sequence'
import { isUnplaced } from '../grade/differences'
import { prepareFaultFunctions } from '../grade/fault-functions'
import { otherMap, rowLiterals } from '../grade/faults'
import type { GradeTask } from '../grade/grade-task'
import { isExpected, outcomeOf, type VectorOutcome } from '../vectors/run-vectors'
import { FastPart, pulsedPins, SlowPart, type Conditions, type LivePart } from '../grade/live-part'

/** Two maps by their places in the list. */
export interface Pair {
  readonly a: number
  readonly b: number
}

/** Two maps, with the first vector, from 1, and the pin at which one passes for certain where the other fails. */
export interface FoundPair extends Pair {
  readonly vector: number
  readonly pin: number
}

/** Vectors with the levels of the first map, and what they tell. */
export interface FoundVectors {
  readonly vectors: readonly Conditions[]
  readonly told: readonly FoundPair[]
  /** For each map the numbers of the vectors that it is certain to fail. */
  readonly failing: readonly (readonly number[])[]
}

/** Most nodes of the diagrams of one search. */
const MAX_NODES = 1_000_000

interface Given {
  readonly start: 'unknown' | 'power-up'
  readonly maxVectors: number
  readonly watch: Watch | null
}

/** Finds vectors for pairs of maps; those of the first map with all others come first, the rest where still needed. */
export function* findVectors(
  tasks: readonly GradeTask[],
  pairs: readonly Pair[],
  given: Given,
): Pieces<FoundVectors> {
  const withFirst = pairs.filter(({ a }) => a === 0).map(({ b }) => b)
  let stimuli = withFirst.length === 0 ? [] : yield* stimuliFor(tasks, { base: 0, others: withFirst }, given)
  let found = told(tasks, stimuli, { pairs, start: given.start })
  for (const pair of pairs) {
    if (found.told.some(({ a, b }) => a === pair.a && b === pair.b)) continue
    const more = [...stimuli, ...(yield* stimuliFor(tasks, { base: pair.a, others: [pair.b] }, given))]
    const next = told(tasks, more, { pairs, start: given.start })
    if (next.told.length <= found.told.length) continue
    stimuli = more
    found = next
  }
  const last = Math.max(0, ...found.told.map(({ vector }) => vector))
  return told(tasks, stimuli.slice(0, last), { pairs, start: given.start })
}

/** Vectors that tell one map from others. */
function* stimuliFor(
  tasks: readonly GradeTask[],
  { base, others }: { readonly base: number; readonly others: readonly number[] },
  given: Given,
): Pieces<readonly Conditions[]> {
  const task = tasks[base]!
  const { decoded, fuses } = task
  const pins = testerPins(decoded.logic)
  const faults = others.map((other) => otherMap(other, tasks[other]!.decoded.logic))
  const literals = rowLiterals(decoded, fuses)
  const functions = prepareFaultFunctions(decoded, fuses, { literals, maxNodes: MAX_NODES })
  const stateless = functions?.combinational && faults.every((fault) => !isUnplaced(functions.differenceOf(fault)))
  if (functions && stateless)
    return (yield* makeCombinational(task, { faults, functions, pins, watch: given.watch })).vectors
  const described = functions !== null
  return (yield* makeSequence(task, { ...given, faults, described, maxNodes: MAX_NODES, pins })).vectors
}

function startPart({ decoded: { logic } }: GradeTask, start: Given['start']): LivePart {
  const fast = prepareFast(logic)
  return fast ? new FastPart(fast, start) : new SlowPart(logic, start)
}

/** The same levels with what the first map gives at every pin, no pin driven that any of the maps drives. */
function told(
  tasks: readonly GradeTask[],
  stimuli: readonly Conditions[],
  { pairs, start }: { readonly pairs: readonly Pair[]; readonly start: Given['start'] },
): FoundVectors {
  const pins = testerPins(tasks[0]!.decoded.logic)
  const parts = tasks.map((task) => startPart(task, start))
  const [first, ...others] = parts as [LivePart, ...LivePart[]]
  const vectors: Conditions[] = []
  const found: FoundPair[] = []
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
    for (const { a, b } of pairs) {
      if (found.some((each) => each.a === a && each.b === b)) continue
      const at = pins.outputs.findIndex((_, i) => tells(outcomes[a]![i]!, outcomes[b]![i]!))
      if (at >= 0) found.push({ a, b, vector, pin: pins.outputs[at]! })
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
