/** Representative designs of parts with other cells than a 16V8, for the tests of single fuses. */
import type { Representative } from './representatives'

const NOTHING_SPECIAL = { disabled: [], undefinedPins: [], stray: [] } as const
const SIGNATURE = [0x46, 0x55, 0x53, 0x45, 0x2d, 0x31, 0x36, 0x37]

export const MORE_REPRESENTATIVES: readonly Representative[] = [
  {
    ...NOTHING_SPECIAL,
    name: '22V10',
    sampled: true,
    design: {
      part: '22V10',
      mode: null,
      clockPin: 1,
      reset: [2, -3],
      clockedPreset: [4, 13],
      signature: SIGNATURE,
      outputs: [
        {
          pin: 23,
          kind: 'registered',
          activeHigh: true,
          enable: 'always',
          terms: [
            [-23, 1],
            [5, 6],
          ],
        },
        {
          pin: 19,
          kind: 'registered',
          activeHigh: false,
          enable: { term: [-13] },
          terms: Array.from({ length: 16 }, (_, i) => [i % 2 ? 23 : -23, i < 10 ? 2 + i : -(i - 8)]),
        },
        { pin: 14, kind: 'combinational', activeHigh: true, enable: { term: [19] }, terms: [[7, 8], [-9]] },
        { pin: 15, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[14]] },
      ],
    },
    // Reset and preset; four enables; terms 2 + 16 + 2 + 1.
    liveRows: 27,
    // 132 rows of 44: one resets, one presets, ten enable. S0 and S1 of ten outputs; one fuse for the power-down pin.
    roles: {
      reset: 44,
      preset: 44,
      'output-enable': 10 * 44,
      and: 120 * 44,
      polarity: 10,
      configuration: 10,
      signature: 64,
      'power-down': 1,
    },
    // 132 − 27 rows constant 0. What the power-down fuse does is not published, so that nothing is told of it.
    idle: 105 * 44 + 1,
  },
  {
    ...NOTHING_SPECIAL,
    name: '20RA10',
    sampled: true,
    design: {
      part: '20RA10',
      mode: null,
      signature: SIGNATURE,
      outputs: [
        {
          pin: 23,
          kind: 'registered',
          activeHigh: true,
          enable: { term: [], lowPin: 13 },
          clock: [2],
          reset: [3],
          preset: [4, -3],
          terms: [[-23], [5, 6]],
        },
        {
          pin: 22,
          kind: 'registered',
          activeHigh: false,
          enable: { term: [7], lowPin: 13 },
          clock: [-23, 8],
          terms: [[22, 9], [-22, 10], [11], [2, 3, 4]],
        },
        {
          pin: 14,
          kind: 'registered',
          activeHigh: true,
          enable: { term: [], lowPin: 13 },
          reset: [],
          preset: [],
          terms: [[23, -22]],
        },
      ],
    },
    // Enable, clock, reset, preset and two terms; enable, clock and four terms; enable, reset, preset and one term.
    liveRows: 16,
    // Ten blocks of eight rows of 40, four of them for terms.
    roles: { 'output-enable': 400, clock: 400, reset: 400, preset: 400, and: 1600, polarity: 10, signature: 64 },
    // 80 − 16 rows.
    idle: 64 * 40,
  },
  {
    ...NOTHING_SPECIAL,
    name: '16R4',
    sampled: true,
    design: {
      part: '16R4',
      mode: null,
      clockPin: 1,
      outputs: [
        {
          pin: 17,
          kind: 'registered',
          activeHigh: false,
          enable: { lowPin: 11 },
          terms: Array.from({ length: 8 }, (_, i) => [2 + i, -16]),
        },
        { pin: 16, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: [[19], [-17, 12]] },
        {
          pin: 19,
          kind: 'combinational',
          activeHigh: false,
          enable: { term: [2] },
          terms: Array.from({ length: 7 }, (_, i) => [-(3 + i), 17]),
        },
      ],
    },
    // Terms 8 + 2; enable and 7 terms.
    liveRows: 18,
    // The four outputs without a register have an enable row: 60 of 64 rows are terms.
    roles: { and: 60 * 32, 'output-enable': 4 * 32 },
    idle: 46 * 32,
  },
  {
    ...NOTHING_SPECIAL,
    name: '20X8',
    design: {
      part: '20X8',
      mode: null,
      clockPin: 1,
      outputs: [
        {
          pin: 22,
          kind: 'registered',
          activeHigh: false,
          enable: { lowPin: 13 },
          terms: [[-22], [2, 3]],
          otherTerms: [[4], [5, -6]],
        },
        {
          pin: 18,
          kind: 'registered',
          activeHigh: false,
          enable: { lowPin: 13 },
          terms: [[-18]],
          otherTerms: [[22]],
        },
        { pin: 23, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[22], [18], [14, -7]] },
      ],
    },
    // Terms 4 + 2; enable and 3 terms.
    liveRows: 10,
    // Two outputs without a register, an enable row each.
    roles: { and: 38 * 40, 'output-enable': 2 * 40 },
    idle: 30 * 40,
  },
  {
    ...NOTHING_SPECIAL,
    name: '16L6',
    design: {
      part: '16L6',
      mode: null,
      outputs: [
        {
          pin: 21,
          kind: 'combinational',
          activeHigh: false,
          enable: 'always',
          terms: [[2, 1], [-3], [23], [22, -15]],
        },
        { pin: 18, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[13, -14], [11]] },
      ],
    },
    liveRows: 6,
    roles: { and: 20 * 32 },
    idle: 14 * 32,
  },
]
