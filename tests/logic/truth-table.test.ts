/**
 * Truth tables of standard functions built into parts, row by row as data sheets have them. Row r is the input
 * combination in which input column k has the level of bit k of r. The terms are this file's.
 */
import { describe, expect, test } from 'vitest'
import { levelInTable } from '../../src/jobs/table/level-in-table'
import { partLevels, type WiredTable } from '../../src/jobs/table/part-levels'
import {
  tableOfLogic,
  truthTable,
  type TableColumn,
  type TableOptions,
  type TruthTable,
} from '../../src/jobs/table/truth-table'
import { findDevice, fuseMapFrom } from '../../src/index'
import { decode, type Decoded } from '../../src/logic'
import { ALWAYS, NEVER, type Expression, type Logic, type LogicCell } from '../../src/logic/logic'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { cellAt, encode, tableOf } from '../parts/encoder'
import { codeTerm, namedOutput, type Pins } from '../parts/function-tables'
import { granted, refusal } from '../granted'

const decoded = (design: Design, states: Uint8Array = encode(design)): Decoded =>
  decode(findDevice(design.part)!, fuseMapFrom(states.join('')))

function tableFor(design: Design, options?: TableOptions): TruthTable {
  return granted(truthTable(decoded(design), options))
}

/** Levels of all outputs in a row, in the order of the columns. */
const rowText = (table: TruthTable, row: number): string =>
  table.outputs.map((_, i) => levelInTable(table, i, row)).join('')
const allRows = (table: TruthTable): string[] =>
  Array.from({ length: table.rowCount }, (_, row) => rowText(table, row))
const columns = (kind: TableColumn['kind'], ...pins: readonly number[]): TableColumn[] =>
  pins.map((pin) => ({ kind, pin }))
const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)
/** Bits of a number as levels, least significant first. */
const bitsOf = (value: number, count: number): string =>
  upTo(count)
    .map((i) => (value >> i) & 1)
    .join('')

const combinational = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
  ...more,
})
const complex = (...outputs: readonly DesignOutput[]): Design => ({ part: '16V8', mode: 'complex', outputs })

describe("'48 in a 16V8, TI SDLS111 (March 1974, revised March 1988), p. 3: segments a to g of codes 0 to 15, a most significant", () => {
  const SEGMENTS = [0x7e, 0x30, 0x6d, 0x79, 0x33, 0x5b, 0x1f, 0x70, 0x7f, 0x73, 0x0d, 0x19, 0x23, 0x4b, 0x0f, 0x00]
  const pins: Pins = { A: 2, B: 3, C: 4, D: 5, a: 19, b: 18, c: 17, d: 16, e: 15, f: 14, g: 13 }
  const names = ['a', 'b', 'c', 'd', 'e', 'f', 'g']
  // Eight terms an output: one for each code that lights a segment, or, where these are more, for each that does not.
  const outputs = names.map((name, i) => {
    const lit = upTo(16).filter((code) => (SEGMENTS[code]! >> (6 - i)) & 1)
    const low = lit.length > 8
    return namedOutput(pins, name, {
      low,
      terms: (low ? upTo(16).filter((code) => !lit.includes(code)) : lit).map((code) =>
        codeTerm(['D', 'C', 'B', 'A'], code),
      ),
    })
  })
  const design: Design = { part: '16V8', mode: 'simple', outputs }
  const shown = names.map((name) => pins[name]!)

  test('with A as the first column the row is the code', () => {
    const table = tableFor(design, { inputs: [2, 3, 4, 5], outputs: shown })
    expect(table).toMatchObject({
      rowCount: 16,
      inputs: columns('pin', 2, 3, 4, 5),
      outputs: columns('pin', ...shown),
      unlisted: [],
    })
    expect(allRows(table).map((levels) => parseInt(levels, 2))).toEqual(SEGMENTS)
  })

  test('without a choice the columns are all that matters, pins ascending, and outputs in the order of the cells', () => {
    const table = tableFor(design)
    expect(table.inputs).toEqual(columns('pin', 2, 3, 4, 5))
    expect(table.outputs).toEqual(columns('pin', 19, 18, 17, 16, 15, 14, 13))
    expect(allRows(table).map((levels) => parseInt(levels, 2))).toEqual(SEGMENTS)
  })

  test('with the columns turned round row 1 is code 8', () => {
    const table = tableFor(design, { inputs: [5, 4, 3, 2], outputs: [...shown].reverse() })
    const turned = upTo(16).map((row) => SEGMENTS[parseInt(bitsOf(row, 4), 2)]!)
    expect(turned[1]).toBe(0x7f)
    expect(allRows(table)).toEqual(turned.map((segments) => bitsOf(segments, 7)))
  })

  test('a column that nothing depends on doubles the table', () => {
    const table = tableFor(design, { inputs: [9, 2, 3, 4, 5], outputs: [19] })
    expect(allRows(table)).toEqual(upTo(32).map((row) => String(SEGMENTS[row >> 1]! >> 6)))
  })

  test('left-out inputs: X exactly where they matter, the plain level where they do not', () => {
    // Without D a row stands for a code and the code 8 above it.
    const table = tableFor(design, { inputs: [2, 3, 4], outputs: shown })
    expect(table.unlisted).toEqual(columns('pin', 5))
    const merged = (codes: readonly number[]): string =>
      upTo(7)
        .map((i) => [...new Set(codes.map((code) => (SEGMENTS[code]! >> (6 - i)) & 1))])
        .map((levels) => (levels.length > 1 ? 'X' : levels[0]))
        .join('')
    expect(allRows(table)).toEqual(upTo(8).map((code) => merged([code, code + 8])))
    // 0 is 1111110, 8 is 1111111.
    expect(rowText(table, 0)).toBe('111111X')
    // Without A and D: rows by B and C.
    const both = tableFor(design, { inputs: [3, 4], outputs: shown })
    expect(both.unlisted).toEqual(columns('pin', 2, 5))
    expect(allRows(both)).toEqual(upTo(4).map((row) => merged([0, 1, 8, 9].map((code) => 2 * row + code))))
    // Without any input: one row.
    const none = tableFor(design, { inputs: [], outputs: shown })
    expect(allRows(none)).toEqual([merged(upTo(16))])
  })
})

