/** The terms of an output as another part can take them: as they stand, or as a short sum with either polarity. */
import { coverOf } from '../logic/cover'
import { createDiagrams, withinLimit, type Diagrams, type Node } from '../logic/diagrams'
import {
  cubesOf,
  isContradiction,
  structuralConstant,
  usedSignals,
  type Cube,
  type Expression,
  type LogicCell,
  type Register,
} from '../logic/logic'
import type { Cell, CellSetting } from './device'

/**
 * Most terms of a sum that is looked for: four times the 16 that the largest output of a catalogued part takes
 * (GAL22V10 data sheet, 22v10_08, p. 4), so that a refusal can say how far a map is from fitting.
 */
const MAX_SHORT_SUM = 64

/** Most nodes of the diagrams of one output; sums of 20 inputs and 16 terms stay far below it. */
const MAX_OUTPUT_NODES = 200_000

/** How an output stands in a cell of another part. */
export interface TermPlan {
  /** The terms of each sum of the cell. */
  readonly sums: readonly (readonly Cube[])[]
  /** Value of the polarity fuse. */
  readonly turned: 0 | 1
  /** True where the new register holds the complement of what the old one holds. */
  readonly flipped: boolean
}

/** A plan, or what keeps the cell from taking the output. */
export type Planned =
  | TermPlan
  | { readonly reason: 'polarity' | 'reset' }
  | {
      readonly reason: 'terms' | 'exclusive-or'
      /** Fewest terms that were found in an allowed polarity; null for more than can be looked for. */
      readonly needed: number | null
      readonly room: number
      readonly searched: number
    }

/** An output and the cell that it goes to. */
export interface CellChoice {
  readonly output: LogicCell
  readonly cell: Cell
  readonly setting: CellSetting
  /** True where it is open how the register of the source starts. */
  readonly startOpen: boolean
}

/** One way to write an output: its sums or their complement, its register's Q or its complement. */
interface Way {
  readonly complement: boolean
  readonly flipped: boolean
  readonly turned: 0 | 1
}

/** Places the terms of an output: where they fit as they stand, they keep their places. */
export function planOutput(place: CellChoice): Planned {
  const ways = waysOf(place)
  const [first] = ways
  if (!first) return { reason: isInverterMissing(place) ? 'polarity' : 'reset' }
  const kept = first.complement || first.flipped ? null : keptSums(place)
  if (kept) return { sums: kept, turned: first.turned, flipped: false }
  const room = roomsOf(place)[0] ?? 0
  const { sums } = dataOf(place.output)
  let needed: number | null = null
  for (const { complement, flipped, turned } of ways) {
    const terms = shortSum(sums, complement)
    if (terms && terms.length <= room) return { sums: [terms], turned, flipped }
    if (terms) needed = Math.min(needed ?? Infinity, terms.length)
  }
  return {
    reason: liveSums(sums).length > place.setting.sums.length ? 'exclusive-or' : 'terms',
    needed,
    room,
    searched: MAX_SHORT_SUM,
  }
}

function dataOf({ value, register }: LogicCell): Expression {
  return value ?? register!.data
}

const BOTH = [false, true] as const

/** The ways that give the pin its level, those that change least first. */
function waysOf(place: CellChoice): readonly Way[] {
  const flips = place.output.register && place.startOpen && isFree(place.output.register) ? BOTH : [false]
  return flips.flatMap((flipped) =>
    BOTH.flatMap((complement) => {
      const turned = turnedBy(place, complement, flipped)
      return turned === null || (turned && place.setting.polarity === 'none')
        ? []
        : [{ complement, flipped, turned: turned ? (1 as const) : (0 as const) }]
    }),
  )
}

/** Whether the polarity fuse inverts; null where the cell cannot do it in this way whatever the fuse does. */
function turnedBy({ output, setting }: CellChoice, complement: boolean, flipped: boolean): boolean | null {
  const { value, register } = output
  if (value) return (value.inverted !== setting.inverting) !== complement
  const { data, inverted } = register!
  if (setting.polarity === 'after')
    return (data.inverted !== complement) !== flipped ? null : (inverted !== setting.inverting) !== flipped
  return (inverted !== setting.inverting) !== flipped ? null : (data.inverted !== complement) !== flipped
}

/** True for a register that nothing sets to a level but its data. */
function isFree({ powerUp, reset, preset, clockedPreset, load, bypass }: Register): boolean {
  return (
    powerUp === null &&
    !bypass &&
    [reset, preset, clockedPreset, load].every((expression) => structuralConstant(expression) === 0)
  )
}

/** True where a polarity fuse alone would let the cell take the output. */
function isInverterMissing(place: CellChoice): boolean {
  return (
    place.setting.polarity === 'none' &&
    waysOf({ ...place, setting: { ...place.setting, polarity: 'before' } }).length > 0
  )
}

/** How many terms each sum of a cell has room for. */
function roomsOf({ cell, setting }: CellChoice): readonly number[] {
  return setting.sums.map(({ from, count }) => Math.min(count, cell.rowCount - from))
}

function liveSums(sums: Expression['sums']): Expression['sums'] {
  return sums.filter((terms) => terms.some((cube) => !isContradiction(cube)))
}

/**
 * The sums as they stand; terms that are constant 0 are left out where there are too many; null where it does not do.
 */
function keptSums(place: CellChoice): Expression['sums'] | null {
  const rooms = roomsOf(place)
  const all = dataOf(place.output).sums
  const sums = all.length <= rooms.length ? all : liveSums(all)
  if (sums.length > rooms.length) return null
  const kept = sums.map((terms, i) =>
    terms.length <= rooms[i]! ? terms : terms.filter((cube) => !isContradiction(cube)),
  )
  return kept.every((terms, i) => terms.length <= rooms[i]!) ? kept : null
}

/**
 * An exclusive-or of sums, or its complement, as one short sum of primes, none of them covered by the others; null
 * where it takes more than MAX_SHORT_SUM terms or MAX_OUTPUT_NODES nodes. Short, not always the shortest.
 */
function shortSum(sums: Expression['sums'], complement: boolean): readonly Cube[] | null {
  const expression = { sums, inverted: complement }
  const signals = usedSignals([expression])
  const diagrams = createDiagrams(signals.length, { maxNodes: MAX_OUTPUT_NODES })
  return withinLimit(() => {
    const f = diagramOf(diagrams, expression, signals)
    const { products, complete } = coverOf(diagrams, f, { limit: MAX_SHORT_SUM })
    if (!complete) return null
    return products.map((product): Cube => {
      const literals = signals.flatMap((signal, i) => (product[i] === 2 ? [] : [2 * signal + 1 - product[i]!]))
      return { literals, origin: -1 }
    })
  })
}

function diagramOf(diagrams: Diagrams, { sums, inverted }: Expression, signals: readonly number[]): Node {
  const nodeOf = (literal: number): Node => {
    const node = diagrams.variable(signals.indexOf(literal >>> 1))
    return literal & 1 ? diagrams.not(node) : node
  }
  const sumOf = (terms: readonly Cube[]): Node =>
    cubesOf({ sums: [terms], inverted: false })
      .filter((cube) => !isContradiction(cube))
      .map(({ literals }) => literals.reduce<Node>((all, literal) => diagrams.and(all, nodeOf(literal)), 1))
      .reduce<Node>((any, node) => diagrams.or(any, node), 0)
  const value = sums.reduce<Node>((odd, terms) => diagrams.xor(odd, sumOf(terms)), 0)
  return inverted ? diagrams.not(value) : value
}
