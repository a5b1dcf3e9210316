/**
 * The fuse map as a picture: a line of places for each row of the AND array, two places a signal, marked where the fuse
 * connects; behind a row what it comes to where no input decides it. Below it the fuses outside the array.
 */
import { fuseAt, type FuseMap } from '../../fuses/fuse-map'
import { arrayFuses, keyOfCell, type ColumnFeed, type Device } from '../../devices/device'
import { blockLines } from './block-picture'
import { SIZE, squarePath, text, type ShownMap } from './drawing'
import { element, type Content } from './element'
import { legend, markPath } from './marks'

/** Where the fuses of the array stand. */
interface Grid {
  readonly x: (column: number) => number
  readonly y: (row: number) => number
  readonly width: number
  readonly height: number
}

/** The picture of a map with what it shows in words; null for a part that is not decoded. */
export function mapPicture(shown: ShownMap, id: string): Content {
  const { decoded, fuses } = shown
  const { device, mode } = decoded
  if (!mode || fuses.length !== decoded.fuseCount) return null
  const labels = rowLabels(device)
  const grid = gridOf(device, labels)
  const rows = readRows(device, fuses)
  const below = blockLines(shown, grid.height + SIZE.cellGap)
  const height = grid.height + SIZE.cellGap + below.height
  const { rows: count, columns } = device.array
  const title = `AND array of a ${device.part}: ${count} rows of ${columns / 2} signals`
  const off = new Set(decoded.disabledRows.map(({ row }) => row))
  const picture = element(
    'svg',
    {
      role: 'img',
      width: grid.width,
      height,
      viewBox: `0 0 ${grid.width} ${height}`,
      'aria-labelledby': `${id}-t ${id}-d`,
    },
    element('title', { id: `${id}-t` }, title),
    element('desc', { id: `${id}-d` }, describeRows(rows, off)),
    element('path', { class: 'thin', d: separators(device, grid) }),
    mode.columns.map((feed, pair) => text(grid.x(2 * pair) + SIZE.fuse, SIZE.top - 8, feedWords(feed), 'middle')),
    [...labels].map(([row, label]) => text(0, grid.y(row) + 9, label, 'start')),
    rows.map((_, row) => text(SIZE.left - 6, grid.y(row) + 9, String(row), 'end', 'soft')),
    rowPaths(device, rows, grid),
    rows.map((row, i) => endWord(row, off.has(i), [grid.width - SIZE.right + 6, grid.y(i) + 9])),
    below.content,
    marksOf(shown, grid),
    below.marks,
  )
  return element('figure', { role: 'group', 'aria-label': title, tabindex: 0 }, picture, mapLegend())
}

/** A row as its fuses: true where one connects. */
type Row = readonly boolean[]

function readRows(device: Device, fuses: FuseMap): Row[] {
  const { rows, columns } = device.array
  const numbers = arrayFuses(device)
  return Array.from({ length: rows }, (_, row) =>
    Array.from(numbers.subarray(row * columns, (row + 1) * columns), (fuse) => fuseAt(fuses, fuse) === 0),
  )
}

const isIdle = (row: Row): boolean => row.some((connects, i) => i % 2 === 0 && connects && row[i + 1]!)
const isFree = (row: Row): boolean => row.every((connects) => !connects)

function describeRows(rows: readonly Row[], off: ReadonlySet<number>): string {
  const [idle, free] = [rows.filter(isIdle).length, rows.filter(isFree).length]
  const acting = rows.length - idle - free
  return [
    `${acting} of ${rows.length} rows hang on inputs`,
    `${idle} are 0 and ${free} are 1 whatever the inputs are`,
    `${off.size} are switched off.`,
  ].join('; ')
}

/** The first rows of cells, and rows that all registers share, with their names. */
function rowLabels({ cells, sharedRows }: Device): ReadonlyMap<number, string> {
  const labels = cells
    .filter(({ rowCount }) => rowCount > 0)
    .map((cell) => [cell.firstRow, cell.pin === null ? String(keyOfCell(cell)) : `pin ${cell.pin}`] as const)
  if (!sharedRows) return new Map(labels)
  return new Map([...labels, [sharedRows.reset, 'reset'], [sharedRows.clockedPreset, 'preset']])
}

function gridOf({ array: { rows, columns } }: Device, labels: ReadonlyMap<number, string>): Grid {
  const tops: number[] = []
  let top: number = SIZE.top
  for (let row = 0; row < rows; row++) {
    if (row > 0 && labels.has(row)) top += SIZE.cellGap
    tops.push(top)
    top += SIZE.fuse
  }
  const x = (column: number): number => SIZE.left + column * SIZE.fuse + (column >> 1) * SIZE.gap
  return { x, y: (row) => tops[row]!, width: x(columns) + SIZE.right, height: top }
}

function separators({ array: { columns } }: Device, { x, height }: Grid): string {
  const lines = Array.from({ length: columns / 2 + 1 }, (_, pair) => x(2 * pair) - SIZE.gap / 2)
  return lines.map((at) => `M${at} ${SIZE.top}V${height}`).join('')
}

function feedWords(feed: ColumnFeed): string {
  return typeof feed === 'number' ? `p${feed}` : `q${feed.cell}`
}

/** Squares where a signal acts, hollow ones where its complement does, a line through a row that is 0. */
function rowPaths({ array }: Device, rows: readonly Row[], { x, y }: Grid): Content {
  const paths = { on: '', ring: '', idle: '' }
  rows.forEach((row, i) => {
    if (isIdle(row)) paths.idle += `M${SIZE.left} ${y(i) + SIZE.fuse / 2}H${x(row.length) - SIZE.gap}`
    // A row that connects everything is what nobody has programmed: the line says it all.
    if (row.every(Boolean)) return
    row.forEach((connects, column) => {
      if (!connects) return
      const isTrue = (column % 2 === 0) !== (array.complementFirst === true)
      if (isTrue) paths.on += squarePath(x(column) + 2, y(i) + 2, 7)
      else paths.ring += squarePath(x(column) + 2.5, y(i) + 2.5, 6)
    })
  })
  return Object.entries(paths).map(([kind, d]) => (d === '' ? null : element('path', { class: kind, d })))
}

function endWord(row: Row, isOff: boolean, [x, y]: readonly [number, number]): Content {
  const word = isOff ? 'off' : isIdle(row) ? '0' : ''
  return word === '' && !isFree(row) ? null : text(x, y, word || '1', 'start', 'soft')
}

function marksOf({ differences = [] }: ShownMap, { x, y }: Grid): Content {
  const inArray = differences.filter(({ column }) => column !== null)
  if (inArray.length === 0) return null
  const half = SIZE.fuse / 2
  const d = inArray.map(({ role, row, column }) => markPath(role, [x(column!) + half, y(row!) + half], half))
  return element('path', { class: 'differs', d: d.join('') })
}

function mapLegend(): Content {
  return legend([
    { kind: 'on', path: squarePath(4, 4, 8), words: 'the signal acts in the row' },
    { kind: 'ring', path: squarePath(4, 4, 8), words: 'its complement acts' },
    { kind: 'idle', path: 'M0 8H16', words: 'the row is 0 (0 at its end), or nothing acts in it (1)' },
  ])
}
