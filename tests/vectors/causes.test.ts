/**
 * What an undetermined result hangs on: exactly the unknown things that could change it, each once, by pin. Vectors are
 * grouped as pin 1, pins 2–9, 10, 11, pins 12–19, 20; no vector here has an X field, so X is an unknown level (3-A,
 * "Default test condition", gives none then).
 */
import { describe, expect, test } from 'vitest'
import { causesData } from '../../src/jobs/vectors/vector-words'
import { driven, fileOf, gated, mapOf, numbered, register } from './maps'
import { simulate } from '../../src/index'
import { causesAt } from '../../src/logic/causes'
import type { Expression } from '../../src/logic/logic'
import { applyLevels } from '../../src/logic/simulate'
import { startSimulation } from '../../src/logic/simulation-state'
import { X } from '../../src/logic/ternary'
import { lastCauses, letters, report, run } from './outcomes'
import { granted } from '../granted'

describe('levels', () => {
  test('only the rows that decide are named', () => {
    // Pin 18 = 2∧3 ∨ 4∧5. Pin 3 low settles the first row; pins 4 and 5 decide.
    const map = mapOf('complex', { 18: driven([2, 3], [4, 5]) })
    expect(lastCauses(run(map, ['0 X0X10000 N 0 NNNNNNHN N']))).toEqual([{ kind: 'input', pin: 4 }])
    expect(lastCauses(run(map, ['0 X0XN0000 N 0 NNNNNNHN N']))).toEqual([
      { kind: 'input', pin: 4 },
      { kind: 'floating', pin: 5 },
    ])
    expect(lastCauses(run(map, ['0 X1XN0000 N 0 NNNNNNHN N']))).toEqual([
      { kind: 'input', pin: 2 },
      { kind: 'input', pin: 4 },
      { kind: 'floating', pin: 5 },
    ])
    // A row that is certain settles all: nothing is open.
    expect(letters(run(map, ['0 11XN0000 N 0 NNNNNNHN N']))).toBe('p')
  })

  test('reach through the feedback of other outputs', () => {
    // Pin 16 = 17, pin 17 = 18, pin 18 = 2: all three hang on pin 2.
    const map = mapOf('complex', { 18: driven([2]), 17: driven([18]), 16: driven([17]) })
    expect(lastCauses(run(map, ['0 X0000000 N 0 NNNNHNNN N']))).toEqual([{ kind: 'input', pin: 2 }])
  })

  test('an output pin that is off hangs on what is applied to it', () => {
    const map = mapOf('complex', { 18: gated([3], [2]), 17: driven([18]) })
    expect(lastCauses(run(map, ['0 10000000 N 0 NNNNNHXN N']))).toEqual([{ kind: 'input', pin: 18 }])
    expect(lastCauses(run(map, ['0 10000000 N 0 NNNNNHNN N']))).toEqual([{ kind: 'floating', pin: 18 }])
    // What it would drive does not matter.
    expect(lastCauses(run(map, ['0 X0000000 N 0 NNNNNHXN N']))).toEqual([{ kind: 'input', pin: 18 }])
  })

  test('an output that is on for certain hangs on its value alone', () => {
    // Pin 5 shows p4 while p2 ∨ p3 is 1; signals are pins 1 to 4.
    const sum = (...literals: readonly number[]): Expression => {
      return { sums: [literals.map((literal) => ({ literals: [literal], origin: -1 }))], inverted: false }
    }
    const cell = { pin: 5, name: '5', defined: true, enable: sum(2, 4), value: sum(6), register: null }
    const signals = [1, 2, 3, 4].map((pin) => ({ kind: 'pin' as const, pin }))
    const simulation = startSimulation({ pinCount: 6, supplyPins: [], signals, cells: [cell] })
    applyLevels(simulation, [3, 0, 1, X, X, 3, 3])
    expect(causesAt(simulation, 5)).toEqual([{ kind: 'input', pin: 4 }])
  })

  test('an unknown enable is named by its pin', () => {
    // Pin 2 = 1 is known; whether pin 18 drives it hangs on pin 3 alone.
    const map = mapOf('complex', { 18: gated([3], [2]) })
    expect(lastCauses(run(map, ['0 1X000000 N 0 NNNNNNHN N']))).toEqual([{ kind: 'input', pin: 3 }])
  })
})

