/** Plain readings and causes, as the data of a finding and in words. */
import { CAUSES, NAMED, READINGS, type CausesData } from '../../findings/vector-findings'
import { fill } from '../../findings/wording'
import type { Cause } from '../../logic/simulation-state'
import type { PlainReading } from './check-vectors'

type ReadingCode = keyof typeof READINGS

/** The points that a reading fixes, by their codes. */
export function readingCodes({ x, registers, order }: PlainReading): readonly ReadingCode[] {
  return [
    ...(x === null ? [] : [`x-${x}` as const]),
    ...(registers === 'power-up' ? ['power-up' as const] : []),
    ...(order === 'data-then-clock' ? ['data-then-clock' as const] : []),
  ]
}

/** A reading in words. */
export function describeReading(reading: PlainReading): string {
  return fill('{reading,and}', { reading: readingCodes(reading) }, { words: { reading: READINGS } })
}

/** Most causes named in one sentence. */
const MOST_CAUSES = 2

/** Causes as data: the first of them, and how many others there are. */
export function causesData(causes: readonly Cause[]): CausesData {
  if (causes.length === 0) return { causes: [{ kind: 'input-only' }], named: 'all' }
  const named = causes.slice(0, MOST_CAUSES).map(({ kind, pin }) => ({ kind, pin }))
  const others = causes.length - named.length
  return { causes: named, ...(others > 0 ? { named: 'some', others } : { named: 'all' }) }
}

/** Causes in words. */
export function describeCauses(causes: readonly Cause[]): string {
  return fill('{causes,}{named}', causesData(causes), { words: { named: NAMED }, items: { causes: CAUSES } })
}
