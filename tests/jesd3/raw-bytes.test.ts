/** Fuse maps from raw bytes: which bit is which fuse, by arithmetic. */
import { expect, test } from 'vitest'
import { fuseDigits, fuseMapFrom, fuseMapFromBytes, type RawBytes } from '../../src/index'

// 0x4D = 0100 1101 and 0x03 = 0000 0011, written with the most significant bit first.
const BYTES = new Uint8Array([0x4d, 0x03])

test('the least significant bit comes first unless said otherwise', () => {
  expect(fuseDigits(fuseMapFromBytes(BYTES, { length: 16 }))).toBe('1011001011000000')
  expect(fuseDigits(fuseMapFromBytes(BYTES, { length: 16, bitOrder: 'least-first' }))).toBe('1011001011000000')
  expect(fuseDigits(fuseMapFromBytes(BYTES, { length: 16, bitOrder: 'most-first' }))).toBe('0100110100000011')
})

test('bits behind the last fuse are left out, in either order', () => {
  const ones = new Uint8Array([0xff, 0xff])
  for (const bitOrder of ['least-first', 'most-first'] as const)
    expect(fuseMapFromBytes(ones, { length: 11, bitOrder })).toEqual(fuseMapFrom('1'.repeat(11)))
})

test('a header is skipped, and the bytes given stay as they are', () => {
  const read = new Uint8Array([0xaa, 0x55, ...BYTES])
  expect(fuseDigits(fuseMapFromBytes(read, { length: 16, header: 2, bitOrder: 'most-first' }))).toBe(
    '0100110100000011',
  )
  expect([...read]).toEqual([0xaa, 0x55, 0x4d, 0x03])
  expect(fuseMapFromBytes(new Uint8Array(3), { length: 0, header: 3 }).length).toBe(0)
})

test.each([
  [new Uint8Array(1), { length: 9 }, RangeError, /^bytes must hold 2 bytes/],
  [new Uint8Array(3), { length: 9 }, RangeError, /^bytes must hold 2 bytes/],
  [new Uint8Array(2), { length: 9, header: 1 }, RangeError, /^bytes must hold 3 bytes/],
  [new Uint8Array(2), { length: -1 }, RangeError, /^options\.length/],
  [new Uint8Array(2), { length: 1.5 }, RangeError, /^options\.length/],
  [new Uint8Array(2), {}, TypeError, /^options\.length/],
  [new Uint8Array(2), { length: 16, header: -1 }, RangeError, /^options\.header/],
  [new Uint8Array(2), { length: 16, bitOrder: 'first' }, RangeError, /^options\.bitOrder/],
  ['0101', { length: 4 }, TypeError, /^bytes/],
  [new Uint8Array(2), null, TypeError, /^options/],
] as const)('%j with %j throws and names the argument', (bytes, options, kind, message) => {
  const call = (): unknown => fuseMapFromBytes(bytes as Uint8Array, options as unknown as RawBytes)
  expect(call).toThrow(kind)
  expect(call).toThrow(message)
})
