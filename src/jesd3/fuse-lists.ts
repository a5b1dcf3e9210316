/**
 * Fuse lists: digits packed into a fuse map while they are read. This is the inner loop of reading: nearly all bytes
 * of a fuse file are list digits, so eight of them are taken at a time where eight stand together.
 */
import { ASTERISK, ETX, isDelimiter } from './text'

/**
 * The fuses of lists while a file is read. `bits` may be longer than needed; `end` is one past the highest fuse set.
 */
export interface FuseStore {
  bits: Uint8Array
  /** Fuses that `bits` may hold; writing past it is ignored. */
  capacity: number
  end: number
  /** Ranges set so far, merged while they ascend without a gap; pairs [start, end). */
  readonly ranges: number[]
}

/** What packing works with; one object a file, so that no list needs one of its own. */
export interface Packing {
  readonly store: FuseStore
  readonly view: DataView
  /** Told the offset of each character that is neither a plain digit nor a delimiter. */
  readonly odd: (offset: number) => void
  /** Offset of the asterisk or ETX that ended the last list, or the end of the bytes. */
  next: number
  /** How many digits the last list held. */
  count: number
}

/** Makes room for `fuses` fuses, but none past `limit`; doubles, so that a list a row stays linear. */
export function reserve(store: FuseStore, fuses: number, limit: number): void {
  if (fuses <= store.capacity || fuses > limit) return
  const capacity = Math.min(limit, Math.max(fuses, store.capacity * 2, 2048))
  const bits = new Uint8Array((capacity + 7) >>> 3)
  bits.set(store.bits)
  store.bits = bits
  store.capacity = capacity
}

/**
 * Packs the digits of an L field from offset `from` on to fuses `address` and up, until an asterisk or ETX. Later
 * digits overwrite earlier ones. Digits past `store.capacity` are counted and not stored.
 */
export function packDigits(bytes: Uint8Array, from: number, address: number, packing: Packing): void {
  const { store, view } = packing
  const { bits } = store
  const to = bytes.length
  let i = from
  let count = 0
  let at = address >>> 3
  let held = address & 7
  // Bits of the first byte below the address stay as they are.
  let word = at < bits.length ? bits[at]! & ((1 << held) - 1) : 0
  while (i < to) {
    if (i + 8 <= to) {
      const low = view.getInt32(i)
      const high = view.getInt32(i + 4)
      if ((low & ~0x01010101) === 0x30303030 && (high & ~0x01010101) === 0x30303030) {
        // A multiplication gathers four low bits, first digit lowest, in one half of the top byte.
        word |=
          (((Math.imul(low & 0x01010101, 0x08040201) >>> 24) & 0x0f) |
            ((Math.imul(high & 0x01010101, 0x80402010) >>> 24) & 0xf0)) <<
          held
        if (at < bits.length) bits[at] = word
        at++
        word >>>= 8
        count += 8
        i += 8
        continue
      }
    }
    const c = bytes[i]!
    if (c === ASTERISK || c === ETX) break
    const digit = stateOf(c)
    if (digit <= 1) {
      if (c >= 0x80) packing.odd(i)
      word |= digit << held
      count++
      if (++held === 8) {
        if (at < bits.length) bits[at] = word
        at++
        word = held = 0
      }
    } else if (!isDelimiter(c)) packing.odd(i)
    i++
  }
  if (held > 0 && at < bits.length) {
    const mask = (1 << held) - 1
    bits[at] = (bits[at]! & ~mask) | (word & mask)
  }
  packing.next = i
  packing.count = count
}

/** The fuse state that a character of a list gives, whatever its eighth bit; above 1 where it gives none. */
export function stateOf(c: number): number {
  return (c & 0x7f) ^ 0x30
}

/** Tabulator, vertical tabulator, form feed. */
export function isLooseBlank(c: number): boolean {
  return c === 9 || c === 11 || c === 12
}

/**
 * The highest limit of fuses; a larger address is past it all the same, and is kept near it to stay a 32-bit number.
 */
export const HUGE_ADDRESS = 2 ** 30

