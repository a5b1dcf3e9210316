/**
 * A chip read out like a memory: what the table is worth, and whether it is the table that a fuse file, or another
 * image, gives.
 */
import { runPieces, runWithPauses, type PauseOptions, type Pieces } from '../../arguments/pieces'
import { SCHEMA } from '../../findings/schema'
import { CAPTURE_FINDINGS, IMAGE_FINDINGS } from '../../findings/capture-findings'
import { collectFindings, mergeFindings, verdictOf, type FindingList } from '../../findings/finding'
import { decode, type Decoded } from '../../devices/decode'
import { deviceInOrder, fuseOrders } from '../../devices/fuse-orders'
import { countBits } from '../table/compare-tables'
import type { TruthTable } from '../table/truth-table'
import {
  captureOf,
  judgedRows,
  steadyRows,
  type Capture,
  type CaptureCollector,
  type CombinedCaptures,
} from './capture'
import {
  CAPTURE_OPTIONS,
  checkedArguments,
  noLogicReason,
  otherImage,
  readAgainst,
  readAll,
  type Against,
  type CaptureOptions,
} from './capture-input'
import { expectedLevels, triedOrders, type TriedOrder } from './capture-orders'
import { captureOddities, tableOddities, type TableOddities } from './capture-quality'
import {
  remarkComparison,
  remarkConstants,
  remarkDrive,
  remarkLevels,
  remarkOddities,
  remarkOrders,
  remarkReads,
  remarkSequences,
  type Naming,
} from './capture-remarks'
import type { CaptureReport } from './capture-report'
import { overPins } from './capture-search'
import { compareSequences } from './capture-sequence'
import { remarkCauses } from './capture-causes'
import { compareCapture, type CaptureComparison } from './compare-capture'
import { reportedLine, searched, type Searched } from './find-capture-wiring'
import { readWiring, imageSize } from './wiring'

/**
 * Examines images of a chip that was read out like a memory: their quality, and, against a fuse file or another image,
 * where they differ, row by row.
 *
 * @param images one image, or several of the same chip, which are combined by agreement; none with `pullUp`
 * @param options wiring, what the images are compared with, and images read otherwise
 * @returns plain data, the JSON of `fuse-assay capture`; content never throws
 * @throws TypeError or RangeError for a mistake in the options, the wiring included, with its path
 * @example examineCapture([image], { wiring, against: palBytes, device: '14L4' }).relation // 'equivalent'
 */
export function examineCapture(images: Uint8Array | readonly Uint8Array[], options: CaptureOptions): CaptureReport {
  return runPieces(examined(images, options))
}

/**
 * As `examineCapture`, in pieces with a pause after each, so that a page stays alive meanwhile. A piece is a few steps
 * of the search for a wiring, as in `findWiringInPieces`; under a known wiring all is one piece.
 *
 * @param images as for `examineCapture`
 * @param options those of `examineCapture` and `pause`; an aborted `signal` ends the work after the piece at hand
 * @returns a promise of what `examineCapture` gives
 * @throws nothing at once: what `examineCapture` throws, and the reason of the signal, reject the promise
 * @example examineCaptureInPieces([image], { wiring, pause: async () => {} }) instanceof Promise // true
 */
export async function examineCaptureInPieces(
  images: Uint8Array | readonly Uint8Array[],
  options: CaptureOptions & PauseOptions,
): Promise<CaptureReport> {
  return runWithPauses(options, CAPTURE_OPTIONS, (others: CaptureOptions) => examined(images, others))
}

function* examined(images: Uint8Array | readonly Uint8Array[], options: CaptureOptions): Pieces<CaptureReport> {
  const given = checkedArguments(images, options)
  const findings = collectFindings({ ...IMAGE_FINDINGS, ...CAPTURE_FINDINGS }, { limit: options.maxFindings ?? 100 })
  const against = options.against === undefined ? null : readAgainst(options.against, options)
  const search = given.wiring ? null : yield* searched(given, { against: against!, options, findings })
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
    schema: SCHEMA,
    images: given.up.map((_, i) => options.names?.[i] ?? null),
    down: given.down.map((_, i) => options.downNames?.[i] ?? null),
    against: against ? (options.againstName ?? null) : null,
    relation: against ? relationOf(result, quality, search) : null,
    verdict: verdictOf(merged.counts),
    device: against?.checked.report.device ?? null,
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
  const { inspection, decoded: own } = against.checked
  const image = otherImage(against, imageSize(capture.wiring))
  if (image) return comparedWithImage(capture, image, { search, options, findings, naming })
  const reason = noLogicReason(against.checked)
  const part = own?.device.part
  const orders =
    part !== undefined && own!.logic === null && inspection.complete && fuseOrders(part).length > 0
      ? triedOrders(capture, part, inspection.file.fuses!)
      : []
  if (orders.length > 0) remarkOrders(part!, orders, findings)
  else if (reason !== null) {
    findings.add('capture/no-logic', {}, reason)
    return NOT_COMPARED
  }
  const decoded = orders.length > 0 ? decode(deviceInOrder(part!, orders[0]!.order), inspection.file.fuses!) : own!
  return { ...comparedWithPart(reads, decoded, { options, findings, search }), orders }
}

function comparedWithPart(
  { capture, directions }: CombinedCaptures,
  decoded: Decoded,
  { options, findings, search }: Pick<Comparing, 'options' | 'findings' | 'search'>,
): Result {
  const { part } = decoded.device
  const levels = expectedLevels(capture, decoded)
  if ('misfit' in levels) {
    findings.add('capture/wiring-does-not-fit', {}, { part, ...levels })
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
  // An order of fuses that nothing confirms explains as much as a wrong wiring does.
  const isOpen = search !== null || decoded.device.fuseOrder !== undefined
  remarkCauses(capture, { expected: table, comparison }, { naming: 'pins', searched: isOpen, findings })
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
  const other = captureOf(image, search ? readWiring(search.plain) : wiring).table
  const expected = search ? overPins(other, pins(table.inputs), pins(table.outputs)) : other
  // A single image has no sign for an output that is off.
  const off = capture.pulled ? table.open.map((open, i) => open.map((word, w) => word & ~table.ones[i]![w]!)) : null
  const comparison = comparedTables(capture, { table: expected, off }, options)
  remarkComparison(comparison, { reasons: new Map(), naming }, findings)
  remarkCauses(capture, { expected, comparison }, { naming, searched: search !== null, findings })
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
