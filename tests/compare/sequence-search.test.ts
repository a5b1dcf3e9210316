/**
 * The search for an input sequence, with no approach given: latches (invented) of which a sequence that shows the
 * difference, and the least number of steps, follow from the terms.
 */
import { describe, expect, test } from 'vitest'
import { searchSequence, type StepInputs, type TellingSequence } from '../../src/jobs/compare/sequence-search'
import { findDevice } from '../../src/index'
import { decode } from '../../src/logic'
import type { Term } from '../parts/design'
import { mapOf, output } from './pairs'

const [Q, SHOWS] = [18, 17]

type Side = Parameters<typeof searchSequence>[0][0]

/** Pin 18 is set by some terms and kept by others, and pin 17 is high under some terms. */
function latch(set: readonly Term[], keep: readonly Term[], shows: readonly Term[]): Side {
  const outputs = [
    output(Q, [...set, ...keep.map((term) => [Q, ...term])], { activeHigh: true }),
    output(SHOWS, shows, { activeHigh: true }),
  ]
  const fuses = mapOf({ part: '16V8', mode: 'complex', outputs })
  return { logic: decode(findDevice('16V8')!, fuses).logic!, nameOf: String }
}

function found(set: readonly Term[], keep: readonly Term[], shows: readonly Term[]): TellingSequence {
  const sides = [latch(set, keep, shows), latch(set, keep, [])] as const
  const sequence = searchSequence(sides, { name: String(SHOWS), approaches: [] })
  const turned = searchSequence([sides[1], sides[0]], { name: String(SHOWS), approaches: [] })
  expect(turned).toEqual({ ...sequence, intended: sequence?.readback, readback: sequence?.intended })
  expect(sequence).toMatchObject({ intended: 'H', readback: 'L', states: {} })
  return sequence!
}

const holds = (terms: readonly Term[], levels: StepInputs): boolean =>
  terms.some((term) => term.every((literal) => levels[Math.abs(literal)] === (literal > 0 ? 1 : 0)))

describe('of few inputs', () => {
  // Set by pins 2 to 5 at 1, and shown with all of them at 0: unknown at first, so that two steps are the least.
  const [set, keep, shows] = [[[2, 3, 4, 5]], [[-6], [7]], [[Q, -2, -3, -4, -5]]]

  test.each([
    ['five', [[-6]]],
    ['six', keep],
  ])('%s: all levels are tried after each, so that several pins change at once', (_, kept) => {
    const { steps } = found(set, kept, shows)
    expect(steps).toHaveLength(2)
    expect([2, 3, 4, 5].map((pin) => steps.map((levels) => levels[pin]))).toEqual(Array(4).fill([1, 0]))
    expect(holds(kept, steps[0]!) && holds(kept, steps[1]!)).toBe(true)
  })

  test('a step in between is found as well, since no state is followed twice', () => {
    // All at 1 set. Pin 2 at 1 with pin 3 at 0 lets go, and both at once may: pin 2 falls first, then pin 3.
    const { steps } = found([[2, 3, 4, 5, 6]], [[3], [-2]], [[Q, -2, -3, -4, -5, -6]])
    expect(steps.map((levels) => [levels[2], levels[3]])).toEqual([
      [1, 1],
      [0, 1],
      [0, 0],
    ])
  })

  test('nothing is found where nothing ever sets', () => {
    const sides = [latch([], [[2]], [[Q, -2]]), latch([], [[2]], [])] as const
    expect(searchSequence(sides, { name: String(SHOWS), approaches: [] })).toBeNull()
  })
})

test('of seven inputs: levels that show it by themselves are a single step', () => {
  const { steps } = found([[2, 3]], [[-4], [5], [6], [7], [8]], [[2, 3, 4, 5, 6]])
  expect(steps).toHaveLength(1)
  expect(holds([[2, 3, 4, 5, 6]], steps[0]!)).toBe(true)
})

test('of seven inputs: one pin changes in a step, and no shorter ending shows it', () => {
  const [set, keep] = [[[2, 3]], [[-4], [5], [6], [7], [8]]]
  const { steps } = found(set, keep, [[Q, -2, -3]])
  const changes = steps.slice(1).map((levels, i) => Object.keys(levels).filter((pin) => levels[pin] !== steps[i]![pin]))
  expect(changes.every((pins) => pins.length === 1)).toBe(true)
  /** Level of pin 18 after steps that change one pin each; null while it is what it was before the first. */
  const level = (from: number): boolean | null =>
    steps
      .slice(from)
      .reduce<boolean | null>((q, levels) => holds(set, levels) || (holds(keep, levels) ? q : false), null)
  const last = steps.at(-1)!
  expect([last[2], last[3]]).toEqual([0, 0])
  // Two pins have to fall one after the other.
  expect(steps.length).toBeGreaterThanOrEqual(3)
  expect(steps.map((_, from) => level(from))).toEqual([true, ...Array<null | false>(steps.length - 1).fill(null)])
})

test('of seven inputs: walks are those of the congruence of Numerical Recipes, the same every time', () => {
  const [set, keep] = [[[2, 3]], [[-4], [5], [6], [7], [8]]]
  const pins = [2, 3, 4, 5, 6, 7, 8]
  // x ← 1664525 x + 1013904223 modulo 2^32, here in whole numbers; a choice of n is the integer part of n x / 2^32.
  let state = 0x2545f491n
  const next = (limit: number): number => {
    state = (state * 1664525n + 1013904223n) % 2n ** 32n
    return Number((state * BigInt(limit)) / 2n ** 32n)
  }
  // A walk starts at any levels and changes one pin in each of 31 steps; it ends where pin 18 is known to be 1 and
  // pins 2 and 3 are 0, if ever. The shortest ending that shows it begins where pins 2 and 3 set for the last time.
  const walk = (): StepInputs[] => {
    const levels = Object.fromEntries(pins.map((pin) => [pin, next(2) as 0 | 1]))
    const steps = [{ ...levels }]
    for (let step = 1; step < 32; step++) {
      const pin = pins[next(7)]!
      levels[pin] = (1 - levels[pin]!) as 0 | 1
      steps.push({ ...levels })
    }
    return steps
  }
  const ending = (steps: readonly StepInputs[]): readonly StepInputs[] | null => {
    let from: number | null = null
    for (const [at, levels] of steps.entries()) {
      if (holds(set, levels)) from = at
      else if (!holds(keep, levels)) from = null
      if (from !== null && levels[2] === 0 && levels[3] === 0) return steps.slice(from, at + 1)
    }
    return null
  }
  let expected: readonly StepInputs[] | null = null
  while (!expected) expected = ending(walk())
  expect(found(set, keep, [[Q, -2, -3]]).steps).toEqual(expected)
})
