/** Long work in pieces: the same result, pauses in between, and an end after the piece at hand once it is aborted. */
import { readFileSync } from 'node:fs'
import { beforeAll, describe, expect, test } from 'vitest'
import { runWithPauses, type Pieces } from '../src/arguments/pieces'
import { examineAdapter, examineAdapterInPieces, type Board } from '../src/board'
import { examineCapture, examineCaptureInPieces, findWiring, findWiringInPieces } from '../src/capture'
import { AbortError, compare, compareInPieces, type PauseOptions, type WatchOptions } from '../src/index'
import { tableImage } from '../src/logic'
import {
  counterexampleVectors,
  counterexampleVectorsInPieces,
  distinguish,
  distinguishInPieces,
  exercise,
  exerciseInPieces,
  grade,
  gradeInPieces,
} from '../src/vectors'
import { ADDER_283, randomScramble, scrambled, tableOf } from './capture/images'
import type { VectorSet } from '../src/jobs/vectors/run-vectors'
import { granted } from './granted'
import { otherRing, ring, wideBoard } from './long-work'
import { seededRandom } from './parts/random-designs'

type Options = PauseOptions & WatchOptions
type Work = readonly [
  name: string,
  least: number,
  atOnce: () => unknown,
  inPieces: (given: Options) => Promise<unknown>,
]

const part = { device: '16V8' } as const
/** All registers of the machines begin alike. */
const start = { ...part, start: 'power-up' } as const
const EXAMPLE = readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url))
const gates = { device: '14L4' } as const
/** The published adder with its lines exchanged and one row changed: no wiring, so that the nearest is looked for. */
const adder = tableOf(9, 5, ADDER_283)
const exchanged = scrambled(ADDER_283, randomScramble(seededRandom(1), [9, 5]))
const changedAdder = tableOf(9, 5, (row) => exchanged(row) ^ (row === 300 ? 31 : 0))
/** Images of both, with three data lines at which nothing stands. */
const adderImage = granted(tableImage(adder)).bytes
const otherImage = granted(tableImage(changedAdder)).bytes

/** Vectors that expect nothing: the faults of the array stay on the bench for each of them. */
const manyVectors: VectorSet = {
  vectors: Array.from({ length: 64 }, (_, i) => ({ number: i + 1, conditions: '000000000N0NNNNNNNNN', offset: null })),
  pinOrder: null,
  defaultCondition: null,
}

/** The wide board with its resistor to ground: it differs in the last row alone, where all inputs are high. */
const pulledDown: Board = {
  ...wideBoard,
  resistors: wideBoard.resistors!.map((resistor) => ({ ...resistor, to: 'ground' })),
}
const againstPulledUp = { against: { board: wideBoard }, faults: false, maxSteps: 4_000_000 } as const

// The table of 65,536 rows alone, and each of some thirty faults, takes several pieces. A board by itself is met with a
// limit below.
const WORK: readonly Work[] = [
  [
    'a board against another',
    8,
    () => examineAdapter(wideBoard, { against: { board: wideBoard } }),
    (given) => examineAdapterInPieces(wideBoard, { against: { board: wideBoard }, ...given }),
  ],
  // The table of each is a piece at least.
  [
    'the tables of two boards',
    2,
    () => examineAdapter(wideBoard, { against: { board: wideBoard }, faults: false }),
    (given) => examineAdapterInPieces(wideBoard, { against: { board: wideBoard }, faults: false, ...given }),
  ],
  // Two outputs are proved, and at least one piece of states is followed.
  // The table leaves more than three of four million steps. Changes that would mend it take half of them, 2¹⁸ a piece.
  [
    'a board with another resistor',
    5,
    () => examineAdapter(pulledDown, againstPulledUp),
    (given) => examineAdapterInPieces(pulledDown, { ...againstPulledUp, ...given }),
  ],
  [
    'two machines',
    3,
    () => compare(ring, otherRing, part),
    (given) => compareInPieces(ring, otherRing, { ...part, ...given }),
  ],
  // Each of five outputs is a piece on both sides before the search begins.
  ['a wiring', 10, () => findWiring(changedAdder, adder), (given) => findWiringInPieces(changedAdder, adder, given)],
  [
    'a capture against an image',
    10,
    () => examineCapture(otherImage, { search: {}, against: adderImage }),
    (given) => examineCaptureInPieces(otherImage, { search: {}, against: adderImage, ...given }),
  ],
  // 448 faults, 16 a piece: 28 pieces that take what the vectors show, and proofs of most of them.
  ['a grade', 28, () => grade(EXAMPLE, gates), (given) => gradeInPieces(EXAMPLE, { ...gates, ...given })],
  // The same with a proof of all of them, and at least ten pieces of vectors: 28 + 28 + 10.
  [
    'a grade of many vectors',
    66,
    () => grade(EXAMPLE, { ...gates, vectors: manyVectors }),
    (given) => gradeInPieces(EXAMPLE, { ...gates, vectors: manyVectors, ...given }),
  ],
  // 16 vectors at least; then 28 pieces of the grade, and 17 of proofs for 286 faults that do nothing.
  ['made vectors', 61, () => exercise(EXAMPLE, gates), (given) => exerciseInPieces(EXAMPLE, { ...gates, ...given })],
  // A machine of two registers takes five vectors to pass its states; then they are graded.
  [
    'made vectors of a machine',
    33,
    () => exercise(ring, start),
    (given) => exerciseInPieces(ring, { ...start, ...given }),
  ],
  // One comparison, and a vector at least.
  [
    'maps told apart',
    2,
    () => distinguish([ring, otherRing], part),
    (given) => distinguishInPieces([ring, otherRing], { ...part, ...given }),
  ],
  // The outputs compared, and at least one piece of vectors.
  [
    'vectors of a difference',
    3,
    () => counterexampleVectors(ring, otherRing, part),
    (given) => counterexampleVectorsInPieces(ring, otherRing, { ...part, ...given }),
  ],
]

