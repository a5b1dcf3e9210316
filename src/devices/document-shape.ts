/**
 * The shape of a part written as JSON: which keys, of which kinds, and a reader that copies what fits and reports the
 * rest.
 */
import { SCHEMA } from '../findings/schema'

/** What a value must be. Numbers are whole. */
export type Shape =
  | { readonly kind: 'text'; readonly least: number; readonly most: number; readonly orNull?: boolean }
  | {
      readonly kind: 'number'
      readonly least: number
      readonly most: number
      readonly or?: Shape
      readonly orNull?: boolean
    }
  | { readonly kind: 'flag' }
  | { readonly kind: 'word'; readonly words: readonly (string | number)[]; readonly or?: Shape }
  | { readonly kind: 'list'; readonly of: Shape; readonly least: number; readonly most: number }
  | { readonly kind: 'object'; readonly keys: Readonly<Record<string, Key>> }

/** A key of an object: needed, or with what stands for it where it is left out, or optional. */
interface Key {
  readonly is: Shape
  readonly needed?: boolean
  readonly otherwise?: unknown
}

/** Most fuses of a part that a document can describe. */
const MOST_FUSES = 262_144
/** Most pins. */
const MOST_PINS = 256

const NAME: Shape = { kind: 'text', least: 1, most: 64 }
const LINE: Shape = { kind: 'text', least: 0, most: 2000 }
const LINES: Shape = { kind: 'list', of: LINE, least: 0, most: 256 }
const NAMES: Shape = { kind: 'list', of: NAME, least: 0, most: 256 }
const PIN: Shape = { kind: 'number', least: 1, most: MOST_PINS }
const PIN_OR_NONE: Shape = { kind: 'number', least: 1, most: MOST_PINS, orNull: true }
const PLACE: Shape = { kind: 'number', least: 0, most: MOST_FUSES }
const SIZE: Shape = { kind: 'number', least: 1, most: MOST_FUSES }
const BASIS: Shape = { kind: 'word', words: ['published', 'inferred', 'unconfirmed', 'memory'] }
const STATE: Shape = { kind: 'word', words: [0, 1] }
const FLAG: Shape = { kind: 'flag' }

/** What a column carries: a pin, or the register of a cell by its pin or name. */
const FEED: Shape = {
  kind: 'number',
  least: 1,
  most: MOST_PINS,
  or: {
    kind: 'object',
    keys: {
      cell: { is: { kind: 'number', least: 1, most: MOST_PINS, or: NAME }, needed: true },
      tap: { is: { kind: 'word', words: ['q', 'not-q'] }, needed: true },
    },
  },
}

const BLOCK: Shape = {
  kind: 'object',
  keys: {
    use: {
      is: {
        kind: 'word',
        words: [
          'array',
          'or',
          'polarity',
          'cell-select',
          'term-disable',
          'mode-select',
          'signature',
          'undecoded',
          'power-down',
        ],
      },
      needed: true,
    },
    name: { is: NAME, needed: true },
    first: { is: PLACE, needed: true },
    count: { is: SIZE, needed: true },
    run: { is: SIZE },
    step: { is: SIZE },
    names: { is: { kind: 'list', of: NAME, least: 1, most: MOST_PINS } },
  },
}

const CELL: Shape = {
  kind: 'object',
  keys: {
    pin: { is: PIN_OR_NONE, needed: true },
    name: { is: NAME },
    firstRow: { is: PLACE, needed: true },
    rowCount: { is: PLACE, needed: true },
  },
}

const SETTING: Shape = {
  kind: 'object',
  keys: {
    output: { is: { kind: 'word', words: ['combinational', 'registered', 'none', 'undefined'] }, needed: true },
    enable: {
      is: {
        kind: 'word',
        words: ['always', 'never'],
        or: { kind: 'object', keys: { row: { is: PLACE }, lowPin: { is: PIN } } },
      },
      needed: true,
    },
    sums: {
      is: {
        kind: 'list',
        of: { kind: 'object', keys: { from: { is: PLACE, needed: true }, count: { is: SIZE, needed: true } } },
        least: 0,
        most: 16,
      },
      otherwise: [],
    },
    orArray: { is: FLAG },
    polarity: { is: { kind: 'word', words: ['before', 'after', 'none'] }, needed: true },
    inverting: { is: FLAG, needed: true },
    clock: { is: { kind: 'object', keys: { pin: { is: PIN }, row: { is: PLACE } } } },
    resetRow: { is: PLACE },
    presetRow: { is: PLACE },
    bypass: { is: FLAG },
    loadPin: { is: PIN },
    powerUp: { is: STATE },
  },
}

