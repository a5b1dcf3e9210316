/** Expressions in the signs of ISO 80000-2, written out by hand. */
import { expect, test } from 'vitest'
import type { Cube, Expression, Logic } from '../../src/logic/logic'
import { expressionText } from '../../src/logic/notation'

const NEVER: Expression = { sums: [], inverted: false }
const logic: Logic = {
  pinCount: 20,
  supplyPins: [10, 20],
  // Signals 0 and 1 are pins 2 and 3; 2 is the state of cell B7, 3 its complement.
  signals: [
    { kind: 'pin', pin: 2 },
    { kind: 'pin', pin: 3 },
    { kind: 'register', cell: 0, inverted: false },
    { kind: 'register', cell: 0, inverted: true },
  ],
  cells: [{ pin: null, name: 'B7', defined: true, enable: NEVER, value: NEVER, register: null }],
}
const cube = (...literals: readonly number[]): Cube => ({ literals, origin: 0 })
const [P2, NOT_P2, P3, NOT_P3, Q, NOT_Q] = [0, 1, 2, 3, 4, 5]

test.each<[string, readonly (readonly Cube[])[], string]>([
  ['p2', [[cube(P2)]], '¬p2'],
  ['¬p3', [[cube(NOT_P3)]], '¬(¬p3)'],
  ['qB7', [[cube(Q)]], '¬qB7'],
  ['¬qB7', [[cube(NOT_Q)]], '¬(¬qB7)'],
  // The column that carries ¬Q: the signal is ¬qB7, its complement qB7.
  ['¬qB7', [[cube(6)]], '¬(¬qB7)'],
  ['qB7', [[cube(7)]], '¬qB7'],
  ['p2 ∧ ¬p3', [[cube(P2, NOT_P3)]], '¬(p2 ∧ ¬p3)'],
  ['p2 ∨ p3', [[cube(P2), cube(P3)]], '¬(p2 ∨ p3)'],
  ['(p2 ∧ ¬p3) ∨ qB7', [[cube(P2, NOT_P3), cube(Q)]], '¬((p2 ∧ ¬p3) ∨ qB7)'],
  // A term with a signal and its complement is 0; an empty one is 1.
  ['p3', [[cube(P2, NOT_P2), cube(P3)]], '¬p3'],
  ['p2 ∧ p3', [[cube(P2, P3), cube(P2, NOT_P2)]], '¬(p2 ∧ p3)'],
  ['0', [[cube(P2, NOT_P2)]], '1'],
  ['1', [[cube(P2), cube()]], '0'],
  ['0', [], '1'],
  ['0', [[]], '1'],
  ['(p2) ⊕ (p3 ∨ qB7)', [[cube(P2)], [cube(P3), cube(Q)]], '¬((p2) ⊕ (p3 ∨ qB7))'],
  ['(0) ⊕ (1)', [[], [cube()]], '¬((0) ⊕ (1))'],
])('%s', (text, sums, inverted) => {
  expect(expressionText(logic, { sums, inverted: false })).toBe(text)
  expect(expressionText(logic, { sums, inverted: true })).toBe(inverted)
})
