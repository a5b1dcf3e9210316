/** What is said where a file does not give what was asked for: why, what to do, and what else is wrong. */
import { madeBy, stringOf } from '../arguments/arguments'
import type { Report } from '../jobs/check/report'
import { answerLines, inSigns, remarkRows } from './answer'
import { partWords, REPORT } from './report-text'
import { causeWords, checkLook, findingRows, leadRows, lookOf, row, tell, type TextOptions } from './screen'

/** Most errors and warnings, and notes beside the cause. */
const MOST_TOLD = { grave: 3, notes: 0 } as const

/**
 * A file that cannot be shown, run or tabled, in the order of every screen.
 *
 * @param report what `verify` gave
 * @param what what is not possible, as the end of a sentence
 * @param options width, all, ascii, more
 * @returns the reason, what to do, and what else is wrong as lines
 * @throws TypeError or RangeError that names the argument
 * @example renderRefusal(report, 'no table').split(':')[1] // ' no table.\n'
 */
export function renderRefusal(report: Report, what: string, options: TextOptions = {}): string {
  madeBy(report, 'report', REPORT)
  stringOf(what, 'what')
  checkLook(options)
  return inSigns({ report, what }, options, renderSigned)
}

interface Refused {
  readonly report: Report
  readonly what: string
}

function renderSigned({ report, what }: Refused, options: TextOptions): string {
  const look = lookOf(options)
  const told = tell(report.findings, MOST_TOLD)
  const grave = { ...told, notes: [], left: 0 }
  return [
    answerLines({ subject: report.file ?? 'file', answer: what, causes: [causeWords(told) ?? ''] }, look),
    ...leadRows(told, look),
    ...(told.lead && report.candidates.length > 1 ? [row('part', partWords(report), look)] : []),
    ...(look.all ? remarkRows(report.findings, { said: [], most: MOST_TOLD }, look) : findingRows(grave, look)),
    '',
  ].join('\n')
}
