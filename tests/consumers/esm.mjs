import * as everything from 'fuse-assay'
import { readFuseFile } from 'fuse-assay'

const { status } = readFuseFile('\x02*QF8*F1*C00FF*\x030322').checksums.fuse
console.log(JSON.stringify({ status, names: Object.keys(everything).sort() }))
