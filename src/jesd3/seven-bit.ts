/**
 * What a receiver of seven bits would read otherwise (3-A: a character has seven bits; the eighth is no part of it).
 * An eighth bit set by damage leaves both sums right, and an asterisk with it ends no field.
 */
import { differingFuses } from '../fuses/fuse-map'
import type { FuseFile } from './fuse-file'
import { looksLikeField, readFuseFile } from './read-fuse-file'
import { ASTERISK, ETX, STX, textOf } from './text'

/** What can differ between the two readings; texts are no part of it. */
export type SevenBitDifference = 'fuses' | 'security' | 'vectors' | 'sizes' | 'sums' | 'data'

/**
 * Reads the file once more without the eighth bits, where one of them could matter, and names what differs. Empty for
 * a file without such bytes, and for one in which every byte carries parity.
 */
export function sevenBitDifferences(file: FuseFile): readonly SevenBitDifference[] {
  if (file.parity !== null || firstTellingByte(file) === null) return []
  const other = readFuseFile(
    file.bytes.map((c) => c & 0x7f),
    { ...file.options, maxFindings: 1 },
  )
  const differs = Object.entries(ASPECTS).filter(
    ([, aspect]) => JSON.stringify(aspect(file)) !== JSON.stringify(aspect(other)),
  )
  const names = differs.map(([name]) => name as SevenBitDifference)
  return haveSameFuses(file, other) ? names : ['fuses', ...names]
}

const ASPECTS: Readonly<Record<Exclude<SevenBitDifference, 'fuses'>, (file: FuseFile) => unknown>> = {
  security: ({ securityField }) => securityField,
  vectors: ({ vectors, pinOrder, defaultCondition }) => [
    vectors.map(({ number, conditions }) => [number, conditions]),
    pinOrder,
    defaultCondition,
  ],
  sizes: ({ statedFuseCount, pinCount, vectorLimit }) => [statedFuseCount, pinCount, vectorLimit],
  sums: ({ checksums: { fuse, transmission } }) => [
    [fuse.stated, fuse.status],
    [transmission.stated, transmission.status],
  ],
  data: ({ electricalData, userData }) => [electricalData, userData?.form === 'text' ? 'text' : userData],
}

/** True where both readings give the same map, and both or neither of them give all of it. */
export function haveSameFuses(one: FuseFile, other: FuseFile): boolean {
  if (one.cut !== other.cut || one.uncovered.count !== other.uncovered.count) return false
  if (!one.fuses || !other.fuses) return one.fuses === other.fuses
  return one.fuses.length === other.fuses.length && differingFuses(one.fuses, other.fuses, 0).count === 0
}

/**
 * Offset of the first byte whose eighth bit could matter, or null: an accent in a note or a title does not, unless its
 * low bits are a mark or an asterisk.
 */
export function firstTellingByte({ bytes, fields }: FuseFile): number | null {
  let next = 0
  let textEnd = fields.starts[0] ?? 0
  for (let at = 0; at < bytes.length; at++) {
    if (bytes[at]! < 0x80) continue
    if (isMark(bytes[at]! & 0x7f)) return at
    if (at < textEnd) continue
    while (next < fields.count && fields.starts[next]! < at) next++
    textEnd = endOfText({ bytes, fields }, next - 1)
    if (at >= textEnd) return at
  }
  return null
}

function isMark(c: number): boolean {
  return c === ASTERISK || c === STX || c === ETX
}

/** Letters of fields whose text is free: what they say is text alone. */
const FREE_TEXT = 'NDJASRTBHIMOWYZ'

/** End of a field of free text; 0 for one whose characters mean something. */
function endOfText({ bytes, fields }: Pick<FuseFile, 'bytes' | 'fields'>, index: number): number {
  const start = fields.starts[index] ?? 0
  let end = start
  while (end < bytes.length && !isMark(bytes[end]!)) end++
  const isTitle = index === 0 && fields.hasDesignSpecification
  if (!isTitle) return FREE_TEXT.includes(String.fromCharCode(bytes[start]! & 0x7f)) ? end : 0
  const plain = bytes.slice(start, end).map((c) => c & 0x7f)
  return looksLikeField(textOf(plain, 0, plain.length)) ? 0 : end
}
