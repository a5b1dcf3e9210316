/**
 * Whether one table is another with its columns exchanged or turned round: colours narrow the choice, what is left is
 * tried, and nothing counts that was not checked in all rows.
 */
import type { Pieces } from '../../arguments/pieces'
import {
  coloursMatch,
  firstColours,
  refined,
  type Colours,
  type Inversions,
  type PackedTable,
  type Signature,
} from './wiring-signatures'

/** A table with its signature, and which of its literals can be exchanged without a change: representative of each. */
export interface Side {
  readonly table: PackedTable
  readonly signature: Signature
  readonly classes: Colours
}

/** Literal of the capture for each column of the reference. */
export interface Mapping {
  readonly inputs: readonly number[]
  readonly outputs: readonly number[]
}

/** Steps that are left; every refinement and every look at all rows is one. */
export interface SearchSteps {
  steps: number
  /** A piece of the search is done once the steps that are left fall to this. */
  pieceEnd: number
  /** Called at every step with those that are left. */
  readonly look?: (left: number) => void
}

/** Thrown where the steps are used up. */
export class OutOfSteps extends Error {
  override readonly name = 'OutOfSteps'
}

/** Steps of a piece: each is some tenths of a millisecond, of 262,144 rows up to five. */
const STEPS_A_PIECE = 8

/** As many steps, under a look where somebody looks on. */
export function budgetOf(steps: number, look?: SearchSteps['look']): SearchSteps {
  return { steps, pieceEnd: steps - STEPS_A_PIECE, ...(look ? { look } : {}) }
}

/** True once as many steps were taken since the last time, or the beginning, as make a piece of the search. */
export function isPieceDone(budget: SearchSteps): boolean {
  if (budget.steps > budget.pieceEnd) return false
  budget.pieceEnd = budget.steps - STEPS_A_PIECE
  return true
}

/** Takes a step. */
export function takeStep(budget: SearchSteps): void {
  if (budget.steps <= 0) throw new OutOfSteps('the bound of the search was reached')
  budget.steps--
  budget.look?.(budget.steps)
}

/** Address of the capture for each row of the reference. */
export function rowsUnder({ inputs }: Mapping): Int32Array {
  const at = new Int32Array(2 ** inputs.length)
  at[0] = inputs.reduce((turned, literal) => (literal & 1 ? turned ^ (1 << (literal >>> 1)) : turned), 0)
  inputs.forEach((literal, input) => {
    const [size, bit] = [1 << input, 1 << (literal >>> 1)]
    for (let row = 0; row < size; row++) at[row + size] = at[row]! ^ bit
  })
  return at
}

/** Levels of the capture's outputs as the reference orders them, by bytes of them. */
function outputBytes({ outputs }: Mapping): Uint32Array {
  const table = new Uint32Array(4 * 256)
  outputs.forEach((literal, output) => {
    const line = literal >>> 1
    for (let byte = 0; byte < 256; byte++)
      if ((byte >>> (line & 7)) & 1) table[(line >>> 3) * 256 + byte]! |= 1 << output
  })
  return table
}

/** Rows in which the tables differ under a mapping; stops counting past `limit`. */
export function differingRows(
  capture: PackedTable,
  reference: PackedTable,
  { mapping, limit }: { readonly mapping: Mapping; readonly limit: number },
): number {
  const at = rowsUnder(mapping)
  const bytes = outputBytes(mapping)
  const turned = mapping.outputs.reduce((bits, literal, output) => bits | ((literal & 1) << output), 0)
  const { known } = capture
  let count = 0
  for (let row = 0; row < at.length && count <= limit; row++) {
    if (known && ((known[at[row]! >>> 5]! >>> (at[row]! & 31)) & 1) === 0) continue
    const levels = capture.rows[at[row]!]!
    const moved =
      bytes[levels & 255]! |
      bytes[256 + ((levels >>> 8) & 255)]! |
      bytes[512 + ((levels >>> 16) & 255)]! |
      bytes[768 + (levels >>> 24)]!
    if (((moved ^ turned ^ reference.rows[row]!) | 0) !== 0) count++
  }
  return count
}

/** Whether exchanging two literals of inputs changes nothing. */
function exchangeable({ inputs, rows }: PackedTable, a: number, b: number): boolean {
  const mapping = Array.from({ length: inputs }, (_, input) => 2 * input)
  if (a >>> 1 === b >>> 1) mapping[a >>> 1]! ^= 1
  else {
    const turned = (a ^ b) & 1
    mapping[a >>> 1] = (b & ~1) | turned
    mapping[b >>> 1] = (a & ~1) | turned
  }
  const at = rowsUnder({ inputs: mapping, outputs: [] })
  return at.every((other, row) => rows[other] === rows[row])
}

