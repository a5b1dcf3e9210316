/** Levels applied to the pins as words, a bit a pin. */
import type { Planes } from './masks'
import { NOTHING, UNSTEADY, type Applied } from './simulation-state'
import { X, type Ternary } from './ternary'

/** Levels applied to the pins, a bit a pin: can be 0, can be 1, nothing applied, no steady level. */
export interface AppliedWords {
  low: number
  high: number
  nothing: number
  unsteady: number
}

/** Nothing can be. */
export const createPlanes = (): Planes => ({ pins0: 0, pins1: 0, q0: 0, q1: 0 })
/** No levels. */
export const createApplied = (): AppliedWords => ({ low: 0, high: 0, nothing: 0, unsteady: 0 })

/** A ternary of "can be 0" and "can be 1". */
export function plane(zero: number, one: number): Ternary {
  return zero === 0 ? 1 : one === 0 ? 0 : X
}

/** Nothing is said of any pin. */
export function clearApplied(words: AppliedWords): void {
  words.low = words.high = words.nothing = words.unsteady = 0
}

/** Levels, a bit each, that can be 0, and that can be 1. */
const CAN_BE_0 = ~(1 << 1)
const CAN_BE_1 = ~(1 << 0)

/** Adds the level applied to a pin; without a branch, since levels follow no pattern that a processor could learn. */
export function addApplied(words: AppliedWords, pin: number, level: Applied): void {
  words.low |= ((CAN_BE_0 >> level) & 1) << pin
  words.high |= ((CAN_BE_1 >> level) & 1) << pin
  words.nothing |= (((1 << NOTHING) >> level) & 1) << pin
  words.unsteady |= (((1 << UNSTEADY) >> level) & 1) << pin
}

/** Turns the level of a pin, which is 0 or 1. */
export function turnApplied(words: AppliedWords, pin: number): void {
  words.low ^= 1 << pin
  words.high ^= 1 << pin
}

/** The level applied to a pin. */
export function appliedAt({ low, high, nothing, unsteady }: AppliedWords, pin: number): Applied {
  const bit = 1 << pin
  return nothing & bit ? NOTHING : unsteady & bit ? UNSTEADY : plane(low & bit, high & bit)
}

/** The levels applied to all pins (index = pin; 0: nothing). */
export function appliedLevels(words: AppliedWords, pinCount: number): Applied[] {
  return Array.from({ length: pinCount + 1 }, (_, pin) => (pin === 0 ? NOTHING : appliedAt(words, pin)))
}

/** Takes over levels. */
export function copyApplied(from: AppliedWords, to: AppliedWords): void {
  to.low = from.low
  to.high = from.high
  to.nothing = from.nothing
  to.unsteady = from.unsteady
}

/** Pins whose levels are not the same. */
export function movedPins(from: AppliedWords, to: AppliedWords): number {
  return (from.low ^ to.low) | (from.high ^ to.high) | (from.nothing ^ to.nothing) | (from.unsteady ^ to.unsteady)
}

/** Saves levels that are applied, and those that are read with the registers: eight words. */
export function writeState(
  { low, high, nothing, unsteady }: AppliedWords,
  { pins0, pins1, q0, q1 }: Planes,
  { into, at }: { readonly into: Int32Array; readonly at: number },
): void {
  into[at] = low
  into[at + 1] = high
  into[at + 2] = nothing
  into[at + 3] = unsteady
  into[at + 4] = pins0
  into[at + 5] = pins1
  into[at + 6] = q0
  into[at + 7] = q1
}

/** Takes over what `writeState` saved. */
export function readState(
  words: AppliedWords,
  planes: Planes,
  { from, at }: { readonly from: Int32Array; readonly at: number },
): void {
  words.low = from[at]!
  words.high = from[at + 1]!
  words.nothing = from[at + 2]!
  words.unsteady = from[at + 3]!
  planes.pins0 = from[at + 4]!
  planes.pins1 = from[at + 5]!
  planes.q0 = from[at + 6]!
  planes.q1 = from[at + 7]!
}
