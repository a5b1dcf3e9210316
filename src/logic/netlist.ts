/**
 * What a logic's wiring says, derived once: which cells drive, what reads what, an order to evaluate in, circles,
 * clocks, and which cells can be seen from outside at all.
 */
import { componentsOf } from './components'
import {
  cubesOf,
  expressionsOf,
  isBypassed,
  structuralConstant,
  usedSignals,
  type Expression,
  type Logic,
  type LogicCell,
  type Register,
} from './logic'

/** Whether a cell drives its pin, as far as its fuses decide: an undefined cell may, a buried one never does. */
export type Drives = 'always' | 'never' | 'sometimes'

/** Wiring of a logic. Lists run along the cells unless they say otherwise; a cell is its index. */
export interface Netlist {
  readonly drives: readonly Drives[]
  /** Cell of each pin that has one. */
  readonly cellAt: ReadonlyMap<number, number>
  /** Cells with a pin at which a level can stand that the part itself drives. */
  readonly drivenPins: ReadonlySet<number>
  /** Pins that some expression reads. */
  readonly readPins: ReadonlySet<number>
  /** Cells whose pins a cell's own level hangs on at once (its enable and value, not what its register takes). */
  readonly feeds: readonly (readonly number[])[]
  /** Cells so that each comes after those that feed it, as far as there is such an order. */
  readonly order: readonly number[]
  /** Groups of cells that feed each other through their pins. */
  readonly circles: readonly (readonly number[])[]
  /** Pin that clocks a register by the part's structure; null where a term does, also one of a single pin. */
  readonly clockPin: readonly (number | null)[]
  /** Pins that the clock of a register reads. */
  readonly clockPins: readonly (readonly number[])[]
  /** Pins whose applied level, and cells whose Q, reach the clock of a register at once, through other pins too. */
  readonly clockSources: readonly { readonly pins: readonly number[]; readonly cells: readonly number[] }[]
  /** True for a cell whose register is there and not bypassed for good. */
  readonly registered: readonly boolean[]
  /**
   * Cells that can be seen outside: those that drive at some time, and those that they read through any chain of
   * values, enables, data, clocks, resets, presets and loads.
   */
  readonly seen: readonly boolean[]
}

/** Made once for each logic; created with the first, since importing does no work. */
let made: WeakMap<Logic, Netlist> | null = null

/** The wiring of a logic. */
export function netlistOf(logic: Logic): Netlist {
  made ??= new WeakMap()
  const known = made.get(logic)
  if (known) return known
  const netlist = derive(logic)
  made.set(logic, netlist)
  return netlist
}

function derive(logic: Logic): Netlist {
  const { cells } = logic
  const all = cells.map((_, i) => i)
  const drives = cells.map(drivesOf)
  const cellAt = new Map(cells.flatMap(({ pin }, i) => (pin === null ? [] : [[pin, i] as const])))
  const driving = (pin: number): number[] => {
    const cell = cellAt.get(pin)
    return cell === undefined || drives[cell] === 'never' ? [] : [cell]
  }
  const pinsOf = (expressions: readonly Expression[]): number[] =>
    usedSignals(expressions).flatMap((index) => {
      const signal = logic.signals[index]!
      return signal.kind === 'pin' ? [signal.pin] : []
    })
  const feeds = cells.map((cell) => pinsOf(instantExpressions(cell)).flatMap(driving))
  return {
    drives,
    cellAt,
    drivenPins: new Set(cells.flatMap(({ pin }, i) => (pin === null || drives[i] === 'never' ? [] : [pin]))),
    readPins: new Set(pinsOf(cells.flatMap(expressionsOf))),
    feeds,
    order: inOrder(all, feeds),
    circles: componentsOf(all, (i) => feeds[i]!),
    clockPin: cells.map(({ register }) => register && clockPinOf(logic, register)),
    clockPins: cells.map(({ register }) => (register ? pinsOf([register.clock]) : [])),
    clockSources: cells.map(({ register }) => instantSources(logic, register ? [register.clock] : [], driving)),
    registered: cells.map((cell) => cell.register !== null && !isBypassed(cell)),
    seen: seenCells(logic, drives, driving),
  }
}

