/**
 * The conditions of a vector (3-A, "Test conditions", and its table), on maps small enough to be worked by hand.
 * Vectors are grouped as pin 1, pins 2–9, 10, 11, pins 12–19, 20. "3-A" is JEDEC Standard No. 3-A, as reproduced in
 * programmer manuals.
 */
import { describe, expect, test } from 'vitest'
import { conditionsByPin } from '../../src/jobs/vectors/conditions'
import { driven, gated, mapOf, numbered, register } from './maps'
import { lastCauses, report, run, story, vectorFindings } from './outcomes'

/** Pin 18 = pin 2 and pin 17 = ¬pin 2, always on (complex mode, GAL16V8 data sheet p. 6). */
const wires = mapOf('complex', { 18: driven([2]), 17: driven([-2]) })

/** A vector of `wires` with a condition at pin 2 and expectations at pins 17 and 18. */
function atPin2(condition: string, expected: string): string {
  return `0 ${condition}0000000 N 0 NNNNN${expected}N N`
}

test('conditions go to pins by the order of a file; 0 in it is no pin', () => {
  const byPin = (conditions: string, pinOrder: readonly number[] | null): string =>
    conditionsByPin(conditions, { vectors: [], pinOrder, defaultCondition: null }, 3)
  expect(byPin('01H', null)).toBe('N01H')
  expect(byPin('01H', [2, 1, 3])).toBe('N10H')
  // Pin 3 has no place in the order: nothing is applied there.
  expect(byPin('01H', [2, 0, 1])).toBe('NH0N')
})

test('what is judged at the first pin is judged nowhere else', () => {
  expect(story(run(wires, ['H 00000000 N 0 NNNNNNNN N']))).toEqual(['V1 pin 1 expects H, finds Z: undetermined'])
})

test('two pins side by side that pass, one of them off, are told apart', () => {
  // Pin 17 is off while pin 3 is 0, and pin 18 shows pin 2.
  const map = mapOf('complex', { 18: driven([2]), 17: gated([3], [2]) })
  const told = story(run(map, ['0 10000000 N 0 NNNNNZHN N', '0 00000000 N 0 NNNNNZLN N', '0 11000000 N 0 NNNNNHHN N']))
  expect(told).toEqual([
    'V1 pin 17 expects Z, finds Z: passed',
    'V1 pin 18 expects H, finds 1: passed',
    'V2 pin 17 expects Z, finds Z: passed',
    'V2 pin 18 expects L, finds 0: passed',
    'V3 pin 17 expects H, finds 1: passed',
    'V3 pin 18 expects H, finds 1: passed',
  ])
})

describe('conditions that drive', () => {
  // 3-A, table of test conditions: 0 low, 1 high; C low-high-low and K high-low-high are back at their first level
  // when outputs are tested; D and U (later additions, from memory) drive low and high.
  test.each([
    { condition: '0', level: 0 },
    { condition: '1', level: 1 },
    { condition: 'C', level: 0 },
    { condition: 'K', level: 1 },
    { condition: 'D', level: 0 },
    { condition: 'U', level: 1 },
  ])('$condition leaves the pin at $level when outputs are tested', ({ condition, level }) => {
    // Pin 17 shows ¬level and pin 18 the level itself.
    expect(story(run(wires, [atPin2(condition, level ? 'LH' : 'HL')]))).toEqual([
      `V1 pin 17 expects ${level ? 'L' : 'H'}, finds ${1 - level}: passed`,
      `V1 pin 18 expects ${level ? 'H' : 'L'}, finds ${level}: passed`,
    ])
    expect(story(run(wires, [atPin2(condition, level ? 'HL' : 'LH')]))).toEqual([
      `V1 pin 17 expects ${level ? 'H' : 'L'}, finds ${1 - level}: failed`,
      `V1 pin 18 expects ${level ? 'L' : 'H'}, finds ${level}: failed`,
    ])
  })

  // 3-A, "Default test condition": the X field gives the level of X.
  test.each([
    { field: 'X0*', expected: 'HL' },
    { field: 'X1*', expected: 'LH' },
  ])('X drives the level of the field $field', ({ field, expected }) => {
    const { testVectors, verdict } = report(wires, field + numbered([atPin2('X', expected)]))
    expect(testVectors).toEqual({ count: 1, passed: 1, failed: 0, undetermined: 0, readings: [] })
    expect(verdict).toBe('pass')
  })

  test('X without an X field is an unknown level', () => {
    const result = run(wires, [atPin2('X', 'HN')])
    expect(story(result)).toEqual(['V1 pin 17 expects H, finds X: undetermined'])
    expect(lastCauses(result)).toEqual([{ kind: 'input', pin: 2 }])
    expect(vectorFindings(report(wires, numbered([atPin2('X', 'HN')])))).toContain('vector/no-default-level')
  })

  // 3-A, table: N for pins not tested, F applies a high impedance; neither drives, with or without an X field.
  test.each(['N', 'F'])('%s leaves the pin floating, also with an X field', (condition) => {
    const result = run(wires, [atPin2(condition, 'NH')])
    expect(story(result)).toEqual(['V1 pin 18 expects H, finds X: undetermined'])
    expect(lastCauses(result)).toEqual([{ kind: 'floating', pin: 2 }])
    expect(report(wires, 'X1*' + numbered([atPin2(condition, 'NH')])).testVectors).toEqual({
      count: 1,
      passed: 0,
      failed: 0,
      undetermined: 1,
      readings: [],
    })
  })

  // 3-A, table: 2 to 9 are super voltages of the device's own, no logic levels.
  test.each([...'23456789'])('super voltage %s is no logic level', (condition) => {
    const vectors = [atPin2('0', 'HL'), atPin2(condition, 'NH')]
    expect(story(run(wires, vectors)).at(-1)).toBe('V2 pin 18 expects H, finds X: undetermined')
    const { findings, testVectors } = report(wires, numbered(vectors))
    expect(testVectors).toMatchObject({ count: 2, passed: 1, failed: 0, undetermined: 1 })
    expect(findings.find(({ code }) => code === 'vector/super-voltage')).toMatchObject({
      severity: 'note',
      vector: 2,
      pin: 2,
    })
  })

  test('conditions at the supply pins change nothing', () => {
    // 3-A, table: N stands for power pins; pins 10 and 20 (GAL16V8 data sheet, diagrams) reach no term, whatever is
    // written.
    for (const ground of [...'01XFN'])
      for (const supply of [...'01XFN'])
        expect(story(run(wires, [`0 10000000 ${ground} 0 NNNNNNHN ${supply}`]))).toEqual([
          'V1 pin 18 expects H, finds 1: passed',
        ])
  })
})

