/**
 * A map and all parts with one fault each, side by side under the same vectors: which faults each vector shows. A part
 * whose fault touches nothing under a vector is not run: it does what the map does.
 */
import type { FuseMap } from '../../fuses/fuse-map'
import type { DecodedLogic } from '../../inspect/inspection'
import {
  prepareChanges,
  termChanges,
  withChanges,
  type ChangeableLogic,
  type TermChange,
} from '../../logic/changed-terms'
import { STATE_WORDS } from '../../logic/fast-sequence'
import type { Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { X, type Ternary } from '../../logic/ternary'
import { isExpected } from '../vectors/conditions'
import { outcomeOf, type PinCheck } from '../vectors/run-vectors'
import { faultyLogic, rowLiterals, toggled, type Fault } from './faults'
import { FastPart, livePart, samePlace, SlowPart, type Conditions, type LivePart, type SlowPlace } from './live-part'
import { OpenMoments } from './open-moments'
import { changedCubes, changesSum, clockRows, differentMoments, type ChangedCube } from './touched-terms'

/** A part with a fault. */
interface FaultyPart {
  readonly fault: Fault
  readonly literals: readonly number[] | null
  readonly changes: readonly TermChange[]
  /** State, where it is not the map's own; its memory is kept. */
  readonly words: Int32Array
  differs: boolean
  /** Null where each vector is run: a part that is no change of a row, or of one that clocks. */
  readonly cubes: readonly ChangedCube[] | null
  /** A part of its own, once it cannot be run as a change of the map. */
  own: { readonly part: LivePart; readonly logic: Logic } | null
  lost: boolean
}

/** What is expected at pins. */
interface Expected {
  readonly pins: readonly number[]
  readonly levels: readonly PinCheck['expected'][]
}

/** A vector with what it expects. */
interface Vector {
  readonly conditions: Conditions
  readonly expected: Expected
}

interface BenchGiven {
  readonly decoded: DecodedLogic
  readonly fuses: FuseMap
  readonly start: 'unknown' | 'power-up'
  /** The map is on the reference simulation in any case. */
  readonly slow?: boolean
}

/** The bench. Vectors must be such as the map itself passes. */
export class FaultBench {
  readonly part: LivePart
  readonly #changeable: ChangeableLogic | null
  readonly #given: BenchGiven
  #left: FaultyPart[]
  readonly #parts: ReadonlyMap<Fault, FaultyPart>
  readonly #history: Conditions[] = []
  /** One part for all that are changes of the map, created with the first. */
  #changed: FastPart | null = null
  /** Vectors that parts on the reference simulation have taken, all together. */
  slowSteps = 0

  constructor(
    given: BenchGiven,
    faults: readonly Fault[],
  ) {
    this.#given = given
    const { decoded, fuses, start, slow } = given
    const literals = rowLiterals(decoded, fuses)
    const clocking = clockRows(decoded.logic)
    this.#changeable = slow ? null : prepareChanges(decoded.logic, (row) => literals[row]!)
    this.part = this.#changeable ? new FastPart(this.#changeable.fast, start) : new SlowPart(decoded.logic, start)
    this.#left = faults.map((fault): FaultyPart => {
      const changed = fault.row !== null && fault.literal !== null ? toggled(literals[fault.row]!, fault.literal) : null
      const changes = changed && this.#changeable ? termChanges(this.#changeable, fault.row!, changed) : []
      const words = new Int32Array(changed ? STATE_WORDS : 0)
      const cubes =
        changed && !this.#changeable && !clocking.has(fault.row!)
          ? changedCubes(decoded.logic, fault.row!, { own: literals[fault.row!]!, changed })
          : null
      // Wiring that runs in a circle may keep what it had: such a part is run by itself from the start.
      const follows = changed && this.#changeable && isFollowed(this.#changeable, changes)
      const kept = this.#changeable && !follows ? null : changed
      return { fault, literals: kept, changes, words, cubes, differs: false, own: null, lost: false }
    })
    this.#parts = new Map(this.#left.map((each) => [each.fault, each]))
  }

  /** Faults that no vector has shown. */
  get left(): readonly Fault[] {
    return this.#left.map(({ fault }) => fault)
  }

  /** Faults whose parts could not be followed. */
  get lost(): readonly Fault[] {
    return this.#left.flatMap(({ fault, lost }) => (lost ? [fault] : []))
  }

  /** True for faults whose parts are where the map is. */
  isTogether(fault: Fault): boolean {
    const part = this.#parts.get(fault)
    if (part === undefined || part.lost) return false
    if ((!part.own && part.literals) || part.cubes) return !part.differs
    const other = part.own ?? this.#begin(part)
    return other !== null && sameStates(other, { part: this.part, logic: this.#given.decoded.logic })
  }

  /** Runs a vector on all parts that are left; with `keep`, none is taken out for being shown. */
  run(conditions: Conditions, options: { readonly keep?: boolean } = {}): Fault[] {
    const shown = this.tryRun(conditions, options)
    if (!shown) throw new Error('a made vector is not followed')
    return shown
  }

  /** The same for any vector; null where the map itself is not followed, after which the bench is of no use. */
  tryRun(conditions: Conditions, { keep = false }: { readonly keep?: boolean } = {}): Fault[] | null {
    const { part } = this
    const slow = part instanceof SlowPart ? slowStep(part, conditions) : null
    if (slow) return this.#finish(conditions, keep, (each, step) => this.#showsSlowly(each, step, slow))
    const before = new Int32Array(STATE_WORDS)
    const after = new Int32Array(STATE_WORDS)
    const fast = part instanceof FastPart ? part.sequence : null
    fast?.saveState(before, 0)
    const traced = fast?.trace() ?? []
    // The levels before count too: holds are read there, and data where the clock rises and nothing else moves.
    traced.push(...before.subarray(4, 8))
    if (!part.step(conditions)) return null
    this.#expectedOf(conditions).pins.forEach((pin) => part.look(pin))
    const moments = fast && this.#changeable && !fast.metUnknown ? new OpenMoments(this.#changeable, traced) : null
    fast?.endTrace()
    fast?.saveState(after, 0)
    const fastStep = { before, after, moments }
    return this.#finish(conditions, keep, (each, step) => this.#shows(each, step, fastStep))
  }

  #finish(conditions: Conditions, keep: boolean, shows: (each: FaultyPart, step: Vector) => boolean): Fault[] {
    const step = { conditions, expected: this.#expectedOf(conditions) }
    const left: FaultyPart[] = []
    const shown: Fault[] = []
    for (const each of this.#left) {
      const isSeen = !each.lost && shows(each, step)
      if (isSeen) shown.push(each.fault)
      if (!isSeen || keep) left.push(each)
    }
    this.#left = left
    this.#history.push(conditions)
    return shown
  }

  #shows(each: FaultyPart, step: Vector, { before, after, moments }: FastStep): boolean {
    if (each.own) return this.#ownShows(each.own.part, step)
    if (each.literals === null || !this.#changeable) return this.#showsApart(each, step)
    if (!each.differs && moments && !moments.touches(each.fault.row!, each.changes)) return false
    const result = withChanges(this.#changeable, each.changes, (fast) => {
      if (!fast) return null
      const part = (this.#changed ??= new FastPart(fast, this.#given.start))
      part.sequence.become(fast)
      part.sequence.loadState(each.differs ? each.words : before, 0)
      if (!part.step(step.conditions)) return null
      const found = isShown(part, step.expected)
      part.sequence.saveState(each.words, 0)
      each.differs = each.words.some((word, i) => word !== after[i])
      return found
    })
    return result ?? this.#showsApart(each, step)
  }

  #ownShows(part: LivePart, { conditions, expected }: Vector): boolean {
    if (part instanceof SlowPart) this.slowSteps++
    return part.step(conditions) && isShown(part, expected)
  }

  #showsApart(each: FaultyPart, step: Vector): boolean {
    const own = this.#begin(each)
    return own !== null && this.#ownShows(own.part, step)
  }

  /** The same where the map itself is on the reference simulation. */
  #showsSlowly(each: FaultyPart, step: Vector, { before, after, moments }: SlowStep): boolean {
    if (!each.cubes) return each.own ? this.#ownShows(each.own.part, step) : this.#showsApart(each, step)
    if (!each.differs && moments && !changesSum(moments, each.cubes)) return false
    const { decoded, fuses, start } = this.#given
    const logic = each.own?.logic ?? faultyLogic(decoded, fuses, each.fault)
    if (!logic) {
      each.lost = true
      return false
    }
    each.own ??= { part: new SlowPart(logic, start), logic }
    const part = each.own.part as SlowPart
    if (!each.differs) part.goTo(before)
    const shown = this.#ownShows(part, step)
    each.differs = !samePlace(part.place, after)
    return shown
  }

  #expectedOf(conditions: Conditions): Expected {
    const { cellAt } = netlistOf(this.#given.decoded.logic)
    const judged = conditions.flatMap((level, pin) => (isExpected(level) && cellAt.has(pin) ? [{ pin, level }] : []))
    return { pins: judged.map(({ pin }) => pin), levels: judged.map(({ level }) => level) }
  }

  /** Builds a part of its own, and runs it up to now; null where that cannot be done. */
  #begin(each: FaultyPart): FaultyPart['own'] {
    const { decoded, fuses, start } = this.#given
    const logic = faultyLogic(decoded, fuses, each.fault)
    if (!logic) {
      each.lost = true
      return null
    }
    const part = livePart(logic, start)
    for (const conditions of this.#history) part.step(conditions)
    return (each.own = { part, logic })
  }
}

