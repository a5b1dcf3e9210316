/**
 * What is done to a part on the reference simulation: levels, pulses, preloads. What depends on an order that the
 * stimulus leaves open is unknown.
 */
import { openOrder } from './change-orders'
import { applyTogether } from './one-change'
import {
  causeAt,
  forgetRegisters,
  settle,
  UNSTEADY,
  type Applied,
  type Cause,
  type Simulation,
} from './simulation-state'
import { merge, not, X, type Ternary } from './ternary'

/** Most pins whose orders are all tried, pulsed or changed; beyond, registers are unknown. */
const MAX_ORDERED_PINS = 4

/**
 * Applies levels to all pins (index = pin), settles, and takes the register edges that follow, those that other
 * registers set off included. Several pins change in no particular order.
 */
export function applyLevels(simulation: Simulation, applied: readonly Applied[]): void {
  const open = simulation.options.order === 'open' ? openOrder(simulation, applied) : null
  const start = { ...simulation }
  const rounds = applyTogether(simulation, applied)
  if (!open) return
  const changes = open.pins.length
  if (changes > MAX_ORDERED_PINS) return forgetCells(simulation, open.cells)
  const cells = [...open.cells]
  const orders = permutations(open.pins)
  const moments = momentsOf(open.dataPins, { changes, most: MAX_RUNS / orders.length })
  if (rounds * orders.length * moments.length * changes > MAX_ORDERED_ROUNDS)
    return forgetCells(simulation, open.cells)
  for (const order of orders)
    for (const when of moments) {
      // What is unknown stays so in whatever order.
      if (cells.every((cell) => simulation.q[cell] === X)) return
      const run = { ...start }
      applyInOrder(run, applied, { order, when })
      mergeInto(simulation, run, open.cells)
    }
}

/**
 * Most rounds of registers in all orders of one step, as many as the one run took in each: four pins in all orders of
 * some two rounds, or two pins while registers go round until that counts as a loop.
 */
const MAX_ORDERED_ROUNDS = 256

/** Most runs of one step: each order of `MAX_ORDERED_PINS`, or of fewer with data at all moments between. */
const MAX_RUNS = 24

/** All ways in which pins may change around the changes of others: with which of those each does; null for unknown. */
function momentsOf(
  pins: readonly number[],
  { changes, most }: { readonly changes: number; readonly most: number },
): (ReadonlyMap<number, number> | null)[] {
  const count = changes ** pins.length
  if (count > most) return [null]
  return Array.from(
    { length: count },
    (_, way) => new Map(pins.map((pin, i) => [pin, Math.floor(way / changes ** i) % changes])),
  )
}

/** Changes pins one after the other; data change when it is said, or are unknown meanwhile, and all else at once. */
function applyInOrder(
  simulation: Simulation,
  applied: readonly Applied[],
  { order, when }: { readonly order: readonly number[]; readonly when: ReadonlyMap<number, number> | null },
): void {
  const start = simulation.applied
  for (let at = 0; at < order.length - 1; at++) {
    const later = order.slice(at + 1)
    const levels = applied.map((level, pin) => {
      if (level === start[pin]) return level
      if (later.includes(pin)) return start[pin]!
      if (order.includes(pin)) return level
      if (when === null) return UNSTEADY
      return (when.get(pin) ?? 0) > at ? start[pin]! : level
    })
    applyTogether(simulation, levels)
  }
  applyTogether(simulation, applied)
}

/** Makes registers unknown that end elsewhere in another order. */
function forgetCells(simulation: Simulation, cells: ReadonlySet<number>): void {
  const { logic, q } = simulation
  simulation.q = q.map((value, i) => (cells.has(i) ? X : value))
  simulation.qCauses = simulation.qCauses.map((causes, i) =>
    cells.has(i) && q[i] !== X ? [causeAt('order', logic.cells[i]!)] : causes,
  )
  settleFromUnknown(simulation)
}

/** Settles with nothing known of what stood there before. */
function settleFromUnknown(simulation: Simulation): void {
  const { applied, readings } = simulation
  simulation.readings = settle(simulation, applied, { readings: readings.map(() => X), applied }).readings
}

/** Pulses a pin away from its level and back, as the conditions C and K do. */
function applyPulse(simulation: Simulation, pin: number): void {
  const resting = simulation.applied
  const pulsed = [...resting]
  pulsed[pin] = not(resting[pin] as Ternary)
  applyLevels(simulation, pulsed)
  applyLevels(simulation, resting)
}

/** Pulses several pins in an order that is not defined: every order is tried, and only what all agree on is known. */
export function applyPulses(simulation: Simulation, pulsed: readonly number[]): void {
  const pins = pulsed.filter((pin) => simulation.netlist.readPins.has(pin))
  if (pins.length > MAX_ORDERED_PINS) {
    forgetRegisters(simulation, 'order')
    return settleFromUnknown(simulation)
  }
  const start = { ...simulation }
  permutations(pins).forEach((order, i) => {
    const run = i === 0 ? simulation : { ...start }
    for (const pin of order) applyPulse(run, pin)
    if (i > 0) mergeInto(simulation, run, null)
  })
}

/** Leaves of a simulation what another run from the same state agrees with; of registers, only some may differ. */
function mergeInto(simulation: Simulation, other: Simulation, cells: ReadonlySet<number> | null): void {
  const { logic, q, qCauses } = simulation
  const isMerged = (cell: number): boolean => cells === null || cells.has(cell)
  simulation.q = q.map((value, i) => (isMerged(i) ? merge(value, other.q[i]!) : value))
  simulation.qCauses = simulation.q.map((value, i): readonly Cause[] => {
    if (value !== X) return []
    return isMerged(i) && q[i] !== other.q[i] ? [causeAt('order', logic.cells[i]!)] : qCauses[i]!
  })
  simulation.readings = simulation.readings.map((value, pin) => merge(value, other.readings[pin]!))
}

function permutations(items: readonly number[]): number[][] {
  if (items.length === 0) return [[]]
  return items.flatMap((item) => permutations(items.filter((other) => other !== item)).map((rest) => [item, ...rest]))
}

/**
 * Loads registers behind output pins: `levels` gives the level that each pin is to show, by pin number. Registers
 * whose clock is not `clockPin` stay as they are. Returns how many registers were loaded.
 */
export function preloadRegisters(
  simulation: Simulation,
  clockPin: number,
  levels: ReadonlyMap<number, 0 | 1>,
): number {
  const { logic, netlist } = simulation
  let loaded = 0
  simulation.q = simulation.q.map((old, i) => {
    const { pin, register } = logic.cells[i]!
    const level = pin === null ? undefined : levels.get(pin)
    if (!register || level === undefined || netlist.clockPin[i] !== clockPin) return old
    loaded++
    return register.inverted ? not(level) : level
  })
  simulation.readings = settle(simulation, simulation.applied, simulation).readings
  return loaded
}
