/**
 * Two registered parts followed together from their start, or from states that they share: all pairs of states that
 * inputs can lead to, by edges of the clock, until an output differs or no new pair is left. Inputs are applied with
 * the clock low, resets and presets act, the outputs are looked at, the clock rises, resets and presets act again;
 * while it is high the inputs may change, and the outputs are looked at as well.
 */
import { nullOn, type Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import { createDiagrams, NodeLimitError, type Diagrams, type Node } from '../../logic/diagrams'
import { nameVariables, planVariables, type NameOf, type Space } from '../../logic/variables'
import { comparePins } from './compare-output'
import { freePins, startLevel, type LogicSide } from './logic-sides'
import { machineOf, movesOf, replacing, type Machine, type Moves } from './machine-moves'
import { fixing, reduced, visibleDifferences, type Start, type State } from './reduced-machines'
import type { Seen } from './replay'

/** Levels applied in one step, by pin name; pins left out do not matter. */
export type MachineInputs = Readonly<Record<string, 0 | 1>>

/** States of the registers of both sides, as their enabled pins show them, by name. */
export interface SharedState {
  readonly intended: Readonly<Record<string, 0 | 1>>
  readonly readback: Readonly<Record<string, 0 | 1>>
}

/** What following two machines gave. */
export interface MachineResult {
  /**
   * `equal`: no difference from the start on. `different`: `sequence` leads to one. `open`: not found out, `reason`
   * says why.
   */
  readonly result: 'equal' | 'different' | 'open'
  /** Why it was not found out; null unless open. */
  readonly reason: 'start-unknown' | 'several-clocks' | 'loops' | 'unsettled-resets' | 'loads' | 'limit' | null
  /** Pairs of states visited. */
  readonly states: number
  /**
   * Levels to apply one after the other, the clock pin included, the last ones showing the difference at `pin`; null
   * unless different. No other has fewer edges of the clock.
   */
  readonly sequence: readonly MachineInputs[] | null
  /** Where the difference shows; null unless different. */
  readonly pin: string | null
  /** What both sides show there at the end of the sequence. */
  readonly intended: Seen | null
  /** What the read-back shows there; null unless different. */
  readonly readback: Seen | null
}

const NOTHING_SHOWN = { sequence: null, pin: null, intended: null, readback: null } as const

const open = (reason: MachineResult['reason'], states = 0): MachineResult => ({
  result: 'open',
  reason,
  states,
  ...NOTHING_SHOWN,
})

/** What is followed, and how far. */
export interface Following {
  /** Gives both sides' places their common names. */
  readonly nameOf: (side: LogicSide) => NameOf
  readonly maxNodes: number
  readonly maxStates: number
  /** Looks on at every state; null where nobody does. */
  readonly watch: Watch | null
  /** States to start from instead of power-up. */
  readonly from?: readonly SharedState[]
}

/** What following gave, and the index of the start that led to a difference; null where none did. */
export interface Followed {
  readonly machines: MachineResult
  readonly from: number | null
}

const notFrom = (machines: MachineResult): Followed => ({ machines, from: null })

/** Follows two parts together. */
export function* followMachines(
  sides: readonly [LogicSide, LogicSide],
  given: Following,
): Pieces<Followed> {
  const nameOf = sides.map(
    (side, i): NameOf =>
      (place, kind) =>
        kind === 'state' ? `${i} ${given.nameOf(side)(place, kind)}` : given.nameOf(side)(place, kind),
  )
  const parts = sides.map((side, i) => ({ logic: side.logic, nameOf: nameOf[i]! }))
  const variables = planVariables(parts)
  const prepare: Parameters<typeof explore>[0] = () => {
    const space = nameVariables(createDiagrams(variables.length, { maxNodes: given.maxNodes }), variables)
    return { space, machines: parts.map((_, i) => machineOf(space, sides[i]!, nameOf[i]!)) }
  }
  const followed = yield* nullOn(NodeLimitError, explore(prepare, given))
  return followed ?? notFrom(open('limit'))
}

function* explore(
  prepare: () => { readonly space: Space; readonly machines: readonly Machine[] },
  given: Following,
): Pieces<Followed> {
  const { space, machines: parts } = prepare()
  const bits = parts.flatMap((machine) => machine.bits)
  const pins = freePins({ intended: parts[0]!.side, readback: parts[1]!.side })
  const starts = given.from?.map((state) => stateOf(space, parts, state)) ?? [powerUpOf(parts)]
  const moves = movesOf(space, parts)
  if (typeof moves === 'string') return notFrom(open(moves))
  const differences = visibleDifferences(space, parts)
  let states = 0
  for (const [index, start] of starts.entries()) {
    if (start === null) return notFrom(open('start-unknown'))
    const part = reduced(space, { bits, moves, differences, start })
    const { maxStates, watch } = given
    const found = yield* search(space, { ...part, pins, seen: new Set(), maxStates, watch })
    states += found.states
    if (found.result === 'equal') continue
    const machines = { ...found, states }
    return found.result === 'different' ? { machines, from: index } : notFrom(machines)
  }
  return notFrom({ result: 'equal', reason: null, states, ...NOTHING_SHOWN })
}

/** Every free pin in every step: what is left open keeps its level, so that no clock moves by itself. */
function completed(pins: readonly string[], sequence: readonly MachineInputs[]): readonly MachineInputs[] {
  let levels: MachineInputs = Object.fromEntries(pins.map((name) => [name, 0]))
  const steps: MachineInputs[] = []
  for (const [i, step] of sequence.entries()) {
    const next = { ...levels, ...step }
    const moves = Object.keys(next).some((name) => next[name] !== levels[name])
    if (moves || i === 0) steps.push(next)
    levels = next
  }
  return steps
}

function powerUpOf(machines: readonly Machine[]): State | null {
  const levels = machines.flatMap(({ bits, side }) => bits.map(({ register }) => startLevel(side, { register })))
  return levels.every((level) => level !== null) ? levels : null
}

function stateOf({ variables }: Space, machines: readonly Machine[], state: SharedState): State {
  return machines.flatMap(({ bits }, i) =>
    bits.map(({ variable }) => (i === 0 ? state.intended : state.readback)[variables[variable]!.name.slice(2)] ?? 0),
  )
}

interface Search extends Start {
  /** Names of the pins to which a level is applied. */
  readonly pins: readonly string[]
  readonly seen: Set<string>
  readonly maxStates: number
  readonly watch: Watch | null
}

/** States that are followed in one piece of work; each takes a fraction of a millisecond, of large parts more. */
const STATES_IN_PIECE = 8

interface Visited {
  readonly state: State
  /** Whether the clock is high. */
  readonly high: boolean
  readonly from: Visited | null
  /** Levels applied on the way here from the one before. */
  readonly applied: readonly MachineInputs[]
}

/** By edges of the clock: what is met without a further edge is all looked at before the next one. */
function* search(space: Space, given: Search): Pieces<MachineResult> {
  const { moves, seen, start, maxStates } = given
  const add = (visited: Visited, queue: Visited[]): boolean => {
    const key = `${moves.twoPhases && visited.high ? 1 : 0}${visited.state.join('')}`
    if (seen.has(key)) return true
    if (seen.size >= maxStates) return false
    seen.add(key)
    queue.push(visited)
    return true
  }
  let queue: Visited[] = []
  add({ state: start, high: false, from: null, applied: [] }, queue)
  if (moves.twoPhases) add({ state: start, high: true, from: null, applied: [] }, queue)
  while (queue.length > 0) {
    for (let at = 0; at < queue.length; at++) {
      given.watch?.('states', seen.size, maxStates)
      if (at % STATES_IN_PIECE === 0) yield
      const visited = queue[at]!
      const shown = differenceAt(space, given, visited)
      if (shown) return { ...shown, states: seen.size }
      for (const next of changesWithoutEdge(space, given, visited))
        if (!add(next, queue)) return open('limit', seen.size)
    }
    const following: Visited[] = []
    for (const visited of queue)
      for (const next of edges(space, given, visited)) if (!add(next, following)) return open('limit', seen.size)
    queue = following
  }
  return { result: 'equal', reason: null, states: seen.size, ...NOTHING_SHOWN }
}

/** What inputs show at once in a state. */
function differenceAt(space: Space, given: Search, visited: Visited): MachineResult | null {
  const { bits, moves, differences, pins } = given
  const { diagrams } = space
  const fixed = fixing(bits, visited.state)
  const high = moves.twoPhases && visited.high
  const levels = (high ? moves.high : moves.low).map((level) => diagrams.substitute(level, fixed))
  const settled = replacing(bits, levels, [])
  const phase = high ? moves.isHigh : moves.isLow
  for (const { name, where, drives } of differences) {
    const shows = diagrams.substitute(where, settled)
    const inputs = diagrams.shortestCube(moves.twoPhases ? diagrams.and(shows, phase) : shows)
    if (!inputs) continue
    const sequence = completed(pins, [...wayTo(visited), named(space, inputs)])
    const applied = sequence.at(-1)!
    const [intended, readback] = drives.map(({ enable, value }) =>
      shown(space, diagrams.substitute(enable, settled), { value: diagrams.substitute(value, settled), applied }),
    )
    return {
      result: 'different',
      reason: null,
      states: 0,
      sequence,
      pin: name,
      intended: intended!,
      readback: readback!,
    }
  }
  return null
}

/** What an output shows under the levels applied. */
function shown(
  { diagrams, variables }: Space,
  enable: Node,
  { value, applied }: { readonly value: Node; readonly applied: MachineInputs },
): Seen {
  const levels = Uint8Array.from(variables, ({ kind, name }) => (kind === 'pin' ? (applied[name] ?? 0) : 0))
  if (!diagrams.evaluate(enable, levels)) return 'Z'
  return diagrams.evaluate(value, levels) ? 'H' : 'L'
}

/** All pairs of states that an edge of the clock leads to. */
function edges(space: Space, given: Search, visited: Visited): Visited[] {
  const { moves } = given
  if (!moves.clocked) return []
  const steps: Steps = (inputs) => pulsed(space, moves, inputs)
  return reached(space, given, { from: visited, levels: moves.rise, within: moves.isLow, high: true, steps })
}

/** All pairs of states that inputs lead to while the clock makes no edge that registers take. */
function changesWithoutEdge(space: Space, given: Search, from: Visited): Visited[] {
  const { bits, moves } = given
  const steps: Steps = (inputs) => [named(space, inputs)]
  const low = { from, levels: moves.low, within: moves.isLow, high: false, steps }
  const high = { from, levels: moves.high, within: moves.isHigh, high: true, steps }
  const falls = moves.twoPhases && from.high
  const isMoved = moves.low.some((level, i) => level !== space.diagrams.variable(bits[i]!.variable))
  return [
    ...(isMoved || falls ? reached(space, given, low) : []),
    ...(falls ? reached(space, given, high) : []),
  ]
}

interface Move {
  readonly from: Visited
  readonly levels: readonly Node[]
  /** Inputs that may be applied. */
  readonly within: Node
  readonly high: boolean
  readonly steps: Steps
}

function reached({ diagrams }: Space, { bits }: Search, move: Move): Visited[] {
  const { from, levels, within, high, steps } = move
  const fixed = fixing(bits, from.state)
  const next = levels.map((level) => diagrams.substitute(level, fixed))
  return combinations(diagrams, next, within).map(({ state, inputs }) => ({
    state,
    high,
    from,
    applied: steps(inputs),
  }))
}

type Steps = (inputs: Uint8Array) => readonly MachineInputs[]

/** Levels with the clock low, and the same with the clock high. */
function pulsed(space: Space, { clock, isHigh }: Moves, inputs: Uint8Array): readonly MachineInputs[] {
  const before = named(space, inputs)
  if (clock !== null) {
    const { name } = space.variables[clock]!
    return [
      { ...before, [name]: 0 },
      { ...before, [name]: 1 },
    ]
  }
  return [before, { ...before, ...named(space, space.diagrams.shortestCube(isHigh)!) }]
}

/** All combinations that functions of the inputs can take within `allowed`, each with inputs that give it. */
function combinations(
  diagrams: Diagrams,
  functions: readonly Node[],
  allowed: Node,
): { readonly state: (0 | 1)[]; readonly inputs: Uint8Array }[] {
  const found: { readonly state: (0 | 1)[]; readonly inputs: Uint8Array }[] = []
  const split = (within: Node, state: (0 | 1)[]): void => {
    if (within === 0) return
    if (state.length === functions.length) {
      found.push({ state, inputs: diagrams.shortestCube(within)! })
      return
    }
    const f = functions[state.length]!
    split(diagrams.and(within, diagrams.not(f)), [...state, 0])
    split(diagrams.and(within, f), [...state, 1])
  }
  split(allowed, [])
  return found
}

function named({ variables }: Space, inputs: Uint8Array): MachineInputs {
  const fixed = variables.flatMap(({ kind, name }, i) =>
    kind === 'pin' && inputs[i] !== 2 ? [[name, inputs[i] as 0 | 1] as const] : [],
  )
  return Object.fromEntries(fixed.sort(([a], [b]) => comparePins(a, b)))
}

function wayTo(visited: Visited): MachineInputs[] {
  const steps: MachineInputs[] = []
  for (let at: Visited | null = visited; at; at = at.from) steps.unshift(...at.applied)
  return steps
}
