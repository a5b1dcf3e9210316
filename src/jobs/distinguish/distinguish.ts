/** Vectors by which a chip tells which of several maps of one part it holds. */
import { SCHEMA } from '../../findings/schema'
import { refusedFor, type Refused } from '../../findings/refused'
import { listOf, oneOf, optionsOf, stringOf, wholeNumber, type OptionNames } from '../../arguments/arguments'
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { checkWatch, watchOf, type Watch, type WatchOptions } from '../../arguments/watch'
import { takeSteps, withinWork, type Work } from '../../arguments/work'
import { collectFindings, verdictOf, type Finding, type Verdict } from '../../findings/finding'
import { DISTINGUISH_FINDINGS } from '../../findings/grade-findings'
import type { SavedBytes } from '../../fuses/saved-bytes'
import { INSPECT_OPTIONS, type InspectInput, type InspectOptions } from '../../inspect/inspect'
import { compareMaps } from '../compare/compare-maps'
import { newFile, setOf } from '../exercise/exercise'
import { DEFAULT_STEPS } from '../grade/grade'
import { gradeTask, type GradeTask, type NotGraded } from '../grade/grade-task'
import { findVectors, type Pair } from './find-vectors'

/** How to tell maps apart. */
export interface DistinguishOptions extends InspectOptions, WatchOptions {
  /** Registers before the first vector (default unknown). */
  readonly start?: 'unknown' | 'power-up'
  /** Most vectors that are made for a pair of maps (default 2,000). */
  readonly maxVectors?: number
  /**
   * Most steps of work (default 100,000,000, some 15 s): look-ups of diagrams, cells settled. Pairs that are open then
   * are not told apart.
   */
  readonly maxSteps?: number
  /** Names of the files, for the report. */
  readonly names?: readonly string[]
}

/** Whether two maps are told apart; maps are numbered from 1 in the order given. */
export type ToldPair =
  | {
      readonly a: number
      readonly b: number
      readonly apart: true
      /** The first vector in which a chip with one of them passes at a pin where a chip with the other fails. */
      readonly vector: number
      readonly pin: number
    }
  | {
      readonly a: number
      readonly b: number
      readonly apart: false
      /** `equal`: proved to do the same. */
      readonly why: 'equal' | 'not-found'
    }

/** Vectors that tell maps apart. */
export interface Distinguished {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Names of the files in the order given, where the caller gave any. */
  readonly files: readonly (string | null)[]
  /** The part that all maps are for. */
  readonly part: string
  /** Registers before the first vector. */
  readonly start: 'unknown' | 'power-up'
  /** How many vectors were made. */
  readonly vectors: number
  /** Every pair of maps, in the order of their numbers. */
  readonly pairs: readonly ToldPair[]
  /** For each map the numbers of the vectors that a chip with it is certain to fail; none for the first. */
  readonly failing: readonly (readonly number[])[]
  /** The first file with these vectors, which a chip with the first map passes; null where there are none. */
  readonly bytes: SavedBytes | null
  /** `pass` where all are told apart, else `caution`. */
  readonly verdict: Verdict
  /** Pairs that are not told apart, worst first. */
  readonly findings: readonly Finding[]
}

/** Why maps are not told apart: one is not graded, or is for another part than the first. */
export interface NotDistinguished extends Omit<NotGraded, 'reason'>, Refused<NotGraded['reason'] | 'parts-differ'> {
  /** Which of the maps, from 1. */
  readonly number: number
}

const DISTINGUISH_OPTIONS: OptionNames<DistinguishOptions> = {
  ...INSPECT_OPTIONS,
  start: true,
  maxVectors: true,
  maxSteps: true,
  names: true,
  onProgress: true,
  signal: true,
}

const DEFAULT_VECTORS = 2000

/**
 * Makes vectors by which a chip tells which of several maps of one part it holds: revisions, or a known good file and a
 * doubtful one. Expected levels are those of the first map: a chip with it passes, a chip with another one fails.
 *
 * @param maps two or more files as bytes or text, bare maps, or what `inspect` gave
 * @param options the part, what registers hold at the start, names
 * @returns the pairs and the new file, or why there are none; content never throws
 * @throws TypeError for fewer than two maps or another kind of input, RangeError for an unknown part or a limit out of
 *   range
 * @example const told = distinguish([palBytes, chipBytes], { device: '14L4' }); 'pairs' in told && told.vectors // 1
 */
export function distinguish(
  maps: readonly InspectInput[],
  options: DistinguishOptions = {},
): Distinguished | NotDistinguished {
  return runPieces(distinguished(maps, options))
}

/**
 * As `distinguish`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece compares two maps
 * or makes a vector: milliseconds, for large diagrams more.
 *
 * @param maps as for `distinguish`
 * @param options those of `distinguish` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `distinguish` gives
 * @throws nothing at once: what `distinguish` throws, and the reason of the signal, reject the promise
 * @example distinguishInPieces([palBytes, chipBytes], { pause: async () => {} }) instanceof Promise // true
 */
