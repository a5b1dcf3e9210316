/**
 * What a table looks like as a whole: what a bad contact, an empty socket or a chip without supply would make of it.
 */
import { isIdle } from '../../logic/table-bits'
import { wordMask } from '../../logic/words'
import { checkedTable, rowBitsOf } from '../table/checked-table'
import type { TruthTable } from '../table/truth-table'
import { steadyRows, type Capture } from './capture'

/** Oddities of a table, by pin. Each may be what the chip really does. */
export interface TableOddities {
  /** Level of all outputs in all rows; null where there is no such level. */
  readonly allAlike: 0 | 1 | null
  /** Inputs that make no difference to any output. */
  readonly idleInputs: readonly number[]
  /** Outputs of one level in all rows. */
  readonly stuckOutputs: readonly { readonly pin: number; readonly level: 0 | 1 }[]
  /** Outputs that have the level of an earlier one in all rows and are not stuck. */
  readonly copiedOutputs: readonly { readonly pin: number; readonly of: number }[]
}

/**
 * Looks for oddities in the judged rows; rows in which an output has no level (X or Z) are left out for that output.
 *
 * @param table a truth table or a captured one
 * @param judged a bit a row, 32 rows a word; all rows when left out
 * @returns the table as a whole, by pins: what is all alike, idle, stuck or copied
 * @throws TypeError for another kind of table or of rows
 * @example tableOddities(capture.table).idleInputs // []
 */
export function tableOddities(table: TruthTable, judged?: Int32Array): TableOddities {
  const { inputs, outputs, rowCount } = checkedTable(table, 'table')
  if (judged !== undefined) rowBitsOf(judged, 'judged')
  const within = wordMask(rowCount)
  const rows = judged ?? new Int32Array(Math.ceil(rowCount / 32)).fill(within)
  const seen = outputs.map((_, i) => rows.map((word, at) => word & ~table.open[i]![at]!))
  const levels = outputs.map((_, i) => steadyLevel(table.ones[i]!, seen[i]!))
  const [first] = levels
  return {
    allAlike: first != null && levels.every((level) => level === first) ? first : null,
    idleInputs: inputs.flatMap(({ pin }, column) =>
      outputs.every((_, i) => isIdle(table.ones[i]!, seen[i]!, column)) ? [pin] : [],
    ),
    stuckOutputs: outputs.flatMap(({ pin }, i) => (levels[i] == null ? [] : [{ pin, level: levels[i] }])),
    copiedOutputs: outputs.flatMap(({ pin }, i) => {
      const of =
        levels[i] == null
          ? outputs.slice(0, i).findIndex((_, j) => levels[j] == null && isCopy(table, seen, [j, i]))
          : -1
      return of < 0 ? [] : [{ pin, of: outputs[of]!.pin }]
    }),
  }
}

/**
 * The oddities of a capture in its steady rows. Where no line of the image ever moves and all have one level, it is all
 * alike, also where the wiring inverts some of them.
 */
export function captureOddities(capture: Capture): TableOddities {
  const { table, wiring } = capture
  const found = tableOddities(table, steadyRows(capture))
  if (found.allAlike !== null || found.stuckOutputs.length < table.outputs.length) return found
  const isInverted = (pin: number): boolean => wiring.data.some((wire) => wire?.pin === pin && wire.inverted)
  const lines = found.stuckOutputs.map(({ pin, level }) => (isInverted(pin) ? 1 - level : level))
  return new Set(lines).size === 1 ? { ...found, allAlike: lines[0] as 0 | 1 } : found
}

/** The one level of all seen rows; null where both occur or none is seen. */
function steadyLevel(ones: Int32Array, seen: Int32Array): 0 | 1 | null {
  let [high, low] = [0, 0]
  for (let i = 0; i < seen.length; i++) {
    high |= seen[i]! & ones[i]!
    low |= seen[i]! & ~ones[i]!
    if (high !== 0 && low !== 0) return null
  }
  return high !== 0 ? 1 : low !== 0 ? 0 : null
}

/** Equal wherever both are seen. */
function isCopy({ ones }: TruthTable, seen: readonly Int32Array[], [a, b]: readonly [number, number]): boolean {
  return ones[a]!.every((word, i) => ((word ^ ones[b]![i]!) & seen[a]![i]! & seen[b]![i]!) === 0)
}
