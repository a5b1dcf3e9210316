/** How a captured table is wired: which line of the image is which pin, as a document that is checked completely. */
import { SCHEMA } from '../../findings/schema'
import { listOf, madeBy, oneOf } from '../../arguments/arguments'
import { quote } from '../../jesd3/text'
import type { RowPattern } from '../compare/dont-care'

/** A line of the image at a pin; `inverted`: something between them turns its level round. */
export interface Wire {
  /** Pin that the line leads to. */
  readonly pin: number
  /** True where something between line and pin inverts the level. */
  readonly inverted: boolean
}

/** What is known of the wiring, as plain JSON data. All but `address` and `data` may be left out. */
export interface WiringDocument {
  /** Version of the document; 1 where it is left out. */
  readonly schema?: 1
  /** A name for reports. */
  readonly title?: string | null
  /** Input pin at each address line, line 0 first; null: the line leads nowhere. */
  readonly address: readonly (number | { readonly pin: number; readonly inverted?: boolean } | null)[]
  /** Output pin at each data line, line 0 first; null, and lines that are left out: not connected. */
  readonly data: readonly (number | { readonly pin: number; readonly inverted?: boolean } | null)[]
  /** Levels of pins that were held while the table was captured. */
  readonly held?: Readonly<Record<string, 0 | 1>>
  /** Bits of a word (default 8). */
  readonly width?: 8 | 16
  /** Which byte of a word of 16 bits comes first (default: the low one). */
  readonly byteOrder?: 'low-first' | 'high-first'
  /** What a three-state output that is off reads as at its pin; null (default): such rows are not judged. */
  readonly off?: 0 | 1 | null
  /** Output pins that are not looked at. */
  readonly ignore?: readonly number[]
  /** Input patterns that do not matter, by pins of address lines. */
  readonly dontCare?: readonly RowPattern[]
  /** Addresses known to be misread: one, or first and last of a range; also as printed, `0x1234` and `0x10-0x1F`. */
  readonly badRows?: readonly (number | string | readonly [number | string, number | string])[]
}

/** A checked wiring: a document with nothing left out. */
export interface Wiring extends WiringDocument {
  /** A name for reports; null without one. */
  readonly title: string | null
  readonly address: readonly (Wire | null)[]
  readonly data: readonly (Wire | null)[]
  readonly held: Readonly<Record<string, 0 | 1>>
  readonly width: 8 | 16
  readonly byteOrder: 'low-first' | 'high-first'
  readonly off: 0 | 1 | null
  readonly ignore: readonly number[]
  readonly dontCare: readonly RowPattern[]
  readonly badRows: readonly (readonly [number, number])[]
}

/** What can be known of an image whose lines are not known. */
export type WiringHints = Pick<Wiring, 'title' | 'held' | 'width' | 'byteOrder' | 'off' | 'badRows'>

const HINTS = ['title', 'held', 'width', 'byteOrder', 'off', 'badRows', 'schema'] as const
const ENTRIES = [
  'title',
  'address',
  'data',
  'held',
  'width',
  'byteOrder',
  'off',
  'ignore',
  'dontCare',
  'badRows',
  'schema',
] as const
const MAX_ADDRESS_LINES = 24
const MOST_PATTERNS = 1000
const LARGEST_PIN = 999

/**
 * The wiring of an array of 16 inputs and 8 outputs in a 28-pin socket, read with address line n at input n and data
 * line n at output n, as a document of its own. The pins are from memory: I0 to I7 at 9 to 2, I8 to I15 at 27 to 20, F0
 * to F3 at 18 to 15, F4 to F7 at 13 to 10, chip enable at 19 and low, ground at 14, supply at 28.
 */
const PLAIN_28: WiringDocument = {
  title: 'plain-28',
  address: [9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20],
  data: [18, 17, 16, 15, 13, 12, 11, 10],
  held: { 19: 0 },
}

/**
 * Names of the wirings that are at hand, each with where it is from.
 *
 * @returns name and source of each; the name is taken wherever a wiring is
 * @example namedWirings().map(({ name }) => name) // ['plain-28']
 */
export function namedWirings(): readonly { readonly name: string; readonly source: string }[] {
  return [{ name: 'plain-28', source: 'from memory: the pins of a 16 × 48 × 8 array in a 28-pin socket' }]
}