const MODE: Shape = {
  kind: 'object',
  keys: {
    name: { is: { kind: 'text', least: 1, most: 64, orNull: true }, otherwise: null },
    select: { is: { kind: 'list', of: STATE, least: 0, most: 16 }, otherwise: [] },
    columns: { is: { kind: 'list', of: FEED, least: 1, most: MOST_PINS }, needed: true },
    registerFeedback: { is: { kind: 'word', words: ['inverted-register', 'pin'] }, needed: true },
    settings: { is: { kind: 'list', of: SETTING, least: 1, most: 64 }, needed: true },
    cellSettings: { is: { kind: 'list', of: PLACE, least: 0, most: MOST_PINS } },
  },
}

const CARRIER: Shape = {
  kind: 'object',
  keys: {
    name: { is: NAME, needed: true },
    dipPins: {
      is: { kind: 'list', of: { kind: 'number', least: 0, most: MOST_PINS }, least: 1, most: MOST_PINS },
      needed: true,
    },
  },
}

/** The whole document: the data of a `Device`. */
export const PART: Shape = {
  kind: 'object',
  keys: {
    schema: { is: { kind: 'word', words: [SCHEMA] } },
    part: { is: NAME, needed: true },
    aliases: { is: NAMES, otherwise: [] },
    otherParts: { is: NAMES },
    title: { is: LINE, otherwise: 'A part of the caller’s own' },
    fuseCount: { is: SIZE, needed: true },
    shorterCounts: { is: { kind: 'list', of: SIZE, least: 0, most: 16 } },
    shorterBasis: { is: BASIS },
    pinCount: { is: PIN, needed: true },
    carriers: { is: { kind: 'list', of: CARRIER, least: 0, most: 16 } },
    powerDownPin: { is: PIN },
    powerDownNames: { is: NAMES },
    groundPin: { is: PIN, needed: true },
    powerPin: { is: PIN, needed: true },
    array: {
      is: {
        kind: 'object',
        keys: {
          rows: { is: PLACE, needed: true },
          columns: { is: PLACE, needed: true },
          complementFirst: { is: FLAG },
        },
      },
      needed: true,
    },
    sharedRows: {
      is: {
        kind: 'object',
        keys: { reset: { is: PLACE, needed: true }, clockedPreset: { is: PLACE, needed: true } },
      },
    },
    blocks: { is: { kind: 'list', of: BLOCK, least: 1, most: 256 }, needed: true },
    cells: { is: { kind: 'list', of: CELL, least: 0, most: MOST_PINS }, needed: true },
    modes: { is: { kind: 'list', of: MODE, least: 0, most: 64 }, needed: true },
    basis: { is: BASIS, otherwise: 'unconfirmed' },
    fuseOrder: { is: NAME },
    sources: {
      is: { kind: 'list', of: LINE, least: 1, most: 256 },
      otherwise: ['stated by the caller without a source'],
    },
    remarks: { is: LINES, otherwise: [] },
  },
}

/** Takes an error; false once no more are wanted. */
export type TakeError = (path: string, message: string) => boolean

/** What reading a value needs besides the value. */
export interface DocumentReader {
  readonly report: TakeError
  /** Values that may still be looked at: a small document can refer to one object over and over. */
  values: number
  /** Paths of objects and lists in which something does not fit, or is missing. */
  readonly broken: Set<string>
}

/** Most values of a document. */
const MOST_VALUES = 200_000

/** The state of a reading before its first value. */
export function startReader(report: TakeError): DocumentReader {
  return { report, values: MOST_VALUES, broken: new Set() }
}

