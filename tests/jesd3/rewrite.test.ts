/** Rewriting: the same fuses in a file that a strict reader takes; refused where the fuses cannot be trusted. */
import { describe, expect, test } from 'vitest'
import { fuseDigits, readFuseFile, rewrite } from '../../src/index'
import { type ExplainedFile, readExplained } from './read-explained'
import { codesOf, sound, SOUND } from './expect-findings'
import { framed, latin1, textFrom, transmissionSum } from './reference'
import { granted, refusal } from '../granted'

/** Findings that speak of what the file holds, not of its form; a new file holds the same. */
const OF_CONTENT = [
  'security/requested',
  'security/not-stated',
  'file/pin-count-missing',
  'file/extension-field',
  'file/device-field',
  'file/reserved-identifier',
  'checksum/electrical-packing',
]

const FRAME = textFrom(framed(SOUND))

const DEVIATING: readonly (readonly [name: string, bytes: Uint8Array])[] = [
  ['no deviation', framed(SOUND)],
  ['no marks', latin1(SOUND)],
  ['no start mark', latin1(FRAME.slice(1))],
  ['no end mark', latin1(`\x02${SOUND}`)],
  ['sum 0000', framed(SOUND, '0000')],
  ['no sum', framed(SOUND, '')],
  ['neither sum', framed(sound('C00D8*', ''), '0000')],
  ['a wrong transmission sum', framed(SOUND, '1234')],
  [
    'line ends changed',
    framed(SOUND.replaceAll('*', '*\n'), transmissionSum(framed(SOUND.replaceAll('*', '*\r\n')))),
  ],
  ['small letters', framed(SOUND.replace('C00D8', 'C00d8').replace('01HL', '01hl'))],
  ['C of five digits', framed(sound('C00D8', 'C000D8'))],
  ['text around the frame', latin1(`before\r\n${FRAME}\r\nafter`)],
  ['a second frame', latin1(`${FRAME}\r\n${FRAME}`)],
  ['a stray start mark', framed(sound('F0*', 'F0*\x02'))],
  ['no title', framed(sound('T*', ''))],
  ['stray asterisks', framed(SOUND.replaceAll('*', '**'))],
  ['asterisks on the next line', framed(SOUND.replaceAll('*', '\r\n*'))],
  ['a note cut by an asterisk', framed(sound('L0', 'N 3 * 4*L0'))],
  ['tabulators and a control-Z', framed(sound('L0', 'N a\tb*\x1aL0'))],
  ['control characters in the title', framed(sound('T*', 'T\x01\x7ft*'))],
  ['accents', framed(sound('T*', 'T\xc3\xaate*N caf\xe9*'))],
  ['a parity bit', framed(SOUND).map((byte) => byte | 0x80)],
  ['overlapping lists', framed(sound('L0', 'L0 0000*L4 11*L0'))],
  ['an empty list', framed(sound('L0', 'L0 *L0'))],
  ['a list in hexadecimal', framed(sound('L0 1011000111010010', 'K0 B1D2'))],
  ['no fuse count', framed(sound('QF16*', ''))],
  ['fields in another order', framed('T*L0 1011000111010010*X0*G0*F0*QV1*QF16*QP4*C00D8*V1 01HL*')],
  ['repeated fields', framed(sound('G0*', 'G1*G0*').replace('C00D8*', 'C0000*C00D8*').replace('QP4*', 'QP5*QP4*'))],
  ['malformed fields', framed(sound('G0*', 'G0*QX*X2*Gx*'))],
  ['an open last field', framed(`${SOUND}N open`)],
  [
    'vectors in disorder',
    framed(SOUND.replace('V1 01HL', 'V1 00HL*V1 01 HL').replace('QV1', 'QV3').replace('V1 00', 'V3 XXXX*V1 00')),
  ],
  ['electrical and user data', framed(sound('C00D8*', 'E101*C00DD*UH12*'))],
  ['reserved and obsolete fields', framed(sound('L0', 'D x*B1*A25*L0'))],
]

const SUSPECT: readonly (readonly [code: string, bytes: Uint8Array])[] = [
  ['checksum/fuse-mismatch', framed(sound('C00D8', 'C00DD'))],
  ['file/cut-short', latin1(`\x02${sound('C00D8*', '')}`)],
  ['file/uncovered-fuses', framed(sound('F0*', '').replace('0010*C00D8', '*C0098'))],
  ['file/list-past-end', framed(sound('C00D8', 'L16 1*C00D8'))],
  ['file/list-character', framed(SOUND.replace('1011', '1O1').replace('C00D8', 'C00DD'))],
  ['checksum/lists-after-sum', framed(SOUND.replace('V1 01', 'L0 0*V1 01'))],
  ['file/too-many-fuses', framed(sound('QF16', 'QF999999999'))],
  // The asterisk before the list's second half, and the default between: eight fuses for a receiver of seven bits.
  ['file/eighth-bit-matters', framed(SOUND.replace('0010*C00D8', '0010\xaaL0 0000*C00D0'))],
  ['file/not-a-fuse-file', latin1('no fuse file')],
  ['file/empty', new Uint8Array(0)],
]