/**
 * Checks a wiring completely. What is wrong throws, with its path: TypeError for a wrong kind of value, RangeError for
 * a wrong one.
 *
 * @param wiring a document, or the name of one of `namedWirings`
 * @returns the wiring with every default filled in
 * @throws TypeError for a wrong kind of value, RangeError for a wrong one, with its path: `wiring.address[3]`
 * @example readWiring({ address: [2, 3], data: [19] }).width // 8
 */
export function readWiring(wiring: unknown): Wiring {
  const description = entriesOf(typeof wiring === 'string' ? namedWiring(wiring) : wiring, 'wiring', ENTRIES)
  const hints = hintsOf({ ...description, badRows: [] })
  const address = linesOf(description['address'], 'wiring.address', MAX_ADDRESS_LINES)
  const data = linesOf(description['data'], 'wiring.data', hints.width)
  onePinEach({ address, data, held: hints.held })
  const inputs = address.flatMap((wire) => (wire ? [wire.pin] : []))
  return {
    ...hints,
    address,
    data,
    ignore: ignoredPins(description['ignore'] ?? [], data),
    dontCare: patternsOf(description['dontCare'] ?? [], inputs),
    badRows: rangesOf(description['badRows'] ?? [], 2 ** address.length),
  }
}

/**
 * Checks what is known of an image whose wiring is searched for: a wiring without `address` and `data`.
 *
 * @param hints a document with what is known; any of its entries may be left out
 * @returns the hints with every default filled in
 * @throws as `readWiring` does
 * @example readWiringHints({ width: 16, held: { 19: 0 } }).byteOrder // 'low-first'
 */
export function readWiringHints(hints: unknown): WiringHints {
  return hintsOf(entriesOf(hints, 'wiring', HINTS))
}

/** Bytes of an image with this wiring. */
export function imageSize({ address, width }: Wiring): number {
  return 2 ** address.length * (width / 8)
}

function namedWiring(name: string): WiringDocument {
  if (name !== PLAIN_28.title)
    throw new RangeError(
      `wiring: no wiring is named “${quote(name)}”; there is ${namedWirings()
        .map((each) => each.name)
        .join(', ')}`,
    )
  return PLAIN_28
}

function hintsOf(description: Record<string, unknown>): WiringHints {
  const { schema = SCHEMA, title = null, held = {}, width = 8, byteOrder = 'low-first', off = null } = description
  oneOf(schema, 'wiring.schema', [SCHEMA])
  if (title !== null && typeof title !== 'string') throw new TypeError('wiring.title must be text')
  if (width !== 8 && width !== 16) throw new RangeError(`wiring.width must be 8 or 16, not ${shown(width)}`)
  if (byteOrder !== 'low-first' && byteOrder !== 'high-first')
    throw new RangeError(`wiring.byteOrder must be "low-first" or "high-first", not ${shown(byteOrder)}`)
  if (off !== null && off !== 0 && off !== 1)
    throw new RangeError(`wiring.off must be 0, 1 or null, not ${shown(off)}`)
  const badRows = rangesOf(description['badRows'] ?? [], 2 ** MAX_ADDRESS_LINES)
  return { title, width, byteOrder, off, held: levelsOf(held, 'wiring.held'), badRows }
}

function linesOf(value: unknown, path: string, most: number): (Wire | null)[] {
  const lines = listOf(value, path)
  if (lines.length > most) throw new RangeError(`${path}: at most ${most} lines, not ${lines.length}`)
  const wires = lines.map((line, i) => wireOf(line, `${path}[${i}]`))
  if (!wires.some((wire) => wire)) throw new RangeError(`${path}: must name at least one pin`)
  return wires
}

function wireOf(value: unknown, path: string): Wire | null {
  if (value === null) return null
  if (typeof value === 'number') return { pin: pinOf(value, path), inverted: false }
  const { pin, inverted = false } = entriesOf(value, path, ['pin', 'inverted'])
  if (typeof inverted !== 'boolean') throw new TypeError(`${path}.inverted must be true or false`)
  return { pin: pinOf(pin, `${path}.pin`), inverted }
}

/** A pin is at one line, or held, and not both. */
function onePinEach({ address, data, held }: Pick<Wiring, 'address' | 'data' | 'held'>): void {
  const places = new Map<number, string>()
  const take = (pin: number, path: string): void => {
    if (places.has(pin)) throw new RangeError(`${path}: pin ${pin} is at ${places.get(pin)!} already`)
    places.set(pin, path)
  }
  address.forEach((wire, i) => wire && take(wire.pin, `wiring.address[${i}]`))
  data.forEach((wire, i) => wire && take(wire.pin, `wiring.data[${i}]`))
  for (const pin of Object.keys(held)) take(Number(pin), `wiring.held.${pin}`)
}

