/** Small 20-pin PALs without enable, feedback or registers: 14L4 and 14H4. */
import type { CellSetting, Device } from './device'

const ACTIVE_LOW: CellSetting = { output: 'combinational', enable: 'always', sums: [{ from: 0, count: 4 }], polarity: 'none', inverting: true }

export const PAL14L4: Device = {
  part: '14L4',
  aliases: ['PAL14L4'],
  title: 'Four active-low outputs of four terms, 14 inputs, 20 pins',
  fuseCount: 448,
  pinCount: 20,
  groundPin: 10,
  powerPin: 20,
  array: { rows: 16, columns: 28 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 448 }],
  cells: [
    { pin: 17, firstRow: 0, rowCount: 4 },
    { pin: 16, firstRow: 4, rowCount: 4 },
    { pin: 15, firstRow: 8, rowCount: 4 },
    { pin: 14, firstRow: 12, rowCount: 4 },
  ],
  modes: [
    {
      name: null,
      select: [],
      columns: [2, 1, 3, 19, 4, 18, 5, 6, 7, 13, 8, 12, 9, 11],
      registerFeedback: 'pin',
      settings: [ACTIVE_LOW],
    },
  ],
  basis: 'published',
  sources: [
    'JEDEC Standard No. 3-A, worked example of a complete file (448 fuses, C124E, eight vectors), as reproduced in programmer manuals: columns and rows agree with its vectors',
    'Lattice GAL16V8 data sheet, 16v8_04, p. 9: the simple-mode array, of which this is the part with the columns of its output pins left out',
  ],
  remarks: ['A 14H4 has the same number of fuses and the opposite output level.'],
}

export const PAL14H4: Device = {
  ...PAL14L4,
  part: '14H4',
  aliases: ['PAL14H4'],
  title: 'Four active-high outputs of four terms, 14 inputs, 20 pins',
  modes: [{ ...PAL14L4.modes[0]!, settings: [{ ...ACTIVE_LOW, inverting: false }] }],
  basis: 'inferred',
  sources: ['inferred from the 14L4: the letter H of the part number stands for active-high outputs', ...PAL14L4.sources],
  remarks: ['A 14L4 has the same number of fuses and the opposite output level.'],
}
