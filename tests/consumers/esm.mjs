import { readFuseFile } from 'fuse-assay'

const names = {}
for (const entry of process.argv.slice(2)) {
  const all = await import(entry === 'index' ? 'fuse-assay' : `fuse-assay/${entry}`)
  names[entry] = Object.keys(all).sort()
}
const { status } = readFuseFile('\x02*QF8*F1*C00FF*\x030322').checksums.fuse
console.log(JSON.stringify({ status, names }))
