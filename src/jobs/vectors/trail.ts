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

/** States after the vectors of one run, and their outcomes; null for a vector that could not be read. */
export class Trail {
  readonly #reading: Reading
  readonly #states: Int32Array
  /** 1 where the fast evaluator had the state after that vector. */
  readonly #known: Uint8Array
  readonly #outcomes: (VectorOutcome | null)[] = []
  /** Index of the last vector with or after an X, which readings take differently. */
  readonly #lastOpen: number
  readonly #here = new Int32Array(STATE_WORDS)

  constructor(set: VectorSet, reading: Reading) {
    this.#reading = reading
    this.#states = new Int32Array(set.vectors.length * STATE_WORDS)
    this.#known = new Uint8Array(set.vectors.length)
    this.#lastOpen = set.vectors.reduce(
      (last, { conditions }, i) => (conditions?.includes('X') || isAfterGap(set, i) ? i : last),
      -1,
    )
  }

  /** Notes the outcome of the next vector and the state that it leaves. */
  note(part: PartSequence, outcome: VectorOutcome | null): void {
    const index = this.#outcomes.push(outcome) - 1
    this.#known[index] = part.saveState(this.#states, index * STATE_WORDS) ? 1 : 0
  }

  /** Outcomes of all vectors after `index`, where a run that is there goes on as this one did; else null. */
  rest(part: PartSequence, at: { readonly index: number; readonly reading: Reading }): VectorCounts | null {
    const { index, reading } = at
    if (reading.order !== this.#reading.order || (reading.x !== this.#reading.x && index < this.#lastOpen)) return null
    if (this.#known[index] === 0 || !part.saveState(this.#here, 0)) return null
    for (let word = 0; word < STATE_WORDS; word++)
      if (this.#here[word] !== this.#states[index * STATE_WORDS + word]) return null
    const counts = { passed: 0, failed: 0, undetermined: 0 }
    for (let later = index + 1; later < this.#outcomes.length; later++) {
      const outcome = this.#outcomes[later]
      if (outcome) counts[outcome]++
    }
    return counts
  }
}
