/** The data of findings hold codes, numbers and addresses: others word a finding from these. What is a text there. */
import { findingCatalogue, type FindingValue } from '../src/index'

/** Parameters that hold texts, and whose they are: quoted in every language as they stand. */
export const QUOTED = {
  text: 'the file, or the signature of the chip',
  field: 'the file',
  character: 'the file',
  net: 'the board; a net without a name has that of its one pin',
  nets: 'the board',
  of: 'the board: names of diodes, resistors, parts and nets',
  part: 'the board, or the data of the part',
  fuses: 'the data of the part: names of fuses',
  source: 'the data of the part, which cite publications',
} as const

const CODES: object = findingCatalogue()

const isCode = (value: string, name: string): boolean =>
  name === 'code' ? Object.hasOwn(CODES, value) : /^[\w-]*$/.test(value)

/** Texts in the data of a finding that are neither codes nor quoted. */
export function wordsInData(value: FindingValue, name = ''): string[] {
  if (typeof value === 'string') return Object.hasOwn(QUOTED, name) || isCode(value, name) ? [] : [value]
  if (typeof value === 'number') return []
  if (!Array.isArray(value)) return Object.entries(value).flatMap(([key, each]) => wordsInData(each, key))
  return (value as readonly FindingValue[]).flatMap((each) => wordsInData(each, name))
}
