/** What a fuse file holds, as plain data. */
import type { FindingCounts, Finding } from '../findings/finding'
import type { Bit, FuseMap } from '../fuses/fuse-map'

/**
 * One test vector. `conditions` has one character a pin position, in file order (position i goes to pin
 * `pinOrder[i]`, or pin i + 1 without a P field); null where the field could not be read, so that a simulation knows
 * that something was applied here. `offset` is the byte offset of its V, or null when it did not come from a file.
 */
export interface TestVector {
  /** Its own number. */
  readonly number: number
  /** One character a pin position; null where the field could not be read. */
  readonly conditions: string | null
  /** Offset of its field; null where it comes from no file. */
  readonly offset: number | null
}

/** User data of the U field (an extension): the form of its text and the text itself. */
export interface UserData {
  /** How `text` is written. */
  readonly form: 'binary' | 'hexadecimal' | 'text'
  /** The data as the file has them. */
  readonly text: string
}

/** What a fuse file says, apart from where and how it says it. This much is enough to write one. */
export interface FuseFileContent {
  /** Text before the first field. */
  readonly designSpecification: string
  /** Texts of the N fields, in file order. */
  readonly notes: readonly string[]
  /** QP. */
  readonly pinCount: number | null
  /** QV. */
  readonly vectorLimit: number | null
  /** F. */
  readonly defaultFuse: Bit | null
  /** All fuses; null when the file holds none or more than the limit. */
  readonly fuses: FuseMap | null
  /** G: 0, 1, or null when absent or another digit. */
  readonly security: Bit | null
  /** X. */
  readonly defaultCondition: Bit | null
  /** P: pin of each vector position; null without one. */
  readonly pinOrder: readonly number[] | null
  /** V, in numerical order, each number once. */
  readonly vectors: readonly TestVector[]
  /** E (extension): bits in file order as `0` and `1`. */
  readonly electricalData: string | null
  /** How the fuse sum takes them: not at all (E behind C), on from the last fuse, or in a word of their own. */
  readonly electricalPacking: 'outside' | 'continued' | 'apart'
  /** U (extension). */
  readonly userData: UserData | null
  /** Fields this library keeps but does not interpret (A, D, J, R, S, T, reserved ones), without the asterisk. */
  readonly otherFields: readonly string[]
}

/** What a file says that says nothing. */
export const EMPTY_CONTENT: FuseFileContent = {
  designSpecification: '',
  notes: [],
  pinCount: null,
  vectorLimit: null,
  defaultFuse: null,
  fuses: null,
  security: null,
  defaultCondition: null,
  pinOrder: null,
  vectors: [],
  electricalData: null,
  electricalPacking: 'outside',
  userData: null,
  otherFields: [],
}

/** A half-open range [start, end) of byte offsets. */
export interface Span {
  /** Offset of the first byte. */
  readonly start: number
  /** Offset behind the last byte. */
  readonly end: number
}

/** Where the transmission begins and ends; null where a mark is missing. */
export interface Frame {
  /** Offset of STX. */
  readonly start: number | null
  /** Offset of ETX. */
  readonly end: number | null
}

/**
 * The fields in file order, by the offset at which each begins (its identifier, or the first byte of the design
 * specification). A field ends with its asterisk; `fieldAt` gives its span. One list of numbers, since a large file has
 * a field a row and an object a field would outweigh the file.
 */
export interface FieldTable {
  /** Number of fields. */
  readonly count: number
  /** Offset of each, ascending. */
  readonly starts: readonly number[]
  /** True when field 0 is the design specification. */
  readonly hasDesignSpecification: boolean
}

/** Ranges of fuse numbers, ascending and apart: range i covers `bounds[2i]` to `bounds[2i + 1]` (exclusive). */
export interface FuseRanges {
  /** Two numbers a range. */
  readonly bounds: readonly number[]
}

/** The fuse checksum: stated in the last C field against computed from the final fuses. */
export interface FuseSum {
  /** As written; null when there is none. */
  readonly stated: string | null
  /** Four hexadecimal digits; null without fuses. */
  readonly computed: string | null
  /** `absent`: no C field. */
  readonly status: 'match' | 'mismatch' | 'absent'
  /** `lists-after-sum`: the fuses as they stood at the C field fit; null without an explanation. */
  readonly explanation: 'lists-after-sum' | null
}

/** Stable codes for the one cause that fits a wrong transmission sum exactly. */
export type TransmissionCause =
  /** The sum fits once every lone LF is made CR LF. */
  | 'line-ends-lf-to-crlf'
  /** The sum fits once every CR LF is made LF. */
  | 'line-ends-crlf-to-lf'
  /** The sum fits with lone CR as line ends, or with the file's lone CR made CR LF. */
  | 'line-ends-cr'
  /** The sum fits once one to four lone LF get their CR back. */
  | 'carriage-returns-lost'
  /** The sum was taken without STX. */
  | 'start-mark-left-out'
  /** The sum was taken without ETX. */
  | 'end-mark-left-out'
  /** The value is right but not written with four digits. */
  | 'wrong-digit-count'

/** The transmission checksum: stated after ETX against computed from STX through ETX. */
export interface TransmissionSum {
  /** As written; null when there is none. */
  readonly stated: string | null
  /** Four hexadecimal digits; null without both marks. */
  readonly computed: string | null
  /** `not-computed`: stated as 0000. */
  readonly status: 'match' | 'mismatch' | 'absent' | 'not-computed'
}

/** What was read. `bytes` is the input itself; nothing of it is lost. */
export interface FuseFile extends FuseFileContent {
  /** The input itself. */
  readonly bytes: Uint8Array
  /** Parity that every byte carries in its eighth bit; null without one. */
  readonly parity: 'always-1' | 'even' | 'odd' | null
  /** The options that it was read with. */
  readonly options: ReadOptions
  /** Where the transmission begins and ends. */
  readonly frame: Frame
  /** Where each field begins. */
  readonly fields: FieldTable
  /** QF, else what the lists reach, else null. */
  readonly fuseCount: number | null
  /** QF as stated. */
  readonly statedFuseCount: number | null
  /** Fuses that lists set; the others took the default. */
  readonly listed: FuseRanges
  /** Fuses that neither a list nor the default gives a state: how many, and the first (null without any). */
  readonly uncovered: { readonly count: number; readonly first: number | null }
  /** True when the fuses were refused for their number (`maxFuses`); `fuses` is null then. */
  readonly tooManyFuses: boolean
  /** True when the file ends before its end mark and no sum vouches for its lists. */
  readonly cut: boolean
  /** The G field's text, also where it is another digit than 0 or 1; null without one. */
  readonly securityField: string | null
  /** Both sums, stated and computed. */
  readonly checksums: { readonly fuse: FuseSum; readonly transmission: TransmissionSum }
  /** What reading found, worst first and bounded. */
  readonly findings: readonly Finding[]
  /** Counts of all findings, listed or not. */
  readonly findingCounts: FindingCounts
}

/** Limits of reading; past a limit there is a finding, never an allocation. */
export interface ReadOptions {
  /** Most fuses to take (default 33,554,432). */
  readonly maxFuses?: number
  /** Most test vectors to take (default 65,536). */
  readonly maxVectors?: number
  /**
   * Number of fuses to go by where the file states none (no QF), such as that of a part which the caller has chosen.
   */
  readonly assumedFuseCount?: number
  /** Most findings of each severity to list (default 100). */
  readonly maxFindings?: number
}
