/** The report on one file: plain data, the same that `check --json` prints. */
import type { Finding, Verdict } from '../../findings/finding'
import type { FuseSum, TransmissionCause, TransmissionSum } from '../../jesd3/fuse-file'
import type { VectorSummary } from '../vectors/check-vectors'
import type { Basis } from './judge-parts'

/** The part that a file is for, and how it is known. */
export interface ReportedDevice {
  readonly part: string
  /** Mode in the data sheet's word; null for a part with one mode, or when the fuses name none. */
  readonly mode: string | null
  readonly basis: Basis
}

/** The transmission checksum with the one cause that fits it exactly where it is wrong. */
export interface ReportedTransmissionSum extends TransmissionSum {
  readonly explanation: TransmissionCause | null
}

/** The report on one file; serialised, it is what `check --json` prints. */
export interface Report {
  /** Name given by the caller; null without one. */
  readonly file: string | null
  readonly verdict: Verdict
  readonly fuseCount: number | null
  /** True where the file gives every fuse its state and is not cut. */
  readonly complete: boolean
  readonly pinCount: number | null
  readonly device: ReportedDevice | null
  readonly candidates: readonly string[]
  readonly checksums: { readonly fuse: FuseSum; readonly transmission: ReportedTransmissionSum }
  readonly security: 0 | 1 | null
  readonly testVectors: VectorSummary
  /** Where the vectors come from, when not from the file itself. */
  readonly vectorsFrom: string | null
  /** Signature of the part as hexadecimal bytes and, where all of it is printable, as text; null without one. */
  readonly signature: { readonly bytes: string; readonly text: string | null } | null
  readonly findings: readonly Finding[]
  /** What was compared with what, and what was not looked at. */
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}
