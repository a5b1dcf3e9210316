/** Long work seen from outside: how far it is, and an end before its time; counted in steps, as there is no clock. */

import { outsideWork } from './work'

/** What is being done. */
export type WorkKind = 'wiring' | 'board-table' | 'board-faults' | 'board-changes' | 'states' | 'faults' | 'vectors'

/** How far work is: steps taken, and the most that may be taken; usually it ends long before. */
export interface Progress {
  /** What is being done. */
  readonly work: WorkKind
  /** Steps taken. */
  readonly done: number
  /** Most steps that may be taken. */
  readonly most: number
}

/** What ends work: an AbortSignal is one. */
export interface AbortLike {
  /** True once the work is to end. */
  readonly aborted: boolean
  /** What is thrown then; an AbortError where left out. */
  readonly reason?: unknown
}

/** Options of functions whose work may take long. */
export interface WatchOptions {
  /** Called every few milliseconds of work; what it throws ends the work. */
  readonly onProgress?: (progress: Progress) => void
  /**
   * Looked at as often: once it is aborted, its reason is thrown. Without pauses the work runs in one go, so only what
   * `onProgress` or a getter of the signal does can abort it midway.
   */
  readonly signal?: AbortLike
}

/** Looks outside; throws where the work is to end. */
export type Watch = (work: WorkKind, done: number, most: number) => void

/** What is thrown where a signal gives no reason. */
export class AbortError extends Error {
  override readonly name = 'AbortError'
}

/** Checks the options of watched work. */
export function checkWatch({ onProgress, signal }: WatchOptions, path: string): void {
  if (onProgress !== undefined && typeof onProgress !== 'function')
    throw new TypeError(`${path}.onProgress must be a function`)
  if (signal === undefined) return
  if (typeof signal !== 'object' || signal === null || typeof signal.aborted !== 'boolean')
    throw new TypeError(`${path}.signal must be an AbortSignal, or an object that has aborted`)
}

/** The watch of checked options; null where nobody looks. An aborted signal ends the work before it begins. */
export function watchOf(options: WatchOptions): Watch | null {
  const { onProgress, signal } = options
  if (!onProgress && !signal) return null
  stopIfAborted(options)
  return (work, done, most) => {
    stopIfAborted(options)
    outsideWork(() => onProgress?.({ work, done, most }))
    stopIfAborted(options)
  }
}

/** Throws the reason of a signal that is aborted. */
export function stopIfAborted({ signal }: WatchOptions): void {
  if (signal?.aborted) throw signal.reason ?? new AbortError('the work was aborted')
}
