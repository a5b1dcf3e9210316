/** `retarget`: the same logic as a map for another part, with proof. */
import { retarget, type NotRetargeted, type Retargeted } from '../index'
import { renderRetargeted } from '../report'
import { choice, onlyFile, partOption, printJson, readOrStop, textOptions, Usage, type Call } from './call'
import { withRemedies } from './remedies'
import { targetOption, writeTarget } from './output-file'

export function retargetFile(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'retarget')
  const target = targetOption(call, 'out')
  if (!target) throw new Usage('retarget needs --out NEW, the name of a file')
  const out = target.path
  const [device, to] = [partOption(call, 'device'), partOption(call, 'to')]
  if (!to) throw new Usage('retarget needs --to PART; fuse-assay devices lists them')
  const powerUp = choice(call, 'power-up', ['high', 'low', 'unknown'])
  const result = retarget(readOrStop(host, name), {
    to,
    name,
    ...(device ? { device } : {}),
    ...(powerUp ? { powerUp } : {}),
  })
  if (result.bytes) writeTarget(call, target, result.bytes)
  const { bytes, ...rest } = result
  if (call.options['json']) printJson(host, { file: name, out: bytes ? out : null, ...rest })
  else host.out(renderRetargeted(shownResult(result), { from: name, to: out }, textOptions(call)))
  if ('refused' in result) return 1
  return call.options['strict'] && result.proof.verdict !== 'pass' ? 1 : 0
}

/** The result for a person: the findings of its proof with their remedies. */
function shownResult(result: Retargeted | NotRetargeted): Retargeted | NotRetargeted {
  return result.proof ? { ...result, proof: withRemedies(result.proof) } : result
}
