/** The logic with a fault is made from the map's own: it must be what decoding the fuses with the fault gives. */
import { expect, test } from 'vitest'
import { listDevices } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { deviceInOrder } from '../../src/devices/fuse-orders'
import { fuseAt, setFuse } from '../../src/fuses/fuse-map'
import { faultsOf, faultyLogic } from '../../src/jobs/grade/faults'
import { seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { randomMap } from '../vectors/random-maps'

/** One fault in so many: of each part some thirty. */
const STRIDE = sampleSize(97, 7)

/** Parts with several AND arrays, whose order of fuses is open, in one of their orders. */
const ARRAYS = ['82S100', 'PLS153', 'PLS173'].map((part) => deviceInOrder(part, 'term-by-term'))

test.each([...listDevices().filter(({ modes }) => modes.length > 0), ...ARRAYS])('$part', (device) => {
  const fuses = randomMap(device, seededRandom(5))
  const decoded = decode(device, fuses)
  const faults = faultsOf(decoded).filter((_, i) => i % STRIDE === 0)
  expect(faults.length).toBeGreaterThan(0)
  for (const fault of faults) {
    const turned = { length: fuses.length, bits: fuses.bits.slice() }
    setFuse(turned, fault.fuse, fuseAt(fuses, fault.fuse) ? 0 : 1)
    expect(faultyLogic(decoded, fuses, fault), `fuse ${fault.fuse}`).toEqual(decode(device, turned).logic)
  }
})
