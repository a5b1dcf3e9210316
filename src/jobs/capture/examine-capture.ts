/**
 * A chip read out like a memory: what the table is worth, and whether it is the table that a fuse file, or another
 * image, gives.
 */
import { CAPTURE_FINDINGS } from '../../findings/capture-findings'
import { collectFindings, mergeFindings, verdictOf, type FindingList } from '../../findings/finding'
import { decode, type Decoded } from '../../devices/decode'
import type { Device } from '../../devices/device'
import { deviceInOrder, fuseOrders } from '../../devices/fuse-orders'
import {
  combineCaptures,
  judgedRows,
  pullCaptures,
  readCapture,
  steadyRows,
  type Capture,
  type CaptureCollector,
  type CombinedCaptures,
} from './capture'
import { expectedLevels, triedOrders, type TriedOrder } from './capture-orders'
import { captureOddities, tableOddities, type TableOddities } from './capture-quality'
import {
  remarkComparison,
  remarkConstants,
  remarkLevels,
  remarkDrive,
  remarkOddities,
  remarkOrders,
  remarkReads,
  remarkSearch,
  remarkSequences,
  type Naming,
} from './capture-remarks'
import {
  lineName,
  linesOfSize,
  overPins,
  partTarget,
  plainLines,
  searchWiring,
  type CaptureSearch,
  type NoTarget,
  type SearchedReads,
} from './capture-search'
import { compareSequences } from './capture-sequence'
import { compareCapture, type CaptureComparison, type ComparedLine } from './compare-capture'
import { countBits } from '../table/compare-tables'
import { isComplete } from '../../jesd3/complete-map'
import type { TruthTable } from '../table/truth-table'
import type { FuseMap } from '../../fuses/fuse-map'
import { imageSize, readWiring, readWiringHints, type Wiring, type WiringDocument, type WiringHints } from './wiring'
import type { FoundWiring, WiringSearchOptions } from './wiring-search'
import type { CaptureReport, ReportedLine, ReportedSearch } from './capture-report'
import { inspect, type Inspection } from '../check/verify'

/** How the images were made, and what they are compared with. */
export interface CaptureOptions {
  /** Which line is which pin; or `search`. */
  readonly wiring?: WiringDocument | string
  /**
   * Searches for the wiring; what is known besides (`held`, `width`, `byteOrder`, `off`, `badRows`) may be stated. Needs
   * `against`.
   */
  readonly search?: Partial<Omit<WiringHints, 'badRows'>> & Pick<WiringDocument, 'badRows'>
  /** Images of the same chip read with addresses counting down, stored in the order of addresses. */
  readonly down?: readonly Uint8Array[]
  /** The same chip read with pull-ups, and with pull-downs, at its outputs; both, or neither. */
  readonly pullUp?: Uint8Array
  readonly pullDown?: Uint8Array
  /** A fuse file; or another image of the same size, which is what holds no fuses and has that size. */
  readonly against?: Uint8Array | string
  /** Part of the fuse file. */
  readonly device?: string | Device
  /** Name of an order of `fuseOrders`; all are tried where a part has several and none is stated. */
  readonly fuseOrder?: string
  /** Names for the report. */
  readonly names?: readonly string[]
  readonly downNames?: readonly string[]
  readonly againstName?: string
  /** Most rows to list an output (default 8). */
  readonly maxRows?: number
  /** Most findings to list (default 100). */
  readonly maxFindings?: number
  /** Bounds of the search. */
  readonly searchOptions?: WiringSearchOptions
}

/**
 * Examines images of a chip that was read out like a memory: their quality, and, against a fuse file or another
 * image, where they differ, row by row.
 *
 * @param images one image, or several of the same chip, which are combined by agreement; none with `pullUp`
 * @returns plain data, the JSON of `fuse-assay capture`; content never throws
 * @throws TypeError or RangeError for a mistake in the options, the wiring included, with its path
 * @example examineCapture(image, { wiring: 'plain-28', against: file, device: '82S100' }).relation
 */
