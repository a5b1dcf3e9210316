/**
 * Reading a fuse file (JEDEC Standard No. 3-A as reproduced in programmer manuals, with the extensions K, E and U).
 * Content never throws: as much as possible is read, and every deviation is a finding with its place.
 */
import { optionsOf, wholeNumber, type OptionNames } from '../arguments/arguments'
import { READING_FINDINGS } from '../findings/reading-findings'
import { collectFindings, type FindingList } from '../findings/finding'
import { clearSpareBits, type FuseMap } from '../fuses/fuse-map'
import { readField, scanField } from './fields'
import { receive, receiveSum, type ReadingCollector, type Received } from './frame'
import type { Frame, FuseFile, FuseRanges, FuseSum, ReadOptions } from './fuse-file'
import { mergeRanges, reserve } from './fuse-lists'
import { startReading, tally, type ReadLimits, type ReadingState, type TalliedCode, type Tally } from './reading'
import { checkFuseSum, checkTransmissionSum } from './sums'
import { finishVectors } from './test-vectors'
import { ASTERISK, ETX, isDelimiter, lineIndex, quote, SPACE, STX, textOf, toBytes } from './text'

const DEFAULTS: ReadLimits = { maxFuses: 1 << 25, maxVectors: 1 << 16, maxFindings: 100 }

/** What `readFuseFile` takes. */
export const READ_OPTIONS: OptionNames<ReadOptions> = {
  maxFuses: true,
  maxVectors: true,
  assumedFuseCount: true,
  maxFindings: true,
}

/** The highest value of any limit: ranges of fuses below it are sorted as exact numbers (`fuse-lists.ts`). */
const MAX_LIMIT = 1 << 26

/** Fills in the limits and checks them; throws RangeError naming the option. */
export function limitsOf(options: ReadOptions): ReadLimits {
  const limits = { ...DEFAULTS }
  for (const name of ['maxFuses', 'maxVectors', 'maxFindings', 'assumedFuseCount'] as const) {
    const value = options[name]
    if (value === undefined) continue
    Object.assign(limits, { [name]: wholeNumber(value, `options.${name}`, [1, MAX_LIMIT]) })
  }
  return limits
}

/**
 * Reads a JEDEC fuse file.
 *
 * @param input the file's bytes; a string is encoded as UTF-8 first
 * @param options limits, see ReadOptions
 * @returns everything that the file says, with findings; `bytes` is the input itself
 * @throws TypeError for another kind of input, RangeError for a limit out of range; never for content
 * @example readFuseFile('\x02*QF8*F1*C00FF*\x030322').checksums.fuse.status // 'match'
 */
export function readFuseFile(input: Uint8Array | string, options: ReadOptions = {}): FuseFile {
  const raw = toBytes(input, 'input')
  const limits = limitsOf(optionsOf(options, READ_OPTIONS))
  const received = receive(raw)
  const locate = lineIndex(received.bytes)
  const collect = (): ReadingCollector => collectFindings(READING_FINDINGS, { limit: limits.maxFindings, locate })
  let findings = collect()
  let reading = readFields(received, { limits, findings, presetCount: null })
  const presetCount = reading.fuseCount ?? options.assumedFuseCount ?? null
  if (reading.countCameLate || presetCount !== reading.fuseCount) {
    // Read once more with the size known, so that lists past it are found where they stand.
    findings = collect()
    reading = readFields(received, { limits, findings, presetCount })
  }
  const file = assemble(raw, received, { reading, options })
  if (file.fuses !== null || file.vectors.length > 0 || reading.tooManyFuses) return file
  findings = collect()
  findings.add(raw.length === 0 ? 'file/empty' : 'file/not-a-fuse-file', { offset: 0 })
  return { ...file, ...listed(findings.list()) }
}

interface Pass {
  readonly limits: ReadLimits
  readonly findings: ReadingCollector
  /** Fuse count known beforehand, from an earlier pass. */
  readonly presetCount: number | null
  /** Read only fields that begin before this offset. */
  readonly stopAt?: number
}

/** One pass over the fields; it ends at ETX, at `stopAt`, or with the bytes. */
function readFields(received: Received, pass: Pass): ReadingState {
  const { bytes, start } = received
  const reading = startReading(bytes, pass)
  if (pass.presetCount !== null && pass.presetCount <= pass.limits.maxFuses)
    reserve(reading.store, pass.presetCount, pass.presetCount)
  const stop = pass.stopAt ?? bytes.length
  let at = readDesignSpecification(reading, start === null ? 0 : start + 1)
  while (at < stop && bytes[at] !== ETX) {
    const c = bytes[at]!
    if (isDelimiter(c)) at++
    else if (c === ASTERISK) tally(reading, 'file/stray-terminator', at++)
    else if (c < SPACE || c === 0x7f)
      tally(reading, c === STX ? 'file/stray-start-mark' : 'file/control-character', at++)
    else {
      const end = readField(reading, at)
      const closed = bytes[end] === ASTERISK
      if (!closed) reading.openField = at
      reading.starts.push(at)
      at = closed ? end + 1 : end
    }
  }
  reading.end = at < bytes.length ? at : null
  return reading
}

