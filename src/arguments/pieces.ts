/**
 * Long work in pieces of a few milliseconds. It is written once, as a generator that yields between pieces; one driver
 * runs it to its end, the other awaits the host's pause in between, since the library itself knows no timer.
 */
import { optionsOf, type OptionNames } from './arguments'
import { stopIfAborted, type WatchOptions } from './watch'

/** Work that yields between its pieces and returns its result. */
export type Pieces<T> = Generator<undefined, T, undefined>

/** Lets the host do other things between pieces of long work. */
export interface PauseOptions {
  /**
   * Called between pieces of work; what it gives is awaited. In a page, `() => new Promise((go) => setTimeout(go))`
   * lets events in. It may give undefined at once where its last pause is not long ago. What it throws ends the work.
   */
  readonly pause: () => Promise<unknown> | undefined
}

/** Runs work to its end in one go. */
export function runPieces<T>(work: Pieces<T>): T {
  for (;;) {
    const piece = work.next()
    if (piece.done) return piece.value
  }
}

/**
 * Runs work piece by piece with a pause after each; where it is aborted meanwhile, no further piece begins. `known` are
 * the options that the work itself takes.
 */
export async function runWithPauses<T, Options extends WatchOptions>(
  options: Options & PauseOptions,
  known: OptionNames<Options>,
  workOf: (options: Options) => Pieces<T>,
): Promise<T> {
  const { pause, ...others } = optionsOf<Options & PauseOptions>(options, { ...known, pause: true } as never)
  if (typeof pause !== 'function') throw new TypeError('options.pause must be a function')
  const work = workOf(others as unknown as Options)
  for (;;) {
    const piece = work.next()
    if (piece.done) return piece.value
    await pause()
    stopIfAborted(options)
  }
}

/** What pieces of work give; null where an error of this kind ends them. */
export function* nullOn<T>(kind: new (message: string) => Error, work: Pieces<T>): Pieces<T | null> {
  try {
    return yield* work
  } catch (error) {
    if (error instanceof kind) return null
    throw error
  }
}