/** A turn of the host's loop: what else waits gets its turn. */
const turn = (): Promise<void> => new Promise((resolve) => void setTimeout(resolve, 0))

describe.each(WORK)('%s', (_, least, atOnce, inPieces) => {
  let expected: unknown
  beforeAll(() => void (expected = atOnce()))

  test('gives what it gives in one go, and lets the host do other things in its many pauses', async () => {
    let [pauses, turns, isOver] = [0, 0, false]
    const count = (): void => {
      turns++
      if (!isOver) setTimeout(count, 0)
    }
    setTimeout(count, 0)
    const pause = (): Promise<void> => {
      pauses++
      return turn()
    }
    expect(await inPieces({ pause })).toEqual(expected)
    isOver = true
    expect(pauses).toBeGreaterThanOrEqual(least)
    expect(turns).toBeGreaterThanOrEqual(least)
  })

  test('ends after the piece at hand once it is aborted from outside', async () => {
    const controller = new AbortController()
    const reason = new Error('enough')
    let pauses = 0
    const pause = (): Promise<void> => {
      pauses++
      if (pauses === 2) setTimeout(() => controller.abort(reason), 0)
      return turn()
    }
    await expect(inPieces({ pause, signal: controller.signal })).rejects.toBe(reason)
    expect(pauses).toBe(2)
  })

  test('does not begin under an aborted signal', async () => {
    const pause = (): undefined => expect.fail('works')
    await expect(inPieces({ pause, signal: { aborted: true } })).rejects.toThrow(AbortError)
  })

  test('ends where the pause throws or rejects', async () => {
    const thrown = (): undefined => {
      throw new RangeError('mine')
    }
    await expect(inPieces({ pause: thrown })).rejects.toThrow(/^mine$/)
    await expect(inPieces({ pause: () => Promise.reject(new RangeError('mine')) })).rejects.toThrow(/^mine$/)
  })
})

// One function runs the pieces of all of them.
test.each(WORK.filter(([name]) => /machines|told apart|difference/.test(name)))(
  '%s: the same where nothing is awaited in a pause',
  async (_, __, atOnce, inPieces) => {
    expect(await inPieces({ pause: () => undefined })).toEqual(atOnce())
  },
)

test('a limit that ends the work is met in pieces as in one go', async () => {
  const pause = (): undefined => undefined
  const steps = { maxSteps: 3_000_000 }
  expect(await examineAdapterInPieces(wideBoard, { ...steps, pause })).toEqual(examineAdapter(wideBoard, steps))
  for (const maxNodes of [2, 8, 16, 32, 64]) {
    const options = { ...part, maxNodes }
    expect(await compareInPieces(ring, otherRing, { ...options, pause })).toEqual(compare(ring, otherRing, options))
  }
  for (const maxSteps of [1, 4, 16, 64, 256]) {
    const expected = findWiring(changedAdder, adder, { maxSteps })
    expect(await findWiringInPieces(changedAdder, adder, { maxSteps, pause })).toEqual(expected)
  }
})

test('after a pause in which it is aborted no further piece begins, also where none looks at the signal', async () => {
  let begun = 0
  function* endless(): Pieces<never> {
    for (; begun < 100; begun++) yield
    throw new Error('went on')
  }
  const signal = { aborted: false, reason: new Error('enough') }
  const pause = (): undefined => {
    signal.aborted = true
  }
  const known = { onProgress: true, signal: true } as const
  await expect(runWithPauses<never, WatchOptions>({ pause, signal }, known, endless)).rejects.toBe(signal.reason)
  expect(begun).toBe(0)
})
