/** A logic prepared for the fast evaluator: its terms as masks over words of levels and states. */
import { pinCells, type Logic } from './logic'
import { maskExpression, MAX_MASK_BITS, termAt, type MaskedExpression } from './masks'
import { netlistOf } from './netlist'
import { staysAtRest, triedSources } from './tried-levels'

/** Pins and registers whose unknown values could be tried. */
export interface SourceWords {
  pins: number
  cells: number
}

/** A cell that drives a pin, prepared. */
export interface FastCell {
  readonly cell: number
  readonly sources: SourceWords
  readonly bit: number
  readonly defined: boolean
  readonly enable: MaskedExpression
  /** Null for a registered output. */
  readonly value: MaskedExpression | null
  readonly stateBit: number
  readonly inverted: boolean
}

/** A register of the one clock, prepared. */
export interface FastRegister {
  readonly cell: number
  readonly sources: SourceWords
  readonly bit: number
  readonly data: MaskedExpression
  readonly clockedPreset: MaskedExpression
  /** Index in `holds`, or −1 where nothing resets it. */
  readonly hold: number
}

/** A logic prepared; shared by all sequences of it. */
export interface FastLogic {
  readonly logic: Logic
  /** Cells whose pins are read, so that each comes after those that it reads. */
  readonly inner: readonly FastCell[]
  readonly innerPins: number
  /** By pin; null where none stands. */
  readonly cellAt: readonly (FastCell | null)[]
  readonly registers: readonly FastRegister[]
  readonly clock: number
  /** Different resets. */
  readonly holds: readonly MaskedExpression[]
  /** Makes the sources of cells and registers those of this logic, where several share them. */
  readonly noteSources: (() => void) | null
}

/** What a caller who changes terms keeps of a logic: where each row stands. */
export type RowPlaces = Parameters<typeof maskExpression>[2]

/** Prepares a logic; null where only the reference can do it: loops, several clocks, terms as clocks, loads. */
export function prepareFast(logic: Logic, rows: RowPlaces = null): FastLogic | null {
  const { clockPin, order, readPins } = netlistOf(logic)
  if (logic.pinCount > MAX_MASK_BITS || logic.cells.length > MAX_MASK_BITS || !staysAtRest(logic)) return null
  const { levelSources, dataSources } = triedSources(logic)!
  const clocks = new Set(logic.cells.flatMap(({ register }, cell) => (register ? [clockPin[cell]!] : [])))
  if (clocks.size > 1) return null
  const cells = logic.cells.map(({ pin, defined, enable, value, register }, cell): FastCell => ({
    cell,
    sources: sourceWords(levelSources[cell]!),
    bit: pin === null ? 0 : 1 << pin,
    defined,
    enable: maskExpression(logic, enable, rows),
    value: register ? null : maskExpression(logic, value ?? { sums: [], inverted: false }, rows),
    stateBit: 1 << cell,
    inverted: register?.inverted ?? false,
  }))
  const inner = order.filter((cell) => {
    const { pin } = logic.cells[cell]!
    return pin !== null && readPins.has(pin) && netlistOf(logic).drives[cell] !== 'never'
  })
  const holds = new Map<string, number>()
  const masked: MaskedExpression[] = []
  const registers = logic.cells.flatMap(({ register }, cell): FastRegister[] => {
    if (!register) return []
    const key = JSON.stringify(register.reset)
    if (!holds.has(key)) {
      const reset = maskExpression(logic, register.reset, rows)
      holds.set(key, reset.constant === 0 ? -1 : masked.push(reset) - 1)
    }
    return [
      {
        cell,
        sources: sourceWords(dataSources[cell]!),
        bit: 1 << cell,
        data: maskExpression(logic, register.data, rows),
        clockedPreset: maskExpression(logic, register.clockedPreset, rows),
        hold: holds.get(key)!,
      },
    ]
  })
  const cellAt = Array<FastCell | null>(logic.pinCount + 1).fill(null)
  for (const { pin } of pinCells(logic)) cellAt[pin] = cells[netlistOf(logic).cellAt.get(pin)!]!
  return {
    logic,
    inner: inner.map((cell) => cells[cell]!),
    innerPins: inner.reduce((bits, cell) => bits | cells[cell]!.bit, 0),
    cellAt,
    registers,
    clock: clocks.size === 0 ? 0 : 1 << [...clocks][0]!,
    holds: masked,
    noteSources: null,
  }
}

function sourceWords(sources: { readonly pins: readonly number[]; readonly cells: readonly number[] }): SourceWords {
  const word = (bits: readonly number[]): number => bits.reduce((all, bit) => all | (1 << bit), 0)
  return { pins: word(sources.pins), cells: word(sources.cells) }
}

/** Every signal that terms which can be 1 read. */
export function readBy(expressions: readonly (MaskedExpression | null)[]): SourceWords {
  const all: SourceWords = { pins: 0, cells: 0 }
  for (const expression of expressions)
    for (let at = 0; expression && at < expression.terms.length; at += 4) {
      const [a, b, c, d] = termAt(expression, at)
      if ((a & b) | (c & d)) continue
      all.pins |= a | b
      all.cells |= c | d
    }
  return all
}
