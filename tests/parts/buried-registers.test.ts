/**
 * A part with buried registers (invented): two counter bits without pins, B0 and B1, behind one output. Everything is
 * worked out by hand: B0 toggles while pin 2 is high, B1 toggles when B0 is 1 as well, and pin 7 is B0 ∧ B1.
 */
import { describe, expect, test } from 'vitest'
import { compare, deviceErrors, fuseMapFrom, readDevice, verify, writeFuseFile, type Device, type FuseMap } from '../../src/index'
import {
  decode,
  describe as describePart,
  levelInTable,
  roleOf,
  runSteps,
  truthTable,
  verilogModule,
  type Step,
} from '../../src/logic'
import { FIRST, Running, type Value } from '../verilog/event-simulation'
import { readModule } from '../verilog/reader'
import { granted } from '../granted'

/** Eight pins: 1 clock, 2 and 3 inputs, 4 ground, 7 the output, 8 supply. Columns: p2, p3, Q of B0, Q of B1. */
const DOCUMENT = {
  part: 'BURIED-2',
  title: 'Two buried registers behind one output (invented)',
  fuseCount: 48,
  pinCount: 8,
  groundPin: 4,
  powerPin: 8,
  array: { rows: 6, columns: 8 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 48 }],
  cells: [
    { pin: 7, firstRow: 0, rowCount: 2 },
    { pin: null, name: 'B0', firstRow: 2, rowCount: 2 },
    { pin: null, name: 'B1', firstRow: 4, rowCount: 2 },
  ],
  modes: [
    {
      columns: [2, 3, { cell: 'B0', tap: 'q' }, { cell: 'B1', tap: 'q' }],
      registerFeedback: 'pin',
      settings: [
        {
          output: 'combinational',
          enable: 'always',
          sums: [{ from: 0, count: 2 }],
          polarity: 'none',
          inverting: false,
        },
        {
          output: 'registered',
          enable: 'never',
          // The rows of a cell are exclusive-ored one by one.
          sums: [
            { from: 0, count: 1 },
            { from: 1, count: 1 },
          ],
          polarity: 'none',
          inverting: false,
          clock: { pin: 1 },
          powerUp: 0,
        },
      ],
      cellSettings: [0, 1, 1],
    },
  ],
} as const

const PART: Device = readDevice(DOCUMENT)
const [P2, P3, B0, B1] = [0, 2, 4, 6]
const NOTHING = [0, 1, 2, 3, 4, 5, 6, 7]

/** A map of rows: columns that are connected (0); a row of all columns is constant 0. */
function mapOf(rows: readonly (readonly number[])[]): FuseMap {
  return fuseMapFrom(rows.map((row) => NOTHING.map((column) => (row.includes(column) ? '0' : '1')).join('')).join(''))
}

const COUNTER = mapOf([[B0, B1], NOTHING, [B0], [P2], [B1], [B0, P2]])
/** The same, but B1 toggles without regard to B0 where pin 3 is high as well. */
const OTHER = mapOf([[B0, B1], NOTHING, [B0], [P2], [B1], [B0, P2, P3]])
const CLOCKED = 'C1N' // pins 1 to 3

const vectorsOf = (levels: string): { number: number; conditions: string; offset: null }[] =>
  [...levels].map((level, i) => ({ number: i + 1, conditions: `${CLOCKED}NNN${level}N`, offset: null }))

describe('a document', () => {
  test('may leave out the pin of a cell that has a name and a register', () => {
    expect(deviceErrors(DOCUMENT)).toEqual([])
    const broken = (change: object): string[] =>
      deviceErrors({ ...DOCUMENT, ...change }).map(({ path, message }) => `${path}: ${message}`)
    const cells = (cell: object): object => ({ cells: [DOCUMENT.cells[0], cell, DOCUMENT.cells[2]] })
    expect(broken(cells({ pin: null, firstRow: 2, rowCount: 2 })).join()).toContain(
      'device.cells[1].name: is missing',
    )
    expect(broken(cells({ pin: null, name: 'B1', firstRow: 2, rowCount: 2 }))).toContainEqual(
      expect.stringContaining('the name B1 is taken already'),
    )
    expect(broken(cells({ pin: null, name: '0', firstRow: 2, rowCount: 2 })).join()).toContain('must be a letter')
    const modes = [{ ...DOCUMENT.modes[0], columns: [2, 3, { cell: 'B0', tap: 'q' }, { cell: 'B9', tap: 'q' }] }]
    expect(broken({ modes }).join()).toContain('no cell has the pin or name B9')
  })
})

describe('decoding', () => {
  const decoded = decode(PART, COUNTER)

  test('gives cells without pins', () => {
    expect(decoded.logic!.cells.map(({ pin, name }) => [pin, name])).toEqual([
      [7, '7'],
      [null, 'B0'],
      [null, 'B1'],
    ])
    const equations = granted(describePart(decoded)).equations.map(({ pin, cell, next, value }) => [pin, cell, next ?? value])
    expect(equations).toEqual([
      [7, undefined, 'qB0 ∧ qB1'],
      [0, 'B0', '(qB0) ⊕ (p2)'],
      [0, 'B1', '(qB1) ⊕ (p2 ∧ qB0)'],
    ])
  })

  test('says of a fuse whose column a buried register feeds', () => {
    expect(roleOf(decoded, 4).input).toEqual({ cell: 'B0', complement: false })
    expect(roleOf(decoded, 5).input).toEqual({ cell: 'B0', complement: true })
  })
})

