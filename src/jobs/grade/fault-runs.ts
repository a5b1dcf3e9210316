/** Vectors run on parts with one fault each, side by side: which vector is the first to show each. */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import type { FuseMap } from '../../fuses/fuse-map'
import type { DecodedLogic } from '../../inspect/inspection'
import type { Logic } from '../../logic/logic'
import { conditionsByPin, runVectors, STRICT, type Reading, type VectorSet } from '../vectors/run-vectors'
import { FaultBench } from './fault-bench'
import { faultyLogic, rowLiterals, type Fault } from './faults'
import type { Conditions } from './live-part'

/** A map and vectors, prepared to run its faults. */
export interface FaultRuns {
  readonly decoded: DecodedLogic
  readonly fuses: FuseMap
  readonly set: VectorSet
  readonly reading: Reading
  readonly literals: readonly (readonly number[])[]
}

/** Prepares a decoded map for its faults under vectors. */
export function prepareFaultRuns(
  decoded: DecodedLogic,
  fuses: FuseMap,
  { set, start }: { readonly set: VectorSet; readonly start: Reading['registers'] },
): FaultRuns {
  const reading: Reading = { ...STRICT, registers: start }
  const fair = withoutFailures(decoded.logic, set, reading)
  return { decoded, fuses, set: fair, reading, literals: rowLiterals(decoded, fuses) }
}

/**
 * For each fault the first vector, by its place in the set, that shows it; −1 where none does; null where the faulty
 * map names no mode, so that nobody says what it does.
 */
export function* firstShowings(
  runs: FaultRuns,
  faults: readonly Fault[],
  watch?: Watch | null,
): Pieces<(fault: Fault) => number | null> {
  const steps = stepsOf(runs)
  // Several pulses in one vector, or a clock of no certain level, are more than the fast evaluator follows.
  const given = steps && { steps, watch }
  const followed = given && (yield* runBench(runs, faults, { ...given, slow: false }))
  const benched = followed ?? (given && (yield* runBench(runs, faults, { ...given, slow: true })))
  return (fault) => benched?.(fault) ?? firstFailed(runs, fault)
}

interface BenchRun {
  readonly steps: readonly BenchStep[]
  readonly watch: Watch | null | undefined
  readonly slow: boolean
}

type BenchResult = (fault: Fault) => number | null

/** Parts that stand on the bench while a piece of the work is done, vector by vector: a few milliseconds. */
const PARTS_A_PIECE = 1024

/** The same from the bench, null for faults that it lost; null where it does not follow the map itself. */
function* runBench(
  { decoded, fuses, reading }: FaultRuns,
  faults: readonly Fault[],
  { steps, watch, slow }: BenchRun,
): Pieces<BenchResult | null> {
  const bench = new FaultBench({ decoded, fuses, start: reading.registers, slow }, faults)
  const first = new Map<Fault, number>()
  let parts = 0
  for (const { conditions, index } of steps) {
    watch?.('faults', first.size, faults.length)
    const shown = bench.tryRun(conditions)
    if (!shown) return null
    for (const fault of shown) first.set(fault, index)
    parts += 1 + bench.left.length
    if (parts < PARTS_A_PIECE) continue
    parts = 0
    yield
  }
  const lost = new Set(bench.lost)
  return (fault) => (lost.has(fault) ? null : (first.get(fault) ?? -1))
}

/** The same from a run of one faulty map by itself. */
function firstFailed({ decoded, fuses, set, reading }: FaultRuns, fault: Fault): number | null {
  const logic = faultyLogic(decoded, fuses, fault)
  if (!logic) return null
  const { results } = runVectors(logic, set, reading, { explain: false, untilFailed: true })
  const failed = results.find(({ result }) => result === 'failed')
  return failed ? set.vectors.findIndex(({ number }) => number === failed.number) : -1
}

/** A set in which nothing is expected where the map itself fails: that would show every fault, and none. */
function withoutFailures(logic: Logic, set: VectorSet, reading: Reading): VectorSet {
  const failed = new Map<number, Set<number>>()
  for (const { number, checks } of runVectors(logic, set, reading, { explain: false }).results)
    for (const { pin, result } of checks)
      if (result === 'failed') failed.set(number, (failed.get(number) ?? new Set()).add(pin))
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
