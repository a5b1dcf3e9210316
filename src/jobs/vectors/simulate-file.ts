/** Vectors of the caller's own, or of another file, on the logic of a fuse file. */
import { refusedFor, type Refused } from '../../findings/refused'
import { bytesOf, isBytes, oneOf, type OptionNames, optionsOf } from '../../arguments/arguments'
import { readFuseFile } from '../../jesd3/read-fuse-file'
import type { FuseFile, TestVector } from '../../jesd3/fuse-file'
import { takesMap, type Device } from '../../devices/device'
import { listDevices } from '../../devices/catalogue'
import { decode } from '../../devices/decode'
import { chosenDevice, partInOrder } from '../../inspect/chosen-device'
import { runVectors, STRICT, type Reading, type VectorRun, type VectorSet } from './run-vectors'
import { checkDefaultCondition, checkedConditions, checkedVectorSet, placeOnPackage } from './vector-set'

/** What to run, on which part, under which reading; the defaults are the strict reading. */
export interface SimulateOptions {
  /** Part name or data; may be left out where the number of fuses leaves one part. */
  readonly device?: string | Device
  /** Name of an order of `fuseOrders`, for a part of which none is established. */
  readonly fuseOrder?: string
  /**
   * Vectors as a list of texts (numbered from 1), as a set, or those of another file, read or not; the file's own
   * when left out.
   */
  readonly vectors?: readonly string[] | VectorSet | Uint8Array | string
  /** Level of X where no X field states one (default unknown). */
  readonly x?: 0 | 1 | null
  /** Registers at the start (default unknown). */
  readonly registers?: 'unknown' | 'power-up'
  /** Order where data and a clock change in one vector (default open). */
  readonly order?: 'open' | 'data-then-clock'
}

const SIMULATE_OPTIONS: OptionNames<SimulateOptions> = {
  device: true,
  fuseOrder: true,
  vectors: true,
  x: true,
  registers: true,
  order: true,
}

/**
 * Why no vector was run: the file has no fuses; no part has as many, or several have; the part that was named has
 * another number; its fuses are not decoded (a logic array needs its order), or name no mode.
 */
export interface NotSimulated
  extends Refused<'no-fuses' | 'no-part' | 'several-parts' | 'size-differs' | 'not-decoded' | 'no-mode'> {
  /** Names of all parts of the catalogue that fit. */
  readonly candidates: readonly string[]
}

/**
 * Runs test vectors on the logic of a fuse file and gives every judged pin.
 *
 * @param file bytes or text of a fuse file, or what `readFuseFile` gave
 * @param options part, vectors, and how what they leave open is read
 * @returns each vector with each judged pin; refused where the file holds no fuses, its part is not certain or of
 *   another size, or its fuses give no logic
 * @throws TypeError when what is given for vectors holds none, or data describe no part; RangeError when a vector is
 *   not of the standard's conditions or has not one a pin, or the part or its order is unknown
 * @example const run = simulate(file); 'refused' in run ? run.reason : run.results.length // 10
 */
export function simulate(
  file: FuseFile | Uint8Array | string,
  options: SimulateOptions = {},
): VectorRun | NotSimulated {
  optionsOf(options, SIMULATE_OPTIONS)
  const read = fileOf(file)
  checkDefaultCondition(read, 'file')
  const reading = readingOf(options)
  const chosen = chosenDevice(options.device, 'options.device', options.fuseOrder)
  const { fuses } = read
  if (!fuses) return refused('no-fuses', [])
  const fitting = listDevices().filter((each) => takesMap(each, fuses.length))
  const device =
    chosen ?? (fitting.length === 1 ? partInOrder(fitting[0]!.part, options.fuseOrder) : null)
  if (!device) return refused(fitting.length === 0 ? 'no-part' : 'several-parts', fitting)
  if (!takesMap(device, fuses.length)) return refused('size-differs', fitting)
  const set = vectorSet(options.vectors, { file: read, device })
  if (device.modes.length === 0) return refused('not-decoded', fitting)
  const { logic } = decode(device, fuses)
  return logic ? runVectors(logic, set, reading) : refused('no-mode', fitting)
}

function refused(reason: NotSimulated['reason'], fitting: readonly Device[]): NotSimulated {
  return { ...refusedFor(reason), candidates: fitting.map(({ part }) => part) }
}

function fileOf(file: FuseFile | Uint8Array | string): FuseFile {
  if (typeof file === 'string' || isBytes(file)) return readFuseFile(file)
  if (typeof file === 'object' && file !== null && 'fuses' in file && Array.isArray(file.vectors)) return file
  const what = 'what readFuseFile returned, or the bytes (a Uint8Array) or the text of a file'
  return readFuseFile(bytesOf(file, 'file', what))
}

function readingOf(options: SimulateOptions): Reading {
  const reading = {
    x: options.x ?? STRICT.x,
    registers: options.registers === undefined ? STRICT.registers : options.registers,
    order: options.order === undefined ? STRICT.order : options.order,
  }
  oneOf(reading.x, 'options.x', [0, 1, null])
  oneOf(reading.registers, 'options.registers', ['unknown', 'power-up'])
  oneOf(reading.order, 'options.order', ['open', 'data-then-clock'])
  return reading
}

/** The vectors to run: the caller's, checked, or the file's own where they can be placed. */
function vectorSet(
  vectors: SimulateOptions['vectors'],
  given: { readonly file: VectorSet; readonly device: Device },
): VectorSet {
  const set =
    vectors === undefined
      ? given.file
      : Array.isArray(vectors)
        ? numberedVectors(vectors as readonly unknown[])
        : checkedVectorSet(vectors as VectorSet | Uint8Array | string, 'options.vectors')
  if (set.pinOrder?.length === 0)
    throw new RangeError(
      `${vectors === undefined ? 'file' : 'options.vectors'} has a pin sequence (P) that cannot be used`,
    )
  const { device } = given
  const placed = placeOnPackage(set, device)
  if (!placed)
    throw new RangeError(
      `options.vectors: a vector has not one condition for each of the ${device.pinCount} pins of a ${device.part}`,
    )
  return placed
}

function numberedVectors(lines: readonly unknown[]): VectorSet {
  const vectors = lines.map((line, i): TestVector => {
    const text = typeof line === 'string' ? line.replace(/\s+/g, '') : line
    return { number: i + 1, conditions: checkedConditions(text, `options.vectors[${i}]`), offset: null }
  })
  return checkedVectorSet({ vectors, pinOrder: null, defaultCondition: null }, 'options.vectors')
}
