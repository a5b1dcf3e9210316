/** Outcomes taken over from a run that comes to the same state, against whole runs of the reference simulation. */
import { describe, expect, test } from 'vitest'
import { listDevices } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { countVectors, runVectors, STRICT, type Reading, type VectorSet } from '../../src/jobs/vectors/run-vectors'
import { Trail } from '../../src/jobs/vectors/trail'
import { fuseMapFrom } from '../../src/index'
import { mapOf, register } from './maps'
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
      const vectors = withFewX(hostileVectors(logic.pinCount, sampleSize(9, 16), random), random).map((conditions, i) => ({
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

test('a number left out at the start or between two stands for a vector of X', () => {
  const setOf = (...numbers: readonly number[]): VectorSet => {
    const vectors = numbers.map((number) => ({ number, conditions: '0'.repeat(20), offset: null }))
    return { vectors, pinOrder: null, defaultCondition: null }
  }
  const lastOpen = (...numbers: readonly number[]): number => new Trail(setOf(...numbers), STRICT).lastOpen
  expect([lastOpen(1, 2), lastOpen(2, 3), lastOpen(1, 3), lastOpen(3, 5)]).toEqual([-1, 0, 1, 1])
})

describe('a shift register of three, pin 17 expected high after each clock', () => {
  // Pin 19 takes pin 2, 18 takes 19, 17 takes 18: after clock i pin 17 shows the level at pin 2 of clock i - 2.
  const digits = mapOf('registered', { 19: register([2]), 18: register([19]), 17: register([18]) })
  const { logic } = decode(listDevices().find(({ part }) => part === '16V8')!, fuseMapFrom(digits))
  const DATA = [1, 0, 1, 1, 0, 0, 1, 0]
  const vectorOf = (data: number | string, pin3 = '0'): string => `C${data}${pin3}000000N0NNNNNHNNN`

  /** Places at which the rest was taken over, with what was taken. */
  function restsOf(conditions: readonly string[], reading: Reading, numberOf = (place: number) => place + 1) {
    const rests = new Map<number, ReturnType<Trail['rest']>>()
    class Noted extends Trail {
      override rest(part: Parameters<Trail['rest']>[0], place: Parameters<Trail['rest']>[1]) {
        const rest = super.rest(part, place)
        if (rest) rests.set(place.index, rest)
        return rest
      }
    }
    const vectors = conditions.map((each, i) => ({ number: numberOf(i), conditions: each, offset: null }))
    const set = { vectors, pinOrder: null, defaultCondition: null }
    const trail = new Noted(set, STRICT)
    countVectors(logic!, set, STRICT, { trail })
    const { counts } = countVectors(logic!, set, reading, { explain: false, known: trail })
    return { rests: [...rests], counts }
  }

  test('from power-up is where the strict run is after three clocks', () => {
    // After the third clock pin 17 shows 1, 0, 1, 1, 0, 0: three passed and three failed, one of them the third itself.
    expect(restsOf(DATA.map((data) => vectorOf(data)), { ...STRICT, registers: 'power-up' })).toEqual({
      rests: [[2, { passed: 2, failed: 3, undetermined: 0 }]],
      // Q is 0 after power-up and the pins show its complement (GAL16V8 data sheet, 16v8_04, p. 20): high twice.
      counts: { passed: 5, failed: 3, undetermined: 0 },
    })
  })

  test('is so only behind the last X that readings take differently, and behind the last number left out', () => {
    const at = (place: number, level: string): string[] =>
      DATA.map((data, i) => vectorOf(data, i === place ? level : '0'))
    const asOne: Reading = { ...STRICT, registers: 'power-up', x: 1 }
    const placesOf = (conditions: readonly string[], numberOf?: (place: number) => number): number[] =>
      restsOf(conditions, asOne, numberOf).rests.map(([place]) => place)
    expect(placesOf(at(4, '1'))).toEqual([2])
    // The level itself differs at the place of the X, which the next one sets.
    expect(placesOf(at(4, 'X'))).toEqual([5])
    expect(placesOf(at(4, '1'), (place) => place + (place < 6 ? 1 : 2))).toEqual([6])
  })

  test('is never so in another order of events, or where states differ', () => {
    const order: Reading = { ...STRICT, registers: 'power-up', order: 'data-then-clock' }
    expect(restsOf(DATA.map((data) => vectorOf(data)), order).rests).toEqual([])
    // Without a clock the registers stay unknown on one side.
    const still = DATA.map((data) => vectorOf(data).replace('C', '0'))
    expect(restsOf(still, { ...STRICT, registers: 'power-up' })).toEqual({
      rests: [],
      counts: { passed: 8, failed: 0, undetermined: 0 },
    })
  })

  test('is looked for at every other vector of 2,048, and at each of 1,024', () => {
    const many = (count: number): string[] => Array.from({ length: count }, (_, i) => vectorOf(DATA[i % 8]!))
    const placesOf = (count: number): number[] =>
      restsOf(many(count), { ...STRICT, registers: 'power-up' }).rests.map(([place]) => place)
    expect([placesOf(1024), placesOf(1025), placesOf(2049)]).toEqual([[2], [2], [3]])
  })
})
