/**
 * A board of parts, diodes and resistors: what it does toward the outside, whether that is what the original does,
 * and which faults would show.
 */
import { ADAPTER_FINDINGS } from '../../findings/adapter-findings'
import {
  collectFindings,
  mergeFindings,
  verdictOf,
  type Finding,
  type FindingList,
  type Verdict,
} from '../../findings/finding'
import type { Device } from '../../devices/device'
import { checkedBoard, type Board, type Direction } from './board'
import { budgetOf, type Budget } from './board-budget'
import { tryFaults, type FaultResult, type FaultTrial } from './board-faults'
import { columnsOf, layOut, type Network, type ReadPart } from './board-network'
import { noOriginal, originalOfBoard, originalOfPart, originalOfTable, type Original } from './board-original'
import { boardTable, offAs, type BoardRemarks } from './board-table'
import { drivenNets, remarkWiring, type AdapterCollector, type PartSupply } from './board-wiring'
import { readCapture } from '../capture/capture'
import { compareTables, type ComparedColumn } from '../table/compare-tables'
import { chosenDevice } from '../../inspect/chosen-device'
import { levelInTable, type TruthTable } from '../table/truth-table'
import type { WiringDocument } from '../capture/wiring'
import { check, type Checked } from '../check/verify'

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

/** One outside output against the original. */
export interface AdapterOutput extends ComparedColumn {
  /** The first row that differs; null where none does. */
  readonly example: AdapterExample | null
}

/** The faults that were tried. */
export interface AdapterFaults {
  /** Rows were compared with the original where the board equals it, else with the sound board itself. */
  readonly against: 'original' | 'board'
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
  readonly outputs: readonly AdapterOutput[]
  readonly faults: AdapterFaults | null
  readonly budget: Budget | null
  readonly findings: readonly Finding[]
  readonly scope: { readonly compared: readonly string[]; readonly notExamined: readonly string[] }
}

/**
 * Examines a board: levels at its outside pins for every combination of its inputs, what is wrong with its wiring,
 * how it
 * compares with the original, which single faults that comparison would notice, and the budget of levels and times.
 *
 * @param board plain data as `Board` has it, with the bytes of the fuse files
 * @throws TypeError or RangeError naming the path of what is wrong in the board or the argument; content of files
 * never throws
 * @example examineAdapter(board, { against: { file: originalBytes } }).relation // 'equivalent'
 */
export function examineAdapter(board: Board, options: AdapterOptions = {}): AdapterReport {
  const checked = checkedBoard(board, 'board')
  const { limit, maxInputs } = checkedOptions(options)
  const findings = collectFindings(ADAPTER_FINDINGS, { limit })
  const inspections = inspectParts(checked, 'board')
  const network = networkOf(checked, inspections, { path: 'board', findings })
  const examined = network ? examineNetwork(network, { board: checked, options, maxInputs, findings }) : UNEXAMINED
  const more: FindingList[] = examined.further
  const { findings: list, counts } = mergeFindings([findings.list(), ...more], limit)
  const { against } = options
  return {
    file: options.name ?? null,
    title: checked.title ?? null,
    verdict: verdictOf(counts),
    relation: against ? (examined.relation ?? 'not-comparable') : null,
    against: against ? { name: against.name ?? null, kind: kindOf(against) } : null,
    parts: inspections.map(({ report, decoded }, i) => ({
      name: checked.parts[i]!.name,
      file: checked.parts[i]!.fileName ?? null,
      part: decoded?.device.part ?? null,
      mode: decoded?.mode?.name ?? null,
      verdict: report.verdict,
    })),
    outside: checked.outside.map(({ pin, name, net, direction, held }) => ({
      pin,
      name: name ?? null,
      net,
      direction,
      held: held ?? null,
    })),
    counts: {
      diodes: checked.diodes?.length ?? 0,
      resistors: checked.resistors?.length ?? 0,
      nets: network ? network.netNames.filter((name) => !/ pin \d+$/.test(name)).length : 0,
    },
    rowCount: examined.rowCount,
    outputs: examined.outputs,
    faults: examined.faults,
    budget: examined.budget,
    findings: list,
    scope: scopeOf(examined),
  }
}

/**
 * The truth table of a board's outside pins: row r applies bit k of r to its k-th input that is not held.
 *
 * @returns the table; null where a part's logic is not known or there are more inputs than the limit, which
 * `examineAdapter` explains
 * @throws as `examineAdapter` does
 * @example renderTable(adapterTable(board))
 */
