/** The page of a checked file, or of several. */
import { listOf, madeBy } from '../../arguments/arguments'
import type { Checked } from '../../jobs/check/verify'
import { CAUTION, verdictCause, factsOf, REPORT, VERDICT_WORDS } from '../report-text'
import { findingPlace } from '../layout'
import { tell } from '../screen'
import type { Content } from './element'
import { mapPicture } from './map-picture'
import {
  answerOf,
  facts,
  findingSection,
  heading,
  hintOf,
  pageOf,
  scopeSection,
  section,
  table,
  type Level,
} from './page'

/** What `check` returned, as far as a page shows it. */
export type CheckedPage = Pick<Checked, 'report' | 'inspection' | 'decoded'>

/**
 * One self-contained page of HTML on a checked file, or on several: the verdict with its cause, what to do, the facts,
 * the fuse map as a picture where the part is decoded, every finding, and what was looked at. No script, and nothing
 * that is loaded from elsewhere.
 *
 * @param checked what `check` returned, one or a list
 * @returns the page, in UTF-8 when it is written
 * @throws TypeError naming `checked`
 * @example checkPage(check(bytes, { name: 'a.jed' })).slice(0, 15) // '<!DOCTYPE html>'
 */
export function checkPage(checked: CheckedPage | readonly CheckedPage[]): string {
  const list = (Array.isArray(checked) ? listOf(checked, 'checked') : [checked]) as readonly CheckedPage[]
  for (const each of list) {
    madeBy(each, 'checked', { keys: ['report', 'inspection', 'decoded'], maker: 'what check returned' })
    madeBy(each.report, 'checked.report', REPORT)
  }
  const [only, ...more] = list
  if (only && more.length === 0)
    return pageOf({ kind: 'check', title: nameOf(only) }, partOf(only, { level: 1, id: 'f0' }))
  const title = `${list.length} files`
  return pageOf(
    { kind: 'check', title },
    heading(1, title),
    table('Every file', ['File', 'Verdict'], list.map((each) => [nameOf(each), VERDICT_WORDS[each.report.verdict]])),
    list.map((each, i) => partOf(each, { level: 2, id: `f${i}` })),
  )
}

const nameOf = ({ report }: CheckedPage): string => report.file ?? 'file'

function partOf(checked: CheckedPage, { level, id }: { readonly level: 1 | 2; readonly id: string }): Content {
  const { report, inspection, decoded } = checked
  const { fuses } = inspection.file
  const told = tell(report.findings, { grave: Infinity, notes: Infinity })
  const below = (level + 1) as Level
  const lead = told.lead?.first
  return [
    heading(level, nameOf(checked)),
    answerOf(report.verdict, VERDICT_WORDS[report.verdict], verdictCause(report, told)),
    section(
      below,
      'What to do',
      lead ? facts([['what to do', hintOf(lead)], ['where', findingPlace(lead) || 'the file as a whole']]) : null,
      report.verdict === 'fail' ? null : facts([['burning', CAUTION]]),
    ),
    section(below, 'Facts', report.fuseCount === null ? null : facts(factsOf(report))),
    section(below, 'The fuse map', decoded && fuses ? mapPicture({ decoded, fuses }, id) : null),
    findingSection(report.findings, below),
    scopeSection(report.scope, below),
  ]
}
