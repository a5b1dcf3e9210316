/**
 * Small machines (invented) followed from their start: what each answer must be follows from the terms, as the comments
 * show, and is confirmed by the search of tests/reference, which shares nothing with the code under test.
 */
import { describe, expect, test } from 'vitest'
import { comparePins } from '../../src/jobs/compare/compare-output'
import type { PairResult } from '../../src/jobs/compare/compare-parts'
import type { Cell } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { compared, pairOf, register, shown, term, wrongOf } from './small'

/** Both compared, once it is sure that they are as said from power-up. */
function answer(truth: 'equal' | 'different', a: readonly Cell[], b: readonly Cell[]): PairResult {
  const pair = pairOf(a, b)
  expect(relationByBruteForce(...pair.machines, { start: 'power-up' }).relation).toBe(truth)
  const result = compared(pair)
  expect(wrongOf(pair, result)).toEqual([])
  return result
}

/** A register that nothing clocks: its clock is constant 1. */
const unclocked = (pin: number, data: string): Cell => ({ ...register(pin, data, 'p1'), clock: term('') })

test('what shows at the start while the clock is low takes one step', () => {
  // Register 5 takes its own state and starts at 0: pin 8 is p3, or p4, while pin 1 is low.
  const [a, b] = ['p3', 'p4'].map((data) => [register(5, 'q5', 'p1'), shown(`¬q5 ¬p1 ${data}`)])
  const { sequence, pin } = answer('different', a!, b!).machines!
  expect({ pin, clocks: sequence!.map((levels) => levels['1']) }).toEqual({ pin: '8', clocks: [0] })
})

test('a register whose clock is constant stays at its start while others are clocked', () => {
  // Register 6 starts at 0 and would take p2 like register 5; pin 8 stays low on both sides.
  const [a, b] = ['p3', 'p4'].map((data) => [register(5, 'p2', 'p1'), unclocked(6, 'p2'), shown(`q6 ${data}`)])
  expect(answer('equal', a!, b!)).toMatchObject({ relation: 'equivalent', machines: { result: 'equal' } })
})

test('a constant clock is no clock of more than a pin: what a reset takes back at once stays hidden', () => {
  const [a, b] = ['p3', 'p3 p4'].map((data) => [register(5, data, 'p1', 'q5'), unclocked(6, 'p2')])
  expect(answer('equal', a!, b!)).toMatchObject({ relation: 'equivalent', machines: null })
})

test('data that read the clock pin itself differ like any other', () => {
  const [a, b] = ['¬p1 p3', '¬p1 p4'].map((data) => [register(5, data, 'p1')])
  const { relation, logic } = answer('different', a!, b!)
  expect({ relation, differsIn: logic!.outputs[0]!.differsIn }).toEqual({
    relation: 'different',
    differsIn: ['next-state'],
  })
})

test('equal data that a preset by the state takes back on one side alone differ in the preset', () => {
  // ¬Q ∧ p3 presets, or ¬Q ∧ p4. Q is 0 in half of all cases, and one of p3 and p4 is 1 in half of these.
  const [a, b] = ['p3', 'p4'].map((pin) => [{ ...register(5, 'p2', 'p1'), preset: term(`¬q5 ${pin}`) }])
  const [output] = answer('different', a!, b!).logic!.outputs
  expect(output!.differsIn).toEqual(['held-high'])
  expect(4n * BigInt(output!.differingInputs!)).toBe(BigInt(output!.ofInputs!))
})

test.each([0, 1])('a register on side %i that resets and presets itself without end leaves the others open', (side) => {
  // Register 6 does so while pin 1 is low, and comes to rest once it is high.
  const resting = register(6, 'p3', 'p1')
  const restless = { ...resting, reset: term('q6 ¬p1'), preset: term('¬q6 ¬p1') }
  const [a, b] = [restless, resting].map((cell) => [register(5, 'p2', 'p1'), cell])
  const { logic } = compared(side === 0 ? pairOf(a!, b!) : pairOf(b!, a!))
  expect(logic!.outputs.find(({ pin }) => pin === 5)).toMatchObject({
    relation: 'undecided',
    reason: 'unsettled-resets',
  })
})

