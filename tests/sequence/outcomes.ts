/** Few words for what a run of steps shows, so that a test shows its steps and not its plumbing. */
import { runSteps, type Cause, type Decoded, type SequenceRun, type Step, type StepList } from '../../src/logic'
import type { Design } from '../parts/design'
import { encode } from '../parts/encoder'
import { decodeStates } from '../parts/probe'
import { granted } from '../granted'

/** A design as its fuse map, encoded without the library, and decoded by it. */
export function decodedDesign(design: Design): Decoded {
  return decodeStates(encode(design), design.part)
}

export function runDesign(design: Design, steps: readonly Step[], more: Omit<StepList, 'steps'> = {}): SequenceRun {
  return granted(runSteps(decodedDesign(design), { ...more, steps }))
}

/** Levels at pins after each step: one text a step, in the order of `pins`. */
export function levelsAt(run: SequenceRun, pins: readonly number[]): string[] {
  const places = pins.map((pin) => run.pins.findIndex((watched) => watched.pin === pin))
  return run.steps.map(({ levels }) => places.map((place) => levels[place]).join(''))
}

/** What each unknown pin hangs on, a step an entry. */
export function unknownIn(run: SequenceRun): { readonly pin: number; readonly causes: readonly Cause[] }[][] {
  return run.steps.map(({ unknown }) => unknown.map(({ pin, reason }) => ({ pin, causes: run.reasons[reason]! })))
}

/** State of the register at a pin after each step. */
export function statesAt(run: SequenceRun, pin: number): string {
  return run.steps.map(({ states }) => states[run.registers.indexOf(pin)]).join('')
}

/** The binary number at pins after each step, the most significant first; null where one is not known. */
export function numbersAt(run: SequenceRun, pins: readonly number[]): (number | null)[] {
  return levelsAt(run, pins).map((levels) => (/^[01]+$/.test(levels) ? Number.parseInt(levels, 2) : null))
}
