/**
 * Numbers, defaults and places of vectors (3-A, "Test vectors", "Default test condition", "Pin sequence"; Example 5
 * for fields in any order). Vectors are grouped as pin 1, pins 2–9, 10, 11, pins 12–19, 20.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { readFuseFile, simulate, verify } from '../../src/index'
import { driven, fileOf, joined, mapOf, numbered, register } from './maps'
import { report, story, vectorFindings } from './outcomes'
import { granted } from '../granted'

/** Pin 19 takes pin 2 and pin 18 takes pin 19 at each rising edge of pin 1 (registered mode). */
const shift = mapOf('registered', { 19: register([2]), 18: register([19]) })
const wire = mapOf('complex', { 18: driven([2]) })

function field(number: number | string, conditions: string): string {
  return `V${number} ${joined(conditions)}*\r\n`
}

/** Clocks 1 in, then 0: after V1 pin 19 is 1, after V2 pin 19 is 0 and pin 18 has the 1. */
const FIRST = 'C 10000000 N 0 NNNNNNNH N'
const SECOND = 'C 00000000 N 0 NNNNNNHL N'

describe('order', () => {
  test('vectors are applied by number, not by place in the file', () => {
    // Run as they stand, V2 would come first and find the register of pin 19 unknown behind pin 18.
    const turned = fileOf(shift, field(2, SECOND) + field(1, FIRST))
    expect(story(granted(simulate(turned)))).toEqual([
      'V1 pin 19 expects H, finds 1: passed',
      'V2 pin 18 expects H, finds 1: passed',
      'V2 pin 19 expects L, finds 0: passed',
    ])
    expect(readFuseFile(turned).vectors.map(({ number }) => number)).toEqual([1, 2])
  })

  test('leading zeros of a number mean nothing', () => {
    const { testVectors } = report(shift, field('0002', SECOND) + field('01', FIRST))
    expect(testVectors).toEqual({ count: 2, passed: 2, failed: 0, undetermined: 0, readings: [] })
  })

  test('fields may stand before or after the fuse lists', () => {
    // 3-A, Example 5: position-independent fields.
    const tests = numbered([FIRST, SECOND])
    for (const testsLast of [false, true]) {
      const { testVectors, verdict } = verify(fileOf(shift, tests, { testsLast }))
      expect(testVectors).toEqual({ count: 2, passed: 2, failed: 0, undetermined: 0, readings: [] })
      expect(verdict).toBe('pass')
    }
  })

  test('a number given again replaces the earlier vector', () => {
    // 3-A: the last one is used. Pin 18 = pin 2, so the first statement is false and the second true.
    const wrong = field(1, '0 10000000 N 0 NNNNNNLN N')
    const right = field(1, '0 10000000 N 0 NNNNNNHN N')
    const mended = report(wire, wrong + right)
    expect(mended.testVectors).toEqual({ count: 1, passed: 1, failed: 0, undetermined: 0, readings: [] })
    expect(mended.verdict).toBe('pass')
    expect(mended.findings.find(({ code }) => code === 'vector/replaced')).toMatchObject({
      severity: 'note',
      vector: 1,
    })
    const spoilt = report(wire, right + wrong)
    expect(spoilt.testVectors).toEqual({ count: 1, passed: 0, failed: 1, undetermined: 0, readings: [] })
    expect(spoilt.verdict).toBe('fail')
  })
})

