/** Where in a file the state of a fuse is written. */
import { fieldAt } from './field-at'
import type { FuseFile } from './fuse-file'

/**
 * Byte offset of the digit that gives each fuse its state, in the order of `fuses`; null for a fuse that no list
 * holds (it
 * took the default). Of several lists the last one counts. In a K field one hexadecimal digit stands for four fuses.
 */
export function placesOfFuses(file: FuseFile, fuses: readonly number[]): readonly (number | null)[] {
  const places = new Map<number, number | null>(fuses.map((fuse) => [fuse, null]))
  for (let i = 0; i < file.fields.count; i++) {
    const start = file.fields.starts[i]!
    const letter = String.fromCharCode(file.bytes[start]! & 0x7f)
    if ((letter !== 'L' && letter !== 'K') || (i === 0 && file.fields.hasDesignSpecification)) continue
    const { text } = fieldAt(file, i)
    const head = /^[LK]\s*(\d+)/.exec(text)
    if (!head) continue
    const [width, digit] = letter === 'K' ? ([4, /[\dA-Fa-f]/] as const) : ([1, /[01]/] as const)
    let fuse = Number(head[1])
    for (let at = head[0].length; at < text.length; at++) {
      if (!digit.test(text[at]!)) continue
      for (let bit = 0; bit < width; bit++, fuse++) if (places.has(fuse)) places.set(fuse, start + at)
    }
  }
  return fuses.map((fuse) => places.get(fuse)!)
}
