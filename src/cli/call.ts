/** One call of the program, and what every command does with its arguments, files and output. */
import { TextDecoder } from 'node:util'
import {
  deviceErrors,
  deviceInOrder,
  findDevice,
  fuseOrders,
  listDevices,
  nearestParts,
  readDevice,
  type Device,
  type Verdict,
} from '../index'
import { VERDICT_WORDS, type TextOptions } from '../report'
import { jsonFaultWords } from './json-fault'
import { meantHint, nearestHint } from './nearest'
import { Usage, type Session } from './session'

export { Usage }

export interface Call {
  readonly files: readonly string[]
  readonly options: Readonly<Record<string, string | boolean | undefined>>
  readonly host: Session
  /** The names of files that the call itself gives to be read. */
  readonly inputs: readonly string[]
}

export function text(call: Call, name: string): string | undefined {
  return call.options[name] as string | undefined
}

/** A choice among fixed words; undefined when the option is not given. */
export function choice<T extends string>(call: Call, name: string, allowed: readonly T[]): T | undefined {
  const value = text(call, name)
  if (value !== undefined && !(allowed as readonly string[]).includes(value))
    throw new Usage(`--${name} is ${allowed.join(' or ')}, not ${value}`)
  return value as T | undefined
}

/** How texts are laid out for the terminal of this call. */
export function textOptions({ options, host }: Call): TextOptions {
  return {
    width: host.columns?.(),
    all: options['all'] === true,
    ascii: options['ascii'] === true || lacksSigns(host),
    more: '--all shows them',
  }
}

/** True at a terminal whose locale says that it shows another encoding than UTF-8. */
function lacksSigns(host: Session): boolean {
  const setting = (name: string): string => host.setting?.(name) ?? ''
  const locale = setting('LC_ALL') || setting('LC_CTYPE') || setting('LANG')
  return host.columns?.() !== undefined && locale !== '' && !/utf-?8/i.test(locale)
}

/** The part that an option names or holds. */
export function partOption(call: Call, option: 'device' | 'other-device' | 'to'): Device | null {
  const name = text(call, option)
  const device = name === undefined ? null : partNamed(call.host, name)
  if (name !== undefined && !device) throw new Usage(`--${option} ${name}: no such part; ${partHint(name!)}`)
  return device
}

/** The parts of near names, or where all are listed. */
export function partHint(name: string): string {
  return meantHint(nearestParts(name), 'fuse-assay devices lists them')
}

/** The part that --device names or holds, and the order of --fuse-order, as options of the library. */
export function deviceOption(call: Call): { readonly device?: Device; readonly fuseOrder?: string } {
  const device = partOption(call, 'device')
  const fuseOrder = text(call, 'fuse-order')
  if (fuseOrder !== undefined) checkOrder(device, fuseOrder)
  return { ...(device ? { device } : {}), ...(fuseOrder === undefined ? {} : { fuseOrder }) }
}

const ORDERS_LISTED = 'fuse-assay devices PART lists them'

function checkOrder(device: Device | null, order: string): void {
  const parts = listDevices().filter((each) => !device || each === device)
  const known = [...new Set(parts.flatMap(({ part }) => fuseOrders(part).map(({ name }) => name)))]
  if (known.length === 0)
    throw new Usage(`--fuse-order ${order}: the order of the fuses of this ${device!.part} is not open`)
  if (!known.includes(order))
    throw new Usage(`--fuse-order ${order}: no such order; ${nearestHint(order, known, ORDERS_LISTED)}`)
}

/**
 * A part of the catalogue, or that of a JSON document; null for neither. A name of the catalogue comes before a file
 * of that name.
 */
export function partNamed(host: Session, name: string): Device | null {
  const found = findDevice(name)
  if (found || name === '-' || name === '') return found
  if (/\.json$/i.test(name)) return readPart(readOrStop(host, name, MAX_DOCUMENT_BYTES), name)
  let bytes: Uint8Array
  try {
    bytes = host.read(name, MAX_DOCUMENT_BYTES)
  } catch (error) {
    if ((error as { readonly code?: string }).code === 'ENOENT') return null
    throw new Usage(cannotRead(name, error))
  }
  return readPart(bytes, name)
}

