/** The truth table of a board toward the outside, and what is remarkable in its rows. */
import { nullOn, type Pieces } from '../../arguments/pieces'
import type { TruthTable } from '../table/truth-table'
import { certainFights } from './board-levels'
import type { Network } from './board-network'
import { createRowWords, settleRows } from './board-rows'
import { prepareBoard, readPins, wordsOf, type BoardSweep } from './board-sweep'
import { isPieceDone, OutOfWork, type Work } from './board-work'

/** Rows in which something holds: how many, and the first. */
export interface Rows {
  readonly count: number
  readonly first: number
}

/** What is remarkable in a board's rows. Nets count as in its network. */
export interface BoardRemarks {
  /** Nets on which drivers of opposite levels meet, and those on which they may meet where something is unknown. */
  readonly fights: readonly { readonly net: number; readonly rows: Rows }[]
  readonly possibleFights: readonly { readonly net: number; readonly rows: Rows }[]
  /** Pins of parts that their logic reads and that float; `unknown`: rows among them with an unknown outside output. */
  readonly floating: readonly {
    readonly part: string
    readonly pin: number
    readonly net: number
    readonly rows: Rows
    readonly unknown: Rows | null
  }[]
}

/** A board's table, what is remarkable in it, and a bit a row in which drivers fight or may fight. */
export interface SweptBoard {
  readonly table: TruthTable
  readonly remarks: BoardRemarks
  readonly fights: Int32Array
}

/**
 * Most steps that are spent on one board: three to six seconds, of 15 to 30 ns a step. The table of one part and 20
 * inputs needs an eighth of them, the faults of the demonstration, which has 16, a third.
 */
export const MAX_BOARD_WORK = 2e8

/** The table with its remarks: row r applies bit k of r to outside input k. Null past the steps of `work`. */
export function* boardTable(network: Network, work: Work): Pieces<SweptBoard | null> {
  const board = prepareBoard(network, work)
  return leastWork(board) > work.steps ? null : yield* nullOn(OutOfWork, sweptTable(board))
}

/** Every row takes two walks over the nets and one look at every part at least. */
function leastWork({ levels, parts, rowCount }: BoardSweep): number {
  return wordsOf(rowCount).count * parts.reduce((sum, { cost }) => sum + cost, 2 * levels.zero.length)
}

function* sweptTable(board: BoardSweep): Pieces<SweptBoard> {
  const { count, within } = wordsOf(board.rowCount)
  const columns = board.outputs.map(() => ({ ones: new Int32Array(count), open: new Int32Array(count) }))
  const fights = new Int32Array(count)
  const watch = createWatch(board)
  const words = createRowWords(board)
  for (let word = 0; word < count; word++) {
    settleRows(board, { word, within }, words)
    let unknown = 0
    columns.forEach(({ ones, open }, i) => {
      ones[word] = words.ones[i]!
      open[word] = words.open[i]!
      unknown |= ones[word]! & open[word]!
    })
    fights[word] = within & fightsOf(board)
    look(watch, board, { word, within, unknown })
    if (isPieceDone(board.work)) yield
  }
  const column = ({ pin }: { readonly pin: number }): TruthTable['inputs'][number] => ({ kind: 'pin', pin })
  const table: TruthTable = {
    inputs: board.inputs.map(column),
    outputs: board.outputs.map(column),
    unlisted: [],
    rowCount: board.rowCount,
    ones: columns.map(({ ones }) => ones),
    open: columns.map(({ open }) => open),
  }
  return { table, remarks: remarksOf(watch, board.network), fights }
}

/** Rows in which drivers of opposite levels meet somewhere, or may meet. */
export function fightsOf({ levels: { fights } }: BoardSweep): number {
  let all = 0
  for (let net = 0; net < fights.length; net++) all |= fights[net]!
  return all
}

/** The same table with rows unknown in which drivers fight: what a level is there nobody can say. */
export function withoutRows(table: TruthTable, rows: Int32Array): TruthTable {
  if (rows.every((word) => word === 0)) return table
  const set = (words: Int32Array): Int32Array => words.map((word, i) => word | rows[i]!)
  return { ...table, ones: table.ones.map(set), open: table.open.map(set) }
}

interface Tally {
  count: number
  first: number
}

interface Watch {
  readonly fights: readonly Tally[]
  readonly possible: readonly Tally[]
  /** Room for what is certain in one word. */
  readonly certain: Int32Array
  readonly read: readonly {
    readonly part: string
    readonly pin: number
    readonly net: number
    readonly rows: Tally
    readonly unknown: Tally
  }[]
}

const noRows = (): Tally => ({ count: 0, first: -1 })

