/**
 * The fields of a fuse file, one function an identifier. Each takes the span from identifier to asterisk (exclusive).
 */
import { HEX_LIST, HUGE_ADDRESS, markListed, packDigits, packHexDigits, readListHead, reserve } from './fuse-lists'
import { tally, type ReadingState } from './reading'
import { readPinOrder, readPlainVector, readVector, vectorCount } from './test-vectors'
import { ASTERISK, CR, ETX, isDelimiter, LF, quote, SPACE, STX, textOf, withoutBlanks } from './text'
import type { Bit } from '../fuses/fuse-map'
import type { Span } from './fuse-file'

/** Takes a field of the right form: its text after the identifier, trimmed, and its span. */
type FieldReader = (reading: ReadingState, text: string, span: Span) => void

const ANYTHING = /^/

/**
 * One reader an identifier, with the form that its field must have; the clause of 3-A (or of the manuals that reproduce
 * it) stands beside each. L is read by readList.
 */
const READERS: Readonly<Record<string, readonly [form: RegExp, read: FieldReader]>> = {
  Q: [/^[FPV]\s*\d+$/, readValue], // value fields
  F: [/^[01]$/, readDefaultFuse], // fuse information fields, default
  K: [HEX_LIST, readHexList], // extension: fuse list in hexadecimal
  C: [/^[\dA-Fa-f]{1,8}$/, readFuseSum], // fuse checksum field
  G: [/^\d+$/, readSecurity], // programmer/tester options, security fuse
  E: [/^[01\s]+$/, readElectricalData], // extension
  U: [/^([01\s]+|H[\dA-Fa-f\s]+|A[^]*)$/, readUserData], // extension
  N: [ANYTHING, readNote], // note field
  D: [ANYTHING, readDevice], // device identification, obsolete
  J: [ANYTHING, readOther], // extension from memory: device identification codes
  A: [ANYTHING, readOther], // access time
  S: [ANYTHING, readOther], // signature analysis
  R: [ANYTHING, readOther],
  T: [ANYTHING, readOther],
  X: [/^[01]$/, readDefaultCondition], // default test condition
  P: [/^\d/, readPinSequence], // pin sequence
  V: [/^\d/, readTestVector], // test vectors
}

/** Fields that a file should hold once. */
const SINGLE = 'FCEUXP'

/** Reserved by 3-A: a receiver ignores fields that begin with them. */
const RESERVED = 'BHIMOWYZ'

/** Fields in which blanks before the asterisk are a deviation; lists and free text allow them. */
const TIGHT = 'QFCGXPV'

/**
 * Reads the field whose identifier stands at `start`. Returns the offset of the byte that ends it: an asterisk, or
 * ETX, or the end of the bytes. A field that only the end of the bytes ends may have been cut, and is not read unless
 * it is a list or a complete fuse checksum.
 */
export function readField(reading: ReadingState, start: number): number {
  const { bytes } = reading
  const first = bytes[start]! & 0x7f
  if (first === LETTER_L) {
    if (bytes[start]! >= 0x80) tally(reading, 'file/eighth-bit', start)
    return readList(reading, start)
  }
  if (bytes[start] === LETTER_V) {
    const vectorEnd = readPlainVector(start, reading.tests)
    if (vectorEnd >= 0) return vectorEnd
  }
  const end = scanField(reading, start)
  const span = { start, end }
  const identifier = String.fromCharCode(first)
  if (end === bytes.length && !(first === LETTER_C && /^[0-9A-Fa-f]{4}$/.test(bodyText(reading, span)))) return end
  if (TIGHT.includes(identifier) && isDelimiter(bytes[end - 1]!) && bytes[end] === ASTERISK)
    tally(reading, 'file/blank-before-terminator', end - 1)
  if (READERS[identifier]) readAs(reading, identifier, span)
  else if (RESERVED.includes(identifier)) {
    tally(reading, 'file/reserved-identifier', start)
    readOther(reading, '', span)
  } else tally(reading, 'file/unknown-identifier', start)
  return end
}

/** Fields that a chip or its verdict hangs on: one that cannot be read is more than a deviation of form. */
const WEIGHTY = 'GC'

function readAs(reading: ReadingState, field: string, span: Span): void {
  const [form, read] = READERS[field]!
  const text = bodyText(reading, span)
  if (!form.test(text)) {
    reading.findings.add(
      WEIGHTY.includes(field) ? 'file/field-unreadable' : 'file/field-malformed',
      { offset: span.start },
      { field, text: quote(field + text.slice(0, 24)) },
    )
    return
  }
  if (SINGLE.includes(field)) remarkRepeated(reading, field, span)
  read(reading, text, span)
}

