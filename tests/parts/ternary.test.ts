/**
 * Three-valued evaluation against the ternary algebra of Yoeli and Rinon (J. ACM 11(1), 1964): in the order 0 < ½ < 1,
 * AND is the minimum, OR the maximum, and NOT takes a to 1 − a. Numbers here are 0, ½ and 1; the library's X is ½.
 */
import { expect, test } from 'vitest'
import type { Cube, Expression } from '../../src/logic'
import { isContradiction } from '../../src/logic/logic'
import { evaluate, evaluateCube, merge, not, xor, type Ternary } from '../../src/logic/ternary'
import { seededRandom } from './random-designs'

const VALUES = [0, 0.5, 1]
const PAIRS = VALUES.flatMap((a) => VALUES.map((b) => [a, b] as const))

function encodeValue(value: number): Ternary {
  return value === 0.5 ? 2 : (value as 0 | 1)
}

/** Signals 0, 1, 2 are x, y, z; a literal is 2 × signal, plus 1 for the complement. */
const x = 0
const y = 2
const z = 4
const complement = (literal: number): number => literal + 1
const sum = (...terms: readonly (readonly number[])[]): Expression => ({
  sums: [terms.map((literals) => ({ literals, origin: 0 }))],
  inverted: false,
})

function evaluateAt(expression: Expression, ...values: readonly number[]): Ternary {
  return evaluate(expression, values.map(encodeValue))
}

test('AND is the minimum, OR the maximum', () => {
  for (const [a, b] of PAIRS) {
    expect(evaluateAt(sum([x, y]), a, b), `${a} AND ${b}`).toBe(encodeValue(Math.min(a, b)))
    expect(evaluateAt(sum([x], [y]), a, b), `${a} OR ${b}`).toBe(encodeValue(Math.max(a, b)))
  }
})

test('AND and OR, written out', () => {
  // The nine rows of x ∧ y and of x ∨ y for x, y = 0, X, 1 (2 stands for X): x ∧ 0 = 0 and x ∨ 1 = 1 with x unknown
  // too.
  expect(PAIRS.map(([a, b]) => evaluateAt(sum([x, y]), a, b))).toEqual([0, 0, 0, 0, 2, 2, 0, 2, 1])
  expect(PAIRS.map(([a, b]) => evaluateAt(sum([x], [y]), a, b))).toEqual([0, 2, 1, 2, 2, 1, 1, 1, 1])
})

test('NOT takes a to 1 − a, as a literal, as an inverted sum and by itself', () => {
  for (const a of VALUES) {
    expect(evaluateAt(sum([complement(x)]), a)).toBe(encodeValue(1 - a))
    expect(evaluateAt({ ...sum([x]), inverted: true }, a)).toBe(encodeValue(1 - a))
    expect(not(encodeValue(a))).toBe(encodeValue(1 - a))
  }
})

test('exclusive-or is unknown as soon as one side is', () => {
  // a ⊕ b = (a ∧ ¬b) ∨ (¬a ∧ b) in the same algebra: max(min(a, 1 − b), min(1 − a, b)), ½ wherever a or b is ½.
  for (const [a, b] of PAIRS) {
    const expected = encodeValue(Math.max(Math.min(a, 1 - b), Math.min(1 - a, b)))
    expect(xor(encodeValue(a), encodeValue(b)), `${a} XOR ${b}`).toBe(expected)
    expect(evaluateAt({ sums: [sum([x]).sums[0]!, sum([y]).sums[0]!], inverted: false }, a, b)).toBe(expected)
  }
})

test('what two values agree on is known, everything else is not', () => {
  for (const [a, b] of PAIRS) expect(merge(encodeValue(a), encodeValue(b))).toBe(a === b ? encodeValue(a) : 2)
})

test('an empty cube is 1, a sum without cubes 0, an expression without sums 0', () => {
  for (const a of VALUES) {
    expect(evaluateAt(sum([]), a)).toBe(1)
    expect(evaluateAt(sum([], [x]), a)).toBe(1)
    expect(evaluateAt(sum(), a)).toBe(0)
    expect(evaluateAt({ sums: [], inverted: false }, a)).toBe(0)
    expect(evaluateAt({ sums: [], inverted: true }, a)).toBe(1)
  }
})

