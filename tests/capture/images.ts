/** Images and tables made without the library: by functions of a row number, of published tables, and of designs. */
import type { TruthTable } from '../../src/logic'
import { fileOf } from '../adapter/plain-boards'
import { gates, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { expandRows, type FunctionTable } from '../parts/function-tables'
import { ARRAY_82S100, type ArrayDesign, type ArrayTable } from '../parts/logic-array-maps'
import { shuffled, type Random } from '../parts/random-designs'

/** Bit k of the argument is the level of input k, bit j of the result that of output j. */
export type RowFunction = (row: number) => number

export const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)
export const bit = (value: number, at: number): number => (value >>> at) & 1

/** An image with a byte a row. */
export function imageOf(lines: number, levels: RowFunction): Uint8Array {
  return Uint8Array.from(upTo(2 ** lines), (row) => levels(row))
}

/** An image with two bytes a row. */
export function wideImageOf(lines: number, levels: RowFunction, order: 'low-first' | 'high-first'): Uint8Array {
  return Uint8Array.from(
    upTo(2 ** lines).flatMap((row) =>
      order === 'low-first' ? [levels(row) % 256, levels(row) >> 8] : [levels(row) >> 8, levels(row) % 256],
    ),
  )
}

/** A table in the form that the search takes; inputs are pins 1, 2 …, outputs pins 101, 102 … */
export function tableOf(inputs: number, outputs: number, levels: RowFunction): TruthTable {
  const words = Math.max(1, 2 ** inputs / 32)
  const ones = upTo(outputs).map(() => new Int32Array(words))
  for (let row = 0; row < 2 ** inputs; row++) {
    const given = levels(row)
    for (let output = 0; output < outputs; output++)
      if (bit(given, output)) ones[output]![row >> 5]! |= 1 << (row % 32)
  }
  return {
    inputs: upTo(inputs).map((k) => ({ kind: 'pin', pin: k + 1 })),
    outputs: upTo(outputs).map((j) => ({ kind: 'pin', pin: 101 + j })),
    unlisted: [],
    rowCount: 2 ** inputs,
    ones,
    open: upTo(outputs).map(() => new Int32Array(words)),
  }
}

/** How columns of a function are moved: input k and output j go to these places, and those marked are turned round. */
export interface Scramble {
  readonly inputs: readonly number[]
  readonly outputs: readonly number[]
  readonly turnedInputs: number
  readonly turnedOutputs: number
}

export function randomScramble(
  random: Random,
  [inputs, outputs]: readonly [number, number],
  turned: 'none' | 'outputs' | 'all' = 'none',
): Scramble {
  return {
    inputs: shuffled(random, upTo(inputs)),
    outputs: shuffled(random, upTo(outputs)),
    turnedInputs: turned === 'all' ? random(2 ** inputs) : 0,
    turnedOutputs: turned === 'none' ? 0 : random(2 ** outputs),
  }
}

/** The function with its columns moved. */
export function scrambled(
  levels: RowFunction,
  { inputs, outputs, turnedInputs, turnedOutputs }: Scramble,
): RowFunction {
  const made = Uint32Array.from({ length: 2 ** inputs.length }, (_, row) => {
    let own = 0
    for (let k = 0; k < inputs.length; k++) own |= bit(row ^ turnedInputs, inputs[k]!) << k
    const given = levels(own)
    return outputs.reduce((sum, place, j) => sum | (bit(given, j) << place), 0) ^ turnedOutputs
  })
  return (row) => made[row]!
}

/** A published table as a function: inputs and outputs in the order of its heads. */
export function functionOf(table: FunctionTable): RowFunction {
  const value = (levels: string): number =>
    [...levels].reduce((sum, level, i) => sum + (level === 'H' ? 2 ** i : 0), 0)
  const rows = new Map(expandRows(table).map(([inputs, outputs]) => [value(inputs), value(outputs)]))
  return (row) => rows.get(row)!
}

/** A random 16 × 48 × 8 design: terms of about six literals, each in one or two sums. */
export function randomArray(random: Random): ArrayDesign {
  const { ascending, outputs, terms } = ARRAY_82S100
  return {
    terms: upTo(terms).map((): Term => ascending.flatMap((pin) => (random(16) < 6 ? [random(2) ? pin : -pin] : []))),
    sums: outputs.map(() => upTo(terms).filter(() => random(6) === 0)),
    inverted: outputs.map(() => random(2) === 1),
    directions: [],
  }
}

