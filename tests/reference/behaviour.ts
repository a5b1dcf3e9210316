/**
 * What a machine does from one moment to the next, by rows: one row a state of its registers and a set of levels from
 * outside, and steps between rows. Levels and registers are known; a step that has no defined end is null.
 */
import type { Cell, Machine, Term } from './machine'

/** A machine at rest: registers `q` (bit i is Q of `registers[i]`) and levels `x` (bit i is applied to `free[i]`). */
export interface Row {
  /** H, L or Z of every pin in `shown`. */
  readonly shown: string
  /** H or L that the register of each such pin would show if it drove; Z where there is none. */
  readonly inside: string
  /** Registers whose clock is 1, whose D is 1, and that are held at 0 and at 1. */
  readonly clock: number
  readonly data: number
  readonly reset: number
  readonly preset: number
}

/** What both machines of a pair are asked about, in one numbering. */
export interface Frame {
  /** Pins of registers, pins whose levels come from outside, and pins that are looked at. */
  readonly registers: readonly number[]
  readonly free: readonly number[]
  readonly shown: readonly number[]
}

export interface Behaviour {
  readonly row: (q: number, x: number) => Row | null
  /** The registers after the levels change from `x` to `to`, and whether some register took an edge. */
  readonly step: (q: number, x: number, to: number) => { readonly q: number; readonly clocked: boolean } | null
  /** Bits of the frame's registers that the machine has. */
  readonly own: number
}

export function holds(term: Term | null, levels: Uint8Array, qs: Uint8Array): boolean {
  return term !== null && term.every(({ tap, pin, level }) => (tap === 'pin' ? levels : qs)[pin] === level)
}

export function dataOf(cell: Cell, levels: Uint8Array, qs: Uint8Array): boolean {
  const sum = cell.terms.some((term) => holds(term, levels, qs))
  return sum !== cell.otherTerms.some((term) => holds(term, levels, qs)) ? !cell.invertData : cell.invertData
}

export function valueOf(cell: Cell, levels: Uint8Array, qs: Uint8Array): boolean {
  const through = !cell.registered || (cell.bypass && holds(cell.reset, levels, qs) && holds(cell.preset, levels, qs))
  return (through ? dataOf(cell, levels, qs) : qs[cell.pin] === 1) !== cell.invertPin
}

/** Levels at all pins once nothing changes any more; null where something always does. */
export function settle({ cells }: Machine, applied: Uint8Array, qs: Uint8Array): Uint8Array | null {
  const levels = applied.slice()
  for (let round = 0; round <= cells.length; round++) {
    let changed = false
    for (const cell of cells) {
      const drives = cell.enable.some((term) => holds(term, levels, qs))
      const level = drives ? Number(valueOf(cell, levels, qs)) : applied[cell.pin]!
      changed ||= level !== levels[cell.pin]
      levels[cell.pin] = level
    }
    if (!changed) return levels
  }
  return null
}

function rowOf(machine: Machine, { registers, free, shown }: Frame, q: number, x: number): Row | null {
  const [applied, qs] = [new Uint8Array(machine.pinCount + 1), new Uint8Array(machine.pinCount + 1)]
  if (machine.loadPin !== null) applied[machine.loadPin] = 1
  free.forEach((pin, i) => (applied[pin] = (x >> i) & 1))
  registers.forEach((pin, i) => (qs[pin] = (q >> i) & 1))
  const levels = settle(machine, applied, qs)
  if (!levels) return null
  const drives = (cell: Cell): boolean => cell.enable.some((term) => holds(term, levels, qs))
  const loads = (cell: Cell): boolean => machine.loadPin !== null && levels[machine.loadPin] === 0 && !drives(cell)
  const mask = (is: (cell: Cell) => boolean): number =>
    machine.cells.reduce((bits, cell) => {
      const bit = cell.registered ? registers.indexOf(cell.pin) : -1
      return bit >= 0 && is(cell) ? bits | (1 << bit) : bits
    }, 0)
  return {
    shown: shown
      .map((pin) => {
        const cell = machine.cells.find((one) => one.pin === pin)
        return !cell || !drives(cell) ? 'Z' : levels[pin] ? 'H' : 'L'
      })
      .join(''),
    inside: shown
      .map((pin) => {
        const cell = machine.cells.find((one) => one.pin === pin)
        return !cell?.registered ? 'Z' : (qs[pin] === 1) !== cell.invertPin ? 'H' : 'L'
      })
      .join(''),
    clock: mask((cell) => holds(cell.clock, levels, qs)),
    data: mask((cell) => holds(cell.clockedPreset, levels, qs) || dataOf(cell, levels, qs)),
    reset: mask((cell) => (loads(cell) ? levels[cell.pin] === 1 : holds(cell.reset, levels, qs))),
    preset: mask((cell) => (loads(cell) ? levels[cell.pin] === 0 : holds(cell.preset, levels, qs))),
  }
}

/** Registers under what holds them whatever their clocks do: reset first. */
const held = (q: number, { reset, preset }: Row): number => (q | preset) & ~reset

/**
 * The events of one change of levels. Registers whose clock rises take their data, and what held them, as they were
 * before that edge; what holds them now acts at once; edges that this sets off come in the next round, with the levels
 * before that later edge.
 */
function events(behaviour: Pick<Behaviour, 'row'>, from: Row, q: number, to: number, rounds: number): number | null {
  let before = from
  for (let round = 0; round < rounds; round++) {
    const now = behaviour.row(q & ~CLOCKED, to)
    if (!now) return null
    // Reset and preset fall together: which one lasts is not defined (GAL20RA10, p. 3).
    if (before.reset & before.preset & ~(now.reset | now.preset)) return null
    const rising = now.clock & ~before.clock
    const taken = held(before.data, before) & rising
    const next = held((q & ~CLOCKED & ~rising) | taken, now)
    const marked = next | (q & CLOCKED) | (rising ? CLOCKED : 0)
    if (next === (q & ~CLOCKED)) return marked
    before = now
    q = marked
  }
  return null
}

/** Marks a state that some register came to by an edge; registers have the bits below. */
const CLOCKED = 1 << 16

/** A machine in a frame; rows are worked out when they are first asked for. */
export function behaviourOf(machine: Machine, frame: Frame): Behaviour {
  const own = machine.cells.reduce(
    (bits, { registered, pin }) => (registered ? bits | (1 << frame.registers.indexOf(pin)) : bits),
    0,
  )
  const [states, inputs] = [1 << frame.registers.length, 1 << frame.free.length]
  const rows: (Row | null | undefined)[] = Array.from({ length: states * inputs })
  const row = (q: number, x: number): Row | null => (rows[q * inputs + x] ??= rowOf(machine, frame, q, x))
  const known = new Map<number, ReturnType<Behaviour['step']>>()
  const step: Behaviour['step'] = (q, x, to) => {
    const key = (q * inputs + x) * inputs + to
    const found = known.get(key)
    if (found !== undefined) return found
    const from = row(q, x)
    // More rounds than pairs of successive states: one has come twice, and so it goes on for ever.
    const end = from && events({ row }, from, q, to, states * states + 1)
    const made = end === null ? null : { q: end & ~CLOCKED, clocked: (end & CLOCKED) !== 0 }
    known.set(key, made)
    return made
  }
  return { row, step, own }
}
