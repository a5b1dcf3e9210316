/**
 * The reference simulation of one part: slow, and meant to be obviously right. Levels are three-valued; a change is
 * settled in two runs as in Eichelberger's ternary simulation (IBM J. Res. Dev. 9(2), 1965): first everything that a
 * change could reach becomes unknown, then whatever is certain becomes known again. Registers take their data at
 * rising edges. What depends on an order that the stimulus leaves open is unknown.
 */
import { causesOfExpressions } from './causes'
import { clockPinOf, type Expression, type Output, type Register } from './logic'
import {
  forgetRegisters,
  NOTHING,
  settle,
  signalsOf,
  UNSTEADY,
  type Applied,
  type Cause,
  type Simulation,
} from './simulation-state'
import { evaluate, merge, not, X, type Ternary } from './ternary'

/**
 * Rounds of register changes that one step may set off (a ripple counter needs one a stage) before it counts as a
 * loop.
 */
const MOST_ROUNDS = 64

/**
 * Applies levels to all pins (index = pin), settles, and takes the register edges that follow, those that other
 * registers set off included. Several pins change in no particular order.
 */
export function applyLevels(simulation: Simulation, applied: readonly Applied[]): void {
  const start = simulation.applied
  let before = { ...simulation }
  const looping = new Set<number>()
  simulation.applied = [...applied]
  for (let round = 0; ; round++) {
    const { readings, passing } = settle(simulation, applied, before.readings)
    simulation.readings = readings
    const { q, qCauses } = nextStates(simulation, { before, passing, looping })
    const changed = q.flatMap((value, i) => (value === simulation.q[i] ? [] : [i]))
    // Pins that changed in this step may have changed before or after an edge that registers set off.
    before = { ...simulation, applied: start }
    simulation.q = q
    simulation.qCauses = qCauses
    if (changed.length === 0) return
    if (round >= MOST_ROUNDS) for (const i of changed) looping.add(i)
  }
}

/** States of all registers after a change from `before`, with the reasons of those that are unknown. */
function nextStates(
  simulation: Simulation,
  {
    before,
    passing,
    looping,
  }: { readonly before: Simulation; readonly passing: readonly Ternary[]; readonly looping: ReadonlySet<number> },
): { q: Ternary[]; qCauses: (readonly Cause[])[] } {
  const after = signalsOf(simulation, simulation.readings)
  // Where data are read as changing before clocks, there are no pulses on the way.
  const signals: Change = {
    before: signalsOf(before, before.readings),
    passing: simulation.options.order === 'open' ? signalsOf(simulation, passing) : after,
    after,
  }
  const samples = new Map<string, Sample>()
  const states = simulation.logic.outputs.map((output, i): State => {
    const old: State = { value: simulation.q[i]!, causes: simulation.qCauses[i]! }
    if (!output.register) return old
    if (looping.has(i)) return { value: X, causes: [{ kind: 'loop', pin: output.pin }] }
    const step: Step = { output, register: output.register, before, simulation, signals, samples }
    return held(afterEdge(old, step), step)
  })
  return { q: states.map(({ value }) => value), qCauses: states.map(({ causes }) => causes) }
}

/** Q of a register and why it is unknown, where it is. */
interface State {
  readonly value: Ternary
  readonly causes: readonly Cause[]
}

/** Signals before a change, while it passes (X where they may have been either), and once all is quiet. */
interface Change {
  readonly before: readonly Ternary[]
  readonly passing: readonly Ternary[]
  readonly after: readonly Ternary[]
}

interface Step {
  readonly output: Output
  readonly register: Register
  readonly before: Simulation
  readonly simulation: Simulation
  readonly signals: Change
  /** Settled samples by applied levels: registers of one clock take theirs at the same moment. */
  readonly samples: Map<string, Sample>
}

/** A moment at which data could be taken. */
interface Sample {
  readonly readings: readonly Ternary[]
  readonly applied: readonly Applied[]
  readonly signals: readonly Ternary[]
}

