/**
 * Fuse maps: the states of all fuses of one part, packed the way the standard packs words for its fuse checksum
 * (JEDEC Standard No. 3-A, "Fuse checksum field"), so that the checksum is a sum over bytes and a difference is an
 * exclusive-or over bytes.
 */
import { bytesOf, isBytes, oneOf, type OptionNames, optionsOf, stringOf, wholeNumber } from '../arguments/arguments'

/**
 * `length` fuses, eight to a byte; fuse 0 is the least significant bit of byte 0. Unused bits of the last byte are 0.
 * State 0 is an intact (connected) fuse, 1 a blown (not connected) one.
 */
export interface FuseMap {
  /** Number of fuses. */
  readonly length: number
  /** The packed states. */
  readonly bits: Uint8Array
}

/** A fuse state. */
export type Bit = 0 | 1

/** Most fuses of one map: fuse numbers stay 32-bit numbers. */
const MOST_FUSES = 2 ** 30

/** A map, as an argument. */
export function checkedMap(map: FuseMap, path: string): FuseMap {
  if (!isBytes(map?.bits) || typeof map.length !== 'number')
    throw new TypeError(`${path} must be a fuse map`)
  return map
}

const STATES = [0, 1] as const
const MAP_LENGTH = [0, MOST_FUSES] as const

/**
 * A map of `length` fuses, all in state `fill`.
 *
 * @param length number of fuses, from 0
 * @param fill state of all of them (default 0)
 * @returns a map of its own memory
 * @throws TypeError or RangeError for a length or a state that is none
 * @example fuseDigits(createFuseMap(4, 1)) // '1111'
 */
export function createFuseMap(length: number, fill: Bit = 0): FuseMap {
  const bits = new Uint8Array((wholeNumber(length, 'length', MAP_LENGTH) + 7) >>> 3)
  if (oneOf(fill, 'fill', STATES) === 1) {
    bits.fill(0xff)
    clearSpareBits(bits, length)
  }
  return { length, bits }
}

/** Clears the bits of the last byte that belong to no fuse. */
export function clearSpareBits(bits: Uint8Array, length: number): void {
  if (length % 8) bits[bits.length - 1]! &= (1 << (length % 8)) - 1
}

/**
 * A map from text of `0` and `1`, fuse 0 first; blanks and line ends are skipped.
 *
 * @param digits text of `0` and `1`
 * @returns a map of as many fuses as there are digits
 * @throws TypeError for other characters
 * @example fuseMapFrom('0101 1100').length // 8
 */
export function fuseMapFrom(digits: string): FuseMap {
  const clean = stringOf(digits, 'digits').replace(/\s+/g, '')
  if (/[^01]/.test(clean)) throw new TypeError('digits must hold 0 and 1 only')
  const map = createFuseMap(clean.length)
  for (let i = 0; i < clean.length; i++) if (clean[i] === '1') setFuse(map, i, 1)
  return map
}

const BIT_ORDERS = ['least-first', 'most-first'] as const
const RAW_BYTES: OptionNames<RawBytes> = { length: true, bitOrder: true, header: true }

/** How raw bytes of a reader hold fuses. */
export interface RawBytes {
  /** Number of fuses. */
  readonly length: number
  /** Which bit of a byte is the first of its eight fuses: the least significant one (default) or the most. */
  readonly bitOrder?: 'least-first' | 'most-first'
  /** Bytes before the fuses, which are skipped (default 0). */
  readonly header?: number
}

/**
 * A map from the raw bytes of a reader, eight fuses to a byte. Bits of the last byte that belong to no fuse are left
 * out, whatever they are.
 *
 * @param bytes the bytes as the reader saved them
 * @param options number of fuses, order of the bits in a byte, bytes to skip
 * @returns a map of its own memory
 * @throws TypeError for anything but bytes and an object; RangeError for bytes that are not as many as `header` and
 *   `length` make, and for a value of an option that is none
 * @example fuseDigits(fuseMapFromBytes(new Uint8Array([0b00000101]), { length: 3 })) // '101'
 */
export function fuseMapFromBytes(bytes: Uint8Array, options: RawBytes): FuseMap {
  const given = bytesOf(bytes, 'bytes')
  const { bitOrder = 'least-first' } = optionsOf(options, RAW_BYTES)
  const length = wholeNumber(options.length, 'options.length', MAP_LENGTH)
  const header = wholeNumber(options.header === undefined ? 0 : options.header, 'options.header', MAP_LENGTH)
  oneOf(bitOrder, 'options.bitOrder', BIT_ORDERS)
  const needed = header + ((length + 7) >>> 3)
  if (given.length !== needed)
    throw new RangeError(`bytes must hold ${needed} bytes for ${length} fuses behind ${header}, not ${given.length}`)
  // A copy: slice of Node's Buffer would give the caller's own memory.
  const bits = new Uint8Array(given.subarray(header))
  if (bitOrder === 'most-first') bits.forEach((byte, i) => (bits[i] = reversedBits(byte)))
  clearSpareBits(bits, length)
  return { length, bits }
}