/** True where registers of both stand at the same cells and show the same, known or not. */
function sameStates(a: NonNullable<FaultyPart['own']>, b: NonNullable<FaultyPart['own']>): boolean {
  const shown = ({ part, logic }: typeof a): string => {
    const states = part.states()
    return logic.cells
      .map(({ register }, i) => (!register ? '-' : states[i] !== X && register.inverted ? 1 - states[i]! : states[i]))
      .join('')
  }
  return shown(a) === shown(b)
}

function isFollowed(changeable: ChangeableLogic, changes: readonly TermChange[]): boolean {
  return withChanges(changeable, changes, (fast) => fast !== null)
}

/** A vector that the map itself has taken on the fast evaluator. */
interface FastStep {
  readonly before: Int32Array
  readonly after: Int32Array
  /** Null where an unknown was met, so that what a fault does hangs on more than on its term. */
  readonly moments: OpenMoments | null
}

/** A vector that the map itself has taken on the reference simulation. */
interface SlowStep {
  readonly before: SlowPlace
  readonly after: SlowPlace
  /** Null where an unknown was met, so that what a fault does hangs on more than on its term. */
  readonly moments: readonly (readonly Ternary[])[] | null
}

function slowStep(part: SlowPart, conditions: Conditions): SlowStep {
  const before = part.place
  const recorder = part.record()
  part.step(conditions)
  // Every pin is looked at, judged or not: that notes its terms too, and costs little beside the parts with faults.
  conditions.forEach((condition, pin) => 'LHZ'.includes(condition) && pin > 0 && part.look(pin))
  const moments = recorder.metUnknown ? null : differentMoments(recorder.moments)
  return { before, after: part.place, moments }
}

function isShown(part: LivePart, { pins, levels }: Expected): boolean {
  return pins.some((pin, i) => outcomeOf(levels[i]!, part.look(pin), false) === 'failed')
}
