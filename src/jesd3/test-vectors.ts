/** Test fields X, P and V as text (3-A, "Functional test information"); what they mean to a part is not known here. */
import type { TestVector } from './fuse-file'
import type { ReadingCollector } from './frame'

/**
 * Conditions of the standard's table; D and U are later additions (from memory: drive low or high with a fast slew).
 */
const CONDITIONS = /^[0-9BCDFHKLNPUXZ]*$/

/** True for text of test conditions; a buried preload (B) may stand first only. */
export function areConditions(text: string): boolean {
  return CONDITIONS.test(text) && !text.includes('B', 1)
}

/** Test fields while a file is read. */
export interface TestFields {
  readonly vectors: Map<number, TestVector>
  /** How many vectors had blanks or small letters, and the offset of the first. */
  loose: number
  looseAt: number
  pinOrder: readonly number[] | null
  pinOrderAt: number
  tooMany: boolean
}

export function startTestFields(): TestFields {
  return { vectors: new Map(), loose: 0, looseAt: 0, pinOrder: null, pinOrderAt: -1, tooMany: false }
}

/** Reads the text of a V field whose V stands at `offset`. */
export function readVector(
  text: string,
  offset: number,
  into: TestFields,
  options: { readonly limit: number; readonly findings: ReadingCollector },
): void {
  const { findings } = options
  const place = { offset }
  const number = /^0*(\d{1,9})(?=\D|$)/.exec(text)
  if (!number) {
    findings.add('vector/malformed', place, { reason: 'no-number' })
    return
  }
  const n = Number(number[1])
  if (!into.vectors.has(n) && into.vectors.size >= options.limit) {
    if (!into.tooMany) findings.add('vector/too-many', place, { limit: options.limit })
    into.tooMany = true
    return
  }
  const rest = text.slice(number[0].length).trim()
  const conditions = rest.replace(/\s+/g, '').toUpperCase()
  if (conditions !== rest && into.loose++ === 0) into.looseAt = offset
  if (into.vectors.has(n)) findings.add('vector/replaced', { ...place, vector: n }, { number: n })
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
  if (n > 0) into.vectors.set(n, { number: n, conditions: reason ? null : conditions, offset })
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
  const vectors = [...fields.vectors.values()].sort((a, b) => a.number - b.number)
  const width = pinCount ?? vectors.find((v) => v.conditions !== null)?.conditions?.length ?? null
  if (fields.loose > 0) findings.add('vector/layout', { offset: fields.looseAt }, { count: fields.loose })
  if (fields.pinOrder) checkPinOrder(fields, width, findings)
  return vectors.map((vector) => {
    const place = { offset: vector.offset!, vector: vector.number }
    if (vector.conditions === null || vector.conditions.length === width) return vector
    findings.add('vector/malformed', place, { reason: 'wrong-width' })
    return { ...vector, conditions: null }
  })
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
