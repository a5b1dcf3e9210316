/** Sets of rows, a bit a row, against lists of their numbers: counted, listed, as diagrams; and levels in a row. */
import { expect, test } from 'vitest'
import { countBits, diagramOfRows, firstBits } from '../../src/jobs/table/compare-tables'
import { levelInTable } from '../../src/jobs/table/level-in-table'
import type { TruthTable } from '../../src/jobs/table/truth-table'
import { createDiagrams } from '../../src/logic/diagrams'
import { seededRandom } from '../parts/random-designs'

/** Random rows among 2 to the columns; blocks of 8 to 64 of them are all in the set, or all out of it. */
function randomRows(columns: number, seed: number): number[] {
  const random = seededRandom(seed)
  const block = 2 ** (3 + random(4))
  const kinds = Array.from({ length: Math.ceil(2 ** columns / block) }, () => random(4))
  return Array.from({ length: 2 ** columns }, (_, row) => row).filter((row) => {
    const kind = kinds[Math.floor(row / block)]!
    return kind === 0 || (kind > 1 && random(3) === 0)
  })
}

const wordsOf = (rows: readonly number[], columns: number): Int32Array => {
  const words = new Int32Array(Math.ceil(2 ** columns / 32))
  for (const row of rows) words[Math.floor(row / 32)]! += 2 ** (row % 32)
  return words
}

test('levels are those of the rows that there are, and of no other', () => {
  // 1 where `ones` has the row; off or, with both, unknown where `open` has it.
  const table = { rowCount: 4, inputs: [], outputs: [{}], ones: [Int32Array.of(0b1010)], open: [Int32Array.of(0b1100)] }
  const level = (row: number, output = 0): string => levelInTable(table as unknown as TruthTable, output, row)
  expect([0, 1, 2, 3].map((row) => level(row))).toEqual(['0', '1', 'Z', 'X'])
  for (const row of [-1, 4, 5, 0.5, NaN]) expect(() => level(row)).toThrow(RangeError)
  for (const output of [-1, 1]) expect(() => level(0, output)).toThrow(RangeError)
})

test.each([1, 2, 4, 5, 6, 7, 8])('of %i columns', (columns) => {
  for (let seed = 0; seed < 8; seed++) {
    const rows = randomRows(columns, 100 * columns + seed)
    const words = wordsOf(rows, columns)
    expect(countBits(words), `seed ${seed}`).toBe(rows.length)
    for (const limit of [0, 1, 2, 31, 33, 300]) expect(firstBits(words, limit)).toEqual(rows.slice(0, limit))
    const d = createDiagrams(columns)
    const f = diagramOfRows(d, words)
    // Variable 0 is the most significant column of a row.
    const isIn = (row: number): boolean =>
      d.evaluate(f, Array.from({ length: columns }, (_, i) => Math.floor(row / 2 ** (columns - 1 - i)) % 2)) === 1
    expect(Array.from({ length: 2 ** columns }, (_, row) => row).filter(isIn), `seed ${seed}`).toEqual(rows)
  }
})
