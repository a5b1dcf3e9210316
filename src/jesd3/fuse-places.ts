/** Where in a file the state of a fuse is written, by the same steps that read the lists. */
import { fieldAt } from './field-at'
import { withoutParity } from './frame'
import type { FuseFile } from './fuse-file'
import { HEX_LIST, readListHead, stateOf, type ListHead } from './fuse-lists'
import { ASTERISK, ETX } from './text'

/** Takes each fuse that a list sets, in the order of the file, with the offset of its digit. */
type Take = (fuse: number, offset: number) => void

/**
 * Byte offset of the digit that gives each fuse its state, in the order of `fuses`; null for a fuse that no list
 * holds (it took the default). Of several lists the last one counts. In a K field one hexadecimal digit stands for
 * four fuses.
 */
export function placesOfFuses(file: FuseFile, fuses: readonly number[]): readonly (number | null)[] {
  const places = new Map<number, number | null>(fuses.map((fuse) => [fuse, null]))
  const take: Take = (fuse, offset) => places.has(fuse) && places.set(fuse, offset)
  const { bytes } = withoutParity(file.bytes)
  for (let i = file.fields.hasDesignSpecification ? 1 : 0; i < file.fields.count; i++) {
    const start = file.fields.starts[i]!
    const letter = String.fromCharCode(bytes[start]! & 0x7f)
    if (letter === 'L') takeList(bytes, start, take)
    else if (letter === 'K') takeHexList(file, i, take)
  }
  return fuses.map((fuse) => places.get(fuse) ?? null)
}

function takeList(bytes: Uint8Array, start: number, take: Take): void {
  const head: ListHead = { address: 0, hasAddress: false, next: start, odd: () => undefined }
  readListHead(bytes, start, head)
  if (!head.hasAddress) return
  let fuse = head.address
  for (let at = head.next; at < bytes.length && bytes[at] !== ASTERISK && bytes[at] !== ETX; at++)
    if (stateOf(bytes[at]!) <= 1) take(fuse++, at)
}

function takeHexList(file: FuseFile, index: number, take: Take): void {
  const { start, end, text } = fieldAt(file, index)
  const body = text.slice(1).trim()
  const isOpenAtEnd = end === file.bytes.length && end - start === text.length
  if (isOpenAtEnd || !HEX_LIST.test(body)) return
  const digitsAt = text.indexOf(body, 1) + /^\d+/.exec(body)![0].length
  let fuse = parseInt(body, 10)
  for (let at = digitsAt; at < text.length; at++)
    if (/\S/.test(text[at]!)) for (let bit = 0; bit < 4; bit++) take(fuse++, start + at)
}
