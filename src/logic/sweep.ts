/**
 * The fast evaluator: 32 input combinations at a time. Each level is two words, one with a bit for "can be 0" and one
 * with a bit for "can be 1", so that what it gives is what the reference simulation gives when it settles from unknown
 * levels, X included.
 */
import { isContradiction, pinCells, type Expression, type Logic, type Register } from './logic'
import { netlistOf } from './netlist'

/** Rows of one step. */
export const ROWS_AT_ONCE = 32

/** Levels of 32 rows: bit r of `zero` tells that row r can be 0, of `one` that it can be 1; both: unknown. */
export interface Words {
  zero: number
  one: number
}

/** A logic prepared for sweeping; its arrays are used over and over. */
export interface Sweep {
  readonly logic: Logic
  /** Two words a place: what the array reads at each pin, then Q of each register by output. */
  readonly zero: Int32Array
  readonly one: Int32Array
  /** Outputs so that each comes after those that it reads, as far as there is such an order. */
  readonly order: readonly number[]
  readonly circular: boolean
  readonly enables: readonly Int32Array[]
  readonly values: readonly (Int32Array | null)[]
  readonly registers: readonly (RegisterPrograms | null)[]
}

interface RegisterPrograms {
  readonly data: Int32Array
  readonly clockedPreset: Int32Array
  readonly reset: Int32Array
  readonly preset: Int32Array
}

/** Prepares a logic. */
export function prepareSweep(logic: Logic): Sweep {
  const places = logic.pinCount + 1 + logic.cells.length
  const netlist = netlistOf(logic)
  return {
    logic,
    zero: new Int32Array(places).fill(-1),
    one: new Int32Array(places).fill(-1),
    order: netlist.order.filter((cell) => logic.cells[cell]!.pin !== null),
    circular: netlist.circles.length > 0,
    enables: logic.cells.map((output) => compile(logic, output.enable)),
    values: logic.cells.map((output) => output.value && compile(logic, output.value)),
    registers: logic.cells.map(({ register }) => register && compileRegister(logic, register)),
  }
}

function compileRegister(logic: Logic, { data, clockedPreset, reset, preset }: Register): RegisterPrograms {
  return {
    data: compile(logic, data),
    clockedPreset: compile(logic, clockedPreset),
    reset: compile(logic, reset),
    preset: compile(logic, preset),
  }
}

/**
 * An expression as numbers: inversion, number of sums; each sum its number of terms; each term its number of literals
 * and those, as 2 × place + complement.
 */
function compile(logic: Logic, { sums, inverted }: Expression): Int32Array {
  const placeOf = (literal: number): number => {
    const signal = logic.signals[literal >>> 1]!
    if (signal.kind === 'pin') return 2 * signal.pin + (literal & 1)
    return 2 * (logic.pinCount + 1 + signal.cell) + ((literal & 1) ^ (signal.inverted ? 1 : 0))
  }
  const code = [inverted ? 1 : 0, sums.length]
  for (const sum of sums) {
    const live = sum.filter((cube) => !isContradiction(cube))
    code.push(live.length)
    for (const { literals } of live) code.push(literals.length, ...literals.map(placeOf))
  }
  return Int32Array.from(code)
}

/** Evaluates a compiled expression for 32 rows. */
function evaluateWords({ zero, one }: Sweep, code: Int32Array, result: Words): void {
  let resultZero = code[0] ? 0 : -1
  let resultOne = ~resultZero
  let at = 2
  for (let sums = code[1]!; sums > 0; sums--) {
    let sumZero = -1
    let sumOne = 0
    for (let cubes = code[at++]!; cubes > 0; cubes--) {
      let cubeZero = 0
      let cubeOne = -1
      const end = at + 1 + code[at]!
      for (at++; at < end; at++) {
        const place = code[at]! >>> 1
        const complement = code[at]! & 1
        cubeZero |= complement ? one[place]! : zero[place]!
        cubeOne &= complement ? zero[place]! : one[place]!
      }
      sumZero &= cubeZero
      sumOne |= cubeOne
    }
    const parityZero = (resultZero & sumZero) | (resultOne & sumOne)
    resultOne = (resultZero & sumOne) | (resultOne & sumZero)
    resultZero = parityZero
  }
  result.zero = resultZero
  result.one = resultOne
}

