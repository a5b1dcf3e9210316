/**
 * The ways to give vectors: strings, a set, another file; to simulate() and to verify(). Vectors are grouped as pin 1,
 * pins 2–9, 10, 11, pins 12–19, 20.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { findDevice, readFuseFile, simulate, verify, writeFuseFile, type SimulateOptions, type VectorSet } from '../../src/index'
import { driven, fileOf, joined, mapOf, numbered, register } from './maps'
import { letters, story, vectorFindings } from './outcomes'
import { granted } from '../granted'

const single = mapOf('registered', { 19: register([2]) })
const wire = mapOf('complex', { 18: driven([2]) })
const example = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url))
const ascii = (text: string): Uint8Array => Uint8Array.from(text, (character) => character.charCodeAt(0))

/** Pin 18 = pin 2 = 1. */
const HIGH = '0 10000000 N 0 NNNNNNHN N'
const LOW = '0 10000000 N 0 NNNNNNLN N'

describe('simulate', () => {
  test('takes a file as text, as bytes, or read', () => {
    const text = fileOf(wire, numbered([HIGH, LOW]))
    for (const file of [text, ascii(text), readFuseFile(text)]) expect(letters(granted(simulate(file)))).toBe('pf')
  })

  test('takes vectors as strings, numbered from 1, blanks allowed', () => {
    // The file’s own vector would fail; it is not run.
    const file = fileOf(wire, numbered([LOW]))
    expect(story(granted(simulate(file, { vectors: [HIGH, joined(HIGH)] })))).toEqual([
      'V1 pin 18 expects H, finds 1: passed',
      'V2 pin 18 expects H, finds 1: passed',
    ])
    expect(granted(simulate(file, { vectors: [] })).results).toEqual([])
  })

  test('takes the vectors of another file', () => {
    // A file of vectors alone: no QF needed (3-A, value fields).
    const other = readFuseFile(
      `\x02vectors*QP20*QV3*X1*\r\n${numbered(['C XXXXXXXX N 0 XXXXXXXH N', 'C 0XXXXXXX N 0 XXXXXXXL N'])}\x030000`,
    )
    expect(letters(granted(simulate(fileOf(single, ''), { vectors: other })))).toBe('pp')
  })

  test('takes a set with its own pin order and default level', () => {
    // Conditions go to pins 2, 1, 3 …: the first is pin 2, the second the clock. X1 makes every X a 1, but pin 11 is 0.
    const set: VectorSet = {
      vectors: [
        { number: 1, conditions: joined('1C XXXXXXXN 0 NNNNNNNH N'), offset: null },
        { number: 2, conditions: joined('XC XXXXXXXN 0 NNNNNNNH N'), offset: null },
        { number: 3, conditions: joined('0C XXXXXXXN 0 NNNNNNNL N'), offset: null },
      ],
      pinOrder: [2, 1, ...Array.from({ length: 18 }, (_, i) => i + 3)],
      defaultCondition: 1,
    }
    expect(letters(granted(simulate(fileOf(single, ''), { vectors: set })))).toBe('ppp')
    expect(letters(granted(simulate(fileOf(single, ''), { vectors: { ...set, defaultCondition: 0 } })))).toBe('pfp')
  })

  test('takes the readings of the open points', () => {
    const open = ['0 X0000000 N 0 NNNNNNNH N', 'C X0000000 N 0 NNNNNNNL N']
    // GAL16V8 data sheet p. 20: pins high after power-up. X as 0 is clocked in by V2.
    const cases: [SimulateOptions, string][] = [
      [{}, 'uu'],
      [{ x: null, registers: 'unknown', order: 'open' }, 'uu'],
      [{ registers: 'power-up' }, 'pu'],
      [{ x: 0 }, 'up'],
      [{ x: 1, registers: 'power-up' }, 'pf'],
    ]
    for (const [options, expected] of cases)
      expect(letters(granted(simulate(fileOf(single, ''), { vectors: open, ...options })))).toBe(expected)
  })

  test('lets an X field go before the level asked for', () => {
    // 3-A: the X field states the level; the option is for files without one.
    const file = fileOf(wire, 'X1*' + numbered(['0 X0000000 N 0 NNNNNNHN N']))
    expect(letters(granted(simulate(file, { x: 0 })))).toBe('p')
  })

  test('takes a part by name or as data', () => {
    for (const device of ['14L4', 'pal14l4', findDevice('14L4')!])
      expect(letters(granted(simulate(example, { device })))).toBe('pppppppp')
    expect(letters(granted(simulate(example, { device: '14H4' })))).toBe('ffffffff')
  })

  test('needs a mode', () => {
    // SYN, AC0 = 0,0 is none (GAL16V8 data sheet p. 3–4).
    const given = simulate(fileOf(single.slice(0, 2192) + '00', ''), { vectors: [HIGH] })
    expect(given).toMatchObject({ refused: true, reason: 'no-mode', candidates: ['16V8'] })
  })

  test('throws where it cannot be meant, and names the argument', () => {
    const file = fileOf(wire, '')
    const setOf = (vectors: readonly (object | null)[], pinOrder: unknown = null): never => {
      const full = vectors.map((vector, i) => vector && { number: i + 1, conditions: null, offset: null, ...vector })
      return { vectors: full, pinOrder, defaultCondition: null } as never
    }
    const misuse: [SimulateOptions, typeof TypeError | typeof RangeError, RegExp][] = [
      [{ vectors: [joined(HIGH).replace('H', 'A')] }, RangeError, /^options\.vectors\[0\] holds what is no test condition$/],
      [{ vectors: [HIGH, joined(HIGH).replace('H', 'h')] }, RangeError, /^options\.vectors\[1\] holds/],
      [{ vectors: [5 as never] }, TypeError, /^options\.vectors\[0\] must be a string of test conditions$/],
      [{ vectors: setOf([null]) }, TypeError, /^options\.vectors\.vectors\[0\] must be an object$/],
      [{ vectors: setOf([{ number: 0 }]) }, RangeError, /^options\.vectors\.vectors\[0\]\.number must be a whole/],
      [{ vectors: setOf([{ number: '1' }]) }, TypeError, /^options\.vectors\.vectors\[0\]\.number must be a whole/],
      [{ vectors: setOf([{}, { conditions: 'a' }]) }, RangeError, /^options\.vectors\.vectors\[1\]\.conditions holds/],
      [{ vectors: setOf([{ conditions: 5 }]) }, TypeError, /^options\.vectors\.vectors\[0\]\.conditions must be/],
      [{ vectors: setOf([{}], [1, 1]) }, RangeError, /^options\.vectors\.pinOrder names a pin twice$/],
      [{ vectors: setOf([{}], [1, 3]) }, RangeError, /^options\.vectors\.pinOrder\[1\] must be a whole number from 1 to 2/],
      [{ vectors: setOf([{}], 'none') }, TypeError, /^options\.vectors\.pinOrder must be a list of pins or null$/],
      [{ vectors: [joined(HIGH).slice(1)] }, RangeError, /options\.vectors/],
      [{ vectors: [''] }, RangeError, /options\.vectors/],
      [
        {
          vectors: {
            vectors: [{ number: 1, conditions: 'H', offset: null }],
            pinOrder: null,
            defaultCondition: null,
          },
        },
        RangeError,
        /options\.vectors/,
      ],
      [{ device: '99X99' }, RangeError, /options\.device/],
      [{ x: 2 as never }, RangeError, /options\.x/],
      [{ registers: 'reset' as never }, RangeError, /options\.registers/],
      [{ order: 'clock-then-data' as never }, RangeError, /options\.order/],
    ]
    for (const [options, kind, words] of misuse) {
      expect(() => simulate(file, options), words.source).toThrow(kind)
      expect(() => simulate(file, options)).toThrow(words)
    }
    for (const defaultCondition of [NaN, 2, '1'] as never[]) {
      const set: VectorSet = { vectors: [], pinOrder: null, defaultCondition }
      expect(() => simulate(file, { vectors: set })).toThrow(/^options\.vectors\.defaultCondition must be 0, 1 or null/)
      expect(() => verify(file, { vectors: set })).toThrow(RangeError)
      expect(() => simulate({ ...readFuseFile(file), defaultCondition })).toThrow(/^file\.defaultCondition/)
      expect(() => writeFuseFile({ defaultCondition })).toThrow(/^file\.defaultCondition/)
    }
  })

  test.each<[string, Uint8Array | string, SimulateOptions, object]>([
    ['a text without fuses', 'no fuses here', {}, { reason: 'no-fuses', candidates: [] }],
    ['448 fuses fit two parts', example, {}, { reason: 'several-parts', candidates: ['14H4', '14L4'] }],
    ['and a 16V8 not at all', example, { device: '16V8' }, { reason: 'size-differs', candidates: ['14H4', '14L4'] }],
    ['nine fuses fit none', fileOf('010101010', ''), {}, { reason: 'no-part', candidates: [] }],
    ['a logic array without an order', fileOf('0'.repeat(1928), ''), {}, { reason: 'not-decoded' }],
  ])('refuses what its content is: %s', (_, file, options, told) => {
    expect(simulate(file, options)).toMatchObject({ refused: true, ...told })
  })
})

