/** Levels, currents and times of the two-part adapter, worked out here by hand from its limits. */
import { describe, expect, test } from 'vitest'
import { adapterTable, examineAdapter, type Board, type BudgetLine, type PathTime } from '../../src/board'
import { renderAdapter } from '../../src/report'
import { boardOf } from './plain-boards'
import { ADAPTER } from './two-part-board'
import { granted } from '../granted'

const PART = {
  lowOut: 0.5,
  highOut: 2.4,
  lowIn: 0.8,
  highIn: 2,
  sink: 0.024,
  drive: 0.0032,
  delay: 15e-9,
  inputCapacitance: 8e-12,
  inputCurrent: 10e-6,
  source: 'invented',
}
const DIODE = { drop: 0.3, capacitance: 5e-12, source: 'invented' }
const MACHINE = {
  lowOut: 0.4,
  highOut: 2.7,
  lowIn: 0.8,
  highIn: 2,
  sink: 0.004,
  drive: 0.0004,
  inputCapacitance: 15e-12,
  inputCurrent: 10e-6,
  supplyLeast: 4.75,
  supplyMost: 5.25,
  netCapacitance: 5e-12,
  time: 130e-9,
  source: 'invented',
}

const plain = boardOf(ADAPTER)
const BOARD: Board = {
  ...plain,
  parts: plain.parts.map((part) => ({ ...part, limits: PART })),
  diodes: plain.diodes!.map((diode) => ({ ...diode, limits: DIODE })),
  resistors: [
    { ...plain.resistors![0]!, ohms: 4700, tolerance: 0.05 },
    { ...plain.resistors![1]!, ohms: 1000 },
  ],
  machine: MACHINE,
}
const budgetOf = (board: Board): { readonly lines: readonly BudgetLine[]; readonly paths: readonly PathTime[] } =>
  examineAdapter(board, { faults: false }).budget!
const lineOf = (board: Board, net: string, kind: string): BudgetLine =>
  budgetOf(board).lines.find((line) => line.net === net && line.kind === kind)!

/** W: one input of U1 at 8 pF, two diodes at 5 pF, 5 pF of the net. S likewise, at U2. */
const FARADS = (8 + 5 + 5 + 5) * 1e-12
/** From 0 V to 2 V at 4.75 V through 4700 Ω and 5 %; from 5.25 V to 0.8 V through 1000 Ω. */
const RISE = 4700 * 1.05 * FARADS * Math.log(4.75 / (4.75 - 2))
const FALL = 1000 * FARADS * Math.log(5.25 / 0.8)

