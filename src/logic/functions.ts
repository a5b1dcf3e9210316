/**
 * What a part computes, as decision diagrams over what is free: the levels applied to pins, the states of registers,
 * and the pins at which real feedback loops are cut. Feedback that is no loop is composed away.
 */
import type { Diagrams, Node } from './diagrams'
import {
  isBypassed,
  isContradiction,
  cellNameOf,
  type Cube,
  type Expression,
  type Logic,
  type LogicCell,
  type CellName,
  type Register,
} from './logic'
import { netlistOf, type Netlist } from './netlist'
import { componentsOf } from './components'
import type { FreeVariable, NameOf, Space } from './variables'

/**
 * Functions of a register in terms of its variable: the level that its enabled pin shows, or the complement of that
 * where it is flipped.
 */
export interface RegisterFunctions {
  /** Level after a rise of the clock, where neither `setHigh` nor `setLow` holds. */
  readonly next: Node
  readonly clock: Node
  /**
   * While one of these is 1 the level is held high, or low; while both are, it is unknown (or the data pass, with
   * `bypass`).
   */
  readonly setHigh: Node
  readonly setLow: Node
  /** While it is 1 and the output is off, the level follows what is applied to the pin. */
  readonly load: Node
  readonly bypass: boolean
  /** True where the variable stands for the complement of the level that the enabled pin shows. */
  readonly flipped: boolean
  /** Level that the enabled pin shows after power-up, where published. */
  readonly powerUp: 0 | 1 | null
}

/** Functions of one cell. */
export interface OutputFunctions {
  /** Null for a buried cell. */
  readonly pin: number | null
  /** Index of the cell in the logic. */
  readonly cell: number
  readonly place: CellName
  readonly defined: boolean
  readonly enable: Node
  /** Level while enabled: a variable of kind `state` for a register. */
  readonly value: Node
  /** Null for a combinational output, also for a register that is bypassed for good. */
  readonly register: RegisterFunctions | null
}

/** A pin at which a loop is cut, and the level that the loop gives it. */
export interface LoopFunction {
  readonly pin: number
  readonly excitation: Node
}

/** All functions of a part. */
export interface PartFunctions {
  readonly outputs: readonly OutputFunctions[]
  /** Loops that are left once false ones are composed away, pin by pin. */
  readonly loops: readonly LoopFunction[]
  /** Groups of pins that are wired in a circle, false loops included. */
  readonly wired: readonly (readonly number[])[]
}

interface Builder {
  readonly space: Space
  readonly logic: Logic
  readonly netlist: Netlist
  readonly variable: (kind: FreeVariable['kind'], place: CellName) => Node
  /** Index of the variable that stands for a pin at which a loop is cut. */
  readonly loopIndex: (pin: number) => number
  /** What the array reads at each pin, as far as it is known. */
  readonly readings: Map<number, Node>
  readonly flipped: ReadonlySet<CellName>
}

function startBuilder(space: Space, logic: Logic, { nameOf = String, flipped }: FunctionOptions): Builder {
  const variable = (kind: FreeVariable['kind'], place: CellName): Node =>
    space.diagrams.variable(space.indexOf(kind, nameOf(place, kind)))
  return {
    space,
    logic,
    netlist: netlistOf(logic),
    variable,
    loopIndex: (pin) => space.indexOf('loop', nameOf(pin, 'loop')),
    readings: new Map(),
    flipped: flipped ?? new Set(),
  }
}

/** Groups of pins that depend on each other through pins read back: loops as far as the wiring goes. */
function wiredLoops({ logic, netlist }: Builder): number[][] {
  return netlist.circles.map((circle) => circle.flatMap((cell) => logic.cells[cell]!.pin ?? []))
}

/** What the array reads at a pin. */
function readingOf(builder: Builder, pin: number): Node {
  const known = builder.readings.get(pin)
  if (known !== undefined) return known
  const outside = builder.variable('pin', pin)
  const cell = builder.netlist.cellAt.get(pin)
  // What an output that is always off would drive may hang on its own pin: there is no loop, but no end either.
  const reading =
    cell !== undefined && builder.netlist.drives[cell] !== 'never'
      ? levelOf(builder, builder.logic.cells[cell]!, outside)
      : outside
  builder.readings.set(pin, reading)
  return reading
}

/** The level at an output's pin, given the one that is applied. */
function levelOf(builder: Builder, cell: LogicCell, outside: Node): Node {
  const { enable, value } = driveOf(builder, cell)
  return builder.space.diagrams.choose(enable, value, outside)
}

function driveOf(builder: Builder, cell: LogicCell): { readonly enable: Node; readonly value: Node } {
  const { defined, register } = cell
  const place = cellNameOf(cell)
  if (!defined) return { enable: builder.variable('unknown', place), value: builder.variable('unknown-value', place) }
  const enable = functionOf(builder, cell.enable)
  if (!register) return { enable, value: cell.value ? functionOf(builder, cell.value) : 0 }
  const data = (): Node => turned(builder, register.data, register.inverted)
  if (isBypassed(cell)) return { enable, value: data() }
  const state = shownState(builder, cell)
  if (!register.bypass) return { enable, value: state }
  const { diagrams } = builder.space
  const through = diagrams.and(functionOf(builder, register.reset), functionOf(builder, register.preset))
  return { enable, value: diagrams.choose(through, data(), state) }
}

