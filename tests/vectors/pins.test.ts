/**
 * Expectations at pins where no output can give them: dedicated inputs, supply, cells that are switched off. A level
 * expected at an input contradicts no fuse, so it stays open with a warning; an output cell that is off is found at
 * high impedance, and that contradicts. Vectors are grouped as pin 1, pins 2–9, 10, 11, pins 12–19, 20.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { verify } from '../../src/index'
import { driven, gated, mapOf, numbered, output, register } from './maps'
import { report, run, story, vectorFindings } from './outcomes'

describe('dedicated inputs', () => {
  const wire = mapOf('complex', { 18: driven([2]) })

  test.each(['H', 'L'] as const)('%s stays open and is warned of', (expected) => {
    // GAL16V8 data sheet p. 6–7: pins 2 to 9 have no output.
    const vectors = [`0 1000000${expected} N 0 NNNNNNHN N`]
    expect(run(wire, vectors).results[0]).toEqual({
      number: 1,
      result: 'undetermined',
      checks: [
        { pin: 9, expected, found: 'Z', result: 'undetermined', causes: [], inputOnly: true },
        { pin: 18, expected: 'H', found: '1', result: 'passed', causes: [], inputOnly: false },
      ],
    })
    const { findings, testVectors, verdict } = report(wire, numbered(vectors))
    expect(testVectors).toEqual({ count: 1, passed: 0, failed: 0, undetermined: 1, readings: [] })
    expect(findings.find(({ code }) => code === 'vector/level-at-input')).toMatchObject({
      severity: 'warning',
      vector: 1,
      pin: 9,
    })
    expect(verdict).toBe('caution')
  })

  test('are also the clock and enable pins of registered mode', () => {
    // GAL16V8 data sheet p. 4: pin 1 is the clock and pin 11 the enable of the registered cells.
    const single = mapOf('registered', { 19: register([2]) })
    expect(story(run(single, ['H 00000000 N 0 NNNNNNNN N', '0 00000000 N L NNNNNNNN N']))).toEqual([
      'V1 pin 1 expects H, finds Z: undetermined',
      'V2 pin 11 expects L, finds Z: undetermined',
    ])
  })

  test('are all pins but 14 to 17 of a 14L4', () => {
    // 3-A, complete example: its outputs are pins 14 to 17. The last vector expects a level at pin 18 besides.
    const example = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url), 'latin1')
    const text = example.replace('V0008 111110XXXNXXXLHHHXXN', 'V0008 111110XXXNXXXLHHHHXN').replace('8A76', '0000')
    const result = verify(text, { device: '14L4' })
    expect(result.testVectors).toMatchObject({ count: 8, passed: 7, failed: 0, undetermined: 1 })
    expect(vectorFindings(result)).toContain('vector/level-at-input V8 pin 18')
    expect(result.verdict).toBe('caution')
  })

  test('are at high impedance where nothing is applied: Z holds', () => {
    // 3-A, table: Z tests an input or output for high impedance.
    const result = run(wire, ['0 1000000Z N 0 NNNNNNHN N'])
    expect(story(result)).toEqual(['V1 pin 9 expects Z, finds Z: passed', 'V1 pin 18 expects H, finds 1: passed'])
    expect(vectorFindings(report(wire, numbered(['0 1000000Z N 0 NNNNNNHN N'])))).toEqual([])
  })

  test('do not hide a failure in the same vector', () => {
    expect(report(wire, numbered(['0 1000000H N 0 NNNNNNLN N'])).testVectors).toMatchObject({
      failed: 1,
      undetermined: 0,
    })
  })
})

describe('supply pins', () => {
  test.each([
    { conditions: '0 10000000 H 0 NNNNNNHN N', pin: 10 },
    { conditions: '0 10000000 N 0 NNNNNNHN H', pin: 20 },
  ])('a level expected at pin $pin stays open and is warned of', ({ conditions, pin }) => {
    const wire = mapOf('complex', { 18: driven([2]) })
    const result = report(wire, numbered([conditions]))
    expect(result.testVectors).toMatchObject({ count: 1, failed: 0, undetermined: 1 })
    expect(vectorFindings(result)).toContain(`vector/level-at-input V1 pin ${pin}`)
  })
})

describe('cells that are off', () => {
  test.each(['H', 'L'] as const)('simple mode with AC1 = 1: %s finds Z and fails', (expected) => {
    // GAL16V8 data sheet p. 8: such a cell is an input only; its rows (here: pin 2) go nowhere.
    const map = mapOf('simple', { 19: output([2]), 18: { ac1: 1, xor: 1, rows: [[2]] } })
    const vectors = [`0 10000000 N 0 NNNNNN${expected}H N`]
    expect(run(map, vectors).results[0]).toEqual({
      number: 1,
      result: 'failed',
      checks: [
        { pin: 18, expected, found: 'Z', result: 'failed', causes: [], inputOnly: false },
        { pin: 19, expected: 'H', found: '1', result: 'passed', causes: [], inputOnly: false },
      ],
    })
    const result = report(map, numbered(vectors))
    expect(vectorFindings(result)).toEqual(['vector/failed V1 pin 18'])
    expect(result.verdict).toBe('fail')
  })

  test('Z holds there', () => {
    const map = mapOf('simple', { 19: output([2]), 18: { ac1: 1, xor: 1, rows: [[2]] } })
    expect(report(map, numbered(['0 10000000 N 0 NNNNNNZH N'])).testVectors).toMatchObject({ passed: 1, failed: 0 })
  })

  test('an enable row that is never true: found Z, failed', () => {
    // GAL16V8 data sheet p. 6: the first row enables. A row with both columns of a pair connected is constant 0
    // (PALCE20V8 data sheet p. 2), also where its pins are unknown.
    const map = mapOf('complex', { 18: gated([3, -3], [2]) })
    expect(story(run(map, ['0 1X000000 N 0 NNNNNNHN N']))).toEqual(['V1 pin 18 expects H, finds Z: failed'])
  })

  test('a row that connects nothing is constant 1, whatever is unknown', () => {
    const map = mapOf('complex', { 18: driven([]), 17: { ac1: 1, xor: 0, rows: [[], []] } })
    // XOR 1: pin 18 = 1; XOR 0: pin 17 = 0.
    expect(story(run(map, ['X XXXXXXXX N X XXXXXLHX N']))).toEqual([
      'V1 pin 17 expects L, finds 0: passed',
      'V1 pin 18 expects H, finds 1: passed',
    ])
  })
})
