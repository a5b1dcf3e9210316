/** The report on one file: plain data, the same that `check --json` prints. */
import type { Finding, Verdict } from '../../findings/finding'
import type { FuseSum, TransmissionCause, TransmissionSum } from '../../jesd3/fuse-file'
import type { VectorSummary } from '../vectors/check-vectors'
import type { ReportedBasis } from './judge-parts'

/** The part that a file is for, and how it is known. */
export interface ReportedDevice {
  /** Its number in the catalogue. */
  readonly part: string
  /** Mode in the data sheet's word; null for a part with one mode, or when the fuses name none. */
  readonly mode: string | null
  /** What tells that it is this part. */
  readonly basis: ReportedBasis
}

/** The transmission checksum with the one cause that fits it exactly where it is wrong. */
export interface ReportedTransmissionSum extends TransmissionSum {
  /** The one cause that fits; null without one, or with several. */
  readonly explanation: TransmissionCause | null
}

/** The report on one file; serialised, it is what `check --json` prints. */
export interface Report {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Name given by the caller; null without one. */
  readonly file: string | null
  /** `fail` with any error, else `caution` with any warning, else `pass`; unlisted findings count too. */
  readonly verdict: Verdict
  /** Number of fuses; null where the file does not say and no part fixes it. */
  readonly fuseCount: number | null
  /** True where the file gives every fuse its state and is not cut. */
  readonly complete: boolean
  /** The QP field, else the package of the candidates; null where neither says. */
  readonly pinCount: number | null
  /** The part; null where it is unknown or ambiguous. */
  readonly device: ReportedDevice | null
  /** Names of all parts of the catalogue that fit, sorted, also where one is chosen. */
  readonly candidates: readonly string[]
  /** Both sums, stated and computed. */
  readonly checksums: { readonly fuse: FuseSum; readonly transmission: ReportedTransmissionSum }
  /** The G field; null where there is none, or another digit. */
  readonly security: 0 | 1 | null
  /** Counts of the strict reading, and plain readings where some vectors stay open. */
  readonly testVectors: VectorSummary
  /** Where the vectors come from, when not from the file itself. */
  readonly vectorsFrom: string | null
  /** Signature of the part as hexadecimal bytes and, where all of it is printable, as text; null without one. */
  readonly signature: { readonly bytes: string; readonly text: string | null } | null
  /** Everything that was found, worst first and bounded. */
  readonly findings: readonly Finding[]
  /** What was compared with what, and what was not looked at. */
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}
