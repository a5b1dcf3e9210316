/** The program as its users start it: a whole process, against one of Node that does nothing. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { fileOf16V8 } from '../files.mjs'
import { ratioOf, timeOf } from '../timing.mjs'

const PROGRAM = fileURLToPath(new URL('../../../dist/cli.cjs', import.meta.url))

function runNode(args) {
  const { status, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8' })
  if (status !== 0) throw new Error(`exit ${status}: ${stderr}`)
  return status
}

function check() {
  const folder = mkdtempSync(join(tmpdir(), 'fuse-assay-bench-'))
  try {
    const file = join(folder, '16v8.jed')
    writeFileSync(file, fileOf16V8())
    return ratioOf(
      () => runNode([PROGRAM, 'check', file, '--json']),
      () => runNode(['-e', '0']),
      { pairs: 41 },
    )
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** What the figures in seconds are to be seen beside: machines differ by more than programs do. */
function emptyProcess() {
  const times = Array.from({ length: 11 }, () => timeOf(() => runNode(['-e', '0'])))
  return Math.min(...times) / 1000
}

export const wholeProcess = [
  {
    name: 'an empty Node process on this machine',
    unit: 'seconds',
    goal: null,
    sense: 'at most',
    measure: emptyProcess,
  },
  {
    name: 'a whole run of check on 2 kB, against an empty Node process',
    unit: 'ratio',
    goal: 1.5,
    sense: 'at most',
    measure: check,
  },
]
