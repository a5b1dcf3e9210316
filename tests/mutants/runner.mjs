// In the thread of the tests: runs each test once as it is, and then again with each mutant that is still unnoticed and
// whose mark the test has run. What it finds is a line of JSON each in a file, since a mutant may never end.
import { setMaxListeners } from 'node:events'
import { appendFileSync, readFileSync } from 'node:fs'
import { TestRunner } from 'vitest'

const OFF = -1
const MOST_MARKS = 1 << 14

globalThis.__mutant = OFF
globalThis.__reached ??= new Uint8Array(MOST_MARKS)

const { log, mutants } = JSON.parse(readFileSync(process.env.MUTANTS_PLAN, 'utf8'))
const note = (line) => appendFileSync(log, `${JSON.stringify(line)}\n`)

/** Numbers of mutants not yet noticed → the mark of each, and the tests that it is done with. */
const alive = (globalThis.__alive ??= new Map(
  mutants.map(({ number, mark, done }) => [number, { mark, done: new Set(done) }]),
))

function takeMarks() {
  const marks = []
  for (let at = globalThis.__reached.indexOf(1); at >= 0; at = globalThis.__reached.indexOf(1, at + 1)) marks.push(at)
  globalThis.__reached.fill(0)
  return marks
}

export default class MutantRunner extends TestRunner {
  outside = new Map()
  spoiled = new Set()

  /** What runs between tests counts for all tests of the file. */
  keepOutside(file) {
    const marks = this.outside.get(file) ?? new Set()
    this.outside.set(file, marks)
    for (const mark of takeMarks()) marks.add(mark)
  }

  async onAfterRunSuite(suite) {
    await super.onAfterRunSuite(suite)
    if (!('filepath' in suite)) return
    this.keepOutside(suite.file)
    note({ file: suite.filepath, reached: [...this.outside.get(suite.file)] })
  }

  async runTask(test) {
    this.keepOutside(test.file)
    const fn = TestRunner.getTestFn(test)
    const start = process.cpuUsage()
    await fn()
    const { user, system } = process.cpuUsage(start)
    const time = (user + system) / 1000
    const reached = takeMarks()
    note({ test: test.id, time, reached })
    const candidates = [...alive].filter(([, { mark, done }]) => reached.includes(mark) && !done.has(test.id))
    if (candidates.length > 0 && !this.spoiled.has(test.file)) await this.tryMutants(test, fn, candidates)
    globalThis.__reached.fill(0)
  }

  /** A test that fails when it runs again by itself says nothing of a mutant. */
  async tryMutants(test, fn, candidates) {
    // Each run adds one to the signal of the test.
    setMaxListeners(0, test.context.signal)
    if (await doesFail(fn, OFF)) return void this.spoiled.add(test.file)
    for (const [number] of candidates) {
      note({ start: number, test: test.id })
      const isNoticed = await doesFail(fn, number)
      alive.get(number).done.add(test.id)
      const isSpoiled = isNoticed && (await doesFail(fn, OFF))
      note({ end: number, test: test.id, isNoticed, isSpoiled })
      if (isNoticed) alive.delete(number)
      if (isSpoiled) return void this.spoiled.add(test.file)
    }
  }
}

async function doesFail(fn, number) {
  globalThis.__mutant = number
  try {
    await fn()
    return false
  } catch {
    return true
  } finally {
    globalThis.__mutant = OFF
  }
}
