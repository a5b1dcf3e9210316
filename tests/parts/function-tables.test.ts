/**
 * Function tables of standard logic as makers print them, each built into a 16V8 in simple or complex mode and checked
 * row by row. The terms are this file's; the rows are the data sheets'. Don't-cares of a row are tried both ways, and
 * the count shows that every input combination was.
 */
import { describe, expect, test } from 'vitest'
import {
  codeTerm,
  expandRows,
  levels,
  namedOutput,
  oneLow,
  rowVector,
  runTable,
  type Case,
  type FunctionTable,
  type Pins,
} from './function-tables'

const MODES = ['simple', 'complex'] as const

/** '138, Fairchild DM74LS138, DS006391 (March 2000), p. 2: three-to-eight decoder; G2 = G2A + G2B. */
function decoder138(): Omit<Case, 'name'>[] {
  const pins = {
    A: 2,
    B: 3,
    C: 4,
    G1: 5,
    G2A: 6,
    G2B: 7,
    Y0: 19,
    Y1: 18,
    Y2: 17,
    Y3: 16,
    Y4: 15,
    Y5: 14,
    Y6: 13,
    Y7: 12,
  }
  const outputs = Array.from({ length: 8 }, (_, i) =>
    namedOutput(pins, `Y${i}`, { low: true, terms: [`G1 G2A' G2B' ${codeTerm(['C', 'B', 'A'], i)}`] }),
  )
  const table: FunctionTable = {
    inputs: ['G1', 'G2A', 'G2B', 'C', 'B', 'A'],
    outputs: ['Y0', 'Y1', 'Y2', 'Y3', 'Y4', 'Y5', 'Y6', 'Y7'],
    rows: [
      // G2 high, then G1 low with G2 low (the rest of the sheet's row "G1 L", so that no combination comes twice).
      ['XHXXXX', 'HHHHHHHH'],
      ['XLHXXX', 'HHHHHHHH'],
      ['LLLXXX', 'HHHHHHHH'],
      ...Array.from({ length: 8 }, (_, i) => [`HLL${levels(i, 3)}`, oneLow(8, i)] as const),
    ],
  }
  return MODES.map((mode) => ({ pins, design: { part: '16V8', mode, outputs }, table }))
}

/** '139, Fairchild DM74LS139, DS006391 (March 2000), p. 2: two two-to-four decoders. */
function decoder139(): Omit<Case, 'name'>[] {
  const pins = {
    G1: 2,
    A1: 3,
    B1: 4,
    G2: 5,
    A2: 6,
    B2: 7,
    '1Y0': 19,
    '1Y1': 18,
    '1Y2': 17,
    '1Y3': 16,
    '2Y0': 15,
    '2Y1': 14,
    '2Y2': 13,
    '2Y3': 12,
  }
  const outputs = [1, 2].flatMap((half) =>
    [0, 1, 2, 3].map((i) =>
      namedOutput(pins, `${half}Y${i}`, { low: true, terms: [`G${half}' ${codeTerm([`B${half}`, `A${half}`], i)}`] }),
    ),
  )
  const half: (readonly [string, string])[] = [
    ['HXX', 'HHHH'],
    ...[0, 1, 2, 3].map((i) => [`L${levels(i, 2)}`, oneLow(4, i)] as const),
  ]
  const table: FunctionTable = {
    inputs: ['G1', 'B1', 'A1', 'G2', 'B2', 'A2'],
    outputs: ['1Y0', '1Y1', '1Y2', '1Y3', '2Y0', '2Y1', '2Y2', '2Y3'],
    // The halves are independent: every row of one with every row of the other.
    rows: half.flatMap(([a, y]) => half.map(([b, z]) => [a + b, y + z] as const)),
  }
  return MODES.map((mode) => ({ pins, design: { part: '16V8', mode, outputs }, table }))
}

/** '42, ON Semiconductor SN74LS42, truth table: BCD to one of ten, codes 10 to 15 leave all outputs high. */
function decoder42(): Omit<Case, 'name'>[] {
  // Ten outputs do not fit eight cells: 0 to 7 in one map, 8 and 9 in a second.
  return [
    [0, 1, 2, 3, 4, 5, 6, 7],
    [8, 9],
  ].map((digits) => {
    const pins: Pins = {
      A0: 2,
      A1: 3,
      A2: 4,
      A3: 5,
      ...Object.fromEntries(digits.map((digit, i) => [`O${digit}`, 19 - i])),
    }
    const outputs = digits.map((digit) =>
      namedOutput(pins, `O${digit}`, { low: true, terms: [codeTerm(['A3', 'A2', 'A1', 'A0'], digit)] }),
    )
    const rows = Array.from(
      { length: 16 },
      (_, code) => [levels(code, 4), digits.map((digit) => (digit === code ? 'L' : 'H')).join('')] as const,
    )
    return {
      pins,
      design: { part: '16V8', mode: 'simple', outputs },
      table: { inputs: ['A3', 'A2', 'A1', 'A0'], outputs: digits.map((digit) => `O${digit}`), rows },
    }
  })
}

