/**
 * Damage that no sum sees. A verdict of pass must never stand over other fuses, another security field, other vectors
 * or sizes than those of the sound file: single changed bytes all show. Two exchanged digits do not, where both sums
 * stay; how often that is follows from the rules of the fuse checksum alone.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { explain, readFuseFile, verify, type FuseFile } from '../../src/index'
import { sampleSize } from '../sample-size'
import { seeded, textFrom } from './reference'

const FOLDER = new URL('../../vectors/', import.meta.url)

interface Sound {
  readonly name: string
  readonly bytes: Uint8Array
  readonly options: { readonly device?: string }
}

/**
 * Every fuse file of vectors/ that passes, as one of 14L4 where its size leaves the part open, and whose transmission
 * checksum is compared: where it is left out nothing protects vectors.
 */
const SOUND: readonly Sound[] = ['published', 'demo', 'findings'].flatMap((folder) =>
  readdirSync(new URL(folder, FOLDER))
    .filter((name) => name.endsWith('.jed'))
    .sort()
    .flatMap((name) => {
      const bytes = Uint8Array.from(readFileSync(new URL(`${folder}/${name}`, FOLDER)))
      const { fuses } = readFuseFile(bytes)
      const options = fuses?.length === 448 ? { device: '14L4' } : {}
      const { verdict, checksums } = verify(bytes, options)
      const isCompared = ['match', 'mismatch'].includes(checksums.transmission.status)
      return verdict === 'pass' && isCompared ? [{ name: `${folder}/${name}`, bytes, options }] : []
    }),
)

/** What a chip and its test are made from. */
function contentOf(file: FuseFile): string {
  const { fuses, securityField, vectors, pinOrder, defaultCondition, pinCount, statedFuseCount, vectorLimit } = file
  return JSON.stringify([
    fuses && [fuses.length, textFrom(fuses.bits)],
    securityField,
    vectors.map(({ number, conditions }) => [number, conditions]),
    [pinOrder, defaultCondition],
    [pinCount, statedFuseCount, vectorLimit],
  ])
}

/** True where the changed file has another content and passes all the same. A caution of reading is none already. */
function isSilent(bytes: Uint8Array, content: string, options: Sound['options']): boolean {
  const file = readFuseFile(bytes)
  const { error, warning } = explain(file).findings.counts
  return error + warning === 0 && contentOf(file) !== content && verify(bytes, options).verdict === 'pass'
}

/** Tries changed bytes at places from STX to ETX, and names those that pass silently. */
function silentChanges(
  { name, bytes, options }: Sound,
  valuesAt: (place: number) => readonly number[],
): { readonly tried: number; readonly silent: readonly string[] } {
  const content = contentOf(readFuseFile(bytes))
  const changed = bytes.slice()
  const silent: string[] = []
  let tried = 0
  for (let at = bytes.indexOf(0x02); at <= bytes.indexOf(0x03); at++) {
    for (const value of valuesAt(at)) {
      if (value === bytes[at]) continue
      changed[at] = value
      tried++
      if (isSilent(changed, content, options)) silent.push(`${name}: ${value.toString(16)} at ${at}`)
    }
    changed[at] = bytes[at]!
  }
  return { tried, silent }
}

const ALL = Array.from({ length: 256 }, (_, value) => value)

describe('a single changed byte never passes with another content', () => {
  test('there are files to try, of all folders', () => {
    expect(SOUND.length).toBeGreaterThan(100)
    for (const folder of ['published', 'demo', 'findings'])
      expect(SOUND.filter(({ name }) => name.startsWith(folder)).length).toBeGreaterThan(0)
  })

  const shortest = [...SOUND].sort((a, b) => a.bytes.length - b.bytes.length).slice(0, sampleSize(1, SOUND.length))
  test.each(shortest.map((sound) => [sound.name, sound] as const))('all 255 other values of every byte: %s', (_, sound) => {
    const { tried, silent } = silentChanges(sound, () => ALL)
    expect(silent).toEqual([])
    expect(tried).toBe(255 * (sound.bytes.indexOf(0x03) - sound.bytes.indexOf(0x02) + 1))
  })

  test.each(['eighth bit', 'marks', 'random'])('%s, in all files', (kind) => {
    const random = seeded(71)
    const some = (values: number[]): number[] => (random.below(sampleSize(11, 1)) === 0 ? values : [])
    const valuesOf: Readonly<Record<string, (byte: number) => number[]>> = {
      'eighth bit': (byte) => some([byte ^ 0x80]),
      marks: () => some([random.pick([0x02, 0x03, 0x2a, 0x4e, 0x30, 0x31, 0x0a])]),
      random: () => some([random.below(256)]),
    }
    const results = SOUND.map((sound) => silentChanges(sound, (at) => valuesOf[kind]!(sound.bytes[at]!)))
    expect(results.flatMap(({ silent }) => silent)).toEqual([])
  })
})

/** Places of the digits of a file whose lists hold digits and blanks only, in the order of the file. */
function digitPlaces(text: string): readonly { readonly at: number; readonly fuse: number }[] {
  return [...text.matchAll(/L(\d+)\s([01\s]*)\*/g)].flatMap((list) => {
    const first = list.index + list[0].length - 1 - list[2]!.length
    const offsets = [...list[2]!].flatMap((c, i) => (/\d/.test(c) ? [first + i] : []))
    return offsets.map((at, i) => ({ at, fuse: Number(list[1]) + i }))
  })
}

test('two exchanged digits pass as often as the sums cannot see them: Σₖ n0ₖ·n1ₖ of n(n − 1)/2', () => {
  const bytes = Uint8Array.from(readFileSync(new URL('published/jesd3a-14l4.jed', FOLDER)))
  const places = digitPlaces(textFrom(bytes)).slice(-MOST_DIGITS)
  // An exchange leaves the transmission sum, and the fuse sum where both fuses stand at one place k of their words.
  const counts = Array.from({ length: 8 }, () => [0, 0])
  for (const { at, fuse } of places) counts[fuse % 8]![bytes[at]! - 0x30]!++
  const unseen = counts.reduce((sum, [zeros, ones]) => sum + zeros! * ones!, 0)
  const before = contentOf(readFuseFile(bytes))
  let silent = 0
  let pairs = 0
  for (const [i, { at: a }] of places.entries())
    for (const { at: b } of places.slice(i + 1)) {
      const exchanged = bytes.slice()
      exchanged[a] = bytes[b]!
      exchanged[b] = bytes[a]!
      pairs++
      const file = readFuseFile(exchanged)
      const { fuse, transmission } = file.checksums
      if (fuse.status === 'match' && transmission.status === 'match' && contentOf(file) !== before) silent++
    }
  expect(pairs).toBe((places.length * (places.length - 1)) / 2)
  expect([silent, unseen > 0]).toEqual([unseen, true])
})

/** Digits whose pairs are all tried: some ten thousand readings. */
const MOST_DIGITS = 160
