/** What a set of vectors proves about a chip: which single-fuse faults it would show, and which none ever could. */
import { SCHEMA } from '../../findings/schema'
import { optionsOf, type OptionNames } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { watchOf, type Watch, type WatchOptions } from '../../arguments/watch'
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
import type { Difference } from './differences'
import { prepareFaultFunctions, type FaultFunctions } from './fault-functions'
import { firstShowings, prepareFaultRuns, type FaultRuns } from './fault-runs'
import { FAULT_CLASSES, faultsOf, usedRows, type Fault, type FaultClass } from './faults'
import { gradeTask, type GradeTask, type NotGraded } from './grade-task'
import { runVectors, STRICT, type Reading, type VectorSet } from '../vectors/run-vectors'

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

const GRADE_OPTIONS: OptionNames<GradeOptions> = {
  ...INSPECT_OPTIONS,
  vectors: true,
  start: true,
  maxMissed: true,
  maxNodes: true,
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

/** Who looks at the work. */
interface Watched {
  readonly watch?: Watch | null
}

/** Grades the vectors of a task. */
export function* gradeSet(task: GradeTask, options: GradeOptions & Watched = {}): Pieces<Grade> {
  const { decoded, fuses, set } = task
  const start = options.start ?? 'unknown'
  const runs = prepareFaultRuns(decoded, fuses, { set, start })
  const graded = yield* gradeFaults(runs, options)
  const numbers = set.vectors.filter(({ conditions }) => conditions !== null).map(({ number }) => number)
  const telling = new Set(graded.flatMap(({ vector }) => (vector < 0 ? [] : [set.vectors[vector]!.number])))
  const missed = graded.filter(({ state }) => state === 'missed')
  const list = remarks(runs, set, decoded.device)
  return {
    schema: SCHEMA,
    file: options.name ?? null,
    verdict: worseVerdict(task.verdict, verdictOf(list.counts)),
    part: decoded.device.part,
    mode: decoded.mode?.name ?? null,
    start,
    vectors: numbers.length,
    faults: countFaults(graded),
    missed: missed.slice(0, options.maxMissed ?? DEFAULT_MISSED).map(({ fault }) => missedFault(fault)),
    idleVectors: numbers.filter((number) => !telling.has(number)),
    unjudgedOutputs: unjudged(decoded.logic, set),
    findings: [...task.errors, ...list.findings],
  }
}

/** A fault as a report lists it. */
export function missedFault({ fuse, class: kind, row, pin }: Fault): MissedFault {
  return { fuse, class: kind, row, pin }
}

/** Every fault with what the vectors show of it. */
export function* gradeFaults(
  runs: FaultRuns,
  { maxNodes = DEFAULT_NODES, watch }: GradeOptions & Watched = {},
): Pieces<GradedFault[]> {
  const rows = usedRows(runs.decoded.logic!)
  const proved = proverOf(runs, maxNodes)
  // A row that no sum uses, or that its disable takes out, does nothing in either state.
  const isIdle = ({ literal, row }: Fault): boolean => literal !== null && !rows.has(row!)
  const faults = faultsOf(runs.decoded)
  const firstOf = yield* firstShowings(runs, faults.filter((fault) => !isIdle(fault)), watch)
  const first: (number | null)[] = []
  for (const [i, fault] of faults.entries()) {
    first.push(isIdle(fault) ? -1 : firstOf(fault))
    if (i % FAULTS_A_LOOK === 0) yield
  }
  const stateOf = (fault: Fault, vector: number | null): FaultState => {
    if (isIdle(fault)) return 'cannotBeShown'
    if (vector === null) return 'undecided'
    return vector >= 0 ? 'shown' : proved(fault)
  }
  let done = first.filter((vector) => vector !== null && vector >= 0).length
  const graded: GradedFault[] = []
  for (const [i, fault] of faults.entries()) {
    const vector = first[i]!
    if (vector !== null && vector < 0 && done++ % FAULTS_A_LOOK === 0) {
      watch?.('faults', done, faults.length)
      yield
    }
    graded.push({ fault, state: stateOf(fault, vector), vector: vector ?? -1 })
  }
  return graded
}

/** Tells of faults that no vector shows: proved to change nothing, missed, or open. */
function proverOf(runs: FaultRuns, maxNodes: number): (fault: Fault) => FaultState {
  const { decoded, fuses, literals, reading } = runs
  const prepare = (): FaultFunctions | null => prepareFaultFunctions(decoded, fuses, { literals, maxNodes })
  let functions: FaultFunctions | null | undefined
  return (fault) => {
    functions ??= prepare()
    let difference = functions?.differenceOf(fault)
    // Nothing is freed in diagrams: what was proved before may have filled them.
    if (difference === 'limit') {
      functions = prepare()
      difference = functions?.differenceOf(fault)
    }
    if (!functions || difference === undefined || difference === 'limit') return 'undecided'
    return unshownState(functions, difference, reading)
  }
}

function unshownState(functions: FaultFunctions, difference: Difference, { registers }: Reading): FaultState {
  if (difference === 0) return 'cannotBeShown'
  if (difference === 'unknown') return 'undecided'
  if (functions.combinational || registers === 'unknown') return 'missed'
  if (difference === 'differs') return 'undecided'
  const reached = functions.reached()
  if (reached === null) return 'undecided'
  const met = withinLimit(() => functions.space.diagrams.and(difference, reached))
  return met === null ? 'undecided' : met === 0 ? 'cannotBeShown' : 'missed'
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

function remarks({ decoded, reading }: FaultRuns, set: VectorSet, { part }: Device): FindingList {
  const findings = collectFindings(GRADE_FINDINGS, { limit: 100 })
  if (!set.vectors.some(({ conditions }) => conditions !== null)) findings.add('grade/no-vectors')
  const { results } = runVectors(decoded.logic!, set, { ...STRICT, registers: reading.registers }, { explain: false })
  const failed = results.filter(({ result }) => result === 'failed')
  if (failed[0])
    findings.add(
      'grade/vectors-fail',
      { vector: failed[0].number },
      { count: failed.length, number: failed[0].number },
    )
  if (decoded.device.blocks.some(({ use }) => use === 'power-down' || use === 'undecoded'))
    findings.add('grade/left-out', {}, { part })
  return findings.list()
}
