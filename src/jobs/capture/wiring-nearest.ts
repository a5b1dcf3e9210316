/**
 * The wiring under which two tables of different functions differ in the fewest rows, as far as a bounded search
 * finds it.
 */
import type { Pieces } from '../../arguments/pieces'
import { differingRows, isPieceDone, takeStep, type SearchSteps, type Mapping, type Side } from './wiring-match'
import type { Inversions, Signature } from './wiring-signatures'

/** A wiring with the rows in which it fails. */
export interface Miss {
  readonly mapping: Mapping
  readonly rows: number
}

/** Most arrangements of inputs that are simply all tried. */
const FEW = 800

interface Hunt {
  readonly capture: Side
  readonly reference: Side
  readonly inversions: Inversions
  readonly budget: SearchSteps
}

/**
 * The nearest wiring found: outputs and inputs are paired so that their signatures differ least, then exchanged and
 * turned round as long as that helps. Where there are few arrangements of the inputs all of them are tried first.
 *
 * @throws OutOfSteps past the budget
 */
export function* nearestMiss(hunt: Hunt): Pieces<Miss> {
  const byOutputs = pairedOutputs(hunt)
  const starts = [pairedInputs(hunt, byOutputs)]
  for (const inputs of arrangements(hunt)) {
    starts.push({ inputs, outputs: bestOutputs(hunt, inputs) })
    if (isPieceDone(hunt.budget)) yield
  }
  let best: Miss | null = null
  for (const mapping of starts) {
    if (isPieceDone(hunt.budget)) yield
    const rows = missOf(hunt, mapping, best ? best.rows : Infinity)
    if (!best || rows < best.rows) best = { mapping, rows }
  }
  return yield* improved(hunt, best!)
}

function missOf({ capture, reference, budget }: Hunt, mapping: Mapping, limit: number): number {
  takeStep(budget)
  return differingRows(capture.table, reference.table, { mapping, limit })
}

/** Takes the first exchange that helps, over and over. */
function* improved(hunt: Hunt, start: Miss): Pieces<Miss> {
  let best = start
  for (let better = true; better;) {
    better = false
    for (const mapping of neighbours(best.mapping, hunt.inversions)) {
      if (isPieceDone(hunt.budget)) yield
      const rows = missOf(hunt, mapping, best.rows)
      if (rows >= best.rows) continue
      best = { mapping, rows }
      better = true
    }
  }
  return best
}

/** Mappings with two columns exchanged or one turned round. */
function neighbours({ inputs, outputs }: Mapping, inversions: Inversions): Mapping[] {
  return [
    ...exchanges(inputs, inversions.inputs).map((changed) => ({ inputs: changed, outputs })),
    ...exchanges(outputs, inversions.outputs).map((changed) => ({ inputs, outputs: changed })),
  ]
}

function exchanges(literals: readonly number[], turning: boolean): number[][] {
  const pairs = literals.flatMap((_, i) =>
    literals
      .slice(0, i)
      .map((_, k) => literals.map((literal, at) => (at === i ? literals[k]! : at === k ? literals[i]! : literal))),
  )
  return [
    ...pairs,
    ...(turning ? literals.map((_, i) => literals.map((literal, at) => (at === i ? literal ^ 1 : literal))) : []),
  ]
}

/** All arrangements of the inputs where they are few; else none. */
function arrangements({ reference: { table }, inversions }: Hunt): number[][] {
  const columns = Array.from({ length: table.inputs }, (_, i) => i)
  const count = columns.reduce((product, i) => product * (i + 1) * (inversions.inputs ? 2 : 1), 1)
  if (count > FEW) return []
  const extend = (left: readonly number[]): number[][] =>
    left.length === 0
      ? [[]]
      : left.flatMap((column) =>
          extend(left.filter((other) => other !== column)).flatMap((rest) =>
            inversions.inputs
              ? [
                  [2 * column, ...rest],
                  [2 * column + 1, ...rest],
                ]
              : [[2 * column, ...rest]],
          ),
        )
  return extend(columns)
}

/** Outputs paired so that, with the inputs as they are, they differ in the fewest rows in sum. */
function bestOutputs({ capture, reference, inversions, budget }: Hunt, inputs: readonly number[]): number[] {
  const { outputs } = reference.table
  const size = 2 ** inputs.length
  takeStep(budget)
  const plain: Mapping = { inputs, outputs: [] }
  const unlike = Array.from({ length: outputs }, () => new Float64Array(outputs))
  const at = rowsOfInputs(plain)
  for (let row = 0; row < size; row++)
    for (let a = 0; a < outputs; a++)
      for (let b = 0; b < outputs; b++)
        unlike[a]![b]! += ((reference.table.rows[row]! >>> a) ^ (capture.table.rows[at[row]!]! >>> b)) & 1
  const costs = unlike.map((line) =>
    [...line].map((rows) => (inversions.outputs ? Math.min(rows, size - rows) : rows)),
  )
  return pairing(costs).map((b, a) => 2 * b + (inversions.outputs && 2 * unlike[a]![b]! > size ? 1 : 0))
}

