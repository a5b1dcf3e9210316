/** Reading together with what is said to explain it, the way verifying puts both into one report. */
import {
  explain,
  readFuseFile,
  type FuseFile,
  type ReadOptions,
  type TransmissionCause,
  type TransmissionSum,
} from '../../src/index'

export interface ExplainedFile extends FuseFile {
  readonly checksums: FuseFile['checksums'] & {
    readonly transmission: TransmissionSum & { readonly explanation: TransmissionCause | null }
  }
}

/** What is read, with the explaining findings behind the others. What a file that is none looks like is left out. */
export function readExplained(input: Uint8Array | string, options?: ReadOptions): ExplainedFile {
  const file = readFuseFile(input, options)
  const { transmission, findings } = explain(file)
  const added = findings.findings.filter(({ code }) => code !== 'file/look-alike')
  return {
    ...file,
    checksums: { ...file.checksums, transmission: { ...file.checksums.transmission, explanation: transmission } },
    findings: [...file.findings, ...added],
    findingCounts: { ...file.findingCounts, note: file.findingCounts.note + added.length },
  }
}
