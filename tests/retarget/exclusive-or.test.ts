/** Random designs of the parts with an exclusive-or, moved to a 22V10: straight evaluation says what must come out. */
import { expect, test } from 'vitest'
import { fuseMapFrom, retarget, simulate, writeFuseFile } from '../../src/index'
import { encode, tableOf } from '../parts/encoder'
import { randomDesign, seededRandom, vectorsFor } from '../parts/random-designs'
import { granted } from '../granted'

/** Of each part; one to three literals a term. */
const DESIGNS = 12

test.each(['20X4', '20X8', '20X10'])('a %s goes to a 22V10 with its exclusive-ors multiplied out', (from) => {
  const table = tableOf({ part: from, mode: null })
  let moved = 0
  for (let seed = 0; seed < DESIGNS; seed++) {
    const random = seededRandom(8300 + seed)
    const design = randomDesign(table, random)
    const vectors = vectorsFor(table, design, { random, count: 14 })
    const file = writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) })
    const made = retarget(file, { device: from, to: '22V10' })
    if ('refused' in made) {
      for (const { reason } of made.misfits) expect(['exclusive-or', 'terms'], `seed ${seed}`).toContain(reason)
      continue
    }
    moved++
    const { bytes, proof } = made
    expect(proof.relation, `seed ${seed}`).toBe('equivalent')
    const { results } = granted(simulate(bytes, { device: '22V10', vectors, order: 'data-then-clock' }))
    for (const { number, result } of results)
      expect(result, `seed ${seed}, vector ${number} ${vectors[number - 1]}`).toBe('passed')
  }
  expect(moved).toBeGreaterThan(0)
})