function digitsOf(file: ExplainedFile): string {
  return fuseDigits(file.fuses!)
}

describe('a file whose fuses can be trusted', () => {
  test.each(DEVIATING)('%s: the same fuses, and nothing of its form left to say', (_, bytes) => {
    const old = readExplained(bytes)
    const { bytes: written, changedFuses } = granted(rewrite(old))
    const file = readExplained(written!)
    expect(changedFuses).toBe(0)
    expect(codesOf(file).filter((code) => !OF_CONTENT.includes(code))).toEqual([])
    expect(digitsOf(file)).toBe(digitsOf(old))
    expect([file.checksums.fuse.status, file.checksums.transmission.status]).toEqual(['match', 'match'])
    expect(textFrom(written!)).toMatch(/^\x02[\r\n -~]*\x03[0-9A-F]{4}\r\n$/)
    expect(file).toMatchObject({
      pinCount: old.pinCount,
      defaultFuse: old.defaultFuse,
      security: old.security,
      defaultCondition: old.defaultCondition,
      electricalData: old.electricalData,
      userData: old.userData,
    })
    expect(file.vectors.map(({ number, conditions }) => [number, conditions])).toEqual(
      old.vectors.map(({ number, conditions }) => [number, conditions]),
    )
    expect(file.otherFields).toEqual(old.otherFields)
  })

  test('a rewritten file rewritten again is the same', () => {
    for (const [name, bytes] of DEVIATING) {
      const once = granted(rewrite(readExplained(bytes))).bytes!
      expect(textFrom(granted(rewrite(readExplained(once))).bytes!), name).toBe(textFrom(once))
    }
  })

  test('with the asked line ends and security field', () => {
    for (const security of [0, 1] as const) {
      const { bytes } = granted(rewrite(readExplained(framed(sound('G0*', ''))), { lineEnds: 'lf', security }))
      expect(textFrom(bytes!)).not.toContain('\r')
      expect(readExplained(bytes!)).toMatchObject({ security, securityField: String(security) })
    }
    expect(readExplained(granted(rewrite(readExplained(framed(sound('G0', 'G1'))))).bytes!).security).toBe(1)
    expect(readExplained(granted(rewrite(readExplained(framed(sound('G0*', ''))))).bytes!).securityField).toBeNull()
  })

  test('what is not carried over is said', () => {
    const leftOut = (fields: string): readonly string[] => granted(rewrite(readFuseFile(framed(fields)))).leftOut
    expect(leftOut(SOUND)).toEqual([])
    expect(leftOut(sound('L0', 'N 3 * 4*L0'))).toHaveLength(1)
    expect(leftOut(sound('T*', 'caf\xe9*'))).toHaveLength(1)
    expect(leftOut(sound('G0', 'G2')).join()).toContain('G2')
    expect(leftOut(SOUND.replace('01HL', '01H'))).toHaveLength(1)
    expect(granted(rewrite(readFuseFile(latin1(`before${FRAME}after`)))).leftOut).toHaveLength(2)
  })
})

describe('content that a strict reader does not know', () => {
  test.each([
    ['a field letter with its eighth bit', 'T*QP20*QF8*F1*\xc1foo*', ['Afoo']],
    ['a pin sequence and no pins', 'T*QP0*QF8*F1*P 1 2 3*', []],
  ])('%s', (_, fields, otherFields) => {
    const { bytes, changedFuses } = granted(rewrite(readExplained(framed(fields, '0000'))))
    expect(changedFuses).toBe(0)
    expect(readExplained(bytes!)).toMatchObject({ otherFields, pinOrder: null, fuseCount: 8 })
  })

  test('electrical data and vectors without fuses', () => {
    const { bytes } = granted(rewrite(readExplained(framed('T*QP4*E101*V1 01HL*', '0000'))))
    expect(readExplained(bytes!)).toMatchObject({ fuses: null, electricalData: '101', pinCount: 4 })
    expect(readExplained(bytes!).vectors.map(({ conditions }) => conditions)).toEqual(['01HL'])
  })

  test('what leaves no fuse file is refused', () => {
    // The only vector cannot be read, so that a new file would hold nothing.
    const { bytes, reason, findings } = refusal(rewrite(readExplained(framed('T*QP4*V1 01QL*', '0000'))))
    expect([bytes, reason]).toEqual([null, 'nothing-left'])
    expect(findings.map(({ code }) => code)).toEqual(['file/not-a-fuse-file'])
  })

  test('a long title that begins like a list takes a few passes over it', () => {
    const title = `L0 ${' '.repeat(1 << 20)}x`
    const { bytes } = granted(rewrite(readExplained(framed(`${title}*QF8*F1*C00FF*`))))
    expect(readExplained(bytes!).designSpecification === title).toBe(true)
  })
})

describe('a file whose fuses cannot be trusted is refused', () => {
  test.each(SUSPECT)('%s', (code, bytes) => {
    const file = readExplained(bytes)
    expect(codesOf(file)).toContain(code)
    const refused = refusal(rewrite(file, { lineEnds: 'lf', security: 0 }))
    expect(refused).toMatchObject({ reason: 'not-trusted', bytes: null })
    expect(refused.findings.map((finding) => finding.code)).toContain(code)
  })
})
