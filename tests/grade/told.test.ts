/** What is told of faults without a proof: rows that nothing uses, diagrams that do not fit, numbers left out. */
import { expect, test } from 'vitest'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import type { DecodedLogic } from '../../src/inspect/inspection'
import { firstShowings, prepareFaultRuns, type FaultRuns } from '../../src/jobs/grade/fault-runs'
import { faultsOf, faultyLogic, type Fault } from '../../src/jobs/grade/faults'
import { gradeFaults, proverOf, type GradedFault } from '../../src/jobs/grade/grade'
import { grade, type GradeOptions } from '../../src/vectors'
import { runVectors, type VectorSet } from '../../src/jobs/vectors/run-vectors'
import { runPieces } from '../../src/arguments/pieces'
import type { Progress } from '../../src/arguments/watch'
import type { Logic } from '../../src/logic'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { encode } from '../parts/encoder'

const output = (pin: number, terms: readonly Term[]): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
})
const GATE: Design = { part: '16V8', mode: 'complex', outputs: [output(18, [[2]])] }

const setOf = (conditions: readonly string[]): VectorSet => ({
  vectors: conditions.map((each, i) => ({ number: i + 1, conditions: each, offset: null })),
  pinOrder: null,
  defaultCondition: null,
})
const NO_VECTORS = setOf([])

function runsOf(
  design: Design,
  states: Uint8Array,
  set: VectorSet,
  start: 'unknown' | 'power-up' = 'unknown',
): FaultRuns {
  const fuses = fuseMapFrom(states.join(''))
  const decoded = decode(findDevice(design.part)!, fuses)
  return prepareFaultRuns(decoded as DecodedLogic, fuses, { set, start })
}

const graded = (runs: FaultRuns, options: GradeOptions = {}): readonly GradedFault[] =>
  runPieces(gradeFaults(runs, options)).graded

test('no literal of a row that its disable takes out can be shown', () => {
  // Rows of 32 fuses from pin 19 on, eight a pin; PTD from fuse 2128, a row each (GAL16V8 data sheet, 16v8_04, p. 5).
  const states = encode(GATE)
  const row = 8 + 1
  const inRow = (sound: boolean): Set<string> => {
    const own = states.slice()
    own[2128 + row] = sound ? 1 : 0
    const faults = graded(runsOf(GATE, own, NO_VECTORS)).filter(({ fault }) => Math.floor(fault.fuse / 32) === row)
    expect(faults).toHaveLength(32)
    return new Set(faults.map(({ state }) => state))
  }
  expect([...inRow(false)]).toEqual(['cannotBeShown'])
  expect([...inRow(true)]).toContain('missed')
})

test('where the diagrams have no room nothing is proved', () => {
  const states = new Set(graded(runsOf(GATE, encode(GATE), NO_VECTORS), { maxNodes: 2 }).map(({ state }) => state))
  expect([...states]).toEqual(['undecided'])
})

test('a register whose data alone are turned over is missed without a vector, not left open', () => {
  // XOR stands before the register of pin 19, by fuse 2048 (GAL16V8 data sheet, 16v8_04, p. 4).
  const design: Design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [{ ...output(19, [[2, 3]]), kind: 'registered', enable: { lowPin: 11 } }],
  }
  const runs = runsOf(design, encode(design), NO_VECTORS)
  const fault = faultsOf(runs.decoded).find(({ fuse }) => fuse === 2048)!
  expect(fault.class).toBe('polarity')
  expect(proverOf(runs, 100_000)(fault)).toBe('missed')
})

