/**
 * Small machines (invented) compared as logic, against the search of tests/reference through every state and every
 * change of levels, which shares nothing with the code under test.
 */
import { expect, test } from 'vitest'
import type { Cell } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { smallPair } from '../reference/small-machines'
import { sampleSize } from '../sample-size'
import { behind, compared, pairOf, register, shown, term, wrongOf } from './small'

/** Register 6 without a clock, which pin 4 presets while register 5 does not reset it. */
const PRESET = { ...register(6, 'p2', 'p1', 'q5'), clock: null, preset: term('p4 ¬q5') }
const UNCLOCKED = ['p3', 'p3 p4'].map((data) => [register(5, data, 'p1', 'q5'), ...behind(PRESET)]) as [Cell[], Cell[]]

/** Registers 5 and 6, of which 5 is reset at once where both are 1; pin 3 clocks both, 6 only with pin 4. */
const MEETING = [register(5, 'p2', 'p3', 'q6'), register(6, 'p2', 'p3 p4')] as const

test.each([
  [
    'a reset that ends as a clock rises that is no pin',
    [register(5, 'p3', '¬p2', 'q5 p2')],
    [register(5, 'p3 p4', '¬p2', 'q5 p2')],
  ],
  [
    'a reset that two registers end as they clock a third',
    [register(5, 'p2', 'p1'), register(6, 'p2', 'p1'), register(7, 'p3 ¬q5 ¬q6', 'q5 q6', 'q7 ¬q5')],
    [register(5, 'p2', 'p1'), register(6, 'p2', 'p1'), register(7, 'p3 p4 ¬q5 ¬q6', 'q5 q6', 'q7 ¬q5')],
  ],
  [
    'two clocks at once, through a state that cannot last',
    [...MEETING, register(7, 'p4', 'p1', 'q5 q6')],
    [...MEETING, register(7, 'p4', 'p1')],
  ],
  [
    'a register that resets itself at once, and one of another clock with it',
    [register(5, 'p3', 'p1', 'q5'), register(6, 'p4', 'p2', 'q5')],
    [register(5, 'p3 p4', 'p1', 'q5'), register(6, 'p4', 'p2', 'q5')],
  ],
  ['the same, where no clock and no pin has the other one', ...UNCLOCKED],
  [
    'a register that resets itself at once and clocks another one before',
    [register(5, 'p3', 'p1', 'q5'), register(6, 'p4', 'q5')],
    [register(5, 'p2', 'p1', 'q5'), register(6, 'p4', 'q5')],
  ],
])('by way of states that do not last: %s', (_, ...cells) => {
  for (const pair of [pairOf(...cells), pairOf(...[...cells].reverse())]) {
    expect(relationByBruteForce(...pair.machines, { start: 'power-up' }).relation).toBe('different')
    const result = compared(pair)
    expect(result.relation).toBe('different')
    expect(wrongOf(pair, result)).toEqual([])
  }
})

test('what only such a state shows is no matter of the start', () => {
  const pair = pairOf([...MEETING, register(7, 'p4', 'p1', 'q5 q6')], [...MEETING, register(7, 'p4', 'p1')])
  const { outputs } = compared(pair).logic!
  expect(outputs.find(({ pin }) => pin === 7)).toMatchObject({ relation: 'different', differsIn: ['next-state'] })
})

test.each([
  [
    'only while the clock is low: what a preset leaves there, the clock takes back',
    [{ ...register(5, 'p2 ¬p2', 'p1'), preset: term('p2 ¬q5 ¬p1') }],
  ],
  [
    'only while the clock stays high: pin 2 rises after what it resets while the clock is low has taken ¬p2',
    [{ ...register(5, 'p2 ¬p2', 'p1'), preset: term('p2 q6 p1') }, register(6, '¬p2', 'p1', 'p2 ¬p1')],
  ],
])('a register that leaves its start %s', (_, registers) => {
  const pair = pairOf([...registers, shown('q5 p3')], [...registers, shown('q5 p4')])
  expect(relationByBruteForce(...pair.machines, { start: 'power-up' }).relation).toBe('different')
  const result = compared(pair)
  expect(result).toMatchObject({ relation: 'different', machines: { result: 'different', pin: '8' } })
  expect(wrongOf(pair, result)).toEqual([])
})

test('a clock of two pins is followed with its pins, where nothing holds', () => {
  // Register 5 takes its own state and starts at 0, so that pin 8 stays low: one pair of states, in two levels of pins.
  const [a, b] = ['q5 p3', 'q5 p4'].map((data) => [register(5, 'q5', 'p1 ¬p2'), shown(data)])
  const pair = pairOf(a!, b!)
  expect(relationByBruteForce(...pair.machines, { start: 'power-up' }).relation).toBe('equal')
  expect(compared(pair)).toMatchObject({ relation: 'equivalent', machines: { result: 'equal', states: 1 } })
})

test('a counterexample gives the state also of the register that is the first variable of the diagrams', () => {
  // Pin 8 shows p2 where Q of register 5 is 1, or its complement; with Q at 0 it is low on both.
  const hidden = { ...register(5, 'p2 p3', 'p1 p4', 'p3 p4'), enable: [] }
  const pair = pairOf([hidden, shown('q5 p2')], [hidden, shown('q5 ¬p2')])
  const [output] = compared(pair, 'unknown').logic!.outputs
  expect(output).toMatchObject({ pin: 8, differsIn: ['value'], counterexample: { state: { B5: 1 }, sequence: null } })
  const { inputs, intended, readback } = output!.counterexample!
  expect([intended, readback]).toEqual(inputs['2'] === 1 ? ['H', 'L'] : ['L', 'H'])
})

test('registers of two clocks are followed by the levels of every pin, also the last before the supply', () => {
  const [a, b] = ['p8', 'p8 p3'].map((data) => [register(5, data, 'p1'), register(6, 'p2', 'p4')])
  const pair = pairOf(a!, b!)
  const { machines } = compared(pair)
  // From Q = 0 on both sides: pin 8 high and pin 3 low, and one rise of pin 1.
  expect(machines).toMatchObject({ result: 'different', pin: '5', intended: 'H', readback: 'L' })
  expect(machines!.sequence!.map((levels) => [levels['1'], levels['3'], levels['8']])).toEqual([
    [0, 0, 1],
    [1, 0, 1],
  ])
})

test('a register without a clock that another one resets is open where nobody knows how the registers start', () => {
  expect(compared(pairOf(...UNCLOCKED), 'unknown').relation).toBe('undecided')
})

test('no relation is wrong, and every counterexample replays', () => {
  const found = { equivalent: 0, different: 0, undecided: 0, 'not-comparable': 0, followed: 0 }
  const wrong: string[] = []
  for (let seed = 1; seed <= sampleSize(250, 5000); seed++) {
    const pair = smallPair(seed)
    const result = compared(pair)
    found[result.relation]++
    if (result.machines?.result === 'equal') found.followed++
    wrong.push(...wrongOf(pair, result).map((what) => `seed ${seed}: ${what}`))
  }
  expect(wrong).toEqual([])
  expect(Math.min(found.equivalent, found.different, 4 * found.followed), JSON.stringify(found)).toBeGreaterThan(60)
  expect(found.undecided, JSON.stringify(found)).toBeLessThan(found.equivalent / 50)
})
