/** 20V8: eight output cells in three modes. */
import { PLCC_28 } from './carriers'
import type { StatedPart } from '../stated-part'
import { ALWAYS_ON, INPUT_ONLY, REGISTERED_20, ROW_ENABLED, UNDEFINED } from './v8-settings'

export const GAL20V8: StatedPart = {
  part: '20V8',
  aliases: ['GAL20V8', 'PALCE20V8', 'ATF20V8'],
  // From memory: a power-down pin that this data does not have.
  otherParts: ['20V8ZD'],
  title: 'Eight output cells, configurable, 24 pins',
  fuseCount: 2706,
  pinCount: 24,
  carriers: [PLCC_28],
  blocks: [
    { use: 'polarity', name: 'XOR', first: 2560, count: 8 },
    { use: 'signature', name: 'signature', first: 2568, count: 64 },
    { use: 'cell-select', name: 'AC1', first: 2632, count: 8 },
    { use: 'term-disable', name: 'PTD', first: 2640, count: 64 },
    { use: 'mode-select', name: 'SYN, AC0', first: 2704, count: 2, names: ['SYN', 'AC0'] },
  ],
  cells: { pins: [22, 21, 20, 19, 18, 17, 16, 15], rows: 8 },
  modes: [
    {
      name: 'registered',
      select: [0, 1],
      columns: [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14],
      registerFeedback: 'inverted-register',
      settings: [REGISTERED_20, ROW_ENABLED],
    },
    {
      name: 'complex',
      select: [1, 1],
      columns: [2, 1, 3, 23, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 14, 11, 13],
      registerFeedback: 'pin',
      settings: [UNDEFINED, ROW_ENABLED],
    },
    {
      name: 'simple',
      select: [1, 0],
      columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 20, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
      registerFeedback: 'pin',
      settings: [ALWAYS_ON, INPUT_ONLY],
    },
  ],
  basis: 'published',
  sources: [
    'Lattice GAL20V8 data sheet, 20v8_04, August 2000: logic diagrams p. 5, 7, 9 (fuse numbers, columns), p. 4, 6, 8 (modes, XOR, AC1)',
    'Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, Nov 1998: p. 2 (terms), fig. 1 and table 1 (macrocell), p. 8-9 (logic diagram)',
    'inferred: that PTD means product term disable; that a disabled enable row switches the output off',
  ],
  remarks: [
    'Registered pins show high at power-up whatever their polarity (GAL20V8 data sheet); some PALs of the same pinout start low.',
    'The signature stays readable after the security fuse is set (GAL20V8 data sheet).',
  ],
}
