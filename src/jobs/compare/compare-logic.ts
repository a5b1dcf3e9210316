/**
 * Whether two parts do the same: every output proved equal or shown to differ, over all inputs and all states of the
 * registers that can be, by decision diagrams. Each difference carries a counterexample that the reference simulation
 * reproduces.
 */
import { nullOn, type Pieces } from '../../arguments/pieces'
import type { DifferenceCover } from '../../logic/cover'
import { NodeLimitError, withinLimit, type Node } from '../../logic/diagrams'
import type { OutputFunctions, PartFunctions } from '../../logic/functions'
import type { FreeVariable } from '../../logic/variables'
import type { CellName } from '../../logic/logic'
import { functionsOfBoth, type Both, type Making } from './both-functions'
import { differencesAtRest, sequenceTo, type LoopedSides } from './compare-loops'
import {
  comparePins,
  countDifferences,
  describeDifference,
  differencesOf,
  supportOf,
  type Aspect,
  type AspectDifference,
  type OutputPair,
} from './compare-output'
import { findCounterexample, statesByName, type Counterexample } from './counterexamples'
import { careOf, type RowPattern } from './dont-care'
import {
  drivesAt,
  seenCells,
  sharedNames,
  startLevel,
  withRegisters,
  type LogicSide,
  type LogicSides,
} from './logic-sides'
import { idOf, sideOf, type NamedOutput } from './named-output'
import { openStates } from './open-states'
import type { Seen } from './replay'
import { sharedStates } from './shared-states'
import { hiddenStarts, openPowerUp, startMoves } from './starts'
import type { SharedState } from './state-machines'

/** What a comparison of logic may take into account. */
export interface LogicOptions {
  readonly dontCare?: readonly RowPattern[]
  /** Most nodes of one set of diagrams (default 1,000,000). */
  readonly maxNodes?: number
  /** Names of pins whose undefined cells have the same fuses on both sides. */
  readonly sameCells?: ReadonlySet<string>
}

/** Why an output could not be decided. */
export type Undecided =
  | 'node-limit'
  | 'undefined-cell'
  | 'loop'
  | 'not-reproduced'
  | 'power-down'
  | 'unsettled-resets'
  | 'hidden-register'
  | 'state-limit'

/** One output in a comparison. */
export interface ComparedOutput {
  /** Pin of the intended part; of the other part where that pin belongs to none; 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  /** What was shown of this output. */
  readonly relation: 'equivalent' | 'different' | 'undecided'
  /** Sides that have an output here. */
  readonly side: 'both' | 'intended' | 'readback'
  /** In what it differs, or may differ while undecided: value, enable, a control of its register. */
  readonly differsIn: readonly Aspect[]
  /** True where the two sides show opposite levels whenever both drive, and nothing else differs. */
  readonly opposite?: true
  /** How many of how many combinations of inputs and states differ, as decimal numbers; null while undecided. */
  readonly differingInputs: string | null
  /** Number of all combinations; only its ratio to `differingInputs` means something. */
  readonly ofInputs: string | null
  /** A case in which it differs, replayed on the reference simulation; null without one. */
  readonly counterexample: Counterexample | null
  /** A sum of products of where it differs; null unless different. */
  readonly differsWhere: DifferenceCover | null
  /** Why it is undecided; null otherwise. */
  readonly reason: Undecided | null
}

/** A register that no pin shows and that acts otherwise on one side. */
export interface HiddenDifference extends Pick<ComparedOutput, 'pin' | 'cell' | 'reason'> {
  readonly name: string
  /** States of all registers in which it does; null where they could not be listed. */
  readonly from: readonly SharedState[] | null
}

