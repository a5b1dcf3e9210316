/** Small 20-pin PALs without enable, feedback or registers. */
import type { Cell, CellSetting, Device, FuseBlock } from '../device'

/** All rows of the cell are terms; H parts show their sum, L parts its complement. */
const ACTIVE_HIGH: CellSetting = {
  output: 'combinational',
  enable: 'always',
  sums: [{ from: 0, count: 8 }],
  polarity: 'none',
  inverting: false,
}
const ACTIVE_LOW: CellSetting = {
  output: 'combinational',
  enable: 'always',
  sums: [{ from: 0, count: 8 }],
  polarity: 'none',
  inverting: true,
}

const BLOCKS_10: readonly FuseBlock[] = [{ use: 'array', name: 'AND array', first: 0, count: 320 }]

const CELLS_10: readonly Cell[] = [
  { pin: 19, firstRow: 0, rowCount: 2 },
  { pin: 18, firstRow: 2, rowCount: 2 },
  { pin: 17, firstRow: 4, rowCount: 2 },
  { pin: 16, firstRow: 6, rowCount: 2 },
  { pin: 15, firstRow: 8, rowCount: 2 },
  { pin: 14, firstRow: 10, rowCount: 2 },
  { pin: 13, firstRow: 12, rowCount: 2 },
  { pin: 12, firstRow: 14, rowCount: 2 },
]

const SOURCES_10: readonly string[] = [
  'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  'inferred: published measured dumps with fuse numbers (third party) of one PAL10L8 and one PAL12L6 agree with that rule',
]

const COLUMNS_10: readonly number[] = [2, 1, 3, 4, 5, 6, 7, 8, 9, 11]

const BLOCKS_12: readonly FuseBlock[] = [{ use: 'array', name: 'AND array', first: 0, count: 384 }]

const CELLS_12: readonly Cell[] = [
  { pin: 18, firstRow: 0, rowCount: 4 },
  { pin: 17, firstRow: 4, rowCount: 2 },
  { pin: 16, firstRow: 6, rowCount: 2 },
  { pin: 15, firstRow: 8, rowCount: 2 },
  { pin: 14, firstRow: 10, rowCount: 2 },
  { pin: 13, firstRow: 12, rowCount: 4 },
]

const SOURCES_12: readonly string[] = [
  'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  'inferred: published measured dumps with fuse numbers (third party) of one PAL10L8 and one PAL12L6 agree with that rule',
]

const COLUMNS_12: readonly number[] = [2, 1, 3, 19, 4, 5, 6, 7, 8, 12, 9, 11]

const BLOCKS_14: readonly FuseBlock[] = [{ use: 'array', name: 'AND array', first: 0, count: 448 }]

const CELLS_14: readonly Cell[] = [
  { pin: 17, firstRow: 0, rowCount: 4 },
  { pin: 16, firstRow: 4, rowCount: 4 },
  { pin: 15, firstRow: 8, rowCount: 4 },
  { pin: 14, firstRow: 12, rowCount: 4 },
]

const COLUMNS_14: readonly number[] = [2, 1, 3, 19, 4, 18, 5, 6, 7, 13, 8, 12, 9, 11]

const BLOCKS_16: readonly FuseBlock[] = [{ use: 'array', name: 'AND array', first: 0, count: 512 }]

const CELLS_16: readonly Cell[] = [
  { pin: 16, firstRow: 0, rowCount: 8 },
  { pin: 15, firstRow: 8, rowCount: 8 },
]

const SOURCES_16: readonly string[] = [
  'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  'inferred: rows and columns, by that rule',
]

const COLUMNS_16: readonly number[] = [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11]

export const PAL10H8: Device = {
  part: '10H8',
  aliases: ['PAL10H8'],
  title: 'Eight active-high outputs, 10 inputs, 20 pins',
  fuseCount: 320,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 20 },
  blocks: BLOCKS_10,
  cells: CELLS_10,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_10,
      registerFeedback: 'pin',
      settings: [ACTIVE_HIGH],
    },
  ],
  basis: 'inferred',
  sources: SOURCES_10,
  remarks: ['A 10L8 has the same number of fuses and the opposite output level.'],
}

