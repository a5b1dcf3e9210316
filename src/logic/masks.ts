/**
 * Expressions as masks over two planes of bits: what the array reads at each pin (bit = pin) and the Q of each register
 * (bit = cell). Each plane has a word for "can be 0" and one for "can be 1"; a term is one test of four words.
 */
import { isContradiction, structuralConstant, type Expression, type Logic } from './logic'
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
  /** Pins and registers that it reads. */
  readonly pins: number
  readonly cells: number
}

/** Prepares an expression. The logic must have at most `MAX_MASK_BITS` pins and cells. */
export function maskExpression(logic: Logic, expression: Expression): MaskedExpression {
  const constant = structuralConstant(expression)
  const terms: number[] = []
  const ends: number[] = []
  let pins = 0
  let cells = 0
  for (const sum of constant === null ? expression.sums : []) {
    for (const { literals } of sum.filter((cube) => !isContradiction(cube))) {
      const words = [0, 0, 0, 0]
      for (const literal of literals) {
        const signal = logic.signals[literal >>> 1]!
        const complement = literal & 1
        if (signal.kind === 'pin') words[complement]! |= 1 << signal.pin
        else words[2 + (complement ^ (signal.inverted ? 1 : 0))]! |= 1 << signal.cell
      }
      pins |= words[0]! | words[1]!
      cells |= words[2]! | words[3]!
      terms.push(...words)
    }
    ends.push(terms.length)
  }
  return {
    inverted: expression.inverted ? 1 : 0,
    ends: Int32Array.from(ends),
    terms: Int32Array.from(terms),
    constant,
    pins,
    cells,
  }
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
      if (any === 0 && ((a & ~pins1) | (b & ~pins0) | (c & ~q1) | (d & ~q0)) === 0) any = X
    }
    at = end
    value = xor(value, any)
  }
  return value
}