const LETTER_C = 0x43
const LETTER_L = 0x4c
const LETTER_V = 0x56

/** Walks to the end of a field other than a list and counts the characters that the standard does not know. */
export function scanField(reading: ReadingState, start: number): number {
  const { bytes } = reading
  let i = start
  for (; i < bytes.length; i++) {
    const c = bytes[i]!
    if (c === ASTERISK || c === ETX) break
    if (c >= 0x80) tally(reading, 'file/eighth-bit', i)
    else if (c < SPACE ? c !== CR && c !== LF : c === 0x7f)
      tally(reading, c === STX ? 'file/stray-start-mark' : 'file/control-character', i)
  }
  return i
}

function bodyText(reading: ReadingState, span: Span): string {
  return textOf(reading.bytes, span.start + 1, span.end).trim()
}

/** True the first time that `key` comes by. */
function firstTime(reading: ReadingState, key: string): boolean {
  return !reading.seen.has(key) && !!reading.seen.add(key)
}

function remarkRepeated(reading: ReadingState, field: string, span: Span): void {
  if (!firstTime(reading, field) && firstTime(reading, `${field} again`))
    reading.findings.add('file/field-repeated', { offset: span.start }, { field })
}

/** A field that states a value once more: another one, or the same. */
function remarkConflict(
  reading: ReadingState,
  field: string,
  values: { readonly first: number | string | undefined; readonly second: number | string },
  span: Span,
): void {
  const { first = values.second, second } = values
  if (first === second) remarkRepeated(reading, field, span)
  else reading.findings.add('file/value-conflict', { offset: span.start }, { field, first, second })
}

function remarkOrder(reading: ReadingState, field: string, late: boolean, span: Span): void {
  if (late && firstTime(reading, `${field} late`))
    reading.findings.add('file/field-order', { offset: span.start }, { field })
}

const EXTENSIONS = { K: 'hexadecimal-list', E: 'electrical-data', U: 'user-data' } as const

function remarkExtension(reading: ReadingState, field: 'K' | 'E' | 'U', span: Span): void {
  if (firstTime(reading, `${field} extension`))
    reading.findings.add('file/extension-field', { offset: span.start }, { field, meaning: EXTENSIONS[field] })
}

function readValue(reading: ReadingState, text: string, span: Span): void {
  const field = `Q${text[0]}`
  const value = Math.min(Number(text.slice(1)), Number.MAX_SAFE_INTEGER)
  remarkConflict(reading, field, { first: reading.values.get(field)?.value, second: value }, span)
  remarkOrder(
    reading,
    field,
    reading.lastListAt >= 0 ||
      ['F', 'C', 'X', 'P'].some((f) => reading.seen.has(f)) ||
      vectorCount(reading.tests) > 0,
    span,
  )
  reading.values.set(field, { value, offset: span.start })
  if (field === 'QF' && !reading.preset) setFuseCount(reading, value)
}

function setFuseCount(reading: ReadingState, count: number): void {
  if (reading.lastListAt >= 0 && reading.fuseCount !== count) reading.countCameLate = true
  reading.fuseCount = count
  if (count <= reading.limits.maxFuses) reserve(reading.store, count, count)
}

function readDefaultFuse(reading: ReadingState, text: string, span: Span): void {
  remarkOrder(reading, 'F', reading.lastListAt >= 0, span)
  reading.defaultFuse = Number(text) as Bit
}

function readDefaultCondition(reading: ReadingState, text: string, span: Span): void {
  remarkOrder(reading, 'X', vectorCount(reading.tests) > 0, span)
  reading.defaultCondition = Number(text) as Bit
}

function readPinSequence(reading: ReadingState, text: string, span: Span): void {
  remarkOrder(reading, 'P', vectorCount(reading.tests) > 0, span)
  readPinOrder(text, span.start, reading.tests)
}

function readTestVector(reading: ReadingState, text: string, span: Span): void {
  readVector(text, span.start, reading)
}

