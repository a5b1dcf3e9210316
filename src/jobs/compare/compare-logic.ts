/**
 * Whether two parts do the same: every output proved equal or shown to differ, over all inputs and all states of the
 * registers, by decision diagrams. Each difference carries a counterexample that the reference simulation reproduces.
 */
import { createDiagrams, withinLimit, type Node } from '../../logic/diagrams'
import {
  nameVariables,
  partFunctions,
  planVariables,
  type FreeVariable,
  type NameOf,
  type OutputFunctions,
  type PartFunctions,
  type Space,
} from '../../logic/functions'
import { pinCells, placeOf, type Logic, type LogicCell, type Place } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { DifferenceCover } from '../../logic/cover'
import {
  comparePins,
  countDifferences,
  describeDifference,
  differencesOf,
  namedLevels,
  supportOf,
  type Aspect,
  type Difference,
  type NamedLevels,
  type OutputPair,
} from './compare-output'
import { differencesAtRest, sequenceTo, type LoopedSides } from './compare-loops'
import type { StepInputs } from './sequence-search'
import { liveRows, seenAfterClock, seenAtRest, type PartLevels, type Seen } from './replay'

/** Levels after power-up, as enabled registered pins show them: what is published, or what somebody states. */
export type PowerUp = 'published' | 'high' | 'low' | 'unknown'

/** One part in a comparison. */
export interface LogicSide {
  readonly logic: Logic
  readonly powerUp: PowerUp
  /** Name of each pin, shared by the pins of both parts that belong together; null: by number. */
  readonly names: ReadonlyMap<number, string> | null
}

/** Input patterns that do not matter: levels by pin name. */
export type Pattern = Readonly<Record<string, 0 | 1>>

/** What a comparison of logic may take into account. */
export interface LogicOptions {
  readonly dontCare?: readonly Pattern[]
  /** Most nodes of one set of diagrams (default 1,000,000). */
  readonly maxNodes?: number
  /** Names of pins whose undefined cells have the same fuses on both sides. */
  readonly sameCells?: ReadonlySet<string>
}

/** Levels under which an output differs, and what each side then shows. */
export interface Counterexample extends NamedLevels {
  readonly intended: Seen
  readonly readback: Seen
  /**
   * Steps that lead there from unknown levels, where loops remember something, or from power-up; null where the
   * levels alone show it.
   */
  readonly sequence: readonly StepInputs[] | null
  /** Array rows of this output whose terms are 1 then. */
  readonly rows: { readonly intended: readonly number[]; readonly readback: readonly number[] }
}

/** Why an output could not be decided. */
export type Undecided = 'node-limit' | 'undefined-cell' | 'loop' | 'not-reproduced' | 'power-down'

/** One output in a comparison. */
export interface ComparedOutput {
  /** Pin of the intended part; of the other part where that pin belongs to none; 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
  readonly relation: 'equivalent' | 'different' | 'undecided'
  /** Sides that have an output here. */
  readonly side: 'both' | 'intended' | 'readback'
  readonly differsIn: readonly Aspect[]
  /** How many of how many combinations of inputs and states differ, as decimal numbers; null while undecided. */
  readonly differingInputs: string | null
  readonly ofInputs: string | null
  readonly counterexample: Counterexample | null
  readonly differsWhere: DifferenceCover | null
  readonly reason: Undecided | null
}

/** All outputs, and what else a reader must know. */
export interface LogicComparison {
  readonly outputs: readonly ComparedOutput[]
  /** Pins at which loops were cut, so that what drives them was compared and not how they settle. */
  readonly loops: readonly string[]
  /** Registered pins whose level after power-up is not published, or not stated, on both sides. */
  readonly openPowerUp: readonly number[]
  /** Pins that never show their register, which starts at another level on either side. */
  readonly hiddenStarts: readonly number[]
}

/** Names of a side's pins, shared by pins that belong together. */
export function sharedNames(side: LogicSide): NameOf {
  return side.names
    ? (place) => (typeof place === 'number' ? side.names?.get(place) : null) ?? `readback ${place}`
    : String
}

/** Cells that can be seen outside, at their own pins or through others, by name. */
export function outputNames(side: LogicSide): Map<string, Place> {
  const { seen } = netlistOf(side.logic)
  const places = side.logic.cells.filter((_, i) => seen[i]).map(placeOf)
  return new Map(places.map((place) => [sharedNames(side)(place, 'pin'), place]))
}

interface Both {
  readonly space: Space
  readonly intended: PartFunctions
  readonly readback: PartFunctions
  readonly loops: readonly string[]
}

