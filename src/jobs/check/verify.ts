/** The main job: from bytes to a verdict. */
import { SCHEMA } from '../../findings/schema'
import { optionsOf, stringOf, type OptionNames } from '../../arguments/arguments'
import { checkCatalogue } from '../../findings/check-catalogue'
import { VECTOR_FINDINGS } from '../../findings/vector-findings'
import {
  collectFindings,
  insideOf,
  mergeFindings,
  verdictOf,
  type FindingCounts,
  type FindingList,
} from '../../findings/finding'
import { explain, type Explanation } from '../../jesd3/explain'
import { withoutParity } from '../../jesd3/frame'
import { sevenBitDifferences } from '../../jesd3/seven-bit'
import { lineIndex } from '../../jesd3/text'
import type { FuseFile } from '../../jesd3/fuse-file'
import { findDevice } from '../../devices/catalogue'
import type { Decoded } from '../../devices/decode'
import { INSPECT_OPTIONS, inspectWith, limitsIn, type InspectInput, type InspectOptions } from '../../inspect/inspect'
import type { Inspection } from '../../inspect/inspection'
import { judgeParts, type ReportedBasis, type JudgedParts } from './judge-parts'
import { findingsOf } from './rules'
import type { VectorSet } from '../vectors/run-vectors'
import { checkedVectorSet } from '../vectors/vector-set'
import type { Report } from './report'

/** What to verify against, and the limits of reading. */
export interface VerifyOptions extends InspectOptions {
  /** Vectors to run instead of the file's own: those of another file, read or as bytes. */
  readonly vectors?: VectorSet | Uint8Array | string
  /** Name of the file, for the report. */
  readonly name?: string
  /** Name of the file that the vectors come from, for the report. */
  readonly vectorsName?: string
}

const VERIFY_OPTIONS: OptionNames<VerifyOptions> = {
  ...INSPECT_OPTIONS,
  vectors: true,
  name: true,
  vectorsName: true,
}

/**
 * Verifies a fuse file: reads it, checks both checksums, identifies and decodes the part, runs the test vectors.
 *
 * @param input bytes or text of a fuse file, or what `inspect` gave
 * @param options part, vectors of another file, and limits
 * @returns a report; content never throws
 * @throws TypeError for another kind of input and for data that describe no part, RangeError for an unknown part or
 *   order and for a limit out of range
 * @example verify(bytes).verdict // 'pass'
 */
export function verify(input: Uint8Array | string | Inspection, options: VerifyOptions = {}): Report {
  return check(input, options).report
}

/** A report with what it was made from, for those who go on with the file or the logic. */
export interface Checked {
  /** What `verify` gives. */
  readonly report: Report
  /** The file as inspected. */
  readonly inspection: Inspection
  /** The part as decoded, also where only its vectors tell which it is; null where that was not possible. */
  readonly decoded: Decoded | null
  /** What tells which part it is; null where none is certain. */
  readonly basis: ReportedBasis | null
  /** How many findings there are of each severity, listed or not. */
  readonly counts: FindingCounts
}

/**
 * The same as `verify`, for callers who go on with the file or the logic: nothing is read or decoded twice.
 *
 * @param input bytes or text of a fuse file, or what `inspect` gave
 * @param options part, vectors of another file, and limits
 * @returns the report of `verify` with the inspection, and the part as decoded where it is certain
 * @throws as verify does
 * @example check(bytes).decoded?.device.part // '16V8'
 */
export function check(input: InspectInput, options: VerifyOptions = {}): Checked {
  optionsOf(options, VERIFY_OPTIONS)
  for (const name of ['name', 'vectorsName'] as const)
    if (options[name] !== undefined) stringOf(options[name], `options.${name}`)
  const inspection = inspectWith(input, 'input', options)
  return checkInspection(inspection, options)
}

