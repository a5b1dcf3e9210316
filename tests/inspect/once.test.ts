/** How often a job reads, decodes, runs vectors and builds diagrams: counted at the functions that do it. */
import { beforeEach, describe, expect, test, vi } from 'vitest'
import { compare, compareReadings, inspect, readFuseFile, retarget, setFuse, verify, writeFuseFile, type FuseMap } from '../../src/index'
import { mapOf, output } from '../compare/pairs'
import type { Design } from '../parts/design'

const counts = vi.hoisted(() => ({ reads: 0, decodings: 0, runs: 0, diagrams: 0 }))

vi.mock('../../src/jesd3/read-fuse-file', async (original) => {
  const module = await original<typeof import('../../src/jesd3/read-fuse-file')>()
  const readFuseFile: typeof module.readFuseFile = (...given) => (counts.reads++, module.readFuseFile(...given))
  return { ...module, readFuseFile }
})

vi.mock('../../src/devices/decode', async (original) => {
  const module = await original<typeof import('../../src/devices/decode')>()
  const decode: typeof module.decode = (...given) => (counts.decodings++, module.decode(...given))
  return { ...module, decode }
})

vi.mock('../../src/jobs/vectors/run-vectors', async (original) => {
  const module = await original<typeof import('../../src/jobs/vectors/run-vectors')>()
  const runVectors: typeof module.runVectors = (...given) => (counts.runs++, module.runVectors(...given))
  const countVectors: typeof module.countVectors = (...given) => (counts.runs++, module.countVectors(...given))
  return { ...module, runVectors, countVectors }
})

vi.mock('../../src/logic/diagrams', async (original) => {
  const module = await original<typeof import('../../src/logic/diagrams')>()
  const createDiagrams: typeof module.createDiagrams = (...given) => (
    counts.diagrams++,
    module.createDiagrams(...given)
  )
  return { ...module, createDiagrams }
})

beforeEach(() => void Object.assign(counts, { reads: 0, decodings: 0, runs: 0, diagrams: 0 }))

/** What a job cost, without what was prepared for it. */
function costOf(job: () => unknown): typeof counts {
  Object.assign(counts, { reads: 0, decodings: 0, runs: 0, diagrams: 0 })
  job()
  return { ...counts }
}

/** Pin 19 is the complement of pin 2 ∧ pin 3, so the one vector holds, and no reading but the strict one is needed. */
const DESIGN: Design = { part: '16V8', mode: 'complex', outputs: [output(19, [[2, 3]])] }
const VECTORS = [{ number: 1, conditions: `N11${'N'.repeat(15)}LN`, offset: null }]

const fileOf = (fuses: FuseMap): Uint8Array => writeFuseFile({ fuses, vectors: VECTORS, pinCount: 20 })

/** The same map with another fuse in the row that holds pins 2 and 3 (row 1, fuses 32 to 63). */
function changed(map: FuseMap): FuseMap {
  const copy = { length: map.length, bits: map.bits.slice() }
  setFuse(copy, 32, 1)
  return copy
}

const MAP = mapOf(DESIGN)
const FILE = fileOf(MAP)
const OTHER = fileOf(changed(MAP))

describe('a comparison', () => {
  test.each([{}, { device: '16V8' }, { device: '16V8', otherDevice: 'GAL16V8' }])(
    'of two files, %j: one read, one decoding, one run of the vectors a side',
    (options) => {
      const cost = costOf(() => compare(FILE, OTHER, options))
      expect(cost).toMatchObject({ reads: 2, decodings: 2, runs: 2 })
      expect(cost.diagrams).toBeGreaterThan(0)
    },
  )

  test('of identical maps builds no diagrams', () => {
    expect(compare(FILE, FILE).relation).toBe('identical')
    expect(costOf(() => compare(FILE, FILE))).toEqual({ reads: 2, decodings: 2, runs: 2, diagrams: 0 })
    expect(costOf(() => compare(MAP, MAP))).toEqual({ reads: 0, decodings: 2, runs: 0, diagrams: 0 })
  })

  test('takes a map, a file as read and an inspection as they are', () => {
    const [file, other] = [readFuseFile(FILE), readFuseFile(OTHER)]
    expect(costOf(() => compare(MAP, changed(MAP)))).toMatchObject({ reads: 0, decodings: 2, runs: 0 })
    expect(costOf(() => compare(file, other))).toMatchObject({ reads: 0, decodings: 2, runs: 2 })
    const [first, second] = [inspect(FILE), inspect(OTHER)]
    expect(costOf(() => compare(first, second))).toMatchObject({ reads: 0, decodings: 0, runs: 2 })
    expect(compare(first, second)).toEqual(compare(FILE, OTHER))
    expect(compare(file, other)).toEqual(compare(FILE, OTHER))
  })

  test('of an ambiguous part decodes and runs each candidate once a side', () => {
    // 448 fuses are a 14L4 or a 14H4; a vector that expects nothing holds on both.
    const small = mapOf({ part: '14L4', mode: null, outputs: [output(17, [[2]])] })
    const vectors = [{ number: 1, conditions: 'N'.repeat(20), offset: null }]
    const bytes = writeFuseFile({ fuses: small, vectors, pinCount: 20 })
    const other = writeFuseFile({ fuses: changed(small), vectors, pinCount: 20 })
    expect(costOf(() => compare(bytes, other))).toMatchObject({ reads: 2, decodings: 4, runs: 4 })
  })
})

test('a check reads, decodes and runs once', () => {
  expect(costOf(() => verify(FILE))).toEqual({ reads: 1, decodings: 1, runs: 1, diagrams: 0 })
  expect(costOf(() => verify(inspect(FILE)))).toEqual({ reads: 1, decodings: 1, runs: 1, diagrams: 0 })
})

test('several reads of a chip are read and decoded once each, and no vectors are run', () => {
  expect(costOf(() => compareReadings([FILE, OTHER, FILE]))).toMatchObject({ reads: 3, decodings: 3, runs: 0 })
})

test('a map that is moved is decoded once, and so is the new one; the vectors of each are run once', () => {
  const pal = fileOf(mapOf({ part: '16L8', mode: null, outputs: [output(19, [[2, 3]])] }))
  const moved = retarget(pal, { device: '16L8', to: '16V8' })
  expect(moved.proof!.relation).toBe('equivalent')
  expect(costOf(() => retarget(pal, { device: '16L8', to: '16V8' }))).toMatchObject({ decodings: 2, runs: 2 })
})
