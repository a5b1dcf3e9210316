/**
 * The reference simulation of one part: slow, and meant to be obviously right. Levels are three-valued; a change is
 * settled in two runs as in Eichelberger's ternary simulation (IBM J. Res. Dev. 9(2), 1965): first everything that a
 * change could reach becomes unknown, then whatever is certain becomes known again. Registers take their data at
 * rising edges. What depends on an order that the stimulus leaves open is unknown.
 */
import { cubesOf, isContradiction, usedSignals, type Expression, type Logic, type Output } from './logic'
import { evaluate, evaluateCube, merge, not, X, type Ternary } from './ternary'

/** What the outside applies to a pin: a level, an unknown but steady level (2), or nothing at all (3). */
export type Applied = Ternary | typeof NOTHING
export const NOTHING = 3

/** Level found at a pin: 0, 1, X (2) or high impedance (3: nothing drives it). */
export type PinLevel = Applied

/** Why something is unknown. `pin` is where the reason lies. */
export interface Cause {
  readonly kind: 'register' | 'input' | 'floating' | 'clock' | 'order' | 'loop' | 'undefined-cell' | 'preload' | 'vector'
  readonly pin: number
}

export interface SimulationOptions {
  /** State of registers at the start: unknown (default), or the data sheet's power-up state where there is one. */
  readonly registers?: 'unknown' | 'power-up'
  /** Where data and a clock change together: `open` (default, every order counts) or data before clocks. */
  readonly order?: 'open' | 'data-then-clock'
}

/** State of a simulation; pin arrays are indexed by pin number, register arrays by output. */
export interface Simulation {
  readonly logic: Logic
  readonly options: Required<SimulationOptions>
  readonly outputAt: ReadonlyMap<number, Output>
  /** Index of the output at each pin. */
  readonly indexAt: ReadonlyMap<number, number>
  applied: Applied[]
  /** What the array reads at each pin. */
  readings: Ternary[]
  /** Q of each register. */
  q: Ternary[]
  /** Why a Q is unknown. */
  qCauses: (readonly Cause[])[]
}

/** A simulation before the first step: nothing applied, registers as the options say. */
export function startSimulation(logic: Logic, options: SimulationOptions = {}): Simulation {
  const full = { registers: options.registers ?? 'unknown', order: options.order ?? 'open' } as const
  const simulation: Simulation = {
    logic,
    options: full,
    outputAt: new Map(logic.outputs.map((output) => [output.pin, output])),
    indexAt: new Map(logic.outputs.map((output, index) => [output.pin, index])),
    applied: Array<Applied>(logic.pinCount + 1).fill(NOTHING),
    readings: Array<Ternary>(logic.pinCount + 1).fill(X),
    q: [],
    qCauses: [],
  }
  forgetRegisters(simulation, 'register')
  if (full.registers === 'power-up') simulation.q = logic.outputs.map((output) => output.register?.powerUp ?? X)
  return simulation
}

/** Makes every register unknown for the given reason. */
export function forgetRegisters(simulation: Simulation, kind: Cause['kind']): void {
  simulation.q = simulation.logic.outputs.map(() => X)
  simulation.qCauses = simulation.logic.outputs.map(({ pin }) => [{ kind, pin }])
}

/** Makes everything unknown, as after something that could not be read. */
export function forgetAll(simulation: Simulation): void {
  forgetRegisters(simulation, 'vector')
  simulation.applied = simulation.applied.map(() => X)
  simulation.readings = simulation.readings.map(() => X)
}

/**
 * Applies levels to all pins (index = pin), settles, and takes register edges that the change makes. Several pins
 * change in no particular order.
 */