export function examineCapture(images: Uint8Array | readonly Uint8Array[], options: CaptureOptions): CaptureReport {
  const given = checkedArguments(images, options)
  const findings = collectFindings(CAPTURE_FINDINGS, { limit: options.maxFindings ?? 100 })
  const against = options.against === undefined ? null : readAgainst(options.against, options)
  const search = given.wiring ? null : searched(given, { against: against!, options, findings })
  const wiring = given.wiring ?? search?.wiring ?? null
  const reads = wiring && readAll(given, wiring, findings)
  const naming = search?.isImage ? 'lines' : 'pins'
  const result = reads ? comparedWith(reads, { against, search, options, findings, naming }) : NOT_COMPARED
  const quality = reads && captureOddities(reads.capture)
  if (reads) {
    remarkReads(reads, findings, result.isSequential)
    remarkOddities(reads.capture, quality!, { expected: result.expected, naming, findings })
    if (search && naming === 'pins') remarkConstants(search.report, quality!, findings)
  }
  const merged = mergeFindings(
    [findings.list(), ...(against ? [againstFindings(against, result)] : [])],
    options.maxFindings ?? 100,
  )
  return {
    images: given.up.map((_, i) => options.names?.[i] ?? null),
    down: given.down.map((_, i) => options.downNames?.[i] ?? null),
    against: against ? (options.againstName ?? null) : null,
    relation: against ? relationOf(result, quality, search) : null,
    verdict: verdictOf(merged.counts),
    device: against?.inspection.report.device ?? null,
    wiring: naming === 'pins' ? wiring : null,
    rows: reads && rowsOf(reads),
    quality: naming === 'pins' ? quality : null,
    outputs: (result.comparison?.outputs ?? []).map((line) => reportedLine(line, naming)),
    orders: result.orders,
    search: search?.report ?? null,
    findings: merged.findings,
    scope: scopeOf(reads?.capture ?? null, result, { options, searched: !given.wiring }),
  }
}

function rowsOf({ capture, disagreeing, directional }: CombinedCaptures): CaptureReport['rows'] {
  return {
    all: capture.table.rowCount,
    judged: countBits(judgedRows(capture)),
    misread: countBits(capture.bad),
    dontCare: countBits(capture.dontCare.map((word, i) => word & ~capture.bad[i]!)),
    disagreeing: disagreeing.count + directional.count,
  }
}

interface Given {
  readonly up: readonly Uint8Array[]
  readonly down: readonly Uint8Array[]
  /** With pull-ups, and with pull-downs. */
  readonly pulls: readonly [Uint8Array, Uint8Array] | null
  /** Null where it is searched for, with what is known. */
  readonly wiring: Wiring | null
  readonly hints: WiringHints | null
}

function checkedArguments(images: unknown, options: CaptureOptions): Given {
  if (typeof options !== 'object' || options === null || Array.isArray(options))
    throw new TypeError('options must be an object')
  const up = imagesOf(images instanceof Uint8Array ? [images] : images, 'images')
  const pulls = pullsOf(options)
  if (up.length === 0 && !pulls) throw new TypeError('images must hold at least one image')
  const down = imagesOf(options.down ?? [], 'options.down')
  if ((options.wiring === undefined) === (options.search === undefined))
    throw new TypeError('options must have either wiring or search')
  if (options.search !== undefined && options.against === undefined)
    throw new TypeError('options.search needs options.against')
  const wiring = options.wiring === undefined ? null : readWiring(options.wiring)
  return { up, down, pulls, wiring, hints: options.search === undefined ? null : readWiringHints(options.search) }
}

function pullsOf({ pullUp, pullDown, search, down }: CaptureOptions): Given['pulls'] {
  if (pullUp === undefined && pullDown === undefined) return null
  for (const [name, image] of [
    ['pullUp', pullUp],
    ['pullDown', pullDown],
  ] as const)
    if (!(image instanceof Uint8Array))
      throw new TypeError(`options.${name} must be a Uint8Array beside the other pull`)
  if (search !== undefined || (down ?? []).length > 0)
    throw new RangeError('options.pullUp and options.pullDown go with a wiring, and with no image counting down')
  return [pullUp!, pullDown!]
}

