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

/** The level applied to a pin. */
export function appliedAt({ low, high, nothing, unsteady }: AppliedWords, pin: number): Applied {
  const bit = 1 << pin
  return nothing & bit ? NOTHING : unsteady & bit ? UNSTEADY : plane(low & bit, high & bit)
}

/** Takes over levels. */
export function copyApplied(from: AppliedWords, to: AppliedWords): void {
  to.low = from.low
  to.high = from.high
  to.nothing = from.nothing
  to.unsteady = from.unsteady
}
