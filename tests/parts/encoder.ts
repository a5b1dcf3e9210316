/**
 * Fuse maps from designs, with tables of fuse numbers of its own (`tables-*.ts`): typed from the data sheets, not from
 * the library, and in the way the sheets print them (the number of a row's first fuse, one number for every tail fuse),
 * so that an error of the library's tables cannot repeat itself here. A further part is a further table.
 */
import {
  controlTerms,
  type Design,
  type DesignOutput,
  type Enable,
  type OutputKind,
  type PinLiteral,
  type Term,
} from './design'
import type { CellTable, KindTable, PartTable } from './part-table'
import { TABLES_PALS } from './tables-pals'
import { TABLE_20RA10, TABLE_22V10, TABLE_26CV12 } from './tables-v10'
import { TABLES_16V8, TABLES_20V8 } from './tables-v8'

export type { CellTable, PartTable } from './part-table'

export const TABLES: readonly PartTable[] = [
  ...TABLES_16V8,
  ...TABLES_20V8,
  TABLE_22V10,
  TABLE_26CV12,
  TABLE_20RA10,
  ...TABLES_PALS,
]

/** The table of a part in a mode. */
export function tableOf({ part, mode }: { readonly part: string; readonly mode: string | null }): PartTable {
  const found = TABLES.find((table) => table.part === part && table.mode === mode)
  if (!found) throw new RangeError(`no table of a ${part} in mode ${mode}`)
  return found
}

/** The cell of a pin. */
export function cellAt(table: PartTable, pin: number): CellTable {
  const found = table.cells.find((cell) => cell.pin === pin)
  if (!found) throw new RangeError(`pin ${pin} of a ${table.part} is no output`)
  return found
}

/** Kinds that a cell can be programmed as. */
export function kindsAt(table: PartTable, { only }: CellTable): OutputKind[] {
  return only ? [only] : (Object.keys(table.kinds) as OutputKind[])
}

/** Row of an output's first term. */
export function firstTermRow({ firstTerm, enable }: KindTable): number {
  return firstTerm ?? (enable === 'row' || (typeof enable === 'object' && 'rowAndLowPin' in enable) ? 1 : 0)
}

/** Most terms of an output of this kind at a pin: of its sum, and of the sum that is exclusive-ored with it. */
export function termLimits(
  table: PartTable,
  pin: number,
  kind: OutputKind,
): { readonly first: number; readonly other: number } {
  const wiring = table.kinds[kind]
  if (!wiring || kind === 'input') return { first: 0, other: 0 }
  const all = cellAt(table, pin).rows - firstTermRow(wiring)
  const first = wiring.firstSum ?? all
  return { first, other: all - first }
}

/** First fuse of row `row` (from 0) of a pin's block. */
export function firstFuseOf(table: PartTable, pin: number, row: number): number {
  return cellAt(table, pin).firstFuse + row * table.width
}

/** Fuse of a literal in a row that starts at `firstFuse`. */
export function literalFuse(table: PartTable, firstFuse: number, literal: PinLiteral): number {
  const pair = table.columns.indexOf(Math.abs(literal))
  if (pair < 0)
    throw new RangeError(`pin ${Math.abs(literal)} has no columns in a ${table.part} in mode ${table.mode}`)
  return firstFuse + 2 * pair + (literal < 0 ? 1 : 0)
}

/** Disable fuse of the row that starts at `firstFuse`. */
export function disableFuse(table: PartTable, firstFuse: number): number {
  if (table.firstDisableFuse === undefined) throw new RangeError(`a ${table.part} has no disable fuses`)
  return table.firstDisableFuse + firstFuse / table.width
}

/** Writes a term into the row that starts at `firstFuse`: all fuses blown but those of its literals. */
export function writeTerm(
  states: Uint8Array,
  table: PartTable,
  given: { readonly firstFuse: number; readonly term: Term },
): void {
  states.fill(1, given.firstFuse, given.firstFuse + table.width)
  for (const literal of given.term) states[literalFuse(table, given.firstFuse, literal)] = 0
}

/**
 * The fuse states (0 connected, 1 not) of a design, fuse 0 first. Rows without a term stay connected throughout,
 * which is constant 0.
 */
export function encode(design: Design): Uint8Array {
  const table = tableOf(design)
  const states = new Uint8Array(table.fuseCount)
  for (const [fuse, state] of table.fixed) states[fuse] = state
  if (table.firstDisableFuse !== undefined) {
    const rows = table.cells.reduce((sum, cell) => sum + cell.rows, 0)
    states.fill(design.disableUnusedRows ? 0 : 1, table.firstDisableFuse, table.firstDisableFuse + rows)
  }
  for (const { pin } of design.outputs) cellAt(table, pin)
  for (const cell of table.cells) writeCell(states, table, { design, cell })
  writeShared(states, table, { term: design.reset, firstFuse: table.resetFuse })
  writeShared(states, table, { term: design.clockedPreset, firstFuse: table.presetFuse })
  writeSignature(states, table, design.signature ?? [])
  return states
}