describe('missing numbers', () => {
  // Pin 19 takes pin 2. V1 clocks a 0 in; V2 raises pin 2 with the clock low; then pin 1 stays low. Only a default
  // vector of ones (X1) gives a rising edge between V2 and V4, with pin 2 steady at 1: pin 19 turns to 1.
  const loaded = 'C 00000000 N 0 NNNNNNNL N'
  const raised = '0 10000000 N 0 NNNNNNNL N'
  const after = (expected: string): string => `0 10000000 N 0 NNNNNNN${expected} N`
  const counts = { count: 3, passed: 3, failed: 0, undetermined: 0, readings: [] }

  test('take the default vector, which is applied and not skipped', () => {
    expect(
      report(shift, 'X1*' + field(1, loaded) + field(2, raised) + field(4, after('H')), 'QV4*').testVectors,
    ).toEqual(counts)
    // X0 drives pin 1 low and pin 2 low: no edge, the 0 stays.
    expect(
      report(shift, 'X0*' + field(1, loaded) + field(2, raised) + field(4, after('L')), 'QV4*').testVectors,
    ).toEqual(counts)
    // Without a gap there is no default vector, whatever X says.
    expect(
      report(shift, 'X1*' + field(1, loaded) + field(2, raised) + field(3, after('L')), 'QV3*').testVectors,
    ).toEqual(counts)
  })

  test('are the same as vectors of X written out, and a longer gap changes no more', () => {
    const written = field(1, loaded) + field(2, raised) + field(3, 'X'.repeat(20)) + field(4, after('H'))
    expect(report(shift, 'X1*' + written, 'QV4*').testVectors).toEqual({ ...counts, count: 4, passed: 4 })
    expect(
      report(shift, 'X1*' + field(1, loaded) + field(2, raised) + field(9, after('H')), 'QV9*').testVectors,
    ).toEqual(counts)
  })

  test('take it only where they are missing', () => {
    // V4 and V5 follow each other: no default vector between them, whose edge might take the rising pin 2 or not.
    const lowered = '0 00000000 N 0 NNNNNNNH N'
    const tests = field(1, loaded) + field(2, raised) + field(4, lowered) + field(5, lowered)
    expect(report(shift, 'X1*' + tests, 'QV5*').testVectors).toEqual({ ...counts, count: 4, passed: 4 })
  })

  test('take the default vector before the first vector too', () => {
    // X0 puts pin 1 low as vector 1, so pin 1 high in V2 is a certain edge that clocks the 0 of pin 2 in (low in the
    // default vector already). As V1 it would rise from nothing, and no edge would be certain.
    const rising = '1 00000000 N 0 NNNNNNNL N'
    expect(report(shift, 'X0*' + field(2, rising), 'QV2*').testVectors).toMatchObject({ count: 1, passed: 1 })
    expect(report(shift, 'X0*' + field(1, rising), 'QV1*').testVectors).toMatchObject({
      count: 1,
      passed: 0,
      undetermined: 1,
    })
  })

  test('count for nothing, also behind the last vector', () => {
    // 3-A: QV is the highest number, not how many there are.
    const { testVectors, verdict } = report(wire, 'X0*' + field(2, '0 10000000 N 0 NNNNNNHN N'), 'QV7*')
    expect(testVectors).toEqual({ count: 1, passed: 1, failed: 0, undetermined: 0, readings: [] })
    expect(verdict).toBe('pass')
  })
})

describe('numbers outside the range', () => {
  const high = '0 10000000 N 0 NNNNNNHN N'

  test('a vector past QV is run, with a note', () => {
    const result = report(wire, field(1, high) + field(5, '0 00000000 N 0 NNNNNNHN N'), 'QV4*')
    // Pin 18 = pin 2 = 0, so the vector past the limit fails.
    expect(result.testVectors).toMatchObject({ count: 2, passed: 1, failed: 1 })
    // Vectors 2 to 4 are missing, so the default vector is applied between, and no X field gives its level.
    expect(vectorFindings(result)).toEqual([
      'vector/failed V5 pin 18',
      'vector/no-default-level',
      'vector/past-limit V5',
    ])
  })

  test('V0 is not defined: it is not run, with a warning', () => {
    // 3-A fills vectors 1 to QV; there is no vector 0.
    const result = report(wire, field(0, '0 00000000 N 0 NNNNNNHN N') + field(1, high))
    expect(result.testVectors).toEqual({ count: 1, passed: 1, failed: 0, undetermined: 0, readings: [] })
    expect(vectorFindings(result)).toEqual(['vector/malformed V0'])
    expect(result.verdict).toBe('caution')
  })
})

