/** How a captured table is wired: which line of the image is which pin, as a document that is checked completely. */
import { checkedDocument, FLAG, type Bounds, type Keys, type Shape } from '../../arguments/document'
import { SCHEMA } from '../../findings/schema'
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

const MAX_ADDRESS_LINES = 24
const PIN_NUMBERS: Bounds = [1, 999]
const PIN: Shape = { whole: PIN_NUMBERS, noun: 'a pin number' }
const LEVELS: Shape = { byPin: { words: [0, 1] } }
const LINE: Shape = {
  whole: PIN_NUMBERS,
  noun: 'a pin number',
  or: { needed: { pin: PIN }, optional: { inverted: FLAG } },
  orNull: true,
}

const HINTS: Shape = {
  optional: {
    title: { text: [0, 2000], orNull: true },
    held: LEVELS,
    width: { words: [8, 16] },
    byteOrder: { words: ['low-first', 'high-first'] },
    off: { words: [0, 1, null] },
    badRows: { list: {} },
    schema: { words: [SCHEMA] },
  },
  otherwise: { title: null, held: {}, width: 8, byteOrder: 'low-first', off: null, badRows: [] },
}

const LINES: Keys = {
  address: { list: LINE, bounds: [0, MAX_ADDRESS_LINES] },
  data: { list: LINE, bounds: [0, 16] },
}

const MATTERS: Keys = { ignore: { list: PIN }, dontCare: { list: LEVELS, bounds: [0, 1000] } }

/** A document of a whole wiring: made at call time, since a bundler keeps what is spread at the top. */
function wiringShape(): Shape {
  const { optional, otherwise } = HINTS
  return {
    needed: LINES,
    optional: { ...optional, ...MATTERS },
    otherwise: { ...otherwise, ignore: [], dontCare: [] },
  }
}

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
  const stated = checkedDocument<Required<WiringDocument>>(
    typeof wiring === 'string' ? namedWiring(wiring) : wiring,
    wiringShape(),
    'wiring',
  )
  const { held, width, ignore, dontCare } = stated
  const address = wiresOf(stated.address, 'wiring.address')
  const data = wiresOf(stated.data, 'wiring.data')
  if (data.length > width) throw new RangeError(`wiring.data: at most ${width} lines, not ${data.length}`)
  onePinEach({ address, data, held })
  checkIgnored(ignore, data)
  checkPatterns(dontCare, address)
  return { ...hintsOf(stated, 2 ** address.length), address, data, ignore, dontCare }
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
  return hintsOf(checkedDocument(hints, HINTS, 'wiring'), 2 ** MAX_ADDRESS_LINES)
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

function hintsOf(stated: Required<WiringDocument>, rowCount: number): WiringHints {
  const { title, held, width, byteOrder, off, badRows } = stated
  return { title, width, byteOrder, off, held, badRows: rangesOf(badRows, rowCount) }
}

function wiresOf(lines: WiringDocument['address'], path: string): (Wire | null)[] {
  if (lines.every((line) => line === null)) throw new RangeError(`${path}: must name at least one pin`)
  return lines.map((line) => {
    if (line === null) return null
    return typeof line === 'number' ? { pin: line, inverted: false } : { inverted: false, ...line }
  })
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

function checkIgnored(pins: readonly number[], data: Wiring['data']): void {
  pins.forEach((pin, i) => {
    if (!data.some((wire) => wire?.pin === pin))
      throw new RangeError(`wiring.ignore[${i}]: pin ${pin} is at no data line`)
  })
  if (data.every((wire) => !wire || pins.includes(wire.pin)))
    throw new RangeError('wiring.ignore: leaves no output to look at')
}

function checkPatterns(patterns: readonly RowPattern[], address: Wiring['address']): void {
  patterns.forEach((pattern, i) => {
    for (const pin of Object.keys(pattern))
      if (!address.some((wire) => wire?.pin === Number(pin)))
        throw new RangeError(`wiring.dontCare[${i}].${pin}: pin ${pin} is at no address line`)
  })
}

function rangesOf(rows: readonly unknown[], rowCount: number): (readonly [number, number])[] {
  return rows.map((row, i) => {
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