function createWatch({ network: { netNames, parts } }: BoardSweep): Watch {
  return {
    fights: netNames.map(noRows),
    possible: netNames.map(noRows),
    certain: new Int32Array(netNames.length),
    read: parts.flatMap(({ name, logic, nets }) =>
      readPins(logic).flatMap((pin) =>
        nets[pin]! < 0 ? [] : [{ part: name, pin, net: nets[pin]!, rows: noRows(), unknown: noRows() }],
      ),
    ),
  }
}

function look(
  { fights, possible, read, certain }: Watch,
  { levels, diodes }: BoardSweep,
  { word, within, unknown }: { readonly word: number; readonly within: number; readonly unknown: number },
): void {
  if (levels.fights.some((rows) => (rows & within) !== 0)) {
    certainFights(levels, diodes, certain)
    for (let net = 0; net < fights.length; net++) {
      tally(fights[net]!, certain[net]! & within, word)
      tally(possible[net]!, levels.fights[net]! & ~certain[net]! & within, word)
    }
  }
  for (const { net, rows, unknown: mattering } of read) {
    const found = levels.floats[net]! & within
    if (found === 0) continue
    tally(rows, found, word)
    tally(mattering, found & unknown, word)
  }
}

function tally(rows: Tally, found: number, word: number): void {
  if (found === 0) return
  if (rows.count === 0) rows.first = 32 * word + 31 - Math.clz32(found & -found)
  for (let bits = found; bits !== 0; bits &= bits - 1) rows.count++
}

function remarksOf({ fights, possible, read }: Watch, { netNames }: Network): BoardRemarks {
  const found = (list: readonly Tally[]): { net: number; rows: Rows }[] =>
    netNames.flatMap((_, net) => (list[net]!.count > 0 ? [{ net, rows: list[net]! }] : []))
  return {
    fights: found(fights),
    possibleFights: found(possible),
    floating: read
      .filter(({ rows }) => rows.count > 0)
      .map(({ unknown, ...rest }) => ({ ...rest, unknown: unknown.count > 0 ? unknown : null })),
  }
}

/**
 * The same table with its columns in the order of these pins; null where it has other columns. What is not listed but
 * mattered in the table is unknown there already.
 */
export function alignTable(
  table: TruthTable,
  inputs: readonly number[],
  outputs: readonly number[],
): TruthTable | null {
  const places = inputs.map((pin) => table.inputs.findIndex((column) => column.kind === 'pin' && column.pin === pin))
  const columns = outputs.map((pin) =>
    table.outputs.findIndex((column) => column.kind === 'pin' && column.pin === pin),
  )
  if (inputs.length !== table.inputs.length || [...places, ...columns].some((place) => place < 0)) return null
  const column = (pin: number): TruthTable['inputs'][number] => ({ kind: 'pin', pin })
  const rows = places.every((place, k) => place === k) ? null : movedRows(places, table.rowCount)
  const moved = (words: Int32Array): Int32Array => (rows ? permuted(words, rows) : words)
  return {
    inputs: inputs.map(column),
    outputs: outputs.map(column),
    unlisted: table.unlisted,
    rowCount: table.rowCount,
    ones: columns.map((i) => moved(table.ones[i]!)),
    open: columns.map((i) => moved(table.open[i]!)),
  }
}

/** Bits by row of a table, for the same table with its inputs in the order of these pins. */
export function alignRows(
  bits: Int32Array,
  { inputs, rowCount }: Pick<TruthTable, 'inputs' | 'rowCount'>,
  pins: readonly number[],
): Int32Array {
  return permuted(
    bits,
    movedRows(
      pins.map((pin) => inputs.findIndex((column) => column.pin === pin)),
      rowCount,
    ),
  )
}

/** Row of the old order by row of the new one. */
function movedRows(places: readonly number[], rowCount: number): Int32Array {
  const rows = new Int32Array(rowCount)
  for (let row = 1; row < rowCount; row++) {
    const top = 31 - Math.clz32(row)
    rows[row] = rows[row - 2 ** top]! + 2 ** places[top]!
  }
  return rows
}

function permuted(words: Int32Array, rows: Int32Array): Int32Array {
  const moved = new Int32Array(words.length)
  for (let row = 0; row < rows.length; row++)
    moved[row >>> 5]! |= ((words[rows[row]! >>> 5]! >>> (rows[row]! & 31)) & 1) << (row & 31)
  return moved
}

/** The same table where every output that is off counts as a level, or as unknown. */
export function offAs(table: TruthTable, level: 0 | 1 | 'X'): TruthTable {
  if (level === 'X')
    return { ...table, ones: table.ones.map((words, i) => words.map((bits, w) => bits | table.open[i]![w]!)) }
  const ones = table.ones.map((words, i) => words.map((bits, w) => (level ? bits | table.open[i]![w]! : bits)))
  const open = table.open.map((words, i) => words.map((bits, w) => bits & table.ones[i]![w]!))
  return { ...table, ones, open }
}
