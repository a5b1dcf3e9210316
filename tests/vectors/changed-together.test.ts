/**
 * Clocks and resets whose levels change in one vector (3-A, "Test conditions": the mutual order of level changes is
 * undefined). Registers of the GAL20RA10 (20ra10_02, p. 3: a clock row and a reset row each) and of the GAL22V10
 * (22v10_12, p. 3: one clock, one asynchronous reset for all). Arithmetic shown.
 */
import { expect, test } from 'vitest'
import { fuseMapFrom, simulate, writeFuseFile } from '../../src/index'
import { granted } from '../granted'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { lastCauses, story } from './outcomes'

/** A vector from conditions by pin; all others are low, the supplies untested. */
function vectorOf(conditions: Readonly<Record<number, string>>): string {
  const rest = '0'.repeat(11) + 'N0' + 'N'.repeat(11)
  return [...rest].map((condition, i) => conditions[i + 1] ?? condition).join('')
}

const run = (design: Design, vectors: readonly Readonly<Record<number, string>>[]) =>
  granted(
    simulate(writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) }), {
      device: design.part,
      vectors: vectors.map(vectorOf),
    }),
  )

/** Pin = ¬Q of a 20RA10; pin 1 high loads nothing, pin 13 low enables. */
const asynchronous = (pin: number, clock: Term, data: Term, reset?: Term): DesignOutput => ({
  ...{ pin, kind: 'registered', activeHigh: true, enable: { term: [], lowPin: 13 } },
  ...{ clock, terms: [data], ...(reset && { reset }) },
})
const ra10 = (...outputs: readonly DesignOutput[]): Design => ({ part: '20RA10', mode: null, outputs })

test('two clocks that rise in one vector: what one register takes of the other is open', () => {
  // 23 takes pin 2 on pin 3, 22 takes pin 23 on pin 4; pins show ¬Q of D inverted by the polarity fuse: pin = D.
  const design = ra10(asynchronous(23, [3], [2]), asynchronous(22, [4], [23]))
  const prepared = [
    { 1: '1' },
    { 1: '1', 3: '1' }, // 23 takes 0
    { 1: '1', 3: '1', 4: '1', 23: 'L' }, // 22 takes 0
    { 1: '1', 2: '1', 22: 'L' }, // both clocks fall
  ]
  const both = run(design, [...prepared, { 1: '1', 2: '1', 3: '1', 4: '1', 23: 'H', 22: 'L' }])
  // 23 first: 22 takes 1. 22 first: it takes 0.
  expect(story(both).slice(-2)).toEqual([
    'V5 pin 22 expects L, finds X: undetermined',
    'V5 pin 23 expects H, finds 1: passed',
  ])
  expect(both.results.at(-1)!.checks[0]!.causes).toEqual([{ kind: 'order', pin: 22 }])
  // One vector more fixes the order, either way.
  const [first, second] = [{ 1: '1', 2: '1', 3: '1' }, { 1: '1', 2: '1', 4: '1' }]
  const last = { 1: '1', 2: '1', 3: '1', 4: '1', 23: 'H' }
  expect(story(run(design, [...prepared, first, { ...last, 22: 'H' }])).slice(-2).join()).not.toMatch(/failed|undet/)
  expect(story(run(design, [...prepared, second, { ...last, 22: 'L' }])).slice(-2).join()).not.toMatch(/failed|undet/)
})

test('a reset that comes with the clock of a register that reads the one it resets', () => {
  // 23 is reset by pin 5; 22 takes pin 23 on pin 4. Reset sets Q = 0, so that the pin is high (p. 3: pin = ¬Q).
  const design = ra10(asynchronous(23, [3], [2], [5]), asynchronous(22, [4], [23]))
  const low = [{ 1: '1' }, { 1: '1', 3: '1' }, { 1: '1', 23: 'L' }]
  const both = run(design, [...low, { 1: '1', 4: '1', 5: '1', 23: 'H', 22: 'L' }])
  expect(story(both).slice(-2)).toEqual([
    'V4 pin 22 expects L, finds X: undetermined',
    'V4 pin 23 expects H, finds 1: passed',
  ])
})

