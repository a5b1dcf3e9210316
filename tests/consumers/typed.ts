import { check, readFuseFile, verify, writeFuseFile, type FuseFile, type Report } from 'fuse-assay'
import { examineAdapter, type AdapterReport, type Board } from 'fuse-assay/board'
import { readWiring, type WiringDocument } from 'fuse-assay/capture'
import { describe, type Decoded, type Description } from 'fuse-assay/logic'
import { renderReport } from 'fuse-assay/report'
import { grade, type Grade, type NotGraded } from 'fuse-assay/vectors'

const file: FuseFile = readFuseFile('\x02*QF8*F1*C00FF*\x030322', { maxFuses: 8 })
export const status: 'match' | 'mismatch' | 'absent' = file.checksums.fuse.status
export const fuseBits: Uint8Array | undefined = file.fuses?.bits

const report: Report = verify(file.bytes, { device: '16V8' })
export const verdict: 'pass' | 'caution' | 'fail' = report.verdict

// Written bytes are in memory of their own, so that every interface of a platform takes them.
export const saved: Uint8Array<ArrayBuffer> = writeFuseFile(file)

// Each line below must be refused; if the declarations were lost, all would be `any` and taken.
// @ts-expect-error the input is bytes or text
readFuseFile(8)
// @ts-expect-error there is no such option
verify(file.bytes, { part: '16V8' })
// @ts-expect-error results are read-only
report.verdict = 'pass'

// The entries share their types: what one gives the other takes.
const decoded: Decoded | null = check(file.bytes).decoded
const described = decoded && describe(decoded)
export const description: Description | null = described && ('refused' in described ? null : described)
export const text: string = renderReport(report)
export const wiring: WiringDocument = { address: [1, 2], data: [3] }
export const read = readWiring(wiring)
export const board: (board: Board) => AdapterReport = examineAdapter
export const graded: Grade | NotGraded = grade(file.bytes, { device: '16V8' })
// @ts-expect-error a grade that may be none has no counts
graded.faults
