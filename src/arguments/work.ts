/**
 * Work counted in steps instead of timed, so that every input ends with the same answer on any machine. Whoever bounds
 * work says so around it (`withinWork`), and whatever runs inside takes its steps (`takeSteps`): diagrams, simulations
 * and benches lie many calls deep, and one that were not handed the count would be without a bound.
 */
import type { Pieces } from './pieces'

/** Steps that are left. */
export interface Work {
  steps: number
}

/** Thrown where the steps are used up. */
export class OutOfWork extends Error {
  override readonly name = 'OutOfWork'
}

/** The work that is bounded at present; null where none is. */
let current: Work | null = null

/**
 * Takes steps of the work that is bounded at present. A step is some 150 ns: one look-up of a diagram,
 * one cell settled in a simulation.
 */
export function takeSteps(count: number): void {
  if (current === null) return
  current.steps -= count
  if (current.steps < 0) throw new OutOfWork('the limit of steps was reached')
}

/** Runs something that is no part of the work, such as what a caller hands in. */
export function outsideWork<T>(run: () => T): T {
  const before = current
  current = null
  try {
    return run()
  } finally {
    current = before
  }
}

/** What pieces of work give; null where they need more than `most` of the steps that are left. */
export function* withinWork<T>(work: Work, most: number, pieces: Pieces<T>): Pieces<T | null> {
  const all = Math.min(work.steps, most)
  const own: Work = { steps: all }
  try {
    for (;;) {
      const piece = nextWithin(own, pieces)
      if (piece.done) return piece.value
      yield
    }
  } catch (error) {
    if (error instanceof OutOfWork) return null
    throw error
  } finally {
    work.steps -= Math.min(all, all - own.steps)
  }
}

/** The next piece; what other work runs in the host's pauses takes none of these steps. */
function nextWithin<T>(work: Work, pieces: Pieces<T>): IteratorResult<undefined, T> {
  const before = current
  current = work
  try {
    return pieces.next()
  } finally {
    current = before
  }
}

/** Work in one piece. */
export function* onePiece<T>(run: () => T): Pieces<T> {
  return run()
}
