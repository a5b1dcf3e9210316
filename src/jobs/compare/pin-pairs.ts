/** Which pins of two parts belong together, and input patterns, as a caller states them. */
import { checkedDocument } from '../../arguments/document'
import type { RowPattern } from './dont-care'

/** Pin of the other part for each pin of the first, by number. */
export type PinPairs = Readonly<Record<string, number>>

/** Pairs as stated; throws unless each pin is named at most once on each side. */
export function checkedPinPairs(given: unknown, path: string): PinPairs {
  const pairs = checkedDocument<PinPairs>(given, { byPin: { whole: [1, 999] } }, path)
  const others = Object.values(pairs)
  if (new Set(others).size !== others.length) throw new RangeError(`${path} leads two pins to one`)
  return pairs
}

/** Patterns as stated; throws unless each gives levels to pins. */
export function checkedPatterns(given: unknown, path: string): readonly RowPattern[] {
  return checkedDocument(given, { list: { byPin: { words: [0, 1] } } }, path)
}

/**
 * Names for the pins of the other part: those of the pins that they belong to; pins of equal number belong together
 * where nothing is stated about either.
 */
export function namesOfOther(
  pairs: PinPairs,
  pinCounts: { readonly first: number; readonly other: number },
): ReadonlyMap<number, string> {
  const names = new Map(Object.entries(pairs).map(([pin, other]) => [other, pin]))
  if (pinCounts.first === pinCounts.other)
    for (let pin = 1; pin <= pinCounts.other; pin++)
      if (!names.has(pin) && !(String(pin) in pairs)) names.set(pin, String(pin))
  return names
}
