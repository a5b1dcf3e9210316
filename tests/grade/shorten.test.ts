/** A sequence with vectors that add nothing loses them, and shows what it showed. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { exercise } from '../../src/jobs/exercise/exercise'
import { testerPins } from '../../src/jobs/exercise/made-vector'
import { shortened } from '../../src/jobs/exercise/shorten'
import type { Conditions } from '../../src/jobs/grade/live-part'
import { FaultBench } from '../../src/jobs/grade/fault-bench'
import { faultsOf } from '../../src/jobs/grade/faults'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { granted } from '../granted'

const DEMO = readFileSync(new URL('../../vectors/demo/tide-gauge-16v8.jed', import.meta.url))

test('twenty repetitions of one vector without its clock go, and every fault that was shown still is', () => {
  const made = exercise(DEMO, { start: 'power-up' })
  if ('refused' in made) throw new Error(made.reason)
  const task = gradeTask(made.bytes, {})
  if ('refused' in task) throw new Error(task.reason)
  const once = task.set.vectors.map(({ conditions }) => ['', ...conditions!])
  // The second time the same levels rest they can show nothing that the first time did not.
  const resting = once[4]!.map((each) => (each === 'C' ? '0' : each))
  const long = [...once.slice(0, 5), ...Array.from({ length: 20 }, () => resting), ...once.slice(5)]
  const faults = faultsOf(task.decoded).filter((_, i) => i % 7 === 0)
  const given = { faults, pins: testerPins(task.decoded.logic), start: 'power-up' as const, work: { steps: 1e8 } }
  const left = runPieces(shortened(task, long, given))
  expect(left.length).toBeLessThanOrEqual(once.length + 1)
  const shownBy = (vectors: readonly Conditions[]): number => {
    const bench = new FaultBench({ ...task, start: 'power-up' }, faults)
    return vectors.flatMap((vector) => bench.run(vector)).length
  }
  expect(shownBy(left)).toBeGreaterThanOrEqual(shownBy(once))
})

describe('vectors that show nothing', () => {
  const task = granted(gradeTask(DEMO, {}))
  const still = ['', ...task.set.vectors[0]!.conditions!]
  // No fault is looked at, so that none is shown.
  const given = { faults: [], pins: testerPins(task.decoded.logic), start: 'power-up' as const, work: { steps: 1e8 } }
  const shortening = (count: number) => shortened(task, Array.from({ length: count }, () => still), given)

  test('one of them is left', () => {
    for (const count of [1, 2, 3]) expect(runPieces(shortening(count)).length).toBeGreaterThan(0)
  })

  test('each sequence that is tried without some is a piece', () => {
    // All three make one stretch: without it nothing would be left. Then there is no other.
    const pieces = shortening(3)
    expect([pieces.next().done, pieces.next().done, pieces.next().done]).toEqual([false, false, true])
  })
})