/** '153, Motorola SN74LS153, p. 2: four-to-one multiplexer, output low while E is high. One of the two. */
function multiplexer153(): Omit<Case, 'name'>[] {
  const pins = { S1: 2, S0: 3, E: 4, I0: 5, I1: 6, I2: 7, I3: 8, Z: 16 }
  const outputs = [
    namedOutput(pins, 'Z', { terms: [0, 1, 2, 3].map((i) => `E' ${codeTerm(['S1', 'S0'], i)} I${i}`) }),
  ]
  const selected = [0, 1, 2, 3].flatMap((i) =>
    ['L', 'H'].map(
      (level) =>
        [
          levels(i, 2) + 'L' + Array.from({ length: 4 }, (_, data) => (data === i ? level : 'X')).join(''),
          level,
        ] as const,
    ),
  )
  const table: FunctionTable = {
    inputs: ['S1', 'S0', 'E', 'I0', 'I1', 'I2', 'I3'],
    outputs: ['Z'],
    rows: [['XXHXXXX', 'L'], ...selected],
  }
  return MODES.map((mode) => ({ pins, design: { part: '16V8', mode, outputs }, table }))
}

/** '148, TI SDLS053B (May 2004), p. 3: eight-to-three priority encoder, all signals active low. */
function encoder148(): Omit<Case, 'name'>[] {
  const pins: Pins = { EI: 1, 0: 2, 1: 3, 2: 4, 3: 5, 4: 6, 5: 7, 6: 8, 7: 9, A2: 19, A1: 18, A0: 17, GS: 14, EO: 13 }
  const outputs = [
    namedOutput(pins, 'A2', { low: true, terms: ["EI' 7'", "EI' 6'", "EI' 5'", "EI' 4'"] }),
    namedOutput(pins, 'A1', { low: true, terms: ["EI' 7'", "EI' 6'", "EI' 5 4 3'", "EI' 5 4 2'"] }),
    namedOutput(pins, 'A0', { low: true, terms: ["EI' 7'", "EI' 6 5'", "EI' 6 4 3'", "EI' 6 4 2 1'"] }),
    // Eight terms, which only the simple mode offers.
    namedOutput(pins, 'GS', { low: true, terms: Array.from({ length: 8 }, (_, i) => `EI' ${i}'`) }),
    namedOutput(pins, 'EO', { low: true, terms: ["EI' 0 1 2 3 4 5 6 7"] }),
  ]
  const highest = Array.from(
    { length: 8 },
    (_, i) => [`L${'X'.repeat(i)}L${'H'.repeat(7 - i)}`, `${levels(7 - i, 3)}LH`] as const,
  )
  const table: FunctionTable = {
    inputs: ['EI', '0', '1', '2', '3', '4', '5', '6', '7'],
    outputs: ['A2', 'A1', 'A0', 'GS', 'EO'],
    rows: [['HXXXXXXXX', 'HHHHH'], ['LHHHHHHHH', 'HHHHL'], ...highest],
  }
  return [{ pins, design: { part: '16V8', mode: 'simple', outputs }, table }]
}

/** '283, Motorola SN74LS283, p. 3: one bit of the adder; (C, A, B) = LLL … HHH give these sums and carries. */
function adderBit283(): Omit<Case, 'name'>[] {
  const pins = { C: 2, A: 3, B: 4, SUM: 18, CARRY: 13 }
  const outputs = [
    namedOutput(pins, 'SUM', { terms: ["C' A' B", "C' A B'", "C A' B'", 'C A B'] }),
    namedOutput(pins, 'CARRY', { terms: ['A B', 'C A', 'C B'] }),
  ]
  const sums = 'LHHLHLLH'
  const carries = 'LLLHLHHH'
  const rows = Array.from({ length: 8 }, (_, i) => [levels(i, 3), sums[i]! + carries[i]!] as const)
  return MODES.map((mode) => ({
    pins,
    design: { part: '16V8', mode, outputs },
    table: { inputs: ['C', 'A', 'B'], outputs: ['SUM', 'CARRY'], rows },
  }))
}

const BY_NAME = {
  "'138": decoder138(),
  "'139": decoder139(),
  "'42": decoder42(),
  "'153": multiplexer153(),
  "'148": encoder148(),
  "'283, one bit": adderBit283(),
}

const CASES: readonly Case[] = Object.entries(BY_NAME).flatMap(([name, cases]) =>
  cases.map((one) => ({ ...one, name: `${name} (${one.design.mode} mode, ${one.design.outputs.length} outputs)` })),
)

describe.each(CASES.map((one) => [one.name, one] as const))('%s', (_, { pins, design, table }) => {
  const rows = expandRows(table)

  test('the rows cover every input combination once', () => {
    expect(new Set(rows.map(([inputs]) => inputs)).size).toBe(2 ** table.inputs.length)
    expect(rows).toHaveLength(2 ** table.inputs.length)
  })

  test('every row holds', () => {
    const { passed, first } = runTable(
      design,
      rows.map((row) => rowVector(pins, table, row)),
    )
    expect(first).toBeNull()
    expect(passed).toBe(rows.length)
  })

  test('every row with the outputs turned round fails', () => {
    const turned = rows.map(
      ([inputs, outputs]) => [inputs, outputs.replace(/[HL]/g, (level) => (level === 'H' ? 'L' : 'H'))] as const,
    )
    expect(
      runTable(
        design,
        turned.map((row) => rowVector(pins, table, row)),
      ).passed,
    ).toBe(0)
  })
})
