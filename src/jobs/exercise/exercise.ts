/** Test vectors made for a map: the smallest set found that shows every fuse fault that can be shown. */
import { optionsOf, wholeNumber, type OptionNames } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { watchOf, type Watch } from '../../arguments/watch'
import { onePiece, withinWork, type Work } from '../../arguments/work'
import { collectFindings, verdictOf, worseVerdict } from '../../findings/finding'
import { EXERCISE_FINDINGS } from '../../findings/grade-findings'
import { differingFuses } from '../../fuses/fuse-map'
import type { SavedBytes } from '../../fuses/saved-bytes'
import { INSPECT_OPTIONS, type InspectInput } from '../../inspect/inspect'
import { readFuseFile } from '../../jesd3/read-fuse-file'
import { clearedTexts } from '../../jesd3/rewrite'
import { writeFuseFile } from '../../jesd3/write-fuse-file'
import { cellNameOf, type LogicCell } from '../../logic/logic'
import { prepareFaultFunctions, type FaultFunctions } from '../grade/fault-functions'
import { faultsOf, rowLiterals, usedRows, type Fault } from '../grade/faults'
import { DEFAULT_STEPS, gradeSet, type Grade, type GradeOptions } from '../grade/grade'
import { gradeTask, type GradeTask, type NotGraded } from '../grade/grade-task'
import type { Conditions } from '../grade/live-part'
import type { VectorSet } from '../vectors/run-vectors'
import { makeCombinational } from './make-combinational'
import { makeSequence } from './make-sequence'
import { testerPins } from './made-vector'
import { shortened } from './shorten'

/** How to make vectors. */
export interface ExerciseOptions extends Omit<GradeOptions, 'vectors'> {
  /** Most vectors that are made (default 2,000). */
  readonly maxVectors?: number
}

/** Made vectors, graded anew by themselves, in a file with the same fuses. */
export interface Exercise extends Grade {
  /** The new file: the same fuses and notes, the vectors made, both sums; read back before it is given. */
  readonly bytes: SavedBytes
  /** Vectors that every set needs at least, proved, for a map without registers and loops; null for others. */
  readonly lowerBound: number | null
}

const EXERCISE_OPTIONS: OptionNames<ExerciseOptions> = {
  ...INSPECT_OPTIONS,
  start: true,
  maxMissed: true,
  maxNodes: true,
  maxSteps: true,
  name: true,
  onProgress: true,
  signal: true,
  maxVectors: true,
}

const DEFAULT_VECTORS = 2000
const DEFAULT_NODES = 1_000_000
/** Making takes at most one in so many of the steps: the rest is for grading what was made. */
const MAKING_SHARE = 2

/**
 * Makes test vectors for a map: levels at every input, expected levels only where they are certain, no pin driven that
 * the part drives. They are graded by themselves afterwards, and the new file is read back.
 *
 * @param input the file's bytes or text, a bare map, or what `inspect` gave
 * @param options part, what registers hold at the start, limits
 * @returns the vectors' grade and the new file, or why there is none; content never throws
 * @throws TypeError for another kind of input or option, RangeError for an unknown part and for a limit out of range
 * @example const made = exercise(palBytes, { device: '14L4' }); 'refused' in made ? made.reason : made.lowerBound // 16
 */
export function exercise(input: InspectInput, options: ExerciseOptions = {}): Exercise | NotGraded {
  return runPieces(exercised(input, options))
}

/**
 * As `exercise`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece makes a vector, tries
 * a shorter sequence, or grades as in `gradeInPieces`: milliseconds, where it searches a way through states more.
 *
 * @param input as for `exercise`
 * @param options those of `exercise` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `exercise` gives
 * @throws nothing at once: what `exercise` throws, and the reason of the signal, reject the promise
 * @example exerciseInPieces(bytes, { pause: async () => {} }) instanceof Promise // true
 */
export async function exerciseInPieces(
  input: InspectInput,
  options: ExerciseOptions & PauseOptions,
): Promise<Exercise | NotGraded> {
  return runWithPauses(options, EXERCISE_OPTIONS, (others: ExerciseOptions) => exercised(input, others))
}

