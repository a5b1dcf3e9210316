/**
 * Vectors that load registers, number vectors with gaps, pulse several pins or say anything else that a V field can:
 * graded fault by fault as by running each faulty map by itself on the reference simulation.
 */
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { fuseMapFrom } from '../../src/index'
import { setFuse } from '../../src/fuses/fuse-map'
import type { DecodedLogic } from '../../src/inspect/inspection'
import { prepareFaultRuns, firstShowings } from '../../src/jobs/grade/fault-runs'
import { faultsOf, type Fault } from '../../src/jobs/grade/faults'
import { runVectors, STRICT, type VectorSet } from '../../src/jobs/vectors/run-vectors'
import type { Design } from '../parts/design'
import { encode, tableOf } from '../parts/encoder'
import { seededRandom, vectorsFor } from '../parts/random-designs'
import { hostileVectors } from '../vectors/random-maps'

/** A shift register that can be held, and a gate. */
const DESIGN: Design = {
  part: '16R4',
  mode: null,
  outputs: [
    { pin: 17, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: [[2, 3], [-3, 17]] },
    { pin: 16, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: [[-17, 4]] },
    { pin: 19, kind: 'combinational', activeHigh: false, enable: { term: [5] }, terms: [[16, 2], [-4]] },
  ],
}
const TABLE = tableOf(DESIGN)
const DEVICE = findDevice('16R4')!
const STATES = encode(DESIGN)
const FUSES = fuseMapFrom(STATES.join(''))

const setOf = (conditions: readonly string[], more: Partial<VectorSet> = {}): VectorSet => ({
  vectors: conditions.map((each, i) => ({ number: i + 1, conditions: each, offset: null })),
  pinOrder: null,
  defaultCondition: null,
  ...more,
})

const straight = vectorsFor(TABLE, DESIGN, { random: seededRandom(7), count: 8 })
const gapped = setOf(straight.slice(1)).vectors.map((vector, i) => ({ ...vector, number: i < 3 ? i + 1 : i + 4 }))

const SETS: Readonly<Record<string, VectorSet>> = {
  'loaded first': setOf(straight),
  'loaded in between': setOf([...straight.slice(1, 4), ...straight.slice(0, 1), ...straight.slice(4)]),
  'with gaps, unknown there': setOf([], { vectors: gapped }),
  'with gaps, all pins at 1 there': setOf([], { vectors: gapped, defaultCondition: 1 }),
  anything: setOf(hostileVectors(20, 8, seededRandom(25))),
  'two pulses in one': setOf(straight.slice(1).map((each, i) => (i % 3 ? each : `CC${each.slice(2)}`))),
}

test.each(Object.entries(SETS))('%s', (_, set) => {
  const decoded = decode(DEVICE, FUSES) as DecodedLogic
  const runs = prepareFaultRuns(decoded, FUSES, { set, start: 'unknown' })
  // Of rows with a term one fuse in three; 32 fuses are a row.
  const isUsed = ({ fuse }: Fault): boolean => STATES.slice(fuse - (fuse % 32), fuse - (fuse % 32) + 32).includes(1)
  const faults = faultsOf(decoded).filter((fault) => isUsed(fault) && fault.fuse % 3 === 0)
  const { first, run } = runPieces(firstShowings(runs, faults, { work: { steps: 1e9 }, most: 1e9 }))
  expect(run).toBe(set.vectors.length)
  const wrong = faults.flatMap((fault) => {
    const other = { length: FUSES.length, bits: FUSES.bits.slice() }
    setFuse(other, fault.fuse, (FUSES.bits[fault.fuse >> 3]! >> (fault.fuse & 7)) & 1 ? 0 : 1)
    const { results } = runVectors(decode(DEVICE, other).logic!, runs.set, STRICT, { explain: false, reference: true })
    const number = results.find(({ result }) => result === 'failed')?.number ?? null
    const place = set.vectors.findIndex((vector) => vector.number === number)
    return first.get(fault) === place ? [] : [`fuse ${fault.fuse}: ${first.get(fault)}, not ${place}`]
  })
  expect(wrong).toEqual([])
  expect([...first.values()].filter((place) => place !== null && place >= 0).length).toBeGreaterThan(10)
})

test('runs all parts side by side: one vector on each costs less than building it', () => {
  const decoded = decode(DEVICE, FUSES) as DecodedLogic
  const levels = straight.slice(1).map((each) => each.replace(/[HLZ]/g, 'N'))
  const runs = prepareFaultRuns(decoded, FUSES, { set: setOf(levels), start: 'unknown' })
  const faults = faultsOf(decoded).filter(({ fuse }) => fuse >= 512 && fuse < 576)
  const work = { steps: 1e9 }
  runPieces(firstShowings(runs, faults, { work, most: 1e9 }))
  // Measured 12,672; to build each of the 64 takes 1,500.
  expect(1e9 - work.steps).toBeLessThan(13_100)
})
