/** What a run of steps gives: every step with its moments, and what unknown levels hang on. */
import { madeBy } from '../../arguments/arguments'
import type { CellName } from '../../logic/logic'
import type { Cause } from '../../logic/simulation-state'
import type { WatchedPin } from './step-list'

/**
 * One moment of a step, once everything has settled. The texts hold one character a watched pin (`levels`, `driving`)
 * or a register (`states`), in the order of `SequenceRun.pins` and `SequenceRun.registers`.
 */
export interface SequenceMoment {
  /** After the levels were applied, after a preload, while pins are pulsed, after the pulse. */
  readonly moment: 'set' | 'load' | 'pulse' | 'return'
  /** `0`, `1`, `X` unknown, `Z` nothing drives. A pin that is off shows what is applied to it. */
  readonly levels: string
  /** Whether the part itself drives the pin: `1`, `0`, or `X` where that is unknown. */
  readonly driving: string
  /** Q of each register: `0`, `1` or `X`. */
  readonly states: string
}

/** An expected level beside the one found; `open` where the expectation meets an unknown, with what that hangs on. */
export interface StepCheck {
  /** Number on the DIP package. */
  readonly pin: number
  /** High, low, or off. */
  readonly expected: 'H' | 'L' | 'Z'
  /** Level at the pin; Z where nothing drives it. */
  readonly found: '0' | '1' | 'X' | 'Z'
  /** What comes of it. */
  readonly result: 'held' | 'contradicted' | 'open'
  /** What an open one hangs on; empty for others. */
  readonly causes: readonly Cause[]
}

/** One step taken. Its own moment is the last one; `onTheWay` holds those before, in order. */
export interface SequenceStep extends SequenceMoment {
  /** Counted from 1, repetitions included. */
  readonly number: number
  /** Place in `StepList.steps`, from 0. */
  readonly entry: number
  /** The remark of the document; null without one. */
  readonly note: string | null
  /** Moments before the last, in order. */
  readonly onTheWay: readonly SequenceMoment[]
  /** Watched pins that show X after the step, each with the place of its reason in `SequenceRun.reasons`. */
  readonly unknown: readonly { readonly pin: number; readonly reason: number }[]
  /** Pins whose applied level an enabled output overrides after the step. */
  readonly overridden: readonly number[]
  /** Expected levels beside those found. */
  readonly checks: readonly StepCheck[]
}

/** A run of steps, as plain data. */
export interface SequenceRun {
  /** The part that was run. */
  readonly part: string
  /** Its mode; null for a part with one. */
  readonly mode: string | null
  /** How registers started. */
  readonly start: 'unknown' | 'power-up'
  /** Nanoseconds that a step takes in a wave file. */
  readonly timeStep: number
  /** Pins that are shown, in the order of the characters of `levels`. */
  readonly pins: readonly WatchedPin[]
  /** Registers whose states are listed: by their pins, buried ones by their names. */
  readonly registers: readonly CellName[]
  /** Every step taken, repetitions one by one. */
  readonly steps: readonly SequenceStep[]
  /** What unknown levels hang on. A list once for all steps: a long run is unknown for few reasons. */
  readonly reasons: readonly (readonly Cause[])[]
  /** How many expected levels were met, contradicted, or met an unknown. */
  readonly expectations: { readonly held: number; readonly contradicted: number; readonly open: number }
}

const RUN = { keys: ['pins', 'registers', 'steps', 'reasons', 'expectations'], maker: 'what runSteps returned' }

/** What `runSteps` returned; throws TypeError for anything else. */
export function checkedRun(run: SequenceRun, path: string): SequenceRun {
  return madeBy(run, path, RUN)
}
