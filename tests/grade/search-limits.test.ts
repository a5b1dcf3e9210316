/**
 * When the search for a sequence ends: what it is told of each vector, and how many it makes where nothing is left to
 * show, nothing can be shown, or a register cannot become known.
 */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import { testerPins } from '../../src/jobs/exercise/made-vector'
import { makeSequence, type MadeSequence, type SequenceTask } from '../../src/jobs/exercise/make-sequence'
import { placeAt, shownStates, stepsFrom } from '../../src/jobs/exercise/state-moves'
import { FaultBench } from '../../src/jobs/grade/fault-bench'
import { faultsOf, rowLiterals, type Fault } from '../../src/jobs/grade/faults'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { granted } from '../granted'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'

const register = (pin: number, ...terms: readonly Term[]): DesignOutput => {
  return { pin, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms }
}
const gate = (pin: number, ...terms: readonly Term[]): DesignOutput => {
  return { pin, kind: 'combinational', activeHigh: false, enable: 'always', terms }
}

/** Low from the next clock on where pin 2 is high; a gate of it and pin 3. */
const PLAIN: Design = { part: '16R4', mode: null, outputs: [register(17, [2]), gate(19, [17, 3])] }
/** Pin 17 takes its own complement, whatever it is. */
const UNKNOWN: Design = { part: '16R4', mode: null, outputs: [register(17, [17]), register(16, [2])] }

/**
 * A counter from 0 up, its lowest bit first: each is turned while all below it are high. A column of a register carries
 * its complement: -19 stands for Q of pin 19. Pin 14 is high at the last count.
 */
const counter = (...bits: readonly number[]): Design => ({
  part: '22V10',
  mode: null,
  outputs: [
    ...bits.map((pin, i): DesignOutput => {
      const below = bits.slice(0, i)
      const terms = [...below.map((low) => [-pin, low]), [pin, ...below.map((low) => -low)]]
      return { pin, kind: 'registered', activeHigh: true, enable: 'always', terms }
    }),
    { pin: 14, kind: 'combinational', activeHigh: true, enable: 'always', terms: [bits.map((pin) => -pin)] },
  ],
})

const taskOf = (design: Design) =>
  granted(gradeTask(writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) }), { device: design.part }))

interface Searched extends MadeSequence {
  /** What was told of each vector: faults shown, and all. */
  readonly told: readonly (readonly [done: number, all: number])[]
  readonly pieces: number
  readonly steps: number
}

function search(design: Design, pick: (fault: Fault) => boolean, more: Partial<SequenceTask> = {}): Searched {
  const task = taskOf(design)
  const faults = faultsOf(task.decoded).filter(pick)
  const told: [number, number][] = []
  const work = { steps: 1e9 }
  const pins = testerPins(task.decoded.logic)
  const watch = (stage: string, done: number, all: number): void => {
    if (stage === 'vectors') told.push([done, all])
  }
  const given = { faults, described: true, maxNodes: 1e6, pins, start: 'unknown', maxVectors: 2000 } as const
  const making = makeSequence(task, { ...given, watch, work, ...more })
  for (let pieces = 0; ; pieces++) {
    const { done, value } = making.next()
    if (done) return { ...value, told, pieces, steps: 1e9 - work.steps }
  }
}

/** Row 1, the term of the gate at pin 19: row 0 is its enable. */
const ofGate = ({ fuse }: Fault): boolean => fuse >= 32 && fuse < 64
/** A row that no design writes is 0 with one fuse less too. */
const nothing = ({ fuse }: Fault): boolean => fuse === 1500

