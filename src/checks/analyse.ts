/**
 * What a repairer should know of a part's logic, computed and not looked for in the fuses: what is constant, what decides
 * nothing, which terms say nothing new, where feedback makes loops and of what kind.
 */
import { componentsOf } from '../logic/components'
import { createDiagrams, withinLimit, type Diagrams, type Node } from '../logic/diagrams'
import { nameVariables, partFunctions, planVariables, type OutputFunctions, type PartFunctions, type Space } from '../logic/functions'
import { expressionsOf, isContradiction, structuralConstant, usedSignals, type Cube, type Logic, type Output } from '../logic/logic'

/** One output as computed. */
export interface OutputFacts {
  readonly pin: number
  readonly enabled: 'always' | 'never' | 'sometimes'
  /** Level that it has whenever it is enabled, or that its register takes at every clock; null where it varies. */
  readonly constant: 0 | 1 | null
  /** Pins, and registers as `q19`, that decide about it, in order. */
  readonly dependsOn: readonly string[]
}

/**
 * A circle of pins that feed each other. `none`: every input breaks the circle, or gives it one level at which it rests.
 * `latch`: some inputs let it rest at two levels, so that it remembers. `oscillator`: some inputs leave it no level to rest at.
 */
export interface Loop {
  readonly pins: readonly number[]
  readonly kind: 'none' | 'latch' | 'oscillator'
}

/** A product term that could be left out without a change of the function. */
export interface SurplusTerm {
  readonly row: number
  readonly pin: number
  /** Row of the same term; null where several other terms cover it together. */
  readonly sameAs: number | null
}

/** Facts about a part's logic. */
export interface Analysis {
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
    const shown = relevantOutputs(space, functions)
    const deciding = new Set(shown.flatMap((output) => functionsOf(output)).concat(functions.loops.map(({ excitation }) => excitation)).flatMap((f) => diagrams.support(f)))
    const decidingPins = variables.flatMap(({ kind, name }, i) => (kind === 'pin' && deciding.has(i) ? [Number(name)] : [])).sort((a, b) => a - b)
    return {
      outputs: shown.map((output) => outputFacts(space, output)),
      decidingPins,
      idleInputs: namedPins(logic).filter((pin) => !decidingPins.includes(pin)),
      loops: loopsOf(space, functions),
      surplusTerms: logic.outputs.flatMap((output) => surplusTerms(logic, output)),
    }
  })
}

/** Functions that an output's behaviour hangs on. */
function functionsOf({ enable, value, register }: OutputFunctions): Node[] {
  return [enable, value, ...(register ? [register.next, register.clock, register.setHigh, register.setLow, register.load] : [])]
}

/** Outputs that drive at some time, and registers that others read. */
function relevantOutputs({ diagrams, indexOf }: Space, { outputs, loops }: PartFunctions): OutputFunctions[] {
  const relevant = new Set(outputs.filter(({ enable }) => enable !== 0))
  for (let size = -1; size !== relevant.size; ) {
    size = relevant.size
    const read = new Set([...relevant].flatMap(functionsOf).concat(loops.map(({ excitation }) => excitation)).flatMap((f) => diagrams.support(f)))
    for (const output of outputs) if (output.register && read.has(indexOf('state', String(output.pin)))) relevant.add(output)
  }
  return outputs.filter((output) => relevant.has(output))
}

function outputFacts({ diagrams, variables }: Space, output: OutputFunctions): OutputFacts {
  const { pin, enable, value, register } = output
  const level = register ? register.next : value
  // A level that only shows while the output is off is not seen.
  const seen = register ? level : diagrams.and(enable, level)
  const constant = seen === 0 ? 0 : level === 1 || (!register && seen === enable) ? 1 : null
  const names = functionsOf(output).flatMap((f) => diagrams.support(f)).map((i) => (variables[i]!.kind === 'state' ? `q${variables[i]!.name}` : variables[i]!.name))
  return {
    pin,
    enabled: enable === 1 ? 'always' : enable === 0 ? 'never' : 'sometimes',
    constant: output.defined && enable !== 0 ? constant : null,
    dependsOn: [...new Set(names)].sort((a, b) => Number(a.startsWith('q')) - Number(b.startsWith('q')) || Number(a.replace('q', '')) - Number(b.replace('q', ''))),
  }
}

