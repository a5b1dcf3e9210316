/** The table of a board against that of its original: which rows count, and what an output that is off counts as. */
import { wordMask } from '../../logic/words'
import { compareTables, countBits, type TableComparison } from '../table/compare-tables'
import { levelInTable } from '../table/level-in-table'
import type { TruthTable } from '../table/truth-table'
import type { AdapterOutput, AdapterReport, AdapterRows } from './adapter-report'
import type { FaultTrial } from './board-faults'
import type { Original } from './board-original'
import { offAs, withoutRows, type SweptBoard } from './board-table'

/** A board against its original. */
export interface ComparedBoard {
  readonly relation: NonNullable<AdapterReport['relation']>
  readonly rows: AdapterRows
  readonly outputs: readonly AdapterOutput[]
  /** True where every output that both have is the same in every judged row. */
  readonly same: boolean
  /** Outputs of the board that are off in a judged row, where a level stands for that. */
  readonly offCounted: readonly number[]
  /** The board's whole table, with off as it counts. */
  readonly counted: TruthTable
  /** What faults and changes of the board are held against. */
  readonly trial: FaultTrial
}

/** Compares; rows in which drivers fight are not known, and rows that were left out are not judged. */
export function compareBoard(
  { table, fights }: SweptBoard,
  original: Original,
  asked: 0 | 1 | undefined,
): ComparedBoard {
  const off = asked ?? original.off ?? null
  const count = (given: TruthTable): TruthTable => (off === null ? given : offAs(given, off))
  const plain = chosenOutputs(table, original.outputs)
  const [intended, own] = [count(original.table), count(withoutRows(plain, fights))]
  const ignore = original.left?.misread.map((word, i) => word | original.left!.dontCare[i]!)
  const comparison = compareTables(intended, own, ignore ? { ignore } : {})
  return {
    relation: relationOf(comparison, original),
    rows: rowsOf(comparison, original, fights),
    outputs: comparison.outputs.map((output, i) => withExample(output, { i, own, intended })),
    same: comparison.relation === 'equivalent',
    offCounted: off === 0 || off === 1 ? offPins(plain, ignore) : [],
    counted: count(table),
    trial: { off, reference: intended, outputs: original.outputs, ignore: ignore ?? null },
  }
}

/** Outputs that the board lacks leave the whole undecided at best. */
function relationOf({ relation }: TableComparison, { lacking }: Original): ComparedBoard['relation'] {
  return relation === 'equivalent' && lacking.length > 0 ? 'undecided' : relation
}

function rowsOf({ rowCount, ignoredRows }: TableComparison, { left }: Original, fights: Int32Array): AdapterRows {
  return {
    all: rowCount,
    judged: rowCount - ignoredRows,
    misread: left ? countBits(left.misread) : 0,
    dontCare: left ? countBits(left.dontCare.map((word, i) => word & ~left.misread[i]!)) : 0,
    fights: countBits(fights),
  }
}

function offPins({ outputs, ones, open, rowCount }: TruthTable, ignore: Int32Array | undefined): number[] {
  const judged = open[0]!.map((_, word) => wordMask(rowCount) & ~(ignore?.[word] ?? 0))
  return outputs.flatMap(({ pin }, i) =>
    open[i]!.some((word, w) => (word & ~ones[i]![w]! & judged[w]!) !== 0) ? [pin] : [],
  )
}

function chosenOutputs(table: TruthTable, outputs: readonly number[]): TruthTable {
  const chosen = <T>(list: readonly T[]): T[] => outputs.map((i) => list[i]!)
  return { ...table, outputs: chosen(table.outputs), ones: chosen(table.ones), open: chosen(table.open) }
}

/** Levels of the input columns in a row. */
export function inputsAt(table: TruthTable, row: number): Record<string, 0 | 1> {
  return Object.fromEntries(table.inputs.map(({ pin }, k) => [pin, (Math.floor(row / 2 ** k) & 1) as 0 | 1]))
}

function withExample(
  output: TableComparison['outputs'][number],
  { i, own, intended }: { readonly i: number; readonly own: TruthTable; readonly intended: TruthTable },
): AdapterOutput {
  const [row] = output.firstRows
  if (row === undefined) return { ...output, example: null }
  const [original, board] = [levelInTable(intended, i, row), levelInTable(own, i, row)]
  return { ...output, example: { row, inputs: inputsAt(own, row), original, board } }
}
