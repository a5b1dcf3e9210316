/** What the conditions of a vector ask of the pins (3-A, "Functional test information"). */
import { NOTHING, UNSTEADY, type Applied } from '../../logic/simulation-state'
import type { PinCheck, VectorSet } from './run-vectors'

/** Conditions by pin number (place 0 unused), through the pin order where there is one; 0 in it leads to no pin. */
export function conditionsByPin(conditions: string, { pinOrder }: VectorSet, pinCount: number): string {
  if (!pinOrder) return `N${conditions}`
  const byPin = Array<string>(pinCount + 1).fill('N')
  for (let i = 0; i < conditions.length; i++) byPin[pinOrder[i]!] = conditions[i]!
  byPin[0] = 'N'
  return byPin.join('')
}

/**
 * Levels that conditions apply at first; C rests low and K high. D and U (later revisions, from memory) are 0 and 1.
 */
export const LEVELS: Readonly<Record<string, Applied>> = {
  0: 0,
  D: 0,
  C: 0,
  1: 1,
  U: 1,
  K: 1,
  N: NOTHING,
  F: NOTHING,
  H: NOTHING,
  L: NOTHING,
  Z: NOTHING,
}

/** True for a condition that is judged. */
export function isExpected(condition: string): condition is PinCheck['expected'] {
  return condition === 'H' || condition === 'L' || condition === 'Z'
}

/** What a condition asks is one number: the level that it applies, and a bit for each of these. */
const LEVEL = 7
export const PULSED = 8
export const PRELOADED = 16
export const DRIVEN = 32
export const SUPER_VOLTAGE = 64
export const JUDGED = 128

const ASKS: readonly (readonly [bit: number, conditions: string])[] = [
  [PULSED, 'CK'],
  [PRELOADED, 'P'],
  [DRIVEN, '01DU'],
  [SUPER_VOLTAGE, '23456789'],
  [JUDGED, 'HLZ'],
]

/** What is asked by the code of each condition, with the level of X. */
function askedByCode(x: Applied): Uint8Array {
  const asked = new Uint8Array(128).fill(UNSTEADY)
  for (const [condition, level] of Object.entries({ ...LEVELS, X: x })) asked[condition.charCodeAt(0)] = level
  for (const [bit, conditions] of ASKS)
    for (const condition of conditions) asked[condition.charCodeAt(0)]! |= bit
  return asked
}

/** What vectors ask of the pins, one after the other in the same lists, so that a vector costs no object. */
export class AskedPins {
  /** Levels applied, by pin. */
  readonly levels: Applied[]
  /** What is asked of each pin, and of any. */
  readonly #pins: Uint8Array
  #any = 0
  readonly #byCode: Uint8Array
  /** The position of each pin in a vector; −1 where it has none. */
  readonly #positions: Int32Array
  #conditions = ''

  constructor({ pinOrder }: VectorSet, pinCount: number, x: Applied) {
    this.levels = Array<Applied>(pinCount + 1).fill(NOTHING)
    this.#pins = new Uint8Array(pinCount + 1)
    this.#byCode = askedByCode(x)
    this.#positions = new Int32Array(pinCount + 1).fill(-1)
    for (let i = 0; i < (pinOrder?.length ?? pinCount); i++) this.#positions[pinOrder?.[i] ?? i + 1] = i
  }

  /** Goes on to the next vector. */
  take(conditions: string): void {
    const { levels } = this
    const byCode = this.#byCode
    const positions = this.#positions
    const pins = this.#pins
    let any = 0
    for (let pin = 1; pin < levels.length; pin++) {
      const position = positions[pin]!
      const what = position < 0 ? NOTHING : (byCode[conditions.charCodeAt(position)] ?? UNSTEADY)
      pins[pin] = what
      levels[pin] = (what & LEVEL) as Applied
      any |= what
    }
    this.#any = any
    this.#conditions = conditions
  }

  /** True where this is asked of a pin. */
  asks(pin: number, what: number): boolean {
    return (this.#pins[pin]! & what) !== 0
  }

  /** The pins of which this is asked, ascending. */
  pinsWith(what: number): number[] {
    const found: number[] = []
    if (this.#any & what) for (let pin = 1; pin < this.levels.length; pin++) if (this.asks(pin, what)) found.push(pin)
    return found
  }

  /** The condition of a pin. */
  at(pin: number): string {
    return this.#conditions[this.#positions[pin]!] ?? 'N'
  }
}
