/**
 * Reading takes time in proportion to the size of the file, whatever the file holds. A power of the size is fitted to
 * the best times over four sizes; a second pass over all bytes per field would give an exponent near 2. No absolute
 * time is asserted, and a busy machine gets four attempts.
 */
import { describe, expect, test } from 'vitest'
import { readExplained } from './read-explained'
import { latin1 } from './reference'

/**
 * Smallest of four sizes, each twice the one before: from 32 thousand bytes, up to a million where reading is quick.
 */
const FIRST = { least: 1 << 15, most: 1 << 20, milliseconds: 2 } as const

/** Loose: what grows with the square lies near 2; caches alone can give 1.1 to 1.2. */
const MOST = 1.3

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

function milliseconds(bytes: Uint8Array): number {
  const start = performance.now()
  const file = readExplained(bytes)
  const time = performance.now() - start
  if (file.bytes !== bytes) throw new Error('the file must keep its input')
  return time
}

/** Slope of log time over log size, by least squares; the best of three times a size. */
function exponentOf(kind: (size: number) => Uint8Array): number {
  // Once compiled, reading is several times faster than at first.
  for (let warming = 0; warming < 4; warming++) milliseconds(kind(FIRST.least))
  let first: number = FIRST.least
  while (first < FIRST.most && milliseconds(kind(first)) < FIRST.milliseconds) first *= 2
  const points = [first, 2 * first, 4 * first, 8 * first].map((size) => {
    const bytes = kind(size)
    return [
      Math.log(size),
      Math.log(Math.min(milliseconds(bytes), milliseconds(bytes), milliseconds(bytes))),
    ] as const
  })
  const mean = (index: 0 | 1): number => points.reduce((sum, point) => sum + point[index], 0) / points.length
  const [x, y] = [mean(0), mean(1)]
  return (
    points.reduce((sum, [a, b]) => sum + (a - x) * (b - y), 0) / points.reduce((sum, [a]) => sum + (a - x) ** 2, 0)
  )
}

describe('time grows with size, not faster', () => {
  test.each(Object.keys(KINDS))('%s', (kind) => {
    const exponents: number[] = []
    while (exponents.length < 4 && !exponents.some((exponent) => exponent <= MOST))
      exponents.push(exponentOf(KINDS[kind]!))
    expect(
      Math.min(...exponents),
      `exponents ${exponents.map((exponent) => exponent.toFixed(2)).join(', ')}`,
    ).toBeLessThanOrEqual(MOST)
  })
})
