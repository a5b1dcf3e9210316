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
  openRows,
  readCapture,
  type Capture,
  type CaptureCollector,
  type CombinedCaptures,
} from './capture'
import { triedOrders, wiredPins, type TriedOrder } from './capture-orders'
import { tableOddities, type TableOddities } from './capture-quality'
import {
  remarkComparison,
  remarkLevels,
  remarkOddities,
  remarkOrders,
  remarkReads,
  remarkSearch,
} from './capture-remarks'
import {
  linesOfSize,
  overPins,
  partTarget,
  plainLines,
  searchWiring,
  type CaptureSearch,
  type NoTarget,
} from './capture-search'
import { compareCapture, type CaptureComparison } from './compare-capture'
import { countBits } from '../table/compare-tables'
import { partLevels, type PartLevels } from '../table/part-levels'
import { imageSize, readWiring, readWiringHints, type Wiring, type WiringDocument, type WiringHints } from './wiring'
import type { FoundWiring, WiringSearchOptions } from './wiring-search'
import type { CaptureReport, ReportedSearch } from './capture-report'
import { check, type Checked } from '../check/verify'

/** How the images were made, and what they are compared with. */
export interface CaptureOptions {
  /** Which line is which pin; or `search`. */
  readonly wiring?: WiringDocument | string
  /**
   * Searches for the wiring; what is known besides (`held`, `width`, `byteOrder`, `off`) may be stated. Needs
   * `against`.
   */
  readonly search?: Partial<WiringHints>
  /** Images of the same chip read with addresses counting down, stored in the order of addresses. */
  readonly down?: readonly Uint8Array[]
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
 * image, where
 * they differ, row by row.
 *
 * @param images one image, or several of the same chip, which are combined by agreement
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
  const result = reads ? comparedWith(reads.capture, { against, search, options, findings }) : NOT_COMPARED
  const quality = reads && tableOddities(reads.capture.table, steadyRows(reads.capture))
  if (reads) {
    remarkReads(reads, findings)
    remarkOddities(reads.capture, quality!, { expected: result.expected, findings })
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
    device: against?.checked.report.device ?? null,
    wiring,
    rows: reads && {
      all: reads.capture.table.rowCount,
      judged: countBits(judgedRows(reads.capture)),
      disagreeing: reads.disagreeing.count + reads.directional.count,
    },
    quality,
    outputs: result.comparison?.outputs ?? [],
    orders: result.orders,
    search: search?.report ?? null,
    findings: merged.findings,
    scope: scopeOf(reads?.capture ?? null, result, { options, searched: !given.wiring }),
  }
}

interface Given {
  readonly up: readonly Uint8Array[]
  readonly down: readonly Uint8Array[]
  /** Null where it is searched for, with what is known. */
  readonly wiring: Wiring | null
  readonly hints: WiringHints | null
}

function checkedArguments(images: unknown, options: CaptureOptions): Given {
  if (typeof options !== 'object' || options === null || Array.isArray(options))
    throw new TypeError('options must be an object')
  const up = imagesOf(images instanceof Uint8Array ? [images] : images, 'images')
  if (up.length === 0) throw new TypeError('images must hold at least one image')
  const down = imagesOf(options.down ?? [], 'options.down')
  if ((options.wiring === undefined) === (options.search === undefined))
    throw new TypeError('options must have either wiring or search')
  if (options.search !== undefined && options.against === undefined)
    throw new TypeError('options.search needs options.against')
  const wiring = options.wiring === undefined ? null : readWiring(options.wiring)
  return { up, down, wiring, hints: options.search === undefined ? null : readWiringHints(options.search) }
}

function imagesOf(images: unknown, name: string): readonly Uint8Array[] {
  if (!Array.isArray(images) || !images.every((image) => image instanceof Uint8Array))
    throw new TypeError(`${name} must be a Uint8Array, or a list of them`)
  return images as readonly Uint8Array[]
}

interface Against {
  readonly checked: Checked
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
  return { checked: check(against, named), bytes: typeof against === 'string' ? null : against }
}

/** The other image, where what is compared with is no fuse file and has the size of one. */
function otherImage({ checked: { inspection }, bytes }: Against, size: number): Uint8Array | null {
  return inspection.file.fuses === null && bytes?.length === size ? bytes : null
}

/** Reads and combines all images; null where one is no table of this wiring. */
function readAll({ up, down }: Given, wiring: Wiring, findings: CaptureCollector): CombinedCaptures | null {
  const sizes = [...new Set([...up, ...down].map(({ length }) => length))]
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
  return combineCaptures(up.map(read), down.map(read))
}

/** Rows that say something of the chip: not misread, and the same in all reads. */
function steadyRows(capture: Capture): Int32Array {
  const open = openRows(capture)
  const within = capture.table.rowCount < 32 ? 2 ** capture.table.rowCount - 1 : -1
  return capture.bad.map((word, i) => within & ~word & ~open[i]!)
}

interface Result {
  readonly comparison: CaptureComparison | null
  readonly orders: readonly TriedOrder[]
  /** Oddities of the table that was expected. */
  readonly expected: TableOddities | null
  /** What it was compared with, in words. */
  readonly words: string | null
}

const NOT_COMPARED: Result = { comparison: null, orders: [], expected: null, words: null }

interface Comparing {
  readonly against: Against | null
  readonly search: Searched | null
  readonly options: CaptureOptions
  readonly findings: CaptureCollector
}

