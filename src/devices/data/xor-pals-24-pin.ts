/** 20L10, 20X4, 20X8 and 20X10: ten outputs of four rows; registers take the exclusive-or of two sums. */
import type { Cell, CellSetting, Device, FuseBlock } from '../device'

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

const BLOCKS: readonly FuseBlock[] = [{ use: 'array', name: 'AND array', first: 0, count: 1600 }]

const CELLS: readonly Cell[] = [
  { pin: 23, firstRow: 0, rowCount: 4 },
  { pin: 22, firstRow: 4, rowCount: 4 },
  { pin: 21, firstRow: 8, rowCount: 4 },
  { pin: 20, firstRow: 12, rowCount: 4 },
  { pin: 19, firstRow: 16, rowCount: 4 },
  { pin: 18, firstRow: 20, rowCount: 4 },
  { pin: 17, firstRow: 24, rowCount: 4 },
  { pin: 16, firstRow: 28, rowCount: 4 },
  { pin: 15, firstRow: 32, rowCount: 4 },
  { pin: 14, firstRow: 36, rowCount: 4 },
]

const REMARKS: readonly string[] = ['20L10, 20X4, 20X8 and 20X10 have the same number of fuses.']

const COLUMNS: readonly number[] = [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14]

export const PAL20L10: Device = {
  part: '20L10',
  aliases: ['PAL20L10'],
  title: 'Ten active-low outputs of three terms, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 40, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 13],
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, XOR_REGISTERED],
    },
  ],
  basis: 'unconfirmed',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: the columns, by the pattern of 16L8 and 16R8',
  ],
  remarks: REMARKS,
}

export const PAL20X4: Device = {
  part: '20X4',
  aliases: ['PAL20X4'],
  title: '4 registers with exclusive-or and 6 active-low outputs, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 40, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS,
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, XOR_REGISTERED],
      cellSettings: [0, 0, 0, 1, 1, 1, 1, 0, 0, 0],
    },
  ],
  basis: 'unconfirmed',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: which outputs are registered, by the pattern of 16R4',
  ],
  remarks: REMARKS,
}

export const PAL20X8: Device = {
  part: '20X8',
  aliases: ['PAL20X8'],
  title: '8 registers with exclusive-or and 2 active-low outputs, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 40, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS,
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, XOR_REGISTERED],
      cellSettings: [0, 1, 1, 1, 1, 1, 1, 1, 1, 0],
    },
  ],
  basis: 'unconfirmed',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: the outer two outputs, by the pattern of 16R6',
  ],
  remarks: REMARKS,
}

export const PAL20X10: Device = {
  part: '20X10',
  aliases: ['PAL20X10'],
  title: '10 registers with exclusive-or, 24 pins',
  fuseCount: 1600,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 40, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS,
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, XOR_REGISTERED],
      cellSettings: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1],
    },
  ],
  basis: 'inferred',
  sources: [
    'AMD PAL20X10A Series data sheet, first page: exclusive-or of two sums of two terms; three terms an output of the 20L10',
    'inferred: rows and columns; four published maps decode to exact ripple counters under them',
  ],
  remarks: REMARKS,
}
