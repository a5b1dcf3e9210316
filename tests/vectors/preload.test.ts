/**
 * Register preload (3-A, "Register preload": output registers by P, buried registers by B), on a 16V8. Its registers
 * are preloaded from the output pins (PALCE20V8 data sheet, 16491 rev. E, p. 7), so a P vector gives pin levels.
 */
import { describe, expect, test } from 'vitest'
import { simulate } from '../../src/index'
import { driven, fileOf, mapOf, numbered, register, type CellPlan, type Row } from './maps'
import { lastCauses, letters, report, run, story, vectorFindings } from './outcomes'
import { granted } from '../granted'

// The three vectors printed in 3-A for a 16R4, whose registered pins are 14 to 17.
const PRELOAD = 'PXXXXXXXXN1XX1101XXN'
const READ_BACK = '0XXXXXXXXN0XXHHLHXXN'
const NEXT_STATE = 'CXXXXXXXXN0XXHLHLXXN'

/**
 * A 16V8 set up as a 16R4 (GAL16V8 data sheet p. 3–4): SYN, AC0 = 0,1; AC1 = 11000011 from pin 19 down to 12. The
 * printed vectors ask for 1101 → 1010 on pins 14 to 17; this next state does it, with levels as the pins show them:
 * 14 ← 17, 15 ← 16, 16 ← 15, 17 ← ¬14, that is 1, 0, 1, ¬1.
 */
function registers16R4(xor: 0 | 1): string {
  // D = OR xor XOR and pin = ¬Q: with XOR 1 the pin takes the OR of its rows, with XOR 0 its complement.
  const cell = (next: number): CellPlan => ({ ac1: 0, xor, rows: [[xor ? next : -next]] satisfies Row[] })
  return mapOf('registered', { 14: cell(17), 15: cell(16), 16: cell(15), 17: cell(-14) })
}

describe('P, the standard’s printed example', () => {
  test.each([0, 1] as const)('holds with XOR %s', (xor) => {
    // Nothing to remark either: the preload is published, and no pin that the logic reads stands at X.
    const result = report(registers16R4(xor), numbered([PRELOAD, READ_BACK, NEXT_STATE]))
    expect(result.testVectors).toEqual({ count: 3, passed: 3, failed: 0, undetermined: 0, readings: [] })
    expect(vectorFindings(result)).toEqual([])
    expect(result.verdict).toBe('pass')
  })

  test('the levels loaded are those that the pins show afterwards', () => {
    expect(story(run(registers16R4(0), [PRELOAD, READ_BACK, NEXT_STATE]))).toEqual([
      'V2 pin 14 expects H, finds 1: passed',
      'V2 pin 15 expects H, finds 1: passed',
      'V2 pin 16 expects L, finds 0: passed',
      'V2 pin 17 expects H, finds 1: passed',
      'V3 pin 14 expects H, finds 1: passed',
      'V3 pin 15 expects L, finds 0: passed',
      'V3 pin 16 expects H, finds 1: passed',
      'V3 pin 17 expects L, finds 0: passed',
    ])
  })

  test('other levels contradict the read-back', () => {
    // 1111 instead of 1101: pin 16 shows 1 in V2; in V3 pin 15 ← 16 = 1 and the others as before.
    const other = PRELOAD.replace('1101', '1111')
    const result = report(registers16R4(0), numbered([other, READ_BACK, NEXT_STATE]))
    expect(vectorFindings(result).filter((finding) => finding.startsWith('vector/failed'))).toEqual([
      'vector/failed V2 pin 16',
      'vector/failed V3 pin 15',
    ])
    expect(result.verdict).toBe('fail')
  })

  test('a register whose pin is not given a level is not loaded', () => {
    // Only pins 14 and 15 are: after the clock 17 ← ¬14 = 0 is known, 16 ← 15 = 1 too, 14 and 15 take what is unknown.
    const result = run(registers16R4(0), ['PXXXXXXXXN1XX11XXXXN', '0XXXXXXXXN0XXHHLXXXN', 'CXXXXXXXXN0XXHLHLXXN'])
    expect(story(result)).toEqual([
      'V2 pin 14 expects H, finds 1: passed',
      'V2 pin 15 expects H, finds 1: passed',
      'V2 pin 16 expects L, finds X: undetermined',
      'V3 pin 14 expects H, finds X: undetermined',
      'V3 pin 15 expects L, finds X: undetermined',
      'V3 pin 16 expects H, finds 1: passed',
      'V3 pin 17 expects L, finds 0: passed',
    ])
  })
})

