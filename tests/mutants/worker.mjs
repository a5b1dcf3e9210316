// Runs tests with the text of files of src changed as they are loaded, so that nothing is written under src. Each run
// has one thread, in which the test files share the modules, in the order asked for. A mutant may never end; then the
// caller ends this process.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { createVitest } from 'vitest/node'

const root = fileURLToPath(new URL('../..', import.meta.url))
const { version } = JSON.parse(readFileSync(`${root}package.json`, 'utf8'))

/** Tests that need modules of their own (vitest.config.ts). Those of growth count work, which the marks are part of. */
const ALONE = ['jesd3/limits.test.ts', 'inspect/once.test.ts']
const GROWTH = ['**/*growth.test.ts', 'jesd3/once-wrong.test.ts']

/** Path → text, of the run that goes on. */
let changed = new Map()

/** What every project is made with. */
const vite = {
  define: { __VERSION__: JSON.stringify(version) },
  plugins: [{ name: 'changed', enforce: 'pre', load: (id) => changed.get(id) ?? null }],
}

/** As it was asked for: the runner's own order is by the results of earlier runs. */
class GivenOrder {
  sort = (specifications) => specifications
  shard = (specifications) => specifications
}

const projectOf = (name, files) => ({
  ...vite,
  root: `${root}tests`,
  test: {
    name,
    testTimeout: 600_000,
    hookTimeout: 600_000,
    pool: 'threads',
    maxWorkers: 1,
    runner: `${root}tests/mutants/runner.mjs`,
    ...files,
  },
})

const vitest = await createVitest(
  'test',
  {
    root: `${root}tests`,
    config: false,
    watch: false,
    bail: 1,
    reporters: [{}],
    silent: true,
    sequence: { sequencer: GivenOrder },
    projects: [
      projectOf('shared', { include: ['**/*.test.ts'], exclude: [...ALONE, ...GROWTH], isolate: false }),
      projectOf('alone', { include: ALONE, isolate: true }),
    ],
  },
  {},
)

const keyOf = ({ project, moduleId }) => `${project.name} ${moduleId}`
/** The name of a test file for the caller → what vitest runs. */
const known = new Map()

async function filesOf(tests) {
  const specifications = await vitest.globTestSpecifications(tests)
  if (specifications.length === 0) throw new Error(`no test is named ${tests.join(' or ')}`)
  for (const specification of specifications) known.set(keyOf(specification), specification)
  return specifications.map((specification) => ({ file: keyOf(specification), ids: null }))
}

const testOf = (test) => ({ id: test.id, state: test.result().state, error: test.result().errors?.[0]?.message })

const moduleOf = (module) => ({
  file: keyOf(module),
  state: module.state(),
  path: module.moduleId,
  start: module.diagnostic().collectDuration,
  tests: [...module.children.allTests()].map(testOf),
  error: module.errors()[0]?.message,
})

async function run({ files, texts }) {
  changed = new Map(texts)
  for (const path of changed.keys()) vitest.invalidateFile(path)
  const specifications = files.map(({ file, ids }) => {
    const { project, moduleId } = known.get(file)
    return project.createSpecification(moduleId, ids ? { testIds: ids } : undefined)
  })
  const { testModules, unhandledErrors } = await vitest.runTestSpecifications(specifications, false)
  for (const path of changed.keys()) vitest.invalidateFile(path)
  return { modules: testModules.map(moduleOf), errors: unhandledErrors.map(String) }
}

process.on('message', async (message) => {
  try {
    process.send(message.tests ? { files: await filesOf(message.tests) } : await run(message))
  } catch (error) {
    process.send({ error: String(error?.stack ?? error) })
  }
})
// The caller judges by the time of the processor whether a mutant ends, since other work may hold up this one.
setInterval(() => {
  const { user, system } = process.cpuUsage()
  if (process.connected) process.send({ cpu: (user + system) / 1000 })
}, 500).unref()
process.send({ ready: true })
