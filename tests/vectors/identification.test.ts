/**
 * Test vectors as evidence for a part. The standard’s complete file (3-A, as reproduced in programmer manuals) has 448
 * fuses: a 14L4 or a 14H4, which differ in the output level alone. Its outputs: pin 17 = 1∧2∧3; pin 16 = ¬(1∧2∧3∧4∧¬5);
 * pin 15 = ¬(1∧2∧3∧¬4∧¬5); pin 14 = ¬(1∧2∧3∧4∧5) on a 14L4, the complements on a 14H4.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { verify } from '../../src/index'
import { vectorFindings } from './outcomes'

const example = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url), 'latin1')
const NONE = { count: 0, passed: 0, failed: 0, undetermined: 0, readings: [] }
const CANDIDATES = ['14H4', '14L4']

/** The example with other test vectors; 0000 declares the transmission checksum as not computed. */
function withVectors(vectors: string): string {
  return example.replace(/V0001[^]*(?=C124E)/, vectors).replace('8A76', '0000')
}

describe('without --device', () => {
  test('the example’s vectors leave one part: evidence, not proof', () => {
    // V0001 expects HHHL on pins 14 to 17 from 000000: right on a 14L4, LLLH on a 14H4; likewise in all eight.
    const { candidates, device, testVectors, verdict, findings } = verify(example)
    expect(candidates).toEqual(CANDIDATES)
    expect(device).toEqual({ part: '14L4', mode: null, basis: 'vectors' })
    expect(testVectors).toEqual({ count: 8, passed: 8, failed: 0, undetermined: 0, readings: [] })
    expect(findings.filter(({ severity }) => severity !== 'note').map(({ code }) => code)).toEqual([
      'device/by-vectors',
    ])
    expect(verdict).toBe('caution')
  })

  test('the opposite levels leave the other part', () => {
    // 000000 gives LLLH and 111000 gives LHLL on a 14H4 (complements of HHHL and HLHH).
    const { candidates, device, testVectors, verdict } = verify(
      withVectors('V1 000000XXXNXXXLLLHXXN*V2 111000XXXNXXXLHLLXXN*'),
    )
    expect(candidates).toEqual(CANDIDATES)
    expect(device).toEqual({ part: '14H4', mode: null, basis: 'vectors' })
    expect(testVectors).toEqual({ count: 2, passed: 2, failed: 0, undetermined: 0, readings: [] })
    expect(verdict).toBe('caution')
  })

  test('one vector is enough', () => {
    const { device, testVectors } = verify(withVectors('V1 000000XXXNXXXLLLHXXN*'))
    expect(device).toEqual({ part: '14H4', mode: null, basis: 'vectors' })
    expect(testVectors).toMatchObject({ count: 1, passed: 1 })
  })

  test('open vectors count with the part that they leave', () => {
    // Without its X field and with pin 1 at X, V0005 hangs on that level at pins 15 and 17: HLHH holds with X as 1, and
    // with X as 0 pin 15 would be high and pin 17 low. The seven others keep the 14H4 out.
    const text = example.replace('X0*', '').replace('V0005 111000', 'V0005 X11000').replace('8A76', '0000')
    const { device, testVectors, verdict } = verify(text)
    expect(device).toEqual({ part: '14L4', mode: null, basis: 'vectors' })
    expect(testVectors).toEqual({
      count: 8,
      passed: 7,
      failed: 0,
      undetermined: 1,
      readings: [
        { x: 0, registers: 'unknown', passed: 7, failed: 1, undetermined: 0 },
        { x: 1, registers: 'unknown', passed: 8, failed: 0, undetermined: 0 },
      ],
    })
    expect(verdict).toBe('caution')
  })

  test.each([
    ['no vectors', ''],
    ['vectors that judge nothing', 'V1 000000XXXNXXXXXXXXXN*'],
    // V1 fails on a 14H4, V2 (HHHL turned to LLLH) on a 14L4.
    ['vectors that contradict both', 'V1 000000XXXNXXXHHHLXXN*V2 010000XXXNXXXLLLHXXN*'],
    // Pin 5 is an input of both parts.
    ['vectors that stay open on both', 'V1 0000H0XXXNXXXXXXXXXN*'],
  ])('%s leave the part open: none is chosen and nothing has failed', (_, vectors) => {
    const { candidates, device, testVectors, verdict, findings } = verify(withVectors(vectors))
    expect(candidates).toEqual(CANDIDATES)
    expect(device).toBeNull()
    expect(testVectors).toEqual(NONE)
    expect(findings.filter(({ severity }) => severity !== 'note').map(({ code }) => code)).toEqual([
      'device/ambiguous',
    ])
    expect(verdict).toBe('caution')
  })

  test('what the vectors say on each is told, and the pins that both have', () => {
    // The standard’s part has 20 pins (QP20); the file leaves that out here.
    const text = withVectors('V1 000000XXXNXXXHHHLXXN*V2 010000XXXNXXXLLLHXXN*').replace('QP20*', '')
    expect(text).not.toContain('QP')
    const { findings, pinCount } = verify(text)
    expect(pinCount).toBe(20)
    expect(findings.find(({ code }) => code === 'device/ambiguous')!.message).toContain(
      'as 14H4, 1 of 2 test vectors would fail; as 14L4, 1 of 2 test vectors would fail',
    )
  })

  test('one wrong vector on an uncertain part is no failure', () => {
    // V0005 wants pin 15 high: now neither part holds all eight.
    const { device, testVectors, verdict } = verify(example.replace('HLHHXXN', 'HHHHXXN').replace('8A76', '0000'))
    expect(device).toBeNull()
    expect(testVectors).toEqual(NONE)
    expect(verdict).toBe('caution')
  })
})

