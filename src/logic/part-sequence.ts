/** A part under a sequence of levels: the fast evaluator as far as it goes, the reference simulation for the rest. */
import type { Logic } from './logic'
import { addApplied, clearApplied, turnApplied, type AppliedWords } from './applied-words'
import { FastSequence } from './fast-sequence'
import { prepareFast, type FastLogic } from './fast-logic'
import { netlistOf } from './netlist'
import { applyLevels, applyPulses } from './simulate'
import {
  levelAt,
  startSimulation,
  type Applied,
  type FoundLevel,
  type Simulation,
  type SimulationOptions,
} from './simulation-state'
import { not, type Ternary } from './ternary'

/** Made once for each logic; null for one that only the reference can do. Created with the first. */
let made: WeakMap<Logic, FastLogic | null> | null = null

function fastLogicOf(logic: Logic): FastLogic | null {
  made ??= new WeakMap()
  const known = made.get(logic)
  if (known !== undefined) return known
  const fast = prepareFast(logic)
  made.set(logic, fast)
  return fast
}

/** One run. The state is with the fast evaluator, with the reference, or with both. */
export class PartSequence {
  readonly #simulation: Simulation
  readonly #fast: FastSequence | null
  readonly #readPins: ReadonlySet<number>
  #fastIsCurrent = false
  #referenceIsCurrent = true
  /** The levels applied last. */
  readonly #words: AppliedWords = { low: 0, high: 0, nothing: 0, unsteady: 0 }

  constructor(logic: Logic, options: SimulationOptions & { readonly reference?: boolean } = {}) {
    const simulation = startSimulation(logic, options)
    const fast = options.reference ? null : fastLogicOf(logic)
    this.#simulation = simulation
    this.#fast = fast && new FastSequence(fast, simulation.options)
    this.#readPins = netlistOf(logic).readPins
  }

  /** The reference simulation at the present state, to look at or to change. */
  reference(change: 'look' | 'change'): Simulation {
    if (!this.#referenceIsCurrent) this.#fast!.store(this.#simulation)
    this.#referenceIsCurrent = true
    if (change === 'change') this.#fastIsCurrent = false
    return this.#simulation
  }

  /** Saves the whole state as `FastSequence` has it; false, with nothing saved, where only the reference has it. */
  saveState(into: Int32Array, at: number): boolean {
    if (!this.#fastIsCurrent) return false
    this.#fast!.saveState(into, at)
    return true
  }

  /** Applies levels to all pins (index = pin); the list is not kept. */
  apply(levels: readonly Applied[]): void {
    if (this.#fast) {
      const words = this.#words
      clearApplied(words)
      for (let pin = 1; pin < levels.length; pin++) addApplied(words, pin, levels[pin]!)
      if (this.#tryFast(words)) return
    }
    applyLevels(this.reference('change'), levels)
  }

  #tryFast(levels: AppliedWords): boolean {
    const fast = this.#fast!
    if (!this.#fastIsCurrent) fast.load(this.#simulation)
    this.#fastIsCurrent = true
    if (!fast.apply(levels)) return false
    this.#referenceIsCurrent = false
    return true
  }

  /** Pulses pins away from their levels, which must be 0 or 1, and back. */
  pulse(pins: readonly number[]): void {
    const read = pins.filter((pin) => this.#readPins.has(pin))
    if (read.length === 0) return
    if (read.length > 1 || !this.#fast) return applyPulses(this.reference('change'), read)
    this.#turn(read[0]!)
    this.#turn(read[0]!)
  }

  /** Applies the other level to one pin. */
  #turn(pin: number): void {
    turnApplied(this.#words, pin)
    if (this.#tryFast(this.#words)) return
    const simulation = this.reference('change')
    applyLevels(
      simulation,
      simulation.applied.map((level, at) => (at === pin ? not(level as Ternary) : level)),
    )
  }

  /** What is found at a pin, as `levelAt` says; an object only where something is unknown. */
  look(pin: number): number {
    const fast = this.#fast
    if (!fast || this.#referenceIsCurrent) return lookOf(levelAt(this.#simulation, pin))
    return fast.lookSurely(pin)
  }

  /** What is found at a pin, with what the output there would drive. */
  found(pin: number): FoundLevel {
    return levelAt(this.reference('look'), pin)
  }
}

/** A level found and four times the enable of the output there, in one number. */
export const LOOK_ENABLE = 4

function lookOf({ level, enable }: FoundLevel): number {
  return level + LOOK_ENABLE * enable
}
