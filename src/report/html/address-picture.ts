/**
 * The addresses of a captured image as a picture: a line of bars a data line, each bar as high as the share of ones in
 * its stretch of addresses; below a bar a mark where a row differs, and another where reads disagree.
 */
import type { CaptureReport, ReportedLine } from '../../jobs/capture/capture-report'
import type { Wiring } from '../../jobs/capture/wiring'
import { hexAddress } from '../../jobs/table/row-words'
import { counted } from '../answer'
import { runsOf } from '../layout'
import { round, text } from './drawing'
import { element, type Content } from './element'
import { levelsOver, type LineLevels } from './image-levels'
import { legend, shapePath, type LegendEntry, type ShapeName } from './marks'

/** Most stretches of addresses: eight pixels each, they fill half of a wide page. */
const MAX_STRETCHES = 64

/** Pixels of the labels, a stretch, a bar, the marks below it, the room to the next line, and the addresses above. */
const SIZE = { left: 100, stretch: 8, bar: 12, mark: 10, gap: 6, top: 18, letter: 6.1 } as const

/** Most places that the description names a line. */
const MAX_PLACES = 4

/** What is drawn of a data line. */
interface DrawnLine {
  readonly name: string
  readonly levels: LineLevels | null
  readonly differs: ReadonlySet<number>
  /** What stands at its end, and in the description. */
  readonly words: string
}

/** What the picture is made of. */
export interface ShownCapture {
  readonly report: CaptureReport
  readonly images: readonly Uint8Array[]
}

interface Scale {
  readonly addresses: number
  readonly stretches: number
}

/** The picture with what it shows in words; null where no level is known and no row differs. */
export function addressPicture({ report, images }: ShownCapture, id: string): Content {
  const { wiring, rows } = report
  if (!rows) return null
  const addresses = wiring ? 2 ** wiring.address.length : rows.all
  const scale = { addresses, stretches: Math.min(MAX_STRETCHES, addresses) }
  const levels = wiring && images.length > 0 ? levelsOver(images, wiring, scale.stretches) : null
  const lines = wiring ? wiredLines(report, wiring, { scale, levels }) : imageLines(report, scale)
  const isEmpty = lines.every((line) => line.levels === null && line.differs.size === 0)
  return isEmpty ? null : picture(lines, scale, id)
}

function wiredLines(
  report: CaptureReport,
  wiring: Wiring,
  { scale, levels }: { readonly scale: Scale; readonly levels: readonly LineLevels[] | null },
): DrawnLine[] {
  return wiring.data.flatMap((wire, line): DrawnLine[] => {
    if (!wire) return []
    const output = report.outputs.find(({ pin }) => pin === wire.pin)
    return [
      {
        name: `D${line}, pin ${wire.pin}`,
        levels: levels?.[line] ?? null,
        differs: output ? stretchesOf(output, { report, scale }) : new Set(),
        words: wiring.ignore.includes(wire.pin) ? 'not looked at' : lineWords(report, wire.pin, output),
      },
    ]
  })
}

/** Lines against another image: they have no pins. */
function imageLines(report: CaptureReport, scale: Scale): DrawnLine[] {
  return [...report.outputs]
    .sort((a, b) => a.line - b.line)
    .map((output) => ({
      name: `D${output.line}`,
      levels: null,
      differs: stretchesOf(output, { report, scale }),
      words: resultWords(output, report),
    }))
}

const stretchOf = (address: number, { addresses, stretches }: Scale): number =>
  Math.floor(address / (addresses / stretches))

/** Stretches with a row that differs: of all rows where they are listed or described in full, else of those listed. */
function stretchesOf(
  output: ReportedLine,
  { report, scale }: { readonly report: CaptureReport; readonly scale: Scale },
): ReadonlySet<number> {
  const { wiring } = report
  if (isListed(output) || !wiring || !isDescribed(output, report))
    return new Set(output.firstRows.map(({ address }) => stretchOf(address, scale)))
  const all = Array.from({ length: scale.stretches }, (_, stretch) => stretch)
  return new Set(all.filter((stretch) => meetsCover(stretch, output, { wiring, scale })))
}

const isListed = ({ firstRows, differingRows }: ReportedLine): boolean => firstRows.length === differingRows

