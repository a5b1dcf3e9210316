/** Small 24-pin PALs without enable, feedback or registers. */
import type { CellSetting, Device } from '../device'

/** All rows of the cell are terms. */
const ACTIVE_LOW: CellSetting = {
  output: 'combinational',
  enable: 'always',
  sums: [{ from: 0, count: 8 }],
  polarity: 'none',
  inverting: true,
}

export const PAL12L10: Device = {
  part: '12L10',
  aliases: ['PAL12L10'],
  title: 'Ten active-low outputs, 12 inputs, 24 pins',
  fuseCount: 480,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 20, columns: 24 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 480 }],
  cells: [
    { pin: 23, firstRow: 0, rowCount: 2 },
    { pin: 22, firstRow: 2, rowCount: 2 },
    { pin: 21, firstRow: 4, rowCount: 2 },
    { pin: 20, firstRow: 6, rowCount: 2 },
    { pin: 19, firstRow: 8, rowCount: 2 },
    { pin: 18, firstRow: 10, rowCount: 2 },
    { pin: 17, firstRow: 12, rowCount: 2 },
    { pin: 16, firstRow: 14, rowCount: 2 },
    { pin: 15, firstRow: 16, rowCount: 2 },
    { pin: 14, firstRow: 18, rowCount: 2 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'memory',
  sources: ['from memory: rows and columns'],
  remarks: [],
}

export const PAL14L8: Device = {
  part: '14L8',
  aliases: ['PAL14L8'],
  title: 'Eight active-low outputs, 14 inputs, 24 pins',
  fuseCount: 560,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 20, columns: 28 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 560 }],
  cells: [
    { pin: 22, firstRow: 0, rowCount: 4 },
    { pin: 21, firstRow: 4, rowCount: 2 },
    { pin: 20, firstRow: 6, rowCount: 2 },
    { pin: 19, firstRow: 8, rowCount: 2 },
    { pin: 18, firstRow: 10, rowCount: 2 },
    { pin: 17, firstRow: 12, rowCount: 2 },
    { pin: 16, firstRow: 14, rowCount: 2 },
    { pin: 15, firstRow: 16, rowCount: 4 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 23, 4, 5, 6, 7, 8, 9, 10, 14, 11, 13],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'memory',
  sources: [
    'from memory: the rows of each output',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
  remarks: [],
}

export const PAL16L6: Device = {
  part: '16L6',
  aliases: ['PAL16L6'],
  title: 'Six active-low outputs, 16 inputs, 24 pins',
  fuseCount: 640,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 20, columns: 32 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 640 }],
  cells: [
    { pin: 21, firstRow: 0, rowCount: 4 },
    { pin: 20, firstRow: 4, rowCount: 4 },
    { pin: 19, firstRow: 8, rowCount: 2 },
    { pin: 18, firstRow: 10, rowCount: 2 },
    { pin: 17, firstRow: 12, rowCount: 4 },
    { pin: 16, firstRow: 16, rowCount: 4 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 23, 4, 22, 5, 6, 7, 8, 9, 15, 10, 14, 11, 13],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'inferred',
  sources: [
    'inferred: one published map for an emulating part, made by the maker’s own conversion from a 16L6',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
  remarks: [],
}

export const PAL18L4: Device = {
  part: '18L4',
  aliases: ['PAL18L4'],
  title: 'Four active-low outputs, 18 inputs, 24 pins',
  fuseCount: 720,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 20, columns: 36 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 720 }],
  cells: [
    { pin: 20, firstRow: 0, rowCount: 6 },
    { pin: 19, firstRow: 6, rowCount: 4 },
    { pin: 18, firstRow: 10, rowCount: 4 },
    { pin: 17, firstRow: 14, rowCount: 6 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 7, 8, 16, 9, 15, 10, 14, 11, 13],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'memory',
  sources: [
    'from memory: the rows of each output',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
  remarks: [],
}

export const PAL20L2: Device = {
  part: '20L2',
  aliases: ['PAL20L2'],
  title: 'Two active-low outputs, 20 inputs, 24 pins',
  fuseCount: 640,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 16, columns: 40 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 640 }],
  cells: [
    { pin: 19, firstRow: 0, rowCount: 8 },
    { pin: 18, firstRow: 8, rowCount: 8 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 20, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'memory',
  sources: [
    'from memory: the rows of each output',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
  remarks: [],
}

export const PAL8L14: Device = {
  part: '8L14',
  aliases: ['PAL8L14'],
  title: 'Fourteen active-low outputs of one term, 8 inputs, 24 pins',
  fuseCount: 224,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 14, columns: 16 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 224 }],
  cells: [
    { pin: 1, firstRow: 0, rowCount: 1 },
    { pin: 23, firstRow: 1, rowCount: 1 },
    { pin: 2, firstRow: 2, rowCount: 1 },
    { pin: 22, firstRow: 3, rowCount: 1 },
    { pin: 21, firstRow: 4, rowCount: 1 },
    { pin: 20, firstRow: 5, rowCount: 1 },
    { pin: 19, firstRow: 6, rowCount: 1 },
    { pin: 18, firstRow: 7, rowCount: 1 },
    { pin: 17, firstRow: 8, rowCount: 1 },
    { pin: 16, firstRow: 9, rowCount: 1 },
    { pin: 15, firstRow: 10, rowCount: 1 },
    { pin: 14, firstRow: 11, rowCount: 1 },
    { pin: 11, firstRow: 12, rowCount: 1 },
    { pin: 13, firstRow: 13, rowCount: 1 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [3, 4, 5, 6, 7, 8, 9, 10],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'unconfirmed',
  sources: [
    'inferred: two published maps with pin tables and equations; they do not decide the order of pins 7 and 8',
  ],
  remarks: [],
}
