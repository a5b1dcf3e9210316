/** The codes that checking one file can give: the part of the catalogue that whoever only checks files loads. */
import { DECODING_FINDINGS, DEVICE_FINDINGS } from './device-findings'
import { EXPLANATION_FINDINGS } from './explanation-findings'
import type { CatalogueEntry } from './finding'
import { READING_FINDINGS } from './reading-findings'
import { VECTOR_FINDINGS } from './vector-findings'

/** What each of the codes that checking gives has in the catalogue. */
export type CheckGroups = typeof READING_FINDINGS &
  typeof EXPLANATION_FINDINGS &
  typeof DEVICE_FINDINGS &
  typeof DECODING_FINDINGS &
  typeof VECTOR_FINDINGS

/** Every code that checking one file can give. */
export function checkCatalogue(): Readonly<Record<keyof CheckGroups, CatalogueEntry>> {
  return { ...READING_FINDINGS, ...EXPLANATION_FINDINGS, ...DEVICE_FINDINGS, ...DECODING_FINDINGS, ...VECTOR_FINDINGS }
}
