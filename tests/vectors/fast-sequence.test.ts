/** The fast evaluator against the reference simulation: the same levels, outcomes and reasons, unknown ones included. */
import { describe, expect, test } from 'vitest'
import { listDevices } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { runVectors, STRICT, type Reading } from '../../src/jobs/vectors/run-vectors'
import { pick, seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { hostileVectors, randomMap } from './random-maps'

const READINGS: readonly Reading[] = [
  STRICT,
  { ...STRICT, registers: 'power-up' },
  { ...STRICT, order: 'data-then-clock' },
  { x: 1, registers: 'power-up', order: 'open' },
]

/** Maps a part. */
const MAPS = sampleSize(1, 12)

describe('every part, random maps and hostile vectors', () => {
  test.each(listDevices().filter(({ modes }) => modes.length > 0).map((device) => [device.part, device] as const))(
    '%s',
    (part, device) => {
      const random = seededRandom(part.length * 131 + device.fuseCount)
      for (let map = 0; map < MAPS; map++) {
        const { logic } = decode(device, randomMap(device, random))
        if (!logic) continue
        const vectors = hostileVectors(logic.pinCount, 20, random).map((conditions, i) => ({
          number: i + 1 + Math.floor(i / 11),
          conditions: random(60) === 0 ? null : conditions,
          offset: null,
        }))
        const set = { vectors, pinOrder: null, defaultCondition: null }
        const reading = pick(random, READINGS)
        for (const explain of [true, false]) {
          const slow = runVectors(logic, set, reading, { explain, reference: true })
          expect(runVectors(logic, set, reading, { explain })).toEqual(slow)
        }
      }
    },
  )
})
