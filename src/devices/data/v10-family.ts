/** 22V10 and 26CV12: cells with polarity after the register, a shared reset row and a shared preset row. */
import { PLCC_28 } from './carriers'
import type { CellSetting } from '../device'
import type { StatedPart } from '../stated-part'

/** Polarity acts after the register; the column of a registered cell carries ¬Q whatever the polarity. */
const REGISTERED: CellSetting = {
  output: 'registered',
  enable: { row: 0 },
  sums: [{ from: 1, count: 16 }],
  polarity: 'after',
  inverting: true,
  clock: { pin: 1 },
  powerUp: 0,
}

const COMBINATIONAL: CellSetting = {
  output: 'combinational',
  enable: { row: 0 },
  sums: [{ from: 1, count: 16 }],
  polarity: 'after',
  inverting: true,
}

export const GAL22V10: StatedPart = {
  part: '22V10',
  aliases: ['GAL22V10', 'PALCE22V10', 'ATF22V10', 'PAL22V10', 'PALC22V10', 'CY7C22V10'],
  title: 'Ten output cells with up to 16 terms, 24 pins',
  fuseCount: 5893,
  shorterCounts: [5828, 5892],
  pinCount: 24,
  carriers: [PLCC_28],
  powerDownPin: 4,
  powerDownNames: ['ATF22V10C'],
  sharedRows: true,
  blocks: [
    { use: 'polarity', name: 'S0', first: 5808, count: 10, step: 2 },
    { use: 'cell-select', name: 'S1', first: 5809, count: 10, step: 2 },
    { use: 'signature', name: 'signature', first: 5828, count: 64 },
    { use: 'power-down', name: 'power-down', first: 5892, count: 1 },
  ],
  cells: { pins: [23, 22, 21, 20, 19, 18, 17, 16, 15, 14], rows: [9, 11, 13, 15, 17, 17, 15, 13, 11, 9] },
  columns: [1, 23, 2, 22, 3, 21, 4, 20, 5, 19, 6, 18, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
  registerFeedback: 'inverted-register',
  settings: [REGISTERED, COMBINATIONAL],
  basis: 'published',
  sources: [
    'Lattice GAL22V10 data sheet, 22v10_08: p. 3-5 (macrocell, logic diagram), p. 12-13 (signature, power-up)',
    'Atmel ATF22V10C(Q) data sheet, 0735U, July 2010: p. 7-10 (power-up, table 10-1: 5828, 5892 and 5893 fuses)',
    'inferred: that fuse 5892 is the power-down fuse; the value that enables it is not printed',
    'from memory: that a PALCE22V10, a PALC22V10 and a CY7C22V10 have the same map',
  ],
  remarks: [
    'Pins of registers show high at power-up where S0 is 0 and low where it is 1 (GAL22V10 data sheet p. 13).',
    '5828 fuses: without signature; 5892: with it; 5893: with a power-down fuse too (ATF22V10C data sheet).',
    'Of 5893 fuses the last switches a power-down pin (pin 4); which value does is not published.',
  ],
}

export const GAL26CV12: StatedPart = {
  part: '26CV12',
  aliases: ['GAL26CV12'],
  title: 'Twelve output cells with up to 12 terms, 28 pins',
  fuseCount: 6432,
  shorterCounts: [6368],
  shorterBasis: 'inferred',
  pinCount: 28,
  groundPin: 21,
  powerPin: 7,
  sharedRows: true,
  blocks: [
    { use: 'polarity', name: 'S0', first: 6344, count: 12, step: 2 },
    { use: 'cell-select', name: 'S1', first: 6345, count: 12, step: 2 },
    { use: 'signature', name: 'signature', first: 6368, count: 64 },
  ],
  cells: { pins: [27, 26, 25, 24, 23, 22, 20, 19, 18, 17, 16, 15], rows: [9, 9, 9, 9, 11, 13, 13, 11, 9, 9, 9, 9] },
  columns: [1, 28, 2, 27, 3, 26, 4, 25, 5, 24, 6, 23, 8, 22, 9, 20, 10, 19, 11, 18, 12, 17, 13, 16, 14, 15],
  registerFeedback: 'inverted-register',
  settings: [REGISTERED, COMBINATIONAL],
  basis: 'published',
  sources: [
    'Lattice GAL26CV12 data sheet, 26cv12_03, June 2000: p. 3-5 (macrocell, logic diagram) and the power-up section',
    'inferred: the map of 6368 fuses, without signature',
  ],
  remarks: ['Pins of registers show high at power-up where S0 is 0 and low where it is 1.'],
}
