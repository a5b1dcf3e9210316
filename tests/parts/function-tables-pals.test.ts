/**
 * Function tables of standard logic, each built into a part other than a 16V8 and checked row by row. The terms are
 * this file's; the rows are the data sheets'. Don't-cares of a row are tried both ways.
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

/** '138, Fairchild DM74LS138, DS006391 (March 2000), p. 2, in a 20L8: three-to-eight decoder; G2 = G2A + G2B. */
function decoder138(): Case {
  const pins = {
    A: 2,
    B: 3,
    C: 4,
    G1: 5,
    G2A: 13,
    G2B: 14,
    Y0: 22,
    Y1: 21,
    Y2: 20,
    Y3: 19,
    Y4: 18,
    Y5: 17,
    Y6: 16,
    Y7: 15,
  }
  const outputs = Array.from({ length: 8 }, (_, i) =>
    namedOutput(pins, `Y${i}`, { low: true, terms: [`G1 G2A' G2B' ${codeTerm(['C', 'B', 'A'], i)}`] }),
  )
  const table: FunctionTable = {
    inputs: ['G1', 'G2A', 'G2B', 'C', 'B', 'A'],
    outputs: ['Y0', 'Y1', 'Y2', 'Y3', 'Y4', 'Y5', 'Y6', 'Y7'],
    rows: [
      ['XHXXXX', 'HHHHHHHH'],
      ['XLHXXX', 'HHHHHHHH'],
      ['LLLXXX', 'HHHHHHHH'],
      ...Array.from({ length: 8 }, (_, i) => [`HLL${levels(i, 3)}`, oneLow(8, i)] as const),
    ],
  }
  return { name: "'138 in a 20L8", pins, design: { part: '20L8', mode: null, outputs }, table }
}

/**
 * '42, ON Semiconductor SN74LS42, truth table, in a 12L10: BCD to one of ten, codes 10 to 15 leave all outputs high.
 */
function decoder42(): Case {
  const pins: Pins = {
    A0: 1,
    A1: 2,
    A2: 11,
    A3: 13,
    ...Object.fromEntries(Array.from({ length: 10 }, (_, i) => [`O${i}`, 14 + i])),
  }
  const names = Array.from({ length: 10 }, (_, i) => `O${i}`)
  const outputs = names.map((name, i) =>
    namedOutput(pins, name, { low: true, terms: [codeTerm(['A3', 'A2', 'A1', 'A0'], i)] }),
  )
  const rows = Array.from({ length: 16 }, (_, code) => [levels(code, 4), oneLow(10, code)] as const)
  return {
    name: "'42 in a 12L10",
    pins,
    design: { part: '12L10', mode: null, outputs },
    table: { inputs: ['A3', 'A2', 'A1', 'A0'], outputs: names, rows },
  }
}

/** '153, Motorola SN74LS153, p. 2, both multiplexers in a 14H4: output low while E is high. */
function multiplexer153(): Case {
  const pins: Pins = {
    S1: 1,
    S0: 2,
    EA: 3,
    EB: 4,
    A0: 5,
    A1: 6,
    A2: 7,
    A3: 8,
    B0: 9,
    B1: 11,
    B2: 12,
    B3: 13,
    ZA: 17,
    ZB: 14,
  }
  const outputs = ['A', 'B'].map((half) =>
    namedOutput(pins, `Z${half}`, {
      terms: [0, 1, 2, 3].map((i) => `E${half}' ${codeTerm(['S1', 'S0'], i)} ${half}${i}`),
    }),
  )
  /** Rows of one half: select, enable, data. */
  const half = (select: number): (readonly [string, string])[] => [
    ['HXXXX', 'L'],
    ...['L', 'H'].map(
      (level) => [`L${[0, 1, 2, 3].map((data) => (data === select ? level : 'X')).join('')}`, level] as const,
    ),
  ]
  const rows = [0, 1, 2, 3].flatMap((select) =>
    half(select).flatMap(([a, x]) => half(select).map(([b, y]) => [levels(select, 2) + a + b, x + y] as const)),
  )
  const inputs = ['S1', 'S0', 'EA', 'A0', 'A1', 'A2', 'A3', 'EB', 'B0', 'B1', 'B2', 'B3']
  return {
    name: "both of a '153 in a 14H4",
    pins,
    design: { part: '14H4', mode: null, outputs },
    table: { inputs, outputs: ['ZA', 'ZB'], rows },
  }
}

