/** 20L8, 20R4, 20R6 and 20R8: one array of 2560 fuses, which does not tell them apart. */
import type { Cell, CellSetting, Device, FuseBlock } from '../device'

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

const BLOCKS: readonly FuseBlock[] = [{ use: 'array', name: 'AND array', first: 0, count: 2560 }]

const CELLS: readonly Cell[] = [
  { pin: 22, firstRow: 0, rowCount: 8 },
  { pin: 21, firstRow: 8, rowCount: 8 },
  { pin: 20, firstRow: 16, rowCount: 8 },
  { pin: 19, firstRow: 24, rowCount: 8 },
  { pin: 18, firstRow: 32, rowCount: 8 },
  { pin: 17, firstRow: 40, rowCount: 8 },
  { pin: 16, firstRow: 48, rowCount: 8 },
  { pin: 15, firstRow: 56, rowCount: 8 },
]

const SOURCES: readonly string[] = [
  'Lattice GAL20V8 data sheet, 20v8_04, August 2000: p. 3 (PALs that it emulates), logic diagrams p. 5, 7',
  'Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, Nov 1998: p. 3 (PAL files work unchanged)',
]

const COLUMNS: readonly number[] = [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14]

export const PAL20L8: Device = {
  part: '20L8',
  aliases: ['PAL20L8'],
  title: 'Eight active-low outputs of seven terms, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 64, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 23, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 14, 11, 13],
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, REGISTERED],
    },
  ],
  basis: 'published',
  sources: SOURCES,
  remarks: ['20L8, 20R4, 20R6 and 20R8 have the same number of fuses.'],
}

export const PAL20R4: Device = {
  part: '20R4',
  aliases: ['PAL20R4'],
  title: '4 registers and 4 active-low outputs, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 64, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS,
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, REGISTERED],
      cellSettings: [0, 0, 1, 1, 1, 1, 0, 0],
    },
  ],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: TI -15C starts with the pins high (SRPS021A); others may differ.',
    '20L8, 20R4, 20R6 and 20R8 have the same number of fuses.',
  ],
}

export const PAL20R6: Device = {
  part: '20R6',
  aliases: ['PAL20R6'],
  title: '6 registers and 2 active-low outputs, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 64, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS,
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, REGISTERED],
      cellSettings: [0, 1, 1, 1, 1, 1, 1, 0],
    },
  ],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: TI -15C starts with the pins high (SRPS021A); others may differ.',
    '20L8, 20R4, 20R6 and 20R8 have the same number of fuses.',
  ],
}

export const PAL20R8: Device = {
  part: '20R8',
  aliases: ['PAL20R8'],
  title: '8 registers, 24 pins',
  fuseCount: 2560,
  pinCount: 24,
  groundPin: 12,
  powerPin: 24,
  array: { rows: 64, columns: 40 },
  blocks: BLOCKS,
  cells: CELLS,
  modes: [
    {
      name: null,
      select: [],
      columns: COLUMNS,
      registerFeedback: 'inverted-register',
      settings: [ROW_ENABLED, REGISTERED],
      cellSettings: [1, 1, 1, 1, 1, 1, 1, 1],
    },
  ],
  basis: 'published',
  sources: SOURCES,
  remarks: [
    'Power-up depends on maker and series: TI -15C starts with the pins high (SRPS021A); others may differ.',
    '20L8, 20R4, 20R6 and 20R8 have the same number of fuses.',
  ],
}
