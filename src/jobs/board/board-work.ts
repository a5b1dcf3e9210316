/** Work of a sweep, counted instead of timed, so that a large board ends with an answer and not with a hang. */
import type { Watch, WorkKind } from '../../arguments/watch'

/** Steps that are left. A step is one net, one diode or one literal, looked at for 32 rows. */
export interface Work {
  steps: number
  /** Called once the steps that are left fall to `next`. */
  readonly watch?: WorkWatch
}

/** Who looks on, and when next. */
interface WorkWatch {
  next: number
  readonly look: (left: number) => void
}

/** Steps between two looks: a few milliseconds. */
const LOOK_EVERY = 2 ** 18

/** Steps for one piece of work, under a watch where somebody looks on. */
export function workOf(most: number, kind: WorkKind, watch: Watch | null): Work {
  if (!watch) return { steps: most }
  return { steps: most, watch: { next: most - LOOK_EVERY, look: (left) => watch(kind, most - left, most) } }
}

/** Thrown where the steps are used up. */
export class OutOfWork extends Error {
  override readonly name = 'OutOfWork'
}

/** Takes steps. */
export function takeWork(work: Work, steps: number): void {
  work.steps -= steps
  if (work.steps < 0) throw new OutOfWork('the bound of the sweep was reached')
  if (work.watch === undefined || work.steps > work.watch.next) return
  work.watch.next = work.steps - LOOK_EVERY
  work.watch.look(work.steps)
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