export function applyLevels(simulation: Simulation, applied: readonly Applied[]): void {
  const before = { applied: simulation.applied, signals: signalsOf(simulation, simulation.readings) }
  const settled = settle(simulation, applied, simulation.readings)
  const after = signalsOf(simulation, settled)
  const q = [...simulation.q]
  const qCauses = [...simulation.qCauses]
  simulation.logic.outputs.forEach((output, i) => {
    if (!output.register) return
    const edge = edgeOf(simulation, { clock: output.register.clock, before, after, applied })
    if (edge === 'none') return
    const data = sampleData(simulation, { register: output.register, applied })
    q[i] = edge === 'certain' ? data.value : merge(simulation.q[i]!, data.value)
    if (q[i] === X) qCauses[i] = edge === 'certain' ? data.causes : [{ kind: 'clock', pin: output.pin }]
  })
  simulation.applied = [...applied]
  simulation.q = q
  simulation.qCauses = qCauses
  simulation.readings = settle(simulation, applied, settled)
}

/** Pulses a pin away from its level and back, as the conditions C and K do. */
export function applyPulse(simulation: Simulation, pin: number): void {
  const resting = simulation.applied
  const pulsed = [...resting]
  pulsed[pin] = not(resting[pin] as Ternary)
  applyLevels(simulation, pulsed)
  applyLevels(simulation, resting)
}

/** Most pulsed pins whose orders are all tried; beyond, registers are unknown. */
const MOST_PULSES = 4

/** Pulses several pins in an order that is not defined: every order is tried, and only what all agree on is known. */
export function applyPulses(simulation: Simulation, pins: readonly number[]): void {
  if (pins.length > MOST_PULSES) {
    forgetRegisters(simulation, 'order')
    simulation.readings = settle(simulation, simulation.applied, simulation.readings.map(() => X))
    return
  }
  const start = { ...simulation }
  let merged: Simulation | null = null
  for (const order of permutations(pins)) {
    const run = { ...start }
    for (const pin of order) applyPulse(run, pin)
    merged = merged ? mergeRuns(merged, run) : run
  }
  if (merged) Object.assign(simulation, { readings: merged.readings, q: merged.q, qCauses: merged.qCauses })
}

function mergeRuns(a: Simulation, b: Simulation): Simulation {
  const q = a.q.map((value, i) => merge(value, b.q[i]!))
  const qCauses = q.map((value, i): readonly Cause[] =>
    value !== X ? [] : a.q[i] === b.q[i] ? a.qCauses[i]! : [{ kind: 'order', pin: a.logic.outputs[i]!.pin }],
  )
  return { ...a, q, qCauses, readings: a.readings.map((value, pin) => merge(value, b.readings[pin]!)) }
}

function permutations(items: readonly number[]): number[][] {
  if (items.length === 0) return [[]]
  return items.flatMap((item) => permutations(items.filter((other) => other !== item)).map((rest) => [item, ...rest]))
}

/**
 * Loads registers behind output pins: `levels` gives the level that each pin is to show, by pin number. Registers
 * whose clock is not `clockPin` stay as they are. Returns how many registers were loaded.
 */
export function preloadRegisters(simulation: Simulation, clockPin: number, levels: ReadonlyMap<number, 0 | 1>): number {
  const { logic } = simulation
  let loaded = 0
  simulation.q = simulation.q.map((old, i) => {
    const { pin, register } = logic.outputs[i]!
    const level = levels.get(pin)
    if (!register || level === undefined || !clockPinsOf(logic, register.clock).includes(clockPin)) return old
    loaded++
    return register.inverted ? not(level) : level
  })
  simulation.readings = settle(simulation, simulation.applied, simulation.readings)
  return loaded
}

function clockPinsOf(logic: Logic, clock: Expression): number[] {
  return usedSignals([clock]).map((signal) => logic.signals[signal]!.pin)
}

/** What a tester finds at a pin, and what the output there does. */
export interface FoundLevel {
  readonly level: PinLevel
  /** Whether the output drives: 0 off, 1 on, 2 unknown; 0 for a pin without an output. */
  readonly enable: Ternary
  /** What it drives, or would drive. */
  readonly value: Ternary
}

