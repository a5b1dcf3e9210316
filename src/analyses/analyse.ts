/**
 * What a repairer should know of a part's logic, computed and not looked for in the fuses: what is constant, what
 * decides
 * nothing, which terms say nothing new, where feedback makes loops and of what kind.
 */
import { componentsOf } from '../logic/components'
import { createDiagrams, withinLimit, type Diagrams, type Node } from '../logic/diagrams'
import {
  nameVariables,
  partFunctions,
  planVariables,
  type OutputFunctions,
  type PartFunctions,
  type RegisterFunctions,
  type Space,
} from '../logic/functions'
import {
  expressionsOf,
  isContradiction,
  structuralConstant,
  usedSignals,
  type Cube,
  type Logic,
  type LogicCell,
} from '../logic/logic'
import { netlistOf } from '../logic/netlist'

/** One output as computed. */
export interface OutputFacts {
  /** 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  readonly enabled: 'always' | 'never' | 'sometimes'
  /**
   * Level that it has whenever it is enabled, or that its register takes at every clock; null where it varies, or
   * never is either.
   */
  readonly constant: 0 | 1 | null
  /** Pins, and registers as `q19`, that decide about it, in order. */
  readonly dependsOn: readonly string[]
}

/**
 * A circle of pins that feed each other. `none`: every input breaks the circle, or gives it one level at which it
 * rests.
 * `latch`: some inputs let it rest at two levels, so that it remembers. `oscillator`: some inputs leave it no level
 * to rest at.
 */
export interface Loop {
  readonly pins: readonly number[]
  readonly kind: 'none' | 'latch' | 'oscillator'
}

/** A product term that could be left out without a change of the function. */
export interface SurplusTerm {
  readonly row: number
  /** 0 for a buried cell. */
  readonly pin: number
  /** Row of the same term; null where several other terms cover it together. */
  readonly sameAs: number | null
}

/** Facts about a part's logic. */
export interface Analysis {
  /** Outputs whose fuses do not switch them off for good, and registers that others read. */
  readonly outputs: readonly OutputFacts[]
  /** Pins that terms name and that decide nothing all the same. */
  readonly idleInputs: readonly number[]
  /** Pins whose applied level decides about something, so that they must not be left open. */
  readonly decidingPins: readonly number[]
  readonly loops: readonly Loop[]
  readonly surplusTerms: readonly SurplusTerm[]
}

/**
 * Analyses a logic; null where its functions grow past the limit of the diagrams.
 *
 * @param logic as `decode` gives it
 * @throws RangeError for a limit below 2
 * @example analyse(decode(findDevice('16V8'), fuses).logic).loops
 */
export function analyse(logic: Logic, options: { readonly maxNodes?: number } = {}): Analysis | null {
  const variables = planVariables([{ logic }])
  const diagrams = createDiagrams(variables.length, options)
  return withinLimit(() => {
    const space = nameVariables(diagrams, variables)
    const functions = partFunctions(space, logic)
    const relevant = relevantOutputs(space, functions)
    const deciding = new Set(decisive(space, relevant, functions.loops))
    const decidingPins = variables
      .flatMap(({ kind, name }, i) => (kind === 'pin' && deciding.has(i) ? [Number(name)] : []))
      .sort((a, b) => a - b)
    return {
      outputs: functions.outputs
        .filter((output) => relevant.has(output) || netlistOf(logic).drives[output.cell] !== 'never')
        .map((output) => outputFacts(space, output)),
      decidingPins,
      idleInputs: namedPins(logic).filter((pin) => !decidingPins.includes(pin)),
      loops: loopsOf(space, functions),
      surplusTerms: logic.cells.flatMap((output) => surplusTerms(logic, output)),
    }
  })
}

/**
 * Functions that an output's behaviour hangs on: what it would do while it is off, or a register while it is held,
 * counts for nothing.
 */
function functionsOf({ diagrams, indexOf }: Space, { pin, enable, value, register }: OutputFunctions): Node[] {
  const seen = [enable, diagrams.and(enable, value)]
  if (!register) return seen
  const { clock, setHigh, setLow, load } = register
  const taking = takingOf(diagrams, register)
  const loads = diagrams.and(load, diagrams.not(enable))
  const loaded = loads === 0 ? 0 : diagrams.and(loads, diagrams.variable(indexOf('pin', String(pin))))
  return [
    ...seen,
    setHigh,
    setLow,
    loads,
    loaded,
    ...(taking === 0 ? [] : [clock, diagrams.and(taking, register.next)]),
  ]
}

/** Where a register can take its data: its clock is about to rise, so it is low, and nothing holds the register. */
function takingOf(diagrams: Diagrams, { clock, setHigh, setLow }: RegisterFunctions): Node {
  return clock === 0 ? 0 : diagrams.not(diagrams.or(clock, diagrams.or(setHigh, setLow)))
}

/** Variables that decide about outputs, or about a loop. */
function decisive(space: Space, outputs: Iterable<OutputFunctions>, loops: PartFunctions['loops']): number[] {
  return [...outputs]
    .flatMap((output) => functionsOf(space, output))
    .concat(loops.map(({ excitation }) => excitation))
    .flatMap((f) => space.diagrams.support(f))
}

/** Outputs that drive at some time, and registers that others read. */
function relevantOutputs(space: Space, { outputs, loops }: PartFunctions): Set<OutputFunctions> {
  const relevant = new Set(outputs.filter(({ enable }) => enable !== 0))
  for (let size = -1; size !== relevant.size;) {
    size = relevant.size
    const read = new Set(decisive(space, relevant, loops))
    for (const output of outputs)
      if (output.register && read.has(space.indexOf('state', String(output.place)))) relevant.add(output)
  }
  return relevant
}

