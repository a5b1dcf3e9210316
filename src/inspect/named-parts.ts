/** What a file's own text says of the part: hints, never proof. */
import type { OwnWords } from '../findings/device-findings'
import type { FuseFile } from '../jesd3/fuse-file'
import { quote, textOf } from '../jesd3/text'
import { findDevice } from '../devices/catalogue'

/** Most text that is searched for names, in characters: a title or notes of more are no label. */
const MAX_TEXT = 65_536

/** Longest word that is taken for a name, in characters. */
const MAX_NAME = 32

/** What people read first: text before the start mark, the header, the notes. */
function labels({ bytes, frame, designSpecification, notes }: FuseFile): readonly string[] {
  const before = textOf(bytes, 0, Math.min(frame.start ?? 0, MAX_TEXT))
  return [before, designSpecification, ...notes]
}

/** Words of letters and digits, with what a dash joins to them. */
function wordsOf(texts: readonly string[]): readonly string[] {
  const words =
    texts
      .join('\n')
      .slice(0, MAX_TEXT)
      .match(/[A-Za-z0-9]+(-[A-Za-z0-9]+)*/g) ?? []
  return [...new Set(words)].filter((word) => word.length <= MAX_NAME && /\d/.test(word))
}

/** Names of the catalogue's parts that the text of a file mentions, with or without a maker's letters in front. */
export function partsNamedIn(file: FuseFile): readonly string[] {
  const fields = file.otherFields.filter((field) => field.startsWith('D')).map((field) => field.slice(1))
  const named = wordsOf([...labels(file), ...fields]).flatMap((word) => {
    const found = findDevice(word) ?? findDevice(word.replace(/^[A-Za-z]+/, ''))
    return found ? [found.part] : []
  })
  return [...new Set(named)].sort()
}

/** Letters of maker and family, two digits or more, and what follows. Common practice, no published source. */
const PART_NUMBER = /^[A-Za-z]{2,7}\d[A-Za-z]*\d/

/** Words of that form that are a date, a version or a sheet. */
const OTHER_NUMBER = /^(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|rev|ver|vers|version|page|sheet|no)[a-z]*\d/i

/** Most words that are quoted. */
const MAX_QUOTED = 4

/** What the file says of its part, as it stands there: words like part numbers, and its D and J fields. */
export function ownWordsOnPart(file: FuseFile): OwnWords {
  const numbers = wordsOf(labels(file)).filter((word) => PART_NUMBER.test(word) && !OTHER_NUMBER.test(word))
  const fields = file.otherFields
    .filter((field) => /^[DJ]/.test(field))
    .map((field) => ({ said: 'field' as const, field: field.slice(0, 1), text: quote(field.slice(1).trim()) }))
  return [...numbers.map((text) => ({ said: 'word' as const, text })), ...fields].slice(0, MAX_QUOTED)
}
