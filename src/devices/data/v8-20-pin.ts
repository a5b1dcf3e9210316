/** 16V8: eight output cells in three modes. */
import type { StatedPart } from '../stated-part'
import { ALWAYS_ON, INPUT_ONLY, REGISTERED_16, ROW_ENABLED, UNDEFINED } from './v8-settings'

export const GAL16V8: StatedPart = {
  part: '16V8',
  aliases: ['GAL16V8', 'PALCE16V8', 'ATF16V8'],
  // From memory: another architecture, and a power-down pin that this data does not have.
  otherParts: ['16V8HD', '16V8ZD'],
  title: 'Eight output cells, configurable, 20 pins',
  fuseCount: 2194,
  pinCount: 20,
  blocks: [
    { use: 'polarity', name: 'XOR', first: 2048, count: 8 },
    { use: 'signature', name: 'signature', first: 2056, count: 64 },
    { use: 'cell-select', name: 'AC1', first: 2120, count: 8 },
    { use: 'term-disable', name: 'PTD', first: 2128, count: 64 },
    { use: 'mode-select', name: 'SYN, AC0', first: 2192, count: 2, names: ['SYN', 'AC0'] },
  ],
  cells: { pins: [19, 18, 17, 16, 15, 14, 13, 12], rows: 8 },
  modes: [
    {
      name: 'registered',
      select: [0, 1],
      columns: [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12],
      registerFeedback: 'inverted-register',
      settings: [REGISTERED_16, ROW_ENABLED],
    },
    {
      name: 'complex',
      select: [1, 1],
      columns: [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11],
      registerFeedback: 'pin',
      settings: [UNDEFINED, ROW_ENABLED],
    },
    {
      name: 'simple',
      select: [1, 0],
      columns: [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11],
      registerFeedback: 'pin',
      settings: [ALWAYS_ON, INPUT_ONLY],
    },
  ],
  basis: 'published',
  sources: [
    'Lattice GAL16V8 data sheet, 16v8_04, July 1997: logic diagrams p. 5, 7, 9 (fuse numbers, columns), p. 4, 6, 8 (modes, XOR, AC1), p. 20 (power-up)',
    'Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, p. 2: terms with no or both columns connected',
    'Atmel ATF16V8B data sheet, 0364K, p. 7: power-up',
    'inferred: that PTD means product term disable (no published map has a live term on a row with PTD 0); that a disabled enable row switches the output off',
  ],
  remarks: [
    'Registered pins show high at power-up whatever their polarity (GAL16V8 data sheet p. 20, ATF16V8B p. 7); some PALs of the same pinout start low.',
    'The signature stays readable after the security fuse is set (GAL16V8 data sheet).',
    'PLCC-20 packages use the same pin numbers.',
  ],
}
