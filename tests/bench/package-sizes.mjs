/**
 * What an entry, or one function of it, adds to a page or a program: minified and compressed, in kilobytes of 1000
 * bytes. The bench shows these sizes beside their goals; tests/package-size.test.ts holds them below `most`.
 */
import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { bundle } from './bundle.mjs'

const SOURCE = new URL('../../src/', import.meta.url)
/** An entry of the sources, as the text of an import names it. */
export const moduleOf = (entry) => JSON.stringify(fileURLToPath(new URL(`${entry}.ts`, SOURCE)))
const only = (name) => `export { ${name} } from ${moduleOf('index')}`
const whole = (entry) => `export * from ${moduleOf(entry)}`

/** Every entry of the package: the files of src itself. */
export const ENTRY_NAMES = readdirSync(SOURCE)
  .filter((name) => name.endsWith('.ts'))
  .map((name) => name.slice(0, -'.ts'.length))
  .sort()

/**
 * The catalogue of findings and the language of its texts, which grow with every code and not with what the code does.
 */
const WORDING = /\/(catalogue|wording|[a-z]+-findings)$/

/** A sentence of the catalogue that every reader carries. */
const SENTENCE = 'The file is empty.'

/**
 * Sizes: `goal` is what is aimed at, `most` what a change may reach; it lies some two per cent above what was measured.
 * An entry holds all that it passes on, so that entries share much.
 */
export const SIZES = [
  {
    name: 'the reader alone without the wording of its findings',
    source: only('readFuseFile'),
    leaveOut: WORDING,
    goal: 8,
    most: 9.2,
  },
  { name: 'the reader alone with the wording of its findings', source: only('readFuseFile'), goal: 11.5, most: 12.7 },
  { name: 'verify alone', source: only('verify'), goal: 28, most: 58.8 },
  { name: 'compare alone', source: only('compare'), goal: 42, most: 89 },
  { name: 'the entry index', source: whole('index'), goal: 90, most: 105 },
  { name: 'the entry logic', source: whole('logic'), goal: 34, most: 37.5 },
  { name: 'the entry vectors', source: whole('vectors'), goal: 90, most: 101.6 },
  { name: 'the entry capture', source: whole('capture'), goal: 74, most: 85.4 },
  { name: 'the entry board', source: whole('board'), goal: 78, most: 87.7 },
  { name: 'the entry report', source: whole('report'), goal: 42, most: 61 },
  { name: 'all entries together', source: ENTRY_NAMES.map(whole).join('\n'), goal: 180, most: 209.3 },
]

/** The size of one of SIZES in kilobytes. */
export async function compressedSize({ source, leaveOut }) {
  const { code } = await bundle(source, { leaveOut })
  if (source.includes('readFuseFile') && code.includes(SENTENCE) === !!leaveOut)
    throw new Error('the catalogue of findings lies elsewhere by now')
  return gzipSync(code, { level: 9 }).length / 1000
}
