/** The state of a simulation, and what follows from it without time passing: signals, drives, settled levels. */
import { takeSteps } from '../arguments/work'
import type { Logic, LogicCell, Register } from './logic'
import { netlistOf, type Netlist } from './netlist'
import { triedLevel } from './tried-levels'
import { evaluate, merge, not, X, type Ternary } from './ternary'

/** Nothing is applied. */
export const NOTHING = 3
/** Something is applied that is no steady logic level. */
export const UNSTEADY = 4

/** What the outside applies to a pin: a level, an unknown but steady level (2), nothing (3), or no steady level (4). */
export type Applied = Ternary | typeof NOTHING | typeof UNSTEADY

/** Level found at a pin: 0, 1, X (2) or high impedance (3: nothing drives it). */
export type PinLevel = Ternary | typeof NOTHING

/** Why something is unknown, and where the reason lies: at a pin, or (0) in the buried cell of that name. */
export interface Cause {
  /** Why it is unknown. */
  readonly kind:
    'register' | 'input' | 'floating' | 'clock' | 'order' | 'loop' | 'undefined-cell' | 'preload' | 'vector'
  /** Where the reason lies; 0 for a buried cell. */
  readonly pin: number
  /** Name of a buried cell. */
  readonly cell?: string
}

export interface SimulationOptions {
  /** State of registers at the start: unknown (default), or the data sheet's power-up state where there is one. */
  readonly registers?: 'unknown' | 'power-up'
  /**
   * Where levels change together: `open` (default, every order counts), or data before clocks and no pulses on the
   * way.
   */
  readonly order?: 'open' | 'data-then-clock'
  /** False where nobody asks why something is unknown (default true). */
  readonly explain?: boolean
}

/** What a simulation has looked at, for those who ask whether a change of a term would have changed anything. */
export interface Recorder {
  /** Values of all signals at each moment at which terms were evaluated. */
  readonly moments: (readonly Ternary[])[]
  /** True once the values of unknown sources may have been tried. */
  metUnknown: boolean
}

/** State of a simulation; pin arrays are indexed by pin number, register arrays by cell. */
export interface Simulation {
  readonly logic: Logic
  readonly netlist: Netlist
  readonly options: Required<SimulationOptions>
  applied: Applied[]
  /** What the array reads at each pin. */
  readings: Ternary[]
  /** Q of each register. */
  q: Ternary[]
  /** Why a Q is unknown. */
  qCauses: (readonly Cause[])[]
  /** Null where nobody asks. */
  recorder: Recorder | null
}

/** A simulation before the first step: nothing applied, registers as the options say. */
export function startSimulation(logic: Logic, options: SimulationOptions = {}): Simulation {
  const simulation: Simulation = {
    logic,
    netlist: netlistOf(logic),
    options: {
      registers: options.registers ?? 'unknown',
      order: options.order ?? 'open',
      explain: options.explain ?? true,
    },
    applied: Array<Applied>(logic.pinCount + 1).fill(NOTHING),
    readings: Array<Ternary>(logic.pinCount + 1).fill(X),
    q: [],
    qCauses: [],
    recorder: null,
  }
  forgetRegisters(simulation, 'register')
  if (simulation.options.registers === 'power-up')
    simulation.q = logic.cells.map(({ register }) => register?.powerUp ?? X)
  return simulation
}

/** A reason that lies at a cell. */
export function causeAt(kind: Cause['kind'], { pin, name }: LogicCell): Cause {
  return pin === null ? { kind, pin: 0, cell: name } : { kind, pin }
}

/** Makes every register unknown for the given reason. */
export function forgetRegisters(simulation: Simulation, kind: Cause['kind']): void {
  simulation.q = simulation.logic.cells.map(() => X)
  simulation.qCauses = simulation.logic.cells.map((cell) => [causeAt(kind, cell)])
}

/** Makes everything unknown, as after something that could not be read. */
export function forgetAll(simulation: Simulation): void {
  forgetRegisters(simulation, 'vector')
  simulation.applied = simulation.applied.map(() => UNSTEADY)
  simulation.readings = simulation.readings.map(() => X)
}

/** What a tester finds at a pin, and what the output there does. */
export interface FoundLevel {
  readonly level: PinLevel
  /** Whether the output drives: 0 off, 1 on, 2 unknown; 0 for a pin without an output. */
  readonly enable: Ternary
  /** What it drives, or would drive. */
  readonly value: Ternary
}

/** The level at a pin, given the settled state. */
export function levelAt(simulation: Simulation, pin: number): FoundLevel {
  const applied = simulation.applied[pin]!
  const outside: PinLevel = applied === UNSTEADY ? X : applied
  const cell = simulation.netlist.cellAt.get(pin)
  if (cell === undefined) return { level: outside, enable: 0, value: X }
  const drive = driveOf(simulation, cell, signalsOf(simulation, simulation.readings))
  const found = { level: drive.enable === 0 ? outside : simulation.readings[pin]!, ...drive }
  return drive.enable === 0 || (drive.enable === 1 && found.level !== X)
    ? found
    : certainLevel(simulation, pin, found)
}

