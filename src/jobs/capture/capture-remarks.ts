/** What there is to say about a captured table and its comparison, as findings. */
import type { CaptureCollector, Capture, CombinedCaptures } from './capture'
import { countBits } from '../table/compare-tables'
import type { TriedOrder } from './capture-orders'
import type { TableOddities } from './capture-quality'
import type { CaptureComparison } from './compare-capture'
import type { PartLevels } from '../table/part-levels'
import { namedWirings, type Wiring } from './wiring'
import type { WiringSearch } from './wiring-search'

const levelWords = (level: 0 | 1): string => (level ? '1' : '0')
const pinWords = (pins: readonly number[]): string =>
  pins.length === 1 ? `pin ${pins[0]!}` : `pins ${pins.join(', ')}`
const hex = (address: number): string => address.toString(16).toUpperCase().padStart(4, '0')

/** Whether the captures are steady, and what was left out. */
export function remarkReads(
  { capture, disagreeing, directional }: CombinedCaptures,
  findings: CaptureCollector,
): void {
  const addresses = (list: readonly number[]): string => list.map(hex).join(', ')
  if (disagreeing.count > 0)
    findings.add('capture/noise', {}, { rows: disagreeing.count, addresses: addresses(disagreeing.addresses) })
  if (directional.count > 0)
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
  { expected, findings }: { readonly expected: TableOddities | null; readonly findings: CaptureCollector },
): void {
  if (found.allAlike !== null) return findings.add('capture/all-alike', {}, { level: levelWords(found.allAlike) })
  const lineAt = (lines: Wiring['data'], pin: number): number => lines.findIndex((wire) => wire?.pin === pin)
  for (const pin of found.idleInputs)
    if (!expected?.idleInputs.includes(pin))
      findings.add('capture/idle-address-line', { pin }, { line: lineAt(wiring.address, pin), pin })
  for (const { pin, level } of found.stuckOutputs)
    if (!expected?.stuckOutputs.some((each) => each.pin === pin && each.level === level))
      findings.add(
        'capture/stuck-data-line',
        { pin },
        { line: lineAt(wiring.data, pin), pin, level: levelWords(level) },
      )
  for (const { pin, of } of found.copiedOutputs)
    if (!expected?.copiedOutputs.some((each) => each.pin === pin && each.of === of))
      findings.add(
        'capture/copied-data-line',
        { pin },
        { line: lineAt(wiring.data, pin), pin, other: lineAt(wiring.data, of), otherPin: of },
      )
}

/** What the part leaves open, before anything is compared. */
export function remarkLevels({ stateful, unwired }: PartLevels, findings: CaptureCollector): void {
  if (stateful.length > 0) findings.add('capture/state', {}, { pins: pinWords(stateful) })
  if (unwired.length > 0) findings.add('capture/unwired-inputs', {}, { pins: pinWords(unwired) })
}

/** Which outputs differ and which are open. */
export function remarkComparison(
  { outputs }: CaptureComparison,
  reasons: PartLevels['reasons'],
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
        pins: pinWords(different.map(({ pin }) => pin)),
        rows: worst.differingRows,
        of: worst.ofRows,
      },
    )
  for (const { pin, openRows } of outputs)
    if (openRows > 0)
      findings.add(
        'capture/undecided',
        { pin },
        { pin, rows: openRows, reason: reasons.get(pin) ?? 'the captures disagree' },
      )
  const off = outputs.reduce((sum, { offRows }) => sum + offRows, 0)
  if (off > 0) findings.add('capture/off-rows', {}, { rows: off })
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

const REASONS = {
  'too-wide': 'it has too many inputs',
  'open-levels': 'the captures disagree in some rows',
  steps: 'the bound of the search was reached',
} as const

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
  if (relation === 'undecided') findings.add('capture/wiring-undecided', {}, { reason: REASONS[reason!] })
}
