/** The page of a captured table: the answer with its cause, each output, the image over its addresses, its quality. */
import { bytesOf, listOf, madeBy, optionsOf } from '../../arguments/arguments'
import type { CaptureReport, ReportedLine } from '../../jobs/capture/capture-report'
import { imageSize, type Wire } from '../../jobs/capture/wiring'
import { hexAddress } from '../../jobs/table/row-words'
import { counted } from '../answer'
import {
  CAPTURE_REPORT,
  captureAnswer,
  causesOf,
  exchangeWords,
  leadOf,
  lineNames,
  lineResult,
  nameWords,
  orderWords,
  partWords,
  rowsWords,
  searchWords,
} from '../capture-text'
import { addressPicture } from './address-picture'
import type { Content } from './element'
import {
  answerOf,
  facts,
  findingSection,
  heading,
  highWords,
  hintOf,
  INPUTS_HEAD,
  pageOf,
  scopeSection,
  section,
  table,
  type Fact,
} from './page'

/** What a page shows besides the report. */
export interface CapturePageOptions {
  /** The images that were examined, in their order: their levels are drawn over the addresses. */
  readonly images?: readonly Uint8Array[]
}

/** What stands for the names of images that were read in a pair. */
const PULLED_READS = 'one with pull-ups, one with pull-downs'

/** Most rows of an output that the page lists; the picture marks all that the report holds. */
const MAX_ROWS = 4

/**
 * One self-contained page of HTML on a captured table: the verdict or the relation with its cause, what to do, each
 * output with rows in which it differs, the image over its addresses as a picture, quality and wiring, every finding.
 *
 * @param report what `examineCapture` returned; the more rows it lists (`maxRows`), the more of them are marked
 * @param options `images`: the images that were examined, whose levels are then drawn
 * @returns the page, in UTF-8 when it is written
 * @throws TypeError naming `report` or an option, RangeError for images that are not those of the report
 * @example capturePage(examineCapture([image], { wiring }), { images: [image] }).includes('<svg') // true
 */
export function capturePage(report: CaptureReport, options: CapturePageOptions = {}): string {
  madeBy(report, 'report', CAPTURE_REPORT)
  const { images = [] } = optionsOf(options, { images: true })
  listOf(images, 'options.images').forEach((image, i) => bytesOf(image, `options.images[${i}]`))
  refuseOthers(report, images)
  const { subject, answer } = captureAnswer(report)
  const lead = leadOf(report)
  return pageOf(
    { kind: 'capture', title: subject },
    heading(1, subject),
    answerOf(report.verdict, answer, causesOf(report, lead).filter(Boolean).join('; ')),
    section(2, 'What to do', lead ? facts([['what to do', hintOf(lead)]]) : null),
    section(2, 'Facts', facts(factsOf(report))),
    section(2, 'Quality of the captured table', facts(qualityOf(report))),
    section(2, 'Outputs', outputTable(report), exampleTable(report)),
    section(2, 'The image over its addresses', addressPicture({ report, images }, 'image')),
    section(2, 'Orders of the fuses', orderTable(report)),
    findingSection(report.findings, 2),
    scopeSection(scopeOf(report), 2),
  )
}

/** Without a comparison nothing was compared, and the table was still looked at. */
function scopeOf({ scope, rows }: CaptureReport): CaptureReport['scope'] {
  const isAlone = scope.compared.length === 0 && rows !== null
  return isAlone ? { ...scope, compared: [`${counted(rows.all, 'row')} of the captured table by itself`] } : scope
}

/** Images of another call would draw another chip. */
function refuseOthers({ images: names, rows, wiring }: CaptureReport, images: readonly Uint8Array[]): void {
  if (images.length > 0 && images.length !== names.length)
    throw new RangeError(`options.images: the report is about ${counted(names.length, 'image')}, not ${images.length}`)
  const size = rows && wiring ? imageSize(wiring) : null
  images.forEach(({ length }, i) => {
    if (size !== null && length !== size)
      throw new RangeError(`options.images[${i}] has ${counted(length, 'byte')}; those of the report have ${size}`)
  })
}

function factsOf(report: CaptureReport): readonly Fact[] {
  const { images, down, device, rows, search } = report
  return [
    ['images', images.map(nameWords).join(', ') || PULLED_READS],
    ...down.map((name): Fact => ['counting down', nameWords(name)]),
    ...(device ? [['part', partWords(device)] as const] : []),
    ...(rows ? [['rows', rowsWords(rows)] as const] : []),
    ...wiringFacts(report),
    ...(search ? [['exchange', exchangeWords(search) || 'no lines that can be exchanged are known'] as const] : []),
  ]
}

