/**
 * One change of levels on the reference simulation, and all that it sets off: slow, and meant to be obviously right.
 * Levels are three-valued; a change is settled in two runs as in Eichelberger's ternary simulation (IBM J. Res. Dev.
 * 9(2), 1965): first everything that a change could reach becomes unknown, then whatever is certain becomes known
 * again. Registers take their data at rising edges.
 */
import { causesOfExpressions } from './causes'
import { cubesOf, type Expression, type LogicCell, type Register } from './logic'
import {
  causeAt,
  NOTHING,
  settle,
  signalsOf,
  UNSTEADY,
  type Applied,
  type Cause,
  type Simulation,
} from './simulation-state'
import { triedState } from './tried-levels'
import { evaluate, merge, not, X, type Ternary } from './ternary'

/**
 * Rounds of register changes that one step may set off (a ripple counter needs one a stage) before what still changes
 * counts as a loop. Most loops come back to a state that they had some rounds ago, and count as loops there.
 */
const MAX_ROUNDS = 64
/** Rounds before states are remembered: what settles does so in fewer, mostly. */
const UNWATCHED_ROUNDS = 2

/**
 * Applies levels, with registers that are clocked in one step taking what stood there before it. Returns how many
 * rounds of registers that set off.
 */
export function applyTogether(simulation: Simulation, applied: readonly Applied[]): number {
  let start = simulation.applied
  let before = { ...simulation }
  const looping = new Set<number>()
  /** Registers that were clocked or held, or may have been, while they stayed unknown: what they clock may rise. */
  let stirred: readonly number[] = []
  const known = new Set<number>()
  const watched: Watched = { at: new Map(), changes: [] }
  simulation.applied = [...applied]
  for (let round = 0; ; round++) {
    const { readings, passing } = settle(simulation, applied, before)
    simulation.readings = readings
    const next = nextStates(simulation, { before, passing, looping, stirred: new Set(stirred) })
    const changed = next.q.flatMap((value, cell) => (value === simulation.q[cell] ? [] : [cell]))
    stirred = next.stirred.filter((cell) => !known.has(cell))
    for (const cell of stirred) known.add(cell)
    start = afterEdges(simulation, [...changed, ...stirred], { start, applied })
    before = { ...simulation, applied: start }
    simulation.q = next.q
    simulation.qCauses = next.qCauses
    if (changed.length === 0 && stirred.length === 0) return round + 1
    const around =
      round < UNWATCHED_ROUNDS
        ? []
        : goneAround(watched, changed, [before.q, before.readings, next.q, start, stirred, [...looping]].join(';'))
    for (const cell of round >= MAX_ROUNDS ? changed : around) looping.add(cell)
  }
}

/** States met in one step, with what changed in each round. */
interface Watched {
  readonly at: Map<string, number>
  readonly changes: (readonly number[])[]
}

/** Registers that changed since the same state was met before, where the same ones did; none where it is new. */
function goneAround({ at, changes }: Watched, changed: readonly number[], state: string): readonly number[] {
  const met = at.get(state)
  at.set(state, changes.push(changed) - 1)
  return met === undefined ? [] : changes.slice(met).flat()
}

/**
 * Levels before an edge that registers set off. Pins that changed in this step may have changed before it or after
 * it, except the one pin that clocked those registers: it stands at its new level already.
 */
function afterEdges(
  { netlist }: Simulation,
  clocked: readonly number[],
  { start, applied }: { readonly start: readonly Applied[]; readonly applied: readonly Applied[] },
): Applied[] {
  const levels = [...start]
  for (const cell of clocked) {
    const moved = netlist.clockSources[cell]!.pins.filter((pin) => start[pin] !== applied[pin])
    if (moved.length === 1) levels[moved[0]!] = applied[moved[0]!]!
  }
  return levels
}

interface Round {
  readonly before: Simulation
  readonly passing: readonly Ternary[]
  readonly looping: ReadonlySet<number>
  readonly stirred: ReadonlySet<number>
}