function* exercised(input: InspectInput, options: ExerciseOptions): Pieces<Exercise | NotGraded> {
  const { maxVectors = DEFAULT_VECTORS, ...grading } = optionsOf(options, EXERCISE_OPTIONS)
  wholeNumber(maxVectors, 'options.maxVectors', [1, 65_536])
  const task = gradeTask(input, grading, { copied: true })
  if ('refused' in task) return task
  const watch = watchOf(options)
  const limit = options.maxSteps ?? DEFAULT_STEPS
  const making: Work = { steps: Math.ceil(limit / MAKING_SHARE) }
  const made = yield* makeVectors(task, { ...grading, maxVectors, watch, work: making })
  const set = setOf(made.vectors)
  const work: Work = { steps: Math.floor(limit / MAKING_SHARE) + Math.max(0, making.steps) }
  const grade = yield* gradeSet({ ...task, set }, { ...grading, watch, work })
  const findings = collectFindings(EXERCISE_FINDINGS, { limit: 100 })
  if (made.unknown.length > 0)
    findings.add('exercise/start-unknown', {}, { places: made.unknown.map(cellNameOf) })
  if (!made.complete) findings.add('exercise/steps-limit', {}, { limit })
  if (grade.faults.missed > 0) findings.add('exercise/missed', {}, { count: grade.faults.missed })
  const added = findings.list()
  return {
    ...grade,
    verdict: worseVerdict(grade.verdict, verdictOf(added.counts)),
    findings: [...grade.findings, ...added.findings],
    bytes: newFile(task, set),
    lowerBound: made.lowerBound,
  }
}

/** Vectors, and what making them learned. */
interface Made {
  readonly vectors: readonly Conditions[]
  readonly lowerBound: number | null
  readonly unknown: readonly LogicCell[]
  /** False where the steps did not suffice. */
  readonly complete: boolean
}

interface MakeOptions extends GradeOptions {
  readonly maxVectors: number
  readonly watch: Watch | null
  readonly work: Work
}

function* makeVectors(task: GradeTask, options: MakeOptions): Pieces<Made> {
  const { decoded, fuses } = task
  const { start = 'unknown', maxNodes = DEFAULT_NODES, maxVectors, watch, work } = options
  const literals = rowLiterals(decoded, fuses)
  const preparing = onePiece(() => ({ functions: prepareFaultFunctions(decoded, fuses, { literals, maxNodes }) }))
  const functions = (yield* withinWork(work, work.steps, preparing))?.functions ?? null
  const pins = testerPins(decoded.logic)
  const rows = usedRows(decoded.logic)
  const faults = faultsOf(decoded).filter(({ row, literal }) => literal === null || rows.has(row!))
  if (functions?.combinational) {
    const { vectors, ...made } = yield* makeCombinational(task, { faults, functions, pins, watch, work })
    return { ...made, vectors: vectors.slice(0, maxVectors), unknown: [] }
  }
  const sorting = onePiece(() => (functions ? faults.filter((fault) => mayShow(functions, fault)) : faults))
  const left = (yield* withinWork(work, Math.ceil(work.steps / SORTING_SHARE), sorting)) ?? faults
  const given = { faults: left, described: functions !== null, maxNodes, pins, start, maxVectors, watch, work }
  const { vectors, unknownCells, complete } = yield* makeSequence(task, given)
  const shorter = yield* shortened(task, vectors, given)
  const unknown = unknownCells.map((cell) => decoded.logic.cells[cell]!)
  return { vectors: shorter, lowerBound: null, unknown, complete }
}

/** Leaving out faults that change nothing takes at most one in so many of the steps for making. */
const SORTING_SHARE = 4

function mayShow(functions: FaultFunctions, fault: Fault): boolean {
  return functions.differenceOf(fault) !== 0
}

/** Vectors numbered from 1 over the pins of the package. */
export function setOf(vectors: readonly Conditions[]): VectorSet {
  return {
    vectors: vectors.map((conditions, i) => ({
      number: i + 1,
      conditions: conditions.slice(1).join(''),
      offset: null,
    })),
    pinOrder: null,
    defaultCondition: null,
  }
}

/** The file with other vectors, written anew and read back. */
export function newFile({ file, decoded, fuses }: GradeTask, { vectors }: VectorSet): SavedBytes {
  const bytes = writeFuseFile(
    {
      ...clearedTexts(file),
      pinCount: decoded.device.pinCount,
      vectorLimit: vectors.length,
      pinOrder: null,
      defaultCondition: null,
      vectors,
    },
    { lineEnds: 'crlf' },
  )
  const again = readFuseFile(bytes, { maxFuses: Math.max(1, fuses.length) })
  const same = again.fuses !== null && differingFuses(fuses, again.fuses, 0).count === 0
  if (!same || again.vectors.length !== vectors.length)
    throw new Error('the new file does not read back as it was made')
  return bytes
}
