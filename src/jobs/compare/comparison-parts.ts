/** Parts of a comparison that are made from what was found: places of differing fuses, security, scope. */
import { placesOfFuses } from '../../jesd3/fuse-places'
import { lineIndex } from '../../jesd3/text'
import type { FuseFile } from '../../jesd3/fuse-file'
import type { Comparison, LocatedDifference, SecuritySection } from './comparison'
import type { FuseDifferences } from './fuse-differences'
import type { Found } from './relate'

/** The two files of a comparison. */
interface Files {
  readonly intended: FuseFile
  readonly readback: FuseFile
}

/** Differences with their places in both files, at most `limit` of them. */
export function locate(
  differences: FuseDifferences | null,
  { intended, readback }: Files,
  limit: number,
): Comparison['fuseDifferences'] {
  if (!differences) return { count: null, byRole: {}, groups: [], fuses: [] }
  const listed = differences.fuses.slice(0, limit)
  const numbers = listed.map(({ fuse }) => fuse)
  const positionsIn = (file: FuseFile): LocatedDifference['positions']['intended'][] => {
    const locateOffset = lineIndex(file.bytes)
    return placesOfFuses(file, numbers).map((offset) => (offset === null ? null : locateOffset(offset)))
  }
  const [first, second] = listed.length ? [positionsIn(intended), positionsIn(readback)] : [[], []]
  return {
    ...differences,
    fuses: listed.map((difference, i) => ({
      ...difference,
      positions: { intended: first[i]!, readback: second[i]! },
    })),
  }
}

/** What is known about protection, and what is wise. */
export function securitySection({ intended, readback }: Files, blank: boolean): SecuritySection {
  const asked = intended.security === 1 || readback.security === 1
  return {
    intended: intended.security,
    readback: readback.security,
    chip: blank ? 'blank-or-protected' : readback.fuses ? 'readable' : 'not-known',
    advice: [
      ...(asked ? ['A file asks for protection (G1): after it the fuses cannot be read and compared any more.'] : []),
      ...(blank
        ? [
            'If the chip is protected, it can still be compared by what it does: test vectors, or a table of its outputs.',
          ]
        : []),
      'Trade practice: leave protection off until the machine runs, and protect last, if at all.',
    ],
  }
}

/** What was compared, and what was not looked at. */
export function scopeOf({ relation, basis, pair }: Found): Comparison['scope'] {
  const fuses = relation === 'not-comparable' ? [] : ['the fuses of both maps']
  const logic =
    basis === 'logic'
      ? [
          pair?.logic
            ? `the logic of ${pair.logic.outputs.length} ${pair.logic.outputs.length === 1 ? 'output' : 'outputs'} over all inputs and all states of the registers`
            : 'the logic under every part that fits',
        ]
      : []
  return {
    compared: [...fuses, ...logic],
    notExamined: [
      'timing, glitches and speed grade',
      'drive, pull-ups and supply',
      'the socket and the board',
      ...(basis === 'logic' ? [] : ['the logic']),
    ],
  }
}
