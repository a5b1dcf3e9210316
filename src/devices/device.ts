/**
 * What a part's data says: which fuse does what, in which mode. Parts are plain literals of these shapes; decoding
 * interprets them and knows no part by name.
 *
 * Two rules hold for every part here (PALCE20V8 data sheet, 16491 rev. E, p. 2, and the logic diagrams): a term is the
 * AND of all connected columns, and of each column pair one is the true signal and one its complement.
 */
import { madeBy } from '../arguments/arguments'

/**
 * How sure the map of a part is: read in the named sources; derived from them and confirmed in another way; derived and
 * not confirmed; or from memory.
 */
export type DataBasis = 'published' | 'inferred' | 'unconfirmed' | 'memory'

/** Use of a block of fuses. The array is rows × columns; the others hold one fuse a cell, a row or a bit. */
export type BlockUse =
  /** Whole rows; several such blocks follow one another in row order, wherever their fuses lie. */
  | 'array'
  /**
   * The OR array: term × cell, in the order of the cells. Its terms are the first rows of the array; 0 lets a term
   * into a sum.
   */
  | 'or'
  /** One a cell: see CellSetting.polarity. */
  | 'polarity'
  /** One a cell: chooses among the mode's settings. */
  | 'cell-select'
  /** One a row: 0 takes the row out. */
  | 'term-disable'
  /** The part's mode, see Mode.select. */
  | 'mode-select'
  /** Free bits for the user, each byte most significant bit first. */
  | 'signature'
  /** Fuses whose meaning is not known here. */
  | 'undecoded'
  /** Switches a power-down pin on; which value does is not published. */
  | 'power-down'

/**
 * `count` fuses from `first`: runs of `run` neighbours, each run `step` after the one before. So 48 rows of 32 fuses,
 * with
 * 8 fuses of something else behind each, are run 32, step 40. `names` gives data-sheet names where each fuse has one.
 */
export interface FuseBlock {
  /** What the fuses are for. */
  readonly use: BlockUse
  /** The block's name in the data sheet. */
  readonly name: string
  /** Number of its first fuse. */
  readonly first: number
  /** Number of its fuses. */
  readonly count: number
  /** Default 1. */
  readonly run?: number
  /** Default: the length of a run. */
  readonly step?: number
  /** Data-sheet names of single fuses, in order. */
  readonly names?: readonly string[]
}

/**
 * A cell: its pin and its rows of the array, which may be none. Polarity and select fuses, and the columns of an OR
 * array, follow the order of the cells. A buried cell has no pin but a name, and a register that columns carry.
 */
export interface Cell {
  /** Number on the DIP package; null for a buried cell. */
  readonly pin: number | null
  /** For a buried cell: letters and digits, a letter first. */
  readonly name?: string
  /** Its first row of the array. */
  readonly firstRow: number
  /** Number of its rows. */
  readonly rowCount: number
}

/**
 * What a column pair carries: the pin of that number (or the register behind it, as `registerFeedback` says), or in
 * every mode and setting the Q of the register of a cell, or its complement. A cell goes by its pin or its name.
 */
export type ColumnFeed = number | { readonly cell: number | string; readonly tap: 'q' | 'not-q' }

/**
 * An enable: the AND of a row of the cell and of a pin held low; either may be absent. Rows count from the cell's
 * first.
 */
export interface EnableRule {
  readonly row?: number
  readonly lowPin?: number
}

/**
 * What a cell does under one value of its select fuse (or always, where it has none). Rows count from the cell's
 * first.
 */