/** A byte with its bits in the other order. */
function reversedBits(byte: number): number {
  let reversed = 0
  for (let bit = 0; bit < 8; bit++) if (byte & (1 << bit)) reversed |= 0x80 >> bit
  return reversed
}

/**
 * State of fuse `index`.
 *
 * @param map the map
 * @param index fuse number, from 0
 * @returns the state of the fuse
 * @throws TypeError for what is no map, RangeError for a fuse outside it
 * @example fuseAt(fuseMapFrom('0100'), 1) // 1
 */
export function fuseAt(map: FuseMap, index: number): Bit {
  checkedMap(map, 'map')
  if (!(Number.isInteger(index) && index >= 0 && index < map.length))
    throw new RangeError(`index ${String(index)} lies outside the ${map.length} fuses`)
  return ((map.bits[index >>> 3]! >>> (index & 7)) & 1) as Bit
}

/** True where a fuse connects: for whole arrays of a map and numbers that are checked, thousands at a time. */
export function isConnected({ bits }: FuseMap, index: number): boolean {
  return ((bits[index >>> 3]! >>> (index & 7)) & 1) === 0
}

/**
 * Sets fuse `index` in place.
 *
 * @param map the map, which is changed
 * @param index fuse number, from 0
 * @param state the new state
 * @throws TypeError for what is no map, RangeError for a fuse outside it or a state that is none
 * @example const map = createFuseMap(2); setFuse(map, 1, 1); fuseDigits(map) // '01'
 */
export function setFuse(map: FuseMap, index: number, state: Bit): void {
  if (fuseAt(map, index) !== oneOf(state, 'state', STATES)) map.bits[index >>> 3]! ^= 1 << (index & 7)
}

/**
 * Fuse checksum: sum of the 8-bit words modulo 65536 (3-A, "Fuse checksum field"; the text's "65,535" is a misprint,
 * see tests).
 *
 * @param map the map
 * @returns the sum as a number from 0 to 65535
 * @throws TypeError for what is no map
 * @example fuseChecksum(fuseMapFrom('11111111')) // 255
 */
export function fuseChecksum(map: FuseMap): number {
  const { bits } = checkedMap(map, 'map')
  let sum = 0
  for (let i = 0; i < bits.length; i++) sum += bits[i]!
  return sum & 0xffff
}

/**
 * Text of fuses `first` to `first + count − 1` as `0` and `1`, fuse `first` first.
 *
 * @param map the map
 * @param first fuse number of the first digit (default 0)
 * @param count number of digits (default up to the end)
 * @returns one digit a fuse
 * @throws TypeError for what is no map, RangeError for a fuse outside it
 * @example fuseDigits(fuseMapFrom('0110'), 1, 2) // '11'
 */
export function fuseDigits(map: FuseMap, first = 0, count: number = checkedMap(map, 'map').length - first): string {
  const { length } = checkedMap(map, 'map')
  wholeNumber(first, 'first', [0, length])
  wholeNumber(count, 'count', [0, length - first])
  let text = ''
  for (let i = first; i < first + count; i++) text += fuseAt(map, i)
  return text
}

/**
 * The state that all fuses share, or null when both states occur (or there is no fuse).
 *
 * @param map the map
 * @returns the state, or null
 * @throws TypeError for what is no map
 * @example uniformState(createFuseMap(4, 1)) // 1
 */
export function uniformState(map: FuseMap): Bit | null {
  const ones = countOnes(checkedMap(map, 'map'))
  return map.length === 0 ? null : ones === 0 ? 0 : ones === map.length ? 1 : null
}

/** How many fuses are in state 1. */
export function countOnes(map: FuseMap): number {
  let ones = 0
  for (let byte of map.bits) for (; byte; byte &= byte - 1) ones++
  return ones
}

/**
 * The fuses in which two maps of one length differ, ascending, at most `limit` of them, and how many there are.
 *
 * @param a one map
 * @param b another of the same length
 * @param limit most fuses to list (default all)
 * @returns how many fuses differ, and the first of them, ascending
 * @throws TypeError for what is no map, RangeError where the lengths differ
 * @example differingFuses(fuseMapFrom('0101'), fuseMapFrom('0110')) // { count: 2, fuses: [2, 3] }
 */
export function differingFuses(
  a: FuseMap,
  b: FuseMap,
  limit = Infinity,
): { readonly count: number; readonly fuses: readonly number[] } {
  checkedMap(a, 'a')
  checkedMap(b, 'b')
  if (typeof limit !== 'number' || !(limit >= 0))
    throw new RangeError(`limit must be a number from 0, not ${String(limit)}`)
  if (a.length !== b.length) throw new RangeError(`a has ${a.length} fuses and b ${b.length}`)
  const fuses: number[] = []
  let count = 0
  for (let i = 0; i < a.bits.length; i++)
    for (let difference = a.bits[i]! ^ b.bits[i]!; difference; difference &= difference - 1)
      if (count++ < limit) fuses.push(i * 8 + 31 - Math.clz32(difference & -difference))
  return { count, fuses }
}
