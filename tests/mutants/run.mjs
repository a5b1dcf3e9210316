// npm run mutants -- [--folder NAME,…] [--sample N] [--seed S] [--only TEXT]: seeded samples of the changes of each
// folder against its tests. Prints each mutant and the row of the table in DEVELOPERS.md: all mutants, the sample, how
// many of it were noticed (an endless run is), how many give the same answers, and the score without these. --only
// looks again at those whose line has the text, and can be given more than once.
import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { FOLDERS, isLeftOut } from './folders.mjs'
import { judge } from './judge.mjs'
import { mutantsOf } from './mutations.mjs'
import { SAME_ANSWERS } from './same-answers.mjs'

const { values } = parseArgs({
  options: {
    folder: { type: 'string' },
    sample: { type: 'string', default: '30' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string', multiple: true, default: [''] },
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

const isWanted = (mutant) => values.only.some((text) => nameOf(mutant).includes(text))
const hasSameAnswers = ({ path, code, what }) =>
  SAME_ANSWERS.some(
    ([file, line, change]) => path.endsWith(file) && code.includes(line) && (change === what || change === 'any'),
  )

async function sampleFolder(name) {
  const { source, tests } = FOLDERS[name] ?? {}
  if (!source) throw new RangeError(`--folder ${name}: one of ${Object.keys(FOLDERS).join(', ')}`)
  const files = readdirSync(`${root}${source}`, { recursive: true })
    .filter((path) => path.endsWith('.ts') && !isLeftOut(`/${path}`))
    .sort()
    .map((path) => `${root}${source}/${path}`)
  const all = files.flatMap(mutantsOf)
  const drawn = shuffled(all, Number(values.seed)).slice(0, Number(values.sample))
  const same = drawn.filter(hasSameAnswers)
  const sample = drawn.filter((mutant) => !same.includes(mutant) && isWanted(mutant))
  const { look, end } = await judge(name, tests, sample)
  let noticed = 0
  for (const mutant of sample) {
    const by = await look(mutant)
    if (by) noticed++
    console.log(`${by ? 'noticed ' : 'SURVIVED'} ${nameOf(mutant)}${by ? ` (${by})` : ''}`)
  }
  end()
  const score = ((100 * noticed) / sample.length).toFixed(0)
  console.log(`| ${[name, all.length, drawn.length, noticed, same.length, `${score} %`].join(' | ')} |`)
}

const names = values.folder === undefined ? Object.keys(FOLDERS) : values.folder.split(',')
for (const name of names) await sampleFolder(name)
