/**
 * What a part may show while inputs change, as functions of everything else: ternary algebra (M. Yoeli, S. Rinon,
 * "Application of Ternary Algebra to the Study of Static Hazards", J. ACM 11(1), 1964) with each level as a pair of
 * functions, where it can be 0 and where it can be 1. Feedback is followed as by E. B. Eichelberger (IBM J. Res. Dev.
 * 9(2), 1965): uncertainty spreads until nothing changes, then it is removed with the inputs at their new levels.
 */
import type { Diagrams, Node } from './diagrams'
import type { PossibleLevels } from './functions'
import type { FreeVariable, Space } from './variables'
import {
  isBypassed,
  isContradiction,
  cellNameOf,
  type Cube,
  type Expression,
  type Logic,
  type LogicCell,
  type CellName,
} from './logic'
import { netlistOf } from './netlist'

/** Variables that change: the level of each, or null while it may be either. */
export type Changing = ReadonlyMap<number, 0 | 1 | null>

/** Levels of pins at which feedback is cut, by pin. */
export type CutLevels = ReadonlyMap<number, PossibleLevels>

/**
 * A change from one steady state to the next. On the way inputs may be either; `leaving` and `landed` have the feedback
 * still at its old levels, with the inputs on the way and at their new ones; `after` is what certainly stands at last.
 */
export interface Change {
  /** Where the levels at cut pins are at rest before the change. */
  readonly resting: Node
  readonly before: Stage
  readonly leaving: Stage
  readonly passing: Stage
  readonly landed: Stage
  readonly after: Stage
}

/** May be 0 and may be 1. */
export const EITHER: PossibleLevels = { zero: 1, one: 1 }
const CONSTANT_0: PossibleLevels = { zero: 1, one: 0 }

const inverted = ({ zero, one }: PossibleLevels, invert: boolean): PossibleLevels =>
  invert ? { zero: one, one: zero } : { zero, one }

/** The pins at which the feedback of a part is cut. */
export function cutPins(logic: Logic): readonly number[] {
  return netlistOf(logic).circles.flatMap((circle) => circle.flatMap((cell) => logic.cells[cell]!.pin ?? []))
}

/** The levels of a part at one stage of a change: while variables change, with cut pins at given levels. */
export class Stage {
  readonly #space: Space
  readonly #logic: Logic
  readonly #changing: Changing
  readonly #cuts: CutLevels
  readonly #readings: Map<number, PossibleLevels>

  constructor(space: Space, logic: Logic, changing: Changing, cuts: CutLevels) {
    this.#space = space
    this.#logic = logic
    this.#changing = changing
    this.#cuts = cuts
    this.#readings = new Map()
  }

