/** Grading, making and telling apart end at their limit of steps, and what they say then is what they say without. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { onePiece, withinWork, type Work } from '../../src/arguments/work'
import { fuseAt, setFuse, verify } from '../../src/index'
import { prepareFaultFunctions } from '../../src/jobs/grade/fault-functions'
import { firstShowings, prepareFaultRuns, type FaultRuns } from '../../src/jobs/grade/fault-runs'
import { faultsOf, usedRows } from '../../src/jobs/grade/faults'
import { gradeFaults } from '../../src/jobs/grade/grade'
import { gradeTask, type GradeTask } from '../../src/jobs/grade/grade-task'
import { distinguish, exercise, grade, type FaultCounts, type Grade } from '../../src/vectors'

const DEMO = readFileSync(new URL('../../vectors/demo/tide-gauge-16v8.jed', import.meta.url))
const codesOf = ({ findings }: { readonly findings: readonly { readonly code: string }[] }): string[] =>
  findings.map(({ code }) => code)

function taskOf(bytes: Uint8Array): GradeTask {
  const task = gradeTask(bytes, {})
  if ('refused' in task) throw new Error(task.reason)
  return task
}

const runsOf = (task: GradeTask): FaultRuns =>
  prepareFaultRuns(task.decoded, task.fuses, { set: task.set, start: 'power-up' })

/** Steps that some work takes. */
function stepsOf(run: (work: Work) => void): number {
  const work = { steps: 1e9 }
  run(work)
  return 1e9 - work.steps
}

const sum = ({ shown, cannotBeShown, missed, undecided }: FaultCounts): number =>
  shown + cannotBeShown + missed + undecided

describe('a grade that ends early', () => {
  const runs = runsOf(taskOf(DEMO))
  const whole = runPieces(gradeFaults(runs))
  const all = stepsOf((work) => runPieces(gradeFaults(runs, { work })))

  test.each([0, 0.01, 0.1, 0.3, 0.6, 0.9])('after %d of its steps says nothing else', (part) => {
    const work = { steps: Math.ceil(all * part) }
    const { graded, run, complete } = runPieces(gradeFaults(runs, { work }))
    expect(complete).toBe(false)
    const wrong = graded.filter(
      ({ state, vector }, i) =>
        state !== 'undecided' && (state !== whole.graded[i]!.state || vector !== whole.graded[i]!.vector),
    )
    expect(wrong).toEqual([])
    expect(run).toBeLessThanOrEqual(whole.run)
  })

  test('shows more the more steps it has, up to all', () => {
    const undecided = [0.01, 0.3, 0.6, 2].map((part) => {
      const { graded } = runPieces(gradeFaults(runs, { work: { steps: Math.ceil(all * part) } }))
      return graded.filter(({ state }) => state === 'undecided').length
    })
    expect(undecided.every((count, i) => i === 0 || count < undecided[i - 1]!)).toBe(true)
    expect(runPieces(gradeFaults(runs, { work: { steps: 2 * all } }))).toEqual(whole)
  })

  test('counts every fault, calls no vector idle that was not run, and says which limit it reached', () => {
    const limited = grade(DEMO, { maxSteps: 1 }) as Grade
    const { byClass, ...faults } = limited.faults
    expect(sum(faults)).toBe(faults.total)
    expect(faults.total).toBe((grade(DEMO) as Grade).faults.total)
    for (const counts of Object.values(byClass)) expect(sum(counts)).toBe(counts.total)
    expect(limited).toMatchObject({ vectors: 10, idleVectors: [], verdict: 'caution' })
    expect(limited.findings).toMatchObject([{ code: 'grade/steps-limit', data: { limit: 1 } }])
  })
})

test('vectors that no fault was run through are not counted as run', () => {
  const runs = runsOf(taskOf(DEMO))
  const rows = usedRows(runs.decoded.logic)
  const faults = faultsOf(runs.decoded).filter(({ literal, row }) => literal !== null && rows.has(row!))
  const work = { steps: 1e9 }
  const { run, first } = runPieces(firstShowings(runs, faults, { work, most: 5000 }))
  expect(run).toBeLessThan(runs.set.vectors.length)
  expect(Math.max(...[...first.values()].map((vector) => vector ?? -1))).toBeLessThan(run)
})

test('functions that do not fit their limit are prepared once, not once a fault', () => {
  const runs = runsOf(taskOf(DEMO))
  const maxNodes = 60
  const given = { literals: runs.literals, maxNodes }
  const once = stepsOf((work) => {
    const preparing = onePiece(() => prepareFaultFunctions(runs.decoded, runs.fuses, given))
    expect(runPieces(withinWork(work, 1e9, preparing))).toBeNull()
  })
  const running = stepsOf((work) => runPieces(firstShowings(runs, faultsOf(runs.decoded), { work, most: 1e9 })))
  const all = stepsOf((work) => runPieces(gradeFaults(runs, { work, maxNodes })))
  expect(all).toBeLessThanOrEqual(running + once)
})

describe('making vectors', () => {
  test.each([1, 200_000, 2_000_000])('ends at %d steps with vectors that the map passes', (maxSteps) => {
    const made = exercise(DEMO, { start: 'power-up', maxSteps })
    if ('refused' in made) throw new Error(made.reason)
    expect(sum(made.faults)).toBe(made.faults.total)
    expect(codesOf(made)).toContain('exercise/steps-limit')
    expect(made.findings.find(({ code }) => code === 'exercise/steps-limit')!.data).toEqual({ limit: maxSteps })
    const { failed, count } = verify(made.bytes).testVectors
    expect([failed, count]).toEqual([0, made.vectors])
  })

  test('without registers ends with a bound that holds', () => {
    const pal = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url))
    const whole = exercise(pal, { device: '14L4' })
    const limited = exercise(pal, { device: '14L4', maxSteps: 50_000 })
    if ('refused' in whole || 'refused' in limited) throw new Error('refused')
    expect(codesOf(limited)).toContain('exercise/steps-limit')
    expect(limited.lowerBound).toBeLessThanOrEqual(whole.vectors)
    expect(limited.faults.shown).toBeLessThan(whole.faults.shown)
  })
})

describe('telling apart', () => {
  const other = { ...taskOf(DEMO).fuses, bits: taskOf(DEMO).fuses.bits.slice() }
  const { fuse } = faultsOf(taskOf(DEMO).decoded).find(({ class: kind }) => kind === 'polarity')!
  setFuse(other, fuse, fuseAt(other, fuse) ? 0 : 1)
  const maps = [DEMO, other, DEMO]

  test('without steps leaves every pair open, and says which limit it reached', () => {
    const told = distinguish(maps, { device: '16V8', maxSteps: 1 })
    if ('refused' in told) throw new Error(told.reason)
    expect(told.pairs.map((pair) => (pair.apart ? 'apart' : pair.why))).toEqual(Array(3).fill('not-found'))
    expect(told.bytes).toBeNull()
    expect(told.findings.find(({ code }) => code === 'distinguish/steps-limit')!.data).toEqual({ limit: 1 })
  })

  test('with steps enough does not speak of a limit', () => {
    const told = distinguish(maps, { device: '16V8', start: 'power-up' })
    if ('refused' in told) throw new Error(told.reason)
    expect(told.pairs.map((pair) => (pair.apart ? 'apart' : pair.why))).toEqual(['apart', 'equal', 'apart'])
    expect(codesOf(told)).toEqual(['distinguish/equal'])
  })
})