/** All outputs, and what else a reader must know. */
export interface LogicComparison {
  readonly outputs: readonly ComparedOutput[]
  /** Registers that no pin shows, and that differ; whether that is ever seen is found out by following both parts. */
  readonly hidden: readonly HiddenDifference[]
  /** Pins at which loops were cut, so that what drives them was compared and not how they settle. */
  readonly loops: readonly string[]
  /** Registered pins whose level after power-up is not published, or not stated, on both sides. */
  readonly openPowerUp: readonly number[]
  /** Pins that never show their register, which starts at another level on either side. */
  readonly hiddenStarts: readonly number[]
  /** True where a reset or preset of one side forbids the state at which the registers start. */
  readonly startMoves: boolean
}

/** Compares all outputs of two parts. */
export function* compareLogic(
  intended: LogicSide,
  readback: LogicSide,
  options: LogicOptions = {},
): Pieces<LogicComparison> {
  const sides: LogicSides = { intended, readback }
  const maxNodes = options.maxNodes ?? 1_000_000
  const cells = { intended: seenCells(intended), readback: seenCells(readback) }
  const names = [...new Set([...cells.intended.keys(), ...cells.readback.keys()])].sort(comparePins)
  const named = names.map((name): NamedOutput => ({
    name,
    intended: cells.intended.get(name),
    readback: cells.readback.get(name),
    shown: drivesAt(intended, name) || drivesAt(readback, name),
  }))
  function* compareAll(order: Making['order']): Pieces<LogicComparison> {
    const both = functionsOfBoth(sides, { maxNodes, order })
    const outputs: ComparedOutput[] = []
    for (const each of named) {
      outputs.push(compareNamed({ both, sides, options }, each))
      yield
    }
    const hidden = hiddenDifferences({ both, sides, options }, named, outputs)
    const starts = { hiddenStarts: hiddenStarts(both, sides), startMoves: startMoves(both, sides) }
    return resultOf(sides, named, { outputs, hidden, loops: both.loops, ...starts })
  }
  // What is too large together may still be decided one by one.
  function* compareEach(): Pieces<LogicComparison> {
    const compareOne = (one: NamedOutput): { readonly loops: readonly string[]; readonly output: ComparedOutput } => {
      const both = functionsOfBoth(sides, { maxNodes, order: AS_FOUND, only: withRegisters(sides, one.name) })
      return { loops: both.loops, output: compareNamed({ both, sides, options }, one) }
    }
    const each: (ReturnType<typeof compareOne> | null)[] = []
    for (const one of named) {
      each.push(withinLimit(() => compareOne(one)))
      yield
    }
    const outputs = each.map((found, i) => found?.output ?? undecided(named[i]!, 'node-limit'))
    const loops = [...new Set(each.flatMap((found) => found?.loops ?? []))]
    const hidden = named.flatMap((one, i) => (one.shown ? [] : hiddenIn(one, outputs[i]!, () => null)))
    return resultOf(sides, named, { outputs, hidden, loops, hiddenStarts: [], startMoves: true })
  }
  for (const order of [AS_FOUND, BY_PINS]) {
    const found = yield* nullOn(NodeLimitError, compareAll(order))
    if (found) return found
  }
  return yield* compareEach()
}

function resultOf(
  sides: LogicSides,
  named: readonly NamedOutput[],
  found: Omit<LogicComparison, 'openPowerUp'>,
): LogicComparison {
  const outputs = found.outputs.filter((_, i) => named[i]!.shown)
  return { ...found, outputs, openPowerUp: openPowerUp(sides, found.outputs, named) }
}

/** A register that no pin shows, where it is not proved equal. */
function hiddenIn(
  named: NamedOutput,
  { relation, reason }: ComparedOutput,
  from: () => HiddenDifference['from'],
): HiddenDifference[] {
  if (named.shown || relation === 'equivalent') return []
  const listed = relation === 'different' || reason === 'not-reproduced' ? from() : null
  return [{ name: named.name, ...idOf(named), reason, from: listed }]
}

