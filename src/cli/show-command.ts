/** `show`: what the programmed part is. */
import { describe, inspect, renderDescription, renderFinding } from '../index'
import { deviceOption, onlyFile, printJson, readOrStop, type Call } from './call'

export function show(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'show')
  const device = deviceOption(call)
  const bytes = readOrStop(host, name)
  const { report, decoded } = inspect(bytes, { ...device, name })
  const unknownFuses = report.findings.some(({ code }) => code === 'file/uncovered-fuses')
  const description = decoded && !unknownFuses ? describe(decoded) : null
  if (call.options['json']) printJson(host, { ...(description ?? { part: null }), file: name, candidates: report.candidates, signature: report.signature, findings: report.findings })
  else if (description) host.out(renderDescription(description, report))
  else host.out(`${name}: its logic cannot be shown.\n${report.findings.filter(({ severity }) => severity !== 'note').map(renderFinding).join('\n')}\n`)
  if (!description) return 1
  return call.options['strict'] && report.verdict !== 'pass' ? 1 : 0
}
