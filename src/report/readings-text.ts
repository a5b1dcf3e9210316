/** Several reads of one chip as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { FindingCode } from '../findings/catalogue'
import type { Finding } from '../findings/finding'
import type { MovingFuse, ReadingsReport } from '../jobs/readings/readings'
import { answerLines, bounded, findingCause, gravestOf, inSigns, remarkRows, scopeRows, todoRows } from './answer'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'

/** Most fuses, files, errors and warnings, and notes that a screen has room for. */
const MOST_SHOWN = { fuses: 8, files: 4, grave: 2, notes: 2 } as const

/** Most fuses that the long form lists, and most rows and columns of either form. */
const MOST_FUSES = 40
const MOST_LINES = 6

/** What says most of reads that are not the same. */
const LEADING: readonly FindingCode[] = ['readings/unusable', 'readings/sizes-differ', 'readings/fuses-move']

const REPORT = { keys: ['files', 'equal', 'moving', 'byRow', 'byColumn'], maker: 'what compareReadings returned' }

/**
 * The report on several reads of one chip. A typical one fits a screen of 24 lines by 80 columns.
 *
 * @param report what `compareReadings` gave
 * @param options width, all, ascii, more
 * @returns the answer, what to do, the reads and the fuses that move as lines
 * @throws TypeError or RangeError that names the argument
 * @example renderReadings(compareReadings([palBytes, palBytes])).split('\n')[0] // '2 reads: the same: all 448 fuses.'
 */
export function renderReadings(report: ReadingsReport, options: TextOptions = {}): string {
  madeBy(report, 'report', REPORT)
  checkLook(options)
  return inSigns(report, options, renderSigned)
}

function renderSigned(report: ReadingsReport, options: TextOptions): string {
  const look = lookOf(options)
  const { files, equal, fuseCount, findings } = report
  const lead = gravestOf(findings, LEADING)
  const same = fuseCount === null ? 'not comparable' : 'not the same'
  const seen = fuseCount === null ? [] : [`${fuseCount} fuses of each read`]
  const count = equal && !lead ? [`all ${fuseCount} fuses`] : []
  return [
    answerLines(
      {
        subject: `${files.length} reads`,
        answer: equal ? sameWords(lead) : same,
        causes: [...count, findingCause(lead)],
      },
      look,
    ),
    ...todoRows(lead, look),
    '',
    ...bounded(
      files.map((name, i) => row(`read ${i + 1}`, name ?? 'without a name', look)),
      look.all ? Infinity : MOST_SHOWN.files,
      ['read', 'reads'],
      look,
    ),
    ...placeRows(report, look),
    ...remarkRows(
      findings,
      { said: findings.filter((each) => each === lead || each.code === 'readings/steady'), most: MOST_SHOWN },
      look,
    ),
    '',
    ...scopeRows(
      { seen, unseen: ['what is right', 'timing', 'drive'] },
      {
        compared: seen,
        notExamined: ['whether steady fuses are the right ones', 'timing', 'drive and supply'],
      },
      look,
    ),
    '',
  ].join('\n')
}

/** What equal reads are worth: nothing where all of them read as a blank chip does. */
function sameWords(lead: Finding | null): string {
  return lead?.code === 'readings/all-alike' ? 'the same, which says nothing' : 'the same'
}

function placeRows({ moving, byRow, byColumn }: ReadingsReport, look: Look): string[] {
  const lines = (label: string, list: ReadingsReport['byRow']): string[] => {
    if (list.length === 0) return []
    const shown = list.slice(0, MOST_LINES).map(({ index, count }) => `${index} (${count})`)
    return [row(label, shown.join(', ') + (list.length > MOST_LINES ? ', …' : ''), look)]
  }
  return [
    ...bounded(
      moving.map((fuse) => row(`fuse ${fuse.fuse}`, fuseWords(fuse), look)),
      look.all ? MOST_FUSES : MOST_SHOWN.fuses,
      ['fuse', 'fuses'],
      look,
    ),
    ...lines('by row', byRow),
    ...lines('by column', byColumn),
  ]
}

function fuseWords({ states, role, pin, row: line, column }: MovingFuse): string {
  const place = [role, pin ? `pin ${pin}` : '', line != null && column != null ? `row ${line} column ${column}` : '']
    .filter(Boolean)
    .join(', ')
  return `reads ${states.join(' ')}${place ? ` (${place})` : ''}`
}