test('a row that counts only in states that are never met from power-up can be taken out', () => {
  // Pin 18 is high from power-up on (GAL16V8 data sheet, 16v8_04, p. 20) and takes 1. Pin 19 takes p2 ∨ ¬p18 ∧ p3.
  const register = (pin: number, terms: readonly Term[]): DesignOutput => ({
    ...output(pin, terms),
    kind: 'registered',
    enable: { lowPin: 11 },
  })
  const design: Design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [register(19, [[2], [-18, 3]]), register(18, [[]])],
  }
  const told = (['power-up', 'unknown'] as const).map((start) => {
    const runs = runsOf(design, encode(design), NO_VECTORS, start)
    const prove = proverOf(runs, 100_000)
    // PTD of rows 0 and 1, the terms of pin 19.
    return [2128, 2129].map((fuse) => prove(faultsOf(runs.decoded).find((fault) => fault.fuse === fuse)!))
  })
  expect(told).toEqual([
    ['missed', 'cannotBeShown'],
    ['missed', 'missed'],
  ])
})

test('a pin that is off for good closes no loop, whatever its terms read', () => {
  // Pin 17 is p2 ∧ p18 with the fault. Pin 18 would read pin 17, and never drives.
  const design: Design = {
    part: '16V8',
    mode: 'complex',
    outputs: [{ ...output(18, [[17]]), enable: 'never' }, output(17, [[2]])],
  }
  const states = encode(design)
  const runs = runsOf(design, states, NO_VECTORS)
  // Rows of 32 fuses from pin 19 on, eight a pin, the first of them the enable; the columns of pin 18 are 6 and 7.
  const row = 2 * 8 + 1
  const faults = faultsOf(runs.decoded).filter(({ fuse }) => [6, 7].some((column) => fuse === 32 * row + column))
  expect(faults.map(({ fuse }) => states[fuse])).toEqual([1, 1])
  const prove = proverOf(runs, 100_000)
  expect(faults.map(prove)).toEqual(['missed', 'missed'])
})

/** The first vector that fails on the reference simulation, by place; −1 where none does. */
function firstFailed({ set, reading }: FaultRuns, logic: Logic): number {
  const { results } = runVectors(logic, set, reading, { explain: false, reference: true })
  return results.findIndex(({ result }) => result === 'failed')
}

/** Fuses, each with the place of the first vector that shows its fault. */
type Showings = readonly (readonly [fuse: number, vector: number | null | undefined])[]

/** Of a row, by the bench and by the reference. */
function shownInRow(runs: FaultRuns, row: number): { readonly found: Showings; readonly expected: Showings } {
  const faults = faultsOf(runs.decoded).filter((fault) => fault.row === row)
  const { first } = runPieces(firstShowings(runs, faults, { work: { steps: 1e9 }, most: 1e9 }))
  const by = (place: (fault: Fault) => number | null | undefined): Showings =>
    faults.map((fault) => [fault.fuse, place(fault)])
  return {
    found: by((fault) => first.get(fault)),
    expected: by((fault) => firstFailed(runs, faultyLogic(runs.decoded, runs.fuses, fault)!)),
  }
}

test('a reset that ends as the clock rises is one while it rises', () => {
  // The reset is ¬p1 ∧ p3, and pin 3 stands at 0. Without p3 it acts until pin 1 rises, at which the register takes 1.
  const design: Design = {
    ...V10,
    outputs: [{ ...output(23, [[2], [-2]]), kind: 'registered' }],
    reset: [-1, 3],
  }
  const conditions = ['0N0NNNNNNNNNNNNNNNNNNNNN', '1N0NNNNNNNNNNNNNNNNNNNHN']
  const runs = runsOf(design, encode(design), setOf(conditions))
  expect(firstFailed(runs, runs.decoded.logic)).toBe(-1)
  const { found, expected } = shownInRow(runs, 0)
  expect(found).toEqual(expected)
  // Columns of pin 3 are the fuses 8 and 9 of the first row (GAL22V10 data sheet, 22v10_08, p. 4).
  expect(found).toContainEqual([8, 1])
})

