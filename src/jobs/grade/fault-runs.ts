/** Vectors run on parts with one fault each, side by side: which vector is the first to show each. */
import type { Pieces } from '../../arguments/pieces'
import { withinWork, type Work } from '../../arguments/work'
import type { Watch } from '../../arguments/watch'
import type { FuseMap } from '../../fuses/fuse-map'
import type { DecodedLogic } from '../../inspect/inspection'
import type { Logic } from '../../logic/logic'
import { conditionsByPin } from '../vectors/conditions'
import { runVectors, STRICT, type Reading, type VectorSet } from '../vectors/run-vectors'
import { FaultBench } from './fault-bench'
import { faultyLogic, rowLiterals, type Fault } from './faults'
import type { Conditions } from './live-part'

/** A map and vectors, prepared to run its faults. */
export interface FaultRuns {
  readonly decoded: DecodedLogic
  readonly fuses: FuseMap
  readonly set: VectorSet
  readonly reading: Reading
  /** Numbers of the vectors that the map itself fails: in `set` nothing is expected where it does. */
  readonly failing: readonly number[]
  readonly literals: readonly (readonly number[])[]
}

/** Prepares a decoded map for its faults under vectors. */
export function prepareFaultRuns(
  decoded: DecodedLogic,
  fuses: FuseMap,
  { set, start }: { readonly set: VectorSet; readonly start: Reading['registers'] },
): FaultRuns {
  const reading: Reading = { ...STRICT, registers: start }
  const failed = failedPins(decoded.logic, set, reading)
  const fair = withoutFailures(set, failed)
  return { decoded, fuses, set: fair, reading, failing: [...failed.keys()], literals: rowLiterals(decoded, fuses) }
}

/** What vectors show of faults, as far as the work allowed. */
export interface Showings {
  /**
   * The first vector, by its place in the set, that shows a fault; −1 where none does; null where nobody says what the
   * faulty map does, or the steps did not suffice.
   */
  readonly first: ReadonlyMap<Fault, number | null>
  /** Vectors of the set that were run on every part. */
  readonly run: number
}

/** Runs all vectors on parts with one fault each, with at most `most` of the steps that are left. */
export function* firstShowings(
  runs: FaultRuns,
  faults: readonly Fault[],
  { work, most, watch }: { readonly work: Work; readonly most: number; readonly watch?: Watch | null | undefined },
): Pieces<Showings> {
  const found: Found = { first: new Map(), run: 0 }
  const all = yield* withinWork(work, most, findShowings(runs, faults, { found, watch }))
  if (all) return { first: found.first, run: runs.set.vectors.length }
  for (const fault of faults) if (!found.first.has(fault)) found.first.set(fault, null)
  return found
}

/** What was found up to now. */
interface Found extends Showings {
  readonly first: Map<Fault, number | null>
  run: number
}

interface Finding {
  readonly found: Found
  readonly watch: Watch | null | undefined
}

/** Faults whose parts are run by themselves between looks outside. */
const FAULTS_A_PIECE = 16

function* findShowings(runs: FaultRuns, faults: readonly Fault[], finding: Finding): Pieces<true> {
  const { first } = finding.found
  const steps = stepsOf(runs)
  // Several pulses in one vector, or a clock of no certain level, are more than the fast evaluator follows.
  const isFollowed = steps !== null && (yield* runBench(runs, faults, { ...finding, steps, slow: false }))
  if (steps && !isFollowed) yield* runBench(runs, faults, { ...finding, steps, slow: true })
  if (faults.some((fault) => !first.has(fault))) finding.found.run = 0
  for (const [i, fault] of faults.entries()) {
    if (!first.has(fault)) first.set(fault, firstFailed(runs, fault))
    if (i % FAULTS_A_PIECE === 0) yield
  }
  return true
}

interface BenchRun extends Finding {
  readonly steps: readonly BenchStep[]
  readonly slow: boolean
}

/** Parts that stand on the bench while a piece of the work is done, vector by vector: a few milliseconds. */
const PARTS_A_PIECE = 1024

/** Finds the first vectors on the bench, but for faults that it lost; false where it does not follow the map itself. */
function* runBench(
  { decoded, fuses, reading }: FaultRuns,
  faults: readonly Fault[],
  { steps, found, watch, slow }: BenchRun,
): Pieces<boolean> {
  const bench = new FaultBench({ decoded, fuses, start: reading.registers, slow }, faults)
  const { first } = found
  let parts = 0
  for (const { conditions, index } of steps) {
    found.run = index
    watch?.('faults', first.size, faults.length)
    const shown = bench.tryRun(conditions)
    if (!shown) {
      first.clear()
      return false
    }
    for (const fault of shown) first.set(fault, index)
    parts += 1 + bench.left.length
    if (parts < PARTS_A_PIECE) continue
    parts = 0
    yield
  }
  const lost = new Set(bench.lost)
  for (const fault of faults) if (!lost.has(fault) && !first.has(fault)) first.set(fault, -1)
  return true
}

/** The same from a run of one faulty map by itself. */
function firstFailed({ decoded, fuses, set, reading }: FaultRuns, fault: Fault): number | null {
  const logic = faultyLogic(decoded, fuses, fault)
  if (!logic) return null
  const { results } = runVectors(logic, set, reading, { explain: false, untilFailed: true })
  const failed = results.find(({ result }) => result === 'failed')
  return failed ? set.vectors.findIndex(({ number }) => number === failed.number) : -1
}

/** The pins at which the map itself fails, by the number of the vector. */
function failedPins(logic: Logic, set: VectorSet, reading: Reading): Map<number, Set<number>> {
  const failed = new Map<number, Set<number>>()
  for (const { number, checks } of runVectors(logic, set, reading, { explain: false }).results)
    for (const { pin, result } of checks)
      if (result === 'failed') failed.set(number, (failed.get(number) ?? new Set()).add(pin))
  return failed
}

/** A set in which nothing is expected where the map itself fails: that would show every fault, and none. */
function withoutFailures(set: VectorSet, failed: ReadonlyMap<number, ReadonlySet<number>>): VectorSet {
  if (failed.size === 0) return set
  const vectors = set.vectors.map((vector) => {
    const pins = failed.get(vector.number)
    const conditions = pins
      ? [...vector.conditions!].map((each, i) => (pins.has(set.pinOrder ? set.pinOrder[i]! : i + 1) ? 'N' : each))
      : null
    return conditions ? { ...vector, conditions: conditions.join('') } : vector
  })
  return { ...set, vectors }
}

interface BenchStep {
  readonly conditions: Conditions
  /** Place of the vector in the set; of the next one for a default vector. */
  readonly index: number
}

function stepsOf({ set, decoded }: FaultRuns): BenchStep[] | null {
  const { pinCount } = decoded.device
  const steps: BenchStep[] = []
  const add = (index: number, conditions: string): void => {
    const level = String(set.defaultCondition ?? 'X')
    const byPin = [...conditionsByPin(conditions, set, pinCount)].map((each) => (each === 'X' ? level : each))
    steps.push({ index, conditions: ['', ...byPin.slice(1)] })
  }
  let number = 1
  for (const [index, vector] of set.vectors.entries()) {
    if (vector.conditions === null || /[BP]/.test(vector.conditions)) return null
    if (vector.number > number) add(index, 'X'.repeat(set.pinOrder?.length ?? pinCount))
    number = vector.number + 1
    add(index, vector.conditions)
  }
  return steps
}