/** Fields that are recognised where the design specification is missing. */
const FIELD_AS_TITLE = /^(Q[FPV]\s*\d+|[FGX][01]|L\s*\d+\s[01\s]*)$/

/** True for a design specification that is read as a field. */
export function looksLikeField(title: string): boolean {
  return FIELD_AS_TITLE.test(title.slice(0, MAX_FIELD_HEAD).trim())
}

/** Characters by which a design specification is told from a field: a list may be longer, its head says enough. */
const MAX_FIELD_HEAD = 1024

/**
 * Takes the text up to the first asterisk as the design specification, unless it is a field. Returns where to go on.
 */
function readDesignSpecification(reading: ReadingState, from: number): number {
  const { bytes, findings } = reading
  const star = scanField(reading, from)
  if (bytes[star] !== ASTERISK) return from
  const head = textOf(bytes, from, Math.min(star, from + MAX_FIELD_HEAD))
  if (looksLikeField(head)) {
    findings.add(
      'file/design-specification-missing',
      { offset: from + head.search(/\S/) },
      { field: quote(head.trim()) },
    )
    return from
  }
  reading.designSpecification = textOf(bytes, from, star).trim()
  reading.starts.push(from)
  return star + 1
}

/** The final fuse map, with the findings that need all lists; null without fuses or past the limit. */
function fusesOf(reading: ReadingState): FuseMap | null {
  const { findings, limits } = reading
  const count = reading.fuseCount ?? reading.store.end
  if (count > limits.maxFuses && !reading.tooManyFuses) {
    findings.add(
      'file/too-many-fuses',
      { offset: reading.values.get('QF')?.offset },
      { count, limit: limits.maxFuses },
    )
    reading.tooManyFuses = true
  }
  if (count === 0 || reading.tooManyFuses) return null
  const { bounds, again, firstAgain } = mergeRanges(reading.store.ranges, count)
  reading.listed = { bounds }
  if (again > 0) findings.add('file/list-overlap', { fuse: firstAgain }, { count: again, first: firstAgain })
  const covered = bounds.reduce((sum, bound, i) => sum + (i % 2 ? bound : -bound), 0)
  if (covered < count && reading.defaultFuse === null) {
    const first = bounds[0] === 0 ? bounds[1]! : 0
    reading.uncovered = { count: count - covered, first }
    findings.add('file/uncovered-fuses', { fuse: first }, { count: count - covered, total: count, first })
  }
  return cutStore(reading, count)
}

/** Cuts the store to `count` fuses and gives the default to those that no list set. */
function cutStore(reading: ReadingState, count: number): FuseMap {
  const size = (count + 7) >>> 3
  const { bits: stored } = reading.store
  const bits = stored.length === size ? stored : new Uint8Array(size)
  if (bits !== stored) bits.set(stored.subarray(0, size))
  if (reading.defaultFuse === 1) fillGaps(bits, reading.listed, count)
  clearSpareBits(bits, count)
  return { length: count, bits }
}

function fillGaps(bits: Uint8Array, { bounds }: FuseRanges, count: number): void {
  let from = 0
  for (let r = 0; r <= bounds.length; r += 2) {
    const to = bounds[r] ?? count
    for (let i = from; i < to;) {
      const whole = i & 7 ? 0 : (to - i) >>> 3
      if (whole) bits.fill(0xff, i >>> 3, (i >>> 3) + whole)
      else bits[i >>> 3]! |= 1 << (i & 7)
      i += whole * 8 || 1
    }
    from = bounds[r + 1] ?? count
  }
}

/** The fuses as they stood when the C field at `offset` was met. */
function fusesAt(received: Received, reading: ReadingState, offset: number): FuseMap {
  const count = reading.fuseCount ?? reading.store.end
  const silent = collectFindings(READING_FINDINGS, { limit: 1 })
  const again = readFields(received, { limits: reading.limits, findings: silent, presetCount: count, stopAt: offset })
  again.defaultFuse = reading.defaultFuse
  again.listed = { bounds: mergeRanges(again.store.ranges, count).bounds }
  return cutStore(again, count)
}

