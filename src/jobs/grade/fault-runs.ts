/** Vectors run on parts with one fault each: which vector is the first to show it. */
import type { Decoded } from '../../devices/decode'
import type { FuseMap } from '../../fuses/fuse-map'
import {
  prepareChanges,
  termChanges,
  withChangedRow,
  type ChangeableLogic,
  type TermChange,
} from '../../logic/changed-terms'
import type { FastLogic } from '../../logic/fast-logic'
import { addApplied, type AppliedWords } from '../../logic/applied-words'
import { FastSequence, STATE_WORDS } from '../../logic/fast-sequence'
import { isCovered, evaluateTerm } from '../../logic/masks'
import { startSimulation, UNSTEADY, type Applied } from '../../logic/simulation-state'
import { X } from '../../logic/ternary'
import { faultyLogic, rowLiterals, toggled, type Fault } from './faults'
import {
  conditionsByPin,
  isExpected,
  LEVELS,
  outcomeOf,
  runVectors,
  STRICT,
  type PinCheck,
  type Reading,
  type VectorSet,
} from '../vectors/run-vectors'

/** What one vector applies and expects, in the form of the fast evaluator. */
interface FastVector {
  readonly index: number
  readonly levels: AppliedWords
  readonly pulsed: number
  /** Pins with a cell and what is expected there. */
  readonly judged: readonly number[]
  readonly expected: readonly PinCheck['expected'][]
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
  /** How the map itself goes through the vectors; null where some step needs the reference. */
  readonly path: SoundPath | null
}

/** The states and moments of the map itself, by place among the vectors: a fault that changes nothing there is idle. */
interface SoundPath {
  /** Before each vector, and after the last one. */
  readonly states: Int32Array
  /** Moments at which terms are read, four words each, those of a vector up to its end. */
  readonly moments: readonly number[]
  readonly ends: Int32Array
  /** 1 where an unknown was met, so that what a fault does hangs on more than on its term. */
  readonly unknown: Uint8Array
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
  const vectors = changeable && fastVectors(fair, changeable)
  const path = changeable && vectors && soundPath(changeable, { vectors, registers: start })
  return { decoded, fuses, set: fair, reading, literals, changeable, vectors, path }
}

function startFast(fast: FastLogic, { logic }: ChangeableLogic, registers: Reading['registers']): FastSequence {
  const part = new FastSequence(fast, { order: 'open', explain: false })
  part.load(startSimulation(logic, { registers }))
  return part
}

