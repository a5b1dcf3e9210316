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

/** Longest word that is compared; the longest name of an option has fourteen letters. */
const MAX_WORD = 40

/** The words at the least distance, where that is at most a third of the word (at least 2); else none. */
export function nearestWords(word: string, known: readonly string[]): readonly string[] {
  if (word.length > MAX_WORD) return []
  const distances = known.map((each) => editDistance(word.toLowerCase(), each.toLowerCase()))
  const least = Math.min(...distances)
  return least > Math.max(2, Math.floor(word.length / 3)) ? [] : known.filter((_, i) => distances[i] === least)
}

/** What is added to a refusal: `; did you mean X?`, or where to look. */
export function nearestHint(word: string, known: readonly string[], otherwise: string): string {
  const near = nearestWords(word, known)
  return near.length === 0 ? otherwise : `did you mean ${near.slice(0, 3).join(' or ')}?`
}
