/** One output of two parts: where it differs, exactly. */
import { coverOf, type Cover, type DifferenceCover } from '../../logic/cover'
import type { Diagrams, Node } from '../../logic/diagrams'
import type { OutputFunctions, RegisterFunctions } from '../../logic/functions'
import type { Space } from '../../logic/variables'
import type { Both } from './both-functions'
import { clockVariable, type Levels } from '../../logic/register-steps'

/**
 * What of an output differs: whether it drives, the level while both drive, the level of its register after a clock,
 * the clock itself, what holds it high or low, what loads it, or where it starts. A loop is compared by the enable and
 * the value of its pins as functions of what the loop holds.
 */
export type Aspect = 'enable' | 'value' | 'next-state' | 'clock' | 'held-high' | 'held-low' | 'load' | 'power-up'

/** Where one aspect differs: the function that is 1 there. */
export interface AspectDifference {
  readonly aspect: Aspect
  readonly where: Node
}

/** An output on both sides. A side that has none there never drives. */
export interface OutputPair {
  readonly intended: OutputFunctions | null
  readonly readback: OutputFunctions | null
}

/** An output that a side does not have. */
export const NO_OUTPUT = {
  enable: 0,
  value: 0,
  register: null,
} as const

/** The states of both sides that differences are looked for in. */
export type BothStates = Both['states']

/**
 * Where the two sides of an output differ, within `care`; aspects without a difference are left out. Levels at rest
 * count in states that can last on both sides; what resets and presets do counts from states that can be on both.
 */
export function differencesOf(
  { diagrams }: Space,
  pair: OutputPair,
  { care, states, variable }: { readonly care: Node; readonly states: BothStates; readonly variable: number },
): readonly AspectDifference[] {
  const a = pair.intended ?? NO_OUTPUT
  const b = pair.readback ?? NO_OUTPUT
  const bothDrive = diagrams.and(a.enable, b.enable)
  const lasting = diagrams.and(states.intended.lasting, states.readback.lasting)
  const found: [Aspect, Node][] = [
    ['enable', diagrams.and(lasting, diagrams.xor(a.enable, b.enable))],
    ['value', diagrams.and(lasting, diagrams.and(bothDrive, diagrams.xor(a.value, b.value)))],
  ]
  if (a.register && b.register)
    found.push(
      ...registerDifferences(diagrams, a.register, b.register, {
        states,
        off: diagrams.not(bothDrive),
        variable,
      }),
    )
  return found.flatMap(([aspect, where]) => {
    const seen = diagrams.and(where, care)
    return seen === 0 ? [] : [{ aspect, where: seen }]
  })
}

interface Registers {
  readonly states: BothStates
  readonly off: Node
  /** Variable of the register. */
  readonly variable: number
}

function registerDifferences(
  diagrams: Diagrams,
  a: RegisterFunctions,
  b: RegisterFunctions,
  { states, off, variable }: Registers,
): [Aspect, Node][] {
  const { intended, readback } = states
  const state = diagrams.variable(variable)
  const lasting = diagrams.and(intended.lasting, readback.lasting)
  const levels = (held: Levels | null): Node => held?.levels[variable] ?? state
  const moved = diagrams.and(
    diagrams.and(intended.possible, readback.possible),
    diagrams.xor(levels(intended.held), levels(readback.held)),
  )
  return [
    ['held-high', diagrams.and(moved, diagrams.not(state))],
    ['held-low', diagrams.and(moved, state)],
    ['clock', diagrams.and(lasting, clockDifference(diagrams, a, b, state))],
    ['load', diagrams.and(lasting, diagrams.and(off, diagrams.xor(a.load, b.load)))],
    ['next-state', nextDifference(diagrams, { a, b, states, lasting, variable })],
  ]
}

/** Clocks differ where at least one side could take another state: not where a reset meets a preset on both. */
function clockDifference(diagrams: Diagrams, a: RegisterFunctions, b: RegisterFunctions, state: Node): Node {
  if (a.clock === b.clock) return 0
  const changes = diagrams.or(diagrams.xor(a.next, state), diagrams.xor(b.next, state))
  const meet = [a, b].reduce((all, { setHigh, setLow }) => diagrams.and(all, diagrams.and(setHigh, setLow)), 1)
  return changes === 0 ? 0 : diagrams.and(diagrams.xor(a.clock, b.clock), diagrams.not(meet))
}

/** A register on both sides, and the states in which its differences count. */
interface NextGiven {
  readonly a: RegisterFunctions
  readonly b: RegisterFunctions
  readonly states: BothStates
  readonly lasting: Node
  readonly variable: number
}

/**
 * Registers after a rise, holds of the high clock included. Just before an edge a clock is low; one that is a pin is
 * low there by itself, so that it leaves the count alone. Where some clock is no pin, what makes it rise is not said,
 * and what a hold ends at once may still clock others: there what is taken counts whatever holds make of it.
 */