function comparedWith(capture: Capture, { against, search, options, findings }: Comparing): Result {
  if (!against) return NOT_COMPARED
  const { inspection, decoded: own } = against.checked
  const image = otherImage(against, imageSize(capture.wiring))
  if (image) return comparedWithImage(capture, image, { search, options, findings })
  const reason = noLogicReason(against.checked)
  const part = own?.device.part
  const orders =
    part !== undefined && own!.logic === null && inspection.complete && fuseOrders(part).length > 0
      ? triedOrders(capture, part, inspection.file.fuses!)
      : []
  if (orders.length > 0) remarkOrders(part!, orders, findings)
  else if (reason !== null) {
    findings.add('capture/no-logic', {}, { reason })
    return NOT_COMPARED
  }
  const decoded = orders.length > 0 ? decode(deviceInOrder(part!, orders[0]!.order), inspection.file.fuses!) : own!
  return { ...comparedWithPart(capture, decoded, { options, findings }), orders }
}

/** Why a file gives no logic to compare with; null where it does. */
function noLogicReason({ inspection: { file, complete }, decoded, report }: Checked): string | null {
  if (file.fuses === null) return 'the file holds no fuses'
  if (!complete) return 'the file does not say what every fuse is'
  if (!decoded)
    return report.candidates.length > 1
      ? `its size fits ${report.candidates.join(', ')}`
      : 'no part of the catalogue has its number of fuses'
  return decoded.logic === null ? `what its fuses mean as a ${decoded.device.part} is not known` : null
}

function comparedWithPart(
  capture: Capture,
  decoded: Decoded,
  { options, findings }: Pick<Comparing, 'options' | 'findings'>,
): Result {
  const { part } = decoded.device
  const levels = partLevels(decoded, wiredPins(capture))
  if ('misfit' in levels) {
    findings.add('capture/wiring-does-not-fit', {}, { part, reason: levels.misfit })
    return NOT_COMPARED
  }
  remarkLevels(levels, findings)
  return {
    ...comparedWithTable(capture, levels, { options, findings }),
    words: `the logic of its fuses as those of a ${part}`,
  }
}

function comparedWithImage(
  capture: Capture,
  image: Uint8Array,
  { search, options, findings }: Omit<Comparing, 'against'>,
): Result {
  const { wiring, table } = capture
  const pins = (list: TruthTableColumns): number[] => list.map(({ pin }) => pin)
  const other = readCapture(image, search ? search.plain : wiring).capture!.table
  const expected = search ? overPins(other, pins(table.inputs), pins(table.outputs)) : other
  return {
    ...comparedWithTable(capture, { table: expected, off: null, reasons: new Map() }, { options, findings }),
    words: 'the other image',
  }
}

type TruthTableColumns = Capture['table']['inputs']

function comparedWithTable(
  capture: Capture,
  { table, off, reasons }: Pick<PartLevels, 'table' | 'reasons'> & { readonly off: PartLevels['off'] | null },
  { options, findings }: Pick<Comparing, 'options' | 'findings'>,
): Omit<Result, 'words'> {
  const comparison = compareCapture(capture, table, {
    ...(off ? { off } : {}),
    ...(options.maxRows === undefined ? {} : { maxRows: options.maxRows }),
  })
  remarkComparison(comparison, reasons, findings)
  return { comparison, orders: [], expected: tableOddities(table, steadyRows(capture)) }
}

interface Searched {
  readonly report: ReportedSearch
  /** The wiring found, or the nearest. */
  readonly wiring: Wiring | null
  /** Wiring by line numbers, as the other image is read. */
  readonly plain: WiringDocument
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
  const { allAlike } = tableOddities(reads.capture.table, steadyRows(reads.capture))
  const found = allAlike === null ? foundIn(reads.capture, { against, plain, hints, options }) : null
  if (!found || !('relation' in found)) {
    if (found) findings.add('capture/no-logic', {}, { reason: found.reason })
    else findings.add('capture/all-alike', {}, { level: String(allAlike) })
    return null
  }
  remarkSearch(found, reads.capture.table.rowCount, findings)
  if (!found.description) remarkReads(reads, findings)
  return { report: reportedSearch(found), wiring: found.description && readWiring(found.description), plain }
}

function foundIn(
  capture: Capture,
  {
    against,
    plain,
    hints,
    options,
  }: {
    readonly against: Against
    readonly plain: WiringDocument
    readonly hints: WiringHints
    readonly options: CaptureOptions
  },
): CaptureSearch | NoTarget {
  const given = { hints, options: options.searchOptions ?? {} }
  const image = otherImage(against, imageSize(capture.wiring))
  if (image) return searchWiring(capture.table, { table: readCapture(image, plain).capture!.table, held: {} }, given)
  const reason = noLogicReason(against.checked)
  if (reason !== null) return { reason }
  const target = partTarget(against.checked.decoded!, hints)
  return 'reason' in target ? target : searchWiring(capture.table, target, given)
}

function reportedSearch({
  relation,
  inversions,
  equivalents,
  symmetries,
  nearest,
  description,
  wirings,
}: CaptureSearch): ReportedSearch {
  const groups = (kind: keyof FoundWiring, lines: WiringDocument['address']): number[][] => {
    const pinOf = (column: number): number | null => pinAt(lines[column] ?? null)
    return (symmetries?.[kind] ?? [])
      .map((group) => group.flatMap(({ column }) => pinOf(column) ?? []))
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
    wiring: description,
    differingRows: nearest?.differingRows ?? null,
  }
}

function pinAt(wire: WiringDocument['address'][number]): number | null {
  return typeof wire === 'number' ? wire : (wire?.pin ?? null)
}

/** What the file that was compared with has to say by itself. */
function againstFindings(
  { checked: { report, counts, inspection } }: Against,
  { orders, words }: Result,
): FindingList {
  if (inspection.file.fuses === null && words !== null)
    return { findings: [], counts: { error: 0, warning: 0, note: 0 } }
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
