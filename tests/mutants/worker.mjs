// Runs the tests of a folder over one mutant after the other: the text of the changed file is put in its place as it is
// loaded, so that nothing is written under src. A mutant may never end; then the caller ends this process.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { createVitest } from 'vitest/node'

const root = fileURLToPath(new URL('../..', import.meta.url))
const { version } = JSON.parse(readFileSync(`${root}package.json`, 'utf8'))
let mutant = null

const vitest = await createVitest(
  'test',
  {
    root: `${root}tests`,
    config: false,
    watch: false,
    bail: 1,
    include: ['**/*.test.ts'],
    exclude: ['**/*growth.test.ts'],
    testTimeout: 60_000,
    pool: 'threads',
    isolate: true,
    maxWorkers: 2,
    reporters: [{}],
    silent: true,
  },
  {
    define: { __VERSION__: JSON.stringify(version) },
    plugins: [
      { name: 'mutant', enforce: 'pre', load: (id) => (mutant !== null && id === mutant.path ? mutant.text : null) },
    ],
  },
)

/** Most runs of a mutant: one that was cut short, as after a bail before it, says nothing. */
const MAX_RUNS = 3

/** True where a test of the names noticed. */
async function isNoticed(tests, changed) {
  const specifications = await vitest.globTestSpecifications(tests)
  if (specifications.length === 0) throw new Error(`no test is named ${tests.join(' or ')}`)
  for (let run = 0; run < MAX_RUNS; run++) {
    mutant = changed
    if (changed) vitest.invalidateFile(changed.path)
    const { testModules, unhandledErrors } = await vitest.runTestSpecifications(specifications, false)
    if (changed) vitest.invalidateFile(changed.path)
    if (unhandledErrors.length > 0 || testModules.some((module) => module.state() === 'failed')) return true
    if (testModules.filter((module) => module.state() === 'passed').length === specifications.length) return false
  }
  throw new Error('the tests do not run to their end')
}

process.on('message', async ({ tests, changed }) => {
  try {
    process.send({ noticed: await isNoticed(tests, changed) })
  } catch (error) {
    process.send({ error: String(error) })
  }
})
process.send({ ready: true })
