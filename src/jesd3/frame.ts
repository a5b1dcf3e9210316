/**
 * Framing (3-A, "Transmission protocol"): STX, fields, ETX, four hexadecimal digits; text before and after is
 * ignored.
 */
import type { FuseFile } from './fuse-file'
import type { FindingCollector } from '../findings/finding'
import type { READING_FINDINGS } from '../findings/reading-findings'
import { isDelimiter, STX, textOf } from './text'

export type ReadingCollector = FindingCollector<typeof READING_FINDINGS>

/** The file as a receiver sees it: parity bits taken off where every byte carries one. */
export interface Received {
  readonly bytes: Uint8Array
  /** Which parity was taken off; null for none. */
  readonly parity: FuseFile['parity']
  /** Offset of STX, or null. */
  readonly start: number | null
}

/** What follows ETX. */
export interface StatedTransmissionSum {
  /** Hexadecimal digits as written, null when none stand there. */
  readonly text: string | null
  /** Their offset, or that of the place where they should stand. */
  readonly offset: number
}

/**
 * Which parity every byte carries, or null. A file with a few bytes above 127 has no parity; it has accents, and an
 * accent must not end a field because its low seven bits look like an asterisk.
 */
function parityOf(bytes: Uint8Array): FuseFile['parity'] {
  let candidates = 7
  let marked = 0
  for (let i = 0; i < bytes.length && candidates; i++) {
    const c = bytes[i]!
    marked |= c
    let odd = c ^ (c >> 4)
    odd ^= odd >> 2
    odd = (odd ^ (odd >> 1)) & 1
    if (c < 0x80) candidates &= ~1
    candidates &= odd ? ~2 : ~4
  }
  if (!(marked & 0x80) || candidates === 0) return null
  if (candidates & 1) return 'always-1'
  return candidates & 2 ? 'even' : 'odd'
}

/** The bytes without parity, and which parity it was; the very same bytes where there is none. */
export function withoutParity(raw: Uint8Array): Omit<Received, 'start'> {
  const parity = parityOf(raw)
  return { bytes: parity ? raw.map((c) => c & 0x7f) : raw, parity }
}

/** Finds the start mark. Where the frame ends shows while the fields are read. */
export function receive(raw: Uint8Array): Received {
  const view = withoutParity(raw)
  const start = view.bytes.indexOf(STX)
  return { ...view, start: start < 0 ? null : start }
}

/** Longest run of digits that is taken for one sum; a longer one is four digits with text behind them. */
const LONGEST_SUM = 5

/** Reads the digits after the ETX at `end`. */
export function receiveSum(bytes: Uint8Array, end: number): StatedTransmissionSum {
  let offset = end + 1
  while (offset < bytes.length && isDelimiter(bytes[offset]!)) offset++
  const digits = /^[0-9A-Fa-f]*/.exec(textOf(bytes, offset, Math.min(bytes.length, offset + LONGEST_SUM + 1)))![0]
  // Behind a blank or a line end only four digits are a sum; other words may begin with such letters.
  if (digits === '' || (offset > end + 1 && digits.length !== 4)) return { text: null, offset: end + 1 }
  return { text: digits.length > LONGEST_SUM ? digits.slice(0, 4) : digits, offset }
}
