/** What a document of steps may hold: every mistake is told with its path, before anything runs. */
import { describe, expect, test } from 'vitest'
import { createFuseMap, findDevice } from '../../src/index'
import { decode, runSteps } from '../../src/logic'
import type { Design } from '../parts/design'
import { decodedDesign, levelsAt, runDesign } from './outcomes'
import { granted } from '../granted'

/**
 * 19 is a register that takes pin 2, 18 copies pin 3. Ground is pin 10 and supply pin 20 (GAL16V8 data sheet, p. 2).
 */
const DESIGN: Design = {
  part: '16V8',
  mode: 'registered',
  clockPin: 1,
  outputs: [
    { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[2]] },
    { pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[3]] },
  ],
}
const DECODED = decodedDesign(DESIGN)

function mistake(document: unknown): Error {
  try {
    granted(runSteps(DECODED, document as never))
  } catch (error) {
    return error as Error
  }
  throw new Error(`accepted: ${JSON.stringify(document)}`)
}

const step = (one: unknown): unknown => ({ steps: [{}, one] })
const set = (key: string, value: unknown): unknown => step({ set: { [key]: value } })
const named = (pins: unknown, one: unknown = {}): unknown => ({ pins, steps: [one] })
const pulsing = (...pulse: unknown[]): unknown => step({ set: { 1: 0, 2: 1, 3: 0, 4: 0, 5: 0, 6: 'X' }, pulse })

