/** One call of the program, and what every command does with its arguments, files and output. */
import { TextDecoder } from 'node:util'
import {
  deviceErrors,
  deviceInOrder,
  findDevice,
  fuseOrders,
  listDevices,
  readDevice,
  VERDICT_WORDS,
  type Device,
  type Verdict,
} from '../index'
import type { Host } from './host'

/** Wrong usage: one line for standard error, exit 2. */
export class Usage extends Error {}

export interface Call {
  readonly files: readonly string[]
  readonly options: Readonly<Record<string, string | boolean | undefined>>
  readonly host: Host
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

/** The part that an option names or holds. */
export function partOption(call: Call, option: 'device' | 'other-device' | 'to'): Device | null {
  const name = text(call, option)
  const device = name === undefined ? null : partNamed(call.host, name)
  if (name !== undefined && !device)
    throw new Usage(`--${option} ${name}: no such part; fuse-assay devices lists them`)
  return device
}

/** The part that --device names or holds, and the order of --fuse-order, as options of the library. */
export function deviceOption(call: Call): { readonly device?: Device; readonly fuseOrder?: string } {
  const device = partOption(call, 'device')
  const fuseOrder = text(call, 'fuse-order')
  if (fuseOrder !== undefined) checkOrder(device, fuseOrder)
  return { ...(device ? { device } : {}), ...(fuseOrder === undefined ? {} : { fuseOrder }) }
}

function checkOrder(device: Device | null, order: string): void {
  const parts = listDevices().filter((each) => !device || each === device)
  const known = [...new Set(parts.flatMap(({ part }) => fuseOrders(part).map(({ name }) => name)))]
  if (known.length === 0)
    throw new Usage(`--fuse-order ${order}: the order of the fuses of this ${device!.part} is not open`)
  if (!known.includes(order))
    throw new Usage(`--fuse-order ${order}: no such order; it is one of ${known.join(', ')}`)
}

/**
 * A part of the catalogue, or that of a JSON document; null for neither. A name of the catalogue comes before a file
 * of that name.
 */
export function partNamed(host: Host, name: string): Device | null {
  const found = findDevice(name)
  if (found || name === '-' || name === '') return found
  if (/\.json$/i.test(name)) return readPart(readOrStop(host, name), name)
  let bytes: Uint8Array
  try {
    bytes = host.read(name)
  } catch {
    return null
  }
  return readPart(bytes, name)
}

/** A JSON document from a file. */
export function parseJson(bytes: Uint8Array, name: string): unknown {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch (error) {
    throw new Usage(
      `${name}: not a JSON document (${error instanceof SyntaxError ? error.message.split('\n')[0]! : 'it is not UTF-8'}); correct it`,
    )
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

export function readOrStop(host: Host, path: string): Uint8Array {
  try {
    return host.read(path)
  } catch (error) {
    throw new Usage(cannotRead(path, error))
  }
}

export function cannotRead(path: string, error: unknown): string {
  const code = (error as { readonly code?: string }).code
  const reason =
    code === 'ENOENT'
      ? 'there is no such file'
      : code === 'EISDIR'
        ? 'it is a folder'
        : code === 'EACCES'
          ? 'it may not be read'
          : (code ?? 'it cannot be read')
  return `${path}: ${reason}; check the name`
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

export function printJson(host: Host, value: unknown): void {
  host.out(`${JSON.stringify(value, null, 2)}\n`)
}

/** The name of a new file that --out gives, which must not be that of the file itself. */
export function newFileOption(call: Call, command: string, name: string): string {
  const out = text(call, 'out')
  if (!out || out === '-') throw new Usage(`${command} needs --out NEW, the name of a file`)
  if (call.host.same(name, out))
    throw new Usage(`${out} is the file itself; keep the untouched download and give another name`)
  return out
}

export function writeOrStop(host: Host, path: string, content: Uint8Array | string): void {
  try {
    host.write(path, typeof content === 'string' ? new TextEncoder().encode(content) : content)
  } catch {
    throw new Usage(`${path} cannot be written; choose another place`)
  }
}
