/** What a part should read as under a wiring: its truth table over the wired pins, with what cannot be told and why. */
import type { OpenLevel, WiringMisfit } from '../../findings/capture-findings'
import { isBypassed, structuralConstant, type Logic, type LogicCell } from '../../logic/logic'
import type { Decoded } from '../../devices/decode'
import { tableOfLogic, type TableColumn, type TruthTable } from './truth-table'

/** The table that a part should give under a wiring; levels that are not known are X there. */
export interface WiredTable {
  readonly table: TruthTable
  /** Rows, a bit each, in which an output is off and nothing says what it then reads as; by output. */
  readonly off: readonly Int32Array[]
  /** Rows in which an output is off by the fuses, whatever stands for that in the table; by output. */
  readonly undriven: readonly Int32Array[]
  /** Pins that depend on registers or loops, and for each output with unknown levels why they are. */
  readonly stateful: readonly number[]
  readonly reasons: ReadonlyMap<number, OpenLevel>
  /** Inputs that matter, and that the wiring neither reaches nor holds. */
  readonly unwired: readonly number[]
}

/** Pins at which levels are applied, held, and read. */
export interface WiredPins {
  readonly inputs: readonly number[]
  readonly outputs: readonly number[]
  /** Level of each pin that is held, by number. */
  readonly held: Readonly<Record<string, 0 | 1>>
  /** Level that an output reads as while it is off; null where nothing says. */
  readonly off: 0 | 1 | null
}

const MOST_INPUTS = 24

/**
 * The levels that a decoded part should show at the pins of a wiring.
 *
 * @throws TypeError for a part without logic
 */
export function partLevels(decoded: Decoded, pins: WiredPins): WiredTable | WiringMisfit {
  const { logic } = decoded
  if (!logic) throw new TypeError('decoded has no logic')
  const misfit = misfitOf(logic, pins, decoded.device)
  if (misfit) return misfit
  const held = heldLevels(logic, pins)
  const columns = pins.outputs.map((pin) => columnOf(decoded, pin, { ...pins, held }))
  const table: TruthTable = {
    inputs: pins.inputs.map((pin) => ({ kind: 'pin', pin })),
    outputs: pins.outputs.map((pin) => ({ kind: 'pin', pin })),
    unlisted: [],
    rowCount: 2 ** pins.inputs.length,
    ones: columns.map(({ ones }) => ones),
    open: columns.map(({ open }) => open),
  }
  const unlisted = columns.flatMap((column) => column.unlisted)
  return {
    table,
    off: columns.map(({ off }) => off),
    undriven: columns.map(({ undriven }) => undriven),
    stateful: pins.outputs.filter((_, i) => columns[i]!.stateful),
    reasons: new Map(
      pins.outputs.flatMap((pin, i) => (columns[i]!.reason === null ? [] : [[pin, columns[i]!.reason]])),
    ),
    unwired: [...new Set(unlisted.flatMap(({ kind, pin }) => (kind === 'pin' ? [pin] : [])))].sort((a, b) => a - b),
  }
}

/**
 * The levels that a part should show when it is read once with pull-ups and once with pull-downs: 0 and 1 where both
 * reads have them, off where a read follows its resistor. What goes against its resistor, as only an output does that
 * reads one that is off, is left unknown.
 */
export function pulledLevels(decoded: Decoded, pins: WiredPins): WiredTable | WiringMisfit {
  const [up, down] = [partLevels(decoded, { ...pins, off: 1 }), partLevels(decoded, { ...pins, off: 0 })]
  if ('misfit' in up) return up
  if ('misfit' in down) return down
  return { ...up, table: pulledTable(up.table, down.table) }
}

/** Two reads of one part, with pull-ups and with pull-downs, as one table. */
export function pulledTable(up: TruthTable, down: TruthTable): TruthTable {
  const each = (work: (high: number, low: number, open: number) => number): Int32Array[] =>
    up.ones.map((ones, i) =>
      ones.map((high, w) => work(high, down.ones[i]![w]!, up.open[i]![w]! | down.open[i]![w]!)),
    )
  return {
    ...up,
    ones: each((_, low, open) => low | open),
    open: each((high, low, open) => (high ^ low) | open),
  }
}

