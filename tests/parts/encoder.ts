/**
 * Fuse maps from designs, with tables of fuse numbers of its own: typed from the data sheets, not from the library, and
 * in the way the sheets print them (the number of a row's first fuse, one number for every tail fuse), so that an error
 * of the library's tables cannot repeat itself here. A further part is a further table.
 */
import type { Design, DesignOutput, Enable, OutputKind, PinLiteral, Term } from './design'

/** One output block of a logic diagram. */
export interface CellTable {
  readonly pin: number
  /** Number printed at the block's first row. */
  readonly firstFuse: number
  readonly rows: number
  readonly polarityFuse?: number
  readonly selectFuse?: number
  /** True where the sheet does not allow the cell as an input. */
  readonly alwaysOutput?: boolean
}

/** How a kind of output is programmed in a mode. */
export interface KindTable {
  /** State of the cell's select fuse. */
  readonly select?: 0 | 1
  /** `row`: the first row of the block is the enable, the others are terms. */
  readonly enable: 'row' | 'always' | 'never' | { readonly lowPin: number }
  /** Polarity where no fuse decides it. */
  readonly activeHigh?: boolean
}

/** A part in one mode. */
export interface PartTable {
  readonly part: string
  readonly mode: string | null
  readonly pinCount: number
  readonly supplyPins: readonly number[]
  readonly fuseCount: number
  /** Fuses of a row. */
  readonly width: number
  /** Pin of every column pair from the left; true column first. */
  readonly columns: readonly number[]
  readonly cells: readonly CellTable[]
  readonly kinds: Readonly<Partial<Record<OutputKind, KindTable>>>
  /** What a cell becomes that a design does not mention. */
  readonly unusedKind: OutputKind
  readonly clockPin?: number
  /** Fuses that choose the mode. */
  readonly fixed: readonly (readonly [fuse: number, state: 0 | 1])[]
  readonly signatureFuse?: number
  /** Disable fuse of row 0; those of the other rows follow. */
  readonly firstDisableFuse?: number
}

/**
 * Lattice GAL16V8 data sheet, 16v8_04, logic diagrams p. 5, 7, 9: first row of every output block at the left edge,
 * XOR and AC1 numbers in the blocks, the same in the three modes.
 */
const CELLS_16V8: readonly CellTable[] = [
  { pin: 19, firstFuse: 0, rows: 8, polarityFuse: 2048, selectFuse: 2120 },
  { pin: 18, firstFuse: 256, rows: 8, polarityFuse: 2049, selectFuse: 2121 },
  { pin: 17, firstFuse: 512, rows: 8, polarityFuse: 2050, selectFuse: 2122 },
  { pin: 16, firstFuse: 768, rows: 8, polarityFuse: 2051, selectFuse: 2123 },
  { pin: 15, firstFuse: 1024, rows: 8, polarityFuse: 2052, selectFuse: 2124 },
  { pin: 14, firstFuse: 1280, rows: 8, polarityFuse: 2053, selectFuse: 2125 },
  { pin: 13, firstFuse: 1536, rows: 8, polarityFuse: 2054, selectFuse: 2126 },
  { pin: 12, firstFuse: 1792, rows: 8, polarityFuse: 2055, selectFuse: 2127 },
]

/** Same diagrams, foot of the page: signature from 2056, disable fuses from 2128, SYN 2192, AC0 2193. */
const COMMON_16V8 = { part: '16V8', pinCount: 20, supplyPins: [10, 20], fuseCount: 2194, width: 32, signatureFuse: 2056, firstDisableFuse: 2128 } as const
const SYN = 2192
const AC0 = 2193

