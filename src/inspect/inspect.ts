/** From bytes, a file as read, or a bare map to an inspection: read once, decoded once, judged by nobody yet. */
import { bytesOf, isBytes, type OptionNames, optionsOf } from '../arguments/arguments'
import { uniformState, type Bit, type FuseMap } from '../fuses/fuse-map'
import { isComplete } from '../jesd3/complete-map'
import type { FuseFile, ReadOptions } from '../jesd3/fuse-file'
import { limitsOf, readFuseFile, READ_OPTIONS } from '../jesd3/read-fuse-file'
import { candidatesFor, findDevice } from '../devices/catalogue'
import { decode, type Decoded } from '../devices/decode'
import { arrayFuses, mapSizes, takesMap, type Device } from '../devices/device'
import { hasOpenOrder } from '../devices/open-orders'
import { fuseAt } from '../fuses/fuse-map'
import { chosenDevice, partInOrder } from './chosen-device'
import { fileOfMap } from './file-of-map'
import type { BlankFacts, DecodedLogic, Inspection, PartBasis, UndecodedReason } from './inspection'

/** What can be inspected: bytes or text of a file, a file as read, a fuse map, or what was inspected before. */
export type InspectInput = Uint8Array | string | FuseFile | FuseMap | Inspection

/** The part, and the limits of reading. */
export interface InspectOptions extends ReadOptions {
  /**
   * The part, by name or as data (your own are checked as `readDevice` does); found from the size of the map when
   * left out.
   */
  readonly device?: string | Device
  /**
   * Name of an order of `fuseOrders`, for a part of which none is established; without one its fuses are not decoded.
   */
  readonly fuseOrder?: string
}

/**
 * Looks into a fuse file or a map: what it holds, which parts it can be for, and what its fuses mean.
 *
 * A file as read and a map are taken as they stand; an inspection is given back unless another part is asked for.
 *
 * @param input bytes or text of a fuse file, what `readFuseFile` gave, a fuse map, or an earlier inspection
 * @param options part and limits of reading
 * @returns facts, tagged by `kind`; content never throws
 * @throws TypeError for another kind of input and for data that describe no part, RangeError for an unknown part or
 *   order and for a limit out of range
 * @example inspect(bytes).kind // 'decoded'
 */
export function inspect(input: InspectInput, options: InspectOptions = {}): Inspection {
  return inspectWith(input, 'input', optionsOf(options, INSPECT_OPTIONS))
}

/** What `inspect` takes. */
export const INSPECT_OPTIONS: OptionNames<InspectOptions> = { ...READ_OPTIONS, device: true, fuseOrder: true }

/** `inspect` for those who have checked which options there are; `argument` is the name of the input for an error. */
export function inspectWith(input: InspectInput, argument: string, options: InspectOptions): Inspection {
  const choice = chosenDevice(options.device, 'options.device', options.fuseOrder)
  const name = typeof options.device === 'string' ? options.device : null
  return inspectAs(input, argument, {
    asked: choice ? { device: choice, name } : null,
    fuseOrder: options.fuseOrder,
    limits: limitsIn(options),
  })
}

/** How to inspect, checked. */
export interface Asking {
  readonly asked: Inspection['asked']
  /** A part that counts where nothing is asked for and the size fits it. */
  readonly fallback?: Inspection['asked']
  readonly fuseOrder: string | undefined
  readonly limits: ReadOptions
}

/** The limits of reading among other options. */
export function limitsIn({ maxFuses, maxVectors, maxFindings }: ReadOptions): ReadOptions {
  return {
    ...(maxFuses === undefined ? {} : { maxFuses }),
    ...(maxVectors === undefined ? {} : { maxVectors }),
    ...(maxFindings === undefined ? {} : { maxFindings }),
  }
}

/** `inspect` with checked options; `argument` is the name of the input for an error. */
export function inspectAs(input: InspectInput, argument: string, asking: Asking): Inspection {
  limitsOf(asking.limits)
  if (isInspection(input)) {
    const sameAsked = asking.asked === null && !asking.fallback && asking.fuseOrder === undefined
    return sameAsked ? input : inspectFile(input.file, input.source, asking)
  }
  if (isMap(input)) return inspectFile(fileOfMap(input), 'map', asking)
  return inspectFile(fileOf(input, argument, asking.limits), 'file', asking)
}

function isObject(input: unknown): input is object {
  return typeof input === 'object' && input !== null && !isBytes(input)
}

/** True for what `inspect` gives. */
export function isInspection(input: InspectInput): input is Inspection {
  return isObject(input) && 'kind' in input && 'alternatives' in input
}

function isMap(input: InspectInput): input is FuseMap {
  return isObject(input) && 'bits' in input && isBytes(input.bits) && 'length' in input
}

const INPUT = 'a fuse file (bytes in a Uint8Array, text, or as read) or a fuse map'

function fileOf(input: Uint8Array | string | FuseFile, argument: string, limits: ReadOptions): FuseFile {
  if (typeof input === 'string' || isBytes(input)) return readFuseFile(input, limits)
  if (isObject(input) && 'bytes' in input && isBytes(input.bytes) && 'checksums' in input) return input
  return readFuseFile(bytesOf(input, argument, INPUT), limits)
}

