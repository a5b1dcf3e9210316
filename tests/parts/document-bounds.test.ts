/** How long texts and lists of a part's document may be, and from where to where its numbers may go: each bound itself. */
import { expect, test } from 'vitest'
import { deviceErrors } from '../../src/index'
import { asynchronousDocument, cellDocument, type Document } from './part-documents'

/** Puts a value at a path such as `modes[0].name`. */
function put(document: Document, path: string, value: unknown): Document {
  const keys = path.match(/\w+/g)!
  const last = keys.pop()!
  keys.reduce((holder, key) => holder[key], document)[last] = value
  return document
}

/** Errors of a document at a path that name a length or a range. */
const told = (document: Document, path: string): string[] =>
  deviceErrors(document).flatMap((error) =>
    error.path === `device.${path}` && /entries|characters|is empty$|whole number/.test(error.message) ? [error.message] : [],
  )

const texts = (count: number): string[] => Array.from({ length: count }, (_, i) => `N${i}`)
const ones = (count: number): number[] => Array.from({ length: count }, () => 1)
const copies = (path: string) => (count: number): Document[] => {
  const one = path.match(/\w+/g)!.reduce((holder, key) => holder[key], cellDocument())
  return Array.from({ length: count }, () => structuredClone(one) as Document)
}

/** Lists: path, entries, least and most. */
const LISTS: readonly (readonly [path: string, entries: (count: number) => unknown[], least: number, most: number])[] = [
  ['aliases', texts, 0, 256],
  ['otherParts', texts, 0, 256],
  ['powerDownNames', texts, 0, 256],
  ['remarks', texts, 0, 256],
  ['sources', texts, 1, 256],
  ['shorterCounts', ones, 0, 16],
  ['carriers', copies('carriers[0]'), 0, 16],
  ['carriers[0].dipPins', ones, 1, 256],
  ['blocks', copies('blocks[0]'), 1, 256],
  ['blocks[4].names', texts, 1, 256],
  ['cells', copies('cells[0]'), 0, 256],
  ['modes', copies('modes[0]'), 0, 64],
  ['modes[0].columns', ones, 1, 256],
  ['modes[0].settings', copies('modes[0].settings[0]'), 1, 64],
  ['modes[0].select', ones, 0, 16],
  ['modes[0].cellSettings', ones, 0, 256],
  ['modes[0].settings[0].sums', copies('modes[0].settings[0].sums[0]'), 0, 16],
]

test.each(LISTS)('%s', (path, entries, least, most) => {
  const toldOf = (count: number): string[] => told(put(cellDocument(), path, entries(count)), path)
  expect([toldOf(least), toldOf(most)]).toEqual([[], []])
  const range = least > 0 ? `${least} to ${most}` : `at most ${most}`
  expect(toldOf(most + 1)).toEqual([`must have ${range} entries, not ${most + 1}`])
  if (least > 0) expect(toldOf(0)).toEqual([`must have ${range} entries, not 0`])
})

/** Texts: path, and the most characters; none may be empty but lines. */
const TEXTS: readonly (readonly [path: string, most: number, canBeEmpty: boolean])[] = [
  ['part', 64, false],
  ['aliases[0]', 64, false],
  ['fuseOrder', 64, false],
  ['carriers[0].name', 64, false],
  ['blocks[0].name', 64, false],
  ['blocks[4].names[0]', 64, false],
  ['cells[0].name', 64, false],
  ['modes[0].name', 64, false],
  ['title', 2000, true],
  ['sources[0]', 2000, true],
  ['remarks[0]', 2000, true],
]

test.each(TEXTS)('%s', (path, most, canBeEmpty) => {
  const toldOf = (length: number): string[] => told(put(cellDocument(), path, 'A'.repeat(length)), path)
  expect([toldOf(1), toldOf(most)]).toEqual([[], []])
  expect(toldOf(most + 1)).toEqual([`has ${most + 1} characters, at most ${most} are taken`])
  expect(toldOf(0)).toEqual(canBeEmpty ? [] : ['is empty'])
})

const FUSES = 262_144

/** Numbers: path, least and most. */
const NUMBERS: readonly (readonly [path: string, least: number, most: number])[] = [
  ['fuseCount', 1, FUSES],
  ['pinCount', 1, 256],
  ['groundPin', 1, 256],
  ['powerPin', 1, 256],
  ['powerDownPin', 1, 256],
  ['array.rows', 0, FUSES],
  ['array.columns', 0, FUSES],
  ['sharedRows.reset', 0, FUSES],
  ['sharedRows.clockedPreset', 0, FUSES],
  ['shorterCounts[0]', 1, FUSES],
  ['carriers[0].dipPins[0]', 0, 256],
  ['blocks[0].first', 0, FUSES],
  ['blocks[0].count', 1, FUSES],
  ['blocks[0].run', 1, FUSES],
  ['blocks[0].step', 1, FUSES],
  ['cells[0].pin', 1, 256],
  ['cells[0].firstRow', 0, FUSES],
  ['cells[0].rowCount', 0, FUSES],
  ['modes[0].columns[0]', 1, 256],
  ['modes[0].cellSettings[0]', 0, FUSES],
  ['modes[0].settings[0].enable.row', 0, FUSES],
  ['modes[0].settings[0].enable.lowPin', 1, 256],
  ['modes[0].settings[0].sums[0].from', 0, FUSES],
  ['modes[0].settings[0].sums[0].count', 1, FUSES],
  ['modes[0].settings[0].clock.pin', 1, 256],
  ['modes[0].settings[0].resetRow', 0, FUSES],
  ['modes[0].settings[0].presetRow', 0, FUSES],
  ['modes[0].settings[0].loadPin', 1, 256],
]

test.each(NUMBERS)('%s', (path, least, most) => {
  const make = (): Document => (/resetRow|presetRow|loadPin/.test(path) ? asynchronousDocument() : cellDocument())
  const documentWith = (value: number): Document => {
    const document = make()
    if (path.includes('cellSettings')) document.modes[0].cellSettings = [0]
    return put(document, path, value)
  }
  const toldOf = (value: number): string[] => told(documentWith(value), path)
  expect([toldOf(least), toldOf(most)]).toEqual([[], []])
  for (const value of [least - 1, most + 1]) {
    expect(toldOf(value)).toHaveLength(1)
    expect(toldOf(value)[0]).toMatch(new RegExp(`whole number from ${least} to ${most}\\b.*not ${value}$`))
  }
})
