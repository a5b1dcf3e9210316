/**
 * A search for an input sequence that tells two parts with feedback loops apart, on the reference simulation and from
 * unknown levels: all levels of few inputs breadth first, else seeded random walks. What it finds is certain; that it
 * finds nothing shows nothing.
 */
import { applyLevels } from '../../logic/simulate'
import { levelAt, NOTHING, startSimulation, type Applied, type Simulation } from '../../logic/simulation-state'
import { X, type Ternary } from '../../logic/ternary'
import type { NameOf } from '../../logic/variables'
import { pinCells, cellNameOf, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { comparePins } from './compare-output'
import type { Seen } from './replay'

/** Levels applied in one step, by pin name. */
export type StepInputs = Readonly<Record<string, 0 | 1>>

/**
 * Inputs that bring the loops to the levels of a difference, those of the difference itself, and states of registers,
 * by pin name.
 */
export interface Approach {
  readonly from: StepInputs
  readonly to: StepInputs
  /** As the enabled pins show them. */
  readonly states: StepInputs
  /** Pins that rise at the end, where the difference is what a register takes. */
  readonly clocks: readonly string[]
}

/** Steps after which both sides show a known level at a pin, and not the same. */
export interface TellingSequence {
  readonly steps: readonly StepInputs[]
  /** States of registers before the first step, as the pins show them; empty where none matters. */
  readonly states: StepInputs
  readonly intended: Seen
  readonly readback: Seen
}

interface Walker {
  readonly logic: Logic
  readonly nameOf: NameOf
}

const WALKS = 24
const STEPS = 32

/** Looks for a sequence that shows a difference at a pin: along the given approaches first, then by random walks. */
export function searchSequence(
  sides: readonly [Walker, Walker],
  goal: { readonly name: string; readonly approaches: readonly Approach[] },
): TellingSequence | null {
  const { name } = goal
  const random = seededRandom()
  for (const { from, to, states, clocks } of goal.approaches)
    for (const pins of orders(
      Object.keys(to).filter((pin) => from[pin] !== to[pin]),
      random,
    )) {
      const steps = [from]
      for (const group of pins)
        steps.push({ ...steps.at(-1)!, ...Object.fromEntries(group.map((pin) => [pin, to[pin]!])) })
      if (clocks.length > 0)
        steps.push({ ...steps.at(-1)!, ...Object.fromEntries(clocks.map((pin) => [pin, 1 as const])) })
      const shown = firstDifference(sides, name, { steps, states })
      if (shown) return shown
    }
  const free = [...new Set(sides.flatMap(freePins))].sort(comparePins)
  const near = nearest(sides, name, free)
  if (near) return near
  for (let walk = 0; walk < WALKS; walk++) {
    const shown = firstDifference(sides, name, { steps: randomSteps(free, random), states: {} })
    if (shown) return shortest(sides, name, shown)
  }
  return null
}

/**
 * Most inputs whose levels are all tried: 64 levels and 64 after each are 4,160 simulations of both parts, some 0.2
 * s.
 */
const MAX_INPUTS = 6
/** Most simulations of both parts in one search. */
const MAX_TRIED = 6000

interface Tried {
  readonly runs: readonly Simulation[]
  readonly steps: readonly StepInputs[]
}

/** The shortest sequence over few inputs, each step with any levels; null where there are more, or none is found. */
function nearest(sides: readonly [Walker, Walker], name: string, free: readonly string[]): TellingSequence | null {
  if (free.length > MAX_INPUTS) return null
  const rows = Array.from({ length: 2 ** free.length }, (_, row): StepInputs =>
    Object.fromEntries(free.map((pin, i) => [pin, ((row >>> i) & 1) as 0 | 1])),
  )
  const queue: Tried[] = [{ runs: sides.map((side) => startRun(side, {})), steps: [] }]
  const seen = new Set<string>()
  let tried = 0
  for (let at = 0; at < queue.length; at++)
    for (const row of rows) {
      if (tried++ >= MAX_TRIED) return null
      const { runs, steps } = queue[at]!
      const next = runs.map((run, i): Simulation => {
        const copy = { ...run }
        applyLevels(copy, appliedBy(sides[i]!, row))
        return copy
      })
      const [intended, readback] = next.map((run, i) => seenOf(run, sides[i]!, name))
      if (intended !== 'X' && readback !== 'X' && intended !== readback)
        return { steps: [...steps, row], states: {}, intended: intended!, readback: readback! }
      const key = next.map(({ readings, q }) => `${readings.join('')} ${q.join('')}`).join(' ')
      if (seen.has(key)) continue
      seen.add(key)
      queue.push({ runs: next, steps: [...steps, row] })
    }
  return null
}

/**
 * A linear congruence (constants of Numerical Recipes, from memory): walks only have to differ, and be the same every
 * time.
 */
function seededRandom(): (limit: number) => number {
  let state = 0x2545f491
  return (limit) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 2 ** 32) * limit)
  }
}