/** The level of an expression after a change; X where it was 0 before and after and may have been 1 in between. */
function levelOrPulse(expression: Expression, { before, passing, after }: Change): Ternary {
  const level = evaluate(expression, after)
  return level === 0 && evaluate(expression, before) === 0 && evaluate(expression, passing) === X ? X : level
}

function afterEdge(old: State, step: Step): State {
  const { output } = step
  const edge = edgeOf(step)
  if (edge === 'none') return old
  const sampled = sampleData(step)
  if (edge === 'certain') return sampled
  const value = merge(old.value, sampled.value)
  const clock: readonly Cause[] = old.value === X && sampled.value === X ? [] : [{ kind: 'clock', pin: output.pin }]
  const causes = new Set([
    ...(old.value === X ? old.causes : []),
    ...(sampled.value === X ? sampled.causes : []),
    ...clock,
  ])
  return { value, causes: value === X ? [...causes] : [] }
}

/**
 * Levels that hold a register whatever its clock does: reset, preset, load. An unknown one leaves what both cases
 * share.
 */
function held(state: State, { output, register, before, simulation, signals }: Step): State {
  let value = resolveHold(state.value, levelOrPulse(register.reset, signals), levelOrPulse(register.preset, signals))
  // A load that ends while its level changes may take the old level or the new one.
  const level = simulation.applied[output.pin]!
  const released =
    evaluate(register.load, signals.before) !== 0 && level !== before.applied[output.pin] && level !== NOTHING
  const load = released ? merge(1, evaluate(register.load, signals.after)) : evaluate(register.load, signals.after)
  const enable = evaluate(output.enable, signals.after)
  if (load !== 0 && enable !== 1) {
    const loaded: Ternary = level === NOTHING || level === UNSTEADY ? X : register.inverted ? not(level) : level
    value = load === 1 && enable === 0 ? loaded : merge(value, loaded)
  }
  if (value === state.value) return state
  return { value, causes: value === X ? causesOfHold(simulation, output, register) : [] }
}

/** What an unknown hold hangs on; where its levels are known, a pulse on the way is the reason. */
function causesOfHold(simulation: Simulation, { pin }: Output, { reset, preset, load }: Register): readonly Cause[] {
  const causes = causesOfExpressions(simulation, [reset, preset, load], pin)
  return causes.every(({ kind }) => kind === 'loop') ? [{ kind: 'order', pin }] : causes
}

/** Q under given reset and preset levels. Both at once leave it unknown: no data sheet says which one wins. */
function resolveHold(q: Ternary, reset: Ternary, preset: Ternary): Ternary {
  if (reset === 0 && preset === 0) return q
  const outcomes = bitsOf(reset).flatMap((r) => bitsOf(preset).map((p): Ternary => (r && p ? X : r ? 0 : p ? 1 : q)))
  return outcomes.reduce((all, outcome) => merge(all, outcome))
}

function bitsOf(value: Ternary): readonly (0 | 1)[] {
  return value === X ? [0, 1] : [value]
}