describe('the search', () => {
  test('tells of each vector how many faults are shown before it, of all', () => {
    const { told, vectors, pieces } = search(PLAIN, ofGate)
    expect(told[0]).toEqual([0, 32])
    const shown = told.map(([done]) => done)
    expect(shown).toEqual([...shown].sort((a, b) => a - b))
    expect(shown.at(-1)).toBeLessThanOrEqual(32)
    expect(told.every(([, all]) => all === 32)).toBe(true)
    expect(told.length).toBeGreaterThanOrEqual(vectors.length)
    // One piece a vector, but for the two of a level held at a clock.
    expect(pieces).toBeGreaterThanOrEqual(told.length / 2)
  })

  test('ends with the last fault, whose vector is the last one', () => {
    const all = search(PLAIN, ofGate)
    const bench = new FaultBench({ ...taskOf(PLAIN), start: 'unknown' }, faultsOf(taskOf(PLAIN).decoded).filter(ofGate))
    const shown = new Set(all.vectors.flatMap((vector) => bench.run(vector)).map(({ fuse }) => fuse))
    const { told, vectors } = search(PLAIN, ({ fuse }) => shown.has(fuse))
    expect(told).toHaveLength(vectors.length)
    const again = new FaultBench({ ...taskOf(PLAIN), start: 'unknown' }, bench.left)
    expect(again.left.every(({ fuse }) => !shown.has(fuse))).toBe(true)
  })

  test.each([1, 2, 5])('makes no more than %i vectors where the caller says so', (maxVectors) => {
    expect(search(PLAIN, ofGate, { maxVectors }).told).toHaveLength(maxVectors)
  })

  test('gives up after 48 vectors that show nothing, and leaves one', () => {
    const { told, vectors, pieces, unknownCells } = search(PLAIN, nothing)
    // One vector makes the register known, by pin 2 and the clock.
    expect([told.length, vectors.length]).toEqual([49, 1])
    expect(pieces).toBeGreaterThanOrEqual(48)
    expect(unknownCells).toEqual([])
  })

  test('takes 48 vectors to find that a register stays unknown, and says which', () => {
    const { told, unknownCells, complete, steps, pieces } = search(UNKNOWN, nothing)
    const { cells } = taskOf(UNKNOWN).decoded.logic
    expect(unknownCells.map((cell) => cells[cell]!.pin)).toEqual([17])
    // One for pin 16, then 48 of which none helps, then 48 of which none shows anything.
    expect(told).toHaveLength(97)
    expect(pieces).toBeGreaterThanOrEqual(97)
    expect(complete).toBe(true)
    // Every other one is looked for in the functions, the rest come as they do. Measured 11,388.
    expect(steps).toBeLessThanOrEqual(11_800)
  })

  test('makes the register known that is not, although another one is lost by it', () => {
    // After a clock pin 17 is known where pin 2 is 1, or pin 16 is known; pin 16 where pins 2 to 8 are all 0, else it
    // is as it was. So 17 comes first, then 16 in place of it, then 17 by 16: levels as they come take the place of one
    // of these at most.
    const code = [2, 3, 4, 5, 6, 7, 8].map((pin) => [-16, pin])
    const design: Design = { part: '16R4', mode: null, outputs: [register(17, [16, -2]), register(16, ...code)] }
    const { told, unknownCells } = search(design, nothing)
    expect(unknownCells).toEqual([])
    expect(told.length).toBeLessThanOrEqual(4 + 48)
  })

  test('gives levels as they come where functions do not describe the part', () => {
    const { vectors, steps } = search(PLAIN, ofGate, { described: false })
    expect(vectors.length).toBeGreaterThan(1)
    // Measured 49,180: nothing for functions.
    expect(steps).toBeLessThanOrEqual(50_800)
  })

  test('finds the last of 256 states, but not one that is a clock further away', () => {
    // The row of pin 14 begins at fuse 5412; 4 is the true column of pin 2: while that is low, pin 14 is not high.
    const atEnd = ({ fuse }: Fault): boolean => fuse === 5416
    const last = search(counter(19, 18, 20, 17, 21, 16, 22, 15), atEnd, { start: 'power-up' })
    // 255 clocks lead from 0 to 255, the last one under pin 2 low.
    expect(last.vectors).toHaveLength(255)
    const beyond = counter(23, 15, 22, 21, 16, 20, 17, 18, 19)
    // Pin 14 shows the ninth bit alone, first in state 256.
    const outputs = beyond.outputs.map((each) => (each.pin === 14 ? { ...each, terms: [[-19]] } : each))
    expect(search({ ...beyond, outputs }, atEnd, { start: 'power-up' }).told).toHaveLength(48)
  })

  test('looks at 64 of the states behind one', () => {
    // Each of seven registers takes a pin of its own: 2⁷ states follow.
    const outputs = [19, 18, 17, 16, 15, 14, 13].map((pin, i) => register(pin, [i + 2]))
    const task = taskOf({ part: '16R8', mode: null, outputs })
    const pins = testerPins(task.decoded.logic)
    const given = { pins, literals: rowLiterals(task.decoded, task.fuses), maxNodes: 1e6 }
    const place = placeAt(task, given, shownStates(pins, task.decoded.logic.cells.map(() => 0)))!
    expect(stepsFrom(place)).toHaveLength(64)
  })
})
