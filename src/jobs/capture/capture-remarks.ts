/** What there is to say about a captured table and its comparison, as findings. */
import type { OpenLevel } from '../../findings/capture-findings'
import type { CaptureCollector, Capture, CombinedCaptures } from './capture'
import { countBits } from '../table/compare-tables'
import type { TriedOrder } from './capture-orders'
import type { TableOddities } from './capture-quality'
import type { CaptureComparison } from './compare-capture'
import type { WiredTable } from '../table/part-levels'
import { hexAddress } from '../table/row-words'
import { lineName } from './capture-search'
import { namedWirings, type Wiring } from './wiring'
import type { WiringSearch } from './wiring-search'

/** What the numbers of a table's columns are called: pins of a part, or lines of the image that it is held against. */
export type Naming = 'pins' | 'lines'

type NamedPlace =
  | { readonly place: 'pin'; readonly pin: number }
  | { readonly place: 'line'; readonly otherLine: string }

/** A column of a table as data of a finding. */
export const namedPlace = (pin: number, naming: Naming): NamedPlace =>
  naming === 'pins' ? { place: 'pin', pin } : { place: 'line', otherLine: lineName(pin) }

export const placeOf = (pin: number, naming: Naming): { readonly pin?: number } => (naming === 'pins' ? { pin } : {})

type NamedPlaces =
  | { readonly places: 'pins'; readonly pins: readonly number[] }
  | { readonly places: 'lines'; readonly otherLines: readonly string[] }

const namedPlaces = (pins: readonly number[], naming: Naming): NamedPlaces =>
  naming === 'pins' ? { places: 'pins', pins } : { places: 'lines', otherLines: pins.map(lineName) }

/** Whether the captures are steady, and what was left out. */
export function remarkReads(
  { capture, disagreeing, directional }: CombinedCaptures,
  findings: CaptureCollector,
  isRemembered = false,
): void {
  if (disagreeing.count > 0)
    findings.add(
      capture.pulled ? 'capture/against-resistor' : 'capture/noise',
      {},
      { rows: disagreeing.count, addresses: disagreeing.addresses.map(hexAddress) },
    )
  if (directional.count > 0 && !isRemembered)
    findings.add('capture/direction', {}, { rows: directional.count, addresses: directional.addresses.map(hexAddress) })
  const [bad, free] = [countBits(capture.bad), countBits(capture.dontCare.map((word, i) => word & ~capture.bad[i]!))]
  if (bad + free > 0) findings.add('capture/rows-left-out', {}, { bad, free })
  const { title } = capture.wiring
  if (namedWirings().some(({ name }) => name === title))
    findings.add('capture/wiring-from-memory', {}, { name: title! })
}

/** What the table looks like, without what the expected table looks like too. */
export function remarkOddities(
  { wiring }: Capture,
  found: TableOddities,
  {
    expected,
    naming,
    findings,
  }: { readonly expected: TableOddities | null; readonly naming: Naming; readonly findings: CaptureCollector },
): void {
  if (found.allAlike !== null) return findings.add('capture/all-alike', {}, { level: found.allAlike })
  const lineAt = (lines: Wiring['data'], pin: number): number => lines.findIndex((wire) => wire?.pin === pin)
  for (const pin of found.idleInputs)
    if (!expected?.idleInputs.includes(pin))
      findings.add('capture/idle-address-line', placeOf(pin, naming), {
        line: lineAt(wiring.address, pin),
        ...namedPlace(pin, naming),
      })
  for (const { pin, level } of found.stuckOutputs) {
    if (expected?.stuckOutputs.some((each) => each.pin === pin && each.level === level)) continue
    const line = lineAt(wiring.data, pin)
    // What the line reads, before an inversion between it and the pin.
    const read = wiring.data[line]!.inverted ? 1 - level : level
    findings.add('capture/stuck-data-line', placeOf(pin, naming), {
      line,
      ...namedPlace(pin, naming),
      level: read,
    })
  }
  for (const { pin, of } of found.copiedOutputs)
    if (!expected?.copiedOutputs.some((each) => each.pin === pin && each.of === of))
      findings.add('capture/copied-data-line', placeOf(pin, naming), {
        line: lineAt(wiring.data, pin),
        ...namedPlace(pin, naming),
        other: lineAt(wiring.data, of),
        ...(naming === 'pins'
          ? { otherPlace: 'pin', otherPin: of }
          : { otherPlace: 'line', copiedLine: lineName(of) }),
      })
}

/** Constant outputs under a wiring that was found with inversions: their level then says nothing. */
export function remarkConstants(
  { inversions }: Pick<WiringSearch, 'inversions'>,
  { stuckOutputs }: TableOddities,
  findings: CaptureCollector,
): void {
  if (inversions === null || inversions === 'none' || stuckOutputs.length === 0) return
  findings.add('capture/constant-outputs', {}, { pins: stuckOutputs.map(({ pin }) => pin) })
}

