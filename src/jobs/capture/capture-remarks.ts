/** What there is to say about a captured table and its comparison, as findings. */
import type { CaptureCollector, Capture, CombinedCaptures } from './capture'
import { countBits } from '../table/compare-tables'
import type { TriedOrder } from './capture-orders'
import type { TableOddities } from './capture-quality'
import type { CaptureComparison } from './compare-capture'
import type { PartLevels } from '../table/part-levels'
import { hexAddress } from '../table/row-words'
import { lineName } from './capture-search'
import { namedWirings, type Wiring } from './wiring'
import type { WiringSearch } from './wiring-search'

const levelWords = (level: 0 | 1): string => (level ? '1' : '0')

/** What the numbers of a table's columns are called: pins of a part, or lines of the image that it is held against. */
export type Naming = 'pins' | 'lines'

export const pinWords = (pins: readonly number[], naming: Naming = 'pins'): string => {
  if (naming === 'lines') return `${pins.map(lineName).join(', ')} of the other image`
  return pins.length === 1 ? `pin ${pins[0]!}` : `pins ${pins.join(', ')}`
}

export const placeOf = (pin: number, naming: Naming): { readonly pin?: number } => (naming === 'pins' ? { pin } : {})

/** Whether the captures are steady, and what was left out. */
export function remarkReads(
  { capture, disagreeing, directional }: CombinedCaptures,
  findings: CaptureCollector,
  isRemembered = false,
): void {
  const addresses = (list: readonly number[]): string => list.map(hexAddress).join(', ')
  if (disagreeing.count > 0)
    findings.add(
      capture.pulled ? 'capture/against-resistor' : 'capture/noise',
      {},
      { rows: disagreeing.count, addresses: addresses(disagreeing.addresses) },
    )
  if (directional.count > 0 && !isRemembered)
    findings.add('capture/direction', {}, { rows: directional.count, addresses: addresses(directional.addresses) })
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
  if (found.allAlike !== null) return findings.add('capture/all-alike', {}, { level: levelWords(found.allAlike) })
  const lineAt = (lines: Wiring['data'], pin: number): number => lines.findIndex((wire) => wire?.pin === pin)
  for (const pin of found.idleInputs)
    if (!expected?.idleInputs.includes(pin))
      findings.add('capture/idle-address-line', placeOf(pin, naming), {
        line: lineAt(wiring.address, pin),
        place: pinWords([pin], naming),
      })
  for (const { pin, level } of found.stuckOutputs) {
    if (expected?.stuckOutputs.some((each) => each.pin === pin && each.level === level)) continue
    const line = lineAt(wiring.data, pin)
    // What the line reads, before an inversion between it and the pin.
    const read = wiring.data[line]!.inverted ? 1 - level : level
    findings.add('capture/stuck-data-line', placeOf(pin, naming), {
      line,
      place: pinWords([pin], naming),
      level: String(read),
    })
  }
  for (const { pin, of } of found.copiedOutputs)
    if (!expected?.copiedOutputs.some((each) => each.pin === pin && each.of === of))
      findings.add('capture/copied-data-line', placeOf(pin, naming), {
        line: lineAt(wiring.data, pin),
        place: pinWords([pin], naming),
        other: lineAt(wiring.data, of),
        otherPlace: pinWords([of], naming),
      })
}

/** Constant outputs under a wiring that was found with inversions: their level then says nothing. */
export function remarkConstants(
  { inversions }: Pick<WiringSearch, 'inversions'>,
  { stuckOutputs }: TableOddities,
  findings: CaptureCollector,
): void {
  if (inversions === null || inversions === 'none' || stuckOutputs.length === 0) return
  findings.add('capture/constant-outputs', {}, { pins: pinWords(stuckOutputs.map(({ pin }) => pin)) })
}

/** Outputs that are off at times, where one image was read: a level is there whether the chip drives or not. */
export function remarkDrive({ undriven, table }: PartLevels, judged: Int32Array, findings: CaptureCollector): void {
  const counts = undriven.map((rows) => countBits(rows.map((word, i) => word & judged[i]!)))
  const pins = table.outputs.flatMap(({ pin }, i) => (counts[i]! > 0 ? [pin] : []))
  if (pins.length > 0)
    findings.add('capture/drive-not-shown', {}, { pins: pinWords(pins), rows: Math.max(...counts) })
}

/** What the part leaves open, before anything is compared. */
export function remarkLevels({ stateful, unwired }: PartLevels, findings: CaptureCollector): void {
  if (stateful.length > 0) findings.add('capture/state', {}, { pins: pinWords(stateful) })
  if (unwired.length > 0) findings.add('capture/unwired-inputs', {}, { pins: pinWords(unwired) })
}

/** Which outputs differ and which are open. */
export function remarkComparison(
  { outputs }: CaptureComparison,
  { reasons, naming }: { readonly reasons: PartLevels['reasons']; readonly naming: Naming },
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
        pins: pinWords(
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
        place: pinWords([pin], naming),
        rows: openRows,
        reason: reasons.get(pin) ?? 'the captures disagree',
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
    { pins: pinWords(stateful), known: sum('ofRows') - sum('openRows'), rows: sum('ofRows') },
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
      { count: orders.length, part, fitting: fitting.length, orders: fitting.map(({ order }) => order).join(', ') },
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
  const count =
    equivalents === null
      ? 'how many others do the same was not counted'
      : equivalents === '1'
        ? 'no other does'
        : `${equivalents} wirings do the same by symmetry`
  if (relation === 'found') findings.add('capture/wiring-found', {}, { rows, count })
  if (relation === 'none')
    findings.add(
      'capture/no-wiring',
      {},
      { nearest: nearest ? `; the nearest one found fails in ${nearest.differingRows} rows` : '' },
    )
  if (relation === 'undecided') findings.add('capture/wiring-undecided', {}, { reason: reason! })
}