/** '283, Motorola SN74LS283, p. 3, in a 16L2: one bit of the adder, active low, so by the terms of its zeros. */
function adderBit283(): Case {
  const pins = { C: 2, A: 19, B: 12, SUM: 16, CARRY: 15 }
  const outputs = [
    namedOutput(pins, 'SUM', { low: true, terms: ["C' A' B'", "C' A B", "C A' B", "C A B'"] }),
    namedOutput(pins, 'CARRY', { low: true, terms: ["A' B'", "C' A'", "C' B'"] }),
  ]
  const rows = Array.from({ length: 8 }, (_, i) => [levels(i, 3), 'LHHLHLLH'[i]! + 'LLLHLHHH'[i]!] as const)
  return {
    name: "one bit of a '283 in a 16L2",
    pins,
    design: { part: '16L2', mode: null, outputs },
    table: { inputs: ['C', 'A', 'B'], outputs: ['SUM', 'CARRY'], rows },
  }
}

/**
 * '85, Fairchild DM74LS85, DS006379, p. 2, in a 22V10: four-bit comparison, with the cascade inputs where the words
 * are equal.
 */
function comparator85(): Case {
  const pins: Pins = {
    A3: 1,
    B3: 2,
    A2: 3,
    B2: 4,
    A1: 5,
    B1: 6,
    A0: 7,
    B0: 8,
    GI: 9,
    LI: 10,
    EI: 11,
    E3: 22,
    E2: 21,
    E1: 20,
    E0: 19,
    GO: 18,
    LO: 17,
    EO: 16,
  }
  const equal = [3, 2, 1, 0].map((i) => namedOutput(pins, `E${i}`, { terms: [`A${i} B${i}`, `A${i}' B${i}'`] }))
  const above = (i: number): string =>
    [3, 2, 1, 0]
      .filter((one) => one > i)
      .map((one) => `E${one}`)
      .join(' ')
  const greater = (a: string, b: string): string[] => [3, 2, 1, 0].map((i) => `${above(i)} ${a}${i} ${b}${i}'`)
  const outputs = [
    ...equal,
    namedOutput(pins, 'GO', { terms: [...greater('A', 'B'), `${above(-1)} LI' EI'`] }),
    namedOutput(pins, 'LO', { terms: [...greater('B', 'A'), `${above(-1)} GI' EI'`] }),
    namedOutput(pins, 'EO', { terms: [`${above(-1)} EI`] }),
  ]
  /** Outputs for equal words by the cascade inputs >, <, =: the printed rows, two of them not one-hot. */
  const cascade: Readonly<Record<string, string>> = {
    HLL: 'HLL',
    LHL: 'LHL',
    LLH: 'LLH',
    HLH: 'LLH',
    LHH: 'LLH',
    HHH: 'LLH',
    HHL: 'LLL',
    LLL: 'HHL',
  }
  const rows = Array.from({ length: 256 }, (_, i) => [i >> 4, i & 15] as const).flatMap(([a, b]) =>
    Object.entries(cascade).map(
      ([inputs, outputs]) => [levels(a, 4) + levels(b, 4) + inputs, a > b ? 'HLL' : a < b ? 'LHL' : outputs] as const,
    ),
  )
  const inputs = ['A3', 'A2', 'A1', 'A0', 'B3', 'B2', 'B1', 'B0', 'GI', 'LI', 'EI']
  return {
    name: "'85 in a 22V10",
    pins,
    design: { part: '22V10', mode: null, outputs },
    table: { inputs, outputs: ['GO', 'LO', 'EO'], rows },
  }
}

/** '47, TI SDLS111 (March 1974, revised March 1988), p. 3: segments a to g of the sixteen codes, 1 on. */
const SEGMENTS =
  '1111110 0110000 1101101 1111001 0110011 1011011 0011111 1110000 1111111 1110011 0001101 0011001 0100011 1001011 0001111 0000000'.split(
    ' ',
  )
const CODE = ['D', 'C', 'B', 'A']

