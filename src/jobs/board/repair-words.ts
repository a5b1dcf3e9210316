/** A change that makes a board equal its original, in words. */
import { CHANGES } from '../../findings/adapter-findings'
import { fill } from '../../findings/wording'
import type { Repair } from './board-repairs'

/** A change in words: what the board is the same with. */
export function repairWords({ kind, of }: Repair): string {
  return fill(CHANGES.message, { kind, of }, CHANGES)
}
