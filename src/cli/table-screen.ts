/** A truth table as a person is shown it, at most a screenful unless asked, and as the document of `--json`. */
import { levelInTable, type TruthTable } from '../logic'
import { renderTable } from '../report'
import type { Call } from './call'

/** Lines of a screen where the terminal says nothing, and the fewest that are filled. */
const SCREEN = 24
const MIN_SCREEN = 10

const linesOf = (text: string): number => text.split('\n').length - 1

/** The table below a few lines of its own; the last line tells how to see what was left out. */
export function screenTable({ host, options }: Call, table: TruthTable, above = ''): string {
  const columns = host.columns?.()
  const width = columns === undefined ? {} : { width: columns }
  if (options['all']) return above + renderTable(table, width)
  const rest = '--all prints every row.\n'
  const head = linesOf(above) + linesOf(renderTable(table, { ...width, maxRows: 0 }))
  // The prompt takes the last line of a screen.
  const room = Math.max(MIN_SCREEN, host.rows?.() ?? SCREEN) - 1 - head
  if (table.rowCount <= room) return above + renderTable(table, width)
  return above + renderTable(table, { ...width, maxRows: Math.max(1, room - linesOf(rest)) }) + rest
}

/** Rows as text, one character an output, row r being the input columns as bits of r. */
export function tableDocument(table: TruthTable): object {
  const { inputs, outputs, unlisted, rowCount } = table
  const rows = Array.from({ length: rowCount }, (_, row) =>
    outputs.map((_, i) => levelInTable(table, i, row)).join(''),
  )
  return { inputs, outputs, unlisted, rows }
}
