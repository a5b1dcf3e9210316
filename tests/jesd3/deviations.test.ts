/**
 * Deviations met in real files. Each is read as meant: the same fuses with a matching fuse checksum and no error,
 * and with the finding that names it where it departs from the standard (3-A, or a manual that reproduces it).
 */
import { describe, expect, test } from 'vitest'
import { verify } from '../../src/index'
import { readExplained } from './read-explained'
import { codesOf, sound, SOUND } from './expect-findings'
import { framed, latin1, textFrom, transmissionSum } from './reference'

const DIGITS = '1011000111010010'
const FRAME = textFrom(framed(SOUND))
const LINES = SOUND.replaceAll('*', '*\r\n')

/** The file with the sum of the same fields under other line ends: they were changed after the sum was taken. */
function convertedFrom(made: string, stored: string): Uint8Array {
  const fields = (end: string): string => SOUND.replaceAll('*', `*${end}`)
  return framed(fields(stored), transmissionSum(framed(fields(made))))
}

const DEVIATIONS: readonly (readonly [name: string, bytes: Uint8Array, codes: readonly string[]])[] = [
  ['no STX, ETX and transmission checksum', latin1(LINES), ['file/marks-missing']],
  ['transmission checksum 0000', framed(SOUND, '0000'), ['checksum/transmission-not-computed']],
  [
    'no design specification, the header before STX',
    latin1(`Made by hand\r\n${textFrom(framed(sound('T*', '')))}`),
    ['file/text-before-start', 'file/design-specification-missing'],
  ],
  [
    'CR LF turned into LF after the sum was taken',
    convertedFrom('\r\n', '\n'),
    // The fuse sum is right, so this is a note alone.
    ['checksum/line-ends-changed'],
  ],
  [
    'LF turned into CR LF after the sum was taken',
    convertedFrom('\n', '\r\n'),
    ['checksum/line-ends-changed'],
  ],
  ['small letters in C', framed(sound('C00D8', 'C00d8')), ['file/lower-case-hex']],
  [
    'list numbers of one to seven digits',
    framed(sound(`L0 ${DIGITS}`, `L0 1011*L04 0001*L0000008 1101*L000000000012 0010`)),
    [],
  ],
  [
    'several fields and lists on a line, notes between',
    framed(sound(`L0 ${DIGITS}`, `L0 1011* L4 0001*N half way*L8 11010010`)),
    [],
  ],
  [
    'the list number alone on its line, blanks and line ends among the digits',
    framed(sound(`L0 ${DIGITS}`, 'L0\r\n1011 0001\r\n1101 0010\r\n')),
    [],
  ],
  [
    'the asterisk at the start of the next line',
    framed(SOUND.replaceAll('*', ' \r\n*')),
    ['file/blank-before-terminator'],
  ],
  ['a blank before the asterisk of QP', framed(sound('QP4', 'QP4 ')), ['file/blank-before-terminator']],
  ['F and G before QF', framed('T*QP4*QV1*F0*G0*QF16*X0*L0 1011000111010010*C00D8*V1 01HL*'), ['file/field-order']],
  ['stray asterisks', framed(sound('L0', '*L0')), ['file/stray-terminator']],
  ['a tabulator in a note', framed(sound('L0', 'N a\tb*L0')), ['file/control-character']],
  ['E after C, over two lines', framed(sound('C00D8*', 'C00D8*E0101\r\n0101*')), ['file/extension-field']],
  ['N spelled NOTE', framed(sound('L0', 'NOTE by hand*L0')), []],
  ['G2', framed(sound('G0', 'G2')), ['security/requested']],
  ['user data in binary', framed(sound('C00D8*', `C00D8*U${'01'.repeat(16)}*`)), ['file/extension-field']],
  ['user data in hexadecimal', framed(sound('C00D8*', 'C00D8*UH00000000*')), ['file/extension-field']],
  ['C of five digits', framed(sound('C00D8', 'C000D8')), ['checksum/digit-count']],
  ['C of three digits', framed(sound('C00D8', 'C0D8')), ['checksum/digit-count']],
  ['text after the transmission checksum', latin1(`${FRAME}\r\nEND OF FILE\r\n`), ['file/text-after-end']],
  ['a line end after the transmission checksum', latin1(`${FRAME}\r\n`), []],
  [
    'U without its asterisk before ETX',
    framed(`${SOUND}UH0000C95A`),
    ['file/extension-field', 'file/unterminated-field'],
  ],
  ['an asterisk meant as text in a note', framed(sound('L0', 'N 3 * 4*L0')), ['file/unknown-identifier']],
  ['blanks in vectors', framed(SOUND.replace('01HL', '01 HL')), ['vector/layout']],
  ['small letters in vectors', framed(SOUND.replace('01HL', '01hl')), ['vector/layout']],
  ['a vector shorter than QP', framed(SOUND.replace('01HL', '01H')), ['vector/malformed']],
  ['LF as the only line end', framed(SOUND.replaceAll('*', '*\n')), []],
  ['a control-Z after the end', latin1(`${FRAME}\x1a`), []],
  ['ETX without a transmission checksum', framed(SOUND, ''), ['checksum/transmission-absent']],
  ['no QF', framed(sound('QF16*', '')), ['file/fuse-count-missing']],
]

describe('deviations', () => {
  test.each(DEVIATIONS)('%s', (_, bytes, codes) => {
    const file = readExplained(bytes)
    expect(codesOf(file).sort()).toEqual([...codes].sort())
    expect(file.fuses).toEqual(readExplained(framed(SOUND)).fuses)
    expect(file.checksums.fuse.status).toBe('match')
    expect(file.findingCounts.error).toBe(0)
    expect(verify(bytes).verdict).not.toBe('fail')
  })

  test('small letters in the transmission checksum', () => {
    const sum = transmissionSum(framed(LINES))
    expect(sum).toMatch(/[A-F]/)
    const file = readExplained(framed(LINES, sum.toLowerCase()))
    expect(codesOf(file)).toEqual(['file/lower-case-hex'])
    expect(file.checksums.transmission.status).toBe('match')
  })

  // 3-A: without F every fuse must be given. A manual's figure leaves fuses out all the same.
  test('neither F nor all fuses is an error', () => {
    const file = readExplained(framed(sound('F0*', '').replace(DIGITS, DIGITS.slice(0, 12)).replace('C00D8*', '')))
    expect(codesOf(file)).toEqual(['file/uncovered-fuses', 'checksum/fuse-absent'])
    expect(verify(file.bytes).verdict).toBe('fail')
  })

  test('one line end kind or the other, nothing but the sum differs', () => {
    for (const [made, stored, code] of [
      ['\r\n', '\n', 'line-ends-lf-to-crlf'],
      ['\n', '\r\n', 'line-ends-crlf-to-lf'],
    ] as const)
      expect(readExplained(convertedFrom(made, stored)).checksums.transmission.explanation).toBe(code)
  })
})