/** Whether two literals of outputs are equal in all rows. */
function equalOutputs({ rows }: PackedTable, a: number, b: number): boolean {
  const turned = (a ^ b) & 1
  return rows.every((levels) => ((levels >>> (a >>> 1)) & 1) === (((levels >>> (b >>> 1)) & 1) ^ turned))
}

/** The first literal that each can be exchanged with. Only literals of one colour come into question. */
function classesOf(literals: Int32Array, same: (a: number, b: number) => boolean): Int32Array {
  const representatives: number[] = []
  return literals.map((colour, literal) => {
    const found = representatives.find((other) => literals[other] === colour && same(other, literal))
    if (found !== undefined) return found
    representatives.push(literal)
    return literal
  })
}

/** A table made ready for matching. */
export function prepareSide(table: PackedTable, signature: Signature, inversions: Inversions): Side {
  const colours = refined(signature, firstColours(signature, inversions))
  return {
    table,
    signature,
    classes: {
      inputs: classesOf(colours.inputs, (a, b) => exchangeable(table, a, b)),
      outputs: classesOf(colours.outputs, (a, b) => equalOutputs(table, a, b)),
    },
  }
}

/** Both tables under comparison, with what has been chosen so far as colours of its own. */
export interface Question {
  readonly capture: Side
  readonly reference: Side
  readonly budget: SearchSteps
}

/** A mapping under which the tables are equal and which keeps the colours; null where there is none. */
export function* findMapping(
  question: Question,
  ofCapture: Colours,
  ofReference: Colours,
): Pieces<Mapping | null> {
  const { capture, reference, budget } = question
  if (isPieceDone(budget)) yield
  takeStep(budget)
  const [a, b] = [refined(capture.signature, ofCapture), refined(reference.signature, ofReference)]
  if (!coloursMatch(a, b)) return null
  const open = smallestCell(b)
  if (!open)
    return checked(question, { inputs: mappedBy(a.inputs, b.inputs), outputs: mappedBy(a.outputs, b.outputs) })
  for (const literal of candidates(capture, a, { kind: open.kind, colour: b[open.kind][open.literal]! })) {
    const found = yield* findMapping(question, chosen(a, open.kind, literal), chosen(b, open.kind, open.literal))
    if (found) return found
  }
  return null
}

/** Literals of a colour, one of each class. */
function candidates(
  { classes }: Side,
  colours: Colours,
  { kind, colour }: { readonly kind: keyof Colours; readonly colour: number },
): number[] {
  const tried = new Set<number>()
  return [...colours[kind].keys()].filter((literal) => {
    const representative = classes[kind][literal]!
    return colours[kind][literal] === colour && !tried.has(representative) && tried.add(representative) !== null
  })
}

/** A literal of the smallest set of two or more that have one colour. */
export function smallestCell(
  colours: Colours,
): { readonly kind: keyof Colours; readonly literal: number; readonly members: readonly number[] } | null {
  const cells = (['inputs', 'outputs'] as const).flatMap((kind) => {
    const members = new Map<number, number[]>()
    colours[kind].forEach((colour, literal) => members.set(colour, [...(members.get(colour) ?? []), literal]))
    return [...members.values()]
      .filter(({ length }) => length > 1)
      .map((cell) => ({ kind, literal: cell[0]!, members: cell }))
  })
  return cells.reduce<(typeof cells)[number] | null>(
    (best, cell) => (best && best.members.length <= cell.members.length ? best : cell),
    null,
  )
}

/** Colours with one literal told apart from all others. */
export function chosen(colours: Colours, kind: keyof Colours, literal: number): Colours {
  return { ...colours, [kind]: colours[kind].map((colour, i) => (i === literal ? colour ^ 0x5bd1e995 : colour)) }
}

/** For each column of the reference the literal of the capture that has the colour of the column's plain literal. */
function mappedBy(capture: Int32Array, reference: Int32Array): number[] {
  return Array.from({ length: reference.length / 2 }, (_, column) => capture.indexOf(reference[2 * column]!))
}

function checked({ capture, reference, budget }: Question, mapping: Mapping): Mapping | null {
  takeStep(budget)
  const once = (literals: readonly number[]): boolean =>
    new Set(literals.map((literal) => literal >>> 1)).size === literals.length && !literals.includes(-1)
  const sound = once(mapping.inputs) && once(mapping.outputs)
  return sound && differingRows(capture.table, reference.table, { mapping, limit: 0 }) === 0 ? mapping : null
}
