#!/usr/bin/env node
import { createRequire } from 'node:module'
import { checkOneFile, isPlainCheck } from './check-one-file'
import { nodeHost } from './host'
import { runWith } from './run'

/**
 * Most calls check one file, and Node needs longer to compile all commands than to check: 623 kB took 22 of some 75 ms
 * beyond an empty process (Node 20.20). So the whole program is a file of its own, read where more is called for.
 */
function runWhole(args: readonly string[]): number {
  const { run } = createRequire(__filename)('./cli-whole.cjs') as typeof import('./every-command')
  return run(args, nodeHost)
}

const given = process.argv.slice(2)
process.exitCode =
  runWith(given, nodeHost, (name, call) => (isPlainCheck(name, call) ? checkOneFile : null)) ?? runWhole(given)
