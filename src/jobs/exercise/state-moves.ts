/**
 * What can be done with a part that stands in a state: the functions of what can be seen and of the states that follow,
 * with the known states as constants, so that they stay small.
 */
import type { Diagrams, Node } from '../../logic/diagrams'
import type { OutputFunctions } from '../../logic/functions'
import { afterHolds, stateBits, takenAt, type StateBit } from '../../logic/register-steps'
import { X, type Ternary } from '../../logic/ternary'
import { prepareFaultFunctions, type FaultFunctions } from '../grade/fault-functions'
import type { GradeTask } from '../grade/grade-task'
import type { TesterPins } from './made-vector'

/** States of registers by cell, as the levels that their pins show; undefined where unknown, or no register. */
export type ShownStates = readonly (0 | 1 | undefined)[]

/** The states that Q stands for. */
export function shownStates({ logic }: TesterPins, states: readonly Ternary[]): ShownStates {
  return logic.cells.map(({ register }, cell) => {
    const state = states[cell]!
    return !register || state === X ? undefined : register.inverted ? (state === 0 ? 1 : 0) : state
  })
}

/** A move: pulsing a clock, or none; the level of each register after it, in the order of `bits`. */
export interface Move {
  readonly pulsed: readonly number[]
  readonly levels: readonly Node[]
  /** Where the levels cannot be told. */
  readonly open: Node
}

/** A part in a state. */
export interface PartInState {
  readonly states: ShownStates
  readonly functions: FaultFunctions
  readonly diagrams: Diagrams
  readonly bits: readonly StateBit[]
  /** Cell of each of the bits. */
  readonly cells: readonly number[]
  readonly moves: readonly Move[]
  /** Variables of the states that are unknown, and of loops. */
  readonly unknown: readonly number[]
}

/** The functions of a part in a state; null where they grow past the limit, or resets chase one another. */
export function placeAt(
  task: GradeTask,
  { pins, literals, maxNodes }: PlaceGiven,
  states: ShownStates,
): PartInState | null {
  const functions = prepareFaultFunctions(task.decoded, task.fuses, { literals, maxNodes, states })
  if (!functions) return null
  const { space } = functions
  const { diagrams } = space
  const variableOf = ({ place }: OutputFunctions): number => space.indexOf('state', String(place))
  const bits = stateBits(functions.functions, variableOf, () => true)
  const cells = functions.functions.outputs.flatMap(({ register, cell }) => (register ? [cell] : []))
  const moves: Move[] = []
  const clocks = pins.clocks.map((pin) => {
    return { pulsed: [pin], clock: diagrams.variable(space.indexOf('pin', String(pin))) }
  })
  for (const { pulsed, clock } of [...clocks, { pulsed: [], clock: null }]) {
    const after = afterHolds(diagrams, bits, clock === null ? [] : takenAt(diagrams, bits, clock))
    if (!after) return null
    const levels = bits.map(({ variable }) => after.levels[variable] ?? diagrams.variable(variable))
    moves.push({ pulsed, levels, open: after.open })
  }
  const unknown = [
    ...bits.flatMap(({ variable }, i) => (states[cells[i]!] === undefined ? [variable] : [])),
    ...functions.functions.loops.map(({ pin }) => space.indexOf('loop', String(pin))),
  ]
  return { states, functions, diagrams, bits, cells, moves, unknown }
}

/** What stays the same over all places of a part. */
export interface PlaceGiven {
  readonly pins: TesterPins
  readonly literals: Parameters<typeof prepareFaultFunctions>[2]['literals']
  readonly maxNodes: number
}

/** Where a function is 1 whatever the unknown states are. */
export function surely({ diagrams, unknown }: PartInState, f: Node): Node {
  return unknown.length === 0 ? f : diagrams.not(diagrams.exists(diagrams.not(f), unknown))
}

/** Levels of pins by variable (2: any), and what is pulsed. */
export interface Way {
  readonly cube: Uint8Array
  readonly pulsed: readonly number[]
}

/** A state that can follow, and how. */
export interface NextState {
  readonly to: ShownStates
  readonly way: Way
}

/** Most states that are listed behind one: wide parts lead everywhere, and some way on is enough. */
const MAX_STEPS = 64

/** States that can follow one that is known. */
export function stepsFrom({ diagrams, moves, cells, states }: PartInState): NextState[] {
  const steps: NextState[] = []
  for (const { pulsed, levels, open } of moves) {
    const split = (from: Node, bit: number, to: (0 | 1 | undefined)[]): void => {
      if (from === 0 || steps.length >= MAX_STEPS) return
      if (bit === levels.length) {
        steps.push({ to, way: { cube: diagrams.shortestCube(from)!, pulsed } })
        return
      }
      for (const level of [0, 1] as const) {
        const next = [...to]
        next[cells[bit]!] = level
        const taken = level === 1 ? levels[bit]! : diagrams.not(levels[bit]!)
        split(diagrams.and(from, taken), bit + 1, next)
      }
    }
    split(diagrams.not(open), 0, [...states])
  }
  return steps
}
