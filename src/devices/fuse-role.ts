/** What a single fuse of a decoded map is for. */
import { arrayBlocks, indexInBlock, type BlockUse, type ColumnFeed, type FuseBlock } from './device'
import { checkedDecoded, type Decoded, type DecodedCell } from './decode'

/** The roles by which differences are counted. */
export type Role =
  | 'and'
  | 'or'
  | 'output-enable'
  | 'reset'
  | 'preset'
  | 'clock'
  | 'polarity'
  | 'configuration'
  | 'term-disable'
  | 'signature'
  | 'power-down'
  | 'reserved'

/** Pin that a column carries, or the cell whose register it carries, and whether it is the complement. */
export type FuseInput = { readonly complement: boolean } & (
  { readonly pin: number } | { readonly cell: number | string }
)

/** What one fuse is for, and where it lies. */
export interface FuseRole {
  /** What the fuse is for. */
  readonly role: Role
  /** Data-sheet name of the block. */
  readonly block: string
  /** Output that the fuse belongs to; null for one that belongs to the whole part. */
  readonly pin: number | null
  /** Array row and column, for fuses of the array; the row alone for disable fuses and those of an OR array. */
  readonly row: number | null
  /** Column of the array; null outside it. */
  readonly column: number | null
  /** Pin whose signal the column carries, and whether it is the complement. */
  readonly input: FuseInput | null
}

const OTHER_ROLES: Readonly<Record<Exclude<BlockUse, 'array'>, Role>> = {
  or: 'or',
  polarity: 'polarity',
  'cell-select': 'configuration',
  'mode-select': 'configuration',
  'term-disable': 'term-disable',
  signature: 'signature',
  'power-down': 'power-down',
  undecoded: 'reserved',
}

/**
 * The role of fuse `fuse`, read in the mode and cell settings of the map.
 *
 * @param decoded what `decode` gave
 * @param fuse fuse number, from 0
 * @returns what the fuse is for, with block, row, column, pin and input where it has them
 * @throws TypeError for another kind of part, RangeError outside its fuses
 * @example roleOf(decoded, 2048).role // 'polarity'
 */
export function roleOf(decoded: Decoded, fuse: number): FuseRole {
  const { device } = checkedDecoded(decoded, 'decoded')
  const block = device.blocks.find((each) => indexInBlock(each, fuse) >= 0)
  if (!block || !Number.isInteger(fuse) || fuse >= decoded.fuseCount)
    throw new RangeError(
      `fuse ${String(fuse)} lies outside the ${decoded.fuseCount} fuses of this ${device.part} map`,
    )
  const index = indexInBlock(block, fuse)
  if (block.use === 'array') return arrayRole(decoded, block, index)
  const { length } = device.cells
  const cell =
    block.use === 'polarity' || block.use === 'cell-select'
      ? device.cells[index]
      : block.use === 'or'
        ? device.cells[index % length]
        : undefined
  const row = block.use === 'term-disable' ? index : block.use === 'or' ? Math.floor(index / length) : null
  return {
    role: OTHER_ROLES[block.use],
    block: block.name,
    pin: cell?.pin ?? (row === null ? null : pinOfRow(decoded, row)),
    row,
    column: null,
    input: null,
  }
}

function cellOfRow(decoded: Decoded, row: number): DecodedCell | undefined {
  return decoded.cells.find(({ cell }) => row >= cell.firstRow && row < cell.firstRow + cell.rowCount)
}

function pinOfRow({ device }: Decoded, row: number): number | null {
  return device.cells.find((cell) => row >= cell.firstRow && row < cell.firstRow + cell.rowCount)?.pin ?? null
}

function arrayRole(decoded: Decoded, block: FuseBlock, index: number): FuseRole {
  const { device, mode } = decoded
  const { columns, complementFirst } = device.array
  const row = arrayBlocks(device).find((each) => each.block === block)!.firstRow + Math.floor(index / columns)
  const column = index % columns
  const input = mode?.columns[column >>> 1]
  return {
    role: rowRole(decoded, row),
    block: block.name,
    pin: pinOfRow(decoded, row),
    row,
    column,
    input: input === undefined ? null : inputOf(input, (column % 2 === 1) !== (complementFirst ?? false)),
  }
}

function inputOf(feed: ColumnFeed, complement: boolean): FuseRole['input'] {
  if (typeof feed === 'number') return { pin: feed, complement }
  return { cell: feed.cell, complement: complement !== (feed.tap === 'not-q') }
}

/** What a row does: most are product terms, some have a use of their own. */
function rowRole(decoded: Decoded, row: number): Role {
  const shared = decoded.device.sharedRows
  if (row === shared?.reset) return 'reset'
  if (row === shared?.clockedPreset) return 'preset'
  const owner = cellOfRow(decoded, row)
  if (!owner) return 'and'
  const { setting, cell } = owner
  const own = row - cell.firstRow
  if (typeof setting.enable === 'object' && setting.enable.row === own) return 'output-enable'
  if (setting.clock && 'row' in setting.clock && setting.clock.row === own) return 'clock'
  return own === setting.resetRow ? 'reset' : own === setting.presetRow ? 'preset' : 'and'
}
