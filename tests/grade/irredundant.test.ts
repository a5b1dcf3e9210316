/**
 * No vector of a set made for a map without registers and loops can be left out: by brute force, every fuse turned and
 * all vectors on the reference simulation, each vector shows a fault that no other one shows.
 */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { fuseMapFrom, readFuseFile, writeFuseFile } from '../../src/index'
import { setFuse, type FuseMap } from '../../src/fuses/fuse-map'
import { runVectors, STRICT, type VectorSet } from '../../src/jobs/vectors/run-vectors'
import { exercise } from '../../src/vectors'
import { encode, TABLES } from '../parts/encoder'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { longOnly } from '../sample-size'

/** Places of the vectors that fail on a map with one fuse turned; none where it names no mode. */
function failing(part: string, fuses: FuseMap, { fuse, set }: { fuse: number; set: VectorSet }): number[] {
  const other = { length: fuses.length, bits: fuses.bits.slice() }
  setFuse(other, fuse, ((fuses.bits[fuse >> 3]! >> (fuse & 7)) & 1) === 1 ? 0 : 1)
  const { logic } = decode(findDevice(part)!, other)
  if (!logic) return []
  const { results } = runVectors(logic, set, STRICT, { explain: false, reference: true })
  return results.flatMap(({ result }, place) => (result === 'failed' ? [place] : []))
}

/** Numbers of the vectors that can be left out. */
function surplus(part: string, bytes: Uint8Array): { readonly count: number; readonly surplus: readonly number[] } {
  const made = exercise(bytes, { device: part })
  if ('refused' in made) throw new Error(made.reason)
  // A bound is proved for maps without registers and loops only.
  expect(made.lowerBound).not.toBeNull()
  const file = readFuseFile(made.bytes)
  const { fuses, vectors } = file
  if (!fuses) throw new Error('no fuses')
  const set: VectorSet = { vectors, pinOrder: null, defaultCondition: null }
  const left = new Set(vectors.keys())
  for (let fuse = 0; fuse < fuses.length && left.size > 0; fuse++) {
    const shown = failing(part, fuses, { fuse, set })
    if (shown.length === 1) left.delete(shown[0]!)
  }
  return { count: vectors.length, surplus: [...left].map((place) => place + 1) }
}

const RANDOM = (
  [
    // Of the first twelve seeds those for which the cover had a vector too many before it was reduced.
    ['10H8', null, [9, 11]],
    ['14L4', null, [9]],
    // A second and a half by brute force.
    ['16V8', 'simple', longOnly(2)],
  ] as const
).flatMap(([part, mode, seeds]) => seeds.map((seed) => [part, mode, seed] as const))

test.each(RANDOM)('%s %s, seed %i', (part, mode, seed) => {
  const table = TABLES.find((one) => one.part === part && one.mode === mode)!
  const states = encode(randomDesign(table, seededRandom(9100 + seed)))
  const found = surplus(part, writeFuseFile({ fuses: fuseMapFrom(states.join('')) }))
  expect(found.count).toBeGreaterThan(1)
  expect(found.surplus).toEqual([])
})

const FILES = [
  ['14L4', 'published/jesd3a-14l4.jed'],
  ['14L4', 'findings/compare-added-hazards.jed'],
  ['14L4', 'findings/compare-different.jed'],
] as const

test.each(FILES)('%s, %s', (part, name) => {
  const bytes = readFileSync(new URL(`../../vectors/${name}`, import.meta.url))
  expect(surplus(part, new Uint8Array(bytes)).surplus).toEqual([])
})
