/**
 * Two registered parts followed together from their start: all pairs of states that inputs can lead to, breadth first,
 * until an output differs or no new pair is left. One step applies inputs with the clock low, lets resets act, looks
 * at the
 * outputs, and clocks once; while the clock is still high the inputs may change, and the outputs are looked at as well.
 */
import { createDiagrams, withinLimit, type Diagrams, type Node } from '../../logic/diagrams'
import {
  nameVariables,
  partFunctions,
  planVariables,
  type NameOf,
  type PartFunctions,
  type Space,
} from '../../logic/functions'
import { comparePins } from './compare-output'
import { startLevel, type LogicSide } from './compare-logic'
import type { Seen } from './replay'

/** Inputs of one step, by pin name; pins left out do not matter. */
export type MachineInputs = Readonly<Record<string, 0 | 1>>

/** What following two machines gave. */
export interface MachineResult {
  /**
   * `equal`: no difference from the start on. `different`: `sequence` leads to one. `open`: not found out, `reason`
   * says why.
   */
  readonly result: 'equal' | 'different' | 'open'
  readonly reason: 'start-unknown' | 'several-clocks' | 'loops' | 'reset-by-state' | 'resets-apart' | 'limit' | null
  /** Pairs of states visited. */
  readonly states: number
  /**
   * Inputs of each step, the last one showing the difference at `pin`, with the clock still high where it says so; null
   * unless different. Shortest in clocks.
   */
  readonly sequence: readonly MachineInputs[] | null
  readonly pin: string | null
  /** What both sides show there at the end of the sequence. */
  readonly intended: Seen | null
  readonly readback: Seen | null
}

const NOTHING_SHOWN = { sequence: null, pin: null, intended: null, readback: null } as const

const open = (reason: MachineResult['reason'], states = 0): MachineResult => ({
  result: 'open',
  reason,
  states,
  ...NOTHING_SHOWN,
})

/** A side as functions over shared inputs and states of its own. */
interface Machine {
  readonly functions: PartFunctions
  readonly nameOf: NameOf
}

/** Follows two parts from where their registers start. `names` gives both sides' pins their common names. */
export function followMachines(
  sides: readonly [LogicSide, LogicSide],
  given: { readonly nameOf: (side: LogicSide) => NameOf; readonly maxNodes: number; readonly maxStates: number },
): MachineResult {
  const nameOf = sides.map(
    (side, i): NameOf =>
      (pin, kind) =>
        kind === 'state' ? `${i} ${given.nameOf(side)(pin, kind)}` : given.nameOf(side)(pin, kind),
  )
  const parts = sides.map((side, i) => ({ logic: side.logic, nameOf: nameOf[i]! }))
  const variables = planVariables(parts)
  return (
    withinLimit(() => {
      const space = nameVariables(createDiagrams(variables.length, { maxNodes: given.maxNodes }), variables)
      const machines = parts.map(({ logic }, i): Machine => ({
        functions: partFunctions(space, logic, { nameOf: nameOf[i]! }),
        nameOf: nameOf[i]!,
      }))
      return explore(space, machines, { sides, maxStates: given.maxStates })
    }) ?? open('limit')
  )
}

interface Bit {
  readonly variable: number
  readonly start: 0 | 1
  /** After the step's inputs are applied, and after its clock. */
  readonly applied: Node
  readonly clocked: Node
}

function explore(
  space: Space,
  machines: readonly Machine[],
  given: { readonly sides: readonly LogicSide[]; readonly maxStates: number },
): MachineResult {
  const { diagrams } = space
  if (machines.some(({ functions }) => functions.loops.length > 0)) return open('loops')
  const clocks = new Set(
    machines.flatMap(({ functions }) =>
      functions.outputs.flatMap(({ register }) => (register && register.clock > 1 ? [register.clock] : [])),
    ),
  )
  if (clocks.size > 1) return open('several-clocks')
  const low = [...clocks].map((clock) => diagrams.not(clock)).reduce((all, each) => diagrams.and(all, each), 1)
  const bits = machines.map((machine, i) => bitsOf(space, machine, given.sides[i]!))
  if (bits.some((found) => found === 'start-unknown')) return open('start-unknown')
  if (bits.some((found) => found === 'reset-by-state')) return open('reset-by-state')
  const all = (bits as Bit[][]).flat()
  if (resetApart(diagrams, machines, low)) return open('resets-apart')
  const applied = replacementsOf(all, ({ applied: level }) => level)
  const difference = visibleDifferences(space, machines).map(({ name, where, drives }): VisibleDifference => ({
    name,
    where: diagrams.substitute(where, applied),
    drives: drives.map(({ enable, value }) => ({
      enable: diagrams.substitute(enable, applied),
      value: diagrams.substitute(value, applied),
    })),
  }))
  const next = all.map(({ clocked }) => diagrams.substitute(clocked, applied))
  return search(space, { bits: all, next, difference, low, maxStates: given.maxStates })
}

