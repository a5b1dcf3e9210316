/** The wiring of a capture searched in a part, in its orders of fuses, or in another image. */
import type { Pieces } from '../../arguments/pieces'
import type { WatchOptions } from '../../arguments/watch'
import { decode } from '../../devices/decode'
import { deviceInOrder, fuseOrders } from '../../devices/fuse-orders'
import type { NoLogic } from '../../findings/capture-findings'
import type { FuseMap } from '../../fuses/fuse-map'
import { countBits } from '../table/compare-tables'
import { captureOf, steadyRows, type Capture, type CaptureCollector } from './capture'
import { noLogicReason, otherImage, readAll, type Against, type CaptureOptions, type Given } from './capture-input'
import { captureOddities } from './capture-quality'
import { remarkReads, remarkSearch, type Naming } from './capture-remarks'
import type { ReportedLine, ReportedSearch } from './capture-report'
import {
  lineName,
  linesOfSize,
  partTarget,
  plainLines,
  searchWiring,
  type CaptureSearch,
  type SearchedReads,
} from './capture-search'
import type { ComparedLine } from './compare-capture'
import { readWiring, type Wiring, type WiringDocument, type WiringHints } from './wiring'
import type { FoundWiring, WiringSearchOptions } from './wiring-search'

/** What a search gave. */
export interface Searched {
  readonly report: ReportedSearch
  /** The wiring found, or the nearest. */
  readonly wiring: Wiring | null
  /** Wiring by line numbers, as the other image is read. */
  readonly plain: WiringDocument
  readonly isImage: boolean
}

/** Searches for the wiring; null where there is nothing to search in. */
export function* searched(
  given: Given,
  {
    against,
    options,
    findings,
  }: { readonly against: Against; readonly options: CaptureOptions; readonly findings: CaptureCollector },
): Pieces<Searched | null> {
  const hints = given.hints!
  const size = given.up[0]!.length
  const lines = linesOfSize(size, hints.width)
  if (lines === null) {
    findings.add('capture/no-table-size', {}, { bytes: size, width: hints.width, most: 2 ** 20 })
    return null
  }
  const plain = plainLines(lines, hints)
  const reads = readAll(given, readWiring(plain), findings)
  if (!reads) return null
  const { allAlike } = captureOddities(reads.capture)
  const searchedReads = readsFor(given, reads.capture, plain)
  const found = allAlike === null ? yield* foundIn(searchedReads, { against, size, plain, hints, options }) : null
  const isImage = otherImage(against, size) !== null
  if (!found || !('relation' in found)) {
    if (found) findings.add('capture/no-logic', {}, found)
    else findings.add('capture/all-alike', {}, { level: allAlike! })
    return null
  }
  const { rowCount } = reads.capture.table
  remarkSearch(found, searchedReads.known ? countBits(searchedReads.known) : rowCount, findings)
  if (!found.description) remarkReads(reads, findings)
  return {
    report: reportedSearch(found, isImage),
    wiring: found.description && readWiring(found.description),
    plain,
    isImage,
  }
}

/** All reads by line numbers, and which rows count: those that are steady, and not stated to be misread. */
function readsFor({ up, down }: Given, capture: Capture, plain: WiringDocument): SearchedReads {
  const known = steadyRows(capture)
  const isWhole = countBits(known) === capture.table.rowCount
  const reads = isWhole ? [] : [...up, ...down].slice(0, MAX_SEARCHED_READS)
  return {
    table: capture.table,
    reads: reads.map((image) => captureOf(image, readWiring(plain)).table),
    known: isWhole ? null : known,
  }
}

/** Most reads of which each is searched by itself where they disagree. */
const MAX_SEARCHED_READS = 4

interface Searching {
  readonly against: Against
  readonly size: number
  readonly plain: WiringDocument
  readonly hints: WiringHints
  readonly options: CaptureOptions
}

/** Who looks on at the search. */
function watched({ onProgress, signal }: CaptureOptions): WatchOptions {
  return { ...(onProgress ? { onProgress } : {}), ...(signal ? { signal } : {}) }
}