test.each([0, 1])('a register that side %i alone clocks, by one that resets itself at once', (side) => {
  // Register 5 is 1 for a moment after each rise of pin 1 with p2; register 6 takes p3 then, or keeps its 0.
  const [a, b] = [register(6, 'p3', 'q5'), unclocked(6, 'p3')].map((cell) => [register(5, 'p2', 'p1', 'q5'), cell])
  const { logic } = side === 0 ? answer('different', a!, b!) : answer('different', b!, a!)
  expect(logic!.outputs.map(({ pin, relation }) => [pin, relation])).toEqual([
    [5, 'equivalent'],
    [6, 'different'],
  ])
})

test('each side starts at its own state: a stated level is that of the pin, and Q may be its complement', () => {
  // Pin 5 shows p2 since the last rise of pin 1, on one side by way of ¬p2. Register 6 starts at 1 and takes 1.
  const [a, b] = [
    [register(5, 'p2', 'p1'), register(6, '', 'p4')],
    [{ ...register(5, '¬p2', 'p1'), invertPin: true }, register(6, '', 'p3')],
  ]
  for (const pair of [pairOf(a!, b!), pairOf(b!, a!)])
    expect(compared(pair, 'high')).toMatchObject({ relation: 'equivalent', machines: { result: 'equal' } })
})

test('a register that always takes its complement differs in a clock of another pin', () => {
  const [a, b] = ['p1', 'p2'].map((clock) => [register(5, '¬q5', clock)])
  const { logic } = answer('different', a!, b!)
  expect(logic!.outputs[0]).toMatchObject({ relation: 'different', differsIn: ['clock'] })
})

test('what does not hang on a register without rest is counted in all states', () => {
  // Pin 8 is p2, or p2 ∧ p3: 1/4 of all combinations.
  const restless = { ...register(5, 'p4', 'p1'), reset: term('q5'), preset: term('¬q5') }
  const [a, b] = ['p2', 'p2 p3'].map((data) => [restless, shown(data)])
  const output = compared(pairOf(a!, b!)).logic!.outputs.find(({ pin }) => pin === 8)!
  expect(output.relation).toBe('different')
  expect(4n * BigInt(output.differingInputs!)).toBe(BigInt(output.ofInputs!))
})

describe('a hidden register that keeps its state or changes it is the same by Q, whatever its pin would show', () => {
  /** Q of register 5 is kept with p2 at 1, else changed: the same function of ¬Q. Register 6 alone reads it. */
  const toggled = (invertPin: boolean, reader: Partial<Cell>): readonly Cell[] => [
    { ...register(5, 'p2 q5', 'p1'), terms: [term('p2 q5'), term('¬p2 ¬q5')], enable: [], invertPin },
    { ...register(6, 'p3', 'p1'), ...reader },
  ]

  test.each<[string, Partial<Cell>]>([
    ['data', { terms: [term('q5')] }],
    ['a clock', { clock: term('q5') }],
    ['a reset', { reset: term('q5') }],
    ['a preset', { preset: term('q5') }],
  ])('read by %s', (_, reader) => {
    const result = answer('equal', toggled(false, reader), toggled(true, reader))
    expect(result).toMatchObject({ relation: 'equivalent', machines: null, remarks: [] })
  })
})

test('where neither way to pair a register leaves more equal, it is paired by what its pin shows', () => {
  // Pin 5 shows p2 since the last rise of pin 1, or its complement, which nothing reads.
  const [a, b] = [false, true].map((invertPin) => [{ ...register(5, 'p2', 'p1'), invertPin }])
  const [output] = compared(pairOf(a!, b!), 'unknown').logic!.outputs
  expect(output).toMatchObject({ relation: 'different', differsIn: ['next-state'] })
  expect(output).not.toHaveProperty('opposite')
})

