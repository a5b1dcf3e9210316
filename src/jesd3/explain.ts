/** Explanations of what reading found: apart from reading, which most callers want small and quick. */
import { checkedFile } from './checked-file'
import { EXPLANATION_FINDINGS } from '../findings/explanation-findings'
import {
  collectFindings,
  mergeFindings,
  withoutFinding,
  type FindingCollector,
  type FindingList,
} from '../findings/finding'
import { surroundingsOf, type Surroundings } from './around-frame'
import { fieldAt } from './field-at'
import { receiveSum, withoutParity } from './frame'
import type { FuseFile, TransmissionCause } from './fuse-file'
import { lookAlike } from './look-alike'
import { firstTellingByte, sevenBitDifferences } from './seven-bit'
import { explainPair } from './sum-pair'
import { lineIndex, quote } from './text'
import { causesOf, type FittingCause } from './transmission-causes'
import { sumBytes } from './transmission-sum'

/** What a file says together with what explains it, and what other receivers would make of it. */
export interface Explanation {
  /** The one cause that fits a wrong transmission sum exactly; null where none or several do. */
  readonly transmission: TransmissionCause | null
  /**
   * The findings of reading, and those of explaining. A wrong transmission sum that a change of line ends explains is a
   * note here where the fuse checksum is right.
   */
  readonly findings: FindingList
}

type Explaining = FindingCollector<typeof EXPLANATION_FINDINGS>

/** Most findings of explaining: each code is raised once. */
const MAX_EXPLANATIONS = 16

/**
 * Explains a file that was read: a wrong transmission sum by single causes that fit exactly, both sums together by a
 * changed digit, a file that is none by what it looks like; and compares with what others would read: a receiver of
 * seven bits, one that starts at another start mark, a tester that goes by QV.
 *
 * @param file what `readFuseFile` gave
 * @returns the one cause that fits a wrong transmission sum, and all findings with counts
 * @throws TypeError for anything else
 * @example explain(file).transmission // null
 */
export function explain(file: FuseFile): Explanation {
  const { bytes } = withoutParity(checkedFile(file, 'file').bytes)
  const read: FindingList = { findings: file.findings, counts: file.findingCounts }
  const findings = collectFindings(EXPLANATION_FINDINGS, { limit: MAX_EXPLANATIONS, locate: lineIndex(bytes) })
  if (isNone(file) && file.bytes.length === 0) return { transmission: null, findings: read }
  if (isNone(file)) findings.add('file/look-alike', { offset: 0 }, lookAlike(file.bytes))
  else remarkReadings(file, bytes, findings)
  const { causes, harmless } = explainTransmission(file, bytes, findings)
  explainSums(file, findings)
  const kept = harmless ? withoutFinding(read, 'checksum/transmission-mismatch', 'warning') : read
  return {
    transmission: causes.length === 1 ? causes[0]!.code : null,
    findings: mergeFindings([kept, findings.list()], Infinity),
  }
}

function isNone({ fuses, vectors, tooManyFuses }: FuseFile): boolean {
  return fuses === null && vectors.length === 0 && !tooManyFuses
}

/** What other receivers, and testers, would make of the file. */
function remarkReadings(file: FuseFile, bytes: Uint8Array, findings: Explaining): void {
  const what = sevenBitDifferences(file)
  if (what.length > 0)
    findings.add('file/eighth-bit-matters', { offset: firstTellingByte(file) ?? 0 }, { what })
  if (file.parity !== null) findings.add('file/parity-bits', { offset: 0 }, { kind: file.parity })
  const surroundings = surroundingsOf(file)
  remarkSurroundings(surroundings, findings)
  remarkMissing(file, findings)
  if (file.securityField === null && !hasSecurityField(file)) findings.add('security/not-stated')
  remarkSmallLetter(file, findings)
  if (file.checksums.transmission.status === 'not-computed')
    findings.add('checksum/transmission-not-computed', { offset: receiveSum(bytes, file.frame.end!).offset })
  const unsummed = file.frame.end !== null && file.checksums.transmission.stated === null
  remarkVectorLimit(file, surroundings.strayField !== null || unsummed, findings)
}

/** What a file may leave out, and text in front of it. */
function remarkMissing({ frame, checksums, fuses, statedFuseCount, pinCount }: FuseFile, findings: Explaining): void {
  const { fuse, transmission } = checksums
  if (frame.start === null)
    findings.add(frame.end === null ? 'file/marks-missing' : 'file/start-mark-missing', { offset: 0 })
  else if (frame.start > 0) findings.add('file/text-before-start', { offset: 0 }, { count: frame.start })
  if (fuses && statedFuseCount === null) findings.add('file/fuse-count-missing', {}, { count: fuses.length })
  if (pinCount === null) findings.add('file/pin-count-missing')
  const isSummed = transmission.status === 'match' || transmission.status === 'mismatch'
  if (fuse.stated === null && fuse.computed !== null && isSummed)
    findings.add('checksum/fuse-absent', {}, { computed: fuse.computed })
}

function remarkSurroundings(
  { inside, behind, strayField, text, wrapping }: Surroundings,
  findings: Explaining,
): void {
  if (wrapping !== null) findings.add('file/wrapped', { offset: 0 }, { what: wrapping })
  if (inside?.differs) findings.add('file/second-start', { offset: inside.offset })
  if (strayField !== null) findings.add('file/fields-after-end', { offset: strayField })
  if (behind)
    findings.add(behind.differs ? 'file/second-frame-differs' : 'file/second-frame', { offset: behind.offset })
  else if (text !== null && strayField === null) findings.add('file/text-after-end', { offset: text })
}