/** States of all registers after a change from `before`, with the reasons of those that are unknown. */
function nextStates(
  simulation: Simulation,
  { before, passing, looping, stirred }: Round,
): { q: Ternary[]; qCauses: (readonly Cause[])[]; stirred: number[] } {
  const after = signalsOf(simulation, simulation.readings)
  // Where data are read as changing before clocks, there are no pulses on the way.
  const signals: Change = {
    before: signalsOf(before, before.readings),
    passing: simulation.options.order === 'open' ? signalsOf(simulation, passing) : after,
    after,
  }
  const samples = new Map<string, Sample>()
  const stays: number[] = []
  const states = simulation.logic.cells.map((cell, index): State => {
    const old: State = { value: simulation.q[index]!, causes: simulation.qCauses[index]! }
    if (!cell.register) return old
    if (looping.has(index)) return { value: X, causes: [causeAt('loop', cell)] }
    const { register } = cell
    const step: ClockedRegister = { cell, index, register, before, simulation, signals, samples, stirred }
    const edge = edgeOf(step)
    const state = held(afterEdge(old, edge, step), step)
    if (old.value === X && state.value === X && (edge !== 'none' || mayHold(step))) stays.push(index)
    return state
  })
  return { q: states.map(({ value }) => value), qCauses: states.map(({ causes }) => causes), stirred: stays }
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

interface ClockedRegister {
  readonly cell: LogicCell
  readonly index: number
  readonly register: Register
  readonly before: Simulation
  readonly simulation: Simulation
  readonly signals: Change
  /** Settled samples by applied levels: registers of one clock take theirs at the same moment. */
  readonly samples: Map<string, Sample>
  readonly stirred: ReadonlySet<number>
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

function afterEdge(old: State, edge: Edge, step: ClockedRegister): State {
  if (edge === 'none') return old
  const sampled = sampleData(step)
  if (edge === 'certain') return sampled
  const value = merge(old.value, sampled.value)
  const clock: readonly Cause[] = old.value === X && sampled.value === X ? [] : [causeAt('clock', step.cell)]
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
function held(state: State, { cell, register, before, simulation, signals }: ClockedRegister): State {
  let value = resolveHold(state.value, levelOrPulse(register.reset, signals), levelOrPulse(register.preset, signals))
  // A load that ends while its level changes may take the old level or the new one.
  const level = cell.pin === null ? NOTHING : simulation.applied[cell.pin]!
  const released =
    evaluate(register.load, signals.before) !== 0 &&
    cell.pin !== null &&
    level !== before.applied[cell.pin] &&
    level !== NOTHING
  const load = released ? merge(1, evaluate(register.load, signals.after)) : evaluate(register.load, signals.after)
  value = afterLoad(value, register, { load, enable: evaluate(cell.enable, signals.after), level })
  if (value === state.value) return state
  return { value, causes: value === X ? causesOfHold(simulation, cell, register) : [] }
}

/** Q where the level at the pin may be loaded while the output is off. */
function afterLoad(
  q: Ternary,
  { inverted }: Register,
  { load, enable, level }: { readonly load: Ternary; readonly enable: Ternary; readonly level: Applied },
): Ternary {
  if (load === 0 || enable === 1) return q
  const shown: Ternary = level === NOTHING || level === UNSTEADY ? X : level
  const loaded = inverted ? not(shown) : shown
  return load === 1 && enable === 0 ? loaded : merge(q, loaded)
}

/** Whether what holds a register may have come to act, so that an unknown Q may have changed and be unknown still. */
function mayHold({ register: { reset, preset, load }, signals }: ClockedRegister): boolean {
  const mayAct = (hold: Expression): boolean =>
    levelOrPulse(hold, signals) !== 0 && evaluate(hold, signals.before) !== 1
  return mayAct(reset) || mayAct(preset) || evaluate(load, signals.after) !== 0
}

/** What an unknown hold hangs on; where its levels are known, a pulse on the way is the reason. */
function causesOfHold(simulation: Simulation, cell: LogicCell, { reset, preset, load }: Register): readonly Cause[] {
  const causes = causesOfExpressions(simulation, [reset, preset, load], causeAt('loop', cell))
  return causes.every(({ kind }) => kind === 'loop') ? [causeAt('order', cell)] : causes
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

type Edge = 'certain' | 'possible' | 'none'

/** Whether a clock rises: certainly, perhaps (from or to an unknown level), or not. */
function edgeOf({ before, index, register: { clock }, signals, simulation, stirred }: ClockedRegister): Edge {
  const { applied, netlist } = simulation
  const from = evaluate(clock, signals.before)
  const to = evaluate(clock, signals.after)
  if (from === 0 && to === 1) return 'certain'
  if (from !== X && from === to) return evaluate(clock, signals.passing) === X ? 'possible' : 'none'
  const { pins, cells } = netlist.clockSources[index]!
  if (from === 1 || to === 0) {
    // A clock that falls by two changes has no time to rise; a sum that falls by three may, as p ⊕ q ⊕ r does.
    const moved = pins.filter((pin) => applied[pin] !== before.applied[pin])
    const mayRise = moved.length > 2 && evaluate(clock, signals.passing) === X
    return mayRise && !isPlainTerm(simulation, index, clock) ? 'possible' : 'none'
  }
  if (from !== to) return 'possible'
  // Both unknown: steady unknown levels make no edge; a floating pin and a register that was clocked may.
  const steady = pins.every((pin) =>
    netlist.drivenPins.has(pin) && before.applied[pin] === applied[pin]
      ? true
      : before.applied[pin] === applied[pin] && applied[pin] !== NOTHING && applied[pin] !== UNSTEADY,
  )
  return steady && !cells.some((cell) => stirred.has(cell) || before.q[cell] !== simulation.q[cell])
    ? 'none'
    : 'possible'
}

/** True for a clock of one product term over pins that the outside alone drives: it rises once, or it falls once. */
function isPlainTerm({ netlist }: Simulation, index: number, clock: Expression): boolean {
  const { clockPins, clockSources, drivenPins } = netlist
  const isOutside = !clockPins[index]!.some((pin) => drivenPins.has(pin)) && clockSources[index]!.cells.length === 0
  return isOutside && !clock.inverted && cubesOf(clock).length === 1
}

/** Most pins whose order of change is tried out one by one; beyond, they are all taken as unknown. */
const MAX_CHANGES = 6

/**
 * What a register takes at a clock edge: signals as before the edge, the clock's own column included. Where other
 * pins change in the same step, any of them may have changed before the edge and any after it.
 */
function sampleData({ before, cell, index, register, simulation, samples }: ClockedRegister): State {
  const { applied, netlist } = simulation
  const clockPins = netlist.clockPins[index]!
  const makers = netlist.clockSources[index]!.pins
  const moved = applied.flatMap((level, pin) => (level === before.applied[pin] ? [] : [pin]))
  // The one pin that moves the clock makes the edge itself; of several, others may move after it.
  const single = moved.filter((pin) => makers.includes(pin)).length < 2
  const changed = moved.filter((pin) => !(single && makers.includes(pin)))
  const sample = (levelOf: (pin: number) => Applied): Sample & { readonly value: Ternary } => {
    const levels = [...before.applied]
    for (const pin of changed) levels[pin] = levelOf(pin)
    const key = levels.join('')
    const known = samples.get(key) ?? settledSample(before, levels)
    samples.set(key, known)
    const { signals } = known
    const pinLevel = cell.pin === null ? NOTHING : levels[cell.pin]!
    const given = { load: evaluate(register.load, signals), enable: evaluate(cell.enable, signals), level: pinLevel }
    return { ...known, value: afterLoad(takenAtEdge(register, signals), register, given) }
  }
  /** At a moment at which every pin stands at a level, unknown or not. */
  const sampleAtRest = (levelOf: (pin: number) => Applied): ReturnType<typeof sample> => {
    const found = sample(levelOf)
    const standing = { logic: before.logic, applied: found.applied, q: before.q }
    if (found.value !== X) return found
    if (before.recorder) before.recorder.metUnknown = true
    return { ...found, value: triedState(standing, index) }
  }
  const last = sampleAtRest((pin) => applied[pin]!)
  if (last.value === X) {
    const moment: Simulation = { ...before, readings: [...last.readings], applied: [...last.applied] }
    const { data, clockedPreset, reset, preset } = register
    return {
      value: X,
      causes: causesOfExpressions(moment, [data, clockedPreset, reset, preset], causeAt('loop', cell)),
    }
  }
  const certain: State = { value: last.value, causes: [] }
  if (before.options.order === 'data-then-clock' || changed.length === 0) return certain
  const whatever = sample(() => X).value
  if (whatever === last.value) return certain
  let value: Ternary = changed.length > MAX_CHANGES ? X : last.value
  if (value !== X)
    for (let subset = 0; subset < (1 << changed.length) - 1 && value !== X; subset++)
      value = merge(
        value,
        sampleAtRest((pin) => ((subset >> changed.indexOf(pin)) & 1 ? applied[pin]! : before.applied[pin]!)).value,
      )
  return { value, causes: value === X ? orderCauses(clockPins, cell) : [] }
}

function settledSample(before: Simulation, applied: readonly Applied[]): Sample {
  const { readings } = settle(before, applied, before)
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

/** An open order around the clock of a register: at its pins, or at the cell where other registers clock it. */
function orderCauses(clockPins: readonly number[], cell: LogicCell): readonly Cause[] {
  return clockPins.length === 0 ? [causeAt('order', cell)] : clockPins.map((pin) => ({ kind: 'order', pin }))
}
