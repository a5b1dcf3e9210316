/** Two truth tables over the same inputs compared row by row, with where they differ as a short sum of products. */
import { listOf, oneOf, optionsOf, type OptionNames, wholeNumber } from '../../arguments/arguments'
import { onesInWord } from '../../logic/words'
import { coverOf } from '../../logic/cover'
import { createDiagrams, withinLimit, type Diagrams, type Node } from '../../logic/diagrams'
import type { DifferenceCover } from '../../logic/cover'
import { checkedTable, rowBitsOf } from './checked-table'
import type { TruthTable } from './truth-table'

/** One output of two tables. */
export interface ComparedColumn {
  /** Pin of the output. */
  readonly pin: number
  /** `undecided`: no row differs, and some are open. */
  readonly relation: 'equivalent' | 'different' | 'undecided'
  /** Rows in which both sides are known and not the same, and rows in which one side is not known. */
  readonly differingRows: number
  /** Rows in which a level is unknown. */
  readonly openRows: number
  /** The first rows that differ. */
  readonly firstRows: readonly number[]
  /** A sum of products of where it differs; null unless different. */
  readonly differsWhere: DifferenceCover | null
}

/** All outputs of two tables. `not-comparable`: no row was judged, or there is no output. */
export interface TableComparison {
  /** What one table is to the other as a whole. */
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable'
  /** All rows. */
  readonly rowCount: number
  /** Rows that were left out. */
  readonly ignoredRows: number
  /** Each output. */
  readonly outputs: readonly ComparedColumn[]
}

/** What is left out, and how much is listed. */
export interface TableCompareOptions {
  /** A bit a row, 32 rows a word: 1 leaves the row out. */
  readonly ignore?: Int32Array
  /** The same for single outputs, by index; null leaves nothing more out. */
  readonly ignoreByOutput?: readonly (Int32Array | null)[]
  /** Most rows to list an output (default 8). */
  readonly maxRows?: number
  /** False: differences are counted and listed, and not described as products (default true). */
  readonly describe?: boolean
}

const TABLE_COMPARE_OPTIONS: OptionNames<TableCompareOptions> = {
  ignore: true,
  ignoreByOutput: true,
  maxRows: true,
  describe: true,
}

function checkedOptions({ ignore, ignoreByOutput = [], maxRows, describe }: TableCompareOptions): void {
  if (ignore !== undefined) rowBitsOf(ignore, 'options.ignore')
  listOf(ignoreByOutput, 'options.ignoreByOutput').forEach((rows, i) =>
    rows === null ? null : rowBitsOf(rows, `options.ignoreByOutput[${i}]`),
  )
  if (maxRows !== undefined) wholeNumber(maxRows, 'options.maxRows', [0])
  if (describe !== undefined) oneOf(describe, 'options.describe', [true, false])
}

const MOST_PRODUCTS = 12

/**
 * Compares two tables whose input columns stand for the same things in the same order, and so their outputs.
 *
 * @param intended one table
 * @param other another over the same inputs and outputs
 * @param options input patterns and rows that are left out
 * @returns the relation, and each output with its differing rows
 * @throws RangeError where the tables have different sizes
 * @example compareTables(table, table).relation // 'equivalent'
 */
export function compareTables(
  intended: TruthTable,
  other: TruthTable,
  options: TableCompareOptions = {},
): TableComparison {
  checkedTable(intended, 'intended')
  checkedTable(other, 'other')
  checkedOptions(optionsOf(options, TABLE_COMPARE_OPTIONS))
  if (intended.rowCount !== other.rowCount || intended.outputs.length !== other.outputs.length)
    throw new RangeError('other must have as many rows and outputs as intended')
  const { rowCount } = intended
  // A table of fewer than 32 rows fills a part of one word.
  const within = rowCount < 32 ? 2 ** rowCount - 1 : -1
  const words = Math.ceil(rowCount / 32)
  const judged = without(new Int32Array(words).fill(within), options.ignore)
  const outputs = intended.outputs.map((column, i) =>
    compareColumn(
      { intended, other, judged: without(judged, options.ignoreByOutput?.[i]), output: i, pin: column.pin },
      options,
    ),
  )
  const ignoredRows = rowCount - countBits(judged)
  return {
    relation: ignoredRows === rowCount ? 'not-comparable' : relationOf(outputs),
    rowCount,
    ignoredRows,
    outputs,
  }
}

/** The relation of all outputs together. */
function relationOf(outputs: readonly ComparedColumn[]): TableComparison['relation'] {
  if (outputs.length === 0) return 'not-comparable'
  const worst = (['different', 'undecided'] as const).find((each) =>
    outputs.some(({ relation }) => relation === each),
  )
  return worst ?? 'equivalent'
}

