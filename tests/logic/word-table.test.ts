/** Outputs over whole words of rows where pins are held: on in every row, off in every row, as a column is. */
import { expect, test } from 'vitest'
import type { Expression, Logic } from '../../src/logic/logic'
import { wordTable, type WordColumns } from '../../src/logic/word-table'

const sumOf = (...terms: readonly number[][]): Expression => ({
  sums: [terms.map((literals) => ({ literals, origin: 0 }))],
  inverted: false,
})

/** Pin 8 shows p2 while it is on. */
const shown = (enable: Expression, given: Partial<WordColumns>) => {
  const logic: Logic = {
    pinCount: 8,
    supplyPins: [],
    signals: [2, 3, 4].map((pin) => ({ kind: 'pin', pin })),
    cells: [{ pin: 8, name: '8', defined: true, enable, value: sumOf([0]), register: null }],
  }
  const columns = new Map([[2, 0]])
  return wordTable(logic, [0], { columns, held: new Map(), words: 1, ...given })
}

// Bit k of a row number in 32 rows: column 0 is 1 in every second row, column 1 in every second pair.
const [COLUMN_0, COLUMN_1] = [0xaaaaaaaa | 0, 0xcccccccc | 0]
const value = Int32Array.of(COLUMN_0)

test.each([
  ['held high', sumOf([2]), 1, null],
  ['held low', sumOf([2]), 0, Int32Array.of(0)],
  ['its complement, held high', sumOf([3]), 1, Int32Array.of(0)],
  ['its complement, held low', sumOf([3]), 0, null],
  ['one of two terms that a held pin makes', sumOf([2], [0]), 1, null],
  ['the other term', sumOf([2], [0]), 0, Int32Array.of(COLUMN_0)],
  ['held high with a column', sumOf([2, 0]), 1, Int32Array.of(COLUMN_0)],
  ['inverted, held low', { ...sumOf([2]), inverted: true }, 0, Int32Array.of(-1)],
  ['inverted, held high', { ...sumOf([2]), inverted: true }, 1, Int32Array.of(0)],
] as const)('an enable that is %s', (_, enable, level, expected) => {
  expect(shown(enable, { held: new Map([[3, level]]) })).toEqual([{ enable: expected, value }])
})

test('an enable that is a column, and one of no known level', () => {
  const columns = new Map([
    [2, 0],
    [3, 1],
  ])
  expect(shown(sumOf([2]), { columns })).toEqual([{ enable: Int32Array.of(COLUMN_1), value }])
  expect(shown(sumOf([2]), {})).toBeNull()
})
