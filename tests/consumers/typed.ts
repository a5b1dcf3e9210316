import { readFuseFile, verify, type FuseFile, type Report } from 'fuse-assay'

const file: FuseFile = readFuseFile('\x02*QF8*F1*C00FF*\x030322', { maxFuses: 8 })
export const status: 'match' | 'mismatch' | 'absent' = file.checksums.fuse.status
export const fuseBits: Uint8Array | undefined = file.fuses?.bits

const report: Report = verify(file.bytes, { device: '16V8' })
export const verdict: 'pass' | 'caution' | 'fail' = report.verdict

// Each line below must be refused; if the declarations were lost, all would be `any` and taken.
// @ts-expect-error the input is bytes or text
readFuseFile(8)
// @ts-expect-error there is no such option
verify(file.bytes, { part: '16V8' })
// @ts-expect-error results are read-only
report.verdict = 'pass'
