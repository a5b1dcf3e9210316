/** Steps are taken of the work that is running, of no other, and of none while something else runs. */
import { expect, test } from 'vitest'
import { runPieces, type Pieces } from '../src/arguments/pieces'
import { onePiece, OutOfWork, outsideWork, takeSteps, withinWork } from '../src/arguments/work'

function* pieces(steps: readonly number[]): Pieces<string> {
  for (const each of steps) {
    takeSteps(each)
    yield
  }
  return 'done'
}

test('work that fits gives its result, and its steps are gone', () => {
  const work = { steps: 10 }
  expect(runPieces(withinWork(work, 8, pieces([3, 4])))).toBe('done')
  expect(work.steps).toBe(3)
})

test('work that needs more than its part gives null, and takes no more than its part', () => {
  const work = { steps: 100 }
  expect(runPieces(withinWork(work, 8, pieces([3, 4, 5, 6])))).toBeNull()
  expect(work.steps).toBe(92)
  expect(runPieces(withinWork({ steps: 5 }, 100, pieces([3, 4])))).toBeNull()
})

test('two works in turn take their own steps, and what runs between pieces takes none', () => {
  const works = [{ steps: 100 }, { steps: 100 }] as const
  const [a, b] = [withinWork(works[0], 100, pieces([1, 2])), withinWork(works[1], 100, pieces([10, 20]))]
  for (const each of [a, b, a, b]) {
    each.next()
    takeSteps(1000)
  }
  runPieces(a)
  runPieces(b)
  expect(works.map(({ steps }) => steps)).toEqual([97, 70])
})

test('what a caller hands in takes none, and other errors pass', () => {
  const work = { steps: 10 }
  expect(runPieces(withinWork(work, 10, onePiece(() => outsideWork(() => takeSteps(1000)))))).toBeUndefined()
  expect(work.steps).toBe(10)
  const failing = withinWork(work, 10, onePiece(fail))
  expect(() => runPieces(failing)).toThrow('wrong')
  expect(work.steps).toBe(6)
  expect(() => takeSteps(1e9)).not.toThrow(OutOfWork)
})

function fail(): never {
  takeSteps(4)
  throw new Error('wrong')
}
