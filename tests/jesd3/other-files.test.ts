/** Files that are no fuse files: one clear error, and one note that says what they look like, whatever their bytes. */
import { gzipSync } from 'node:zlib'
import { describe, expect, test } from 'vitest'
import { readFuseFile, verify } from '../../src/index'
import { sampleSize } from '../sample-size'
import { framed, latin1, seeded, textFrom } from './reference'

/** `magic` and then seeded bytes of every value, as in compressed data. */
function compressedLike(magic: string, seed: number, length = 20_000): Uint8Array {
  const random = seeded(seed)
  const bytes = new Uint8Array(length).map(() => random.below(256))
  bytes.set(latin1(magic))
  return bytes
}

function utf16(text: string, bigEndian: boolean): Uint8Array {
  const pairs = [...latin1(text)].flatMap((byte) => (bigEndian ? [0, byte] : [byte, 0]))
  return Uint8Array.from(bigEndian ? [0xfe, 0xff, ...pairs] : [0xff, 0xfe, ...pairs])
}

const PAGE =
  '<!DOCTYPE html>\r\n<html><head><title>404 * Not found</title></head><body>\r\n<p>L0 is not here.</p>\r\n</body></html>\r\n'
const RECORDS = ':10010000214601360121470136007EFE09D2190140\r\n:00000001FF\r\n'
const FUSE_FILE = textFrom(framed('Title*\r\nQP20*QF2194*\r\nF0*L0 1111*\r\nV1 XXXXXXXXXXXXXXXXXXXX*\r\n'))

const OTHERS: readonly (readonly [name: string, words: string, bytes: Uint8Array])[] = [
  ['a JPEG picture', 'JPEG picture', compressedLike('\xff\xd8\xff\xe0\0\x10JFIF', 111)],
  ['a photograph', 'JPEG picture', compressedLike('\xff\xd8\xff\xe1', 116, 60_000)],
  ['a PNG picture', 'PNG picture', compressedLike('\x89PNG\r\n\x1a\n', 113)],
  ['a GIF picture', 'GIF picture', compressedLike('GIF89a', 114)],
  ['a ZIP archive', 'ZIP archive', compressedLike('PK\x03\x04', 115)],
  ['a gzip archive', 'gzip archive', gzipSync(FUSE_FILE)],
  ['a PDF document', 'PDF document', latin1('%PDF-1.4\n1 0 obj\n<< /Type /Catalog >>\nendobj\n')],
  ['a web page', 'web page', latin1(PAGE)],
  ['a web page in UTF-8', 'web page', latin1(`\r\n ${PAGE.replace('404', 'caf\xc3\xa9 \xc3\xaa')}`)],
  ['UTF-16 text', 'UTF-16', utf16(FUSE_FILE, false)],
  ['UTF-16 text, big-endian', 'UTF-16', utf16(FUSE_FILE, true)],
  ['a memory image in records', 'memory image', latin1(RECORDS)],
  ['an empty ROM', 'holds 2048 bytes that are all FF', new Uint8Array(2048).fill(0xff)],
  ['plain text', 'begins with', latin1('Dear friend,\nhere is the file you asked for.\n')],
  ['one letter', 'holds 1 bytes that are all 78', latin1('x')],
  ['one line end', 'holds 1 bytes that are all 0A', latin1('\n')],
  ['a start mark and no more', 'holds 1 bytes that are all 02', latin1('\x02')],
  ['the beginning of a title', 'start mark', latin1('\x02Title of')],
  ['both marks around notes', 'other fields only', framed('Title*N a note*QP20*G0*')],
]

describe('another kind of file', () => {
  test.each(OTHERS)('%s: one error, and what it looks like', (_, words, bytes) => {
    expect(readFuseFile(bytes).findings.map(({ code }) => code)).toEqual(['file/not-a-fuse-file'])
    const { findings } = verify(bytes)
    expect(findings.map(({ code, severity }) => [code, severity])).toEqual([
      ['file/not-a-fuse-file', 'error'],
      ['file/look-alike', 'note'],
    ])
    for (const { position } of findings) expect(position).toEqual({ offset: 0, line: 1, column: 1 })
    expect(findings[1]!.message).toContain(words)
    expect(findings[1]!.message.length).toBeLessThan(200)
    expect(verify(bytes)).toMatchObject({
      verdict: 'fail',
      fuseCount: null,
      device: null,
      candidates: [],
      testVectors: { count: 0 },
    })
  })

  test('nothing at all', () => {
    for (const input of ['', new Uint8Array(0)]) {
      const report = verify(input)
      expect(report.findings.map(({ code, severity }) => [code, severity])).toEqual([['file/empty', 'error']])
      expect(report.verdict).toBe('fail')
    }
  })

  test('bytes of every value, thirty times', () => {
    for (let seed = 200; seed < 230; seed++) {
      const report = verify(compressedLike('\xff\xd8\xff', seed, 5_000))
      expect([seed, report.verdict, report.findings[0]!.code]).toEqual([seed, 'fail', 'file/not-a-fuse-file'])
    }
  })

  // A disk image, a sparse file; see growth.test.ts for the growth of its work.
  test.each([
    ['zero digits', 0x30, 'are all 30 hexadecimal'],
    ['NUL', 0x00, 'are all 00 hexadecimal'],
  ])('millions of %s', (_, byte, words) => {
    const { findings } = verify(new Uint8Array(sampleSize(1_000_000, 30_000_000)).fill(byte))
    expect(findings.map(({ code }) => code)).toEqual(['file/not-a-fuse-file', 'file/look-alike'])
    expect(findings[1]!.message).toContain(words)
  })
})
