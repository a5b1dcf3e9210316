/** Rewriting: the same fuses in a file that a strict reader takes. */
import { refusedFor, type Refused } from '../findings/refused'
import type { SavedBytes } from '../fuses/saved-bytes'
import { checkedFile } from './checked-file'
import { oneOf, optionsOf, type OptionNames } from '../arguments/arguments'
import type { Finding } from '../findings/finding'
import { differingFuses } from '../fuses/fuse-map'
import { explain } from './explain'
import type { FuseFile } from './fuse-file'
import { looksLikeField, readFuseFile } from './read-fuse-file'
import { writeFuseFile, checkedLineEnds } from './write-fuse-file'

/** How to rewrite. */
export interface RewriteOptions {
  /** Line ends of the new file (default `crlf`). */
  readonly lineEnds?: 'crlf' | 'lf'
  /** Security field of the new file; left as it was when not given. */
  readonly security?: 0 | 1
}

/** A file written anew. */
export interface Rewritten {
  /** The new file. */
  readonly bytes: SavedBytes
  /** Fuses in the new file that differ from the old one: 0, found by reading the new file back. */
  readonly changedFuses: number
  /** True when a fuse checksum in the old file fitted its fuses; false where nothing had confirmed them. */
  readonly confirmed: boolean
  /** The security field of the new file: 1 asks a programmer to protect the chip; null where there is none. */
  readonly security: 0 | 1 | null
  /** What the new file does not carry over or carries over changed, in words. */
  readonly leftOut: readonly string[]
}

/** Why a file was not written anew: its fuses cannot be trusted, or too little is left to make a fuse file. */
export interface NotRewritten extends Refused<'not-trusted' | 'nothing-left'> {
  /** Nothing was written. */
  readonly bytes: null
  /** The findings that are the reason: those of the old file, or those that the new one would have. */
  readonly findings: readonly Finding[]
}

/** Findings whose fields or characters do not come into a new file. */
const LEFT_OUT: readonly string[] = [
  'file/unknown-identifier',
  'file/field-malformed',
  'file/field-unreadable',
  'file/control-character',
  'file/eighth-bit',
  'file/text-before-start',
  'file/text-after-end',
  'file/fields-after-end',
  'file/second-frame',
  'file/second-frame-differs',
  'vector/malformed',
  'vector/pin-order',
]

const REWRITE_OPTIONS: OptionNames<RewriteOptions> = { security: true, lineEnds: true }

/**
 * The same fuses in a file that a strict reader takes: for a file that a programmer refuses for its form. Refused
 * itself where the fuses cannot be trusted (wrong fuse checksum, cut, fuses without a state, a byte that other
 * receivers read otherwise), and where too little is left to make a fuse file.
 *
 * @param file what `readFuseFile` gave
 * @param options line ends and security field of the new file
 * @returns the new file read back and checked, or the findings for which it was refused
 * @throws RangeError for an option out of range
 * @example const made = rewrite(file, { lineEnds: 'crlf' }); 'refused' in made ? made.reason : made.changedFuses // 0
 */
export function rewrite(file: FuseFile, options: RewriteOptions = {}): Rewritten | NotRewritten {
  const { security, lineEnds = 'crlf' } = optionsOf(options, REWRITE_OPTIONS)
  if (security !== undefined) oneOf(security, 'options.security', [0, 1])
  checkedLineEnds(lineEnds)
  const confirmed = checkedFile(file, 'file').checksums.fuse.status === 'match'
  const { findings, counts } = explain(file).findings
  if (counts.error > 0 || file.checksums.fuse.status === 'mismatch')
    return refused('not-trusted', findings)
  const bytes = writeFuseFile({ ...clearedTexts(file), security: security ?? file.security }, { lineEnds })
  const again = readFuseFile(bytes, file.options)
  if (again.findingCounts.error > 0) return refused('nothing-left', again.findings)
  const leftOut = findings.filter(({ code }) => LEFT_OUT.includes(code)).map(({ message }) => message)
  if (file.security === null && file.securityField !== null)
    leftOut.push(`The security field G${file.securityField}, which the standard does not know.`)
  const changedFuses = file.fuses && again.fuses ? differingFuses(file.fuses, again.fuses, 0).count : 0
  return { bytes, changedFuses, confirmed, security: again.security, leftOut }
}

function refused(reason: NotRewritten['reason'], findings: readonly Finding[]): NotRewritten {
  return { ...refusedFor(reason), bytes: null, findings: findings.filter(isReason) }
}

function isReason({ severity, code }: Finding): boolean {
  return severity === 'error' || code === 'checksum/lists-after-sum'
}

/** The file with texts that may stand in a new one: no control characters, and a title that is not read as a field. */
export function clearedTexts(file: FuseFile): FuseFile {
  const cleared = (text: string): string => text.replace(/[\x00-\x09\x0b\x0c\x0e-\x1f\x7f]/g, ' ')
  const title = cleared(file.designSpecification)
  return {
    ...file,
    designSpecification: looksLikeField(title.trim()) ? `Title ${title.trim()}` : title,
    notes: file.notes.map(cleared),
    otherFields: file.otherFields.map(cleared),
    userData: file.userData && { ...file.userData, text: cleared(file.userData.text) },
  }
}
