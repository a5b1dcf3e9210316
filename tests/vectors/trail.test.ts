/** Outcomes taken over from a run that comes to the same state, against whole runs of the reference simulation. */
import { describe, expect, test } from 'vitest'
import { listDevices } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { countVectors, runVectors, STRICT, type Reading } from '../../src/jobs/vectors/run-vectors'
import { Trail } from '../../src/jobs/vectors/trail'
import { pick, seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { hostileVectors, randomMap } from './random-maps'

const READINGS = ([null, 0, 1] as const).flatMap((x) =>
  (['unknown', 'power-up'] as const).flatMap((registers) =>
    (['open', 'data-then-clock'] as const).map((order): Reading => ({ x, registers, order })),
  ),
)

/** Those that are at the state of the strict reading from the first vector on, where nothing hangs on them. */
const NEAREST: readonly Reading[] = [
  { ...STRICT, order: 'data-then-clock' },
  { ...STRICT, x: 1 },
]

let taken = 0

class CountedTrail extends Trail {
  override rest(...given: Parameters<Trail['rest']>): ReturnType<Trail['rest']> {
    const rest = super.rest(...given)
    if (rest) taken++
    return rest
  }
}

/** Levels at random for X, but for few vectors, so that an X comes late in some sets. */
function withFewX(vectors: readonly string[], random: (below: number) => number): string[] {
  return vectors.map((vector) => (random(8) === 0 ? vector : vector.replace(/X/g, () => String(random(2)))))
}

describe('readings beside the strict one, random maps', () => {
  const parts = listDevices().filter(({ modes }) => modes.length > 0)
  test.each(parts.map((device) => [device.part, device] as const))('%s', (part, device) => {
    const random = seededRandom(part.length * 977 + device.fuseCount)
    for (let map = 0; map < sampleSize(1, 12); map++) {
      const { logic } = decode(device, randomMap(device, random))
      if (!logic) continue
      const vectors = withFewX(hostileVectors(logic.pinCount, 16, random), random).map((conditions, i) => ({
        number: i + 1 + Math.floor(i / 11),
        conditions: random(60) === 0 ? null : conditions,
        offset: null,
      }))
      const set = { vectors, pinOrder: null, defaultCondition: null }
      const trail = new CountedTrail(set, STRICT)
      countVectors(logic, set, STRICT, { trail })
      for (const reading of [...NEAREST, pick(random, READINGS)]) {
        const { results } = runVectors(logic, set, reading, { explain: false, reference: true })
        const counts = { passed: 0, failed: 0, undetermined: 0 }
        for (const { result } of results) counts[result]++
        expect(countVectors(logic, set, reading, { explain: false, known: trail }).counts).toEqual(counts)
      }
    }
  })

  test('of so many vectors that not every state is kept', () => {
    const device = parts.find(({ part }) => part === '16V8')!
    const random = seededRandom(5)
    const { logic } = decode(device, randomMap(device, random))
    // X and the number that is left out come early, so that the readings go the same way from some vector on.
    const vectors = withFewX(hostileVectors(20, 2100, random), random).map((conditions, i) => ({
      number: i + 1 + (i > 40 ? 1 : 0),
      conditions: i > 40 ? `C${conditions.slice(1).replace(/[^01HL]/g, '1')}` : conditions,
      offset: null,
    }))
    const set = { vectors, pinOrder: null, defaultCondition: null }
    const trail = new CountedTrail(set, STRICT)
    countVectors(logic!, set, STRICT, { explain: false, trail })
    const before = taken
    for (const reading of NEAREST) {
      const { counts } = countVectors(logic!, set, reading, { explain: false, known: trail })
      expect(counts).toEqual(countVectors(logic!, set, reading, { explain: false }).counts)
    }
    expect(taken).toBeGreaterThan(before)
  })

  test('took over the rest of many runs', () => {
    expect(taken).toBeGreaterThan(parts.length / 2)
  })
})
