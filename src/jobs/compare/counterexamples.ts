/** Counterexamples: assignments out of a difference, tried on the reference simulation until one shows it there. */
import type { Node } from '../../logic/diagrams'
import type { Space } from '../../logic/variables'
import { cellNameOf, type CellName } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { Both } from './both-functions'
import { comparePins, type Aspect, type AspectDifference, type NamedLevels, type OutputPair } from './compare-output'
import { freePins, sharedNames, type LogicSide, type LogicSides } from './logic-sides'
import { clockVariable } from '../../logic/register-steps'
import { liveRows, replay, seenAt, type AppliedState, type Seen } from './replay'
import type { StepInputs } from './sequence-search'

/** Levels under which an output differs, and what each side then shows. */
export interface Counterexample extends NamedLevels {
  /** What the intended part shows. */
  readonly intended: Seen
  /** What the read-back shows. */
  readonly readback: Seen
  /**
   * Levels to apply one after the other, clock pins included, from unknown levels, from `state`, or from power-up;
   * null where the levels alone show it, or one rise of the clock pin after them.
   */
  readonly sequence: readonly StepInputs[] | null
  /** Array rows of this output whose terms are 1 then. */
  readonly rows: { readonly intended: readonly number[]; readonly readback: readonly number[] }
}

/**
 * Products of a difference that are tried, each with what it leaves free at 0 and at 1. Nearly every difference shows
 * at its first product; one that no product of so many shows hangs on something that the diagrams do not see.
 */
const MAX_PRODUCTS = 48

/** What a counterexample is looked for in. */
export interface Showing {
  readonly both: Both
  readonly sides: LogicSides
  readonly pair: OutputPair
  /** Names of pins that patterns name though nothing reads them. */
  readonly also?: readonly string[]
}

/** The first assignment of the differences that the reference simulation shows to differ; null where none does. */
export function findCounterexample(showing: Showing, differences: readonly AspectDifference[]): Counterexample | null {
  const { diagrams } = showing.both.space
  for (const { aspect, where } of differences) {
    // Where both sides drive there is something to see at the pin.
    const driven = diagrams.and(where, bothDrive(showing))
    for (const region of aspect === 'enable' ? [where] : [driven, diagrams.and(where, diagrams.not(driven))]) {
      const found = firstShown(showing, aspect, region)
      if (found) return found
    }
  }
  return null
}

function bothDrive({ both, pair }: Showing): Node {
  return both.space.diagrams.and(pair.intended?.enable ?? 0, pair.readback?.enable ?? 0)
}

function firstShown(showing: Showing, aspect: Aspect, region: Node): Counterexample | null {
  const { diagrams } = showing.both.space
  let rest = region
  for (let tries = 0; tries < MAX_PRODUCTS && rest !== 0; tries++) {
    const cube = diagrams.shortestCube(rest)
    if (!cube) return null
    for (const free of [0, 1]) {
      const shown = show(
        showing,
        aspect,
        cube.map((level) => (level === 2 ? free : level)),
      )
      if (shown) return shown
    }
    rest = diagrams.and(rest, diagrams.not(productOf(showing.both.space, cube)))
  }
  return null
}

/** A product as a function. */
export function productOf({ diagrams }: Space, cube: Uint8Array): Node {
  return cube.reduce((product, level, i) => {
    if (level === 2) return product
    return diagrams.and(product, level ? diagrams.variable(i) : diagrams.not(diagrams.variable(i)))
  }, 1)
}

/** An assignment on both sides; null where the reference simulation does not confirm that they differ. */
function show(showing: Showing, aspect: Aspect, assignment: Uint8Array): Counterexample | null {
  const { both, sides, pair } = showing
  for (const step of stepsFor(showing, aspect, assignment)) {
    const seen = (['intended', 'readback'] as const).map((side) => {
      const output = pair[side]
      if (!output) return { pin: 'Z', state: 'X' } as const
      const levels = partLevels(both.space, sides[side], assignment, both.states[side])
      return seenAt(replay(sides[side].logic, levels, step.applied(sides[side])), output.cell)
    })
    const [first, second] = seen as [ReturnType<typeof seenAt>, ReturnType<typeof seenAt>]
    const levels = { ...namedLevels(showing, assignment), rows: rowsOf(showing, assignment) }
    if (differ(first.pin, second.pin))
      return { ...levels, intended: first.pin, readback: second.pin, sequence: step.sequence }
    // A register that is off can be told apart by what it holds alone.
    const hidden = aspect !== 'enable' && aspect !== 'value' && first.pin === 'Z' && second.pin === 'Z'
    if (hidden && differ(first.state, second.state))
      return { ...levels, intended: first.state, readback: second.state, sequence: step.sequence }
  }
  return null
}

function differ(a: Seen, b: Seen): boolean {
  return a !== b && a !== 'X' && b !== 'X'
}

/** Levels applied to each pin of a side after the first ones, and the same as a sequence for the reader. */
interface Replayed {
  readonly applied: (side: LogicSide) => readonly ReadonlyMap<number, 0 | 1>[]
  readonly sequence: readonly StepInputs[] | null
}

