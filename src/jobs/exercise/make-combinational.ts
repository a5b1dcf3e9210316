/**
 * Vectors for a map without registers and loops: each stands by itself, so that the smallest set is a cover of the
 * faults by assignments of levels. Greedy, then reduced until no vector can be left out.
 */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import { onePiece, withinWork, type Work } from '../../arguments/work'
import { withinLimit, type Diagrams, type Node } from '../../logic/diagrams'
import { FaultBench } from '../grade/fault-bench'
import type { FaultFunctions } from '../grade/fault-functions'
import type { Fault } from '../grade/faults'
import type { GradeTask } from '../grade/grade-task'
import type { Conditions } from '../grade/live-part'
import { madeVector, type TesterPins, type Wanted } from './made-vector'

/** A set, and the fewest vectors that any set of its kind has: as many as faults of which no two share a vector. */
export interface CombinationalSet {
  readonly vectors: readonly Conditions[]
  readonly lowerBound: number
  /** False where the steps did not suffice. */
  readonly complete: boolean
}

/** What to make vectors for. */
interface CombinationalGiven {
  readonly faults: readonly Fault[]
  readonly functions: FaultFunctions
  readonly pins: TesterPins
  readonly watch: Watch | null
  readonly work: Work
}

interface Target {
  readonly fault: Fault
  readonly difference: Node
}

/** Makes vectors for the faults, those that change nothing left out. */
export function* makeCombinational(task: GradeTask, given: CombinationalGiven): Pieces<CombinationalSet> {
  const { work, functions } = given
  const targets: Target[] = []
  const vectors: Conditions[] = []
  const making = function* (): Pieces<true> {
    findTargets(targets, given)
    yield* cover(task, targets, { ...given, vectors })
    return true
  }
  const complete = (yield* withinWork(work, work.steps, making())) !== null
  // What is left out of these only makes the set longer, or the bound lower.
  const reducing = onePiece(() => reduced(task, vectors, targets))
  const fewer = complete ? yield* withinWork(work, work.steps, reducing) : null
  const lowerBound = yield* incompatible(functions.space.diagrams, targets, work)
  return { vectors: fewer ?? vectors, lowerBound, complete }
}

/** Finds what faults change; what few assignments show comes first, since what many show is shown on the way. */
function findTargets(targets: Target[], { faults, functions }: CombinationalGiven): void {
  for (const fault of faults) {
    const difference = functions.differenceOf(fault)
    if (typeof difference !== 'string' && difference !== 0) targets.push({ fault, difference })
  }
  const { diagrams } = functions.space
  const count = new Map(targets.map((target) => [target, Number(diagrams.count(target.difference))]))
  targets.sort((a, b) => count.get(a)! - count.get(b)!)
}

function* cover(
  task: GradeTask,
  targets: readonly Target[],
  { functions, pins, watch, vectors }: CombinationalGiven & { readonly vectors: Conditions[] },
): Pieces<void> {
  const bench = new FaultBench({ ...task, start: 'unknown' }, targets.map(({ fault }) => fault))
  const given = new Set<Fault>()
  for (;;) {
    const left = new Set(bench.left)
    const open = targets.filter(({ fault }) => left.has(fault) && !given.has(fault))
    const first = open[0]
    if (!first) return
    watch?.('vectors', targets.length - left.size, targets.length)
    const levels = sharedLevels(functions, open)
    for (const wanted of ways(pins, levels, first.fault)) {
      const conditions = madeVector(bench.part, pins, wanted)
      if (!conditions) continue
      if (bench.run(conditions).length > 0) vectors.push(conditions)
      if (!bench.left.includes(first.fault)) break
    }
    given.add(first.fault)
    yield
  }
}

/** Levels of the pins by which as many of the targets as possible show, the first in any case. */
function sharedLevels({ space }: FaultFunctions, targets: readonly Target[]): (pin: number) => 0 | 1 {
  const { diagrams } = space
  let all = targets[0]!.difference
  for (const { difference } of targets) {
    const both = withinLimit(() => diagrams.and(all, difference))
    if (both !== null && both !== 0) all = both
  }
  const cube = diagrams.shortestCube(all)!
  return (pin) => (cube[space.indexOf('pin', String(pin))] === 1 ? 1 : 0)
}

/** Shared pins are driven; or the fault's own is left alone, to see that it is off; or all are. */
function ways({ shared }: TesterPins, levelAt: Wanted['levelAt'], { pin }: Fault): Wanted[] {
  const wanted = { levelAt, pulsed: [] }
  const own = pin !== null && shared.includes(pin) ? [{ ...wanted, open: [pin] }] : []
  return [wanted, ...own, { ...wanted, open: shared }]
}

/** The set without vectors whose faults all others show too, those that show least tried first. */
function reduced(task: GradeTask, vectors: readonly Conditions[], targets: readonly Target[]): Conditions[] {
  const bench = new FaultBench({ ...task, start: 'unknown' }, targets.map(({ fault }) => fault))
  const shown = vectors.map((conditions) => bench.run(conditions, { keep: true }))
  const times = new Map<Fault, number>()
  for (const fault of shown.flat()) times.set(fault, (times.get(fault) ?? 0) + 1)
  const order = shown.map((_, i) => i).sort((a, b) => shown[a]!.length - shown[b]!.length)
  const dropped = new Set<number>()
  for (const i of order) {
    if (!shown[i]!.every((fault) => times.get(fault)! > 1)) continue
    dropped.add(i)
    for (const fault of shown[i]!) times.set(fault, times.get(fault)! - 1)
  }
  return vectors.filter((_, i) => !dropped.has(i))
}

/** Faults of which no two show under one assignment, picked one by one as far as the steps go. */
function* incompatible(diagrams: Diagrams, targets: readonly Target[], work: Work): Pieces<number> {
  const picked: Node[] = []
  const picking = onePiece(() => {
    for (const { difference } of targets)
      if (picked.every((other) => withinLimit(() => diagrams.and(other, difference)) === 0))
        picked.push(difference)
  })
  yield* withinWork(work, work.steps, picking)
  return picked.length
}
