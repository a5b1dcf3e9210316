/** What is known while the fields of one file are read. */
import { startTestFields, type TestFields } from './test-vectors'
import type { Bit } from '../fuses/fuse-map'
import type { ReadingCollector } from './frame'
import type { FuseFile, FuseFileContent, FuseRanges, ReadOptions, UserData } from './fuse-file'

import { isLooseBlank, type FuseStore, type ListHead, type Packing } from './fuse-lists'

/** The limits of reading, all given. */
export type ReadLimits = Required<Omit<ReadOptions, 'assumedFuseCount'>>

/** Findings that are told once with a count: how many, and the offset of the first. */
export interface Tally {
  count: number
  readonly at: number
}

/** Findings that are tallied. */
export type TalliedCode =
  | 'file/stray-terminator'
  | 'file/stray-start-mark'
  | 'file/control-character'
  | 'file/eighth-bit'
  | 'file/blank-before-terminator'
  | 'file/unknown-identifier'
  | 'file/reserved-identifier'

export function tally({ tallies }: ReadingState, code: TalliedCode, at: number, count = 1): void {
  const known = tallies.get(code)
  if (known) known.count += count
  else tallies.set(code, { count, at })
}

/** A C field as it stands in the file. */
export interface StatedSum {
  readonly offset: number
  readonly text: string
}

/** A list that holds characters which are no fuse states, or, with none of them, that has no address. */
export interface OddList {
  /** Offset of the list. */
  readonly list: number
  /** Offset of the first such character, or of the list. */
  readonly offset: number
  count: number
}

export interface ReadingState {
  readonly bytes: Uint8Array
  readonly findings: ReadingCollector
  readonly limits: ReadLimits
  /** Offset at which each field begins. */
  readonly starts: number[]
  designSpecification: string | null
  readonly notes: string[]
  readonly otherFields: string[]
  /** QF, QP and QV with the offset of the field that counts. */
  readonly values: Map<string, { readonly value: number; readonly offset: number }>
  /** Fuse count that lists are held against, or null while it is not known. */
  fuseCount: number | null
  /** True when the count was given from outside, so that a QF field changes nothing. */
  readonly preset: boolean
  /** True when a QF changed the count after a list had been read. */
  countCameLate: boolean
  tooManyFuses: boolean
  readonly store: FuseStore
  readonly packing: Packing
  /** What stands before the fuses of the list at hand. */
  readonly head: ListHead
  listed: FuseRanges
  uncovered: FuseFile['uncovered']
  cut: boolean
  lastListAt: number
  /** Lists that are not of the standard's form; how bad that is depends on the fuse checksum. */
  readonly oddLists: OddList[]
  defaultFuse: Bit | null
  defaultCondition: Bit | null
  securityField: string | null
  securityAt: number
  readonly sums: StatedSum[]
  electricalData: string | null
  electricalAt: number
  electricalPacking: FuseFileContent['electricalPacking']
  userData: UserData | null
  readonly tests: TestFields
  /** Offset of ETX, or null while it has not been met. */
  end: number | null
  /** Offset of a last field without an asterisk, or null. */
  openField: number | null
  /** Identifiers and remarks that have been seen, for what is told once. */
  readonly seen: Set<string>
  readonly tallies: Map<TalliedCode, Tally>
}

export function startReading(
  bytes: Uint8Array,
  given: { readonly limits: ReadLimits; readonly findings: ReadingCollector; readonly presetCount: number | null },
): ReadingState {
  const store: FuseStore = { bits: new Uint8Array(0), capacity: 0, end: 0, ranges: [] }
  const reading: ReadingState = {
    bytes,
    findings: given.findings,
    limits: given.limits,
    starts: [],
    designSpecification: null,
    notes: [],
    otherFields: [],
    values: new Map(),
    fuseCount: given.presetCount,
    preset: given.presetCount !== null,
    countCameLate: false,
    tooManyFuses: false,
    store,
    packing: {
      store,
      view: new DataView(bytes.buffer, bytes.byteOffset, bytes.length),
      odd: (at) => takeOddCharacter(reading, at),
      next: 0,
      count: 0,
    },
    head: {
      address: 0,
      hasAddress: false,
      next: 0,
      odd: (at) => tally(reading, bytes[at]! >= 0x80 ? 'file/eighth-bit' : 'file/control-character', at),
    },
    listed: { bounds: [] },
    uncovered: { count: 0, first: null },
    cut: false,
    lastListAt: -1,
    oddLists: [],
    defaultFuse: null,
    defaultCondition: null,
    securityField: null,
    securityAt: 0,
    sums: [],
    electricalData: null,
    electricalAt: -1,
    electricalPacking: 'outside',
    userData: null,
    tests: startTestFields(bytes, given.limits.maxVectors),
    end: null,
    openField: null,
    seen: new Set(),
    tallies: new Map(),
  }
  return reading
}

/** A character inside a list that is neither a plain digit nor a delimiter. */
function takeOddCharacter(reading: ReadingState, at: number): void {
  const c = reading.bytes[at]!
  if (isLooseBlank(c)) tally(reading, 'file/control-character', at)
  else if (((c & 0x7f) ^ 0x30) <= 1) tally(reading, 'file/eighth-bit', at)
  else addOddCharacter(reading, at)
}

/** Books a character of a list that is no fuse state; kept until the fuse checksum tells how bad that is. */
function addOddCharacter({ oddLists, lastListAt, limits }: ReadingState, at: number): void {
  const last = oddLists.at(-1)
  if (last?.list === lastListAt) last.count++
  else if (oddLists.length < limits.maxFindings) oddLists.push({ list: lastListAt, offset: at, count: 1 })
}
