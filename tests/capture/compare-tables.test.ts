/** Two tables row by row, against a comparison of single levels; seeded random tables with X and Z. */
import { describe, expect, test } from 'vitest'
import { compareTables, levelInTable, type TruthTable } from '../../src/logic'
import { pulledTable } from '../../src/jobs/table/part-levels'
import { seededRandom, type Random } from '../parts/random-designs'
import { bit, tableOf, upTo } from './images'

const INPUTS = [0, 1, 3, 5, 6, 8] as const

/** A table like another but for some levels of some rows; X and Z among them where `open`. */
function disturbed(random: Random, table: TruthTable, open: boolean): TruthTable {
  const [ones, opens] = [table.ones, table.open].map((lines) => lines.map((words) => words.slice())) as [
    Int32Array[],
    Int32Array[],
  ]
  for (const row of upTo(table.rowCount)) {
    if (random(4) > 0) continue
    const output = random(table.outputs.length)
    ones[output]![row >> 5]! ^= 1 << (row % 32)
    if (open && random(2)) opens[output]![row >> 5]! ^= 1 << (row % 32)
  }
  return { ...table, ones, open: opens }
}

const maskOf = (rows: readonly number[], count: number): Int32Array => {
  const words = new Int32Array(Math.max(1, count / 32))
  for (const row of rows) words[row >> 5]! |= 1 << (row % 32)
  return words
}

describe.each(INPUTS)('%i inputs', (inputs) => {
  test.each(upTo(12))('every count, first row and product is that of single levels, random tables %i', (i) => {
    const seed = 81_500 + 20 * inputs + i
    const random = seededRandom(seed)
    const rowCount = 2 ** inputs
    const rows = upTo(rowCount)
    const base = tableOf(inputs, 3, (row) => (row * 5) ^ (row >> 2))
    const [a, b] = [disturbed(random, base, i % 2 === 1), disturbed(random, base, i % 2 === 1)]
    const left = rows.filter(() => random(5) === 0)
    const own = upTo(3).map((output) => (output === 1 ? null : rows.filter(() => random(5) === 0)))
    const result = compareTables(a, b, {
      ignore: maskOf(left, rowCount),
      ignoreByOutput: own.map((list) => list && maskOf(list, rowCount)),
      maxRows: 5,
    })
    expect(result).toMatchObject({ rowCount, ignoredRows: left.length })
    for (const output of upTo(3)) {
      const judged = rows.filter((row) => !left.includes(row) && !own[output]?.includes(row))
      const levels = (row: number): [string, string] => [levelInTable(a, output, row), levelInTable(b, output, row)]
      const open = judged.filter((row) => levels(row).includes('X'))
      const differing = judged.filter((row) => !open.includes(row) && levels(row)[0] !== levels(row)[1])
      const found = result.outputs[output]!
      // An output of which no row is judged is not equal.
      const isOpen = open.length > 0 || judged.length === 0
      const relation = differing.length > 0 ? 'different' : isOpen ? 'undecided' : 'equivalent'
      expect(found, `seed ${seed} output ${output}`).toMatchObject({
        relation,
        differingRows: differing.length,
        openRows: open.length,
        firstRows: differing.slice(0, 5),
      })
      if (differing.length === 0) expect(found.differsWhere).toBeNull()
      else {
        const { products, complete } = found.differsWhere!
        const covered = (row: number): boolean =>
          products.some((product) =>
            Object.entries(product).every(([pin, level]) => bit(row, Number(pin) - 1) === level),
          )
        // Judged rows that do not differ are never covered, and those that do are, where the description is complete.
        expect(
          judged.filter((row) => covered(row) && !differing.includes(row)),
          `seed ${seed} output ${output}`,
        ).toEqual([])
        if (complete) expect(differing.filter((row) => !covered(row))).toEqual([])
      }
    }
  })
})

test('without a description only counts and rows are given', () => {
  const [a, b] = [tableOf(3, 1, () => 0), tableOf(3, 1, (row) => (row === 6 ? 1 : 0))]
  expect(compareTables(a, b, { describe: false }).outputs).toEqual([
    { pin: 101, relation: 'different', differingRows: 1, openRows: 0, firstRows: [6], differsWhere: null },
  ])
  for (const options of [{}, { describe: true }])
    expect(compareTables(a, b, options).outputs[0]!.differsWhere).toMatchObject({ text: '¬p1 ∧ p2 ∧ p3' })
})

test('a read with pull-ups and one with pull-downs: off where both follow them, X where one is open or goes against', () => {
  const LEVELS = ['0', '1', 'X', 'Z'] as const
  /** One output, and a row for each pair of levels. */
  const readOf = (levelAt: (row: number) => string): TruthTable => {
    const bits = (levels: string): Int32Array => maskOf(upTo(16).filter((row) => levels.includes(levelAt(row))), 16)
    return { ...tableOf(4, 1, () => 0), ones: [bits('1X')], open: [bits('XZ')] }
  }
  const [up, down] = [readOf((row) => LEVELS[row >> 2]!), readOf((row) => LEVELS[row & 3]!)]
  const expected = (high: string, low: string): string => {
    if ([high, low].some((level) => 'XZ'.includes(level))) return 'X'
    return high === low ? high : high === '1' ? 'Z' : 'X'
  }
  const pulled = pulledTable(up, down)
  expect(upTo(16).map((row) => levelInTable(pulled, 0, row))).toEqual(
    LEVELS.flatMap((high) => LEVELS.map((low) => expected(high, low))),
  )
})

test('tables of other sizes are the caller’s mistake', () => {
  expect(() =>
    compareTables(
      tableOf(3, 1, () => 0),
      tableOf(4, 1, () => 0),
    ),
  ).toThrow(RangeError)
  expect(() =>
    compareTables(
      tableOf(3, 1, () => 0),
      tableOf(3, 2, () => 0),
    ),
  ).toThrow(RangeError)
})

test('tables without an output, or without a row that is judged, are not called equal', () => {
  const none = tableOf(2, 0, () => 0)
  expect(compareTables(none, none).relation).toBe('not-comparable')
  const table = tableOf(2, 1, (row) => row & 1)
  expect(compareTables(table, table).relation).toBe('equivalent')
  expect(compareTables(table, table, { ignore: Int32Array.of(15) }).relation).toBe('not-comparable')
  expect(compareTables(table, table, { ignoreByOutput: [Int32Array.of(15)] }).relation).toBe('undecided')
})