test('pins are in the order of their numbers, those of the other part alone last', () => {
  const names = ['readback 12', '5', 'readback 3', '10']
  expect([names, [...names].reverse()].map((each) => each.sort(comparePins))).toEqual(
    Array(2).fill(['5', '10', 'readback 3', 'readback 12']),
  )
})

test('a reset that the clock keeps at its high level holds at the rise already, so that nothing passes', () => {
  // Register 5 never is 1, so that register 6 takes p2; pin 8 is p3 or p4 then.
  const [a, b] = ['p3', 'p4'].map((data) => [
    register(5, 'p2', 'p1', 'p1'),
    register(6, 'p2', 'p1', 'q5'),
    shown(`q6 ${data}`),
  ])
  expect(answer('different', a!, b!)).toMatchObject({ relation: 'different', machines: { result: 'different' } })
})

test('what a register resets as it resets itself differs as well, also where its clock is no pin', () => {
  // Register 5 is 1 for a moment after a fall of pin 1 with p3, or with p3 and p4, and resets both registers then.
  const [a, b] = ['p3', 'p3 p4'].map((data) => [register(5, data, '¬p1', 'q5'), register(6, 'p2', 'p1', 'q5')])
  const [, output] = answer('different', a!, b!).logic!.outputs
  expect(output).toMatchObject({ pin: 6, relation: 'different', differsIn: ['next-state'] })
  const { relation, logic } = compared(pairOf(a!, b!), 'unknown')
  expect([relation, logic!.outputs[1]!.relation, logic!.outputs[1]!.reason]).toEqual([
    'undecided',
    'undecided',
    'not-reproduced',
  ])
})

describe('levels of the clock in which something is held or shown', () => {
  const [zero, one] = ['p2 ¬p2', '']
  const preset = (pin: number, data: string, condition: string): Cell => ({
    ...register(pin, data, 'p1'),
    preset: term(condition),
  })
  const both = (cells: readonly Cell[], condition: string): [Cell[], Cell[]] =>
    ['p3', 'p4'].map((level) => [...cells, shown(`${condition} ${level}`)]) as [Cell[], Cell[]]
  const clocks = ({ machines }: PairResult): unknown => machines!.sequence!.map((levels) => levels['1'])

  test('what shows at the start while the clock is high, and never after an edge', () => {
    expect(clocks(answer('different', ...both([register(5, one, 'p1')], '¬q5 p1')))).toEqual([1])
  })

  test('what a preset by the high level does at the start shows at once', () => {
    expect(clocks(answer('different', ...both([preset(5, zero, 'p2 p1')], 'q5')))).toEqual([1])
  })

  test('what is held while the clock stays high shows after the inputs have changed once more', () => {
    // A rise with p2 at 0 brings register 6 to 1. Then p2 rises, which presets register 5, and falls.
    const cells = [preset(5, zero, 'p2 q6 p1'), register(6, '¬p2', 'p1')]
    expect(clocks(answer('different', ...both(cells, 'q5 p1 ¬p2')))).toEqual([0, 1, 1, 1])
  })

  test('what is held at the low level, and taken back by the rise, does not show at the high one', () => {
    const { relation } = answer('equal', ...both([preset(5, zero, 'p2 ¬q5 ¬p1')], 'q5 p1'))
    expect(relation).toBe('equivalent')
  })

  test('what is held at both levels, and shows at the high one alone, is brought about there', () => {
    // At the low level it could be held as well, but the rise would take it back.
    expect(clocks(answer('different', ...both([preset(5, zero, 'p2')], 'q5 p1 ¬p2')))).toEqual([1, 1])
  })

  test('what is held without any clock shows once nothing holds it', () => {
    const { relation } = answer('different', ...both([{ ...unclocked(5, zero), preset: term('p2') }], 'q5 ¬p2'))
    expect(relation).toBe('different')
  })
})

test('holds of a side act on its own registers, also where the other side has fewer', () => {
  // Q of register 7 is 1 wherever that of register 5 is: both take p3, and register 5 alone is reset.
  const cell = register(5, 'p3', 'p1', 'p2')
  const [a, b] = [
    [cell, shown('q5 p4')],
    [cell, { ...register(7, 'p3', 'p1'), enable: [] }, shown('q5 q7 p4')],
  ]
  for (const { relation } of [answer('equal', a!, b!), answer('equal', b!, a!)]) expect(relation).toBe('equivalent')
})

