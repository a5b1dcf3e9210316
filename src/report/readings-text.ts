/** Several reads of one chip as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { Finding } from '../findings/finding'
import type { Bit } from '../fuses/fuse-map'
import type { Role } from '../devices/fuse-role'
import { findingLines, reportRow } from './layout'

/** What the text needs of a report on reads. */
export interface ReadingsText {
  readonly files: readonly (string | null)[]
  readonly equal: boolean
  readonly fuseCount: number | null
  readonly moving: readonly {
    readonly fuse: number
    readonly states: readonly Bit[]
    readonly role?: Role
    readonly pin?: number | null
    readonly row?: number | null
    readonly column?: number | null
  }[]
  readonly byRow: readonly { readonly index: number; readonly count: number }[]
  readonly byColumn: readonly { readonly index: number; readonly count: number }[]
  readonly findings: readonly Finding[]
}

const MOST_FUSES = 20
const MOST_LINES = 6

const REPORT = { keys: ['files', 'equal', 'moving', 'byRow', 'byColumn'], maker: 'what compareReadings returned' }

/** The report on several reads of one chip. */
export function renderReadings(report: ReadingsText): string {
  const { files, equal, fuseCount, moving, byRow, byColumn, findings } = madeBy(report, 'report', REPORT)
  const lines = (label: string, list: ReadingsText['byRow']): string[] =>
    list.length === 0
      ? []
      : [
          reportRow(
            label,
            list
              .slice(0, MOST_LINES)
              .map(({ index, count }) => `${index} (${count})`)
              .join(', ') + (list.length > MOST_LINES ? ', …' : ''),
          ),
        ]
  const fuses = moving.slice(0, MOST_FUSES).map(({ fuse, states, role, pin, row, column }) => {
    const place = [role, pin ? `pin ${pin}` : '', row != null && column != null ? `row ${row} column ${column}` : '']
      .filter(Boolean)
      .join(', ')
    return reportRow(`fuse ${fuse}`, `reads ${states.join(' ')}${place ? ` (${place})` : ''}`)
  })
  return [
    `${files.length} reads: ${equal ? 'the same' : fuseCount === null ? 'not comparable' : 'not the same'}`,
    ...files.map((name, i) => reportRow(`read ${i + 1}`, name ?? 'without a name')),
    ...fuses,
    ...(moving.length > MOST_FUSES
      ? [reportRow('', `and ${moving.length - MOST_FUSES} more; the JSON document lists them`)]
      : []),
    ...lines('by row', byRow),
    ...lines('by column', byColumn),
    ...findingLines(findings),
    '',
    reportRow('not looked at', 'whether steady fuses are the right ones; timing, drive and supply'),
    '',
  ].join('\n')
}