/** The level that the enabled pin of a register shows. */
function shownState(builder: Builder, cell: LogicCell): Node {
  const place = cellNameOf(cell)
  const state = builder.variable('state', place)
  return builder.flipped.has(place) ? builder.space.diagrams.not(state) : state
}

function turned(builder: Builder, expression: Expression, inverted: boolean): Node {
  const f = functionOf(builder, expression)
  return inverted ? builder.space.diagrams.not(f) : f
}

function signalOf(builder: Builder, index: number): Node {
  const { logic, space } = builder
  const signal = logic.signals[index]!
  if (signal.kind === 'pin') return readingOf(builder, signal.pin)
  const cell = logic.cells[signal.cell]!
  const state = shownState(builder, cell)
  return signal.inverted !== cell.register?.inverted ? space.diagrams.not(state) : state
}

function cubeOf(builder: Builder, cube: Cube): Node {
  const { diagrams } = builder.space
  let product: Node = 1
  for (const literal of cube.literals) {
    const signal = signalOf(builder, literal >>> 1)
    product = diagrams.and(product, literal & 1 ? diagrams.not(signal) : signal)
    if (product === 0) return 0
  }
  return product
}

function functionOf(builder: Builder, { sums, inverted }: Expression): Node {
  const { diagrams } = builder.space
  let parity: Node = inverted ? 1 : 0
  for (const sum of sums) {
    let any: Node = 0
    for (const cube of sum) if (!isContradiction(cube)) any = diagrams.or(any, cubeOf(builder, cube))
    parity = diagrams.xor(parity, any)
  }
  return parity
}

/** How the functions of a part are made. */
export interface FunctionOptions {
  readonly nameOf?: NameOf
  /** Pins at which loops are cut also where this part has none, so that two parts can be compared loop by loop. */
  readonly cutAt?: readonly number[]
  /** Limits the outputs, where all of them together would be too large. */
  readonly only?: readonly CellName[]
  /** Registers whose variable stands for the complement of the level that the enabled pin shows. */
  readonly flipped?: ReadonlySet<CellName>
}

/**
 * The functions of a part.
 *
 * @throws NodeLimitError where the diagrams grow past their limit
 */
export function partFunctions(space: Space, logic: Logic, given: FunctionOptions = {}): PartFunctions {
  const builder = startBuilder(space, logic, given)
  const wired = wiredLoops(builder)
  const cuts = new Set(wired.flat())
  for (const pin of [...cuts, ...(given.cutAt ?? [])]) builder.readings.set(pin, builder.variable('loop', pin))
  const outputs = logic.cells.flatMap((cell, index): OutputFunctions[] => {
    const { register, pin, defined } = cell
    const place = cellNameOf(cell)
    if (given.only && !given.only.includes(place)) return []
    return [
      {
        pin,
        cell: index,
        place,
        defined,
        ...driveOf(builder, cell),
        register: register && !isBypassed(cell) ? registerFunctions(builder, cell, register) : null,
      },
    ]
  })
  const excitations = [...new Set([...cuts, ...(given.cutAt ?? [])])].flatMap((pin) => {
    const cell = builder.logic.cells[builder.netlist.cellAt.get(pin) ?? -1]
    return cell ? [{ pin, excitation: levelOf(builder, cell, builder.variable('pin', pin)) }] : []
  })
  return composeFalseLoops(builder, { outputs, loops: excitations, wired }, new Set(given.cutAt ?? []))
}

function registerFunctions(builder: Builder, cell: LogicCell, register: Register): RegisterFunctions {
  const { diagrams } = builder.space
  const flipped = builder.flipped.has(cellNameOf(cell))
  const inverted = register.inverted !== flipped
  const reset = functionOf(builder, register.reset)
  const preset = functionOf(builder, register.preset)
  const taken = diagrams.or(functionOf(builder, register.clockedPreset), functionOf(builder, register.data))
  const { powerUp } = register
  return {
    next: inverted ? diagrams.not(taken) : taken,
    clock: functionOf(builder, register.clock),
    setHigh: inverted ? reset : preset,
    setLow: inverted ? preset : reset,
    load: functionOf(builder, register.load),
    bypass: register.bypass,
    flipped,
    powerUp: powerUp === null ? null : register.inverted ? ((1 - powerUp) as 0 | 1) : powerUp,
  }
}

/**
 * Wiring in a circle is no loop where a function does not depend on its own pin after all, or where every level of the
 * inputs breaks the circle, as in a two-way bus driver. Such pins are composed; those in `keep` stay cut.
 */
