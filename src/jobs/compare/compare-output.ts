/** One output of two parts: where it differs, exactly. */
import { coverOf, type Cover, type DifferenceCover } from '../../logic/cover'
import type { Node } from '../../logic/diagrams'
import type { FreeVariable, OutputFunctions, RegisterFunctions, Space } from '../../logic/functions'

/**
 * What of an output differs: whether it drives, the level while both drive, the level of its register after a clock,
 * the
 * clock itself, what holds it high or low, what loads it, or where it starts. A loop is compared by the enable and
 * the value
 * of its pins as functions of what the loop holds.
 */
export type Aspect = 'enable' | 'value' | 'next-state' | 'clock' | 'held-high' | 'held-low' | 'load' | 'power-up'

/** Where one aspect differs: the function that is 1 there. */
export interface Difference {
  readonly aspect: Aspect
  readonly where: Node
}

/** An output on both sides. A side that has none there never drives. */
export interface OutputPair {
  readonly intended: OutputFunctions | null
  readonly readback: OutputFunctions | null
}

const NONE = { enable: 0, value: 0, register: null, defined: true } as const

/** Where the two sides of an output differ, within `care`; aspects without a difference are left out. */
export function differencesOf({ diagrams }: Space, pair: OutputPair, care: Node): readonly Difference[] {
  const a = pair.intended ?? NONE
  const b = pair.readback ?? NONE
  const bothDrive = diagrams.and(a.enable, b.enable)
  const found: [Aspect, Node][] = [
    ['enable', diagrams.xor(a.enable, b.enable)],
    ['value', diagrams.and(bothDrive, diagrams.xor(a.value, b.value))],
  ]
  if (a.register && b.register)
    found.push(...registerDifferences(diagrams, a.register, b.register, diagrams.not(bothDrive)))
  return found.flatMap(([aspect, where]) => {
    const seen = diagrams.and(where, care)
    return seen === 0 ? [] : [{ aspect, where: seen }]
  })
}

/**
 * The next state matters only while nothing holds the register, and just before an edge its clock is low. A clock
 * that is
 * one pin is low there by itself, so that it leaves the count alone.
 */
function registerDifferences(
  diagrams: Space['diagrams'],
  a: RegisterFunctions,
  b: RegisterFunctions,
  off: Node,
): [Aspect, Node][] {
  const held = [a.setHigh, a.setLow, b.setHigh, b.setLow].reduce((any, each) => diagrams.or(any, each))
  const idle = diagrams.or(held, diagrams.or(a.clock, b.clock))
  const rises = a.clock > 1 || b.clock > 1
  const next = diagrams.and(diagrams.xor(a.next, b.next), diagrams.not(idle))
  const pin = diagrams.support(a.clock)
  const nextBeforeEdge = a.clock === b.clock && pin.length === 1 ? diagrams.exists(next, pin) : next
  return [
    ['held-high', diagrams.xor(a.setHigh, b.setHigh)],
    ['held-low', diagrams.xor(a.setLow, b.setLow)],
    ['clock', diagrams.xor(a.clock, b.clock)],
    ['load', diagrams.and(off, diagrams.xor(a.load, b.load))],
    ['next-state', rises ? nextBeforeEdge : 0],
  ]
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
  differences: readonly Difference[],
): readonly number[] {
  const functions = [
    ...[intended, readback].flatMap((output) => (output ? functionsOf(output) : [])),
    ...differences.map(({ where }) => where),
  ]
  return [...new Set(functions.flatMap((f) => diagrams.support(f)))].sort((a, b) => a - b)
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

/** Variables by number, and those of registers whose Q is the complement of what the intended part's pin shows. */
export interface Naming {
  readonly variables: readonly FreeVariable[]
  readonly turned: ReadonlySet<number>
}

/** An assignment by name, registers as the level of Q; what is free is taken as 0. */
export function namedLevels(
  { variables, turned }: Naming,
  assignment: Uint8Array,
  support: readonly number[],
): NamedLevels {
  const inputs: Record<string, 0 | 1> = {}
  const state: Record<string, 0 | 1> = {}
  const byPin = [...support].sort((a, b) => comparePins(variables[a]!.name, variables[b]!.name))
  for (const index of byPin) {
    const { kind, name } = variables[index]!
    const level = assignment[index] === 1 ? 1 : 0
    if (kind === 'state') state[name] = turned.has(index) ? ((1 - level) as 0 | 1) : level
    else inputs[name] = level
  }
  return { inputs, state }
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