/** A term that acts on all registers. */
function writeShared(
  states: Uint8Array,
  table: PartTable,
  { term, firstFuse }: { readonly term: Term | undefined; readonly firstFuse: number | undefined },
): void {
  if (!term) return
  if (firstFuse === undefined) throw new RangeError(`a ${table.part} has no such row for all registers`)
  writeTerm(states, table, { firstFuse, term })
}

/** A cell that no design mentions: nothing in its rows. */
function unusedOutput(table: PartTable, cell: CellTable): DesignOutput {
  const kind = cell.only ?? table.unusedKind
  const { enable, activeHigh } = table.kinds[kind]!
  return {
    pin: cell.pin,
    kind,
    activeHigh: activeHigh ?? false,
    enable: enable === 'row' || (typeof enable === 'object' && 'rowAndLowPin' in enable) ? 'never' : enable,
    terms: [],
  }
}

function writeCell(
  states: Uint8Array,
  table: PartTable,
  { design, cell }: { readonly design: Design; readonly cell: CellTable },
): void {
  const output = design.outputs.find(({ pin }) => pin === cell.pin) ?? unusedOutput(table, cell)
  const kind = kindOf(table, cell, output)
  if (cell.selectFuse !== undefined && kind.select !== undefined) states[cell.selectFuse] = kind.select
  if (cell.polarityFuse !== undefined) states[cell.polarityFuse] = output.activeHigh ? 1 : 0
  else if (output.activeHigh !== kind.activeHigh)
    throw new RangeError(`pin ${cell.pin} of a ${table.part} has no such polarity`)
  for (const { row, term } of rowsOf(table, kind, output)) {
    const firstFuse = firstFuseOf(table, cell.pin, row)
    writeTerm(states, table, { firstFuse, term })
    if (table.firstDisableFuse !== undefined) states[disableFuse(table, firstFuse)] = 1
  }
}

interface WrittenRow {
  readonly row: number
  readonly term: Term
}

/** The rows of an output that hold something. */
function rowsOf(table: PartTable, kind: KindTable, output: DesignOutput): WrittenRow[] {
  const { pin, terms, otherTerms = [], clock, reset, preset } = output
  const limits = termLimits(table, pin, output.kind)
  if (terms.length > limits.first || otherTerms.length > limits.other)
    throw new RangeError(`pin ${pin} of a ${table.part} has not ${terms.length} and ${otherTerms.length} terms`)
  if (kind.clockRow === undefined && controlTerms(output).length > 0)
    throw new RangeError(`pin ${pin} of a ${table.part} has no rows for its register's control`)
  const enabling = kind.enable === 'always' || kind.enable === 'never' ? null : enableRow(output.enable)
  const first = firstTermRow(kind)
  return [
    { row: 0, term: enabling },
    { row: kind.clockRow ?? 0, term: clock },
    { row: kind.resetRow ?? 0, term: reset },
    { row: kind.presetRow ?? 0, term: preset },
    ...terms.map((term, i) => ({ row: first + i, term })),
    ...otherTerms.map((term, i) => ({ row: first + limits.first + i, term })),
  ].filter((written): written is WrittenRow => !!written.term)
}

/** The term that a design's enable puts into an enable row; null for a row that stays constant 0, or is none. */
function enableRow(enable: Enable): Term | null {
  return enable === 'always' ? [] : typeof enable === 'object' && 'term' in enable ? enable.term : null
}

/** The table of an output's kind, once it is certain that the part can do what the design asks for. */
function kindOf(table: PartTable, cell: CellTable, { kind, enable }: DesignOutput): KindTable {
  const found = table.kinds[kind]
  if (!found || !kindsAt(table, cell).includes(kind))
    throw new RangeError(`pin ${cell.pin} of a ${table.part} in mode ${table.mode} cannot be ${kind}`)
  const lowPin = typeof enable === 'object' && 'lowPin' in enable ? enable.lowPin : null
  const byTerm = typeof enable === 'object' && 'term' in enable
  const fits =
    found.enable === 'row'
      ? lowPin === null
      : typeof found.enable === 'string'
        ? found.enable === enable
        : 'rowAndLowPin' in found.enable
          ? enable === 'never' || (byTerm && lowPin === found.enable.rowAndLowPin)
          : !byTerm && lowPin === found.enable.lowPin
  if (!fits) throw new RangeError(`pin ${cell.pin} of a ${table.part} cannot be enabled by ${JSON.stringify(enable)}`)
  return found
}

/** Logic diagrams of the sheets: the signature's bytes as they are read, each most significant bit first. */
function writeSignature(states: Uint8Array, { signatureFuse }: PartTable, bytes: readonly number[]): void {
  if (bytes.length > 0 && signatureFuse === undefined) throw new RangeError('the part has no signature')
  bytes.forEach((byte, i) => {
    for (let bit = 0; bit < 8; bit++) states[signatureFuse! + 8 * i + bit] = (byte >>> (7 - bit)) & 1
  })
}