test("'138 in a 16L8, Fairchild DM74LS138, DS006391 (March 2000), p. 2: Yi is low only for G1 high, G2A and G2B low and code i", () => {
  const pins: Pins = {
    A: 1,
    B: 2,
    C: 3,
    G1: 4,
    G2A: 5,
    G2B: 6,
    ...Object.fromEntries(upTo(8).map((i) => [`Y${i}`, 12 + i])),
  }
  const outputs = upTo(8).map((i) =>
    namedOutput(pins, `Y${i}`, { low: true, terms: [`G1 G2A' G2B' ${codeTerm(['C', 'B', 'A'], i)}`] }),
  )
  const table = tableFor({ part: '16L8', mode: null, outputs }, { outputs: upTo(8).map((i) => 12 + i) })
  expect(table.inputs).toEqual(columns('pin', 1, 2, 3, 4, 5, 6))
  const enabled = (row: number): boolean => row >> 3 === 0b001
  expect(allRows(table)).toEqual(
    upTo(64).map((row) =>
      upTo(8)
        .map((i) => (enabled(row) && (row & 7) === i ? 0 : 1))
        .join(''),
    ),
  )
  // Output i as a memory would hold it: all ones but bit 8 + i.
  upTo(8).forEach((i) =>
    expect([table.ones[i]![0], table.ones[i]![1], table.open[i]![0], table.open[i]![1]]).toEqual([
      ~(1 << (8 + i)),
      -1,
      0,
      0,
    ]),
  )
})

test("'148 in a 16L8, TI SDLS053B (May 2004), p. 3: the highest low input, through an output that is read back", () => {
  const pins: Pins = {
    ...Object.fromEntries(upTo(8).map((i) => [`I${i}`, 1 + i])),
    EI: 9,
    A2: 19,
    A1: 18,
    A0: 17,
    GS: 15,
    EO: 14,
  }
  const low = (name: string, terms: readonly string[]): DesignOutput => namedOutput(pins, name, { low: true, terms })
  const outputs = [
    low('A2', ["EI' I7'", "EI' I6'", "EI' I5'", "EI' I4'"]),
    low('A1', ["EI' I7'", "EI' I6'", "EI' I5 I4 I3'", "EI' I5 I4 I2'"]),
    low('A0', ["EI' I7'", "EI' I6 I5'", "EI' I6 I4 I3'", "EI' I6 I4 I2 I1'"]),
    low('GS', ["EI' EO"]),
    low('EO', [
      `EI' ${upTo(8)
        .map((i) => `I${i}`)
        .join(' ')}`,
    ]),
  ]
  const table = tableFor({ part: '16L8', mode: null, outputs }, { outputs: [19, 18, 17, 15, 14] })
  // Inputs 0 to 7 are bits 0 to 7 of the row, EI is bit 8.
  expect(table.inputs).toEqual(columns('pin', ...upTo(9).map((i) => i + 1)))
  const expected = (row: number): string => {
    const lowest = upTo(8).filter((i) => !((row >> i) & 1))
    if (row >> 8) return '11111'
    return lowest.length === 0 ? '11110' : `${(7 - Math.max(...lowest)).toString(2).padStart(3, '0')}01`
  }
  expect(allRows(table)).toEqual(upTo(512).map(expected))
})

