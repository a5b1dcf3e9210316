/** A captured image whose wiring is not known, against a part or another image: both made comparable, then searched. */
import type { Pieces } from '../../arguments/pieces'
import type { NoLogic } from '../../findings/capture-findings'
import type { Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { Decoded } from '../../devices/decode'
import { tableOddities } from './capture-quality'
import { partLevels, type WiredTable } from '../table/part-levels'
import { tableOfLogic, type TableColumn, type TruthTable } from '../table/truth-table'
import type { Wiring, WiringDocument, WiringHints } from './wiring'
import { searchPieces, type FoundWiring, type WiringSearch, type WiringSearchOptions } from './wiring-search'

/** What a search is made against: a table with known levels, and the pins held while it holds. */
export interface SearchTarget {
  readonly table: TruthTable
  readonly held: Wiring['held']
  /** Input pins that the table does not have because they make no difference: idle lines of an image may be at them. */
  readonly idle: readonly number[]
}

/** Several reads of one image: what all agree on, each read, and the rows that count. */
export interface SearchedReads {
  readonly table: TruthTable
  readonly reads: readonly TruthTable[]
  /** A bit a row; null where every row counts. */
  readonly known: Int32Array | null
}

/** A search with the wirings that it gave as documents. */
export interface CaptureSearch extends WiringSearch {
  /** The wiring found, or the nearest one; null where there is neither. */
  readonly description: WiringDocument | null
}

const MOST_INPUTS = 20
/** Data line n of a wiring by line numbers is this plus n + 1. */
const FIRST_DATA_PIN = 100

/** Lines of an image by number; null where its size is that of no table. */
export function linesOfSize(bytes: number, width: 8 | 16): number | null {
  const words = bytes / (width / 8)
  const lines = Math.log2(words)
  return Number.isInteger(lines) && lines >= 1 && lines <= MOST_INPUTS ? lines : null
}

/** A wiring by line numbers: address line n is pin n + 1, data line n is pin 101 + n. */
export function plainLines(lines: number, { width, byteOrder, off, title, badRows }: WiringHints): WiringDocument {
  return {
    address: Array.from({ length: lines }, (_, i) => i + 1),
    data: Array.from({ length: width }, (_, i) => FIRST_DATA_PIN + 1 + i),
    width,
    byteOrder,
    off,
    title,
    badRows,
  }
}

/** A line of `plainLines` by its name: A0, A1 … and D0, D1 … */
export function lineName(pin: number): string {
  return pin > FIRST_DATA_PIN ? `D${pin - FIRST_DATA_PIN - 1}` : `A${pin - 1}`
}

/**
 * The table of a part over all pins that its outputs depend on, with outputs enabled: a pin that switches all of them
 * off is held.
 */
export function partTarget(
  decoded: Decoded,
  { held, off }: Pick<WiringHints, 'held' | 'off'>,
): SearchTarget | NoLogic {
  const outputs = decoded.logic ? [...netlistOf(decoded.logic).drivenPins] : []
  const shown = { ...held }
  for (;;) {
    if (!decoded.logic || outputs.length === 0) return { reason: 'no-output' }
    const whole = tableOfLogic(decoded.logic, { outputs, held: shown, maxInputs: 24 })
    if ('refused' in whole) return { reason: 'too-wide', needed: whole.needed.length, limit: whole.limit }
    const switching = switchingPin(whole)
    if (switching) {
      shown[switching.pin] = switching.level
      continue
    }
    const inputs = whole.inputs.flatMap(({ kind, pin }) => (kind === 'pin' && !outputs.includes(pin) ? [pin] : []))
    const levels = partLevels(decoded, { inputs, outputs, held: shown, off })
    return 'misfit' in levels
      ? { reason: 'misfit', ...levels }
      : knownTarget(levels.table, {
          reasons: levels.reasons,
          held: shown,
          idle: idlePins(decoded.logic, inputs, shown),
        })
  }
}

/** An input pin at one of whose levels every output is off, and the other level. */
function switchingPin({
  inputs,
  ones,
  open,
  rowCount,
}: TruthTable): { readonly pin: number; readonly level: 0 | 1 } | null {
  const isOff = (row: number): boolean =>
    ones.every((words, i) => ((open[i]![row >>> 5]! & ~words[row >>> 5]!) >>> (row & 31)) & 1)
  for (const [column, { kind, pin }] of inputs.entries()) {
    if (kind !== 'pin') continue
    for (const level of [0, 1] as const) {
      let [off, row] = [true, 0]
      for (; row < rowCount && off; row++) if (((row >>> column) & 1) === level) off = isOff(row)
      if (off) return { pin, level: level ? 0 : 1 }
    }
  }
  return null
}

function knownTarget(
  table: TruthTable,
  {
    reasons,
    held,
    idle,
  }: {
    readonly reasons: WiredTable['reasons']
    readonly held: Wiring['held']
    readonly idle: readonly number[]
  },
): SearchTarget | NoLogic {
  const [unknown] = reasons
  if (unknown) return { reason: 'open-level', pin: unknown[0], ...unknown[1] }
  const off = table.open.findIndex((words) => words.some((word) => word !== 0))
  if (off >= 0) return { reason: 'off', pin: table.outputs[off]!.pin }
  return { table, held, idle }
}

/** Pins that are inputs for good, and neither listed nor held. */
function idlePins({ cells, pinCount, supplyPins }: Logic, inputs: readonly number[], held: Wiring['held']): number[] {
  const able = new Set(cells.map(({ pin }) => pin))
  const taken = new Set([...inputs, ...supplyPins, ...Object.keys(held).map(Number)])
  return Array.from({ length: pinCount }, (_, i) => i + 1).filter((pin) => !able.has(pin) && !taken.has(pin))
}

/**
 * Searches the lines of a captured table in a target. Where reads disagree each is tried: more reads never find less
 * than one of them alone.
 */
export function* searchWiring(
  { table, reads, known }: SearchedReads,
  target: SearchTarget,
  { hints, options }: { readonly hints: WiringHints; readonly options: WiringSearchOptions },
): Pieces<CaptureSearch | NoLogic> {
  const fitted = fittedTables(table, target.table)
  if ('reason' in fitted) return fitted
  const kept = fitted.capture.outputs.map(({ pin }) => table.outputs.findIndex((output) => output.pin === pin))
  const tries = known ? reads.map((read) => chosenOutputs(read, kept)) : [fitted.capture]
  let found: WiringSearch | null = null
  for (const each of tries) {
    const next = yield* searchPieces(each, fitted.reference, known ? { ...options, known } : options)
    if (!found || next.relation === 'found') found = next
    if (found.relation === 'found') break
  }
  const wiring = found!.wirings[0] ?? found!.nearest?.wiring
  return { ...found!, description: wiring ? documentOf(wiring, table, { fitted, hints, target }) : null }
}

function chosenOutputs(table: TruthTable, kept: readonly number[]): TruthTable {
  const chosen = <T>(list: readonly T[]): T[] => kept.map((i) => list[i]!)
  return { ...table, outputs: chosen(table.outputs), ones: chosen(table.ones), open: chosen(table.open) }
}

interface Fitted {
  readonly capture: TruthTable
  readonly reference: TruthTable
}

/**
 * As many inputs and outputs on both sides: inputs that matter to nothing, and lines that never move, make up the
 * difference.
 */
function fittedTables(capture: TruthTable, reference: TruthTable): Fitted | NoLogic {
  const idle = tableOddities(reference).idleInputs
  const surplus = Math.max(0, reference.inputs.length - capture.inputs.length)
  if (idle.length < surplus)
    return {
      reason: 'inputs-differ',
      inputs: reference.inputs.length - idle.length,
      lines: capture.inputs.length,
    }
  const inputs = widened(withoutInputs(reference, idle.slice(0, surplus)), capture.inputs.length)
  const [lines, outputs] = [withoutSteady(capture, inputs), withoutSteady(inputs, capture)]
  if (lines.outputs.length !== outputs.outputs.length)
    return { reason: 'outputs-differ', outputs: outputs.outputs.length, lines: lines.outputs.length }
  return { capture: lines, reference: outputs }
}

/** The table at level 0 of inputs that make no difference. */
function withoutInputs(table: TruthTable, pins: readonly number[]): TruthTable {
  if (pins.length === 0) return table
  const kept = [...table.inputs.keys()].filter((column) => !pins.includes(table.inputs[column]!.pin))
  const from = (row: number): number => kept.reduce((at, column, k) => at | (((row >>> k) & 1) << column), 0)
  return rearranged(
    table,
    kept.map((column) => table.inputs[column]!),
    from,
  )
}

/** The table with further inputs that make no difference; they have no pin. */
function widened(table: TruthTable, count: number): TruthTable {
  const more = Array.from({ length: count - table.inputs.length }, (): TableColumn => ({ kind: 'pin', pin: 0 }))
  return more.length === 0
    ? table
    : rearranged(table, [...table.inputs, ...more], (row) => row & (table.rowCount - 1))
}

function rearranged(table: TruthTable, inputs: readonly TableColumn[], from: (row: number) => number): TruthTable {
  const rowCount = 2 ** inputs.length
  const moved = (words: Int32Array): Int32Array => {
    const result = new Int32Array(Math.ceil(rowCount / 32))
    for (let row = 0; row < rowCount; row++)
      result[row >>> 5]! |= ((words[from(row) >>> 5]! >>> (from(row) & 31)) & 1) << (row & 31)
    return result
  }
  return { ...table, inputs, rowCount, ones: table.ones.map(moved), open: table.open.map(moved) }
}

/**
 * Without lines of one level, as many as the table has more than the other; those go first whose level the other side
 * lacks most.
 */
function withoutSteady(table: TruthTable, other: TruthTable): TruthTable {
  const [own, others] = [tableOddities(table).stuckOutputs, tableOddities(other).stuckOutputs]
  const count = (list: typeof own, level: 0 | 1): number => list.filter((each) => each.level === level).length
  const surplus = ([0, 1] as const).map((level) => count(own, level) - count(others, level))
  const left = [...own]
  const dropped: number[] = []
  for (let more = table.outputs.length - other.outputs.length; more > 0 && left.length > 0; more--) {
    const level = surplus[1]! > surplus[0]! ? 1 : 0
    const at = left.map((each) => each.level).lastIndexOf(level)
    dropped.push(left.splice(at < 0 ? left.length - 1 : at, 1)[0]!.pin)
    surplus[level]!--
  }
  const kept = [...table.outputs.keys()].filter((i) => !dropped.includes(table.outputs[i]!.pin))
  return chosenOutputs(table, kept)
}

/**
 * A found wiring as a document: for each line of the image the pin that it is at. Lines that make no difference get the
 * idle input pins in their order, since any of them fits.
 */
function documentOf(
  { inputs, outputs }: FoundWiring,
  capture: TruthTable,
  { fitted, hints, target }: { readonly fitted: Fitted; readonly hints: WiringHints; readonly target: SearchTarget },
): WiringDocument {
  const used = new Set(fitted.reference.inputs.map(({ pin }) => pin))
  const left = target.table.inputs.flatMap(({ pin }) => (used.has(pin) ? [] : [pin]))
  const spare = [...left, ...target.idle].sort((a, b) => a - b)
  const wire = (
    pins: readonly TableColumn[],
    matched: FoundWiring['inputs'],
    column: number,
  ): { pin: number; inverted: boolean } | null => {
    const at = matched.findIndex((each) => each.column === column)
    return at < 0 || pins[at]!.pin === 0 ? null : { pin: pins[at]!.pin, inverted: matched[at]!.inverted }
  }
  const idle = (): { pin: number; inverted: boolean } | null => {
    const pin = spare.shift()
    return pin === undefined ? null : { pin, inverted: false }
  }
  const columnOfLine = capture.outputs.map(({ pin }) =>
    fitted.capture.outputs.findIndex((output) => output.pin === pin),
  )
  return {
    title: hints.title,
    address: capture.inputs.map((_, column) => wire(fitted.reference.inputs, inputs, column) ?? idle()),
    data: columnOfLine.map((column) => (column < 0 ? null : wire(fitted.reference.outputs, outputs, column))),
    held: target.held,
    width: hints.width,
    byteOrder: hints.byteOrder,
    off: hints.off,
    badRows: hints.badRows,
  }
}

/** A table with its inputs and outputs in the order of pins; inputs that are not named must make no difference. */
export function overPins(table: TruthTable, inputs: readonly number[], outputs: readonly number[]): TruthTable {
  const columns = inputs.map((pin) => table.inputs.findIndex((input) => input.pin === pin))
  const places = outputs.map((pin) => table.outputs.findIndex((output) => output.pin === pin))
  const chosen: TruthTable = {
    ...table,
    outputs: places.map((i) => table.outputs[i]!),
    ones: places.map((i) => table.ones[i]!),
    open: places.map((i) => table.open[i]!),
  }
  return rearranged(
    chosen,
    columns.map((column) => table.inputs[column]!),
    (row) => columns.reduce((at, column, k) => at | (((row >>> k) & 1) << column), 0),
  )
}
