/** The catalogue and its parts as text for a person, no line over 80 columns that could be broken. */
import { listOf, madeBy } from '../arguments/arguments'
import type { DeviceFamily } from '../devices/catalogue'
import { checkedPart, fuseOf, type Device, type FuseBlock } from '../devices/device'
import { fuseOrders } from '../devices/fuse-orders'
import { reportRow, WIDTH } from './layout'

const FAMILY = { keys: ['title', 'devices'], maker: 'a family of deviceFamilies' }

/**
 * The catalogue by families, a line a part: name, pins, fuses, and as much of the title as a line holds.
 *
 * @param families what `deviceFamilies` gave
 * @returns one line a part, by family
 * @throws TypeError for anything else
 * @example renderDevices(deviceFamilies()).includes('PALs of 20 pins') // true
 */
export function renderDevices(families: readonly DeviceFamily[]): string {
  listOf(families, 'families', 'a list of families').forEach((family, i) => {
    madeBy(family, `families[${i}]`, FAMILY)
    listOf(family.devices, `families[${i}].devices`, 'a list of parts').forEach((device, j) =>
      checkedPart(device, `families[${i}].devices[${j}]`),
    )
  })
  return families.map(({ title, devices }) => [title, ...devices.map(partLine), ''].join('\n')).join('\n')
}

function partLine({ part, pinCount, fuseCount, title, basis, modes }: Device): string {
  const mark = modes.length === 0 || basis === 'published' ? '' : `${basis}: `
  // The pins have a column of their own.
  const about = `${mark}${title.replace(/, \d+ pins$/, '')}`
  const line = `  ${part.padEnd(7)} ${pinCount} pins ${String(fuseCount).padStart(5)} fuses  ${about}`
  return line.length > WIDTH ? `${line.slice(0, WIDTH).replace(/\W+\w*$/, '')}…` : line
}

const BASIS_WORDS = {
  published: 'published',
  inferred: 'inferred, see the sources',
  unconfirmed: 'derived and not confirmed, check before use',
  memory: 'from memory, check before use',
} as const

/** The orders in which the fuses of a part may be numbered. */
function orderRows(part: string): string[] {
  const orders = fuseOrders(part).map(({ name, description }) => reportRow('', `${name}: ${description}`))
  return orders.length === 0 ? [] : [reportRow('fuse orders', 'none is confirmed; choose one of these'), ...orders]
}

function runWords(block: FuseBlock): string {
  const { first, count, run = 1, step = run } = block
  return `${first} to ${fuseOf(block, count - 1)}, ${run} together every ${step}`
}

/**
 * One part: pins, fuse ranges, modes, sources.
 *
 * @param device data of a part
 * @returns pins, fuses and sources as lines
 * @throws TypeError for what is no part
 * @example renderDevice(listDevices()[0]!).split(':')[0] // '16V8'
 */
export function renderDevice(device: Device): string {
  checkedPart(device, 'device')
  const range = (first: number, count: number, step = 1): string =>
    `${first} to ${first + (count - 1) * step}${step > 1 ? `, every ${step === 2 ? 'second' : `${step}th`}` : ''}`
  return [
    `${device.part}: ${device.title}`,
    reportRow('also named', device.aliases.join(', ') || 'no other name'),
    reportRow('pins', `${device.pinCount}; ground ${device.groundPin}, supply ${device.powerPin}`),
    ...(device.carriers ?? []).map(({ name, dipPins }) =>
      reportRow(name, `contacts 1 to ${dipPins.length} are pins ${dipPins.map((pin) => pin || 'none').join(', ')}`),
    ),
    reportRow(
      'fuses',
      `${[...(device.shorterCounts ?? []), device.fuseCount].join(' or ')}; 0 is a connected fuse, 1 an open one`,
    ),
    ...(device.modes.length
      ? [
          reportRow(
            'array',
            `${device.array.rows} rows of ${device.array.columns} columns; ${device.array.complementFirst ? 'odd' : 'even'} columns are true signals, ${device.array.complementFirst ? 'even' : 'odd'} ones their complements`,
          ),
        ]
      : []),
    ...(device.modes.length ? [] : orderRows(device.part)),
    ...device.blocks.map((block) =>
      reportRow(
        '',
        `${block.name}: fuses ${block.run === undefined ? range(block.first, block.count, block.step) : runWords(block)}`,
      ),
    ),
    ...device.cells.map((cell) =>
      reportRow(
        '',
        `output cell of pin ${cell.pin}: ${cell.rowCount > 1 ? `rows ${range(cell.firstRow, cell.rowCount)}` : cell.rowCount ? `row ${cell.firstRow}` : 'no row of its own'}`,
      ),
    ),
    ...device.modes.map((mode) =>
      reportRow('columns', `${mode.name ? `${mode.name} mode, pins` : 'pins'} ${mode.columns.join(', ')}`),
    ),
    ...device.remarks.map((remark) => reportRow('remark', remark)),
    reportRow('basis', BASIS_WORDS[device.basis]),
    ...device.sources.map((source) => reportRow('source', source)),
    '',
  ].join('\n')
}