test("'283 in a 22V10, Motorola SN74LS283, p. 3: sum and carry of each bit, rippled through outputs that are read back", () => {
  /** By carry in, A, B as a number: the printed columns. */
  const [SUM, CARRY] = ['01101001', '00010111']
  const pins: Pins = {
    A1: 2,
    A2: 3,
    A3: 4,
    A4: 5,
    B1: 6,
    B2: 7,
    B3: 8,
    B4: 9,
    C0: 10,
    C1: 20,
    C2: 21,
    C3: 22,
    C4: 23,
    S1: 19,
    S2: 18,
    S3: 17,
    S4: 16,
  }
  const ones = (table: string): number[] => upTo(8).filter((i) => table[i] === '1')
  const outputs = [1, 2, 3, 4].flatMap((i) => {
    const terms = (table: string): string[] =>
      ones(table).map((code) => codeTerm([`C${i - 1}`, `A${i}`, `B${i}`], code))
    return [namedOutput(pins, `S${i}`, { terms: terms(SUM!) }), namedOutput(pins, `C${i}`, { terms: terms(CARRY!) })]
  })
  const design: Design = { ...V10, outputs }
  const table = tableFor(design, { inputs: [2, 3, 4, 5, 6, 7, 8, 9, 10], outputs: [19, 18, 17, 16, 23] })
  expect(table.unlisted).toEqual([])
  // A is bits 0 to 3, B bits 4 to 7, carry in bit 8; sums and carry out make the number A + B + C0.
  expect(allRows(table)).toEqual(upTo(512).map((row) => bitsOf((row & 15) + ((row >> 4) & 15) + (row >> 8), 5)))
  // Without C0 the sums are open and the carry is known where C0 does not reach it: unless A + B = 15.
  const open = tableFor(design, { inputs: [2, 3, 4, 5, 6, 7, 8, 9], outputs: [23, 19] })
  expect(allRows(open)).toEqual(
    upTo(256).map((row) => ((row & 15) + (row >> 4) === 15 ? 'XX' : `${(row & 15) + (row >> 4) > 15 ? 1 : 0}X`)),
  )
})

