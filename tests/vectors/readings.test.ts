/**
 * The strict reading and the plain readings beside it. Strict: X without an X field (3-A, "Default test condition") is
 * unknown, registers start unknown, changes come in any order. Plain readings fix these points: X as 0 or 1, registers
 * as after power-up (GAL16V8 data sheet p. 20: Q low, pins high), data before clocks. What fails under a plain reading
 * is no contradiction between vectors and fuses. Vectors are grouped as pin 1, pins 2–9, 10, 11, pins 12–19, 20.
 */
import { describe, expect, test } from 'vitest'
import type { PlainReading } from '../../src/index'
import { driven, mapOf, numbered, register } from './maps'
import { report, vectorFindings } from './outcomes'

const wire = mapOf('complex', { 18: driven([2]) })
const single = mapOf('registered', { 19: register([2]) })
/** Pin 19 turns at every edge; nothing resets it. */
const toggle = mapOf('registered', { 19: register([-19]) })

function plain(
  x: 0 | 1 | null,
  registers: PlainReading['registers'],
  [passed, failed, undetermined]: readonly [number, number, number],
): PlainReading {
  return { x, registers, passed, failed, undetermined }
}

describe('readings', () => {
  test('are left out where nothing stays open', () => {
    expect(report(wire, numbered(['0 10000000 N 0 XXXXXXHX N'])).testVectors.readings).toEqual([])
  })

  test('without registers fix X only', () => {
    // Pin 18 = pin 2 = X: L holds with X as 0 and fails with X as 1.
    const result = report(wire, numbered(['0 X0000000 N 0 NNNNNNLN N']))
    expect(result.testVectors).toEqual({
      count: 1,
      passed: 0,
      failed: 0,
      undetermined: 1,
      readings: [plain(0, 'unknown', [1, 0, 0]), plain(1, 'unknown', [0, 1, 0])],
    })
    expect(vectorFindings(result)).toEqual(['vector/holds-with V1 pin 18', 'vector/no-default-level'])
    expect(result.verdict).toBe('pass')
  })

  test('with an X field fix the registers only', () => {
    // Pin 19 shows high after power-up and turns at each edge: L, then H. Strictly nothing is ever known of it.
    const result = report(toggle, 'X0*' + numbered(['C XXXXXXXX N 0 XXXXXXXL N', 'C XXXXXXXX N 0 XXXXXXXH N']))
    expect(result.testVectors).toEqual({
      count: 2,
      passed: 0,
      failed: 0,
      undetermined: 2,
      readings: [plain(null, 'power-up', [2, 0, 0])],
    })
    expect(vectorFindings(result)).toEqual(['vector/holds-with V1 pin 19'])
    expect(result.findings.find(({ code }) => code === 'vector/holds-with')?.severity).toBe('note')
    expect(result.verdict).toBe('pass')
  })

  test('take an order of changes also after vectors that leave the same state', () => {
    // V1 clocks pin 2 = 1 in. V2 changes pin 2 to 0 and raises the clock: L only with data first.
    const result = report(single, numbered(['C 10000000 N 0 NNNNNNNH N', '1 00000000 N 0 NNNNNNNL N']))
    const first = { order: 'data-then-clock' } as const
    expect(result.testVectors.readings).toEqual([
      plain(null, 'power-up', [1, 0, 1]),
      { ...plain(null, 'unknown', [2, 0, 0]), ...first },
      { ...plain(null, 'power-up', [2, 0, 0]), ...first },
    ])
  })

  test('without X field and reset combine both: five beside the strict one', () => {
    // V1 reads pin 19 before any clock: high after power-up only. V2 clocks pin 2 = X in and wants H: only X as 1.
    const result = report(single, numbered(['0 X0000000 N 0 NNNNNNNH N', 'C X0000000 N 0 NNNNNNNH N']))
    expect(result.testVectors).toEqual({
      count: 2,
      passed: 0,
      failed: 0,
      undetermined: 2,
      readings: [
        plain(0, 'unknown', [0, 1, 1]),
        plain(1, 'unknown', [1, 0, 1]),
        plain(null, 'power-up', [1, 0, 1]),
        plain(0, 'power-up', [1, 1, 0]),
        plain(1, 'power-up', [2, 0, 0]),
      ],
    })
    expect(vectorFindings(result)).toEqual(['vector/holds-with V1 pin 19', 'vector/no-default-level'])
    const holding = result.findings.find(({ code }) => code === 'vector/holds-with')
    expect(holding?.message).toMatch(/X taken as 1.*power-up/)
    expect(holding?.data).toMatchObject({ reading: ['x-1', 'power-up'] })
    expect(result.verdict).toBe('pass')
  })

  test('with an open order read data before clocks too, and say so', () => {
    // V2: pin 2 rises with the clock. Strict: Q unknown or 1. Data first: 1. After power-up the pin is high, but 0 is
    // clocked in if the clock comes first, so that reading alone settles nothing. V1 judges nothing and passes.
    const vectors = (expected: string): string =>
      numbered(['0 00000000 N 0 NNNNNNNN N', `1 10000000 N 0 NNNNNNN${expected} N`])
    const result = report(single, vectors('H'))
    expect(result.testVectors).toEqual({
      count: 2,
      passed: 1,
      failed: 0,
      undetermined: 1,
      readings: [
        plain(null, 'power-up', [1, 0, 1]),
        { ...plain(null, 'unknown', [2, 0, 0]), order: 'data-then-clock' },
        { ...plain(null, 'power-up', [2, 0, 0]), order: 'data-then-clock' },
      ],
    })
    expect(vectorFindings(result)).toEqual(['vector/holds-with V2 pin 19'])
    // The first of them that holds is told, and what it fixes alone.
    expect(result.findings.find(({ code }) => code === 'vector/holds-with')?.data).toMatchObject({
      reading: ['data-then-clock'],
    })
    expect(result.verdict).toBe('pass')
    const other = report(single, vectors('L'))
    expect(other.testVectors).toMatchObject({ passed: 1, failed: 0, undetermined: 1 })
    expect(other.testVectors.readings.at(-1)).toEqual({
      ...plain(null, 'power-up', [1, 1, 0]),
      order: 'data-then-clock',
    })
    expect(other.verdict).toBe('caution')
  })
})