test('a cube with a signal and its complement is 0, whatever is unknown', () => {
  // Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, p. 2: both columns connected hold the term at 0. Term by term
  // the algebra would give min(½, 1 − ½) = ½.
  for (const [a, b] of PAIRS) {
    expect(evaluateAt(sum([x, complement(x)]), a)).toBe(0)
    expect(evaluateAt(sum([complement(x), y, x]), a, b)).toBe(0)
    expect(evaluateAt(sum([y, x, complement(x)], [y]), a, b)).toBe(encodeValue(b))
  }
  // Not so for x ∨ ¬x, which two terms make and which can show a glitch: 1, X, 1.
  expect(VALUES.map((a) => evaluateAt(sum([x], [complement(x)]), a))).toEqual([1, 2, 1])
})

test('static hazard of xy ∨ ¬xz at y = z = 1, and its cure by yz', () => {
  // Yoeli and Rinon, J. ACM 11(1), 1964, as restated in the lecture "Hazards and Analysis Methods", University of
  // Thessaly CE-653: a hazard exists where f is the same at both ends and ½ between them.
  const network = [
    [x, y],
    [complement(x), z],
  ]
  expect(VALUES.map((a) => evaluateAt(sum(...network), a, 1, 1))).toEqual([1, 2, 1])
  expect(VALUES.map((a) => evaluateAt(sum(...network, [y, z]), a, 1, 1))).toEqual([1, 1, 1])
})

test('it is the only single-input static hazard of that network', () => {
  const networks = {
    plain: [
      [x, y],
      [complement(x), z],
    ],
    cured: [
      [x, y],
      [complement(x), z],
      [y, z],
    ],
  }
  const hazards = Object.entries(networks).flatMap(([name, network]) =>
    [0, 1, 2].flatMap((changing) =>
      [0, 1, 2, 3].flatMap((rest) => {
        const at = (value: number): Ternary => {
          const others = [rest >> 1, rest & 1]
          return evaluateAt(
            sum(...network),
            ...[0, 1, 2].map((i) => (i === changing ? value : others[i > changing ? i - 1 : i]!)),
          )
        }
        return at(0) === at(1) && at(0.5) === 2 ? [`${name}: signal ${changing} with ${rest}`] : []
      }),
    ),
  )
  expect(hazards).toEqual(['plain: signal 0 with 3'])
})

test('random expressions agree with the algebra, contradictions apart', () => {
  const seed = 1964
  const random = seededRandom(seed)
  for (let round = 0; round < 2000; round++) {
    const randomCube = (): Cube => ({ literals: Array.from({ length: random(4) }, () => random(8)), origin: round })
    const expression: Expression = {
      sums: Array.from({ length: random(3) }, () => Array.from({ length: random(4) }, randomCube)),
      inverted: random(2) === 1,
    }
    const values = Array.from({ length: 4 }, () => VALUES[random(3)]!)
    const literalValue = (literal: number): number =>
      literal % 2 ? 1 - values[Math.floor(literal / 2)]! : values[Math.floor(literal / 2)]!
    const contradicts = ({ literals }: Cube): boolean =>
      literals.some((a) => literals.some((b) => a % 2 === 0 && b === a + 1))
    const cubeValue = (cube: Cube): number =>
      contradicts(cube) ? 0 : Math.min(1, ...cube.literals.map(literalValue))
    const sums = expression.sums.map((cubes) => Math.max(0, ...cubes.map(cubeValue)))
    const total = sums.reduce((a, b) => Math.max(Math.min(a, 1 - b), Math.min(1 - a, b)), expression.inverted ? 1 : 0)
    const text = `seed ${seed} round ${round}: ${JSON.stringify({ expression, values })}`
    expect(evaluate(expression, values.map(encodeValue)), text).toBe(encodeValue(total))
    for (const cube of expression.sums.flat()) {
      expect(isContradiction(cube), text).toBe(contradicts(cube))
      expect(evaluateCube(cube, values.map(encodeValue)), text).toBe(encodeValue(cubeValue(cube)))
    }
  }
})
