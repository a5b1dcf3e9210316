/** `check` of one file, with its text or its JSON document and nothing else. */
import { check as checkFile, type Report } from '../index'
import { renderReport } from '../report'
import { cannotRead, deviceOption, printJson, readOrStop, readReason, text, textOptions, type Call } from './call'
import type { CheckedFile } from './equal-maps'
import { withRemedies } from './remedies'

/** A file that could not be read, with the reason. */
export interface UnreadFile {
  readonly name: string
  readonly reason: string
}

/** What was checked, and what could not be read. */
export interface CheckedFiles {
  readonly files: readonly CheckedFile[]
  readonly unread: readonly UnreadFile[]
}

/** True for a call that needs no page, no log, no grading and no overview. */
export function isPlainCheck(name: string, { files, options, host }: Call): boolean {
  const more = ['html', 'sarif', 'vectors'].some((option) => options[option] !== undefined)
  return name === 'check' && !more && files.length === 1 && host.kind(files[0]!) !== 'folder'
}

/** A plain check. */
export function checkOneFile(call: Call): number {
  const checked = checkAll(call, call.files)
  for (const { report } of checked.files.map((file) => file.checked))
    if (call.options['json']) printJson(call.host, report)
    else call.host.out(reportText(call, report))
  return exitCode(call, checked)
}

/** The report of one file, laid out for the terminal of a call. */
export function reportText(call: Call, report: Report): string {
  return renderReport(withRemedies(report), textOptions(call))
}

/** Every file on its own: one that cannot be read does not hide the others. */
export function checkAll(call: Call, names: readonly string[]): CheckedFiles {
  const device = deviceOption(call)
  const vectorFile = text(call, 'vectors')
  const vectors =
    vectorFile === undefined ? {} : { vectors: readOrStop(call.host, vectorFile), vectorsName: vectorFile }
  const files: CheckedFile[] = []
  const unread: UnreadFile[] = []
  for (const name of names) {
    let bytes: Uint8Array
    try {
      bytes = call.host.read(name)
    } catch (error) {
      unread.push({ name, reason: readReason(error) })
      call.host.err(`fuse-assay: ${cannotRead(name, error)}\n`)
      continue
    }
    files.push({ name, checked: checkFile(bytes, { ...device, ...vectors, name }) })
  }
  return { files, unread }
}

/** 2 where a file could not be read, 1 where a file fails. */
export function exitCode({ options }: Call, { files, unread }: CheckedFiles): number {
  if (unread.length > 0) return 2
  const failing = options['strict'] ? ['fail', 'caution'] : ['fail']
  return files.some(({ checked }) => failing.includes(checked.report.verdict)) ? 1 : 0
}
