/** 20L10, 20X4, 20X8 and 20X10: ten outputs of four rows; registers take the exclusive-or of two sums. */
import type { CellSetting } from '../device'
import type { StatedCells, StatedPart } from '../stated-part'

/** First row enables, three terms, active low. */
const ROW_ENABLED: CellSetting = {
  output: 'combinational',
  enable: { row: 0 },
  sums: [{ from: 1, count: 3 }],
  polarity: 'none',
  inverting: true,
}

/** The exclusive-or of two sums of two terms. */
const XOR_REGISTERED: CellSetting = {
  output: 'registered',
  enable: { lowPin: 13 },
  sums: [
    { from: 0, count: 2 },
    { from: 2, count: 2 },
  ],
  polarity: 'none',
  inverting: true,
  clock: { pin: 1 },
}

const CELLS: StatedCells = { pins: [23, 22, 21, 20, 19, 18, 17, 16, 15, 14], rows: 4 }

const REMARKS: readonly string[] = ['20L10, 20X4, 20X8 and 20X10 have the same number of fuses.']

const COLUMNS: readonly number[] = [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14]

export const PAL20L10: StatedPart = {
  part: '20L10',
  title: 'Ten active-low outputs of three terms, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  cells: CELLS,
  columns: [2, 1, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 13],
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, XOR_REGISTERED],
  basis: 'unconfirmed',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: the columns, by the pattern of 16L8 and 16R8',
  ],
  remarks: REMARKS,
}

export const PAL20X4: StatedPart = {
  part: '20X4',
  title: '4 registers with exclusive-or and 6 active-low outputs, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, XOR_REGISTERED],
  cellSettings: [0, 0, 0, 1, 1, 1, 1, 0, 0, 0],
  basis: 'unconfirmed',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: which outputs are registered, by the pattern of 16R4',
  ],
  remarks: REMARKS,
}

export const PAL20X8: StatedPart = {
  part: '20X8',
  title: '8 registers with exclusive-or and 2 active-low outputs, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, XOR_REGISTERED],
  cellSettings: [0, 1, 1, 1, 1, 1, 1, 1, 1, 0],
  basis: 'unconfirmed',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: the outer two outputs, by the pattern of 16R6',
  ],
  remarks: REMARKS,
}

export const PAL20X10: StatedPart = {
  part: '20X10',
  title: '10 registers with exclusive-or, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  cells: CELLS,
  columns: COLUMNS,
  registerFeedback: 'inverted-register',
  settings: [ROW_ENABLED, XOR_REGISTERED],
  cellSettings: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1],
  basis: 'inferred',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: rows and columns; four published maps decode to exact ripple counters under them',
  ],
  remarks: REMARKS,
}