function imagesOf(images: unknown, name: string): readonly Uint8Array[] {
  if (!Array.isArray(images) || !images.every((image) => image instanceof Uint8Array))
    throw new TypeError(`${name} must be a Uint8Array, or a list of them`)
  return images as readonly Uint8Array[]
}

interface Against {
  readonly inspection: Inspection
  readonly bytes: Uint8Array | null
}

function readAgainst(against: Uint8Array | string, { device, fuseOrder, againstName }: CaptureOptions): Against {
  if (typeof against !== 'string' && !(against instanceof Uint8Array))
    throw new TypeError('options.against must be a Uint8Array or a string')
  const named = {
    ...(device === undefined ? {} : { device }),
    ...(fuseOrder === undefined ? {} : { fuseOrder }),
    ...(againstName === undefined ? {} : { name: againstName }),
  }
  return { inspection: inspect(against, named), bytes: typeof against === 'string' ? null : against }
}

/** The other image, where what is compared with is no fuse file and has the size of one. */
function otherImage({ inspection, bytes }: Against, size: number): Uint8Array | null {
  return inspection.file.fuses === null && bytes?.length === size ? bytes : null
}

/** Reads and combines all images; null where one is no table of this wiring. */
function readAll({ up, down, pulls }: Given, wiring: Wiring, findings: CaptureCollector): CombinedCaptures | null {
  const sizes = [...new Set([...up, ...down, ...(pulls ?? [])].map(({ length }) => length))]
  if (sizes.length > 1) findings.add('capture/images-differ-in-size', {}, { sizes: sizes.join(' and ') })
  const wrong = sizes.filter((size) => size !== imageSize(wiring))
  for (const bytes of wrong)
    findings.add(
      'capture/size',
      {},
      { bytes, lines: wiring.address.length, width: wiring.width, size: imageSize(wiring) },
    )
  if (wrong.length > 0) return null
  const read = (image: Uint8Array): Capture => readCapture(image, wiring).capture!
  const own = up.map(read)
  return pulls
    ? combineCaptures([pullCaptures(read(pulls[0]), read(pulls[1]), own)])
    : combineCaptures(own, down.map(read))
}

interface Result {
  readonly comparison: CaptureComparison | null
  readonly orders: readonly TriedOrder[]
  /** Oddities of the table that was expected. */
  readonly expected: TableOddities | null
  /** What it was compared with, in words. */
  readonly words: string | null
  /** True where outputs that remember were judged by the sequences of addresses. */
  readonly isSequential: boolean
}

const NOT_COMPARED: Result = { comparison: null, orders: [], expected: null, words: null, isSequential: false }

interface Comparing {
  readonly against: Against | null
  readonly search: Searched | null
  readonly options: CaptureOptions
  readonly findings: CaptureCollector
  readonly naming: Naming
}

function comparedWith(reads: CombinedCaptures, { against, search, options, findings, naming }: Comparing): Result {
  if (!against) return NOT_COMPARED
  const { capture } = reads
  const { inspection } = against
  const image = otherImage(against, imageSize(capture.wiring))
  if (image) return comparedWithImage(capture, image, { search, options, findings, naming })
  const reason = noLogicReason(inspection)
  const part = inspection.decoded?.device.part
  const orders =
    part !== undefined &&
    inspection.decoded!.logic === null &&
    isComplete(inspection.file) &&
    fuseOrders(part).length > 0
      ? triedOrders(capture, part, inspection.file.fuses!)
      : []
  if (orders.length > 0) remarkOrders(part!, orders, findings)
  else if (reason !== null) {
    findings.add('capture/no-logic', {}, { reason })
    return NOT_COMPARED
  }
  const decoded =
    orders.length > 0 ? decode(deviceInOrder(part!, orders[0]!.order), inspection.file.fuses!) : inspection.decoded!
  return { ...comparedWithPart(reads, decoded, { options, findings }), orders }
}

