/** The fields of a file one by one, from the offsets at which they begin. */
import { checkedFile } from './checked-file'
import type { FuseFile, Span } from './fuse-file'
import { ASTERISK, ETX, textOf } from './text'

/**
 * One field: its identifier letter (empty for the design specification), its span and its text without the asterisk.
 */
export interface Field extends Span {
  /** Its letter; empty for the design specification. */
  readonly identifier: string
  /** What stands in it, without the asterisk. */
  readonly text: string
}

/**
 * Field `index` of a file.
 *
 * @param file what `readFuseFile` gave
 * @param index place of the field in the file, from 0
 * @returns identifier, text and span of the field
 * @throws TypeError for another kind of file, RangeError outside its fields
 * @example fieldAt(file, 0).start // 1
 */
export function fieldAt(file: FuseFile, index: number): Field {
  const { fields, bytes, parity } = checkedFile(file, 'file')
  if (!(Number.isInteger(index) && index >= 0 && index < fields.count))
    throw new RangeError(`index ${String(index)} lies outside the ${fields.count} fields`)
  const { start, end } = spanOf(file, index)
  const own = bytes.subarray(start, end)
  const text = textOf(parity === null ? own : own.map((c) => c & 0x7f), 0, own.length).replace(/\*$/, '')
  return { identifier: index === 0 && fields.hasDesignSpecification ? '' : (text[0] ?? ''), start, end, text }
}

/** From the first byte of a field through its asterisk, or up to ETX or the end of the bytes where it has none. */
function spanOf({ bytes, fields, parity }: FuseFile, index: number): Span {
  const mask = parity === null ? 0xff : 0x7f
  const start = fields.starts[index]!
  let end = start
  while (end < bytes.length && (bytes[end]! & mask) !== ASTERISK && (bytes[end]! & mask) !== ETX) end++
  return { start, end: (bytes[end]! & mask) === ASTERISK ? end + 1 : end }
}

/**
 * The whole input as fields and the gaps between them, in order, without overlap; together they are the input.
 *
 * @param file what `readFuseFile` gave
 * @returns spans in ascending order; `field` is the index of a field, null for a gap
 * @throws TypeError for another kind of file
 * @example partsOf(file).at(-1)?.end === bytes.length // true
 */
export function partsOf(file: FuseFile): readonly (Span & { readonly field: number | null })[] {
  const parts: (Span & { field: number | null })[] = []
  let at = 0
  for (let i = 0; i < checkedFile(file, 'file').fields.count; i++) {
    const { start, end } = spanOf(file, i)
    if (start > at) parts.push({ start: at, end: start, field: null })
    parts.push({ start, end, field: i })
    at = end
  }
  if (at < file.bytes.length) parts.push({ start: at, end: file.bytes.length, field: null })
  return parts
}
