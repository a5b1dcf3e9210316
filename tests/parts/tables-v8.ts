/** Fuse numbers of the 16V8 and the 20V8, mode by mode, as their data sheets print them. */
import type { CellTable, PartTable } from './part-table'

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
const COMMON_16V8 = {
  part: '16V8',
  pinCount: 20,
  supplyPins: [10, 20],
  fuseCount: 2194,
  width: 32,
  signatureFuse: 2056,
  firstDisableFuse: 2128,
} as const
const SYN = 2192
const AC0 = 2193

export const TABLES_16V8: readonly PartTable[] = [
  {
    // Columns: diagram p. 5. SYN 0, AC0 1; AC1 0 registered with clock pin 1 and pin 11 low, AC1 1 with enable row:
    // p. 4.
    ...COMMON_16V8,
    mode: 'registered',
    columns: [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12],
    cells: CELLS_16V8,
    kinds: { registered: { select: 0, enable: { lowPin: 11 } }, combinational: { select: 1, enable: 'row' } },
    unusedKind: 'combinational',
    clockPin: 1,
    fixed: [
      [SYN, 0],
      [AC0, 1],
    ],
  },
  {
    // Columns: diagram p. 7. SYN 1, AC0 1, every AC1 1, first row enables: p. 6.
    ...COMMON_16V8,
    mode: 'complex',
    columns: [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11],
    cells: CELLS_16V8,
    kinds: { combinational: { select: 1, enable: 'row' } },
    unusedKind: 'combinational',
    fixed: [
      [SYN, 1],
      [AC0, 1],
    ],
  },
  {
    // Columns: diagram p. 9. SYN 1, AC0 0; AC1 0 output with eight terms, AC1 1 input, not on pins 15 and 16: p. 8.
    ...COMMON_16V8,
    mode: 'simple',
    columns: [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11],
    cells: CELLS_16V8.map((cell) => (cell.pin === 15 || cell.pin === 16 ? { ...cell, only: 'combinational' } : cell)),
    kinds: { combinational: { select: 0, enable: 'always' }, input: { select: 1, enable: 'never' } },
    unusedKind: 'input',
    fixed: [
      [SYN, 1],
      [AC0, 0],
    ],
  },
]

/** Lattice GAL20V8 data sheet, 20v8_04, August 2000, logic diagrams p. 5, 7, 9, printed in the same way. */
const CELLS_20V8: readonly CellTable[] = [
  { pin: 22, firstFuse: 0, rows: 8, polarityFuse: 2560, selectFuse: 2632 },
  { pin: 21, firstFuse: 320, rows: 8, polarityFuse: 2561, selectFuse: 2633 },
  { pin: 20, firstFuse: 640, rows: 8, polarityFuse: 2562, selectFuse: 2634 },
  { pin: 19, firstFuse: 960, rows: 8, polarityFuse: 2563, selectFuse: 2635 },
  { pin: 18, firstFuse: 1280, rows: 8, polarityFuse: 2564, selectFuse: 2636 },
  { pin: 17, firstFuse: 1600, rows: 8, polarityFuse: 2565, selectFuse: 2637 },
  { pin: 16, firstFuse: 1920, rows: 8, polarityFuse: 2566, selectFuse: 2638 },
  { pin: 15, firstFuse: 2240, rows: 8, polarityFuse: 2567, selectFuse: 2639 },
]

/** Same diagrams: signature from 2568, disable fuses from 2640, SYN 2704, AC0 2705. */
const COMMON_20V8 = {
  part: '20V8',
  pinCount: 24,
  supplyPins: [12, 24],
  fuseCount: 2706,
  width: 40,
  signatureFuse: 2568,
  firstDisableFuse: 2640,
} as const

export const TABLES_20V8: readonly PartTable[] = [
  {
    // Columns: diagram p. 5. Clock pin 1, output enable pin 13: p. 4.
    ...COMMON_20V8,
    mode: 'registered',
    columns: [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14],
    cells: CELLS_20V8,
    kinds: { registered: { select: 0, enable: { lowPin: 13 } }, combinational: { select: 1, enable: 'row' } },
    unusedKind: 'combinational',
    clockPin: 1,
    fixed: [
      [2704, 0],
      [2705, 1],
    ],
  },
  {
    // Columns: diagram p. 7; none for pins 22 and 15.
    ...COMMON_20V8,
    mode: 'complex',
    columns: [2, 1, 3, 23, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 14, 11, 13],
    cells: CELLS_20V8,
    kinds: { combinational: { select: 1, enable: 'row' } },
    unusedKind: 'combinational',
    fixed: [
      [2704, 1],
      [2705, 1],
    ],
  },
  {
    // Columns: diagram p. 9; none for pins 19 and 18, which are no inputs either: p. 8.
    ...COMMON_20V8,
    mode: 'simple',
    columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 20, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
    cells: CELLS_20V8.map((cell) => (cell.pin === 19 || cell.pin === 18 ? { ...cell, only: 'combinational' } : cell)),
    kinds: { combinational: { select: 0, enable: 'always' }, input: { select: 1, enable: 'never' } },
    unusedKind: 'input',
    fixed: [
      [2704, 1],
      [2705, 0],
    ],
  },
]