/** Terms over the code signals that hold for exactly the codes of `on`: the widest first, until all are covered. */
function cover(on: readonly number[]): string[] {
  const cubes = Array.from({ length: 81 }, (_, i) => CODE.map((__, at) => Math.floor(i / 3 ** at) % 3))
    .map((cube) => ({
      cube,
      codes: Array.from({ length: 16 }, (_, code) => code).filter((code) =>
        cube.every((want, at) => want === 2 || want === ((code >> (3 - at)) & 1)),
      ),
    }))
    .filter(({ codes }) => codes.every((code) => on.includes(code)))
  const terms: string[] = []
  for (let left = [...on]; left.length > 0;) {
    const gain = (codes: readonly number[]): number => codes.filter((code) => left.includes(code)).length
    const best = cubes.reduce((a, b) => (gain(b.codes) > gain(a.codes) ? b : a))
    terms.push(best.cube.flatMap((want, at) => (want === 2 ? [] : [want ? CODE[at]! : `${CODE[at]}'`])).join(' '))
    left = left.filter((code) => !best.codes.includes(code))
  }
  return terms
}

/** '47 in a part with seven terms an output; a segment that is on is low. The blanking input has a pin of its own. */
function decoder47(part: '16L8' | '20L8'): Case {
  const pins: Pins =
    part === '16L8'
      ? { A: 1, B: 2, C: 3, D: 11, LT: 5, RBI: 6, BI: 9, a: 19, b: 18, c: 17, d: 16, e: 15, f: 14, g: 12, RBO: 13 }
      : {
          A: 1,
          B: 23,
          C: 14,
          D: 13,
          LT: 11,
          RBI: 10,
          BI: 9,
          a: 22,
          b: 21,
          c: 20,
          d: 19,
          e: 18,
          f: 17,
          g: 15,
          RBO: 16,
        }
  const names = ['a', 'b', 'c', 'd', 'e', 'f', 'g']
  const outputs = names.map((name, segment) => {
    // Code 0 shows with RBI high alone; the lamp test lights all; the blanking input puts all out.
    const on = SEGMENTS.flatMap((text, code) => (text[segment] === '1' && code > 0 ? [code] : []))
    const zero = SEGMENTS[0]![segment] === '1' ? [`BI RBI ${codeTerm(CODE, 0)}`] : []
    return namedOutput(pins, name, {
      low: true,
      terms: ["BI LT'", ...zero, ...cover(on).map((term) => `BI ${term}`)],
    })
  })
  outputs.push(namedOutput(pins, 'RBO', { low: true, terms: ["BI'", `LT RBI' ${codeTerm(CODE, 0)}`] }))
  const shown = (text: string): string => text.replace(/1/g, 'L').replace(/0/g, 'H')
  const table: FunctionTable = {
    inputs: ['LT', 'RBI', ...CODE, 'BI'],
    outputs: [...names, 'RBO'],
    rows: [
      ...SEGMENTS.map((text, code) => [`H${code === 0 ? 'H' : 'X'}${levels(code, 4)}H`, `${shown(text)}H`] as const),
      // The three rows that override: blanking input, ripple blanking input, lamp test.
      ['XXXXXXL', 'HHHHHHHL'],
      ['HLLLLLH', 'HHHHHHHL'],
      ['LXXXXXH', 'LLLLLLLH'],
    ],
  }
  return { name: `'47 in a ${part}`, pins, design: { part, mode: null, outputs }, table }
}

const CASES: readonly Case[] = [
  decoder138(),
  decoder42(),
  multiplexer153(),
  adderBit283(),
  comparator85(),
  decoder47('16L8'),
  decoder47('20L8'),
]

const PIN_COUNTS: Readonly<Record<string, number>> = { '20L8': 24, '12L10': 24, '22V10': 24 }

describe.each(CASES.map((one) => [one.name, one] as const))('%s', (_, { pins, design, table }) => {
  const rows = expandRows(table)
  const pinCount = PIN_COUNTS[design.part] ?? 20

  test('the rows cover every input combination once', () => {
    expect(new Set(rows.map(([inputs]) => inputs)).size).toBe(2 ** table.inputs.length)
    expect(rows).toHaveLength(2 ** table.inputs.length)
  })

  test('every row holds', () => {
    const { passed, first } = runTable(
      design,
      rows.map(([inputs, outputs]) => rowVector(pins, table, [inputs, outputs, pinCount])),
    )
    expect(first).toBeNull()
    expect(passed).toBe(rows.length)
  })

  test('every row with the outputs turned round fails', () => {
    const turned = rows.map(
      ([inputs, outputs]) =>
        [inputs, outputs.replace(/[HL]/g, (level) => (level === 'H' ? 'L' : 'H')), pinCount] as const,
    )
    expect(
      runTable(
        design,
        turned.map((row) => rowVector(pins, table, row)),
      ).passed,
    ).toBe(0)
  })
})
