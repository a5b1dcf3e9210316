/**
 * The catalogue of findings: code → severity, wording, what to do, clause or source. Codes are never reused.
 * One file a group, so that a bundle that only reads files carries only the wording of reading.
 *
 * Severity follows the harm: an error is a file that must not be burned as it is, a warning something to look at
 * before burning, a note everything that a careful person would want to have been told.
 * "3-A" is JEDEC Standard No. 3-A, as reproduced in programmer manuals.
 */
import { ADAPTER_FINDINGS } from './adapter-findings'
import { DEVICE_FINDINGS } from './device-findings'
import { CAPTURE_FINDINGS } from './capture-findings'
import { CLOSING } from './closing-findings'
import { COMPARE_FINDINGS } from './compare-findings'
import { EXPLANATION_FINDINGS } from './explanation-findings'
import type { CatalogueEntry } from './finding'
import { READING_FINDINGS } from './reading-findings'
import { READINGS_FINDINGS } from './readings-findings'
import { VECTOR_FINDINGS } from './vector-findings'

/** Every code of the library with its entry, for listings. */
export function findingCatalogue(): Readonly<Record<string, CatalogueEntry>> {
  return {
    ...READING_FINDINGS,
    ...EXPLANATION_FINDINGS,
    ...DEVICE_FINDINGS,
    ...VECTOR_FINDINGS,
    ...COMPARE_FINDINGS,
    ...READINGS_FINDINGS,
    ...CAPTURE_FINDINGS,
    ...ADAPTER_FINDINGS,
    ...CLOSING,
  }
}
