/** Rows as bits, 32 to a word, against lists of one value a row: every small table, every column, every pattern. */
import { describe, expect, test } from 'vitest'
import { halfOf, isIdle, linesOfBytes, setPattern, setRange, turnedColumn } from '../../src/logic/table-bits'
import { COLUMN_BITS, onesInWord, wordMask } from '../../src/logic/words'
import { seededRandom } from '../parts/random-designs'

const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)
const bitOf = (number: number, place: number): number => Math.floor(number / 2 ** place) % 2
const listOf = (rows: Int32Array): number[] =>
  upTo(32 * rows.length).map((row) => bitOf(rows[row >> 5]! >>> 0, row % 32))
/** Rows of a list as words, bit by bit. */
const wordsOf = (rows: readonly number[]): Int32Array =>
  Int32Array.from(upTo(Math.ceil(rows.length / 32)), (word) =>
    upTo(32).reduce((sum, row) => sum + (rows[32 * word + row] ?? 0) * 2 ** row, 0),
  )
const random = seededRandom(32)
const randomRows = (count: number): number[] => upTo(count).map(() => random(2))
/** Columns of the largest tables here: five within a word, two across words. */
const COLUMNS = 7
const ROWS = 2 ** COLUMNS

test('columns of a word, words of a small table, ones of a word', () => {
  for (const column of upTo(5))
    expect(listOf(Int32Array.of(COLUMN_BITS[column]!))).toEqual(upTo(32).map((row) => bitOf(row, column)))
  expect(COLUMN_BITS).toHaveLength(5)
  for (const count of upTo(40))
    expect(listOf(Int32Array.of(wordMask(count))), `${count} rows`).toEqual(upTo(32).map((row) => Number(row < count)))
  // A word has a sign.
  expect([wordMask(31), wordMask(32), wordMask(33)]).toEqual([0x7fffffff, -1, -1])
  const words = [0, -1, ...upTo(32).map((bit) => 1 << bit), ...upTo(200).map(() => random(2 ** 32) | 0)]
  for (const word of words) expect(onesInWord(word)).toBe((word >>> 0).toString(2).replaceAll('0', '').length)
})

test('lines of an image: every size, step and offset', () => {
  for (const [size, step] of upTo(9).flatMap((size) => [1, 2, 3].map((step) => [size, step] as const))) {
    const rowCount = 2 ** size
    const image = Uint8Array.from(upTo(rowCount * step), () => random(256))
    const places = upTo(32 * Math.ceil(rowCount / 32))
    for (const offset of upTo(step)) {
      const expected = upTo(8).map((line) =>
        places.map((row) => (row < rowCount ? bitOf(image[row * step + offset]!, line) : 0)),
      )
      const found = linesOfBytes(image, { offset, step, rowCount }).map(listOf)
      expect(found, `${rowCount} rows, ${offset} of ${step}`).toEqual(expected)
    }
  }
})

test('tables of many rows have a word for 32 of them each', () => {
  const [rowCount, half] = [2 ** 13, 2 ** 12]
  const image = new Uint8Array(rowCount).fill(255)
  for (const line of linesOfBytes(image, { offset: 0, step: 1, rowCount }))
    expect([...line]).toEqual(Array(rowCount / 32).fill(-1))
  const rows = new Int32Array(rowCount / 32).fill(-1)
  expect([...halfOf(rows, 3, { level: 1, rowCount })]).toEqual(Array(half / 32).fill(-1))
})

describe('columns of tables of all sizes', () => {
  test.each(upTo(COLUMNS).map((column) => 1 + column))('%i columns', (columns) => {
    const rows = randomRows(2 ** columns)
    // What stands past the last row of a small table belongs to no half of it.
    const words = wordsOf(rows).map((word) => (rows.length < 32 ? word | (-1 << rows.length) : word))
    for (const column of upTo(columns)) {
      const turned = listOf(turnedColumn(words, column)).slice(0, rows.length)
      expect(turned, `column ${column}`).toEqual(rows.map((_, row) => rows[row ^ (2 ** column)]))
      for (const level of [0, 1] as const) {
        const half = halfOf(words, column, { level, rowCount: rows.length })
        const expected = rows.filter((_, row) => bitOf(row, column) === level)
        expect([...half], `column ${column} at ${level}`).toEqual([...wordsOf(expected)])
      }
    }
  })
})

test('every pattern sets its rows beside those that are set', () => {
  for (let number = 0; number < 3 ** COLUMNS; number++) {
    const levels = new Map<number, 0 | 1>()
    for (const column of upTo(COLUMNS)) {
      const digit = Math.floor(number / 3 ** column) % 3
      if (digit < 2) levels.set(column, digit as 0 | 1)
    }
    const rows = wordsOf(upTo(ROWS).map((row) => Number(row % 11 === 0)))
    setPattern(rows, levels)
    const inPattern = (row: number): boolean => [...levels].every(([column, level]) => bitOf(row, column) === level)
    const wrong = listOf(rows).findIndex((bit, row) => bit !== Number(row % 11 === 0 || inPattern(row)))
    expect(wrong, JSON.stringify([...levels])).toBe(-1)
  }
})

test('every range sets its rows beside those that are set', () => {
  for (const first of upTo(ROWS))
    for (let last = first - 1; last < ROWS; last += last < first ? 1 : 3) {
      const rows = wordsOf(upTo(ROWS).map((row) => Number(row % 13 === 0)))
      setRange(rows, first, last)
      const isSet = (row: number): boolean => row % 13 === 0 || (row >= first && row <= last)
      const wrong = listOf(rows).findIndex((bit, row) => bit !== Number(isSet(row)))
      expect(wrong, `${first} to ${last}`).toBe(-1)
    }
})

test('a column is idle as long as no judged pair of rows that differ in it alone differs', () => {
  for (const column of upTo(COLUMNS)) {
    const same = randomRows(ROWS)
    const alike = same.map((_, row) => same[row & ~(2 ** column)]!)
    const all = wordsOf(alike.map(() => 1))
    expect(isIdle(wordsOf(alike), all, column)).toBe(true)
    for (const row of upTo(ROWS)) {
      const other = row ^ (2 ** column)
      const differing = wordsOf(alike.map((bit, at) => (at === row ? 1 - bit : bit)))
      expect(isIdle(differing, all, column), `row ${row} in column ${column}`).toBe(false)
      for (const left of [row, other]) {
        const judged = wordsOf(alike.map((_, at) => Number(at !== left)))
        expect(isIdle(differing, judged, column), `row ${row} without ${left}`).toBe(true)
      }
    }
  }
})
