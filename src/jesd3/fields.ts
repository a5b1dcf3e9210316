/** The fields of a fuse file, one function an identifier. Each takes the span from identifier to asterisk (exclusive). */
import { isLooseBlank, markListed, packDigits, packHexDigits, reserve } from './fuse-lists'
import { tally, type OddList, type Reading } from './reading'
import { readPinOrder, readVector } from './test-vectors'
import { ASTERISK, CR, ETX, isDelimiter, LF, quote, SPACE, STX, textOf } from './text'
import { READING_WORDS } from '../findings/reading-findings'
import type { Bit } from '../fuses/fuse-map'
import type { Span } from './fuse-file'

type FieldReader = (reading: Reading, span: Span) => void

/** One reader an identifier, with the clause of 3-A (or of the manuals that reproduce it) that it follows. L is read by readList. */
const READERS: Readonly<Record<string, FieldReader>> = {
  Q: readValue, // value fields
  F: readDefaultFuse, // fuse information fields, default
  K: readHexList, // extension: fuse list in hexadecimal
  C: readFuseSum, // fuse checksum field
  G: readSecurity, // programmer/tester options, security fuse
  E: readElectricalData, // extension
  U: readUserData, // extension
  N: readNote, // note field
  D: readDevice, // device identification, obsolete
  J: readOther, // extension from memory: device identification codes
  A: readOther, // access time
  S: readOther, // signature analysis
  R: readOther,
  T: readOther,
  X: readDefaultCondition, // default test condition
  P: (reading, span) => {
    remarkOrder(reading, 'P', reading.tests.vectors.size > 0, span)
    remarkRepeated(reading, 'P', span)
    readPinOrder(reading.bytes, span, reading.tests)
  },
  V: (reading, span) => {
    readVector(reading.bytes, span, reading.tests, { limit: reading.limits.maxVectors, findings: reading.findings })
  },
}

/** Reserved by 3-A: a receiver ignores fields that begin with them. */
const RESERVED = 'BHIMOWYZ'

/** Fields in which blanks before the asterisk are a deviation; lists and free text allow them. */
const TIGHT = 'QFCGXPV'

/**
 * Reads the field whose identifier stands at `start`. Returns the offset of the byte that ends it: an asterisk, or
 * ETX, or the end of the bytes. A field that only the end of the bytes ends may have been cut, and is not read unless
 * it is a list or a complete fuse checksum.
 */
export function readField(reading: Reading, start: number): number {
  const { bytes } = reading
  const first = bytes[start]! & 0x7f
  if (first === LETTER_L) {
    if (bytes[start]! >= 0x80) tally(reading, 'file/eighth-bit', start)
    return readList(reading, start)
  }
  const end = scanField(reading, start)
  const span = { start, end }
  const identifier = String.fromCharCode(first)
  if (end === bytes.length && !(first === LETTER_C && /^[0-9A-Fa-f]{4}$/.test(bodyText(reading, span)))) return end
  if (TIGHT.includes(identifier) && isDelimiter(bytes[end - 1]!) && bytes[end] === ASTERISK) tally(reading, 'file/blank-before-terminator', end - 1)
  const reader = READERS[identifier]
  if (reader) reader(reading, span)
  else if (RESERVED.includes(identifier)) {
    tally(reading, 'file/reserved-identifier', start)
    readOther(reading, span)
  } else tally(reading, 'file/unknown-identifier', start)
  return end
}

const LETTER_C = 0x43
const LETTER_L = 0x4c

/** Walks to the end of a field other than a list and counts the characters that the standard does not know. */
export function scanField(reading: Reading, start: number): number {
  const { bytes } = reading
  let i = start
  for (; i < bytes.length; i++) {
    const c = bytes[i]!
    if (c === ASTERISK || c === ETX) break
    if (c >= 0x80) tally(reading, 'file/eighth-bit', i)
    else if (c < SPACE ? c !== CR && c !== LF : c === 0x7f) tally(reading, c === STX ? 'file/stray-start-mark' : 'file/control-character', i)
  }
  return i
}

function bodyText(reading: Reading, span: Span): string {
  return textOf(reading.bytes, span.start + 1, span.end).trim()
}

function malformed(reading: Reading, span: Span): void {
  const field = textOf(reading.bytes, span.start, span.start + 1)
  reading.findings.add('file/field-malformed', { offset: span.start }, { field, text: quote(textOf(reading.bytes, span.start, Math.min(span.end, span.start + 25))) })
}

/** True the first time that `key` comes by. */
function firstTime(reading: Reading, key: string): boolean {
  return !reading.seen.has(key) && !!reading.seen.add(key)
}

