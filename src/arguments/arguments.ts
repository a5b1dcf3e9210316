/**
 * Arguments of exported functions. Each function gives the checked value back, or throws TypeError (a wrong kind of
 * value, an unknown option) or RangeError (a wrong value) with a message that begins with the argument's path.
 */
import { nearestWords } from './nearest'

/** Every option of an interface, so that one that is forgotten does not compile. */
export type OptionNames<T> = { readonly [K in keyof Required<T>]: true }

/** True for an object that is no list and holds no bytes. */
export function isPlain(value: unknown): value is object {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return false
  return !ArrayBuffer.isView(value) && !(value instanceof ArrayBuffer)
}

/** Options: an object that has none but the known keys. */
export function optionsOf<T extends object>(value: T, known: OptionNames<T>, path = 'options'): T {
  if (!isPlain(value)) throw new TypeError(`${path} must be an object`)
  const unknown = Object.keys(value).find((key) => !Object.hasOwn(known, key))
  if (unknown !== undefined) throw new TypeError(`${path}.${unknown}: ${hintFor(unknown, Object.keys(known))}`)
  return value
}

function hintFor(key: string, known: readonly string[]): string {
  const near = nearestWords(key, known)
  return near.length > 0
    ? `there is no such option; did you mean ${near.slice(0, 3).join(' or ')}?`
    : `there is no such option; there are ${known.join(', ')}`
}

/** What another function made, known by the keys that it has; `maker` says in words what gives it. */
export function madeBy<T>(value: T, path: string, { keys, maker }: { keys: readonly string[]; maker: string }): T {
  if (!isPlain(value) || keys.some((key) => !(key in value))) throw new TypeError(`${path} must be ${maker}`)
  return value
}

/** A whole number within bounds. */
export function wholeNumber(value: unknown, path: string, [least, most]: readonly [number, number?]): number {
  const range = most === undefined ? `from ${least}` : `from ${least} to ${most}`
  if (typeof value !== 'number') throw new TypeError(`${path} must be a whole number ${range}`)
  if (!Number.isSafeInteger(value) || value < least || value > (most ?? Infinity))
    throw new RangeError(`${path} must be a whole number ${range}, not ${value}`)
  return value
}

/** “a, b or c”. */
export function anyOf(words: readonly string[]): string {
  return words.join(', ').replace(/, ([^,]*)$/, ' or $1')
}

/** One of a few values. */
export function oneOf<T>(value: T, path: string, allowed: readonly T[]): T {
  if (allowed.includes(value)) return value
  const words = anyOf(allowed.map((each) => JSON.stringify(each)))
  if (typeof value === 'object' && value !== null) throw new TypeError(`${path} must be ${words}`)
  throw new RangeError(`${path} must be ${words}, not ${typeof value === 'string' ? `"${value}"` : String(value)}`)
}

/** A text; `what` says in words of what. */
export function stringOf(value: unknown, path: string, what = 'a string'): string {
  if (typeof value !== 'string') throw new TypeError(`${path} must be ${what}`)
  return value
}

/** A list, of which each entry is checked by the caller. */
export function listOf<T>(value: readonly T[], path: string, what?: string): readonly T[]
export function listOf(value: unknown, path: string, what?: string): readonly unknown[]
export function listOf(value: unknown, path: string, what = 'a list'): readonly unknown[] {
  if (!Array.isArray(value)) throw new TypeError(`${path} must be ${what}`)
  return value
}

/** True for bytes, also of another realm (a frame, a sandbox of a test runner), whose constructors are others. */
export function isBytes(value: unknown): value is Uint8Array {
  if (value instanceof Uint8Array) return true
  return ArrayBuffer.isView(value) && Object.prototype.toString.call(value) === '[object Uint8Array]'
}

/** Bytes; what holds bytes and is no Uint8Array is refused with what to do. */
export function bytesOf(value: unknown, path: string, what = 'a Uint8Array'): Uint8Array {
  if (isBytes(value)) return value
  throw new TypeError(`${path} must be ${what}${wrapHint(value, path)}`)
}

function wrapHint(value: unknown, path: string): string {
  if (value instanceof ArrayBuffer) return `; give new Uint8Array(${path})`
  return ArrayBuffer.isView(value) ? `; give new Uint8Array(${path}.buffer, …) with its place and length` : ''
}
