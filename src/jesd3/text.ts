/** Bytes as the characters of the transfer format: names of the ones that matter, positions, text. */
import { bytesOf } from '../arguments/arguments'
import type { Position } from '../findings/finding'

export const STX = 0x02
export const ETX = 0x03
export const LF = 0x0a
export const CR = 0x0d
export const SPACE = 0x20
export const ASTERISK = 0x2a

/** A file's bytes; a string is only encoded (UTF-8). Throws TypeError naming the argument otherwise. */
export function toBytes(input: Uint8Array | string, name: string): Uint8Array {
  if (typeof input === 'string') return new TextEncoder().encode(input)
  return bytesOf(input, name, 'a Uint8Array or a string')
}

/** Text of `bytes[from, to)`, one character a byte (ISO 8859-1), so that nothing is lost and offsets stay true. */
export function textOf(bytes: Uint8Array, from: number, to: number): string {
  let text = ''
  // Most texts are short, and spreading a view costs more than a few characters one by one (a fifth of reading 2 kB).
  if (to - from <= 64) {
    for (let i = from; i < to; i++) text += String.fromCharCode(bytes[i]!)
    return text
  }
  for (let i = from; i < to; i += 4096) {
    // Applied, not spread: spreading a view takes five times as long.
    const codes: unknown = bytes.subarray(i, Math.min(i + 4096, to))
    text += String.fromCharCode.apply(null, codes as number[])
  }
  return text
}

/**
 * Digits without the blanks among them, in one pass: a regular expression takes eight times as long where a blank
 * follows each digit. What is no ASCII here is a blank as well (0xA0, for a regular expression).
 */
export function withoutBlanks(text: string): string {
  const kept = new Uint8Array(text.length)
  let count = 0
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i)
    if (c > SPACE && c < 0x7f) kept[count++] = c
  }
  return textOf(kept, 0, count)
}

/** A short quotation for a message: printable characters, others as a middle dot, at most 24 of them. */
export function quote(text: string): string {
  const clean = text.replace(/[^ -~]/g, '·')
  return clean.length > 24 ? `${clean.slice(0, 23)}…` : clean
}

/** True for what may stand between fields and digits: blank, CR, LF (3-A names LF in the text, not in its grammar). */
export function isDelimiter(c: number): boolean {
  return c === SPACE || c === CR || c === LF
}

/**
 * Line and column of byte offsets. Lines are counted from the last place asked for, so that ascending offsets cost one
 * walk together, and a sound file without findings costs none.
 */
export function lineIndex(bytes: Uint8Array): (offset: number) => Position {
  const first = { offset: 0, line: 1, lineStart: 0 }
  let reached = first
  return (offset) => {
    let { offset: at, line, lineStart } = offset < reached.offset ? first : reached
    for (const to = Math.min(offset, bytes.length); at < to; at++) {
      const c = bytes[at]!
      if (c > CR) continue
      if (c === LF || (c === CR && bytes[at + 1] !== LF)) {
        line++
        lineStart = at + 1
      }
    }
    reached = { offset: at, line, lineStart }
    return { offset, line, column: offset - lineStart + 1 }
  }
}