function remarkRepeated(reading: Reading, field: string, span: Span): void {
  if (!firstTime(reading, field) && firstTime(reading, `${field} again`)) reading.findings.add('file/field-repeated', { offset: span.start }, { field })
}

function remarkOrder(reading: Reading, field: string, late: boolean, span: Span): void {
  if (late && firstTime(reading, `${field} late`)) reading.findings.add('file/field-order', { offset: span.start }, { field })
}

function remarkExtension(reading: Reading, field: 'K' | 'E' | 'U', span: Span): void {
  if (firstTime(reading, `${field} extension`)) reading.findings.add('file/extension-field', { offset: span.start }, { field, meaning: READING_WORDS[field] })
}

/** One binary digit of an F or X field, or null with a finding. */
function readBit(reading: Reading, span: Span): Bit | null {
  const text = bodyText(reading, span)
  if (text === '0' || text === '1') return text === '1' ? 1 : 0
  malformed(reading, span)
  return null
}

function readValue(reading: Reading, span: Span): void {
  const parts = /^([FPV])\s*(\d+)$/.exec(bodyText(reading, span))
  if (!parts) {
    malformed(reading, span)
    return
  }
  const field = `Q${parts[1]}`
  const value = Math.min(Number(parts[2]), Number.MAX_SAFE_INTEGER)
  const before = reading.values.get(field)
  if (before && before.value !== value) reading.findings.add('file/value-conflict', { offset: span.start }, { field, first: before.value, second: value })
  else remarkRepeated(reading, field, span)
  remarkOrder(reading, field, reading.lastListAt >= 0 || ['F', 'C', 'X', 'P'].some((f) => reading.seen.has(f)) || reading.tests.vectors.size > 0, span)
  reading.values.set(field, { value, offset: span.start })
  if (field === 'QF' && !reading.preset) setFuseCount(reading, value)
}

function setFuseCount(reading: Reading, count: number): void {
  if (reading.lastListAt >= 0 && reading.fuseCount !== count) reading.countCameLate = true
  reading.fuseCount = count
  if (count <= reading.limits.maxFuses) reserve(reading.store, count, count)
}

function readDefaultFuse(reading: Reading, span: Span): void {
  remarkRepeated(reading, 'F', span)
  remarkOrder(reading, 'F', reading.lastListAt >= 0, span)
  reading.defaultFuse = readBit(reading, span) ?? reading.defaultFuse
}

function readDefaultCondition(reading: Reading, span: Span): void {
  remarkRepeated(reading, 'X', span)
  remarkOrder(reading, 'X', reading.tests.vectors.size > 0, span)
  reading.defaultCondition = readBit(reading, span) ?? reading.defaultCondition
}

/** Addresses at or above this are past every limit; digits beyond it change nothing. */
const HUGE_ADDRESS = 1e12

/** Reads an L field, packing its digits while its end is looked for. Returns the offset of the byte that ends it. */
function readList(reading: Reading, start: number): number {
  const { bytes, list, store } = reading
  let i = start + 1
  for (; isDelimiter(bytes[i]!) || isLooseBlank(bytes[i]!); i++) if (isLooseBlank(bytes[i]!)) tally(reading, 'file/control-character', i)
  const digitsAt = i
  let address = 0
  for (let digit = (bytes[i]! & 0x7f) - 0x30; digit >= 0 && digit <= 9; digit = (bytes[++i]! & 0x7f) - 0x30) {
    if (address < HUGE_ADDRESS) address = address * 10 + digit
    if (bytes[i]! >= 0x80) tally(reading, 'file/eighth-bit', i)
  }
  if (i === digitsAt) {
    addOddList(reading, { offset: start, character: '', count: 0 })
    return scanField(reading, i)
  }
  if (reading.fuseCount === null) {
    const star = bytes.indexOf(ASTERISK, i)
    reserve(store, address + (star < 0 ? bytes.length : star) - i, reading.limits.maxFuses)
  }
  if (bytes[i] === SPACE) i++
  packDigits(bytes, i, address, reading.packing)
  reading.lastListAt = start
  takeList(reading, start, address, list.count)
  return list.next
}

