/** Grading against brute force: every fuse turned, the map decoded anew, all vectors on the reference simulation. */
import { expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { faultsOf } from '../../src/jobs/grade/faults'
import { faultyLogic, rowLiterals } from '../../src/jobs/grade/faults'
import { prepareFaultFunctions } from '../../src/jobs/grade/fault-functions'
import type { DecodedLogic } from '../../src/inspect/inspection'
import { gradeFaults } from '../../src/jobs/grade/grade'
import { prepareFaultRuns } from '../../src/jobs/grade/fault-runs'
import { runVectors, STRICT } from '../../src/jobs/vectors/run-vectors'
import { seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { hostileVectors, randomMap } from '../vectors/random-maps'

/** One map of each part: the second ones took as long again, 11 of 24 s. */
const SEEDS = Array.from({ length: sampleSize(1, 3) }, (_, i) => i + 1)
/** One fuse of the array in so many: the reference takes its time. Rows of 32 and 44 columns start elsewhere each. */
const STRIDE = sampleSize(31, 3)

test.each(['16V8', '14L4', '16R4', '22V10'].flatMap((part) => SEEDS.map((seed) => [part, seed] as const)))(
  '%s, seed %i',
  (part, seed) => {
    const random = seededRandom(seed * 77)
    const device = findDevice(part)!
    const fuses = randomMap(device, random)
    const decoded = decode(device, fuses)
    if (!decoded.logic) return expect(decoded.mode).toBeNull()
    const vectors = hostileVectors(device.pinCount, 6, random).map((conditions, i) => ({
      number: i + 1,
      conditions,
      offset: null,
    }))
    const set = { vectors, pinOrder: null, defaultCondition: null }
    const runs = prepareFaultRuns(decoded as DecodedLogic, fuses, { set, start: 'power-up' })
    // Maps whose wiring runs in circles take more than the usual steps.
    const all = runPieces(gradeFaults(runs, { work: { steps: 1e12 } }))
    const graded = new Map(all.graded.map((each) => [each.fault.fuse, each]))
    const functions = prepareFaultFunctions(decoded, fuses, { literals: rowLiterals(decoded, fuses), maxNodes: 1e6 })
    expect(functions).not.toBeNull()
    // All of those that are no literals are among them.
    const some = faultsOf(decoded).filter(({ literal, fuse }) => literal === null || fuse % STRIDE === seed % STRIDE)
    const wrong = some.flatMap((fault) => {
      const logic = faultyLogic(decoded, fuses, fault)
      const first = logic
        ? runVectors(
            logic,
            runs.set,
            { ...STRICT, registers: 'power-up' },
            { explain: false, reference: true },
          ).results.findIndex(({ result }) => result === 'failed')
        : -1
      const { vector, state } = graded.get(fault.fuse)!
      return vector === first && first >= 0 === (state === 'shown')
        ? []
        : [{ fuse: fault.fuse, first, vector, state }]
    })
    expect(wrong).toEqual([])
  },
)