/** What an output does in 32 rows: whether it drives, and the level that it drives or would drive. */
export interface DriveWords {
  readonly enable: Words
  readonly value: Words
}

/** Makes room for `driveWords`. */
export function createDriveWords(): DriveWords {
  return { enable: { zero: 0, one: 0 }, value: { zero: 0, one: 0 } }
}

/** What an output does, given what the array reads now. */
export function driveWords(sweep: Sweep, index: number, drive: DriveWords): void {
  const output = sweep.logic.cells[index]!
  const { enable, value } = drive
  if (!output.defined) {
    enable.zero = enable.one = value.zero = value.one = -1
    return
  }
  evaluateWords(sweep, sweep.enables[index]!, enable)
  const code = sweep.values[index]
  if (code) return evaluateWords(sweep, code, value)
  registeredValue(sweep, index, value)
}

/** The level behind a register: its state, or its data where reset and preset bypass it. */
function registeredValue(sweep: Sweep, index: number, value: Words): void {
  const place = sweep.logic.pinCount + 1 + index
  const { bypass, inverted } = sweep.logic.cells[index]!.register!
  let zero = sweep.zero[place]!
  let one = sweep.one[place]!
  if (bypass) {
    const { reset, preset, data } = sweep.registers[index]!
    evaluateWords(sweep, reset, value)
    const first = { ...value }
    evaluateWords(sweep, preset, value)
    const through = first.one & value.one
    const held = first.zero | value.zero
    evaluateWords(sweep, data, value)
    zero = (held & zero) | (through & value.zero)
    one = (held & one) | (through & value.one)
  }
  value.zero = inverted ? one : zero
  value.one = inverted ? zero : one
}

/**
 * Settles all pins from unknown levels. The levels applied to the pins are given as words by pin (both bits set:
 * unknown or nothing).
 */
export function settleWords(
  sweep: Sweep,
  applied: { readonly zero: Int32Array; readonly one: Int32Array },
  drive: DriveWords,
): void {
  const { logic, zero, one } = sweep
  for (let pin = 1; pin <= logic.pinCount; pin++) {
    zero[pin] = applied.zero[pin]!
    one[pin] = applied.one[pin]!
  }
  if (sweep.circular) for (const { pin } of pinCells(logic)) zero[pin] = one[pin] = -1
  for (let changed = true; changed;) {
    changed = false
    for (const index of sweep.order) {
      const pin = logic.cells[index]!.pin!
      driveWords(sweep, index, drive)
      const { enable, value } = drive
      const nextZero = (enable.one & value.zero) | (enable.zero & applied.zero[pin]!)
      const nextOne = (enable.one & value.one) | (enable.zero & applied.one[pin]!)
      if (sweep.circular && (nextZero !== zero[pin] || nextOne !== one[pin])) changed = true
      zero[pin] = nextZero
      one[pin] = nextOne
    }
  }
}

/**
 * Q of a register after a rise of its clock, given what the array reads: data or clocked preset, unless reset or
 * preset hold it.
 */
export function nextStateWords(sweep: Sweep, index: number, result: Words): void {
  const { data, clockedPreset, reset, preset } = sweep.registers[index]!
  evaluateWords(sweep, data, result)
  const taken = { ...result }
  evaluateWords(sweep, clockedPreset, result)
  const takenZero = result.zero & taken.zero
  const takenOne = result.one | taken.one
  evaluateWords(sweep, reset, result)
  const held = { ...result }
  evaluateWords(sweep, preset, result)
  const neither = held.zero & result.zero
  const both = held.one & result.one
  const { zero: presetZero, one: presetOne } = result
  result.zero = (neither & takenZero) | (held.one & presetZero) | both
  result.one = (neither & takenOne) | (held.zero & presetOne) | both
}
