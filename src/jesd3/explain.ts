/** Explanations of what reading found: apart from reading, which most callers want small and quick. */
import { EXPLANATION_FINDINGS } from '../findings/explanation-findings'
import { collectFindings, type FindingList } from '../findings/finding'
import { withoutParity } from './frame'
import type { FuseFile, TransmissionCause } from './fuse-file'
import { lookAlike } from './look-alike'
import { explainPair } from './sum-pair'
import { lineIndex } from './text'
import { causesOf } from './transmission-causes'
import { sumBytes } from './transmission-sum'

/** What the two sums of a file are consistent with, and what a file that is no fuse file looks like. */
export interface Explanation {
  /** The one cause that fits a wrong transmission sum exactly; null where none or several do. */
  readonly transmission: TransmissionCause | null
  /** Notes: what is consistent with what was found. */
  readonly findings: FindingList
}

/**
 * Explains a file that was read: a wrong transmission sum by single causes that fit exactly, both sums together by a
 * changed digit, a file that is none by what it looks like.
 *
 * @example explain(readFuseFile(bytes)).transmission // 'line-ends-lf-to-crlf', say, or null
 */
export function explain(file: FuseFile): Explanation {
  const { bytes } = withoutParity(file.bytes)
  const findings = collectFindings(EXPLANATION_FINDINGS, { limit: 8, locate: lineIndex(bytes) })
  const offsetOf = (code: string): number | undefined =>
    file.findings.find((finding) => finding.code === code)?.position?.offset
  if (offsetOf('file/not-a-fuse-file') !== undefined)
    findings.add('file/look-alike', { offset: 0 }, { what: lookAlike(file.bytes) })
  const { fuse, transmission } = file.checksums
  const offset = offsetOf('checksum/transmission-mismatch')
  const causes = transmission.status === 'mismatch' ? fittingCauses(file, bytes) : []
  if (causes.length > 0)
    findings.add(
      'checksum/transmission-explained',
      { offset },
      { causes: causes.map(({ words }) => words).join(', or with ') },
    )
  const pair =
    fuse.stated?.length === 4 &&
    transmission.stated?.length === 4 &&
    fuse.computed !== null &&
    transmission.computed !== null
  if (
    pair &&
    fuse.status === 'mismatch' &&
    fuse.explanation === null &&
    transmission.status !== 'not-computed' &&
    file.fuses &&
    file.electricalData === null
  )
    explainPair(
      {
        fuse: { stated: fuse.stated!, computed: fuse.computed! },
        transmission: { stated: transmission.stated!, computed: transmission.computed! },
      },
      {
        fuses: file.fuses,
        listed: file.listed,
        defaultFuse: file.defaultFuse,
        offset: offsetOf('checksum/fuse-mismatch') ?? 0,
      },
      findings,
    )
  return { transmission: causes.length === 1 ? causes[0]!.code : null, findings: findings.list() }
}

function fittingCauses(
  { frame, checksums }: FuseFile,
  bytes: Uint8Array,
): readonly { readonly code: TransmissionCause | null; readonly words: string }[] {
  const text = checksums.transmission.stated!
  const stated = parseInt(text, 16)
  const span = { start: frame.start ?? 0, end: frame.end! + 1 }
  const computed = sumBytes(bytes, span)
  if (frame.start !== null) return causesOf(bytes, span, { stated, digits: text.length, computed })
  // Without STX the sum has no beginning; what it would be with one before the first byte can be told.
  if (stated === ((computed + 2) & 0xffff)) return [{ code: null, words: 'a start mark lost from the first place' }]
  return stated === computed ? [{ code: null, words: 'a sum taken without the start mark' }] : []
}