function hiddenDifferences(
  work: Work,
  named: readonly NamedOutput[],
  outputs: readonly ComparedOutput[],
): HiddenDifference[] {
  const { both, options } = work
  const care = careOf(both.space, options.dontCare ?? [])
  return named.flatMap((each, i) =>
    hiddenIn(each, outputs[i]!, () => {
      const variable = both.space.indexOf('state', each.name)
      const differences = differencesOf(both.space, pairOf(both, each), { care, states: both.states, variable })
      const where = differences.reduce((any, difference) => both.space.diagrams.or(any, difference.where), 0)
      return where === 0 ? null : sharedStates(both, where)
    }),
  )
}

/** The order that suits the terms, and that of the pins, which may do where the first one grew too large. */
const AS_FOUND: Making['order'] = (variables) => variables
const BY_PINS: Making['order'] = (variables: readonly FreeVariable[]) =>
  [...variables].sort((a, b) => comparePins(a.name, b.name))

function undecided(named: NamedOutput, reason: Undecided): ComparedOutput {
  return undecidedOutput({ ...idOf(named), side: sideOf(named) }, reason)
}

/** An output of which nothing is claimed, whatever was found before. */
export function undecidedOutput(
  { pin, cell, side }: Pick<ComparedOutput, 'pin' | 'cell' | 'side'>,
  reason: Undecided,
): ComparedOutput {
  return {
    pin,
    ...(cell === undefined ? {} : { cell }),
    relation: 'undecided',
    side,
    differsIn: [],
    differingInputs: null,
    ofInputs: null,
    counterexample: null,
    differsWhere: null,
    reason,
  }
}

interface Work {
  readonly both: Both
  readonly sides: LogicSides
  readonly options: LogicOptions
}

function pairOf({ intended, readback }: Both, named: NamedOutput): OutputPair {
  const at = (part: PartFunctions, place: CellName | undefined): OutputFunctions | null =>
    part.outputs.find((output) => output.place === place) ?? null
  return { intended: at(intended, named.intended), readback: at(readback, named.readback) }
}

function compareNamed(work: Work, named: NamedOutput): ComparedOutput {
  const { both, options } = work
  const { diagrams, variables, indexOf } = both.space
  const pair = pairOf(both, named)
  const care = careOf(both.space, options.dontCare ?? [])
  const variable = indexOf('state', named.name)
  const differences = differencesOf(both.space, pair, { care, states: both.states, variable })
  const support = supportOf(both.space, pair, differences)
  // What an undefined cell does is not known, but cells with the same fuses of one part do the same.
  const isUnknown = (index: number): boolean => variables[index]!.kind.startsWith('unknown')
  const unlike = support.some((index) => isUnknown(index) && !options.sameCells?.has(variables[index]!.name))
  const hanging = differences.some(({ where }) => diagrams.support(where).some(isUnknown))
  if (unlike || hanging) return undecided(named, 'undefined-cell')
  if (differences.length === 0) {
    const open = openStates(both, pair, variable)
    return open ? undecided(named, open) : equalOrPowerUp(work, named, support)
  }
  const found: Found = { pair, differences, support, free: diagrams.not(care) }
  return both.loops.length === 0 ? different(work, named, found) : byLoops(work, named, found)
}