/** The registers of a machine, as the level that the pin shows; resets act at once and again after the clock. */
function bitsOf(
  { diagrams, indexOf }: Space,
  { functions, nameOf }: Machine,
  side: LogicSide,
): Bit[] | 'start-unknown' | 'reset-by-state' {
  const states = new Set(
    functions.outputs.filter(({ register }) => register).map(({ place }) => indexOf('state', nameOf(place, 'state'))),
  )
  const bits: Bit[] = []
  for (const { place, register } of functions.outputs) {
    if (!register) continue
    const start = startLevel(side, { register })
    if (start === null) return 'start-unknown'
    const { setHigh, setLow, load } = register
    const stateful = [setHigh, setLow].some((f) => diagrams.support(f).some((variable) => states.has(variable)))
    // Both at once is not defined, and a load depends on what is applied while it lasts.
    if (stateful || diagrams.and(setHigh, setLow) !== 0 || load !== 0) return 'reset-by-state'
    const variable = indexOf('state', nameOf(place, 'state'))
    const held = (level: Node): Node => diagrams.choose(setHigh, 1, diagrams.choose(setLow, 0, level))
    const state = diagrams.variable(variable)
    bits.push({
      variable,
      start,
      applied: held(state),
      clocked: register.clock > 1 ? held(register.next) : held(state),
    })
  }
  return bits
}

/**
 * A reset of some registers alone, or by the clock's own level, leads to states without a clock that one step does
 * not.
 */
function resetApart(diagrams: Diagrams, machines: readonly Machine[], low: Node): boolean {
  const held = machines.flatMap(({ functions }) =>
    functions.outputs.flatMap(({ register }) => (register ? [diagrams.or(register.setHigh, register.setLow)] : [])),
  )
  const clocked = new Set(diagrams.support(low))
  return held.some((f) => f !== held[0] || diagrams.support(f).some((variable) => clocked.has(variable)))
}

function replacementsOf(bits: readonly Bit[], levelOf: (bit: Bit) => Node): (Node | undefined)[] {
  const replacements: (Node | undefined)[] = []
  for (const bit of bits) replacements[bit.variable] = levelOf(bit)
  return replacements
}

/** An output of both machines: where it shows different things, and what either side does there. */
interface VisibleDifference {
  readonly name: string
  readonly where: Node
  readonly drives: readonly { readonly enable: Node; readonly value: Node }[]
}

/** Where the pins of the two machines show different things. */
function visibleDifferences({ diagrams }: Space, [a, b]: readonly Machine[]): VisibleDifference[] {
  const byName = ({ functions, nameOf }: Machine): Map<string, PartFunctions['outputs'][number]> =>
    new Map(functions.outputs.map((output) => [nameOf(output.place, 'pin'), output]))
  const [first, second] = [byName(a!), byName(b!)]
  const none = { enable: 0, value: 0 }
  return [...new Set([...first.keys(), ...second.keys()])].sort(comparePins).map((name) => {
    const [one, other] = [first.get(name) ?? none, second.get(name) ?? none]
    const values = diagrams.and(diagrams.and(one.enable, other.enable), diagrams.xor(one.value, other.value))
    return { name, where: diagrams.or(diagrams.xor(one.enable, other.enable), values), drives: [one, other] }
  })
}

interface Search {
  readonly bits: readonly Bit[]
  readonly next: readonly Node[]
  readonly difference: readonly VisibleDifference[]
  readonly low: Node
  readonly maxStates: number
}

interface Visited {
  readonly state: readonly (0 | 1)[]
  readonly from: Visited | null
  readonly inputs: MachineInputs
}

function search(space: Space, { bits, next, difference, low, maxStates }: Search): MachineResult {
  const { diagrams } = space
  const start: Visited = { state: bits.map((bit) => bit.start), from: null, inputs: {} }
  const seen = new Set([start.state.join('')])
  const queue: Visited[] = [start]
  for (let at = 0; at < queue.length; at++) {
    const visited = queue[at]!
    const fixed = replacementsOf(
      bits.map((bit, i) => ({ ...bit, start: visited.state[i]! })),
      (bit) => bit.start,
    )
    for (const { name, where, drives } of difference) {
      const inputs = diagrams.shortestCube(diagrams.substitute(where, fixed))
      if (!inputs) continue
      const [intended, readback] = drives.map(({ enable, value }) =>
        shown(diagrams, diagrams.substitute(enable, fixed), { value: diagrams.substitute(value, fixed), inputs }),
      )
      return {
        result: 'different',
        reason: null,
        states: seen.size,
        sequence: sequenceTo(visited, named(space, inputs)),
        pin: name,
        intended: intended!,
        readback: readback!,
      }
    }
    for (const { state, inputs } of successors(
      diagrams,
      next.map((f) => diagrams.substitute(f, fixed)),
      low,
    )) {
      const key = state.join('')
      if (seen.has(key)) continue
      if (seen.size >= maxStates) return open('limit', seen.size)
      seen.add(key)
      queue.push({ state, from: visited, inputs: named(space, inputs) })
    }
  }
  return { result: 'equal', reason: null, states: seen.size, ...NOTHING_SHOWN }
}

/** What an output shows under inputs; those that are free are taken as 0. */
function shown(
  diagrams: Diagrams,
  enable: Node,
  { value, inputs }: { readonly value: Node; readonly inputs: Uint8Array },
): Seen {
  const levels = inputs.map((level) => (level === 2 ? 0 : level))
  return !diagrams.evaluate(enable, levels) ? 'Z' : diagrams.evaluate(value, levels) ? 'H' : 'L'
}

/** All combinations that functions of the inputs can take within `allowed`, each with inputs that give it. */
function successors(
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

function sequenceTo(visited: Visited, last: MachineInputs): MachineInputs[] {
  const steps = [last]
  for (let at = visited; at.from; at = at.from) steps.unshift(at.inputs)
  return steps
}
