/** What a board is compared with, as a table over the board's own outside pins. */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import { ADAPTER_FINDINGS, type NoOriginal, type OtherInputs } from '../../findings/adapter-findings'
import { collectFindings, insideOf, type FindingList } from '../../findings/finding'
import { chosenDevice } from '../../inspect/chosen-device'
import { readCapture } from '../capture/capture'
import { captureOddities } from '../capture/capture-quality'
import { check, type Checked } from '../check/verify'
import type { AdapterOriginal } from './adapter-report'
import { checkedBoard, type Board } from './board'
import { inspectParts, networkOf, unusable } from './board-parts'
import { isBypassed, pinCells, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { boardTable, alignTable, alignRows, MAX_BOARD_WORK, withoutRows } from './board-table'
import { workOf } from './board-work'
import { columnsOf, type Network } from './board-network'
import type { AdapterCollector } from './board-wiring'
import { tableOfLogic, type TruthTable } from '../table/truth-table'

/** The original's table over the outputs that both sides have. */
export interface Original {
  readonly table: TruthTable
  /** Places of these outputs among the board's. */
  readonly outputs: readonly number[]
  /** Output pins of the original that the board lacks. */
  readonly lacking: readonly number[]
  /** Rows not judged: misread, and not to matter. */
  readonly left?: LeftOut
  /** What it shows where an output is off. */
  readonly off?: 0 | 1 | 'X'
}

/** A bit a row that is not judged, and why. */
export interface LeftOut {
  readonly misread: Int32Array
  readonly dontCare: Int32Array
}

const notComparable = (findings: AdapterCollector, reason: OtherInputs): null => (
  findings.add('adapter/inputs-differ', {}, reason),
  null
)

/** Adds that there is nothing to compare with, and why. */
function noOriginal(findings: AdapterCollector, reason: NoOriginal): null {
  findings.add('adapter/original-unusable', {}, reason)
  return null
}

/** Outputs by pin: those of both sides, and those that the board lacks. */
interface Shared {
  readonly pins: readonly number[]
  readonly lacking: readonly number[]
}

/** Adds which outputs only one side has; null where they have none in common. */
function sharedOutputs(network: Network, theirs: readonly number[], findings: AdapterCollector): Shared | null {
  const own = columnsOf(network).outputs.map(({ pin }) => pin)
  const lacking = theirs.filter((pin) => !own.includes(pin))
  for (const pin of own)
    if (!theirs.includes(pin)) findings.add('adapter/output-not-compared', { pin }, { pin, side: 'board' })
  for (const pin of lacking) findings.add('adapter/output-not-compared', { pin }, { pin, side: 'original' })
  const pins = own.filter((pin) => theirs.includes(pin))
  return pins.length === 0 ? noOriginal(findings, { reason: 'no-shared-output' }) : { pins, lacking }
}

const placesOf = (network: Network, pins: readonly number[]): number[] =>
  pins.map((pin) => columnsOf(network).outputs.findIndex((column) => column.pin === pin))

/** Bounds, and where findings go; `further`: those of other catalogues. */
interface OriginalPlace {
  readonly maxInputs: number
  readonly findings: AdapterCollector
  readonly further: FindingList[]
  /** Who looks on at the table of another board. */
  readonly watch: Watch | null
}

/** What a board is compared with as a table; null, with findings, where it cannot be compared. */
export function* readOriginal(
  network: Network,
  against: AdapterOriginal,
  place: OriginalPlace,
): Pieces<Original | null> {
  if ('table' in against) return originalOfTable(network, against.table, place.findings)
  if ('image' in against) return originalOfImage(network, against, place)
  if ('board' in against) return yield* otherBoard(network, against.board, place)
  return originalOfFile(network, against, place.findings)
}

function originalOfImage(
  network: Network,
  { image, wiring }: Extract<AdapterOriginal, { readonly image: unknown }>,
  { findings, further }: OriginalPlace,
): Original | null {
  const read = readCapture(image, wiring)
  further.push(read.findings)
  if ('refused' in read) return null
  const { capture } = read
  const { allAlike } = captureOddities(capture)
  if (allAlike !== null) return noOriginal(findings, { reason: 'one-level', level: allAlike })
  const left = { misread: capture.bad, dontCare: capture.dontCare }
  const original = originalOfTable(network, capture.table, findings, left)
  // An image has no sign for an output that is off.
  return original && { ...original, off: capture.wiring.off ?? 'X' }
}

function originalOfFile(
  network: Network,
  { file, device, fuseOrder }: Extract<AdapterOriginal, { readonly file: unknown }>,
  findings: AdapterCollector,
): Original | null {
  const chosen = chosenDevice(device, 'options.against.device', fuseOrder)
  const inspection = check(file, {
    ...(chosen ? { device: chosen } : {}),
    ...(fuseOrder === undefined || chosen ? {} : { fuseOrder }),
  })
  const reason = unusable(inspection)
  if (reason !== null) return noOriginal(findings, { reason: 'file', ...reason })
  const { verdict, findings: own } = inspection.report
  if (verdict !== 'pass')
    findings.add('adapter/part-file', {}, { whose: 'original', verdict, finding: insideOf(own[0]!) })
  return originalOfPart(network, inspection.decoded!.logic!, findings)
}

function* otherBoard(
  network: Network,
  board: Board,
  { maxInputs, findings, watch }: OriginalPlace,
): Pieces<Original | null> {
  const path = 'options.against.board'
  const checked = checkedBoard(board, path)
  const aside = collectFindings(ADAPTER_FINDINGS, { limit: 1 })
  const inspections = inspectParts(checked, path)
  const other = networkOf(checked, inspections, { path, findings: aside })
  if (!other) return noOriginal(findings, unusableOf(checked, inspections))
  if (columnsOf(other).inputs.length > maxInputs)
    return noOriginal(findings, { reason: 'too-many-inputs', limit: maxInputs })
  const swept = yield* boardTable(other, workOf(MAX_BOARD_WORK, 'board-table', watch))
  if (!swept) return noOriginal(findings, { reason: 'too-much-work' })
  // What a net is where drivers fight is unknown.
  return originalOfTable(network, withoutRows(swept.table, swept.fights), findings)
}

/** The first part of a board whose logic is not known, and why. */
function unusableOf({ parts }: Board, inspections: readonly Checked[]): NoOriginal {
  const [first] = inspections.flatMap((inspection, i) => {
    const why = unusable(inspection)
    return why === null ? [] : [{ reason: 'part' as const, part: parts[i]!.name, ...why }]
  })
  return first!
}

/** The table of one part in the board's place; null, with findings, where it cannot be compared. */
function originalOfPart(network: Network, logic: Logic, findings: AdapterCollector): Original | null {
  const { inputs } = columnsOf(network)
  const isSignal = (pin: number): boolean => pin <= logic.pinCount && !logic.supplyPins.includes(pin)
  const foreign = network.outside.filter(
    ({ direction, pin }) => direction !== 'supply' && direction !== 'ground' && !isSignal(pin),
  )
  if (foreign.length > 0) return notComparable(findings, { reason: 'no-signal', pin: foreign[0]!.pin })
  const { drivenPins } = netlistOf(logic)
  const able = pinCells(logic).filter(({ pin }) => drivenPins.has(pin))
  if (able.some((output) => output.register && !isBypassed(output)))
    return noOriginal(findings, { reason: 'registers' })
  const shared = sharedOutputs(
    network,
    able.map(({ pin }) => pin),
    findings,
  )
  if (!shared) return null
  const held = Object.fromEntries(
    network.outside.flatMap(({ pin, held: level }) => (level === null ? [] : [[pin, level]])),
  )
  const table = tableOfLogic(logic, { inputs: inputs.map(({ pin }) => pin), outputs: shared.pins, held })
  if ('refused' in table) return notComparable(findings, { reason: 'too-wide', inputs: table.needed.length })
  if (table.unlisted.length > 0)
    return notComparable(findings, { reason: 'board-lacks', pins: table.unlisted.map(({ pin }) => pin) })
  return { table, outputs: placesOf(network, shared.pins), lacking: shared.lacking }
}

/** A table that somebody made, such as a captured one. */
function originalOfTable(
  network: Network,
  table: TruthTable,
  findings: AdapterCollector,
  left?: LeftOut,
): Original | null {
  const own = columnsOf(network).inputs.map(({ pin }) => pin)
  const lacking = own.find((pin) => !table.inputs.some((column) => column.kind === 'pin' && column.pin === pin))
  const odd = table.inputs.find(({ kind, pin }) => kind !== 'pin' || !own.includes(pin))
  if (lacking !== undefined) return notComparable(findings, { reason: 'one-side', pin: lacking })
  if (odd?.kind === 'state') return notComparable(findings, { reason: 'states' })
  if (odd) return notComparable(findings, { reason: 'one-side', pin: odd.pin })
  if (table.outputs.some(({ kind }) => kind === 'state')) return noOriginal(findings, { reason: 'registers' })
  const pins = table.outputs.map(({ pin }) => pin)
  const shared = sharedOutputs(network, pins, findings)
  const aligned = shared && alignTable(table, own, shared.pins)
  if (!shared || !aligned) return null
  return {
    table: aligned,
    outputs: placesOf(network, shared.pins),
    lacking: shared.lacking,
    ...(left
      ? { left: { misread: alignRows(left.misread, table, own), dontCare: alignRows(left.dontCare, table, own) } }
      : {}),
  }
}
