/** Wirings of small tables by trying all of them: every order of the lines, every line turned round. */
import type { FoundWiring, InversionKind, MatchedColumn, WiringSearch } from '../../src/capture'
import { bit, upTo, type RowFunction } from './images'

/** A function with its numbers of inputs and outputs. */
export interface SmallTable {
  readonly inputs: number
  readonly outputs: number
  readonly levels: RowFunction
}

function orders(left: readonly number[]): number[][] {
  if (left.length === 0) return [[]]
  return left.flatMap((one) => orders(left.filter((other) => other !== one)).map((rest) => [one, ...rest]))
}

/** Every order of so many columns, each column as it is and, where that is allowed, turned round. */
function arrangements(count: number, turning: boolean): MatchedColumn[][] {
  return orders(upTo(count)).flatMap((order) =>
    upTo(turning ? 2 ** count : 1).map((turned) =>
      order.map((column, at) => ({ column, inverted: bit(turned, at) === 1 })),
    ),
  )
}

/** The columns of a number, put where a wiring has them. */
const turnedBit = (levels: number, { column, inverted }: MatchedColumn): number =>
  bit(levels, column) ^ (inverted ? 1 : 0)

/** Rows of the reference in which a wiring fails; of the capture's rows only those count that `known` has. */
export function rowsOff(
  captured: SmallTable,
  reference: SmallTable,
  { wiring: { inputs, outputs }, known }: { readonly wiring: FoundWiring; readonly known?: ReadonlySet<number> },
): number {
  return upTo(2 ** reference.inputs).filter((row) => {
    const place = inputs.reduce(
      (sum, { column, inverted }, k) => sum + (bit(row, k) ^ (inverted ? 1 : 0)) * 2 ** column,
      0,
    )
    if (known && !known.has(place)) return false
    const given = captured.levels(place)
    return outputs.some((column, j) => turnedBit(given, column) !== bit(reference.levels(row), j))
  }).length
}

/** Every wiring with these inversions, with the rows in which it fails. */
export function allWirings(captured: SmallTable, reference: SmallTable, kind: InversionKind): number[] {
  const outputs = arrangements(reference.outputs, kind !== 'none')
  return arrangements(reference.inputs, kind === 'all').flatMap((inputs) =>
    outputs.map((each) => rowsOff(captured, reference, { wiring: { inputs, outputs: each } })),
  )
}

/** Classes of two or more columns, each with its levels as they are or turned round; the first of each as it is. */
function classesOf(
  count: number,
  turning: boolean,
  isSame: (one: MatchedColumn, other: MatchedColumn) => boolean,
): MatchedColumn[][] {
  const literals = upTo(count).flatMap((column) =>
    (turning ? [false, true] : [false]).map((inverted): MatchedColumn => ({ column, inverted })),
  )
  const seen = new Set<number>()
  return upTo(count).flatMap((column) => {
    if (seen.has(column)) return []
    const members = literals.filter((literal) => isSame({ column, inverted: false }, literal))
    for (const member of members) seen.add(member.column)
    return members.length > 1 ? [members] : []
  })
}

/** Columns that can be exchanged for each other with nothing changed, and columns that are equal. */
export function exchangeable({ inputs, outputs, levels }: SmallTable, kind: InversionKind): WiringSearch['symmetries'] {
  const exchanged = (row: number, one: MatchedColumn, other: MatchedColumn): number => {
    const turned = one.inverted === other.inverted ? 0 : 1
    if (one.column === other.column) return row ^ (turned << one.column)
    const [a, b] = [bit(row, one.column), bit(row, other.column)]
    const rest = row & ~(1 << one.column) & ~(1 << other.column)
    return rest | ((b ^ turned) << one.column) | ((a ^ turned) << other.column)
  }
  const rows = upTo(2 ** inputs)
  return {
    inputs: classesOf(inputs, kind === 'all', (one, other) =>
      rows.every((row) => levels(row) === levels(exchanged(row, one, other))),
    ),
    outputs: classesOf(outputs, kind !== 'none', (one, other) =>
      rows.every((row) => turnedBit(levels(row), one) === turnedBit(levels(row), other)),
    ),
  }
}