/** What is certain of a level once both values of every unknown that it hangs on are tried. */
function certainLevel(simulation: Simulation, pin: number, found: FoundLevel): FoundLevel {
  if (simulation.recorder) simulation.recorder.metUnknown = true
  const tried = triedLevel(simulation, simulation.netlist.cellAt.get(pin)!)
  if (!tried) return found
  const { enable, value, reading } = tried
  const applied = simulation.applied[pin]!
  const outside: PinLevel = applied === UNSTEADY ? X : applied
  return { enable, value, level: enable === 0 ? outside : found.level === X ? reading : found.level }
}

/** Values of all signals, given what the array reads at each pin. */
export function signalsOf({ logic, q, recorder }: Simulation, readings: readonly Ternary[]): Ternary[] {
  const signals = logic.signals.map((signal) => {
    if (signal.kind === 'pin') return readings[signal.pin]!
    const value = q[signal.cell]!
    return signal.inverted ? not(value) : value
  })
  recorder?.moments.push(signals)
  return signals
}

/** What a cell wants: whether it is on, and the level that it drives or would drive. */
export function driveOf(
  { logic, q }: Simulation,
  cell: number,
  signals: readonly Ternary[],
): { enable: Ternary; value: Ternary } {
  const { defined, enable, value, register } = logic.cells[cell]!
  if (!defined) return { enable: X, value: X }
  const on = evaluate(enable, signals)
  if (!register) return { enable: on, value: value ? evaluate(value, signals) : X }
  const state = throughRegister(register, q[cell]!, signals)
  return { enable: on, value: register.inverted ? not(state) : state }
}

/** What stands at the output side of a register: its state, or its data where reset and preset bypass it. */
function throughRegister(register: Register, state: Ternary, signals: readonly Ternary[]): Ternary {
  if (!register.bypass) return state
  const reset = evaluate(register.reset, signals)
  const preset = evaluate(register.preset, signals)
  if (reset === 0 || preset === 0) return state
  const data = evaluate(register.data, signals)
  return reset === 1 && preset === 1 ? data : merge(state, data)
}

/** What an applied level is to the array: nothing, or no steady level, is unknown. */
function outsideLevel(applied: Applied): Ternary {
  return applied === NOTHING || applied === UNSTEADY ? X : applied
}

/**
 * What the array reads at a cell's pin: an enabled cell overrides what is applied; an unknown enable leaves what both
 * agree on.
 */
function readingOf(
  simulation: Simulation,
  cell: number,
  { outside, signals }: { readonly outside: Ternary; readonly signals: readonly Ternary[] },
): Ternary {
  const { enable, value } = driveOf(simulation, cell, signals)
  return enable === 1 ? value : enable === 0 ? outside : merge(value, outside)
}

/** A settled change: levels once all is quiet, and levels on the way, X where a pin may have been either or both. */
export interface Settled {
  readonly readings: Ternary[]
  readonly passing: readonly Ternary[]
}

/** Steps of settling one cell once: some hundred nanoseconds. */
const CELL_STEPS = 5

/** What was read, and applied, before a change. */
export interface Before {
  readonly readings: readonly Ternary[]
  readonly applied: readonly Applied[]
}

/** Ternary simulation of a change: run A spreads uncertainty until nothing changes, run B removes it likewise. */
export function settle(simulation: Simulation, applied: readonly Applied[], from: Before): Settled {
  const { cellAt } = simulation.netlist
  const passing = passingLevels(simulation, applied, from)
  const outside = applied.map(outsideLevel)
  const readings = passing.map((level, pin) => (pin === 0 || cellAt.has(pin) ? level : outside[pin]!))
  const read: ReadPin = (pin, cell, signals) => readingOf(simulation, cell, { outside: outside[pin]!, signals })
  // What is known on the way is known once all is quiet.
  while (readAgain(simulation, readings, { which: 'unknown', read }));
  return { readings, passing }
}

/** Run A alone: levels on the way, X where a pin may have been either or both. */
export function passingLevels(simulation: Simulation, applied: readonly Applied[], from: Before): Ternary[] {
  const { cellAt } = simulation.netlist
  // An output that is off on the way lets through what is applied: the old level or the new one.
  const outside = applied.map((level, pin) => merge(outsideLevel(level), outsideLevel(from.applied[pin]!)))
  // Pins without a cell read what is applied at once; on the way, the old level or the new one.
  const readings = from.readings.map((old, pin) => (cellAt.has(pin) ? old : merge(old, outsideLevel(applied[pin]!))))
  const read: ReadPin = (pin, cell, signals) =>
    merge(readings[pin]!, readingOf(simulation, cell, { outside: outside[pin]!, signals }))
  // What is unknown on the way stays so.
  while (readAgain(simulation, readings, { which: 'known', read }));
  return readings
}

type ReadPin = (pin: number, cell: number, signals: readonly Ternary[]) => Ternary

/** Reads once more every pin with a cell that is known so far, or unknown; true where one has changed. */
function readAgain(
  simulation: Simulation,
  readings: Ternary[],
  { which, read }: { readonly which: 'known' | 'unknown'; readonly read: ReadPin },
): boolean {
  const { cellAt } = simulation.netlist
  takeSteps(CELL_STEPS * cellAt.size)
  const signals = signalsOf(simulation, readings)
  let changed = false
  for (const [pin, cell] of cellAt) {
    if ((readings[pin] === X) !== (which === 'unknown')) continue
    const next = read(pin, cell, signals)
    if (next !== readings[pin]) changed = true
    readings[pin] = next
  }
  return changed
}
