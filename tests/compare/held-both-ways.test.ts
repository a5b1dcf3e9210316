/**
 * Registers that a reset and a preset hold at once, so that their state is unknown while a 20RA10 lets the data pass to
 * the pin (US patent 4,684,830, abstract): pairs (invented) with their relation by the search of tests/reference, which
 * shares nothing with the code under test.
 */
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { findDevice } from '../../src/index'
import { compareMaps } from '../../src/jobs/compare/compare-maps'
import { decode } from '../../src/logic'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { machineFrom } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { replays } from '../reference/replay'
import { compareDesigns, mapOf, outputAt, ra10, ra10Register, ra10Sum, ratioAt } from './pairs'

/** Pin 4 clocks. */
const register = (pin: number, terms: readonly Term[], given: Partial<DesignOutput> = {}): DesignOutput => ({
  ...ra10Register(pin, [4], terms),
  ...given,
})

const BOTH = { reset: [2], preset: [2] } as const
const RESET = { reset: [2] } as const

const PAIRS: readonly [string, readonly number[], Design, Design][] = [
  [
    'one register on one side, another one on the other',
    [22, 23],
    ra10(register(23, [[3]], BOTH), register(22, [[3]], RESET)),
    ra10(register(23, [[3]], RESET), register(22, [[3]], BOTH)),
  ],
  [
    'data that differ only while they pass',
    [23],
    ra10(register(23, [[3]], BOTH)),
    ra10(register(23, [[3, -2]], BOTH)),
  ],
  [
    'data that differ only while a reset alone holds',
    [],
    ra10(register(23, [[3]], { reset: [2], preset: [2, 5] })),
    ra10(register(23, [[3, -2], [3, 5]], { reset: [2], preset: [2, 5] })),
  ],
  [
    'a sum beside that differs only then',
    [22],
    ra10(register(23, [[3]], BOTH), ra10Sum(22, [[5]])),
    ra10(register(23, [[3]], BOTH), ra10Sum(22, [[5, -2]])),
  ],
  [
    'the data of another register that differ only then',
    [22],
    ra10(register(23, [[3]], BOTH), register(22, [[5]])),
    ra10(register(23, [[3]], BOTH), register(22, [[5, -2]])),
  ],
]

test.each(PAIRS)('%s: pins %j differ', (_, pins, a, b) => {
  const [first, second] = [a, b].map((design) => machineFrom(design.part, Uint8Array.from(encode(design))))
  const truth = relationByBruteForce(first!, second!, { start: 'any-state' }).relation
  expect(truth === 'different').toBe(pins.length > 0)
  const comparison = compareDesigns(a, b)
  expect(comparison.relation).toBe(pins.length > 0 ? 'different' : 'equivalent')
  const different = comparison.outputs.filter(({ relation }) => relation === 'different')
  expect(different.map(({ pin }) => pin)).toEqual(pins)
  for (const { pin, counterexample } of different)
    expect(replays(first!, second!, { pin, ...counterexample! })).toBe(true)
})

test('what is left unknown at another register of each side is undecided', () => {
  // While pin 2 is high 0 passes as data or is held, so that both pins are high; then one register is unknown.
  const [one, other] = [BOTH, RESET]
  const [a, b] = [
    ra10(register(23, [], one), register(22, [], other)),
    ra10(register(23, [], other), register(22, [], one)),
  ]
  const [first, second] = [a, b].map((design) => machineFrom(design.part, Uint8Array.from(encode(design))))
  expect(relationByBruteForce(first!, second!, { start: 'any-state' }).relation).toBe('open')
  const comparison = compareDesigns(a, b)
  expect(comparison.relation).toBe('undecided')
  expect(comparison.outputs.map(({ reason }) => reason)).toEqual(['unsettled-resets', 'unsettled-resets'])
  // The same register on both sides, with 0 written in another way.
  expect(compareDesigns(a, ra10(register(23, [[3, -3]], BOTH), register(22, [], RESET))).relation).toBe('equivalent')
})

test('a clock that differs only then clocks nothing', () => {
  const [a, b] = [register(23, [[3]], BOTH), register(23, [[3]], { ...BOTH, clock: [4, -2] })]
  expect(compareDesigns(ra10(a), ra10(b)).relation).toBe('equivalent')
  expect(outputAt(compareDesigns(ra10(a), ra10({ ...b, clock: [4, -5] })), 23).differsIn).toEqual(['clock'])
})

test('a clock on one side alone differs, and what it takes', () => {
  // p4 high: 1/2. p4 low, and the data other than the state, before a rise of p4 that the other side has not: 1/4.
  const [a, b] = [ra10(register(23, [[3]])), ra10(register(23, [[3]], { clock: [4, -4] }))]
  for (const comparison of [compareDesigns(a, b), compareDesigns(b, a)]) {
    expect(outputAt(comparison, 23).differsIn).toEqual(['clock', 'next-state'])
    expect(ratioAt(comparison, 23)).toBe('3/4')
  }
  const never = ra10(register(23, [[3, 5]], { clock: [4, -4] }))
  expect(compareDesigns(b, never).relation).toBe('equivalent')
})

test('holds that never come to rest leave a sum beside as it is', () => {
  // While pin 5 is high a reset follows each preset: no state lasts. Pin 22 is p3 on one side, p3 ∧ ¬p5 on the other.
  const turning = register(23, [[3]], { reset: [-23, 5], preset: [23, 5] })
  const comparison = compareDesigns(ra10(turning, ra10Sum(22, [[3]])), ra10(turning, ra10Sum(22, [[3, -5]])))
  expect(outputAt(comparison, 23)).toMatchObject({ relation: 'undecided', reason: 'unsettled-resets' })
  expect(outputAt(comparison, 22)).toMatchObject({
    relation: 'different',
    counterexample: { inputs: { 3: 1, 5: 1 }, intended: 'L', readback: 'H' },
  })
})

test('a map whose resets never come to rest is the same as itself all the same', () => {
  const fuses = mapOf(ra10(register(23, [[3]], { reset: [-23, 5], preset: [23, 5] })))
  const map = { decoded: decode(findDevice('20RA10')!, fuses), fuses, blank: false }
  expect(runPieces(compareMaps(map, map))).toEqual({ relation: 'identical', outputs: [] })
})
