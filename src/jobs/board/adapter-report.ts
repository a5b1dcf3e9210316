/** The shape of a report on a board, and what asks for it: plain data, the same as its JSON. */
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
export interface AdapterOptions {
  readonly against?: AdapterOriginal
  /** What an output that is off counts as, on both sides; off is a level of its own where left out. */
  readonly off?: 0 | 1
  /** Most outside inputs to sweep (default 20, at most 24). */
  readonly maxInputs?: number
  /** Most steps for the table, and for all faults and all changes together (default 500 million each). */
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
  readonly row: number
  readonly inputs: Readonly<Record<string, 0 | 1>>
  readonly original: '0' | '1' | 'X' | 'Z'
  readonly board: '0' | '1' | 'X' | 'Z'
}

/** One outside output against the original. `openRows`: a side is unknown there, or drivers fight. */
export interface AdapterOutput extends ComparedColumn {
  /** The first row that differs; null where none does. */
  readonly example: AdapterExample | null
}

/** Rows of a board's table. */
export interface AdapterRows {
  readonly all: number
  /** Compared with the original; all of them without one. */
  readonly judged: number
  /** Left out because the wiring of the image says so. */
  readonly misread: number
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
  readonly list: readonly (FaultResult & { readonly inputs: Readonly<Record<string, 0 | 1>> | null })[]
}

/** Everything about a board. */
export interface AdapterReport {
  readonly file: string | null
  readonly title: string | null
  readonly verdict: Verdict
  /** Null without an original. */
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable' | null
  readonly against: { readonly name: string | null; readonly kind: 'file' | 'image' | 'table' | 'board' } | null
  readonly parts: readonly {
    readonly name: string
    readonly file: string | null
    readonly part: string | null
    readonly mode: string | null
    readonly verdict: Verdict
  }[]
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
  readonly rows: AdapterRows | null
  readonly outputs: readonly AdapterOutput[]
  /** Output pins of the original that the board lacks. */
  readonly lacking: readonly number[]
  /** Single changes that make a board that differs equal its original. */
  readonly repairs: readonly Repair[]
  readonly faults: AdapterFaults | null
  readonly budget: Budget | null
  readonly findings: readonly Finding[]
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}
