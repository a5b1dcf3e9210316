/**
 * The nets of a board as a picture of lines: a line a net, a column each for the socket, for every part, for the
 * resistors and for every diode. Where something is at a net its sign stands on the line; a diode leads from one line
 * to another. What is wrong stands in words at the end of the line, with a mark.
 */
import type { Board, Direction } from '../../jobs/board/board'
import { counted } from '../answer'
import { text } from './drawing'
import { element, type Content } from './element'
import { legend, shapePath, type LegendEntry, type ShapeName } from './marks'
import type { NetEnds } from './net-ends'

/** Most nets and columns that are drawn: past them nobody follows a line any more, and the table says it all. */
const MAX_NETS = 200
const MAX_COLUMNS = 150

/** Pixels of a net, of a letter, of a sign, between columns, and of the names above. */
const SIZE = { net: 18, letter: 6.1, half: 4.5, gap: 10, top: 22 } as const

/** Characters of a name that fit before a line, and above a column. */
const MAX_NAME = { net: 16, column: 10 } as const

/** Columns by where they begin, and the room for signs in front of the words of a pin or a resistor. */
interface Columns {
  readonly outsideRoom: number
  readonly pullRoom: number
  readonly outside: number
  readonly parts: readonly number[]
  readonly pulls: number
  readonly diodes: readonly number[]
  readonly end: number
}

/** True where a board is small enough to be drawn. */
export function isDrawn({ parts, diodes = [] }: Board, nets: readonly NetEnds[]): boolean {
  return nets.length <= MAX_NETS && parts.length + diodes.length <= MAX_COLUMNS
}

/** The picture of the nets, with what it shows in words. */
export function boardPicture(board: Board, nets: readonly NetEnds[], id: string): Content {
  const columns = columnsOf(board, nets)
  const longest = Math.max(0, ...nets.map(({ remarks }) => remarks.join('; ').length))
  const width = columns.end + (longest === 0 ? 0 : 16 + Math.ceil(SIZE.letter * longest))
  const height = SIZE.top + nets.length * SIZE.net
  const title = titleOf(board, nets)
  const picture = element(
    'svg',
    { role: 'img', width, height, viewBox: `0 0 ${width} ${height}`, 'aria-labelledby': `${id}-t ${id}-d` },
    element('title', { id: `${id}-t` }, title),
    element('desc', { id: `${id}-d` }, describe(nets)),
    headings(board, columns),
    path('wire', nets.map((net, i) => lineOf(net, { columns, board, y: yOf(i) }))),
    path('ring', (board.diodes ?? []).map(({ name }, i) => diodeLine(name, nets, columns.diodes[i]!))),
    nets.map((net, i) => signs(net, { columns, board, y: yOf(i) })),
    nets.map((net, i) => [
      text(0, yOf(i) + 3.5, shortened(net.name, MAX_NAME.net), 'start'),
      remarkOf(net, [columns.end + 6, yOf(i)]),
    ]),
  )
  return element('figure', { role: 'group', 'aria-label': title, tabindex: 0 }, picture, legend(entriesOf(nets)))
}

const yOf = (net: number): number => SIZE.top + net * SIZE.net + SIZE.net / 2

const shortened = (name: string, most: number): string => (name.length > most ? `${name.slice(0, most - 1)}…` : name)

const widthOf = (words: string): number => Math.ceil(SIZE.letter * words.length)

function path(kind: string, parts: readonly string[]): Content {
  const d = parts.join('')
  return d === '' ? null : element('path', { class: kind, d })
}

function titleOf({ parts, diodes = [], resistors = [] }: Board, nets: readonly NetEnds[]): string {
  const around = [counted(parts.length, 'part'), counted(diodes.length, 'diode'), counted(resistors.length, 'resistor')]
  return `${counted(nets.length, 'net')} between socket, ${around.join(', ')}`
}

function describe(nets: readonly NetEnds[]): string {
  const odd = nets.filter(({ remarks }) => remarks.length > 0)
  const words = odd.map(({ name, remarks }) => `${name}: ${remarks.join(', ')}`).join('; ')
  return `${odd.length === 0 ? 'No net has a remark' : `Remarks: ${words}`}. The table of nets below it says the same.`
}