export function adapterTable(board: Board, options: Pick<AdapterOptions, 'maxInputs'> = {}): TruthTable | null {
  const checked = checkedBoard(board, 'board')
  const { maxInputs } = checkedOptions(options)
  const aside = collectFindings(ADAPTER_FINDINGS, { limit: 1 })
  const network = networkOf(checked, inspectParts(checked, 'board'), { path: 'board', findings: aside })
  return network && columnsOf(network).inputs.length <= maxInputs ? boardTable(network).table : null
}

function checkedOptions(options: AdapterOptions): { readonly limit: number; readonly maxInputs: number } {
  if (typeof options !== 'object' || options === null || Array.isArray(options))
    throw new TypeError('options must be an object')
  const { maxInputs = 20, maxFindings = 100, off, against } = options
  if (!Number.isSafeInteger(maxInputs) || maxInputs < 0 || maxInputs > 24)
    throw new RangeError('options.maxInputs must be a whole number from 0 to 24')
  if (!Number.isSafeInteger(maxFindings) || maxFindings < 1)
    throw new RangeError('options.maxFindings must be a whole number from 1')
  if (off !== undefined && off !== 0 && off !== 1) throw new RangeError('options.off must be 0 or 1')
  if (against !== undefined && (typeof against !== 'object' || against === null || kindOf(against) === null))
    throw new TypeError('options.against must have a file, an image, a table or a board')
  return { limit: maxFindings, maxInputs }
}

function kindOf(against: AdapterOriginal): 'file' | 'image' | 'table' | 'board' {
  return (['file', 'image', 'table', 'board'] as const).find((kind) => kind in against) ?? (null as never)
}

function inspectParts({ parts }: Board, path: string): Checked[] {
  return parts.map(({ file, device, fuseOrder, fileName }, i) => {
    const chosen = chosenDevice(device, `${path}.parts[${i}].device`, fuseOrder)
    return check(file, {
      ...(chosen ? { device: chosen } : {}),
      ...(fuseOrder === undefined || chosen ? {} : { fuseOrder }),
      ...(fileName === undefined ? {} : { name: fileName }),
    })
  })
}

/** Why the logic of a file is not known; null where it is. */
function unusable({ decoded, inspection: { file, complete }, report }: Checked): string | null {
  if (file.fuses && !complete) return 'its file does not give all fuses'
  if (decoded?.logic) return null
  return report.candidates.length > 1
    ? `it may be ${report.candidates.join(' or ')}`
    : (report.findings[0]?.message ?? 'its part is not known').replace(/\.$/, '')
}

interface Place {
  readonly path: string
  readonly findings: AdapterCollector
}

/** The board as nets, with what its wiring shows; null where a part's logic is not known. */
function networkOf(board: Board, inspections: readonly Checked[], { path, findings }: Place): Network | null {
  inspections.forEach((inspection, i) => {
    const { name: part } = board.parts[i]!
    const reason = unusable(inspection)
    const { verdict, findings: own } = inspection.report
    if (reason !== null) findings.add('adapter/part-unusable', {}, { part, reason })
    else if (verdict !== 'pass') findings.add('adapter/part-file', {}, { part, verdict, reason: own[0]!.message })
  })
  if (inspections.some((inspection) => unusable(inspection) !== null)) return null
  const read = inspections.map(({ decoded }, i) =>
    readPartOf(decoded!, Object.keys(board.parts[i]!.pins), `${path}.parts[${i}].pins`),
  )
  const network = layOut(board, read)
  remarkWiring(
    network,
    read.map(({ supply }) => supply),
    findings,
  )
  return network
}

function readPartOf(
  { device, logic }: NonNullable<Checked['decoded']>,
  pins: readonly string[],
  path: string,
): ReadPart & { readonly supply: PartSupply } {
  const beyond = pins.find((pin) => Number(pin) > logic!.pinCount)
  if (beyond !== undefined)
    throw new RangeError(`${path}.${beyond}: a ${device.part} has pins 1 to ${logic!.pinCount}`)
  return { device: device.part, logic: logic!, supply: { power: device.powerPin, ground: device.groundPin } }
}

interface Examined extends Pick<AdapterReport, 'relation' | 'rowCount' | 'outputs' | 'faults' | 'budget'> {
  /** Findings of steps with catalogues of their own. */
  readonly further: FindingList[]
}

const UNEXAMINED: Examined = { relation: null, rowCount: null, outputs: [], faults: null, budget: null, further: [] }

interface Examination {
  readonly board: Board
  readonly options: AdapterOptions
  readonly maxInputs: number
  readonly findings: AdapterCollector
}

