/**
 * Parts of the caller's own, as JSON: the same data as those of the catalogue, checked before anything is decoded
 * with it.
 */
import { MOST_VALUES, readShape } from '../arguments/document'
import type { Device } from './device'
import { modeRules } from './document-mode-rules'
import { mapRules } from './document-rules'
import { PART } from './document-shape'

/** What is wrong in the data of a part, and where: `device.cells[3].pin`. */
export interface DeviceError {
  /** Place in the data: `device.cells[3].pin`. */
  readonly path: string
  /** What is wrong there. */
  readonly message: string
}

/** Most errors of a document that are reported. */
const MOST_ERRORS = 20

/** A document as read: the part, where nothing is wrong with it. */
interface ReadDocument {
  readonly device: Device | null
  readonly errors: readonly DeviceError[]
}

/**
 * Everything that is wrong with a document of a part, at most 20 errors; none for a sound one. Nothing in it throws.
 *
 * @param data the parsed JSON: the keys of `Device`
 * @returns one entry a mistake, with its path, at most 20; empty for a part
 * @throws never: what is wrong with the data is the result
 * @example deviceErrors({ part: 'X' })[0] // { path: 'device.fuseCount', message: 'is missing' }
 */
export function deviceErrors(data: unknown): readonly DeviceError[] {
  return readDocument(data).errors
}

/**
 * The part that a document describes: the data of `Device` as JSON. Without `basis` it is `unconfirmed`; `aliases`,
 * `title`, `sources`, `remarks`, a mode's `name` and `select` and a setting's `sums` may be left out too. Every fuse
 * has exactly one role.
 *
 * @param data the parsed JSON; it is copied
 * @returns the part with every default filled in, to be given wherever a part is
 * @throws TypeError that names what is wrong by its path, as does `deviceErrors`
 * @example readDevice(JSON.parse(JSON.stringify(listDevices()[0]))).part // '16V8'
 */
export function readDevice(data: unknown): Device {
  return checkedDevice(data, 'data')
}

/** As `readDevice`, for an argument of another name. */
export function checkedDevice(data: unknown, argument: string): Device {
  const { device, errors } = readDocument(data)
  if (device) return device
  const words = errors.map(({ path, message }) => `${path}: ${message}`).join('; ')
  throw new TypeError(
    `${argument} is no part: ${words}${errors.length === MOST_ERRORS ? '; and there may be more' : ''}`,
  )
}

function readDocument(data: unknown): ReadDocument {
  const errors: DeviceError[] = []
  const report = (path: string, message: string): boolean => {
    const known = errors.some((error) => error.path === path && error.message === message)
    if (errors.length < MOST_ERRORS && !known) errors.push({ path, message })
    return errors.length < MOST_ERRORS
  }
  const reader = { report, values: MOST_VALUES, broken: new Set<string>() }
  const read = readShape(data, PART, 'device', reader) as (Device & { readonly schema?: 1 }) | undefined
  const { schema: _, ...device } = read ?? ({} as Device & { readonly schema?: 1 })
  const broken = [...reader.broken].map((path) => /^device\.?(\w*)/.exec(path)![1]!)
  if (!broken.includes(''))
    for (const { needs, check } of [...mapRules(), ...modeRules()])
      if (!needs.some((key) => broken.includes(key)))
        check(device, (path, message) => void report(`device.${path}`, message))
  return { device: errors.length === 0 ? device : null, errors }
}
