/** What a capture is made of: the options, the images that they name, and what these are compared with. */
import { checkWatch, type WatchOptions } from '../../arguments/watch'
import { chosenDevice } from '../../inspect/chosen-device'
import { bytesOf, listOf, optionsOf, stringOf, type OptionNames, wholeNumber } from '../../arguments/arguments'
import type { NoLogic } from '../../findings/capture-findings'
import type { Device } from '../../devices/device'
import { check, type Checked } from '../check/verify'
import {
  captureOf,
  combineCaptures,
  pullCaptures,
  type Capture,
  type CaptureCollector,
  type CombinedCaptures,
} from './capture'
import { imageSize, readWiring, readWiringHints, type Wiring, type WiringDocument, type WiringHints } from './wiring'
import { checkedSearch, type WiringSearchOptions } from './wiring-search'

/** How the images were made, and what they are compared with. */
export interface CaptureOptions extends WatchOptions {
  /** Which line is which pin; or `search`. */
  readonly wiring?: WiringDocument | string
  /**
   * Searches for the wiring; what is known besides (`held`, `width`, `byteOrder`, `off`, `badRows`) may be stated.
   * Needs `against`.
   */
  readonly search?: Partial<Omit<WiringHints, 'badRows'>> & Pick<WiringDocument, 'badRows'>
  /** Images of the same chip read with addresses counting down, stored in the order of addresses. */
  readonly down?: readonly Uint8Array[]
  /** The same chip read with pull-ups, and with pull-downs, at its outputs; both, or neither. */
  readonly pullUp?: Uint8Array
  /** The same chip read with pull-downs. */
  readonly pullDown?: Uint8Array
  /** A fuse file; or another image of the same size, which is what holds no fuses and has that size. */
  readonly against?: Uint8Array | string
  /** Part of the fuse file. */
  readonly device?: string | Device
  /** Name of an order of `fuseOrders`; all are tried where a part has several and none is stated. */
  readonly fuseOrder?: string
  /** Names for the report. */
  readonly names?: readonly string[]
  /** Names of the images read downward, for the report. */
  readonly downNames?: readonly string[]
  /** Name of the file, for the report. */
  readonly againstName?: string
  /** Most rows to list an output (default 8). */
  readonly maxRows?: number
  /** Most findings to list (default 100). */
  readonly maxFindings?: number
  /** Bounds of the search. */
  readonly searchOptions?: WiringSearchOptions
}

/** Names of the options. */
export const CAPTURE_OPTIONS: OptionNames<CaptureOptions> = {
  wiring: true,
  search: true,
  down: true,
  pullUp: true,
  pullDown: true,
  against: true,
  device: true,
  fuseOrder: true,
  names: true,
  downNames: true,
  againstName: true,
  maxRows: true,
  maxFindings: true,
  searchOptions: true,
  onProgress: true,
  signal: true,
}

/** The images and what is known of their wiring, checked. */
export interface Given {
  readonly up: readonly Uint8Array[]
  readonly down: readonly Uint8Array[]
  /** With pull-ups, and with pull-downs. */
  readonly pulls: readonly [Uint8Array, Uint8Array] | null
  /** Null where it is searched for, with what is known. */
  readonly wiring: Wiring | null
  readonly hints: WiringHints | null
}

/** Checks the images and the options; a mistake throws with its path. */
export function checkedArguments(images: unknown, options: CaptureOptions): Given {
  optionsOf(options, CAPTURE_OPTIONS)
  for (const name of ['maxRows', 'maxFindings'] as const)
    if (options[name] !== undefined) wholeNumber(options[name], `options.${name}`, [1])
  for (const name of ['names', 'downNames'] as const)
    listOf(options[name] ?? [], `options.${name}`).forEach((each, i) => stringOf(each, `options.${name}[${i}]`))
  if (options.againstName !== undefined) stringOf(options.againstName, 'options.againstName')
  chosenDevice(options.device, 'options.device', options.fuseOrder)
  const up = Array.isArray(images)
    ? imagesOf(images, 'images')
    : [bytesOf(images, 'images', 'a Uint8Array, or a list of them')]
  const pulls = pullsOf(options)
  if (up.length === 0 && !pulls) throw new TypeError('images must hold at least one image')
  const down = imagesOf(options.down ?? [], 'options.down')
  if ((options.wiring === undefined) === (options.search === undefined))
    throw new TypeError('options must have either wiring or search')
  if (options.search !== undefined && options.against === undefined)
    throw new TypeError('options.search needs options.against')
  checkWatch(options, 'options')
  if (options.searchOptions !== undefined) checkedSearch(options.searchOptions, 'options.searchOptions')
  const wiring = options.wiring === undefined ? null : readWiring(options.wiring)
  return { up, down, pulls, wiring, hints: options.search === undefined ? null : readWiringHints(options.search) }
}

