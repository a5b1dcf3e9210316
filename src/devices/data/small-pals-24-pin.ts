/** Small 24-pin PALs without enable, feedback or registers. */
import type { CellSetting } from '../device'
import type { StatedPart } from '../stated-part'

/** All rows of the cell are terms. */
const ACTIVE_LOW: CellSetting = {
  output: 'combinational',
  enable: 'always',
  sums: [{ from: 0, count: 8 }],
  polarity: 'none',
  inverting: true,
}

export const PAL12L10: StatedPart = {
  part: '12L10',
  title: 'Ten active-low outputs, 12 inputs, 24 pins',
  fuseCount: 480,
  pinCount: 24,
  cells: { pins: [23, 22, 21, 20, 19, 18, 17, 16, 15, 14], rows: 2 },
  columns: [2, 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13],
  settings: [ACTIVE_LOW],
  basis: 'memory',
  sources: ['from memory: rows and columns'],
}

export const PAL14L8: StatedPart = {
  part: '14L8',
  title: 'Eight active-low outputs, 14 inputs, 24 pins',
  fuseCount: 560,
  pinCount: 24,
  cells: { pins: [22, 21, 20, 19, 18, 17, 16, 15], rows: [4, 2, 2, 2, 2, 2, 2, 4] },
  columns: [2, 1, 3, 23, 4, 5, 6, 7, 8, 9, 10, 14, 11, 13],
  settings: [ACTIVE_LOW],
  basis: 'memory',
  sources: [
    'from memory: the rows of each output',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
}

export const PAL16L6: StatedPart = {
  part: '16L6',
  title: 'Six active-low outputs, 16 inputs, 24 pins',
  fuseCount: 640,
  pinCount: 24,
  cells: { pins: [21, 20, 19, 18, 17, 16], rows: [4, 4, 2, 2, 4, 4] },
  columns: [2, 1, 3, 23, 4, 22, 5, 6, 7, 8, 9, 15, 10, 14, 11, 13],
  settings: [ACTIVE_LOW],
  basis: 'inferred',
  sources: [
    'inferred: one published map for an emulating part, made by the maker’s own conversion from a 16L6',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
}

export const PAL18L4: StatedPart = {
  part: '18L4',
  title: 'Four active-low outputs, 18 inputs, 24 pins',
  fuseCount: 720,
  pinCount: 24,
  cells: { pins: [20, 19, 18, 17], rows: [6, 4, 4, 6] },
  columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 7, 8, 16, 9, 15, 10, 14, 11, 13],
  settings: [ACTIVE_LOW],
  basis: 'memory',
  sources: [
    'from memory: the rows of each output',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
}

export const PAL20L2: StatedPart = {
  part: '20L2',
  title: 'Two active-low outputs, 20 inputs, 24 pins',
  fuseCount: 640,
  pinCount: 24,
  cells: { pins: [19, 18], rows: 8 },
  columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 20, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
  settings: [ACTIVE_LOW],
  basis: 'memory',
  sources: [
    'from memory: the rows of each output',
    'inferred: the simple-mode array of the emulating part (GAL20V8 data sheet p. 9) with the columns of the output pins left out',
  ],
}

export const PAL8L14: StatedPart = {
  part: '8L14',
  title: 'Fourteen active-low outputs of one term, 8 inputs, 24 pins',
  fuseCount: 224,
  pinCount: 24,
  cells: { pins: [1, 23, 2, 22, 21, 20, 19, 18, 17, 16, 15, 14, 11, 13], rows: 1 },
  columns: [3, 4, 5, 6, 7, 8, 9, 10],
  settings: [ACTIVE_LOW],
  basis: 'unconfirmed',
  sources: [
    'inferred: two published maps with pin tables and equations; they do not decide the order of pins 7 and 8',
  ],
}
