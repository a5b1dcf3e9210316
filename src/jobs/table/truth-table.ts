/** Truth tables of a decoded part, by the bit-parallel evaluator. */
import { checkedOptions } from './checked-table'
import { COLUMN_BITS } from '../../logic/words'
import {
  isBypassed,
  pinCells,
  structuralConstant,
  usedSignals,
  type Expression,
  type Logic,
  type LogicCell,
} from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import {
  createDriveWords,
  driveWords,
  nextStateWords,
  prepareSweep,
  ROWS_AT_ONCE,
  settleWords,
  type Sweep,
} from '../../logic/sweep'
import { wordTable } from '../../logic/word-table'
import { checkedDecoded, type Decoded } from '../../devices/decode'
import { refusedFor, type Refused } from '../../findings/refused'

/**
 * A column of a table: a level at a pin (`pin`), or of the state behind it (`state`: as the enabled pin would show
 * it).
 */
export interface TableColumn {
  /**
   * For an input `state` is the present state of a register; for an output the one after the next rise of its clock.
   */
  readonly kind: 'pin' | 'state'
  /** 0 for the state of a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
}

/** Which columns a table has, and how large it may become. */
export interface TableOptions {
  /**
   * Pins of the input columns; a pin with a register stands for its state. All that the outputs depend on when left
   * out.
   */
  readonly inputs?: readonly number[]
  /** Pins of the output columns; all outputs when left out. A pin with a register stands for its next state. */
  readonly outputs?: readonly number[]
  /** Levels of pins that are held while the others are swept, by pin number; such a pin is no column. */
  readonly held?: Readonly<Record<string, 0 | 1>>
  /** Most inputs that the outputs may depend on, listed or not (default 24). */
  readonly maxInputs?: number
}

/**
 * A truth table. Row r holds what the outputs give when input column k is bit k of r (the first column is the least
 * significant bit, like address line 0 of a memory).
 */
export interface TruthTable {
  /** Columns whose levels are the bits of a row's number. */
  readonly inputs: readonly TableColumn[]
  /** Columns that the rows give. */
  readonly outputs: readonly TableColumn[]
  /** Inputs that the outputs depend on and that are no columns: where they matter the level is X. */
  readonly unlisted: readonly TableColumn[]
  /** 2 to the number of inputs. */
  readonly rowCount: number
  /** Two bits a row and output: see `levelInTable`. */
  readonly ones: readonly Int32Array[]
  /** Bit of a row that stands for X or Z. */
  readonly open: readonly Int32Array[]
}

/** Why a table cannot be made: there are more inputs than the limit. */
export interface TooWide extends Refused<'too-wide'> {
  /** Inputs that would have to be swept, and how many may be. */
  readonly needed: readonly TableColumn[]
  /** Most inputs that may be swept. */
  readonly limit: number
}

/**
 * The truth table of chosen outputs over chosen inputs, exact also where inputs are left out.
 *
 * @param decoded what `decode` gave, with logic
 * @param options columns, levels that are held, most inputs
 * @returns the table, or why it cannot be made
 * @throws RangeError for a pin that is no input or output, naming the argument
 * @example truthTable(decoded, { outputs: [17] })
 */
export function truthTable(decoded: Decoded, options: TableOptions = {}): TruthTable | TooWide | Refused<'no-logic'> {
  const { logic } = checkedDecoded(decoded, 'decoded')
  checkedOptions(options)
  return logic ? tableOfLogic(logic, options) : refusedFor('no-logic')
}

/** `truthTable` of a logic that is there, with options that were checked. */
export function tableOfLogic(logic: Logic, options: TableOptions): TruthTable | TooWide {
  const { maxInputs: limit = 24 } = options
  const outputs = outputColumns(logic, options.outputs)
  const held = heldPins(logic, options.held ?? {})
  const needed = dependencies(logic, outputs).filter(({ kind, pin }) => kind === 'state' || !held.has(pin))
  const inputs = options.inputs ? options.inputs.map((pin) => inputColumn(logic, pin)) : needed
  const both = inputs.find(({ kind, pin }) => kind === 'pin' && held.has(pin))
  if (both) throw new RangeError(`options.held: pin ${both.pin} is an input column too`)
  if (new Set(inputs.map(keyOf)).size !== inputs.length) throw new RangeError('options.inputs names a pin twice')
  const listed = new Set(inputs.map(keyOf))
  const unlisted = needed.filter((column) => !listed.has(keyOf(column)))
  const all = [...inputs, ...unlisted]
  return all.length > limit
    ? { ...refusedFor('too-wide'), needed: all, limit }
    : fillTable(logic, { inputs, unlisted, outputs, held })
}

const keyOf = ({ kind, pin, cell }: TableColumn): string => `${kind} ${cell ?? pin}`

/** The column of a cell: its state where it has a register, else the level at its pin. */
function columnOf(cell: LogicCell): TableColumn {
  const { pin, name } = cell
  if (pin === null) return { kind: 'state', pin: 0, cell: name }
  return { kind: cell.register && !isBypassed(cell) ? 'state' : 'pin', pin }
}

/** Index of the cell that a column belongs to; −1 for a pin without one. */
function cellOf(logic: Logic, { pin, cell }: TableColumn): number {
  return logic.cells.findIndex((each) => (cell === undefined ? each.pin === pin : each.name === cell))
}

function outputColumns(logic: Logic, pins: readonly number[] | undefined): TableColumn[] {
  const { drives } = netlistOf(logic)
  const able = logic.cells.filter(({ register }, i) => drives[i] !== 'never' || register)
  if (!pins) return able.map(columnOf)
  if (new Set(pins).size !== pins.length) throw new RangeError('options.outputs names a pin twice')
  return pins.map((pin) => {
    const output = logic.cells.find((each) => each.pin === pin)
    if (!output)
      throw new RangeError(
        `options.outputs: ${pin} is no output pin of this part; those are ${pinCells(logic)
          .map((each) => each.pin)
          .join(', ')}`,
      )
    return columnOf(output)
  })
}

function heldPins(logic: Logic, levels: Readonly<Record<string, 0 | 1>>): Map<number, 0 | 1> {
  return new Map(
    Object.entries(levels).map(([pin, level]) => {
      if (
        !/^\d{1,3}$/.test(pin) ||
        Number(pin) < 1 ||
        Number(pin) > logic.pinCount ||
        logic.supplyPins.includes(Number(pin))
      )
        throw new RangeError(`options.held: ${pin} is no signal pin of this part`)
      if (level !== 0 && level !== 1) throw new RangeError(`options.held.${pin} must be 0 or 1`)
      return [Number(pin), level]
    }),
  )
}

function inputColumn(logic: Logic, pin: number): TableColumn {
  const output = logic.cells.find((each) => each.pin === pin)
  if (!Number.isSafeInteger(pin) || pin < 1 || pin > logic.pinCount || logic.supplyPins.includes(pin))
    throw new RangeError(`options.inputs: ${pin} is no signal pin of this part`)
  return { kind: output?.register && !isBypassed(output) ? 'state' : 'pin', pin }
}

/** What outputs depend on by their wiring: pins in ascending order, then states. */
function dependencies(logic: Logic, outputs: readonly TableColumn[]): TableColumn[] {
  const clocks = new Set(restingClocks(logic, outputs))
  const ofPins = dependenciesOf(
    logic,
    outputs.filter(({ kind }) => kind === 'pin'),
  )
  // Just before its edge a clock is low, so that next states do not depend on it.
  const ofStates = dependenciesOf(
    logic,
    outputs.filter(({ kind }) => kind === 'state'),
  ).filter(({ kind, pin }) => kind === 'state' || !clocks.has(pin))
  const found = new Map([...ofPins, ...ofStates].map((column) => [keyOf(column), column]))
  return [...found.values()].sort((a, b) => Number(a.kind === 'state') - Number(b.kind === 'state') || a.pin - b.pin)
}

function dependenciesOf(logic: Logic, outputs: readonly TableColumn[]): TableColumn[] {
  const found: TableColumn[] = []
  const seen = new Set<string>()
  const { cellAt, drives } = netlistOf(logic)
  const add = (column: TableColumn): boolean => {
    if (seen.has(keyOf(column))) return false
    seen.add(keyOf(column))
    return true
  }
  const follow = (expressions: readonly Expression[]): void => {
    for (const index of usedSignals(expressions)) {
      const signal = logic.signals[index]!
      if (signal.kind === 'register') visitState(signal.cell)
      else visitPin(signal.pin)
    }
  }
  const visitState = (cell: number): void => {
    const { pin, name } = logic.cells[cell]!
    const column: TableColumn = pin === null ? { kind: 'state', pin: 0, cell: name } : { kind: 'state', pin }
    if (add(column)) found.push(column)
  }
  const visitPin = (pin: number): void => {
    if (!add({ kind: 'pin', pin })) return
    const cell = cellAt.get(pin)
    if (cell === undefined || drives[cell] !== 'always') found.push({ kind: 'pin', pin })
    if (cell !== undefined) visitDrive(cell)
  }
  const visitDrive = (index: number): void => {
    const cell = logic.cells[index]!
    const { enable, value, register } = cell
    if (structuralConstant(enable) === 0) return
    follow([
      enable,
      ...(value ? [value] : []),
      ...(register?.bypass ? [register.data, register.reset, register.preset] : []),
    ])
    if (register && !isBypassed(cell)) visitState(index)
  }
  for (const column of outputs) {
    const index = cellOf(logic, column)
    const { register } = logic.cells[index]!
    if (column.kind === 'pin') visitDrive(index)
    else if (register) follow([register.data, register.clockedPreset, register.reset, register.preset])
  }
  return found
}

/** Input pins that clock a register of the table by the part's structure. */
function restingClocks(logic: Logic, outputs: readonly TableColumn[]): number[] {
  const { clockPin } = netlistOf(logic)
  return outputs.flatMap((column) => (column.kind === 'state' ? (clockPin[cellOf(logic, column)] ?? []) : []))
}

interface Columns {
  readonly held: ReadonlyMap<number, 0 | 1>
  readonly inputs: readonly TableColumn[]
  readonly unlisted: readonly TableColumn[]
  readonly outputs: readonly TableColumn[]
}

function fillTable(logic: Logic, columns: Columns): TruthTable {
  const { inputs, unlisted, outputs } = columns
  const rowCount = 2 ** inputs.length
  const words = Math.ceil(rowCount / ROWS_AT_ONCE)
  const quick = filledAtOnce(logic, columns, words)
  if (quick) return { inputs, outputs, unlisted, rowCount, ...quick }
  const pass = startPass(logic, columns)
  const found = outputs.map(() => ({ ones: new Int32Array(words), open: new Int32Array(words) }))
  for (let extra = 0; extra < 2 ** unlisted.length; extra++)
    for (let word = 0; word < words; word++) {
      setInputs(pass, { word, extra, listed: inputs.length })
      const levels = levelsOfWord(pass, outputs)
      levels.forEach((level, i) => mergeInto(found[i]!, { word, first: extra === 0, level }))
    }
  return {
    inputs,
    outputs,
    unlisted,
    rowCount,
    ones: found.map(({ ones }) => ones),
    open: found.map(({ open }) => open),
  }
}

/** Outputs without state, over columns that fix them: the common case, many times as fast. */
function filledAtOnce(
  logic: Logic,
  { inputs, unlisted, outputs, held }: Columns,
  words: number,
): Pick<TruthTable, 'ones' | 'open'> | null {
  if (unlisted.length > 0 || [...inputs, ...outputs].some(({ kind }) => kind === 'state')) return null
  const columns = new Map(inputs.map(({ pin }, k) => [pin, k]))
  const driven = wordTable(
    logic,
    outputs.map((column) => cellOf(logic, column)),
    { columns, held, words },
  )
  if (!driven) return null
  const ones = driven.map(({ value }) => value.slice())
  const open = driven.map(() => new Int32Array(words))
  driven.forEach(({ enable }, i) => {
    if (!enable) return
    for (let word = 0; word < words; word++) {
      ones[i]![word]! &= enable[word]!
      open[i]![word] = ~enable[word]!
    }
  })
  return { ones, open }
}

/** All output columns in the 32 rows that are set: pins as the inputs make them, next states with their clocks low. */
function levelsOfWord(
  { sweep, applied, clocks, indices, drive }: Pass,
  outputs: readonly TableColumn[],
): TableWords[] {
  const has = (kind: TableColumn['kind']): boolean => outputs.some((column) => column.kind === kind)
  if (has('pin')) settleWords(sweep, applied, drive)
  const levels = outputs.map(({ kind }, i) => (kind === 'pin' ? pinWords(sweep, indices[i]!, drive) : null))
  if (!has('state')) return levels as TableWords[]
  for (const pin of clocks) {
    applied.zero[pin] = -1
    applied.one[pin] = 0
  }
  settleWords(sweep, applied, drive)
  return levels.map((level, i) => level ?? stateWords(sweep, indices[i]!, drive.value))
}

interface Pass {
  readonly sweep: Sweep
  /** Where each swept column goes: a pin, or a place of a register with whether its pin inverts. */
  readonly places: readonly { readonly pin: number | null; readonly place: number; readonly inverted: boolean }[]
  readonly applied: { readonly zero: Int32Array; readonly one: Int32Array }
  /** Pins that are low just before an edge. */
  readonly clocks: readonly number[]
  /** The output of each output column. */
  readonly indices: readonly number[]
  readonly drive: ReturnType<typeof createDriveWords>
}

function startPass(logic: Logic, { inputs, unlisted, outputs, held }: Columns): Pass {
  const applied = (level: 0 | 1): Int32Array =>
    Int32Array.from({ length: logic.pinCount + 1 }, (_, pin) => (held.get(pin) === 1 - level ? 0 : -1))
  return {
    sweep: prepareSweep(logic),
    places: placesOf(logic, [...inputs, ...unlisted]),
    applied: { zero: applied(0), one: applied(1) },
    clocks: restingClocks(logic, outputs),
    indices: outputs.map((column) => cellOf(logic, column)),
    drive: createDriveWords(),
  }
}

function placesOf(logic: Logic, columns: readonly TableColumn[]): Pass['places'] {
  return columns.map((column) => {
    const { kind, pin } = column
    if (kind === 'pin') return { pin, place: pin, inverted: false }
    const cell = cellOf(logic, column)
    return { pin: null, place: logic.pinCount + 1 + cell, inverted: logic.cells[cell]?.register?.inverted ?? false }
  })
}

/** Levels of all swept columns for the 32 rows of a word; unlisted columns have one level for all rows. */
function setInputs(
  { sweep, places, applied }: Pass,
  { word, extra, listed }: { readonly word: number; readonly extra: number; readonly listed: number },
): void {
  places.forEach(({ pin, place, inverted }, k) => {
    const high =
      k >= listed
        ? -((extra >>> (k - listed)) & 1)
        : k < COLUMN_BITS.length
          ? COLUMN_BITS[k]!
          : -((word >>> (k - COLUMN_BITS.length)) & 1)
    const one = inverted ? ~high : high
    const target = pin === null ? sweep : applied
    target.one[place] = one
    target.zero[place] = ~one
  })
}

/** Levels as two bits a row: known level or 0 for Z in `ones`, with `open` set for Z and X. */
interface TableWords {
  readonly ones: number
  readonly open: number
}

function pinWords(sweep: Sweep, index: number, drive: ReturnType<typeof createDriveWords>): TableWords {
  driveWords(sweep, index, drive)
  const { enable, value } = drive
  const off = ~enable.one
  const unknown = ~off & ((enable.zero & enable.one) | (value.zero & value.one))
  return { ones: (~off & value.one) | unknown, open: off | unknown }
}

function stateWords(sweep: Sweep, index: number, value: ReturnType<typeof createDriveWords>['value']): TableWords {
  nextStateWords(sweep, index, value)
  const unknown = value.zero & value.one
  return { ones: (sweep.logic.cells[index]!.register!.inverted ? value.zero : value.one) | unknown, open: unknown }
}

/** Puts levels into a table; where a row has had another level before, it becomes X. */
function mergeInto(
  { ones, open }: { readonly ones: Int32Array; readonly open: Int32Array },
  given: { readonly word: number; readonly first: boolean; readonly level: TableWords },
): void {
  const { word, first, level } = given
  const differing = first ? 0 : (ones[word]! ^ level.ones) | (open[word]! ^ level.open)
  ones[word] = level.ones | differing
  open[word] = level.open | differing
}
