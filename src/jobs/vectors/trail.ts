/**
 * The way of a run through its vectors, for runs of other readings: where one comes to the same state, with nothing
 * open to its reading from there on, the rest is the same. Most vectors set every register soon.
 */
import { STATE_WORDS } from '../../logic/fast-sequence'
import type { PartSequence } from '../../logic/part-sequence'
import type { Reading, VectorCounts, VectorOutcome, VectorSet } from './run-vectors'

/** True when a default vector, all X, is applied before vector `index` of the set. */
export function isAfterGap({ vectors }: VectorSet, index: number): boolean {
  return vectors[index]!.number > (vectors[index - 1]?.number ?? 0) + 1
}

/** Most states that are kept: keeping each of many took an eighth of a run, and others run few vectors more for it. */
const MAX_STATES = 1024

const OUTCOMES: readonly VectorOutcome[] = ['passed', 'failed', 'undetermined']

/** States after vectors of one run, and the outcomes of all. */
export class Trail {
  readonly #reading: Reading
  readonly #states: Int32Array
  /** 1 where the fast evaluator had that state. */
  readonly #known: Uint8Array
  /** 0 for a vector that could not be read, else one more than the place in `OUTCOMES`. */
  readonly #outcomes: Uint8Array
  #count = 0
  /** The state is kept after one vector in so many. */
  readonly #stride: number
  /** Index of the last vector with or after an X, which readings take differently. */
  readonly lastOpen: number
  readonly #here = new Int32Array(STATE_WORDS)

  constructor(set: VectorSet, reading: Reading) {
    this.#reading = reading
    this.#stride = Math.max(1, Math.ceil(set.vectors.length / MAX_STATES))
    const kept = Math.ceil(set.vectors.length / this.#stride)
    this.#states = new Int32Array(kept * STATE_WORDS)
    this.#known = new Uint8Array(kept)
    this.#outcomes = new Uint8Array(set.vectors.length)
    let last = set.vectors.length - 1
    while (last >= 0 && !set.vectors[last]!.conditions?.includes('X') && !isAfterGap(set, last)) last--
    this.lastOpen = last
  }

  /** Notes the outcome of the next vector and the state that it leaves. */
  note(part: PartSequence, outcome: VectorOutcome | null): void {
    const index = this.#count++
    this.#outcomes[index] = outcome === null ? 0 : 1 + OUTCOMES.indexOf(outcome)
    if (index % this.#stride > 0) return
    const at = index / this.#stride
    this.#known[at] = part.saveState(this.#states, at * STATE_WORDS) ? 1 : 0
  }

  /** Outcomes of all vectors after `index`, where a run that is there goes on as this one did; else null. */
  rest(part: PartSequence, place: { readonly index: number; readonly reading: Reading }): VectorCounts | null {
    const { index, reading } = place
    if (index % this.#stride > 0) return null
    const at = index / this.#stride
    if (reading.order !== this.#reading.order || (reading.x !== this.#reading.x && index < this.lastOpen)) return null
    if (this.#known[at] === 0 || !part.saveState(this.#here, 0)) return null
    for (let word = 0; word < STATE_WORDS; word++)
      if (this.#here[word] !== this.#states[at * STATE_WORDS + word]) return null
    const counts = { passed: 0, failed: 0, undetermined: 0 }
    const tally = [0, 0, 0, 0]
    for (let later = index + 1; later < this.#count; later++) tally[this.#outcomes[later]!]!++
    OUTCOMES.forEach((outcome, i) => (counts[outcome] = tally[i + 1]!))
    return counts
  }
}
