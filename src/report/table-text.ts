/** Truth tables as text, as comma-separated values, and as the image that a memory with that content would have. */
import { refusedFor, type Refused } from '../findings/refused'
import type { SavedBytes } from '../fuses/saved-bytes'
import { oneOf, optionsOf, wholeNumber } from '../arguments/arguments'
import { checkedTable } from '../jobs/table/checked-table'
import { levelInTable } from '../jobs/table/level-in-table'
import type { TableColumn, TruthTable } from '../jobs/table/truth-table'
import { wrapText } from './layout'

/** Name of a column: the pin, or `q19` for a register's present state as its pin shows it, `q19+` for the next one. */
function columnName({ kind, pin }: TableColumn, isOutput: boolean): string {
  return kind === 'pin' ? `p${pin}` : `q${pin}${isOutput ? '+' : ''}`
}

function inputLevels(table: TruthTable, row: number): string[] {
  return table.inputs.map((_, k) => String(Math.floor(row / 2 ** k) & 1))
}

function outputLevels(table: TruthTable, row: number): string[] {
  return table.outputs.map((_, i) => levelInTable(table, i, row))
}

/** How much of a table is shown. */
export interface TableTextOptions {
  /** Most rows, from row 0 (default all); how many there are is told in any case. */
  readonly maxRows?: number
  /** Columns of the screen, at which the lines above the rows are broken (default 80). */
  readonly width?: number
}

/**
 * Columns with their levels, a line a row: inputs, a gap, outputs. The first line says how many rows there are.
 *
 * @param table a truth table
 * @param options most rows, width
 * @returns lines, a row each
 * @throws TypeError for what is no table, RangeError for an option out of range
 * @example renderTable(table, { maxRows: 4 }).includes('p17') // true
 */
export function renderTable(table: TruthTable, options: TableTextOptions = {}): string {
  checkedTable(table, 'table')
  const { maxRows = Infinity, width } = optionsOf(options, { maxRows: true, width: true })
  if (options.maxRows !== undefined) wholeNumber(options.maxRows, 'options.maxRows', [0])
  if (width !== undefined) wholeNumber(width, 'options.width', [1])
  const names = [
    table.inputs.map((column) => columnName(column, false)),
    table.outputs.map((column) => columnName(column, true)),
  ] as const
  const line = (inputs: readonly string[], outputs: readonly string[]): string =>
    [
      inputs.map((cell, k) => cell.padStart(names[0][k]!.length)).join(' '),
      outputs.map((cell, i) => cell.padStart(names[1][i]!.length)).join(' '),
    ]
      .join('   ')
      .trimEnd()
  const rows = Array.from({ length: Math.min(table.rowCount, maxRows) }, (_, row) =>
    line(inputLevels(table, row), outputLevels(table, row)),
  )
  const above = [countLine(table.rowCount, rows.length), ...legend(table)].map((text) => wrapText(text, 2, width))
  return [...above, line(names[0], names[1]), ...rows, ''].join('\n')
}

function countLine(count: number, shown: number): string {
  return `${count} ${count === 1 ? 'row' : 'rows'}${shown < count ? `, of which the first ${shown} are shown` : ''}`
}

function legend({ inputs, outputs, unlisted }: TruthTable): string[] {
  const lines: string[] = []
  if ([...inputs, ...outputs].some(({ kind }) => kind === 'state'))
    lines.push('q: state of a register as its enabled pin shows it; q+: the next one, at the rise of its clock')
  if (outputs.some(({ kind }) => kind === 'pin'))
    lines.push('0 1: level while driven; Z: off; X: not fixed by these inputs')
  if (unlisted.length > 0)
    lines.push(
      `not listed, and X where they matter: ${unlisted.map((column) => columnName(column, false)).join(', ')}`,
    )
  return lines
}

/**
 * Comma-separated values (RFC 4180): a header line with the columns' names, then a line a row, each ended by CR LF.
 *
 * @param table a truth table
 * @returns a heading and a line a row, lines ended by CR LF
 * @throws TypeError for what is no table
 * @example tableCsv(table).split('\r\n').length // 10
 */
export function tableCsv(table: TruthTable): string {
  checkedTable(table, 'table')
  const header = [
    ...table.inputs.map((column) => columnName(column, false)),
    ...table.outputs.map((column) => columnName(column, true)),
  ]
  const rows = Array.from({ length: table.rowCount }, (_, row) => [
    ...inputLevels(table, row),
    ...outputLevels(table, row),
  ])
  return [header, ...rows].map((cells) => `${cells.join(',')}\r\n`).join('')
}

/** An image of a table. */
export interface TableImage {
  /** One byte a row and eight outputs. */
  readonly bytes: SavedBytes
}

/** No image: a row has no level to put there. */
export interface OpenLevel extends Refused<'open-level'> {
  /** The first row with such a level. */
  readonly openRow: number
  /** The output that has it. */
  readonly output: TableColumn
  /** What it is there: not fixed by the inputs, or off. */
  readonly level: 'X' | 'Z'
}

/**
 * The table as a memory that held it would be read out: row r at address r, output i as data line i, eight outputs to a
 * byte, more bytes a row where there are more outputs, the lowest first. `off` is what an output that is off counts as.
 *
 * @param table a truth table
 * @param options what an output that is off counts as
 * @returns the bytes with their width, or why there is no image
 * @throws TypeError for what is no table, RangeError for a level that is none
 * @example tableImage(table, { off: 1 })
 */
export function tableImage(table: TruthTable, options: { readonly off?: 0 | 1 | null } = {}): TableImage | OpenLevel {
  checkedTable(table, 'table')
  const { off = null } = optionsOf(options, { off: true })
  oneOf(off, 'options.off', [0, 1, null])
  const width = Math.max(1, Math.ceil(table.outputs.length / 8))
  const bytes = new Uint8Array(table.rowCount * width)
  for (let row = 0; row < table.rowCount; row++)
    for (let i = 0; i < table.outputs.length; i++) {
      const level = levelInTable(table, i, row)
      if (level === 'X' || (level === 'Z' && off === null)) 
        return { ...refusedFor('open-level'), openRow: row, output: table.outputs[i]!, level }
      if (level === '1' || (level === 'Z' && off === 1)) bytes[row * width + (i >>> 3)]! |= 1 << (i & 7)
    }
  return { bytes }
}