/** Words in the boxes of a net, by column. */
const outsideWords = ({ outside }: NetEnds): string => outside.map(pinWords).join(' ')
const pinWords = ({ pin, held }: NetEnds['outside'][number]): string => `${pin}${held === undefined ? '' : `=${held}`}`
const pullWords = ({ pulls }: NetEnds): string => pulls.map(({ name }) => shortened(name, MAX_NAME.column)).join(' ')

function columnsOf({ parts, diodes = [] }: Board, nets: readonly NetEnds[]): Columns {
  let x = SIZE.gap + Math.max(0, ...nets.map(({ name }) => widthOf(shortened(name, MAX_NAME.net))))
  const column = (widest: number): number => {
    const at = x
    x += widest + SIZE.gap
    return at
  }
  const widest = (words: (net: NetEnds) => string, head: string, room: number): number =>
    Math.max(widthOf(head), ...nets.map((net) => (words(net) === '' ? 0 : room + widthOf(words(net)))))
  const outsideRoom = roomFor(nets.map((net) => net.outside.length))
  const pullRoom = roomFor(nets.map((net) => net.pulls.length))
  const outside = column(widest(outsideWords, 'socket', outsideRoom + BOX))
  const partColumns = parts.map(({ name }, i) =>
    column(widest(({ pins }) => pins[i]!.join(' '), shortened(name, MAX_NAME.column), BOX)),
  )
  const pulls = nets.some((net) => net.pulls.length > 0) ? column(widest(pullWords, 'pulls', pullRoom + BOX)) : x
  const diodeColumns = diodes.map(({ name }) => column(Math.max(4, widthOf(shortened(name, MAX_NAME.column)) - 2)))
  return { outsideRoom, pullRoom, outside, parts: partColumns, pulls, diodes: diodeColumns, end: x }
}

/** Pixels of signs that stand side by side. */
const roomFor = (counts: readonly number[]): number => 4 + 2 * SIZE.half * Math.max(1, ...counts)
const signAt = (x: number, i: number): number => x + SIZE.half + 2 * SIZE.half * i

/** Pixels of a box besides its words. */
const BOX = 6

function headings({ parts, diodes = [] }: Board, columns: Columns): Content {
  const head = (x: number, name: string): Content => text(x, 10, shortened(name, MAX_NAME.column), 'start', 'soft')
  return [
    head(columns.outside, 'socket'),
    parts.map(({ name }, i) => head(columns.parts[i]!, name)),
    columns.pulls < (columns.diodes[0] ?? columns.end) ? head(columns.pulls, 'pulls') : null,
    diodes.map(({ name }, i) => head(columns.diodes[i]!, name)),
  ]
}

interface Row {
  readonly columns: Columns
  readonly board: Board
  readonly y: number
}

const diodeNames = ({ diodes = [] }: Board): readonly string[] => diodes.map(({ name }) => name)

/** A line from the first end of a net to its last one. */
function lineOf(net: NetEnds, { columns, board, y }: Row): string {
  const diodes = diodeNames(board)
  const ends = [
    ...(net.outside.length > 0 ? [columns.outside + 2] : []),
    ...net.pins.flatMap((pins, i) => (pins.length > 0 ? [columns.parts[i]! + 4] : [])),
    ...(net.pulls.length > 0 ? [columns.pulls + SIZE.half] : []),
    ...[...net.anodes, ...net.cathodes].map((name) => columns.diodes[diodes.indexOf(name)]! + SIZE.half),
  ]
  return ends.length === 0 ? '' : `M${Math.min(...ends)} ${y}H${Math.max(...ends)}`
}

function diodeLine(name: string, nets: readonly NetEnds[], x: number): string {
  const from = nets.findIndex(({ anodes }) => anodes.includes(name))
  const to = nets.findIndex(({ cathodes }) => cathodes.includes(name))
  return `M${x + SIZE.half} ${yOf(from)}V${yOf(to)}`
}

