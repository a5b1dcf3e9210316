/** Cases that the code once got wrong, kept as they were found. */
import { describe, expect, test } from 'vitest'
import { createFuseMap, fieldAt, fuseDigits, fuseMapFrom, readFuseFile, rewrite, verify, writeFuseFile, type FuseFileContent } from '../../src/index'
import { sound, SOUND } from './expect-findings'
import { framed, latin1, textFrom, transmissionSum } from './reference'

const digitsOf = (fields: string): string => fuseDigits(readFuseFile(framed(fields)).fuses!)

describe('lists far past the fuse count set no fuse (fuse-lists)', () => {
  test.each(['L4294967296 1*', 'L4294967299 111*', 'K4294967296 F*', 'L1000000000000 1*'])('%s', (list) => {
    expect(digitsOf(`*QF8*F0*L0 00000000*${list}`)).toBe('00000000')
  })
})

test('a K field of many blanks is read to its end (growth)', () => {
  // The fault took a time as the square: of so many blanks many minutes, where one pass takes some thousandths.
  const blanks = 1_000_000
  const file = readFuseFile(framed(`*QF8*F0*K0${' '.repeat(blanks)}x*`, '0000'))
  expect(fieldAt(file, 3)).toMatchObject({ identifier: 'K' })
})

describe('rewriting never throws for content (rewrite)', () => {
  test.each([
    ['a control character in user data', SOUND.replace('V1 01', 'UAab\x01c*V1 01')],
    ['a title that becomes a field without its control characters', sound('T*', 'QF8\x01*')],
  ])('%s', (_, fields) => {
    const old = readFuseFile(framed(fields))
    expect(readFuseFile(rewrite(old).bytes!).fuses).toEqual(old.fuses)
  })

  test('lists after the sum are refused however few findings are listed', () => {
    expect(rewrite(readFuseFile(framed('*QP4*QP5*QF8*F0*L0 1*C0001*L1 1*'), { maxFindings: 1 })).bytes).toBeNull()
  })

  test('vectors are not carried over to other pins: without a usable pin sequence they cannot be run', () => {
    const old = readFuseFile(framed(SOUND.replace('V1 01', 'P 4 3 2 2*V1 01')))
    expect(old.pinOrder).toEqual([])
    const file = readFuseFile(rewrite(old).bytes!)
    expect(file.vectors.length === 0 || file.pinOrder !== null).toBe(true)
  })

  test('a vector past QV is of the form too', () => {
    const file = readFuseFile(rewrite(readFuseFile(framed(SOUND.replace('V1 01HL*', 'V1 01HL*V2 01HL*')))).bytes!)
    expect(file.findings).toEqual([])
    expect(file.vectors).toHaveLength(2)
  })
})

describe('a lone CR inside does not hide changed line ends (transmission-causes)', () => {
  const text = (end: string): string => `a\rb*${end}QF8*${end}F1*${end}C00FF*${end}`
  test.each([
    ['\r\n', '\n', 'line-ends-lf-to-crlf'],
    ['\n', '\r\n', 'line-ends-crlf-to-lf'],
  ])('made with %j, stored with %j', (made, stored, code) => {
    expect(verify(framed(text(stored), transmissionSum(framed(text(made))))).checksums.transmission.explanation).toBe(
      code,
    )
  })
})

test('two causes of a wrong pair of sums are both named (sum-pair)', () => {
  // The default weighs 65520, sixteen short of 65536; one digit of C weighs sixteen as well.
  const fields = (ground: 0 | 1): string => `*QF2064*F${ground}*L0 0000*L8 11111111*C00EF*`
  const { findings } = verify(framed(fields(0), transmissionSum(framed(fields(1)))))
  const said = findings
    .filter(({ code }) => code === 'checksum/sum-digit' || code === 'checksum/one-fuse-digit')
    .map(({ message }) => message)
    .join()
  expect(said === '' || (said.includes('default F1') && said.includes('00FF'))).toBe(true)
})

test('fields of a file with parity have their letters (fields)', () => {
  const file = readFuseFile(framed(SOUND).map((byte) => byte | 0x80))
  expect(fieldAt(file, 1)).toMatchObject({ identifier: 'Q', text: 'QP4' })
})

test('a map past 32 bits of length is refused (fuse-map)', () => {
  expect(() => createFuseMap(2 ** 32 + 8)).toThrow(RangeError)
})

describe('writing (write-fuse-file)', () => {
  const fuses = fuseMapFrom('1111')
  test.each<[string, unknown]>([
    ['electricalData', { fuses, electricalData: '01*' }],
    ['electricalData', { fuses, electricalData: '2' }],
    ['userData', { fuses, userData: { form: 'binary', text: '012' } }],
    ['userData', { fuses, userData: { form: 'hexadecimal', text: 'XY' } }],
    ['otherFields', { fuses, otherFields: ['L0 0'] }],
    ['otherFields', { fuses, otherFields: ['QF99'] }],
  ])('%s that would make another file is a TypeError', (name, content) => {
    expect(() => writeFuseFile(content as FuseFileContent)).toThrow(TypeError)
    expect(() => writeFuseFile(content as FuseFileContent)).toThrow(`file.${name}`)
  })

  test('texts read back as they were', () => {
    const content = { fuses, notes: ['OTE abc'], userData: { form: 'text', text: ' a' } } as const
    expect(readFuseFile(writeFuseFile(content))).toMatchObject({ notes: content.notes, userData: content.userData })
  })

  test('what was read under limits and not changed comes back byte for byte', () => {
    const bytes = framed('T*QP2*QF8*QV2*F0*V1 00*V2 01*')
    expect(textFrom(writeFuseFile(readFuseFile(bytes, { maxVectors: 1 })))).toBe(textFrom(bytes))
  })
})

test('what follows a bare file is not a cut field only because it begins with a capital (framing)', () => {
  const errors = (tail: string): number => readFuseFile(latin1(`T*QP4*QF8*F0*G0*\r\n${tail}`)).findingCounts.error
  expect(errors('A827')).toBe(errors('8A76'))
})
