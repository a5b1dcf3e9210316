/** A board as its user describes it: plain data, checked completely before anything is made of it. */
import { isBytes, oneOf } from '../../arguments/arguments'
import { SCHEMA } from '../../findings/schema'
import type { Device } from '../../devices/device'
import { quote } from '../../jesd3/text'

/**
 * Limits of a part, a diode or the machine, in volts, amperes, seconds, farads and ohms, each from a data sheet that
 * `source` names. What is left out is not assumed: the lines that need it are not computed.
 */
export interface Limits {
  /** Highest low level and lowest high level of an output, at the current that the sheet states. */
  readonly lowOut?: number
  /** Lowest high level of an output. */
  readonly highOut?: number
  /** Highest level that an input surely takes as low, and lowest that it surely takes as high. */
  readonly lowIn?: number
  /** Lowest level that an input surely takes as high. */
  readonly highIn?: number
  /** Current that an output sinks at `lowOut`, and that it gives at `highOut`. */
  readonly sink?: number
  /** Current that an output gives at `highOut`. */
  readonly drive?: number
  /** Longest time from any input to any output. */
  readonly delay?: number
  /** Largest capacitance of an input. */
  readonly inputCapacitance?: number
  /**
   * Current out of an input at a low level, which whatever holds it low sinks, and into one at a high level; of parts
   * whose sheet has one figure for both, `inputCurrent` alone.
   */
  readonly inputLowCurrent?: number
  /** Current into an input at a high level. */
  readonly inputHighCurrent?: number
  /** Current of an input at either level, where the sheet has one figure. */
  readonly inputCurrent?: number
  /** Largest resistance of the pull-ups inside a part; used with `internalPullUps`. */
  readonly pullUp?: number
  /** Where the numbers stand. */
  readonly source: string
}

/** Limits of a diode. */
export interface DiodeLimits {
  /** Largest forward voltage at the current through the pull resistor. */
  readonly drop?: number
  /** Largest capacitance. */
  readonly capacitance?: number
  /** Where the numbers stand. */
  readonly source: string
}

/** Limits of what is around the board: what drives its inputs, what reads its outputs, its supply and its time. */
export interface MachineLimits extends Omit<Limits, 'delay' | 'pullUp'> {
  /** Lowest supply. */
  readonly supplyLeast?: number
  /** Highest supply. */
  readonly supplyMost?: number
  /** Capacitance of a net of the board itself. */
  readonly netCapacitance?: number
  /** Time that the original, or the machine, allows from an input to an output. */
  readonly time?: number
}

/** A programmed part: the bytes of its fuse file, and the net at each of its pins (DIP numbers). */
export interface BoardPart {
  /** Unlike that of any other thing of the board. */
  readonly name: string
  /** Bytes of its fuse file. */
  readonly file: Uint8Array
  /** Name of the file, for the report. */
  readonly fileName?: string
  /** As for `verify`. */
  readonly device?: string | Device
  /** Name of an order of `fuseOrders`, for a logic array. */
  readonly fuseOrder?: string
  /** Net at each pin, by pin number. */
  readonly pins: Readonly<Record<string, string>>
  /** Limits of its data sheet. */
  readonly limits?: Limits
}

/**
 * What an outside pin is: seen from the machine's side of the socket, the board's input, output, both, or its supply.
 */
export type Direction = 'input' | 'output' | 'both' | 'supply' | 'ground'

/** A pin toward the machine, by the original's number. */
export interface OutsidePin {
  /** Number in the original's socket. */
  readonly pin: number
  /** Net of the board at this pin. */
  readonly net: string
  /** What the pin is for the board. */
  readonly direction: Direction
  /** A name for reports. */
  readonly name?: string
  /** Level at which an input is held while the others are swept. */
  readonly held?: 0 | 1
}

/** A diode between two nets: it passes a low to its anode's net and a high to its cathode's. */
export interface BoardDiode {
  /** Unlike that of any other thing of the board. */
  readonly name: string
  /** Net at the anode. */
  readonly anode: string
  /** Net at the cathode. */
  readonly cathode: string
  /** Limits of its data sheet. */
  readonly limits?: DiodeLimits
}

/** A resistor from a net to supply or ground; `ohms` counts in the budget only. */
export interface BoardResistor {
  /** Unlike that of any other thing of the board. */
  readonly name: string
  /** Net at its free end. */
  readonly net: string
  /** What its other end is at. */
  readonly to: 'supply' | 'ground'
  /** Resistance. */
  readonly ohms?: number
  /** As a fraction: 0.05 for 5 %. */
  readonly tolerance?: number
}

