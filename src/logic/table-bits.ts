/** Rows of a table as bits, 32 to a word: lines taken out of an image, and rows moved as their columns are. */

import { COLUMN_BITS } from './words'

/** A bit a row for each of eight neighbouring lines: of the bytes `offset`, `offset` + `step` … of an image. */
export function linesOfBytes(
  image: Uint8Array,
  { offset, step, rowCount }: { readonly offset: number; readonly step: number; readonly rowCount: number },
): Int32Array[] {
  const lines = Array.from({ length: 8 }, () => new Int32Array(Math.ceil(rowCount / 32)))
  const [line0, line1, line2, line3, line4, line5, line6, line7] = lines as [
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
  ]
  for (let row = 0; row < rowCount; row += 8) {
    // A square of 8 × 8 bits is turned, rows to lines, by exchanging blocks of 1, 2 and 4 across its diagonal.
    const at = row * step + offset
    const low = exchanged(fourBytes(image, at, step))
    const high = exchanged(fourBytes(image, at + 4 * step, step))
    const lines0to3 = (low & 0x0f0f0f0f) | ((high & 0x0f0f0f0f) << 4)
    const lines4to7 = ((low >>> 4) & 0x0f0f0f0f) | (high & 0xf0f0f0f0)
    const [word, shift] = [row >>> 5, row & 24]
    line0[word]! |= (lines0to3 & 255) << shift
    line1[word]! |= ((lines0to3 >>> 8) & 255) << shift
    line2[word]! |= ((lines0to3 >>> 16) & 255) << shift
    line3[word]! |= (lines0to3 >>> 24) << shift
    line4[word]! |= (lines4to7 & 255) << shift
    line5[word]! |= ((lines4to7 >>> 8) & 255) << shift
    line6[word]! |= ((lines4to7 >>> 16) & 255) << shift
    line7[word]! |= (lines4to7 >>> 24) << shift
  }
  return lines
}

/** Past the end of the image there is nothing, which is 0 to these operators. */
function fourBytes(bytes: Uint8Array, at: number, step: number): number {
  return bytes[at]! | (bytes[at + step]! << 8) | (bytes[at + 2 * step]! << 16) | (bytes[at + 3 * step]! << 24)
}

function exchanged(rows: number): number {
  const single = (rows ^ (rows >>> 7)) & 0x00aa00aa
  const paired = rows ^ single ^ (single << 7)
  const double = (paired ^ (paired >>> 14)) & 0x0000cccc
  return paired ^ double ^ (double << 14)
}

/**
 * The rows with the level of a column turned round: row r holds what the row that differs from it in that column
 * held.
 */
export function turnedColumn(rows: Int32Array, column: number): Int32Array {
  if (column >= COLUMN_BITS.length) return rows.map((_, i) => rows[i ^ (1 << (column - COLUMN_BITS.length))]!)
  const [high, by] = [COLUMN_BITS[column]!, 1 << column]
  return rows.map((word) => ((word & high) >>> by) | ((word << by) & high))
}

/** Half the rows: those in which a column has a level, in their order. */
export function halfOf(
  rows: Int32Array,
  column: number,
  given: { readonly level: 0 | 1; readonly rowCount: number },
): Int32Array {
  const half = new Int32Array(Math.ceil(given.rowCount / 64))
  for (let to = 0; to < given.rowCount / 2; to++) {
    const from = ((to >>> column) << (column + 1)) | (given.level << column) | (to & ((1 << column) - 1))
    half[to >>> 5]! |= ((rows[from >>> 5]! >>> (from & 31)) & 1) << (to & 31)
  }
  return half
}

/** Sets the rows of a pattern: levels by column. */
export function setPattern(rows: Int32Array, levels: ReadonlyMap<number, 0 | 1>): void {
  let [bits, fixed, value] = [-1, 0, 0]
  for (const [column, level] of levels) {
    if (column < COLUMN_BITS.length) bits &= level ? COLUMN_BITS[column]! : ~COLUMN_BITS[column]!
    else {
      fixed |= 1 << (column - COLUMN_BITS.length)
      value |= level << (column - COLUMN_BITS.length)
    }
  }
  // Counts in the places that the pattern leaves free.
  for (let word = value; word < rows.length; word = (((word | fixed) + 1) & ~fixed) | value) rows[word]! |= bits
}

/** Sets rows `first` to `last`, both included. */
export function setRange(rows: Int32Array, first: number, last: number): void {
  for (let row = first; row <= last;) {
    if ((row & 31) === 0 && last - row >= 31) {
      rows[row >>> 5] = -1
      row += 32
    } else {
      rows[row >>> 5]! |= 1 << (row & 31)
      row++
    }
  }
}

/**
 * Whether a column makes no difference in the judged rows: no two rows that differ in it alone, both judged, differ.
 */
export function isIdle(rows: Int32Array, judged: Int32Array, column: number): boolean {
  const [step, by] = [column < COLUMN_BITS.length ? 0 : 1 << (column - COLUMN_BITS.length), 1 << column]
  for (let i = 0; i < rows.length; i++) {
    if (step !== 0) {
      if ((i & step) === 0 && ((rows[i]! ^ rows[i + step]!) & judged[i]! & judged[i + step]!) !== 0) return false
    } else if ((((rows[i]! >>> by) ^ rows[i]!) & ~COLUMN_BITS[column]! & judged[i]! & (judged[i]! >>> by)) !== 0)
      return false
  }
  return true
}