/** Ways to change several pins: all at once, one by one in both directions, and in a few shuffled orders. */
function orders(pins: readonly string[], random: (limit: number) => number): string[][][] {
  const single = pins.map((pin) => [pin])
  const shuffled = (): string[][] => {
    const mixed = [...single]
    for (let i = mixed.length - 1; i > 0; i--) {
      const j = random(i + 1)
      ;[mixed[i], mixed[j]] = [mixed[j]!, mixed[i]!]
    }
    return mixed
  }
  return [[[...pins]], single, [...single].reverse(), shuffled(), shuffled()]
}

function randomSteps(free: readonly string[], random: (limit: number) => number): StepInputs[] {
  const levels: Record<string, 0 | 1> = Object.fromEntries(free.map((pin) => [pin, random(2) as 0 | 1]))
  const steps: StepInputs[] = [{ ...levels }]
  for (let step = 1; step < STEPS && free.length > 0; step++) {
    const pin = free[random(free.length)]!
    levels[pin] = (1 - levels[pin]!) as 0 | 1
    steps.push({ ...levels })
  }
  return steps
}

/** The shortest ending of a sequence that still shows the difference from unknown levels. */
function shortest(sides: readonly [Walker, Walker], name: string, found: TellingSequence): TellingSequence {
  for (let length = 1; length < found.steps.length; length++) {
    const shorter = firstDifference(sides, name, { steps: found.steps.slice(-length), states: {} })
    if (shorter) return shorter
  }
  return found
}

/** Pins whose applied level may matter. */
function freePins({ logic, nameOf }: Walker): string[] {
  const { readPins, cellAt, drives } = netlistOf(logic)
  return [...readPins].filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always').map((pin) => nameOf(pin, 'pin'))
}

function firstDifference(
  sides: readonly [Walker, Walker],
  name: string,
  { steps, states }: { readonly steps: readonly StepInputs[]; readonly states: StepInputs },
): TellingSequence | null {
  const runs = sides.map((side) => startRun(side, states))
  for (let step = 0; step < steps.length; step++) {
    runs.forEach((run, i) => applyLevels(run, appliedBy(sides[i]!, steps[step]!)))
    const [intended, readback] = runs.map((run, i) => seenOf(run, sides[i]!, name))
    if (intended !== 'X' && readback !== 'X' && intended !== readback)
      return { steps: steps.slice(0, step + 1), states, intended: intended!, readback: readback! }
  }
  return null
}

/** A run whose registers are as given, or unknown. */
function startRun({ logic, nameOf }: Walker, states: StepInputs): Simulation {
  const run = startSimulation(logic, { explain: false })
  run.q = logic.cells.map((cell): Ternary => {
    const { register } = cell
    const level = register ? states[nameOf(cellNameOf(cell), 'state')] : undefined
    return level === undefined ? X : register!.inverted ? ((1 - level) as 0 | 1) : level
  })
  return run
}

function appliedBy({ logic, nameOf }: Walker, levels: StepInputs): Applied[] {
  return Array.from({ length: logic.pinCount + 1 }, (_, pin): Applied =>
    pin === 0 ? NOTHING : (levels[nameOf(pin, 'pin')] ?? NOTHING),
  )
}

function seenOf(run: Simulation, { logic, nameOf }: Walker, name: string): Seen {
  const output = pinCells(logic).find(({ pin }) => nameOf(pin, 'pin') === name)
  if (!output) return 'Z'
  const { enable, value } = levelAt(run, output.pin)
  return enable === 0 ? 'Z' : enable === X || value === X ? 'X' : value ? 'H' : 'L'
}
