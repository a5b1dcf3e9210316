/** Three-valued evaluation: 0, 1 and X (unknown), as in Eichelberger's and Yoeli and Rinon's ternary algebra. */
import { isContradiction, type Cube, type Expression } from './logic'

/** 0, 1, or 2 for X. */
export type Ternary = 0 | 1 | 2
/** Unknown. */
export const X = 2

export function not(a: Ternary): Ternary {
  return a === X ? X : ((1 - a) as Ternary)
}

export function xor(a: Ternary, b: Ternary): Ternary {
  return a === X || b === X ? X : ((a ^ b) as Ternary)
}

/** The common knowledge of two values: the value where they agree, else X. */
export function merge(a: Ternary, b: Ternary): Ternary {
  return a === b ? a : X
}

/** A cube under given signal values. A cube that holds a contradiction is 0 even where the signal is X. */
export function evaluateCube(cube: Cube, signals: readonly Ternary[]): Ternary {
  let value: Ternary = 1
  for (const literal of cube.literals) {
    const signal = signals[literal >>> 1]!
    const level = literal & 1 ? not(signal) : signal
    if (level === 0) return 0
    if (level === X) value = X
  }
  return value === X && isContradiction(cube) ? 0 : value
}

/** An expression under given signal values (index = signal of the logic). */
export function evaluate(expression: Expression, signals: readonly Ternary[]): Ternary {
  let value: Ternary = expression.inverted ? 1 : 0
  for (const sum of expression.sums) {
    let any: Ternary = 0
    for (const cube of sum) {
      const term = evaluateCube(cube, signals)
      if (term === 1) {
        any = 1
        break
      }
      if (term === X) any = X
    }
    value = xor(value, any)
  }
  return value
}
