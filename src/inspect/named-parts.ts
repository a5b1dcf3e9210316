/** What a file's own text says of the part: hints, never proof. */
import type { FuseFile } from '../jesd3/fuse-file'
import { findDevice } from '../devices/catalogue'

/** Longest text that is searched for names, in characters: a title or a note of more is no label. */
const MAX_TEXT = 65_536

/** The text of a file in which a part may be named: header, notes, device field (D). */
function labelText({ designSpecification, notes, otherFields }: FuseFile): string {
  const device = otherFields.filter((field) => field.startsWith('D')).map((field) => field.slice(1))
  return [designSpecification, ...notes, ...device].join('\n').slice(0, MAX_TEXT)
}

/** Names of the catalogue's parts that the text of a file mentions, with or without a maker's letters in front. */
export function partsNamedIn(file: FuseFile): readonly string[] {
  const words = labelText(file).match(/[A-Za-z0-9]+(-[A-Za-z0-9]+)*/g) ?? []
  const named = [...new Set(words)].flatMap((word) => partNamed(word) ?? [])
  return [...new Set(named)].sort()
}

function partNamed(word: string): string | null {
  if (!/\d/.test(word)) return null
  const found = findDevice(word) ?? findDevice(word.replace(/^[A-Za-z]+/, ''))
  return found?.part ?? null
}

/**
 * A word like the number of a part: up to seven letters of maker and family, digits, and what follows. Common practice,
 * no published source.
 */
const PART_NUMBER = /\b(?=[A-Za-z]*\d\w*\d)[A-Za-z]{2,7}\d+[A-Za-z0-9]*(?:-[A-Za-z0-9]+)*\b/g

/** Most words that are quoted. */
const MAX_QUOTED = 4

/** What the file says of its part, as it stands there: words like part numbers, and its D and J fields. */
export function ownWordsOnPart(file: FuseFile): readonly string[] {
  const numbers = [file.designSpecification, ...file.notes].join('\n').slice(0, MAX_TEXT).match(PART_NUMBER) ?? []
  const fields = file.otherFields
    .filter((field) => /^[DJ]/.test(field))
    .map((field) => `${field.slice(0, 1)} field “${field.slice(1, 41).trim()}”`)
  return [...new Set(numbers), ...fields].slice(0, MAX_QUOTED)
}
