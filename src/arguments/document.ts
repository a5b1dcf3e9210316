/**
 * Documents from outside, as parsed from JSON: what their values must be, as data, and the one reader that copies what
 * fits and reports the rest.
 */
import { anyOf, isPlain } from './arguments'

/** Least and most. */
export type Bounds = readonly [least: number, most: number]

/** What a value must be: one of these kinds, or what stands beside it. With none of them it is taken as it is. */
export interface Shape {
  /** A kind of its own: how it is told from others. */
  readonly fits?: (value: unknown) => boolean
  /** What it is called, where that says more than the kind. */
  readonly noun?: string
  /** One of these. */
  readonly words?: readonly (string | number | null)[]
  /** A whole number. */
  readonly whole?: Bounds
  /** A number, whole or not. */
  readonly number?: Bounds
  /** A text of so many printable characters. */
  readonly text?: Bounds
  /** A list of such values. */
  readonly list?: Shape
  /** How many entries the list has; any number where they are left out. */
  readonly bounds?: Bounds
  /** An object with such a value at pin numbers. */
  readonly byPin?: Shape
  /** An object with such a value at keys of the caller's. */
  readonly byName?: Shape
  /** An object: the keys that it must have, and those that it may have. */
  readonly needed?: Keys
  readonly optional?: Keys
  /** What stands for optional keys that are left out. */
  readonly otherwise?: Readonly<Record<string, unknown>>
  /** Another kind that is taken too. */
  readonly or?: Shape
  readonly orNull?: true
}

export const FLAG: Shape = { fits: (value) => typeof value === 'boolean', noun: 'true or false' }

/** The values of an object by their keys. */
export type Keys = Readonly<Record<string, Shape>>

/** What reading a document needs besides its values. */
export interface DocumentReader {
  /** Takes a mistake; false once no more are wanted. `wrongKind`: a value of another kind, rather than a wrong one. */
  readonly report: (path: string, message: string, wrongKind: boolean) => boolean
  /** Values that may still be looked at: a small document can refer to one object over and over. */
  values: number
  /** Paths of objects and lists in which something does not fit, or is missing. */
  readonly broken: Set<string>
}

/** Most values of a document. */
export const MOST_VALUES = 200_000

/**
 * A copy of a document of the caller's. The first thing in it that does not fit throws TypeError (a wrong kind of
 * value, a missing one) or RangeError (a wrong one), with its path.
 */
export function checkedDocument<T>(value: unknown, shape: Shape, path: string): T {
  const report = (at: string, message: string, wrongKind: boolean): never => {
    throw new (wrongKind ? TypeError : RangeError)(`${at} ${message}`)
  }
  return readShape(value, shape, path, { report, values: Infinity, broken: new Set() }) as T
}

/** A copy of a value as far as it fits its shape; undefined where it does not fit. */
export function readShape(value: unknown, shape: Shape, path: string, reader: DocumentReader): unknown {
  const { or, orNull, whole, number, text, list } = shape
  if (reader.values-- <= 0)
    return refuse(reader, path, `the document has more than ${MOST_VALUES} values; it ends here`)
  if (orNull && value === null) return null
  if (or && isOfKind(value, or)) return readShape(value, or, path, reader)
  if (!isOfKind(value, shape)) {
    const wrongKind = !shape.words && !((whole ?? number) && typeof value === 'number')
    return refuse(reader, path, `must be ${anyOf(nounsOf(shape))}, not ${shown(value)}`, wrongKind)
  }
  if (text) return readText(value as string, text, path, reader)
  if (list) return readList(value as readonly unknown[], { ...shape, list }, path, reader)
  if (isObjectShape(shape)) return readObject(value as Readonly<Record<string, unknown>>, shape, path, reader)
  return whole ? (value as number) + 0 : value
}

function isObjectShape({ byPin, byName, needed, optional }: Shape): unknown {
  return byPin || byName || needed || optional
}

function isOfKind(value: unknown, shape: Shape): boolean {
  const { fits, words, whole, number = whole, text, list } = shape
  if (fits) return fits(value)
  if (words) return words.includes(value as string)
  if (number) return isWithin(value, number) && (!whole || Number.isInteger(value))
  if (text) return typeof value === 'string'
  if (list) return Array.isArray(value)
  return !isObjectShape(shape) || isPlain(value)
}

