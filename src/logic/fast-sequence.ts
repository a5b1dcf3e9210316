/**
 * The fast evaluator of sequences: a part whose registers one pin clocks, its levels and states as bits of words, a
 * product term as one test, nothing allocated a step. It gives what the reference simulation gives, X included, or
 * refuses a step and leaves everything as it was, so that the reference can take it.
 */
import { takeSteps } from '../arguments/work'
import {
  addApplied,
  appliedAt,
  appliedLevels,
  clearApplied,
  copyApplied,
  createApplied,
  createPlanes,
  movedPins,
  plane,
  readState,
  writeState,
  type AppliedWords,
} from './applied-words'
import { readBy, type FastCell, type FastLogic, type FastRegister } from './fast-logic'
import { evaluateMasked, type Planes } from './masks'
import { UNSTEADY, type Simulation } from './simulation-state'
import { merge, X, type Ternary } from './ternary'
import { noteTried, setTried, type Trial, type Tried } from './tried-sources'

/** Words of a saved state. */
export const STATE_WORDS = 9

/** One run of a prepared logic. */
export class FastSequence {
  #fast: FastLogic
  readonly #openOrder: boolean
  /** False where a register that takes an unknown must be left to the reference, which knows why. */
  readonly #takesUnknown: boolean
  readonly #applied = createApplied()
  /** Levels read at pins, as far as terms read them, and registers. */
  readonly #now = createPlanes()
  readonly #next = createPlanes()
  readonly #sample = createPlanes()
  readonly #mixed = createApplied()
  #moments: number[] | null = null
  #metUnknown = false
  readonly #tried: Tried = { pins: 0, cells: 0, count: 0 }
  readonly #trial: Trial = { words: createApplied(), planes: createPlanes() }
  /** Levels of the resets before a change, and after. */
  readonly #wasHeld: Uint8Array
  readonly #isHeld: Uint8Array
  /** False while the levels come from elsewhere and may be another merge than settling gives. */
  #settled = false
  /** Pins that resets hang on, and whether one hangs on registers. */
  #holdPins = 0
  #holdsReadState = false

  constructor(fast: FastLogic, options: { readonly order: 'open' | 'data-then-clock'; readonly explain: boolean }) {
    this.#fast = fast
    this.#openOrder = options.order === 'open'
    this.#takesUnknown = !options.explain
    this.#wasHeld = new Uint8Array(fast.holds.length)
    this.#isHeld = new Uint8Array(fast.holds.length)
    this.become(fast)
  }

  /** Goes on as another logic with the same cells, registers and resets. */
  become(fast: FastLogic): void {
    this.#fast = fast
    const { pins, cells } = readBy(fast.holds)
    const isIndirect = (pins & fast.innerPins) !== 0
    this.#holdPins = isIndirect ? -1 : pins
    this.#holdsReadState = isIndirect || cells !== 0
  }

  /** From here on every moment at which terms are read is noted, four words each, as `Planes` has them. */
  trace(): number[] {
    this.#moments = []
    this.#metUnknown = false
    return this.#moments
  }

  /** Nothing is noted any more. */
  endTrace(): void {
    this.#moments = null
  }

  /** True where an unknown that few sources decide was met since `trace`. */
  get metUnknown(): boolean {
    return this.#metUnknown
  }