/** Pin 19 takes pin 2. V1 clocks a 1 in, which a preload that nobody knows may change. */
const single = mapOf('registered', { 19: register([2]) })
const LOADED = 'C 10000000 N 0 NNNNNNNH N'
const STILL = '0 10000000 N 0 NNNNNNNH N'

describe('preloads that are not published', () => {
  test.each([
    // 3-A: P stands at the clock pin of the bank; pin 2 of a 16V8 clocks nothing.
    ['P at a pin that is no clock', '0 P0000000 N 1 NNNNNNN0 N'],
    // 3-A, printed: registers 1 to 6 = 110100 of page 0. Which register has which number is the part’s own.
    ['B, printed with six registers', 'B0110100XXXXXXXXXXXX'],
    ['B, printed with registers 1 to 18', 'B0110100101010101010'],
    ['B, printed with registers 19 to 30', 'B111010010001XXXXXXX'],
  ])('%s leaves registers unknown', (_, preload) => {
    const vectors = [LOADED, preload, STILL]
    const result = run(single, vectors)
    expect(letters(result)).toBe('ppu')
    expect(result.unknownPreloads).toEqual([2])
    expect(lastCauses(result)).toEqual([{ kind: 'preload', pin: 19 }])
    const { findings, testVectors, verdict } = report(single, numbered(vectors))
    expect(findings.find(({ code }) => code === 'vector/preload')).toMatchObject({ severity: 'note', vector: 2 })
    expect(testVectors).toMatchObject({ count: 3, passed: 2, failed: 0, undetermined: 1 })
    expect(verdict).toBe('caution')
    // A clock makes the register known again.
    expect(letters(run(single, [...vectors, LOADED]))).toBe('ppup')
  })

  test('P where no cell is registered', () => {
    const wire = mapOf('complex', { 18: driven([2]) })
    const { findings, testVectors, verdict } = report(
      wire,
      numbered(['P 00000000 N 0 NNNNNN1N N', '0 10000000 N 0 NNNNNNHN N']),
    )
    expect(findings.find(({ code }) => code === 'vector/preload')).toMatchObject({ severity: 'note', vector: 1 })
    expect(testVectors).toEqual({ count: 2, passed: 2, failed: 0, undetermined: 0, readings: [] })
    expect(verdict).toBe('pass')
  })

  test('the two pages of the printed example are two vectors', () => {
    // 3-A prints V05 and V06; what lies before them are default vectors, which are not counted.
    const tests = 'V05 B0110100101010101010*V06 B111010010001XXXXXXX*'
    expect(report(single, tests).testVectors).toEqual({
      count: 2,
      passed: 2,
      failed: 0,
      undetermined: 0,
      readings: [],
    })
    expect(granted(simulate(fileOf(single, tests))).unknownPreloads).toEqual([5, 6])
  })

  test('H and L in a B vector test registers that nobody can number, so they stay open', () => {
    // 3-A: H and L may verify buried registers 1 and 2 at positions 3 and 4; pins 3 and 4 are not meant.
    const { testVectors, verdict } = report(single, numbered([LOADED, 'B0HLXXXXXXXXXXXXXXXX']))
    expect(testVectors).toMatchObject({ count: 2, passed: 1, failed: 0, undetermined: 1 })
    expect(verdict).toBe('caution')
  })
})
