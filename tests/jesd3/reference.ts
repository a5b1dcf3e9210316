/**
 * What the standard says of sums and frames, once more and as plainly as it can be put: one byte, one bit at a time,
 * with nothing of the library, so that the two cannot share an error. Also the seeded randomness of these tests.
 */

/** One byte a character, so that offsets in text are offsets in bytes. */
export function latin1(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length)
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i)
  return bytes
}

export function textFrom(bytes: Uint8Array): string {
  let text = ''
  for (const byte of bytes) text += String.fromCharCode(byte)
  return text
}

export function hex4(sum: number): string {
  return (sum % 65536).toString(16).toUpperCase().padStart(4, '0')
}

/** 3-A, "Transmission checksum": every character from STX through ETX without its parity bit, 16 bits kept. */
export function transmissionSum(bytes: Uint8Array): string {
  let sum = 0
  for (let i = bytes.indexOf(0x02); i >= 0 && i < bytes.length; i++) {
    sum += bytes[i]! % 128
    if (bytes[i] === 0x03) return hex4(sum)
  }
  throw new Error('the sum needs both marks')
}

/** 3-A, "Fuse checksum field": fuse i counts 2 to the power of its place in its word of eight. */
export function fuseSum(digits: string): string {
  let sum = 0
  for (let i = 0; i < digits.length; i++) if (digits[i] === '1') sum += 2 ** (i % 8)
  return hex4(sum)
}

/** STX, the fields, ETX and the right sum; `sum` gives another one. */
export function framed(fields: string, sum?: string): Uint8Array {
  const frame = `\x02${fields}\x03`
  return latin1(frame + (sum ?? transmissionSum(latin1(frame))))
}

/** Numbers from a seed (mulberry32), the same on every machine. */
export interface Random {
  /** A whole number from 0 to `bound` − 1. */
  below(bound: number): number
  pick<T>(from: ArrayLike<T>): T
  /** `length` characters out of `alphabet`. */
  text(length: number, alphabet: string): string
}

export function seeded(seed: number): Random {
  let state = seed
  const below = (bound: number): number => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return Math.floor((((t ^ (t >>> 14)) >>> 0) / 4294967296) * bound)
  }
  return {
    below,
    pick: (from) => from[below(from.length)]!,
    text: (length, alphabet) => Array.from({ length }, () => alphabet[below(alphabet.length)]!).join(''),
  }
}