/** Lines by number, each with what it leads to. */
function linesWords(letter: 'A' | 'D', lines: readonly (string | null)[]): string {
  return lines.map((line, i) => `${letter}${i} ${line ?? 'nowhere'}`).join(', ')
}

const asLine = (line: string | null): string | null => line && `as ${line}`
const pinsAt = (wires: readonly (Wire | null)[]): (string | null)[] =>
  wires.map((wire) => wire && `pin ${wire.pin}${wire.inverted ? ' inverted' : ''}`)

function wiringFacts({ wiring, search }: CaptureReport): readonly Fact[] {
  const how = search ? searchWords(search) : (wiring?.title ?? 'as described')
  const { lines } = search ?? { lines: null }
  if (!wiring)
    return lines
      ? [
          ['wiring', how],
          ['address lines', `${linesWords('A', lines.address.map(asLine))} of the other image`],
          ['data lines', `${linesWords('D', lines.data.map(asLine))} of the other image`],
        ]
      : [['wiring', search ? how : 'not known']]
  const held = Object.entries(wiring.held).map(([pin, level]) => `pin ${pin} at ${level}`)
  return [
    ['wiring', how],
    ['address lines', linesWords('A', pinsAt(wiring.address))],
    ['data lines', linesWords('D', pinsAt(wiring.data))],
    ...(held.length > 0 ? [['held', held.join(', ')] as const] : []),
  ]
}

/** Outputs that are not equal first. */
function sorted({ outputs }: CaptureReport): readonly ReportedLine[] {
  const isEqual = ({ relation }: ReportedLine): boolean => relation === 'equivalent'
  return [...outputs.filter((output) => !isEqual(output)), ...outputs.filter(isEqual)]
}

function outputTable(report: CaptureReport): Content {
  return table(
    'Every output',
    ['Output', 'Line', 'Relation', 'Where'],
    sorted(report).map((line) => [...lineNames(line), lineResult(line), line.differsWhere?.text ?? '']),
  )
}

function exampleTable(report: CaptureReport): Content {
  const most = Math.max(0, ...report.outputs.map(({ firstRows, differingRows }) => differingRows - firstRows.length))
  const isCut = most > 0 || report.outputs.some(({ firstRows }) => firstRows.length > MAX_ROWS)
  return table(
    `Counterexamples: ${isCut ? `the first ${MAX_ROWS} rows in which an output differs` : 'every row that differs'}`,
    ['Output', 'Address', 'Levels', INPUTS_HEAD],
    sorted(report).flatMap((line) =>
      line.firstRows
        .slice(0, MAX_ROWS)
        .map(({ address, inputs, captured, expected }) => [
          lineNames(line)[0],
          hexAddress(address),
          `captured ${captured}, expected ${expected}`,
          highWords(inputs),
        ]),
    ),
  )
}

/** What each thing that a bad contact spoils looks like, also where nothing is wrong with it. */
function qualityOf(report: CaptureReport): readonly Fact[] {
  const { images, down, rows, quality, wiring } = report
  if (!rows) return []
  const reads: Fact = ['reads', readsWords(images.length + down.length, rows.disagreeing)]
  if (!quality) return [reads]
  const { allAlike, idleInputs, stuckOutputs, copiedOutputs } = quality
  const at = (letter: 'A' | 'D', pin: number): string => {
    const wires = letter === 'A' ? wiring?.address : wiring?.data
    return `${letter}${wires?.findIndex((wire) => wire?.pin === pin) ?? ''} (pin ${pin})`
  }
  const stuck = stuckOutputs.map(({ pin, level }) => `${at('D', pin)} reads ${level} in every row`)
  const copied = copiedOutputs.map(({ pin, of }) => `${at('D', pin)} reads as ${at('D', of)} does`)
  const idle = idleInputs.map((pin) => `${at('A', pin)} decides nothing`)
  return [
    reads,
    ...(allAlike === null ? [] : [['all outputs', `read ${allAlike} in every row`] as const]),
    ['address lines', idle.join('; ') || 'each decides some output'],
    ['data lines', [...stuck, ...copied].join('; ') || 'each moves, and none is the copy of another'],
  ]
}

function readsWords(count: number, disagreeing: number): string {
  if (count === 0) return PULLED_READS
  if (count === 1) return 'one, which does not show whether another read gives the same'
  return `${count}, which ${disagreeing === 0 ? 'agree in every row' : `disagree in ${counted(disagreeing, 'row')}`}`
}

function orderTable({ orders }: CaptureReport): Content {
  return table('Every order that was tried', ['Order', 'Result'], orders.map((each) => [each.order, orderWords(each)]))
}
