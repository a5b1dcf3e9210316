/** A part that takes test vectors one at a time and can be put back, on the fast evaluator or on the reference. */
import { takeSteps } from '../../arguments/work'
import { prepareFast, type FastLogic } from '../../logic/fast-logic'
import { addApplied, appliedLevels, clearApplied, turnApplied, type AppliedWords } from '../../logic/applied-words'
import { FastSequence, STATE_WORDS } from '../../logic/fast-sequence'
import type { Logic } from '../../logic/logic'
import { LOOK_ENABLE } from '../../logic/part-sequence'
import { applyLevels, applyPulses } from '../../logic/simulate'
import {
  levelAt,
  NOTHING,
  startSimulation,
  UNSTEADY,
  type Applied,
  type Recorder,
  type Simulation,
} from '../../logic/simulation-state'
import { X, type Ternary } from '../../logic/ternary'
import { LEVELS } from '../vectors/conditions'

/** Conditions by pin number, place 0 unused; X is an unknown level. */
export type Conditions = readonly string[]

/** A running part. */
export interface LivePart {
  /** Takes a vector; false, with the part in no certain state, where the evaluator cannot follow it. */
  step(conditions: Conditions, moment?: () => void): boolean
  /** What is found at a pin, as `PartSequence.look` says. */
  look(pin: number): number
  /** Q of each register, by cell. */
  states(): readonly Ternary[]
  /** Remembers where the part is, and puts it back there. */
  mark(): void
  back(): void
}

/** The pins that a vector pulses. */
export function pulsedPins(conditions: Conditions): number[] {
  return conditions.flatMap((condition, pin) => (condition === 'C' || condition === 'K' ? [pin] : []))
}

function levelOf(condition: string | undefined): Applied {
  if (condition === undefined) return NOTHING
  return condition === 'X' ? X : (LEVELS[condition] ?? UNSTEADY)
}

/** Steps of a vector on the fast evaluator, and on the reference simulation besides those of settling. */
const FAST_STEPS = 24
const SLOW_STEPS = 40

/** A part on the fast evaluator; steps that it cannot follow are the reference's where that may help. */
export class FastPart implements LivePart {
  readonly sequence: FastSequence
  readonly #logic: Logic
  readonly #reference: Simulation | null
  readonly #words: AppliedWords = { low: 0, high: 0, nothing: 0, unsteady: 0 }
  readonly #marked = new Int32Array(STATE_WORDS)
  readonly #now = new Int32Array(STATE_WORDS)

  constructor(fast: FastLogic, registers: 'unknown' | 'power-up', help: 'reference' | 'none' = 'none') {
    this.#logic = fast.logic
    this.sequence = new FastSequence(fast, { order: 'open', explain: false })
    const start = startSimulation(fast.logic, { registers, explain: false })
    this.sequence.load(start)
    this.#reference = help === 'reference' ? start : null
  }

  step(conditions: Conditions, moment?: () => void): boolean {
    takeSteps(FAST_STEPS)
    const words = this.#words
    clearApplied(words)
    for (let pin = 1; pin <= this.#logic.pinCount; pin++) addApplied(words, pin, levelOf(conditions[pin]))
    if (!this.#apply(words)) return false
    moment?.()
    const pulsed = pulsedPins(conditions)
    if (pulsed.length > 1) {
      const isDone = this.#byReference((simulation) => applyPulses(simulation, pulsed))
      if (isDone) moment?.()
      return isDone
    }
    for (const pin of [...pulsed, ...pulsed]) {
      turnApplied(words, pin)
      if (!this.#apply(words)) return false
      moment?.()
    }
    return true
  }

  #apply(words: AppliedWords): boolean {
    if (this.sequence.apply(words)) return true
    const levels = appliedLevels(words, this.#logic.pinCount)
    return this.#byReference((simulation) => applyLevels(simulation, levels))
  }

  #byReference(step: (simulation: Simulation) => void): boolean {
    const simulation = this.#reference
    if (!simulation) return false
    takeSteps(SLOW_STEPS)
    this.sequence.store(simulation)
    step(simulation)
    this.sequence.load(simulation)
    return true
  }

  look(pin: number): number {
    return this.sequence.lookSurely(pin)
  }

  states(): readonly Ternary[] {
    this.sequence.saveState(this.#now, 0)
    const [q0, q1] = [this.#now[6]!, this.#now[7]!]
    return this.#logic.cells.map((_, cell) => ((q0 >> cell) & 1 ? ((q1 >> cell) & 1 ? X : 0) : 1))
  }

  mark(): void {
    this.sequence.saveState(this.#marked, 0)
  }

  back(): void {
    this.sequence.loadState(this.#marked, 0)
  }
}

/** Where a part on the reference simulation is: levels applied, levels read, states. */
export type SlowPlace = Pick<Simulation, 'applied' | 'readings' | 'q'>

/** True where two parts of one logic are at the same place. */
export function samePlace(a: SlowPlace, b: SlowPlace): boolean {
  const same = (one: readonly number[], other: readonly number[]): boolean => one.every((each, i) => each === other[i])
  return same(a.q, b.q) && same(a.readings, b.readings) && same(a.applied, b.applied)
}

/** A part on the reference simulation. */
export class SlowPart implements LivePart {
  #simulation: Simulation
  #marked: Simulation | null = null

  constructor(logic: Logic, registers: 'unknown' | 'power-up') {
    this.#simulation = startSimulation(logic, { registers, explain: false })
  }

  step(conditions: Conditions, moment?: () => void): boolean {
    takeSteps(SLOW_STEPS)
    const { pinCount } = this.#simulation.logic
    const levels = Array.from({ length: pinCount + 1 }, (_, pin) => (pin === 0 ? NOTHING : levelOf(conditions[pin])))
    applyLevels(this.#simulation, levels)
    moment?.()
    applyPulses(this.#simulation, pulsedPins(conditions))
    moment?.()
    return true
  }

  look(pin: number): number {
    const { level, enable } = levelAt(this.#simulation, pin)
    return level + LOOK_ENABLE * enable
  }

  states(): readonly Ternary[] {
    return this.#simulation.q
  }

  mark(): void {
    this.#marked = { ...this.#simulation }
  }

  /** Where the part is. */
  get place(): SlowPlace {
    const { applied, readings, q } = this.#simulation
    return { applied, readings, q }
  }

  /** Goes where another part is. */
  goTo({ applied, readings, q }: SlowPlace): void {
    this.#simulation = { ...this.#simulation, applied: [...applied], readings: [...readings], q: [...q] }
  }

  /** From here on every moment is noted. */
  record(): Recorder {
    const recorder: Recorder = { moments: [], metUnknown: false }
    this.#simulation.recorder = recorder
    return recorder
  }

  back(): void {
    if (this.#marked) this.#simulation = { ...this.#marked }
  }
}

/** A part before its first vector, on the fast evaluator where that can run it. */
export function livePart(logic: Logic, registers: 'unknown' | 'power-up'): LivePart {
  const fast = prepareFast(logic)
  return fast ? new FastPart(fast, registers, 'reference') : new SlowPart(logic, registers)
}
