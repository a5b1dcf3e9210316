/** `readings`: several reads of one chip. */
import { compareReadings } from '../index'
import { renderReadings } from '../report'
import { cannotRead, partOption, printJson, textOptions, Usage, type Call } from './call'
import { withRemedies } from './remedies'

export function readingsOf(call: Call): number {
  const { files, host } = call
  if (files.length < 2) throw new Usage('readings takes two or more files; try fuse-assay --help')
  const device = partOption(call, 'device')
  const read: { readonly name: string; readonly bytes: Uint8Array }[] = []
  for (const name of files) {
    try {
      read.push({ name, bytes: host.read(name) })
    } catch (error) {
      host.err(`fuse-assay: ${cannotRead(name, error)}\n`)
    }
  }
  const missing = read.length < files.length
  if (read.length < 2) return 2
  const report = compareReadings(
    read.map(({ bytes }) => bytes),
    { names: read.map(({ name }) => name), ...(device ? { device } : {}) },
  )
  if (call.options['json']) printJson(host, report)
  else host.out(renderReadings(withRemedies(report), textOptions(call)))
  if (missing) return 2
  return report.equal && !(call.options['strict'] && report.verdict !== 'pass') ? 0 : 1
}