describe("next states of a '163 in a 16V8, TI SDLS060 (October 1976, revised March 1988), p. 11", () => {
  const pins: Pins = {
    CLR: 2,
    LOAD: 3,
    ENP: 4,
    ENT: 5,
    A: 6,
    B: 7,
    C: 8,
    D: 9,
    QA: 18,
    QB: 17,
    QC: 16,
    QD: 15,
    RCO: 12,
  }
  const BITS = ['A', 'B', 'C', 'D']
  const outputs = BITS.map((bit, i) => {
    const lower = BITS.slice(0, i).map((name) => `Q${name}`)
    const holds = ["ENP'", "ENT'", ...lower.map((name) => `${name}'`)].map((why) => `CLR LOAD Q${bit} ${why}`)
    return namedOutput(pins, `Q${bit}`, {
      registered: true,
      terms: [`CLR LOAD' ${bit}`, ...holds, `CLR LOAD ENP ENT Q${bit}' ${lower.join(' ')}`],
    })
  })
  const design: Design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [...outputs, namedOutput(pins, 'RCO', { terms: ['ENT QA QB QC QD'] })],
  }
  const COUNT = [18, 17, 16, 15]

  test('clear, load, count and hold from every state; the carry is a level of the present state', () => {
    const table = tableFor(design, { inputs: [...COUNT, 6, 7, 8, 9, 2, 3, 4, 5], outputs: [...COUNT, 12] })
    expect(table.inputs).toEqual([...columns('state', ...COUNT), ...columns('pin', 6, 7, 8, 9, 2, 3, 4, 5)])
    expect(table.outputs).toEqual([...columns('state', ...COUNT), ...columns('pin', 12)])
    expect([table.rowCount, table.unlisted]).toEqual([4096, []])
    const expected = (row: number): string => {
      const [state, data] = [row & 15, (row >> 4) & 15]
      const [clear, load, enp, ent] = upTo(4).map((i) => (row >> (8 + i)) & 1)
      const next = !clear ? 0 : !load ? data : enp && ent ? (state + 1) % 16 : state
      return `${bitsOf(next, 4)}${ent && state === 15 ? 1 : 0}`
    }
    expect(allRows(table)).toEqual(upTo(4096).map(expected))
  })

  test('the printed sequence: clear, load 12, count 13, 14, 15, 0, 1, 2, hold', () => {
    const table = tableFor(design, { inputs: [...COUNT, 6, 7, 8, 9, 2, 3, 4, 5], outputs: COUNT })
    const step = (state: number, { data = 0, controls = 15 }): number =>
      parseInt([...rowText(table, state + 16 * data + 256 * controls)].reverse().join(''), 2)
    const found = [step(5, { controls: 0b1110 })]
    found.push(step(found.at(-1)!, { data: 12, controls: 0b1101 }))
    for (let i = 0; i < 6; i++) found.push(step(found.at(-1)!, {}))
    found.push(step(found.at(-1)!, { controls: 0b1011 }), step(found.at(-1)!, { data: 15, controls: 0b0111 }))
    expect(found).toEqual([0, 12, 13, 14, 15, 0, 1, 2, 2, 2])
  })

  test('without a choice states come after pins, and neither clock nor output enable is among them', () => {
    const table = tableFor(design)
    expect(table.inputs).toEqual([...columns('pin', 2, 3, 4, 5, 6, 7, 8, 9), ...columns('state', 15, 16, 17, 18)])
    // All outputs in the order of the cells, of those that can be on: 19, 14 and 13 never are.
    expect(table.outputs).toEqual([...columns('state', 18, 17, 16, 15), ...columns('pin', 12)])
  })

  test('states come after pins of higher numbers too', () => {
    const reading: Design = {
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      outputs: [{ pin: 15, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[15, -19]] }],
    }
    const table = tableFor(reading, { outputs: [15] })
    expect(table.inputs).toEqual([...columns('pin', 19), ...columns('state', 15)])
    expect(allRows(table)).toEqual(['0', '0', '1', '0'])
  })

  test('a left-out state bit is X where it matters', () => {
    const table = tableFor(design, { inputs: [18, 2, 3, 4, 5, 6, 7], outputs: [18, 17] })
    expect(table.unlisted).toEqual(columns('state', 17))
    // QA is bit 0, CLR bit 1, LOAD 2, ENP 3, ENT 4, A 5, B 6.
    const at = (row: number): string => rowText(table, row)
    expect(at(0b0000001)).toBe('00')
    expect([at(0b1000010), at(0b0100010)]).toEqual(['01', '10'])
    expect([at(0b0011111), at(0b0011110), at(0b0000111)]).toEqual(['0X', '1X', '1X'])
  })
})