export async function distinguishInPieces(
  maps: readonly InspectInput[],
  options: DistinguishOptions & PauseOptions,
): Promise<Distinguished | NotDistinguished> {
  return runWithPauses(options, DISTINGUISH_OPTIONS, (others: DistinguishOptions) => distinguished(maps, others))
}

/** The work of `distinguish`, a pair or a vector a piece. */
export function* distinguished(
  maps: readonly InspectInput[],
  options: DistinguishOptions,
): Pieces<Distinguished | NotDistinguished> {
  if (!Array.isArray(maps) || maps.length < 2) throw new TypeError('maps must be a list of two or more fuse files')
  optionsOf(options, DISTINGUISH_OPTIONS)
  const { start = 'unknown', maxVectors = DEFAULT_VECTORS, maxSteps = DEFAULT_STEPS, names = [], ...others } = options
  const { onProgress: _, signal: __, ...reading } = others
  checkWatch(options, 'options')
  oneOf(start, 'options.start', ['unknown', 'power-up'])
  wholeNumber(maxVectors, 'options.maxVectors', [1, 65_536])
  wholeNumber(maxSteps, 'options.maxSteps', [1])
  listOf(names, 'options.names').forEach((name, i) => stringOf(name, `options.names[${i}]`))
  const tasks: GradeTask[] = []
  for (const [i, map] of maps.entries()) {
    const name = names[i]
    const named = name === undefined ? reading : { ...reading, name }
    const task = gradeTask(map, named, { path: `maps[${i}]`, copied: i === 0 })
    if ('refused' in task) return { ...task, number: i + 1 }
    if (tasks[0] && task.decoded.device.part !== tasks[0].decoded.device.part)
      return otherPart(task, i + 1)
    tasks.push(task)
  }
  const files = maps.map((_, i) => names[i] ?? null)
  return yield* tellApart(tasks, { start, maxVectors, maxSteps, watch: watchOf(options), files })
}

function otherPart({ verdict, name }: GradeTask, number: number): NotDistinguished {
  return { ...refusedFor('parts-differ'), number, file: name, verdict, candidates: [], findings: [] }
}

interface Given {
  readonly start: 'unknown' | 'power-up'
  readonly maxVectors: number
  readonly maxSteps: number
  readonly watch: Watch | null
  readonly files: readonly (string | null)[]
}

/** Proofs that two maps do the same take at most one in so many of the steps. */
const PROVING_SHARE = 2
/** Steps of comparing two maps that differ in nothing. */
const COMPARING_STEPS = 10_000

/** Pairs that are not proved to do the same; false as well where the steps did not suffice to compare all. */
function* openPairs(tasks: readonly GradeTask[], pairs: readonly Pair[], work: Work): Pieces<[Pair[], boolean]> {
  const open = new Set(pairs)
  const proving = function* (): Pieces<true> {
    for (const pair of pairs) {
      takeSteps(COMPARING_STEPS)
      const { relation } = yield* compareMaps(tasks[pair.a]!, tasks[pair.b]!)
      if (relation === 'identical' || relation === 'equivalent') open.delete(pair)
      yield
    }
    return true
  }
  const complete = yield* withinWork(work, Math.ceil(work.steps / PROVING_SHARE), proving())
  return [[...open], complete !== null]
}

function* tellApart(
  tasks: readonly GradeTask[],
  { start, maxVectors, maxSteps, watch, files }: Given,
): Pieces<Distinguished> {
  const first = tasks[0]!
  const work: Work = { steps: maxSteps }
  const pairs = tasks.flatMap((_, a) => tasks.slice(a + 1).map((__, i) => ({ a, b: a + 1 + i })))
  const [open, isProved] = yield* openPairs(tasks, pairs, work)
  const searching = { start, maxVectors, watch, work }
  const { vectors, told, failing, complete } = yield* findVectors(tasks, open, searching)
  const findings = collectFindings(DISTINGUISH_FINDINGS, { limit: 100 })
  const isOpen = new Set<Pair>(open)
  const result = pairs.map((pair): ToldPair => {
    const numbers = { a: pair.a + 1, b: pair.b + 1 }
    const found = told.get(pair)
    if (found) return { ...numbers, apart: true, ...found }
    const why = isOpen.has(pair) ? 'not-found' : 'equal'
    findings.add(`distinguish/${why}`, {}, numbers)
    return { ...numbers, apart: false, why }
  })
  if (!(isProved && complete) && result.some((pair) => !pair.apart && pair.why === 'not-found'))
    findings.add('distinguish/steps-limit', {}, { limit: maxSteps })
  const list = findings.list()
  return {
    schema: SCHEMA,
    files,
    part: first.decoded.device.part,
    start,
    vectors: vectors.length,
    pairs: result,
    failing,
    bytes: vectors.length === 0 ? null : newFile(first, setOf(vectors)),
    verdict: verdictOf(list.counts),
    findings: list.findings,
  }
}
