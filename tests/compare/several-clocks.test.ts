/**
 * Registers with clocks of their own, followed one pin at a time: pairs (invented) with their relation by the search of
 * tests/reference, which shares nothing with the code under test.
 */
import { expect, test } from 'vitest'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { machineFrom, type Machine } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { replays } from '../reference/replay'
import { compareDesigns, outputAt, ra10, ra10Register, ra10Sum } from './pairs'

function machines(a: Design, b: Design): readonly [Machine, Machine] {
  const [first, second] = [a, b].map((design) => machineFrom(design.part, Uint8Array.from(encode(design))))
  return [first!, second!]
}

/** Two designs whose register 22 would be cleared by other clocks, but takes 0 from the start on. */
const nearlyAlike = (intended: readonly DesignOutput[], readback: readonly DesignOutput[]): [Design, Design] => [
  ra10(ra10Register(23, [4], [[2]]), ra10Register(22, [5], []), ...intended),
  ra10(ra10Register(23, [4], [[2]]), ra10Register(22, [3], []), ...readback),
]

test('a state that no clock leads to does not tell two parts apart', () => {
  const [a, b] = nearlyAlike([], [])
  expect(relationByBruteForce(...machines(a, b), { start: 'power-up' }).relation).toBe('equal')
  expect(relationByBruteForce(...machines(a, b), { start: 'any-state' }).relation).toBe('different')
  expect(compareDesigns(a, b)).toMatchObject({ relation: 'equivalent', machines: { result: 'equal', sequence: null } })
})

test('a level that the simulation leaves unknown is no difference', () => {
  // p2 ∧ p21 ∨ p2 ∧ ¬p21 is p2: unknown by the rules for three values as long as pin 21 is.
  const [a, b] = nearlyAlike([ra10Sum(21, [[2, 21], [2, -21]])], [ra10Sum(21, [[2]])])
  expect(relationByBruteForce(...machines(a, b), { start: 'power-up' }).relation).toBe('equal')
  for (const comparison of [compareDesigns(a, b), compareDesigns(b, a)]) {
    expect(comparison.machines).toMatchObject({ result: 'open', pin: null, sequence: null })
    expect(outputAt(comparison, 21).relation).toBe('equivalent')
  }
})

test('two clocks one after the other lead to a difference, by the shortest way', () => {
  const toggling = (terms: readonly Term[]): Design => ra10(ra10Register(23, [4], [[23]]), ra10Register(22, [5], terms))
  const [a, b] = [toggling([[3, 23]]), toggling([[3]])]
  const shortest = relationByBruteForce(...machines(a, b), { start: 'power-up' })
  // Levels, then pin 23 goes low and pin 5 rises; or pin 23 is low from outside, pin 5 rises, and the outputs go on.
  expect(shortest.sequence).toHaveLength(3)
  const { relation, machines: followed } = compareDesigns(a, b)
  expect({ relation, result: followed?.result, pin: followed?.pin }).toEqual({
    relation: 'different',
    result: 'different',
    pin: '22',
  })
  // One side keeps Q at 0, so that the pin is high; the other takes 1.
  const [intended, readback] = ['H', 'L'] as const
  expect([followed!.intended, followed!.readback]).toEqual([intended, readback])
  const sequence = followed!.sequence!
  expect(sequence).toHaveLength(3)
  const example = { pin: 22, inputs: sequence.at(-1)!, state: { 22: 0, 23: 0 }, intended, readback, sequence } as const
  expect(replays(...machines(a, b), example)).toBe(true)
})

test('stated levels of the start decide, as the pins show them', () => {
  // Register 22 takes 0 by other clocks: its pin goes high one step after the start, unless it is high already.
  const [a, b] = nearlyAlike([], [])
  expect(compareDesigns(a, b, { powerUp: 'high', otherPowerUp: 'high' }).machines).toMatchObject({ result: 'equal' })
  const { machines: followed } = compareDesigns(a, b, { powerUp: 'low', otherPowerUp: 'low' })
  expect(followed).toMatchObject({ result: 'different', pin: '22' })
  expect(followed!.sequence).toHaveLength(2)
  const unknown = compareDesigns(a, b, { powerUp: 'unknown', otherPowerUp: 'unknown' })
  expect(unknown.machines).toMatchObject({ result: 'open' })
})

test('resets act on the start before anything is looked at', () => {
  // Register 21 is preset while pin 6 is high, on the read-back of the second pair only with pin 2.
  const acting = [{ ...ra10Register(21, [4], [[2]]), preset: [6] }]
  const [a, b] = nearlyAlike(acting, acting)
  expect(relationByBruteForce(...machines(a, b), { start: 'power-up' }).relation).toBe('equal')
  expect(compareDesigns(a, b).machines).toMatchObject({ result: 'equal' })
  const [c, d] = nearlyAlike(acting, [{ ...ra10Register(21, [4], [[2]]), preset: [6, 2] }])
  expect(relationByBruteForce(...machines(c, d), { start: 'power-up' }).sequence).toHaveLength(1)
  const { machines: followed } = compareDesigns(c, d)
  expect(followed).toMatchObject({ result: 'different', pin: '21', intended: 'L', readback: 'H' })
  expect(followed!.sequence).toHaveLength(1)
})

test('a sum beside registers of two clocks holds nothing, so that its state may be unknown', () => {
  // Reset and preset of pin 21 hold for good: what its register holds is not known, and its pin shows p6.
  const [a, b] = nearlyAlike([ra10Sum(21, [[6]])], [ra10Sum(21, [[6]])])
  expect(relationByBruteForce(...machines(a, b), { start: 'power-up' }).relation).toBe('equal')
  expect(compareDesigns(a, b)).toMatchObject({ relation: 'equivalent', machines: { result: 'equal' } })
})

test('a register that can be loaded is followed pin by pin, also with one clock, while nothing loads it', () => {
  // Register 22 starts at 0 and takes 0, so that no reset is ever seen. Pin 1 low would load it.
  const [a, b] = [5, 3].map((pin) => ra10({ ...ra10Register(22, [4], []), reset: [pin] })) as [Design, Design]
  expect(relationByBruteForce(...machines(a, b), { start: 'power-up' }).relation).toBe('equal')
  // One state under all levels of pins 3, 4, 5 and 13, with pin 1 high.
  expect(compareDesigns(a, b)).toMatchObject({ relation: 'equivalent', machines: { result: 'equal', states: 16 } })
})
