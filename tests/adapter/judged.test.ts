/** Which rows and outputs of a board count, what is named where it differs, and the bounds of the work. */
import { describe, expect, test } from 'vitest'
import { adapterTable, examineAdapter, type AdapterReport, type Board } from '../../src/board'
import { levelInTable } from '../../src/logic'
import type { Progress } from '../../src/index'
import type { Design } from '../parts/design'
import { encode } from '../parts/encoder'
import { boardOf, BUFFERED, BUFFERS, fileOf, passive, type PlainBoard } from './plain-boards'
import { ADAPTER, ORIGINAL } from './two-part-board'
import { granted } from '../granted'

const codesOf = ({ findings }: AdapterReport): string[] => findings.map(({ code }) => code.replace('adapter/', ''))
const against = { file: fileOf(encode(ORIGINAL), 20), device: '16V8' }

describe('rows that do not count as the same', () => {
  const buffers = { file: fileOf(encode(BUFFERS), 20), device: '16V8' }

  test('a diode between two inputs: in row 1, A high and B low, drivers fight', () => {
    const board = boardOf({ ...BUFFERED, diodes: [['D1', 'A', 'B']] })
    const report = examineAdapter(board, { against: buffers })
    expect(report).toMatchObject({
      relation: 'undecided',
      rows: { all: 4, judged: 4, fights: 1 },
      outputs: [{ openRows: 1 }, { openRows: 1 }],
    })
    expect(examineAdapter(boardOf(BUFFERED), { against: { board } }).relation).toBe('undecided')
    expect(examineAdapter(boardOf(BUFFERED), { against: buffers }).relation).toBe('equivalent')
  })

  test('no row, an image of one level, an inverted line in it: nothing is compared', () => {
    const wiring = { address: [2, 3], data: [19, 12] }
    const image = Uint8Array.of(0, 1, 2, 3)
    const compared = (bytes: Uint8Array, given: object): AdapterReport =>
      examineAdapter(boardOf(BUFFERED), { against: { image: bytes, wiring: { ...wiring, ...given } } })
    expect(compared(image, {}).relation).toBe('equivalent')
    const left = compared(image, { dontCare: [{ 2: 1 }], badRows: ['0x0'] })
    expect(left).toMatchObject({ relation: 'equivalent', rows: { all: 4, judged: 1, misread: 1, dontCare: 2 } })
    expect(codesOf(left)).toContain('rows-left-out')
    const none = compared(image, { dontCare: [{ 2: 1 }, { 2: 0 }] })
    expect(none).toMatchObject({ relation: 'not-comparable', faults: { against: 'board' } })
    expect(codesOf(none)).toContain('no-row-judged')
    const blank = Uint8Array.of(255, 255, 255, 255)
    expect(compared(blank, {}).relation).toBe('not-comparable')
    expect(compared(blank, { data: [{ pin: 19, inverted: true }, 12] }).relation).toBe('not-comparable')
  })
})

describe('one change that makes a board the same', () => {
  test.each<[kind: string, of: readonly string[], board: PlainBoard]>([
    ['diode-reversed', ['D1'], { ...ADAPTER, diodes: [['D1', 'A', 'W'], ...ADAPTER.diodes.slice(1)] }],
    ['resistor-to-other-rail', ['R1'], { ...ADAPTER, resistors: [['R1', 'W', 'ground'], ADAPTER.resistors[1]!] }],
    [
      'parts-exchanged',
      ['U1', 'U2'],
      {
        ...ADAPTER,
        parts: ADAPTER.parts.map((part, i) => ({ ...part, design: ADAPTER.parts[1 - i]!.design })),
      },
    ],
    [
      'pins-exchanged',
      ['4', '5'],
      {
        ...ADAPTER,
        inputs: ADAPTER.inputs.map(([pin, net]) => [pin, net === 'C' ? 'D' : net === 'D' ? 'C' : net] as const),
      },
    ],
  ])('%s %s', (kind, of, plain) => {
    const report = examineAdapter(boardOf(plain), { against, faults: false })
    expect(report.relation).toBe('different')
    expect(report.repairs).toEqual([{ kind, of }])
    expect(codesOf(report)).toContain('one-change')
  })

  test.each<[kind: string, of: readonly string[], diodes: PlainBoard['diodes']]>([
    // Without D4 the diode OR of T and D lacks D.
    ['diode-added', ['D', 'S'], ADAPTER.diodes.filter(([name]) => name !== 'D4')],
    // The cathode of D4 on a net of its own, as of a misspelt name.
    ['nets-joined', ['S5', 'S'], [...ADAPTER.diodes.filter(([name]) => name !== 'D4'), ['D4', 'D', 'S5']]],
    // W = A ∧ B ∧ D instead of A ∧ B.
    ['diode-removed', ['D5'], [...ADAPTER.diodes, ['D5', 'W', 'D']]],
  ])('%s %s, beside what does the same', (kind, of, diodes) => {
    const report = examineAdapter(boardOf({ ...ADAPTER, diodes }), { against, faults: false })
    expect(report.relation).toBe('different')
    expect(report.repairs).toContainEqual({ kind, of })
  })

  test('none where two things are wrong', () => {
    const plain: PlainBoard = {
      ...ADAPTER,
      diodes: [['D1', 'A', 'W'], ...ADAPTER.diodes.slice(1)],
      resistors: [ADAPTER.resistors[0]!, ['R2', 'S', 'supply']],
    }
    expect(examineAdapter(boardOf(plain), { against, faults: false })).toMatchObject({
      relation: 'different',
      repairs: [],
    })
  })
})

