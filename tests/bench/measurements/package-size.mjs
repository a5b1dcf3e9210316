/** What the library adds to a page or a program: minified and compressed, in kilobytes of 1000 bytes. */
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { bundle } from '../bundle.mjs'

const ENTRY = JSON.stringify(fileURLToPath(new URL('../../../src/index.ts', import.meta.url)))
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
    name: 'everything, compressed',
    unit: 'kilobytes',
    goal: 35,
    sense: 'at most',
    measure: () => compressed(`export * from ${ENTRY}`),
  },
]