function examineNetwork(network: Network, { board, options, maxInputs, findings }: Examination): Examined {
  const budget = budgetOf(board, network)
  remarkBudget(budget, findings)
  const { length } = columnsOf(network).inputs
  if (length > maxInputs) {
    findings.add('adapter/too-many-inputs', {}, { count: length, limit: maxInputs })
    return { ...UNEXAMINED, budget }
  }
  const { table, remarks } = boardTable(network)
  remarkRows(network, { remarks, table, findings })
  const further: FindingList[] = []
  const original = options.against ? originalOf(network, options.against, { maxInputs, findings, further }) : null
  const off = options.off ?? original?.off ?? null
  const counted = (given: TruthTable): TruthTable => (off === null ? given : offAs(given, off))
  const own = original ? counted(chosenOutputs(table, original.outputs)) : null
  const intended = original && counted(original.table)
  const comparison = own && compareTables(intended!, own, original!.ignore ? { ignore: original!.ignore } : {})
  const outputs = comparison
    ? comparison.outputs.map((output, i) => withExample(output, { i, own: own!, intended: intended! }))
    : []
  remarkOutputs(outputs, table.rowCount, findings)
  const faults =
    options.faults === false
      ? null
      : faultsOf(network, {
          off,
          ...(comparison?.relation === 'equivalent'
            ? { equal: true, reference: intended!, outputs: original!.outputs, ignore: original!.ignore ?? null }
            : { equal: false, reference: counted(table), outputs: table.outputs.map((_, i) => i), ignore: null }),
        })
  if (faults) remarkFaults(faults, findings)
  return { relation: comparison?.relation ?? null, rowCount: table.rowCount, outputs, faults, budget, further }
}

function chosenOutputs(table: TruthTable, outputs: readonly number[]): TruthTable {
  const chosen = <T>(list: readonly T[]): T[] => outputs.map((i) => list[i]!)
  return { ...table, outputs: chosen(table.outputs), ones: chosen(table.ones), open: chosen(table.open) }
}

interface OriginalPlace {
  readonly maxInputs: number
  readonly findings: AdapterCollector
  readonly further: FindingList[]
}

function originalOf(
  network: Network,
  against: AdapterOriginal,
  { maxInputs, findings, further }: OriginalPlace,
): Original | null {
  if ('table' in against) return originalOfTable(network, against.table, { ignore: null, findings })
  if ('image' in against) {
    const { capture, findings: own } = readCapture(against.image, against.wiring)
    further.push(own)
    const original =
      capture &&
      originalOfTable(network, capture.table, {
        ignore: capture.bad.map((bits, i) => bits | capture.dontCare[i]!),
        findings,
      })
    // An image has no sign for an output that is off.
    return original && { ...original, off: capture!.wiring.off ?? 'X' }
  }
  if ('board' in against) return otherBoard(network, against.board, { maxInputs, findings, further })
  const chosen = chosenDevice(against.device, 'options.against.device', against.fuseOrder)
  const inspection = check(against.file, {
    ...(chosen ? { device: chosen } : {}),
    ...(against.fuseOrder === undefined || chosen ? {} : { fuseOrder: against.fuseOrder }),
  })
  const reason = unusable(inspection)
  if (reason !== null) return noOriginal(findings, reason)
  const { verdict, findings: own } = inspection.report
  if (verdict !== 'pass')
    findings.add('adapter/part-file', {}, { part: 'the original', verdict, reason: own[0]!.message })
  return originalOfPart(network, inspection.decoded!, findings)
}

function otherBoard(network: Network, board: Board, { maxInputs, findings }: OriginalPlace): Original | null {
  const checked = checkedBoard(board, 'options.against.board')
  const aside = collectFindings(ADAPTER_FINDINGS, { limit: 1 })
  const other = networkOf(checked, inspectParts(checked, 'options.against.board'), {
    path: 'options.against.board',
    findings: aside,
  })
  const [first] = aside.list().findings
  const wide = other !== null && columnsOf(other).inputs.length > maxInputs
  if (!other || wide)
    return noOriginal(
      findings,
      wide ? `it has more than ${maxInputs} outside inputs` : first!.message.replace(/\.$/, ''),
    )
  return originalOfBoard(network, other, findings)
}

function inputsAt(table: TruthTable, row: number): Record<string, 0 | 1> {
  return Object.fromEntries(table.inputs.map(({ pin }, k) => [pin, (Math.floor(row / 2 ** k) & 1) as 0 | 1]))
}

function withExample(
  output: ComparedColumn,
  { i, own, intended }: { readonly i: number; readonly own: TruthTable; readonly intended: TruthTable },
): AdapterOutput {
  const [row] = output.firstRows
  return {
    ...output,
    example:
      row === undefined
        ? null
        : {
            row,
            inputs: inputsAt(own, row),
            original: levelInTable(intended, i, row),
            board: levelInTable(own, i, row),
          },
  }
}

