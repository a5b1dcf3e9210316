/**
 * Small 16V8 maps and files around them, built by a few lines of their own: nothing here comes from src, so that a
 * wrong fuse number there cannot hide. Fuse numbers and columns: GAL16V8 data sheet (16v8_04), diagrams p. 5
 * (registered), p. 7 (complex), p. 9 (simple); modes and polarity p. 4, 6, 8.
 */

/**
 * One row of the array: the pins that it ANDs, negative for the complement. `[]` connects nothing and is constant 1;
 * a row that is left out has all fuses 0 and is constant 0.
 */
export type Row = readonly number[]

/** `ac1` and `xor` fuse of a cell and its rows from row 8i on (in a cell with an enable row, that one first). */
export interface CellPlan {
  readonly ac1: 0 | 1
  readonly xor: 0 | 1
  readonly rows: readonly Row[]
}

export type Cells = Readonly<Record<number, CellPlan>>

/** SYN, AC0 and the pin of each column pair. */
const MODES = {
  registered: { syn: 0, ac0: 1, pairs: [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12] },
  complex: { syn: 1, ac0: 1, pairs: [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11] },
  simple: { syn: 1, ac0: 0, pairs: [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11] },
} as const

export type ModeName = keyof typeof MODES

/** All 2194 fuses as digits. Cells not named have AC1 = 1 and no live row: input only; PTD is 1 on every row. */
export function mapOf(mode: ModeName, cells: Cells): string {
  const { syn, ac0, pairs } = MODES[mode]
  const fuses = Array<number>(2194).fill(0)
  for (let fuse = 2120; fuse < 2192; fuse++) fuses[fuse] = 1 // AC1 and PTD
  for (const [pin, { ac1, xor, rows }] of Object.entries(cells)) {
    const cell = 19 - Number(pin) // cell 0 is pin 19, cell 7 pin 12
    fuses[2048 + cell] = xor
    fuses[2120 + cell] = ac1
    rows.forEach((row, r) => {
      const first = (8 * cell + r) * 32
      fuses.fill(1, first, first + 32)
      for (const literal of row) {
        const pair = (pairs as readonly number[]).indexOf(Math.abs(literal))
        if (pair < 0) throw new Error(`pin ${literal} has no column in ${mode} mode`)
        fuses[first + 2 * pair + (literal < 0 ? 1 : 0)] = 0
      }
    })
  }
  fuses[2192] = syn
  fuses[2193] = ac0
  return fuses.join('')
}

/** A registered cell whose pin takes the OR of its rows at each edge: XOR 1 is active high, and the buffer shows ¬Q. */
export function register(...rows: readonly Row[]): CellPlan {
  return { ac1: 0, xor: 1, rows }
}

/** A row-enabled active-high cell of registered or complex mode. */
export function gated(enable: Row, ...rows: readonly Row[]): CellPlan {
  return { ac1: 1, xor: 1, rows: [enable, ...rows] }
}

/** The same, always on: its enable row connects nothing. */
export function driven(...rows: readonly Row[]): CellPlan {
  return gated([], ...rows)
}

/** An always-on active-high output of simple mode. */
export function output(...rows: readonly Row[]): CellPlan {
  return { ac1: 0, xor: 1, rows }
}

/** Conditions without the blanks that group them in the tests: pin 1, pins 2–9, 10, 11, pins 12–19, 20. */
export function joined(conditions: string): string {
  return conditions.replaceAll(' ', '')
}

/** V fields, numbered from 1. */
export function numbered(vectors: readonly string[]): string {
  return vectors.map((conditions, i) => `V${i + 1} ${joined(conditions)}*\r\n`).join('')
}

/** Where the test fields of a file stand, and what more stands among its value fields. */
export interface Layout {
  readonly head?: string
  readonly testsLast?: boolean
}

/**
 * A whole transfer of a map: value fields, test fields, fuses and both checksums, so that nothing else needs remark.
 */
export function fileOf(digits: string, tests: string, { head = '', testsLast = false }: Layout = {}): string {
  const fuses = `L0 ${digits}*\r\nC${hex(fuseSum(digits))}*\r\n`
  const fields = `\x02test map*\r\nQP20*QF${digits.length}*${head}\r\nG0*\r\n${testsLast ? fuses + tests : tests + fuses}\x03`
  return fields + hex([...fields].reduce((sum, character) => sum + character.charCodeAt(0), 0))
}

/** Fuse 8w is the least significant bit of word w (3-A, "Fuse checksum field"). */
function fuseSum(digits: string): number {
  return [...digits].reduce((sum, digit, fuse) => sum + (Number(digit) << (fuse % 8)), 0)
}

function hex(sum: number): string {
  return (sum % 65536).toString(16).toUpperCase().padStart(4, '0')
}
