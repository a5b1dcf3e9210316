/** `retarget`: the same logic as a map for another part, with proof. */
import { retarget, type Retargeted } from '../index'
import { renderFinding } from '../report'
import { choice, onlyFile, partOption, printJson, readOrStop, Usage, type Call } from './call'
import { withRemedy } from './remedies'
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
  else host.out(`${(bytes ? written(result, name, out) : refused(result, name)).join('\n')}\n`)
  if (!bytes) return 1
  return call.options['strict'] && result.proof!.verdict !== 'pass' ? 1 : 0
}

function written({ part, mode, proof, notCarried }: Retargeted, name: string, out: string): string[] {
  const outputs = proof!.outputs.length
  return [
    `${out}: written, a map for a ${part}${mode ? ` in ${mode} mode` : ''}.`,
    `  It is proved to do what ${name} does: ${outputs} outputs, over all inputs and all states of the registers.`,
    '  Not looked at: timing, drive, pull-ups, and whether a chip is what its label says. The security field is G0.',
    ...notCarried.map(({ what, message }) => `  Left out: ${LEFT_OUT[what]}; ${message}.`),
    ...proof!.findings
      .filter(({ severity, side }) => severity !== 'note' && side !== 'readback')
      .map((finding) => renderFinding(withRemedy(finding))),
  ]
}

const LEFT_OUT = {
  vectors: 'the test vectors',
  'pin-order': 'the order of the pins',
  signature: 'the signature',
} as const

function refused({ part, misfits }: Retargeted, name: string): string[] {
  return [`${name}: not moved to a ${part}, because:`, ...misfits.map(({ message }) => `  ${message}`)]
}
