/** Representative designs for the tests of single fuses. */
import type { Role } from '../../src/logic'
import type { Design } from './design'
import { MORE_REPRESENTATIVES } from './representatives-more'

/** A design with what its map leaves unused. */
export interface Representative {
  readonly name: string
  readonly design: Design
  /**
   * Rows (output pin, row from 0) that hold a live term of so many literals and are taken out by their disable fuse.
   */
  readonly disabled: readonly { readonly pin: number; readonly row: number; readonly literals: number }[]
  /** Pins whose cell is set to AC1 0 in complex mode, which the data sheet does not define. */
  readonly undefinedPins: readonly number[]
  /** Live terms in rows of cells that are no outputs. */
  readonly stray: readonly { readonly pin: number; readonly row: number; readonly term: readonly number[] }[]
  /** Live terms and enables that take part. */
  readonly liveRows: number
  readonly roles: Readonly<Partial<Record<Role, number>>>
  /** True for a large map: of the fuses whose state should not matter every seventh is tried. */
  readonly sampled?: boolean
  /** Fuses whose state does not matter, counted. */
  readonly idle: number
}

const SIGNATURE = [0x46, 0x55, 0x53, 0x45, 0x2d, 0x31, 0x36, 0x37]

export const REPRESENTATIVES: readonly Representative[] = [
  {
    name: '16V8 registered',
    design: {
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      signature: SIGNATURE,
      disableUnusedRows: true,
      outputs: [
        {
          pin: 19,
          kind: 'registered',
          activeHigh: true,
          enable: { lowPin: 11 },
          terms: [
            [-19, 2],
            [19, -2, 3],
          ],
        },
        {
          pin: 18,
          kind: 'registered',
          activeHigh: false,
          enable: { lowPin: 11 },
          terms: Array.from({ length: 8 }, (_, i) => [2 + i, -19]),
        },
        { pin: 12, kind: 'combinational', activeHigh: true, enable: { term: [9, -18] }, terms: [[13], [-4, 5, 6]] },
        { pin: 13, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[2], [-3]] },
      ],
    },
    disabled: [],
    undefinedPins: [],
    stray: [],
    // Terms 2 + 8 + 2 + 2, enable rows of pins 12 and 13.
    liveRows: 16,
    // Combinational cells, and so enable rows, are 13 and 12 and the four that the design leaves out: 6 rows of 32.
    // Terms: 64 − 6 rows. Tail: 8 XOR, 8 AC1 with SYN and AC0, 64 PTD, 64 signature. In all 2194.
    roles: {
      and: 58 * 32,
      'output-enable': 6 * 32,
      polarity: 8,
      configuration: 10,
      'term-disable': 64,
      signature: 64,
    },
    // 64 − 16 rows constant 0, 32 fuses each.
    idle: 48 * 32,
  },
  {
    name: '16V8 complex',
    design: {
      part: '16V8',
      mode: 'complex',
      signature: SIGNATURE,
      outputs: [
        { pin: 19, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[1, -11], [18], [2, 3, 4]] },
        { pin: 18, kind: 'combinational', activeHigh: true, enable: { term: [5] }, terms: [[6, 7], [-8]] },
        { pin: 15, kind: 'combinational', activeHigh: true, enable: 'never', terms: [] },
      ],
    },
    // The row [2, 3, 4] of pin 19: its enable is row 0, so the third term is row 3.
    disabled: [{ pin: 19, row: 3, literals: 3 }],
    undefinedPins: [12],
    stray: [{ pin: 12, row: 4, term: [2, -9] }],
    // Enables of 19 and 18, terms 2 (the third is disabled) + 2.
    liveRows: 6,
    // Enable rows of the seven defined cells. The first row of the cell of pin 12 enables nothing: a term.
    roles: {
      and: 57 * 32,
      'output-enable': 7 * 32,
      polarity: 8,
      configuration: 10,
      'term-disable': 64,
      signature: 64,
    },
    // 64 − 6 rows; but the disabled row is told of as live as long as it is not constant 0, which it becomes by the
    // complement of any of its three literals.
    idle: 58 * 32 - 3,
  },
  {
    name: '16V8 simple',
    design: {
      part: '16V8',
      mode: 'simple',
      signature: SIGNATURE,
      disableUnusedRows: true,
      outputs: [
        {
          pin: 16,
          kind: 'combinational',
          activeHigh: true,
          enable: 'always',
          terms: [
            [2, 3],
            [-4, 19],
          ],
        },
        { pin: 15, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[-12, 11]] },
        {
          pin: 14,
          kind: 'combinational',
          activeHigh: true,
          enable: 'always',
          terms: Array.from({ length: 8 }, (_, i) => [2 + i, -1]),
        },
        { pin: 17, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[5, 6], [7]] },
      ],
    },
    disabled: [{ pin: 17, row: 1, literals: 1 }],
    undefinedPins: [],
    stray: [{ pin: 13, row: 0, term: [6] }],
    // Terms 2 + 1 + 8 + 1: the second term of pin 17 is disabled.
    liveRows: 12,
    // No enable rows: all 64 rows are terms.
    roles: { and: 64 * 32, polarity: 8, configuration: 10, 'term-disable': 64, signature: 64 },
    idle: 52 * 32 - 1,
  },
  ...(['14L4', '14H4'] as const).map((part): Representative => ({
    name: part,
    design: {
      part,
      mode: null,
      outputs: [
        {
          pin: 17,
          kind: 'combinational',
          activeHigh: part === '14H4',
          enable: 'always',
          terms: [[2, -1], [3], [19, 18, -11], [13]],
        },
        { pin: 15, kind: 'combinational', activeHigh: part === '14H4', enable: 'always', terms: [[-12, -9]] },
      ],
    },
    disabled: [],
    undefinedPins: [],
    stray: [],
    // Terms 4 + 1.
    liveRows: 5,
    roles: { and: 16 * 28 },
    idle: 11 * 28,
  })),
  ...MORE_REPRESENTATIVES,
]
