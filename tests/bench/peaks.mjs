/**
 * Prints, as JSON, the peak memory in bytes of a process of its own for each file named, median of five.
 *
 * It is a process between the bench and the ones that are measured because Linux hands the peak of the process that
 * forks on to the one that is started: with the bench as their parent, all would show the bench's own peak.
 */
import { execFileSync } from 'node:child_process'
import { median } from './timing.mjs'

const READ = `
import { readFileSync } from 'node:fs'
import { readFuseFile } from ${JSON.stringify(new URL('../../dist/index.js', import.meta.url).href)}
const file = readFuseFile(readFileSync(process.argv[1]))
if (file.checksums.fuse.status !== 'match') throw new Error('not read')
console.log(process.resourceUsage().maxRSS * 1024)
`

const peakOf = (name) =>
  Number(execFileSync(process.execPath, ['--input-type=module', '--eval', READ, name], { encoding: 'utf8' }))

console.log(
  JSON.stringify(process.argv.slice(2).map((name) => median(Array.from({ length: 5 }, () => peakOf(name))))),
)
