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
  findingCause,
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

/** What makes a report on a capture. */
export const CAPTURE_REPORT = {
  keys: ['images', 'down', 'outputs', 'orders', 'scope'],
  maker: 'what examineCapture returned',
}

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
  madeBy(report, 'report', CAPTURE_REPORT)
  checkLook(options)
  return inSigns(report, options, renderSigned)
}

function renderSigned(report: CaptureReport, options: TextOptions): string {
  const look = lookOf(options)
  const { down, device, findings, scope } = report
  const lead = leadOf(report)
  return [
    answerLines({ ...captureAnswer(report), causes: causesOf(report, lead) }, look),
    ...todoRows(lead, look),
    '',
    ...down.map((name) => row('counting down', nameWords(name), look)),
    ...(device ? [row('part', partWords(device), look)] : []),
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

/** An image by its name. */
export const nameWords = (name: string | null): string => name ?? 'without a name'

/** What a report is about, and its answer without the cause. */
export function captureAnswer({ images, relation, against, verdict }: CaptureReport): {
  readonly subject: string
  readonly answer: string
} {
  const named = images.map(nameWords).join(', ') || 'image'
  return {
    subject: relation === null ? named : `${named} against ${against ?? 'the expected table'}`,
    answer: relation === null ? VERDICTS[verdict] : RELATIONS[relation],
  }
}

/** The finding that leads: of a comparison the one that it hangs on, else the gravest. */
export function leadOf({ relation, findings }: CaptureReport): Finding | null {
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

/** The causes of the answer, as clauses of its sentence. */
export function causesOf({ relation, rows, verdict, outputs }: CaptureReport, lead: Finding | null): string[] {
  if (relation !== 'equivalent') return [findingCause(lead), ...differingWords(outputs, lead)]
  return [rows ? counted(rows.judged, 'row') : '', lead ? `${verdict}: ${findingCause(lead)}` : '']
}

/** How many outputs differ, where the lead says only why. */
function differingWords(outputs: readonly ReportedLine[], lead: Finding | null): string[] {
  if (lead?.code !== 'capture/no-agreement' && lead?.code !== 'capture/opposite-level') return []
  const count = outputs.filter(({ relation }) => relation === 'different').length
  return [`${count} of ${counted(outputs.length, 'output')} ${count === 1 ? 'differs' : 'differ'}`]
}

/** The part that an image was compared with. */
export function partWords({ part, mode }: NonNullable<CaptureReport['device']>): string {
  return `${part}${mode ? ` (${mode})` : ''}`
}

function countRows({ rows }: CaptureReport, look: Look): string[] {
  return rows ? [row('rows', rowsWords(rows), look)] : []
}

/** How many rows there are, and what became of those that were not judged. */
export function rowsWords(rows: NonNullable<CaptureReport['rows']>): string {
  const { all, judged, misread, dontCare, disagreeing } = rows
  const left = [
    ...(misread > 0 ? [`${misread} misread`] : []),
    ...(dontCare > 0 ? [`${dontCare} do not matter`] : []),
    ...(disagreeing > 0 ? [`${disagreeing} not steady`] : []),
  ].join(', ')
  return `${all}, of which ${judged} judged${left === '' ? '' : ` (${left})`}`
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
export function searchWords({ relation, equivalents }: NonNullable<CaptureReport['search']>): string {
  if (relation === 'none') return 'the nearest: no wiring makes them equal'
  if (relation === 'undecided') return 'the nearest: the search was not decided'
  return equivalents === '1' ? 'found, and no other fits' : `found; ${equivalents ?? 'uncounted'} wirings do the same`
}

function groupRows(search: NonNullable<CaptureReport['search']>, look: Look): string[] {
  const words = exchangeWords(search)
  return words === '' ? [] : [row('', words, look)]
}

/** What can be exchanged at will; empty where nothing can. */
export function exchangeWords({ relation, exchangeable, lines }: NonNullable<CaptureReport['search']>): string {
  const groups = [...exchangeable.inputs, ...exchangeable.outputs].map((pins) => pins.join(' '))
  if (relation !== 'found' || groups.length === 0) return ''
  return `${lines ? 'lines' : 'pins'} that can be exchanged at will: ${groups.join('; ')}`
}

function orderRows({ orders }: CaptureReport, look: Look): string[] {
  const rows = orders.map((each, i) => row(i === 0 ? 'orders' : '', `${each.order}: ${orderWords(each)}`, look))
  return bounded(rows, look.all ? Infinity : MOST_SHOWN.orders, ['order', 'orders'], look)
}

/** What became of an order of fuses that was tried. */
export function orderWords({ relation, differingRows }: CaptureReport['orders'][number]): string {
  if (relation === 'equivalent') return 'fits'
  return relation === 'undecided' ? 'undecided' : `differs in ${counted(differingRows, 'row')} of an output`
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

/** An output by its pin, or by its line against an image, which has no pins; and the line that belongs to it. */
export function lineNames({ pin, line, otherLine }: ReportedLine): readonly [name: string, place: string] {
  return pin === null ? [`D${line}`, `${otherLine} of the other`] : [`pin ${pin}`, `D${line}`]
}

function lineRows(line: ReportedLine, look: Look): string[] {
  const { differsWhere, firstRows } = line
  const [name, place] = lineNames(line)
  return [
    row(name, `${place}: ${lineResult(line)}`, look),
    ...(differsWhere ? [row('', `where ${shortened(differsWhere.text, look)}`, look)] : []),
    ...firstRows.slice(0, MOST_ROWS[look.all ? 'all' : 'short']).map((each) => row('', rowWords(each, look), look)),
  ]
}

/** What became of an output, in words with its rows. */
export function lineResult({ relation, differingRows, openRows, offRows, ofRows }: ReportedLine): string {
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