function outputFacts(space: Space, output: OutputFunctions): OutputFacts {
  const { diagrams, variables } = space
  const { pin, place, enable, value, register } = output
  const where = register ? takingOf(diagrams, register) : enable
  const level = diagrams.and(where, register ? register.next : value)
  const constant = where === 0 || !output.defined ? null : level === 0 ? 0 : level === where ? 1 : null
  const names = functionsOf(space, output)
    .flatMap((f) => diagrams.support(f))
    .map((i) => (variables[i]!.kind === 'state' ? `q${variables[i]!.name}` : variables[i]!.name))
  return {
    ...(pin === null ? { pin: 0, cell: String(place) } : { pin }),
    enabled: enable === 1 ? 'always' : enable === 0 ? 'never' : 'sometimes',
    constant,
    dependsOn: [...new Set(names)].sort(
      (a, b) =>
        Number(a.startsWith('q')) - Number(b.startsWith('q')) ||
        Number(a.replace('q', '')) - Number(b.replace('q', '')),
    ),
  }
}

/** Pins that live terms of driving outputs name, and that somebody outside drives at some time. */
function namedPins(logic: Logic): number[] {
  const { drives, cellAt } = netlistOf(logic)
  const driving = logic.cells.filter(({ register }, i) => drives[i] !== 'never' || register)
  const named = usedSignals(driving.flatMap(expressionsOf)).flatMap((i) =>
    logic.signals[i]!.kind === 'pin' ? [logic.signals[i]!.pin] : [],
  )
  return [...new Set(named)].filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always').sort((a, b) => a - b)
}

function loopsOf({ diagrams, indexOf }: Space, { loops, wired }: PartFunctions): Loop[] {
  const excitationAt = new Map(loops.map(({ pin, excitation }) => [pin, excitation]))
  const variableOf = (pin: number): number => indexOf('loop', String(pin))
  const circles = componentsOf([...excitationAt.keys()], (pin) =>
    [...excitationAt.keys()].filter((other) => diagrams.support(excitationAt.get(pin)!).includes(variableOf(other))),
  )
  // A circle comes after those that it depends on, and only the levels at which they rest reach it.
  let reached: Node = 1
  const real = circles.map((pins): Loop => {
    const circle = pins.map((pin) => ({ variable: variableOf(pin), excitation: excitationAt.get(pin)! }))
    const kind = kindOf(diagrams, circle, reached)
    reached = diagrams.and(reached, restsOf(diagrams, circle))
    return { pins: ascending(pins), kind }
  })
  const broken = wired.map((pins) => pins.filter((pin) => !excitationAt.has(pin))).filter((pins) => pins.length > 0)
  return [...real, ...broken.map((pins): Loop => ({ pins: ascending(pins), kind: 'none' }))].sort(
    (a, b) => a.pins[0]! - b.pins[0]!,
  )
}

const ascending = (pins: readonly number[]): number[] => [...pins].sort((a, b) => a - b)

interface CutPin {
  readonly variable: number
  readonly excitation: Node
}

/** Where every pin of a circle has the level that it is given. */
function restsOf(diagrams: Diagrams, circle: readonly CutPin[]): Node {
  return circle.reduce(
    (all, { variable, excitation }) =>
      diagrams.and(all, diagrams.not(diagrams.xor(diagrams.variable(variable), excitation))),
    1,
  )
}

/**
 * Counts the levels at which a circle rests, for the inputs that reach it: none for some, several for some, or one
 * for all.
 */
function kindOf(diagrams: Diagrams, circle: readonly CutPin[], reached: Node): Loop['kind'] {
  const variables = circle.map(({ variable }) => variable)
  const rests = restsOf(diagrams, circle)
  const restsWith = (level: Node): Node =>
    diagrams.and(reached, diagrams.exists(diagrams.and(rests, level), variables))
  if (restsWith(1) !== reached) return 'oscillator'
  const several = circle.some(
    ({ variable }) =>
      diagrams.and(restsWith(diagrams.variable(variable)), restsWith(diagrams.not(diagrams.variable(variable)))) !==
      0,
  )
  return several ? 'latch' : 'none'
}

/** Terms that equal another one of their sum, or that the others cover, whatever the signals are. */
function surplusTerms(logic: Logic, { pin, value, register, enable }: LogicCell): SurplusTerm[] {
  const sums = (value ?? register!.data).sums
  if (structuralConstant(enable) === 0 && !register) return []
  return sums.flatMap((sum) =>
    surplusOf(
      logic,
      sum.filter((cube) => !isContradiction(cube)),
    ).map(({ row, sameAs }) => ({ row, pin: pin ?? 0, sameAs })),
  )
}

function surplusOf(logic: Logic, cubes: readonly Cube[]): Omit<SurplusTerm, 'pin'>[] {
  if (cubes.length < 2) return []
  const diagrams = createDiagrams(logic.signals.length)
  const nodes = cubes.map(({ literals }) =>
    literals.reduce((product, literal) => diagrams.and(product, literalNode(diagrams, literal)), 1),
  )
  return cubes.flatMap(({ origin }, i) => {
    const same = nodes.indexOf(nodes[i]!)
    if (same < i) return [{ row: origin, sameAs: cubes[same]!.origin as number | null }]
    const others = nodes.reduce(
      (any, node, j) => (node === nodes[i] ? any : j === i ? any : diagrams.or(any, node)),
      0,
    )
    return diagrams.and(nodes[i]!, diagrams.not(others)) === 0 ? [{ row: origin, sameAs: null }] : []
  })
}

function literalNode(diagrams: Diagrams, literal: number): Node {
  const signal = diagrams.variable(literal >>> 1)
  return literal & 1 ? diagrams.not(signal) : signal
}
