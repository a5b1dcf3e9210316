/**
 * A map and all parts with one fault each, side by side under the same vectors: which faults each vector shows. A part
 * whose fault touches nothing under a vector is not run: it does what the map does.
 */
import type { FuseMap } from '../../fuses/fuse-map'
import type { DecodedLogic } from '../../inspect/inspection'
import {
  prepareChanges,
  termChanges,
  withChangedRow,
  type ChangeableLogic,
  type TermChange,
} from '../../logic/changed-terms'
import { prepareFast } from '../../logic/fast-logic'
import { STATE_WORDS } from '../../logic/fast-sequence'
import type { Logic } from '../../logic/logic'
import { LOOK_ENABLE } from '../../logic/part-sequence'
import { X } from '../../logic/ternary'
import { touchesIn } from './fault-runs'
import { faultyLogic, rowLiterals, toggled, type Fault } from './faults'
import { FastPart, SlowPart, type Conditions, type LivePart } from './live-part'

/** A part with a fault. */
interface FaultyPart {
  readonly fault: Fault
  readonly literals: readonly number[] | null
  readonly changes: readonly TermChange[]
  /** State, where it is not the map's own; its memory is kept. */
  readonly words: Int32Array
  differs: boolean
  /** A part of its own, once it cannot be run as a change of the map. */
  own: { readonly part: LivePart; readonly logic: Logic } | null
  lost: boolean
}

/** Looks expected at pins: 0, 1, or 2 for off. */
interface Expected {
  readonly pins: readonly number[]
  readonly looks: readonly number[]
}

/** A vector with what it expects. */
interface Vector {
  readonly conditions: Conditions
  readonly expected: Expected
}

/** The bench. Vectors must be such as the map itself passes. */
export class FaultBench {
  readonly part: LivePart
  readonly #changeable: ChangeableLogic | null
  readonly #given: { readonly decoded: DecodedLogic; readonly fuses: FuseMap; readonly start: 'unknown' | 'power-up' }
  #left: FaultyPart[]
  readonly #parts: ReadonlyMap<Fault, FaultyPart>
  readonly #history: Conditions[] = []
  /** Vectors that parts on the reference simulation have taken, all together. */
  slowSteps = 0

  constructor(
    given: { readonly decoded: DecodedLogic; readonly fuses: FuseMap; readonly start: 'unknown' | 'power-up' },
    faults: readonly Fault[],
  ) {
    this.#given = given
    const { decoded, fuses, start } = given
    const literals = rowLiterals(decoded, fuses)
    this.#changeable = prepareChanges(decoded.logic, (row) => literals[row]!)
    this.part = this.#changeable ? new FastPart(this.#changeable.fast, start) : new SlowPart(decoded.logic, start)
    this.#left = faults.map((fault): FaultyPart => {
      const changed = fault.row !== null && fault.literal !== null ? toggled(literals[fault.row]!, fault.literal) : null
      const changes = changed && this.#changeable ? termChanges(this.#changeable, fault.row!, changed) : []
      const words = new Int32Array(changed ? STATE_WORDS : 0)
      return { fault, literals: changed, changes, words, differs: false, own: null, lost: false }
    })
    this.#parts = new Map(this.#left.map((each) => [each.fault, each]))
  }

  /** Faults that no vector has shown. */
  get left(): readonly Fault[] {
    return this.#left.map(({ fault }) => fault)
  }

  /** True for faults whose parts are where the map is. */
  isTogether(fault: Fault): boolean {
    const part = this.#parts.get(fault)
    if (part === undefined || part.lost) return false
    if (!part.own && part.literals) return !part.differs
    const other = part.own ?? this.#begin(part)
    return other !== null && sameStates(other, { part: this.part, logic: this.#given.decoded.logic })
  }

  /** Runs a vector on all parts that are left; with `keep`, none is taken out for being shown. */
  run(conditions: Conditions, { keep = false }: { readonly keep?: boolean } = {}): Fault[] {
    const { part } = this
    const before = new Int32Array(STATE_WORDS)
    const fast = part instanceof FastPart ? part.sequence : null
    fast?.saveState(before, 0)
    const moments = fast?.trace() ?? []
    moments.push(...before.subarray(4, 8))
    if (!part.step(conditions)) throw new Error('a made vector is not followed')
    const expected = expectedOf(conditions)
    expected.pins.forEach((pin) => part.look(pin))
    const traced = fast && !fast.metUnknown ? moments.slice() : null
    const after = new Int32Array(STATE_WORDS)
    fast?.saveState(after, 0)
    const shown = this.#left.filter((each) => this.#shows(each, { conditions, expected, before, after, traced }))
    if (!keep) this.#left = this.#left.filter((each) => !shown.includes(each))
    this.#history.push(conditions)
    return shown.map(({ fault }) => fault)
  }

  #shows(
    each: FaultyPart,
    step: Vector & {
      readonly before: Int32Array
      readonly after: Int32Array
      readonly traced: readonly number[] | null
    },
  ): boolean {
    if (each.lost) return false
    if (each.own) {
      if (each.own.part instanceof SlowPart) this.slowSteps++
      return each.own.part.step(step.conditions) && isShown(each.own.part, step.expected)
    }
    if (each.literals === null || !this.#changeable) return this.#showsApart(each, step)
    if (!each.differs && step.traced && !touchesIn(step.traced, each.changes)) return false
    const result = withChangedRow(this.#changeable, each.fault.row!, {
      literals: each.literals,
      work: (fast) => {
        if (!fast) return null
        const part = new FastPart(fast, this.#given.start)
        part.sequence.loadState(each.differs ? each.words : step.before, 0)
        if (!part.step(step.conditions)) return null
        const found = isShown(part, step.expected)
        part.sequence.saveState(each.words, 0)
        each.differs = each.words.some((word, i) => word !== step.after[i])
        return found
      },
    })
    return result ?? this.#showsApart(each, step)
  }

  #showsApart(each: FaultyPart, { conditions, expected }: Vector): boolean {
    const own = this.#begin(each)
    return own !== null && own.part.step(conditions) && isShown(own.part, expected)
  }

  /** Builds a part of its own, and runs it up to now; null where that cannot be done. */
  #begin(each: FaultyPart): FaultyPart['own'] {
    const { decoded, fuses, start } = this.#given
    const logic = faultyLogic(decoded, fuses, each.fault)
    const fast = logic && prepareFast(logic)
    const part = logic && (fast ? new FastPart(fast, start) : new SlowPart(logic, start))
    if (!logic || !part || !this.#history.every((conditions) => part.step(conditions))) {
      each.lost = true
      return null
    }
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

function expectedOf(conditions: Conditions): Expected {
  const pins = conditions.flatMap((condition, pin) => ('LHZ'.includes(condition) && condition !== '' ? [pin] : []))
  return { pins, looks: pins.map((pin) => 'LHZ'.indexOf(conditions[pin]!)) }
}

function isShown(part: LivePart, { pins, looks }: Expected): boolean {
  return pins.some((pin, i) => {
    const look = part.look(pin)
    const [level, enable] = [look % LOOK_ENABLE, look >> 2]
    return looks[i] === 2 ? enable === 1 : level !== X && level !== looks[i]
  })
}
