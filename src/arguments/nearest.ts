/** The nearest of the known words to one that is not known. */

/** Single letters that are put in, left out, changed, or exchanged with their neighbour between two words. */
export function editDistance(a: string, b: string): number {
  const rows = [Array.from({ length: b.length + 1 }, (_, i) => i)]
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const changed = rows[i - 1]![j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)
      const swapped =
        i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1] ? rows[i - 2]![j - 2]! + 1 : Infinity
      row.push(Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, changed, swapped))
    }
    rows.push(row)
  }
  return rows[a.length]![b.length]!
}

/** Longest word that is compared; the longest part number on a chip has some twenty characters. */
const MAX_WORD = 40

/**
 * The known words at the least distance of letters from one that is not known, case apart; none where that distance is
 * more than a third of the word (and more than 2).
 *
 * @param word the word as given
 * @param known the words that there are
 * @returns the nearest, all of one distance; empty where all are far
 * @throws TypeError for anything but strings
 * @example nearestWords('16V9', ['16V8', '20V8']) // ['16V8']
 */
export function nearestWords(word: string, known: readonly string[]): readonly string[] {
  if (typeof word !== 'string') throw new TypeError('word must be a string')
  if (!Array.isArray(known) || known.some((each) => typeof each !== 'string'))
    throw new TypeError('known must be a list of strings')
  if (word.length > MAX_WORD) return []
  const distances = known.map((each) => editDistance(word.toLowerCase(), each.toLowerCase()))
  const least = Math.min(...distances)
  return least > Math.max(2, Math.floor(word.length / 3)) ? [] : known.filter((_, i) => distances[i] === least)
}
