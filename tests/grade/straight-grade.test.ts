/**
 * Grades and made vectors against brute force on machines read straight from the fuses: every fuse (or one in so many)
 * at its other state, all vectors run.
 */
import { describe, expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { fuseMapFrom, readFuseFile, writeFuseFile } from '../../src/index'
import { prepareFaultRuns } from '../../src/jobs/grade/fault-runs'
import { countFaults, gradeFaults } from '../../src/jobs/grade/grade'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { exercise } from '../../src/vectors'
import { encode, TABLES } from '../parts/encoder'
import { randomDesign, seededRandom, vectorsFor } from '../parts/random-designs'
import { hasLoop, machineFrom } from '../reference/machine'
import { sampleSize } from '../sample-size'
import { certainlyFails, runStraight } from './straight-grade'

/**
 * Without the 16R4 and 22V10: `vectorsFor` preloads the first, and a fault of the second may close a loop that keeps
 * what it had (p16 = ¬(q22 ∧ p4 ∧ ¬p16) stays high once it was);
 * neither is in `runStraight`. Part, mode, and how many fuses are passed over for each that is tried.
 */
const PARTS: readonly (readonly [string, string | null, number])[] = [
  ['10H8', null, 3],
  ['14L4', null, 3],
  ['16L8', null, 41],
  ['16V8', 'simple', 9],
  ['16V8', 'complex', 29],
  ['16V8', 'registered', 43],
  ['20V8', 'simple', 13],
]
const SEEDS = Array.from({ length: sampleSize(1, 2) }, (_, i) => i + 1)
/** Parts for which vectors are made too. */
const MADE = ['10H8', '14L4']

function sample(part: string, mode: string | null, seed: number) {
  const table = TABLES.find((one) => one.part === part && one.mode === mode)
  if (!table) throw new RangeError(`no table of ${part} ${mode}`)
  const random = seededRandom(9100 + seed)
  const design = randomDesign(table, random)
  const states = encode(design)
  const vectors = vectorsFor(table, design, { random, count: 10 })
  return { states, vectors }
}

/** The machine of a map with one fuse turned; null where no table says what it is. */
function faultyMachine(part: string, states: Uint8Array, fuse: number) {
  const other = states.slice()
  other[fuse] = 1 - (other[fuse] ?? 0)
  try {
    return machineFrom(part, other)
  } catch {
    return null
  }
}

const bytesOf = (states: Uint8Array, vectors: readonly string[]) =>
  writeFuseFile({
    fuses: fuseMapFrom(states.join('')),
    vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
  })

/** Faults of which the grade says what brute force contradicts. */
function disagreements(
  { part, states, step }: { readonly part: string; readonly states: Uint8Array; readonly step: number },
  bytes: Uint8Array,
  vectors: readonly string[],
): string[] {
  const task = gradeTask(bytes, { device: part })
  if ('refused' in task) throw new Error(task.reason)
  const runs = prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start: 'power-up' })
  const graded = runPieces(gradeFaults(runs)).graded
  const { total, shown, cannotBeShown, missed, undecided } = countFaults(graded)
  expect(shown + cannotBeShown + missed + undecided).toBe(total)
  return graded
    .filter((_, i) => i % step === 0)
    .flatMap(({ fault, state }) => {
      const machine = faultyMachine(part, states, fault.fuse)
      if (!machine) return []
      const isShown = certainlyFails(runStraight(machine, vectors, 'power-up'), vectors)
      const wrong = isShown ? state === 'cannotBeShown' || state === 'missed' : state === 'shown'
      return wrong ? [`${fault.fuse} ${fault.class} ${state}`] : []
    })
}

const CASES = PARTS.flatMap(([part, mode, step]) => SEEDS.map((seed) => ({ part, mode, step, seed })))

describe.each(CASES)('$part $mode, seed $seed', ({ part, mode, step, seed }) => {
  const { states, vectors } = sample(part, mode, seed)

  test('given vectors', () => {
    expect(disagreements({ part, states, step }, bytesOf(states, vectors), vectors)).toEqual([])
  })
})

test.each(CASES.filter(({ part, seed }) => MADE.includes(part) && seed === 1))(
  '$part, seed $seed: made vectors',
  ({ part, mode, step, seed }) => {
    const { states } = sample(part, mode, seed)
    const input = bytesOf(states, [])
    const made = exercise(input, { device: part, start: 'power-up' })
    if ('refused' in made) throw new Error(made.reason)
    const file = readFuseFile(made.bytes)
    const conditions = file.vectors.map((vector) => vector.conditions ?? '')
    expect(file.fuses).toEqual(readFuseFile(input).fuses)
    expect(conditions.join('')).toMatch(/^[01CKNXHLZ]*$/)
    expect(conditions).toHaveLength(made.vectors)
    expect(made.lowerBound ?? 0).toBeLessThanOrEqual(made.vectors)
    const plain = machineFrom(part, states)
    if (!hasLoop(plain) && plain.cells.every(({ registered }) => !registered)) expect(made.faults.missed).toBe(0)
    const seen = runStraight(plain, conditions, 'power-up')
    expect(certainlyFails(seen, conditions)).toBe(false)
    expect(disagreements({ part, states, step: 3 * step }, made.bytes, conditions)).toEqual([])
  },
)
