/** Unknown sources as words, whose values are tried one by one; `tried-levels.ts` says when that may be done. */
import { copyApplied, type AppliedWords } from './applied-words'
import type { SourceWords } from './fast-logic'
import type { Planes } from './masks'
import { MAX_TRIED_SOURCES } from './tried-levels'
import { onesInWord } from './words'

/** Unknown sources, one value of each to be tried after the other; none where there are too many, or none. */
export interface Tried {
  pins: number
  cells: number
  count: number
}

/** Notes the unknown sources of something; true where they are few enough for trying to make it certain. */
export function noteTried(
  tried: Tried,
  { pins, cells }: SourceWords,
  { low, high, unsteady }: AppliedWords,
  { q0, q1 }: Planes,
): boolean {
  tried.pins = pins & low & high & ~unsteady
  tried.cells = cells & q0 & q1
  tried.count = onesInWord(tried.pins) + onesInWord(tried.cells)
  return tried.count > 0 && tried.count <= MAX_TRIED_SOURCES
}

/** Levels and states of one assignment. */
export interface Trial {
  readonly words: AppliedWords
  readonly planes: Planes
}

/** Sets the levels and states in which the unknown sources have the values that the bits of `row` say. */
export function setTried(
  tried: Tried,
  row: number,
  { from, at, into }: { readonly from: AppliedWords; readonly at: Planes; readonly into: Trial },
): void {
  const { words, planes } = into
  copyApplied(from, words)
  planes.q0 = at.q0
  planes.q1 = at.q1
  let left = row
  for (let pins = tried.pins; pins !== 0; pins &= pins - 1, left >>= 1) {
    const bit = pins & -pins
    if (left & 1) words.low &= ~bit
    else words.high &= ~bit
  }
  for (let cells = tried.cells; cells !== 0; cells &= cells - 1, left >>= 1) {
    const bit = cells & -cells
    if (left & 1) planes.q0 &= ~bit
    else planes.q1 &= ~bit
  }
}
