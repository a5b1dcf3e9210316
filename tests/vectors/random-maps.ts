/** Seeded random maps of any part, straight in fuses, and hostile vectors for them. Invented, all of them. */
import { createFuseMap, setFuse, type FuseMap } from '../../src/fuses/fuse-map'
import { arrayBlocks, blockOf, fuseOf, type Device } from '../../src/devices/device'
import { pick, type Random } from '../parts/random-designs'

/**
 * A map of a part in one of its modes: terms of few literals, of which now and then one is constant, the other fuses as
 * they fall.
 */
export function randomMap(device: Device, random: Random): FuseMap {
  const fuses = createFuseMap(device.fuseCount)
  for (let fuse = 0; fuse < device.fuseCount; fuse++) setFuse(fuses, fuse, random(2) as 0 | 1)
  const { columns } = device.array
  for (const { block } of arrayBlocks(device))
    for (let row = 0; row < block.count / columns; row++) {
      const used = random(4)
      for (let column = 0; column < columns; column++)
        setFuse(fuses, fuseOf(block, row * columns + column), used === 0 && random(3) ? 0 : 1)
      for (let literal = 0; literal < used; literal++)
        setFuse(fuses, fuseOf(block, row * columns + 2 * random(columns / 2) + random(2)), 0)
    }
  const mode = blockOf(device, 'mode-select')
  if (mode) pick(random, device.modes).select.forEach((value, i) => setFuse(fuses, fuseOf(mode, i), value))
  return fuses
}

/** What stands at pins: levels mostly, or anything that a V field can say. */
const KINDS = ['0101010101CKHLZX', '0101HLZ', '01CKDUHLZXNFP2', '01X', '0000000111111HL'] as const

/** Vectors of any conditions; pins stay as they were as often as not, and `steady` pins mostly. */
export function hostileVectors(pinCount: number, count: number, random: Random): string[] {
  const kind = pick(random, KINDS)
  const clock = random(2) === 1
  let last = Array.from({ length: pinCount }, () => pick(random, [...kind]))
  return Array.from({ length: count }, () => {
    last = last.map((old) => (random(3) === 0 ? pick(random, [...kind]) : old))
    if (clock) last[0] = pick(random, ['C', 'C', 'C', '0', 'K'])
    return random(40) === 0 ? `B${last.slice(1).join('')}` : last.join('')
  })
}