describe('registers', () => {
  /**
   * 22V10, pin 1 a clock and an array input: it is low just before its edge (Lattice GAL22V10 data sheet, 22v10_08,
   * p. 3, 5).
   */
  const design = (activeHigh: boolean): Design => ({
    ...V10,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh, enable: { term: [3] }, terms: [[1], [-1, 2]] },
      combinational(22, [[1, 2]]),
      combinational(21, [[22, 4]]),
    ],
  })

  test.each([[true], [false]])(
    'a clock pin that the array reads is 0 for next states and swept for levels; active high: %s',
    (activeHigh) => {
      const table = tableFor(design(activeHigh), { inputs: [1, 2], outputs: [23, 22] })
      expect(table).toMatchObject({
        outputs: [
          { kind: 'state', pin: 23 },
          { kind: 'pin', pin: 22 },
        ],
        unlisted: [],
      })
      // Rows by pin 2, pin 1: D = pin 2 with pin 1 low; the pin shows Q, or ¬Q. Pin 22 = pin 1 ∧ pin 2.
      const next = (level: number): number => (activeHigh ? level : 1 - level)
      expect(allRows(table)).toEqual([`${next(0)}0`, `${next(0)}0`, `${next(1)}0`, `${next(1)}1`])
      // The other way round, and more words than one: columns of both kinds do not disturb each other.
      const wide = tableFor(design(activeHigh), { inputs: [2, 4, 5, 6, 7, 8, 1], outputs: [21, 22, 23] })
      expect(allRows(wide)).toEqual(
        upTo(128).map((row) => {
          const [x2, x4, x1] = [row & 1, (row >> 1) & 1, row >> 6]
          return `${x1 & x2 & x4}${x1 & x2}${next(x2)}`
        }),
      )
    },
  )

  test('next states alone do not need the clock pin; levels do', () => {
    expect(tableFor(design(true), { outputs: [23] }).inputs).toEqual(columns('pin', 2))
    expect(tableFor(design(true), { outputs: [22] }).inputs).toEqual(columns('pin', 1, 2))
    expect(tableFor(design(true), { outputs: [23, 22] }).inputs).toEqual(columns('pin', 1, 2))
    // Left out, it is open for the level alone.
    const open = tableFor(design(true), { inputs: [2], outputs: [23, 22] })
    expect(open.unlisted).toEqual(columns('pin', 1))
    expect(allRows(open)).toEqual(['00', '1X'])
  })

  test('reset and preset at the clock: the state after the edge, as the pin shows it', () => {
    // 22V10: reset on pin 3, preset at the clock on pin 4, D = ¬Q ∧ pin 2 by the column of its own cell. Reset wins.
    const own = (activeHigh: boolean): Design => ({
      part: '22V10',
      mode: null,
      clockPin: 1,
      reset: [3],
      clockedPreset: [4],
      registers: { polarity: 'after', feedback: 'inverted-register' },
      outputs: [{ pin: 23, kind: 'registered', activeHigh, enable: 'always', terms: [[23, 2]] }],
    })
    for (const activeHigh of [true, false]) {
      expect(tableFor(own(activeHigh)).inputs).toEqual([...columns('pin', 2, 3, 4), ...columns('state', 23)])
      const table = tableFor(own(activeHigh), { inputs: [23, 2, 3, 4] })
      expect(table.inputs).toEqual([...columns('state', 23), ...columns('pin', 2, 3, 4)])
      expect(allRows(table)).toEqual(
        upTo(16).map((row) => {
          const [level, x2, reset, preset] = upTo(4).map((i) => (row >> i) & 1) as [number, number, number, number]
          const q = activeHigh ? level : 1 - level
          const taken = reset ? 0 : preset || (!q && x2) ? 1 : 0
          return String(activeHigh ? taken : 1 - taken)
        }),
      )
    }
  })

  test('reset and preset together, and a register that both bypass for good', () => {
    // 20RA10 (Lattice data sheet, 20ra10_02, p. 3): pin = ¬Q; both at once leave the state undefined, always both
    // make the cell combinational.
    const ra = { kind: 'registered', activeHigh: true, enable: { term: [], lowPin: 13 } } as const
    const table = tableFor(
      {
        part: '20RA10',
        mode: null,
        registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
        outputs: [
          { ...ra, pin: 23, terms: [[2]], clock: [7], reset: [3], preset: [4] },
          { ...ra, pin: 22, terms: [[2]], reset: [], preset: [] },
        ],
      },
      { inputs: [2, 3, 4, 13], outputs: [23, 22] },
    )
    expect(table.outputs).toEqual([...columns('state', 23), ...columns('pin', 22)])
    expect(allRows(table)).toEqual(
      upTo(16).map((row) => {
        const [x2, reset, preset, off] = upTo(4).map((i) => (row >> i) & 1)
        return `${reset && preset ? 'X' : reset ? 1 : preset ? 0 : x2}${off ? 'Z' : x2}`
      }),
    )
  })
})

test('a held pin is at its level for next states and levels that hang on states', () => {
  const design: Design = {
    ...V10,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: false, enable: 'always', terms: [[2, 3]] },
      combinational(22, [[23, 3], [2, -3]]),
    ],
  }
  for (const level of [0, 1] as const) {
    const next = tableFor(design, { inputs: [2], outputs: [23], held: { 3: level } })
    // The pin shows ¬(p2 ∧ p3) after the edge.
    expect(allRows(next)).toEqual(level ? ['1', '0'] : ['1', '1'])
    const shown = tableFor(design, { inputs: [2, 23], outputs: [22], held: { 3: level } })
    // Rows by p2 and the pin of the register: the latter where p3 is 1, p2 where it is 0.
    expect(allRows(shown)).toEqual(level ? ['0', '0', '1', '1'] : ['0', '1', '0', '1'])
  }
})

