/** Limits: what a hostile number may cost, the options that bound reading, and wrong use that names its argument. */
import { afterEach, describe, expect, test, vi } from 'vitest'
import { createFuseMap, differingFuses, fuseAt, fuseDigits, fuseMapFrom, readFuseFile, rewrite, setFuse, verify, writeFuseFile } from '../../src/index'
import { readExplained, type ExplainedFile } from './read-explained'
import type { FuseFile, ReadOptions } from '../../src/index'
import { codesOf } from './expect-findings'
import { framed, latin1 } from './reference'

afterEach(() => {
  vi.unstubAllGlobals()
})

/** Most bytes that one array takes while `work` runs. */
function largestArray(work: () => void): number {
  let largest = 0
  for (const name of ['Uint8Array', 'Uint16Array', 'Uint32Array', 'Array'] as const) {
    const original = globalThis[name] as unknown as new (...given: unknown[]) => { readonly length: number }
    const watched = new Proxy(original, {
      construct(target, given: unknown[], to) {
        const [first] = given
        if (typeof first === 'number') largest = Math.max(largest, first)
        return Reflect.construct(target, given, to) as object
      },
    })
    vi.stubGlobal(name, watched)
  }
  work()
  vi.unstubAllGlobals()
  return largest
}

describe('hostile numbers', () => {
  test('the watch sees what reading allocates', () => {
    expect(largestArray(() => readExplained(framed('*QF8000000*F1*')))).toBe(1_000_000)
  })

  test.each([
    ['QF999999999999*F0*', 'file/too-many-fuses'],
    ['QF99999999999999999999999999999999*F0*L0 1*', 'file/too-many-fuses'],
    ['QF33554433*F0*', 'file/too-many-fuses'],
    ['F0*L0 1*QF999999999999*', 'file/too-many-fuses'],
    ['QF8*F0*L99999999999999999999 1*', 'file/list-past-end'],
    ['QF8*F0*K99999999999999999999 F*', 'file/list-past-end'],
    ['QP999999999999*QF8*F0*V1 01*', 'vector/malformed'],
    ['QV999999999999*QP2*QF8*F0*V999999999 01*', 'checksum/fuse-absent'],
  ])('%s allocates next to nothing and gives %s', (fields, code) => {
    const bytes = framed(`*${fields}`)
    let file: ExplainedFile | undefined
    expect(largestArray(() => (file = readExplained(bytes)))).toBeLessThan(5000)
    expect(codesOf(file!)).toContain(code)
    if (code === 'file/too-many-fuses') expect(file).toMatchObject({ fuses: null, fuseCount: file!.statedFuseCount })
  })

  test.each(['L99999999999 1*', 'L33554432 1*', 'L999999999999999999999999999999 1*', 'K99999999999 FF*'])(
    '%s without a fuse count stays within the memory of the limit',
    (field) => {
      const bytes = framed(`*F0*${field}`)
      let file: ExplainedFile | undefined
      expect(largestArray(() => (file = readExplained(bytes, { maxFuses: 80_000 })))).toBeLessThanOrEqual(10_000)
      expect(codesOf(file!)[0]).toBe('file/too-many-fuses')
      expect(file!.fuses).toBeNull()
    },
  )

  test('too many fuses are one error, with the limit', () => {
    const file = readExplained(framed('T*QP4*G0*F0*L99999999 1*L99999999 1*K99999999 F*'))
    const errors = file.findings.filter(({ severity }) => severity === 'error')
    expect(errors.map(({ code, position }) => [code, position?.offset])).toEqual([['file/too-many-fuses', 13]])
    expect(errors[0]!.message).toMatch(/100000000 .*33554432/)
    expect(verify(file.bytes)).toMatchObject({ verdict: 'fail', fuseCount: null, candidates: [] })
  })
})

