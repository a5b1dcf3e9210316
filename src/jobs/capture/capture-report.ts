/** The shape of a report on a captured table: plain data, the same as its JSON. */
import type { Finding, Verdict } from '../../findings/finding'
import type { TableOddities } from './capture-quality'
import type { TriedOrder } from './capture-orders'
import type { ComparedLine } from './compare-capture'
import type { Wiring, WiringDocument } from './wiring'
import type { InversionKind } from './wiring-search'
import type { ReportedDevice } from '../check/report'

/** What a search for the wiring gave, in pins. */
export interface ReportedSearch {
  /** `none`: no wiring of the allowed kinds exists. `undecided`: a bound, or levels that are not known. */
  readonly relation: 'found' | 'none' | 'undecided'
  /** What had to be turned round; null where nothing was found. */
  readonly inversions: InversionKind | null
  /** How many wirings do the same, in decimal; null where they could not be counted. */
  readonly equivalents: string | null
  /** Groups of pins that can be exchanged at will. */
  readonly exchangeable: {
    readonly inputs: readonly (readonly (number | string)[])[]
    readonly outputs: readonly (readonly (number | string)[])[]
  }
  /**
   * The wiring found or, where there is none, the nearest one; the comparison of the report is under it. Null against
   * another image, which has no pins: then `lines` says which of its lines, A0 … and D0 …, each line stands for.
   */
  readonly wiring: WiringDocument | null
  /** What is at each address and data line, as pins in words; null where nothing was found. */
  readonly lines: { readonly address: readonly (string | null)[]; readonly data: readonly (string | null)[] } | null
  /** Rows of the nearest one in which some output differs. */
  readonly differingRows: number | null
}

/** One output; against another image under a searched wiring it has no pin, and a line of that image. */
export type ReportedLine = Omit<ComparedLine, 'pin'> & {
  readonly pin: number | null
  readonly otherLine: string | null
}

/** What was found about a captured table. */
export interface CaptureReport {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Names of the images with addresses counting up, and of those counting down. */
  readonly images: readonly (string | null)[]
  /** Names of the images read downward; null for one without. */
  readonly down: readonly (string | null)[]
  /** Name of what it was compared with; null where nothing was. */
  readonly against: string | null
  /** As for `compare`; null without a comparison. `equivalent`: equal in every judged row. */
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable' | null
  /** What the findings make of the capture. */
  readonly verdict: Verdict
  /** The part of the file, and how it is known; null without a file. */
  readonly device: ReportedDevice | null
  /** The wiring under which it was read; null where none is known. */
  readonly wiring: Wiring | null
  /**
   * Rows of the table; those judged, without rows stated to be misread or free; those in which captures disagree.
   * Null without a table.
   */
  readonly rows: {
    readonly all: number
    readonly judged: number
    readonly misread: number
    readonly dontCare: number
    readonly disagreeing: number
  } | null
  /** What the captured table looks like as a whole, by pins; null without a table. */
  readonly quality: TableOddities | null
  /** Each output line that was compared. */
  readonly outputs: readonly ReportedLine[]
  /** All orders of a part whose order of fuses is open; empty for others. */
  readonly orders: readonly TriedOrder[]
  /** Null unless the wiring was searched for. */
  readonly search: ReportedSearch | null
  /** Everything that was found, worst first. */
  readonly findings: readonly Finding[]
  /** What was compared, and what was not looked at. */
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}
