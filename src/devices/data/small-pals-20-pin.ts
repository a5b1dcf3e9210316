/** Small 20-pin PALs without enable, feedback or registers. */
import type { CellSetting } from '../device'
import type { StatedCells, StatedPart } from '../stated-part'

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

const CELLS_10: StatedCells = { pins: [19, 18, 17, 16, 15, 14, 13, 12], rows: 2 }

const SOURCES_10: readonly string[] = [
  'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  'inferred: published measured dumps with fuse numbers (third party) of one PAL10L8 and one PAL12L6 agree with that rule',
]

const COLUMNS_10: readonly number[] = [2, 1, 3, 4, 5, 6, 7, 8, 9, 11]

const CELLS_12: StatedCells = { pins: [18, 17, 16, 15, 14, 13], rows: [4, 2, 2, 2, 2, 4] }

const SOURCES_12: readonly string[] = [
  'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  'inferred: published measured dumps with fuse numbers (third party) of one PAL10L8 and one PAL12L6 agree with that rule',
]

const COLUMNS_12: readonly number[] = [2, 1, 3, 19, 4, 5, 6, 7, 8, 12, 9, 11]

const CELLS_14: StatedCells = { pins: [17, 16, 15, 14], rows: 4 }

const COLUMNS_14: readonly number[] = [2, 1, 3, 19, 4, 18, 5, 6, 7, 13, 8, 12, 9, 11]

const CELLS_16: StatedCells = { pins: [16, 15], rows: 8 }

const SOURCES_16: readonly string[] = [
  'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  'inferred: rows and columns, by that rule',
]

const COLUMNS_16: readonly number[] = [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11]

export const PAL10H8: StatedPart = {
  part: '10H8',
  title: 'Eight active-high outputs, 10 inputs, 20 pins',
  fuseCount: 320,
  pinCount: 20,
  cells: CELLS_10,
  columns: COLUMNS_10,
  settings: [ACTIVE_HIGH],
  basis: 'inferred',
  sources: SOURCES_10,
  remarks: ['A 10L8 has the same number of fuses and the opposite output level.'],
}

export const PAL10L8: StatedPart = {
  part: '10L8',
  title: 'Eight active-low outputs, 10 inputs, 20 pins',
  fuseCount: 320,
  pinCount: 20,
  cells: CELLS_10,
  columns: COLUMNS_10,
  settings: [ACTIVE_LOW],
  basis: 'inferred',
  sources: SOURCES_10,
  remarks: ['A 10H8 has the same number of fuses and the opposite output level.'],
}

export const PAL12H6: StatedPart = {
  part: '12H6',
  title: 'Six active-high outputs, 12 inputs, 20 pins',
  fuseCount: 384,
  pinCount: 20,
  cells: CELLS_12,
  columns: COLUMNS_12,
  settings: [ACTIVE_HIGH],
  basis: 'inferred',
  sources: SOURCES_12,
  remarks: ['A 12L6 has the same number of fuses and the opposite output level.'],
}

export const PAL12L6: StatedPart = {
  part: '12L6',
  title: 'Six active-low outputs, 12 inputs, 20 pins',
  fuseCount: 384,
  pinCount: 20,
  cells: CELLS_12,
  columns: COLUMNS_12,
  settings: [ACTIVE_LOW],
  basis: 'inferred',
  sources: SOURCES_12,
  remarks: ['A 12H6 has the same number of fuses and the opposite output level.'],
}

export const PAL14H4: StatedPart = {
  part: '14H4',
  title: 'Four active-high outputs, 14 inputs, 20 pins',
  fuseCount: 448,
  pinCount: 20,
  cells: CELLS_14,
  columns: COLUMNS_14,
  settings: [ACTIVE_HIGH],
  basis: 'inferred',
  sources: [
    'inferred from the 14L4: the letter H of the part number stands for active-high outputs',
    'JEDEC Standard No. 3-A, worked example of a complete file (448 fuses, C124E, eight vectors), as reproduced in programmer manuals: columns and rows agree with its vectors',
    'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  ],
  remarks: ['A 14L4 has the same number of fuses and the opposite output level.'],
}

export const PAL14L4: StatedPart = {
  part: '14L4',
  title: 'Four active-low outputs, 14 inputs, 20 pins',
  fuseCount: 448,
  pinCount: 20,
  cells: CELLS_14,
  columns: COLUMNS_14,
  settings: [ACTIVE_LOW],
  basis: 'published',
  sources: [
    'JEDEC Standard No. 3-A, worked example of a complete file (448 fuses, C124E, eight vectors), as reproduced in programmer manuals: columns and rows agree with its vectors',
    'Lattice GAL16V8 data sheet, 16v8_04, July 1997, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  ],
  remarks: ['A 14H4 has the same number of fuses and the opposite output level.'],
}

export const PAL16H2: StatedPart = {
  part: '16H2',
  title: 'Two active-high outputs, 16 inputs, 20 pins',
  fuseCount: 512,
  pinCount: 20,
  cells: CELLS_16,
  columns: COLUMNS_16,
  settings: [ACTIVE_HIGH],
  basis: 'inferred',
  sources: SOURCES_16,
  remarks: ['A 16L2 has the same number of fuses and the opposite output level.'],
}

export const PAL16L2: StatedPart = {
  part: '16L2',
  title: 'Two active-low outputs, 16 inputs, 20 pins',
  fuseCount: 512,
  pinCount: 20,
  cells: CELLS_16,
  columns: COLUMNS_16,
  settings: [ACTIVE_LOW],
  basis: 'inferred',
  sources: SOURCES_16,
  remarks: ['A 16H2 has the same number of fuses and the opposite output level.'],
}
