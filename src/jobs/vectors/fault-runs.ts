/** Vectors run on parts with one fault each: which vector is the first to show it. */
import type { Decoded } from '../../devices/decode'
import type { FuseMap } from '../../fuses/fuse-map'
import { prepareChanges, withChangedRow, type ChangeableLogic } from '../../logic/changed-terms'
import type { FastLogic } from '../../logic/fast-logic'
import { addApplied, FastSequence, type AppliedWords } from '../../logic/fast-sequence'
import { startSimulation, UNSTEADY, type Applied } from '../../logic/simulation-state'
import { LOOK_ENABLE } from '../../logic/part-sequence'
import { X } from '../../logic/ternary'
import { faultyLogic, rowLiterals, toggled, type Fault } from './faults'
import { conditionsByPin, LEVELS, runVectors, STRICT, type Reading, type VectorSet } from './run-vectors'

/** What one vector applies and expects, in the form of the fast evaluator. */
interface FastVector {
  readonly index: number
  readonly levels: AppliedWords
  readonly pulsed: number
  /** Pins with a cell and what is expected there: 0 for L, 1 for H, 2 for Z. */
  readonly judged: readonly number[]
  readonly expected: readonly number[]
}

/** A map and vectors, prepared to run its faults. */
export interface FaultRuns {
  readonly decoded: Decoded
  readonly fuses: FuseMap
  readonly set: VectorSet
  readonly reading: Reading
  readonly literals: readonly (readonly number[])[]
  readonly changeable: ChangeableLogic | null
  /** Null where some vector needs the reference: preloads, vectors that cannot be read. */
  readonly vectors: readonly FastVector[] | null
}

/** Prepares a decoded map for its faults under vectors. */
export function prepareFaultRuns(
  decoded: Decoded & { readonly logic: NonNullable<Decoded['logic']> },
  fuses: FuseMap,
  { set: stated, start }: { readonly set: VectorSet; readonly start: Reading['registers'] },
): FaultRuns {
  const literals = rowLiterals(decoded, fuses)
  const reading: Reading = { ...STRICT, registers: start }
  const fair = withoutFailures(decoded.logic, stated, reading)
  const changeable = prepareChanges(decoded.logic, (row) => literals[row]!)
  return {
    decoded,
    fuses,
    set: fair,
    reading,
    literals,
    changeable,
    vectors: changeable && fastVectors(fair, changeable),
  }
}

/** A set in which nothing is expected where the map itself fails: that would show every fault, and none. */
function withoutFailures(logic: NonNullable<Decoded['logic']>, set: VectorSet, reading: Reading): VectorSet {
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

function fastVectors(set: VectorSet, { logic, fast }: ChangeableLogic): FastVector[] | null {
  const vectors: FastVector[] = []
  let number = 1
  const add = (index: number, conditions: string): void => {
    const levels: AppliedWords = { low: 0, high: 0, nothing: 0, unsteady: 0 }
    let pulsed = 0
    const judged: number[] = []
    const expected: number[] = []
    for (let pin = 1; pin <= logic.pinCount; pin++) {
      const condition = conditions[pin]!
      const level: Applied = condition === 'X' ? (set.defaultCondition ?? X) : (LEVELS[condition] ?? UNSTEADY)
      addApplied(levels, pin, level)
      if (condition === 'C' || condition === 'K') pulsed |= 1 << pin
      const wanted = 'LHZ'.indexOf(condition)
      if (wanted < 0 || !fast.cellAt[pin]) continue
      judged.push(pin)
      expected.push(wanted)
    }
    vectors.push({ index, levels, pulsed, judged, expected })
  }
  for (const [index, vector] of set.vectors.entries()) {
    if (vector.conditions === null || /[BP]/.test(vector.conditions)) return null
    const width = set.pinOrder?.length ?? logic.pinCount
    if (vector.number > number) add(index, conditionsByPin('X'.repeat(width), set, logic.pinCount))
    number = vector.number + 1
    add(index, conditionsByPin(vector.conditions, set, logic.pinCount))
  }
  return vectors
}

/**
 * The first vector, by its place in the set, that shows a fault; −1 where none does; null where the faulty map names no
 * mode, so that nobody says what it does.
 */
export function firstShowing(runs: FaultRuns, fault: Fault): number | null {
  const { changeable, vectors, literals } = runs
  if (changeable && vectors && fault.row !== null && fault.literal !== null) {
    const changed = toggled(literals[fault.row]!, fault.literal)
    const found = withChangedRow(changeable, fault.row, {
      literals: changed,
      work: (fast) => fast && runFast(fast, changeable, { vectors, registers: runs.reading.registers }),
    })
    if (found !== null) return found
  }
  const logic = faultyLogic(runs.decoded, runs.fuses, fault.fuse)
  return logic && firstFailed(logic, runs)
}

function firstFailed(logic: NonNullable<Decoded['logic']>, { set, reading }: FaultRuns): number {
  const { results } = runVectors(logic, set, reading, { explain: false })
  const failed = results.find(({ result }) => result === 'failed')
  return failed ? set.vectors.findIndex(({ number }) => number === failed.number) : -1
}

/** The same on the fast evaluator; null where it must be left to the reference. */
function runFast(
  fast: FastLogic,
  { logic }: ChangeableLogic,
  given: { readonly vectors: readonly FastVector[]; readonly registers: Reading['registers'] },
): number | null {
  const part = new FastSequence(fast, { order: 'open', explain: false })
  part.load(startSimulation(logic, { registers: given.registers }))
  const turned: AppliedWords = { low: 0, high: 0, nothing: 0, unsteady: 0 }
  for (const vector of given.vectors) {
    if (!part.apply(vector.levels)) return null
    if (vector.pulsed & (vector.pulsed - 1)) return null
    if (vector.pulsed !== 0)
      for (let edge = 0; edge < 2; edge++) {
        part.turned(31 - Math.clz32(vector.pulsed), turned)
        if (!part.apply(turned)) return null
      }
    const shown = judgeFast(part, vector)
    if (shown === null) return null
    if (shown) return vector.index
  }
  return -1
}

/** Whether a vector shows what the part does to be wrong; null where trying unknowns could tell. */
function judgeFast(part: FastSequence, { judged, expected }: FastVector): boolean | null {
  for (let i = 0; i < judged.length; i++) {
    const pin = judged[i]!
    const look = part.look(pin)
    const enable = look >> 2
    const level = look % LOOK_ENABLE
    if ((enable === X || (enable === 1 && level === X)) && part.mayBeCertain(pin)) return null
    if (expected[i] === 2) {
      if (enable === 1) return true
    } else if (level !== X && level !== expected[i]) return true
  }
  return false
}
