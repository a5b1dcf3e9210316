// A process for the tests, which stays until a mutant does not end: a new one then takes its place.
import { fork } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** Milliseconds for the start of a process and for the tests of a folder without any change. */
const FIRST_PATIENCE = 1_200_000
/** Milliseconds between looks at what has been noted. */
const LOOK = 500

export function createHost(tests) {
  const folder = mkdtempSync(join(tmpdir(), 'mutants-'))
  const plan = join(folder, 'plan.json')
  const log = join(folder, 'log.jsonl')
  let child = null
  /** Milliseconds of the processor that the child has taken. */
  let cpu = 0

  /** What the child answers; `endless` where it ended first, or where `isEndless` of its time and the notes says so. */
  const ask = (message, isEndless) =>
    new Promise((resolve) => {
      const asked = child
      const end = (answer) => {
        clearInterval(looking)
        asked.removeAllListeners()
        if (answer.endless) {
          asked.kill('SIGKILL')
          child = null
        }
        resolve(answer)
      }
      const start = cpu
      const looking = setInterval(() => {
        if (isEndless(cpu - start, notes)) end({ endless: true })
      }, LOOK)
      asked.on('message', (answer) => {
        if (answer.cpu === undefined) end(answer)
        else cpu = answer.cpu
      })
      asked.once('exit', () => end({ endless: true }))
      if (message) asked.send(message)
    })

  const notes = () =>
    readFileSync(log, 'utf8')
      .split('\n')
      .filter((line) => line.endsWith('}'))
      .map((line) => JSON.parse(line))

  const isTooLong = (time) => time > FIRST_PATIENCE
  const started = async () => {
    if (child) return
    const options = { stdio: ['ignore', 'ignore', 'inherit', 'ipc'], env: { ...process.env, MUTANTS_PLAN: plan } }
    child = fork(fileURLToPath(new URL('worker.mjs', import.meta.url)), [], options)
    cpu = 0
    await ask(null, isTooLong)
    const { error, files } = await ask({ tests }, isTooLong)
    if (error) throw new Error(error)
    host.files = files
  }

  const host = {
    files: [],
    start: started,
    /** Runs files with texts of src changed, and tries `mutants` at each test; gives the answer with what was noted. */
    async run({ files, texts, mutants = [] }, isEndless = isTooLong) {
      await started()
      writeFileSync(plan, JSON.stringify({ log, mutants }))
      writeFileSync(log, '')
      const answer = await ask({ files, texts }, isEndless)
      if (answer.error && mutants.length === 0) throw new Error(answer.error)
      return { ...answer, notes: notes() }
    },
    end() {
      child?.kill()
      rmSync(folder, { recursive: true })
    },
  }
  return host
}