/** Runs the vectors of an inspected file on each part that it can be for, and says what all of it means. */
export function checkInspection(inspection: Inspection, options: CheckOptions): Checked {
  const { file } = inspection
  const { ownVectors, vectors } = vectorsOf(file, options)
  const limit = options.maxFindings ?? 100
  const judged = judgeParts(inspection, {
    vectors,
    limit,
    ...(ownVectors ? { locate: lineIndex(withoutParity(file.bytes).bytes) } : {}),
  })
  const { decoded, basis } = judged
  const explanation = inspection.source === 'map' ? UNEXPLAINED : explain(file)
  const ruled = findingsOf({ inspection, judged, ownVectors }, limit)
  const lists = [
    ruled.devices,
    ...(decoded ? [decoded.findings] : []),
    judged.vectors.findings,
    ruled.vectors,
    ...(ownVectors ? [] : [remarkSource(vectors, limit)]),
    explanation.findings,
  ]
  const { findings, counts } = mergeFindings(lists, limit)
  const report: Report = {
    schema: SCHEMA,
    file: options.name ?? null,
    verdict: verdictOf(counts),
    fuseCount: file.fuseCount,
    complete: inspection.complete,
    pinCount: file.pinCount ?? pinCountOf(inspection, judged),
    device: decoded && { part: decoded.device.part, mode: decoded.mode?.name ?? null, basis: basis! },
    candidates: inspection.candidates,
    checksums: {
      fuse: file.checksums.fuse,
      transmission: { ...file.checksums.transmission, explanation: explanation.transmission },
    },
    security: inspection.security,
    testVectors: judged.vectors.summary,
    vectorsFrom: ownVectors ? null : (options.vectorsName ?? 'another source'),
    signature: decoded && signatureOf(decoded),
    findings,
    scope: scopeOf(file, judged),
  }
  return { report, inspection, decoded, basis, counts }
}

/** The part is settled once something is inspected. */
type CheckOptions = Omit<VerifyOptions, 'device' | 'fuseOrder'>

/** A map has no bytes whose sums could be explained. */
const UNEXPLAINED: Explanation = {
  transmission: null,
  findings: { findings: [], counts: { error: 0, warning: 0, note: 0 } },
}

function vectorsOf(
  file: FuseFile,
  options: CheckOptions,
): { readonly ownVectors: boolean; readonly vectors: VectorSet } {
  if (options.vectors === undefined) return { ownVectors: true, vectors: file }
  // How many findings the report lists must not decide which of the other file's are known here.
  const { maxFindings: _, ...limits } = limitsIn(options)
  return { ownVectors: false, vectors: checkedVectorSet(options.vectors, 'options.vectors', limits) }
}

/** What is wrong with vectors that come from elsewhere; their own file's places would mislead here. */
function remarkSource(set: VectorSet, limit: number): FindingList {
  const findings = collectFindings(VECTOR_FINDINGS, { limit, inside: checkCatalogue() })
  if (!set.vectors.some(({ conditions }) => conditions !== null))
    findings.add('vector/source-unusable', {}, { reason: 'none-well-formed' })
  if ('bytes' in set && sevenBitDifferences(set as FuseFile).includes('vectors'))
    findings.add('vector/source-unusable', {}, { reason: 'seven-bit' })
  for (const finding of 'findings' in set ? (set as FuseFile).findings : [])
    if (finding.code.startsWith('vector/') && finding.severity !== 'note')
      findings.add('vector/source-unusable', {}, { reason: 'found', finding: insideOf(finding) })
  return findings.list()
}

/** Pins of the package where all candidates agree. */
function pinCountOf({ candidates }: Inspection, { decoded }: JudgedParts): number | null {
  if (decoded) return decoded.device.pinCount
  const counts = new Set(candidates.map((part) => findDevice(part)!.pinCount))
  return counts.size === 1 ? [...counts][0]! : null
}

function signatureOf({ signature }: Decoded): Report['signature'] {
  if (!signature) return null
  const bytes = [...signature].map((byte) => byte.toString(16).toUpperCase().padStart(2, '0')).join(' ')
  const text = String.fromCharCode(...signature).replace(/[\0 ]+$/, '')
  return { bytes, text: /^[ -~]+$/.test(text) ? text : null }
}

const BASIS_WORDS = {
  published: 'published',
  inferred: 'inferred',
  unconfirmed: 'unconfirmed',
  memory: 'remembered',
} as const

/** Always unseen by a look at a file. */
const NEVER_SEEN = [
  'the chip itself',
  'timing and speed grade',
  'drive, pull-ups and supply',
  'the socket and the board',
] as const

function scopeOf(file: FuseFile, { decoded, vectors }: JudgedParts): Report['scope'] {
  const { fuse, transmission } = file.checksums
  const compared: string[] = []
  const unseen: string[] = []
  const say = (done: boolean, words: string): void => void (done ? compared : unseen).push(words)
  say(fuse.stated !== null && fuse.computed !== null, 'the fuses with the fuse checksum')
  say(
    transmission.status === 'match' || transmission.status === 'mismatch',
    'the bytes with the transmission checksum',
  )
  say(
    decoded?.logic != null,
    decoded
      ? `the fuses as the ${BASIS_WORDS[decoded.device.basis]} map of a ${decoded.device.part} reads them`
      : 'what the fuses mean',
  )
  say(vectors.summary.count > 0, 'the logic of the fuses with the test vectors')
  return { compared, notExamined: [...unseen, ...NEVER_SEEN] }
}
