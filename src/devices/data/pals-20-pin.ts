/** 16L8, 16R4, 16R6 and 16R8: one array of 2048 fuses, which does not tell them apart. */
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
  enable: { lowPin: 11 },
  sums: [{ from: 0, count: 8 }],
  polarity: 'none',
  inverting: true,
  clock: { pin: 1 },
}

const CELLS: StatedCells = { pins: [19, 18, 17, 16, 15, 14, 13, 12], rows: 8 }

const SOURCES: readonly string[] = [
  'AMD PAL16R8 Family data sheet, 16492D: p. 2-9 (text), p. 2-10 to 2-13 (logic diagrams)',
]

const COLUMNS: readonly number[] = [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12]

export const PAL16L8: StatedPart = {
  part: '16L8',
  title: 'Eight active-low outputs of seven terms, 20 pins',
  fuseCount: 2048,
  pinCount: 20,
  cells: CELLS,
  columns: [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11],
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  basis: 'published',
  sources: SOURCES,
  remarks: ['16L8, 16R4, 16R6 and 16R8 have the same number of fuses.'],
}

export const PAL16R4: StatedPart = {
  part: '16R4',
  title: '4 registers and 4 active-low outputs, 20 pins',
  fuseCount: 2048,
  pinCount: 20,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  cellSettings: [0, 0, 1, 1, 1, 1, 0, 0],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: AMD starts with the pins high (PAL16R8 Family, p. 2-9); TI -15M and -25C with the pins low (SRPS018A, SRPS059), TI -5C and -7M with the pins high (SRPS011D); early parts are not defined (from memory).',
    '16L8, 16R4, 16R6 and 16R8 have the same number of fuses.',
  ],
}

export const PAL16R6: StatedPart = {
  part: '16R6',
  title: '6 registers and 2 active-low outputs, 20 pins',
  fuseCount: 2048,
  pinCount: 20,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  cellSettings: [0, 1, 1, 1, 1, 1, 1, 0],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: AMD starts with the pins high (PAL16R8 Family, p. 2-9); TI -15M and -25C with the pins low (SRPS018A, SRPS059), TI -5C and -7M with the pins high (SRPS011D); early parts are not defined (from memory).',
    '16L8, 16R4, 16R6 and 16R8 have the same number of fuses.',
  ],
}

export const PAL16R8: StatedPart = {
  part: '16R8',
  title: '8 registers, 20 pins',
  fuseCount: 2048,
  pinCount: 20,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, REGISTERED],
  cellSettings: [1, 1, 1, 1, 1, 1, 1, 1],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: AMD starts with the pins high (PAL16R8 Family, p. 2-9); TI -15M and -25C with the pins low (SRPS018A, SRPS059), TI -5C and -7M with the pins high (SRPS011D); early parts are not defined (from memory).',
    '16L8, 16R4, 16R6 and 16R8 have the same number of fuses.',
  ],
}
