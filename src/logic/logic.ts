/**
 * What a programmed part does, free of fuse numbers and files: signals, product terms as cubes, outputs with enable,
 * registers with clock. Each cube carries the tag of where it came from, which nothing here looks into.
 */
import { madeBy } from '../arguments/arguments'

/** Where a value can be picked up: the level at a pin, or the Q of the register of a cell (or its complement). */
export type Signal =
  | { readonly kind: 'pin'; readonly pin: number }
  | { readonly kind: 'register'; readonly cell: number; readonly inverted: boolean }

/**
 * A literal: `2 × signal` for the signal, `2 × signal + 1` for its complement; `signal` counts in `Logic.signals`.
 * A packed number, so that millions of them stay cheap.
 */
export type Literal = number

/**
 * A product term: the AND of its literals. No literal: constant 1. A signal with its complement: constant 0, whatever
 * the signal is, unknown included. `origin` names the array row it came from (−1: none, it is part of the structure).
 */
export interface Cube {
  /** What is ANDed. */
  readonly literals: readonly Literal[]
  /** Array row that it came from; −1 for none. */
  readonly origin: number
}

/**
 * An exclusive-or of sums of products, inverted or not. No sums: constant 0 before inversion; a sum without cubes is
 * 0.
 */
export interface Expression {
  /** Sums of products, exclusive-ored. */
  readonly sums: readonly (readonly Cube[])[]
  /** True where the whole is inverted. */
  readonly inverted: boolean
}

/**
 * A register: Q takes `data` at a rising edge of `clock`, or 1 where `clockedPreset` is 1 then. `reset` and `preset`
 * hold Q at 0 and at 1 while they are 1, whatever the clock does. The pin shows Q, or its complement where `inverted`.
 */
export interface Register {
  /** What Q takes at an edge. */
  readonly data: Expression
  /** Q takes its data as this rises. */
  readonly clock: Expression
  /** Holds Q at 0 while it is 1. */
  readonly reset: Expression
  /** Holds Q at 1 while it is 1. */
  readonly preset: Expression
  /** Where it is 1 at an edge, Q takes 1. */
  readonly clockedPreset: Expression
  /** While it is 1 and the output is off, Q follows the level applied to the pin, which the pin would then show. */
  readonly load: Expression
  /** True when reset and preset together let `data` through to the pin, past the register. */
  readonly bypass: boolean
  /** True when the output buffer inverts: pin = ¬Q. */
  readonly inverted: boolean
  /** Q after power-up as the data sheet has it; null where none is published. */
  readonly powerUp: 0 | 1 | null
}

/**
 * A cell. One with a pin drives it with `value` (or its register) while `enable` is 1, and is off while it is 0; a cell
 * that serves as an input only is never enabled. One without a pin is buried: its register is read by terms alone.
 * A cell whose behaviour no data sheet defines has `defined: false`: whether and what it drives is unknown.
 */
export interface LogicCell {
  /** Number on the DIP package; null for a buried cell. */
  readonly pin: number | null
  /** The pin's number, or the name of a buried cell, by which its state is called in texts and results. */
  readonly name: string
  /** False where no data sheet defines what the cell does. */
  readonly defined: boolean
  /** While it is 1 the pin is driven. */
  readonly enable: Expression
  /** Level at the pin while enabled, for a combinational output; null for a registered one. */
  readonly value: Expression | null
  /** The register of the cell; null for a combinational one. */
  readonly register: Register | null
}

/** A cell with a pin. */
export type PinCell = LogicCell & { readonly pin: number }

/** What one programmed part does. */
export interface Logic {
  /** Number of pins of the DIP package. */
  readonly pinCount: number
  /** Pins that carry supply, and so no logic. */
  readonly supplyPins: readonly number[]
  /** What literals stand for, by index. */
  readonly signals: readonly Signal[]
  /** Outputs and buried cells, by index. */
  readonly cells: readonly LogicCell[]
}

/** Always 1: a sum with one empty cube. */
export const ALWAYS: Expression = { sums: [[{ literals: [], origin: -1 }]], inverted: false }
/** Always 0. */
export const NEVER: Expression = { sums: [], inverted: false }

/** True when the cube holds a signal and its complement, so that it is constant 0. */
export function isContradiction(cube: Cube): boolean {
  const { literals } = cube
  return literals.some((literal) => (literal & 1) === 0 && literals.includes(literal + 1))
}

/** The cubes of an expression, all sums together. */
export function cubesOf(expression: Expression): readonly Cube[] {
  return expression.sums.flat()
}

/** The value of an expression that no signal can change: 0 or 1; null when it is not constant by its structure. */
export function structuralConstant(expression: Expression): 0 | 1 | null {
  let value: number = expression.inverted ? 1 : 0
  for (const sum of expression.sums) {
    const live = sum.filter((cube) => !isContradiction(cube))
    if (live.some((cube) => cube.literals.length === 0)) value ^= 1
    else if (live.length > 0) return null
  }
  return value as 0 | 1
}

/** True for a register that reset and preset, both always 1, bypass for good. */
export function isBypassed({ register }: LogicCell): boolean {
  return (
    register !== null &&
    register.bypass &&
    structuralConstant(register.reset) === 1 &&
    structuralConstant(register.preset) === 1
  )
}

/** Every expression of a cell. */
export function expressionsOf({ enable, value, register }: LogicCell): readonly Expression[] {
  return [
    enable,
    ...(value ? [value] : []),
    ...(register
      ? [register.data, register.clock, register.reset, register.preset, register.clockedPreset, register.load]
      : []),
  ]
}

/** The signals that expressions use in cubes that can be 1, as indices into `Logic.signals`, ascending. */
export function usedSignals(expressions: readonly Expression[]): readonly number[] {
  const used = new Set<number>()
  for (const { sums } of expressions)
    for (const sum of sums)
      for (const cube of sum) if (!isContradiction(cube)) for (const literal of cube.literals) used.add(literal >>> 1)
  return [...used].sort((a, b) => a - b)
}

/** Cells that have a pin, in the order of the cells. */
export function pinCells({ cells }: Logic): readonly PinCell[] {
  return cells.filter((cell): cell is PinCell => cell.pin !== null)
}

/** A signal by name: a pin by its number, the Q of a cell as `q` and its name. */
export function signalName({ cells }: Logic, signal: Signal): string {
  return signal.kind === 'pin' ? String(signal.pin) : `q${cells[signal.cell]!.name}`
}

/** What a cell is known by: the number of its pin, or its name where it is buried. */
export type CellName = number | string

/** The place of a cell. */
export function cellNameOf({ pin, name }: LogicCell): CellName {
  return pin ?? name
}

const LOGIC = { keys: ['signals', 'cells', 'pinCount', 'supplyPins'], maker: 'the logic of a decoded part' }

/** The logic of a decoded part; throws TypeError for anything else. */
export function checkedLogic(logic: Logic, path: string): Logic {
  return madeBy(logic, path, LOGIC)
}