export function levelAt(simulation: Simulation, pin: number): FoundLevel {
  const applied = simulation.applied[pin]!
  const output = simulation.outputAt.get(pin)
  if (!output) return { level: applied, enable: 0, value: X }
  const drive = driveOf(simulation, output, signalsOf(simulation, simulation.readings))
  return { level: drive.enable === 0 ? applied : simulation.readings[pin]!, ...drive }
}

/** Values of all signals, given what the array reads at each pin. */
function signalsOf({ logic, q, indexAt }: Simulation, readings: readonly Ternary[]): Ternary[] {
  return logic.signals.map((signal) => {
    if (signal.kind === 'pin') return readings[signal.pin]!
    const value = q[indexAt.get(signal.pin)!]!
    return signal.inverted ? not(value) : value
  })
}

function driveOf({ indexAt, q }: Simulation, output: Output, signals: readonly Ternary[]): { enable: Ternary; value: Ternary } {
  if (!output.defined) return { enable: X, value: X }
  const enable = evaluate(output.enable, signals)
  if (!output.register) return { enable, value: evaluate(output.value!, signals) }
  const state = q[indexAt.get(output.pin)!]!
  return { enable, value: output.register.inverted ? not(state) : state }
}

/** What the array reads at a pin: an enabled output overrides what is applied; an unknown enable leaves what both agree on. */
function readingOf(simulation: Simulation, pin: number, given: { readonly applied: readonly Applied[]; readonly signals: readonly Ternary[] }): Ternary {
  const applied = given.applied[pin]!
  const outside: Ternary = applied === NOTHING ? X : applied
  const output = simulation.outputAt.get(pin)
  if (!output) return outside
  const { enable, value } = driveOf(simulation, output, given.signals)
  return enable === 1 ? value : enable === 0 ? outside : merge(value, outside)
}

/** Ternary simulation of a change: run A spreads uncertainty until nothing changes, run B removes it likewise. */
function settle(simulation: Simulation, applied: readonly Applied[], from: readonly Ternary[]): Ternary[] {
  const readings = [...from]
  const run = (keepOld: boolean): void => {
    for (let changed = true; changed; ) {
      changed = false
      const signals = signalsOf(simulation, readings)
      for (let pin = 1; pin < readings.length; pin++) {
        const reading = readingOf(simulation, pin, { applied, signals })
        const next = keepOld ? merge(readings[pin]!, reading) : reading
        if (next !== readings[pin]) changed = true
        readings[pin] = next
      }
    }
  }
  run(true)
  run(false)
  return readings
}

interface Moment {
  readonly applied: readonly Applied[]
  readonly signals: readonly Ternary[]
}

/** Whether a clock rises: certainly, perhaps (from or to an unknown level), or not. */
function edgeOf(
  simulation: Simulation,
  given: { readonly clock: Expression; readonly before: Moment; readonly after: readonly Ternary[]; readonly applied: readonly Applied[] },
): 'certain' | 'possible' | 'none' {
  const from = evaluate(given.clock, given.before.signals)
  const to = evaluate(given.clock, given.after)
  if (from === 0 && to === 1) return 'certain'
  if (from === 1 || to === 0) return 'none'
  // Both unknown: a steady unknown level makes no edge, a floating pin may.
  const pins = clockPinsOf(simulation.logic, given.clock)
  const steady = pins.every((pin) => given.before.applied[pin] === given.applied[pin] && given.applied[pin] !== NOTHING)
  return from === to && steady ? 'none' : 'possible'
}

/** Most pins whose order of change is tried out one by one; beyond, they are all taken as unknown. */
const MOST_CHANGES = 8

/**
 * The data of a register at a clock edge: signals as before the edge, the clock's own column included. Where other
 * pins change in the same step, any of them may have changed before the edge and any after it.
 */