function rowsOfInputs({ inputs }: Mapping): Int32Array {
  return Int32Array.from({ length: 2 ** inputs.length }, (_, row) =>
    inputs.reduce((at, literal, input) => at | ((((row >>> input) & 1) ^ (literal & 1)) << (literal >>> 1)), 0),
  )
}

/** Outputs paired by weight and by the influences of their inputs, whichever these are. */
function pairedOutputs({ capture: { signature: a }, reference: { signature: b }, inversions }: Hunt): number[] {
  const profile = ({ one, influence }: Signature, output: number): number[] => [
    ...[...influence[output]!].map(Math.sqrt).sort((x, y) => x - y),
    ...[...one[output]!].map(Math.abs).sort((x, y) => x - y),
  ]
  const profiles = { a: a.none.map((_, i) => profile(a, i)), b: b.none.map((_, i) => profile(b, i)) }
  const weights = (i: number, k: number): number =>
    inversions.outputs ? Math.abs(Math.abs(b.none[i]!) - Math.abs(a.none[k]!)) : Math.abs(b.none[i]! - a.none[k]!)
  const costs = b.none.map((_, i) =>
    a.none.map(
      (_, k) =>
        weights(i, k) + profiles.b[i]!.reduce((sum, value, at) => sum + Math.abs(value - profiles.a[k]![at]!), 0),
    ),
  )
  return pairing(costs).map((k, i) => 2 * k + (inversions.outputs && b.none[i]! * a.none[k]! < 0 ? 1 : 0))
}

/** Inputs paired by what they do to the paired outputs. */
function pairedInputs(
  { capture: { signature: a }, reference: { signature: b, table }, inversions }: Hunt,
  outputs: readonly number[],
): Mapping {
  const cost = (input: number, literal: number): number =>
    outputs.reduce((sum, of, output) => {
      const other = (of ^ literal) & 1 ? -a.one[of >>> 1]![literal >>> 1]! : a.one[of >>> 1]![literal >>> 1]!
      return (
        sum +
        Math.abs(b.one[output]![input]! - other) +
        Math.abs(Math.sqrt(b.influence[output]![input]!) - Math.sqrt(a.influence[of >>> 1]![literal >>> 1]!))
      )
    }, 0)
  const columns = Array.from({ length: table.inputs }, (_, i) => i)
  const better = (input: number, column: number): number =>
    inversions.inputs && cost(input, 2 * column + 1) < cost(input, 2 * column) ? 1 : 0
  const costs = columns.map((input) => columns.map((column) => cost(input, 2 * column + better(input, column))))
  return { inputs: pairing(costs).map((column, input) => 2 * column + better(input, column)), outputs }
}

/**
 * Pairs lines with columns so that the sum of costs is least: one line at a time is added along the cheapest chain of
 * exchanges (the assignment problem by shortest augmenting paths). Result: column of each line.
 */
export function pairing(costs: readonly (readonly number[])[]): number[] {
  const size = costs.length
  const [lineOf, ofLine, ofColumn] = [
    Array<number>(size).fill(-1),
    Array<number>(size).fill(0),
    Array<number>(size).fill(0),
  ]
  for (let line = 0; line < size; line++) {
    const [reach, from] = [Array<number>(size).fill(Infinity), Array<number>(size).fill(-1)]
    const done: number[] = []
    let [current, column, length] = [line, -1, 0]
    do {
      for (let k = 0; k < size; k++) {
        const along = length + costs[current]![k]! - ofLine[current]! - ofColumn[k]!
        if (!done.includes(k) && along < reach[k]!) [reach[k], from[k]] = [along, column]
      }
      column = reach.reduce(
        (best, value, k) => (!done.includes(k) && (best < 0 || value < reach[best]!) ? k : best),
        -1,
      )
      length = reach[column]!
      done.push(column)
      current = lineOf[column]!
    } while (current >= 0)
    for (const k of done) {
      if (lineOf[k]! >= 0) ofLine[lineOf[k]!]! += length - reach[k]!
      ofColumn[k]! -= length - reach[k]!
    }
    ofLine[line]! += length
    for (let k = column; k >= 0;) {
      const before = from[k]!
      lineOf[k] = before < 0 ? line : lineOf[before]!
      k = before
    }
  }
  return costs.map((_, line) => lineOf.indexOf(line))
}
