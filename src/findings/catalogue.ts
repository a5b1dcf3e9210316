/**
 * The catalogue of findings: code → severity, wording, what to do, clause or source. Codes are never reused.
 * One file a group, so that a bundle that only reads files carries only the wording of reading.
 *
 * Severity follows the harm: an error is a file that must not be burned as it is, a warning something to look at
 * before burning, a note everything that a careful person would want to have been told.
 * "3-A" is JEDEC Standard No. 3-A, as reproduced in programmer manuals.
 */
import { madeBy } from '../arguments/arguments'
import { ADAPTER_FINDINGS } from './adapter-findings'
import { CAPTURE_FINDINGS, IMAGE_FINDINGS } from './capture-findings'
import { checkCatalogue, type CheckGroups } from './check-catalogue'
import { CLOSING } from './closing-findings'
import { COMPARE_FINDINGS } from './compare-findings'
import { wordsOf, type CatalogueEntry, type FindingWords } from './finding'
import { DISTINGUISH_FINDINGS, EXERCISE_FINDINGS, GRADE_FINDINGS } from './grade-findings'
import { READINGS_FINDINGS } from './readings-findings'
import type { DataOf, FindingData } from './wording'

type Groups = CheckGroups &
  typeof COMPARE_FINDINGS &
  typeof READINGS_FINDINGS &
  typeof IMAGE_FINDINGS &
  typeof CAPTURE_FINDINGS &
  typeof ADAPTER_FINDINGS &
  typeof GRADE_FINDINGS &
  typeof EXERCISE_FINDINGS &
  typeof DISTINGUISH_FINDINGS &
  typeof CLOSING

/** Every code that a finding can have. */
export type FindingCode = keyof Groups

/** The data of a finding of this code, for callers who branch on the code. */
export type FindingDataOf<C extends FindingCode> = DataOf<Groups[C]>

/**
 * Every code of the library with its entry, for listings.
 *
 * @returns code → severity, wording, hint and clause, with the parameters of the wording in braces
 * @example findingCatalogue()['checksum/fuse-mismatch'].severity // 'error'
 */
export function findingCatalogue(): Readonly<Record<FindingCode, CatalogueEntry>> {
  return {
    ...checkCatalogue(),
    ...COMPARE_FINDINGS,
    ...READINGS_FINDINGS,
    ...IMAGE_FINDINGS,
    ...CAPTURE_FINDINGS,
    ...ADAPTER_FINDINGS,
    ...GRADE_FINDINGS,
    ...EXERCISE_FINDINGS,
    ...DISTINGUISH_FINDINGS,
    ...CLOSING,
  }
}

/**
 * Message, hint and clause of a finding, from its code and data alone; what data lack stays in braces.
 *
 * @param code a code of the catalogue
 * @param data the parameters of its wording
 * @returns message, hint and clause with the parameters filled in
 * @throws RangeError for a code that the catalogue does not have
 * @example findingWords('compare/equal-sums', { sum: '40AA' }).hint // 'Equal checksums do not prove equal maps.'
 */
export function findingWords(code: FindingCode, data: FindingData): FindingWords {
  madeBy(data, 'data', { keys: [], maker: 'the data of a finding' })
  const catalogue = findingCatalogue()
  if (!Object.hasOwn(catalogue, code)) throw new RangeError(`code: no finding is named ${code}`)
  return wordsOf(catalogue[code], data, catalogue)
}
