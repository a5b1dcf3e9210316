/** What a set of vectors proves about a chip: which single-fuse faults it would show, and which none ever could. */
import { SCHEMA } from '../../findings/schema'
import { optionsOf, type OptionNames } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { watchOf, type Watch, type WatchOptions } from '../../arguments/watch'
import { onePiece, withinWork, type Work } from '../../arguments/work'
import type { Device } from '../../devices/device'
import { GRADE_FINDINGS } from '../../findings/grade-findings'
import {
  collectFindings,
  verdictOf,
  worseVerdict,
  type Finding,
  type FindingList,
  type Verdict,
} from '../../findings/finding'
import { INSPECT_OPTIONS, type InspectInput, type InspectOptions } from '../../inspect/inspect'
import { withinLimit } from '../../logic/diagrams'
import { pinCells, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { isMet, type Differences, type Unplaced } from './differences'
import { prepareFaultFunctions, type FaultFunctions } from './fault-functions'
import { firstShowings, prepareFaultRuns, type FaultRuns } from './fault-runs'
import { FAULT_CLASSES, faultsOf, usedRows, type Fault, type FaultClass } from './faults'
import { gradeTask, type GradeTask, type NotGraded } from './grade-task'
import type { Reading, VectorSet } from '../vectors/run-vectors'

/** How many faults there are, and what became of them; the four add up to `total`. */
export interface FaultCounts {
  /** All faults of the map, or of one class. */
  readonly total: number
  /** Some judged pin of some vector would certainly be other than expected; where the map itself fails, none is. */
  readonly shown: number
  /** The faulty map is proved to do the same. */
  readonly cannotBeShown: number
  /** Proved to differ, and shown by no vector. */
  readonly missed: number
  /** Neither shown nor proved to do the same, and not proved to differ either. */
  readonly undecided: number
}

/** A fault that no vector shows. */
export interface MissedFault {
  /** Number of the fuse, from 0. */
  readonly fuse: number
  /** What the fuse is part of. */
  readonly class: FaultClass
  /** Row of the array; null for a fuse that belongs to none. */
  readonly row: number | null
  /** Output that the fuse belongs to; null for one of the whole part, or of a buried cell. */
  readonly pin: number | null
}

/** What vectors show. */
export interface Grade {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Name of the file, where the caller gave one. */
  readonly file: string | null
  /** What verifying the file said, or worse where a finding here is. */
  readonly verdict: Verdict
  /** The part of the map. */
  readonly part: string
  /** Its mode; null for a part with one. */
  readonly mode: string | null
  /** Registers before the first vector. */
  readonly start: 'unknown' | 'power-up'
  /** Vectors that were run. */
  readonly vectors: number
  /** Counts of all faults, and by class. */
  readonly faults: FaultCounts & { readonly byClass: Readonly<Record<FaultClass, FaultCounts>> }
  /** The first of the missed faults, by fuse. */
  readonly missed: readonly MissedFault[]
  /** Numbers of the vectors that show nothing that none before them shows. */
  readonly idleVectors: readonly number[]
  /** Pins of outputs that no vector judges. */
  readonly unjudgedOutputs: readonly number[]
  /** What the vectors lack, worst first. */
  readonly findings: readonly Finding[]
}

/** How to grade. */
export interface GradeOptions extends InspectOptions, WatchOptions {
  /** Vectors to grade instead of the file's own: those of another file, read or as bytes. */
  readonly vectors?: VectorSet | Uint8Array | string
  /** Registers before the first vector (default unknown). */
  readonly start?: 'unknown' | 'power-up'
  /** Most missed faults that are listed (default 1,000). */
  readonly maxMissed?: number
  /** Most nodes of the diagrams that prove what cannot be shown (default 1,000,000). */
  readonly maxNodes?: number
  /**
   * Most steps of work (default 100,000,000, some 15 s): look-ups of diagrams, cells settled. What is open then is
   * undecided.
   */
  readonly maxSteps?: number
  /** Name of the file, for the report. */
  readonly name?: string
}

/** What became of one fault. */
export type FaultState = 'shown' | 'cannotBeShown' | 'missed' | 'undecided'

/** One fault with its state, and the place in the set of the vector that shows it first (−1: none). */
export interface GradedFault {
  readonly fault: Fault
  readonly state: FaultState
  readonly vector: number
}

/** Faults between looks outside, some milliseconds of work. */
const FAULTS_A_LOOK = 16
const DEFAULT_MISSED = 1000
const DEFAULT_NODES = 1_000_000
/** Steps of a job where the caller gives no limit. */
export const DEFAULT_STEPS = 100_000_000

const GRADE_OPTIONS: OptionNames<GradeOptions> = {
  ...INSPECT_OPTIONS,
  vectors: true,
  start: true,
  maxMissed: true,
  maxNodes: true,
  maxSteps: true,
  name: true,
  onProgress: true,
  signal: true,
}

/**
 * Grades test vectors: which single-fuse faults of the map they show, which can never be shown, and which they miss. A
 * fault is shown where some judged pin of some vector is certain to be other than expected.
 *
 * @param input the file's bytes or text, a bare map, or what `inspect` gave
 * @param options part, vectors, start of the registers, limits
 * @returns the counts, or why there are none; content never throws
 * @throws TypeError for another kind of input or option, RangeError for an unknown part and for a limit out of range
 * @example const graded = grade(bytes); 'vectors' in graded && graded.vectors // 10
 */
export function grade(input: InspectInput, options: GradeOptions = {}): Grade | NotGraded {
  optionsOf(options, GRADE_OPTIONS)
  return runPieces(graded(input, options))
}

/**
 * As `grade`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece is a few vectors on all
 * parts with a fault, or the proofs of a few faults: milliseconds, for parts on the reference simulation more.
 *
 * @param input as for `grade`
 * @param options those of `grade` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `grade` gives
 * @throws nothing at once: what `grade` throws, and the reason of the signal, reject the promise
 * @example gradeInPieces(bytes, { pause: async () => {} }) instanceof Promise // true
 */
export async function gradeInPieces(
  input: InspectInput,
  options: GradeOptions & PauseOptions,
): Promise<Grade | NotGraded> {
  return runWithPauses(options, GRADE_OPTIONS, (others: GradeOptions) => graded(input, others))
}

function* graded(input: InspectInput, options: GradeOptions): Pieces<Grade | NotGraded> {
  const task = gradeTask(input, options)
  return 'refused' in task ? task : yield* gradeSet(task, { ...options, watch: watchOf(options) })
}

/** Who looks at the work, and what is left of its steps where it is part of another job. */
interface Watched {
  readonly watch?: Watch | null
  readonly work?: Work
}

/** Grades the vectors of a task. */
export function* gradeSet(task: GradeTask, options: GradeOptions & Watched = {}): Pieces<Grade> {
  const { decoded, fuses, set } = task
  const start = options.start ?? 'unknown'
  const work = options.work ?? { steps: options.maxSteps ?? DEFAULT_STEPS }
  const preparing = onePiece(() => prepareFaultRuns(decoded, fuses, { set, start }))
  const prepared = yield* withinWork(work, shareOf(work), preparing)
  // Where not even the map itself got through the vectors, proofs are left.
  const runs = prepared ?? prepareFaultRuns(decoded, fuses, { set: { ...set, vectors: [] }, start })
  const { graded, run, complete } = yield* gradeFaults(runs, { ...options, work })
  const numbersOf = (vectors: VectorSet['vectors']): number[] =>
    vectors.filter(({ conditions }) => conditions !== null).map(({ number }) => number)
  const telling = new Set(graded.flatMap(({ vector }) => (vector < 0 ? [] : [set.vectors[vector]!.number])))
  const missed = graded.filter(({ state }) => state === 'missed')
  const limit = complete && prepared ? null : (options.maxSteps ?? DEFAULT_STEPS)
  const list = remarks(runs, { set, device: decoded.device, limit })
  return {
    schema: SCHEMA,
    file: options.name ?? null,
    verdict: worseVerdict(task.verdict, verdictOf(list.counts)),
    part: decoded.device.part,
    mode: decoded.mode?.name ?? null,
    start,
    vectors: numbersOf(set.vectors).length,
    faults: countFaults(graded),
    missed: missed.slice(0, options.maxMissed ?? DEFAULT_MISSED).map(({ fault }) => missedFault(fault)),
    idleVectors: numbersOf(set.vectors.slice(0, run)).filter((number) => !telling.has(number)),
    unjudgedOutputs: unjudged(decoded.logic, set),
    findings: [...task.errors, ...list.findings],
  }
}

/** A fault as a report lists it. */
export function missedFault({ fuse, class: kind, row, pin }: Fault): MissedFault {
  return { fuse, class: kind, row, pin }
}

/** Every fault with what the vectors show of it. */
export interface GradedFaults {
  readonly graded: readonly GradedFault[]
  /** Vectors of the set that were run on every part with a fault. */
  readonly run: number
  /** False where the steps did not suffice. */
  readonly complete: boolean
}

/** Running vectors takes at most three quarters of the steps that are left: proofs take fewer. */
function shareOf({ steps }: Work): number {
  return Math.ceil((3 * steps) / 4)
}

/** Grades every fault: the vectors are run, then proofs tell of what none of them shows. */
export function* gradeFaults(
  runs: FaultRuns,
  { maxNodes = DEFAULT_NODES, work = { steps: DEFAULT_STEPS }, watch }: GradeOptions & Watched = {},
): Pieces<GradedFaults> {
  const rows = usedRows(runs.decoded.logic)
  // A row that no sum uses, or that its disable takes out, does nothing in either state.
  const isIdle = ({ literal, row }: Fault): boolean => literal !== null && !rows.has(row!)
  const faults = faultsOf(runs.decoded)
  const used = faults.filter((fault) => !isIdle(fault))
  const { first, run } = yield* firstShowings(runs, used, { work, most: shareOf(work), watch })
  const proved = new Map<Fault, FaultState>()
  const proving = proveFaults(used.filter((fault) => (first.get(fault) ?? -1) < 0), {
    prove: proverOf(runs, maxNodes),
    proved,
    looked: (done) => watch?.('faults', faults.length - used.length + done, faults.length),
  })
  const complete = (yield* withinWork(work, work.steps, proving)) !== null && run === runs.set.vectors.length
  const stateOf = (fault: Fault): FaultState => {
    if (isIdle(fault)) return 'cannotBeShown'
    const vector = first.get(fault) ?? null
    if (vector !== null && vector >= 0) return 'shown'
    const state = proved.get(fault) ?? 'undecided'
    return vector === null && state === 'missed' ? 'undecided' : state
  }
  const graded = faults.map((fault) => ({ fault, state: stateOf(fault), vector: first.get(fault) ?? -1 }))
  return { graded, run, complete }
}

interface Proving {
  readonly prove: (fault: Fault) => FaultState
  readonly proved: Map<Fault, FaultState>
  readonly looked: (done: number) => void
}

/** Proves what it can of faults, one after the other. */
function* proveFaults(faults: readonly Fault[], { prove, proved, looked }: Proving): Pieces<true> {
  for (const [i, fault] of faults.entries()) {
    if (i % FAULTS_A_LOOK === 0) {
      looked(i)
      yield
    }
    proved.set(fault, prove(fault))
  }
  return true
}

/** Tells of faults that no vector shows: proved to change nothing, missed, or open. */
export function proverOf(runs: FaultRuns, maxNodes: number): (fault: Fault) => FaultState {
  const { decoded, fuses, literals, reading } = runs
  let functions: FaultFunctions | null | undefined
  const prove = (fault: Fault): FaultState => {
    const isFresh = functions === undefined
    if (isFresh) functions = prepareFaultFunctions(decoded, fuses, { literals, maxNodes })
    if (!functions) return 'undecided'
    const differences = functions.differencesOf(fault)
    if (differences !== 'limit') return unshownState(functions, differences, reading)
    // Nothing is freed in diagrams: what was proved before may have filled them.
    functions = undefined
    return isFresh ? 'undecided' : prove(fault)
  }
  return prove
}

function unshownState(
  functions: FaultFunctions,
  differences: Differences | Unplaced,
  { registers }: Reading,
): FaultState {
  if (differences === 'unknown') return 'undecided'
  if (differences !== 'differs' && differences.seen === 0 && differences.taken === 0) return 'cannotBeShown'
  if (functions.combinational || registers === 'unknown') return 'missed'
  if (differences === 'differs') return 'undecided'
  const reached = functions.reached()
  if (reached === null) return 'undecided'
  const met = withinLimit(() => isMet(functions.space.diagrams, reached, differences))
  if (met === true) return 'missed'
  return met === null || differences.isOpen ? 'undecided' : 'cannotBeShown'
}

/** Counts of all faults, and by class. */
export function countFaults(graded: readonly GradedFault[]): Grade['faults'] {
  const countOf = (some: readonly GradedFault[]): FaultCounts => {
    const count = (wanted: FaultState): number => some.filter(({ state }) => state === wanted).length
    return {
      total: some.length,
      shown: count('shown'),
      cannotBeShown: count('cannotBeShown'),
      missed: count('missed'),
      undecided: count('undecided'),
    }
  }
  const byClass = Object.fromEntries(
    FAULT_CLASSES.map((each) => [each, countOf(graded.filter(({ fault }) => fault.class === each))]),
  ) as Record<FaultClass, FaultCounts>
  return { ...countOf(graded), byClass }
}

function unjudged(logic: Logic, set: VectorSet): number[] {
  const judged = new Set<number>()
  for (const { conditions } of set.vectors)
    [...(conditions ?? '')].forEach((condition, i) => {
      if ('HLZ'.includes(condition)) judged.add(set.pinOrder ? set.pinOrder[i]! : i + 1)
    })
  const { drives, cellAt } = netlistOf(logic)
  return pinCells(logic)
    .map(({ pin }) => pin)
    .filter((pin) => drives[cellAt.get(pin)!] !== 'never' && !judged.has(pin))
    .sort((a, b) => a - b)
}

interface Remarked {
  readonly set: VectorSet
  readonly device: Device
  /** The limit of steps that was reached; null where none was. */
  readonly limit: number | null
}

function remarks({ failing }: FaultRuns, { set, device, limit }: Remarked): FindingList {
  const findings = collectFindings(GRADE_FINDINGS, { limit: 100 })
  if (!set.vectors.some(({ conditions }) => conditions !== null)) findings.add('grade/no-vectors')
  const [number] = failing
  if (number !== undefined) findings.add('grade/vectors-fail', { vector: number }, { count: failing.length, number })
  if (limit !== null) findings.add('grade/steps-limit', {}, { limit })
  if (device.blocks.some(({ use }) => use === 'power-down' || use === 'undecoded'))
    findings.add('grade/left-out', {}, { part: device.part })
  return findings.list()
}
