/** Rows of tables as bits, 32 to a word: the patterns of columns in a word, what lies in a word, and counts of ones. */

/** Bit k of a row number, for 32 rows in a word. */
export const COLUMN_BITS: readonly number[] = [-1431655766, -858993460, -252645136, -16711936, -65536]

/** The rows of each word that lie in a table of so many rows. */
export function wordMask(rowCount: number): number {
  return rowCount < 32 ? 2 ** rowCount - 1 : -1
}

/** How many bits of a word are 1 (H. S. Warren, Hacker's Delight, the population count by halves). */
export function onesInWord(word: number): number {
  let bits = word - ((word >>> 1) & 0x55555555)
  bits = (bits & 0x33333333) + ((bits >>> 2) & 0x33333333)
  return Math.imul((bits + (bits >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24
}