test('a clock that is a term of its own is no clock pin: what it reads is swept', () => {
  // 20RA10: 23 takes pin 2 ∧ pin 7 at a rise of pin 7.
  const ra: DesignOutput = {
    pin: 23,
    kind: 'registered',
    activeHigh: true,
    enable: { term: [], lowPin: 13 },
    terms: [[2, 7]],
    clock: [7],
  }
  const table = tableFor(
    {
      part: '20RA10',
      mode: null,
      registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
      outputs: [ra],
    },
    { outputs: [23] },
  )
  expect(table.inputs).toEqual(columns('pin', 2, 7))
  expect(allRows(table)).toEqual(['0', '0', '0', '1'])
})

test('a held pin whose own register never drives it keeps its level in every state of that register', () => {
  // A 22V10 that reads the pins of its registers: 23 is off for good, and 22 is the level that is held there.
  const design: Design = {
    ...V10,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: true, enable: 'never', terms: [[2]] },
      combinational(22, [[23]]),
    ],
  }
  const whole = findDevice('22V10')!
  const device = { ...whole, modes: whole.modes.map((mode) => ({ ...mode, registerFeedback: 'pin' as const })) }
  const table = granted(
    truthTable(decode(device, fuseMapFrom(encode(design).join(''))), { inputs: [23], outputs: [22], held: { 23: 1 } }),
  )
  expect(table.inputs).toEqual(columns('state', 23))
  expect(allRows(table)).toEqual(['1', '1'])
})

describe('levels that are none', () => {
  test('Z where an output is off', () => {
    const table = tableFor(complex(combinational(18, [[2]], { enable: { term: [3, -4] } })), {
      inputs: [2, 3, 4],
      outputs: [18],
    })
    expect(allRows(table)).toEqual(['Z', 'Z', '0', '1', 'Z', 'Z', 'Z', 'Z'])
    // An enable that is left out: off or on.
    expect(
      allRows(tableFor(complex(combinational(18, [[2]], { enable: { term: [3] } })), { inputs: [2], outputs: [18] })),
    ).toEqual(['X', 'X'])
    // 16L8 with all fuses of the enable row intact: always off, and asked for by name only.
    const off: Design = {
      part: '16L8',
      mode: null,
      outputs: [
        combinational(18, [[2, 5]], { enable: 'never', activeHigh: false }),
        combinational(17, [[18]], { activeHigh: false }),
      ],
    }
    expect(tableFor(off, { outputs: [18] })).toMatchObject({ inputs: [], rowCount: 1 })
    expect(allRows(tableFor(off, { outputs: [18] }))).toEqual(['Z'])
    // Whoever reads its pin reads what is applied, and nothing of its terms.
    expect(tableFor(off)).toMatchObject({ inputs: columns('pin', 18), outputs: columns('pin', 17) })
    expect(allRows(tableFor(off))).toEqual(['1', '0'])
  })

  test('a pin that is off at times is an input too', () => {
    const design = complex(combinational(18, [[2]], { enable: { term: [3] } }), combinational(17, [[18]]))
    const table = tableFor(design, { outputs: [17] })
    expect(table.inputs).toEqual(columns('pin', 2, 3, 18))
    // Rows by 18, 3, 2: with pin 3 high pin 18 has the level of pin 2, else what is applied.
    expect(allRows(table)).toEqual(['0', '0', '0', '1', '1', '1', '0', '1'])
  })

  test('a latch is X where it stores, and known where its inputs decide', () => {
    // Cross-coupled NORs: 18 = ¬(R ∨ 17), 17 = ¬(S ∨ 18); S is pin 2, R pin 3.
    const nors = complex(
      combinational(18, [[3], [17]], { activeHigh: false }),
      combinational(17, [[2], [18]], { activeHigh: false }),
      combinational(16, [[18, 4]]),
    )
    const table = tableFor(nors, { inputs: [2, 3, 4], outputs: [18, 17, 16] })
    expect(table.unlisted).toEqual([])
    expect(allRows(table)).toEqual(['XX0', '100', '010', '000', 'XXX', '101', '010', '000'])
    expect(allRows(tableFor(complex(combinational(18, [[-18]])), { inputs: [], outputs: [18] }))).toEqual(['X'])
    // A keeper that pin 2 turns on: what was applied before is not known, and what is applied now does not count.
    expect(
      allRows(
        tableFor(complex(combinational(18, [[18]], { enable: { term: [2] } })), { inputs: [2, 18], outputs: [18] }),
      ),
    ).toEqual(['Z', 'X', 'Z', 'X'])
  })

  test('a two-way bus driver is no loop', () => {
    const bus: Design = {
      part: '16V8',
      mode: 'registered',
      outputs: [
        combinational(18, [[12]], { enable: { term: [2] } }),
        combinational(12, [[18]], { enable: { term: [-2] } }),
      ],
    }
    // Rows by 18, 12, 2.
    const table = tableFor(bus, { inputs: [2, 12, 18], outputs: [18, 12] })
    expect(allRows(table)).toEqual(['Z0', '0Z', 'Z0', '1Z', 'Z1', '0Z', 'Z1', '1Z'])
  })

  test('a cell that no data sheet defines', () => {
    const design = complex(combinational(18, [[2, 17], [3]]))
    const states = encode(design)
    // AC1 = 0 in complex mode.
    states[cellAt(tableOf(design), 17).selectFuse!] = 0
    const table = truthTable(decoded(design, states), { inputs: [2, 3], outputs: [17, 18] }) as TruthTable
    expect(allRows(table)).toEqual(['X0', 'XX', 'X1', 'X1'])
  })
})