test('a register that is clocked by a state of one side alone is followed pin by pin', () => {
  // Q of register 5 is p2. Register 6 takes p3 as it rises, or keeps its 0.
  const follows = { ...unclocked(5, ''), preset: term('p2'), reset: term('¬p2') }
  const [a, b] = [register(6, 'p3', 'q5'), unclocked(6, 'p3')].map((cell) => [follows, cell])
  for (const result of [answer('different', a!, b!), answer('different', b!, a!)])
    expect(result).toMatchObject({ relation: 'different', machines: { result: 'different', pin: '6' } })
})

test('every step of a sequence has a level for each pin that either side reads', () => {
  const [a, b] = ['p3', 'p4'].map((data) => [register(5, 'p2', 'p1'), shown(`q5 ${data}`)])
  for (const { machines } of [answer('different', a!, b!), answer('different', b!, a!)])
    expect(machines!.sequence!.map((levels) => Object.keys(levels).join(''))).toEqual(Array(3).fill('1234'))
})

test.each([
  ['the low level', '¬p1'],
  ['the high level', 'p1'],
  ['the high level, in a state that no rise leads to', 'p1 q7'],
])('two parts with a register that never rests at %s are not followed', (_, when) => {
  // Register 7 starts at 0 and takes 0; so pin 8 stays low.
  const restless = { ...register(5, 'p2', 'p1'), reset: term(`q5 ${when}`), preset: term(`¬q5 ${when}`) }
  const [a, b] = ['p3', 'p4'].map((data) => [restless, register(7, 'p2 ¬p2', 'p1'), shown(`q7 ${data}`)])
  const { machines } = compared(pairOf(a!, b!))
  expect(machines).toMatchObject({ result: 'open', reason: 'unsettled-resets', states: 0, sequence: null })
})

test('what a product leaves free is tried at 1 too: the other pin of a clock must be high for a rise', () => {
  const [a, b] = ['p3', 'p4'].map((data) => [register(5, data, 'p1 p2')])
  const result = compared(pairOf(a!, b!), 'unknown')
  expect(result.relation).toBe('different')
  const { sequence, state } = result.logic!.outputs[0]!.counterexample!
  expect(sequence!.map((levels) => [levels['1'], levels['2']].sort())).toEqual([[0, 1], [1, 1]])
  expect(Object.keys(state)).toEqual(['5'])
})

test('a counterexample leaves out what nothing sees, and an open output without a pin names its cell', () => {
  const idle = { ...register(7, 'p2', 'p1'), enable: [] }
  const [a, b] = ['p3', 'p4'].map((data) => [register(5, data, 'p1'), idle])
  expect(Object.keys(compared(pairOf(a!, b!)).logic!.outputs[0]!.counterexample!.state)).toEqual(['5'])
  // Register 5 is buried; with two clocks, and starts that nobody knows, it is not followed.
  const [c, d] = ['p3', 'p4'].map((data) => [
    { ...register(5, data, 'p1'), enable: [] },
    register(6, 'p2', 'p2'),
    shown('q5 p2'),
  ])
  const open = compared(pairOf(c!, d!), 'unknown').logic!.outputs.filter(({ relation }) => relation === 'undecided')
  expect(open.map(({ pin, cell }) => [pin, cell])).toEqual([[0, 'B5']])
})

test('an open output that has a pin is named by that alone', () => {
  const [a, b] = ['p3', 'p3 p4'].map((data) => [register(5, data, '¬p1', 'q5'), register(6, 'p2', 'p1', 'q5')])
  const { outputs } = compared(pairOf(a!, b!), 'unknown').logic!
  expect(outputs.map(({ pin, relation }) => [pin, relation])).toEqual([
    [5, 'undecided'],
    [6, 'undecided'],
  ])
  for (const output of outputs) expect(output).not.toHaveProperty('cell')
})
