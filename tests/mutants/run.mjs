// npm run mutants -- [--folder NAME] [--sample N] [--seed S]: seeded samples of the changes of each folder, each against
// the tests of that folder. Prints every survivor and the score; an endless run counts as noticed.
import { fork } from 'node:child_process'
import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { FOLDERS, isLeftOut } from './folders.mjs'
import { mutantsOf } from './mutations.mjs'

const { values } = parseArgs({
  options: {
    folder: { type: 'string' },
    sample: { type: 'string', default: '40' },
    seed: { type: 'string', default: '1' },
  },
})
const root = fileURLToPath(new URL('../..', import.meta.url))

/** Milliseconds after which a mutant counts as endless: many times what the slowest folder takes. */
const PATIENCE = 240_000

let child = null

function ask(message) {
  return new Promise((resolve, reject) => {
    const end = (answer) => {
      clearTimeout(timer)
      child?.removeAllListeners()
      resolve(answer)
    }
    const timer = setTimeout(() => {
      child.removeAllListeners()
      child.kill('SIGKILL')
      child = null
      resolve({ noticed: true, endless: true })
    }, PATIENCE)
    child.once('message', end)
    child.once('exit', (code) => {
      child = null
      clearTimeout(timer)
      if (message) resolve({ noticed: true, endless: true })
      else reject(new Error(`the worker ended with ${code}`))
    })
    if (message) child.send(message)
  })
}

async function judge(tests, changed) {
  if (!child) {
    child = fork(fileURLToPath(new URL('worker.mjs', import.meta.url)), { stdio: ['ignore', 'ignore', 'inherit', 'ipc'] })
    await ask(null)
  }
  const answer = await ask({ tests, changed })
  if (answer.error) throw new Error(answer.error)
  return answer
}

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

const names = values.folder === undefined ? Object.keys(FOLDERS) : [values.folder]
for (const name of names) {
  const { source, tests } = FOLDERS[name] ?? {}
  if (!source) throw new RangeError(`--folder ${name}: one of ${Object.keys(FOLDERS).join(', ')}`)
  const files = readdirSync(`${root}${source}`, { recursive: true })
    .filter((path) => path.endsWith('.ts') && !isLeftOut(`/${path}`))
    .sort()
    .map((path) => `${root}${source}/${path}`)
  const all = files.flatMap(mutantsOf)
  const sample = shuffled(all, Number(values.seed)).slice(0, Number(values.sample))
  if ((await judge(tests, null)).noticed) throw new Error(`the tests of ${name} fail without any change`)
  let noticed = 0
  for (const mutant of sample) {
    const answer = await judge(tests, mutant)
    if (answer.noticed) noticed++
    else console.log(`${mutant.path.slice(root.length)}:${mutant.line}: ${mutant.what}`)
  }
  console.log(`| ${name} | ${all.length} | ${sample.length} | ${noticed} | ${((100 * noticed) / sample.length).toFixed(0)} % |`)
}
child?.kill()