function pullsOf({ pullUp, pullDown, search, down }: CaptureOptions): Given['pulls'] {
  if (pullUp === undefined && pullDown === undefined) return null
  const pulls = [
    ['pullUp', pullUp],
    ['pullDown', pullDown],
  ] as const
  // What is given is told before what is missing.
  for (const [name, image] of pullUp === undefined ? [...pulls].reverse() : pulls)
    bytesOf(image, `options.${name}`, 'a Uint8Array beside the other pull')
  if (search !== undefined || (down ?? []).length > 0)
    throw new RangeError('options.pullUp and options.pullDown go with a wiring, and with no image counting down')
  return [pullUp!, pullDown!]
}

function imagesOf(images: unknown, name: string): readonly Uint8Array[] {
  return listOf(images, name, 'a list of Uint8Arrays').map((image, i) => bytesOf(image, `${name}[${i}]`))
}

/** What a capture is compared with: a fuse file, or bytes that may be another image. */
export interface Against {
  readonly checked: Checked
  readonly bytes: Uint8Array | null
}

/** Reads what a capture is compared with. */
export function readAgainst(
  against: Uint8Array | string,
  { device, fuseOrder, againstName }: CaptureOptions,
): Against {
  if (typeof against !== 'string') bytesOf(against, 'options.against', 'a Uint8Array or a string')
  const named = {
    ...(device === undefined ? {} : { device }),
    ...(fuseOrder === undefined ? {} : { fuseOrder }),
    ...(againstName === undefined ? {} : { name: againstName }),
  }
  return { checked: check(against, named), bytes: typeof against === 'string' ? null : against }
}

/** The other image, where what is compared with is no fuse file and has the size of one. */
export function otherImage({ checked: { inspection }, bytes }: Against, size: number): Uint8Array | null {
  return inspection.file.fuses === null && bytes?.length === size ? bytes : null
}

/** Reads and combines all images; null where one is no table of this wiring. */
export function readAll(
  { up, down, pulls }: Given,
  wiring: Wiring,
  findings: CaptureCollector,
): CombinedCaptures | null {
  const sizes = [...new Set([...up, ...down, ...(pulls ?? [])].map(({ length }) => length))]
  if (sizes.length > 1) findings.add('capture/images-differ-in-size', {}, { sizes })
  const wrong = sizes.filter((size) => size !== imageSize(wiring))
  for (const bytes of wrong)
    findings.add(
      'capture/size',
      {},
      { bytes, lines: wiring.address.length, width: wiring.width, size: imageSize(wiring) },
    )
  if (wrong.length > 0) return null
  const read = (image: Uint8Array): Capture => captureOf(image, wiring)
  const own = up.map(read)
  return pulls
    ? combineCaptures([pullCaptures(read(pulls[0]), read(pulls[1]), own)])
    : combineCaptures(own, down.map(read))
}

/** Why a file gives no logic to compare with; null where it does. */
export function noLogicReason({ inspection: { file, complete }, decoded, report }: Checked): NoLogic | null {
  if (file.fuses === null) return { reason: 'no-fuses' }
  if (!complete) return { reason: 'incomplete' }
  if (!decoded)
    return report.candidates.length > 1
      ? { reason: 'ambiguous', candidates: report.candidates }
      : { reason: 'unknown-part' }
  return decoded.logic === null ? { reason: 'undecoded', part: decoded.device.part } : null
}