export const PAL10L8: Device = {
  part: '10L8',
  aliases: ['PAL10L8'],
  title: 'Eight active-low outputs, 10 inputs, 20 pins',
  fuseCount: 320,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 20 },
  blocks: BLOCKS_10,
  cells: CELLS_10,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_10,
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'inferred',
  sources: SOURCES_10,
  remarks: ['A 10H8 has the same number of fuses and the opposite output level.'],
}

export const PAL12H6: Device = {
  part: '12H6',
  aliases: ['PAL12H6'],
  title: 'Six active-high outputs, 12 inputs, 20 pins',
  fuseCount: 384,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 24 },
  blocks: BLOCKS_12,
  cells: CELLS_12,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_12,
      registerFeedback: 'pin',
      settings: [ACTIVE_HIGH],
    },
  ],
  basis: 'inferred',
  sources: SOURCES_12,
  remarks: ['A 12L6 has the same number of fuses and the opposite output level.'],
}

export const PAL12L6: Device = {
  part: '12L6',
  aliases: ['PAL12L6'],
  title: 'Six active-low outputs, 12 inputs, 20 pins',
  fuseCount: 384,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 24 },
  blocks: BLOCKS_12,
  cells: CELLS_12,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_12,
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'inferred',
  sources: SOURCES_12,
  remarks: ['A 12H6 has the same number of fuses and the opposite output level.'],
}

export const PAL14H4: Device = {
  part: '14H4',
  aliases: ['PAL14H4'],
  title: 'Four active-high outputs, 14 inputs, 20 pins',
  fuseCount: 448,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 28 },
  blocks: BLOCKS_14,
  cells: CELLS_14,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_14,
      registerFeedback: 'pin',
      settings: [ACTIVE_HIGH],
    },
  ],
  basis: 'inferred',
  sources: [
    'inferred from the 14L4: the letter H of the part number stands for active-high outputs',
    'JEDEC Standard No. 3-A, worked example of a complete file (448 fuses, C124E, eight vectors), as reproduced in programmer manuals: columns and rows agree with its vectors',
    'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  ],
  remarks: ['A 14L4 has the same number of fuses and the opposite output level.'],
}

export const PAL14L4: Device = {
  part: '14L4',
  aliases: ['PAL14L4'],
  title: 'Four active-low outputs, 14 inputs, 20 pins',
  fuseCount: 448,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 28 },
  blocks: BLOCKS_14,
  cells: CELLS_14,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_14,
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'published',
  sources: [
    'JEDEC Standard No. 3-A, worked example of a complete file (448 fuses, C124E, eight vectors), as reproduced in programmer manuals: columns and rows agree with its vectors',
    'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  ],
  remarks: ['A 14H4 has the same number of fuses and the opposite output level.'],
}

export const PAL16H2: Device = {
  part: '16H2',
  aliases: ['PAL16H2'],
  title: 'Two active-high outputs, 16 inputs, 20 pins',
  fuseCount: 512,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 32 },
  blocks: BLOCKS_16,
  cells: CELLS_16,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_16,
      registerFeedback: 'pin',
      settings: [ACTIVE_HIGH],
    },
  ],
  basis: 'inferred',
  sources: SOURCES_16,
  remarks: ['A 16L2 has the same number of fuses and the opposite output level.'],
}

export const PAL16L2: Device = {
  part: '16L2',
  aliases: ['PAL16L2'],
  title: 'Two active-low outputs, 16 inputs, 20 pins',
  fuseCount: 512,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 32 },
  blocks: BLOCKS_16,
  cells: CELLS_16,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS_16,
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'inferred',
  sources: SOURCES_16,
  remarks: ['A 16H2 has the same number of fuses and the opposite output level.'],
}