export interface CellSetting {
  /** `none`: input only. `undefined`: the data sheet does not define it. */
  readonly output: 'combinational' | 'registered' | 'none' | 'undefined'
  /** When the output drives. */
  readonly enable: 'always' | 'never' | EnableRule
  /** Rows that are ORed, as far as the cell has them; several sums are exclusive-ored. */
  readonly sums: readonly { readonly from: number; readonly count: number }[]
  /** True when the sum is the cell's column of the OR array; `sums` is empty then. */
  readonly orArray?: boolean
  /**
   * Where the polarity fuse acts: `before` the register, or `after` it; for a combinational output there is no
   * difference. In state 1 it inverts.
   */
  readonly polarity: 'before' | 'after' | 'none'
  /** True when the output buffer inverts. */
  readonly inverting: boolean
  /** Clock of the register, rising: a pin or a row. */
  readonly clock?: { readonly pin: number } | { readonly row: number }
  /** Row that resets the register (Q = 0) while it is 1, and row that presets it (Q = 1). */
  readonly resetRow?: number
  /** Row of the array that presets the register. */
  readonly presetRow?: number
  /** True when reset and preset together bypass the register. */
  readonly bypass?: boolean
  /** Pin that, held low, loads the register from its own disabled output pin. */
  readonly loadPin?: number
  /** Q after power-up, where published. */
  readonly powerUp?: 0 | 1
}

/** One way a part can be configured. */
export interface Mode {
  /** Name in the data sheet; null for a part with one mode only. */
  readonly name: string | null
  /** Values of the mode-select fuses, in their order; empty for a part with one mode. */
  readonly select: readonly (0 | 1)[]
  /** What each column pair carries, left to right. */
  readonly columns: readonly ColumnFeed[]
  /** What the column pair of a registered cell carries: ¬Q, also while the output is off, or the pin. */
  readonly registerFeedback: 'inverted-register' | 'pin'
  /** Settings of cells: by the value of the select fuse, or as `cellSettings` says where there is none. */
  readonly settings: readonly CellSetting[]
  /** Index of each cell's setting, in the order of the cells, where no fuse selects one (default 0 for all). */
  readonly cellSettings?: readonly number[]
}

/** A package other than the DIP: the DIP pin of each contact, contact 1 first; 0 for one that is not connected. */
export interface Carrier {
  /** What the package is called. */
  readonly name: string
  /** DIP pin of each contact, contact 1 first; 0 for one that leads nowhere. */
  readonly dipPins: readonly number[]
}

/** One part architecture. */
export interface Device {
  /** The number by which the trade calls it. */
  readonly part: string
  /** Other names of the trade for the same fuse map, without maker and the letters of version, range and package. */
  readonly aliases: readonly string[]
  /** Beginnings of names, without the letters before the digits, that are another part. */
  readonly otherParts?: readonly string[]
  /** What it is, in words. */
  readonly title: string
  /** Fuses of the whole map. */
  readonly fuseCount: number
  /** Counts of shorter maps that the part takes too: the same map without its last blocks. */
  readonly shorterCounts?: readonly number[]
  /** Basis of the shorter maps, where it is weaker than that of the whole one. */
  readonly shorterBasis?: DataBasis
  /** Pins of the DIP package. */
  readonly pinCount: number
  /** Other packages with another numbering of contacts; those with the DIP's own numbers are not listed. */
  readonly carriers?: readonly Carrier[]
  /** Pin that a power-down fuse turns into a control input. */
  readonly powerDownPin?: number
  /** Beginnings of the names of parts that have the power-down fuse, where not all parts of this map have it. */
  readonly powerDownNames?: readonly string[]
  /** Pin of ground. */
  readonly groundPin: number
  /** Pin of supply. */
  readonly powerPin: number
  /** Of each column pair the first is the true signal, or its complement where `complementFirst`. */
  readonly array: { readonly rows: number; readonly columns: number; readonly complementFirst?: boolean }
  /** Rows that act on every register: an asynchronous reset (Q = 0) and a preset at the clock (Q = 1). */
  readonly sharedRows?: { readonly reset: number; readonly clockedPreset: number }
  /** Every fuse in exactly one block. */
  readonly blocks: readonly FuseBlock[]
  /** Its outputs and buried cells. */
  readonly cells: readonly Cell[]
  /** Empty where the fuses are not decoded. */
  readonly modes: readonly Mode[]
  /** How its data are known. */
  readonly basis: DataBasis
  /** Name of the order in which the fuses are taken, for a part of which no order is established. */
  readonly fuseOrder?: string
  /** Data sheets and other documents behind the data, with what each is cited for. */
  readonly sources: readonly string[]
  /** What somebody who fits the part should know, each with its source. */
  readonly remarks: readonly string[]
}

