/** A report on a captured table as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { DifferingRow } from '../jobs/capture/compare-capture'
import { hexAddress } from '../jobs/table/row-words'
import type { Wire } from '../jobs/capture/wiring'
import type { CaptureReport, ReportedLine } from '../jobs/capture/capture-report'
import { findingLines, reportRow } from './layout'

const RELATIONS = {
  equivalent: 'equal in every row that was judged',
  different: 'different',
  undecided: 'undecided: neither equal nor different was shown',
  'not-comparable': 'not comparable: no conclusion',
} as const

const MOST_ROWS = 3
const MOST_ORDERS = 8

const REPORT = { keys: ['images', 'down', 'outputs', 'orders', 'scope'], maker: 'what examineCapture returned' }

/**
 * The report on a captured table.
 *
 * @param report what `examineCapture` gave
 * @returns quality, relation and differing rows as lines
 * @throws TypeError for anything else
 * @example renderCapture(examineCapture([image], { wiring })).includes('rows') // true
 */
export function renderCapture(report: CaptureReport): string {
  const { images, down, relation, device, rows, outputs, orders, scope } = madeBy(report, 'report', REPORT)
  const named = (name: string | null): string => name ?? 'without a name'
  return [
    `${images.map(named).join(', ') || 'image'}${relation === null ? ': captured table' : ` against ${report.against ?? 'the expected table'}: ${RELATIONS[relation]}`}`,
    ...down.map((name) => reportRow('counting down', named(name))),
    ...(device ? [reportRow('part', `${device.part}${device.mode ? ` (${device.mode})` : ''}`)] : []),
    ...wiringLines(report),
    ...(rows
      ? [
          reportRow(
            'rows',
            `${rows.all}, of which ${rows.judged} judged${leftWords(rows)}${rows.disagreeing ? ` and ${rows.disagreeing} not steady` : ''}`,
          ),
        ]
      : []),
    ...orders
      .slice(0, MOST_ORDERS)
      .map((order, i) =>
        reportRow(
          i === 0 ? 'orders' : '',
          `${order.order}: ${order.relation === 'equivalent' ? 'fits' : order.relation === 'undecided' ? 'undecided' : `differs in ${order.differingRows} rows of an output`}`,
        ),
      ),
    ...searchLines(report),
    ...outputs.flatMap(lineRows),
    ...findingLines(report.findings),
    '',
    reportRow('compared', scope.compared.join('; ') || 'nothing'),
    reportRow('not looked at', scope.notExamined.join('; ')),
    '',
  ].join('\n')
}

function leftWords({ misread, dontCare }: NonNullable<CaptureReport['rows']>): string {
  const left = [misread > 0 ? `${misread} misread` : '', dontCare > 0 ? `${dontCare} do not matter` : ''].filter(
    Boolean,
  )
  return left.length > 0 ? ` (${left.join(', ')})` : ''
}

function wireWords(wire: Wire | null): string {
  return wire ? `${wire.inverted ? '¬' : ''}${wire.pin}` : 'none'
}

const lineWords = (lines: readonly (string | null)[]): string => lines.map((line) => line ?? 'none').join(' ')

function wiringLines({ wiring, search }: CaptureReport): string[] {
  if (search?.lines)
    return [
      reportRow('wiring', search.relation === 'found' ? 'found' : 'nearest'),
      reportRow('', `address lines from A0 are ${lineWords(search.lines.address)} of the other image`),
      reportRow('', `data lines from D0 are ${lineWords(search.lines.data)} of the other image`),
    ]
  if (!wiring) return []
  const held = Object.entries(wiring.held).map(([pin, level]) => `${pin}=${level}`)
  const how = search ? (search.relation === 'found' ? 'found' : 'nearest') : (wiring.title ?? 'as described')
  return [
    reportRow('wiring', how),
    reportRow('', `address lines from A0 at pins ${wiring.address.map(wireWords).join(' ')}`),
    reportRow(
      '',
      `data lines from D0 at pins ${wiring.data.map(wireWords).join(' ')}${held.length ? `; held ${held.join(' ')}` : ''}`,
    ),
  ]
}

function searchLines({ search }: CaptureReport): string[] {
  if (!search) return []
  const { relation, equivalents, exchangeable } = search
  const groups = [...exchangeable.inputs, ...exchangeable.outputs].map((pins) => pins.join(' '))
  if (relation !== 'found')
    return [reportRow('search', relation === 'none' ? 'no wiring makes them equal' : 'undecided')]
  return [
    reportRow(
      'search',
      equivalents === '1' ? 'one wiring, and no other' : `${equivalents ?? 'uncounted'} wirings do the same`,
    ),
    ...(groups.length
      ? [reportRow('', `${search.lines ? 'lines' : 'pins'} that can be exchanged at will: ${groups.join('; ')}`)]
      : []),
  ]
}

function lineRows({
  pin,
  otherLine,
  line,
  relation,
  differingRows,
  openRows,
  offRows,
  ofRows,
  firstRows,
  differsWhere,
}: ReportedLine): string[] {
  const open = [openRows ? `${openRows} open` : '', offRows ? `${offRows} off and not judged` : '']
    .filter(Boolean)
    .join(', ')
  const head =
    relation === 'different'
      ? `differs in ${differingRows} of ${ofRows} rows`
      : relation === 'undecided'
        ? 'undecided'
        : `equal in ${ofRows} rows`
  return [
    reportRow(
      pin === null ? `D${line}` : `pin ${pin}`,
      `${pin === null ? `${otherLine} of the other` : `D${line}`}: ${head}${open ? `; ${open}` : ''}`,
    ),
    ...(differsWhere ? [reportRow('', `where ${differsWhere.text}`)] : []),
    ...firstRows.slice(0, MOST_ROWS).map((row) => reportRow('', rowWords(row))),
  ]
}

function rowWords({ address, inputs, captured, expected }: DifferingRow): string {
  const levels = Object.entries(inputs).map(([pin, level]) => `${pin}=${level}`)
  return `address ${hexAddress(address)}: captured ${captured}, expected ${expected} (${levels.join(' ')})`
}
