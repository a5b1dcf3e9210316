/** Spans of fields, packed: a large file has a field a row, and an object a field would outweigh the file. */
import type { FieldTable, FuseFile, Span } from './fuse-file'
import { textOf } from './text'

export interface Spans {
  count: number
  start: Uint32Array
  end: Uint32Array
}

export function createSpans(): Spans {
  const buffer = new ArrayBuffer(512)
  return { count: 0, start: new Uint32Array(buffer, 0, 64), end: new Uint32Array(buffer, 256, 64) }
}

export function addSpan(spans: Spans, start: number, end: number): void {
  if (spans.count === spans.start.length) {
    spans.start = grown(spans.start)
    spans.end = grown(spans.end)
  }
  spans.start[spans.count] = start
  spans.end[spans.count++] = end
}

function grown(old: Uint32Array): Uint32Array {
  const bigger = new Uint32Array(old.length * 2)
  bigger.set(old)
  return bigger
}

export function tableOf(spans: Spans, hasDesignSpecification: boolean): FieldTable {
  const { count } = spans
  return { count, start: spans.start.subarray(0, count), end: spans.end.subarray(0, count), hasDesignSpecification }
}

/** One field: its identifier letter (empty for the design specification), its span and its text without the asterisk. */
export interface Field extends Span {
  readonly identifier: string
  readonly text: string
}

/** Field `index` of a file. Throws RangeError outside 0 to `fields.count` − 1. */
export function fieldAt(file: FuseFile, index: number): Field {
  const { fields, bytes } = file
  if (!(index >= 0 && index < fields.count)) throw new RangeError(`index ${index} lies outside the ${fields.count} fields`)
  const start = fields.start[index]!
  const end = fields.end[index]!
  const own = bytes.subarray(start, end)
  const text = textOf(file.parity === null ? own : own.map((c) => c & 0x7f), 0, own.length).replace(/\*$/, '')
  return { identifier: index === 0 && fields.hasDesignSpecification ? '' : (text[0] ?? ''), start, end, text }
}

/** The whole input as fields and the gaps between them, in order, without overlap; together they are the input. */
export function partsOf(file: FuseFile): readonly (Span & { readonly field: number | null })[] {
  const parts: (Span & { field: number | null })[] = []
  let at = 0
  for (let i = 0; i < file.fields.count; i++) {
    const start = file.fields.start[i]!
    const end = file.fields.end[i]!
    if (start > at) parts.push({ start: at, end: start, field: null })
    parts.push({ start, end, field: i })
    at = end
  }
  if (at < file.bytes.length) parts.push({ start: at, end: file.bytes.length, field: null })
  return parts
}