function drivesOf({ pin, defined, enable }: LogicCell): Drives {
  if (pin === null) return 'never'
  if (!defined) return 'sometimes'
  const constant = structuralConstant(enable)
  return constant === 0 ? 'never' : constant === 1 ? 'always' : 'sometimes'
}

/** What acts on a cell's own level at once; a register's next state and clock do not. */
function instantExpressions({ enable, value, register }: LogicCell): readonly Expression[] {
  const through = register?.bypass ? [register.data, register.reset, register.preset] : []
  return [enable, ...(value ? [value] : []), ...through]
}

/** A depth-first walk: what feeds a cell comes before it. */
function inOrder(all: readonly number[], feeds: readonly (readonly number[])[]): number[] {
  const order: number[] = []
  const met = new Set<number>()
  const visit = (cell: number): void => {
    if (met.has(cell)) return
    met.add(cell)
    for (const other of feeds[cell]!) visit(other)
    order.push(cell)
  }
  all.forEach(visit)
  return order
}

function clockPinOf({ signals }: Logic, { clock }: Register): number | null {
  if (!cubesOf(clock).every(({ origin }) => origin < 0)) return null
  const signal = signals[usedSignals([clock])[0] ?? -1]
  return signal?.kind === 'pin' ? signal.pin : null
}

function seenCells(
  { cells, signals }: Logic,
  drives: readonly Drives[],
  driving: (pin: number) => readonly number[],
): boolean[] {
  const seen = drives.map((drive) => drive !== 'never')
  const open = seen.flatMap((isSeen, i) => (isSeen ? [i] : []))
  for (let cell = open.pop(); cell !== undefined; cell = open.pop())
    for (const index of usedSignals(expressionsOf(cells[cell]!))) {
      const signal = signals[index]!
      for (const other of signal.kind === 'register' ? [signal.cell] : driving(signal.pin))
        if (!seen[other]) {
          seen[other] = true
          open.push(other)
        }
    }
  return seen
}

/** What expressions hang on at once: pins that they read, through outputs too, and registers. */
export function sourcesOf(
  logic: Logic,
  expressions: readonly Expression[],
): { readonly pins: readonly number[]; readonly cells: readonly number[] } {
  const { cellAt, drives } = netlistOf(logic)
  return instantSources(logic, expressions, (pin) => {
    const cell = cellAt.get(pin)
    return cell === undefined || drives[cell] === 'never' ? [] : [cell]
  })
}

/** What reaches expressions at once: pins that are not always driven from inside, and registers. */
function instantSources(
  { cells, signals }: Logic,
  expressions: readonly Expression[],
  driving: (pin: number) => readonly number[],
): { readonly pins: readonly number[]; readonly cells: readonly number[] } {
  const pins = new Set<number>()
  const registers = new Set<number>()
  const met = new Set<number>()
  const follow = (some: readonly Expression[]): void => {
    for (const index of usedSignals(some)) {
      const signal = signals[index]!
      if (signal.kind === 'register') registers.add(signal.cell)
      else if (!met.has(signal.pin)) {
        met.add(signal.pin)
        pins.add(signal.pin)
        for (const other of driving(signal.pin)) {
          if (cells[other]!.register) registers.add(other)
          follow(instantExpressions(cells[other]!))
        }
      }
    }
  }
  follow(expressions)
  return { pins: [...pins], cells: [...registers] }
}

/** Pins whose levels a cell can hang on, through any chain of values, enables, data, clocks, holds and registers. */
export function pinsBehind(logic: Logic, cell: number): ReadonlySet<number> {
  const { cellAt, drives } = netlistOf(logic)
  const pins = new Set<number>()
  const met = new Set([cell])
  const open = [cell]
  const visit = (other: number | undefined): void => {
    if (other === undefined || met.has(other)) return
    met.add(other)
    open.push(other)
  }
  for (let at = open.pop(); at !== undefined; at = open.pop())
    for (const index of usedSignals(expressionsOf(logic.cells[at]!))) {
      const signal = logic.signals[index]!
      if (signal.kind === 'register') visit(signal.cell)
      else {
        pins.add(signal.pin)
        const other = cellAt.get(signal.pin)
        if (other !== undefined && drives[other] !== 'never') visit(other)
      }
    }
  return pins
}
