/** A board as its user describes it: plain data, checked completely before anything is made of it. */
import { isBytes } from '../../arguments/arguments'
import { checkedDocument, FLAG, type Bounds, type Shape } from '../../arguments/document'
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

/** Ten times what the largest board of the trade has. */
const ENTRIES: Bounds = [0, 1000]
const TEXT: Shape = { text: [1, 300] }
const AMOUNT: Shape = { number: [0, Number.MAX_VALUE] }
const FILE: Shape = { fits: isBytes, noun: 'the bytes of a fuse file (a Uint8Array)' }
const ANYTHING: Shape = {}

/** Limits that a part has as well as the machine around the board. */
const SHARED_LIMITS: Readonly<Record<string, Shape>> = {
  lowOut: AMOUNT,
  highOut: AMOUNT,
  lowIn: AMOUNT,
  highIn: AMOUNT,
  sink: AMOUNT,
  drive: AMOUNT,
  inputCapacitance: AMOUNT,
  inputCurrent: AMOUNT,
  inputLowCurrent: AMOUNT,
  inputHighCurrent: AMOUNT,
}
const LIMITS: Shape = { needed: { source: TEXT }, optional: { ...SHARED_LIMITS, delay: AMOUNT, pullUp: AMOUNT } }
const MACHINE: Shape = {
  needed: { source: TEXT },
  optional: { ...SHARED_LIMITS, supplyLeast: AMOUNT, supplyMost: AMOUNT, netCapacitance: AMOUNT, time: AMOUNT },
}
const PART: Shape = {
  needed: { name: TEXT, file: FILE, pins: { byPin: TEXT } },
  optional: { fileName: TEXT, device: ANYTHING, fuseOrder: TEXT, limits: LIMITS },
}
const OUTSIDE: Shape = {
  needed: {
    pin: { whole: [1, 256], noun: 'a pin number' },
    net: TEXT,
    direction: { words: ['input', 'output', 'both', 'supply', 'ground'] },
  },
  optional: { name: TEXT, held: { words: [0, 1] } },
}
const DIODE_LIMITS: Shape = { needed: { source: TEXT }, optional: { drop: AMOUNT, capacitance: AMOUNT } }
const DIODE: Shape = {
  needed: { name: TEXT, anode: TEXT, cathode: TEXT },
  optional: { limits: DIODE_LIMITS },
}
const RESISTOR: Shape = {
  needed: { name: TEXT, net: TEXT, to: { words: ['supply', 'ground'] } },
  optional: { ohms: AMOUNT, tolerance: AMOUNT },
}
const BOARD: Shape = {
  needed: { parts: { list: PART, bounds: ENTRIES }, outside: { list: OUTSIDE, bounds: ENTRIES } },
  optional: {
    schema: { words: [SCHEMA] },
    title: TEXT,
    diodes: { list: DIODE, bounds: ENTRIES },
    resistors: { list: RESISTOR, bounds: ENTRIES },
    wires: { list: { list: TEXT, bounds: [2, 2] }, bounds: ENTRIES },
    internalPullUps: FLAG,
    machine: MACHINE,
  },
}

/** Most bytes of all fuse files together: a thousand parts of the largest decoded kind have a quarter of them. */
const MAX_FILE_BYTES = 2 ** 25

/**
 * A copy of the board, once everything in it has the right form.
 *
 * @throws TypeError for a value of the wrong kind, RangeError for one out of range; both name its path:
 * `board.diodes[2].anode`
 * @example checkedBoard(JSON.parse(text), 'board')
 */
export function checkedBoard(given: unknown, path: string): Board {
  const board = checkedDocument<Board>(given, BOARD, path)
  const { parts, outside, diodes = [], resistors = [] } = board
  const bytes = parts.reduce((sum, { file }) => sum + file.length, 0)
  if (bytes > MAX_FILE_BYTES)
    throw new RangeError(`${path}.parts: the files have ${bytes} bytes together; at most ${MAX_FILE_BYTES} are taken`)
  diodes.forEach(({ anode, cathode }, i) => {
    if (anode === cathode)
      throw new RangeError(`${path}.diodes[${i}].cathode: both ends of the diode are on ${quote(anode)}`)
  })
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
  return board
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