describe('options', () => {
  test('maxFuses is the most that is taken', () => {
    expect(readExplained(framed('*QF8*F1*'), { maxFuses: 8 }).fuses?.length).toBe(8)
    expect(readExplained(framed('*L0 11111111*'), { maxFuses: 8 }).fuses?.length).toBe(8)
    for (const fields of ['*QF9*F1*', '*L0 111111111*', '*L8 1*', '*F1*K8 F*']) {
      const file = readExplained(framed(fields), { maxFuses: 8 })
      expect([fields, file.fuses, codesOf(file)[0]]).toEqual([fields, null, 'file/too-many-fuses'])
    }
  })

  test('maxVectors is the most that is kept; the rest is one warning', () => {
    const fields = 'T*QP2*QF8*QV9*G0*F0*C0000*X0*V1 00*V2 01*V3 10*V4 11*V2 11*'
    const file = readExplained(framed(fields), { maxVectors: 2 })
    expect(file.vectors.map(({ number, conditions }) => [number, conditions])).toEqual([
      [1, '00'],
      [2, '11'],
    ])
    expect(codesOf(file)).toEqual(['vector/too-many', 'vector/replaced'])
    expect(file.findings[0]).toMatchObject({
      severity: 'warning',
      position: { offset: 1 + fields.indexOf('V3') },
      message: expect.stringContaining('2'),
    })
    expect(codesOf(readExplained(framed(fields), { maxVectors: 4 }))).toEqual(['vector/replaced'])
  })

  test('maxFindings bounds the list and not the counts', () => {
    const fields = `*QF8*F0*${'L9 1*'.repeat(50)}${'L0 *'.repeat(70)}`
    const all = readFuseFile(framed(fields), { maxFindings: 1000 })
    for (const maxFindings of [1, 2, 7, 49, 50]) {
      const file = readFuseFile(framed(fields), { maxFindings })
      const listed = file.findings.slice(0, -1)
      expect(file.findingCounts).toEqual(all.findingCounts)
      for (const severity of ['error', 'warning', 'note'])
        expect(listed.filter((finding) => finding.severity === severity).length).toBeLessThanOrEqual(maxFindings)
      expect(listed.filter(({ severity }) => severity === 'error').length).toBe(maxFindings)
      const { error, warning, note } = all.findingCounts
      expect(file.findings.at(-1)).toMatchObject({ code: 'file/more-findings', severity: 'note' })
      expect(file.findings.at(-1)!.message).toContain(`${error + warning + note - listed.length} more findings`)
      expect(file.findings.at(-1)!.message).toContain(`${error} errors, ${warning} warnings and ${note} notes`)
    }
    expect(all.findingCounts.error).toBe(50)
    expect(all.findings.map(({ code }) => code)).not.toContain('file/more-findings')
  })

  test('the verdict does not depend on what is listed', () => {
    const bytes = framed(`*QF2194*F0*${'L0 *'.repeat(300)}C1234*`)
    for (const maxFindings of [1, 5, 1000]) expect(verify(bytes, { maxFindings }).verdict).toBe('fail')
  })

  test('at the highest limit of fuses, lists in any order set the fuses that they name', () => {
    const most = 2 ** 26
    const { fuses, listed } = readExplained(`*QF${most}*F0*L${most - 1} 1*L${most - 5} 101*L3 1*`, {
      maxFuses: most,
    })
    expect(listed.bounds).toEqual([3, 4, most - 5, most - 2, most - 1, most])
    expect([2, 3, 4].map((fuse) => fuseAt(fuses!, fuse))).toEqual([0, 1, 0])
    expect(fuseDigits(fuses!, most - 6)).toBe('010101')
  })

  test.each(['maxFuses', 'maxVectors', 'maxFindings'] as const)('%s out of range is named', (name) => {
    for (const value of [0, -1, 1.5, NaN, Infinity, 2 ** 26 + 1, 2 ** 40, '8', null]) {
      const options = { [name]: value } as unknown as ReadOptions
      expect(() => readExplained('', options)).toThrow(typeof value === 'number' ? RangeError : TypeError)
      expect(() => readExplained('', options)).toThrow(`options.${name}`)
      expect(() => verify('', options)).toThrow(`options.${name}`)
    }
    expect(() => readExplained('', { [name]: 1 })).not.toThrow()
  })
})

describe('wrong use', () => {
  const file = readExplained(framed('T*QP2*QF8*G0*F0*C0000*'))
  const map = fuseMapFrom('10110001')

  test.each([42, null, undefined, {}, [1, 2], new ArrayBuffer(4), true])('%j is no input', (input) => {
    for (const read of [readExplained, verify] as ((input: unknown) => unknown)[]) {
      expect(() => read(input)).toThrow(TypeError)
      expect(() => read(input)).toThrow(/^input /)
    }
  })

  test.each<[string, () => unknown, new () => Error, RegExp]>([
    ['a map of −1 fuses', () => createFuseMap(-1), RangeError, /length/],
    ['a map of 1.5 fuses', () => createFuseMap(1.5), RangeError, /length/],
    ['a map of NaN fuses', () => createFuseMap(NaN), RangeError, /length/],
    ['a map of other digits', () => fuseMapFrom('0120'), TypeError, /digits/],
    ['fuse −1', () => fuseAt(map, -1), RangeError, /index/],
    ['fuse 8 of 8', () => fuseAt(map, 8), RangeError, /index/],
    ['fuse NaN', () => fuseAt(map, NaN), RangeError, /index/],
    ['setting fuse 8 of 8', () => setFuse(map, 8, 1), RangeError, /index/],
    ['digits before the map', () => fuseDigits(map, -1), RangeError, /first/],
    ['digits past the map', () => fuseDigits(map, 4, 5), RangeError, /count/],
    ['fewer digits than none', () => fuseDigits(map, 4, -1), RangeError, /count/],
    ['differences of unequal maps', () => differingFuses(map, createFuseMap(7)), RangeError, /a has 8 fuses and b 7/],
    ['writing nothing', () => writeFuseFile(null as unknown as FuseFile), TypeError, /file/],
    ['writing a text', () => writeFuseFile('QF8*' as unknown as FuseFile), TypeError, /file/],
    [
      'writing with other line ends',
      () => writeFuseFile(file, { lineEnds: 'cr' as 'lf' }),
      RangeError,
      /options\.lineEnds/,
    ],
    [
      'writing rows of no length',
      () => writeFuseFile({ fuses: map }, { rowLength: 0 }),
      RangeError,
      /options\.rowLength/,
    ],
    [
      'writing rows of half a fuse',
      () => writeFuseFile({ fuses: map }, { rowLength: 0.5 }),
      RangeError,
      /options\.rowLength/,
    ],
    ['rewriting with another security', () => rewrite(file, { security: 2 as 1 }), RangeError, /options\.security/],
    [
      'rewriting with other line ends',
      () => rewrite(file, { lineEnds: '\n' as 'lf' }),
      RangeError,
      /options\.lineEnds/,
    ],
  ])('%s', (_, misuse, kind, words) => {
    expect(misuse).toThrow(kind)
    expect(misuse).toThrow(words)
  })

  test('bytes of any view are input', () => {
    expect(readExplained(latin1('\x02*QF8*F1*\x03')).fuses?.length).toBe(8)
    expect(readExplained(new Uint8Array(latin1('xx\x02*QF8*F1*\x03').buffer, 2)).fuses?.length).toBe(8)
  })
})
