/** One level of a truth table. */
import { checkedTable } from './checked-table'
import type { TruthTable } from './truth-table'

/**
 * Level of an output in a row: `0`, `1`, `Z` (off), or `X` where unlisted inputs, a loop or an undefined cell decide.
 *
 * @param table a truth table
 * @param output place of the output among the columns, from 0
 * @param row number of the row, from 0
 * @returns `0`, `1`, `X` or `Z`
 * @throws TypeError for what is no table, RangeError for a place outside it
 * @example levelInTable(table, 0, 7) // '1'
 */
export function levelInTable(table: TruthTable, output: number, row: number): '0' | '1' | 'X' | 'Z' {
  // Called once a row: the cheapest look comes first.
  if (!Array.isArray(table?.ones)) checkedTable(table, 'table')
  if (!table.outputs[output]) throw new RangeError(`output ${String(output)} is none of the ${table.outputs.length}`)
  if (!(Number.isInteger(row) && row >= 0 && row < table.rowCount))
    throw new RangeError(`row ${String(row)} lies outside the ${table.rowCount} rows`)
  const bit = (words: Int32Array): number => (words[row >>> 5]! >>> (row & 31)) & 1
  return bit(table.open[output]!) ? (bit(table.ones[output]!) ? 'X' : 'Z') : bit(table.ones[output]!) ? '1' : '0'
}