/** Puts the results together; the sums, and what can only be judged at the end, are judged here. */
function assemble(
  raw: Uint8Array,
  received: Received,
  { reading, options }: { readonly reading: ReadingState; readonly options: ReadOptions },
): FuseFile {
  const { findings } = reading
  const value = (field: string): number | null => reading.values.get(field)?.value ?? null
  const fuses = fusesOf(reading)
  const { start } = received
  const { bytes, end } = reading
  const frame: Frame = { start, end }
  const transmission = checkTransmissionSum(reading, { frame, sum: end === null ? null : receiveSum(bytes, end) })
  const fuse = checkFuseSum(reading, { fuses, mapAt: (offset) => fusesAt(received, reading, offset) })
  const unsummed = transmission.status === 'absent' || transmission.status === 'not-computed'
  if (fuses && fuse.stated === null && unsummed) findings.add('checksum/both-absent')
  judgeLists(reading, fuse)
  judgeEnd(reading, frame, fuse)
  const vectors = finishVectors(reading.tests, value('QP'), findings)
  reportFields(reading)
  const security = reading.securityField
  return {
    bytes: raw,
    parity: received.parity,
    options,
    frame,
    fields: {
      count: reading.starts.length,
      starts: reading.starts,
      hasDesignSpecification: reading.designSpecification !== null,
    },
    designSpecification: reading.designSpecification ?? '',
    notes: reading.notes,
    fuseCount: fuses?.length ?? value('QF'),
    statedFuseCount: value('QF'),
    pinCount: value('QP'),
    vectorLimit: value('QV'),
    defaultFuse: reading.defaultFuse,
    fuses,
    listed: reading.listed,
    uncovered: reading.uncovered,
    tooManyFuses: reading.tooManyFuses,
    cut: reading.cut,
    security: security === '0' ? 0 : security === '1' ? 1 : null,
    securityField: security,
    defaultCondition: reading.defaultCondition,
    pinOrder: reading.tests.pinOrder,
    vectors,
    electricalData: reading.electricalData,
    electricalPacking: reading.electricalPacking,
    userData: reading.userData,
    otherFields: reading.otherFields,
    checksums: { fuse, transmission },
    ...listed(findings.list()),
  }
}

function listed({ findings, counts }: FindingList): Pick<FuseFile, 'findings' | 'findingCounts'> {
  return { findings, findingCounts: counts }
}

/** Lists that are not of the standard's form: harmless where the fuse checksum fits what was read from them. */
function judgeLists({ oddLists, findings, bytes }: ReadingState, fuse: FuseSum): void {
  for (const { offset, count } of oddLists) {
    if (fuse.status === 'match')
      findings.add('file/list-form', { offset }, { what: count ? 'strange-state' : 'no-address' })
    else if (count)
      findings.add('file/list-character', { offset }, { character: quote(textOf(bytes, offset, offset + 1)), count })
    else findings.add('file/list-address-missing', { offset })
  }
}

/** Text without an asterisk that looks like the beginning of a field with data, rather than a closing word. */
const BEGUN_FIELD = /^(Q[FPV]?|[LKFGXCEPV])\s*(\d|$)/

/** Whether the file is whole: a missing ETX is harmless only where the fuse checksum vouches for all lists. */
function judgeEnd(reading: ReadingState, frame: Frame, fuse: FuseSum): void {
  const { bytes, findings, openField } = reading
  const vouched = fuse.status === 'match' && reading.sums.at(-1)!.offset > reading.lastListAt
  const open =
    openField === null
      ? ''
      : quote(textOf(bytes, openField, Math.min(frame.end ?? bytes.length, openField + 32)).trim())
  const place = { offset: openField ?? bytes.length }
  if (frame.end !== null || vouched) {
    if (frame.end === null && frame.start !== null) findings.add('file/end-mark-missing', { offset: bytes.length })
    if (openField !== null) findings.add('file/unterminated-field', place, { field: open })
  } else if (frame.start !== null || BEGUN_FIELD.test(open)) {
    reading.cut = true
    findings.add(
      'file/cut-short',
      place,
      open === '' ? { where: 'between-fields' } : { where: 'in-field', text: open },
    )
  } else if (openField !== null) tally(reading, 'file/unknown-identifier', openField)
}

/** Findings on fields that are missing, and on things told once with a count. */
function reportFields(reading: ReadingState): void {
  const { findings, bytes } = reading
  const value = reading.securityField
  if (value !== null && value !== '0') findings.add('security/requested', { offset: reading.securityAt }, { value })
  for (const [code, { count, at }] of reading.tallies) reportTally({ code, count, at }, bytes[at]!, findings)
}

function reportTally(
  { code, count, at }: Tally & { readonly code: TalliedCode },
  byte: number,
  findings: ReadingCollector,
): void {
  const place = { offset: at }
  if (code === 'file/stray-start-mark') findings.add(code, place)
  else if (code === 'file/stray-terminator' || code === 'file/blank-before-terminator')
    findings.add(code, place, { count })
  else if (code === 'file/control-character')
    findings.add(code, place, { count, hex: byte.toString(16).toUpperCase().padStart(2, '0') })
  else findings.add(code, place, { count, character: quote(String.fromCharCode(byte & 0x7f)) })
}