interface Sides {
  readonly intended: LogicSide
  readonly readback: LogicSide
}

interface Making {
  readonly maxNodes: number
  readonly order: (variables: readonly FreeVariable[]) => readonly FreeVariable[]
  /** Names of the outputs to look at; all where left out. */
  readonly only?: readonly string[]
}

/** The functions of both sides over shared variables; loops are cut at the same pins on both. */
function functionsOfBoth({ intended, readback }: Sides, { maxNodes, order, only }: Making): Both {
  const sides = [intended, readback]
  const variables = order(planVariables(sides.map((side) => ({ logic: side.logic, nameOf: sharedNames(side) }))))
  const space = nameVariables(createDiagrams(variables.length, { maxNodes }), variables)
  const wanted = (side: LogicSide): { readonly only?: readonly Place[] } =>
    only ? { only: placesNamed(side, only) } : {}
  const first = sides.map((side) => partFunctions(space, side.logic, { nameOf: sharedNames(side), ...wanted(side) }))
  const loops = [
    ...new Set(first.flatMap((part, i) => part.loops.map(({ pin }) => sharedNames(sides[i]!)(pin, 'pin')))),
  ].sort(comparePins)
  const [a, b] =
    loops.length === 0
      ? first
      : sides.map((side) =>
          partFunctions(space, side.logic, {
            nameOf: sharedNames(side),
            cutAt: pinsNamed(side, loops),
            ...wanted(side),
          }),
        )
  return { space, intended: a!, readback: b!, loops }
}

function placesNamed(side: LogicSide, names: readonly string[]): Place[] {
  return side.logic.cells.map(placeOf).filter((place) => names.includes(sharedNames(side)(place, 'pin')))
}

function pinsNamed(side: LogicSide, names: readonly string[]): number[] {
  return pinCells(side.logic).flatMap(({ pin }) => (names.includes(sharedNames(side)(pin, 'pin')) ? [pin] : []))
}

/** Compares all outputs of two parts. */
export function compareLogic(intended: LogicSide, readback: LogicSide, options: LogicOptions = {}): LogicComparison {
  const sides: Sides = { intended, readback }
  const maxNodes = options.maxNodes ?? 1_000_000
  const pinsOf = { intended: outputNames(intended), readback: outputNames(readback) }
  const names = [...new Set([...pinsOf.intended.keys(), ...pinsOf.readback.keys()])].sort(comparePins)
  const namedOf = (name: string): NamedOutput => ({
    name,
    intended: pinsOf.intended.get(name),
    readback: pinsOf.readback.get(name),
  })
  const compareAll = (order: Making['order']): LogicComparison | null =>
    withinLimit(() => {
      const both = functionsOfBoth(sides, { maxNodes, order })
      const outputs = names.map((name) => compareNamed({ both, sides, options }, namedOf(name)))
      return {
        outputs,
        loops: both.loops,
        openPowerUp: openPowerUp(sides, outputs, names),
        hiddenStarts: hiddenStarts(both, sides),
      }
    })
  // What is too large together may still be decided one by one.
  const compareEach = (): LogicComparison => {
    const each = names.map((name) =>
      withinLimit(() => {
        const both = functionsOfBoth(sides, { maxNodes, order: AS_FOUND, only: [name] })
        return { loops: both.loops, output: compareNamed({ both, sides, options }, namedOf(name)) }
      }),
    )
    const outputs = each.map((found, i) => found?.output ?? undecided(namedOf(names[i]!), 'node-limit'))
    return {
      outputs,
      loops: [...new Set(each.flatMap((found) => found?.loops ?? []))],
      openPowerUp: openPowerUp(sides, outputs, names),
      hiddenStarts: [],
    }
  }
  return compareAll(AS_FOUND) ?? compareAll(BY_PINS) ?? compareEach()
}

/** The order that suits the terms, and that of the pins, which may do where the first one grew too large. */
const AS_FOUND: Making['order'] = (variables) => variables
const BY_PINS: Making['order'] = (variables) => [...variables].sort((a, b) => comparePins(a.name, b.name))

interface NamedOutput {
  readonly name: string
  readonly intended: Place | undefined
  readonly readback: Place | undefined
}

function sideOf({ intended, readback }: NamedOutput): ComparedOutput['side'] {
  return intended === undefined ? 'readback' : readback === undefined ? 'intended' : 'both'
}

/**
 * The pin of the intended part, also where only its partner is an output; a pin without a partner by its own number.
 */
