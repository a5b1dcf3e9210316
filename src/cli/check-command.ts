/** `check`: one report a file, and of many files an overview. */
import { grade } from '../vectors'
import { checkPage, renderSarif } from '../report'
import { deviceOption, printJson, readOrStop, text, textOptions, Usage, type Call } from './call'
import { checkAll, exitCode, reportText } from './check-one-file'
import { renderOverview } from './check-overview'
import type { CheckedFile } from './equal-maps'
import { namedFiles } from './file-names'
import { targetOptions, writeTargets } from './output-file'
import { progressOption } from './progress'
import { withRemedies } from './remedies'
import { VERSION } from './version'

export function check(call: Call): number {
  const { host, options } = call
  if (call.files.length === 0) throw new Usage('check needs a FILE; try fuse-assay --help')
  const { names, folder } = namedFiles(host, call.files)
  const targets = targetOptions(call, 'html', 'sarif')
  const all = checkAll(call, names)
  const { files, unread } = all
  const many = folder || names.length > 1
  const reports = files.map(({ checked }) => checked.report)
  const written = writeTargets(call, targets, {
    html: () => checkPage(files.map(({ checked }) => ({ ...checked, report: withRemedies(checked.report) }))),
    sarif: () => renderSarif(reports.map(withRemedies), { version: VERSION, unread }),
  })
  if (options['json']) {
    const [first] = reports
    if (many) printJson(host, reports)
    else if (first) printJson(host, first)
  } else {
    const overview = many && !options['all']
    const text = overview
      ? renderOverview(files, unread, textOptions(call))
      : reports.map((report) => reportText(call, report)).join('\n')
    host.out(`${text}${coverageLine(call, files)}${written}`)
  }
  return exitCode(call, all)
}

/** What vectors of another file prove of the one file that passes them. */
function coverageLine(call: Call, files: readonly CheckedFile[]): string {
  const [first, ...others] = files
  const other = text(call, 'vectors')
  if (other === undefined || !first || others.length > 0) return ''
  const { count, failed } = first.checked.report.testVectors
  if (count === 0 || failed > 0) return ''
  const vectors = readOrStop(call.host, other)
  const graded = grade(first.checked.inspection, { ...deviceOption(call), ...progressOption(call), vectors })
  if ('refused' in graded) return ''
  const { shown, missed, undecided } = graded.faults
  const showable = shown + missed + undecided
  return `  coverage      these ${count} vectors would show ${shown} of ${showable} fuse faults\n`
}