function faultsOf(network: Network, { equal, ...trial }: FaultTrial & { readonly equal: boolean }): AdapterFaults {
  const list = tryFaults(network, trial).map((fault) => ({
    ...fault,
    inputs: fault.row === null ? null : inputsAt(trial.reference, fault.row),
  }))
  return { against: equal ? 'original' : 'board', list }
}

function remarkRows(
  network: Network,
  {
    remarks,
    table,
    findings,
  }: { readonly remarks: BoardRemarks; readonly table: TruthTable; readonly findings: AdapterCollector },
): void {
  const rows = table.rowCount
  const net = (index: number): string => network.netNames[index]!
  for (const fight of remarks.fights)
    findings.add(
      'adapter/contention',
      {},
      { net: net(fight.net), count: fight.rows.count, rows, row: fight.rows.first },
    )
  for (const fight of remarks.possibleFights)
    findings.add(
      'adapter/contention-possible',
      {},
      { net: net(fight.net), count: fight.rows.count, rows, row: fight.rows.first },
    )
  const driven = drivenNets(network)
  for (const { part, pin, net: index, rows: all, unknown } of remarks.floating) {
    const shown = unknown ?? all
    if (driven.has(index))
      findings.add(
        unknown ? 'adapter/floating-input' : 'adapter/input-floats',
        {},
        { part, pin, net: net(index), count: shown.count, rows, row: shown.first },
      )
  }
  table.outputs.forEach(({ pin }, i) => {
    const count = table.ones[i]!.reduce(
      (sum, ones, word) => sum + bitsOf(ones & table.open[i]![word]! & (rows < 32 ? 2 ** rows - 1 : -1)),
      0,
    )
    if (count > 0) findings.add('adapter/output-unknown', { pin }, { pin, count, rows })
  })
}

function bitsOf(word: number): number {
  let count = 0
  for (let bits = word; bits !== 0; bits &= bits - 1) count++
  return count
}

function remarkOutputs(outputs: readonly AdapterOutput[], rows: number, findings: AdapterCollector): void {
  for (const { pin, differingRows, example } of outputs)
    if (example)
      findings.add(
        'adapter/output-differs',
        { pin },
        { count: differingRows, rows, row: example.row, board: example.board, original: example.original },
      )
}

function remarkFaults({ list }: AdapterFaults, findings: AdapterCollector): void {
  const unnoticed = list.filter(({ result }) => result !== 'noticed')
  const words = unnoticed.slice(0, 8).map(({ kind, of }) => `${of} (${kind.replace('-', ' ')})`)
  if (unnoticed.length > 0)
    findings.add(
      'adapter/faults-unnoticed',
      {},
      {
        count: unnoticed.length,
        total: list.length,
        list: `${words.join(', ')}${unnoticed.length > 8 ? ', …' : ''}`,
      },
    )
}

function remarkBudget({ lines, paths }: Budget, findings: AdapterCollector): void {
  const short = (value: number): string => String(Number(value.toPrecision(3)))
  for (const { kind, net, value, limit, unit, result } of lines)
    if (result === 'exceeded')
      findings.add(
        'adapter/budget-exceeded',
        {},
        {
          what: `${kind.replace('-', ' ')} of net ${net}`,
          value: `${short(value!)} ${unit}`,
          limit: `${short(limit!)} ${unit}`,
        },
      )
  const slow = paths.filter(({ result }) => result === 'exceeded').sort((a, b) => b.seconds! - a.seconds!)
  const [worst] = slow
  if (worst)
    findings.add(
      'adapter/budget-exceeded',
      { pin: worst.to },
      {
        what: `time from pin ${worst.from} to pin ${worst.to}, the slowest of ${slow.length} ways between pins that are too slow`,
        value: `${short(worst.seconds! * 1e9)} ns`,
        limit: `${short(worst.limit! * 1e9)} ns`,
      },
    )
  const open = [...lines, ...paths].filter(({ result }) => result === 'not-computed')
  const missing = [...new Set(open.flatMap((each) => each.missing))]
  if (open.length > 0)
    findings.add(
      'adapter/budget-open',
      {},
      { count: open.length, missing: `${missing.slice(0, 6).join(', ')}${missing.length > 6 ? ', …' : ''}` },
    )
}

function scopeOf({ relation, rowCount, faults, budget }: Examined): AdapterReport['scope'] {
  const compared = [
    ...(rowCount === null ? [] : [`levels at the outside pins in all ${rowCount} rows`]),
    ...(relation === null ? [] : ['every row with the original']),
    ...(faults ? [`${faults.list.length} single faults, one at a time`] : []),
    ...(budget && budget.sources.length > 0 ? ['stated limits with each other'] : []),
  ]
  return {
    compared,
    notExamined: [
      'sequences and states',
      'two faults at once',
      'which file is in which chip',
      'speed of the chips',
      'hazards and noise',
    ],
  }
}