/** A board: parts, the pins of the socket it goes into, and what connects them. Nets are named by their use. */
export interface Board {
  /** Version of the document; 1 where it is left out. */
  readonly schema?: 1
  /** A name for reports. */
  readonly title?: string
  /** Programmed parts. */
  readonly parts: readonly BoardPart[]
  /** Pins of the socket that the board goes into. */
  readonly outside: readonly OutsidePin[]
  /** Diodes between nets. */
  readonly diodes?: readonly BoardDiode[]
  /** Pull-ups and pull-downs. */
  readonly resistors?: readonly BoardResistor[]
  /** Pairs of nets that are one. */
  readonly wires?: readonly (readonly [string, string])[]
  /** True: every signal pin of the parts has a pull-up of its own. */
  readonly internalPullUps?: boolean
  /** Limits of what is around the board. */
  readonly machine?: MachineLimits
}

/** What a value must be. */
type Kind = 'text' | 'pin' | 'number' | 'flag' | 'level' | 'bytes' | 'any' | readonly string[] | Reader
type Reader = (value: unknown, path: string) => void
type Keys = Readonly<Record<string, Kind>>

const LIMITS: Keys = {
  lowOut: 'number',
  highOut: 'number',
  lowIn: 'number',
  highIn: 'number',
  sink: 'number',
  drive: 'number',
  delay: 'number',
  inputCapacitance: 'number',
  inputCurrent: 'number',
  inputLowCurrent: 'number',
  inputHighCurrent: 'number',
  pullUp: 'number',
  source: 'text',
}
const DIODE_LIMITS: Keys = { drop: 'number', capacitance: 'number', source: 'text' }
const MACHINE: Keys = {
  lowOut: 'number',
  highOut: 'number',
  lowIn: 'number',
  highIn: 'number',
  sink: 'number',
  drive: 'number',
  inputCapacitance: 'number',
  inputCurrent: 'number',
  inputLowCurrent: 'number',
  inputHighCurrent: 'number',
  supplyLeast: 'number',
  supplyMost: 'number',
  netCapacitance: 'number',
  time: 'number',
  source: 'text',
}
const PART: Keys = {
  name: 'text',
  file: 'bytes',
  fileName: 'text',
  device: 'any',
  fuseOrder: 'text',
  pins: checkPins,
  limits: checkLimits,
}
const OUTSIDE: Keys = {
  pin: 'pin',
  net: 'text',
  direction: ['input', 'output', 'both', 'supply', 'ground'],
  name: 'text',
  held: 'level',
}
const DIODE: Keys = { name: 'text', anode: 'text', cathode: 'text', limits: checkDiodeLimits }
const RESISTOR: Keys = { name: 'text', net: 'text', to: ['supply', 'ground'], ohms: 'number', tolerance: 'number' }
const BOARD: Keys = {
  schema: checkSchema,
  title: 'text',
  parts: checkParts,
  outside: checkOutside,
  diodes: checkDiodes,
  resistors: checkResistors,
  wires: checkWires,
  internalPullUps: 'flag',
  machine: checkMachine,
}

/** Most entries of a list, and characters of a text: ten times what the largest board of the trade has. */
const MAX_ENTRIES = 1000
const MAX_CHARACTERS = 300
/** Most bytes of all fuse files together: a thousand parts of the largest decoded kind have a quarter of them. */
const MAX_FILE_BYTES = 2 ** 25

/**
 * The same board, once everything in it has the right form.
 *
 * @throws TypeError for a value of the wrong kind, RangeError for one out of range; both name its path:
 * `board.diodes[2].anode`
 * @example checkedBoard(JSON.parse(text), 'board')
 */
export function checkedBoard(board: unknown, path: string): Board {
  checkObject(board, path, { keys: BOARD, needed: ['parts', 'outside'] })
  const { parts, outside, diodes = [], resistors = [] } = board as Board
  const bytes = parts.reduce((sum, { file }) => sum + file.length, 0)
  if (bytes > MAX_FILE_BYTES)
    throw new RangeError(`${path}.parts: the files have ${bytes} bytes together; at most ${MAX_FILE_BYTES} are taken`)
  uniqueNames(
    [...parts, ...diodes, ...resistors].map(({ name }) => name),
    path,
  )
  const pins = outside.map(({ pin }) => pin)
  pins.forEach((pin, i) => {
    if (pins.indexOf(pin) < i) throw new RangeError(`${path}.outside[${i}].pin: ${pin} stands there twice`)
  })
  outside.forEach(({ direction, held }, i) => {
    if (held !== undefined && direction !== 'input')
      throw new RangeError(`${path}.outside[${i}].held: only an input is held, and this is ${direction}`)
  })
  return board as Board
}

function uniqueNames(names: readonly string[], path: string): void {
  const seen = new Set<string>()
  names.forEach((name) => {
    if (seen.size === seen.add(name).size)
      throw new RangeError(
        `${path}: two things are named “${quote(name)}”; each part, diode and resistor needs a name of its own`,
      )
  })
}

function checkSchema(value: unknown, path: string): void {
  oneOf(value, path, [SCHEMA])
}

