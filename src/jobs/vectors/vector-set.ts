/** Vectors that a caller hands in: read where they are a file, checked where they are a set. */
import { isBytes, isPlain, listOf, oneOf, stringOf, wholeNumber } from '../../arguments/arguments'
import { readFuseFile } from '../../jesd3/read-fuse-file'
import { areConditions } from '../../jesd3/test-vectors'
import type { FuseFile, ReadOptions, TestVector } from '../../jesd3/fuse-file'
import type { Device } from '../../devices/device'
import type { VectorSet } from './run-vectors'

/**
 * A set of vectors in numerical order, each number once (the last one counts). What is neither a file nor a set of
 * numbered vectors of the standard's test conditions throws with its path. A file that was read is a set too, so that
 * other keys are let be.
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
  vectors.vectors.forEach((vector, i) => byNumber.set(checkedNumber(vector, `${name}.vectors[${i}]`), vector))
  const { pinOrder } = vectors
  checkPinOrder(pinOrder, `${name}.pinOrder`)
  const widths = new Set(
    [...byNumber.values()].flatMap(({ conditions }) => (conditions === null ? [] : [conditions.length])),
  )
  if (pinOrder?.length) widths.add(pinOrder.length)
  if (widths.size > 1) throw new RangeError(`${name}: its vectors and its pin order have different lengths`)
  return { ...vectors, vectors: [...byNumber.values()].sort((a, b) => a.number - b.number) }
}

/** The number of a vector whose conditions are none or the standard's. */
function checkedNumber(vector: TestVector, path: string): number {
  if (!isPlain(vector)) throw new TypeError(`${path} must be an object`)
  if (vector.conditions !== null) checkedConditions(vector.conditions, `${path}.conditions`)
  return wholeNumber(vector.number, `${path}.number`, [1])
}

/** Conditions of one vector, a letter or digit of the standard's a pin. */
export function checkedConditions(conditions: unknown, path: string): string {
  const text = stringOf(conditions, path, 'a string of test conditions')
  if (!areConditions(text)) throw new RangeError(`${path} holds what is no test condition`)
  return text
}

function checkPinOrder(pinOrder: VectorSet['pinOrder'], path: string): void {
  if (pinOrder === null) return
  const pins = listOf(pinOrder, path, 'a list of pins or null')
  pins.forEach((pin, i) => wholeNumber(pin, `${path}[${i}]`, [1, pins.length]))
  if (new Set(pins).size < pins.length) throw new RangeError(`${path} names a pin twice`)
}

/** Refuses a level of X that is none: as a number it would spread through a run. */
export function checkDefaultCondition({ defaultCondition }: VectorSet, name: string): void {
  oneOf(defaultCondition ?? null, `${name}.defaultCondition`, [0, 1, null])
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