test('the reset of a 22V10 that reads a register, and its clock', () => {
  // 23 takes 22; 22 takes pin 2; all are reset while 22 and pin 3 are high. From 23 = 0, 22 = 1: the clock first gives
  // 23 = 1, 22 = 0, and no reset follows; the reset first gives 0, 0, and so the clock 0, 0. The true column of an
  // active high register carries ¬Q, so that −22 is pin 22 (p. 4).
  const register = (pin: number, term: Term): DesignOutput => {
    return { pin, kind: 'registered', activeHigh: true, enable: 'always', terms: [term] }
  }
  const design: Design = {
    ...{ part: '22V10', mode: null, clockPin: 1, reset: [-22, 3] },
    outputs: [register(23, [-22]), register(22, [2])],
  }
  const prepared = [{ 1: 'C' }, { 1: 'C', 22: 'L' }, { 1: 'C', 2: '1', 22: 'H', 23: 'L' }, {}]
  const both = run(design, [...prepared, { 1: '1', 3: '1', 22: 'L', 23: 'L' }])
  expect(story(both).slice(-2)).toEqual([
    'V5 pin 22 expects L, finds 0: passed',
    'V5 pin 23 expects L, finds X: undetermined',
  ])
  expect(lastCauses(both)?.map(({ kind }) => kind)).toEqual(['order'])
  const apart = (vector: Readonly<Record<number, string>>, level: string): string =>
    story(run(design, [...prepared, vector, { 1: '1', 3: '1', 23: level }])).at(-1)!
  expect(apart({ 1: '1' }, 'H')).toBe('V6 pin 23 expects H, finds 1: passed')
  expect(apart({ 3: '1' }, 'L')).toBe('V6 pin 23 expects L, finds 0: passed')
})

test('a reset of a 22V10 that may pulse while two of its pins change', () => {
  // All are reset while pin 2 is high and pin 3 low. 23 takes pin 4; both pins rise with the clock at rest.
  const one: DesignOutput = { pin: 23, kind: 'registered', activeHigh: true, enable: 'always', terms: [[4]] }
  const design: Design = { part: '22V10', mode: null, clockPin: 1, reset: [2, -3], outputs: [one] }
  const last = (...vectors: readonly Readonly<Record<number, string>>[]): string =>
    story(run(design, [{ 1: 'C', 4: '1', 23: 'H' }, ...vectors])).at(-1)!
  // Pin 2 first: reset. Pin 3 first: none.
  expect(last({ 2: '1', 3: '1', 23: 'H' })).toBe('V2 pin 23 expects H, finds X: undetermined')
  expect(last({ 2: '1', 3: '1', 23: 'L' })).toBe('V2 pin 23 expects L, finds X: undetermined')
  expect(last({ 2: '1' }, { 2: '1', 3: '1', 23: 'L' })).toBe('V3 pin 23 expects L, finds 0: passed')
  expect(last({ 3: '1' }, { 2: '1', 3: '1', 23: 'H' })).toBe('V3 pin 23 expects H, finds 1: passed')
  // What is 0 already stays so, and a pin that is unknown may hold the reset.
  expect(last({ 1: 'C' }, { 2: '1', 3: '1', 23: 'L' })).toBe('V3 pin 23 expects L, finds 0: passed')
  expect(last({ 3: '1' }, { 2: 'X', 3: '0', 23: 'H' })).toBe('V3 pin 23 expects H, finds X: undetermined')
  // A clock that rises with pin 2: the reset comes before the edge or after it, and holds at last.
  expect(last({ 1: '1', 2: '1', 4: '1', 23: 'L' })).toBe('V2 pin 23 expects L, finds 0: passed')
  // It rises with pin 3, which ends the reset: the data are taken after that, or not.
  expect(last({ 2: '1', 4: '1' }, { 1: '1', 2: '1', 3: '1', 4: '1', 23: 'H' })).toBe(
    'V3 pin 23 expects H, finds X: undetermined',
  )
})

test('more pins than orders are tried for: what they may move is open, all else stays certain', () => {
  // Each of five registers takes the one before it on a clock pin of its own, the first pin 2; 18 takes pin 2 on pin 3.
  const chain = [23, 22, 21, 20, 19].map((pin, i) => asynchronous(pin, [3 + i], [i === 0 ? 2 : pin + 1]))
  const design = ra10(...chain, asynchronous(18, [3], [2]))
  const clocks = (level: string): Record<number, string> =>
    Object.fromEntries([3, 4, 5, 6, 7].map((pin) => [pin, level]))
  // One clock after the other brings all to 0; then all rise at once with pin 2 high.
  const cleared = [3, 4, 5, 6, 7].map((_, i, all) => ({
    1: '1',
    ...Object.fromEntries(all.slice(0, i + 1).map((pin) => [pin, '1'])),
  }))
  const rise = { 1: '1', 2: '1', ...clocks('1'), 18: 'H', 19: 'L', 20: 'L', 21: 'L', 22: 'L', 23: 'H' }
  const result = run(design, [...cleared, { 1: '1', 2: '1', 19: 'L', 22: 'L' }, rise])
  expect(story(result).slice(-6)).toEqual([
    'V7 pin 18 expects H, finds 1: passed',
    ...[19, 20, 21, 22].map((pin) => `V7 pin ${pin} expects L, finds X: undetermined`),
    'V7 pin 23 expects H, finds 1: passed',
  ])
})