function inspectFile(read: FuseFile, source: Inspection['source'], asking: Asking): Inspection {
  const { asked, file } = askedFor(read, asking)
  const { fuses, fuseCount, pinCount } = file
  const candidates = candidatesFor({ fuseCount, pinCount })
  const parts = partsOf(file, { asked, candidates, fuseOrder: asking.fuseOrder })
  const decodings = once(() => parts.devices.map((device) => decode(device, fuses!)))
  const decoded = parts.basis === null ? null : decodings()[0]!
  const facts = {
    file,
    source,
    complete: isComplete(file),
    candidates,
    asked,
    blank: blankFacts(file, parts.devices[0] ?? firstOf(candidates)),
    security: file.security,
    alternatives: decodings,
  }
  return tagged(facts, { decoded, basis: parts.basis, why: parts.why })
}

/** The same result at every call, computed at the first. */
function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | null = null
  return () => (made ??= { value: make() }).value
}

/** The part that counts as asked for, and the file with the size that this part gives it. */
function askedFor(read: FuseFile, { asked, fallback, limits }: Asking): Pick<Inspection, 'asked' | 'file'> {
  if (asked) return { asked, file: sizedFor(asked.device, read, limits) }
  if (!fallback) return { asked: null, file: read }
  const file = sizedFor(fallback.device, read, limits)
  const fits = file.fuses !== null && takesMap(fallback.device, file.fuses.length)
  return fits ? { asked: fallback, file } : { asked: null, file: read }
}

/**
 * Where a file states no size and gives a default, its lists need not reach the end: then the part says how many fuses
 * there are. Such a file is read again with that size, since its sum and what lies past the end hang on it.
 */
function sizedFor(device: Device, file: FuseFile, limits: ReadOptions): FuseFile {
  if (!file.fuses || file.statedFuseCount !== null || file.defaultFuse === null) return file
  const reached = file.fuses.length
  const assumed = mapSizes(device).find((count) => count >= reached)
  if (assumed === undefined || assumed === reached) return file
  return readFuseFile(file.bytes, { ...file.options, ...limits, assumedFuseCount: assumed })
}

interface Parts {
  /** Every part that the map can be. */
  readonly devices: readonly Device[]
  /** Null where the part is not certain. */
  readonly basis: PartBasis | null
  readonly why: UndecodedReason | null
}

function partsOf(
  file: FuseFile,
  given: Pick<Inspection, 'asked' | 'candidates'> & { readonly fuseOrder: string | undefined },
): Parts {
  const { asked, candidates, fuseOrder } = given
  const none = (why: UndecodedReason): Parts => ({ devices: [], basis: null, why })
  if (!file.fuses) return none(file.tooManyFuses ? 'too-many-fuses' : 'no-fuses')
  if (asked && !takesMap(asked.device, file.fuses.length)) return none('size')
  if (asked) return { devices: [asked.device], basis: 'choice', why: unknownMeaning(asked.device) }
  const devices = candidates.map((part) => partInOrder(part, fuseOrder))
  const [only] = devices
  if (!only) return none('unknown')
  if (devices.length > 1) return { devices, basis: null, why: 'ambiguous' }
  return { devices, basis: 'size', why: unknownMeaning(only) }
}

/** Why the fuses of a known part are not decoded; null where they are. */
function unknownMeaning({ part, modes }: Device): UndecodedReason | null {
  if (modes.length > 0) return null
  return hasOpenOrder(part) ? 'order' : 'not-published'
}

function firstOf(candidates: readonly string[]): Device | null {
  return candidates[0] === undefined ? null : findDevice(candidates[0])
}

function blankFacts(file: FuseFile, device: Device | null): BlankFacts {
  const { fuses, listed, defaultFuse } = file
  // A map of which nothing is stated is not blank but unknown.
  if (!fuses || (listed.bounds.length === 0 && defaultFuse === null)) return { map: null, array: null }
  const map = uniformState(fuses)
  return { map, array: map ?? arrayState(device, fuses) }
}

/** State that all fuses of the AND array share; null where they differ or no array is known. */
function arrayState(device: Device | null, map: FuseMap): Bit | null {
  if (!device || device.modes.length === 0 || !takesMap(device, map.length)) return null
  const array = arrayFuses(device)
  const [first] = array
  if (first === undefined) return null
  const state = fuseAt(map, first)
  return array.every((fuse) => fuseAt(map, fuse) === state) ? state : null
}

type Untagged = Omit<Inspection, 'kind' | 'decoded' | 'basis' | 'why'>

function tagged(facts: Untagged, { decoded, basis, why }: Omit<Parts, 'devices'> & Decoding): Inspection {
  if (facts.file.fuses && !facts.complete) return { ...facts, kind: 'incomplete', decoded, basis, why }
  if (why !== null) return { ...facts, kind: 'undecoded', decoded, basis, why }
  const known = { decoded: decoded!, basis: basis!, why }
  if (isDecodedLogic(known.decoded)) return { ...facts, ...known, kind: 'decoded', decoded: known.decoded }
  return { ...facts, ...known, kind: 'no-mode' }
}

interface Decoding {
  readonly decoded: Decoded | null
}

/** True where the configuration names a mode, so that there is logic. */
export function isDecodedLogic(decoded: Decoded): decoded is DecodedLogic {
  return decoded.logic !== null
}