describe('conditions that do not judge', () => {
  // 3-A: X, N and F at an output are not tested. Pin 18 shows 1 here.
  test.each(['X', 'N', 'F'])('%s at an output tests nothing', (condition) => {
    const { results } = run(wires, [atPin2('1', `N${condition}`)])
    expect(results).toEqual([{ number: 1, result: 'passed', checks: [] }])
  })
})

describe('Z', () => {
  /** Pin 18 = pin 2 while pin 3 is high (first row of the cell; GAL16V8 data sheet p. 6). */
  const gate = mapOf('complex', { 18: gated([3], [2]) })
  const vector = (inputs: string, expected: string): string => `0 ${inputs}000000 N 0 NNNNNN${expected}N N`

  test('holds at a disabled output and fails at an enabled one', () => {
    // 3-A, table: Z tests that an output is high-impedance. Pins 2, 3: 10 is off; 11 drives 1; 01 drives 0.
    expect(
      story(
        run(
          gate,
          ['10', '11', '01'].map((inputs) => vector(inputs, 'Z')),
        ),
      ),
    ).toEqual([
      'V1 pin 18 expects Z, finds Z: passed',
      'V2 pin 18 expects Z, finds 1: failed',
      'V3 pin 18 expects Z, finds 0: failed',
    ])
  })

  test('fails at an enabled output of unknown level', () => {
    // Pin 2 unknown: the output drives 0 or 1, in no case Z.
    expect(story(run(gate, [vector('X1', 'Z')]))).toEqual(['V1 pin 18 expects Z, finds X: failed'])
  })

  test('stays open where the enable is unknown', () => {
    const result = run(gate, [vector('1X', 'Z')])
    expect(story(result)).toEqual(['V1 pin 18 expects Z, finds X: undetermined'])
    expect(lastCauses(result)).toEqual([{ kind: 'input', pin: 3 }])
  })

  test('H and L fail at a disabled output', () => {
    expect(story(run(gate, [vector('10', 'H'), vector('10', 'L')]))).toEqual([
      'V1 pin 18 expects H, finds Z: failed',
      'V2 pin 18 expects L, finds Z: failed',
    ])
  })

  test('follows pin 11 for registered outputs', () => {
    // GAL16V8 data sheet p. 4: registered outputs are enabled by pin 11 low. V1 clocks pin 2 = 1 in, so Q is known.
    const map = mapOf('registered', { 19: register([2]) })
    const clocked = 'C 10000000 N 0 NNNNNNNH N'
    expect(story(run(map, [clocked, '0 10000000 N 1 NNNNNNNZ N', '0 10000000 N 0 NNNNNNNZ N']))).toEqual([
      'V1 pin 19 expects H, finds 1: passed',
      'V2 pin 19 expects Z, finds Z: passed',
      'V3 pin 19 expects Z, finds 1: failed',
    ])
    for (const [condition, kind] of [
      ['X', 'input'],
      ['N', 'floating'],
    ] as const) {
      const open = run(map, [clocked, `0 10000000 N ${condition} NNNNNNNZ N`])
      expect(story(open).at(-1)).toBe('V2 pin 19 expects Z, finds X: undetermined')
      expect(lastCauses(open)).toEqual([{ kind, pin: 11 }])
    }
  })
})

