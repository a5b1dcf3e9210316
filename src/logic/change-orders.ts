/**
 * Whether the order counts in which pins change that change together. What one pin moves, it moves at once: registers
 * that it clocks take what all of them held before. Where one pin moves a register and another pin moves one that reads
 * it, each order may end elsewhere: the second may take what the first held before its edge or after it.
 */
import { structuralConstant, type Logic } from './logic'
import { netlistOf, sourcesOf } from './netlist'
import { NOTHING, passingLevels, settle, signalsOf, type Applied, type Simulation } from './simulation-state'
import { evaluate, X, type Ternary } from './ternary'

/** What moves a register, and what it reads, at once. */
interface Wired {
  readonly cell: number
  /** Pins and registers that its clock hangs on. */
  readonly clockPins: readonly number[]
  readonly clockCells: readonly number[]
  /** The same of what holds it, whatever its clock does. */
  readonly holdPins: readonly number[]
  readonly holdCells: readonly number[]
  /** True where it may be loaded: what it takes then hangs on when the load, the output and the level change. */
  readonly isLoaded: boolean
  /** Pins and registers that its data hang on. */
  readonly dataPins: readonly number[]
  readonly dataCells: readonly number[]
}

/** How the registers of a logic hang together, and all pins that may move one. */
interface Wiring {
  readonly registers: readonly Wired[]
  readonly movers: ReadonlySet<number>
}

/** Made once for each logic; created with the first. */
let made: WeakMap<Logic, Wiring> | null = null

function wiringOf(logic: Logic): Wiring {
  made ??= new WeakMap()
  const known = made.get(logic)
  if (known) return known
  const registers = netlistOf(logic).registered.flatMap((is, cell) => (is ? [wiredCell(logic, cell)] : []))
  const movers = new Set(registers.flatMap(({ clockPins, holdPins }) => [...clockPins, ...holdPins]))
  const wiring = { registers, movers }
  made.set(logic, wiring)
  return wiring
}

function wiredCell(logic: Logic, cell: number): Wired {
  const { pin, enable, register } = logic.cells[cell]!
  const { clock, reset, preset, load, data, clockedPreset } = register!
  const isLoaded = structuralConstant(load) !== 0
  const clocks = sourcesOf(logic, [clock])
  const holds = sourcesOf(logic, [reset, preset, ...(isLoaded ? [load, enable] : [])])
  const taken = sourcesOf(logic, [data, clockedPreset])
  return {
    cell,
    clockPins: clocks.pins,
    clockCells: clocks.cells,
    holdPins: isLoaded && pin !== null ? [...holds.pins, pin] : holds.pins,
    holdCells: holds.cells,
    isLoaded,
    dataPins: taken.pins,
    dataCells: taken.cells,
  }
}

/** A register that may move in a step, at its clock or by what holds it. */
interface Moving {
  /** Of the pins that change, those by which it may move, through other registers too. */
  readonly by: Set<number>
  /** Registers through which it may move, and all that it may read meanwhile. */
  readonly through: readonly number[]
  readonly reads: readonly number[]
}

/** What an order decides. */
export interface OpenOrder {
  /** Pins whose changes may move registers that the order is about. */
  readonly pins: readonly number[]
  /** Pins that change too and that those registers take, or those that they read. */
  readonly dataPins: readonly number[]
  /** Registers that may end elsewhere in another order. */
  readonly cells: ReadonlySet<number>
}

/** What the order of changes decides, from the state of a simulation to levels; null where every order ends alike. */
export function openOrder(simulation: Simulation, applied: readonly Applied[]): OpenOrder | null {
  const { registers, movers } = wiringOf(simulation.logic)
  const moved = new Set<number>()
  for (const pin of movers) if (applied[pin] !== simulation.applied[pin]) moved.add(pin)
  if (moved.size < 2) return null
  if (!mayMeet(registers, moved)) return null
  const moving = movingRegisters(simulation, { registers, moved, applied })
  const cells = meeting(moving)
  if (cells.size === 0) return null
  const pins = new Set<number>()
  const involved = new Set<number>()
  for (let size = -1; size !== cells.size;) {
    size = cells.size
    for (const [cell, { reads }] of moving) {
      if (reads.some((other) => cells.has(other))) cells.add(cell)
      if (!cells.has(cell)) continue
      for (const other of [cell, ...reads]) {
        involved.add(other)
        for (const pin of moving.get(other)?.by ?? []) pins.add(pin)
      }
    }
  }
  const taken = registers.flatMap(({ cell, dataPins }) => (involved.has(cell) ? dataPins : []))
  const dataPins = new Set(taken.filter((pin) => !pins.has(pin) && applied[pin] !== simulation.applied[pin]))
  return { pins: [...pins], dataPins: [...dataPins], cells }
}

