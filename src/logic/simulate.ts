/**
 * The reference simulation of one part: slow, and meant to be obviously right. Levels are three-valued; a change is
 * settled in two runs as in Eichelberger's ternary simulation (IBM J. Res. Dev. 9(2), 1965): first everything that a
 * change could reach becomes unknown, then whatever is certain becomes known again. Registers take their data at
 * rising edges. What depends on an order that the stimulus leaves open is unknown.
 */
import { causesOfExpressions } from './causes'
import { expressionsOf, usedSignals, type Expression, type Output, type Register } from './logic'
import { clockPinsOf, forgetRegisters, NOTHING, settle, signalsOf, UNSTEADY, type Applied, type Cause, type Simulation } from './simulation-state'
import { evaluate, merge, not, X, type Ternary } from './ternary'

/** Rounds of register changes that one step may set off (a ripple counter needs one a stage) before it counts as a loop. */
const MOST_ROUNDS = 64

/**
 * Applies levels to all pins (index = pin), settles, and takes the register edges that follow, those that other
 * registers set off included. Several pins change in no particular order.
 */
export function applyLevels(simulation: Simulation, applied: readonly Applied[]): void {
  let before = { ...simulation }
  const looping = new Set<number>()
  simulation.applied = [...applied]
  for (let round = 0; ; round++) {
    simulation.readings = settle(simulation, applied, before.readings)
    const { q, qCauses } = nextStates(simulation, before, looping)
    const changed = q.flatMap((value, i) => (value === simulation.q[i] ? [] : [i]))
    before = { ...simulation }
    simulation.q = q
    simulation.qCauses = qCauses
    if (changed.length === 0) return
    if (round >= MOST_ROUNDS) for (const i of changed) looping.add(i)
  }
}

/** States of all registers after a change from `before`, with the reasons of those that are unknown. */
function nextStates(simulation: Simulation, before: Simulation, looping: ReadonlySet<number>): { q: Ternary[]; qCauses: (readonly Cause[])[] } {
  const signals = { before: signalsOf(before, before.readings), after: signalsOf(simulation, simulation.readings) }
  const states = simulation.logic.outputs.map((output, i): State => {
    const old: State = { value: simulation.q[i]!, causes: simulation.qCauses[i]! }
    if (!output.register) return old
    if (looping.has(i)) return { value: X, causes: [{ kind: 'loop', pin: output.pin }] }
    const clocked = afterEdge(old, { output, register: output.register, before, simulation, signals })
    return held(clocked, { output, register: output.register, simulation, signals: signals.after })
  })
  return { q: states.map(({ value }) => value), qCauses: states.map(({ causes }) => causes) }
}

/** Q of a register and why it is unknown, where it is. */
interface State {
  readonly value: Ternary
  readonly causes: readonly Cause[]
}

interface Edge {
  readonly output: Output
  readonly register: Register
  readonly before: Simulation
  readonly simulation: Simulation
  readonly signals: { readonly before: readonly Ternary[]; readonly after: readonly Ternary[] }
}

function afterEdge(old: State, { output, register, before, simulation, signals }: Edge): State {
  const edge = edgeOf(before, { clock: register.clock, signals, applied: simulation.applied })
  if (edge === 'none') return old
  const sampled = sampleData(before, { register, applied: simulation.applied })
  if (edge === 'certain') return sampled
  const value = merge(old.value, sampled.value)
  const clock: readonly Cause[] = old.value === X && sampled.value === X ? [] : [{ kind: 'clock', pin: output.pin }]
  return { value, causes: value === X ? [...new Set([...(old.value === X ? old.causes : []), ...(sampled.value === X ? sampled.causes : []), ...clock])] : [] }
}

/** Levels that hold a register whatever its clock does: reset, preset, load. An unknown one leaves what both cases share. */
function held(state: State, given: { readonly output: Output; readonly register: Register; readonly simulation: Simulation; readonly signals: readonly Ternary[] }): State {
  const { output, register, simulation, signals } = given
  let value = resolveHold(state.value, evaluate(register.reset, signals), evaluate(register.preset, signals))
  const load = evaluate(register.load, signals)
  const enable = evaluate(output.enable, signals)
  if (load !== 0 && enable !== 1) {
    const level = simulation.applied[output.pin]!
    const loaded: Ternary = level === NOTHING || level === UNSTEADY ? X : register.inverted ? not(level) : level
    value = load === 1 && enable === 0 ? loaded : merge(value, loaded)
  }
  if (value === state.value) return state
  return { value, causes: value === X ? causesOfExpressions(simulation, [register.reset, register.preset, register.load], output.pin) : [] }
}