describe('registers', () => {
  const pair = mapOf('registered', { 19: register([2]), 18: register([19]), 17: driven([19, 18]) })

  test('that nothing has set', () => {
    expect(lastCauses(run(pair, ['0 00000000 N 0 NNNNNNNH N']))).toEqual([{ kind: 'register', pin: 19 }])
    // Pin 17 = 19 ∧ 18.
    expect(lastCauses(run(pair, ['0 00000000 N 0 NNNNNHNN N']))).toEqual([
      { kind: 'register', pin: 18 },
      { kind: 'register', pin: 19 },
    ])
    // Once 19 is known to be 1, only 18 is open: it took what 19 had at the start.
    expect(lastCauses(run(pair, ['C 10000000 N 0 NNNNNHNN N']))).toEqual([{ kind: 'register', pin: 19 }])
    // With 19 known to be 0, pin 17 is certain.
    expect(letters(run(pair, ['C 00000000 N 0 NNNNNLNN N']))).toBe('p')
  })

  test('keep the reason that they took in', () => {
    // V1 clocks pin 2 = X in; V2 drives pin 2, and pin 19 still hangs on what it was. One clock later pin 18 does.
    const vectors = ['C X0000000 N 0 NNNNNNNN N', '0 00000000 N 0 NNNNNNNH N']
    expect(lastCauses(run(pair, vectors))).toEqual([{ kind: 'input', pin: 2 }])
    expect(lastCauses(run(pair, [...vectors, 'C 00000000 N 0 NNNNNNHN N']))).toEqual([{ kind: 'input', pin: 2 }])
    expect(lastCauses(run(pair, ['C N0000000 N 0 NNNNNNNH N']))).toEqual([{ kind: 'floating', pin: 2 }])
  })

  test('whose clock edge is not certain', () => {
    // V2: the clock goes from 0 to an unknown level while D = 0 differs from Q = 1.
    expect(
      lastCauses(run(pair, ['C 10000000 N 0 NNNNNNNH N', '0 00000000 N 0 NNNNNNNH N', 'X 00000000 N 0 NNNNNNNH N'])),
    ).toEqual([{ kind: 'clock', pin: 19 }])
  })

  test('whose data changed with the clock', () => {
    expect(lastCauses(run(pair, ['0 00000000 N 0 NNNNNNNN N', '1 10000000 N 0 NNNNNNNH N']))).toEqual([
      { kind: 'order', pin: 1 },
    ])
  })
})

describe('structure', () => {
  test.each([
    // Pin 18 = ¬18 has no steady level.
    { name: 'an oscillating loop', row: [-18] },
    // Pin 18 = 18 holds whatever it had, and it never had anything.
    { name: 'a loop that nothing has set', row: [18] },
  ])('$name is named', ({ row }) => {
    expect(lastCauses(run(mapOf('complex', { 18: driven(row) }), ['0 00000000 N 0 NNNNNNHN N']))).toEqual([
      { kind: 'loop', pin: 18 },
    ])
  })

  test('a cell that the data sheet does not define', () => {
    // GAL16V8 data sheet p. 6: AC1 = 0 has no meaning in complex mode. Pin 17 reads that pin.
    const map = mapOf('complex', { 18: { ac1: 0, xor: 1, rows: [[], [2]] }, 17: driven([18]) })
    for (const expected of ['HN', 'NH', 'NZ'])
      expect(lastCauses(run(map, [`0 10000000 N 0 NNNNN${expected}N N`]))).toEqual([
        { kind: 'undefined-cell', pin: 18 },
      ])
  })
})

describe('vectors that cannot be followed', () => {
  const single = mapOf('registered', { 19: register([2]) })

  test('an unreadable vector', () => {
    const tests = numbered(['C 10000000 N 0 NNNNNNNH N', 'C 1000', '0 10000000 N 0 NNNNNNNH N'])
    expect(lastCauses(granted(simulate(fileOf(single, tests))))).toEqual([{ kind: 'vector', pin: 19 }])
  })

  test('an unknown preload', () => {
    expect(
      lastCauses(run(single, ['C 10000000 N 0 NNNNNNNH N', 'B01XXXXXXXXXXXXXXXXX', '0 10000000 N 0 NNNNNNNH N'])),
    ).toEqual([{ kind: 'preload', pin: 19 }])
  })

  test('every finding on an open vector names its place', () => {
    const { findings } = report(
      single,
      numbered(['C 10000000 N 0 NNNNNNNH N', '0 10000000 N 0 NNNNNNNN N', 'X 00000000 N 0 NNNNNNNH N']),
    )
    expect(findings.find(({ code }) => code === 'vector/holds-with')).toMatchObject({
      vector: 3,
      pin: 19,
      position: { line: 6, column: 1 },
    })
  })
})

test('two causes are named, of more it is said how many others there are', () => {
  const causes = [2, 3, 4, 5].map((pin) => ({ kind: 'input' as const, pin }))
  expect(causesData(causes.slice(0, 2))).toEqual({ causes: causes.slice(0, 2), named: 'all' })
  expect(causesData(causes)).toEqual({ causes: causes.slice(0, 2), named: 'some', others: 2 })
})

test('results that are determined hang on nothing', () => {
  const map = mapOf('complex', { 18: driven([2]) })
  expect(lastCauses(run(map, ['X 1XXXXXXX N X XXXXXXHX N']))).toEqual([])
  expect(lastCauses(run(map, ['X 1XXXXXXX N X XXXXXXLX N']))).toEqual([])
})
