/** What can be done with a part from a state: the functions of its next states, and ways to other states. */
import type { Diagrams, Node } from '../../logic/diagrams'
import type { OutputFunctions } from '../../logic/functions'
import { placeOf } from '../../logic/logic'
import { afterHolds, stateBits, takenAt, type Levels, type StateBit } from '../../logic/register-steps'
import type { Ternary } from '../../logic/ternary'
import { X } from '../../logic/ternary'
import type { FaultFunctions } from '../grade/fault-functions'
import type { TesterPins } from './made-vector'

/** A move: pulsing a clock, or none, under levels of the pins. */
export interface Move {
  readonly pulsed: readonly number[]
  readonly levels: Levels
}

/** A part's moves, with a variable for each state. */
export interface StateMoves {
  readonly diagrams: Diagrams
  readonly bits: readonly StateBit[]
  /** Variable of the state of each cell with a register; −1 for others. */
  readonly variableOf: readonly number[]
  readonly moves: readonly Move[]
  readonly indexOfPin: (pin: number) => number
}

/** The moves of a part; null where resets chase one another without end. */
export function stateMoves({ space, functions }: FaultFunctions, { logic, clocks }: TesterPins): StateMoves | null {
  const { diagrams } = space
  const variable = ({ place }: OutputFunctions): number => space.indexOf('state', String(place))
  const bits = stateBits(functions, variable, () => true)
  const rest = afterHolds(diagrams, bits, [])
  if (!rest) return null
  const moves: Move[] = [{ pulsed: [], levels: rest }]
  for (const pin of clocks) {
    const clock = diagrams.variable(space.indexOf('pin', String(pin)))
    const levels = afterHolds(diagrams, bits, takenAt(diagrams, bits, clock))
    if (!levels) return null
    moves.unshift({ pulsed: [pin], levels })
  }
  return {
    diagrams,
    bits,
    variableOf: logic.cells.map((cell) => (cell.register ? space.indexOf('state', String(placeOf(cell))) : -1)),
    moves,
    indexOfPin: (pin) => space.indexOf('pin', String(pin)),
  }
}

/** The states of the registers as constants of their variables; what is unknown stays a variable. */
export function standing(
  { variableOf }: StateMoves,
  { logic }: TesterPins,
  states: readonly Ternary[],
): (Node | undefined)[] {
  const replacements: (Node | undefined)[] = []
  variableOf.forEach((variable, cell) => {
    const state = states[cell]!
    if (variable < 0 || state === X) return
    replacements[variable] = logic.cells[cell]!.register!.inverted ? 1 - state : state
  })
  return replacements
}

/** Where a function is 1 whatever the unknown states are. */
export function surely(moves: StateMoves, f: Node, replacements: readonly (Node | undefined)[]): Node {
  const { diagrams, bits } = moves
  const here = diagrams.substitute(f, replacements)
  const unknown = bits.map(({ variable }) => variable).filter((variable) => replacements[variable] === undefined)
  return unknown.length === 0 ? here : diagrams.not(diagrams.exists(diagrams.not(here), unknown))
}

/** A way to a state: levels of the pins by variable, and what is pulsed. */
export interface Way {
  readonly cube: Uint8Array
  readonly pulsed: readonly number[]
}

/** Most states that a search for a way looks at from one place: a search of all 2¹⁰ of a 22V10 ends. */
const MAX_SEARCHED = 1024

/**
 * The shortest way from a known state to one in which some of the functions can be 1; null where none was found. The
 * states that a state leads to are kept in `known`, since searches pass them again and again.
 */
export function wayTo(
  moves: StateMoves,
  { from, wanted }: { readonly from: number; readonly wanted: (state: number) => boolean },
  known: Map<number, readonly Step[]>,
): Way[] | null {
  const parents = new Map<number, { readonly before: number; readonly way: Way } | null>([[from, null]])
  const queue = [from]
  for (let at = 0; at < queue.length && at < MAX_SEARCHED; at++) {
    const state = queue[at]!
    if (at > 0 && wanted(state)) return pathTo(parents, state)
    const steps = known.get(state) ?? stepsFrom(moves, state)
    known.set(state, steps)
    for (const { to, way } of steps)
      if (!parents.has(to)) {
        parents.set(to, { before: state, way })
        queue.push(to)
      }
  }
  return null
}

function pathTo(parents: ReadonlyMap<number, { readonly before: number; readonly way: Way } | null>, to: number): Way[] {
  const path: Way[] = []
  for (let step = parents.get(to); step; step = parents.get(step.before)) path.unshift(step.way)
  return path
}

/** A state that can follow. */
interface Step {
  readonly to: number
  readonly way: Way
}

/** Most states that are listed behind one: wide parts lead everywhere, and some way on is enough. */
const MAX_STEPS = 64

/** A state as a number: bit i is the level of `bits[i]`. */
export function stateNumber({ bits }: StateMoves, replacements: readonly (Node | undefined)[]): number {
  return bits.reduce((word, { variable }, i) => word | ((replacements[variable] ?? 0) << i), 0)
}

/** The constants of a numbered state. */
export function stateConstants({ bits }: StateMoves, state: number): (Node | undefined)[] {
  const replacements: (Node | undefined)[] = []
  bits.forEach(({ variable }, i) => (replacements[variable] = (state >> i) & 1))
  return replacements
}

function stepsFrom(moves: StateMoves, state: number): Step[] {
  const { diagrams, bits } = moves
  const here = stateConstants(moves, state)
  const steps: Step[] = []
  for (const { pulsed, levels } of moves.moves) {
    const next = bits.map(({ variable }) => {
      const level = levels.levels[variable]
      return level === undefined ? here[variable]! : diagrams.substitute(level, here)
    })
    const split = (from: Node, bit: number, to: number): void => {
      if (from === 0 || steps.length >= MAX_STEPS) return
      if (bit === bits.length) {
        steps.push({ to, way: { cube: diagrams.shortestCube(from)!, pulsed } })
        return
      }
      split(diagrams.and(from, diagrams.not(next[bit]!)), bit + 1, to)
      split(diagrams.and(from, next[bit]!), bit + 1, to | (1 << bit))
    }
    split(diagrams.not(diagrams.substitute(levels.open, here)), 0, 0)
  }
  return steps
}
