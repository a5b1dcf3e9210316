/** Small random logics made by hand from rows of literals, without a part: everything that a cell can have. */
import type { Cube, Expression, Logic, LogicCell, Register, Signal } from '../../src/logic/logic'
import { pick, type Random } from '../parts/random-designs'

/** Pin 1 is the clock, pins 2 to 4 are inputs, 5 to 7 have cells; the fourth cell is buried. */
const PIN_COUNT = 8
const INPUT_PINS = [2, 3, 4]
const CELL_PINS = [5, 6, 7, null]
const SIGNALS: readonly Signal[] = [
  ...[1, ...INPUT_PINS, 5, 6, 7].map((pin): Signal => ({ kind: 'pin', pin })),
  ...CELL_PINS.map((_, cell): Signal => ({ kind: 'register', cell, inverted: cell % 2 === 1 })),
]
const CLOCK: Expression = { sums: [[{ literals: [0], origin: -1 }]], inverted: false }
const NEVER: Expression = { sums: [], inverted: false }
const ALWAYS: Expression = { sums: [[{ literals: [], origin: -1 }]], inverted: false }

/** A design: literals by row, and logic made of the rows as they are, or as others. */
export interface SmallDesign {
  /** Signals that there are: pins, and the states of registers. */
  readonly signals: readonly number[]
  readonly rows: readonly (readonly number[])[]
  logicOf(rows: readonly (readonly number[])[]): Logic
}

/** A term of at most three literals; now and then one with a contradiction. */
export function randomLiterals(random: Random, signals: readonly number[]): number[] {
  const chosen = Array.from({ length: random(4) }, () => 2 * pick(random, signals) + random(2))
  const literals = [...new Set(chosen)]
  return literals.length > 0 && random(12) === 0 ? [...new Set([...literals, literals[0]! ^ 1])] : literals
}

type Planned = (rows: readonly (readonly number[])[]) => Expression

/** A design whose outputs read inputs, registers and outputs before them, unless `isFree`: then circles can be. */
export function smallDesign(random: Random, isFree = false): SmallDesign {
  const rows: number[][] = []
  const isRegistered = CELL_PINS.map((pin) => pin === null || random(2) === 1)
  const registers = [7, 8, 9, 10].filter((_, cell) => isRegistered[cell])
  const plan = (signals: readonly number[], most = 2): Planned => {
    const inverted = random(3) === 0
    const sums = Array.from({ length: random(most + 1) }, () =>
      Array.from({ length: random(4) }, () => {
        const added = random(5) === 0 ? [2 * pick(random, signals) + random(2)] : []
        const shared = rows.length > 0 && isFree && random(6) === 0
        return { origin: shared ? random(rows.length) : rows.push(randomLiterals(random, signals)) - 1, added }
      }),
    )
    return (now) => ({
      inverted,
      sums: sums.map((sum) =>
        sum.map(({ origin, added }): Cube => ({ literals: [...now[origin]!, ...added], origin })),
      ),
    })
  }
  const constant = (expression: Expression): Planned => () => expression
  const reset = random(2) ? plan([1, 2, ...registers], 1) : constant(NEVER)
  const all = [1, 2, 3, 4, 5, 6, ...registers]
  const cells = CELL_PINS.map((pin, cell) => {
    const below = [1, 2, 3, ...[4, 5, 6].slice(0, cell), ...registers]
    const signals = isFree && random(6) === 0 ? all : below
    const enable = pin !== null && random(2) ? plan(signals, 1) : constant(pin === null ? NEVER : ALWAYS)
    return {
      pin,
      defined: random(12) > 0,
      enable,
      value: plan(signals),
      data: plan(all),
      preset: random(3) ? constant(NEVER) : plan([1, 2, ...registers], 1),
      isRegistered: isRegistered[cell]!,
      isReset: random(3) > 0,
      inverted: random(2) === 1,
      powerUp: random(3) ? (random(2) as 0 | 1) : null,
    }
  })
  const registerOf = (cell: (typeof cells)[number], now: SmallDesign['rows']): Register => ({
    data: cell.data(now),
    clock: CLOCK,
    reset: cell.isReset ? reset(now) : NEVER,
    preset: NEVER,
    clockedPreset: cell.preset(now),
    load: NEVER,
    bypass: false,
    inverted: cell.inverted,
    powerUp: cell.powerUp,
  })
  const logicOf = (now: SmallDesign['rows']): Logic => ({
    pinCount: PIN_COUNT,
    supplyPins: [PIN_COUNT],
    signals: SIGNALS,
    cells: cells.map(
      (cell, i): LogicCell => ({
        pin: cell.pin,
        name: cell.pin === null ? `B${i}` : String(cell.pin),
        defined: cell.defined,
        enable: cell.enable(now),
        value: cell.isRegistered ? null : cell.value(now),
        register: cell.isRegistered ? registerOf(cell, now) : null,
      }),
    ),
  })
  return { rows, logicOf, signals: all }
}