/** Books a list of `count` fuses from `address`, and says what is wrong with it. */
function takeList(reading: Reading, start: number, address: number, count: number): void {
  const { findings, list } = reading
  const end = address + count
  const limit = reading.fuseCount ?? reading.limits.maxFuses
  if (list.loose > 0) tally(reading, 'file/control-character', list.looseAt, list.loose)
  if (list.eighth > 0) tally(reading, 'file/eighth-bit', list.eighthAt, list.eighth)
  if (list.strange > 0) addOddList(reading, { offset: list.strangeAt, character: quote(textOf(reading.bytes, list.strangeAt, list.strangeAt + 1)), count: list.strange })
  if (end > limit && count > 0) reportPastEnd(reading, start, end - 1)
  else if (count === 0) findings.add('file/list-empty', { offset: start }, { address })
  markListed(reading.store, Math.min(address, limit), Math.min(end, limit))
}

/** Keeps an odd list until the fuse checksum is known; no more of them than findings are listed. */
function addOddList(reading: Reading, list: OddList): void {
  if (reading.oddLists.length < reading.limits.maxFindings) reading.oddLists.push(list)
}

function reportPastEnd(reading: Reading, start: number, last: number): void {
  const total = reading.fuseCount
  if (total !== null) {
    reading.findings.add('file/list-past-end', { offset: start }, { last, total, highest: total - 1 })
    return
  }
  if (!reading.tooManyFuses) reading.findings.add('file/too-many-fuses', { offset: start }, { count: last + 1, limit: reading.limits.maxFuses })
  reading.tooManyFuses = true
}

function readHexList(reading: Reading, span: Span): void {
  remarkExtension(reading, 'K', span)
  const parts = /^(\d+)\s+([0-9A-Fa-f\s]*)$/.exec(bodyText(reading, span))
  if (!parts) {
    malformed(reading, span)
    return
  }
  const digits = parts[2]!.replace(/\s+/g, '')
  const address = Math.min(Number(parts[1]), HUGE_ADDRESS)
  // Surplus bits of a last digit past the fuse count belong to no fuse (the manuals do not say more).
  const room = reading.fuseCount === null ? Infinity : Math.max(0, reading.fuseCount - address)
  const count = digits.length * 4 - room < 4 ? Math.min(digits.length * 4, room) : digits.length * 4
  if (reading.fuseCount === null) reserve(reading.store, address + count, reading.limits.maxFuses)
  packHexDigits(digits, reading.store, address)
  reading.lastListAt = span.start
  reading.list.strange = reading.list.loose = reading.list.eighth = 0
  takeList(reading, span.start, address, count)
}

function readFuseSum(reading: Reading, span: Span): void {
  const text = bodyText(reading, span)
  if (!/^[0-9A-Fa-f]{1,8}$/.test(text)) {
    malformed(reading, span)
    return
  }
  remarkRepeated(reading, 'C', span)
  if (/[a-f]/.test(text)) reading.findings.add('file/lower-case-hex', { offset: span.start }, { text })
  reading.sums.push({ offset: span.start, text })
}

function readSecurity(reading: Reading, span: Span): void {
  const text = bodyText(reading, span)
  if (!/^\d+$/.test(text)) {
    malformed(reading, span)
    return
  }
  remarkRepeated(reading, 'G', span)
  reading.securityField = String(Number(text.slice(0, 9)))
  reading.securityAt = span.start
}

function readElectricalData(reading: Reading, span: Span): void {
  const bits = bodyText(reading, span).replace(/\s+/g, '')
  if (!/^[01]+$/.test(bits)) {
    malformed(reading, span)
    return
  }
  remarkRepeated(reading, 'E', span)
  remarkExtension(reading, 'E', span)
  reading.electricalData = bits
  reading.electricalAt = span.start
}

function readUserData(reading: Reading, span: Span): void {
  const text = bodyText(reading, span)
  const form = text.startsWith('H') ? 'hexadecimal' : text.startsWith('A') ? 'text' : 'binary'
  const body = form === 'text' ? text.slice(1) : text.slice(form === 'binary' ? 0 : 1).replace(/\s+/g, '')
  if (form !== 'text' && !(form === 'binary' ? /^[01]+$/ : /^[0-9A-Fa-f]+$/).test(body)) {
    malformed(reading, span)
    return
  }
  remarkRepeated(reading, 'U', span)
  remarkExtension(reading, 'U', span)
  reading.userData = { form, text: body }
}

function readNote(reading: Reading, span: Span): void {
  // Often written NOTE; the identifier is N all the same, and the rest of the word is no part of the text.
  reading.notes.push(bodyText(reading, span).replace(/^OTE\s+/, ''))
}

function readDevice(reading: Reading, span: Span): void {
  if (firstTime(reading, 'D')) reading.findings.add('file/device-field', { offset: span.start })
  readOther(reading, span)
}

function readOther(reading: Reading, span: Span): void {
  reading.otherFields.push(textOf(reading.bytes, span.start, span.end).trim())
}
