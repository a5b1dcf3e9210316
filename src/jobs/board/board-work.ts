/** Work of a sweep, counted instead of timed, so that a large board ends with an answer and not with a hang. */

/** Steps that are left. A step is one net, one diode or one literal, looked at for 32 rows. */
export interface Work {
  steps: number
}

/** Thrown where the steps are used up. */
export class OutOfWork extends Error {
  override readonly name = 'OutOfWork'
}

/** Takes steps. */
export function takeWork(work: Work, steps: number): void {
  work.steps -= steps
  if (work.steps < 0) throw new OutOfWork('the bound of the sweep was reached')
}

/** What `sweep` gives; null where the steps do not suffice. */
export function withinWork<T>(sweep: () => T): T | null {
  try {
    return sweep()
  } catch (error) {
    if (error instanceof OutOfWork) return null
    throw error
  }
}
