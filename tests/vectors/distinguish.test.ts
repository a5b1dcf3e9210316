/**
 * Three maps told apart, with every answer recomputed from their functions: pin 19 of a 16V8 is p2, p3, or p3 ∨ p4. A
 * vector that tells the first from both others has p3 = p4 = 0 or p3 = 1, and there the second and the third agree, so
 * that their pair needs a vector of its own.
 */
import { expect, test } from 'vitest'
import { readFuseFile } from '../../src/index'
import { counterexampleVectors, distinguish } from '../../src/vectors'
import { granted } from '../granted'
import { driven, fileOf, mapOf, register } from './maps'

const MAPS = [driven([2]), driven([3]), driven([3], [4])].map((cell) => fileOf(mapOf('complex', { 19: cell }), ''))
type Level = '0' | '1'
const FUNCTIONS = [
  ([p2]: readonly Level[]): boolean => p2 === '1',
  ([, p3]: readonly Level[]): boolean => p3 === '1',
  ([, p3, p4]: readonly Level[]): boolean => p3 === '1' || p4 === '1',
]

test('each pair has its first vector, and each map the vectors that it fails', () => {
  const told = granted(distinguish(MAPS))
  const made = readFuseFile(told.bytes!)
  expect([made.fuses, told.vectors]).toEqual([readFuseFile(MAPS[0]!).fuses, made.vectors.length])
  const inputs = made.vectors.map(({ conditions }) => [...conditions!].slice(1, 4) as Level[])
  const levels = FUNCTIONS.map((valueOf) => inputs.map(valueOf))
  const first = (a: number, b: number): number => levels[a]!.findIndex((level, i) => level !== levels[b]![i]) + 1
  const apart = (a: number, b: number): object => ({ a, b, apart: true, vector: first(a - 1, b - 1), pin: 19 })
  expect(told.pairs).toEqual([apart(1, 2), apart(1, 3), apart(2, 3)])
  expect(told.pairs.every((pair) => pair.apart && pair.vector > 0)).toBe(true)
  // The vectors expect what the first map does.
  expect(told.failing).toEqual(
    levels.map((own) => own.flatMap((level, i) => (level === levels[0]![i] ? [] : [i + 1]))),
  )
})

test('the first map is told from all others at once', () => {
  // The second map differs at pin 18 under any levels, the third one at pin 19 where p2 is 0 and p4 is 1: levels for the
  // second alone would not show the third, and one vector shows both.
  const cells = { 19: driven([2]), 18: driven([3]) }
  const maps = [cells, { ...cells, 18: driven([-3]) }, { ...cells, 19: driven([2], [4]) }]
  const told = granted(distinguish(maps.map((each) => fileOf(mapOf('complex', each), ''))))
  expect(told.vectors).toBe(1)
  expect(told.pairs.map((pair) => pair.apart && pair.pin)).toEqual([18, 19, 18])
})

test('what a search finds in half of the steps is told, also where it would go on', () => {
  // Pin 19 turns at every clock and nothing makes it known. Pin 18 is p2 or p3; in the third map pin 19 stays.
  const toggle = { 19: register([-19]), 18: driven([2]) }
  const maps = [toggle, { ...toggle, 18: driven([3]) }, { ...toggle, 19: register([19]) }].map((each) =>
    fileOf(mapOf('registered', each), ''),
  )
  // Measured: from 60,000 steps on the pair is told, and from 220,000 on the search comes to its end.
  for (const maxSteps of [80_000, 120_000, 160_000]) {
    const { pairs, findings } = granted(distinguish(maps, { maxSteps }))
    expect(pairs.map((pair) => pair.apart)).toEqual([true, false, true])
    expect(findings.map(({ code }) => code)).toContain('distinguish/steps-limit')
  }
})

test('at the first output pin, and beside a loop that the reference simulation follows', () => {
  // Pin 12 is p2 or p3; pin 18 keeps its level while pin 4 is 0, and is p5 while it is 1.
  const latch = driven([4, 5], [-4, 18])
  for (const others of [{}, { 18: latch }]) {
    const maps = [[2], [3]].map((term) => fileOf(mapOf('complex', { ...others, 12: driven(term) }), ''))
    expect(granted(distinguish(maps)).pairs).toMatchObject([{ a: 1, b: 2, apart: true, pin: 12 }])
    expect(granted(counterexampleVectors(maps[0]!, maps[1]!)).shown).toMatchObject([{ pin: 12 }])
  }
})

test('as many vectors as a file may hold, and not one more, can be allowed', () => {
  expect(granted(distinguish(MAPS.slice(0, 2), { maxVectors: 65_536 })).vectors).toBe(1)
  expect(() => distinguish(MAPS.slice(0, 2), { maxVectors: 65_537 })).toThrow(RangeError)
  const [first, second] = MAPS as [string, string]
  expect(granted(counterexampleVectors(first, second, { maxVectors: 65_536 })).count).toBe(1)
  expect(() => counterexampleVectors(first, second, { maxVectors: 65_537 })).toThrow(RangeError)
})

test('two blank, protected or unread chips are not called equal, nor those of which the array alone is all alike', () => {
  const sound = mapOf('complex', { 19: driven([2]) })
  const why = (map: string): unknown =>
    granted(distinguish([map, map].map((each) => fileOf(each, '')), { device: '16V8' })).pairs
  expect(why(sound)).toEqual([{ a: 1, b: 2, apart: false, why: 'equal' }])
  // The array of a 16V8 is its first 2048 fuses (GAL16V8 data sheet, 16v8_04, p. 5).
  for (const map of ['1'.repeat(2194), ...['0', '1'].map((state) => state.repeat(2048) + sound.slice(2048))])
    expect(why(map)).toEqual([{ a: 1, b: 2, apart: false, why: 'not-found' }])
})
