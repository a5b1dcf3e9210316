/**
 * A search for an input sequence that tells two parts with feedback loops apart: seeded random walks over the inputs on
 * the reference simulation, from unknown levels. What it finds is certain; that it finds nothing shows nothing.
 */
import { applyLevels } from '../logic/simulate'
import { levelAt, NOTHING, startSimulation, type Applied, type Simulation } from '../logic/simulation-state'
import { X } from '../logic/ternary'
import type { NameOf } from '../logic/functions'
import { usedSignals, expressionsOf, structuralConstant, type Logic } from '../logic/logic'
import { comparePins } from './compare-output'
import type { Seen } from './replay'

/** Levels applied in one step, by pin name. */
export type StepInputs = Readonly<Record<string, 0 | 1>>

/** Steps after which both sides show a known level at a pin, and not the same. */
export interface TellingSequence {
  readonly steps: readonly StepInputs[]
  readonly intended: Seen
  readonly readback: Seen
}

interface Walker {
  readonly logic: Logic
  readonly nameOf: NameOf
}

const WALKS = 24
const STEPS = 32

/** Looks for a sequence that shows a difference at the pin of that name. */
export function searchSequence(sides: readonly [Walker, Walker], name: string): TellingSequence | null {
  const free = [...new Set(sides.flatMap(freePins))].sort(comparePins)
  let state = 0x2545f491
  const random = (limit: number): number => {
    // A linear congruence (Numerical Recipes' constants, from memory): the walks only have to differ.
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 2 ** 32) * limit)
  }
  for (let walk = 0; walk < WALKS; walk++) {
    const levels: Record<string, 0 | 1> = Object.fromEntries(free.map((pin) => [pin, random(2) as 0 | 1]))
    const steps: StepInputs[] = [{ ...levels }]
    for (let step = 1; step < STEPS && free.length > 0; step++) {
      const pin = free[random(free.length)]!
      levels[pin] = (1 - levels[pin]!) as 0 | 1
      steps.push({ ...levels })
    }
    const shown = firstDifference(sides, name, steps)
    if (shown) return shortest(sides, name, { ...shown, steps: steps.slice(0, shown.steps.length) })
  }
  return null
}

/** The shortest ending of a sequence that still shows the difference from unknown levels. */
function shortest(sides: readonly [Walker, Walker], name: string, found: TellingSequence): TellingSequence {
  for (let length = 1; length < found.steps.length; length++) {
    const shorter = firstDifference(sides, name, found.steps.slice(-length))
    if (shorter) return shorter
  }
  return found
}

/** Pins whose applied level may matter. */
function freePins({ logic, nameOf }: Walker): string[] {
  const driven = new Set(logic.outputs.flatMap(({ pin, enable }) => (structuralConstant(enable) === 1 ? [pin] : [])))
  const used = usedSignals(logic.outputs.flatMap(expressionsOf)).map((signal) => logic.signals[signal]!.pin)
  return [...new Set(used)].filter((pin) => !driven.has(pin)).map((pin) => nameOf(pin, 'pin'))
}

function firstDifference(sides: readonly [Walker, Walker], name: string, steps: readonly StepInputs[]): TellingSequence | null {
  const runs = sides.map(({ logic }) => startSimulation(logic, { explain: false }))
  for (let step = 0; step < steps.length; step++) {
    runs.forEach((run, i) => applyLevels(run, appliedBy(sides[i]!, steps[step]!)))
    const [intended, readback] = runs.map((run, i) => seen(run, sides[i]!, name))
    if (intended !== 'X' && readback !== 'X' && intended !== readback) return { steps: steps.slice(0, step + 1), intended: intended!, readback: readback! }
  }
  return null
}

function appliedBy({ logic, nameOf }: Walker, levels: StepInputs): Applied[] {
  return Array.from({ length: logic.pinCount + 1 }, (_, pin): Applied => (pin === 0 ? NOTHING : (levels[nameOf(pin, 'pin')] ?? NOTHING)))
}

function seen(run: Simulation, { logic, nameOf }: Walker, name: string): Seen {
  const output = logic.outputs.find(({ pin }) => nameOf(pin, 'pin') === name)
  if (!output) return 'Z'
  const { enable, value } = levelAt(run, output.pin)
  return enable === 0 ? 'Z' : enable === X || value === X ? 'X' : value ? 'H' : 'L'
}