/** Reads an L field, packing its digits while its end is looked for. Returns the offset of the byte that ends it. */
function readList(reading: ReadingState, start: number): number {
  const { bytes, packing, store, head } = reading
  readListHead(bytes, start, head)
  const { address } = head
  let i = head.next
  if (!head.hasAddress) {
    if (i < bytes.length && reading.oddLists.length < reading.limits.maxFindings)
      reading.oddLists.push({ list: start, offset: start, count: 0 })
    return scanField(reading, i)
  }
  if (reading.fuseCount === null) {
    const star = bytes.indexOf(ASTERISK, i)
    reserve(store, address + (star < 0 ? bytes.length : star) - i, reading.limits.maxFuses)
  }
  if (bytes[i] === SPACE) i++
  reading.lastListAt = start
  packDigits(bytes, i, address, packing)
  takeList(reading, start, address, packing.count)
  return packing.next
}

/** Books a list of `count` fuses from `address`, and says what is wrong with it. */
function takeList(reading: ReadingState, start: number, address: number, count: number): void {
  const { findings } = reading
  const end = address + count
  const limit = reading.fuseCount ?? reading.limits.maxFuses
  if (count > 0 ? end > limit : address > limit) reportPastEnd(reading, start, Math.max(address, end - 1))
  else if (count === 0) findings.add('file/list-empty', { offset: start }, { address })
  markListed(reading.store, Math.min(address, limit), Math.min(end, limit))
}

function reportPastEnd(reading: ReadingState, start: number, last: number): void {
  const total = reading.fuseCount
  if (total !== null) {
    reading.findings.add('file/list-past-end', { offset: start }, { last, total, highest: total - 1 })
    return
  }
  if (!reading.tooManyFuses)
    reading.findings.add(
      'file/too-many-fuses',
      { offset: start },
      { count: last + 1, limit: reading.limits.maxFuses },
    )
  reading.tooManyFuses = true
}

function readHexList(reading: ReadingState, text: string, span: Span): void {
  remarkExtension(reading, 'K', span)
  const number = /^\d+/.exec(text)![0]
  const digits = withoutBlanks(text.slice(number.length))
  const address = Math.min(Number(number), HUGE_ADDRESS)
  // Surplus bits of a last digit past the fuse count belong to no fuse (the manuals do not say more).
  const room = reading.fuseCount === null ? Infinity : Math.max(0, reading.fuseCount - address)
  const count = digits.length * 4 - room < 4 ? Math.min(digits.length * 4, room) : digits.length * 4
  if (reading.fuseCount === null) reserve(reading.store, address + count, reading.limits.maxFuses)
  packHexDigits(digits, reading.store, address)
  reading.lastListAt = span.start
  takeList(reading, span.start, address, count)
}

function readFuseSum(reading: ReadingState, text: string, { start }: Span): void {
  if (/[a-f]/.test(text)) reading.findings.add('file/lower-case-hex', { offset: start }, { text })
  reading.sums.push({ offset: start, text })
}

function readSecurity(reading: ReadingState, text: string, span: Span): void {
  const second = String(Math.min(Number(text), 999_999_999))
  remarkConflict(reading, 'G', { first: reading.securityField ?? undefined, second }, span)
  reading.securityField = second
  reading.securityAt = span.start
}

function readElectricalData(reading: ReadingState, text: string, span: Span): void {
  remarkExtension(reading, 'E', span)
  reading.electricalData = withoutBlanks(text)
  reading.electricalAt = span.start
}

function readUserData(reading: ReadingState, text: string, span: Span): void {
  remarkExtension(reading, 'U', span)
  reading.userData =
    text[0] === 'A'
      ? { form: 'text', text: textOf(reading.bytes, span.start + 2, span.end) }
      : { form: text[0] === 'H' ? 'hexadecimal' : 'binary', text: withoutBlanks(text.replace(/^H/, '')) }
}

function readNote(reading: ReadingState, text: string): void {
  // Often written NOTE; the identifier is N all the same, and the rest of the word is no part of the text.
  reading.notes.push(text.replace(/^OTE(?![\w])[\s:]*/, ''))
}

function readDevice(reading: ReadingState, text: string, span: Span): void {
  if (firstTime(reading, 'D')) reading.findings.add('file/device-field', { offset: span.start })
  readOther(reading, text, span)
}

/** Keeps a field as it stands, without its asterisk and without the eighth bit of its letter. */
function readOther({ bytes, otherFields }: ReadingState, _: string, { start, end }: Span): void {
  otherFields.push(String.fromCharCode(bytes[start]! & 0x7f) + textOf(bytes, start + 1, end).trimEnd())
}