describe('wrong values throw a RangeError with their path', () => {
  test.each([
    [{ steps: [] }, 'stepList.steps must have at least 1 entry, not 0'],
    [{ steps: [{}], speed: 3 }, 'stepList.speed is not known; known are steps, start, pins, watch, timeStep, schema'],
    [step({ sets: {} }), 'stepList.steps[1].sets is not known; known are set, load, pulse, repeat, expect, note'],
    [JSON.parse('{"steps":[{"__proto__":{}}]}'), 'stepList.steps[0].__proto__ is not known'],
    [{ schema: 2, steps: [{}] }, 'stepList.schema must be 1, not 2'],
    [{ start: 'zero', steps: [{}] }, 'stepList.start must be "unknown" or "power-up", not "zero"'],
    [{ timeStep: 3, steps: [{}] }, 'stepList.timeStep must be a whole number from 4 to 1000000000'],
    [{ timeStep: 10.5, steps: [{}] }, 'stepList.timeStep must be a whole number'],
    [{ timeStep: 1_000_000_001, steps: [{}] }, 'stepList.timeStep must be a whole number'],
    [set('27', 1), 'stepList.steps[1].set.27: a 16V8 has pins 1 to 20'],
    [set('0', 1), 'stepList.steps[1].set.0: a 16V8 has pins 1 to 20'],
    [set('99999999999999999999', 1), 'stepList.steps[1].set.99999999999999999999: a 16V8 has pins 1 to 20'],
    [set('10', 1), 'stepList.steps[1].set.10: pin 10 of a 16V8 is ground'],
    [set('20', 1), 'stepList.steps[1].set.20: pin 20 of a 16V8 is supply'],
    [set('clk', 1), 'stepList.steps[1].set.clk: no pin is named “clk”; pins gives names to numbers'],
    [set('-1', 1), 'stepList.steps[1].set."-1": no pin is named “-1”'],
    [set('toString', 1), 'stepList.steps[1].set.toString: no pin is named “toString”'],
    [set('2', 2), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not 2'],
    [set('2', 'H'), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not "H"'],
    [set('2', 'x'), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not "x"'],
    [set('2', 'high'.repeat(100)), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not "' + 'high'.repeat(10) + '…"'],
    [set('2', true), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not true'],
    [set('2', ['0']), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not a list'],
    [set('2', null), 'stepList.steps[1].set.2 must be 0, 1, "0", "1", "X" or "Z", not null'],
    [named({ run: 2 }, { set: { 2: 0, run: 1 } }), 'stepList.steps[0].set.run: pin 2 stands there twice'],
    [step({ set: { 2: 0, '02': 1 } }), 'stepList.steps[1].set.02: pin 2 stands there twice'],
    [named({ run: 2, go: 2 }), 'stepList.pins.go: pin 2 is named “run” already'],
    [named({ run: 21 }), 'stepList.pins.run: a 16V8 has pins 1 to 20'],
    [named({ run: 10 }), 'stepList.pins.run: pin 10 of a 16V8 is ground'],
    [named({ run: 1.5 }), 'stepList.pins.run: a 16V8 has pins 1 to 20'],
    [named({ 17: 2 }), 'stepList.pins.17: a name has 1 to 40 characters and is no number'],
    [named({ '': 2 }), 'stepList.pins."": a name has 1 to 40 characters and is no number'],
    [named({ 'a\nb': 2 }), 'stepList.pins."a\\nb": a name has 1 to 40 characters and is no number'],
    [named({ ['n'.repeat(41)]: 2 }), `stepList.pins."${'n'.repeat(40)}…": a name has`],
    [{ watch: [], steps: [{}] }, 'stepList.watch must have at least 1 entry, not 0'],
    [{ watch: [19, 21], steps: [{}] }, 'stepList.watch[1]: a 16V8 has pins 1 to 20'],
    [{ watch: [19, '19'], steps: [{}] }, 'stepList.watch[1]: pin 19 stands there twice'],
    [{ watch: ['q'], steps: [{}] }, 'stepList.watch[0]: no pin is named “q”'],
    [pulsing(1, 1), 'stepList.steps[1].pulse[1]: pin 1 stands there twice'],
    [pulsing(7), 'stepList.steps[1].pulse[0]: pin 7 has no level 0 or 1 to go away from; set one first'],
    [pulsing(1, 6), 'stepList.steps[1].pulse[1]: pin 6 has no level 0 or 1 to go away from'],
    [pulsing(1, 2, 3, 4, 5), 'stepList.steps[1].pulse: at most 4 pins can be pulsed in no defined order; use further steps'],
    [pulsing(20), 'stepList.steps[1].pulse[0]: pin 20 of a 16V8 is supply'],
    [
      { steps: [{ set: { 1: 0 } }, { set: { 1: 'Z' } }, { pulse: [1] }] },
      'stepList.steps[2].pulse[0]: pin 1 has no level 0 or 1',
    ],
    [
      step({ load: { 18: 1 } }),
      'stepList.steps[1].load.18: a 16V8 has no register at pin 18 that a preload is known to reach',
    ],
    [step({ load: { 2: 1 } }), 'stepList.steps[1].load.2: a 16V8 has no register at pin 2'],
    [step({ load: { 19: 'X' } }), 'stepList.steps[1].load.19 must be 0 or 1, not "X"'],
    [step({ load: { 19: '1' } }), 'stepList.steps[1].load.19 must be 0 or 1, not "1"'],
    [step({ expect: { 19: 1 } }), 'stepList.steps[1].expect.19 must be "H", "L", "Z" or "X", not 1'],
    [
      step({ expect: { 2: 'H' } }),
      'stepList.steps[1].expect.2: pin 2 of this 16V8 is an input, at which nothing can be expected',
    ],
    [step({ expect: { 10: 'L' } }), 'stepList.steps[1].expect.10: pin 10 of a 16V8 is ground'],
    [step({ repeat: 0 }), 'stepList.steps[1].repeat must be a whole number from 1'],
    [step({ repeat: 1.5 }), 'stepList.steps[1].repeat must be a whole number from 1'],
  ])('%j', (document, message) => {
    const error = mistake(document)
    expect(error).toBeInstanceOf(RangeError)
    expect(error.message.startsWith(message), error.message).toBe(true)
    expect(error.message).not.toContain('\n')
  })
})

describe('wrong kinds of value throw a TypeError with their path', () => {
  test.each([
    [null, 'stepList must be an object, not null'],
    [[], 'stepList must be an object, not a list'],
    ['{"steps":[]}', 'stepList must be an object, not "{\\"steps\\":[]}"'],
    [{}, 'stepList.steps is missing'],
    [{ steps: {} }, 'stepList.steps must be a list, not a value of type object'],
    [{ steps: [[]] }, 'stepList.steps[0] must be an object, not a list'],
    [{ steps: [{}, null] }, 'stepList.steps[1] must be an object, not null'],
    [step({ set: [1] }), 'stepList.steps[1].set must be an object, not a list'],
    [step({ set: null }), 'stepList.steps[1].set must be an object, not null'],
    [step({ pulse: 1 }), 'stepList.steps[1].pulse must be a list, not 1'],
    [step({ pulse: [null] }), 'stepList.steps[1].pulse[0] must be the number or the name of a pin, not null'],
    [step({ load: 1 }), 'stepList.steps[1].load must be an object, not 1'],
    [step({ expect: 'H' }), 'stepList.steps[1].expect must be an object, not "H"'],
    [step({ note: 1 }), 'stepList.steps[1].note must be a text or null, not 1'],
    [step({ repeat: '3' }), 'stepList.steps[1].repeat must be a whole number from 1 to 1000000, not "3"'],
    [{ timeStep: '100', steps: [{}] }, 'stepList.timeStep must be a whole number from 4 to 1000000000, not "100"'],
    [{ watch: 'all', steps: [{}] }, 'stepList.watch must be a list, not "all"'],
    [{ watch: [{}], steps: [{}] }, 'stepList.watch[0] must be the number or the name of a pin, not a value of type object'],
    [{ pins: [1], steps: [{}] }, 'stepList.pins must be an object, not a list'],
    [named({ run: '2' }), 'stepList.pins.run must be the number of a pin, not "2"'],
  ])('%j', (document, message) => {
    const error = mistake(document)
    expect(error).toBeInstanceOf(TypeError)
    expect(error.message).toBe(message)
  })
})

test('registers that terms clock have no published preload', () => {
  // GAL20RA10 data sheet, 20ra10_02, p. 8: they are loaded over their pins, while pin 1 is low.
  const design: Design = {
    part: '20RA10',
    mode: null,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: true, enable: { term: [], lowPin: 13 }, clock: [2], terms: [[3]] },
    ],
  }
  expect(() => runDesign(design, [{ load: { 23: 1 } }])).toThrow(
    'stepList.steps[0].load.23: a 20RA10 has no register at pin 23 that a preload is known to reach',
  )
  // High is loaded from outside while the output is off, kept when pin 1 goes high, and shown once it is on.
  const run = runDesign(design, [
    { set: { 1: 0, 2: 0, 3: 0, 13: 1, 23: 1 } },
    { set: { 1: 1 } },
    { set: { 23: 'Z' } },
    { set: { 13: 0 } },
  ])
  expect(levelsAt(run, [23])).toEqual(['1', '1', 'Z', '1'])
})

describe('limits', () => {
  test('the number of steps counts repetitions', () => {
    const steps = [{ repeat: 6 }, {}, { repeat: 3 }]
    expect(granted(runSteps(DECODED, { steps }, { maxSteps: 10 })).steps).toHaveLength(10)
    expect(() => runSteps(DECODED, { steps }, { maxSteps: 9 })).toThrow(
      new RangeError('stepList.steps[2]: with it there are more than 9 steps, repetitions counted'),
    )
    expect(() => runSteps(DECODED, { steps: [{ repeat: 100_001 }] })).toThrow(
      'stepList.steps[0]: with it there are more than 100000 steps',
    )
    expect(() =>
      runSteps(DECODED, { steps: [{ repeat: Number.MAX_SAFE_INTEGER }, { repeat: Number.MAX_SAFE_INTEGER }] }),
    ).toThrow('stepList.steps[0]')
  })

  test('a mistake in the last of very many steps is told with its path', () => {
    expect(() => runSteps(DECODED, { steps: [{ repeat: 99_999 }, { set: { 27: 1 } }] })).toThrow('stepList.steps[1].set.27')
  })

  test.each([0, 1.5, 1_000_001, Number.NaN, '10'])('maxSteps %s is refused', (maxSteps) => {
    expect(() => runSteps(DECODED, { steps: [{}] }, { maxSteps: maxSteps as number })).toThrow(
      /^options\.maxSteps must be a whole number/,
    )
  })
})

test('what cannot be run is refused', () => {
  for (const wrong of [null, undefined, 5, {}])
    expect(() => runSteps(wrong as never, { steps: [{}] }), String(wrong)).toThrow(TypeError)
  // SYN, AC0 = 0,0 is no mode (GAL16V8 data sheet, 16v8_04, p. 3).
  const blank = decode(findDevice('16V8')!, createFuseMap(2194))
  expect(runSteps(blank, { steps: [{}] })).toEqual({ refused: true, reason: 'no-logic' })
  expect(() => runSteps(DECODED, { steps: [{}] }, null as never)).toThrow(TypeError)
})

test('levels may be digits or text, pins numbers or names; levels stay until they are changed', () => {
  const pins = { clk: 1, d: 2, off: 11 }
  const spelled = granted(runSteps(DECODED, {
    pins,
    watch: ['clk', 2, '19'],
    steps: [{ set: { clk: '0', d: '1', off: 0 }, pulse: ['clk'] }, { pulse: [1] }, { set: { d: 0 }, pulse: ['1'] }],
  }))
  expect(spelled.steps.map(({ levels }) => levels)).toEqual(['011', '011', '000'])
  expect(spelled.pins).toEqual([
    { pin: 1, name: 'clk' },
    { pin: 2, name: 'd' },
    { pin: 19, name: null },
  ])
})

test('a document is left as it is', () => {
  const document = {
    pins: { clk: 1 },
    steps: [
      {
        set: { clk: 0 as const, 11: 0 as const },
        pulse: ['clk'],
        repeat: 2,
        expect: { 19: 'X' as const },
        note: 'n',
      },
    ],
  }
  const before = JSON.stringify(document)
  granted(runSteps(DECODED, document))
  expect(JSON.stringify(document)).toBe(before)
})