const AT_ONCE: Replayed = { applied: () => [], sequence: null }

/** What is done after the levels are applied: nothing, or one pin changes so that a clock rises. */
function stepsFor(showing: Showing, aspect: Aspect, assignment: Uint8Array): readonly Replayed[] {
  if (aspect !== 'next-state' && aspect !== 'clock') return [AT_ONCE]
  const { both, pair } = showing
  const { diagrams, variables } = both.space
  const clocks = [pair.intended?.register?.clock ?? 0, pair.readback?.register?.clock ?? 0]
  const rises = (variable: number): boolean => {
    const flipped = assignment.slice()
    flipped[variable] = 1 - flipped[variable]!
    return clocks.some((clock) => !diagrams.evaluate(clock, assignment) && diagrams.evaluate(clock, flipped) === 1)
  }
  const pins = [...new Set(clocks.flatMap((clock) => diagrams.support(clock)))].filter(
    (variable) => variables[variable]!.kind === 'pin' && rises(variable),
  )
  const plain = clocks[0] === clocks[1] && clockVariable(diagrams, clocks[0]!) !== null
  return pins.map((variable): Replayed => {
    const { name } = variables[variable]!
    const level = (1 - assignment[variable]!) as 0 | 1
    const before = namedLevels(showing, assignment).inputs
    return {
      applied: (side) => [new Map(pinsOfName(side, name).map((pin) => [pin, level]))],
      sequence: plain ? null : [before, { ...before, [name]: level }],
    }
  })
}

function pinsOfName(side: LogicSide, name: string): number[] {
  const all = Array.from({ length: side.logic.pinCount }, (_, i) => i + 1)
  return all.filter((pin) => sharedNames(side)(pin, 'pin') === name)
}

/** An assignment as levels on the pins of one part and states of its registers, as their pins show them. */
function partLevels(
  { indexOf }: Space,
  side: LogicSide,
  assignment: Uint8Array,
  { bits }: Both['states']['intended'],
): AppliedState {
  const inputs = new Map<number, 0 | 1>()
  const states = new Map<CellName, 0 | 1>()
  const levelAt = (index: number): 0 | 1 => (assignment[index] === 1 ? 1 : 0)
  for (let pin = 1; pin <= side.logic.pinCount; pin++) {
    const index = indexOf('pin', sharedNames(side)(pin, 'pin'))
    if (index >= 0) inputs.set(pin, levelAt(index))
  }
  for (const cell of side.logic.cells) {
    const index = indexOf('state', sharedNames(side)(cellNameOf(cell), 'state'))
    if (index < 0) continue
    const flipped = bits.some((bit) => bit.variable === index && bit.register.flipped)
    states.set(cellNameOf(cell), flipped ? ((1 - levelAt(index)) as 0 | 1) : levelAt(index))
  }
  return { inputs, states }
}

/** Every free pin, and Q of every register that can be seen: those of the intended part, or of the other alone. */
export function namedLevels({ both, sides, also }: Omit<Showing, 'pair'>, assignment: Uint8Array): NamedLevels {
  const { indexOf } = both.space
  const levelAt = (index: number): 0 | 1 => (assignment[index] === 1 ? 1 : 0)
  const inputs = [...new Set([...freePins(sides), ...(also ?? [])])]
    .sort(comparePins)
    .flatMap((name) => (indexOf('pin', name) < 0 ? [] : [[name, levelAt(indexOf('pin', name))] as const]))
  return { inputs: Object.fromEntries(inputs), state: statesByName({ both, sides }, (variable) => levelAt(variable)) }
}

/** Q of registers by name, given the levels of their variables. */
export function statesByName(
  { both, sides }: Pick<Showing, 'both' | 'sides'>,
  levelOf: (variable: number, name: string) => 0 | 1,
): Record<string, 0 | 1> {
  const states = new Map<string, 0 | 1>()
  for (const key of ['readback', 'intended'] as const) {
    const side = sides[key]
    const { seen, registered } = netlistOf(side.logic)
    side.logic.cells.forEach((cell, i) => {
      if (!seen[i] || !registered[i] || !cell.register) return
      const name = sharedNames(side)(cellNameOf(cell), 'state')
      const variable = both.space.indexOf('state', name)
      const flipped = both.states[key].bits.some((bit) => bit.variable === variable && bit.register.flipped)
      const level = levelOf(variable, name)
      states.set(name, cell.register.inverted !== flipped ? ((1 - level) as 0 | 1) : level)
    })
  }
  return Object.fromEntries([...states].sort(([a], [b]) => comparePins(a, b)))
}

function rowsOf({ both, sides, pair }: Showing, assignment: Uint8Array): Counterexample['rows'] {
  const rows = (key: 'intended' | 'readback'): readonly number[] => {
    const output = pair[key]
    if (!output) return []
    const side = sides[key]
    return liveRows(side.logic, output.cell, partLevels(both.space, side, assignment, both.states[key]))
  }
  return { intended: rows('intended'), readback: rows('readback') }
}