function composeFalseLoops(builder: Builder, functions: PartFunctions, keep: ReadonlySet<number>): PartFunctions {
  const { diagrams } = builder.space
  const pinOf = new Map(functions.loops.map(({ pin }) => [builder.loopIndex(pin), pin]))
  const excitationAt = new Map(functions.loops.map(({ pin, excitation }) => [pin, excitation]))
  const dependsOn = (pin: number): number[] =>
    diagrams
      .support(excitationAt.get(pin)!)
      .flatMap((variable) => (pinOf.has(variable) ? [pinOf.get(variable)!] : []))
  const circles = componentsOf(
    [...excitationAt.keys()].filter((pin) => !keep.has(pin)),
    (pin) => dependsOn(pin).filter((other) => !keep.has(other)),
  )
  const settled = new Map<number, Node>()
  const real = new Set<number>()
  // What is left has an order in which every pin needs only those before it.
  const replacements: (Node | undefined)[] = []
  const resolve = (pin: number): Node => {
    const index = builder.loopIndex(pin)
    const known = replacements[index]
    if (known !== undefined) return known
    const level = settled.get(pin) ?? excitationAt.get(pin)!
    for (const other of diagrams.support(level))
      if (pinOf.has(other) && !isCut(pinOf.get(other)!)) resolve(pinOf.get(other)!)
    return (replacements[index] = diagrams.substitute(level, replacements))
  }
  const isCut = (pin: number): boolean => keep.has(pin) || real.has(pin)
  for (const circle of circles) {
    // What comes before may be what breaks the circle, so it is composed first.
    for (const pin of circle)
      for (const other of dependsOn(pin)) if (!circle.includes(other) && !isCut(other)) resolve(other)
    // A circle that is too large to settle is kept as a loop, which is always right and only less is shown.
    const levels =
      diagrams.attempt(SETTLING_SHARE, () =>
        settledLevels(
          builder,
          circle,
          new Map(circle.map((pin) => [pin, diagrams.substitute(excitationAt.get(pin)!, replacements)])),
        ),
      ) ?? new Map<number, Node>()
    for (const pin of circle)
      if (levels.has(pin)) settled.set(pin, levels.get(pin)!)
      else real.add(pin)
  }
  for (const pin of excitationAt.keys()) if (!isCut(pin)) resolve(pin)
  const composed = (f: Node): Node => diagrams.substitute(f, replacements)
  return {
    wired: functions.wired,
    loops: functions.loops
      .filter(({ pin }) => isCut(pin))
      .map(({ pin, excitation }) => ({ pin, excitation: composed(excitation) })),
    outputs: functions.outputs.map((output) => mapFunctions(output, composed)),
  }
}

/** An output with each of its functions replaced. */
export function mapFunctions(output: OutputFunctions, replace: (f: Node) => Node): OutputFunctions {
  const { enable, value, register } = output
  return {
    ...output,
    enable: replace(enable),
    value: replace(value),
    register: register && {
      ...register,
      next: replace(register.next),
      clock: replace(register.clock),
      setHigh: replace(register.setHigh),
      setLow: replace(register.setLow),
      load: replace(register.load),
    },
  }
}

/** The nodes that settling one circle may take: one in so many of all. */
export const SETTLING_SHARE = 16

/** The levels of a circle that settles for every input, so that nothing is stored in it; empty for a real loop. */
function settledLevels(
  builder: Builder,
  circle: readonly number[],
  excitationAt: ReadonlyMap<number, Node>,
): Map<number, Node> {
  const { diagrams } = builder.space
  const can = possibleLevels(
    diagrams,
    circle.map((pin) => ({ variable: builder.loopIndex(pin), excitation: excitationAt.get(pin)! })),
  )
  return can.every(({ zero, one }) => diagrams.and(zero, one) === 0)
    ? new Map(circle.map((pin, i) => [pin, can[i]!.one]))
    : new Map()
}

/** Whether a pin can be 0, and whether it can be 1. */
export interface PossibleLevels {
  readonly zero: Node
  readonly one: Node
}

/**
 * Where cut pins can come to rest from unknown levels, for every input: a circle that settles has one level, one that
 * stores may have both.
 */
export function possibleLevels(
  diagrams: Diagrams,
  loops: readonly { readonly variable: number; readonly excitation: Node }[],
): readonly PossibleLevels[] {
  const variables = loops.map(({ variable }) => variable)
  const can = loops.map((): PossibleLevels => ({ zero: 1, one: 1 }))
  for (let round = 0; round <= loops.length; round++) {
    loops.forEach(({ excitation }, i) => {
      const possible = variables.reduce(
        (product, variable, j) =>
          diagrams.and(product, diagrams.choose(diagrams.variable(variable), can[j]!.one, can[j]!.zero)),
        1,
      )
      can[i] = {
        zero: diagrams.exists(diagrams.and(possible, diagrams.not(excitation)), variables),
        one: diagrams.exists(diagrams.and(possible, excitation), variables),
      }
    })
  }
  return can
}
