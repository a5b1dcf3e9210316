/** What pictures of maps share: sizes, squares, labels, what is drawn. */
import type { Decoded } from '../../devices/decode'
import type { FuseMap } from '../../fuses/fuse-map'
import type { FuseDifference } from '../../jobs/compare/fuse-differences'
import { element, type Content } from './element'

/** A decoded map, with the fuses at which it differs from another one. */
export interface ShownMap {
  readonly decoded: Decoded
  readonly fuses: FuseMap
  readonly differences?: readonly FuseDifference[]
}

/** Pixels of a fuse, of the room between two signals and two cells, and of the labels at either side. */
export const SIZE = { fuse: 11, gap: 3, cellGap: 7, left: 84, right: 30, top: 22 } as const

export function squarePath(x: number, y: number, side: number): string {
  return `M${x} ${y}h${side}v${side}h-${side}z`
}

/** A label of a picture. */
export function text(x: number, y: number, words: string, anchor: string, kind?: string): Content {
  return element('text', { x, y, 'font-size': 10, 'text-anchor': anchor, class: kind }, words)
}

/** Tenths: a picture has thousands of numbers, and no eye sees more of them. */
export function round(value: number): number {
  return Math.round(value * 10) / 10
}
