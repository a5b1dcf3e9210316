/** One call of the program, and what every command does with its arguments, files and output. */
import { findDevice } from '../index'
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
  if (value !== undefined && !(allowed as readonly string[]).includes(value)) throw new Usage(`--${name} is ${allowed.join(' or ')}, not ${value}`)
  return value as T | undefined
}

export function deviceOption(call: Call): { readonly device?: string } {
  const device = text(call, 'device')
  if (device === undefined) return {}
  if (!findDevice(device)) throw new Usage(`--device ${device}: no such part; fuse-assay devices lists them`)
  return { device }
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
  const reason = code === 'ENOENT' ? 'there is no such file' : code === 'EISDIR' ? 'it is a folder' : code === 'EACCES' ? 'it may not be read' : (code ?? 'it cannot be read')
  return `${path}: ${reason}; check the name`
}

export function onlyFile(call: Call, command: string): string {
  const [file, ...more] = call.files
  if (file === undefined || more.length > 0) throw new Usage(`${command} takes one FILE; try fuse-assay --help`)
  return file
}

export function printJson(host: Host, value: unknown): void {
  host.out(`${JSON.stringify(value, null, 2)}\n`)
}
