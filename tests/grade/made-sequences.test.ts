/**
 * Sequences made for small maps with registers and loops: what they show, and how long they and the work are. Bounds
 * are as measured, steps with a thirtieth more: a search that finds less, or looks for more than it needs, goes past
 * one of them. That what is counted as shown is shown, and what is left out cannot be, brute force holds elsewhere
 * (straight-grade.test.ts, proved.test.ts).
 */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import { testerPins } from '../../src/jobs/exercise/made-vector'
import { makeSequence, type SequenceTask } from '../../src/jobs/exercise/make-sequence'
import { shortened } from '../../src/jobs/exercise/shorten'
import { FaultBench } from '../../src/jobs/grade/fault-bench'
import { prepareFaultFunctions } from '../../src/jobs/grade/fault-functions'
import { faultsOf, rowLiterals, usedRows } from '../../src/jobs/grade/faults'
import { gradeTask } from '../../src/jobs/grade/grade-task'
import { granted } from '../granted'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode, tableOf } from '../parts/encoder'
import { randomDesign, seededRandom } from '../parts/random-designs'

const DEMO = readFileSync(new URL('../../vectors/demo/tide-gauge-16v8.jed', import.meta.url))

/** The pin is the complement of the sum, at once or from the next clock on. */
const gate = (pin: number, ...terms: readonly Term[]): DesignOutput => {
  return { pin, kind: 'combinational', activeHigh: false, enable: 'always', terms }
}
const register = (pin: number, ...terms: readonly Term[]): DesignOutput => {
  return { pin, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms }
}
const on16R4 = (...outputs: readonly DesignOutput[]): Design => ({ part: '16R4', mode: null, outputs })
const on22V10 = (outputs: readonly DesignOutput[], more: Partial<Design> = {}): Design => {
  return { part: '22V10', mode: null, outputs: outputs.map((each) => ({ ...each, activeHigh: true })), ...more }
}
const always = (output: DesignOutput): DesignOutput => ({ ...output, enable: 'always' })
const never = (output: DesignOutput): DesignOutput => ({ ...output, enable: 'never' })

/** Low after 2 to 9 all high, high after 2 to 8 all low, else as it is. */
const CODED = register(17, ...[2, 3, 4, 5, 6, 7, 8].map((pin) => [-17, pin]), [2, 3, 4, 5, 6, 7, 8, 9])

const CODE = 'a register that one code sets and one resets, and one that follows'
const SHIFT = 'a shift register of three, its last stage behind a gate with an enable'
const COUNTER = 'a counter of three bits with a gate that sees its last state alone'
const RESET = 'a counter with a reset, and outputs that are on at times'
const GATED = 'a counter that can be held, and outputs that others read'
const ON_BY_CLOCK = 'outputs that are on while the clock is high'
const CLOCK = 'a gate that reads the clock'
const HIDDEN = 'a shift register of which one stage has a pin'
const RANDOM = 'a random map'
const CIRCLE = 'two gates in a circle'

const MAPS: Readonly<Record<string, Design>> = {
  [CODE]: on16R4(CODED, register(16, [17, 2], [16, -17, -2])),
  [SHIFT]: on16R4(
    register(17, [2, 3]),
    register(16, [17, 4]),
    register(15, [16, 5]),
    { ...gate(19, [15, 6]), enable: { term: [7, -16] } },
  ),
  // Bit i is turned while all below it are high; 2 low resets.
  [COUNTER]: on16R4(
    register(17, [17], [-2]),
    register(16, [-16, -17], [16, 17], [-2]),
    register(15, [-15, -16], [-15, -17], [15, 16, 17], [-2]),
    gate(19, [3, 15, 16, 17]),
  ),
  [RESET]: on22V10(
    [
      always(register(23, [23])),
      { ...register(22, [-22, 23], [22, -23]), enable: { term: [4, -5] } },
      { ...gate(21, [-22, -23, 4], [5]), enable: { term: [-23] } },
    ],
    { reset: [2, 3], clockedPreset: [-2, 4] },
  ),
  [GATED]: on16R4(
    register(17, [17, 2], [-17, -2], [3, -4]),
    register(16, [-16, -17], [16, 17, 2], [-16, -2], [3, -4]),
    register(15, [-15, -16], [-15, -17], [15, 16, 17], [3, -4]),
    { ...gate(19, [5, 15, 16, 17]), enable: { term: [6] } },
    { ...gate(18, [19, 7], [-15]), enable: { term: [-17] } },
  ),
  [ON_BY_CLOCK]: on22V10([
    always(register(23, [2, -22])),
    { ...register(22, [-23, 3]), enable: { term: [1] } },
    { ...gate(21, [-23, 4]), enable: { term: [1, 5] } },
  ]),
  [CLOCK]: on22V10([always(register(23, [2])), gate(22, [1, 3, 4])]),
  [HIDDEN]: on22V10(
    [never(register(23, [2])), never(register(22, [-23, 3])), always(register(21, [-22, 4]))],
    { reset: [6, 7] },
  ),
  [RANDOM]: randomDesign(tableOf({ part: '16R4', mode: null }), seededRandom(9301)),
  [CIRCLE]: { part: '16V8', mode: 'complex', outputs: [gate(18, [2], [17]), gate(17, [3], [18])] },
}

/** Registers unknown, and every fault. */
const WHOLE = { start: 'unknown', stride: 1 } as const

interface Case {
  readonly start: SequenceTask['start']
  /** One fault in so many is looked at. */
  readonly stride: number
  readonly faults: number
  readonly shown: number
  /** Vectors that the search makes, and those that are left of them. */
  readonly long: number
  readonly short: number
  /** Steps of the search, and of shortening. */
  readonly making: number
  readonly shortening: number
}

