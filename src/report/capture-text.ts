/** A report on a captured table as text for a person. */
import { madeBy } from '../arguments/arguments'
import type { FindingCode } from '../findings/catalogue'
import type { Finding } from '../findings/finding'
import type { CaptureReport, ReportedLine } from '../jobs/capture/capture-report'
import type { DifferingRow } from '../jobs/capture/compare-capture'
import type { Wire } from '../jobs/capture/wiring'
import { hexAddress } from '../jobs/table/row-words'
import {
  answerLines,
  bounded,
  causeOf,
  counted,
  firstOf,
  gravestOf,
  inSigns,
  remarkRows,
  scopeRows,
  shortened,
  todoRows,
  withMore,
} from './answer'
import { checkLook, lookOf, row, type Look, type TextOptions } from './screen'

const RELATIONS = {
  equivalent: 'equal in every row judged',
  different: 'different',
  undecided: 'undecided',
  'not-comparable': 'not comparable',
} as const

/** What a verdict means for a table by itself. */
const VERDICTS = {
  pass: 'captured table (nothing speaks against it)',
  caution: 'captured table, caution (look before you rely on it)',
  fail: 'captured table, fail (do not rely on it)',
} as const

/** Most outputs, errors and warnings, and notes that a screen has room for; rows of an output, in short and in full. */
const MOST_SHOWN = { outputs: 2, grave: 1, notes: 1, orders: 3 } as const
const MOST_ROWS = { short: 1, all: 3 } as const

/** What a comparison hangs on, and what says most of it. */
const LEADING: readonly FindingCode[] = [
  'capture/no-logic',
  'capture/size',
  'capture/no-table-size',
  'capture/images-differ-in-size',
  'capture/wiring-does-not-fit',
  'capture/all-alike',
  'capture/against-resistor',
  'capture/noise',
  'capture/direction',
  'capture/no-wiring',
  'capture/wiring-undecided',
  'capture/no-order-fits',
  'capture/no-agreement',
  'capture/opposite-level',
  'capture/different',
  'capture/unwired-inputs',
  'capture/state',
  'capture/undecided',
]

const REPORT = { keys: ['images', 'down', 'outputs', 'orders', 'scope'], maker: 'what examineCapture returned' }

/**
 * The report on a captured table. A typical one fits a screen of 24 lines by 80 columns.
 *
 * @param report what `examineCapture` gave
 * @param options width, all, ascii, more
 * @returns the answer, what to do, wiring, rows and differing outputs as lines
 * @throws TypeError or RangeError that names the argument
 * @example renderCapture(examineCapture([image], { wiring })).includes('rows') // true
 */
export function renderCapture(report: CaptureReport, options: TextOptions = {}): string {
  madeBy(report, 'report', REPORT)
  checkLook(options)
  return inSigns(report, options, renderSigned)
}

function renderSigned(report: CaptureReport, options: TextOptions): string {
  const look = lookOf(options)
  const { images, down, relation, device, findings, scope } = report
  const lead = leadOf(report)
  const named = images.map(nameWords).join(', ') || 'image'
  return [
    answerLines(
      {
        subject: relation === null ? named : `${named} against ${report.against ?? 'the expected table'}`,
        answer: relation === null ? VERDICTS[report.verdict] : RELATIONS[relation],
        causes: causesOf(report, lead),
      },
      look,
    ),
    ...todoRows(lead, look),
    '',
    ...down.map((name) => row('counting down', nameWords(name), look)),
    ...(device ? [row('part', `${device.part}${device.mode ? ` (${device.mode})` : ''}`, look)] : []),
    ...wiringRows(report, look),
    ...countRows(report, look),
    ...orderRows(report, look),
    ...outputRows(report, look),
    ...remarkRows(findings, { said: saidBy(report, lead), most: MOST_SHOWN }, look),
    '',
    ...scopeRows({ seen: seenWords(report), unseen: ['orders of addresses', 'timing', 'drive'] }, scope, look),
    '',
  ].join('\n')
}

const nameWords = (name: string | null): string => name ?? 'without a name'

function leadOf({ relation, findings }: CaptureReport): Finding | null {
  const decided = relation === null || relation === 'equivalent'
  return (decided ? null : firstOf(findings, LEADING)) ?? gravestOf(findings, LEADING)
}

/** What the first sentence, or a row below it, has said already. */
function saidBy({ findings, outputs }: CaptureReport, lead: Finding | null): readonly Finding[] {
  return findings.filter(
    (each) =>
      each === lead ||
      each.code === 'capture/wiring-found' ||
      (each.code === 'capture/different' && outputs.length > 0),
  )
}

function causesOf({ relation, rows, verdict, outputs }: CaptureReport, lead: Finding | null): string[] {
  if (relation !== 'equivalent') return [causeOf(lead), ...differingWords(outputs, lead)]
  return [rows ? counted(rows.judged, 'row') : '', lead ? `${verdict}: ${causeOf(lead)}` : '']
}

/** How many outputs differ, where the lead says only why. */
function differingWords(outputs: readonly ReportedLine[], lead: Finding | null): string[] {
  if (lead?.code !== 'capture/no-agreement' && lead?.code !== 'capture/opposite-level') return []
  const count = outputs.filter(({ relation }) => relation === 'different').length
  return [`${count} of ${counted(outputs.length, 'output')} ${count === 1 ? 'differs' : 'differ'}`]
}

