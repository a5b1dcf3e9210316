/** Which single changes of a board that differs are tried: pins of one kind, and as many pairs as the bound admits. */
import { describe, expect, test } from 'vitest'
import { examineAdapter, type AdapterReport, type Board } from '../../src/board'
import type { TruthTable } from '../../src/logic'
import { boardOf, passive } from './plain-boards'

type Outside = Board['outside']

/** A table over few inputs; of each output the rows in which it is 1, and those in which it is unknown. */
function tableOf(
  inputs: readonly number[],
  outputs: readonly (readonly [pin: number, ones: number, unknown?: number])[],
): TruthTable {
  return {
    inputs: inputs.map((pin) => ({ kind: 'pin', pin })),
    outputs: outputs.map(([pin]) => ({ kind: 'pin', pin })),
    unlisted: [],
    rowCount: 2 ** inputs.length,
    ones: outputs.map(([, ones, unknown = 0]) => Int32Array.of(ones | unknown)),
    open: outputs.map(([, , unknown = 0]) => Int32Array.of(unknown)),
  }
}

function repairsOf(board: Board, table: TruthTable): AdapterReport['repairs'] {
  const report = examineAdapter(board, { against: { table }, faults: false })
  expect(report.relation).toBe('different')
  return report.repairs
}

describe('pins are exchanged with pins of their kind alone', () => {
  const exchanges = (board: Board, table: TruthTable): AdapterReport['repairs'] =>
    repairsOf(board, table).filter(({ kind }) => kind === 'pins-exchanged')

  // Pin 5 is to be pin 1, bit 0 of the row; the net of pin 5 is the one named last.
  const wrong: readonly (readonly [what: string, outside: Outside, exchanged: readonly string[] | null])[] = [
    [
      'two inputs',
      [
        { pin: 1, net: 'A', direction: 'input' },
        { pin: 2, net: 'B', direction: 'input' },
        { pin: 5, net: 'B', direction: 'output' },
      ],
      ['1', '2'],
    ],
    [
      'an input and one that is held',
      [
        { pin: 1, net: 'A', direction: 'input' },
        { pin: 2, net: 'B', direction: 'input', held: 1 },
        { pin: 5, net: 'B', direction: 'output' },
      ],
      null,
    ],
    [
      'an input and a supply',
      [
        { pin: 1, net: 'A', direction: 'input' },
        { pin: 2, net: 'B', direction: 'supply' },
        { pin: 5, net: 'B', direction: 'output' },
      ],
      null,
    ],
  ]
  test.each(wrong)('%s', (_, outside, exchanged) => {
    const inputs = outside
      .filter(({ direction, held }) => direction === 'input' && held === undefined)
      .map(({ pin }) => pin)
    // Bit 0 of rows 0 to 3 is 1 in rows 1 and 3.
    const table = tableOf(inputs, [[5, inputs.length === 2 ? 0b1010 : 0b10]])
    const found = exchanges({ parts: [], outside }, table)
    expect(found).toEqual(exchanged ? [{ kind: 'pins-exchanged', of: exchanged }] : [])
  })

  test('not an input with an output', () => {
    // The diode brings the high of B alone to A; with both pins exchanged it would bring that of pin 1 to pin 5.
    const outside: Outside = [
      { pin: 1, net: 'B', direction: 'input' },
      { pin: 5, net: 'A', direction: 'output' },
    ]
    const board: Board = {
      parts: [],
      outside,
      diodes: [{ name: 'D1', anode: 'A', cathode: 'B' }],
      resistors: [{ name: 'R1', net: 'B', to: 'ground' }],
    }
    expect(exchanges(board, tableOf([1], [[5, 0b10]]))).toEqual([])
    const right = outside.map((pin) => ({ ...pin, net: pin.net === 'A' ? 'B' : 'A' }))
    const table = { table: tableOf([1], [[5, 0b10]]) }
    expect(examineAdapter({ ...board, outside: right }, { against: table, faults: false }).relation).toBe('equivalent')
  })

  test('not one held high with one held low', () => {
    const outside: Outside = [
      { pin: 1, net: 'A', direction: 'input' },
      { pin: 2, net: 'B', direction: 'input', held: 1 },
      { pin: 3, net: 'C', direction: 'input', held: 0 },
      { pin: 5, net: 'B', direction: 'output' },
    ]
    expect(exchanges({ parts: [], outside }, tableOf([1], [[5, 0]]))).toEqual([])
  })
})

