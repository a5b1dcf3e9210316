/** `rewrite`: the same fuses in a new file. */
import { check, rewrite, type NotRewritten, type Rewritten } from '../index'
import { renderRewritten } from '../report'
import { choice, onlyFile, printJson, readOrStop, textOptions, Usage, type Call } from './call'
import { withRemedies } from './remedies'
import { targetOption, writeTarget } from './output-file'

export function rewriteFile(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'rewrite')
  const target = targetOption(call, 'out')
  if (!target) throw new Usage('rewrite needs --out NEW, the name of a file')
  const out = target.path
  const lineEnds = choice(call, 'line-ends', ['crlf', 'lf'])
  const security = choice(call, 'security', ['0', '1'])
  const { report, inspection } = check(readOrStop(host, name))
  const { file } = inspection
  const result = rewrite(file, {
    ...(lineEnds ? { lineEnds } : {}),
    ...(security ? { security: security === '1' ? 1 : 0 } : {}),
  })
  if (result.bytes) writeTarget(call, target, result.bytes)
  const { bytes, ...told } = result
  if (call.options['json']) printJson(host, {
      file: name,
      verdict: report.verdict,
      out: bytes ? out : null,
      fuseCount: file.fuseCount,
      ...told,
    })
  else {
    const names = { from: name, to: out, fuseCount: file.fuseCount }
    host.out(renderRewritten(shownResult(result), names, textOptions(call)))
  }
  return bytes ? 0 : 1
}

/** The result for a person: what it was refused for with its remedies. */
function shownResult(result: Rewritten | NotRewritten): Rewritten | NotRewritten {
  return 'refused' in result ? withRemedies(result) : result
}
