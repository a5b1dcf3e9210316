/** A map on its way to another part: what is known of both, and what keeps the one from the other. */
import { pinCells, type Logic, type PinCell, type Signal } from '../logic/logic'
import type { Decoded } from './decode'
import type { Device, Mode } from './device'

/** Why a map does not fit. */
export interface Misfit {
  /** Output in question; null where it is the whole part. */
  readonly pin: number | null
  /** What does not fit, for callers to branch on. */
  readonly reason:
    | 'packages'
    | 'no-output'
    | 'no-column'
    | 'terms'
    | 'enable'
    | 'polarity'
    | 'register'
    | 'reset'
    | 'exclusive-or'
    | 'undefined-cell'
    | 'fuse-order'
    | 'not-decoded'
    | 'blank'
    | 'not-proved'
  /** In words. */
  readonly message: string
}

/** A misfit; `pin` is null where the whole part is meant. */
export function misfit(pin: number | null, reason: Misfit['reason'], message: string): Misfit {
  return { pin, reason, message }
}

/** What is known of a map besides its fuses. */
export interface FitOptions {
  /** True where it is open at which level its registers start. */
  readonly startOpen: boolean
}

/** A map, the part that it goes to and one mode of that. */
export interface Task extends FitOptions {
  readonly source: Decoded
  readonly logic: Logic
  /** Pins of the source's cells that do something. */
  readonly used: ReadonlySet<number>
  readonly target: Device
  readonly mode: Mode
  /** True where an output with a row for its enable must have one in the target too. */
  readonly keepsEnables: boolean
}

/** The output of a pin whose cell is defined. */
export function outputAt(logic: Logic, pin: number): PinCell | undefined {
  return pinCells(logic).find((output) => output.pin === pin && output.defined)
}

/** Pin that a signal is read at, or of the register that it is read from. */
export function pinOfSignal({ cells }: Logic, signal: Signal): number {
  return signal.kind === 'pin' ? signal.pin : (cells[signal.cell]?.pin ?? 0)
}

/** True for the level at a pin. */
export function isPin(signal: Signal, pin: number): boolean {
  return signal.kind === 'pin' && signal.pin === pin
}
