/** The two sides of a comparison: each inspected and checked once. */
import type { ReadOptions } from '../../jesd3/fuse-file'
import { findDevice } from '../../devices/catalogue'
import type { Decoded } from '../../devices/decode'
import type { Device } from '../../devices/device'
import { fuseOrders } from '../../devices/fuse-orders'
import { chosenDevice } from '../../inspect/chosen-device'
import { inspectAs, limitsIn, type InspectInput } from '../../inspect/inspect'
import type { Inspection } from '../../inspect/inspection'
import { checkInspection, type Checked } from '../check/verify'
import { isSamePart } from './compare-parts'

/** What the sides are inspected by. */
export interface SideOptions extends ReadOptions {
  readonly device?: string | Device
  readonly otherDevice?: string | Device
  readonly fuseOrder?: string
}

/** Both sides, with everything that their files say by themselves. */
export interface Sides {
  readonly intended: Checked
  readonly readback: Checked
}

/** Inspects and checks both sides. A part named for the intended one counts for the other too, where its size fits. */
export function sidesOf(intended: InspectInput, readback: InspectInput, options: SideOptions): Sides {
  const { device, otherDevice, fuseOrder } = options
  const limits = limitsIn(options)
  const asked = askedAs(device, 'options.device', fuseOrder)
  const other = askedAs(otherDevice, 'options.otherDevice', orderFor(otherDevice, fuseOrder))
  const first = inspectAs(intended, 'intended', { asked, fuseOrder, limits })
  const second = inspectAs(readback, 'readback', { asked: other, fallback: asked, fuseOrder, limits })
  return {
    intended: checkInspection(first, limits),
    readback: checkInspection(second, limits),
  }
}

function askedAs(
  device: string | Device | undefined,
  name: string,
  fuseOrder: string | undefined,
): Inspection['asked'] {
  const chosen = chosenDevice(device, name, fuseOrder)
  return chosen ? { device: chosen, name: typeof device === 'string' ? device : null } : null
}

/** An order that is stated for the other side says nothing about a part of which the order is established. */
function orderFor(device: string | Device | undefined, fuseOrder: string | undefined): string | undefined {
  const chosen = chosenDevice(device, 'options.otherDevice')
  return chosen && fuseOrders(chosen.part).length > 0 ? fuseOrder : undefined
}

/** One decoding of each side, to be compared. */
export interface DecodedPair {
  readonly a: Decoded
  readonly b: Decoded
}

/** Both sides as each part that they can be; where both are open in the same way, as the same part. */
export function decodedPairs(sides: Sides): readonly DecodedPair[] {
  const [first, second] = optionsOf(sides)
  const together =
    first.length > 1 && first.length === second.length && first.every((each, i) => isSamePart(each, second[i]!))
  return together
    ? first.map((each, i) => ({ a: each, b: second[i]! }))
    : first.flatMap((each) => second.map((other) => ({ a: each, b: other })))
}

/** Vectors are evidence: where only one side has it, and the other is open in the same way, every part is tried. */
function optionsOf({ intended: a, readback: b }: Sides): readonly [readonly Decoded[], readonly Decoded[]] {
  if (openAlike({ intended: a, readback: b }) && !(a.decoded && b.decoded))
    return [a.inspection.alternatives(), b.inspection.alternatives()]
  const own = ({ decoded, inspection }: Checked): readonly Decoded[] =>
    decoded ? [decoded] : inspection.alternatives()
  return [own(a), own(b)]
}

/** True where neither part is certain, and both can be the same ones. */
function openAlike({ intended: a, readback: b }: Sides): boolean {
  const parts = ({ inspection: { why, candidates } }: Checked): string | null =>
    why === 'ambiguous' || why === 'unknown' ? candidates.join() : null
  return parts(a) !== null && parts(a) === parts(b)
}

/** True where nothing says that the two are of different parts. */
export function mayBeSamePart(sides: Sides): boolean {
  const { intended: a, readback: b } = sides
  if (a.decoded && b.decoded) return isSamePart(a.decoded, b.decoded)
  return openAlike(sides) || (a.decoded === null && b.decoded === null)
}

/** Part of the catalogue that a side is taken for in words: its own, or the first that fits. */
export function partInWords({ decoded, inspection }: Checked): Device | null {
  const [part] = inspection.candidates
  return decoded?.device ?? (part === undefined ? null : findDevice(part))
}