describe('wrong lengths', () => {
  // 3-A: exactly as many conditions as QP states.
  test.each([
    { conditions: 'C00000000N0NNNNNNNL', why: '19 conditions' },
    { conditions: 'C00000000N0NNNNNNNLNN', why: '21 conditions' },
    { conditions: '', why: 'no conditions' },
  ])('a vector of $why is not run, and what it did to registers is unknown', ({ conditions }) => {
    const vectors =
      field(1, FIRST) +
      `V2 ${conditions}*\r\n` +
      field(3, '0 00000000 N 0 NNNNNNNH N') +
      field(4, 'C 00000000 N 0 NNNNNNNL N')
    const result = report(shift, vectors)
    // V3 would hold if nothing had happened in V2, but V2 was meant to do something; V4 loads a known 0 again.
    expect(result.testVectors).toMatchObject({ count: 3, passed: 2, failed: 0, undetermined: 1 })
    expect(vectorFindings(result)).toEqual(['vector/malformed V2', 'vector/undetermined V3 pin 19'])
    expect(result.verdict).toBe('caution')
    expect(granted(simulate(fileOf(shift, vectors))).results[1]?.checks[0]).toMatchObject({
      found: 'X',
      causes: [{ kind: 'vector', pin: 19 }],
    })
  })

  test('vectors for a package of 24 pins are not run on 20 pins', () => {
    const wide = '\x02*QP24*V1 000000000000NNNNNNNNNNNH*\x030000'
    const { testVectors, findings, verdict } = verify(fileOf(wire, ''), { vectors: wide })
    expect(testVectors).toEqual({ count: 0, passed: 0, failed: 0, undetermined: 0, readings: [] })
    expect(findings.find(({ code }) => code === 'vector/pin-count')).toMatchObject({ severity: 'warning' })
    expect(verdict).toBe('caution')
  })
})

describe('pin sequence', () => {
  const example = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url), 'latin1')
  /** The standard’s complete file with other test vectors; 0000 declares its transmission checksum as not computed. */
  const withTests = (tests: string): string => example.replace(/V0001[^]*(?=C124E)/, tests).replace('8A76', '0000')
  // 3-A, "Pin sequence": printed with the vector below, which drives 111000 on pins 1 to 6 and tests HLHH on 14 to 17.
  const PRINTED = 'P 1 2 3 4 5 6 14 15 16 17 7 8 9 10 11 12 13 18 19 20*'
  const VECTOR = 'V0001 111000HLHHNNNNNNNNNN*'

  test('the standard’s printed example holds on its example part', () => {
    // Rows of the map: pin 17 = 1∧2∧3; pin 16 = ¬(1∧2∧3∧4∧¬5); pin 15 = ¬(1∧2∧3∧¬4∧¬5); pin 14 = ¬(1∧2∧3∧4∧5).
    // 111000: pin 15 is low, the others high; the same as V0005 of the file.
    const file = withTests(PRINTED + VECTOR)
    expect(story(granted(simulate(file, { device: '14L4' })))).toEqual([
      'V1 pin 14 expects H, finds 1: passed',
      'V1 pin 15 expects L, finds 0: passed',
      'V1 pin 16 expects H, finds 1: passed',
      'V1 pin 17 expects H, finds 1: passed',
    ])
    expect(verify(file, { device: '14L4' }).verdict).toBe('pass')
  })

  test('without it the i-th condition goes to pin i', () => {
    // Conditions 7 to 10 are then H, L, H, H at pins 7, 8 and 9, which are inputs, and at pin 10, which is ground.
    const result = verify(withTests(VECTOR), { device: '14L4' })
    expect(result.testVectors).toMatchObject({ count: 1, passed: 0, failed: 0, undetermined: 1 })
    expect(vectorFindings(result)).toContain('vector/level-at-input V1 pin 7')
  })

  test.each([
    ['19 pins', 'P 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19*'],
    ['21 pins', 'P 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21*'],
    ['a pin twice', 'P 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 19*'],
    ['pin 0', 'P 0 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20*'],
    ['pin 21', 'P 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 21*'],
    ['a word', 'P 1 straight*'],
  ])('one with %s cannot be used, so no vector is run', (_, order) => {
    const result = verify(withTests(order + VECTOR), { device: '14L4' })
    expect(result.testVectors).toEqual({ count: 0, passed: 0, failed: 0, undetermined: 0, readings: [] })
    expect(vectorFindings(result)).toEqual(['vector/pin-order'])
    expect(result.verdict).toBe('caution')
  })
})
