/** A captured table against the table that it should be: output by output, row by row. */
import { listOf, optionsOf } from '../../arguments/arguments'
import { addressOfRow, judgedRows, type Capture, checkedCapture } from './capture'
import type { DifferenceCover } from '../../logic/cover'
import { compareTables, countBits, type ComparedColumn } from '../table/compare-tables'
import { checkedTable, rowBitsOf } from '../table/checked-table'
import { levelInTable } from '../table/level-in-table'
import type { TruthTable } from '../table/truth-table'

/** A row in which the capture is not what it should be. */
export interface DifferingRow {
  /** Address in the image, the first one where several belong to the row. */
  readonly address: number
  /** Levels of the input pins. */
  readonly inputs: Readonly<Record<string, 0 | 1>>
  /** Level that was read. */
  readonly captured: '0' | '1' | 'X' | 'Z'
  /** Level that it is held against. */
  readonly expected: '0' | '1' | 'X' | 'Z'
}

/** One output of a capture. */
export interface ComparedLine {
  /** Pin at the line. */
  readonly pin: number
  /** Data line of the image. */
  readonly line: number
  /** `undecided`: no judged row differs, and some are open. */
  readonly relation: 'equivalent' | 'different' | 'undecided'
  /** Number of rows that differ. */
  readonly differingRows: number
  /** Rows in which captures disagree, or in which the level that it should have is not known. */
  readonly openRows: number
  /** Rows in which the output is off, which were not judged. */
  readonly offRows: number
  /** Rows that were judged. */
  readonly ofRows: number
  /** The first of them. */
  readonly firstRows: readonly DifferingRow[]
  /** Where it differs, by pins; what was not judged may be covered as well. */
  readonly differsWhere: DifferenceCover | null
}

/** All outputs of a capture. `not-comparable`: no row was judged. */
export interface CaptureComparison {
  /** What the capture is to the table as a whole. */
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable'
  /** All rows. */
  readonly rowCount: number
  /** Rows that count. */
  readonly judgedRows: number
  /** Each output line. */
  readonly outputs: readonly ComparedLine[]
}

/** What is left out besides what the wiring leaves out, and how much is listed. */
export interface CaptureCompareOptions {
  /** Rows, a bit each, that are not judged; by output. */
  readonly off?: readonly Int32Array[]
  /** Most rows to list an output (default 8). */
  readonly maxRows?: number
  /** False: where it differs is counted and listed, and not described (default true). */
  readonly describe?: boolean
}

/**
 * Compares a capture with a table over the same pins in the same order, such as that of a part or of a board.
 *
 * @param capture what `readCapture` or `combineCaptures` gave
 * @param expected the table over the same pins
 * @param options input patterns and rows that are left out
 * @returns the relation, and each output line with its differing rows
 * @throws RangeError where the tables are not over the same pins
 * @example compareCapture(capture, capture.table).relation // 'equivalent'
 */
export function compareCapture(
  capture: Capture,
  expected: TruthTable,
  options: CaptureCompareOptions = {},
): CaptureComparison {
  const { table, wiring } = checkedCapture(capture, 'capture')
  checkedTable(expected, 'expected')
  const { off, maxRows, describe } = optionsOf(options, { off: true, maxRows: true, describe: true })
  if (off !== undefined) listOf(off, 'options.off').forEach((rows, i) => rowBitsOf(rows, `options.off[${i}]`))
  const pins = (of: TruthTable): string =>
    `${of.inputs.map(({ pin }) => pin).join()};${of.outputs.map(({ pin }) => pin).join()}`
  if (pins(table) !== pins(expected))
    throw new RangeError('expected must have the inputs and outputs of the capture, in the same order')
  const judged = judgedRows(capture)
  const ignore = new Int32Array(judged.length)
  for (let i = 0; i < ignore.length; i++) ignore[i] = ~judged[i]!
  const result = compareTables(expected, table, {
    ignore,
    ...(off ? { ignoreByOutput: off } : {}),
    ...(maxRows === undefined ? {} : { maxRows }),
    ...(describe === undefined ? {} : { describe }),
  })
  const count = countBits(judged)
  const outputs = result.outputs.map((column, i): ComparedLine => {
    const offRows = off ? countBits(off[i]!.map((word, at) => word & judged[at]!)) : 0
    const line = wiring.data.findIndex((wire) => wire?.pin === column.pin)
    const { pin, relation, differingRows, openRows, differsWhere } = column
    return {
      pin,
      line,
      relation,
      differingRows,
      openRows,
      offRows,
      ofRows: count - offRows,
      firstRows: rowsOfColumn(capture, expected, { column, i }),
      differsWhere,
    }
  })
  return { relation: result.relation, rowCount: table.rowCount, judgedRows: count, outputs }
}

function rowsOfColumn(
  { table, wiring }: Capture,
  expected: TruthTable,
  { column, i }: { readonly column: ComparedColumn; readonly i: number },
): DifferingRow[] {
  return column.firstRows.map((row) => ({
    address: addressOfRow(wiring, row),
    inputs: Object.fromEntries(table.inputs.map(({ pin }, k) => [pin, ((row >>> k) & 1) as 0 | 1])),
    captured: levelInTable(table, i, row),
    expected: levelInTable(expected, i, row),
  }))
}
