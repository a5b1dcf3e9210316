const everything = require('fuse-assay')

const { status } = everything.readFuseFile('\x02*QF8*F1*C00FF*\x030322').checksums.fuse
console.log(JSON.stringify({ status, names: Object.keys(everything).sort() }))
