/** Several reads of one chip as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { ReadingsReport } from '../jobs/readings/readings'
import { findingLines, reportRow } from './layout'

const MOST_FUSES = 20
const MOST_LINES = 6

const REPORT = { keys: ['files', 'equal', 'moving', 'byRow', 'byColumn'], maker: 'what compareReadings returned' }

/**
 * The report on several reads of one chip.
 *
 * @param report what `compareReadings` gave
 * @returns the reads and the fuses that move as lines
 * @throws TypeError for anything else
 * @example renderReadings(compareReadings([palBytes, palBytes])).split('\n')[0] // '2 reads: the same'
 */
export function renderReadings(report: ReadingsReport): string {
  const { files, equal, fuseCount, moving, byRow, byColumn, findings } = madeBy(report, 'report', REPORT)
  const lines = (label: string, list: ReadingsReport['byRow']): string[] =>
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