describe('a failure under a plain reading', () => {
  test('is never failed, but no plain reading is left that holds: a warning', () => {
    // Pin 19 would have to be low after power-up, and a 16V8 shows high.
    const result = report(single, numbered(['0 00000000 N 0 NNNNNNNL N']))
    expect(result.testVectors).toEqual({
      count: 1,
      passed: 0,
      failed: 0,
      undetermined: 1,
      readings: [plain(null, 'power-up', [0, 1, 0])],
    })
    expect(vectorFindings(result)).toEqual(['vector/undetermined V1 pin 19'])
    expect(result.findings.find(({ code }) => code === 'vector/undetermined')?.severity).toBe('warning')
    expect(result.verdict).toBe('caution')
  })

  test('in another reading does not disturb the one that holds', () => {
    // H at power-up holds, and X as 0 or 1 makes no difference to it.
    const result = report(single, numbered(['0 X0000000 N 0 NNNNNNNH N']))
    expect(result.testVectors.readings).toEqual([
      plain(0, 'unknown', [0, 0, 1]),
      plain(1, 'unknown', [0, 0, 1]),
      plain(null, 'power-up', [1, 0, 0]),
      plain(0, 'power-up', [1, 0, 0]),
      plain(1, 'power-up', [1, 0, 0]),
    ])
    expect(result.findings.find(({ code }) => code === 'vector/holds-with')?.message).toMatch(
      /hold with registers at their power-up/,
    )
  })

  test('no single reading may hold for all vectors: a warning', () => {
    // Pin 18 = pin 2 = X, and V1 wants L, V2 wants H: each holds with one level of X, both with none.
    const result = report(wire, numbered(['0 X0000000 N 0 NNNNNNLN N', '0 X0000000 N 0 NNNNNNHN N']))
    expect(result.testVectors).toEqual({
      count: 2,
      passed: 0,
      failed: 0,
      undetermined: 2,
      readings: [plain(0, 'unknown', [1, 1, 0]), plain(1, 'unknown', [1, 1, 0])],
    })
    expect(vectorFindings(result)).toEqual(['vector/undetermined V1 pin 18', 'vector/no-default-level'])
    expect(result.verdict).toBe('caution')
  })

  test('beside a strict failure no reading is said to hold', () => {
    // V1 fails for certain (pin 18 = 1); V2 stays open and holds with X as 0.
    const result = report(wire, numbered(['0 10000000 N 0 NNNNNNLN N', '0 X0000000 N 0 NNNNNNLN N']))
    expect(result.testVectors).toEqual({
      count: 2,
      passed: 0,
      failed: 1,
      undetermined: 1,
      readings: [plain(0, 'unknown', [1, 1, 0]), plain(1, 'unknown', [0, 2, 0])],
    })
    expect(vectorFindings(result)).toEqual([
      'vector/failed V1 pin 18',
      'vector/undetermined V2 pin 18',
      'vector/no-default-level',
    ])
    expect(result.verdict).toBe('fail')
  })
})

describe('what is counted', () => {
  test('one finding tells of all open vectors and names the first', () => {
    const result = report(
      toggle,
      numbered(['C 00000000 N 0 NNNNNNNN N', 'C 00000000 N 0 NNNNNNNH N', 'C 00000000 N 0 NNNNNNNL N']),
    )
    // After power-up high: V1 low, V2 high, V3 low.
    expect(result.testVectors).toEqual({
      count: 3,
      passed: 1,
      failed: 0,
      undetermined: 2,
      readings: [plain(null, 'power-up', [3, 0, 0])],
    })
    expect(vectorFindings(result)).toEqual(['vector/holds-with V2 pin 19'])
  })

  test('a vector with one failed and one open pin has failed', () => {
    const two = mapOf('complex', { 18: driven([2]), 17: driven([3]) })
    // Pin 18 = X stays open, pin 17 = 1 is not L.
    expect(report(two, numbered(['0 X1000000 N 0 NNNNNLHN N'])).testVectors).toMatchObject({
      count: 1,
      passed: 0,
      failed: 1,
      undetermined: 0,
      readings: [],
    })
  })
})