function isWithin(value: unknown, [least, most]: Bounds): boolean {
  return typeof value === 'number' && value >= least && value <= most
}

/** What a shape takes, in words. */
function nounsOf({ noun, words, whole, number, text, list, byPin, or, orNull }: Shape): readonly string[] {
  const kind =
    noun ??
    (whole && 'a whole number') ??
    (number && 'a number') ??
    (text && 'a text') ??
    (list && 'a list') ??
    (byPin ? 'an object of pin numbers' : 'an object')
  const from = (whole ?? number)?.[0]
  const range = (from === undefined ? '' : ` from ${from}`) + (whole ? ` to ${whole[1]}` : '')
  const kinds = words?.map((word) => JSON.stringify(word)) ?? [kind + range]
  return [...kinds, ...(or ? nounsOf(or) : []), ...(orNull ? ['null'] : [])]
}

function refuse({ report, broken }: DocumentReader, path: string, message: string, wrongKind = false): undefined {
  broken.add(path)
  report(path, message, wrongKind)
}

/** Controls, and marks that turn the direction of writing: they would garble what is printed. */
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/

function readText(value: string, [least, most]: Bounds, path: string, reader: DocumentReader): unknown {
  if (value.trim().length < least) return refuse(reader, path, 'is empty')
  if (value.length > most) return refuse(reader, path, `has ${value.length} characters, at most ${most} are taken`)
  return UNPRINTABLE.test(value) ? refuse(reader, path, 'holds a control character') : value
}

function readList(
  value: readonly unknown[],
  { list, bounds: [least, most] = [0, Infinity] }: Shape & { readonly list: Shape },
  path: string,
  reader: DocumentReader,
): unknown {
  const { length } = value
  if (length < least || length > most) {
    return refuse(reader, path, `must have ${countWords(least, most)}, not ${length}`)
  }
  const copy: unknown[] = []
  for (let i = 0; i < length && reader.values >= 0; i++)
    copy.push(readShape(value[i], list, `${path}[${i}]`, reader))
  return copy
}

function countWords(least: number, most: number): string {
  if (most === Infinity) return least === 1 ? 'at least 1 entry' : `at least ${least} entries`
  if (least === 0) return `at most ${most} entries`
  return `${least === most ? '' : `${least} to `}${most} entries`
}

function readObject(
  given: Readonly<Record<string, unknown>>,
  { byPin, byName, needed = {}, optional = {}, otherwise = {} }: Shape,
  path: string,
  reader: DocumentReader,
): unknown {
  const copy: [key: string, value: unknown][] = []
  const keys: Keys = { ...needed, ...optional }
  for (const key of Object.keys(given)) {
    if (Object.hasOwn(keys, key)) continue
    const named = byPin && /^[1-9]\d{0,2}$/.test(key) ? byPin : byName
    if (named) copy.push([key, readShape(given[key], named, pathTo(path, key), reader)])
    else {
      const problem = byPin ? 'is no pin number' : `is not known; known are ${Object.keys(keys).join(', ')}`
      if (!reader.report(pathTo(path, key), problem, false)) break
    }
  }
  for (const [key, shape] of Object.entries(keys)) {
    const own = Object.hasOwn(given, key) ? given[key] : undefined
    const taken = own === undefined ? otherwise[key] : own
    if (taken !== undefined) copy.push([key, readShape(taken, shape, pathTo(path, key), reader)])
    else if (needed[key]) refuse(reader, pathTo(path, key), 'is missing', true)
  }
  return Object.fromEntries(copy)
}

/** Most characters of a wrong value or key that are shown. */
const MOST_SHOWN = 40

/** The path of a key below a path; none is below the empty path. */
export function pathTo(path: string, key: string): string {
  return `${path && `${path}.`}${/^\w{1,40}$/.test(key) ? key : quoted(key)}`
}

function quoted(text: string): string {
  return JSON.stringify(text.length > MOST_SHOWN ? `${text.slice(0, MOST_SHOWN)}…` : text).replace(
    /[\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g,
    '?',
  )
}

/** A wrong value in a few words. */
function shown(value: unknown): string {
  if (typeof value === 'string') return quoted(value)
  if (Array.isArray(value)) return 'a list'
  return value && !/number|boolean/.test(typeof value) ? `a value of type ${typeof value}` : String(value)
}