const OUTSIDE_SHAPES: Readonly<Record<Direction, ShapeName>> = {
  input: 'flag',
  output: 'pennant',
  both: 'diamond',
  supply: 'tent',
  ground: 'funnel',
}

/** What is at a net, on its line. */
function signs(net: NetEnds, { columns, board, y }: Row): Content {
  const diodes = diodeNames(board)
  const shapes = net.outside.map(({ direction }, i) =>
    shapePath(OUTSIDE_SHAPES[direction], [signAt(columns.outside, i), y], SIZE.half - 0.5),
  )
  const pulls = net.pulls.map(({ to }, i) =>
    shapePath(to === 'supply' ? 'tent' : 'funnel', [signAt(columns.pulls, i), y], SIZE.half - 0.5),
  )
  const dots = (names: readonly string[], radius: number): string[] =>
    names.map((name) => dotPath(columns.diodes[diodes.indexOf(name)]! + SIZE.half, y, radius))
  return [
    path('on', [...shapes, ...pulls]),
    net.outside.length > 0 ? boxed(outsideWords(net), columns.outside + columns.outsideRoom, y) : null,
    net.pins.map((pins, i) => (pins.length === 0 ? null : boxed(pins.join(' '), columns.parts[i]!, y))),
    net.pulls.length > 0 ? boxed(pullWords(net), columns.pulls + columns.pullRoom, y) : null,
    path('open', dots(net.anodes, 3.5)),
    path('on', dots(net.cathodes, 3)),
  ]
}

function dotPath(x: number, y: number, radius: number): string {
  return `M${x - radius} ${y}a${radius} ${radius} 0 1 0 ${2 * radius} 0a${radius} ${radius} 0 1 0 -${2 * radius} 0z`
}

/** Words in a box on the line, so that the line does not cross them. */
function boxed(words: string, x: number, y: number): Content {
  const width = widthOf(words) + BOX
  return [
    element('path', { class: 'open', d: `M${x} ${y - 7}h${width}v14h-${width}z` }),
    text(x + 3, y + 3.5, words, 'start'),
  ]
}

function remarkOf({ remarks }: NetEnds, [x, y]: readonly [number, number]): Content {
  if (remarks.length === 0) return null
  return [
    element('path', { class: 'differs', d: shapePath('diamond', [x, y], SIZE.half) }),
    text(x + 9, y + 3.5, remarks.join('; '), 'start', 'named'),
  ]
}

const REMARK = 'something is wrong, differs or is not known'

function entriesOf(nets: readonly NetEnds[]): LegendEntry[] {
  const has = (direction: Direction): boolean =>
    nets.some(({ outside }) => outside.some((pin) => pin.direction === direction))
  const sign = (name: ShapeName, words: string): LegendEntry => ({
    kind: 'on',
    path: shapePath(name, [8, 8], 5),
    words,
  })
  const rail = (name: ShapeName, to: 'supply' | 'ground'): LegendEntry[] => {
    const words = [
      ...(has(to) ? [to] : []),
      ...(nets.some((net) => net.pulls.some((pull) => pull.to === to)) ? [`a resistor to ${to}`] : []),
    ]
    return words.length === 0 ? [] : [sign(name, words.join(', or '))]
  }
  return [
    ...(has('input') ? [sign('flag', 'input of the board; a held one with its level')] : []),
    ...(has('output') ? [sign('pennant', 'output of the board')] : []),
    ...(has('both') ? [sign('diamond', 'both')] : []),
    ...rail('tent', 'supply'),
    ...rail('funnel', 'ground'),
    ...(nets.some(({ anodes }) => anodes.length > 0)
      ? [
          { kind: 'open', path: dotPath(8, 8, 5), words: 'anode of a diode' },
          { kind: 'on', path: dotPath(8, 8, 4), words: 'its cathode' },
        ]
      : []),
    ...(nets.some(({ remarks }) => remarks.length > 0)
      ? [{ kind: 'differs', path: shapePath('diamond', [8, 8], 5), words: REMARK }]
      : []),
  ]
}
