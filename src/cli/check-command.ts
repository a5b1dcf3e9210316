/** `check`: one report a file. */
import { renderReport, verify, type Report } from '../index'
import { cannotRead, deviceOption, printJson, readOrStop, text, textOptions, Usage, type Call } from './call'
import { withRemedies } from './remedies'

export function check(call: Call): number {
  const { files, host } = call
  if (files.length === 0) throw new Usage('check needs a FILE; try fuse-assay --help')
  const device = deviceOption(call)
  const vectorFile = text(call, 'vectors')
  const vectors = vectorFile === undefined ? {} : { vectors: readOrStop(host, vectorFile), vectorsName: vectorFile }
  const reports: Report[] = []
  for (const name of files) {
    let bytes: Uint8Array
    try {
      bytes = host.read(name)
    } catch (error) {
      host.err(`fuse-assay: ${cannotRead(name, error)}\n`)
      continue
    }
    reports.push(verify(bytes, { ...device, ...vectors, name }))
  }
  const unread = files.length - reports.length
  if (!call.options['json'])
    host.out(reports.map((report) => renderReport(withRemedies(report), textOptions(call))).join('\n'))
  else if (files.length > 1 || unread === 0) printJson(host, files.length > 1 ? reports : reports[0])
  if (unread > 0) return 2
  const failing = call.options['strict'] ? ['fail', 'caution'] : ['fail']
  return reports.some(({ verdict }) => failing.includes(verdict)) ? 1 : 0
}