/** A design as a function of its inputs in ascending number and its outputs by number. */
export function functionOfArray(
  { ascending, outputs }: ArrayTable,
  { terms, sums, inverted }: ArrayDesign,
): RowFunction {
  const named = (term: Term, sign: 1 | -1): number =>
    term.reduce((mask, literal) => (sign * literal > 0 ? mask | (1 << ascending.indexOf(Math.abs(literal))) : mask), 0)
  const masks = terms.map((term) => term && { high: named(term, 1), low: named(term, -1) })
  return (row) => {
    // A term holds where all inputs that it names high are 1 and all that it names low are 0.
    const holds = masks.map((mask) => mask !== null && (row & mask.high) === mask.high && (row & mask.low) === 0)
    return outputs.reduce((sum, _, j) => sum + (sums[j]!.some((term) => holds[term]) !== inverted[j] ? 2 ** j : 0), 0)
  }
}

/**
 * '48, TI SDLS111 (March 1974, revised March 1988), p. 3: segments a to g of codes 0 to 15 with A as input 0; a is
 * output 0.
 */
export const SEVEN_SEGMENT: RowFunction = (code) => {
  const lit = [
    'abcdef',
    'bc',
    'abdeg',
    'abcdg',
    'bcfg',
    'acdfg',
    'cdefg',
    'abc',
    'abcdefg',
    'abcfg',
    'deg',
    'cdg',
    'bfg',
    'adfg',
    'defg',
    '',
  ][code]!
  return [...lit].reduce((sum, segment) => sum + 2 ** 'abcdefg'.indexOf(segment), 0)
}

/** '138, Fairchild DM74LS138, DS006391 (March 2000), p. 2: G1, G2A, G2B, then C, B, A; Y0 to Y7. */
export const DECODER_138: FunctionTable = {
  inputs: ['G1', 'G2A', 'G2B', 'C', 'B', 'A'],
  outputs: ['Y0', 'Y1', 'Y2', 'Y3', 'Y4', 'Y5', 'Y6', 'Y7'],
  rows: [
    ['XHXXXX', 'HHHHHHHH'],
    ['XLHXXX', 'HHHHHHHH'],
    ['LLLXXX', 'HHHHHHHH'],
    ['HLLLLL', 'LHHHHHHH'],
    ['HLLLLH', 'HLHHHHHH'],
    ['HLLLHL', 'HHLHHHHH'],
    ['HLLLHH', 'HHHLHHHH'],
    ['HLLHLL', 'HHHHLHHH'],
    ['HLLHLH', 'HHHHHLHH'],
    ['HLLHHL', 'HHHHHHLH'],
    ['HLLHHH', 'HHHHHHHL'],
  ],
}

/** '148, TI SDLS053B (May 2004), p. 3: EI, then 0 to 7; A2, A1, A0, GS, EO. All active low. */
export const ENCODER_148: FunctionTable = {
  inputs: ['EI', '0', '1', '2', '3', '4', '5', '6', '7'],
  outputs: ['A2', 'A1', 'A0', 'GS', 'EO'],
  rows: [
    ['HXXXXXXXX', 'HHHHH'],
    ['LHHHHHHHH', 'HHHHL'],
    ['LXXXXXXXL', 'LLLLH'],
    ['LXXXXXXLH', 'LLHLH'],
    ['LXXXXXLHH', 'LHLLH'],
    ['LXXXXLHHH', 'LHHLH'],
    ['LXXXLHHHH', 'HLLLH'],
    ['LXXLHHHHH', 'HLHLH'],
    ['LXLHHHHHH', 'HHLLH'],
    ['LLHHHHHHH', 'HHHLH'],
  ],
}

/**
 * '283, Motorola SN74LS283, p. 3: sum of two numbers of four bits and a carry. A0 to A3, B0 to B3, C0; sums 0 to 3,
 * C4.
 */
export const ADDER_283: RowFunction = (row) => (row % 16) + (Math.floor(row / 16) % 16) + Math.floor(row / 256)

/** Exclusive-or, and more than half. */
export const PARITY: RowFunction = (row) => row.toString(2).replace(/0/g, '').length % 2
export const majorityOf =
  (inputs: number): RowFunction =>
  (row) =>
    2 * row.toString(2).replace(/0/g, '').length > inputs ? 1 : 0

/** The file of a 16V8 (invented) with these terms at pins 19, 18, 17 and on. */
export const sums = (...terms: readonly (readonly Term[])[]): Uint8Array =>
  fileOf(encode(gates(Object.fromEntries(terms.map((each, i) => [19 - i, each])))), 20)
