/** What is told of faults without a proof: rows that nothing uses, diagrams that do not fit, numbers left out. */
import { expect, test } from 'vitest'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { fuseMapFrom } from '../../src/index'
import type { DecodedLogic } from '../../src/inspect/inspection'
import { prepareFaultRuns, type FaultRuns } from '../../src/jobs/grade/fault-runs'
import { faultsOf, faultyLogic } from '../../src/jobs/grade/faults'
import { gradeFaults, type GradedFault } from '../../src/jobs/grade/grade'
import type { GradeOptions } from '../../src/vectors'
import { runVectors, STRICT, type VectorSet } from '../../src/jobs/vectors/run-vectors'
import { runPieces } from '../../src/arguments/pieces'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'

const output = (pin: number, terms: readonly Term[]): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
})
const GATE: Design = { part: '16V8', mode: 'complex', outputs: [output(18, [[2]])] }

const NO_VECTORS: VectorSet = { vectors: [], pinOrder: null, defaultCondition: null }

function runsOf(design: Design, states: Uint8Array, set: VectorSet): FaultRuns {
  const fuses = fuseMapFrom(states.join(''))
  const decoded = decode(findDevice(design.part)!, fuses)
  return prepareFaultRuns(decoded as DecodedLogic, fuses, { set, start: 'unknown' })
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

test('a number left out stands for a default vector, in which the clock may rise', () => {
  // 16R4: pin 17 takes p2 by its first row, 16, and shows the complement. By default all pins are 1: in vector 2 pin 1
  // rises, while the others stay as they are.
  const design: Design = {
    part: '16R4',
    mode: null,
    clockPin: 1,
    outputs: [{ ...output(17, [[2]]), kind: 'registered', activeHigh: false, enable: { lowPin: 11 } }],
  }
  const set: VectorSet = {
    vectors: [
      { number: 1, conditions: '011111111N1NNNNNNNNN', offset: null },
      { number: 3, conditions: '100000000N0NNNNNLNNN', offset: null },
    ],
    pinOrder: null,
    defaultCondition: 1,
  }
  const states = encode(design)
  const runs = runsOf(design, states, set)
  const firstFailed = (logic: NonNullable<ReturnType<typeof faultyLogic>>): number =>
    runVectors(logic, runs.set, STRICT, { explain: false, reference: true }).results.findIndex(
      ({ result }) => result === 'failed',
    )
  const found = new Map(graded(runs).map((each) => [each.fault.fuse, each]))
  let shown = 0
  for (const fault of faultsOf(runs.decoded).filter(({ row }) => row === 16)) {
    const first = firstFailed(faultyLogic(runs.decoded, runs.fuses, fault)!)
    shown += Number(first >= 0)
    expect([fault.fuse, found.get(fault.fuse)!.vector]).toEqual([fault.fuse, first])
  }
  // The complement of any of the pins 2 to 9, which stand at 1 when the clock rises.
  expect(shown).toBe(8)
})
