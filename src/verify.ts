/** The main job: from bytes to a verdict. */
import { mergeFindings, verdictOf } from './findings/finding'
import { readFuseFile } from './jesd3/read-fuse-file'
import { lineIndex } from './jesd3/text'
import type { FuseFile, ReadOptions } from './jesd3/fuse-file'
import { findDevice } from './devices/catalogue'
import type { Device } from './devices/device'
import type { Decoded } from './devices/decode'
import { chosenDevice, identify, type Identified } from './checks/identify'
import type { VectorSet } from './checks/run-vectors'
import type { Report } from './report/report'

export interface VerifyOptions extends ReadOptions {
  /** The part, by name or as data; found from the size of the map when left out. */
  readonly device?: string | Device
  /** Vectors to run instead of the file's own: those of another file, read or as bytes. */
  readonly vectors?: VectorSet | Uint8Array | string
  /** Name of the file, for the report. */
  readonly name?: string
}

/**
 * Verifies a fuse file: reads it, checks both checksums, identifies and decodes the part, runs the test vectors.
 *
 * @param input the file's bytes or text
 * @returns a report; content never throws
 * @throws TypeError for another kind of input, RangeError for an unknown part name or a limit out of range
 * @example verify(bytes, { device: '16V8' }).verdict // 'pass', 'caution' or 'fail'
 */
export function verify(input: Uint8Array | string, options: VerifyOptions = {}): Report {
  const choice = chosenDevice(options.device, 'options.device')
  const limits = readLimits(options)
  const file = readFuseFile(input, limits)
  const own = options.vectors === undefined
  const vectors = own ? file : vectorsOf(options.vectors!, limits)
  const identified = identify(file, { choice, vectors, ...(own ? { locate: lineIndex(file.bytes) } : {}) })
  const { decoded, basis } = identified
  const lists = [{ findings: file.findings, counts: file.findingCounts }, identified.findings, ...(decoded ? [decoded.findings] : []), identified.vectors.findings]
  const { findings, counts } = mergeFindings(lists, options.maxFindings ?? 100)
  return {
    file: options.name ?? null,
    verdict: verdictOf(counts),
    fuseCount: file.fuseCount,
    pinCount: file.pinCount ?? pinCountOf(identified),
    device: decoded && { part: decoded.device.part, mode: decoded.mode?.name ?? null, basis: basis! },
    candidates: identified.candidates,
    checksums: file.checksums,
    security: file.security,
    testVectors: identified.vectors.summary,
    signature: decoded && signatureOf(decoded),
    findings,
    scope: scopeOf(file, identified),
  }
}

function readLimits({ maxFuses, maxVectors, maxFindings }: ReadOptions): ReadOptions {
  return {
    ...(maxFuses === undefined ? {} : { maxFuses }),
    ...(maxVectors === undefined ? {} : { maxVectors }),
    ...(maxFindings === undefined ? {} : { maxFindings }),
  }
}

function vectorsOf(vectors: VectorSet | Uint8Array | string, limits: ReadOptions): VectorSet {
  return typeof vectors === 'object' && 'vectors' in vectors ? vectors : readFuseFile(vectors, limits)
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

/** Always unseen by a look at a file. */
const NEVER_SEEN = ['the chip itself', 'timing and speed grade', 'drive, pull-ups and supply', 'the socket and the board'] as const

function scopeOf(file: FuseFile, { decoded, vectors }: Identified): Report['scope'] {
  const { fuse, transmission } = file.checksums
  const compared: string[] = []
  const unseen: string[] = []
  const say = (done: boolean, words: string): void => void (done ? compared : unseen).push(words)
  say(fuse.stated !== null && fuse.computed !== null, 'the fuses with the fuse checksum')
  say(transmission.status === 'match' || transmission.status === 'mismatch', 'the bytes with the transmission checksum')
  say(decoded?.logic != null, 'the configuration of the part with its data sheet')
  say(vectors.summary.count > 0, 'the logic of the fuses with the test vectors')
  return { compared, notExamined: [...unseen, ...NEVER_SEEN] }
}
