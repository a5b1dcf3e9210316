/** A made sequence without the vectors that it does as well without. */
import type { Pieces } from '../../arguments/pieces'
import { withinWork, type Work } from '../../arguments/work'
import { FaultBench } from '../grade/fault-bench'
import type { Fault } from '../grade/faults'
import type { GradeTask } from '../grade/grade-task'
import { pulsedPins, type Conditions } from '../grade/live-part'
import { madeVector, type TesterPins } from './made-vector'

/** Runs of a whole sequence that are tried, each without some vectors. */
const MAX_TRIES = 24
/** Vectors times faults up to which a run is tried at all: some tenths of a second. */
const MAX_WORK = 250_000

/** What the sequence was made for. */
interface ShortenGiven {
  readonly faults: readonly Fault[]
  readonly pins: TesterPins
  readonly start: 'unknown' | 'power-up'
  readonly work: Work
}

/** A sequence as it runs: the faults that it leaves, and the places of vectors that show nothing. */
interface Ran {
  readonly vectors: readonly Conditions[]
  readonly left: number
  readonly idle: readonly number[]
}

/**
 * Leaves out stretches of vectors that show nothing, longest first, as long as what is left shows as many faults, and
 * as the steps go. Levels that are expected are found anew, since other vectors lead to other states.
 */
export function* shortened(
  task: GradeTask,
  vectors: readonly Conditions[],
  given: ShortenGiven,
): Pieces<readonly Conditions[]> {
  if (vectors.length * given.faults.length > MAX_WORK) return vectors
  const best = { vectors }
  yield* withinWork(given.work, given.work.steps, shorten(task, best, given))
  return best.vectors
}

/** Puts the shortest sequence found so far in the place of the one given. */
function* shorten(task: GradeTask, found: { vectors: readonly Conditions[] }, given: ShortenGiven): Pieces<void> {
  let best = run(task, found.vectors, given)
  if (!best) return
  found.vectors = best.vectors
  const refused = new Set<string>()
  for (let tries = 0; tries < MAX_TRIES; tries++) {
    yield
    const { idle, vectors: all, left } = best
    const stretch = stretches(idle).find((places) => !refused.has(places.map((place) => all[place]!.join('')).join()))
    if (!stretch) break
    const next = run(task, all.filter((_, place) => !stretch.includes(place)), given)
    if (next && next.vectors.length > 0 && next.left <= left) found.vectors = (best = next).vectors
    else refused.add(stretch.map((place) => all[place]!.join('')).join())
  }
}

/** Places one after the other, the longest stretch first. */
function stretches(places: readonly number[]): number[][] {
  const found: number[][] = []
  for (const place of places) {
    const last = found.at(-1)
    if (last && last.at(-1) === place - 1) last.push(place)
    else found.push([place])
  }
  return found.sort((a, b) => b.length - a.length)
}

/** Runs the levels and pulses of vectors from the start; null where the part cannot be followed. */
function run(task: GradeTask, stimuli: readonly Conditions[], { faults, pins, start }: ShortenGiven): Ran | null {
  const bench = new FaultBench({ ...task, start }, faults)
  const vectors: Conditions[] = []
  const idle: number[] = []
  for (const stimulus of stimuli) {
    const conditions = madeVector(bench.part, pins, {
      levelAt: (pin) => (stimulus[pin] === '1' ? 1 : 0),
      pulsed: pulsedPins(stimulus),
      open: pins.shared.filter((pin) => !/^[01]$/.test(stimulus[pin]!)),
      high: pins.clocks.filter((pin) => stimulus[pin] === '1'),
    })
    if (!conditions) return null
    if (bench.run(conditions).length === 0) idle.push(vectors.length)
    vectors.push(conditions)
  }
  return { vectors, left: bench.left.length, idle }
}