/** Q under given reset and preset levels. Both at once leave it unknown: no data sheet says which one wins. */
function resolveHold(q: Ternary, reset: Ternary, preset: Ternary): Ternary {
  const outcomes = bitsOf(reset).flatMap((r) => bitsOf(preset).map((p): Ternary => (r && p ? X : r ? 0 : p ? 1 : q)))
  return outcomes.reduce((all, outcome) => merge(all, outcome))
}

function bitsOf(value: Ternary): readonly (0 | 1)[] {
  return value === X ? [0, 1] : [value]
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
export function applyPulses(simulation: Simulation, pulsed: readonly number[]): void {
  const read = new Set(usedSignals(simulation.logic.outputs.flatMap(expressionsOf)).map((signal) => simulation.logic.signals[signal]!.pin))
  const pins = pulsed.filter((pin) => read.has(pin))
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

/** Whether a clock rises: certainly, perhaps (from or to an unknown level), or not. */
function edgeOf(before: Simulation, given: { readonly clock: Expression; readonly signals: Edge['signals']; readonly applied: readonly Applied[] }): 'certain' | 'possible' | 'none' {
  const from = evaluate(given.clock, given.signals.before)
  const to = evaluate(given.clock, given.signals.after)
  if (from === 0 && to === 1) return 'certain'
  if (from === 1 || to === 0) return 'none'
  // Both unknown: a steady unknown level makes no edge, a floating pin may.
  const pins = clockPinsOf(before.logic, given.clock)
  const steady = pins.every((pin) => before.applied[pin] === given.applied[pin] && given.applied[pin] !== NOTHING && given.applied[pin] !== UNSTEADY)
  return from === to && steady ? 'none' : 'possible'
}

/** Most pins whose order of change is tried out one by one; beyond, they are all taken as unknown. */
const MOST_CHANGES = 8

/**
 * What a register takes at a clock edge: signals as before the edge, the clock's own column included. Where other
 * pins change in the same step, any of them may have changed before the edge and any after it.
 */
function sampleData(before: Simulation, { register, applied }: { readonly register: Register; readonly applied: readonly Applied[] }): State {
  const clockPins = clockPinsOf(before.logic, register.clock)
  const changed: number[] = []
  for (let pin = 1; pin < applied.length; pin++) if (applied[pin] !== before.applied[pin] && !clockPins.includes(pin)) changed.push(pin)
  const sample = (levelOf: (pin: number) => Applied): { value: Ternary; readings: Ternary[]; applied: Applied[] } => {
    const levels = [...before.applied]
    for (const pin of changed) levels[pin] = levelOf(pin)
    const readings = settle(before, levels, before.readings)
    return { value: takenAtEdge(register, signalsOf(before, readings)), readings, applied: levels }
  }
  const last = sample((pin) => applied[pin]!)
  if (last.value === X) {
    const moment = { ...before, readings: last.readings, applied: last.applied }
    const { data, clockedPreset, reset, preset } = register
    return { value: X, causes: causesOfExpressions(moment, [data, clockedPreset, reset, preset], clockPins[0] ?? 0) }
  }
  if (before.options.order === 'data-then-clock' || changed.length === 0) return { value: last.value, causes: [] }
  let value: Ternary = last.value
  if (changed.length > MOST_CHANGES) value = merge(value, sample(() => X).value)
  else
    for (let subset = 0; subset < (1 << changed.length) - 1 && value !== X; subset++)
      value = merge(value, sample((pin) => ((subset >> changed.indexOf(pin)) & 1 ? applied[pin]! : before.applied[pin]!)).value)
  return { value, causes: value === X ? clockPins.map((pin) => ({ kind: 'order', pin })) : [] }
}

/** Q after a clock edge at which the signals are as given: reset and preset hold, a clocked preset sets, else the data count. */
function takenAtEdge(register: Register, signals: readonly Ternary[]): Ternary {
  const data = evaluate(register.data, signals)
  const set = evaluate(register.clockedPreset, signals)
  const taken: Ternary = set === 1 ? 1 : set === X ? merge(1, data) : data
  return resolveHold(taken, evaluate(register.reset, signals), evaluate(register.preset, signals))
}