describe('what cannot be made', () => {
  const wide = complex(
    combinational(18, [
      [2, 3, 4],
      [5, 6, 7],
      [8, 9, 11],
    ]),
    combinational(17, [[2]]),
  )

  test('more inputs than the limit: which, and how many may be', () => {
    const refused = (options: TableOptions): object => refusal(truthTable(decoded(wide), options))
    expect(refused({ maxInputs: 8 })).toEqual({
      refused: true,
      reason: 'too-wide',
      needed: columns('pin', 2, 3, 4, 5, 6, 7, 8, 9, 11),
      limit: 8,
    })
    expect(tableFor(wide, { maxInputs: 9 }).rowCount).toBe(512)
    expect(tableFor(wide, { maxInputs: 1, outputs: [17] }).rowCount).toBe(2)
    // Listed or not: inputs that are left out are swept all the same. Listed ones come first.
    expect(refused({ maxInputs: 8, inputs: [11, 2] })).toEqual({
      refused: true,
      reason: 'too-wide',
      needed: columns('pin', 11, 2, 3, 4, 5, 6, 7, 8, 9),
      limit: 8,
    })
    expect(refused({ maxInputs: 1, inputs: [2, 3], outputs: [17] })).toEqual({
      refused: true,
      reason: 'too-wide',
      needed: columns('pin', 2, 3),
      limit: 1,
    })
    expect(refused({ maxInputs: 0, outputs: [17] })).toMatchObject({ reason: 'too-wide', limit: 0 })
  })

  test('24 inputs where no limit is given', () => {
    // 26CV12: pins 1 to 6, 8 to 13 and 14 and 28 as inputs, and eleven cells that are off: 25.
    const inputs = [1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12, 13, 28, 14]
    const others = [27, 26, 25, 24, 23, 22, 20, 19, 18, 17, 16]
    const design: Design = {
      part: '26CV12',
      mode: null,
      outputs: [
        combinational(15, [[...inputs, ...others]]),
        ...others.map((pin) => combinational(pin, [], { enable: 'never' })),
      ],
    }
    expect(truthTable(decoded(design))).toMatchObject({ reason: 'too-wide', limit: 24, needed: { length: 25 } })
  })

  test.each<[string, TableOptions, RegExp]>([
    ['a supply pin', { inputs: [2, 20] }, /^options\.inputs: 20/],
    ['ground', { inputs: [10] }, /^options\.inputs: 10/],
    ['pin 0', { inputs: [0] }, /^options\.inputs: 0/],
    ['a pin past the package', { inputs: [21] }, /^options\.inputs: 21/],
    ['half a pin', { inputs: [2.5] }, /^options\.inputs: 2\.5/],
    ['an input twice', { inputs: [2, 3, 2] }, /^options\.inputs/],
    ['an output that is an input', { outputs: [18, 2] }, /^options\.outputs: 2 .*19, 18, 17, 16, 15, 14, 13, 12/],
    ['an output twice', { outputs: [18, 17, 18] }, /^options\.outputs/],
    ['a limit below 0', { maxInputs: -1 }, /^options\.maxInputs/],
    ['a limit over 30', { maxInputs: 31 }, /^options\.maxInputs/],
    ['a broken limit', { maxInputs: 4.5 }, /^options\.maxInputs/],
    ['no number', { maxInputs: NaN }, /^options\.maxInputs/],
  ])('%s is a mistake', (_, options, message) => {
    expect(() => truthTable(decoded(wide), options)).toThrow(RangeError)
    expect(() => truthTable(decoded(wide), options)).toThrow(message)
  })

  test('of a part without logic there is none', () => {
    // SYN,AC0 = 0,0: no mode.
    const none = decode(findDevice('16V8')!, fuseMapFrom('0'.repeat(2194)))
    expect(none.logic).toBeNull()
    expect(truthTable(none)).toEqual({ refused: true, reason: 'no-logic' })
    expect(() => truthTable(none, { maxInputs: -1 })).toThrow(/maxInputs/)
  })
})

