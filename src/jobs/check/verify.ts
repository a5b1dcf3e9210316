/** The main job: from bytes to a verdict. */
import { VECTOR_FINDINGS } from '../../findings/vector-findings'
import {
  collectFindings,
  mergeFindings,
  verdictOf,
  type FindingCounts,
  type FindingList,
} from '../../findings/finding'
import { readFuseFile } from '../../jesd3/read-fuse-file'
import { explain } from '../../jesd3/explain'
import { withoutParity } from '../../jesd3/frame'
import { lineIndex } from '../../jesd3/text'
import type { FuseFile, ReadOptions } from '../../jesd3/fuse-file'
import { findDevice } from '../../devices/catalogue'
import { mapSizes, type Device } from '../../devices/device'
import type { Decoded } from '../../devices/decode'
import { chosenDevice } from '../../inspect/chosen-device'
import { identify, type Identified } from './identify'
import type { VectorSet } from '../vectors/run-vectors'
import { checkedVectorSet } from '../vectors/vector-set'
import type { Report } from './report'

/** What to verify against, and the limits of reading. */
export interface VerifyOptions extends ReadOptions {
  /**
   * The part, by name or as data (your own are checked as `readDevice` does); found from the size of the map when
   * left out.
   */
  readonly device?: string | Device
  /**
   * Name of an order of `fuseOrders`, for a part of which none is established; without one its fuses are not decoded.
   */
  readonly fuseOrder?: string
  /** Vectors to run instead of the file's own: those of another file, read or as bytes. */
  readonly vectors?: VectorSet | Uint8Array | string
  /** Name of the file, for the report. */
  readonly name?: string
  /** Name of the file that the vectors come from, for the report. */
  readonly vectorsName?: string
}

/**
 * Verifies a fuse file: reads it, checks both checksums, identifies and decodes the part, runs the test vectors.
 *
 * @param input the file's bytes or text
 * @returns a report; content never throws
 * @throws TypeError for another kind of input and for data that describe no part, RangeError for an unknown part or
 * order
 *   and for a limit out of range
 * @example verify(bytes, { device: '16V8' }).verdict // 'pass', 'caution' or 'fail'
 */
export function verify(input: Uint8Array | string, options: VerifyOptions = {}): Report {
  return inspect(input, options).report
}

/**
 * A report with what it was made from: the file as read, and its part as decoded, or null where that was not
 * possible.
 */
export interface Inspection {
  readonly report: Report
  readonly file: FuseFile
  readonly decoded: Decoded | null
  /** How many findings there are of each severity, listed or not. */
  readonly counts: FindingCounts
}

/**
 * The same as `verify`, for callers who go on with the file or the logic: nothing is read or decoded twice.
 *
 * @throws as verify does
 * @example describe(inspect(bytes).decoded)
 */
export function inspect(input: Uint8Array | string, options: VerifyOptions = {}): Inspection {
  if (typeof options !== 'object' || options === null || Array.isArray(options))
    throw new TypeError('options must be an object')
  const choice = chosenDevice(options.device, 'options.device', options.fuseOrder)
  const limits = readLimits(options)
  const file = readFor(choice, input, limits)
  const own = options.vectors === undefined
  const vectors = own ? file : checkedVectorSet(options.vectors!, 'options.vectors', limits)
  const limit = options.maxFindings ?? 100
  const identified = identify(file, {
    choice,
    fuseOrder: options.fuseOrder,
    vectors,
    limit,
    ...(own ? { locate: lineIndex(withoutParity(file.bytes).bytes) } : {}),
  })
  const { decoded, basis } = identified
  const source = own ? remarkNone(file) : remarkSource(vectors, limit)
  const explanation = explain(file)
  const lists = [
    identified.findings,
    ...(decoded ? [decoded.findings] : []),
    identified.vectors.findings,
    source,
    explanation.findings,
    { findings: file.findings, counts: file.findingCounts },
  ]
  const { findings, counts } = mergeFindings(lists, limit)
  const report: Report = {
    file: options.name ?? null,
    verdict: verdictOf(counts),
    fuseCount: file.fuseCount,
    pinCount: file.pinCount ?? pinCountOf(identified),
    device: decoded && { part: decoded.device.part, mode: decoded.mode?.name ?? null, basis: basis! },
    candidates: identified.candidates,
    checksums: {
      fuse: file.checksums.fuse,
      transmission: { ...file.checksums.transmission, explanation: explanation.transmission },
    },
    security: file.security,
    testVectors: identified.vectors.summary,
    vectorsFrom: own ? null : (options.vectorsName ?? 'another source'),
    signature: decoded && signatureOf(decoded),
    findings,
    scope: scopeOf(file, identified),
  }
  return { report, file, decoded, counts }
}

/** A file without vectors does not say what it should do. */
function remarkNone(file: FuseFile): FindingList {
  const findings = collectFindings(VECTOR_FINDINGS, { limit: 1 })
  if (file.fuses && file.vectors.length === 0) findings.add('vector/none')
  return findings.list()
}

/** What is wrong with vectors that come from elsewhere; their own file's places would mislead here. */
function remarkSource(set: VectorSet, limit: number): FindingList {
  const findings = collectFindings(VECTOR_FINDINGS, { limit })
  if (!set.vectors.some(({ conditions }) => conditions !== null))
    findings.add('vector/source-unusable', {}, { reason: 'it holds none that is well formed' })
  for (const { code, severity, message } of 'findings' in set ? (set as FuseFile).findings : [])
    if (code.startsWith('vector/') && severity !== 'note')
      findings.add('vector/source-unusable', {}, { reason: message.replace(/\.$/, '') })
  return findings.list()
}

/**
 * Reads the file. Where it states no size and gives a default, its lists need not reach the end: then the chosen part
 * says how many fuses there are.
 */
function readFor(choice: Device | undefined, input: Uint8Array | string, limits: ReadOptions): FuseFile {
  const file = readFuseFile(input, limits)
  if (!choice || !file.fuses || file.statedFuseCount !== null || file.defaultFuse === null) return file
  const reached = file.fuses.length
  const assumed = mapSizes(choice).find((count) => count >= reached)
  return assumed === undefined || assumed === reached
    ? file
    : readFuseFile(input, { ...limits, assumedFuseCount: assumed })
}

function readLimits({ maxFuses, maxVectors, maxFindings }: ReadOptions): ReadOptions {
  return {
    ...(maxFuses === undefined ? {} : { maxFuses }),
    ...(maxVectors === undefined ? {} : { maxVectors }),
    ...(maxFindings === undefined ? {} : { maxFindings }),
  }
}

/** Pins of the package where all candidates agree. */
function pinCountOf({ decoded, candidates }: Identified): number | null {
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

function scopeOf(file: FuseFile, { decoded, vectors }: Identified): Report['scope'] {
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
