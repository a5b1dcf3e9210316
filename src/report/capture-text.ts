/** A report on a captured table as text for a person. */
import type { ComparedLine, DifferingRow } from '../jobs/capture/compare-capture'
import type { Wire } from '../jobs/capture/wiring'
import type { CaptureReport } from '../jobs/capture/capture-report'
import { findingLines, reportRow } from './layout'

const RELATIONS = {
  equivalent: 'equal in every row that was judged',
  different: 'different',
  undecided: 'undecided: neither equal nor different was shown',
  'not-comparable': 'not comparable: no conclusion',
} as const

const MOST_ROWS = 3
const MOST_ORDERS = 8

/** The report on a captured table. */
export function renderCapture(report: CaptureReport): string {
  const { images, down, relation, device, rows, outputs, orders, scope } = report
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
            `${rows.all}, of which ${rows.judged} judged${rows.disagreeing ? ` and ${rows.disagreeing} not steady` : ''}`,
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

function wireWords(wire: Wire | null): string {
  return wire ? `${wire.inverted ? '¬' : ''}${wire.pin}` : 'none'
}

function wiringLines({ wiring, search }: CaptureReport): string[] {
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
    ...(groups.length ? [reportRow('', `pins that can be exchanged at will: ${groups.join('; ')}`)] : []),
  ]
}

function lineRows({
  pin,
  line,
  relation,
  differingRows,
  openRows,
  offRows,
  ofRows,
  firstRows,
  differsWhere,
}: ComparedLine): string[] {
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
    reportRow(`pin ${pin}`, `D${line}: ${head}${open ? `; ${open}` : ''}`),
    ...(differsWhere ? [reportRow('', `where ${differsWhere.text}`)] : []),
    ...firstRows.slice(0, MOST_ROWS).map((row) => reportRow('', rowWords(row))),
  ]
}

function rowWords({ address, inputs, captured, expected }: DifferingRow): string {
  const levels = Object.entries(inputs).map(([pin, level]) => `${pin}=${level}`)
  return `address ${address.toString(16).toUpperCase().padStart(4, '0')}: captured ${captured}, expected ${expected} (${levels.join(' ')})`
}