/** What describes the rows that differ may cover rows that were not judged: it is exact where all were. */
function isDescribed({ differsWhere, ofRows }: ReportedLine, { rows }: CaptureReport): boolean {
  return differsWhere?.complete === true && ofRows === rows?.all
}

/** The upper address lines are fixed in a stretch: some product agrees with them, and the lower lines are free. */
function meetsCover(
  stretch: number,
  { differsWhere }: ReportedLine,
  { wiring, scale }: { readonly wiring: Wiring; readonly scale: Scale },
): boolean {
  const each = scale.addresses / scale.stretches
  return differsWhere!.products.some((product) =>
    wiring.address.every((wire, line) => {
      const level = wire ? product[wire.pin] : undefined
      if (level === undefined || 2 ** line < each) return true
      return level === (Math.floor((stretch * each) / 2 ** line) % 2 === (wire!.inverted ? 0 : 1) ? 1 : 0)
    }),
  )
}

function lineWords(report: CaptureReport, pin: number, output: ReportedLine | undefined): string {
  const { quality } = report
  const stuck = quality?.stuckOutputs.find((each) => each.pin === pin)
  const copy = quality?.copiedOutputs.find((each) => each.pin === pin)
  return [
    ...(output ? [resultWords(output, report)] : []),
    ...(stuck ? [`stuck at ${stuck.level}`] : []),
    ...(copy ? [`as pin ${copy.of}`] : []),
  ].join('; ')
}

/** How many rows differ, and that marks are missing where not all of them are listed. */
function resultWords(output: ReportedLine, report: CaptureReport): string {
  const { relation, differingRows, firstRows } = output
  if (relation !== 'different') return relation === 'equivalent' ? 'equal' : 'undecided'
  const isMarked = isListed(output) || (report.wiring !== null && isDescribed(output, report))
  const drawn = isMarked ? '' : `, the first ${firstRows.length} marked`
  return `${counted(differingRows, 'row')} ${differingRows === 1 ? 'differs' : 'differ'}${drawn}`
}

const xOf = (stretch: number): number => SIZE.left + stretch * SIZE.stretch
const yOf = (line: number): number => SIZE.top + line * (SIZE.bar + SIZE.mark + SIZE.gap)

function picture(lines: readonly DrawnLine[], scale: Scale, id: string): Content {
  const right = 8 + Math.ceil(SIZE.letter * Math.max(...lines.map(({ words }) => words.length)))
  const [width, height] = [xOf(scale.stretches) + right, yOf(lines.length)]
  const title = `${counted(lines.length, 'data line')} over ${counted(scale.addresses, 'address', 'addresses')}`
  const made = element(
    'svg',
    { role: 'img', width, height, viewBox: `0 0 ${width} ${height}`, 'aria-labelledby': `${id}-t ${id}-d` },
    element('title', { id: `${id}-t` }, title),
    element('desc', { id: `${id}-d` }, lines.map((line) => describeLine(line, scale)).join('. ')),
    quarters(scale, height),
    lines.map(({ name, words }, i) => [
      text(0, yOf(i) + SIZE.bar - 2, name, 'start'),
      text(xOf(scale.stretches) + 6, yOf(i) + SIZE.bar - 2, words, 'start'),
    ]),
    path('wire', lines.map(({ levels }, i) => (levels ? baseOf(i, scale) : ''))),
    path('thin', lines.map(({ levels }, i) => (levels ? '' : baseOf(i, scale)))),
    path('on', lines.map(({ levels }, i) => barsOf(levels, yOf(i)))),
    path('differs', lines.flatMap(({ differs }, i) => [...differs].map((at) => shapeAt('diamond', at, i)))),
    path('differs', lines.flatMap(({ levels }, i) => unlikeOf(levels).map((at) => shapeAt('tent', at, i)))),
  )
  return element(
    'figure',
    { role: 'group', 'aria-label': title, tabindex: 0 },
    made,
    legend(entriesOf(lines, scale)),
  )
}

const baseOf = (line: number, { stretches }: Scale): string =>
  `M${SIZE.left} ${yOf(line) + SIZE.bar}H${xOf(stretches)}`

