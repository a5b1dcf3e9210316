/**
 * A programmed part as plain data, read straight from its fuses by the tables that the tests typed from data sheets.
 * Nothing of the library, and no short cut: what a fuse means is said here once more, in the shortest way.
 */
import { firstFuseOf, firstTermRow, TABLES, type CellTable, type PartTable } from '../parts/encoder'
import type { KindTable } from '../parts/part-table'

/** Holds while the level at a pin, or Q of the register of that pin's cell, is `level`. */
export interface Literal {
  readonly tap: 'pin' | 'register'
  readonly pin: number
  readonly level: 0 | 1
}

/** The AND of its literals: constant 1 without any. */
export type Term = readonly Literal[]

/** An output cell. Sums are ORs of terms: constant 0 without any. */
export interface Cell {
  readonly pin: number
  readonly registered: boolean
  /** D is the exclusive-or of the two sums, inverted where `invertData`. */
  readonly terms: readonly Term[]
  readonly otherTerms: readonly Term[]
  readonly invertData: boolean
  /** The pin shows Q, or D where there is no register, inverted where `invertPin`. */
  readonly invertPin: boolean
  /** The pin is driven while one of these holds. */
  readonly enable: readonly Term[]
  /** The register takes D when this becomes 1; reset (Q = 0) and preset (Q = 1) act at once, reset first. */
  readonly clock: Term | null
  readonly reset: Term | null
  readonly preset: Term | null
  /** D is 1 while this holds. */
  readonly clockedPreset: Term | null
  /** True where reset and preset together let D through to the pin. */
  readonly bypass: boolean
}

/** A programmed part. Every register starts at Q = 0 where its makers publish a start at all. */
export interface Machine {
  readonly part: string
  readonly pinCount: number
  readonly cells: readonly Cell[]
  readonly clockPin: number | null
  /** Held low, it loads the registers of cells that do not drive with the complement of the level at their pin. */
  readonly loadPin: number | null
  readonly startIsPublished: boolean
}

/** Parts whose registers start alike whoever made them: GAL16V8 p. 20, GAL22V10 p. 13, GAL20RA10 p. 11. */
const PUBLISHED_STARTS = ['16V8', '20V8', '22V10', '20RA10']

/** The table of a part whose mode is what the mode fuses say. A 22V10 has 5828 fuses, or 5892 with its signature. */
export function tableFor(part: string, fuses: Uint8Array): PartTable {
  const length = part === '22V10' && fuses.length === 5828 ? 5892 : fuses.length
  const found = TABLES.find(
    (table) =>
      table.part === part &&
      table.fuseCount === length &&
      table.fixed.every(([fuse, state]) => fuses[fuse] === state),
  )
  if (!found) throw new RangeError(`${fuses.length} fuses are no map of a ${part} in a mode that is defined`)
  return found
}

interface Reader {
  readonly fuses: Uint8Array
  readonly table: PartTable
  /** Pins whose columns carry ¬Q. */
  readonly fedByRegister: ReadonlySet<number>
}

/** The term of a row, null where it is constant 0: both fuses of a pair connected, or the row disabled. */
function termAt({ fuses, table, fedByRegister }: Reader, firstFuse: number): Term | null {
  const { columns, width, firstDisableFuse } = table
  if (firstDisableFuse !== undefined && fuses[firstDisableFuse + firstFuse / width] === 0) return null
  const term: Literal[] = []
  for (const [pair, pin] of columns.entries()) {
    const connected = [firstFuse + 2 * pair, firstFuse + 2 * pair + 1].map((fuse) => fuses[fuse] === 0)
    if (connected[0] && connected[1]) return null
    if (!connected[0] && !connected[1]) continue
    // The true column of a register carries ¬Q: it holds while Q is 0.
    const byRegister = fedByRegister.has(pin)
    term.push({ tap: byRegister ? 'register' : 'pin', pin, level: connected[0] !== byRegister ? 1 : 0 })
  }
  return term
}

function kindOf({ fuses, table }: Reader, cell: CellTable): readonly [string, KindTable] {
  const select = cell.selectFuse === undefined ? undefined : fuses[cell.selectFuse]
  const fits = Object.entries(table.kinds).filter(
    ([kind, wiring]) => (!cell.only || cell.only === kind) && (select === undefined || wiring.select === select),
  )
  if (fits.length !== 1) throw new RangeError(`the cell of pin ${cell.pin} is not defined`)
  return fits[0]!
}

const highPin = (pin: number): Term => [{ tap: 'pin', pin, level: 1 }]
const lowPin = (pin: number): Term => [{ tap: 'pin', pin, level: 0 }]
const listed = (term: Term | null): Term[] => (term ? [term] : [])

