/** What the library adds to a page or a program: minified and compressed, in kilobytes of 1000 bytes. */
import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { bundle } from '../bundle.mjs'

const SOURCE = new URL('../../../src/', import.meta.url)
const ENTRY = JSON.stringify(fileURLToPath(new URL('index.ts', SOURCE)))
/** Every entry of the package: the files of src itself. */
const ENTRIES = readdirSync(SOURCE)
  .filter((name) => name.endsWith('.ts'))
  .map((name) => JSON.stringify(fileURLToPath(new URL(name, SOURCE))))
const READER = `export { readFuseFile } from ${ENTRY}`

/** The catalogue of findings: texts, which grow with every code and not with what the code does. */
const WORDING = /\/(catalogue|[a-z]+-findings)$/

/** A sentence of the catalogue that every reader carries. */
const SENTENCE = 'The file is empty.'

async function compressed(source, options = {}) {
  const { code } = await bundle(source, options)
  if (code.includes(SENTENCE) === !!options.leaveOut)
    throw new Error('the catalogue of findings lies elsewhere by now')
  return gzipSync(code, { level: 9 }).length / 1000
}

export const packageSize = [
  {
    name: 'the reader alone without the wording of its findings, compressed',
    unit: 'kilobytes',
    goal: 8,
    sense: 'at most',
    measure: () => compressed(READER, { leaveOut: WORDING }),
  },
  {
    name: 'the reader alone with the wording of its findings, compressed',
    unit: 'kilobytes',
    goal: null,
    sense: 'at most',
    measure: () => compressed(READER),
  },
  {
    name: 'all entries together, compressed',
    unit: 'kilobytes',
    goal: 35,
    sense: 'at most',
    measure: () => compressed(ENTRIES.map((entry) => `export * from ${entry}`).join('\n')),
  },
]