function pinOf({ name, intended, readback }: NamedOutput): number {
  if (typeof intended === 'number') return intended
  return /^\d+$/.test(name) ? Number(name) : typeof readback === 'number' ? readback : 0
}

function undecided(named: NamedOutput, reason: Undecided): ComparedOutput {
  return {
    pin: pinOf(named),
    relation: 'undecided',
    side: sideOf(named),
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
  readonly sides: Sides
  readonly options: LogicOptions
}

function pairOf({ intended, readback }: Both, named: NamedOutput): OutputPair {
  const at = (part: PartFunctions, place: Place | undefined): OutputFunctions | null =>
    part.outputs.find((output) => output.place === place) ?? null
  return { intended: at(intended, named.intended), readback: at(readback, named.readback) }
}

/** Most pins that decide nothing and that patterns may name all the same. */
const MOST_UNREAD = 8

/** Everything but the don't-care patterns. A pattern may name a pin with a register: its state, as the pin shows it. */
function careOf({ diagrams, indexOf }: Space, patterns: readonly Pattern[]): Node {
  const indexAt = (name: string): number =>
    indexOf('state', name) >= 0 ? indexOf('state', name) : indexOf('pin', name)
  const literal = (name: string, level: 0 | 1): Node =>
    level ? diagrams.variable(indexAt(name)) : diagrams.not(diagrams.variable(indexAt(name)))
  const product = (pattern: Pattern): Node =>
    Object.entries(pattern).reduce(
      (all, [name, level]) => (indexAt(name) < 0 ? all : diagrams.and(all, literal(name, level))),
      1,
    )
  const ignoredBy = (some: readonly Pattern[]): Node =>
    some.reduce((any, pattern) => diagrams.or(any, product(pattern)), 0)
  // What is ignored at one level of a pin that no variable stands for still counts at the other.
  const within = (some: readonly Pattern[], pins: readonly string[]): Node => {
    const [pin, ...rest] = pins
    if (pin === undefined) return ignoredBy(some)
    return ([0, 1] as const)
      .map((level) =>
        within(
          some.filter((pattern) => (pattern[pin] ?? level) === level),
          rest,
        ),
      )
      .reduce((all, each) => diagrams.and(all, each), 1)
  }
  const unread = [...new Set(patterns.flatMap((pattern) => Object.keys(pattern)))].filter((name) => indexAt(name) < 0)
  // Each such pin doubles the work; patterns that name more of them are left out, which leaves more to compare.
  const few = unread.slice(0, MOST_UNREAD)
  const rest = new Set(unread.slice(MOST_UNREAD))
  return diagrams.not(
    within(
      patterns.filter((pattern) => !Object.keys(pattern).some((name) => rest.has(name))),
      few,
    ),
  )
}

function compareNamed(work: Work, named: NamedOutput): ComparedOutput {
  const { both, options } = work
  const { diagrams, variables } = both.space
  const pair = pairOf(both, named)
  const care = careOf(both.space, options.dontCare ?? [])
  const differences = differencesOf(both.space, pair, care)
  const support = supportOf(both.space, pair, differences)
  // What an undefined cell does is not known, but cells with the same fuses of one part do the same.
  const unlike = support.some(
    (variable) =>
      variables[variable]!.kind.startsWith('unknown') && !options.sameCells?.has(variables[variable]!.name),
  )
  const hanging = differences.some(({ where }) =>
    diagrams.support(where).some((variable) => variables[variable]!.kind.startsWith('unknown')),
  )
  if (unlike || hanging) return undecided(named, 'undefined-cell')
  if (differences.length === 0) return equalOrPowerUp(work, named, support)
  const found: Found = { pair, differences, support, free: diagrams.not(care) }
  return both.loops.length === 0 ? different(work, named, found) : byLoops(work, named, found)
}

/** A difference where there are loops: by the inputs alone, whatever the loops hold, or shown by an input sequence. */
function byLoops(work: Work, named: NamedOutput, { pair, differences, support, free }: Found): ComparedOutput {
  const { both, sides, options } = work
  const { diagrams, variables } = both.space
  const looped: LoopedSides = {
    space: both.space,
    functions: [both.intended, both.readback],
    sides: [sides.intended, sides.readback],
    nameOf: sharedNames,
  }
  const loops = variables.flatMap(({ kind }, i) => (kind === 'loop' ? [i] : []))
  // What a loop holds is not free: only what differs whatever it holds, or once it rests, is a difference by itself.
  const always = differences.map(({ aspect, where }): Difference => ({
    aspect,
    where: diagrams.not(diagrams.exists(diagrams.not(where), loops)),
  }))
  const certain = [...differencesAtRest(looped, pair, diagrams.not(free)), ...always].filter(
    ({ where }) => where !== 0,
  )
  if (certain.length > 0) {
    const own = new Set(
      [...support, ...certain.flatMap(({ where }) => diagrams.support(where))].filter(
        (variable) => !loops.includes(variable),
      ),
    )
    const shown = different(work, named, {
      pair,
      differences: certain,
      support: [...own].sort((a, b) => a - b),
      free,
    })
    if (shown.relation === 'different') return { ...shown, differsIn: differences.map(({ aspect }) => aspect) }
  }
  const where = differences.reduce((any, difference) => diagrams.or(any, difference.where), 0)
  const found = options.dontCare?.length ? null : sequenceTo(looped, named.name, { pair, where })
  if (!found) return undecided(named, 'loop')
  const { steps, states, intended, readback } = found
  const turned = turnedStates(sides, both.space)
  const state = Object.fromEntries(
    Object.entries(states).map(([name, level]) => [
      name,
      (turned.has(both.space.indexOf('state', name)) ? 1 - level : level) as 0 | 1,
    ]),
  )
  const counterexample: Counterexample = {
    inputs: steps.at(-1)!,
    state,
    intended,
    readback,
    sequence: steps,
    rows: { intended: [], readback: [] },
  }
  return {
    ...undecided(named, 'loop'),
    relation: 'different',
    differsIn: differences.map(({ aspect }) => aspect),
    counterexample,
    reason: null,
  }
}

/** Functions that are equal everywhere; what remains is where registers start. */
function equalOrPowerUp({ both, sides }: Work, named: NamedOutput, support: readonly number[]): ComparedOutput {
  const { of } = countDifferences(both.space, 0, support)
  const equal: ComparedOutput = {
    pin: pinOf(named),
    relation: 'equivalent',
    side: sideOf(named),
    differsIn: [],
    differingInputs: '0',
    ofInputs: String(of),
    counterexample: null,
    differsWhere: null,
    reason: null,
  }
  const { intended, readback } = pairOf(both, named)
  const [a, b] = [startLevel(sides.intended, intended), startLevel(sides.readback, readback)]
  if (a === null || b === null || a === b || intended!.enable === 0) return equal
  const level = (value: 0 | 1): Seen => (value ? 'H' : 'L')
  const none = { intended: [], readback: [] }
  return {
    ...equal,
    relation: 'different',
    differsIn: ['power-up'],
    counterexample: { inputs: {}, state: {}, intended: level(a), readback: level(b), sequence: null, rows: none },
  }
}

function hiddenStarts({ intended, readback }: Both, sides: Sides): number[] {
  return intended.outputs.flatMap((output) => {
    const name = sharedNames(sides.intended)(output.place, 'pin')
    const other = readback.outputs.find(({ place }) => sharedNames(sides.readback)(place, 'pin') === name)
    const [a, b] = [startLevel(sides.intended, output), startLevel(sides.readback, other ?? null)]
    return a !== null && b !== null && a !== b && output.enable === 0 ? [output.pin ?? 0] : []
  })
}

/** Level that a registered pin shows after power-up; null where there is no register or nothing is known. */
export function startLevel(
  { powerUp }: LogicSide,
  output: Pick<OutputFunctions | LogicCell, 'register'> | null,
): 0 | 1 | null {
  if (!output?.register) return null
  return powerUp === 'published' ? output.register.powerUp : powerUp === 'unknown' ? null : powerUp === 'high' ? 1 : 0
}

function openPowerUp(
  { intended, readback }: Sides,
  outputs: readonly ComparedOutput[],
  names: readonly string[],
): number[] {
  const known = (side: LogicSide, name: string): boolean | null => {
    const output = side.logic.cells.find((cell) => sharedNames(side)(placeOf(cell), 'pin') === name)
    return output?.register ? startLevel(side, output) !== null : null
  }
  return outputs.flatMap(({ pin, relation }, i) => {
    const both = [known(intended, names[i]!), known(readback, names[i]!)]
    return relation === 'equivalent' && both.includes(false) && !both.includes(null) ? [pin] : []
  })
}

interface Found {
  readonly pair: OutputPair
  readonly differences: readonly Difference[]
  readonly support: readonly number[]
  readonly free: Node
}

function different(work: Work, named: NamedOutput, { pair, differences, support, free }: Found): ComparedOutput {
  const { both, sides } = work
  const { space } = both
  const where = differences.reduce((any, difference) => space.diagrams.or(any, difference.where), 0)
  const turned = turnedStates(sides, space)
  const counterexample = firstReproduced(work, { pair, differences, support, turned })
  if (!counterexample) return undecided(named, 'not-reproduced')
  const counted = countDifferences(space, where, support)
  return {
    pin: pinOf(named),
    relation: 'different',
    side: sideOf(named),
    differsIn: differences.map(({ aspect }) => aspect),
    differingInputs: String(counted.differing),
    ofInputs: String(counted.of),
    counterexample,
    differsWhere: describeDifference(space, where, { turned, free }),
    reason: null,
  }
}

/** States that stand for the complement of Q on the intended side (or on the other where only that has a register). */
function turnedStates({ intended, readback }: Sides, { indexOf }: Space): Set<number> {
  const turned = new Map<number, boolean>()
  for (const side of [readback, intended])
    for (const cell of side.logic.cells)
      if (cell.register)
        turned.set(indexOf('state', sharedNames(side)(placeOf(cell), 'state')), cell.register.inverted)
  return new Set([...turned].flatMap(([index, inverted]) => (inverted ? [index] : [])))
}

/** The first aspect whose counterexample the reference simulation reproduces. */
function firstReproduced(
  work: Work,
  found: Omit<Found, 'free'> & { readonly turned: ReadonlySet<number> },
): Counterexample | null {
  const { space } = work.both
  for (const { aspect, where } of found.differences) {
    const assignment = space.diagrams.shortestCube(where)!.map((level) => (level === 2 ? 0 : level))
    const seen = showBoth(work, { aspect, assignment, pair: found.pair })
    if (!seen) continue
    return {
      ...namedLevels({ variables: space.variables, turned: found.turned }, assignment, found.support),
      ...seen,
    }
  }
  return null
}

interface Shown {
  readonly aspect: Aspect
  readonly assignment: Uint8Array
  readonly pair: OutputPair
}

/**
 * What both sides show under an assignment, by the reference simulation; null where it does not confirm the
 * difference.
 */
function showBoth(
  { both, sides }: Work,
  { aspect, assignment, pair }: Shown,
): Omit<Counterexample, keyof NamedLevels> | null {
  const levelsOf = (side: LogicSide): PartLevels => partLevels(both.space, side, assignment)
  const show = (side: LogicSide, output: OutputFunctions | null): Seen => {
    if (!output) return 'Z'
    const levels = levelsOf(side)
    if (aspect === 'enable' || aspect === 'value') return seenAtRest(side.logic, output.cell, levels)
    const clockPin = netlistOf(side.logic).clockPin[output.cell] ?? null
    if (aspect === 'next-state' && clockPin !== null)
      return seenAfterClock(side.logic, output.cell, { clockPin, levels })
    return valueOf(both.space, output, { aspect, assignment })
  }
  const [intended, readback] = [show(sides.intended, pair.intended), show(sides.readback, pair.readback)]
  const rows = {
    intended: pair.intended ? liveRows(sides.intended.logic, pair.intended.cell, levelsOf(sides.intended)) : [],
    readback: pair.readback ? liveRows(sides.readback.logic, pair.readback.cell, levelsOf(sides.readback)) : [],
  }
  return intended === readback || intended === 'X' || readback === 'X'
    ? null
    : { intended, readback, sequence: null, rows }
}

/** Level of the function of an aspect that no pin shows at once: a clock, or what holds or loads a register. */
function valueOf(
  { diagrams }: Space,
  { register }: OutputFunctions,
  { aspect, assignment }: Omit<Shown, 'pair'>,
): Seen {
  if (!register) return 'Z'
  const f = {
    clock: register.clock,
    'held-high': register.setHigh,
    'held-low': register.setLow,
    load: register.load,
    'next-state': register.next,
  }[aspect as 'clock']
  return diagrams.evaluate(f, assignment) ? 'H' : 'L'
}

/** An assignment as levels on the pins of one part. */
function partLevels({ indexOf }: Space, side: LogicSide, assignment: Uint8Array): PartLevels {
  const inputs = new Map<number, 0 | 1>()
  const states = new Map<Place, 0 | 1>()
  for (let pin = 1; pin <= side.logic.pinCount; pin++) {
    const level = indexOf('pin', sharedNames(side)(pin, 'pin'))
    if (level >= 0) inputs.set(pin, assignment[level] ? 1 : 0)
  }
  for (const place of side.logic.cells.map(placeOf)) {
    const state = indexOf('state', sharedNames(side)(place, 'state'))
    if (state >= 0) states.set(place, assignment[state] ? 1 : 0)
  }
  return { inputs, states }
}
