/** The shape of the test's own tables of fuse numbers: as data sheets print them, the number of a row's first fuse. */
import type { OutputKind, RegisterStyle } from './design'

/** One output block of a logic diagram. */
export interface CellTable {
  readonly pin: number
  /** Number printed at the block's first row. */
  readonly firstFuse: number
  readonly rows: number
  readonly polarityFuse?: number
  readonly selectFuse?: number
  /** The only kind that the cell can be, where the part fixes it. */
  readonly only?: OutputKind
}

/** How a kind of output is programmed in a mode. Rows count from the block's first. */
export interface KindTable {
  /** State of the cell's select fuse. */
  readonly select?: 0 | 1
  /** `row`: the first row of the block is the enable; a pin held low; both. */
  readonly enable: 'row' | 'always' | 'never' | { readonly lowPin: number } | { readonly rowAndLowPin: number }
  /** Polarity where no fuse decides it. */
  readonly activeHigh?: boolean
  /** Rows of the register's own clock, reset and preset. */
  readonly clockRow?: number
  readonly resetRow?: number
  readonly presetRow?: number
  /** Row of the first term; default: the first row that enables nothing. */
  readonly firstTerm?: number
  /** Terms of the first sum where a second one is exclusive-ored with it; the second takes the rest. */
  readonly firstSum?: number
}

/** A part in one mode. */
export interface PartTable {
  readonly part: string
  readonly mode: string | null
  readonly pinCount: number
  readonly supplyPins: readonly number[]
  readonly fuseCount: number
  /** Fuses of a row. */
  readonly width: number
  /** Pin of every column pair from the left; true column first. */
  readonly columns: readonly number[]
  readonly cells: readonly CellTable[]
  readonly kinds: Readonly<Partial<Record<OutputKind, KindTable>>>
  /** What a cell becomes that a design does not mention. */
  readonly unusedKind: OutputKind
  readonly clockPin?: number
  readonly registers?: RegisterStyle
  /** First fuse of the row that resets every register, and of the one that presets every register at its clock. */
  readonly resetFuse?: number
  readonly presetFuse?: number
  /** Fuses that choose the mode. */
  readonly fixed: readonly (readonly [fuse: number, state: 0 | 1])[]
  readonly signatureFuse?: number
  /** Disable fuse of row 0; those of the other rows follow. */
  readonly firstDisableFuse?: number
}
