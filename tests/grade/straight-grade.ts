/**
 * Faults by brute force: a machine read straight from the fuses, run from every state that is possible, with every
 * level at pins that nobody drives. Certain is what all of these agree on, so that whatever the rules of the standard
 * make certain is certain here, and not the other way round.
 */
import { dataOf, holds, settle } from '../reference/behaviour'
import { termsOf, type Cell, type Machine } from '../reference/machine'

/** Levels that a pin may show after a vector, of H, L and Z; `?` where nothing is defined. */
export type Seen = ReadonlyMap<number, ReadonlySet<string>>

/** Most levels at pins nobody drives that are tried out; above it nothing is certain. */
const MAX_FLOATS = 7

const bits = (pins: readonly number[], mask: number): [number, number][] =>
  pins.map((pin, i) => [pin, (mask >> i) & 1])

/** Pins that are read, not always driven, and given no level. */
function floats({ cells, pinCount }: Machine, conditions: string): number[] {
  const read = new Set(
    cells.flatMap((cell) => termsOf(cell).flat()).flatMap(({ tap, pin }) => (tap === 'pin' ? [pin] : [])),
  )
  const always = new Set(cells.filter(({ enable }) => enable.some((term) => !term.length)).map(({ pin }) => pin))
  return Array.from({ length: pinCount }, (_, i) => i + 1).filter(
    (pin) => read.has(pin) && !always.has(pin) && !'01CK'.includes(conditions[pin - 1] ?? 'N'),
  )
}

/** The level of each pulsed pin at the three moments of a vector. */
const MOMENTS: Readonly<Record<string, readonly number[]>> = { 0: [0, 0, 0], 1: [1, 1, 1], C: [0, 1, 0], K: [1, 0, 1] }

interface Ran {
  readonly qs: Uint8Array
  readonly levels: Uint8Array
}

/** Registers under what holds them, at rest; null where it does not come to rest. */
function rest(machine: Machine, applied: Uint8Array, from: Uint8Array): Ran | null {
  const qs = from.slice()
  for (let round = 0; round < 40; round++) {
    const levels = settle(machine, applied, qs)
    if (!levels) return null
    const before = qs.join('')
    for (const { registered, pin, reset, preset } of machine.cells) {
      if (!registered) continue
      if (holds(preset, levels, qs)) qs[pin] = 1
      if (holds(reset, levels, qs)) qs[pin] = 0
    }
    if (qs.join('') === before) return { qs, levels }
  }
  return null
}

/** The registers that take an edge between two moments, with what they take. */
function taken({ cells }: Machine, before: Ran, now: Uint8Array): Uint8Array {
  const qs = before.qs.slice()
  for (const cell of cells) {
    const { registered, pin, clock, reset, clockedPreset } = cell
    if (!registered || holds(clock, before.levels, before.qs) || !holds(clock, now, before.qs)) continue
    const one = holds(clockedPreset, before.levels, before.qs) || dataOf(cell, before.levels, before.qs)
    qs[pin] = Number(one && !holds(reset, before.levels, before.qs))
  }
  return qs
}

function runOnce(machine: Machine, conditions: string, given: { state: Uint8Array; floating: [number, number][] }) {
  let last: Ran | null = null
  for (let moment = 0; moment < 3; moment++) {
    const applied = new Uint8Array(machine.pinCount + 1)
    ;[...conditions].forEach((sign, i) => (applied[i + 1] = MOMENTS[sign]?.[moment] ?? 0))
    given.floating.forEach(([pin, level]) => (applied[pin] = level))
    if (!last) last = rest(machine, applied, given.state)
    else {
      const now = settle(machine, applied, last.qs)
      last = now && rest(machine, applied, taken(machine, last, now))
    }
    if (!last) return null
  }
  return last
}

function shows(cell: Cell, { levels, qs }: Ran): string {
  return !cell.enable.some((term) => holds(term, levels, qs)) ? 'Z' : levels[cell.pin] ? 'H' : 'L'
}

/** What every output may show after each vector; registers start anywhere, or at 0. Edges between vectors are not run. */
export function runStraight(machine: Machine, vectors: readonly string[], start: 'unknown' | 'power-up'): Seen[] {
  const registers = machine.cells.flatMap(({ registered, pin }) => (registered ? [pin] : []))
  const all = start === 'power-up' ? [0] : Array.from({ length: 1 << registers.length }, (_, mask) => mask)
  let states: Set<number> | null = new Set(all)
  return vectors.map((conditions) => {
    const seen = new Map(machine.cells.map(({ pin }) => [pin, new Set<string>()]))
    const free = floats(machine, conditions)
    const ends = new Set<number>()
    if (free.length > MAX_FLOATS) states = null
    for (const mask of states ?? []) {
      const state = new Uint8Array(machine.pinCount + 1)
      bits(registers, mask).forEach(([pin, q]) => (state[pin] = q))
      for (let levels = 0; levels < 1 << free.length && states; levels++) {
        const end = runOnce(machine, conditions, { state, floating: bits(free, levels) })
        if (end) {
          machine.cells.forEach((cell) => seen.get(cell.pin)?.add(shows(cell, end)))
          ends.add(registers.reduce((sum, pin, i) => sum | ((end.qs[pin] ?? 0) << i), 0))
        } else states = null
      }
    }
    if (states) states = ends
    else seen.forEach((signs) => signs.add('?'))
    return seen
  })
}

/** Whether some judged pin is certain to be other than expected. */
export function certainlyFails(seen: readonly Seen[], vectors: readonly string[]): boolean {
  return seen.some((pins, i) =>
    [...pins].some(([pin, signs]) => {
      const expected = vectors[i]?.[pin - 1] ?? 'N'
      return 'HLZ'.includes(expected) && !signs.has(expected) && !signs.has('?')
    }),
  )
}