describe('as many pairs as 64 things have, 2,016, are tried', () => {
  // Inputs A and B and 63 outputs: 65 pins have 65 · 64 / 2 = 2,080 pairs. The twelve last pins have 66 among
  // themselves, so that 2,080 − 66 = 2,014 come before: the second of the 66 is tried, and the third is not.
  const outputs = Array.from({ length: 63 }, (_, i) => 10 + i)
  const pinsWithB = (wrong: number): Board =>
    boardOf(
      passive({
        inputs: [
          [1, 'A'],
          [2, 'B'],
        ],
        outputs: outputs.map((pin) => [pin, pin === wrong ? 'B' : 'A'] as const),
      }),
    )
  /** Supply and ground are no signals, and make no pairs. */
  const powered = (board: Board): Board => ({
    ...board,
    outside: [
      { pin: 80, net: 'V', direction: 'supply' },
      { pin: 81, net: 'W', direction: 'supply' },
      { pin: 82, net: 'G', direction: 'ground' },
      ...board.outside,
    ],
  })
  // The twelve are the pins 61 to 72. Pin 61 is to be B.
  const table = tableOf(
    [1, 2],
    outputs.map((pin) => [pin, pin === 61 ? 0b1100 : 0b1010] as const),
  )

  test.each([
    [62, [{ kind: 'pins-exchanged', of: ['61', '62'] }]],
    [63, [{ kind: 'pins-exchanged', of: ['61', '63'] }]],
    [64, []],
  ])('pin 61 with pin %i', (pin, repairs) => {
    expect(repairsOf(pinsWithB(pin), table)).toEqual(repairs)
    expect(repairsOf(powered(pinsWithB(pin)), table)).toEqual(repairs)
  })
})

describe('changes', () => {
  test('the first net of the document with the last, each with one end', () => {
    // Pin 1 on X is to be seen at pin 5 on Y.
    const board = boardOf(passive({ inputs: [[1, 'X']], outputs: [[5, 'Y']] }))
    expect(repairsOf(board, tableOf([1], [[5, 0b10]]))).toEqual([
      { kind: 'nets-joined', of: ['X', 'Y'] },
      { kind: 'nets-joined', of: ['Y', 'X'] },
    ])
  })

  test('none while a judged row of the original is unknown', () => {
    const board = boardOf(
      passive({
        inputs: [
          [1, 'A'],
          [2, 'B'],
        ],
        outputs: [[5, 'B']],
      }),
    )
    // Pins 1 and 2 exchanged, pin 5 is 1 in rows 1 and 3.
    expect(repairsOf(board, tableOf([1, 2], [[5, 0b1010]]))).toEqual([{ kind: 'pins-exchanged', of: ['1', '2'] }])
    for (const row of [0, 1, 3]) expect(repairsOf(board, tableOf([1, 2], [[5, 0b1010, 1 << row]]))).toEqual([])
  })

  test('also where the original is off in some rows', () => {
    const board = boardOf(
      passive({
        inputs: [
          [1, 'A'],
          [2, 'B'],
        ],
        outputs: [[5, 'Y']],
        diodes: [['D1', 'A', 'Y']],
      }),
    )
    // Pin 5 is to be high in rows 2 and 3, where pin 2 is, and off in the others.
    const table = { ...tableOf([1, 2], [[5, 0b1100]]), open: [Int32Array.of(0b0011)] }
    expect(repairsOf(board, table)).toContainEqual({ kind: 'pins-exchanged', of: ['1', '2'] })
  })
})
