/**
 * Expressions as masks over two planes of bits: what the array reads at each pin (bit = pin) and the Q of each register
 * (bit = cell). Each plane has a word for "can be 0" and one for "can be 1"; a term is one test of four words; one that
 * holds a signal and its complement is 0.
 */
import {
  cubesOf,
  isContradiction,
  structuralConstant,
  type Cube,
  type Expression,
  type Literal,
  type Logic,
} from './logic'
import { X, xor, type Ternary } from './ternary'

/** Most pins, and most cells, that fit a word whose sign is left alone. */
export const MAX_MASK_BITS = 31

/** The levels of a moment: pins that can read 0 or 1, registers whose Q can be 0 or 1. */
export interface Planes {
  pins0: number
  pins1: number
  q0: number
  q1: number
}

/**
 * An expression: four words a term (pins and registers in the true sense, then complemented), the terms of each sum
 * ending at `ends`. A constant has no sums.
 */
export interface MaskedExpression {
  readonly inverted: 0 | 1
  readonly ends: Int32Array
  readonly terms: Int32Array
  readonly constant: 0 | 1 | null
}

/** Where the term of an array row stands in a prepared expression. */
export interface TermPlace {
  readonly expression: MaskedExpression
  readonly at: number
  /** Literals that the structure adds to the row. */
  readonly added: readonly Literal[]
}

/**
 * Prepares an expression. The logic must have at most `MAX_MASK_BITS` pins and cells. With `rows`, whose terms are to
 * be changed later, the places of terms are noted by row, and nothing that a row could change counts as constant.
 */
export function maskExpression(
  logic: Logic,
  expression: Expression,
  rows: {
    readonly places: Map<number, TermPlace[]>
    readonly literalsOf: (row: number) => readonly Literal[]
  } | null,
): MaskedExpression {
  const open = rows && cubesOf(expression).some(({ origin }) => origin >= 0)
  const constant = open ? null : structuralConstant(expression)
  const terms: number[] = []
  const ends: number[] = []
  const kept: Cube[] = []
  for (const sum of constant === null ? expression.sums : []) {
    for (const cube of open ? sum : sum.filter((each) => !isContradiction(each))) {
      terms.push(...cubeWords(logic, cube.literals))
      kept.push(cube)
    }
    ends.push(terms.length)
  }
  const masked: MaskedExpression = {
    inverted: expression.inverted ? 1 : 0,
    ends: Int32Array.from(ends),
    terms: Int32Array.from(terms),
    constant,
  }
  if (open)
    kept.forEach(({ origin, literals }, i) => {
      if (origin < 0) return
      const own = rows.literalsOf(origin)
      const place: TermPlace = {
        expression: masked,
        at: 4 * i,
        // They stand behind those of the row, which may hold the same ones.
        added: literals.slice(own.length),
      }
      rows.places.set(origin, [...(rows.places.get(origin) ?? []), place])
    })
  return masked
}

/** The four words of a term. */
export function cubeWords({ signals }: Logic, literals: readonly Literal[]): [number, number, number, number] {
  const words: [number, number, number, number] = [0, 0, 0, 0]
  for (const literal of literals) {
    const signal = signals[literal >>> 1]!
    const complement = literal & 1
    if (signal.kind === 'pin') words[complement]! |= 1 << signal.pin
    else words[2 + (complement ^ (signal.inverted ? 1 : 0))]! |= 1 << signal.cell
  }
  return words
}

/** The value of one term of four words, as `evaluateMasked` takes it. */
export function evaluateTerm([a, b, c, d]: readonly number[], planes: readonly number[], at: number): Ternary {
  const [pins0, pins1, q0, q1] = [planes[at]!, planes[at + 1]!, planes[at + 2]!, planes[at + 3]!]
  if (((a! & pins0) | (b! & pins1) | (c! & q0) | (d! & q1)) === 0) return 1
  if (((a! & ~pins1) | (b! & ~pins0) | (c! & ~q1) | (d! & ~q0) | (a! & b!) | (c! & d!)) === 0) return X
  return 0
}

/** True where another term of the sum that the term at `at` belongs to is 1, so that this one does not matter. */
export function isCovered(
  { ends, terms }: MaskedExpression,
  at: number,
  { planes, moment }: { readonly planes: readonly number[]; readonly moment: number },
): boolean {
  let sum = 0
  while (ends[sum]! <= at) sum++
  for (let term = sum === 0 ? 0 : ends[sum - 1]!; term < ends[sum]!; term += 4) {
    const held =
      (terms[term]! & planes[moment]!) |
      (terms[term + 1]! & planes[moment + 1]!) |
      (terms[term + 2]! & planes[moment + 2]!) |
      (terms[term + 3]! & planes[moment + 3]!)
    if (held === 0 && term !== at) return true
  }
  return false
}

/** The value of a prepared expression, as the reference evaluates it term by term. */
export function evaluateMasked(expression: MaskedExpression, { pins0, pins1, q0, q1 }: Planes): Ternary {
  const { constant, ends, terms } = expression
  if (constant !== null) return constant
  let value: Ternary = expression.inverted
  let at = 0
  for (let sum = 0; sum < ends.length; sum++) {
    const end = ends[sum]!
    let any: Ternary = 0
    for (; at < end; at += 4) {
      const a = terms[at]!
      const b = terms[at + 1]!
      const c = terms[at + 2]!
      const d = terms[at + 3]!
      if (((a & pins0) | (b & pins1) | (c & q0) | (d & q1)) === 0) {
        any = 1
        break
      }
      if (any === 0 && ((a & ~pins1) | (b & ~pins0) | (c & ~q1) | (d & ~q0) | (a & b) | (c & d)) === 0) any = X
    }
    at = end
    value = xor(value, any)
  }
  return value
}

/** The four words of a term. */
export function termAt({ terms }: MaskedExpression, at: number): [number, number, number, number] {
  return [terms[at]!, terms[at + 1]!, terms[at + 2]!, terms[at + 3]!]
}