/** Why a file gives no logic to compare with; null where it does. */
function noLogicReason({ file, decoded, report }: Inspection): string | null {
  if (file.fuses === null) return 'the file holds no fuses'
  if (!isComplete(file)) return 'the file does not say what every fuse is'
  if (!decoded)
    return report.candidates.length > 1
      ? `its size fits ${report.candidates.join(', ')}`
      : 'no part of the catalogue has its number of fuses'
  return decoded.logic === null ? `what its fuses mean as a ${decoded.device.part} is not known` : null
}

function comparedWithPart(
  { capture, directions }: CombinedCaptures,
  decoded: Decoded,
  { options, findings }: Pick<Comparing, 'options' | 'findings'>,
): Result {
  const { part } = decoded.device
  const levels = expectedLevels(capture, decoded)
  if ('misfit' in levels) {
    findings.add('capture/wiring-does-not-fit', {}, { part, reason: levels.misfit })
    return NOT_COMPARED
  }
  const { stateful, table } = levels
  const off = capture.pulled ? null : levels.off
  const plain = comparedTables(capture, { table, off }, options)
  const sequential =
    directions && stateful.length > 0 ? compareSequences(decoded, directions, { table, stateful, plain }) : null
  remarkLevels(levels, findings)
  const comparison = sequential ?? plain
  if (sequential) remarkSequences(stateful, sequential, findings)
  if (!capture.pulled && comparison.relation !== 'different') remarkDrive(levels, judgedRows(capture), findings)
  remarkComparison(comparison, { reasons: levels.reasons, naming: 'pins' }, findings)
  return {
    comparison,
    orders: [],
    expected: tableOddities(table, steadyRows(capture)),
    words: `the logic of its fuses as those of a ${part}`,
    isSequential: sequential !== null,
  }
}

function comparedWithImage(
  capture: Capture,
  image: Uint8Array,
  { search, options, findings, naming }: Omit<Comparing, 'against'>,
): Result {
  const { wiring, table } = capture
  const pins = (list: TruthTableColumns): number[] => list.map(({ pin }) => pin)
  const other = readCapture(image, search ? search.plain : wiring).capture!.table
  const expected = search ? overPins(other, pins(table.inputs), pins(table.outputs)) : other
  // A single image has no sign for an output that is off.
  const off = capture.pulled ? table.open.map((open, i) => open.map((word, w) => word & ~table.ones[i]![w]!)) : null
  const comparison = comparedTables(capture, { table: expected, off }, options)
  remarkComparison(comparison, { reasons: new Map(), naming }, findings)
  return {
    ...NOT_COMPARED,
    comparison,
    expected: tableOddities(expected, steadyRows(capture)),
    words: 'the other image',
  }
}

type TruthTableColumns = Capture['table']['inputs']

function comparedTables(
  capture: Capture,
  { table, off }: { readonly table: TruthTable; readonly off: readonly Int32Array[] | null },
  { maxRows }: CaptureOptions,
): CaptureComparison {
  return compareCapture(capture, table, {
    ...(off ? { off } : {}),
    ...(maxRows === undefined ? {} : { maxRows }),
  })
}

interface Searched {
  readonly report: ReportedSearch
  /** The wiring found, or the nearest. */
  readonly wiring: Wiring | null
  /** Wiring by line numbers, as the other image is read. */
  readonly plain: WiringDocument
  readonly isImage: boolean
}