function ignoredPins(value: unknown, data: Wiring['data']): number[] {
  const pins = listOf(value, 'wiring.ignore').map((pin, i) => {
    const at = `wiring.ignore[${i}]`
    const ignored = pinOf(pin, at)
    if (!data.some((wire) => wire?.pin === ignored)) throw new RangeError(`${at}: pin ${ignored} is at no data line`)
    return ignored
  })
  if (data.every((wire) => !wire || pins.includes(wire.pin)))
    throw new RangeError('wiring.ignore: leaves no output to look at')
  return pins
}

function patternsOf(value: unknown, inputs: readonly number[]): RowPattern[] {
  const patterns = listOf(value, 'wiring.dontCare')
  if (patterns.length > MOST_PATTERNS)
    throw new RangeError(`wiring.dontCare: at most ${MOST_PATTERNS} patterns, not ${patterns.length}`)
  return patterns.map((pattern, i) => {
    const levels = levelsOf(pattern, `wiring.dontCare[${i}]`)
    for (const pin of Object.keys(levels))
      if (!inputs.includes(Number(pin)))
        throw new RangeError(`wiring.dontCare[${i}].${pin}: pin ${pin} is at no address line`)
    return levels
  })
}

function rangesOf(value: unknown, rowCount: number): (readonly [number, number])[] {
  return listOf(value, 'wiring.badRows').map((row, i) => {
    const at = `wiring.badRows[${i}]`
    const ends = endsOf(row)
    if (ends.length !== 2) throw new RangeError(`${at} must be an address, or the first and the last of a range`)
    const [first, last] = ends.map((end) => addressOf(end, at, rowCount)) as [number, number]
    if (last < first) throw new RangeError(`${at}: the range ends before it begins`)
    return [first, last] as const
  })
}

/** First and last of a range, which may be one text. */
function endsOf(row: unknown): readonly unknown[] {
  if (Array.isArray(row)) return row as readonly unknown[]
  const texts = typeof row === 'string' ? row.split(/[-–]/) : []
  return texts.length === 2 ? texts : [row, row]
}

function addressOf(value: unknown, at: string, rowCount: number): number {
  const isText = typeof value === 'string' && /^\s*(0x[0-9a-f]{1,8}|\d{1,9})\s*$/i.test(value)
  if (typeof value !== 'number' && !isText)
    throw new TypeError(`${at} must be an address such as 31 or "0x1F", or the first and the last of a range`)
  const address = Number(value)
  if (!Number.isInteger(address) || address < 0 || address >= rowCount)
    throw new RangeError(`${at}: addresses are whole numbers from 0 to ${rowCount - 1}`)
  return address
}

function levelsOf(value: unknown, path: string): Record<string, 0 | 1> {
  const levels = entriesOf(value, path)
  for (const [pin, level] of Object.entries(levels)) {
    if (!/^[1-9]\d{0,2}$/.test(pin)) throw new RangeError(`${path}: “${quote(pin)}” is no pin number`)
    if (level !== 0 && level !== 1) throw new RangeError(`${path}.${pin} must be 0 or 1, not ${shown(level)}`)
  }
  return { ...levels } as Record<string, 0 | 1>
}

function pinOf(value: unknown, path: string): number {
  if (typeof value !== 'number') throw new TypeError(`${path} must be a pin number`)
  if (!Number.isInteger(value) || value < 1 || value > LARGEST_PIN)
    throw new RangeError(`${path} must be a pin number from 1 to ${LARGEST_PIN}, not ${value}`)
  return value
}

function entriesOf(value: unknown, path: string, allowed?: readonly string[]): Record<string, unknown> {
  const given = madeBy(value as Record<string, unknown>, path, { keys: [], maker: 'an object' })
  const foreign = allowed && Object.keys(given).find((key) => !allowed.includes(key))
  if (allowed && foreign !== undefined)
    throw new RangeError(`${path}.${quote(foreign)}: no such entry; there are ${allowed.join(', ')}`)
  return given
}

function shown(value: unknown): string {
  return quote(JSON.stringify(value) ?? String(value))
}
