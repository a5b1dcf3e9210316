/** An image has no sign for an output that is off: the wiring says what it reads as, else the level is not known. */
import { describe, expect, test } from 'vitest'
import { examineAdapter, type AdapterOptions, type Board } from '../../src/board'
import type { TruthTable } from '../../src/logic'
import { boardOf, passive } from './plain-boards'

/** Pin 10 is the input itself; nothing is on the net of pin 11, so that it is off in both rows. */
const BOARD = boardOf(
  passive({
    inputs: [[1, 'A']],
    outputs: [
      [10, 'A'],
      [11, 'N'],
    ],
  }),
)

/** Bit 0 of a byte is pin 10, which is the row; bit 1 is pin 11. */
const imageOf = (level: 0 | 1): Uint8Array => Uint8Array.of(2 * level, 2 * level + 1)

test.each<[off: 0 | 1 | null, read: 0 | 1, relation: string]>([
  [0, 0, 'equivalent'],
  [1, 1, 'equivalent'],
  [0, 1, 'different'],
  [1, 0, 'different'],
  [null, 0, 'undecided'],
  [null, 1, 'undecided'],
])('off reads as %s by the wiring and as %s in the image', (off, read, relation) => {
  const against = { image: imageOf(read), wiring: { address: [1], data: [10, 11], off } }
  expect(examineAdapter(BOARD, { against, faults: false }).relation).toBe(relation)
})

/** Y is high through diodes where A or B is, and has no resistor: it is off in row 0 alone. Pin 11 is A. */
const OR = boardOf(
  passive({
    inputs: [
      [1, 'A'],
      [2, 'B'],
    ],
    outputs: [
      [10, 'Y'],
      [11, 'A'],
    ],
    diodes: [
      ['D1', 'A', 'Y'],
      ['D2', 'B', 'Y'],
    ],
  }),
)

test('a table leaves no rows out: off in row 0 alone, at the one output that both sides have', () => {
  const table: TruthTable = {
    inputs: [1, 2].map((pin) => ({ kind: 'pin', pin })),
    outputs: [{ kind: 'pin', pin: 10 }],
    unlisted: [],
    rowCount: 4,
    ones: [Int32Array.of(0b1110)],
    open: [Int32Array.of(0)],
  }
  const report = examineAdapter(OR, { against: { table }, off: 0, faults: false })
  expect(report.relation).toBe('equivalent')
  expect(report.findings.map(({ code }) => code)).toContain('adapter/drive-not-shown')
})

test.each<[off: 0 | 1, first: 0 | 1, more: object, isTold: boolean]>([
  [0, 0, {}, true],
  [1, 1, {}, true],
  [0, 0, { dontCare: [{ 1: 0, 2: 0 }] }, false],
  [0, 1, { badRows: [0] }, false],
  [0, 0, { dontCare: [{ 1: 1, 2: 1 }] }, true],
])('off as %s and %s in row 0, with %j: that the drive is not shown is told: %s', (off, first, more, isTold) => {
  const image = Uint8Array.of(first, 1 | 2, 1, 1 | 2)
  const report = examineAdapter(OR, {
    against: { image, wiring: { address: [1, 2], data: [10, 11], ...more } },
    off,
    faults: false,
  })
  expect(report.relation).toBe('equivalent')
  const told = report.findings.filter(({ code }) => code === 'adapter/drive-not-shown')
  expect(told.map(({ data }) => data)).toEqual(isTold ? [{ pins: [10] }] : [])
})

describe('faults of a board whose outputs count as a level while they are off', () => {
  const found = (options: AdapterOptions, board = OR): string[] =>
    examineAdapter(board, options).faults!.list.map(({ kind, of, result }) => `${kind} ${of.join()}: ${result}`)

  test('as 1, with an original or without one: Y is 1 in every row', () => {
    const expected = [
      // Y is 1 or off without a diode, or with a net of it open.
      'diode-open D1: unnoticed',
      // With a diode shorted Y is A or B itself, and with one reversed A or B pulls it low: 0 in row 0.
      'diode-shorted D1: noticed',
      'diode-reversed D1: noticed',
      'diode-open D2: unnoticed',
      'diode-shorted D2: noticed',
      'diode-reversed D2: noticed',
      // Pin 11 is off for good, and is to be 0 in row 0.
      'net-open A: noticed',
      'net-open B: unnoticed',
      'net-open Y: unnoticed',
    ]
    expect(found({ off: 1 })).toEqual(expected)
    expect(found({ off: 1, against: { board: OR } })).toEqual(expected)
  })

  /** Y is A ∧ B by diodes and a pull-up, or A ∨ B by diodes and a pull-down. */
  const pulled = (to: 'supply' | 'ground'): Board => ({
    ...OR,
    diodes: ['A', 'B'].map((net, i) =>
      to === 'supply' ? { name: `D${i}`, anode: 'Y', cathode: net } : { name: `D${i}`, anode: net, cathode: 'Y' },
    ),
    resistors: [{ name: 'R1', net: 'Y', to }],
  })

  test.each([
    ['supply', 1, 'unnoticed'],
    ['supply', 0, 'noticed'],
    ['ground', 0, 'unnoticed'],
    ['ground', 1, 'noticed'],
  ] as const)('without its resistor to %s Y is off instead, which counts as %i: %s', (to, off, result) => {
    for (const options of [{ off }, { off, against: { board: pulled(to) } }])
      expect(found(options, pulled(to))).toContain(`resistor-missing R1: ${result}`)
  })

  test('against an image that has no sign for it, what is off is not known', () => {
    // Bit 0 is Y = A ∧ B, bit 1 is A.
    const against = { image: Uint8Array.of(0, 2, 0, 3), wiring: { address: [1, 2], data: [10, 11] } }
    const report = examineAdapter(pulled('supply'), { against })
    expect(report).toMatchObject({ relation: 'equivalent', faults: { against: 'original' } })
    expect(found({ against }, pulled('supply'))).toContain('resistor-missing R1: depends')
  })
})
