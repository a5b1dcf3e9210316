/** 20L8, 20R4, 20R6 and 20R8: one array of 2560 fuses, which does not tell them apart. */
import type { CellSetting } from '../device'
import type { StatedCells, StatedPart } from '../stated-part'

/** First row enables, seven terms, active low. */
const ROW_ENABLED: CellSetting = {
  output: 'combinational',
  enable: { row: 0 },
  sums: [{ from: 1, count: 7 }],
  polarity: 'none',
  inverting: true,
}

/** Power-up differs by maker and series, so none is stated. */
const REGISTERED: CellSetting = {
  output: 'registered',
  enable: { lowPin: 13 },
  sums: [{ from: 0, count: 8 }],
  polarity: 'none',
  inverting: true,
  clock: { pin: 1 },
}

const CELLS: StatedCells = { pins: [22, 21, 20, 19, 18, 17, 16, 15], rows: 8 }

const SOURCES: readonly string[] = [
  'Lattice GAL20V8 data sheet, 20v8_04, August 2000: p. 3 (PALs that it emulates), logic diagrams p. 5, 7',
  'Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, Nov 1998: p. 3 (PAL files work unchanged)',
]

const COLUMNS: readonly number[] = [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14]

export const PAL20L8: StatedPart = {
  part: '20L8',
  title: 'Eight active-low outputs of seven terms, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  cells: CELLS,
  columns: [2, 1, 3, 23, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 14, 11, 13],
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  basis: 'published',
  sources: SOURCES,
  remarks: ['20L8, 20R4, 20R6 and 20R8 have the same number of fuses.'],
}

export const PAL20R4: StatedPart = {
  part: '20R4',
  title: '4 registers and 4 active-low outputs, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  cellSettings: [0, 0, 1, 1, 1, 1, 0, 0],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: TI -15C starts with the pins high (SRPS021A); others may differ.',
    '20L8, 20R4, 20R6 and 20R8 have the same number of fuses.',
  ],
}

export const PAL20R6: StatedPart = {
  part: '20R6',
  title: '6 registers and 2 active-low outputs, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  cellSettings: [0, 1, 1, 1, 1, 1, 1, 0],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: TI -15C starts with the pins high (SRPS021A); others may differ.',
    '20L8, 20R4, 20R6 and 20R8 have the same number of fuses.',
  ],
}

export const PAL20R8: StatedPart = {
  part: '20R8',
  title: '8 registers, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  cellSettings: [1, 1, 1, 1, 1, 1, 1, 1],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: TI -15C starts with the pins high (SRPS021A); others may differ.',
    '20L8, 20R4, 20R6 and 20R8 have the same number of fuses.',
  ],
}
