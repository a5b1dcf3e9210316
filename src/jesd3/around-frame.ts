/** What stands around and inside the frame that does not belong there: other transmissions, lost fields, wrappings. */
import { receiveSum, withoutParity } from './frame'
import type { FuseFile } from './fuse-file'
import { readFuseFile } from './read-fuse-file'
import { haveSameFuses } from './seven-bit'
import { ASTERISK, ETX, STX, textOf } from './text'

/** A start mark from which on fuses can be read as well. */
export interface OtherStart {
  readonly offset: number
  /** True where a receiver that starts there reads other fuses. */
  readonly differs: boolean
}

/** What was found around the frame; null for what is not there. */
export interface Surroundings {
  /** A start mark inside the frame: the first from which on other fuses are read. */
  readonly inside: OtherStart | null
  /** A start mark behind the frame: the first from which on other fuses are read, else the first. */
  readonly behind: OtherStart | null
  /** Offset of a field or an end mark between the frame and what follows it. */
  readonly strayField: number | null
  /** Offset of other text behind the frame. */
  readonly text: number | null
  /** What the file was saved in. */
  readonly wrapping: 'web-page' | 'mail' | null
}

/** Looks at everything outside the fields of a file, and at start marks between them. */
export function surroundingsOf(file: FuseFile): Surroundings {
  const { bytes } = withoutParity(file.bytes)
  const rest = restOf(file, bytes)
  const inside = file.frame.start === null ? null : otherStart(file, bytes, file.frame.start + 1, file.frame.end)
  const behind = otherStart(file, bytes, rest, null)
  const restEnd = behind ? bytes.indexOf(STX, rest) : bytes.length
  const text = textOf(bytes, rest, Math.min(restEnd, rest + HEAD_LENGTH)).search(/[!-~]/)
  return {
    inside,
    behind,
    strayField: strayField(bytes, rest, restEnd),
    text: text < 0 ? null : rest + text,
    wrapping: wrappingOf(file, bytes, rest),
  }
}

/** Offset behind the digits that follow ETX. */
function restOf({ frame: { end }, checksums }: FuseFile, bytes: Uint8Array): number {
  if (end === null) return bytes.length
  return receiveSum(bytes, end).offset + (checksums.transmission.stated?.length ?? 0)
}

/**
 * Most start marks from which on a file is read once more, each at the cost of one reading. Two transfers joined have
 * one; a file with more is damaged, and counts as one that differs.
 */
const MAX_STARTS = 4

function otherStart(file: FuseFile, bytes: Uint8Array, from: number, to: number | null): OtherStart | null {
  const end = to ?? bytes.length
  let first: OtherStart | null = null
  let offset = bytes.indexOf(STX, from)
  for (let tries = 0; offset >= 0 && offset < end; offset = bytes.indexOf(STX, offset + 1)) {
    const differs = tries++ >= MAX_STARTS || readsOtherwise(file, bytes.subarray(offset))
    if (differs) return { offset, differs }
    first ??= { offset, differs }
  }
  return first
}

/** True where other fuses are read from `bytes` than from the file; false where none are. */
function readsOtherwise(file: FuseFile, bytes: Uint8Array): boolean {
  const assumed = file.fuses ? { assumedFuseCount: file.fuses.length } : {}
  const other = readFuseFile(bytes, { ...file.options, ...assumed, maxFindings: 1 })
  return (other.fuses !== null || other.tooManyFuses) && !haveSameFuses(file, other)
}

/** Fields that say something of the chip or its test, by their beginnings. */
const FIELD = /^(Q[FPV]\s*\d|[FGX]\s*[01]\s*$|L\s*\d+\s|V\s*\d+\s|C[\dA-Fa-f]{4}\s*$|P\s*\d)/

/** Characters by which a field is told. */
const FIELD_HEAD = 32

/** Offset of the first field, or else of the first end mark, in bytes that should hold none; null without one. */
function strayField(bytes: Uint8Array, from: number, to: number): number | null {
  let start = from
  for (let at = from; at < to; at++) {
    if (bytes[at] !== ASTERISK && bytes[at] !== ETX) continue
    const head = textOf(bytes, start, Math.min(at, start + FIELD_HEAD))
    if (FIELD.test(head.trimStart())) return start + head.search(/\S/)
    if (bytes[at] === ETX) return at
    start = at + 1
  }
  return null
}

/** Bytes in which a wrapping is looked for. */
const HEAD_LENGTH = 4096

const PAGE = /<(!doctype|html|head|body|pre|div|span|table)\b/i
const PAGE_END = /<\/(pre|div|span|table|body|html)>/i
const MAIL = /^(Return-Path|Received|Message-ID|MIME-Version|Content-Type|Content-Transfer-Encoding):/im
const MAIL_HEAD = /^(From|To|Subject):.*[\r\n]+(From|To|Subject|Date|Cc):/im

/** What the fuse file was saved in, by common forms of pages and mails (no published source). */
function wrappingOf({ frame: { start } }: FuseFile, bytes: Uint8Array, rest: number): Surroundings['wrapping'] {
  const asterisk = bytes.indexOf(ASTERISK)
  const headEnd = start ?? (asterisk < 0 ? bytes.length : asterisk)
  const head = textOf(bytes, 0, Math.min(headEnd, HEAD_LENGTH))
  const tail = textOf(bytes, rest, Math.min(bytes.length, rest + HEAD_LENGTH))
  if (PAGE.test(head) || PAGE_END.test(tail)) return 'web-page'
  return MAIL.test(head) || MAIL_HEAD.test(head) ? 'mail' : null
}
