/** Where in a file the state of a fuse stands, and whether a file gives every fuse one; by marks in the literals. */
import { describe, expect, test } from 'vitest'
import { compare, fuseDigits, inspect, readFuseFile, verify } from '../../src/index'
import { placesOfFuses } from '../../src/jesd3/fuse-places'
import { fuseSum, latin1 } from './reference'

/** A file with a mark before the digit of each fuse asked for, in their order: its bytes, and where the marks stood. */
function marked(text: string): { readonly bytes: Uint8Array; readonly places: readonly number[] } {
  const places: number[] = []
  for (let i = 0; i < text.length; i++) if (text[i] === '^') places.push(i - places.length)
  return { bytes: latin1(text.replaceAll('^', '')), places }
}

describe('the digit of a fuse', () => {
  test.each([
    ['in one list', '\x02*QF8*F0*L0 ^1^0110^101*\x03', [0, 1, 5]],
    ['in a list before any other field, without a design specification', '\x02L0 ^1111*QF8*F0*L4 ^1*\x03', [0, 4]],
    ['among blanks and line ends', '\x02*QF8*F0*L4 ^1 \r\n^0 1\n^1*\x03', [4, 5, 7]],
    ['behind digits with an eighth bit', '\x02*QF8*F0*L0 ^\xb1\xb0^1^\xb00*\x03', [0, 2, 3]],
    ['behind an address with an eighth bit', '\x02*QF8*F0*L\xb4 ^1^0*\x03', [4, 5]],
    ['behind characters that are no states', '\x02*QF8*F0*L0 ^1?^0\t^1*\x03', [0, 1, 2]],
    ['in the last of two lists', '\x02*QF8*F0*L0 ^1111*L1 ^00*\x03', [0, 1]],
    ['four fuses a digit in hexadecimal', '\x02*QF16*F0*K0 ^A ^5*L8 ^1*\x03', [0, 4, 8]],
    ['in hexadecimal behind a blank and a long number', '\x02*QF16*F0*K 0004 \r\n^A^5*\x03', [4, 8]],
    ['in a list that the end of the file ends', '\x02*QF8*F0*L0 ^1^0', [0, 1]],
    ['in hexadecimal up to an asterisk that is the last byte', '\x02*QF16*F0*K0 ^A^5*', [0, 4]],
    ['in hexadecimal up to the end mark', '\x02*QF16*F0*K0 ^A^5\x03', [0, 4]],
  ])('%s', (_, text, fuses) => {
    const { bytes, places } = marked(text)
    expect(placesOfFuses(readFuseFile(bytes), fuses)).toEqual(places)
  })

  test('with a parity bit on every byte it stands where it stands without', () => {
    const { bytes, places } = marked('\x02T*QF16*F0*L0 ^1^0*K8 ^A*\x03')
    const withParity = bytes.map((byte) => byte | 0x80)
    expect(placesOfFuses(readFuseFile(withParity), [0, 1, 8])).toEqual(places)
  })

  test('a fuse of a hexadecimal digit has the place of that digit; one that no list sets has none', () => {
    const { bytes, places } = marked('\x02*QF16*F0*K0 ^A*\x03')
    expect(placesOfFuses(readFuseFile(bytes), [0, 1, 2, 3, 4])).toEqual([...Array(4).fill(places[0]), null])
  })

  test('a hexadecimal list that the end of the file cuts gives no states, and no places', () => {
    const file = readFuseFile('\x02*QF16*F0*K0 AA')
    expect(fuseDigits(file.fuses!)).toBe('0'.repeat(16))
    expect(placesOfFuses(file, [0, 4])).toEqual([null, null])
  })

  test('comparing gives the places of both files', () => {
    const rows = (digits: string): string => `\x02*QP20*QF448*F0*L0 ${digits}*\x03`
    const [a, b] = [marked(rows('1\xb001^1')), marked(rows('1\xb001 ^0'))]
    const { fuses } = compare(a.bytes, b.bytes, { device: '14L4' }).fuseDifferences
    expect(fuses).toHaveLength(1)
    expect(fuses[0]).toMatchObject({
      fuse: 4,
      positions: { intended: { offset: a.places[0] }, readback: { offset: b.places[0] } },
    })
  })
})

describe('a file that does not give every fuse its state', () => {
  const covered = 428
  const missing = 448 - covered
  const digits = '10'.repeat(covered / 2)
  const surplus = 110
  const text = `\x02T*QP20*QF448*G0*L0 ${digits}*${'L448 1*'.repeat(surplus)}C${fuseSum(digits)}*\x030000`

  test.each([1, 5, 100, 1000])('says so whatever else is wrong and however many findings are listed: %i', (most) => {
    const file = readFuseFile(text, { maxFindings: most })
    expect(file).toMatchObject({ uncovered: { count: missing, first: covered }, cut: false, tooManyFuses: false })
    expect(inspect(text, { device: '14L4', maxFindings: most })).toMatchObject({
      kind: 'incomplete',
      complete: false,
    })
    const report = verify(text, { device: '14L4', maxFindings: most })
    expect(report).toMatchObject({ complete: false, verdict: 'fail' })
    // The sum fits where the fuses without a state are taken as 0; that they have none is what counts.
    expect(report.checksums.fuse.status).toBe('match')
  })

  test('and without the surplus lists as well', () => {
    expect(verify(text.replaceAll('L448 1*', ''), { device: '14L4' })).toMatchObject({
      complete: false,
      verdict: 'fail',
    })
  })
})