function sampleData(
  simulation: Simulation,
  { register, applied }: { readonly register: { readonly data: Expression; readonly clock: Expression }; readonly applied: readonly Applied[] },
): { readonly value: Ternary; readonly causes: readonly Cause[] } {
  const clockPins = clockPinsOf(simulation.logic, register.clock)
  const changed: number[] = []
  for (let pin = 1; pin < applied.length; pin++) if (applied[pin] !== simulation.applied[pin] && !clockPins.includes(pin)) changed.push(pin)
  const sample = (levelOf: (pin: number) => Applied): { value: Ternary; readings: Ternary[]; applied: Applied[] } => {
    const levels = [...simulation.applied]
    for (const pin of changed) levels[pin] = levelOf(pin)
    const readings = settle(simulation, levels, simulation.readings)
    return { value: evaluate(register.data, signalsOf(simulation, readings)), readings, applied: levels }
  }
  const last = sample((pin) => applied[pin]!)
  if (last.value === X) {
    const moment = { ...simulation, readings: last.readings, applied: last.applied }
    return { value: X, causes: causesOfExpression(moment, register.data) }
  }
  if (simulation.options.order === 'data-then-clock' || changed.length === 0) return { value: last.value, causes: [] }
  let value = last.value
  if (changed.length > MOST_CHANGES) value = merge(value, sample(() => X).value)
  else
    for (let subset = 0; subset < (1 << changed.length) - 1 && value !== X; subset++)
      value = merge(value, sample((pin) => (subset >> changed.indexOf(pin) & 1 ? applied[pin]! : simulation.applied[pin]!)).value)
  return { value, causes: value === X ? clockPins.map((pin) => ({ kind: 'order', pin })) : [] }
}

/** Why the level at a pin is unknown: the unknown things that it hangs on, each once. */
export function causesAt(simulation: Simulation, pin: number): readonly Cause[] {
  return collectCauses(simulation, (visit) => visit(pin))
}

function causesOfExpression(simulation: Simulation, expression: Expression): readonly Cause[] {
  return collectCauses(simulation, (visit) => unknownPins(simulation, expression, visit))
}

type Visit = (pin: number, registerOnly?: boolean) => void

function collectCauses(simulation: Simulation, start: (visit: Visit) => void): readonly Cause[] {
  const causes = new Map<string, Cause>()
  const add = (cause: Cause): void => void causes.set(`${cause.kind} ${cause.pin}`, cause)
  const seen = new Set<number>()
  let lastPin = 0
  const visit: Visit = (pin, registerOnly = false) => {
    const output = simulation.outputAt.get(pin)
    if (registerOnly || (output?.register && registerUnknown(simulation, output))) simulation.qCauses[simulation.indexAt.get(pin)!]!.forEach(add)
    if (registerOnly || seen.has(pin)) return
    seen.add(pin)
    lastPin = pin
    if (output && !output.defined) add({ kind: 'undefined-cell', pin })
    const drive = output ? driveOf(simulation, output, signalsOf(simulation, simulation.readings)) : { enable: 0, value: X }
    if (drive.enable !== 1 && simulation.readings[pin] === X) {
      if (simulation.applied[pin] === X) add({ kind: 'input', pin })
      if (simulation.applied[pin] === NOTHING && drive.enable === 0) add({ kind: 'floating', pin })
    }
    if (!output) return
    if (drive.enable === X) unknownPins(simulation, output.enable, visit)
    if (drive.enable !== 0 && drive.value === X && output.value) unknownPins(simulation, output.value, visit)
  }
  start(visit)
  if (causes.size === 0) add({ kind: 'loop', pin: lastPin })
  return [...causes.values()].sort((a, b) => a.pin - b.pin)
}

function registerUnknown(simulation: Simulation, output: Output): boolean {
  return simulation.q[simulation.indexAt.get(output.pin)!] === X
}

/** Visits the unknown signals in the unknown cubes of an expression. */
function unknownPins(simulation: Simulation, expression: Expression, visit: Visit): void {
  const signals = signalsOf(simulation, simulation.readings)
  for (const cube of cubesOf(expression)) {
    if (isContradiction(cube) || evaluateCube(cube, signals) !== X) continue
    for (const literal of cube.literals)
      if (signals[literal >>> 1] === X) {
        const signal = simulation.logic.signals[literal >>> 1]!
        visit(signal.pin, signal.kind === 'register')
      }
  }
}