export const TABLES: readonly PartTable[] = [
  {
    // Columns: diagram p. 5. SYN 0, AC0 1; AC1 0 registered with clock pin 1 and pin 11 low, AC1 1 with enable row: p. 4.
    ...COMMON_16V8,
    mode: 'registered',
    columns: [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12],
    cells: CELLS_16V8,
    kinds: { registered: { select: 0, enable: { lowPin: 11 } }, combinational: { select: 1, enable: 'row' } },
    unusedKind: 'combinational',
    clockPin: 1,
    fixed: [[SYN, 0], [AC0, 1]],
  },
  {
    // Columns: diagram p. 7. SYN 1, AC0 1, every AC1 1, first row enables: p. 6.
    ...COMMON_16V8,
    mode: 'complex',
    columns: [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11],
    cells: CELLS_16V8,
    kinds: { combinational: { select: 1, enable: 'row' } },
    unusedKind: 'combinational',
    fixed: [[SYN, 1], [AC0, 1]],
  },
  {
    // Columns: diagram p. 9. SYN 1, AC0 0; AC1 0 output with eight terms, AC1 1 input, not on pins 15 and 16: p. 8.
    ...COMMON_16V8,
    mode: 'simple',
    columns: [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11],
    cells: CELLS_16V8.map((cell) => ({ ...cell, alwaysOutput: cell.pin === 15 || cell.pin === 16 })),
    kinds: { combinational: { select: 0, enable: 'always' }, input: { select: 1, enable: 'never' } },
    unusedKind: 'input',
    fixed: [[SYN, 1], [AC0, 0]],
  },
  ...([['14L4', false], ['14H4', true]] as const).map(([part, activeHigh]): PartTable => ({
    // JEDEC Standard No. 3-A, worked example of a complete file: 448 fuses in rows of 28, and vectors that hold with
    // these columns: those of the simple array above without the pairs of the four output pins (14, 17) and of the
    // pins 15 and 16, which have none there. Outputs low for L, high for H, always on.
    part,
    mode: null,
    pinCount: 20,
    supplyPins: [10, 20],
    fuseCount: 448,
    width: 28,
    columns: [2, 1, 3, 19, 4, 18, 5, 6, 7, 13, 8, 12, 9, 11],
    cells: [
      { pin: 17, firstFuse: 0, rows: 4 },
      { pin: 16, firstFuse: 112, rows: 4 },
      { pin: 15, firstFuse: 224, rows: 4 },
      { pin: 14, firstFuse: 336, rows: 4 },
    ],
    kinds: { combinational: { enable: 'always', activeHigh } },
    unusedKind: 'combinational',
    fixed: [],
  })),
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

/** Most terms of an output of this kind at a pin. */
export function termLimit(table: PartTable, pin: number, kind: OutputKind): number {
  return kind === 'input' ? 0 : cellAt(table, pin).rows - (table.kinds[kind]?.enable === 'row' ? 1 : 0)
}

/** First fuse of row `row` (from 0) of a pin's block. */
export function firstFuseOf(table: PartTable, pin: number, row: number): number {
  return cellAt(table, pin).firstFuse + row * table.width
}

/** Fuse of a literal in a row that starts at `firstFuse`. */
export function literalFuse(table: PartTable, firstFuse: number, literal: PinLiteral): number {
  const pair = table.columns.indexOf(Math.abs(literal))
  if (pair < 0) throw new RangeError(`pin ${Math.abs(literal)} has no columns in a ${table.part} in mode ${table.mode}`)
  return firstFuse + 2 * pair + (literal < 0 ? 1 : 0)
}

/** Disable fuse of the row that starts at `firstFuse`. */
export function disableFuse(table: PartTable, firstFuse: number): number {
  if (table.firstDisableFuse === undefined) throw new RangeError(`a ${table.part} has no disable fuses`)
  return table.firstDisableFuse + firstFuse / table.width
}

/** Writes a term into the row that starts at `firstFuse`: all fuses blown but those of its literals. */
export function writeTerm(states: Uint8Array, table: PartTable, given: { readonly firstFuse: number; readonly term: Term }): void {
  states.fill(1, given.firstFuse, given.firstFuse + table.width)
  for (const literal of given.term) states[literalFuse(table, given.firstFuse, literal)] = 0
}

/** The fuse states (0 connected, 1 not) of a design, fuse 0 first. Rows without a term stay connected throughout, which is constant 0. */
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
  writeSignature(states, table, design.signature ?? [])
  return states
}

/** A cell that no design mentions: nothing in its rows. */
function unusedOutput(table: PartTable, { pin, alwaysOutput }: CellTable): DesignOutput {
  const kind = alwaysOutput ? 'combinational' : table.unusedKind
  const { enable, activeHigh } = table.kinds[kind]!
  return { pin, kind, activeHigh: activeHigh ?? false, enable: enable === 'row' ? 'never' : enable, terms: [] }
}

function writeCell(states: Uint8Array, table: PartTable, { design, cell }: { readonly design: Design; readonly cell: CellTable }): void {
  const output = design.outputs.find(({ pin }) => pin === cell.pin) ?? unusedOutput(table, cell)
  const kind = kindOf(table, cell, output)
  if (cell.selectFuse !== undefined && kind.select !== undefined) states[cell.selectFuse] = kind.select
  if (cell.polarityFuse !== undefined) states[cell.polarityFuse] = output.activeHigh ? 1 : 0
  else if (output.activeHigh !== kind.activeHigh) throw new RangeError(`pin ${cell.pin} of a ${table.part} has no such polarity`)
  if (output.terms.length > termLimit(table, cell.pin, output.kind)) throw new RangeError(`pin ${cell.pin} of a ${table.part} has not ${output.terms.length} terms`)
  const write = (row: number, term: Term): void => {
    const firstFuse = firstFuseOf(table, cell.pin, row)
    writeTerm(states, table, { firstFuse, term })
    if (table.firstDisableFuse !== undefined) states[disableFuse(table, firstFuse)] = 1
  }
  const enabling = kind.enable === 'row' ? enableRow(output.enable) : null
  if (enabling) write(0, enabling)
  output.terms.forEach((term, i) => write(i + (kind.enable === 'row' ? 1 : 0), term))
}

/** The term that a design's enable puts into an enable row; null for a row that stays constant 0. */
function enableRow(enable: Enable): Term | null {
  return enable === 'always' ? [] : typeof enable === 'object' && 'term' in enable ? enable.term : null
}

/** The table of an output's kind, once it is certain that the part can do what the design asks for. */
function kindOf(table: PartTable, cell: CellTable, { kind, enable }: DesignOutput): KindTable {
  const found = table.kinds[kind]
  if (!found || (kind === 'input' && cell.alwaysOutput)) throw new RangeError(`pin ${cell.pin} of a ${table.part} in mode ${table.mode} cannot be ${kind}`)
  const wanted = typeof enable === 'string' ? enable : 'lowPin' in enable ? enable.lowPin : 'term'
  const offered = typeof found.enable === 'object' ? found.enable.lowPin : found.enable
  if (offered === 'row' ? typeof wanted === 'number' : offered !== wanted) throw new RangeError(`pin ${cell.pin} of a ${table.part} cannot be enabled by ${wanted}`)
  return found
}

/** Same diagrams: the signature's bytes as they are read, each most significant bit first. */
function writeSignature(states: Uint8Array, { signatureFuse }: PartTable, bytes: readonly number[]): void {
  if (bytes.length > 0 && signatureFuse === undefined) throw new RangeError('the part has no signature')
  bytes.forEach((byte, i) => {
    for (let bit = 0; bit < 8; bit++) states[signatureFuse! + 8 * i + bit] = (byte >>> (7 - bit)) & 1
  })
}