/** The block of a use; null where the part, or the shorter map of `fuseCount` fuses, has none. */
export function blockOf(device: Device, use: BlockUse, fuseCount = device.fuseCount): FuseBlock | null {
  return device.blocks.find((block) => block.use === use && block.first < fuseCount) ?? null
}

/** Fuse number `index` of a block. */
export function fuseOf({ first, run = 1, step = run }: FuseBlock, index: number): number {
  return run === step ? first + index : first + Math.floor(index / run) * step + (index % run)
}

/** Place of a fuse in a block, or −1. */
export function indexInBlock({ first, count, run = 1, step = run }: FuseBlock, fuse: number): number {
  const away = fuse - first
  const inRun = away % step
  const index = Math.floor(away / step) * run + inRun
  return Number.isInteger(away) && away >= 0 && inRun < run && index < count ? index : -1
}

/** The blocks of the array with the row at which each begins. */
export function arrayBlocks({
  blocks,
  array,
}: Device): readonly { readonly block: FuseBlock; readonly firstRow: number }[] {
  let row = 0
  return blocks
    .filter(({ use }) => use === 'array')
    .map((block) => {
      const firstRow = row
      row += block.count / array.columns
      return { block, firstRow }
    })
}

/** Fuse numbers of the AND array, row by row. */
export function arrayFuses(device: Device): Int32Array {
  const blocks = arrayBlocks(device)
  const fuses = new Int32Array(blocks.reduce((sum, { block }) => sum + block.count, 0))
  let place = 0
  for (const { block } of blocks) for (let i = 0; i < block.count; i++) fuses[place++] = fuseOf(block, i)
  return fuses
}

/** How many of the first rows of the array are terms of the OR array; 0 for a part without one. */
export function orTermCount(device: Device): number {
  const block = blockOf(device, 'or')
  return block ? block.count / device.cells.length : 0
}

/** True when a package of the part has `count` pins or contacts. */
export function hasPackage(device: Device, count: number): boolean {
  return device.pinCount === count || (device.carriers ?? []).some(({ dipPins }) => dipPins.length === count)
}

/** Fuse counts of all maps that the part takes, ascending. */
export function mapSizes(device: Device): readonly number[] {
  return [...(device.shorterCounts ?? []), device.fuseCount]
}

/** True when the part takes a map of `count` fuses. */
export function takesMap(device: Device, count: number): boolean {
  return mapSizes(device).includes(count)
}

/** By what a cell goes: its pin, or the name of a buried one. */
export function keyOfCell({ pin, name }: Cell): number | string {
  return pin ?? name ?? ''
}

/** The pins whose levels column pairs carry, registers behind them included. */
export function columnPins({ columns }: Mode): readonly number[] {
  return columns.flatMap((feed) => (typeof feed === 'number' ? [feed] : []))
}

/** A cell with a pin. */
export type PlacedCell = Cell & { readonly pin: number }

/** The cells that have a pin, in the order of the cells. */
export function placedCells({ cells }: Device): readonly PlacedCell[] {
  return cells.filter((cell): cell is PlacedCell => cell.pin !== null)
}

const PART = {
  keys: ['part', 'fuseCount', 'pinCount', 'blocks', 'cells', 'modes', 'sources'],
  maker: 'the data of a part',
}

/** The data of a part; throws TypeError for anything else. Data of a caller's own are checked as documents besides. */
export function checkedPart(device: Device, path: string): Device {
  return madeBy(device, path, PART)
}