function taskOf(name: string, start: SequenceTask['start'], stride = 1) {
  const design = MAPS[name]
  const bytes = design ? writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) }) : DEMO
  const task = granted(gradeTask(bytes, design ? { device: design.part } : {}))
  const { decoded, fuses } = task
  const functions = prepareFaultFunctions(decoded, fuses, { literals: rowLiterals(decoded, fuses), maxNodes: 1e6 })!
  const rows = usedRows(decoded.logic)
  const used = faultsOf(decoded).filter(({ literal, row }) => literal === null || rows.has(row!))
  const faults = used.filter((_, i) => i % stride === 0).filter((fault) => functions.differenceOf(fault) !== 0)
  const pins = testerPins(decoded.logic)
  const work = { steps: 1e9 }
  return { task, given: { faults, described: true, maxNodes: 1e6, pins, start, maxVectors: 2000, watch: null, work } }
}

function made(name: string, { start, stride }: Pick<Case, 'start' | 'stride'>) {
  const { task, given } = taskOf(name, start, stride)
  const { faults, work } = given
  const sequence = runPieces(makeSequence(task, given))
  const making = 1e9 - work.steps
  const vectors = runPieces(shortened(task, sequence.vectors, given))
  const bench = new FaultBench({ ...task, start }, faults)
  const shown = vectors.flatMap((vector) => bench.run(vector)).length
  const found = { faults: faults.length, shown, long: sequence.vectors.length, short: vectors.length }
  return { ...found, making, shortening: 1e9 - work.steps - making, sequence, vectors }
}

const CASES: Readonly<Record<string, Case>> = {
  [CODE]: { ...WHOLE, faults: 277, shown: 257, long: 32, short: 32, making: 445_988, shortening: 130_750 },
  [SHIFT]: { ...WHOLE, faults: 158, shown: 150, long: 28, short: 27, making: 235_376, shortening: 122_568 },
  [COUNTER]: {
    ...{ start: 'unknown', stride: 2, faults: 162, shown: 142 },
    ...{ long: 48, short: 48, making: 367_992, shortening: 1_119_692 },
  },
  [CLOCK]: { ...WHOLE, faults: 178, shown: 175, long: 10, short: 8, making: 211_736, shortening: 73_866 },
  [HIDDEN]: {
    ...{ start: 'power-up', stride: 2, faults: 113, shown: 91 },
    ...{ long: 77, short: 59, making: 210_684, shortening: 294_920 },
  },
  [RANDOM]: { ...WHOLE, stride: 2, faults: 338, shown: 105, long: 12, short: 9, making: 608_018, shortening: 124_962 },
  [CIRCLE]: { ...WHOLE, stride: 7, faults: 28, shown: 26, long: 56, short: 20, making: 200_218, shortening: 212_896 },
  demo: {
    ...{ start: 'power-up', stride: 2, faults: 199, shown: 193 },
    ...{ long: 28, short: 25, making: 1_260_104, shortening: 402_840 },
  },
}

test.each(Object.entries(CASES))('%s', (name, expected) => {
  const { sequence, vectors, ...found } = made(name, expected)
  expect(found.faults).toBeLessThanOrEqual(expected.faults)
  expect(found.shown).toBeGreaterThanOrEqual(expected.shown)
  expect(found.long).toBeLessThanOrEqual(expected.long)
  expect(found.short).toBeLessThanOrEqual(expected.short)
  expect(found.making).toBeLessThanOrEqual((expected.making * 31) / 30)
  expect(found.shortening).toBeLessThanOrEqual((expected.shortening * 31) / 30)
  expect(sequence).toMatchObject({ complete: true, unknownCells: [] })
})

/** Of searches alone. */
const SEARCHES: readonly (readonly [name: string, found: Omit<Case, 'short' | 'shortening'>])[] = [
  [RESET, { start: 'power-up', stride: 7, faults: 63, shown: 62, long: 76, making: 131_792 }],
  [ON_BY_CLOCK, { ...WHOLE, stride: 2, faults: 133, shown: 62, long: 7, making: 163_984 }],
  [GATED, { ...WHOLE, stride: 3, faults: 168, shown: 152, long: 56, making: 624_178 }],
]

test.each(SEARCHES)('the search alone: %s', (name, expected) => {
  const { start, stride } = expected
  const { task, given } = taskOf(name, start, stride)
  const { vectors, complete, unknownCells } = runPieces(makeSequence(task, given))
  const making = 1e9 - given.work.steps
  const bench = new FaultBench({ ...task, start }, given.faults)
  const shown = vectors.flatMap((vector) => bench.run(vector)).length
  expect([unknownCells, complete]).toEqual([[], true])
  expect(given.faults.length).toBeLessThanOrEqual(expected.faults)
  expect(shown).toBeGreaterThanOrEqual(expected.shown)
  expect(vectors.length).toBeLessThanOrEqual(expected.long)
  expect(making).toBeLessThanOrEqual((expected.making * 31) / 30)
})

test('the first vectors bring registers to known states, by the one code of 128 that does where it must be', () => {
  const [first, second] = made(CODE, WHOLE).vectors
  // After the code at 2 to 8 the pin of the first register is known; the second one takes it at the next clock at most.
  expect(first!.slice(2, 9).join('')).toMatch(/^(0{7}|1{7})$/)
  expect(first![17]).toMatch(/[LH]/)
  expect(second!.slice(16, 18).join('')).toMatch(/[LH]{2}/)
})