/** True for a file with a G field, readable or not. */
function hasSecurityField({ bytes, fields: { starts, hasDesignSpecification } }: FuseFile): boolean {
  return starts.some((start, i) => (bytes[start]! & 0x7f) === LETTER_G && !(i === 0 && hasDesignSpecification))
}

const LETTER_G = 0x47

/** A security field or a fuse checksum with a small letter; other fields leave traces where they are not read. */
const SMALL_FIELD = /^(g\s*\d+|c[\dA-Fa-f]{4})$/

function remarkSmallLetter(file: FuseFile, findings: Explaining): void {
  const { starts, hasDesignSpecification } = file.fields
  for (let i = hasDesignSpecification ? 1 : 0; i < starts.length; i++) {
    if ((file.bytes[starts[i]!]! & SMALL_BIT) === 0) continue
    const { text, start } = fieldAt(file, i)
    if (!SMALL_FIELD.test(text.trim())) continue
    findings.add('file/small-letter', { offset: start }, { text: quote(text.trim()) })
    return
  }
}

/** Set in small letters, clear in capital ones. */
const SMALL_BIT = 0x20

/** QV is the highest number of a vector (3-A): fewer may be meant, but not where the end of the file is in doubt. */
function remarkVectorLimit({ vectorLimit: limit, vectors }: FuseFile, inDoubt: boolean, findings: Explaining): void {
  if (limit === null) return
  const last = vectors.at(-1)
  const [first, ...further] = vectors.filter(({ number }) => number > limit)
  if (first) {
    const place = { offset: first.offset ?? undefined, vector: first.number }
    findings.add('vector/past-limit', place, { count: 1 + further.length, number: first.number, limit })
  }
  if (!inDoubt || (last?.number ?? 0) >= limit) return
  const found = last ? ({ found: 'fewer', number: last.number } as const) : ({ found: 'none' } as const)
  findings.add('vector/count-differs', { offset: last?.offset ?? undefined }, { limit, ...found })
}

/**
 * The greatest change of a sum by one byte: what line ends change by more than that, no single damaged byte changes
 * as well.
 */
const MAX_CHANGE_BY_A_BYTE = 127

/** Adds what a wrong transmission sum is consistent with; `harmless` where that can only be line ends. */
function explainTransmission(
  file: FuseFile,
  bytes: Uint8Array,
  findings: Explaining,
): { readonly causes: readonly FittingCause[]; readonly harmless: boolean } {
  const { fuse, transmission } = file.checksums
  if (transmission.status !== 'mismatch') return { causes: [], harmless: false }
  const { offset } = receiveSum(bytes, file.frame.end!)
  const { causes, change } = fittingCauses(file, bytes)
  const [only] = causes
  if (!only) return { causes, harmless: false }
  const harmless =
    causes.length === 1 &&
    !!only.code?.startsWith('line-ends-') &&
    Math.abs(change) > MAX_CHANGE_BY_A_BYTE &&
    fuse.status === 'match'
  if (harmless)
    findings.add(
      'checksum/line-ends-changed',
      { offset },
      { stated: transmission.stated!, computed: transmission.computed!, causes: [only.cause] },
    )
  else
    findings.add(
      'checksum/transmission-explained',
      { offset },
      { causes: causes.map(({ cause }) => cause) },
    )
  return { causes, harmless }
}

/** Causes that fit, and the stated sum less the computed one as a signed number of 16 bits. */
function fittingCauses(
  { frame, checksums }: FuseFile,
  bytes: Uint8Array,
): { readonly causes: readonly FittingCause[]; readonly change: number } {
  const text = checksums.transmission.stated!
  const stated = parseInt(text, 16)
  const span = { start: frame.start ?? 0, end: frame.end! + 1 }
  const computed = sumBytes(bytes, span)
  const change = ((stated - computed) << 16) >> 16
  if (frame.start !== null)
    return { causes: causesOf(bytes, span, { stated, digits: text.length, computed }), change }
  // Without STX the sum has no beginning; what it would be with one before the first byte can be told.
  return { causes: UNFRAMED[change] ?? [], change }
}

/** By what the stated sum is more than that of the bytes. */
const UNFRAMED: Readonly<Record<number, readonly FittingCause[]>> = {
  2: [{ code: null, cause: { cause: 'start-mark-lost' } }],
  0: [{ code: null, cause: { cause: 'start-mark-left-out' } }],
}

/** Digits of a sum. */
const DIGITS = 4

/** Adds what both sums say together, where both were written with four digits and the fuse sum is wrong. */
function explainSums(file: FuseFile, findings: Explaining): void {
  const { fuse, transmission } = file.checksums
  const { stated: text } = fuse
  if (text !== null && fuse.computed !== null && text.length !== DIGITS)
    findings.add('checksum/digit-count', { offset: sumOffset(file, text) }, { text, count: text.length })
  if (fuse.status !== 'mismatch' || fuse.explanation !== null || transmission.status === 'not-computed') return
  if (!file.fuses || file.electricalData !== null) return
  if (text?.length !== DIGITS || transmission.stated?.length !== DIGITS) return
  if (fuse.computed === null || transmission.computed === null) return
  explainPair(
    {
      fuse: { stated: text, computed: fuse.computed },
      transmission: { stated: transmission.stated, computed: transmission.computed },
    },
    { fuses: file.fuses, listed: file.listed, defaultFuse: file.defaultFuse, offset: sumOffset(file, text) },
    findings,
  )
}

/** Offset of the last fuse checksum, which reads as stated. */
function sumOffset(file: FuseFile, stated: string): number {
  for (let i = file.fields.count - 1; i >= 0; i--) {
    const { identifier, text, start } = fieldAt(file, i)
    if (identifier === 'C' && text.slice(1).trim() === stated) return start
  }
  return 0
}