function soundPath(
  changeable: ChangeableLogic,
  { vectors, registers }: { readonly vectors: readonly FastVector[]; readonly registers: Reading['registers'] },
): SoundPath | null {
  const part = startFast(changeable.fast, changeable, registers)
  const states = new Int32Array(STATE_WORDS * (vectors.length + 1))
  const ends = new Int32Array(vectors.length)
  const unknown = new Uint8Array(vectors.length)
  const moments: number[] = []
  part.saveState(states, 0)
  for (const [at, vector] of vectors.entries()) {
    const seen = part.trace()
    // The levels before count too: holds are read there.
    seen.push(...states.subarray(STATE_WORDS * at + 4, STATE_WORDS * at + 8))
    if (!step(part, vector)) return null
    judgeFast(part, vector)
    for (const word of seen) moments.push(word)
    ends[at] = moments.length
    unknown[at] = part.metUnknown ? 1 : 0
    part.saveState(states, STATE_WORDS * (at + 1))
  }
  return { states, moments, ends, unknown }
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
    const expected: PinCheck['expected'][] = []
    for (let pin = 1; pin <= logic.pinCount; pin++) {
      const condition = conditions[pin]!
      const level: Applied = condition === 'X' ? (set.defaultCondition ?? X) : (LEVELS[condition] ?? UNSTEADY)
      addApplied(levels, pin, level)
      if (condition === 'C' || condition === 'K') pulsed |= 1 << pin
      if (!isExpected(condition) || !fast.cellAt[pin]) continue
      judged.push(pin)
      expected.push(condition)
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
  if (fault.row !== null && fault.literal !== null) {
    const found = runFast(runs, fault.row, toggled(runs.literals[fault.row]!, fault.literal))
    if (found !== null) return found
  }
  const logic = faultyLogic(runs.decoded, runs.fuses, fault)
  return logic && firstFailed(logic, runs)
}

function firstFailed(logic: NonNullable<Decoded['logic']>, { set, reading }: FaultRuns): number {
  const { results } = runVectors(logic, set, reading, { explain: false })
  const failed = results.find(({ result }) => result === 'failed')
  return failed ? set.vectors.findIndex(({ number }) => number === failed.number) : -1
}

/** Takes a vector's levels and pulse; false where that must be left to the reference. */
function step(part: FastSequence, { levels, pulsed }: FastVector): boolean {
  if (!part.apply(levels)) return false
  if (pulsed === 0) return true
  if (pulsed & (pulsed - 1)) return false
  for (let edge = 0; edge < 2; edge++) {
    part.turned(31 - Math.clz32(pulsed), turned)
    if (!part.apply(turned)) return false
  }
  return true
}

/** Scratch of `step`. */
const turned: AppliedWords = { low: 0, high: 0, nothing: 0, unsteady: 0 }

/** The first vector from a place on in which a change of terms changes a sum. */
function firstTouched(path: SoundPath, changes: readonly TermChange[], from: number): number {
  const { ends, unknown } = path
  for (let at = from; at < ends.length; at++) {
    if (unknown[at] === 1) return at
    for (let moment = at === 0 ? 0 : ends[at - 1]!; moment < ends[at]!; moment += 4)
      if (changes.some((change) => touches(path.moments, change, moment))) return at
  }
  return ends.length
}

/** Whether changes of terms change a sum at one of some moments. */
export function touchesIn(moments: readonly number[], changes: readonly TermChange[]): boolean {
  for (let moment = 0; moment < moments.length; moment += 4)
    if (changes.some((change) => touches(moments, change, moment))) return true
  return false
}

/** Whether a changed term changes its sum, which it does not where another one holds that at 1. */
function touches(moments: readonly number[], { place, old, next }: TermChange, moment: number): boolean {
  // The other terms are asked, not this one: it may be the changed one already.
  if (evaluateTerm(old, moments, moment) === evaluateTerm(next, moments, moment)) return false
  return !isCovered(place.expression, place.at, { planes: moments, moment })
}

/** The first vector that shows a changed row, on the fast evaluator; null where the reference must tell. */
function runFast(runs: FaultRuns, row: number, literals: readonly number[]): number | null {
  const { changeable, vectors, path } = runs
  if (!changeable || !vectors || !path) return null
  const changes = termChanges(changeable, row, literals)
  return withChangedRow(changeable, row, {
    literals,
    work: (fast) => {
      // Wiring that runs in a circle may keep what it had, though its terms read the same once all is quiet.
      if (!fast) return null
      const first = firstTouched(path, changes, 0)
      if (first === vectors.length) return -1
      const part = startFast(fast, changeable, runs.reading.registers)
      const state = new Int32Array(STATE_WORDS)
      for (let at = first; at < vectors.length; at = firstTouched(path, changes, at)) {
        part.loadState(path.states, STATE_WORDS * at)
        do {
          const vector = vectors[at++]!
          if (!step(part, vector)) return null
          if (judgeFast(part, vector)) return vector.index
          part.saveState(state, 0)
        } while (at < vectors.length && state.some((word, i) => word !== path.states[STATE_WORDS * at + i]))
      }
      return -1
    },
  })
}

/** Whether a vector shows what the part does to be wrong. */
function judgeFast(part: FastSequence, { judged, expected }: FastVector): boolean {
  return judged.some((pin, i) => outcomeOf(expected[i]!, part.lookSurely(pin), false) === 'failed')
}