/** Pulses a pin away from its level and back, as the conditions C and K do. */
function applyPulse(simulation: Simulation, pin: number): void {
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
  const pins = pulsed.filter((pin) => simulation.readPins.has(pin))
  if (pins.length > MOST_PULSES) {
    forgetRegisters(simulation, 'order')
    simulation.readings = settle(
      simulation,
      simulation.applied,
      simulation.readings.map(() => X),
    ).readings
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
export function preloadRegisters(
  simulation: Simulation,
  clockPin: number,
  levels: ReadonlyMap<number, 0 | 1>,
): number {
  const { logic } = simulation
  let loaded = 0
  simulation.q = simulation.q.map((old, i) => {
    const { pin, register } = logic.outputs[i]!
    const level = levels.get(pin)
    if (!register || level === undefined || clockPinOf(logic, register) !== clockPin) return old
    loaded++
    return register.inverted ? not(level) : level
  })
  simulation.readings = settle(simulation, simulation.applied, simulation.readings).readings
  return loaded
}

/** Whether a clock rises: certainly, perhaps (from or to an unknown level), or not. */
function edgeOf({
  before,
  output,
  register: { clock },
  signals,
  simulation: { applied },
}: Step): 'certain' | 'possible' | 'none' {
  const from = evaluate(clock, signals.before)
  const to = evaluate(clock, signals.after)
  if (from === 0 && to === 1) return 'certain'
  if (from !== X && from === to) return evaluate(clock, signals.passing) === X ? 'possible' : 'none'
  if (from === 1 || to === 0) return 'none'
  // Both unknown: a steady unknown level makes no edge, a floating pin may.
  const pins = before.clockPins[before.indexAt.get(output.pin)!]!
  const steady = pins.every(
    (pin) => before.applied[pin] === applied[pin] && applied[pin] !== NOTHING && applied[pin] !== UNSTEADY,
  )
  return from === to && steady ? 'none' : 'possible'
}

/** Most pins whose order of change is tried out one by one; beyond, they are all taken as unknown. */
const MOST_CHANGES = 6

/**
 * What a register takes at a clock edge: signals as before the edge, the clock's own column included. Where other
 * pins change in the same step, any of them may have changed before the edge and any after it.
 */
function sampleData({ before, output, register, simulation: { applied }, samples }: Step): State {
  const clockPins = before.clockPins[before.indexAt.get(output.pin)!]!
  const moved = applied.flatMap((level, pin) => (level === before.applied[pin] ? [] : [pin]))
  // One clock pin that moves makes the edge itself; of several, others may move after it.
  const single = moved.filter((pin) => clockPins.includes(pin)).length < 2
  const changed = moved.filter((pin) => !(single && clockPins.includes(pin)))
  const sample = (levelOf: (pin: number) => Applied): Sample & { readonly value: Ternary } => {
    const levels = [...before.applied]
    for (const pin of changed) levels[pin] = levelOf(pin)
    const key = levels.join('')
    const known = samples.get(key) ?? settledSample(before, levels)
    samples.set(key, known)
    return { ...known, value: takenAtEdge(register, known.signals) }
  }
  const last = sample((pin) => applied[pin]!)
  if (last.value === X) {
    const moment: Simulation = { ...before, readings: [...last.readings], applied: [...last.applied] }
    const { data, clockedPreset, reset, preset } = register
    return { value: X, causes: causesOfExpressions(moment, [data, clockedPreset, reset, preset], clockPins[0] ?? 0) }
  }
  const certain: State = { value: last.value, causes: [] }
  if (before.options.order === 'data-then-clock' || changed.length === 0) return certain
  const whatever = sample(() => X).value
  if (whatever === last.value) return certain
  let value: Ternary = changed.length > MOST_CHANGES ? X : last.value
  if (value !== X)
    for (let subset = 0; subset < (1 << changed.length) - 1 && value !== X; subset++)
      value = merge(
        value,
        sample((pin) => ((subset >> changed.indexOf(pin)) & 1 ? applied[pin]! : before.applied[pin]!)).value,
      )
  return { value, causes: value === X ? clockPins.map((pin) => ({ kind: 'order', pin })) : [] }
}

function settledSample(before: Simulation, applied: readonly Applied[]): Sample {
  const { readings } = settle(before, applied, before.readings)
  return { readings, applied, signals: signalsOf(before, readings) }
}

/**
 * Q after a clock edge at which the signals are as given: reset and preset hold, a clocked preset sets, else the data
 * count.
 */
function takenAtEdge(register: Register, signals: readonly Ternary[]): Ternary {
  const data = evaluate(register.data, signals)
  const set = evaluate(register.clockedPreset, signals)
  const taken: Ternary = set === 1 ? 1 : set === X ? merge(1, data) : data
  return resolveHold(taken, evaluate(register.reset, signals), evaluate(register.preset, signals))
}
