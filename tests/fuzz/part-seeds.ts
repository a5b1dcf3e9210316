/** Parts that documents can hold: small ones of the tests, and some of the catalogue as JSON. */
import { findDevice } from '../../src/index'
import { asynchronousDocument, cellDocument, orDocument, sizeDocument } from '../parts/part-documents'
import type { Json } from './documents'

export const PART_DOCUMENTS: readonly Json[] = [
  cellDocument(),
  orDocument(),
  asynchronousDocument(),
  sizeDocument(),
  ...['14L4', '16V8', '22V10', '20RA10'].map((part) => JSON.parse(JSON.stringify(findDevice(part))) as Json),
]
