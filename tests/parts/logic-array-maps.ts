/**
 * Fuse maps of logic arrays from designs, by numbers of its own, and their straight evaluation: nothing of the library.
 * Geometry and pins: Philips PLS153/A and PLS173 product specifications, p. 1; of the 82S100 16 × 48 × 8 is published
 * and its pins are from memory. Which fuse is which is not published: the formulas below are the orders by definition.
 */
import type { PinLiteral, Term } from './design'

/** Pins as the sheets number them. Descending: each group of inputs from its highest number. */
export interface ArrayTable {
  readonly part: string
  readonly fuseCount: number
  readonly pinCount: number
  readonly supplyPins: readonly number[]
  readonly ascending: readonly number[]
  readonly descending: readonly number[]
  readonly outputs: readonly number[]
  readonly terms: number
  /** True where each output has a direction term. */
  readonly directed: boolean
  /** Pin that must be low for any output, where there is one. */
  readonly lowPin: number | null
}

export const ARRAY_82S100: ArrayTable = {
  part: '82S100',
  fuseCount: 1928,
  pinCount: 28,
  supplyPins: [14, 28],
  // I0 is pin 9, I7 pin 2, I8 pin 27, I15 pin 20.
  ascending: [9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20],
  descending: [20, 21, 22, 23, 24, 25, 26, 27, 2, 3, 4, 5, 6, 7, 8, 9],
  outputs: [18, 17, 16, 15, 13, 12, 11, 10],
  terms: 48,
  directed: false,
  lowPin: 19,
}

export const ARRAY_PLS153: ArrayTable = {
  part: 'PLS153',
  fuseCount: 1842,
  pinCount: 20,
  supplyPins: [10, 20],
  ascending: [1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 15, 16, 17, 18, 19],
  descending: [8, 7, 6, 5, 4, 3, 2, 1, 19, 18, 17, 16, 15, 14, 13, 12, 11, 9],
  outputs: [9, 11, 12, 13, 14, 15, 16, 17, 18, 19],
  terms: 32,
  directed: true,
  lowPin: null,
}

export const ARRAY_PLS173: ArrayTable = {
  part: 'PLS173',
  fuseCount: 2178,
  pinCount: 24,
  supplyPins: [12, 24],
  ascending: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23],
  descending: [13, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 23, 22, 21, 20, 19, 18, 17, 16, 15, 14],
  outputs: [14, 15, 16, 17, 18, 19, 20, 21, 22, 23],
  terms: 32,
  directed: true,
  lowPin: null,
}

export const ARRAYS = [ARRAY_82S100, ARRAY_PLS153, ARRAY_PLS173] as const

/** Every order by name, in the test's own words. */
export const ORDERS = [
  'term-by-term',
  'term-by-term-inputs-descending',
  'term-by-term-complement-first',
  'term-by-term-complement-first-inputs-descending',
  'array-by-array',
  'array-by-array-inputs-descending',
  'array-by-array-complement-first',
  'array-by-array-complement-first-inputs-descending',
] as const

/** A table in an order. */
export interface Ordered {
  readonly table: ArrayTable
  readonly order: string
}

/** First fuse of a row: rows of terms, then those of the directions. */
export function rowFuse({ table, order }: Ordered, row: number): number {
  const width = 2 * table.ascending.length
  if (order.startsWith('array-by-array')) return width * row
  const whole = width + table.outputs.length
  return row < table.terms ? whole * row : whole * table.terms + width * (row - table.terms)
}

/** Fuse of a literal in a row. */
export function inputFuse(given: Ordered, row: number, literal: PinLiteral): number {
  const pins = given.order.endsWith('inputs-descending') ? given.table.descending : given.table.ascending
  const pair = pins.indexOf(Math.abs(literal))
  if (pair < 0) throw new RangeError(`pin ${Math.abs(literal)} has no columns in a ${given.table.part}`)
  const second = literal < 0 !== given.order.includes('complement-first')
  return rowFuse(given, row) + 2 * pair + (second ? 1 : 0)
}

/** Fuse between a term and the sum of the output of that index. */
export function sumFuse({ table, order }: Ordered, term: number, output: number): number {
  const { length } = table.outputs
  const width = 2 * table.ascending.length
  if (!order.startsWith('array-by-array')) return (width + length) * term + width + output
  return width * (table.terms + (table.directed ? length : 0)) + length * term + output
}

export function polarityFuse({ table }: Ordered, output: number): number {
  return table.fuseCount - table.outputs.length + output
}

/** A design: null is a term as it leaves the factory, all links intact, which is constant 0. */
export interface ArrayDesign {
  readonly terms: readonly (Term | null)[]
  /** For each output the indices of the terms in its sum. */
  readonly sums: readonly (readonly number[])[]
  readonly inverted: readonly boolean[]
  /** For each output its direction term; empty for a part without. */
  readonly directions: readonly (Term | null)[]
}

/** Fuse states of a design, fuse 0 first: 0 intact, 1 blown. */
export function encodeArray(given: Ordered, design: ArrayDesign): Uint8Array {
  const { table } = given
  const states = new Uint8Array(table.fuseCount)
  const write = (row: number, term: Term | null): void => {
    if (!term) return
    states.fill(1, rowFuse(given, row), rowFuse(given, row) + 2 * table.ascending.length)
    for (const literal of term) states[inputFuse(given, row, literal)] = 0
  }
  for (let row = 0; row < table.terms; row++) {
    write(row, design.terms[row] ?? null)
    for (let output = 0; output < table.outputs.length; output++)
      states[sumFuse(given, row, output)] = design.sums[output]?.includes(row) ? 0 : 1
  }
  design.directions.forEach((term, output) => write(table.terms + output, term))
  design.inverted.forEach((inverted, output) => (states[polarityFuse(given, output)] = inverted ? 1 : 0))
  return states
}

/** Levels at all pins, and which outputs drive. */
export interface ArrayLevels {
  readonly levels: ReadonlyMap<number, boolean>
  readonly driving: ReadonlySet<number>
}

/** Evaluates a design without loops in the order of its outputs: each may read inputs and outputs before it. */
export function evaluateArray(
  table: ArrayTable,
  design: ArrayDesign,
  applied: ReadonlyMap<number, boolean>,
): ArrayLevels {
  const levels = new Map(applied)
  const driving = new Set<number>()
  const holds = (term: Term | null | undefined): boolean =>
    !!term && term.every((literal) => levels.get(Math.abs(literal)) === literal > 0)
  table.outputs.forEach((pin, output) => {
    const on = table.directed ? holds(design.directions[output]) : !levels.get(table.lowPin!)
    if (!on) return
    driving.add(pin)
    levels.set(pin, (design.sums[output] ?? []).some((term) => holds(design.terms[term])) !== design.inverted[output])
  })
  return { levels, driving }
}

/** A fuse file of these states, with the fields that decoding needs. */
export function arrayFile({ pinCount }: ArrayTable, states: Uint8Array): string {
  return `\x02*QP${pinCount}*QF${states.length}*L0 ${states.join('')}*\x03`
}