describe('worked out by hand', () => {
  test.each<[net: string, kind: string, value: number, limit: number | null, result: string]>([
    // 0.4 V of the machine's output and 0.3 V of the diode.
    ['W', 'low-level', 0.7, 0.8, 'holds'],
    // 10 µA through 4935 Ω leave 4.70 V; the machine's high counts, 2.7 V.
    ['W', 'high-level', 2.7, 2, 'holds'],
    // 5.25 V over 4465 Ω, and 10 µA of the one input on W.
    ['W', 'current', 5.25 / (4700 * 0.95) + 10e-6, 0.004, 'holds'],
    ['W', 'rise-time', RISE, null, 'computed'],
    // 2.4 V of U1 (the machine gives 2.7 V) less the diode.
    ['S', 'high-level', 2.1, 2, 'holds'],
    // 10 µA through 1000 Ω are 10 mV; U1's low counts, 0.5 V.
    ['S', 'low-level', 0.5, 0.8, 'holds'],
    // 5.25 V over 1000 Ω and 10 µA of the one input on S, against 3.2 mA of U1 and 0.4 mA of the machine: the worse one.
    ['S', 'current', 0.00525 + 10e-6, 0.0004, 'exceeded'],
    ['S', 'fall-time', FALL, null, 'computed'],
  ])('%s %s', (net, kind, value, limit, result) => {
    const line = lineOf(BOARD, net, kind)
    expect(line).toMatchObject({ limit, result, missing: [] })
    expect(line.value! / value).toBeCloseTo(1, 10)
  })

  test('no other lines', () => {
    expect(budgetOf(BOARD).lines).toHaveLength(8)
  })

  test('times from pin to pin: edges of W and S, 15 ns for each part', () => {
    const { paths } = budgetOf(BOARD)
    const ns = (from: number, to: number): number | null =>
      paths.find((path) => path.from === from && path.to === to)?.seconds ?? null
    const slow = RISE + 15e-9 + FALL + 15e-9
    for (const from of [2, 3]) {
      expect(ns(from, 19)! / (RISE + 30e-9)).toBeCloseTo(1, 10)
      expect(ns(from, 12)! / slow).toBeCloseTo(1, 10)
    }
    expect(ns(4, 19)! / 30e-9).toBeCloseTo(1, 10)
    expect(ns(4, 12)! / (30e-9 + FALL)).toBeCloseTo(1, 10)
    expect(ns(5, 12)! / (15e-9 + FALL)).toBeCloseTo(1, 10)
    expect(ns(5, 19)).toBeNull()
    // About 135 ns, and 130 ns are allowed.
    expect(slow).toBeGreaterThan(130e-9)
    expect(
      paths.filter(({ result }) => result === 'exceeded').map(({ from, to, through }) => [from, to, ...through]),
    ).toEqual([
      [2, 12, 'W', 'U1', 'S', 'U2'],
      [3, 12, 'W', 'U1', 'S', 'U2'],
    ])
  })

  test('of two ways between the same pins the slower counts', () => {
    // Pin 12 of U2 is pin 2 ∧ pin 3: A comes to it by itself, and through U1 as T.
    const both = {
      part: '16V8',
      mode: 'complex',
      outputs: [{ pin: 12, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, 3]] }],
    } as const
    const parts = [ADAPTER.parts[0]!, { name: 'U2', design: both, pins: { 2: 'A', 3: 'T', 12: 'Y' } }]
    for (const turned of [false, true]) {
      const pins = turned ? { 2: 'T', 3: 'A', 12: 'Y' } : parts[1]!.pins
      const board = boardOf({
        ...ADAPTER,
        parts: [
          { ...parts[0]!, pins: { 2: 'A', 3: 'C', 19: 'T' } },
          { ...parts[1]!, pins },
        ],
        outputs: [[12, 'Y']],
        diodes: [],
        resistors: [],
      })
      const { paths } = budgetOf({
        ...board,
        parts: board.parts.map((part) => ({ ...part, limits: PART })),
        machine: MACHINE,
      })
      expect(paths.find(({ from }) => from === 2)).toMatchObject({ through: ['U1', 'U2'], seconds: 30e-9 })
    }
  })

  test('what exceeds its limit is an error', () => {
    const { findings, verdict } = examineAdapter(BOARD, { faults: false })
    expect(verdict).toBe('fail')
    expect(findings.map(({ code }) => code)).toEqual(['adapter/budget-exceeded', 'adapter/budget-exceeded'])
    expect(
      examineAdapter(
        {
          ...BOARD,
          resistors: [BOARD.resistors![0]!, { ...BOARD.resistors![1]!, ohms: 20000 }],
          machine: { ...MACHINE, time: 1e-6 },
        },
        { faults: false },
      ).findings,
    ).toEqual([])
  })

  test('a diode of 0.7 V is too much for a low', () => {
    const silicon = {
      ...BOARD,
      diodes: BOARD.diodes!.map((diode) => ({ ...diode, limits: { ...DIODE, drop: 0.7 } })),
    }
    expect(lineOf(silicon, 'W', 'low-level')).toMatchObject({ result: 'exceeded' })
    expect(lineOf(silicon, 'W', 'low-level').value).toBeCloseTo(1.1, 10)
  })

  test('a net of one diode is worked out as one of several', () => {
    const few = (...names: readonly string[]): Board => ({
      ...BOARD,
      diodes: BOARD.diodes!.filter(({ name }) => names.includes(name)),
    })
    // The machine's low of 0.4 V and its high of 2.7 V, over one diode of 0.3 V each.
    expect(lineOf(few('D1', 'D4'), 'W', 'low-level').value).toBeCloseTo(0.7, 10)
    expect(lineOf(few('D1', 'D4'), 'S', 'high-level').value).toBeCloseTo(2.4, 10)
  })

  test('a resistor whose tolerance leaves nothing of it has no current', () => {
    const wide = { ...BOARD, resistors: BOARD.resistors!.map((resistor) => ({ ...resistor, tolerance: 1 })) }
    expect(lineOf(wide, 'W', 'current')).toMatchObject({ value: null, result: 'not-computed' })
  })

  test('a low over two diodes in a row has both drops', () => {
    const chain: Board = {
      ...BOARD,
      diodes: [
        ...BOARD.diodes!.slice(1),
        { name: 'D1', anode: 'W', cathode: 'M', limits: DIODE },
        { name: 'D9', anode: 'M', cathode: 'A', limits: DIODE },
      ],
    }
    expect(lineOf(chain, 'W', 'low-level').value).toBeCloseTo(0.4 + 0.3 + 0.3, 10)
  })

  test('a driver sinks the sum of all pull-ups that it reaches', () => {
    const twice: Board = {
      ...BOARD,
      diodes: [...BOARD.diodes!, { name: 'D9', anode: 'V', cathode: 'A', limits: DIODE }],
      resistors: [...BOARD.resistors!, { name: 'R9', net: 'V', to: 'supply', ohms: 2350, tolerance: 0.05 }],
    }
    // 4700 Ω and 2350 Ω side by side, and 10 µA of the one input on W.
    expect(lineOf(twice, 'W', 'current').value! / (5.25 / (4700 * 0.95) + 5.25 / (2350 * 0.95) + 10e-6)).toBeCloseTo(
      1,
      10,
    )
  })

  test('a driver sinks the low-level current of the inputs; their high-level current loads the pull-up', () => {
    // Figures in the manner of bipolar parts, invented: 1.6 mA out of a low input, 40 µA into a high one.
    const { inputCurrent: _, ...others } = PART
    const limits = { ...others, inputLowCurrent: 1.6e-3, inputHighCurrent: 40e-6 }
    const bipolar = { ...BOARD, parts: BOARD.parts.map((part) => ({ ...part, limits })) }
    const sunk = lineOf(bipolar, 'W', 'current')
    expect(sunk.value! / (5.25 / (4700 * 0.95) + 1.6e-3)).toBeCloseTo(1, 10)
    // 1.18 mA of the resistor alone would hold at 2 mA; with the input it is 2.78 mA.
    const weak = { ...bipolar, machine: { ...MACHINE, sink: 0.002 } }
    expect(lineOf(weak, 'W', 'current')).toMatchObject({ limit: 0.002, result: 'exceeded' })
    // The machine's high of 2.7 V counts where 4.75 V less 40 µA × 4935 Ω is above it.
    expect(lineOf(bipolar, 'W', 'high-level')).toMatchObject({ value: 2.7, result: 'holds' })
    // 1.6 mA would pull the net below 0 V: the level ends there.
    const wrong = {
      ...BOARD,
      parts: BOARD.parts.map((part) => ({ ...part, limits: { ...PART, inputCurrent: 1.6e-3 } })),
    }
    expect(lineOf(wrong, 'W', 'high-level')).toMatchObject({ value: 0, result: 'exceeded' })
  })

  test('a ladder of 1,000 diodes is walked once: every net of it lies two diodes from the next', () => {
    // Nets N0 to N500, two diodes side by side from each to the one before: 2^500 ways, each of 500 drops.
    const steps = Array.from({ length: 500 }, (_, i) => i)
    const ladder: Board = {
      parts: [],
      outside: [
        { pin: 1, net: 'N0', direction: 'input' },
        { pin: 2, net: 'N500', direction: 'output' },
      ],
      diodes: steps.flatMap((i) =>
        ['a', 'b'].map((name) => ({
          name: `D${i}${name}`,
          anode: `N${i + 1}`,
          cathode: `N${i}`,
          limits: { ...DIODE, drop: 0.001 },
        })),
      ),
      resistors: [{ name: 'R1', net: 'N500', to: 'supply', ohms: 4700 }],
      machine: MACHINE,
    }
    // 0.4 V and 500 × 1 mV.
    expect(lineOf(ladder, 'N500', 'low-level').value).toBeCloseTo(0.9, 10)
    expect(granted(adapterTable(ladder)).ones[0]![0]! & 3).toBe(0b10)
  })

  test('a circle of diodes has no level', () => {
    const circle: Board = {
      ...BOARD,
      diodes: [
        ...BOARD.diodes!.slice(1),
        { name: 'D1', anode: 'W', cathode: 'M', limits: DIODE },
        { name: 'D9', anode: 'M', cathode: 'W', limits: DIODE },
      ],
    }
    expect(lineOf(circle, 'W', 'low-level')).toMatchObject({
      value: null,
      missing: expect.arrayContaining([{ what: 'diode-loop-end' }]),
    })
  })

  test('internal pull-ups lie beside the resistor, and alone they make a slow edge', () => {
    const inner = {
      ...BOARD,
      internalPullUps: true,
      parts: BOARD.parts.map((part) => ({ ...part, limits: { ...PART, pullUp: 100000 } })),
    }
    const beside = 1 / (1 / (4700 * 1.05) + 1 / 100000)
    expect(lineOf(inner, 'W', 'rise-time').value! / (RISE * (beside / (4700 * 1.05)))).toBeCloseTo(1, 10)
    const alone = { ...inner, resistors: inner.resistors!.slice(1) }
    expect(lineOf(alone, 'W', 'rise-time').value! / (RISE * (100000 / (4700 * 1.05)))).toBeCloseTo(1, 10)
    // The logic of X is the same with and without R1. At S a pull-up inside U2 works against R2, so that Y is not
    // known.
    const { outputs } = examineAdapter(alone, { against: { board: inner }, faults: false })
    expect(outputs.map(({ pin, relation }) => [pin, relation])).toEqual([
      [19, 'equivalent'],
      [12, 'undecided'],
    ])
  })
})