function path(kind: string, parts: readonly string[]): Content {
  const d = parts.join('')
  return d === '' ? null : element('path', { class: kind, d })
}

/** A line and an address at each quarter. */
function quarters({ addresses, stretches }: Scale, height: number): Content {
  const at = [0, 1, 2, 3].map((quarter) => (quarter * stretches) / 4).filter(Number.isInteger)
  return [
    path('thin', [...at, stretches].map((stretch) => `M${xOf(stretch)} ${SIZE.top - 4}V${height}`)),
    ...at.map((stretch) =>
      stretch > 0 && stretches * SIZE.stretch < 4 * MIN_LABEL
        ? null
        : text(xOf(stretch), SIZE.top - 8, hexAddress((stretch * addresses) / stretches), 'start', 'soft'),
    ),
  ]
}

/** Pixels that an address takes above the picture. */
const MIN_LABEL = 52

function barsOf(levels: LineLevels | null, y: number): string {
  if (!levels) return ''
  const bars = Array.from(levels.ones, (ones, i) => {
    const height = round((SIZE.bar * ones) / levels.of)
    return height === 0 ? '' : `M${xOf(i)} ${round(y + SIZE.bar - height)}h${SIZE.stretch}v${height}h-${SIZE.stretch}z`
  })
  return bars.join('')
}

const unlikeOf = (levels: LineLevels | null): readonly number[] =>
  levels ? [...levels.unlike].flatMap((count, i) => (count > 0 ? [i] : [])) : []

function shapeAt(name: ShapeName, stretch: number, line: number): string {
  const middle = [xOf(stretch) + SIZE.stretch / 2, yOf(line) + SIZE.bar + SIZE.mark / 2 + 1] as const
  return shapePath(name, middle, 3.2)
}

/** One line of the picture in words. */
function describeLine({ name, levels, differs, words }: DrawnLine, scale: Scale): string {
  const ones = levels ? sum(levels.ones) : 0
  const unlike = unlikeOf(levels)
  return [
    `${name}: ${words || 'read'}`,
    ...(differs.size > 0 ? [`rows differ at ${placesWords([...differs], scale)}`] : []),
    ...(unlike.length > 0 ? [`reads disagree at ${placesWords(unlike, scale)}`] : []),
    ...(levels ? [`1 in ${Math.round((100 * ones) / (levels.of * scale.stretches))} % of the reads`] : []),
  ].join(', ')
}

const sum = (counts: Float64Array): number => counts.reduce((all, count) => all + count, 0)

/** Stretches as ranges of addresses. */
function placesWords(stretches: readonly number[], { addresses, stretches: count }: Scale): string {
  const each = addresses / count
  const runs = runsOf([...stretches].sort((a, b) => a - b)).map(([first, last]) => {
    const [from, to] = [first * each, (last + 1) * each - 1]
    return from === to ? hexAddress(from) : `${hexAddress(from)}-${hexAddress(to)}`
  })
  const left = runs.length - MAX_PLACES
  return `${runs.slice(0, MAX_PLACES).join(', ')}${left > 0 ? ` and ${counted(left, 'more place')}` : ''}`
}

function entriesOf(lines: readonly DrawnLine[], { addresses, stretches }: Scale): LegendEntry[] {
  const each = addresses / stretches
  const where = each === 1 ? '' : ` in a stretch of ${each} addresses`
  const hasLevels = lines.some(({ levels }) => levels !== null)
  const shows = (kind: string, words: string, shape: string): LegendEntry => ({ kind, words, path: shape })
  return [
    ...(hasLevels ? [shows('on', each === 1 ? '1' : `as high as the share of ones${where}`, 'M3 2h8v12h-8z')] : []),
    ...(hasLevels ? [shows('wire', each === 1 ? '0' : 'nothing but 0', 'M1 12H15')] : []),
    ...(lines.some(({ differs }) => differs.size > 0)
      ? [shows('differs', `a row differs${where}`, shapePath('diamond', [8, 8], 5))]
      : []),
    ...(lines.some(({ levels }) => unlikeOf(levels).length > 0)
      ? [shows('differs', `reads of one address disagree${where}`, shapePath('tent', [8, 8], 5))]
      : []),
  ]
}
