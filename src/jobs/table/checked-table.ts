/** Truth tables, how they are asked for, and bits of their rows, as arguments. */
import { listOf, madeBy, optionsOf, wholeNumber, type OptionNames } from '../../arguments/arguments'
import type { TableOptions, TruthTable } from './truth-table'

const TABLE = { keys: ['inputs', 'outputs', 'rowCount', 'ones', 'open'], maker: 'a truth table' }

/** A truth table; throws TypeError for anything else. */
export function checkedTable(table: TruthTable, path: string): TruthTable {
  return madeBy(table, path, TABLE)
}

/** A bit a row, 32 rows a word; throws TypeError for anything else. */
export function rowBitsOf(rows: Int32Array, path: string): Int32Array {
  if (!(rows instanceof Int32Array)) throw new TypeError(`${path} must be an Int32Array, a bit a row`)
  return rows
}

const TABLE_OPTIONS: OptionNames<TableOptions> = { inputs: true, outputs: true, held: true, maxInputs: true }

/** How a table is asked for; which pins there are is for the part to say. */
export function checkedOptions(options: TableOptions): TableOptions {
  const { inputs, outputs, held, maxInputs } = optionsOf(options, TABLE_OPTIONS)
  if (maxInputs !== undefined) wholeNumber(maxInputs, 'options.maxInputs', [0, 30])
  for (const [name, pins] of Object.entries({ inputs, outputs }))
    if (pins !== undefined) listOf(pins, `options.${name}`, 'a list of pins')
  if (held !== undefined)
    madeBy(held, 'options.held', { keys: [], maker: 'an object of levels by pin, like { "2": 1 }' })
  return options
}