function nextDifference(diagrams: Diagrams, given: NextGiven): Node {
  const { a, b, states: { intended, readback }, lasting, variable } = given
  if (a.clock <= 1 && b.clock <= 1) return 0
  const after = [intended.clocked(a.clock), readback.clocked(b.clock)].map((levels) => levels?.levels ?? [])
  // Equal data that a reset or preset of one side alone changes are a difference of the holds, counted there.
  const sameHolds = a.setHigh === b.setHigh && a.setLow === b.setLow
  const counts = sameHolds ? lasting : diagrams.and(lasting, diagrams.not(takenAlike(diagrams, given)))
  const held = diagrams.and(differing(diagrams, variable, after), counts)
  const taken = diagrams.and(
    differing(diagrams, variable, [intended.taken(a.clock), readback.taken(b.clock)]),
    intended.clockedByPins && readback.clockedByPins ? 0 : lasting,
  )
  const next = diagrams.and(diagrams.or(held, taken), diagrams.not(diagrams.or(a.clock, b.clock)))
  const pin = a.clock === b.clock ? clockVariable(diagrams, a.clock) : null
  return pin === null ? next : diagrams.exists(next, [pin])
}

/** Where a register has other levels on one side; it keeps its state where it has none. */
export function differing(
  diagrams: Diagrams,
  variable: number,
  [one, other]: readonly Levels['levels'][],
): Node {
  const state = diagrams.variable(variable)
  return diagrams.xor(one?.[variable] ?? state, other?.[variable] ?? state)
}

/** Where both sides take the same state and it can be on both: what holds make of that is counted by itself. */
function takenAlike(diagrams: Diagrams, { a, b, states: { intended, readback } }: NextGiven): Node {
  const taken = [intended.taken(a.clock), readback.taken(b.clock)]
  const variables = new Set([...intended.bits, ...readback.bits].map((bit) => bit.variable))
  const possible = diagrams.substitute(diagrams.and(intended.possible, readback.possible), taken[0]!)
  return [...variables].reduce(
    (alike, variable) => diagrams.and(alike, diagrams.not(differing(diagrams, variable, taken))),
    possible,
  )
}

/** Every function of an output. */
export function functionsOf({ enable, value, register }: OutputFunctions): Node[] {
  return [
    enable,
    value,
    ...(register ? [register.next, register.clock, register.setHigh, register.setLow, register.load] : []),
  ]
}

/** The variables that decide about an output on either side, and about which of its differences count. */
export function supportOf(
  { diagrams }: Space,
  { intended, readback }: OutputPair,
  differences: readonly AspectDifference[],
): readonly number[] {
  const functions = [
    ...[intended, readback].flatMap((output) => (output ? functionsOf(output) : [])),
    ...differences.map(({ where }) => where),
  ]
  return [...new Set(functions.flatMap((f) => diagrams.support(f)))]
}

/** How many of how many assignments of the joint support differ. */
export function countDifferences(
  { diagrams }: Space,
  where: Node,
  support: readonly number[],
): { readonly differing: bigint; readonly of: bigint } {
  const unused = BigInt(diagrams.variableCount - support.length)
  return { differing: diagrams.count(where) >> unused, of: 1n << BigInt(support.length) }
}

/** Levels by the name of the pin that they are applied to (inputs, loops) or that shows them (states). */
export interface NamedLevels {
  readonly inputs: Readonly<Record<string, 0 | 1>>
  readonly state: Readonly<Record<string, 0 | 1>>
}

/** Pins in the order of their numbers, those of the other part last. */
export function comparePins(a: string, b: string): number {
  return Number(/\D/.test(a)) - Number(/\D/.test(b)) || Number(a.replace(/\D/g, '')) - Number(b.replace(/\D/g, ''))
}

const MOST_PRODUCTS = 12

/** A short sum of products of where an output differs; `free` may be covered or not. */
export function describeDifference(
  space: Space,
  where: Node,
  { turned, free }: { readonly turned: ReadonlySet<number>; readonly free: Node },
): DifferenceCover {
  const { products, complete }: Cover = coverOf(space.diagrams, where, { free, limit: MOST_PRODUCTS })
  const keys = space.variables.map(({ kind, name }) =>
    kind === 'state' ? `q${name}` : kind === 'pin' ? name : `${kind} ${name}`,
  )
  const signs = space.variables.map(({ kind, name }) =>
    kind === 'state' ? `q${name}` : kind === 'pin' ? `p${name}` : `${kind} p${name}`,
  )
  const order = space.variables
    .map((_, i) => i)
    .sort((a, b) => comparePins(space.variables[a]!.name, space.variables[b]!.name))
  const fixed = (product: Uint8Array): number[] => order.filter((i) => product[i] !== 2)
  const levelAt = (product: Uint8Array, i: number): 0 | 1 => (turned.has(i) ? 1 - product[i]! : product[i]!) as 0 | 1
  const text = products.map(
    (product) =>
      fixed(product)
        .map((i) => (levelAt(product, i) ? '' : '¬') + signs[i]!)
        .join(' ∧ ') || '1',
  )
  return {
    products: products.map((product) =>
      Object.fromEntries(fixed(product).map((i) => [keys[i]!, levelAt(product, i)])),
    ),
    complete,
    text:
      text.map((each) => (text.length > 1 && each.includes('∧') ? `(${each})` : each)).join(' ∨ ') +
      (complete ? '' : ' ∨ …'),
  }
}
