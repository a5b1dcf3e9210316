/** Levels at which a machine can rest, tried one by one: wiring that runs in a circle may have several, or none. */
import { holds, valueOf } from './behaviour'
import { freePins, type Machine } from './machine'

interface Levels {
  readonly pins: readonly number[]
  readonly mask: number
}

function put({ pins, mask }: Levels, levels: Uint8Array): Uint8Array {
  pins.forEach((pin, i) => (levels[pin] = (mask >> i) & 1))
  return levels
}

/** What outputs show at each way to rest, as a set. */
function rests({ cells, pinCount }: Machine, q: Levels, x: Levels): string {
  const [qs, applied] = [put(q, new Uint8Array(pinCount + 1)), put(x, new Uint8Array(pinCount + 1))]
  const pins = cells.map(({ pin }) => pin)
  const found = new Set<string>()
  for (let mask = 0; mask < 1 << pins.length; mask++) {
    const levels = put({ pins, mask }, applied.slice())
    const driven = cells.map((cell) =>
      cell.enable.some((term) => holds(term, levels, qs)) ? Number(valueOf(cell, levels, qs)) : null,
    )
    if (driven.every((level, i) => levels[pins[i]!] === (level ?? applied[pins[i]!])))
      found.add(driven.map((level) => level ?? 'Z').join(''))
  }
  return [...found].sort().join()
}

/** Whether two machines rest alike in every state and under all levels from outside. */
export function restAlike(a: Machine, b: Machine): boolean {
  const registers = a.cells.flatMap(({ registered, pin }) => (registered ? [pin] : []))
  const free = [...new Set([...freePins(a), ...freePins(b)])]
  for (let q = 0; q < 1 << registers.length; q++)
    for (let x = 0; x < 1 << free.length; x++) {
      const [state, levels] = [{ pins: registers, mask: q }, { pins: free, mask: x }]
      if (rests(a, state, levels) !== rests(b, state, levels)) return false
    }
  return true
}
