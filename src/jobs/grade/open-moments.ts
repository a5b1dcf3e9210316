/** Moments of a part, as a trace of the fast evaluator notes them, asked for what changes of terms do there. */
import type { ChangeableLogic, TermChange } from '../../logic/changed-terms'
import { evaluateTerm, isCovered, type TermPlace } from '../../logic/masks'
import { onesInWord } from '../../logic/words'

/** Four words a moment: pins that can read 0 or 1, registers whose Q can be 0 or 1. */
const MOMENT_WORDS = 4

/**
 * Of the 44 faults of a row most touch nothing for one reason: another term holds the sum, or two literals hold the
 * term at 0. That is found once a row.
 */
export class OpenMoments {
  readonly #changeable: ChangeableLogic
  readonly #moments: readonly number[]
  readonly #open = new Map<number, readonly number[]>()

  constructor(changeable: ChangeableLogic, traced: readonly number[]) {
    this.#changeable = changeable
    this.#moments = differentMoments(traced)
  }

  /** Whether a row with one literal put in or taken out changes a sum at some moment. */
  touches(row: number, changes: readonly TermChange[]): boolean {
    let open = this.#open.get(row)
    if (!open) this.#open.set(row, (open = this.#openOf(this.#changeable.places.get(row) ?? [])))
    return open.some((moment) => changes.some((change) => this.#touchesAt(change, moment)))
  }

  #openOf(places: readonly TermPlace[]): number[] {
    const open: number[] = []
    for (let moment = 0; moment < this.#moments.length; moment += MOMENT_WORDS)
      if (places.some((place) => this.#isOpen(place, moment))) open.push(moment)
    return open
  }

  #isOpen({ expression, at }: TermPlace, moment: number): boolean {
    const { terms } = expression
    const planes = this.#moments
    const a = terms[at]! & ~planes[moment + 1]!
    const b = terms[at + 1]! & ~planes[moment]!
    const c = terms[at + 2]! & ~planes[moment + 3]!
    const d = terms[at + 3]! & ~planes[moment + 2]!
    const zeros = onesInWord(a) + onesInWord(b) + onesInWord(c) + onesInWord(d)
    return zeros < 2 && !isCovered(expression, at, { planes, moment })
  }

  #touchesAt({ place, old, next }: TermChange, moment: number): boolean {
    const planes = this.#moments
    if (evaluateTerm(old, planes, moment) === evaluateTerm(next, planes, moment)) return false
    return !isCovered(place.expression, place.at, { planes, moment })
  }
}

function differentMoments(traced: readonly number[]): number[] {
  const moments: number[] = []
  const met = new Set<string>()
  for (let at = 0; at < traced.length; at += MOMENT_WORDS) {
    const words = traced.slice(at, at + MOMENT_WORDS)
    const key = words.join()
    if (met.has(key)) continue
    met.add(key)
    moments.push(...words)
  }
  return moments
}
