/** `rewrite`: the same fuses in a new file. */
import { readFuseFile, rewrite } from '../index'
import { renderFinding } from '../report'
import { choice, onlyFile, printJson, readOrStop, Usage, type Call } from './call'
import { withRemedy } from './remedies'
import { targetOption, writeTarget } from './output-file'

export function rewriteFile(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'rewrite')
  const target = targetOption(call, 'out')
  if (!target) throw new Usage('rewrite needs --out NEW, the name of a file')
  const out = target.path
  const lineEnds = choice(call, 'line-ends', ['crlf', 'lf'])
  const security = choice(call, 'security', ['0', '1'])
  const file = readFuseFile(readOrStop(host, name))
  const result = rewrite(file, {
    ...(lineEnds ? { lineEnds } : {}),
    ...(security ? { security: security === '1' ? 1 : 0 } : {}),
  })
  if (result.bytes) writeTarget(call, target, result.bytes)
  const { changedFuses, leftOut, refusedFor, confirmed } = result
  if (call.options['json'])
    printJson(host, {
      file: name,
      out: result.bytes ? out : null,
      fuseCount: file.fuseCount,
      changedFuses,
      confirmed,
      leftOut,
      refusedFor,
    })
  else if (!result.bytes)
    host.out(
      `${name}: not rewritten, because its fuses cannot be trusted.\n${refusedFor.map((finding) => renderFinding(withRemedy(finding))).join('\n')}\n`,
    )
  else {
    const lines = [
      `${out}: written. Its ${file.fuseCount ?? 0} fuses are those of ${name}: read back, ${changedFuses} differ.`,
      ...(confirmed
        ? []
        : ['  The old file had no fuse checksum that confirmed its fuses; the new one only repeats them.']),
      ...leftOut.map((line) => `  not carried over as it was: ${line}`),
    ]
    host.out(`${lines.join('\n')}\n`)
  }
  return result.bytes ? 0 : 1
}
