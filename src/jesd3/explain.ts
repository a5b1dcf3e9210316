/** Explanations of what reading found: apart from reading, which most callers want small and quick. */
import { EXPLANATION_FINDINGS, EXPLANATION_WORDS } from '../findings/explanation-findings'
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
import { lineIndex } from './text'
import { causesOf } from './transmission-causes'
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
 * @example explain(readFuseFile(bytes)).transmission // 'line-ends-lf-to-crlf', say, or null
 */
export function explain(file: FuseFile): Explanation {
  const { bytes } = withoutParity(file.bytes)
  const read: FindingList = { findings: file.findings, counts: file.findingCounts }
  const findings = collectFindings(EXPLANATION_FINDINGS, { limit: MAX_EXPLANATIONS, locate: lineIndex(bytes) })
  if (isNone(file) && file.bytes.length === 0) return { transmission: null, findings: read }
  if (isNone(file)) findings.add('file/look-alike', { offset: 0 }, { what: lookAlike(file.bytes) })
  else remarkReadings(file, findings)
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
function remarkReadings(file: FuseFile, findings: Explaining): void {
  const differences = sevenBitDifferences(file)
  const what = differences.map((name) => EXPLANATION_WORDS[name]).join(', ')
  if (differences.length > 0)
    findings.add('file/eighth-bit-matters', { offset: firstTellingByte(file) ?? 0 }, { what })
  const surroundings = surroundingsOf(file)
  remarkSurroundings(surroundings, findings)
  const unsummed = file.frame.end !== null && file.checksums.transmission.stated === null
  if (surroundings.strayField !== null || unsummed) remarkVectorLimit(file, findings)
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

/** QV is the highest number of a vector (3-A): fewer may be meant, but not where the end of the file is in doubt. */
function remarkVectorLimit({ vectorLimit: limit, vectors }: FuseFile, findings: Explaining): void {
  const last = vectors.at(-1)
  if (limit === null || (last?.number ?? 0) >= limit) return
  const found = last ? `${EXPLANATION_WORDS.lastVector} ${last.number}` : EXPLANATION_WORDS.noVector
  findings.add('vector/count-differs', { offset: last?.offset ?? undefined }, { limit, found })
}

/** A cause of a wrong transmission sum; one without a code has no stable one. */
interface Cause {
  readonly code: TransmissionCause | null
  readonly words: string
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
): { readonly causes: readonly Cause[]; readonly harmless: boolean } {
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
      { stated: transmission.stated!, computed: transmission.computed!, cause: only.words },
    )
  else
    findings.add(
      'checksum/transmission-explained',
      { offset },
      { causes: causes.map(({ words }) => words).join(', or with ') },
    )
  return { causes, harmless }
}

/** Causes that fit, and the stated sum less the computed one as a signed number of 16 bits. */
function fittingCauses(
  { frame, checksums }: FuseFile,
  bytes: Uint8Array,
): { readonly causes: readonly Cause[]; readonly change: number } {
  const text = checksums.transmission.stated!
  const stated = parseInt(text, 16)
  const span = { start: frame.start ?? 0, end: frame.end! + 1 }
  const computed = sumBytes(bytes, span)
  const change = ((stated - computed) << 16) >> 16
  if (frame.start !== null)
    return { causes: causesOf(bytes, span, { stated, digits: text.length, computed }), change }
  // Without STX the sum has no beginning; what it would be with one before the first byte can be told.
  const words =
    change === 2
      ? 'a start mark lost from the first place'
      : change === 0
        ? 'a sum taken without the start mark'
        : null
  return { causes: words === null ? [] : [{ code: null, words }], change }
}

/** Adds what both sums say together, where both were written with four digits and the fuse sum is wrong. */
function explainSums(file: FuseFile, findings: Explaining): void {
  const { fuse, transmission } = file.checksums
  if (fuse.status !== 'mismatch' || fuse.explanation !== null || transmission.status === 'not-computed') return
  if (!file.fuses || file.electricalData !== null) return
  if (fuse.stated?.length !== 4 || transmission.stated?.length !== 4) return
  if (fuse.computed === null || transmission.computed === null) return
  explainPair(
    {
      fuse: { stated: fuse.stated, computed: fuse.computed },
      transmission: { stated: transmission.stated, computed: transmission.computed },
    },
    { fuses: file.fuses, listed: file.listed, defaultFuse: file.defaultFuse, offset: sumOffset(file, fuse.stated) },
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