describe('with --device', () => {
  test('the choice is the basis, also where vectors would decide', () => {
    const { candidates, device, verdict } = verify(example, { device: '14L4' })
    expect(candidates).toEqual(CANDIDATES)
    expect(device).toEqual({ part: '14L4', mode: null, basis: 'choice' })
    expect(verdict).toBe('pass')
  })

  test('one changed expectation fails and is named by vector and pin', () => {
    // V0005 111000: pin 15 = ¬(1∧1∧1∧1∧1) = 0, so H is wrong. L to H lowers the sum of characters by 4: 8A76 → 8A72.
    const { checksums, testVectors, verdict, findings } = verify(
      example.replace('HLHHXXN', 'HHHHXXN').replace('8A76', '8A72'),
      { device: '14L4' },
    )
    expect(checksums.transmission.status).toBe('match')
    expect(testVectors).toEqual({ count: 8, passed: 7, failed: 1, undetermined: 0, readings: [] })
    // V0001 stands on line 12, after three lines of title, two of values and defaults, and six of lists; V0005 on 16.
    expect(findings.filter(({ severity }) => severity !== 'note')).toMatchObject([
      { code: 'vector/failed', severity: 'error', vector: 5, pin: 15, position: { line: 16, column: 1 } },
    ])
    expect(verdict).toBe('fail')
  })

  test('every changed pin is named', () => {
    const text = example.replace('V0001 000000XXXNXXXHHHL', 'V0001 000000XXXNXXXLHLH').replace('8A76', '0000')
    const result = verify(text, { device: '14L4' })
    expect(vectorFindings(result)).toEqual([
      'vector/failed V1 pin 14',
      'vector/failed V1 pin 16',
      'vector/failed V1 pin 17',
    ])
    expect(result.testVectors).toMatchObject({ passed: 7, failed: 1 })
  })

  test('the wrong part fails all vectors', () => {
    const { device, testVectors, verdict } = verify(example, { device: '14H4' })
    expect(device).toEqual({ part: '14H4', mode: null, basis: 'choice' })
    expect(testVectors).toEqual({ count: 8, passed: 0, failed: 8, undetermined: 0, readings: [] })
    expect(verdict).toBe('fail')
  })

  test('a part of another size runs no vector', () => {
    const { candidates, device, testVectors, verdict } = verify(example, { device: '16V8' })
    expect(candidates).toEqual(CANDIDATES)
    expect(device).toBeNull()
    expect(testVectors).toEqual(NONE)
    expect(verdict).toBe('fail')
  })
})

test('a sum that was compared is said to be, also where it is wrong; one that was not computed is not', () => {
  const words = 'the bytes with the transmission checksum'
  const looked = (text: string): boolean[] => {
    const { compared, notExamined } = verify(text).scope
    return [compared.includes(words), notExamined.includes(words)]
  }
  expect(looked(example)).toEqual([true, false])
  expect(looked(example.replace('8A76', '8A77'))).toEqual([true, false])
  expect(looked(example.replace('8A76', '0000'))).toEqual([false, true])
})

test('a size that no part has is told with the pins where the file states them', () => {
  const messageOf = (text: string): string =>
    verify(text).findings.find(({ code }) => code === 'device/unknown')!.message
  expect(messageOf('\x02*QP24*QF7*F0*L0 1000000*C0001*\x030000')).toContain('7 fuses and 24 pins')
  expect(messageOf('\x02*QF7*F0*L0 1000000*C0001*\x030000')).not.toContain('pins')
})