/** A difference where there are loops: by the inputs alone, whatever the loops hold, or shown by an input sequence. */
function byLoops(work: Work, named: NamedOutput, { pair, differences, support, free }: Found): ComparedOutput {
  const { both, sides, options } = work
  const { diagrams, variables, indexOf } = both.space
  const looped: LoopedSides = {
    space: both.space,
    functions: [both.intended, both.readback],
    states: both.states,
    sides: [sides.intended, sides.readback],
    nameOf: sharedNames,
  }
  const loops = variables.flatMap(({ kind }, i) => (kind === 'loop' ? [i] : []))
  // What a loop holds is not free: only what differs whatever it holds, or once it rests, is a difference by itself.
  const always = differences.map(({ aspect, where }): AspectDifference => ({
    aspect,
    where: diagrams.not(diagrams.exists(diagrams.not(where), loops)),
  }))
  const atRest = differencesAtRest(looped, pair, { care: diagrams.not(free), variable: indexOf('state', named.name) })
  const certain = [...atRest, ...always].filter(({ where }) => where !== 0)
  if (certain.length > 0) {
    const own = new Set(
      [...support, ...certain.flatMap(({ where }) => diagrams.support(where))].filter(
        (index) => !loops.includes(index),
      ),
    )
    const shown = different(work, named, {
      pair,
      differences: certain,
      support: [...own],
      free,
    })
    if (shown.relation === 'different') return { ...shown, differsIn: differences.map(({ aspect }) => aspect) }
  }
  const where = differences.reduce((any, difference) => diagrams.or(any, difference.where), 0)
  const found = options.dontCare?.length ? null : sequenceTo(looped, named.name, { pair, where })
  if (!found) return undecided(named, 'loop')
  const { steps, states, intended, readback } = found
  const state = Object.keys(states).length === 0 ? {} : statesByName(work, (_, name) => states[name] ?? 0)
  const rows = { intended: [], readback: [] }
  return {
    ...undecided(named, 'loop'),
    relation: 'different',
    differsIn: differences.map(({ aspect }) => aspect),
    counterexample: { inputs: steps.at(-1)!, state, intended, readback, sequence: steps, rows },
    reason: null,
  }
}

/** Functions that are equal everywhere; what remains is where registers start. */
function equalOrPowerUp({ both, sides }: Work, named: NamedOutput, support: readonly number[]): ComparedOutput {
  const equal: ComparedOutput = {
    ...undecided(named, 'node-limit'),
    relation: 'equivalent',
    differingInputs: '0',
    ofInputs: String(1n << BigInt(support.length)),
    reason: null,
  }
  const { intended, readback } = pairOf(both, named)
  const [a, b] = [startLevel(sides.intended, intended), startLevel(sides.readback, readback)]
  if (a === null || b === null || a === b || intended!.enable === 0) return equal
  const level = (value: 0 | 1): Seen => (value ? 'H' : 'L')
  const rows = { intended: [], readback: [] }
  const counterexample = { inputs: {}, state: {}, intended: level(a), readback: level(b), sequence: null, rows }
  return { ...equal, relation: 'different', differsIn: ['power-up'], counterexample }
}

interface Found {
  readonly pair: OutputPair
  readonly differences: readonly AspectDifference[]
  readonly support: readonly number[]
  readonly free: Node
}

function different(work: Work, named: NamedOutput, { pair, differences, support, free }: Found): ComparedOutput {
  const { both, sides } = work
  const { space } = both
  const where = differences.reduce((any, difference) => space.diagrams.or(any, difference.where), 0)
  const counterexample = findCounterexample(
    { both, sides, pair, also: (work.options.dontCare ?? []).flatMap((pattern) => Object.keys(pattern)) },
    differences,
  )
  if (!counterexample) return undecided(named, 'not-reproduced')
  const counted = countDifferences(space, where, support)
  return {
    ...idOf(named),
    relation: 'different',
    side: sideOf(named),
    differsIn: differences.map(({ aspect }) => aspect),
    ...(isOpposite(work, pair, differences) ? { opposite: true } : {}),
    differingInputs: String(counted.differing),
    ofInputs: String(counted.of),
    counterexample,
    differsWhere: describeDifference(space, where, { turned: turnedStates(work), free }),
    reason: null,
  }
}

/** True where nothing differs but the level, and that everywhere. */
function isOpposite(
  { both }: Work,
  { intended, readback }: OutputPair,
  differences: readonly AspectDifference[],
): boolean {
  const { diagrams } = both.space
  if (!intended || !readback || differences.some(({ aspect }) => aspect !== 'value')) return false
  return diagrams.and(intended.enable, diagrams.not(diagrams.xor(intended.value, readback.value))) === 0
}

/** States that stand for the complement of Q on the intended side (or on the other where only that has a register). */
function turnedStates(work: Work): Set<number> {
  const byName = statesByName(work, () => 1)
  const { indexOf } = work.both.space
  return new Set(Object.entries(byName).flatMap(([name, q]) => (q === 0 ? [indexOf('state', name)] : [])))
}
