/**
 * Peak memory of a process that reads one large file, less that of one that reads a tiny file, over the large file's
 * size. The file's own bytes are counted: 1 is the file itself, and the rest is what reading adds.
 */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { fileOfSize } from '../files.mjs'

const PEAKS = fileURLToPath(new URL('../peaks.mjs', import.meta.url))

function peak() {
  const folder = mkdtempSync(join(tmpdir(), 'fuse-assay-bench-'))
  try {
    const large = fileOfSize(40e6)
    const names = [join(folder, 'tiny.jed'), join(folder, 'large.jed')]
    writeFileSync(names[0], fileOfSize(1000))
    writeFileSync(names[1], large)
    const [tiny, whole] = JSON.parse(execFileSync(process.execPath, [PEAKS, ...names], { encoding: 'utf8' }))
    return (whole - tiny) / large.length
  } finally {
    rmSync(folder, { recursive: true })
  }
}

export const peakMemory = [
  {
    name: 'peak memory of reading 40 MB, the file itself included, against its size',
    unit: 'ratio',
    goal: 2,
    sense: 'at most',
    measure: peak,
  },
]
