// Decides which mutants of a sample the tests of a folder notice. All mutants stand in the source behind switches, and
// each test is run again with every mutant whose place it runs, the quick tests before the slow ones. A mutant whose
// place runs only while a file is loaded, or outside its tests, is tried by itself in a fresh thread.
import { OWN } from './folders.mjs'
import { createHost } from './host.mjs'
import { withSwitches } from './switches.mjs'

/** Milliseconds of the processor that a test may take unchanged to be tried in each round; a longer one never is. */
const ROUNDS = [30, 300, 3_000]
/** A mutant is tried until tests have run that take so many milliseconds unchanged; most are noticed early. */
const MOST_TIME = 30_000
/** A mutant is endless after this many times what its tests took unchanged, and this many milliseconds more. */
const PATIENCE_TIMES = 10
const PATIENCE_MORE = 5_000

const isOver = (time, unchanged) => time > PATIENCE_TIMES * unchanged + PATIENCE_MORE

/** Numbers for mutants and for the places of their marks; the texts of all files with all mutants in them. */
function switchedTexts(sample) {
  const byPath = new Map()
  const marks = new Map()
  for (const [number, mutant] of sample.entries()) {
    if (!mutant.host) continue
    if (!marks.has(mutant.host)) marks.set(mutant.host, marks.size)
    Object.assign(mutant, { number, mark: marks.get(mutant.host) })
    byPath.set(mutant.path, [...(byPath.get(mutant.path) ?? []), mutant])
  }
  return [...byPath].map(([path, mutants]) => [path, withSwitches(mutants[0].source, mutants)])
}

/** Test files with what each test took and ran. */
function measured({ modules, notes }) {
  const tests = new Map(notes.filter(({ time }) => time !== undefined).map((note) => [note.test, note]))
  const outside = new Map(notes.filter(({ file }) => file).map(({ file, reached }) => [file, reached]))
  return modules.map(({ file, path, start, tests: all }) => ({
    file,
    start,
    reached: outside.get(path) ?? [],
    tests: all.filter(({ state }) => state === 'passed').map(({ id }) => ({ id, ...tests.get(id) })),
  }))
}

/** The tests that are wanted, by file, the quickest first. */
function chosenFiles(files, wanted) {
  const found = []
  for (const { file, start, tests, reached } of files) {
    const chosen = tests.filter((test) => wanted(test, reached))
    if (chosen.length === 0) continue
    const time = chosen.reduce((sum, test) => sum + test.time, start)
    found.push({ file, ids: chosen.map(({ id }) => id), time })
  }
  return found.sort((a, b) => a.time - b.time)
}

/** What failed, for the report; null where nothing did. */
function failureOf({ endless, errors, modules }) {
  if (endless) return { name: 'endless' }
  for (const { file, state, tests, error } of modules) {
    const test = tests.find((one) => one.state === 'failed')
    if (test || state === 'failed')
      return { name: file.split('/tests/')[1], file, id: test?.id, error: test?.error ?? error }
  }
  return errors.length > 0 ? { name: 'outside the tests', error: errors[0] } : null
}

/** Mutant by mutant the name of what noticed it, or null. */
export async function judge(folder, tests, sample) {
  const host = createHost(tests)
  const texts = switchedTexts(sample)
  await host.start()
  const own = Object.entries(OWN).filter(([, of]) => of !== folder)
  const usual = host.files.filter(({ file }) => !own.some(([name]) => file.includes(`/tests/${name}`)))
  const unchanged = await host.run({ files: usual, texts })
  const failure = failureOf(unchanged)
  if (failure) throw new Error(`the tests of ${folder} fail without any change: ${failure.name}: ${failure.error}`)
  const files = measured(unchanged)
  const times = new Map(files.flatMap((file) => file.tests.map(({ id, time }) => [id, time])))
  const names = new Map(files.flatMap(({ file, tests }) => tests.map(({ id }) => [id, file.split('/tests/')[1]])))
  /** Mutant → what noticed it. */
  const noticed = new Map()
  /** Mutant → tests that it was tried with. */
  const done = new Map(sample.map((mutant) => [mutant, new Set()]))
  const spent = (mutant) => [...done.get(mutant)].reduce((sum, test) => sum + times.get(test), 0)

  let since = null
  const isStuck = (time, notes) => {
    const last = notes().at(-1)
    if (last?.start === undefined) return false
    const key = `${last.start} ${last.test}`
    if (since?.key !== key) since = { key, at: time }
    return isOver(time - since.at, times.get(last.test) ?? 0)
  }

  function take(notes) {
    for (const { end, test, isNoticed, isSpoiled } of notes) {
      if (end === undefined) continue
      done.get(sample[end]).add(test)
      if (isNoticed && !isSpoiled) noticed.set(sample[end], names.get(test))
    }
  }

  /** Tries tests of one round until none is left; a process that did not answer had a mutant on that never ends. */
  async function tryRound(from, to) {
    for (;;) {
      const left = sample.filter((mutant) => mutant.host && !noticed.has(mutant) && spent(mutant) < MOST_TIME)
      const open = (test) => left.filter((one) => test.reached.includes(one.mark) && !done.get(one).has(test.id))
      const chosen = chosenFiles(files, (test) => test.time >= from && test.time < to && open(test).length > 0)
      if (chosen.length === 0) return
      const mutants = left.map((one) => ({ number: one.number, mark: one.mark, done: [...done.get(one)] }))
      const answer = await host.run({ files: chosen, texts, mutants }, isStuck)
      take(answer.notes)
      const last = answer.notes.at(-1)
      if (last?.start === undefined) return
      noticed.set(sample[last.start], `endless in ${names.get(last.test)}`)
    }
  }

  /** A mutant by itself: the name of what noticed it, or null. */
  async function tryAlone({ path, text, mark }) {
    const wanted = (test, outside) =>
      test.time < ROUNDS.at(-1) && (mark === undefined || [...test.reached, ...outside].includes(mark))
    const chosen = chosenFiles(files, wanted)
    if (chosen.length === 0) return null
    const whole = chosen.reduce((sum, { time }) => sum + time, 0)
    const found = failureOf(await host.run({ files: chosen, texts: [[path, text]] }, (time) => isOver(time, whole)))
    if (!found?.id) return found?.name ?? null
    const again = failureOf(await host.run({ files: [{ file: found.file, ids: [found.id] }], texts: [] }))
    return again ? `${found.name}, which fails alone too: look by hand` : found.name
  }

  for (const [at, to] of ROUNDS.entries()) await tryRound(ROUNDS[at - 1] ?? 0, to)
  return {
    noticed,
    async look(mutant) {
      return noticed.get(mutant) ?? (done.get(mutant).size > 0 ? null : await tryAlone(mutant))
    },
    end: host.end,
  }
}