/** Why no such part can be wired so; null where it can. */
function misfitOf(
  logic: Logic,
  { inputs, outputs, held }: WiredPins,
  { groundPin, powerPin }: Decoded['device'],
): WiringMisfit | null {
  const outputAt = (pin: number): LogicCell | undefined => logic.cells.find((output) => output.pin === pin)
  for (const pin of [...inputs, ...Object.keys(held).map(Number), ...outputs])
    if (pin > logic.pinCount) return { misfit: 'pin-beyond', pinCount: logic.pinCount, pin }
  for (const pin of [...inputs, ...outputs])
    if (logic.supplyPins.includes(pin)) return { misfit: 'signal-at-supply', pin }
  for (const [pin, level] of [
    [groundPin, 0],
    [powerPin, 1],
  ] as const)
    if (held[pin] === 1 - level) return { misfit: level ? 'supply-held-low' : 'ground-held-high', pin }
  for (const pin of outputs) if (!outputAt(pin)) return { misfit: 'no-output', pin }
  for (const pin of inputs) {
    const output = outputAt(pin)
    if (output?.register && !isBypassed(output)) return { misfit: 'address-at-register', pin }
    if (output && structuralConstant(output.enable) === 1) return { misfit: 'address-at-output', pin }
  }
  return null
}

/** Held pins without supply pins; with a level for outputs that are off, that level too. */
function heldLevels(logic: Logic, { held, outputs, off }: WiredPins): Record<string, 0 | 1> {
  const signals = Object.entries(held).filter(([pin]) => !logic.supplyPins.includes(Number(pin)))
  return {
    ...(off === null ? {} : Object.fromEntries(outputs.map((pin) => [pin, off]))),
    ...Object.fromEntries(signals),
  }
}

interface Column {
  readonly ones: Int32Array
  readonly open: Int32Array
  readonly off: Int32Array
  readonly undriven: Int32Array
  readonly stateful: boolean
  readonly reason: OpenLevel | null
  readonly unlisted: readonly TableColumn[]
}

/** One output: its levels, X where they are not known. */
function columnOf(decoded: Decoded, pin: number, { inputs, held, off }: WiredPins): Column {
  const logic = decoded.logic!
  const words = Math.ceil(2 ** inputs.length / 32)
  const unknown = (reason: OpenLevel, stateful: boolean): Column => ({
    ones: new Int32Array(words).fill(-1),
    open: new Int32Array(words).fill(-1),
    off: new Int32Array(words),
    undriven: new Int32Array(words),
    stateful,
    reason,
    unlisted: [],
  })
  const output = logic.cells.find((each) => each.pin === pin)!
  if (output.register && !isBypassed(output)) return unknown({ why: 'register' }, true)
  const table =
    structuralConstant(output.enable) === 0 && !output.value
      ? null
      : tableOfLogic(logic, { inputs, outputs: [pin], held, maxInputs: MOST_INPUTS })
  if (table && 'refused' in table)
    return unknown(
      { why: 'too-wide', needed: table.needed.length, limit: table.limit },
      table.needed.some(({ kind }) => kind === 'state'),
    )
  const [ones, open] = table
    ? [table.ones[0]!, table.open[0]!]
    : [new Int32Array(words), new Int32Array(words).fill(-1)]
  const [off1, isOff] = [off === 1 ? -1 : 0, ones.map((word, i) => open[i]! & ~word)]
  const states = table?.unlisted.some(({ kind }) => kind === 'state') ?? false
  const isUnknown = open.some((word, i) => (word & ones[i]!) !== 0)
  return {
    ones: ones.map((word, i) => word | (isOff[i]! & off1)),
    open: off === null ? open : open.map((word, i) => word & ~isOff[i]!),
    off: off === null ? isOff : new Int32Array(words),
    undriven: isOff,
    stateful: isUnknown && (states || (table!.unlisted.length === 0 && output.defined)),
    reason: isUnknown ? { why: openCause(table!, output) } : null,
    unlisted: isUnknown ? table!.unlisted : [],
  }
}

/** What leaves levels of a table open. */
function openCause({ unlisted }: TruthTable, { defined }: LogicCell): Exclude<OpenLevel['why'], 'too-wide'> {
  if (unlisted.some(({ kind }) => kind === 'state')) return 'hangs-on-register'
  if (unlisted.length > 0) return 'not-wired'
  return defined ? 'loop' : 'undefined-cell'
}
