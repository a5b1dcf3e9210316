/** The catalogue and its parts as text for a person, no line over 80 columns that could be broken. */
import { listOf, madeBy } from '../arguments/arguments'
import type { DeviceFamily } from '../devices/catalogue'
import { checkedPart, fuseOf, type Device, type FuseBlock } from '../devices/device'
import { fuseOrders } from '../devices/fuse-orders'
import { inSigns } from './answer'
import { checkLook, lookOf, oneLine, row, type Look, type TextOptions } from './screen'

const FAMILY = { keys: ['title', 'devices'], maker: 'a family of deviceFamilies' }

/**
 * The catalogue by families, a line a part: name, pins, fuses, and as much of the title as a line holds.
 *
 * @param families what `deviceFamilies` gave
 * @param options width, ascii
 * @returns one line a part, by family
 * @throws TypeError for anything else, TypeError or RangeError for a wrong option
 * @example renderDevices(deviceFamilies()).includes('PALs of 20 pins') // true
 */
export function renderDevices(families: readonly DeviceFamily[], options: TextOptions = {}): string {
  listOf(families, 'families', 'a list of families').forEach((family, i) => {
    madeBy(family, `families[${i}]`, FAMILY)
    listOf(family.devices, `families[${i}].devices`, 'a list of parts').forEach((device, j) =>
      checkedPart(device, `families[${i}].devices[${j}]`),
    )
  })
  checkLook(options)
  return inSigns(families, options, familyLines)
}

function familyLines(families: readonly DeviceFamily[], options: TextOptions): string {
  const look = lookOf(options)
  return families
    .map(({ title, devices }) => [title, ...devices.map((device) => partLine(device, look)), ''].join('\n'))
    .join('\n')
}

function partLine({ part, pinCount, fuseCount, title, basis, modes }: Device, { width }: Look): string {
  const mark = modes.length === 0 || basis === 'published' ? '' : `${basis}: `
  // The pins have a column of their own.
  const about = `${mark}${title.replace(/, \d+ pins$/, '')}`
  const line = `  ${part.padEnd(7)} ${pinCount} pins ${String(fuseCount).padStart(5)} fuses  ${about}`
  return oneLine(line, width)
}

const BASIS_WORDS = {
  published: 'published',
  inferred: 'inferred, see the sources',
  unconfirmed: 'derived and not confirmed, check before use',
  memory: 'from memory, check before use',
} as const

/** The orders in which the fuses of a part may be numbered: their names, or with what they are. */
function orderRows(part: string, look: Look): string[] {
  const orders = fuseOrders(part)
  if (orders.length === 0) return []
  const rows = orders.map(({ name, description }) => row('', look.all ? `${name}: ${description}` : name, look))
  return [row('fuse orders', 'none is confirmed; choose one of these', look), ...rows]
}

function runWords(block: FuseBlock): string {
  const { first, count, run = 1, step = run } = block
  return `${first} to ${fuseOf(block, count - 1)}, ${run} together every ${step}`
}

/** A number with the range that begins there. */
function rangeWords(first: number, count: number, step = 1): string {
  if (count === 1) return String(first)
  const steps = step === 2 ? ', every second' : `, every ${step}th`
  return `${first} to ${first + (count - 1) * step}${step > 1 ? steps : ''}`
}

function blockWords(block: FuseBlock): string {
  return `${block.name} ${block.run === undefined ? rangeWords(block.first, block.count, block.step) : runWords(block)}`
}

/** Output cells with the rows that are theirs alone. */
function rowsOfCells({ cells }: Device): string {
  return cells
    .filter(({ rowCount }) => rowCount > 0)
    .map(({ pin, firstRow, rowCount }) => {
      const rows = rowCount > 1 ? `${firstRow}-${firstRow + rowCount - 1}` : firstRow
      return `pin ${pin}: ${rows}`
    })
    .join(', ')
}

/** The pins whose signals the columns of a mode carry, in the order of the columns. */
function columnWords({ name, columns }: Device['modes'][number]): string {
  return `${name ? `${name} mode, pins` : 'pins'} ${columns.join(', ')}`
}

/** Rows on the array of a part whose fuses are known: its fuses, its columns, the rows of its cells. */
function arrayRows(device: Device, look: Look): string[] {
  const { array, blocks, modes, part } = device
  const [even, odd] = array.complementFirst ? ['complements', 'true signals'] : ['true signals', 'complements']
  const rows = rowsOfCells(device)
  return [
    ...(modes.length > 0
      ? [row('array', `${array.rows} rows of ${array.columns} columns; even: ${even}, odd: ${odd}`, look)]
      : orderRows(part, look)),
    ...(blocks.length > 0 && modes.length > 0 ? [row('fuses of', blocks.map(blockWords).join('; '), look)] : []),
    ...(rows === '' ? [] : [row('rows of', rows, look)]),
    ...(modes.length > 0 ? [row('columns', modes.map(columnWords).join('; '), look)] : []),
  ]
}

/** Column at which the text of a row begins. */
const ROW_INDENT = 16

/**
 * One part: pins, fuse ranges, modes, sources. Remarks and sources take a line each unless all is asked for.
 *
 * @param device data of a part
 * @param options width, all
 * @returns pins, fuses and sources as lines
 * @throws TypeError for what is no part, TypeError or RangeError for a wrong option
 * @example renderDevice(listDevices()[0]!).split(':')[0] // '16V8'
 */
export function renderDevice(device: Device, options: TextOptions = {}): string {
  checkedPart(device, 'device')
  checkLook(options)
  return inSigns(device, options, deviceLines)
}

function deviceLines(device: Device, options: TextOptions): string {
  const look = lookOf(options)
  const room = look.all ? Infinity : look.width - ROW_INDENT
  const told = (label: string, text: string): string => row(label, oneLine(text, room), look)
  const isCut = [...device.remarks, ...device.sources].some((text) => text.length > room)
  const counts = [...(device.shorterCounts ?? []), device.fuseCount].join(' or ')
  return [
    `${device.part}: ${device.title}`,
    row('also named', device.aliases.join(', ') || 'no other name', look),
    row('pins', `${device.pinCount}; ground ${device.groundPin}, supply ${device.powerPin}`, look),
    ...(device.carriers ?? []).map(({ name, dipPins }) =>
      row(name, `contacts 1 to ${dipPins.length} are pins ${dipPins.map((pin) => pin || 'none').join(', ')}`, look),
    ),
    row('fuses', `${counts}; 0 is a connected fuse, 1 an open one`, look),
    ...arrayRows(device, look),
    row('basis', BASIS_WORDS[device.basis], look),
    ...device.remarks.map((remark) => told('remark', remark)),
    ...device.sources.map((source) => told('source', source)),
    ...(isCut && look.more !== undefined ? [row('', `some lines are cut (${look.more})`, look)] : []),
    '',
  ].join('\n')
}