function countRows({ rows }: CaptureReport, look: Look): string[] {
  if (!rows) return []
  const { all, judged, misread, dontCare, disagreeing } = rows
  const left = [
    ...(misread > 0 ? [`${misread} misread`] : []),
    ...(dontCare > 0 ? [`${dontCare} do not matter`] : []),
    ...(disagreeing > 0 ? [`${disagreeing} not steady`] : []),
  ].join(', ')
  return [row('rows', `${all}, of which ${judged} judged${left === '' ? '' : ` (${left})`}`, look)]
}

function wireWords(wire: Wire | null): string {
  return wire ? `${wire.inverted ? '¬' : ''}${wire.pin}` : 'none'
}

const lineWords = (lines: readonly (string | null)[]): string => lines.map((line) => line ?? 'none').join(' ')

function wiringRows({ wiring, search }: CaptureReport, look: Look): string[] {
  const how = search ? searchWords(search) : (wiring?.title ?? 'as described')
  if (search?.lines)
    return [
      row('wiring', how, look),
      row('', `address lines from A0: ${lineWords(search.lines.address)} of the other image`, look),
      row('', `data lines from D0: ${lineWords(search.lines.data)} of the other image`, look),
      ...groupRows(search, look),
    ]
  if (!wiring) return search ? [row('wiring', how, look)] : []
  const held = Object.entries(wiring.held).map(([pin, level]) => `${pin}=${level}`)
  return [
    row('wiring', how, look),
    row('', `A0 … at pins ${wiring.address.map(wireWords).join(' ')}`, look),
    row(
      '',
      `D0 … at pins ${wiring.data.map(wireWords).join(' ')}${held.length ? `; held ${held.join(' ')}` : ''}`,
      look,
    ),
    ...(search ? groupRows(search, look) : []),
  ]
}

/** What the search gave. */
function searchWords({ relation, equivalents }: NonNullable<CaptureReport['search']>): string {
  if (relation === 'none') return 'the nearest: no wiring makes them equal'
  if (relation === 'undecided') return 'the nearest: the search was not decided'
  return equivalents === '1' ? 'found, and no other fits' : `found; ${equivalents ?? 'uncounted'} wirings do the same`
}

/** What can be exchanged at will. */
function groupRows({ relation, exchangeable, lines }: NonNullable<CaptureReport['search']>, look: Look): string[] {
  const groups = [...exchangeable.inputs, ...exchangeable.outputs].map((pins) => pins.join(' '))
  if (relation !== 'found' || groups.length === 0) return []
  return [row('', `${lines ? 'lines' : 'pins'} that can be exchanged at will: ${groups.join('; ')}`, look)]
}

function orderRows({ orders }: CaptureReport, look: Look): string[] {
  const rows = orders.map(({ order, relation, differingRows }, i) => {
    const differs = `differs in ${counted(differingRows, 'row')} of an output`
    const words = relation === 'equivalent' ? 'fits' : relation === 'undecided' ? 'undecided' : differs
    return row(i === 0 ? 'orders' : '', `${order}: ${words}`, look)
  })
  return bounded(rows, look.all ? Infinity : MOST_SHOWN.orders, ['order', 'orders'], look)
}

/** In short the outputs that are not equal, in full all of them. */
function outputRows({ outputs }: CaptureReport, look: Look): string[] {
  const equal = outputs.filter(({ relation }) => relation === 'equivalent')
  const others = look.all ? outputs : outputs.filter(({ relation }) => relation !== 'equivalent')
  if (outputs.length === 0) return []
  return [
    ...(look.all ? [] : [row('outputs', `${equal.length} of ${outputs.length} equal`, look)]),
    ...bounded(
      others.map((line) => lineRows(line, look).join('\n')),
      look.all ? Infinity : MOST_SHOWN.outputs,
      ['output', 'outputs'],
      look,
    ),
  ]
}

function lineRows(line: ReportedLine, look: Look): string[] {
  const { pin, otherLine, differsWhere, firstRows } = line
  const name = pin === null ? `D${line.line}` : `pin ${pin}`
  const place = pin === null ? `${otherLine} of the other` : `D${line.line}`
  return [
    row(name, `${place}: ${lineResult(line)}`, look),
    ...(differsWhere ? [row('', `where ${shortened(differsWhere.text, look)}`, look)] : []),
    ...firstRows.slice(0, MOST_ROWS[look.all ? 'all' : 'short']).map((each) => row('', rowWords(each, look), look)),
  ]
}

function lineResult({ relation, differingRows, openRows, offRows, ofRows }: ReportedLine): string {
  const open = [
    ...(openRows > 0 ? [`${openRows} open`] : []),
    ...(offRows > 0 ? [`${offRows} off and not judged`] : []),
  ].join(', ')
  const isOpposite = differingRows === ofRows && openRows === 0
  const differs = isOpposite ? `differs in all ${ofRows} rows` : `differs in ${differingRows} of ${ofRows} rows`
  const equal = relation === 'undecided' ? 'undecided' : `equal in ${ofRows} rows`
  return `${relation === 'different' ? differs : equal}${open === '' ? '' : `; ${open}`}`
}

function rowWords({ address, inputs, captured, expected }: DifferingRow, look: Look): string {
  const levels = Object.entries(inputs).map(([pin, level]) => `${pin}=${level}`)
  const words = `address ${hexAddress(address)}: captured ${captured}, expected ${expected}`
  return withMore(words, ` (${levels.join(' ')})`, look)
}

function seenWords({ rows, relation, outputs }: CaptureReport): string[] {
  if (!rows) return []
  return relation === null || outputs.length === 0
    ? [counted(rows.all, 'row')]
    : [`${counted(rows.judged, 'row')} of ${counted(outputs.length, 'output')}`]
}