/** Whether registers may meet at all, by what is wired to what: mostly not, and then no level is looked at. */
function mayMeet(registers: readonly Wired[], moved: ReadonlySet<number>): boolean {
  const moving = new Map<number, Moving>()
  for (let found = true; found;) {
    found = false
    for (const { cell, clockPins, clockCells, holdPins, holdCells, isLoaded, dataCells } of registers) {
      const by = [...clockPins, ...holdPins].filter((pin) => moved.has(pin))
      const through = [...clockCells, ...holdCells]
      if (moving.has(cell) || (by.length === 0 && !through.some((other) => moving.has(other)))) continue
      found = true
      moving.set(cell, { by: new Set(by), through, reads: [...through, ...dataCells, ...(isLoaded ? [cell] : [])] })
    }
  }
  spreadPins(moving)
  return meeting(moving).size > 0
}

/** Registers that read one that another pin may move. */
function meeting(moving: ReadonlyMap<number, Moving>): Set<number> {
  const cells = new Set<number>()
  for (const [cell, { by, reads }] of moving)
    for (const other of reads) {
      const also = moving.get(other)
      if (also && new Set([...by, ...also.by]).size > 1) cells.add(cell)
    }
  return cells
}

interface Step {
  readonly registers: readonly Wired[]
  readonly moved: ReadonlySet<number>
  readonly applied: readonly Applied[]
}

/** Registers that may move in a step: with those that do, unknown, others may. */
function movingRegisters(simulation: Simulation, step: Step): Map<number, Moving> {
  const { registers, moved, applied } = step
  const moving = new Map<number, Moving>()
  // Nobody asks what is looked at here.
  const loose: Simulation = { ...simulation, q: [...simulation.q], recorder: null }
  const before = signalsOf(loose, simulation.readings)
  const settled = settle(loose, applied, simulation)
  const after = signalsOf(loose, settled.readings)
  let { passing } = settled
  for (let found = true; found;) {
    found = false
    const during: During = { before, passing: signalsOf(loose, passing), after, moved, moving }
    for (const one of registers) {
      const way = wayToMove(simulation, one, during)
      if (!way || sizeOf(way) === sizeOf(moving.get(one.cell))) continue
      found = true
      moving.set(one.cell, way)
      loose.q[one.cell] = X
    }
    // What is unknown on the way stays so, so that spreading goes on from there.
    if (found) passing = passingLevels(loose, applied, { readings: passing, applied: simulation.applied })
  }
  spreadPins(moving)
  return moving
}

function sizeOf(way: Moving | undefined): number {
  return way ? way.by.size + way.through.length + way.reads.length : -1
}

interface During {
  readonly before: readonly Ternary[]
  readonly passing: readonly Ternary[]
  readonly after: readonly Ternary[]
  readonly moved: ReadonlySet<number>
  readonly moving: ReadonlyMap<number, Moving>
}

/** How a register may move: its clock may rise, or what holds it may bring it elsewhere; null where neither. */
function wayToMove({ logic, q, applied }: Simulation, wired: Wired, during: During): Moving | null {
  const { before, passing, after, moved, moving } = during
  const { clock, reset, preset, load } = logic.cells[wired.cell]!.register!
  const clockPins = wired.clockPins.filter((pin) => moved.has(pin))
  const clockCells = wired.clockCells.filter((cell) => moving.has(cell))
  const holdPins = wired.holdPins.filter((pin) => moved.has(pin))
  const holdCells = wired.holdCells.filter((cell) => moving.has(cell))
  const byOne = clockPins.length === 1 && clockCells.length === 0
  const [from, to] = [evaluate(clock, before), evaluate(clock, after)]
  const falls = byOne && from !== to && (from === 1 || to === 0)
  const clocked = clockPins.length + clockCells.length > 0 && evaluate(clock, passing) === X && !falls
  const state = clocked ? X : q[wired.cell]
  const held =
    holdPins.length + holdCells.length > 0 &&
    (evaluate(load, passing) !== 0 ||
      (evaluate(reset, passing) === X && state !== 0) ||
      (evaluate(preset, passing) === X && state !== 1))
  if (!clocked && !held) return null
  // The first levels of all come from nothing, which loads nothing.
  const loads = held && evaluate(load, passing) !== 0 && holdPins.some((pin) => applied[pin] !== NOTHING)
  return {
    by: new Set([...(clocked ? clockPins : []), ...(held ? holdPins : [])]),
    through: [...(clocked ? clockCells : []), ...(held ? holdCells : [])],
    reads: [
      ...(clocked ? [...wired.clockCells, ...wired.dataCells] : []),
      ...(held ? wired.holdCells : []),
      ...(loads ? [wired.cell] : []),
    ],
  }
}

/** Adds to the pins by which registers may move those by which the registers move that move them. */
function spreadPins(moving: ReadonlyMap<number, Moving>): void {
  for (let found = true; found;) {
    found = false
    for (const { by, through } of moving.values()) {
      const { size } = by
      for (const other of through) for (const pin of moving.get(other)?.by ?? []) by.add(pin)
      if (by.size > size) found = true
    }
  }
}
