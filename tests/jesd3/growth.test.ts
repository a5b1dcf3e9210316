/**
 * Reading takes work in proportion to the size of the file, whatever the file holds. A power of the size is fitted to
 * the work of four sizes, counted; a second pass over all bytes per field would give an exponent near 2.
 */
import { describe, expect, test } from 'vitest'
import { countWork, exponentOf, growthOf } from '../counted-work'
import { latin1 } from './reference'

// Loaded after the count began.
const { explain, readFuseFile } = await import('../../src/index')

const SIZES = [1 << 13, 1 << 14, 1 << 15, 1 << 16]

/** What grows with the square lies near 2. Lists bounded at some number make it less than 1. */
const MOST = 1.1

/** Bytes of about `size`: `head`, then `unit` over and over (given its number), then `tail`. */
function filled(
  size: number,
  unit: string | ((index: number) => string),
  { head = '\x02*', tail = '\x030000' } = {},
): Uint8Array {
  const bytes = new Uint8Array(size)
  bytes.set(latin1(head))
  let at = head.length
  for (let index = 0; ; index++) {
    const next = typeof unit === 'string' ? unit : unit(index)
    if (at + next.length + tail.length > size) break
    for (let i = 0; i < next.length; i++) bytes[at++] = next.charCodeAt(i)
  }
  bytes.set(latin1(tail), at)
  return bytes.slice(0, at + tail.length)
}

const ROW = '1011001110001011'.repeat(2)
const KINDS: Readonly<Record<string, (size: number) => Uint8Array>> = {
  'one long list': (size) => filled(size, ROW, { head: '\x02*QF9000000*F0*L0 ', tail: '*\x030000' }),
  'a list a row': (size) => filled(size, (i) => `L${i * 32} ${ROW}*\r\n`, { head: '\x02*F0*' }),
  'one list over another': (size) => filled(size, (i) => `L${(i * 7) % 1000} ${ROW}*`, { head: '\x02*QF2000*F0*' }),
  'lists without digits': (size) => filled(size, 'L0 *', { head: '\x02*QF8*F0*' }),
  'lists past the end': (size) => filled(size, 'L9 1*', { head: '\x02*QF8*F0*' }),
  'lists without a number': (size) => filled(size, 'L*', { head: '\x02*QF8*F0*' }),
  'single fuses, descending, without a fuse count': (size) =>
    filled(size, (i) => `L${99_999_999 - i} 1*`, { head: '\x02*' }),
  vectors: (size) => filled(size, (i) => `V${(i % 90_000) + 1} 01XHLN01XHLN01XHLN01*`, { head: '\x02*QP20*QF8*F0*' }),
  'one vector over and over': (size) => filled(size, 'V1 01*', { head: '\x02*QP2*QF8*F0*' }),
  notes: (size) => filled(size, 'Nx*', { head: '\x02*QF8*F0*' }),
  'one long note': (size) => filled(size, 'OTE  ', { head: '\x02*QF8*F0*N', tail: '*\x030000' }),
  'a title of blanks': (size) => filled(size, ' ', { head: '\x02QF', tail: 'x*QF8*F0*\x030000' }),
  'sums over and over': (size) => filled(size, 'C0000*', { head: '\x02*QF8*F1*' }),
  'sizes over and over': (size) => filled(size, (i) => `QF${i % 2 ? 8 : 9}*`, { head: '\x02*F0*' }),
  'user data with blanks': (size) => filled(size, '0 ', { head: '\x02*QF8*F0*U', tail: '*\x030000' }),
  'stray asterisks': (size) => filled(size, '*', { head: '\x02*QF8*F0*' }),
  'control characters': (size) => filled(size, '\x00', { head: '\x02*QF8*F0*' }),
  'bytes with the eighth bit': (size) => filled(size, '\xc3\xaa', { head: '\x02*QF8*F0*N', tail: '*\x030000' }),
  'line ends of all kinds': (size) => filled(size, 'N*\r\nN*\nN*\rQ*', { head: '\x02*QF8*F0*' }),
  'text before the start': (size) =>
    filled(size, 'a line of text\r\n', { head: '', tail: '\x02*QF8*F0*L9 1*\x030000' }),
  'text after the end': (size) => filled(size, 'a line of text\r\n', { head: '\x02*QF8*F0*\x030000', tail: '' }),
  'zero digits': (size) => new Uint8Array(size).fill(0x30),
}

describe('work grows with size, not faster', () => {
  test.for(Object.keys(KINDS))('%s', (kind, { task }) => {
    const points = SIZES.map((size) => {
      const bytes = KINDS[kind]!(size)
      return [size, countWork(() => explain(readFuseFile(bytes)))] as const
    })
    Object.assign(task.meta, { growth: growthOf(`readFuseFile and explain, by bytes: ${kind}`, points) })
    expect(exponentOf(points), JSON.stringify(points)).toBeLessThanOrEqual(MOST)
  })

  test('the count sees a pass over all bytes for each field', () => {
    const points = [1 << 9, 1 << 10, 1 << 11].map((size) => {
      const bytes = KINDS['notes']!(size)
      return [
        size,
        countWork(() => {
          for (let at = 0; at >= 0; at = bytes.indexOf(0x2a, at + 1)) if (at % 8 === 0) readFuseFile(bytes)
        }),
      ] as const
    })
    expect(exponentOf(points)).toBeGreaterThan(1.8)
  })
})
