/** What goes with the fuses to the new file: vectors in the numbers of the target's pins, and the signature. */
import { setFuse, type FuseMap } from '../../fuses/fuse-map'
import type { FuseFile, TestVector } from '../../jesd3/fuse-file'
import type { Decoded } from '../../devices/decode'
import { blockOf, fuseOf, type Device } from '../../devices/device'
import { placeOnPackage } from '../vectors/vector-set'

/** Something of the old file that the new one does not have. */
export interface NotCarried {
  /** What is not carried over. */
  readonly what: 'vectors' | 'pin-order' | 'signature'
  /** In words, with the reason. */
  readonly message: string
}

/** Vectors and their pins as the new file has them. */
export interface CarriedVectors {
  readonly vectors: readonly TestVector[]
  readonly pinOrder: readonly number[] | null
  readonly notCarried: readonly NotCarried[]
}

/**
 * The vectors over the pins of the DIP package; those of a carrier are brought to its pins, and those of no package of
 * the part are left out.
 */
export function carryVectors(file: FuseFile, device: Device): CarriedVectors {
  const { vectors, pinOrder } = file
  const { pinCount } = device
  const width = vectors.find(({ conditions }) => conditions !== null)?.conditions?.length ?? null
  const orderFits = pinOrder === null || pinOrder.length === (width ?? pinCount)
  if (orderFits && (width ?? pinCount) === pinCount) return { vectors, pinOrder, notCarried: [] }
  const placed = width !== null && orderFits ? placeOnPackage(file, device) : null
  if (placed?.pinOrder)
    return {
      vectors: vectors.map((vector) => inPins(vector, placed.pinOrder!, pinCount)),
      pinOrder: null,
      notCarried: [],
    }
  const notCarried: NotCarried[] = []
  if (width !== null)
    notCarried.push({
      what: 'vectors',
      message: `the vectors have ${width} conditions${orderFits ? '' : ` and a pin order of ${pinOrder!.length} pins`}, and no package of a ${device.part} with that many contacts is known here`,
    })
  else
    notCarried.push({
      what: 'pin-order',
      message: `the pin order names ${pinOrder!.length} pins, and the package has ${pinCount}`,
    })
  return { vectors: width === null ? vectors : [], pinOrder: null, notCarried }
}

/** A vector in the order of the pins; N, no condition, where no contact leads to a pin. */
function inPins(vector: TestVector, pinOf: readonly number[], pinCount: number): TestVector {
  if (vector.conditions === null) return vector
  const levels = Array.from({ length: pinCount }, () => 'N')
  ;[...vector.conditions].forEach((condition, i) => {
    const pin = pinOf[i]!
    if (pin > 0) levels[pin - 1] = condition
  })
  return { ...vector, conditions: levels.join('') }
}

/** Writes the signature of the old map into the new one, where the target has room for all of it. */
export function carrySignature(source: Decoded, target: Device, fuses: FuseMap): readonly NotCarried[] {
  const { signature, device } = source
  if (!signature || signature.every((byte) => byte === 0) || signature.every((byte) => byte === 0xff)) return []
  const block = blockOf(target, 'signature', fuses.length)
  const room = block ? block.count >> 3 : 0
  if (!block || room < signature.length)
    return [
      {
        what: 'signature',
        message: `the signature of the ${device.part} has ${signature.length} bytes, a ${target.part} has room for ${room}`,
      },
    ]
  for (let bit = 0; bit < signature.length * 8; bit++)
    setFuse(fuses, fuseOf(block, bit), ((signature[bit >> 3]! >> (7 - (bit & 7))) & 1) as 0 | 1)
  return []
}