test('a number left out stands for a default vector, in which the clock may rise', () => {
  // 16R4: pin 17 takes p2 by its first row, 16, and shows the complement. By default all pins are 1: in vector 2 pin 1
  // rises, while the others stay as they are.
  const design: Design = {
    part: '16R4',
    mode: null,
    clockPin: 1,
    outputs: [{ ...output(17, [[2]]), kind: 'registered', activeHigh: false, enable: { lowPin: 11 } }],
  }
  const conditions = ['011111111N1NNNNNNNNN', '100000000N0NNNNNLNNN']
  const set: VectorSet = {
    vectors: setOf(conditions).vectors.map((vector, i) => ({ ...vector, number: 2 * i + 1 })),
    pinOrder: null,
    defaultCondition: 1,
  }
  const runs = runsOf(design, encode(design), set)
  const { found, expected } = shownInRow(runs, 16)
  expect(found).toEqual(expected)
  // The complement of any of the pins 2 to 9, which stand at 1 when the clock rises.
  expect(found.filter(([, place]) => place === 1)).toHaveLength(8)
})

test('what proofs before it have filled takes no proof from a fault', () => {
  const design: Design = { ...GATE, outputs: [18, 17, 16].map((pin, i) => output(pin, [[2, 3 + i], [-2, 7 + i]])) }
  const runs = runsOf(design, encode(design), NO_VECTORS)
  const faults = faultsOf(runs.decoded).filter((_, i) => i % 37 === 0)
  const told: string[] = []
  for (let maxNodes = 20; maxNodes <= 160; maxNodes += 20) {
    const prove = proverOf(runs, maxNodes)
    for (const fault of faults) {
      // A prover of its own has room for what one fault needs, if there is room at all.
      const alone = proverOf(runs, maxNodes)(fault)
      expect(prove(fault), `${maxNodes} nodes, fuse ${fault.fuse}`).toBe(alone)
      told.push(alone)
    }
  }
  expect(new Set(told)).toEqual(new Set(['undecided', 'missed', 'cannotBeShown']))
})

test('options of grading that no work could keep to are wrong use, for any content', () => {
  const bytes = writeFuseFile({ fuses: fuseMapFrom(encode(GATE).join('')) })
  for (const [name, options] of Object.entries({
    maxNodes: { maxNodes: 1 },
    maxSteps: { maxSteps: 0 },
    maxMissed: { maxMissed: -1 },
  }))
    for (const content of [bytes, ''])
      expect(() => grade(content, options), name).toThrow(`options.${name}`)
})

test('a fault in what a register takes as the clock goes up between two vectors', () => {
  const register = (pin: number, term: Term): DesignOutput => {
    return { ...output(pin, [term]), kind: 'registered', enable: { lowPin: 11 } }
  }
  const design: Design = {
    ...{ part: '16V8', mode: 'registered', clockPin: 1, outputs: [register(19, [18]), register(18, [-18])] },
  }
  // Both pins are high after power-up (GAL16V8 data sheet, 16v8_04, p. 20). As pin 1 goes up, and nothing else moves, 19
  // takes the old level of 18, which turns over: after the edge the row of 19 is 0.
  const set = setOf(['000000000N0NNNNNNHHN', '100000000N0NNNNNNLHN'])
  const runs = runsOf(design, encode(design), set, 'power-up')
  // Fuse 0 is the literal of pin 2 in that row, which is low: with it the row was 0 before the edge too. The second vector
  // shows it, of which the place is 1.
  expect(graded(runs).find(({ fault }) => fault.fuse === 0)).toMatchObject({ state: 'shown', vector: 1 })
})

test('looks at faults go on to all of them and never back', () => {
  const bytes = writeFuseFile({ fuses: fuseMapFrom(encode(GATE).join('')) })
  const looks: Progress[] = []
  grade(bytes, { device: '16V8', onProgress: (look) => void looks.push(look) })
  const faults = looks.filter(({ work }) => work === 'faults')
  expect(faults.length).toBeGreaterThan(2)
  expect(faults.every(({ done, most }, i) => done >= (faults[i - 1]?.done ?? 0) && done <= most)).toBe(true)
})