test('buried registers: a column each, by name, where they are read and where they are listed', () => {
  // Pin 5 is B0 ∧ ¬B1; B0 takes p2, and B1 takes p3. Signals are pins 1 to 3, then both states.
  const of = (...literals: readonly number[]): Expression => ({ sums: [[{ literals, origin: -1 }]], inverted: false })
  const none = { reset: NEVER, preset: NEVER, clockedPreset: NEVER, load: NEVER, bypass: false, inverted: false }
  const buried = (name: string, data: Expression): LogicCell => {
    const register = { ...none, data, clock: of(0), powerUp: null }
    return { pin: null, name, defined: true, enable: NEVER, value: null, register }
  }
  const gate = { pin: 5, name: '5', defined: true, enable: ALWAYS, value: of(6, 9), register: null }
  const logic: Logic = {
    ...{ pinCount: 6, supplyPins: [], cells: [gate, buried('B0', of(2)), buried('B1', of(4))] },
    signals: [
      ...[1, 2, 3].map((pin) => ({ kind: 'pin' as const, pin })),
      ...[1, 2].map((cell) => ({ kind: 'register' as const, cell, inverted: false })),
    ],
  }
  const table = granted(tableOfLogic(logic, {}))
  const states = ['B0', 'B1'].map((cell): TableColumn => ({ kind: 'state', pin: 0, cell }))
  expect(table.inputs).toEqual([...columns('pin', 2, 3), ...states])
  expect(table.outputs).toEqual([...columns('pin', 5), ...states])
  // Row r has p2, p3, B0 and B1 in its bits; the levels of pin 5 and of both states after a clock follow.
  expect(allRows(table)).toEqual(
    upTo(16).map((row) => {
      const [p2, p3, b0, b1] = [1, 2, 4, 8].map((bit) => Number((row & bit) !== 0)) as [number, number, number, number]
      return `${b0 & (1 - b1)}${p2}${p3}`
    }),
  )
})

test('an output past a register that reset and preset hold for good reads as what passes it', () => {
  // GAL20RA10 (data sheet 20ra10_02, p. 4): while both hold, the pin shows the sum; it is on while pin 13 is 0 and
  // its own term 1, and pin 1 at 0 would load it.
  const ra = { kind: 'registered', activeHigh: true, enable: { term: [3], lowPin: 13 } } as const
  const design: Design = {
    ...{ part: '20RA10', mode: null },
    registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
    outputs: [{ ...ra, pin: 23, terms: [[2]], reset: [], preset: [] }],
  }
  const wired = partLevels(decoded(design), { inputs: [2], outputs: [23], held: { 1: 1, 3: 1, 13: 0 }, off: null })
  const { table } = wired as WiredTable
  expect(decoded(design).logic!.cells.find(({ pin }) => pin === 23)!.value).toBeNull()
  expect(allRows(table)).toEqual(['0', '1'])
})

test('a row alone is set, whichever it is among its 32', () => {
  const pins = [2, 3, 4, 5, 6, 7]
  for (const row of [0, 1, 31, 32, 33, 63]) {
    const term = pins.map((pin, k) => ((row >> k) & 1 ? pin : -pin))
    const table = tableFor(complex(combinational(19, [term])), { inputs: pins, outputs: [19] })
    expect(upTo(64).filter((each) => rowText(table, each) === '1')).toEqual([row])
  }
})
