/**
 * The outputs of a board in 32 rows. Where the sweep leaves an output unknown because few readings are unknown, both
 * levels of each of them are tried, and what all trials agree on is known: (p ∧ q) ∨ (¬p ∧ q) is q whatever p is.
 */
import { outputWords, settleBoard, type BoardSweep, type SweptPart } from './board-sweep'
import { takeWork } from './board-work'

/** Words by output as a table has them: `ones` alone 1, `open` alone off, both unknown. */
export interface RowWords {
  readonly ones: Int32Array
  readonly open: Int32Array
}

/** Most unknown readings of a row of which both levels are tried: 2⁶ = 64 more sweeps of 32 rows. */
export const MAX_UNKNOWN_READINGS = 6

/** Room for the words of a board. */
export function createRowWords({ outputs }: BoardSweep): RowWords {
  return { ones: new Int32Array(outputs.length), open: new Int32Array(outputs.length) }
}

/** Works out the rows of a word; the levels of the nets are those of the plain sweep. */
export function settleRows(
  board: BoardSweep,
  { word, within }: { readonly word: number; readonly within: number },
  result: RowWords,
): void {
  settleBoard(board, word)
  const unknown = collect(board, result) & within
  if (unknown === 0) return
  const readings = unknownReadings(board, unknown)
  if (readings.length === 0) return
  const trial = createRowWords(board)
  for (let levels = 0; levels < 2 ** readings.length; levels++) {
    readings.forEach((taken, j) => takeLevels(taken, (levels >>> j) & 1 ? 'takenHigh' : 'takenLow'))
    settleBoard(board, word)
    collect(board, trial)
    if (levels === 0) replace(result, trial, rowsOf(readings))
    else merge(result, trial, rowsOf(readings))
    for (const { part } of readings.flat()) {
      part.takenLow.fill(0)
      part.takenHigh.fill(0)
    }
  }
  settleBoard(board, word)
}

/** Takes down all outputs; rows in which one of them is unknown. */
function collect(board: BoardSweep, { ones, open }: RowWords): number {
  const words = { ones: 0, open: 0 }
  let unknown = 0
  for (let i = 0; i < board.outputs.length; i++) {
    outputWords(board, i, words)
    ones[i] = words.ones
    open[i] = words.open
    unknown |= words.ones & words.open
  }
  return unknown
}

/** A reading, or the state of a register, that is unknown in some rows. */
interface Unknown {
  readonly part: SweptPart
  readonly place: number
  readonly rows: number
}

function takeLevels(taken: readonly Unknown[], kind: 'takenLow' | 'takenHigh'): void {
  for (const { part, place, rows } of taken) part[kind][place]! |= rows
}

/** Rows that the readings are unknown in. */
function rowsOf(readings: readonly (readonly Unknown[])[]): number {
  return readings.flat().reduce((all, { rows }) => all | rows, 0)
}

/**
 * The n-th unknown reading of every row, for n from 0. A row with too many of them counts only those that nothing
 * else on the board decides (nets that float, registers); with too many of these, none.
 */
function unknownReadings(board: BoardSweep, unknown: number): Unknown[][] {
  const all = listUnknown(board, unknown, false)
  const many = rowsWithMore(all)
  const roots = many === 0 ? [] : listUnknown(board, many, true)
  const given = numberedByRow(all, ~many)
  const fewer = numberedByRow(roots, many & ~rowsWithMore(roots))
  return Array.from({ length: Math.max(given.length, fewer.length) }, (_, n) => [
    ...(given[n] ?? []),
    ...(fewer[n] ?? []),
  ])
}

function listUnknown({ parts, levels, work }: BoardSweep, rows: number, rootsOnly: boolean): Unknown[] {
  return parts.flatMap((part) => {
    takeWork(work, part.pins.length)
    const ofPins = part.pins.flatMap((pin): Unknown[] => {
      const net = part.nets[pin]!
      const found = rows & (rootsOnly ? levels.floats[net]! : levels.zero[net]! & levels.one[net]!)
      return found === 0 ? [] : [{ part, place: pin, rows: found }]
    })
    return [...ofPins, ...part.states.map((place) => ({ part, place, rows }))]
  })
}

/** Rows in which more are unknown than are tried. */
function rowsWithMore(list: readonly Unknown[]): number {
  const counts = new Int32Array(32)
  let many = 0
  for (const { rows } of list)
    for (let bits = rows; bits !== 0; bits &= bits - 1) {
      const row = 31 - Math.clz32(bits & -bits)
      if (++counts[row]! > MAX_UNKNOWN_READINGS) many |= 1 << row
    }
  return many
}

/** Numbers the readings of every row of `rows` from 0; the n-th ones of all rows together. */
function numberedByRow(list: readonly Unknown[], rows: number): Unknown[][] {
  const numbered: Unknown[][] = []
  // Rows in which the n-th reading has been met.
  const met: number[] = []
  for (const { part, place, rows: own } of list) {
    let left = own & rows
    for (let n = 0; left !== 0; n++) {
      const here = left & ~(met[n] ?? 0)
      left &= ~here
      if (here === 0) continue
      met[n] = (met[n] ?? 0) | here
      numbered[n] = [...(numbered[n] ?? []), { part, place, rows: here }]
    }
  }
  return numbered
}

function replace(result: RowWords, trial: RowWords, rows: number): void {
  for (let i = 0; i < result.ones.length; i++) {
    result.ones[i] = (result.ones[i]! & ~rows) | (trial.ones[i]! & rows)
    result.open[i] = (result.open[i]! & ~rows) | (trial.open[i]! & rows)
  }
}

/** Unknown where two trials differ. */
function merge(result: RowWords, trial: RowWords, rows: number): void {
  for (let i = 0; i < result.ones.length; i++) {
    const differing = rows & ((result.ones[i]! ^ trial.ones[i]!) | (result.open[i]! ^ trial.open[i]!))
    result.ones[i]! |= differing
    result.open[i]! |= differing
  }
}
