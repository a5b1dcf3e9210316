/**
 * Steps of the user's own on a decoded part, by the reference simulation: levels, states, and why what is unknown is.
 */
import { refusedFor, type Refused } from '../../findings/refused'
import { optionsOf, wholeNumber } from '../../arguments/arguments'
import { checkedDecoded, type Decoded } from '../../devices/decode'
import { causesAt, causesOfEnable } from '../../logic/causes'
import { cellNameOf as cellPlace, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { applyLevels, applyPulses, preloadRegisters } from '../../logic/simulate'
import { levelAt, startSimulation, type Applied, type Cause, type Simulation } from '../../logic/simulation-state'
import { not, X, type Ternary } from '../../logic/ternary'
import type { SequenceMoment, SequenceRun, SequenceStep, StepCheck } from './sequence-run'
import { planSteps, type PlannedStep, type StepList } from './step-list'

/** Limits of a run. */
export interface RunStepsOptions {
  /** Most steps, repetitions counted (default 100,000, at most 1,000,000). */
  readonly maxSteps?: number
}

/**
 * Runs a document of steps on a decoded part.
 *
 * @param decoded what `decode` gave, with logic
 * @param stepList plain data, as parsed from JSON; it is checked completely before anything runs
 * @param options most steps, repetitions counted
 * @returns levels and states after each step and at the moments on the way, nothing unknown guessed; refused where the
 *   fuses give no logic
 * @throws TypeError or RangeError with the path of the mistake in the document (`stepList.steps[3].set.27: …`);
 *   RangeError when there are more steps than `maxSteps`
 * @example const run = runSteps(decoded, { steps: [{ set: { 11: 1 } }] }); 'refused' in run || run.steps.length // 1
 */
export function runSteps(
  decoded: Decoded,
  stepList: StepList,
  options: RunStepsOptions = {},
): SequenceRun | Refused<'no-logic'> {
  const { logic, device, mode } = checkedDecoded(decoded, 'decoded')
  const maxSteps = maxStepsOf(options)
  if (!logic) return refusedFor('no-logic')
  const plan = planSteps(decoded, logic, { stepList, maxSteps })
  const simulation = startSimulation(logic, { registers: plan.start })
  const watch: Watch = { pins: plan.watched.map(({ pin }) => pin), registers: registersOf(logic), reasons: new Map() }
  const steps: SequenceStep[] = []
  for (const planned of plan.steps)
    for (let repetition = 1; repetition <= planned.repeat; repetition++)
      steps.push({
        number: steps.length + 1,
        ...takeStep(simulation, watch, { planned, isFirst: repetition === 1, isLast: repetition === planned.repeat }),
      })
  const count = (wanted: StepCheck['result']): number =>
    steps.reduce((sum, { checks }) => sum + checks.filter(({ result }) => result === wanted).length, 0)
  return {
    part: device.part,
    mode: mode?.name ?? null,
    start: plan.start,
    timeStep: plan.timeStep,
    pins: plan.watched,
    registers: watch.registers.map((cell) => cellPlace(logic.cells[cell]!)),
    steps,
    reasons: [...watch.reasons.values()].map(({ causes }) => causes),
    expectations: { held: count('held'), contradicted: count('contradicted'), open: count('open') },
  }
}

const MOST_STEPS = { usual: 100_000, most: 1_000_000 } as const

function maxStepsOf(options: RunStepsOptions): number {
  const { maxSteps = MOST_STEPS.usual } = optionsOf(options, { maxSteps: true })
  return wholeNumber(maxSteps, 'options.maxSteps', [1, MOST_STEPS.most])
}

/** Cells of registers that a pin shows or that logic reads. */
function registersOf(logic: Logic): number[] {
  const { registered, drives } = netlistOf(logic)
  const read = new Set(logic.signals.flatMap((signal) => (signal.kind === 'register' ? [signal.cell] : [])))
  return logic.cells.flatMap((_, i) => (registered[i] && (drives[i] !== 'never' || read.has(i)) ? [i] : []))
}

interface Watch {
  readonly pins: readonly number[]
  readonly registers: readonly number[]
  /** By their text, in the order of their places. */
  readonly reasons: Map<string, { readonly place: number; readonly causes: readonly Cause[] }>
}

interface Taking {
  readonly planned: PlannedStep
  readonly isFirst: boolean
  readonly isLast: boolean
}

function takeStep(
  simulation: Simulation,
  watch: Watch,
  { planned, isFirst, isLast }: Taking,
): Omit<SequenceStep, 'number'> {
  const { entry, note, expected, applied } = planned
  const moments = momentsOf(simulation, watch, planned)
  const last = moments.at(-1)!
  return {
    entry,
    note: isFirst ? note : null,
    ...last,
    onTheWay: moments.slice(0, -1),
    unknown: watch.pins.flatMap((pin, i) =>
      last.levels[i] === 'X' ? [{ pin, reason: placeOfCauses(causesAt(simulation, pin), watch) }] : [],
    ),
    overridden: applied.flatMap((level, pin) => (isOverridden(simulation, level, pin) ? [pin] : [])),
    checks: isLast ? expected.map((expectation) => checkPin(simulation, expectation)) : [],
  }
}

function placeOfCauses(causes: readonly Cause[], { reasons }: Watch): number {
  const key = causes.map(({ kind, pin }) => `${kind} ${pin}`).join()
  const known = reasons.get(key) ?? { place: reasons.size, causes }
  reasons.set(key, known)
  return known.place
}

function momentsOf(simulation: Simulation, watch: Watch, { applied, load, pulsed }: PlannedStep): SequenceMoment[] {
  applyLevels(simulation, applied)
  const moments = [momentNow(simulation, watch, 'set')]
  if (load.size > 0) {
    for (const [clockPin, levels] of load) preloadRegisters(simulation, clockPin, levels)
    // Resets, presets and what the new levels clock still have to act.
    applyLevels(simulation, applied)
    moments.push(momentNow(simulation, watch, 'load'))
  }
  if (pulsed.length > 0) {
    moments.push(duringPulses(simulation, watch, pulsed))
    applyPulses(simulation, pulsed)
    moments.push(momentNow(simulation, watch, 'return'))
  }
  return moments
}

/**
 * While pins are pulsed. One pin: the state at its opposite level. Several pulse in no defined order, so that only what
 * is the same at every moment of every order is known.
 */
function duringPulses(simulation: Simulation, watch: Watch, pulsed: readonly number[]): SequenceMoment {
  const seen: SequenceMoment[] = []
  const pulse = (before: Simulation, left: readonly number[]): void => {
    for (const pin of left) {
      const run = { ...before }
      applyLevels(
        run,
        before.applied.map((level, at) => (at === pin ? not(level as Ternary) : level)),
      )
      seen.push(momentNow(run, watch, 'pulse'))
      if (left.length === 1) return
      applyLevels(run, before.applied)
      seen.push(momentNow(run, watch, 'pulse'))
      pulse(
        run,
        left.filter((other) => other !== pin),
      )
    }
  }
  pulse(simulation, pulsed)
  return seen.reduce((a, b) => ({
    moment: 'pulse',
    levels: common(a.levels, b.levels),
    driving: common(a.driving, b.driving),
    states: common(a.states, b.states),
  }))
}

/** What two texts agree on, X where they differ. */
function common(a: string, b: string): string {
  return a === b ? a : Array.from(a, (character, i) => (character === b[i] ? character : 'X')).join('')
}

const LEVEL_NAMES = ['0', '1', 'X', 'Z'] as const

function momentNow(
  simulation: Simulation,
  { pins, registers }: Watch,
  moment: SequenceMoment['moment'],
): SequenceMoment {
  let levels = ''
  let driving = ''
  for (const pin of pins) {
    const { level, enable } = levelAt(simulation, pin)
    levels += LEVEL_NAMES[level]
    driving += LEVEL_NAMES[enable]
  }
  return {
    moment,
    levels,
    driving,
    states: registers.map((cell) => LEVEL_NAMES[simulation.q[cell]!]).join(''),
  }
}

/** True where an output certainly drives the opposite of a level that is applied. */
function isOverridden(simulation: Simulation, applied: Applied, pin: number): boolean {
  if ((applied !== 0 && applied !== 1) || !simulation.netlist.cellAt.has(pin)) return false
  const { enable, value } = levelAt(simulation, pin)
  return enable === 1 && value !== X && value !== applied
}

function checkPin(simulation: Simulation, { pin, level: expected }: PlannedStep['expected'][number]): StepCheck {
  const { level, enable } = levelAt(simulation, pin)
  const found = LEVEL_NAMES[level]
  const isOpen = expected === 'Z' ? enable === X : level === X
  if (isOpen)
    return {
      pin,
      expected,
      found,
      result: 'open',
      causes: expected === 'Z' ? causesOfEnable(simulation, pin) : causesAt(simulation, pin),
    }
  const holds = expected === 'Z' ? enable === 0 : found === (expected === 'H' ? '1' : '0')
  return { pin, expected, found, result: holds ? 'held' : 'contradicted', causes: [] }
}
