/**
 * Fuse numbers of parts with polarity behind the register or rows for the register's control: 22V10, 26CV12, 20RA10.
 */
import type { CellTable, PartTable } from './part-table'

/** `[pin, first fuse, rows, S0, S1]`: rows with the enable row, which comes first. */
type Block = readonly [pin: number, firstFuse: number, rows: number, s0: number, s1: number]

function cellsOf(blocks: readonly Block[]): CellTable[] {
  return blocks.map(([pin, firstFuse, rows, polarityFuse, selectFuse]) => ({
    pin,
    firstFuse,
    rows,
    polarityFuse,
    selectFuse,
  }))
}

/** S1 0 registered, 1 combinational; the enable is a row for both. */
const KINDS: PartTable['kinds'] = {
  registered: { select: 0, enable: 'row' },
  combinational: { select: 1, enable: 'row' },
}

/**
 * Lattice GAL22V10 data sheet, 22v10_08: p. 3 (macrocell: S0 behind the register, registered feedback ¬Q), p. 5 (logic
 * diagram: fuse numbers), p. 4 (reset and preset product terms), p. 12 (signature).
 */
export const TABLE_22V10: PartTable = {
  part: '22V10',
  mode: null,
  pinCount: 24,
  supplyPins: [12, 24],
  fuseCount: 5892,
  width: 44,
  columns: [1, 23, 2, 22, 3, 21, 4, 20, 5, 19, 6, 18, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
  cells: cellsOf([
    [23, 44, 9, 5808, 5809],
    [22, 440, 11, 5810, 5811],
    [21, 924, 13, 5812, 5813],
    [20, 1496, 15, 5814, 5815],
    [19, 2156, 17, 5816, 5817],
    [18, 2904, 17, 5818, 5819],
    [17, 3652, 15, 5820, 5821],
    [16, 4312, 13, 5822, 5823],
    [15, 4884, 11, 5824, 5825],
    [14, 5368, 9, 5826, 5827],
  ]),
  kinds: KINDS,
  unusedKind: 'combinational',
  clockPin: 1,
  registers: { polarity: 'after', feedback: 'inverted-register' },
  resetFuse: 0,
  presetFuse: 5764,
  fixed: [],
  signatureFuse: 5828,
}

/** Lattice GAL26CV12 data sheet, 26cv12_03, June 2000: p. 4 (macrocell), p. 5 (logic diagram: fuse numbers). */
export const TABLE_26CV12: PartTable = {
  part: '26CV12',
  mode: null,
  pinCount: 28,
  supplyPins: [7, 21],
  fuseCount: 6432,
  width: 52,
  columns: [1, 28, 2, 27, 3, 26, 4, 25, 5, 24, 6, 23, 8, 22, 9, 20, 10, 19, 11, 18, 12, 17, 13, 16, 14, 15],
  cells: cellsOf([
    [27, 52, 9, 6344, 6345],
    [26, 520, 9, 6346, 6347],
    [25, 988, 9, 6348, 6349],
    [24, 1456, 9, 6350, 6351],
    [23, 1924, 11, 6352, 6353],
    [22, 2496, 13, 6354, 6355],
    [20, 3172, 13, 6356, 6357],
    [19, 3848, 11, 6358, 6359],
    [18, 4420, 9, 6360, 6361],
    [17, 4888, 9, 6362, 6363],
    [16, 5356, 9, 6364, 6365],
    [15, 5824, 9, 6366, 6367],
  ]),
  kinds: KINDS,
  unusedKind: 'combinational',
  clockPin: 1,
  registers: { polarity: 'after', feedback: 'inverted-register' },
  resetFuse: 0,
  presetFuse: 6292,
  fixed: [],
  signatureFuse: 6368,
}

/**
 * Lattice GAL20RA10 data sheet, 20ra10_02, July 1997: p. 5 (logic diagram: columns, first fuses, XOR and signature
 * numbers), p. 4 top figure (rows of a block: enable, clock, reset, preset, four terms; that the figure's order is the
 * order of rows is inferred), p. 3 (bypass by reset and preset together, feedback from the pin, preload by pin 1 low).
 * The count of 3274 is inferred from the highest number printed, 3273.
 */
export const TABLE_20RA10: PartTable = {
  part: '20RA10',
  mode: null,
  pinCount: 24,
  supplyPins: [12, 24],
  fuseCount: 3274,
  width: 40,
  columns: [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14],
  cells: [
    { pin: 23, firstFuse: 0, rows: 8, polarityFuse: 3200 },
    { pin: 22, firstFuse: 320, rows: 8, polarityFuse: 3201 },
    { pin: 21, firstFuse: 640, rows: 8, polarityFuse: 3202 },
    { pin: 20, firstFuse: 960, rows: 8, polarityFuse: 3203 },
    { pin: 19, firstFuse: 1280, rows: 8, polarityFuse: 3204 },
    { pin: 18, firstFuse: 1600, rows: 8, polarityFuse: 3205 },
    { pin: 17, firstFuse: 1920, rows: 8, polarityFuse: 3206 },
    { pin: 16, firstFuse: 2240, rows: 8, polarityFuse: 3207 },
    { pin: 15, firstFuse: 2560, rows: 8, polarityFuse: 3208 },
    { pin: 14, firstFuse: 2880, rows: 8, polarityFuse: 3209 },
  ],
  kinds: { registered: { enable: { rowAndLowPin: 13 }, clockRow: 1, resetRow: 2, presetRow: 3, firstTerm: 4 } },
  unusedKind: 'registered',
  registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
  fixed: [],
  signatureFuse: 3210,
}