/** Most bytes of a document; the largest that is of use, a board of 200 parts, has less than a hundredth of it. */
const MAX_DOCUMENT_BYTES = 16 * 2 ** 20

/** A JSON document from a file. */
export function readJson(host: Session, name: string): unknown {
  return parseJson(readOrStop(host, name, MAX_DOCUMENT_BYTES), name)
}

function parseJson(bytes: Uint8Array, name: string): unknown {
  const text = utf8Text(bytes)
  if (text === null) throw new Usage(`${name}: not a JSON document (it is not UTF-8); correct it`)
  try {
    return JSON.parse(text)
  } catch {
    throw new Usage(`${name}: not a JSON document (${jsonFaultWords(text)}); correct it`)
  }
}

/** Bytes as text; null where they are not UTF-8. */
function utf8Text(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return null
  }
}

function readPart(bytes: Uint8Array, name: string): Device {
  const document = parseJson(bytes, name)
  const [first, ...more] = deviceErrors(document)
  if (first)
    throw new Usage(`${name}: ${first.path}: ${first.message}${more.length > 0 ? `; and ${more.length} more` : ''}`)
  return readDevice(document)
}

/** A part with its fuses in the order of --fuse-order, where one is given. */
export function inAskedOrder(call: Call, device: Device): Device {
  const order = text(call, 'fuse-order')
  if (order === undefined) return device
  checkOrder(device, order)
  return deviceInOrder(device.part, order)
}

export function readOrStop(host: Session, path: string, limit?: number): Uint8Array {
  try {
    return host.read(path, limit)
  } catch (error) {
    if (error instanceof Usage) throw error
    throw new Usage(cannotRead(path, error))
  }
}

const READ_REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EISDIR: 'it is a folder',
  EACCES: 'it may not be read',
  'NOT-A-FILE': 'it is a device or a pipe, and only a regular file of limited size is read here',
  'TOO-LARGE': 'it is larger than is read here (documents 16 MiB, files of a board 64 MiB)',
}

/** One line on a file that cannot be read. */
export function cannotRead(path: string, error: unknown): string {
  return `${path}: ${readReason(error)}; check the name`
}

/** Why a file cannot be read. */
export function readReason(error: unknown): string {
  const { code } = error as { readonly code?: string }
  return READ_REASONS[code ?? ''] ?? code ?? 'it cannot be read'
}

export function onlyFile(call: Call, command: string): string {
  const [file, ...more] = call.files
  if (file === undefined || more.length > 0) throw new Usage(`${command} takes one FILE; try fuse-assay --help`)
  return file
}

/** What is said where something is made from a file that did not pass. */
export function checkedWords(verdict: Verdict): string {
  return `checked: ${VERDICT_WORDS[verdict]}; fuse-assay check tells why`
}

export function printJson(host: Session, value: object | readonly object[]): void {
  const document = (each: object): object => ({ schema: SCHEMA, ...each })
  host.out(`${JSON.stringify(Array.isArray(value) ? value.map(document) : document(value), null, 2)}\n`)
}

/** What is said of a file without logic, in the form of what the library refuses. */
export const NO_LOGIC = { refused: true, reason: 'no-logic' } as const

/** Version of what `--json` prints, as the library's own documents have it. */
const SCHEMA = 1

/**
 * The message of an error that a check of the named arguments threw, such as `board.parts[0] must be an object`.
 * Anything else is a bug of the library, and is thrown again.
 */
export function argumentMessage(error: unknown, ...roots: readonly string[]): string {
  if (!(error instanceof RangeError || error instanceof TypeError)) throw error
  const [, root, rest] = /^(\w+)(.*)/s.exec(error.message) ?? []
  if (
    root === undefined ||
    !roots.includes(root) ||
    /^.{0,80} is not (a function|iterable|a constructor)/s.test(rest!)
  )
    throw error
  return error.message
}