describe('nothing is assumed', () => {
  const without = (change: Partial<Board>): Board => ({ ...BOARD, ...change })
  const named = (words: string): object => {
    const [limit, of] = words.split(' for ')
    return { limit, of }
  }
  test.each<[missing: string, net: string, kind: string, board: Board]>([
    [
      'drop for D1',
      'W',
      'low-level',
      without({ diodes: plain.diodes!.map((diode, i) => ({ ...diode, ...(i === 0 ? {} : { limits: DIODE }) })) }),
    ],
    ['lowOut for machine', 'W', 'low-level', without({ machine: { source: 'invented' } })],
    ['lowIn for U1', 'W', 'low-level', without({ parts: plain.parts })],
    ['sink for machine', 'W', 'current', without({ machine: { source: 'invented', supplyMost: 5.25 } })],
    ['ohms for R1', 'W', 'rise-time', without({ resistors: plain.resistors! })],
    ['netCapacitance for machine', 'W', 'rise-time', without({ machine: { source: 'invented', supplyLeast: 4.75 } })],
  ])('%s', (missing, net, kind, board) => {
    expect(lineOf(board, net, kind)).toMatchObject({
      value: null,
      result: 'not-computed',
      missing: expect.arrayContaining([{ what: 'limit', ...named(missing) }]),
    })
    expect(renderAdapter(examineAdapter(board, { faults: false }), { all: true })).toContain(missing)
  })

  test('a loop of parts has no time', () => {
    const looped = boardOf({
      ...ADAPTER,
      parts: [{ ...ADAPTER.parts[0]!, pins: { 2: 'W', 3: 'X', 19: 'T' } }, ADAPTER.parts[1]!],
    })
    expect(
      budgetOf({ ...BOARD, parts: looped.parts.map((part) => ({ ...part, limits: PART })) }).paths.find(
        ({ from, to }) => from === 2 && to === 12,
      ),
    ).toMatchObject({ seconds: null, result: 'not-computed' })
  })

  test('limits, assumptions and their sources are printed', () => {
    const text = renderAdapter(examineAdapter(BOARD, { faults: false }), { all: true })
    for (const words of [
      'W, low level: 0.7 V, limit 0.8 V: holds',
      'S, current: 5.26 mA, limit 400 µA: exceeded',
      'an estimate',
      'no file shows its speed',
      'U1, U2, D1, D2, D3, D4, machine: invented',
    ])
      expect(text.replace(/\s+/g, ' ')).toContain(words)
  })
})
