/** The shape of a report on a board, and what asks for it: plain data, the same as its JSON. */
import type { WatchOptions } from '../../arguments/watch'
import type { Device } from '../../devices/device'
import type { Finding, Verdict } from '../../findings/finding'
import type { WiringDocument } from '../capture/wiring'
import type { ComparedColumn } from '../table/compare-tables'
import type { TruthTable } from '../table/truth-table'
import type { Board, Direction } from './board'
import type { Budget } from './board-budget'
import type { FaultResult } from './board-faults'
import type { Repair } from './board-repairs'

/** What a board is compared with: a fuse file, the image of a captured table, a table, or another board. */
export type AdapterOriginal =
  | {
      readonly file: Uint8Array
      readonly device?: string | Device
      readonly fuseOrder?: string
      readonly name?: string
    }
  | { readonly image: Uint8Array; readonly wiring: WiringDocument | string; readonly name?: string }
  | { readonly table: TruthTable; readonly name?: string }
  | { readonly board: Board; readonly name?: string }

/** How a board is examined. */
export interface AdapterOptions extends WatchOptions {
  /** What the board replaces; without it the board is examined by itself. */
  readonly against?: AdapterOriginal
  /** What an output that is off counts as, on both sides; off is a level of its own where left out. */
  readonly off?: 0 | 1
  /** Most outside inputs to sweep (default 20, at most 24). */
  readonly maxInputs?: number
  /** Most steps for the table, all changes and all faults together (default 200 million). */
  readonly maxSteps?: number
  /** False: single faults are not tried. */
  readonly faults?: boolean
  /** Name of the board, for the report. */
  readonly name?: string
  /** Most findings to list (default 100). */
  readonly maxFindings?: number
}

/** One row: levels at the outside input pins, and the level on either side. */
export interface AdapterExample {
  /** Row of the board's table. */
  readonly row: number
  /** Level of each outside input, by pin. */
  readonly inputs: Readonly<Record<string, 0 | 1>>
  /** Level that the original shows. */
  readonly original: '0' | '1' | 'X' | 'Z'
  /** Level that the board shows. */
  readonly board: '0' | '1' | 'X' | 'Z'
}

/** One outside output against the original. `openRows`: a side is unknown there, or drivers fight. */
export interface AdapterOutput extends ComparedColumn {
  /** The first row that differs; null where none does. */
  readonly example: AdapterExample | null
}

/** Rows of a board's table. */
export interface AdapterRows {
  /** All rows of the table. */
  readonly all: number
  /** Compared with the original; all of them without one. */
  readonly judged: number
  /** Left out because the wiring of the image says so. */
  readonly misread: number
  /** Left out because they never occur. */
  readonly dontCare: number
  /** Drivers fight, or may fight: such a row is not known. */
  readonly fights: number
}

/** The faults that were tried. */
export interface AdapterFaults {
  /** Rows were compared with the original where the board equals it, else with the sound board itself. */
  readonly against: 'original' | 'board'
  /** Faults of the list; more than were tried where the work was bounded. */
  readonly total: number
  /** Each fault with the levels of the row that shows it, by outside pin; null where none does. */
  readonly list: readonly (FaultResult & { readonly inputs: Readonly<Record<string, 0 | 1>> | null })[]
}

/** Everything about a board. */
export interface AdapterReport {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Name given by the caller; null without one. */
  readonly file: string | null
  /** Title of the board document; null without one. */
  readonly title: string | null
  /** What the findings make of the board. */
  readonly verdict: Verdict
  /** Null without an original. */
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable' | null
  /** Name and kind of the original; null without one. */
  readonly against: { readonly name: string | null; readonly kind: 'file' | 'image' | 'table' | 'board' } | null
  /** Each part of the board, with the part that its file is for and the verdict on the file. */
  readonly parts: readonly {
    readonly name: string
    readonly file: string | null
    readonly part: string | null
    readonly mode: string | null
    readonly verdict: Verdict
  }[]
  /** The pins toward the machine, by the original's number. */
  readonly outside: readonly {
    readonly pin: number
    readonly name: string | null
    readonly net: string
    readonly direction: Direction
    readonly held: 0 | 1 | null
  }[]
  /** Diodes, resistors and nets; nets of pins that lead nowhere are not counted. */
  readonly counts: { readonly diodes: number; readonly resistors: number; readonly nets: number }
  /** Rows of the table; null where none could be made. */
  readonly rowCount: number | null
  /** Rows of the comparison by what became of them; null without a table. */
  readonly rows: AdapterRows | null
  /** Each output of the board that was compared. */
  readonly outputs: readonly AdapterOutput[]
  /** Output pins of the original that the board lacks. */
  readonly lacking: readonly number[]
  /** Single changes that make a board that differs equal its original. */
  readonly repairs: readonly Repair[]
  /** Single faults that were tried; null without a table. */
  readonly faults: AdapterFaults | null
  /** Levels, currents and times worked out from stated limits; null where nothing could be. */
  readonly budget: Budget | null
  /** Everything that was found, worst first. */
  readonly findings: readonly Finding[]
  /** What was compared, and what was not looked at. */
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}