/** Searches for the wiring; null where there is nothing to search in. */
function searched(
  given: Given,
  {
    against,
    options,
    findings,
  }: { readonly against: Against; readonly options: CaptureOptions; readonly findings: CaptureCollector },
): Searched | null {
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
  const found = allAlike === null ? foundIn(searchedReads, { against, size, plain, hints, options }) : null
  const isImage = otherImage(against, size) !== null
  if (!found || !('relation' in found)) {
    if (found) findings.add('capture/no-logic', {}, { reason: found.reason })
    else findings.add('capture/all-alike', {}, { level: String(allAlike) })
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
    reads: reads.map((image) => readCapture(image, plain).capture!.table),
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

function foundIn(
  reads: SearchedReads,
  { against, size, plain, hints, options }: Searching,
): CaptureSearch | NoTarget {
  const given = { hints, options: options.searchOptions ?? {} }
  const image = otherImage(against, size)
  if (image) {
    const { table } = readCapture(image, plain).capture!
    return searchWiring(reads, { table, held: {}, idle: [] }, given)
  }
  const { decoded, file } = against.inspection
  const part = decoded?.device.part
  if (part !== undefined && decoded!.logic === null && isComplete(file) && fuseOrders(part).length > 0)
    return foundInOrders(reads, { part, fuses: file.fuses!, given })
  const reason = noLogicReason(against.inspection)
  if (reason !== null) return { reason }
  const target = partTarget(decoded!, hints)
  return 'reason' in target ? target : searchWiring(reads, target, given)
}

/** The orders of a part one after the other until one has a wiring; the nearest is looked for in the first alone. */
function foundInOrders(
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
): CaptureSearch | NoTarget {
  let first: CaptureSearch | NoTarget | null = null
  for (const nearest of [false, true])
    for (const { name } of nearest && !reads.known ? fuseOrders(part).slice(0, 1) : fuseOrders(part)) {
      const target = partTarget(decode(deviceInOrder(part, name), fuses), given.hints)
      const options = { ...given.options, nearest }
      const found = 'reason' in target ? target : searchWiring(reads, target, { hints: given.hints, options })
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
function reportedLine(line: ComparedLine, naming: Naming): ReportedLine {
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

/** What the file that was compared with has to say by itself. */
function againstFindings({ inspection: { report, counts, file } }: Against, { orders, words }: Result): FindingList {
  if (file.fuses === null && words !== null) return { findings: [], counts: { error: 0, warning: 0, note: 0 } }
  const findings = report.findings.filter(({ code }) => orders.length === 0 || code !== 'device/undecoded')
  return { findings, counts: { ...counts, warning: counts.warning - (report.findings.length - findings.length) } }
}

/** A table of one level says nothing, and a search decides before the comparison under its wiring does. */
function relationOf(
  { comparison, orders }: Result,
  quality: TableOddities | null,
  search: Searched | null,
): CaptureReport['relation'] {
  if (search && search.report.relation !== 'found')
    return search.report.relation === 'none' ? 'different' : 'undecided'
  if (!comparison || !quality || quality.allAlike !== null) return 'not-comparable'
  if (
    orders.some(({ relation }) => relation === 'undecided') &&
    !orders.some(({ relation }) => relation === 'equivalent')
  )
    return 'undecided'
  return comparison.relation
}

function scopeOf(
  capture: Capture | null,
  { comparison, words, orders }: Result,
  { options, searched: wasSearched }: { readonly options: CaptureOptions; readonly searched: boolean },
): CaptureReport['scope'] {
  const outputs = comparison?.outputs.length ?? 0
  const compared = comparison
    ? [
        `${comparison.judgedRows} of ${comparison.rowCount} rows of ${outputs} ${outputs === 1 ? 'output' : 'outputs'} with ${words!}${orders.length > 1 ? `, in ${orders.length} orders` : ''}`,
      ]
    : []
  const left = capture && comparison && comparison.judgedRows < comparison.rowCount ? ['rows that were left out'] : []
  const wiring = wasSearched
    ? 'whether the lines are really wired as found'
    : 'the wiring itself, which is taken from the description'
  return {
    compared,
    notExamined: [
      ...left,
      wiring,
      ...(options.down?.length ? [] : ['whether the answer depends on the order of addresses']),
      'timing and speed',
      'drive, levels and supply',
      'what the chip does after other rows, or later',
    ],
  }
}
