/** Seeded damage to good files: what holds of any bytes holds of these. */
import { describe, expect, test } from 'vitest'
import { sampleSize } from '../sample-size'
import { DAMAGE, GOOD } from './damage'
import { brokenReading, brokenRewriting, brokenVerdict } from './properties'
import { seeded, textFrom } from './reference'

describe('one kind of damage, up to three times', () => {
  test.each(Object.keys(DAMAGE))('%s', (kind) => {
    const seed = 1000 + Object.keys(DAMAGE).indexOf(kind)
    const random = seeded(seed)
    const broken: string[] = []
    for (let round = 0; round < sampleSize(50, 1000); round++) {
      const [name, good] = GOOD[round % GOOD.length]!
      let bytes = good
      for (let times = 1 + random.below(3); times > 0; times--)
        bytes = DAMAGE[kind]!(bytes, random, random.pick(GOOD)[1])
      const fault =
        brokenReading(bytes) ??
        brokenRewriting(bytes) ??
        brokenVerdict(bytes) ??
        brokenVerdict(bytes, { device: '16V8', maxFindings: 1 })
      if (fault)
        broken.push(
          `seed ${seed}, round ${round}, ${name}: ${fault}: ${JSON.stringify(textFrom(bytes).slice(0, 200))}`,
        )
    }
    expect(broken).toEqual([])
  })
})

test('mixtures of all kinds of damage', () => {
  const random = seeded(2000)
  const broken: string[] = []
  for (let round = 0; round < sampleSize(80, 4000); round++) {
    let bytes = random.pick(GOOD)[1]
    for (let times = 2 + random.below(6); times > 0; times--)
      bytes = random.pick(Object.values(DAMAGE))(bytes, random, random.pick(GOOD)[1])
    const fault = brokenReading(bytes) ?? brokenRewriting(bytes) ?? brokenVerdict(bytes)
    if (fault) broken.push(`seed 2000, round ${round}: ${fault}: ${JSON.stringify(textFrom(bytes).slice(0, 400))}`)
  }
  expect(broken).toEqual([])
})
