/** Work of a sweep, counted instead of timed, so that a large board ends with an answer and not with a hang. */
import type { Watch, WorkKind } from '../../arguments/watch'

/** Steps that are left. A step is one net, one diode or one literal, looked at for 32 rows. */
export interface Work {
  steps: number
  /** A piece of it is done once the steps that are left fall to this. */
  pieceEnd: number
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
  const work = { steps: most, pieceEnd: most - LOOK_EVERY }
  if (!watch) return work
  return { ...work, watch: { next: most - LOOK_EVERY, look: (left) => watch(kind, most - left, most) } }
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

/** True once as many steps were taken since the last time, or the beginning, as make a piece of the work. */
export function isPieceDone(work: Work): boolean {
  if (work.steps > work.pieceEnd) return false
  work.pieceEnd = work.steps - LOOK_EVERY
  return true
}
