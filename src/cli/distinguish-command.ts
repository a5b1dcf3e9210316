/** `distinguish`: vectors by which a chip tells which of several maps it holds. */
import { renderDistinguished } from '../report'
import { distinguish } from '../vectors'
import { choice, deviceOption, printJson, readOrStop, textOptions, Usage, type Call } from './call'
import { targetOption, writeTarget } from './output-file'
import { progressOption } from './progress'
import { withRemedies } from './remedies'

export function distinguishFiles(call: Call): number {
  const { host, options, files } = call
  if (files.length < 2) throw new Usage('distinguish takes two or more files; try fuse-assay --help')
  const target = targetOption(call, 'out')
  if (!target) throw new Usage('distinguish needs --out NEW, the name of a file')
  const start = choice(call, 'start', ['unknown', 'power-up'])
  const device = deviceOption(call)
  const result = distinguish(
    files.map((name) => readOrStop(host, name)),
    { ...device, ...progressOption(call), names: files, ...(start ? { start } : {}) },
  )
  const { bytes, ...rest } = 'refused' in result ? { ...result, bytes: null } : result
  if (bytes) writeTarget(call, target, bytes)
  const out = bytes ? target.path : null
  if (options['json']) printJson(host, { ...rest, out })
  else {
    const told = renderDistinguished(withRemedies(result), textOptions(call))
    host.out(out === null ? told : `${out}: written.\n${told}`)
  }
  return 'refused' in result || result.pairs.some(({ apart }) => !apart) ? 1 : 0
}