function checkParts(value: unknown, path: string): void {
  checkList(value, path, (entry, at) => checkObject(entry, at, { keys: PART, needed: ['name', 'file', 'pins'] }))
}

function checkOutside(value: unknown, path: string): void {
  checkList(value, path, (entry, at) =>
    checkObject(entry, at, { keys: OUTSIDE, needed: ['pin', 'net', 'direction'] }),
  )
}

function checkDiodes(value: unknown, path: string): void {
  checkList(value, path, (entry, at) => {
    checkObject(entry, at, { keys: DIODE, needed: ['name', 'anode', 'cathode'] })
    const { anode, cathode } = entry as BoardDiode
    if (anode === cathode) throw new RangeError(`${at}.cathode: both ends of the diode are on ${quote(anode)}`)
  })
}

function checkResistors(value: unknown, path: string): void {
  checkList(value, path, (entry, at) => checkObject(entry, at, { keys: RESISTOR, needed: ['name', 'net', 'to'] }))
}

function checkWires(value: unknown, path: string): void {
  checkList(value, path, (entry, at) => {
    checkList(entry, at, (net, place) => checkKind(net, place, 'text'))
    if ((entry as readonly unknown[]).length !== 2) throw new RangeError(`${at} must be two nets`)
  })
}

function checkPins(value: unknown, path: string): void {
  for (const [pin, net] of Object.entries(objectAt(value, path))) {
    if (!/^[1-9]\d{0,2}$/.test(pin)) throw new RangeError(`${path}: “${quote(pin)}” is no pin number`)
    checkKind(net, `${path}.${pin}`, 'text')
  }
}

function checkLimits(value: unknown, path: string): void {
  checkObject(value, path, { keys: LIMITS, needed: ['source'] })
}

function checkDiodeLimits(value: unknown, path: string): void {
  checkObject(value, path, { keys: DIODE_LIMITS, needed: ['source'] })
}

function checkMachine(value: unknown, path: string): void {
  checkObject(value, path, { keys: MACHINE, needed: ['source'] })
}

function checkList(value: unknown, path: string, check: Reader): void {
  if (!Array.isArray(value)) throw new TypeError(`${path} must be a list`)
  if (value.length > MAX_ENTRIES)
    throw new RangeError(`${path} has ${value.length} entries; at most ${MAX_ENTRIES} are taken`)
  value.forEach((entry: unknown, i) => check(entry, `${path}[${i}]`))
}

function objectAt(value: unknown, path: string): Readonly<Record<string, unknown>> {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new TypeError(`${path} must be an object`)
  return value as Readonly<Record<string, unknown>>
}

function checkObject(
  value: unknown,
  path: string,
  { keys, needed }: { readonly keys: Keys; readonly needed: readonly string[] },
): void {
  const given = objectAt(value, path)
  for (const key of Object.keys(given))
    if (!Object.hasOwn(keys, key))
      throw new RangeError(`${path}: no entry “${quote(key)}” is known; known are ${Object.keys(keys).join(', ')}`)
  for (const [key, kind] of Object.entries(keys)) {
    if (given[key] !== undefined) checkKind(given[key], `${path}.${key}`, kind)
    else if (needed.includes(key)) throw new TypeError(`${path}.${key} is missing`)
  }
}

/** Controls, and marks that turn the direction of writing: they would garble what is printed. */
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/

function checkKind(value: unknown, path: string, kind: Kind): void {
  if (typeof kind === 'function') return kind(value, path)
  if (kind === 'text') {
    if (typeof value !== 'string') throw new TypeError(`${path} must be a text`)
    if (value.trim() === '' || value.length > MAX_CHARACTERS || UNPRINTABLE.test(value))
      throw new RangeError(`${path} must have 1 to ${MAX_CHARACTERS} printable characters`)
  } else if (kind === 'pin')
    checkNumber(
      value,
      path,
      Number.isSafeInteger(value) && (value as number) >= 1 && (value as number) <= 256
        ? ''
        : 'must be a pin number from 1 to 256',
    )
  else if (kind === 'number')
    checkNumber(value, path, Number.isFinite(value) && (value as number) >= 0 ? '' : 'must be a number from 0')
  else if (kind === 'flag' && typeof value !== 'boolean') throw new TypeError(`${path} must be true or false`)
  else if (kind === 'bytes' && !isBytes(value))
    throw new TypeError(`${path} must be the bytes of a fuse file (a Uint8Array)`)
  else if (kind === 'level' && value !== 0 && value !== 1) throw new RangeError(`${path} must be 0 or 1`)
  else if (typeof kind === 'object' && !kind.includes(value as string))
    throw new RangeError(`${path} must be ${kind.join(' or ')}`)
}

function checkNumber(value: unknown, path: string, complaint: string): void {
  if (typeof value !== 'number') throw new TypeError(`${path} must be a number`)
  if (complaint) throw new RangeError(`${path} ${complaint}`)
}
