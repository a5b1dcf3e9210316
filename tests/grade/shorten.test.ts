/** A sequence with vectors that add nothing loses them, and shows what it showed. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { fuseAt, fuseMapFrom, writeFuseFile } from '../../src/index'
import { exercise } from '../../src/jobs/exercise/exercise'
import { testerPins } from '../../src/jobs/exercise/made-vector'
import { shortened } from '../../src/jobs/exercise/shorten'
import type { Conditions } from '../../src/jobs/grade/live-part'
import { FaultBench } from '../../src/jobs/grade/fault-bench'
import { faultsOf } from '../../src/jobs/grade/faults'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { granted } from '../granted'
import type { DesignOutput } from '../parts/design'
import { encode } from '../parts/encoder'

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

describe('limits', () => {
  /** Three outputs with a term of all ten inputs each, of which no two agree in more than seven levels. */
  const INPUTS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11]
  const PATTERNS = ['1111111111', '0001111111', '1110001111']
  const outputs = PATTERNS.map((levels, i): DesignOutput => {
    const term = INPUTS.map((pin, at) => (levels[at] === '1' ? pin : -pin))
    return { pin: 19 - i, kind: 'combinational', activeHigh: true, enable: 'always', terms: [term] }
  })
  const fuses = fuseMapFrom(encode({ part: '10H8', mode: null, outputs }).join(''))
  const task = granted(gradeTask(writeFuseFile({ fuses }), { device: '10H8' }))
  const given = (steps: number) => ({
    // A fuse at 0 is a literal: without it the output is high too where that input alone is at its other level.
    faults: faultsOf(task.decoded).filter(({ fuse }) => fuseAt(task.fuses, fuse) === 0),
    ...{ pins: testerPins(task.decoded.logic), start: 'unknown' as const, work: { steps } },
  })
  const vectorOf = (levels: string): Conditions => {
    const conditions = Array<string>(21).fill('N')
    INPUTS.forEach((pin, at) => (conditions[pin] = levels[at]!))
    return ['', ...conditions.slice(1)]
  }
  const turned = (levels: string, at: number): string =>
    [...levels].map((level, i) => (i === at ? String(1 - Number(level)) : level)).join('')

  test('24 sequences are tried, each without one of thirty vectors that are there twice', () => {
    const once = PATTERNS.flatMap((levels) => INPUTS.map((_, at) => vectorOf(turned(levels, at))))
    const pieces = shortened(task, once.flatMap((vector) => [vector, vector]), given(1e8))
    let count = 0
    for (;;) {
      const { done, value } = pieces.next()
      if (done) return expect([count, value.length]).toEqual([24, 60 - 24])
      count++
    }
  })

  test('250,000 vectors with a fault are tried, and no more', () => {
    const stepsLeft = (count: number): number => {
      const one = given(10)
      const first = { ...one, faults: one.faults.slice(0, 1) }
      expect(runPieces(shortened(task, Array<Conditions>(count).fill(vectorOf(PATTERNS[0]!)), first))).toHaveLength(count)
      return first.work.steps
    }
    expect([stepsLeft(250_000), stepsLeft(250_001)]).toEqual([0, 10])
  })
})
