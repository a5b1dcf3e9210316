/**
 * What a repairer should know of a part's logic, computed and not looked for in the fuses: what is constant, what
 * decides nothing, which terms say nothing new, where feedback makes loops and of what kind.
 */
import { optionsOf } from '../arguments/arguments'
import { loopsIn, type Loop } from './loops'
import { surplusTerms, type SurplusTerm } from './surplus-terms'
import { createDiagrams, withinLimit, type Diagrams, type Node } from '../logic/diagrams'
import { refusedFor, type Refused } from '../findings/refused'
import { partFunctions, type OutputFunctions, type PartFunctions, type RegisterFunctions } from '../logic/functions'
import { nameVariables, planVariables, type Space } from '../logic/variables'
import { expressionsOf, usedSignals, type Logic, checkedLogic } from '../logic/logic'
import { netlistOf } from '../logic/netlist'

/** One output as computed. */
export interface OutputFacts {
  /** 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  /** When the output drives. */
  readonly enabled: 'always' | 'never' | 'sometimes'
  /**
   * Level that it has whenever it is enabled, or that its register takes at every clock; null where it varies, or
   * never is either.
   */
  readonly constant: 0 | 1 | null
  /** Pins, and registers as `q19`, that decide about it, in order. */
  readonly dependsOn: readonly string[]
}

/** Facts about a part's logic. */
export interface Analysis {
  /** Outputs whose fuses do not switch them off for good, and registers that others read. */
  readonly outputs: readonly OutputFacts[]
  /** Pins that terms name and that decide nothing all the same. */
  readonly idleInputs: readonly number[]
  /** Pins whose applied level decides about something, so that they must not be left open. */
  readonly decidingPins: readonly number[]
  /** Circles of pins that feed each other. */
  readonly loops: readonly Loop[]
  /** Terms that could be left out. */
  readonly surplusTerms: readonly SurplusTerm[]
}

/**
 * Analyses a logic; refused where its functions grow past the limit of the diagrams.
 *
 * @param logic the logic of a decoded part
 * @param options most nodes of the diagrams
 * @returns facts by output, and what is idle, surplus or in a loop; refused past the limit of nodes
 * @throws RangeError for a limit below 2
 * @example const facts = analyse(logic); 'refused' in facts ? facts.reason : facts.loops // []
 */
export function analyse(logic: Logic, options: { readonly maxNodes?: number } = {}): Analysis | Refused<'node-limit'> {
  optionsOf(options, { maxNodes: true })
  const variables = planVariables([{ logic: checkedLogic(logic, 'logic') }])
  const diagrams = createDiagrams(variables.length, options)
  const facts = withinLimit(() => {
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
      loops: loopsIn(space, functions),
      surplusTerms: surplusTerms(logic),
    }
  })
  return facts ?? refusedFor('node-limit')
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
