/** Test fields X, P and V as text (3-A, "Functional test information"); what they mean to a part is not known here. */
import type { TestVector } from './fuse-file'
import type { ReadingCollector } from './frame'
import { ASTERISK, isDelimiter, textOf } from './text'

/**
 * Conditions of the standard's table; D and U are later additions (from memory: drive low or high with a fast slew).
 */
const CONDITIONS = /^[0-9BCDFHKLNPUXZ]*$/

/** True for text of test conditions; a buried preload (B) may stand first only. */
export function areConditions(text: string): boolean {
  return CONDITIONS.test(text) && !text.includes('B', 1)
}

/** Text of the bytes from `from` on: the texts of vectors are cut from one that is made for many of them. */
interface NearText {
  readonly bytes: Uint8Array
  from: number
  text: string
}

/** Test fields while a file is read. */
export interface TestFields {
  /** The vectors while their numbers ascend, as they do in nearly every file. */
  readonly ascending: TestVector[]
  /** All vectors, once a number does not ascend. */
  byNumber: Map<number, TestVector> | null
  /** Most vectors that are kept. */
  readonly limit: number
  readonly near: NearText
  /** How many vectors had blanks or small letters, and the offset of the first. */
  loose: number
  looseAt: number
  pinOrder: readonly number[] | null
  pinOrderAt: number
  tooMany: boolean
}

export function startTestFields(bytes: Uint8Array, limit: number): TestFields {
  const near = { bytes, from: 0, text: '' }
  const none = { loose: 0, looseAt: 0, pinOrder: null, pinOrderAt: -1, tooMany: false }
  return { ascending: [], byNumber: null, limit, near, ...none }
}

/** How many vectors have been read. */
export function vectorCount({ ascending, byNumber }: TestFields): number {
  return byNumber?.size ?? ascending.length
}

/** True where a vector has that number; from the first number that does not ascend on, vectors stand in a map. */
function hasVector(into: TestFields, number: number): boolean {
  if (!into.byNumber && number > (into.ascending.at(-1)?.number ?? 0)) return false
  into.byNumber ??= new Map(into.ascending.map((vector) => [vector.number, vector]))
  return into.byNumber.has(number)
}

function addVector({ ascending, byNumber }: TestFields, vector: TestVector): void {
  if (byNumber) byNumber.set(vector.number, vector)
  else ascending.push(vector)
}

/** Conditions as bits: digits by the low five bits of their codes, and letters. B may stand first only. */
const DIGITS = 0x03ff_0000
const LETTERS = 0x0521_5958
const LETTER_B = 0x42

function isLaterCondition(c: number): boolean {
  if (c < 0x20 || c > 0x5f) return false
  return (((c < 0x40 ? DIGITS : LETTERS) >> (c & 31)) & 1) === 1
}

/** Most digits of a number here, and bytes of which text is made at once. */
const MAX_DIGITS = 9
const NEAR = 4096

/**
 * Reads the V field at `start` where it is as the standard writes it: a number above those before it, blanks,
 * conditions and the asterisk. Returns the offset of the asterisk; −1 for any other field, which `readVector` must
 * take.
 */
export function readPlainVector(start: number, into: TestFields): number {
  const { ascending, byNumber, limit, near } = into
  const { bytes } = near
  let i = start + 1
  let number = 0
  for (let digit = bytes[i]! - 0x30; digit >= 0 && digit <= 9; digit = bytes[++i]! - 0x30) number = number * 10 + digit
  const numberEnd = i
  while (isDelimiter(bytes[i]!)) i++
  const from = i
  if (bytes[i] === LETTER_B) i++
  while (isLaterCondition(bytes[i]!)) i++
  if (bytes[i] !== ASTERISK || i === from || from === numberEnd || numberEnd > start + 1 + MAX_DIGITS) return -1
  const last = ascending.length > 0 ? ascending[ascending.length - 1]!.number : 0
  if (byNumber || number <= last || ascending.length >= limit) return -1
  ascending.push({ number, conditions: cutText(near, from, i), offset: start })
  return i
}

function cutText(near: NearText, from: number, to: number): string {
  const { bytes } = near
  if (to > near.from + near.text.length) {
    near.from = from
    near.text = textOf(bytes, from, Math.min(bytes.length, Math.max(to, from + NEAR)))
  }
  return near.text.slice(from - near.from, to - near.from)
}

/** What a V field is read into. */
interface VectorReading {
  readonly tests: TestFields
  readonly findings: ReadingCollector
}

/** Reads the text of a V field whose V stands at `offset`. */
export function readVector(text: string, offset: number, given: VectorReading): void {
  const { tests: into, findings } = given
  const place = { offset }
  const number = /^0*(\d{1,9})(?=\D|$)/.exec(text)
  if (!number) {
    findings.add('vector/malformed', place, { reason: 'no-number' })
    return
  }
  const n = Number(number[1])
  const isAgain = hasVector(into, n)
  if (!isAgain && vectorCount(into) >= into.limit) {
    if (!into.tooMany) findings.add('vector/too-many', place, { limit: into.limit })
    into.tooMany = true
    return
  }
  const rest = text.slice(number[0].length).trim()
  const conditions = rest.replace(/\s+/g, '').toUpperCase()
  if (conditions !== rest && into.loose++ === 0) into.looseAt = offset
  if (isAgain) findings.add('vector/replaced', { ...place, vector: n }, { number: n })
  const reason =
    n === 0
      ? 'number-zero'
      : conditions === ''
        ? 'no-conditions'
        : !CONDITIONS.test(conditions)
          ? 'strange-condition'
          : conditions.includes('B', 1)
            ? 'stray-preload'
            : null
  if (reason) findings.add('vector/malformed', { ...place, vector: n }, { reason })
  if (n > 0) addVector(into, { number: n, conditions: reason ? null : conditions, offset })
}

/** Reads the text of a P field; a sequence that cannot be used is kept as an empty one. */
export function readPinOrder(text: string, offset: number, into: TestFields): void {
  into.pinOrder = /^[\d\s]+$/.test(text) ? text.split(/\s+/).map(Number) : []
  into.pinOrderAt = offset
}

/**
 * Vectors in numerical order, each with as many conditions as there are pins; others get a finding and no conditions.
 */
export function finishVectors(fields: TestFields, pinCount: number | null, findings: ReadingCollector): TestVector[] {
  const { ascending, byNumber } = fields
  const vectors = byNumber ? [...byNumber.values()].sort((a, b) => a.number - b.number) : ascending
  const width = pinCount ?? vectors.find((v) => v.conditions !== null)?.conditions?.length ?? null
  if (fields.loose > 0) findings.add('vector/layout', { offset: fields.looseAt }, { count: fields.loose })
  if (fields.pinOrder) checkPinOrder(fields, width, findings)
  vectors.forEach((vector, i) => {
    if (vector.conditions === null || vector.conditions.length === width) return
    findings.add('vector/malformed', { offset: vector.offset!, vector: vector.number }, { reason: 'wrong-width' })
    vectors[i] = { ...vector, conditions: null }
  })
  return vectors
}

function checkPinOrder(fields: TestFields, width: number | null, findings: ReadingCollector): void {
  const order = fields.pinOrder!
  const reason =
    order.length === 0
      ? 'no-pins'
      : width !== null && order.length !== width
        ? 'wrong-pin-count'
        : new Set(order.filter((pin) => pin >= 1 && pin <= order.length)).size !== order.length
          ? 'not-each-pin'
          : null
  if (!reason) return
  findings.add('vector/pin-order', { offset: fields.pinOrderAt }, { reason })
  fields.pinOrder = []
}
