/**
 * Outputs without state over all rows of a table at once. A cube whose literals are columns fills whole words: the
 * first five columns choose bits of a word and the others choose words, so that its cost is the words in which it is 1
 * and not all of them. Every level is known here; where that is not certain there is no answer, and `sweep.ts` does it.
 */
import { isContradiction, type Cube, type Expression, type Logic } from './logic'
import { netlistOf } from './netlist'
import { COLUMN_BITS } from './words'

/** Columns of a table by pin, and levels of pins that are held. Bit k of a row is the level of column k. */
export interface WordColumns {
  readonly columns: ReadonlyMap<number, number>
  readonly held: ReadonlyMap<number, 0 | 1>
  /** Words of 32 rows. */
  readonly words: number
}

/** A bit a row: whether the output is on (null: in every row), and its level while it is. */
export interface DrivenWords {
  readonly enable: Int32Array | null
  readonly value: Int32Array
}

/** Marks a pin or an output whose level is not known from the columns alone. */
class NotKnown extends Error {}

/**
 * What outputs do, by their index in the logic; null where a register, a loop, an undefined cell or a pin without a
 * level has a part in it.
 */
export function wordTable(
  logic: Logic,
  outputs: readonly number[],
  given: WordColumns,
): readonly DrivenWords[] | null {
  const table: Filling = {
    logic,
    given,
    done: new Map(),
  }
  try {
    return outputs.map((index) => drivenBy(table, index))
  } catch (error) {
    if (error instanceof NotKnown) return null
    throw error
  }
}

interface Filling {
  readonly logic: Logic
  readonly given: WordColumns
  /** Null while an output is being worked out: meeting it again is a loop. */
  readonly done: Map<number, DrivenWords | null>
}

function drivenBy(table: Filling, index: number): DrivenWords {
  const known = table.done.get(index)
  if (known) return known
  const { defined, enable, value } = table.logic.cells[index]!
  if (known === null || !defined || !value) throw new NotKnown()
  table.done.set(index, null)
  const driven = { enable: isAlways(table, enable) ? null : filled(table, enable), value: filled(table, value) }
  table.done.set(index, driven)
  return driven
}

function filled(table: Filling, { sums, inverted }: Expression): Int32Array {
  const [first, ...others] = sums.map((sum) => filledSum(table, sum))
  const result = first ?? new Int32Array(table.given.words)
  for (const rows of others) for (let i = 0; i < rows.length; i++) result[i]! ^= rows[i]!
  if (inverted) for (let i = 0; i < result.length; i++) result[i] = ~result[i]!
  return result
}

function filledSum(table: Filling, sum: readonly Cube[]): Int32Array {
  const rows = new Int32Array(table.given.words)
  for (const cube of sum) if (!isContradiction(cube)) fillWords(inWords(table, cube), rows)
  return rows
}

/** True where one cube alone is 1 in every row: an output that held pins switch on. */
function isAlways(table: Filling, { sums, inverted }: Expression): boolean {
  return (
    !inverted &&
    sums.length === 1 &&
    sums[0]!.some((cube) => {
      const { bits, fixed, others } = inWords(table, cube)
      return bits === -1 && fixed === 0 && others.length === 0
    })
  )
}

/**
 * A cube in words: bits of a word, which words (`value` in the places of `fixed`), and literals that are themselves
 * rows.
 */
interface WordCube {
  bits: number
  fixed: number
  value: number
  readonly others: { readonly rows: Int32Array; readonly inverted: boolean }[]
}

function inWords(table: Filling, cube: Cube): WordCube {
  const words: WordCube = { bits: -1, fixed: 0, value: 0, others: [] }
  for (const literal of cube.literals) addLiteral(table, words, literal)
  return words
}

function addLiteral(table: Filling, cube: WordCube, literal: number): void {
  const signal = table.logic.signals[literal >>> 1]!
  if (signal.kind === 'register') throw new NotKnown()
  const { pin } = signal
  const inverted = (literal & 1) === 1
  const { cellAt, drives } = netlistOf(table.logic)
  const cell = cellAt.get(pin)
  if (cell !== undefined && drives[cell] !== 'never')
    return void cube.others.push({ rows: levelAt(table, cell, pin), inverted })
  const column = table.given.columns.get(pin)
  if (column === undefined) {
    const level = table.given.held.get(pin)
    if (level === undefined) throw new NotKnown()
    if ((level === 1) === inverted) cube.bits = 0
  } else if (column < COLUMN_BITS.length) cube.bits &= inverted ? ~COLUMN_BITS[column]! : COLUMN_BITS[column]!
  else {
    const bit = 1 << (column - COLUMN_BITS.length)
    cube.fixed |= bit
    if (!inverted) cube.value |= bit
  }
}

/** What the array reads at a pin that an output may drive. */
function levelAt(table: Filling, cell: number, pin: number): Int32Array {
  const { enable, value } = drivenBy(table, cell)
  if (!enable) return value
  const { columns, held, words } = table.given
  const column = columns.get(pin)
  const level = held.get(pin)
  if (column === undefined && level === undefined) throw new NotKnown()
  const applied = (word: number): number =>
    column === undefined
      ? -level!
      : column < COLUMN_BITS.length
        ? COLUMN_BITS[column]!
        : -((word >>> (column - COLUMN_BITS.length)) & 1)
  return Int32Array.from({ length: words }, (_, i) => (enable[i]! & value[i]!) | (~enable[i]! & applied(i)))
}

/** Goes through the words of a cube by counting in the places that it leaves free. */
function fillWords({ bits, fixed, value, others }: WordCube, rows: Int32Array): void {
  if (bits === 0) return
  for (let word = value; word < rows.length; word = (((word | fixed) + 1) & ~fixed) | value) {
    let set = bits
    for (const other of others) set &= other.inverted ? ~other.rows[word]! : other.rows[word]!
    rows[word]! |= set
  }
}