describe('an enabled output overrides an applied level', () => {
  /** Pin 18 = pin 2 while pin 3 is high; pin 17 = level at pin 18. */
  const map = mapOf('complex', { 18: gated([3], [2]), 17: driven([18]) })
  const vector = (inputs: string, at18: string, expected: string): string =>
    `0 ${inputs}000000 N 0 NNNNN${expected}${at18}N N`

  test('its feedback reads the driven level, and a note tells of it', () => {
    // 3-A, "Test conditions": the tester lets a bidirectional pin override what is applied. Pin 18 drives 1 against 0.
    const vectors = [vector('11', '0', 'H')]
    const result = run(map, vectors)
    expect(story(result)).toEqual(['V1 pin 17 expects H, finds 1: passed'])
    expect(result.overridden).toEqual([{ vector: 1, pin: 18 }])
    const { findings, verdict } = report(map, numbered(vectors))
    expect(findings.find(({ code }) => code === 'vector/overridden')).toMatchObject({
      severity: 'note',
      vector: 1,
      pin: 18,
    })
    expect(verdict).toBe('pass')
  })

  test('every place is counted, and equal levels are none', () => {
    // V1 drives 0 and applies 0; V2 drives 0 against 1; V3 drives 1 against 0.
    const result = run(map, [vector('01', '0', 'L'), vector('01', '1', 'L'), vector('11', '0', 'H')])
    expect(story(result).every((line) => line.endsWith('passed'))).toBe(true)
    expect(result.overridden).toEqual([
      { vector: 2, pin: 18 },
      { vector: 3, pin: 18 },
    ])
  })

  test('a disabled output lets the applied level through', () => {
    // Pin 3 low: pin 18 is an input, and pin 17 follows it although the cell would drive 0 (pin 2 low).
    const result = run(map, [vector('00', '1', 'H'), vector('00', '0', 'L')])
    expect(story(result)).toEqual(['V1 pin 17 expects H, finds 1: passed', 'V2 pin 17 expects L, finds 0: passed'])
    expect(result.overridden).toEqual([])
  })

  test('an unknown enable leaves what both sides agree on', () => {
    // Pin 3 unknown, pin 2 = 1: with 1 applied pin 18 is 1 either way, with 0 applied it is the output’s 1 or the 0.
    expect(story(run(map, [vector('1X', '1', 'H')]))).toEqual(['V1 pin 17 expects H, finds 1: passed'])
    const open = run(map, [vector('1X', '0', 'H')])
    expect(story(open)).toEqual(['V1 pin 17 expects H, finds X: undetermined'])
    expect(lastCauses(open)).toEqual([{ kind: 'input', pin: 3 }])
    expect(open.overridden).toEqual([])
  })

  test('what is driven must be known to be another level', () => {
    // Pin 2 unknown, pin 3 high: pin 18 drives, and nothing says whether 0 or 1.
    expect(run(map, [vector('X1', '0', 'N')]).overridden).toEqual([])
  })

  test('the level of X is overridden without a note', () => {
    // X is the idle condition of output pins; only levels 0 and 1 were meant.
    expect(vectorFindings(report(map, 'X0*' + numbered([vector('11', 'X', 'H')])))).toEqual([])
  })

  test('registered feedback does not come from the pin', () => {
    // GAL16V8 data sheet p. 4: the column of a registered cell carries ¬Q, also while the output is off. Pin 18 shows
    // the register of pin 19 (loaded with 1), whatever is applied to pin 19.
    const registered = mapOf('registered', { 19: register([2]), 18: driven([19]) })
    const result = run(registered, [
      'C 10000000 N 0 NNNNNNHH N',
      '0 00000000 N 1 NNNNNNH0 N',
      '0 00000000 N 1 NNNNNNHN N',
    ])
    expect(story(result).slice(2)).toEqual([
      'V2 pin 18 expects H, finds 1: passed',
      'V3 pin 18 expects H, finds 1: passed',
    ])
    expect(result.overridden).toEqual([])
  })
})

describe('reserved letters', () => {
  // 3-A, list of reserved conditions (D and U are left out: a later revision uses them).
  test.each([...'AEGIJMOQRSTVWY'])('%s makes a vector unreadable', (letter) => {
    const { testVectors, findings, verdict } = report(wires, numbered([atPin2('1', 'NH'), atPin2(letter, 'NH')]))
    expect(testVectors).toMatchObject({ count: 1, passed: 1, failed: 0, undetermined: 0 })
    expect(findings.find(({ code }) => code === 'vector/malformed')).toMatchObject({ severity: 'warning', vector: 2 })
    expect(verdict).toBe('caution')
  })
})
