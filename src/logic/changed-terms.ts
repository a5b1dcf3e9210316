/**
 * One prepared logic in which the term of an array row is changed in place, so that thousands of parts that differ in
 * one fuse each are run without being built.
 */
import { prepareFast, readBy, type FastCell, type FastLogic, type SourceWords } from './fast-logic'
import type { Literal, Logic } from './logic'
import { cubeWords, termAt, type MaskedExpression, type TermPlace } from './masks'
import { netlistOf } from './netlist'

/** The four words of a term. */
type TermWords = readonly number[]

/** A logic of which rows can be changed, one at a time. */
export interface ChangeableLogic {
  readonly logic: Logic
  readonly fast: FastLogic
  readonly places: ReadonlyMap<number, readonly TermPlace[]>
  /** Cells that drive, and the expressions that act on their pins at once. */
  readonly driving: readonly { readonly cell: FastCell; readonly isRegistered: boolean }[]
  /** Expressions that act on pins at once. */
  readonly acting: ReadonlySet<MaskedExpression>
  /** Enables of outputs that are always off. */
  readonly waking: ReadonlySet<MaskedExpression>
  /** Whose sources the cells have now. */
  readonly noted: { by: FastLogic | null }
}

/** Prepares a logic; null where only the reference can run it. */
export function prepareChanges(
  logic: Logic,
  literalsOf: (row: number) => readonly Literal[],
): ChangeableLogic | null {
  const places = new Map<number, TermPlace[]>()
  const fast = prepareFast(logic, { places, literalsOf })
  if (!fast) return null
  const { drives } = netlistOf(logic)
  const driving = logic.cells.flatMap(({ pin, register }, index) => {
    const cell = pin === null ? null : fast.cellAt[pin]
    return cell && drives[index] !== 'never' ? [{ cell, isRegistered: register !== null }] : []
  })
  const known = new Set(driving.map(({ cell }) => cell))
  const off = fast.cellAt.flatMap((cell) => (cell && !known.has(cell) ? [cell.enable] : []))
  const acting = driving.flatMap(({ cell: { enable, value } }) => (value ? [enable, value] : [enable]))
  const sets = { acting: new Set(acting), waking: new Set(off), noted: { by: null } }
  const changeable: ChangeableLogic = { logic, fast, places, driving, ...sets }
  // In the form that changed ones have, so that their states can be compared word by word.
  const same = present(changeable, [])
  return same && { ...changeable, fast: same }
}

/** Whether an enable is 1 or 0 for good, as far as its terms say. */
function constantOf(enable: MaskedExpression): 0 | 1 | null {
  if (enable.constant !== null) return enable.constant
  let value: number = enable.inverted
  let at = 0
  for (const end of enable.ends) {
    const sum = constantSum(enable, at, end)
    if (sum === null) return null
    value ^= sum
    at = end
  }
  return value as 0 | 1
}

/** The same of the terms of one sum. */
function constantSum(enable: MaskedExpression, from: number, end: number): 0 | 1 | null {
  let live = false
  for (let at = from; at < end; at += 4) {
    const [a, b, c, d] = termAt(enable, at)
    if ((a | b | c | d) === 0) return 1
    if (((a & b) | (c & d)) === 0) live = true
  }
  return live ? null : 0
}

/** A term before and after a change, with where it stands. */
export interface TermChange {
  readonly place: TermPlace
  readonly old: TermWords
  readonly next: TermWords
}

/** The terms that a row makes, and those that it makes of other literals. */
export function termChanges(
  { logic, places }: ChangeableLogic,
  row: number,
  literals: readonly Literal[],
): TermChange[] {
  return (places.get(row) ?? []).map((place) => ({
    place,
    old: termAt(place.expression, place.at),
    next: cubeWords(logic, [...literals, ...place.added]),
  }))
}

/**
 * Runs `work` with terms changed; `work` gets null where only the reference can run that, since wiring runs in a circle
 * now, or an output that was always off is not.
 */
export function withChanges<T>(
  changeable: ChangeableLogic,
  changes: readonly TermChange[],
  work: (fast: FastLogic | null) => T,
): T {
  for (const { place, next } of changes) place.expression.terms.set(next, place.at)
  try {
    return work(present(changeable, changes))
  } finally {
    for (const { place, old } of changes) place.expression.terms.set(old, place.at)
  }
}

/** The logic as its terms are now, in an order that suits them. */
function present(changeable: ChangeableLogic, changed: readonly TermChange[]): FastLogic | null {
  const { fast, driving, waking, acting } = changeable
  if (changed.some(({ place }) => waking.has(place.expression))) return null
  // Data of registers are no part of the order: of a full 22V10 that spares nine rows in ten the search for one.
  const ordered = changed.length > 0 && !changed.some(({ place }) => acting.has(place.expression))
  const inner = ordered ? fast.inner : inOrder(driving.map(({ cell }) => cell))
  if (!inner) return null
  const next: FastLogic = {
    ...fast,
    inner,
    innerPins: ordered ? fast.innerPins : inner.reduce((bits, { bit }) => bits | bit, 0),
    noteSources: () => {
      if (changeable.noted.by === next) return
      noteSources(next, driving)
      changeable.noted.by = next
    },
  }
  return next
}

/** Cells so that each comes after those that it reads; null where there is no such order. */
function inOrder(cells: readonly FastCell[]): FastCell[] | null {
  const left = cells.map((cell) => ({ cell, reads: readBy([cell.enable, cell.value]).pins }))
  const order: FastCell[] = []
  let open = left.reduce((bits, { cell }) => (isOff(cell) ? bits : bits | cell.bit), 0)
  while (left.length > 0) {
    const at = left.findIndex(({ reads, cell }) => (reads & open) === 0 || isOff(cell))
    if (at < 0) return null
    const { cell } = left.splice(at, 1)[0]!
    order.push(cell)
    open &= ~cell.bit
  }
  return order
}

/** Notes on what each level and each next state hangs on, as `tried-levels.ts` takes it. */
function noteSources({ inner, cellAt, registers, holds }: FastLogic, driving: ChangeableLogic['driving']): void {
  const through = new Map<number, SourceWords>()
  const registered = new Set(driving.flatMap(({ cell, isRegistered }) => (isRegistered ? [cell] : [])))
  const sourcesOf = (expressions: readonly (MaskedExpression | null)[]): SourceWords => {
    const { pins: read, cells } = readBy(expressions)
    const sources = { pins: 0, cells }
    for (let left = read; left !== 0; left &= left - 1) {
      const pin = 31 - Math.clz32(left & -left)
      const behind = through.get(pin)
      sources.pins |= (behind?.pins ?? 0) | (isAlwaysOn(cellAt[pin]) ? 0 : 1 << pin)
      sources.cells |= behind?.cells ?? 0
    }
    return sources
  }
  for (const cell of inner) {
    const own = sourcesOf([cell.enable, cell.value])
    const state = registered.has(cell) ? cell.stateBit : 0
    if (!isOff(cell)) through.set(31 - Math.clz32(cell.bit), { pins: own.pins, cells: own.cells | state })
    cell.sources.pins = own.pins | (isAlwaysOn(cell) ? 0 : cell.bit)
    cell.sources.cells = own.cells | state
  }
  for (const { data, clockedPreset, hold, sources } of registers)
    Object.assign(sources, sourcesOf([data, clockedPreset, holds[hold] ?? null]))
}

function isOff({ defined, enable }: FastCell): boolean {
  return defined && constantOf(enable) === 0
}

function isAlwaysOn(cell: FastCell | null | undefined): boolean {
  return cell != null && cell.defined && constantOf(cell.enable) === 1
}
