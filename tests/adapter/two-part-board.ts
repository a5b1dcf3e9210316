/**
 * An adapter of two parts and diodes, invented, and the one part that it replaces: a lamp interlock.
 *
 * The original, one 16V8 in complex mode: A to D at pins 2 to 5; pin 19: X = A ∧ B ∧ C; pin 12: Y = ¬(X ∨ D).
 * The adapter: diodes make W = A ∧ B with R1; U1 makes T = W ∧ C; U2 makes X = T (buffer); the OR of T and D comes from
 * two diodes with R2, and U2 inverts it.
 */
import type { Design } from '../parts/design'
import { passive, type PlainBoard } from './plain-boards'

const gate = (
  outputs: readonly (readonly [pin: number, activeHigh: boolean, terms: readonly (readonly number[])[]])[],
): Design => ({
  part: '16V8',
  mode: 'complex',
  outputs: outputs.map(([pin, activeHigh, terms]) => ({
    pin,
    kind: 'combinational',
    activeHigh,
    enable: 'always',
    terms,
  })),
})

export const ORIGINAL: Design = gate([
  [19, true, [[2, 3, 4]]],
  [12, false, [[2, 3, 4], [5]]],
])

/** U1: pin 19 = pins 2 ∧ 3. U2: pin 19 = pin 2, pin 12 = ¬ pin 3. */
export const AND_PART: Design = gate([[19, true, [[2, 3]]]])
export const DRIVER_PART: Design = gate([
  [19, true, [[2]]],
  [12, false, [[3]]],
])

/** Outside pins bear the numbers of the original. */
export const ADAPTER: PlainBoard = passive({
  parts: [
    { name: 'U1', design: AND_PART, pins: { 2: 'W', 3: 'C', 19: 'T' } },
    { name: 'U2', design: DRIVER_PART, pins: { 2: 'T', 3: 'S', 19: 'X', 12: 'Y' } },
  ],
  inputs: [
    [2, 'A'],
    [3, 'B'],
    [4, 'C'],
    [5, 'D'],
  ],
  outputs: [
    [19, 'X'],
    [12, 'Y'],
  ],
  diodes: [
    ['D1', 'W', 'A'],
    ['D2', 'W', 'B'],
    ['D3', 'T', 'S'],
    ['D4', 'D', 'S'],
  ],
  resistors: [
    ['R1', 'W', 'supply'],
    ['R2', 'S', 'ground'],
  ],
})