/** Pins that live terms of driving outputs name, and that somebody outside drives at some time. */
function namedPins(logic: Logic): number[] {
  const driven = new Set(logic.outputs.flatMap(({ pin, enable }) => (structuralConstant(enable) === 1 ? [pin] : [])))
  const driving = logic.outputs.filter(({ enable, register }) => structuralConstant(enable) !== 0 || register)
  const named = usedSignals(driving.flatMap(expressionsOf)).flatMap((i) => (logic.signals[i]!.kind === 'pin' ? [logic.signals[i]!.pin] : []))
  return [...new Set(named)].filter((pin) => !driven.has(pin)).sort((a, b) => a - b)
}

function loopsOf({ diagrams, indexOf }: Space, { loops, wired }: PartFunctions): Loop[] {
  const excitationAt = new Map(loops.map(({ pin, excitation }) => [pin, excitation]))
  const variableOf = (pin: number): number => indexOf('loop', String(pin))
  const circles = componentsOf([...excitationAt.keys()], (pin) => [...excitationAt.keys()].filter((other) => diagrams.support(excitationAt.get(pin)!).includes(variableOf(other))))
  const real = circles.map((pins): Loop => ({ pins: ascending(pins), kind: kindOf(diagrams, pins.map((pin) => ({ variable: variableOf(pin), excitation: excitationAt.get(pin)! }))) }))
  const broken = wired.map((pins) => pins.filter((pin) => !excitationAt.has(pin))).filter((pins) => pins.length > 0)
  return [...real, ...broken.map((pins): Loop => ({ pins: ascending(pins), kind: 'none' }))].sort((a, b) => a.pins[0]! - b.pins[0]!)
}

const ascending = (pins: readonly number[]): number[] => [...pins].sort((a, b) => a - b)

/** Counts the levels at which a circle rests: none for some inputs, several for some, or one for all. */
function kindOf(diagrams: Diagrams, circle: readonly { readonly variable: number; readonly excitation: Node }[]): Loop['kind'] {
  const variables = circle.map(({ variable }) => variable)
  const rests = circle.reduce((all, { variable, excitation }) => diagrams.and(all, diagrams.not(diagrams.xor(diagrams.variable(variable), excitation))), 1)
  if (diagrams.exists(rests, variables) !== 1) return 'oscillator'
  const restsWith = (level: Node): Node => diagrams.exists(diagrams.and(rests, level), variables)
  const several = circle.some(({ variable }) => diagrams.and(restsWith(diagrams.variable(variable)), restsWith(diagrams.not(diagrams.variable(variable)))) !== 0)
  return several ? 'latch' : 'none'
}

/** Terms that equal another one of their sum, or that the others cover, whatever the signals are. */
function surplusTerms(logic: Logic, { pin, value, register, enable }: Output): SurplusTerm[] {
  const sums = (value ?? register!.data).sums
  if (structuralConstant(enable) === 0 && !register) return []
  return sums.flatMap((sum) => surplusOf(logic, sum.filter((cube) => !isContradiction(cube))).map(({ row, sameAs }) => ({ row, pin, sameAs })))
}

function surplusOf(logic: Logic, cubes: readonly Cube[]): Omit<SurplusTerm, 'pin'>[] {
  if (cubes.length < 2) return []
  const diagrams = createDiagrams(logic.signals.length)
  const nodes = cubes.map(({ literals }) => literals.reduce((product, literal) => diagrams.and(product, literalNode(diagrams, literal)), 1))
  return cubes.flatMap(({ origin }, i) => {
    const same = nodes.indexOf(nodes[i]!)
    if (same < i) return [{ row: origin, sameAs: cubes[same]!.origin as number | null }]
    const others = nodes.reduce((any, node, j) => (node === nodes[i] ? any : j === i ? any : diagrams.or(any, node)), 0)
    return diagrams.and(nodes[i]!, diagrams.not(others)) === 0 ? [{ row: origin, sameAs: null }] : []
  })
}

function literalNode(diagrams: Diagrams, literal: number): Node {
  const signal = diagrams.variable(literal >>> 1)
  return literal & 1 ? diagrams.not(signal) : signal
}
