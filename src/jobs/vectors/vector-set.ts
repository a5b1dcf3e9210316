/** Vectors that a caller hands in: read where they are a file, checked where they are a set. */
import { isBytes } from '../../arguments/arguments'
import { readFuseFile } from '../../jesd3/read-fuse-file'
import { areConditions } from '../../jesd3/test-vectors'
import type { FuseFile, ReadOptions, TestVector } from '../../jesd3/fuse-file'
import type { Device } from '../../devices/device'
import type { VectorSet } from './run-vectors'

/**
 * A set of vectors in numerical order, each number once (the last one counts). Throws TypeError naming the argument
 * when it is neither a file nor a set of numbered vectors of the standard's test conditions.
 */
export function checkedVectorSet(
  vectors: VectorSet | Uint8Array | string,
  name: string,
  limits: ReadOptions = {},
): VectorSet | FuseFile {
  if (typeof vectors === 'string' || isBytes(vectors)) return readFuseFile(vectors, limits)
  if (typeof vectors !== 'object' || vectors === null || !Array.isArray(vectors.vectors))
    throw new TypeError(`${name} must be a list of vectors, a vector set or a fuse file`)
  checkDefaultCondition(vectors, name)
  const byNumber = new Map<number, TestVector>()
  for (const vector of vectors.vectors) {
    if (!Number.isSafeInteger(vector?.number) || vector.number < 1)
      throw new TypeError(`${name}: a vector has no number from 1`)
    if (vector.conditions !== null && !(typeof vector.conditions === 'string' && areConditions(vector.conditions)))
      throw new TypeError(`${name}: “${vector.conditions}” holds what is no test condition`)
    byNumber.set(vector.number, vector)
  }
  const { pinOrder } = vectors
  const inRange = (pin: number): boolean => Number.isSafeInteger(pin) && pin >= 1 && pin <= pinOrder!.length
  if (
    pinOrder !== null &&
    !(Array.isArray(pinOrder) && new Set(pinOrder).size === pinOrder.length && pinOrder.every(inRange))
  )
    throw new TypeError(`${name}: pinOrder must name each pin once, or be null`)
  const widths = new Set(
    [...byNumber.values()].flatMap(({ conditions }) => (conditions === null ? [] : [conditions.length])),
  )
  if (pinOrder?.length) widths.add(pinOrder.length)
  if (widths.size > 1) throw new TypeError(`${name}: its vectors and its pin order have different lengths`)
  return { ...vectors, vectors: [...byNumber.values()].sort((a, b) => a.number - b.number) }
}

/** Throws TypeError naming the argument where the level of X is none: as a number it would spread through a run. */
export function checkDefaultCondition({ defaultCondition }: VectorSet, name: string): void {
  if (![undefined, null, 0, 1].includes(defaultCondition))
    throw new TypeError(`${name}: defaultCondition must be 0, 1 or null`)
}

/**
 * A set over the pins of the DIP package or the contacts of another one, as a set whose positions lead to DIP pins;
 * null where no package of the part has as many. All vectors of a set are equally long.
 */
export function placeOnPackage(set: VectorSet, device: Device): VectorSet | null {
  const width = set.vectors.find(({ conditions }) => conditions !== null)?.conditions?.length ?? device.pinCount
  if (width === device.pinCount) return set
  const carrier = device.carriers?.find(({ dipPins }) => dipPins.length === width)
  if (!carrier) return null
  const contacts = set.pinOrder ?? carrier.dipPins.map((_, i) => i + 1)
  return { ...set, pinOrder: contacts.map((contact) => carrier.dipPins[contact - 1]!) }
}