  /** A product term; one with a signal and its complement is 0 whatever the signal does. */
  cube(cube: Cube): PossibleLevels {
    const { diagrams } = this.#space
    if (isContradiction(cube)) return CONSTANT_0
    let [zero, one]: [Node, Node] = [0, 1]
    for (const literal of cube.literals) {
      const level = inverted(this.#signal(literal >>> 1), (literal & 1) === 1)
      zero = diagrams.or(zero, level.zero)
      one = diagrams.and(one, level.one)
    }
    return { zero, one }
  }

  sum(cubes: readonly Cube[]): PossibleLevels {
    const { diagrams } = this.#space
    let [zero, one]: [Node, Node] = [1, 0]
    for (const cube of cubes) {
      const level = this.cube(cube)
      zero = diagrams.and(zero, level.zero)
      one = diagrams.or(one, level.one)
    }
    return { zero, one }
  }

  expression({ sums, inverted: invert }: Expression): PossibleLevels {
    const parity = sums
      .map((sum) => this.sum(sum))
      .reduce((a, b) => exclusive(this.#space.diagrams, a, b), CONSTANT_0)
    return inverted(parity, invert)
  }

  /** What a cell with a pin drives while it is enabled. */
  value(cell: LogicCell): PossibleLevels {
    const { register } = cell
    if (!cell.defined) return this.#free('unknown-value', cellNameOf(cell))
    if (!register) return cell.value ? this.expression(cell.value) : CONSTANT_0
    if (isBypassed(cell)) return inverted(this.expression(register.data), register.inverted)
    const state = this.#free('state', cellNameOf(cell))
    if (!register.bypass) return state
    const { diagrams } = this.#space
    const [reset, preset] = [this.expression(register.reset), this.expression(register.preset)]
    const through = { zero: diagrams.or(reset.zero, preset.zero), one: diagrams.and(reset.one, preset.one) }
    return chosen(diagrams, through, inverted(this.expression(register.data), register.inverted), state)
  }

  /** When a cell drives its pin. */
  enable(cell: LogicCell): PossibleLevels {
    return cell.defined ? this.expression(cell.enable) : this.#free('unknown', cellNameOf(cell))
  }

  /** The level that a pin is given, also where feedback is cut there. */
  given(pin: number): PossibleLevels {
    const { cellAt, drives } = netlistOf(this.#logic)
    const cell = cellAt.get(pin)
    const outside = this.#free('pin', pin)
    if (cell === undefined || drives[cell] === 'never') return outside
    const driving = this.#logic.cells[cell]!
    return chosen(this.#space.diagrams, this.enable(driving), this.value(driving), outside)
  }

  #signal(index: number): PossibleLevels {
    const signal = this.#logic.signals[index]!
    if (signal.kind === 'pin') return this.#reading(signal.pin)
    const cell = this.#logic.cells[signal.cell]!
    // The variable of a state is the level that the pin shows.
    const opposite = signal.inverted !== (cell.register?.inverted ?? false)
    return inverted(this.#free('state', cellNameOf(cell)), opposite)
  }

  #reading(pin: number): PossibleLevels {
    const known = this.#cuts.get(pin) ?? this.#readings.get(pin)
    if (known) return known
    const levels = this.given(pin)
    this.#readings.set(pin, levels)
    return levels
  }

  #free(kind: FreeVariable['kind'], place: CellName): PossibleLevels {
    const index = this.#space.indexOf(kind, String(place))
    const level = this.#changing.get(index)
    if (level === null) return EITHER
    if (level !== undefined) return { zero: level ? 0 : 1, one: level }
    return steady(this.#space.diagrams, index)
  }
}

function steady(diagrams: Diagrams, variable: number): PossibleLevels {
  const one = diagrams.variable(variable)
  return { zero: diagrams.not(one), one }
}

/** What is chosen by a level that may itself be either. */
function chosen(
  diagrams: Diagrams,
  on: PossibleLevels,
  inside: PossibleLevels,
  outside: PossibleLevels,
): PossibleLevels {
  const level = (which: 'zero' | 'one'): Node =>
    diagrams.or(diagrams.and(on.one, inside[which]), diagrams.and(on.zero, outside[which]))
  return { zero: level('zero'), one: level('one') }
}

function exclusive(diagrams: Diagrams, a: PossibleLevels, b: PossibleLevels): PossibleLevels {
  const both = (p: Node, q: Node, r: Node, s: Node): Node => diagrams.or(diagrams.and(p, q), diagrams.and(r, s))
  return { zero: both(a.zero, b.zero, a.one, b.one), one: both(a.one, b.zero, a.zero, b.one) }
}

/** Each cut pin at a level of its own. */
export function heldCuts({ diagrams, indexOf }: Space, logic: Logic): CutLevels {
  return new Map(cutPins(logic).map((pin) => [pin, steady(diagrams, indexOf('loop', String(pin)))]))
}

/** The change of one variable to a level, from where all cut pins rest. */
export function changeOf(space: Space, logic: Logic, variable: number, to: 0 | 1): Change {
  const at = (level: 0 | 1 | null): Changing => new Map([[variable, level]])
  return changeBetween(space, logic, [at(to ? 0 : 1), at(null), at(to)], heldCuts(space, logic))
}

/** A change of variables from levels, through others, to new ones, with cut pins at given levels before it. */
export function changeBetween(
  space: Space,
  logic: Logic,
  [from, through, to]: readonly [Changing, Changing, Changing],
  cuts: CutLevels,
): Change {
  const { diagrams } = space
  const stage = (changing: Changing, levels: CutLevels): Stage => new Stage(space, logic, changing, levels)
  const before = stage(from, cuts)
  const resting = [...cuts].reduce((all, [pin, { zero, one }]) => {
    const given = before.given(pin)
    return diagrams.and(all, diagrams.or(diagrams.and(zero, given.zero), diagrams.and(one, given.one)))
  }, 1)
  const unsure = settleCuts(cuts, (levels, pin, old) => {
    const { zero, one } = stage(through, levels).given(pin)
    return { zero: diagrams.or(old.zero, zero), one: diagrams.or(old.one, one) }
  })
  const sure = settleCuts(unsure, (levels, pin) => stage(to, levels).given(pin))
  return {
    resting,
    before,
    leaving: stage(through, cuts),
    passing: stage(through, unsure),
    landed: stage(to, cuts),
    after: stage(to, sure),
  }
}

/** Gives cut pins their next levels in turn until none changes. Levels only spread, or only shrink, so that it ends. */
export function settleCuts(
  from: CutLevels,
  next: (cuts: CutLevels, pin: number, old: PossibleLevels) => PossibleLevels,
): CutLevels {
  const levels = new Map(from)
  for (let changed = true; changed;) {
    changed = false
    for (const [pin, old] of levels) {
      const level = next(levels, pin, old)
      if (level.zero === old.zero && level.one === old.one) continue
      levels.set(pin, level)
      changed = true
    }
  }
  return levels
}