describe('test vectors', () => {
  const file = { fuses: COUNTER, pinCount: 8 }

  test('from power-up the output is high after three clocks, and low again after the fourth', () => {
    const bytes = writeFuseFile({ ...file, vectors: vectorsOf('LLHL') })
    const { testVectors } = verify(bytes, { device: PART })
    // Strictly nothing has set the registers; with their start as the document has it all hold.
    expect(testVectors).toMatchObject({ passed: 0, failed: 0, undetermined: 4 })
    expect(testVectors.readings).toContainEqual(
      expect.objectContaining({ registers: 'power-up', passed: 4, failed: 0, undetermined: 0 }),
    )
    const wrong = verify(writeFuseFile({ ...file, vectors: vectorsOf('LHLL') }), { device: PART })
    expect(wrong.testVectors.readings).toContainEqual(
      expect.objectContaining({ registers: 'power-up', passed: 2, failed: 2 }),
    )
  })

  test('a preload of pins reaches no buried register, and of buried registers stays open', () => {
    for (const conditions of ['P000NN0N', 'B000NNLN']) {
      const vectors = [
        { number: 1, conditions, offset: null },
        { ...vectorsOf('L')[0]!, number: 2 },
      ]
      const { failed, undetermined } = verify(writeFuseFile({ ...file, vectors }), { device: PART }).testVectors
      expect([conditions, failed, undetermined > 0]).toEqual([conditions, 0, true])
    }
  })
})

test('a truth table has the states of buried registers as columns', () => {
  const table = granted(truthTable(decode(PART, COUNTER)))
  expect(table.inputs).toEqual([
    { kind: 'pin', pin: 2 },
    { kind: 'state', pin: 0, cell: 'B0' },
    { kind: 'state', pin: 0, cell: 'B1' },
  ])
  // Rows: p2 + 2 B0 + 4 B1.
  const rows = (output: number): string =>
    [0, 1, 2, 3, 4, 5, 6, 7].map((row) => levelInTable(table, output, row)).join('')
  expect([rows(0), rows(1), rows(2)]).toEqual(['00000011', '01100110', '00011110'])
})

test('steps show the states by the names of the cells', () => {
  const steps: readonly Step[] = [
    { set: { 1: 0, 2: 1, 3: 0 } },
    ...Array.from({ length: 4 }, (): Step => ({ pulse: [1] })),
  ]
  const run = granted(runSteps(decode(PART, COUNTER), { start: 'power-up', watch: [7], steps }))
  expect(run.registers).toEqual(['B0', 'B1'])
  // Counted up by each clock: B0, B1 are 00, 10, 01, 11, 00.
  expect(run.steps.map(({ states }) => states)).toEqual(['00', '10', '01', '11', '00'])
  expect(run.steps.map(({ levels }) => levels)).toEqual(['0', '0', '0', '1', '0'])
})

describe('comparison', () => {
  test('by what the pin shows, with the way there', () => {
    const comparison = compare(COUNTER, OTHER, { device: PART })
    expect(comparison.relation).toBe('different')
    const { counterexample } = comparison.outputs.find(({ pin }) => pin === 7)!
    expect(counterexample).toMatchObject({ state: { B0: expect.any(Number), B1: expect.any(Number) } })
    expect([counterexample!.intended, counterexample!.readback].sort()).toEqual(['H', 'L'])
    // Played by hand: from the stated bits, a rise of pin 1 counts.
    const play = (needsP3: boolean): string => {
      let [b0, b1] = [counterexample!.state['B0']!, counterexample!.state['B1']!]
      let clock = 0
      for (const { 1: c, 2: p2, 3: p3 } of counterexample!.sequence!) {
        if (clock === 0 && c === 1) [b0, b1] = [b0 ^ p2!, b1 ^ (b0 & p2! & (needsP3 ? p3! : 1))] as [0 | 1, 0 | 1]
        clock = c!
      }
      return b0 & b1 ? 'H' : 'L'
    }
    expect([play(false), play(true)]).toEqual([counterexample!.intended, counterexample!.readback])
  })

  test('terms in another order are equal', () => {
    const swapped = mapOf([NOTHING, [B0, B1], [P2], [B0], [B0, P2], [B1]])
    expect(compare(COUNTER, swapped, { device: PART }).relation).toBe('equivalent')
  })
})

test('Verilog counts in the tests’ own event simulation', () => {
  const running = new Running(readModule(granted(verilogModule(decode(PART, COUNTER)))), FIRST)
  const drive = (clock: Value): void =>
    running.drive(
      new Map<string, Value>([
        ['p1', clock],
        ['p2', '1'],
        ['p3', '0'],
      ]),
    )
  drive('0')
  const levels = Array.from({ length: 4 }, () => {
    drive('1')
    drive('0')
    return running.level('p7')
  })
  expect(levels.join('')).toBe('0010')
})