describe('an unknown reading of which both levels give the same', () => {
  /** Invented: pin 19 = (p2 ∧ p3) ∨ (¬p2 ∧ p3), which is p3. */
  const mux: Design = {
    part: '16V8',
    mode: 'complex',
    outputs: [
      {
        pin: 19,
        kind: 'combinational',
        activeHigh: true,
        enable: 'always',
        terms: [
          [2, 3],
          [-2, 3],
        ],
      },
    ],
  }
  test('is p3 whatever the floating pin 2 reads, and the floating pin is no error', () => {
    const board = boardOf(
      passive({
        parts: [{ name: 'U1', design: mux, pins: { 2: 'N', 3: 'B', 19: 'F' } }],
        inputs: [
          [2, 'B'],
          [1, 'A'],
        ],
        outputs: [[19, 'F']],
        diodes: [['D1', 'N', 'A']],
      }),
    )
    const table = granted(adapterTable(board))
    expect([0, 1, 2, 3].map((row) => levelInTable(table, 0, row)).join('')).toBe('0101')
    expect(codesOf(examineAdapter(board, { faults: false }))).toContain('input-floats')
  })
})

describe('bounded work', () => {
  /** A chain of 300 parts: 600 pins on nets. */
  const chain: Board = {
    parts: Array.from({ length: 300 }, (_, i) => ({
      ...boardOf(BUFFERED).parts[0]!,
      name: `U${i}`,
      pins: { 2: `N${i}`, 3: `N${i}`, 19: `N${i + 1}` },
    })),
    outside: [
      { pin: 2, net: 'N0', direction: 'input' },
      { pin: 19, net: 'N300', direction: 'output' },
    ],
  }

  test('past its steps a board is undecided, and says so', () => {
    const report = examineAdapter(chain, { maxSteps: 10_000, against: { board: boardOf(BUFFERED) } })
    expect(report).toMatchObject({ relation: 'undecided', rows: null, faults: null })
    expect(codesOf(report)).toContain('too-much-work')
    expect(adapterTable(chain, { maxSteps: 10_000 })).toEqual({ refused: true, reason: 'too-much-work' })
  })

  test('of its faults so many are tried as the steps allow, and table and faults have one bound together', () => {
    const last: Record<string, number> = {}
    const allowed: number[] = []
    const onProgress = ({ work, done, most }: Progress): void => {
      allowed.push(most)
      last[work] = done
    }
    const { faults } = examineAdapter(chain, { maxSteps: 5_000_000, onProgress })
    // 299 inner nets and two at the ends open, and 300 · 299 / 2 pairs of equal parts.
    expect(faults!.total).toBe(301 + 44_850)
    expect(faults!.list.length).toBeLessThan(faults!.total)
    // Faults may take what the table has left of the five million steps.
    expect(last['board-faults']).toBeGreaterThan(0)
    expect(Math.max(...allowed)).toBeLessThanOrEqual(5_000_000)
    expect((last['board-table'] ?? 0) + last['board-faults']!).toBeLessThanOrEqual(5_000_000)
  })

  test('files that are large together are refused', () => {
    const large = { ...chain, parts: chain.parts.map((part) => ({ ...part, file: new Uint8Array(2 ** 18) })) }
    expect(() => examineAdapter(large)).toThrow(/^board\.parts: the files have 78643200 bytes together/)
  })
})
