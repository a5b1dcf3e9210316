/** Test vectors for a part at its present state: levels at every input, expected levels where they are certain. */
import type { Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { LOOK_ENABLE } from '../../logic/part-sequence'
import { X } from '../../logic/ternary'
import type { Conditions, LivePart } from '../grade/live-part'

/** What the pins of a part are to a tester. */
export interface TesterPins {
  readonly logic: Logic
  /** Pins that clock registers: they rest at 0. */
  readonly clocks: readonly number[]
  /** Pins with nothing but an input. */
  readonly inputs: readonly number[]
  /** Pins with a cell that have a column in the array, and that are not always on: driven while they are off. */
  readonly shared: readonly number[]
  /** All pins with a cell. */
  readonly outputs: readonly number[]
}

/** Sorts the pins of a part. */
export function testerPins(logic: Logic): TesterPins {
  const { cellAt, drives, clockPin } = netlistOf(logic)
  const columns = new Set(logic.signals.flatMap((signal) => (signal.kind === 'pin' ? [signal.pin] : [])))
  const clocks = [...new Set(logic.cells.flatMap(({ register }, cell) => (register ? (clockPin[cell] ?? []) : [])))]
  const pins = Array.from({ length: logic.pinCount }, (_, i) => i + 1).filter((pin) => !logic.supplyPins.includes(pin))
  const outputs = pins.filter((pin) => cellAt.has(pin))
  return {
    logic,
    clocks: clocks.filter((pin) => drives[cellAt.get(pin) ?? -1] === undefined),
    inputs: pins.filter((pin) => !cellAt.has(pin)),
    shared: outputs.filter((pin) => columns.has(pin) && drives[cellAt.get(pin)!] !== 'always'),
    outputs,
  }
}

/** What a vector is to do. */
export interface Wanted {
  /** Level of a pin that is driven. */
  readonly levelAt: (pin: number) => 0 | 1
  /** Clock pins that are pulsed. */
  readonly pulsed: readonly number[]
  /** Pins that are left alone, to see that they are off. */
  readonly open?: readonly number[]
  /** Clock pins that stay high; nothing else may change where that is an edge. */
  readonly high?: readonly number[]
}

/**
 * A vector that the part passes from where it stands. No pin is driven that the part drives at any moment of it: such a
 * pin is judged instead. The part is left where it stands. Null where the part cannot be followed. What holds of the
 * part's drive holds of others too that may be in its place.
 */
export function madeVector(
  part: LivePart,
  pins: TesterPins,
  wanted: Wanted,
  others: readonly LivePart[] = [],
): Conditions | null {
  const { levelAt, pulsed, open = [], high = [] } = wanted
  const { logic, clocks, inputs, shared, outputs } = pins
  const conditions = Array<string>(logic.pinCount + 1).fill('N')
  conditions[0] = ''
  for (const pin of inputs) conditions[pin] = String(levelAt(pin))
  for (const pin of clocks) conditions[pin] = pulsed.includes(pin) ? 'C' : high.includes(pin) ? '1' : '0'
  const driven = new Set(shared.filter((pin) => !open.includes(pin)))
  for (const pin of driven) conditions[pin] = String(levelAt(pin))
  const parts = [...others, part]
  for (const each of parts) each.mark()
  for (;;) {
    const fights = new Set<number>()
    const followed = parts.every((each) =>
      each.step(conditions, () => {
        for (const pin of driven) if (each.look(pin) >= LOOK_ENABLE) fights.add(pin)
      }),
    )
    if (followed && fights.size === 0) break
    for (const each of parts) each.back()
    if (!followed) return null
    for (const pin of fights) {
      driven.delete(pin)
      conditions[pin] = 'N'
    }
  }
  for (const pin of outputs) if (!driven.has(pin)) conditions[pin] = expectedAt(part.look(pin))
  for (const each of parts) each.back()
  return conditions
}

function expectedAt(look: number): string {
  const [level, enable] = [look % LOOK_ENABLE, Math.floor(look / LOOK_ENABLE)]
  return enable === 0 ? 'Z' : enable === 1 && level !== X ? 'LH'[level]! : 'N'
}