/** Outputs that are off at times, where one image was read: a level is there whether the chip drives or not. */
export function remarkDrive({ undriven, table }: WiredTable, judged: Int32Array, findings: CaptureCollector): void {
  const counts = undriven.map((rows) => countBits(rows.map((word, i) => word & judged[i]!)))
  const pins = table.outputs.flatMap(({ pin }, i) => (counts[i]! > 0 ? [pin] : []))
  if (pins.length > 0)
    findings.add('capture/drive-not-shown', {}, { pins, rows: Math.max(...counts) })
}

/** What the part leaves open, before anything is compared. */
export function remarkLevels({ stateful, unwired }: WiredTable, findings: CaptureCollector): void {
  if (stateful.length > 0) findings.add('capture/state', {}, { pins: stateful })
  if (unwired.length > 0) findings.add('capture/unwired-inputs', {}, { pins: unwired })
}

type OpenReason = { readonly reason: 'captures-disagree' } | ({ readonly reason: 'not-known' } & OpenLevel)

const reasonOf = (why: OpenLevel | undefined): OpenReason =>
  why ? { reason: 'not-known', ...why } : { reason: 'captures-disagree' }

/** Which outputs differ and which are open. */
export function remarkComparison(
  { outputs }: CaptureComparison,
  { reasons, naming }: { readonly reasons: WiredTable['reasons']; readonly naming: Naming },
  findings: CaptureCollector,
): void {
  const different = outputs.filter(({ relation }) => relation === 'different')
  const worst = different.reduce(
    (most, output) => (output.differingRows > most.differingRows ? output : most),
    different[0]!,
  )
  if (worst)
    findings.add(
      'capture/different',
      {},
      {
        count: different.length,
        ...namedPlaces(
          different.map(({ pin }) => pin),
          naming,
        ),
        rows: worst.differingRows,
        of: worst.ofRows,
      },
    )
  for (const { pin, openRows } of outputs)
    if (openRows > 0)
      findings.add('capture/undecided', placeOf(pin, naming), {
        ...namedPlace(pin, naming),
        rows: openRows,
        ...reasonOf(reasons.get(pin)),
      })
  const off = outputs.reduce((sum, { offRows }) => sum + offRows, 0)
  if (off > 0) findings.add('capture/off-rows', {}, { rows: off })
}

/** Outputs that were judged by the sequences of addresses. */
export function remarkSequences(
  stateful: readonly number[],
  { outputs }: CaptureComparison,
  findings: CaptureCollector,
): void {
  const judged = outputs.filter(({ pin }) => stateful.includes(pin))
  const sum = (key: 'ofRows' | 'openRows'): number => judged.reduce((all, output) => all + output[key], 0)
  findings.add(
    'capture/sequence',
    {},
    { pins: stateful, known: sum('ofRows') - sum('openRows'), rows: sum('ofRows') },
  )
}

/** Which orders of fuses fit. */
export function remarkOrders(part: string, orders: readonly TriedOrder[], findings: CaptureCollector): void {
  const fitting = orders.filter(({ relation }) => relation === 'equivalent')
  const [nearest] = orders
  if (fitting.length > 0)
    findings.add(
      'capture/order-fits',
      {},
      { count: orders.length, part, fitting: fitting.length, orders: fitting.map(({ order }) => order) },
    )
  else if (nearest && orders.every(({ relation }) => relation === 'different'))
    findings.add(
      'capture/no-order-fits',
      {},
      { count: orders.length, part, nearest: nearest.order, rows: nearest.differingRows },
    )
}

/** What the search for a wiring gave. */
export function remarkSearch(
  { relation, reason, equivalents, nearest }: WiringSearch,
  rows: number,
  findings: CaptureCollector,
): void {
  if (relation === 'found') findings.add('capture/wiring-found', {}, { rows, ...othersOf(equivalents) })
  if (relation === 'none')
    findings.add(
      'capture/no-wiring',
      {},
      nearest ? { nearest: 'found', rows: nearest.differingRows } : { nearest: 'none' },
    )
  if (relation === 'undecided') findings.add('capture/wiring-undecided', {}, { reason: reason! })
}

type OtherWirings = { readonly others: 'uncounted' | 'none' } | { readonly others: 'some'; readonly wirings: string }

function othersOf(equivalents: WiringSearch['equivalents']): OtherWirings {
  if (equivalents === null) return { others: 'uncounted' }
  return equivalents === '1' ? { others: 'none' } : { others: 'some', wirings: equivalents }
}