function* foundIn(
  reads: SearchedReads,
  { against, size, plain, hints, options }: Searching,
): Pieces<CaptureSearch | NoLogic> {
  const given = { hints, options: { ...watched(options), ...options.searchOptions } }
  const image = otherImage(against, size)
  if (image) {
    const { table } = captureOf(image, readWiring(plain))
    return yield* searchWiring(reads, { table, held: {}, idle: [] }, given)
  }
  const { decoded, inspection } = against.checked
  const { file } = inspection
  const part = decoded?.device.part
  if (part !== undefined && decoded!.logic === null && inspection.complete && fuseOrders(part).length > 0)
    return yield* foundInOrders(reads, { part, fuses: file.fuses!, given })
  const reason = noLogicReason(against.checked)
  if (reason !== null) return reason
  const target = partTarget(decoded!, hints)
  return 'reason' in target ? target : yield* searchWiring(reads, target, given)
}

/** The orders of a part one after the other until one has a wiring; the nearest is looked for in the first alone. */
function* foundInOrders(
  reads: SearchedReads,
  {
    part,
    fuses,
    given,
  }: {
    readonly part: string
    readonly fuses: FuseMap
    readonly given: { readonly hints: WiringHints; readonly options: WiringSearchOptions }
  },
): Pieces<CaptureSearch | NoLogic> {
  let first: CaptureSearch | NoLogic | null = null
  for (const nearest of [false, true])
    for (const { name } of nearest && !reads.known ? fuseOrders(part).slice(0, 1) : fuseOrders(part)) {
      const target = partTarget(decode(deviceInOrder(part, name), fuses), given.hints)
      const options = { ...given.options, nearest }
      const found = 'reason' in target ? target : yield* searchWiring(reads, target, { hints: given.hints, options })
      if ('relation' in found && found.relation === 'found') return found
      if (nearest) first ??= found
    }
  return first!
}

function reportedSearch(
  { relation, inversions, equivalents, symmetries, nearest, description, wirings }: CaptureSearch,
  isImage: boolean,
): ReportedSearch {
  const nameOf = (pin: number): number | string => (isImage ? lineName(pin) : pin)
  const groups = (kind: keyof FoundWiring, lines: WiringDocument['address']): (number | string)[][] => {
    const pinOf = (column: number): number | null => pinAt(lines[column] ?? null)
    return (symmetries?.[kind] ?? [])
      .map((group) => group.flatMap(({ column }) => pinOf(column) ?? []).map(nameOf))
      .filter((pins) => pins.length > 1)
  }
  const exchangeable = {
    inputs: description ? groups('inputs', description.address) : [],
    outputs:
      description && wirings.length > 0
        ? groups(
            'outputs',
            description.data.filter((wire) => wire !== null),
          )
        : [],
  }
  return {
    relation,
    inversions,
    equivalents,
    exchangeable,
    wiring: isImage ? null : description,
    lines:
      isImage && description
        ? { address: description.address.map(lineWords), data: description.data.map(lineWords) }
        : null,
    differingRows: nearest?.differingRows ?? null,
  }
}

/** A line of the other image, with its inversion; null where it stands for none. */
function lineWords(wire: WiringDocument['address'][number]): string | null {
  const pin = pinAt(wire)
  return pin === null ? null : `${typeof wire === 'object' && wire?.inverted ? '¬' : ''}${lineName(pin)}`
}

/** An output with its pin, or under the names of the other image's lines. */
export function reportedLine(line: ComparedLine, naming: Naming): ReportedLine {
  if (naming === 'pins') return { ...line, otherLine: null }
  const { pin, firstRows, differsWhere } = line
  const named = (levels: Readonly<Record<string, 0 | 1>>): Record<string, 0 | 1> =>
    Object.fromEntries(Object.entries(levels).map(([name, level]) => [lineName(Number(name)), level]))
  return {
    ...line,
    pin: null,
    otherLine: lineName(pin),
    firstRows: firstRows.map((row) => ({ ...row, inputs: named(row.inputs) })),
    differsWhere: differsWhere && {
      ...differsWhere,
      products: differsWhere.products.map(named),
      text: differsWhere.text.replace(/p(\d+)/g, (_, number: string) => lineName(Number(number))),
    },
  }
}

function pinAt(wire: WiringDocument['address'][number]): number | null {
  return typeof wire === 'number' ? wire : (wire?.pin ?? null)
}