function enableOf({ enable }: KindTable, firstRow: () => Term | null): Term[] {
  if (enable === 'always') return [[]]
  if (enable === 'never') return []
  if (enable === 'row') return listed(firstRow())
  if ('lowPin' in enable) return [lowPin(enable.lowPin)]
  return listed(firstRow()).map((term) => [...term, ...lowPin(enable.rowAndLowPin)])
}

function cellFrom(reader: Reader, cell: CellTable): Cell {
  const { fuses, table } = reader
  const [kind, wiring] = kindOf(reader, cell)
  const row = (index: number | undefined): Term | null =>
    index === undefined ? null : termAt(reader, firstFuseOf(table, cell.pin, index))
  const shared = (fuse: number | undefined): Term | null => (fuse === undefined ? null : termAt(reader, fuse))
  const activeHigh = cell.polarityFuse === undefined ? wiring.activeHigh === true : fuses[cell.polarityFuse] === 1
  const first = firstTermRow(wiring)
  const termsFrom = (from: number, to: number): Term[] =>
    kind === 'input' ? [] : Array.from({ length: to - from }, (_, i) => listed(row(from + i))).flat()
  const split = wiring.firstSum === undefined ? cell.rows : first + wiring.firstSum
  const [reset, preset] = [row(wiring.resetRow) ?? shared(table.resetFuse), row(wiring.presetRow)]
  const bypass = table.registers?.bypass === true
  // A reset and a preset that are both constant 1 leave no register.
  const registered = kind === 'registered' && !(bypass && reset?.length === 0 && preset?.length === 0)
  const polarityAfter = !registered || table.registers?.polarity === 'after'
  return {
    pin: cell.pin,
    registered,
    terms: termsFrom(first, split),
    otherTerms: termsFrom(split, cell.rows),
    invertData: !polarityAfter && activeHigh,
    invertPin: polarityAfter ? !activeHigh : true,
    enable: enableOf(wiring, () => row(0)),
    clock: !registered ? null : table.clockPin === undefined ? row(wiring.clockRow) : highPin(table.clockPin),
    reset: registered ? reset : null,
    preset: registered ? preset : null,
    clockedPreset: registered ? shared(table.presetFuse) : null,
    bypass,
  }
}

/** The machine that a fuse map (0 connected, 1 not; fuse 0 first) makes of a part. */
export function machineFrom(part: string, fuses: Uint8Array): Machine {
  const table = tableFor(part, fuses)
  const plain = { fuses, table, fedByRegister: new Set<number>() }
  const fedByRegister = new Set(
    table.registers?.feedback === 'pin'
      ? []
      : table.cells.filter((cell) => kindOf(plain, cell)[0] === 'registered').map(({ pin }) => pin),
  )
  return {
    part,
    pinCount: table.pinCount,
    cells: table.cells.map((cell) => cellFrom({ fuses, table, fedByRegister }, cell)),
    clockPin: table.clockPin ?? null,
    loadPin: table.registers?.loadPin ?? null,
    startIsPublished: PUBLISHED_STARTS.includes(part),
  }
}

/** Every term of a cell. */
export function termsOf(cell: Cell): Term[] {
  const { terms, otherTerms, enable, clock, reset, preset, clockedPreset } = cell
  return [...terms, ...otherTerms, ...enable, ...[clock, reset, preset, clockedPreset].flatMap(listed)]
}

/** The machine without the cells that no driving output reads through any chain: they can never be seen. */
export function reached(machine: Machine): Machine {
  const kept = new Set(machine.cells.filter(({ enable }) => enable.length > 0))
  for (const cell of kept)
    for (const { tap, pin } of termsOf(cell).flat())
      if (tap === 'register') kept.add(machine.cells.find((other) => other.pin === pin)!)
  return { ...machine, cells: machine.cells.filter((cell) => kept.has(cell)) }
}

/** Pins that a machine reads and does not always drive: what the outside decides. */
export function freePins({ cells }: Machine): number[] {
  const driven = new Set(cells.filter(({ enable }) => enable.some((term) => term.length === 0)).map(({ pin }) => pin))
  const read = cells
    .flatMap((cell) => termsOf(cell).flat())
    .filter(({ tap, pin }) => tap === 'pin' && !driven.has(pin))
  return [...new Set(read.map(({ pin }) => pin))].sort((a, b) => a - b)
}

/** Whether a level at a pin may depend on itself through combinational cells: a loop, which keeps a state. */
export function hasLoop({ cells }: Machine): boolean {
  const readers = new Map(
    cells.map((cell) => {
      const passes = !cell.registered || (cell.bypass && cell.reset && cell.preset)
      const terms = passes ? termsOf(cell) : cell.enable
      return [cell.pin, new Set(terms.flat().flatMap(({ tap, pin }) => (tap === 'pin' ? [pin] : [])))]
    }),
  )
  let changed = true
  while (changed) {
    changed = false
    for (const [pin, reads] of readers)
      if ([...reads].every((read) => !readers.has(read))) changed = readers.delete(pin) || changed
  }
  return readers.size > 0
}
