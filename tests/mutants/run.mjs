// npm run mutants -- [--folder NAME] [--sample N] [--seed S] [--only TEXT]: seeded samples of the changes of each folder,
// each against the tests of that folder that run the changed place, the quickest first, until one fails. Prints every
// survivor and the score; an endless run counts as noticed. --only looks again at those whose line has the text.
import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { FOLDERS, isLeftOut } from './folders.mjs'
import { judge } from './judge.mjs'
import { mutantsOf } from './mutations.mjs'

const { values } = parseArgs({
  options: {
    folder: { type: 'string' },
    sample: { type: 'string', default: '30' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string', default: '' },
  },
})
const root = fileURLToPath(new URL('../..', import.meta.url))

/** A seeded order (mulberry32). */
function shuffled(list, seed) {
  let state = seed
  const next = () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  return list
    .map((item) => [next(), item])
    .sort((a, b) => a[0] - b[0])
    .map(([, item]) => item)
}

const nameOf = ({ path, line, what }) => `${path.slice(root.length)}:${line}: ${what}`

async function sampleFolder(name) {
  const { source, tests } = FOLDERS[name] ?? {}
  if (!source) throw new RangeError(`--folder ${name}: one of ${Object.keys(FOLDERS).join(', ')}`)
  const files = readdirSync(`${root}${source}`, { recursive: true })
    .filter((path) => path.endsWith('.ts') && !isLeftOut(`/${path}`))
    .sort()
    .map((path) => `${root}${source}/${path}`)
  const all = files.flatMap(mutantsOf)
  const drawn = shuffled(all, Number(values.seed)).slice(0, Number(values.sample))
  const sample = drawn.filter((mutant) => nameOf(mutant).includes(values.only))
  const { look, end } = await judge(name, tests, sample)
  let noticed = 0
  for (const mutant of sample) {
    const by = await look(mutant)
    if (by) noticed++
    console.log(`${by ? 'noticed ' : 'SURVIVED'} ${nameOf(mutant)}${by ? ` (${by})` : ''}`)
  }
  end()
  console.log(`| ${name} | ${all.length} | ${sample.length} | ${noticed} | ${((100 * noticed) / sample.length).toFixed(0)} % |`)
}

const names = values.folder === undefined ? Object.keys(FOLDERS) : values.folder.split(',')
for (const name of names) await sampleFolder(name)