/** What stands before the fuses of a list; one object a file, so that no list needs one of its own. */
export interface ListHead {
  address: number
  hasAddress: boolean
  /** Offset behind the address. */
  next: number
  /** Told the offset of each character that is no plain digit or delimiter. */
  readonly odd: (offset: number) => void
}

/** Reads the address of the L field at `start`. */
export function readListHead(bytes: Uint8Array, start: number, head: ListHead): void {
  let i = start + 1
  for (; isDelimiter(bytes[i]!) || isLooseBlank(bytes[i]!); i++) if (isLooseBlank(bytes[i]!)) head.odd(i)
  const digitsAt = i
  let address = 0
  for (let digit = (bytes[i]! & 0x7f) - 0x30; digit >= 0 && digit <= 9; digit = (bytes[++i]! & 0x7f) - 0x30) {
    address = Math.min(HUGE_ADDRESS, address * 10 + digit)
    if (bytes[i]! >= 0x80) head.odd(i)
  }
  head.address = address
  head.hasAddress = i > digitsAt
  head.next = i
}

/** A K field behind its identifier: address and digits. */
export const HEX_LIST = /^\d+(\s[\dA-Fa-f\s]*)?$/

/**
 * Packs hexadecimal digits of a K field (extension): each digit four fuses, its most significant bit the lowest
 * address.
 */
export function packHexDigits(digits: string, store: FuseStore, address: number): void {
  for (let d = 0; d < digits.length; d++) {
    const value = parseInt(digits[d]!, 16)
    for (let b = 0; b < 4; b++) {
      const fuse = address + d * 4 + b
      const at = Math.floor(fuse / 8)
      if (at < store.bits.length)
        store.bits[at] = (store.bits[at]! & ~(1 << (fuse & 7))) | (((value >>> (3 - b)) & 1) << (fuse & 7))
    }
  }
}

/** Notes that fuses [start, end) were listed. */
export function markListed(store: FuseStore, start: number, end: number): void {
  if (end <= start) return
  const { ranges } = store
  const last = ranges.length - 1
  if (last > 0 && ranges[last] === start) ranges[last] = end
  else ranges.push(start, end)
  if (end > store.end) store.end = end
}

/** True when ranges ascend and lie apart already, as they do in nearly every file. */
function isAscending(ranges: readonly number[], limit: number): boolean {
  for (let i = 2; i < ranges.length; i += 2) if (ranges[i]! <= ranges[i - 1]!) return false
  return ranges.length === 0 || ranges.at(-1)! <= limit
}

/** Start and end of a range in one number: exact for ends up to 2^26, the highest limit of fuses. */
const PAIR = 2 ** 27

/** Ranges by their starts; numbers sort some four times as fast as pairs of them. */
function sortedPairs(ranges: readonly number[], limit: number): Float64Array {
  const pairs = new Float64Array(ranges.length / 2)
  let count = 0
  for (let i = 0; i < ranges.length; i += 2)
    if (ranges[i]! < limit) pairs[count++] = ranges[i]! * PAIR + Math.min(ranges[i + 1]!, limit)
  return pairs.subarray(0, count).sort()
}

/** The listed ranges ascending and apart, how many fuses were listed more than once, and the first of those. */
export function mergeRanges(
  ranges: readonly number[],
  limit: number,
): { readonly bounds: number[]; readonly again: number; readonly firstAgain: number } {
  if (isAscending(ranges, limit)) return { bounds: ranges.slice(), again: 0, firstAgain: -1 }
  const pairs = sortedPairs(ranges, limit)
  const bounds: number[] = []
  let again = 0
  let firstAgain = -1
  let counted = 0
  for (const pair of pairs) {
    const [start, end] = [Math.floor(pair / PAIR), pair % PAIR]
    const last = bounds.length - 1
    if (last < 0 || start > bounds[last]!) {
      bounds.push(start, end)
      continue
    }
    const repeatedEnd = Math.min(end, bounds[last]!)
    const repeated = repeatedEnd - Math.max(start, counted)
    if (repeated > 0) {
      if (again === 0) firstAgain = start
      again += repeated
      counted = repeatedEnd
    }
    if (end > bounds[last]!) bounds[last] = end
  }
  return { bounds, again, firstAgain }
}
