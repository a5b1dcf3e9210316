/** Which pins of two parts belong together, and input patterns, as a caller states them. */
import type { RowPattern } from './dont-care'

/** Pin of the other part for each pin of the first, by number. */
export type PinPairs = Readonly<Record<string, number>>

/** Throws TypeError or RangeError naming the argument unless each pin is named at most once on each side. */
export function checkedPinPairs(pairs: unknown, name: string): PinPairs {
  if (typeof pairs !== 'object' || pairs === null || Array.isArray(pairs))
    throw new TypeError(`${name} must be an object of pins, like { "2": 1 }`)
  for (const [pin, other] of Object.entries(pairs)) {
    if (!/^[1-9]\d{0,2}$/.test(pin)) throw new RangeError(`${name}: “${pin}” is no pin number`)
    if (!Number.isSafeInteger(other) || other < 1) throw new RangeError(`${name}.${pin} must be a pin number`)
  }
  const others = Object.values(pairs)
  if (new Set(others).size !== others.length) throw new RangeError(`${name} leads two pins to one`)
  return pairs as PinPairs
}

/** Throws TypeError or RangeError naming the argument unless each pattern gives levels to pins. */
export function checkedPatterns(patterns: unknown, name: string): readonly RowPattern[] {
  if (!Array.isArray(patterns)) throw new TypeError(`${name} must be a list of patterns, like [{ "2": 0, "3": 1 }]`)
  patterns.forEach((pattern: unknown, i) => {
    if (typeof pattern !== 'object' || pattern === null || Array.isArray(pattern))
      throw new TypeError(`${name}[${i}] must be an object of levels by pin`)
    for (const [pin, level] of Object.entries(pattern)) {
      if (!/^[1-9]\d{0,2}$/.test(pin)) throw new RangeError(`${name}[${i}]: “${pin}” is no pin number`)
      if (level !== 0 && level !== 1) throw new RangeError(`${name}[${i}].${pin} must be 0 or 1`)
    }
  })
  return patterns as readonly RowPattern[]
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
