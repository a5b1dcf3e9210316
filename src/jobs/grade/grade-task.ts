/** What grading and making start from: a whole map of a certain part, with logic, and vectors that fit its package. */
import { refusedFor, type Refused } from '../../findings/refused'
import { oneOf, stringOf, wholeNumber } from '../../arguments/arguments'
import { checkWatch } from '../../arguments/watch'
import type { Finding, Verdict } from '../../findings/finding'
import type { FuseMap } from '../../fuses/fuse-map'
import { inspectWith, type InspectInput } from '../../inspect/inspect'
import type { DecodedLogic } from '../../inspect/inspection'
import type { FuseFile } from '../../jesd3/fuse-file'
import { check } from '../check/verify'
import type { VectorSet } from '../vectors/run-vectors'
import { checkedVectorSet, placeOnPackage } from '../vectors/vector-set'
import type { GradeOptions } from './grade'

/** A map that can be graded. */
export interface GradeTask {
  readonly decoded: DecodedLogic
  readonly fuses: FuseMap
  /** True where the map is that of a blank, protected or unread chip. */
  readonly blank: boolean
  /** The file as read. */
  readonly file: FuseFile
  /** Vectors that lead to pins of the package. */
  readonly set: VectorSet
  readonly verdict: Verdict
  /** What is wrong with the file besides vectors that fail. */
  readonly errors: readonly Finding[]
  /** Name of the file, where the caller gave one. */
  readonly name: string | null
}

/**
 * Why a map is not graded: its logic is not known, some fuse has no state, or the vectors are for another package; and
 * why nothing is made of it: its file has an error besides vectors that fail, so that its fuses cannot be trusted.
 */
export interface NotGraded extends Refused<'no-logic' | 'incomplete' | 'vectors-do-not-fit' | 'not-trusted'> {
  /** Name of the file, where the caller gave one. */
  readonly file: string | null
  /** What verifying the file said. */
  readonly verdict: Verdict
  /** Names of all parts of the catalogue that fit. */
  readonly candidates: readonly string[]
  /** What verifying the file found. */
  readonly findings: readonly Finding[]
}

/** Where a map stands among the arguments, and whether its fuses go into a new file, which makes them look sound. */
export interface MapUse {
  readonly path?: string
  readonly copied?: boolean
}

/** Checks the arguments and the map. */
export function gradeTask(
  input: InspectInput,
  options: GradeOptions,
  { path = 'input', copied = false }: MapUse = {},
): GradeTask | NotGraded {
  const { vectors, start, maxMissed, maxNodes, maxSteps, name, onProgress: _, signal: __, ...reading } = options
  checkWatch(options, 'options')
  if (start !== undefined) oneOf(start, 'options.start', ['unknown', 'power-up'])
  if (maxMissed !== undefined) wholeNumber(maxMissed, 'options.maxMissed', [0])
  if (maxNodes !== undefined) wholeNumber(maxNodes, 'options.maxNodes', [2])
  if (maxSteps !== undefined) wholeNumber(maxSteps, 'options.maxSteps', [1])
  if (name !== undefined) stringOf(name, 'options.name')
  const inspected = inspectWith(input, path, reading)
  const own = vectors === undefined
  const { report, inspection, decoded } = check(inspected, { ...reading, ...(own ? {} : { vectors }) })
  const { file } = inspection
  const blank = inspection.blank.map !== null || inspection.blank.array !== null
  const refused = (reason: NotGraded['reason']): NotGraded => ({
    ...refusedFor(reason),
    file: name ?? null,
    verdict: report.verdict,
    candidates: report.candidates,
    findings: report.findings,
  })
  if (!decoded?.logic || !decoded.mode || !file.fuses) return refused('no-logic')
  if (!inspection.complete) return refused('incomplete')
  const errors = report.findings.filter(({ severity, code }) => severity === 'error' && !code.startsWith('vector/'))
  if (copied && errors.length > 0) return refused('not-trusted')
  const { logic, mode } = decoded
  const set = placeOnPackage(own ? file : checkedVectorSet(vectors, 'options.vectors'), decoded.device)
  if (!set || set.pinOrder?.length === 0) return refused('vectors-do-not-fit')
  const { verdict } = report
  const known = { decoded: { ...decoded, logic, mode }, fuses: file.fuses, blank }
  return { ...known, file, set, verdict, errors, name: name ?? null }
}
