/** Reading together with what is said to explain it, the way verifying puts both into one report. */
import { explain, readFuseFile, type FuseFile, type ReadOptions, type TransmissionCause, type TransmissionSum } from '../../src/index'

export interface ExplainedFile extends FuseFile {
  readonly checksums: FuseFile['checksums'] & {
    readonly transmission: TransmissionSum & { readonly explanation: TransmissionCause | null }
  }
}

/** What is read, with the findings that explaining gives. What a file that is none looks like is left out. */
export function readExplained(input: Uint8Array | string, options?: ReadOptions): ExplainedFile {
  const file = readFuseFile(input, options)
  const { transmission, findings } = explain(file)
  const listed = findings.findings.filter(({ code }) => code !== 'file/look-alike')
  const looks = findings.findings.length - listed.length
  return {
    ...file,
    checksums: { ...file.checksums, transmission: { ...file.checksums.transmission, explanation: transmission } },
    findings: listed,
    findingCounts: { ...findings.counts, note: findings.counts.note - looks },
  }
}