describe('verify with vectors of another file', () => {
  const own = fileOf(wire, numbered([LOW]))
  const other = `\x02vectors*QP20*QV2*\r\n${numbered([HIGH, HIGH])}\x030000`

  test('runs those and not the file’s own', () => {
    expect(verify(own).testVectors).toMatchObject({ count: 1, failed: 1 })
    for (const vectors of [other, ascii(other), readFuseFile(other)]) {
      const { testVectors, verdict } = verify(own, { vectors })
      expect(testVectors).toEqual({ count: 2, passed: 2, failed: 0, undetermined: 0, readings: [] })
      expect(verdict).toBe('pass')
    }
  })

  test('names vector and pin, but no place: the place would be in the other file', () => {
    const result = verify(own, { vectors: fileOf(wire, numbered([HIGH, LOW])) })
    expect(vectorFindings(result)).toEqual(['vector/failed V2 pin 18'])
    expect(result.findings.find(({ code }) => code === 'vector/failed')).not.toHaveProperty('position')
    expect(result.verdict).toBe('fail')
  })

  test('uses the other file’s X field and pin sequence', () => {
    const order = 'P 2 1 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20*'
    const set = `\x02vectors*QP20*QV1*X1*${order}\r\n${numbered(['X0 0000000 N 0 NNNNNNHN N'])}\x030000`
    // X1 at the first condition, which is pin 2.
    expect(verify(own, { vectors: set }).testVectors).toMatchObject({ count: 1, passed: 1 })
  })

  test('decides between candidates as the own ones do', () => {
    const bare = new TextDecoder()
      .decode(example)
      .replace(/V0001[^]*(?=C124E)/, '')
      .replace('8A76', '0000')
    expect(verify(bare).device).toBeNull()
    expect(verify(bare, { vectors: example }).device).toEqual({ part: '14L4', mode: null, basis: 'vectors' })
  })

  test('warns where the other file gives none', () => {
    for (const vectors of [fileOf(wire, ''), '<html></html>']) {
      const { testVectors, verdict } = verify(own, { vectors })
      expect(testVectors).toMatchObject({ count: 0, failed: 0 })
      expect(verdict).toBe('caution')
    }
  })

  test('warns where a receiver of seven bits reads other vectors', () => {
    // The asterisk before V2 has its eighth bit set, so that V2 is a part of V1 here.
    const at = other.lastIndexOf('*', other.lastIndexOf('V'))
    const vectors = ascii(other).map((byte, i) => (i === at ? byte | 0x80 : byte))
    const { verdict, findings } = verify(own, { vectors })
    expect(verdict).toBe('caution')
    expect(findings.filter(({ message }) => message.includes('seven bits')).map(({ code }) => code)).toEqual([
      'vector/source-unusable',
    ])
  })

  test('warns of what is wrong with a vector of the other file, and runs the others', () => {
    // The second one has nineteen conditions for twenty pins.
    const vectors = `\x02vectors*QP20*QV2*\r\n${numbered([HIGH, HIGH.slice(1)])}\x030000`
    const malformed = readFuseFile(vectors).findings.filter(({ code }) => code === 'vector/malformed')
    expect(malformed).toHaveLength(1)
    const { testVectors, verdict, findings } = verify(own, { vectors })
    expect(testVectors).toMatchObject({ count: 1, passed: 1 })
    expect(verdict).toBe('caution')
    // A vector that could not be read has no conditions, and so no length that differs.
    expect(verify(own, { vectors: readFuseFile(vectors) }).testVectors).toEqual(testVectors)
    const { code, data } = malformed[0]!
    expect(findings.find((finding) => finding.code === 'vector/source-unusable')!.data).toEqual({
      reason: 'found',
      finding: { code, data },
    })
  })

  test('says where a pin stands in the vector, where its place is not its number', () => {
    const vectorsOf = (pinOrder: VectorSet['pinOrder'], conditions: string): VectorSet => {
      const vectors = [{ number: 1, conditions: joined(conditions), offset: null }]
      return { vectors, pinOrder, defaultCondition: null }
    }
    const dataOf = (vectors: VectorSet) =>
      verify(own, { vectors }).findings.find(({ code }) => code === 'vector/failed')?.data
    const byPin = dataOf(vectorsOf(null, LOW))
    expect(byPin).toMatchObject({ number: 1, pin: 18, counted: 'by-pin' })
    expect(byPin).not.toHaveProperty('position')
    // The same with pins 17 and 18 exchanged: pin 18 has the seventeenth place.
    const order = [...Array.from({ length: 16 }, (_, i) => i + 1), 18, 17, 19, 20]
    expect(dataOf(vectorsOf(order, '0 10000000 N 0 NNNNNLNN N'))).toMatchObject({
      pin: 18,
      counted: 'by-position',
      position: 17,
    })
  })

  test('refuses vectors of different lengths, and a pin order of another one', () => {
    const setOf = (pinOrder: VectorSet['pinOrder'], ...lengths: readonly number[]): VectorSet => ({
      vectors: lengths.map((length, i) => ({ number: i + 1, conditions: '0'.repeat(length), offset: null })),
      ...{ pinOrder, defaultCondition: null },
    })
    const order = (length: number): number[] => Array.from({ length }, (_, i) => i + 1)
    for (const vectors of [setOf(null, 20, 20), setOf(order(20), 20)])
      expect(verify(own, { vectors }).testVectors.count).toBe(vectors.vectors.length)
    for (const vectors of [setOf(null, 20, 24), setOf(order(24), 20)])
      expect(() => verify(own, { vectors })).toThrow(/^options\.vectors: .* different lengths/)
  })

  test('a file of vectors alone has no logic to run them on', () => {
    const { device, testVectors, findings } = verify(other)
    expect(device).toBeNull()
    expect(testVectors).toEqual({ count: 0, passed: 0, failed: 0, undetermined: 0, readings: [] })
    expect(findings.map(({ code }) => code)).toContain('device/no-fuses')
  })
})