function without(rows: Int32Array, ignore: Int32Array | null | undefined): Int32Array {
  if (!ignore) return rows
  const left = new Int32Array(rows.length)
  for (let i = 0; i < left.length; i++) left[i] = rows[i]! & ~ignore[i]!
  return left
}

interface ColumnPair {
  readonly intended: TruthTable
  readonly other: TruthTable
  readonly judged: Int32Array
  readonly output: number
  readonly pin: number
}

function compareColumn(
  { intended, other, judged, output, pin }: ColumnPair,
  { maxRows = 8, describe = true }: TableCompareOptions,
): ComparedColumn {
  const [aOnes, aOpen, bOnes, bOpen] = [
    intended.ones[output]!,
    intended.open[output]!,
    other.ones[output]!,
    other.open[output]!,
  ]
  let differing: Int32Array | null = null
  let [differingRows, openRows] = [0, 0]
  for (let i = 0; i < judged.length; i++) {
    const rows = judged[i]!
    const unknown = rows & ((aOnes[i]! & aOpen[i]!) | (bOnes[i]! & bOpen[i]!))
    const unlike = rows & ~unknown & ((aOnes[i]! ^ bOnes[i]!) | (aOpen[i]! ^ bOpen[i]!))
    if (unknown !== 0) openRows += onesInWord(unknown)
    if (unlike === 0) continue
    differingRows += onesInWord(unlike)
    differing ??= new Int32Array(judged.length)
    differing[i] = unlike
  }
  return {
    pin,
    relation: relationOfRows(differingRows, openRows, judged),
    differingRows,
    openRows,
    firstRows: differing ? firstBits(differing, maxRows) : [],
    differsWhere: describe && differing ? rowsAsProducts(intended, differing, judged) : null,
  }
}

/** An output of which no row is judged is not equal. */
function relationOfRows(differing: number, open: number, judged: Int32Array): ComparedColumn['relation'] {
  if (differing > 0) return 'different'
  return open > 0 || judged.every((word) => word === 0) ? 'undecided' : 'equivalent'
}

/** How many bits of all words are set. */
export function countBits(words: Int32Array): number {
  let count = 0
  for (let i = 0; i < words.length; i++) count += onesInWord(words[i]!)
  return count
}

/** The first rows whose bit is set. */
export function firstBits(words: Int32Array, limit: number): number[] {
  const rows: number[] = []
  for (let i = 0; i < words.length && rows.length < limit; i++)
    for (let word = words[i]!; word !== 0 && rows.length < limit; word &= word - 1)
      rows.push(32 * i + 31 - Math.clz32(word & -word))
  return rows
}

/**
 * A set of rows as products over the input columns; null where the diagrams grow too large. What is not judged may be
 * covered or not.
 */
function rowsAsProducts({ inputs }: TruthTable, rows: Int32Array, judged: Int32Array): DifferenceCover | null {
  const diagrams = createDiagrams(inputs.length)
  return withinLimit(() => {
    const free = diagrams.not(diagramOfRows(diagrams, judged))
    const { products, complete } = coverOf(diagrams, diagramOfRows(diagrams, rows), { free, limit: MOST_PRODUCTS })
    // Variable 0 of the diagrams is the most significant column.
    const levels = products.map((product) =>
      inputs.flatMap(({ kind, pin }, k) =>
        product[inputs.length - 1 - k] === 2
          ? []
          : [{ name: kind === 'pin' ? `${pin}` : `q${pin}`, level: product[inputs.length - 1 - k] as 0 | 1 }],
      ),
    )
    const texts = levels.map(
      (product) =>
        product.map(({ name, level }) => `${level ? '' : '¬'}${/^q/.test(name) ? name : `p${name}`}`).join(' ∧ ') ||
        '1',
    )
    return {
      products: levels.map((product) => Object.fromEntries(product.map(({ name, level }) => [name, level]))),
      complete,
      text:
        texts.map((text) => (texts.length > 1 && text.includes('∧') ? `(${text})` : text)).join(' ∨ ') +
        (complete ? '' : ' ∨ …'),
    }
  })
}

/** The function that is 1 in the rows whose bit is set; column k of the rows is variable (columns − 1 − k). */
export function diagramOfRows(diagrams: Diagrams, rows: Int32Array): Node {
  const columns = diagrams.variableCount
  const build = (column: number, row: number): Node => {
    if (column < 0) return ((rows[row >>> 5]! >>> (row & 31)) & 1) as Node
    // Whole words of one value are common in real tables.
    if (column === 4 && (rows[row >>> 5] === 0 || rows[row >>> 5] === -1)) return rows[row >>> 5] === 0 ? 0 : 1
    const [low, high] = [build(column - 1, row), build(column - 1, row + 2 ** column)]
    return low === high ? low : diagrams.choose(diagrams.variable(columns - 1 - column), high, low)
  }
  return build(columns - 1, 0)
}