  /** The state as words, `STATE_WORDS` of them. */
  saveState(into: Int32Array, at: number): void {
    writeState(this.#applied, this.#now, { into, at })
    into[at + 8] = this.#settled ? 1 : 0
  }

  /** Takes over a saved state. */
  loadState(from: Int32Array, at: number): void {
    readState(this.#applied, this.#now, { from, at })
    this.#settled = from[at + 8] === 1
  }

  /** Takes over the state of a simulation. */
  load({ applied, readings, q }: Simulation): void {
    const words = this.#applied
    const planes = this.#now
    clearApplied(words)
    planes.pins0 = planes.pins1 = planes.q0 = planes.q1 = 0
    for (let pin = 1; pin < applied.length; pin++) {
      addApplied(words, pin, applied[pin]!)
      if (readings[pin] !== 1) planes.pins0 |= 1 << pin
      if (readings[pin] !== 0) planes.pins1 |= 1 << pin
    }
    q.forEach((value, cell) => {
      if (value !== 1) planes.q0 |= 1 << cell
      if (value !== 0) planes.q1 |= 1 << cell
    })
    this.#settled = false
  }

  /** Hands the state over to a simulation; reasons of what has become known are dropped. */
  store(simulation: Simulation): void {
    const { q0, q1 } = this.#now
    simulation.applied = appliedLevels(this.#applied, this.#fast.logic.pinCount)
    simulation.readings = simulation.readings.map((old, pin) => (pin === 0 ? old : this.#reading(pin)))
    simulation.q = simulation.q.map((_, cell) => plane(q0 & (1 << cell), q1 & (1 << cell)))
    simulation.qCauses = simulation.qCauses.map((causes, cell) => (simulation.q[cell] === X ? causes : []))
  }

  /**
   * A number for what is found at a pin, without an object: the level (3: off and nothing applied), plus 4 times the
   * enable.
   */
  look(pin: number): number {
    const cell = this.#fast.cellAt[pin]
    if (cell) {
      const enable = this.#enableOf(cell, this.#now)
      if (enable === 1) return 4 + this.#valueOf(cell, this.#now)
      if (enable === X) return 8 + this.#reading(pin)
    }
    const outside = appliedAt(this.#applied, pin)
    return outside === UNSTEADY ? X : outside
  }

  /** As `look`, with both values of few unknown sources tried where the level or the enable is unknown. */
  lookSurely(pin: number): number {
    const found = this.look(pin)
    const cell = this.#fast.cellAt[pin]
    const unknown = found >= 8 || (found >= 4 && (found & 3) === X)
    if (unknown) {
      this.#metUnknown = true
      this.#fast.noteSources?.()
    }
    if (!unknown || !cell || !noteTried(this.#tried, cell.sources, this.#applied, this.#now)) return found
    takeSteps((1 + this.#fast.inner.length) << this.#tried.count)
    const { bit } = cell
    // The level, the enable, each −1 before the first assignment.
    let level = -1
    let enable = -1
    for (let row = 0; row < 1 << this.#tried.count; row++) {
      setTried(this.#tried, row, { from: this.#applied, at: this.#now, into: this.#trial })
      const { words, planes } = this.#trial
      this.#settle(words, planes, null)
      const on = this.#enableOf(cell, planes)
      const outside = plane(words.low & bit, words.high & bit)
      const drives = on === 0 ? X : this.#valueOf(cell, planes)
      const reading = on === 1 ? drives : on === 0 ? outside : merge(drives, outside)
      level = level < 0 ? reading : merge(level as Ternary, reading)
      enable = enable < 0 ? on : merge(enable as Ternary, on)
      if (level === X && enable === X) return found
    }
    const outside = appliedAt(this.#applied, pin)
    if (enable === 0) return outside === UNSTEADY ? X : outside
    return 4 * enable + ((found & 3) === X ? level : found & 3)
  }

  /** What a register takes in every assignment of its few unknown sources; X where they differ, or none is tried. */
  #triedState(register: FastRegister, levels: AppliedWords): Ternary {
    this.#fast.noteSources?.()
    if (!noteTried(this.#tried, register.sources, levels, this.#sample)) return X
    takeSteps((1 + this.#fast.inner.length) << this.#tried.count)
    let state = -1
    for (let row = 0; row < 1 << this.#tried.count && state !== X; row++) {
      setTried(this.#tried, row, { from: levels, at: this.#sample, into: this.#trial })
      this.#settle(this.#trial.words, this.#trial.planes, null)
      const taken = this.#takenAt(register, this.#trial.planes)
      state = state < 0 ? taken : merge(state as Ternary, taken)
    }
    return state as Ternary
  }

  /** What a register takes at an edge with the signals as given. */
  #takenAt({ data, clockedPreset, hold }: FastRegister, planes: Planes): Ternary {
    const set = evaluateMasked(clockedPreset, planes)
    const taken = set === 1 ? 1 : set === X ? merge(1, evaluateMasked(data, planes)) : evaluateMasked(data, planes)
    const reset = hold < 0 ? 0 : evaluateMasked(this.#fast.holds[hold]!, planes)
    return reset === 1 ? 0 : reset === X ? merge(0, taken) : taken
  }

  #reading(pin: number): Ternary {
    const bit = 1 << pin
    const { low, high } = this.#applied
    const outside = plane(low & bit, high & bit)
    const cell = this.#fast.cellAt[pin]
    if (!cell) return outside
    const enable = this.#enableOf(cell, this.#now)
    const value = enable === 0 ? X : this.#valueOf(cell, this.#now)
    return enable === 1 ? value : enable === 0 ? outside : merge(value, outside)
  }

  #enableOf(cell: FastCell, planes: Planes): Ternary {
    return cell.defined ? evaluateMasked(cell.enable, planes) : X
  }

  #valueOf(cell: FastCell, planes: Planes): Ternary {
    if (!cell.defined) return X
    if (cell.value) return evaluateMasked(cell.value, planes)
    const state = plane(planes.q0 & cell.stateBit, planes.q1 & cell.stateBit)
    return cell.inverted && state !== X ? ((1 - state) as Ternary) : state
  }

  /** Settles the pins that are read; with `from`, what they may read on the way from there. */
  #settle(words: AppliedWords, planes: Planes, from: Planes | null): void {
    const { inner, innerPins } = this.#fast
    // Pins still to come are unknown: a term that holds one and its complement reads them before, and is 0.
    planes.pins0 = (words.low & ~innerPins) | (from ? from.pins0 : innerPins)
    planes.pins1 = (words.high & ~innerPins) | (from ? from.pins1 : innerPins)
    // On the way an output that is off lets through the old level or the new one.
    const low = from ? words.low | this.#applied.low : words.low
    const high = from ? words.high | this.#applied.high : words.high
    for (let i = 0; i < inner.length; i++) {
      const cell = inner[i]!
      const { bit } = cell
      const enable = this.#enableOf(cell, planes)
      let zero = from ? from.pins0 & bit : 0
      let one = from ? from.pins1 & bit : 0
      if (enable !== 1) {
        zero |= low & bit
        one |= high & bit
      }
      if (enable !== 0) {
        const value = this.#valueOf(cell, planes)
        if (value !== 1) zero |= bit
        if (value !== 0) one |= bit
      }
      planes.pins0 = (planes.pins0 & ~bit) | zero
      planes.pins1 = (planes.pins1 & ~bit) | one
    }
    this.#moments?.push(planes.pins0, planes.pins1, planes.q0, planes.q1)
  }

  /** Applies levels and takes the clock edge that follows. False, with nothing changed, where the reference must. */
  apply(to: AppliedWords): boolean {
    const { clock, holds } = this.#fast
    const now = this.#now
    const next = this.#next
    next.q0 = now.q0
    next.q1 = now.q1
    let rises = false
    if (clock !== 0) {
      const from = plane(now.pins0 & clock, now.pins1 & clock)
      const level = plane(to.low & clock, to.high & clock)
      if (level === X || (level === 1 && from === X)) return false
      rises = level === 1 && from === 0
      if (rises && !this.#takeEdge(to)) return false
    }
    // From here on `next` has the new states, and `now` the old ones and the levels before.
    if (holds.length === 0) this.#settle(to, next, null)
    else if (this.#ordersCount(to, rises) || !this.#hold(to)) return false
    now.pins0 = next.pins0
    now.pins1 = next.pins1
    now.q0 = next.q0
    now.q1 = next.q1
    copyApplied(to, this.#applied)
    this.#settled = true
    return true
  }

  /** True where the order may count in which the clock and pins of resets change: the reference tries each. */
  #ordersCount(to: AppliedWords, rises: boolean): boolean {
    if (!this.#openOrder) return false
    const { clock, registers, holds } = this.#fast
    const moved = movedPins(this.#applied, to) & this.#holdPins
    if (rises ? (moved & ~clock) === 0 : !this.#holdsReadState || (moved & (moved - 1)) === 0) return false
    if (rises && this.#holdsReadState) return true
    const passing = this.#sample
    passing.q0 = this.#now.q0
    passing.q1 = this.#now.q1
    this.#settle(to, passing, this.#now)
    // Without an edge a register that is 0 already stays so.
    return registers.some(
      ({ bit, hold }) => hold >= 0 && (rises || passing.q1 & bit) && evaluateMasked(holds[hold]!, passing) === X,
    )
  }

  /** What the registers take: data as before the edge, other pins at their new level or on their way to it. */
  #takeEdge(to: AppliedWords): boolean {
    const { clock } = this.#fast
    const before = this.#applied
    const sample = this.#sample
    const moved = movedPins(before, to) & ~clock
    sample.q0 = this.#now.q0
    sample.q1 = this.#now.q1
    if (moved === 0 && this.#settled) {
      sample.pins0 = this.#now.pins0
      sample.pins1 = this.#now.pins1
      return this.#takeData(before)
    }
    const mixed = this.#mixed
    mixed.low = (to.low & ~clock) | (before.low & clock)
    mixed.high = (to.high & ~clock) | (before.high & clock)
    mixed.unsteady = (to.unsteady & ~clock) | (before.unsteady & clock)
    this.#settle(mixed, sample, null)
    if (!this.#takeData(mixed)) return false
    if (!this.#openOrder || moved === 0) return true
    mixed.low |= moved
    mixed.high |= moved
    this.#settle(mixed, sample, null)
    return this.#takeData(null)
  }

  /**
   * Takes data of the sampled moment, at which levels are applied as given, into `next`; or, without levels, tells
   * whether they are what `next` has, where that is known.
   */
  #takeData(levels: AppliedWords | null): boolean {
    const { registers } = this.#fast
    const sample = this.#sample
    const next = this.#next
    for (let i = 0; i < registers.length; i++) {
      const register = registers[i]!
      const { bit } = register
      let taken = this.#takenAt(register, sample)
      if (!levels) {
        const known = plane(next.q0 & bit, next.q1 & bit)
        if (known !== X && known !== taken) return false
        continue
      }
      if (taken === X) {
        this.#metUnknown = true
        taken = this.#triedState(register, levels)
      }
      if (taken === X && !this.#takesUnknown) return false
      next.q0 = taken === 1 ? next.q0 & ~bit : next.q0 | bit
      next.q1 = taken === 0 ? next.q1 & ~bit : next.q1 | bit
    }
    return true
  }

  /** Settles with resets, whose pulses on the way count too, until no register changes. */
  #hold(to: AppliedWords): boolean {
    const { holds, registers } = this.#fast
    const next = this.#next
    const sample = this.#sample
    const [q0, q1] = [next.q0, next.q1]
    // The edge is taken with the levels before; the resets of this round still see the states before it.
    next.q0 = this.#now.q0
    next.q1 = this.#now.q1
    for (let i = 0; i < holds.length; i++) this.#wasHeld[i] = evaluateMasked(holds[i]!, this.#now)
    let taken0 = q0
    let taken1 = q1
    let from: Planes = this.#now
    for (;;) {
      if (this.#openOrder) {
        sample.q0 = next.q0
        sample.q1 = next.q1
        this.#settle(to, sample, from)
      }
      this.#settle(to, next, null)
      for (let i = 0; i < holds.length; i++) {
        const level = evaluateMasked(holds[i]!, next)
        const pulse =
          level === 0 && this.#openOrder && this.#wasHeld[i] === 0 && evaluateMasked(holds[i]!, sample) === X
        this.#isHeld[i] = pulse ? X : level
        this.#wasHeld[i] = level
      }
      for (let i = 0; i < registers.length; i++) {
        const { bit, hold } = registers[i]!
        const reset = hold < 0 ? 0 : this.#isHeld[hold]!
        if (reset === 0 || (taken1 & bit) === 0) continue
        if (reset === X && (taken0 & bit) === 0 && !this.#takesUnknown) return false
        taken0 |= bit
        if (reset === 1) taken1 &= ~bit
      }
      if (taken0 === next.q0 && taken1 === next.q1) return true
      from = this.#keepLevels(next)
      next.q0 = taken0
      next.q1 = taken1
    }
  }

  readonly #kept = createPlanes()

  #keepLevels({ pins0, pins1 }: Planes): Planes {
    this.#kept.pins0 = pins0
    this.#kept.pins1 = pins1
    return this.#kept
  }
}
