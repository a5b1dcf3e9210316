/** 20RA10: registers clocked, reset and preset by terms of their own. */
import { PLCC_28 } from './carriers'
import type { CellSetting } from '../device'
import type { StatedPart } from '../stated-part'

/** Eight rows: enable, clock, reset, preset, four terms. Reset and preset together bypass the register. */
const ASYNCHRONOUS: CellSetting = {
  output: 'registered',
  enable: { row: 0, lowPin: 13 },
  sums: [{ from: 4, count: 4 }],
  polarity: 'before',
  inverting: true,
  clock: { row: 1 },
  resetRow: 2,
  presetRow: 3,
  bypass: true,
  loadPin: 1,
  powerUp: 0,
}

export const GAL20RA10: StatedPart = {
  part: '20RA10',
  aliases: ['GAL20RA10', 'PAL20RA10', 'PALCE20RA10'],
  title: 'Ten asynchronous registers, each clocked by a term, 24 pins',
  fuseCount: 3274,
  shorterCounts: [3210],
  shorterBasis: 'memory',
  pinCount: 24,
  carriers: [PLCC_28],
  blocks: [
    { use: 'polarity', name: 'XOR', first: 3200, count: 10 },
    { use: 'signature', name: 'signature', first: 3210, count: 64 },
  ],
  cells: { pins: [23, 22, 21, 20, 19, 18, 17, 16, 15, 14], rows: 8 },
  columns: [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14],
  settings: [ASYNCHRONOUS],
  basis: 'inferred',
  sources: [
    'Lattice GAL20RA10 data sheet, 20ra10_02, July 1997: p. 3-5 (macrocell, logic diagram), p. 7-8 (timing, preload), p. 10-11 (signature, power-up)',
    'US patent 4,684,830, abstract: reset and preset together bypass the register',
    'inferred: that the upper of the two rows is the reset, from the order of the drawing on p. 4; the number 3274 by count',
    'from memory: the map of 3210 fuses, without signature',
  ],
  remarks: [
    'Registered pins show high at power-up whatever their polarity (GAL20RA10 data sheet p. 11).',
    'Pin 1 low loads the registers of disabled outputs from their pins, at ordinary levels.',
    'Feedback is always the pin, so a disabled output is an input.',
  ],
}
