/**
 * Test vectors on a full 22V10: running them against the least that could be done, a loop of mask tests; grading
 * against one run; making against grading.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { check, readFuseFile, simulate, verify, writeFuseFile } from '../../../dist/index.js'
import { hazardsOf } from '../../../dist/logic.js'
import { exercise, grade } from '../../../dist/vectors.js'
import { numbersFrom } from '../files.mjs'
import { dense16V8, denseTwins } from '../maps.mjs'
import { ratioOf, timeOf } from '../timing.mjs'

const PART = { device: '22V10' }
const RUN = 10_000
const GRADED = 100

/** Vectors with a clock pulse and levels at the twelve inputs; pin 14 is on while pin 13 is high, and driven else. */
function randomVectors(count) {
  const next = numbersFrom(0x7e57)
  const level = () => String(next() & 1)
  return Array.from({ length: count }, () => {
    const pins = Array.from({ length: 24 }, (_, i) => (i < 13 && i !== 11 ? level() : i > 13 && i < 23 ? 'H' : 'N'))
    pins[0] = 'C'
    pins[13] = pins[12] === '0' ? level() : 'H'
    return pins.join('')
  })
}

/** Vectors with what the map is found to do, so that none fails. */
function expectedVectors(bytes, count) {
  const asked = randomVectors(count)
  const { results } = simulate(bytes, { ...PART, vectors: asked, registers: 'power-up' })
  return asked.map((vector, i) => {
    const pins = [...vector]
    for (const { pin, found } of results[i].checks) pins[pin - 1] = { 0: 'L', 1: 'H', Z: 'Z', X: 'N' }[found]
    return pins.join('')
  })
}

/** Every term of the map as four words, tested three times a vector as a clock pulse asks, and nothing else. */
function maskLoop(bytes, vectors) {
  const { logic } = check(bytes, PART).decoded
  const words = []
  for (const { enable, value, register } of logic.cells)
    for (const { sums } of [enable, ...(value ? [value] : []), ...(register ? [register.data] : [])])
      for (const { literals } of sums.flat()) {
        const term = [0, 0, 0, 0]
        for (const literal of literals) {
          const signal = logic.signals[literal >>> 1]
          term[(signal.kind === 'pin' ? 0 : 2) + (literal & 1)] |= 1 << (signal.kind === 'pin' ? signal.pin : signal.cell)
        }
        words.push(...term)
      }
  const terms = Int32Array.from(words)
  const levels = Int32Array.from(vectors, (vector) => [...vector].reduce((w, c, i) => w | (c === '1' ? 2 << i : 0), 0))
  return () => {
    let ones = 0
    let state = 0
    for (const level of levels)
      for (let moment = 0; moment < 3; moment++) {
        for (let at = 0; at < terms.length; at += 4)
          if (
            ((terms[at] & ~level) | (terms[at + 1] & level) | (terms[at + 2] & ~state) | (terms[at + 3] & state)) === 0
          )
            ones++
        state = ones & 0x1ff
      }
    return ones
  }
}

function againstMasks() {
  const [bytes] = denseTwins()
  const vectors = expectedVectors(bytes, RUN)
  const run = () => simulate(bytes, { ...PART, vectors, registers: 'power-up' })
  if (run().results.some(({ result }) => result === 'failed')) throw new Error('the bench made other vectors')
  return ratioOf(run, maskLoop(bytes, vectors), { pairs: 5, warmUp: 1 })
}

const withVectors = (bytes, vectors) =>
  writeFuseFile({
    ...readFuseFile(bytes),
    vectorLimit: vectors.length,
    vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
  })

const PROGRAM = fileURLToPath(new URL('../../../dist/cli.cjs', import.meta.url))

/** The whole process, its start included. */
function checkProcess() {
  const [bytes] = denseTwins()
  const folder = mkdtempSync(join(tmpdir(), 'fuse-assay-bench-'))
  try {
    const file = join(folder, '22v10.jed')
    writeFileSync(file, withVectors(bytes, expectedVectors(bytes, RUN)))
    return seconds(() => {
      const { status, stderr } = spawnSync(process.execPath, [PROGRAM, 'check', file, '--json'], { encoding: 'utf8' })
      if (status !== 0) throw new Error(`exit ${status}: ${stderr}`)
    })
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** Vectors for all levels of sixteen inputs, an X among them, so that no reading is like another. */
function underAllReadings() {
  const inputs = [2, 3, 4, 5, 6, 7, 8, 9, 1, 11, 12, 13, 14, 17, 18, 19]
  const vectors = Array.from({ length: 65_536 }, (_, levels) => {
    const pins = Array(20).fill('N')
    inputs.forEach((pin, i) => (pins[pin - 1] = String((levels >>> i) & 1)))
    if (levels === 0) pins[inputs[0] - 1] = 'X'
    pins.fill('H', 14, 16)
    return pins.join('')
  })
  const bytes = dense16V8()
  const found = simulate(bytes, { device: '16V8', vectors }).results
  const expected = vectors.map((vector, i) => {
    const pins = [...vector]
    for (const pin of [15, 16]) {
      const level = found[i].checks.find((each) => each.pin === pin)?.found
      pins[pin - 1] = { 0: 'L', 1: 'H' }[level] ?? 'H'
    }
    return pins.join('')
  })
  const file = withVectors(bytes, expected)
  const { failed, passed } = verify(file, { device: '16V8' }).testVectors
  if (failed > 0 || passed < 65_000) throw new Error('the bench made other vectors')
  return seconds(() => verify(file, { device: '16V8' }))
}

const seconds = (task) => Math.min(timeOf(task), timeOf(task)) / 1000

export const vectors = [
  {
    name: 'running 10,000 vectors on a dense registered 22V10, against a loop of mask tests alone',
    unit: 'ratio',
    goal: null,
    sense: 'at most',
    measure: againstMasks,
  },
  {
    name: 'a whole run of check on a dense registered 22V10 with 10,000 vectors',
    unit: 'seconds',
    goal: 0.15,
    sense: 'at most',
    measure: checkProcess,
  },
  {
    name: '65,536 vectors on a dense 16V8, read and run under every reading',
    unit: 'seconds',
    goal: 1,
    sense: 'at most',
    measure: underAllReadings,
  },
  {
    name: 'grading 100 vectors on a full 22V10 (5,828 faults)',
    unit: 'seconds',
    goal: 1,
    sense: 'at most',
    measure: () => {
      const [bytes] = denseTwins()
      const vectors = expectedVectors(bytes, GRADED).map((conditions, i) => ({ number: i + 1, conditions, offset: null }))
      const set = { vectors, pinOrder: null, defaultCondition: null }
      return seconds(() => grade(bytes, { ...PART, vectors: set, start: 'power-up' }))
    },
  },
  {
    name: 'making vectors for a full 22V10',
    unit: 'seconds',
    goal: 10,
    sense: 'at most',
    measure: () => timeOf(() => exercise(denseTwins()[0], { ...PART, start: 'power-up' })) / 1000,
  },
  {
    name: 'hazards of a full 22V10',
    unit: 'seconds',
    goal: 1,
    sense: 'at most',
    measure: () => seconds(() => hazardsOf(check(denseTwins()[0], PART).decoded.logic)),
  },
]