/** A copy of a value as far as it fits its shape; undefined where it does not fit. */
export function readShape(value: unknown, shape: Shape, path: string, reader: DocumentReader): unknown {
  if (reader.values-- <= 0)
    return refuse(reader, path, `the document has more than ${MOST_VALUES} values; it ends here`)
  switch (shape.kind) {
    case 'text':
      return shape.orNull && value === null ? null : readText(value, shape, path, reader)
    case 'number': {
      if (shape.orNull && value === null) return null
      if (shape.or && typeof value !== 'number') return readShape(value, shape.or, path, reader)
      const fits = typeof value === 'number' && Number.isInteger(value) && value >= shape.least && value <= shape.most
      return fits
        ? value + 0
        : refuse(reader, path, `must be a whole number from ${shape.least} to ${shape.most}, not ${shown(value)}`)
    }
    case 'flag':
      return typeof value === 'boolean' ? value : refuse(reader, path, `must be true or false, not ${shown(value)}`)
    case 'word':
      if ((shape.words as readonly unknown[]).includes(value)) return value
      if (shape.or && typeof value === 'object') return readShape(value, shape.or, path, reader)
      return refuse(
        reader,
        path,
        `must be ${listed(shape.words)}${shape.or ? ' or an object' : ''}, not ${shown(value)}`,
      )
    case 'list':
      return readList(value, shape, path, reader)
    case 'object':
      return readObject(value, shape, path, reader)
  }
}

function refuse({ report, broken }: DocumentReader, path: string, message: string): undefined {
  broken.add(path)
  report(path, message)
}

/** Controls, and marks that turn the direction of writing: they would garble what is printed. */
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/

function readText(
  value: unknown,
  { least, most }: { readonly least: number; readonly most: number },
  path: string,
  reader: DocumentReader,
): unknown {
  if (typeof value !== 'string') return refuse(reader, path, `must be a text, not ${shown(value)}`)
  if (value.trim().length < least) return refuse(reader, path, 'is empty')
  if (value.length > most) return refuse(reader, path, `has ${value.length} characters, at most ${most} are taken`)
  return UNPRINTABLE.test(value) ? refuse(reader, path, 'holds a control character') : value
}

function readList(
  value: unknown,
  { of, least, most }: Shape & { readonly kind: 'list' },
  path: string,
  reader: DocumentReader,
): unknown {
  if (!Array.isArray(value)) return refuse(reader, path, `must be a list, not ${shown(value)}`)
  const { length } = value
  if (length < least || length > most)
    return refuse(reader, path, `must have ${least} to ${most} entries, not ${length}`)
  const copy: unknown[] = []
  for (let i = 0; i < length && reader.values >= 0; i++) copy.push(readShape(value[i], of, `${path}[${i}]`, reader))
  return copy
}

function readObject(
  value: unknown,
  { keys }: Shape & { readonly kind: 'object' },
  path: string,
  reader: DocumentReader,
): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return refuse(reader, path, `must be an object, not ${shown(value)}`)
  const given = value as Readonly<Record<string, unknown>>
  for (const key of Object.keys(given))
    if (
      !Object.hasOwn(keys, key) &&
      !reader.report(`${path}.${keyText(key)}`, `is not known; known are ${Object.keys(keys).join(', ')}`)
    )
      break
  const copy: Record<string, unknown> = {}
  for (const [key, { is, needed, otherwise }] of Object.entries(keys)) {
    const own = Object.hasOwn(given, key) ? given[key] : undefined
    const taken = own === undefined ? otherwise : own
    if (taken !== undefined) copy[key] = readShape(taken, is, `${path}.${key}`, reader)
    else if (needed) refuse(reader, `${path}.${key}`, 'is missing')
  }
  return copy
}

/** Most characters of a wrong value or key that are shown. */
const MOST_SHOWN = 40

function keyText(key: string): string {
  return /^\w{1,40}$/.test(key) ? key : quoted(key)
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
  if (typeof value === 'number' || typeof value === 'boolean' || value === null || value === undefined)
    return String(value)
  return Array.isArray(value) ? 'a list' : `a value of type ${typeof value}`
}

function listed(words: readonly (string | number)[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`
}
