/** `show`: what the programmed part is. */
import { check, type Report } from '../index'
import { describe, hazardsOf, verilogModule } from '../logic'
import { renderDescription, renderHazards, renderRefusal } from '../report'
import { deviceOption, NO_LOGIC, onlyFile, printJson, readOrStop, textOptions, type Call } from './call'
import { withRemedies } from './remedies'

export function show(call: Call): number {
  const { host } = call
  const name = onlyFile(call, 'show')
  const device = deviceOption(call)
  const bytes = readOrStop(host, name)
  const { report, decoded, inspection } = check(bytes, { ...device, name })
  const described = decoded && inspection.complete ? describe(decoded) : NO_LOGIC
  const description = 'refused' in described ? null : described
  const verilog = call.options['verilog'] === true && description && decoded ? verilogModule(decoded) : null
  const logic = call.options['hazards'] === true && description && decoded ? decoded.logic : null
  const hazards = logic && hazardsOf(logic)
  if (call.options['json'])
    printJson(host, {
      ...(description ?? { ...NO_LOGIC, part: null }),
      ...(call.options['verilog'] ? { verilog } : {}),
      ...(call.options['hazards'] ? { hazards } : {}),
      file: name,
      verdict: report.verdict,
      candidates: report.candidates,
      signature: report.signature,
      findings: report.findings,
    })
  else if (typeof verilog === 'string') host.out(warning(report) + verilog)
  else if (hazards) host.out(renderHazards(hazards, textOptions(call)))
  else if (description) host.out(renderDescription(description, withRemedies(report), textOptions(call)))
  else host.out(renderRefusal(withRemedies(report), 'its logic cannot be shown', textOptions(call)))
  if (!description) return 1
  return call.options['strict'] && report.verdict !== 'pass' ? 1 : 0
}

/** A module goes on without the report that it came with, so it says itself where that was not a pass. */
function warning({ verdict, findings }: Report): string {
  if (verdict === 'pass') return ''
  const codes = findings.filter(({ severity }) => severity !== 'note').map(({ code }) => code)
  return `// The file's verdict is ${verdict}: ${[...new Set(codes)].join(', ')}.\n`
}
