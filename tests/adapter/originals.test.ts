/** What a board cannot be compared with, and why: each original has this problem and no other. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { examineAdapter, type AdapterOptions, type AdapterReport, type Board } from '../../src/board'
import type { TruthTable } from '../../src/logic'
import { encode } from '../parts/encoder'
import { boardOf, BUFFERED, BUFFERS, fileOf, passive } from './plain-boards'

const BOARD = boardOf(BUFFERED)
const BUFFER_FILE = fileOf(encode(BUFFERS), 20)

function reportOf(against: NonNullable<AdapterOptions['against']>, board = BOARD, more: AdapterOptions = {}): AdapterReport {
  return examineAdapter(board, { against, faults: false, ...more })
}

const dataOf = ({ findings }: AdapterReport, code: string): unknown[] =>
  findings.flatMap((finding) => (finding.code === `adapter/${code}` ? [finding.data] : []))

type Column = TruthTable['inputs'][number]
const pinsOf = (...pins: readonly number[]): Column[] => pins.map((pin) => ({ kind: 'pin', pin }))

/** A table of zeros. */
function zeros(inputs: readonly Column[], outputs: readonly number[]): TruthTable {
  const words = (): Int32Array[] => outputs.map(() => new Int32Array(1))
  const columns = { inputs, outputs: pinsOf(...outputs), unlisted: [] }
  return { ...columns, rowCount: 2 ** inputs.length, ones: words(), open: words() }
}

describe('a table', () => {
  test('over the inputs of the board is compared', () => {
    expect(reportOf({ table: zeros(pinsOf(3, 2), [12, 19]) }).relation).toBe('different')
  })

  test.each<[what: string, inputs: readonly Column[], reason: object]>([
    ['without an input of the board', pinsOf(2), { reason: 'one-side', pin: 3 }],
    ['with one that the board has not', pinsOf(3, 4, 2), { reason: 'one-side', pin: 4 }],
    ['with another in its place', pinsOf(4, 3), { reason: 'one-side', pin: 2 }],
    ['with a state more', [...pinsOf(2, 3), { kind: 'state', pin: 17 }], { reason: 'states' }],
    ['with a state in its place', [...pinsOf(2), { kind: 'state', pin: 3 }], { reason: 'one-side', pin: 3 }],
  ])('%s is not', (_, inputs, reason) => {
    const report = reportOf({ table: zeros(inputs, [19, 12]) })
    expect(report).toMatchObject({ relation: 'not-comparable', rows: { judged: 4 } })
    expect(dataOf(report, 'inputs-differ')).toEqual([reason])
  })
})

describe('outputs', () => {
  test('that are states of registers are not compared: a board’s table has none', () => {
    const table = zeros(pinsOf(2, 3), [19, 12])
    for (const kinds of [['state', 'state'], ['pin', 'state']] as const) {
      const outputs = table.outputs.map(({ pin }, i): Column => ({ kind: kinds[i]!, pin }))
      const report = reportOf({ table: { ...table, outputs } })
      expect(report.relation).toBe('not-comparable')
      expect(dataOf(report, 'original-unusable')).toEqual([{ reason: 'registers' }])
    }
  })

  test('of one side alone are named with their side', () => {
    const report = reportOf({ table: zeros(pinsOf(2, 3), [19, 14]) })
    expect(report).toMatchObject({ relation: 'different', lacking: [14], outputs: [{ pin: 19 }] })
    expect(dataOf(report, 'output-not-compared')).toEqual([
      { pin: 12, side: 'board' },
      { pin: 14, side: 'original' },
    ])
  })

  test('none of which both sides have leave nothing to compare', () => {
    const other = boardOf({ ...BUFFERED, outputs: [[14, 'FA']] })
    for (const against of [{ table: zeros(pinsOf(2, 3), [14]) }, { board: other }]) {
      const report = reportOf(against)
      expect(report.relation).toBe('not-comparable')
      expect(dataOf(report, 'original-unusable')).toEqual([{ reason: 'no-shared-output' }])
    }
    const file = reportOf({ file: BUFFER_FILE, device: '16V8' }, other)
    expect(file.relation).toBe('not-comparable')
    expect(dataOf(file, 'original-unusable')).toEqual([{ reason: 'no-shared-output' }])
  })
})

describe('another board', () => {
  test('of which a part cannot be read is not compared, and the first such part is named', () => {
    const part = BOARD.parts[0]!
    const unreadable = ['U2', 'U3'].map((name) => ({ ...part, name, file: new Uint8Array(3) }))
    const report = reportOf({ board: { ...BOARD, parts: [part, ...unreadable] } })
    expect(report.relation).toBe('not-comparable')
    expect(dataOf(report, 'original-unusable')).toMatchObject([{ reason: 'part', part: 'U2' }])
  })

  /** So many inputs, each through a diode of its own to the one output. */
  const wide = (inputs: number, diodes = inputs): Board =>
    boardOf(
      passive({
        inputs: Array.from({ length: inputs }, (_, i) => [i + 1, `I${i}`] as const),
        outputs: [[30, 'W']],
        diodes: Array.from({ length: diodes }, (_, i) => [`D${i}`, i < inputs ? `I${i}` : `N${i}`, 'W'] as const),
        resistors: [['R1', 'W', 'ground']],
      }),
    )

  test('may have as many inputs as the board, and not one more', () => {
    expect(reportOf({ board: wide(3) }, wide(3), { maxInputs: 3 }).relation).toBe('equivalent')
    const report = reportOf({ board: wide(4) }, wide(3), { maxInputs: 3 })
    expect(report.relation).toBe('not-comparable')
    expect(dataOf(report, 'original-unusable')).toEqual([{ reason: 'too-many-inputs', limit: 3 }])
  })

  test('that takes more than the most steps is not compared', () => {
    // 2²⁴ rows are 2¹⁹ words, and each takes two steps a net: of 302 nets 3 · 10⁸ steps.
    const report = reportOf({ board: wide(24, 300) }, wide(3), { maxInputs: 24 })
    expect(report.relation).toBe('not-comparable')
    expect(dataOf(report, 'original-unusable')).toEqual([{ reason: 'too-much-work' }])
  })
})

describe('a file', () => {
  test('with a remark of its own is told with the first of them', () => {
    const text = new TextDecoder().decode(BUFFER_FILE).replace(/\*C[0-9A-F]{4}/, '')
    const report = reportOf({ file: new TextEncoder().encode(text), device: '16V8' })
    expect(dataOf(report, 'part-file')).toMatchObject([{ whose: 'original', finding: { code: 'checksum/both-absent' } }])
  })

  test('of a logic array is read in the order of fuses that is given, also where no part is named', () => {
    const folder = new URL('../../vectors/demo/adapter/', import.meta.url)
    const file = readFileSync(new URL('page-decoder-original.jed', folder))
    const inputs = [9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20]
    const plain = boardOf(
      passive({
        inputs: inputs.map((pin) => [pin, `I${pin}`] as const),
        outputs: [[18, 'Z']],
        resistors: [['R1', 'Z', 'ground']],
      }),
    )
    const board: Board = { ...plain, outside: [...plain.outside, { pin: 19, net: 'E', direction: 'input', held: 0 }] }
    const named = reportOf({ file, device: '82S100', fuseOrder: 'term-by-term' }, board)
    expect(named.relation).toBe('different')
    expect(reportOf({ file, fuseOrder: 'term-by-term' }, board).outputs).toEqual(named.outputs)
  })
})
