/** What the test vectors of a file show about its fuses: counts, plain readings, findings. */
import { VECTOR_FINDINGS, type PlaceData } from '../../findings/vector-findings'
import { collectFindings, type FindingCollector, type FindingList, type Locate } from '../../findings/finding'
import { expressionsOf, usedSignals, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { Device } from '../../devices/device'
import { countVectors, STRICT, type PinCheck, type VectorCounts, type VectorRun, type VectorSet } from './run-vectors'
import { isAfterGap, Trail } from './trail'
import { placeOnPackage } from './vector-set'
import { causesData, readingCodes } from './vector-words'

/** Counts under one plain reading; `order` is there only where data were read as changing before clocks. */
export interface PlainReading extends VectorCounts {
  /** Level that X is taken as; null for unknown. */
  readonly x: 0 | 1 | null
  /** How registers start. */
  readonly registers: 'unknown' | 'power-up'
  /** There where data were read as changing before clocks. */
  readonly order?: 'data-then-clock'
}

/** Vectors of one file in numbers: the strict reading, and plain ones where it leaves some open. */
export interface VectorSummary extends VectorCounts {
  /** Distinct vectors stated and run. */
  readonly count: number
  /** Filled where the strict reading leaves vectors open. */
  readonly readings: readonly PlainReading[]
}

export const NO_VECTORS: VectorSummary = { count: 0, passed: 0, failed: 0, undetermined: 0, readings: [] }

export interface VectorCheck {
  readonly summary: VectorSummary
  readonly findings: FindingList
}

/** Runs the vectors of a set on a part's logic, strictly first; where some stay open, under the plain readings too. */
export function checkVectors(
  logic: Logic,
  set: VectorSet,
  given: { readonly device: Device; readonly limit: number; readonly locate?: Locate },
): VectorCheck {
  const findings = collectFindings(VECTOR_FINDINGS, {
    limit: given.limit,
    ...(given.locate ? { locate: given.locate } : {}),
  })
  const first = set.vectors.find(({ conditions }) => conditions !== null)
  if (!first || set.pinOrder?.length === 0) return { summary: NO_VECTORS, findings: findings.list() }
  const width = first.conditions!.length
  const { device } = given
  const placed = placeOnPackage(set, device)
  if (!placed) {
    findings.add(
      'vector/pin-count',
      { offset: first.offset ?? undefined },
      { width, part: device.part, pins: logic.pinCount },
    )
    return { summary: NO_VECTORS, findings: findings.list() }
  }
  const trail = new Trail(placed, STRICT)
  const { run, counts } = countVectors(logic, placed, STRICT, { keep: 'not-passed', trail })
  const readings = counts.undetermined > 0 ? plainReadings(logic, placed, { run, trail }) : []
  const count = counts.passed + counts.failed + counts.undetermined
  const summary: VectorSummary = { count, ...counts, readings }
  reportRun(
    run,
    {
      summary,
      set: placed,
      leavesX: placed.defaultCondition === null && trail.lastOpen >= 0,
      part: device.part,
      offsets: offsetsOf(set, run),
      logic,
      certain: device.basis === 'published' || device.basis === 'inferred',
    },
    findings,
  )
  return { summary, findings: findings.list() }
}

/** Offsets of the vectors that findings can be about, by number. */
function offsetsOf({ vectors }: VectorSet, run: VectorRun): Map<number, number | undefined> {
  const told = new Set([
    ...run.results.map(({ number }) => number),
    ...[...run.overridden.slice(0, 1), ...run.superVoltages.slice(0, 1)].map(({ vector }) => vector),
    ...run.unknownPreloads.slice(0, 1),
  ])
  const offsets = new Map<number, number | undefined>()
  for (const { number, offset } of vectors) if (told.has(number)) offsets.set(number, offset ?? undefined)
  return offsets
}

/** Every combination of the open points that occur here, other than the strict one. */
function plainReadings(
  logic: Logic,
  set: VectorSet,
  { run, trail }: { readonly run: VectorRun; readonly trail: Trail },
): PlainReading[] {
  const leavesX = set.defaultCondition === null && trail.lastOpen >= 0
  const poweredUp = logic.cells.some((output) => output.register && output.register.powerUp !== null)
  const openOrder = run.results.some(({ checks }) =>
    checks.some(({ causes }) => causes.some(({ kind }) => kind === 'order')),
  )
  const readings: PlainReading[] = []
  for (const order of openOrder ? (['open', 'data-then-clock'] as const) : (['open'] as const))
    for (const registers of poweredUp ? (['unknown', 'power-up'] as const) : (['unknown'] as const))
      for (const x of leavesX ? ([null, 0, 1] as const) : ([null] as const)) {
        if (x === STRICT.x && registers === STRICT.registers && order === STRICT.order) continue
        const { counts } = countVectors(logic, set, { x, registers, order }, { explain: false, known: trail })
        readings.push({ x, registers, ...(order === 'open' ? {} : { order }), ...counts })
      }
  return readings
}

interface RunContext {
  /** False where the map of the part is not certain, so that a contradiction may be the map's. */
  readonly certain: boolean
  readonly logic: Logic
  readonly summary: VectorSummary
  readonly set: VectorSet
  /** True where some X has no level. */
  readonly leavesX: boolean
  readonly part: string
  readonly offsets: ReadonlyMap<number, number | undefined>
}

type VectorCollector = FindingCollector<typeof VECTOR_FINDINGS>

function reportRun(run: VectorRun, context: RunContext, findings: VectorCollector): void {
  const at = (vector: number, pin?: number): { vector: number; offset: number | undefined; pin?: number } => ({
    vector,
    offset: context.offsets.get(vector),
    ...(pin === undefined ? {} : { pin }),
  })
  for (const { number, checks } of run.results)
    for (const { pin, expected, found, result } of checks)
      if (result === 'failed')
        findings.add(context.certain ? 'vector/failed' : 'vector/contradicted', at(number, pin), {
          number,
          ...placeData(pin, context),
          expected,
          found,
        })
  const open = firstWhere(run, ({ result }) => result === 'undetermined')
  if (open) reportOpen(open, context, findings, at(open.number, open.check.pin))
  const atInput = firstWhere(run, ({ inputOnly }) => inputOnly)
  if (atInput) {
    const count = run.results.flatMap(({ checks }) => checks).filter(({ inputOnly }) => inputOnly).length
    const { number, check } = atInput
    findings.add('vector/level-at-input', at(number, check.pin), {
      number,
      ...placeData(check.pin, context),
      expected: check.expected,
      count,
    })
  }
  const [overridden] = run.overridden
  if (overridden) {
    const { vector, pin } = overridden
    findings.add('vector/overridden', at(vector, pin), {
      count: run.overridden.length,
      number: vector,
      ...placeData(pin, context),
    })
  }
  const [high] = run.superVoltages
  if (high)
    findings.add('vector/super-voltage', at(high.vector, high.pin), {
      number: high.vector,
      ...placeData(high.pin, context),
      condition: high.condition,
    })
  const [preloaded] = run.unknownPreloads
  if (preloaded !== undefined)
    findings.add('vector/preload', at(preloaded), { number: preloaded, part: context.part })
  const { set } = context
  const inputs = context.leavesX ? inputPositions(context) : []
  const unstated =
    context.leavesX &&
    set.vectors.find(
      ({ conditions }, i) =>
        isAfterGap(set, i) || (conditions?.includes('X') && inputs.some((position) => conditions[position] === 'X')),
    )
  if (unstated) findings.add('vector/no-default-level', { offset: unstated.offset ?? undefined })
}

/** A pin by its DIP number, with the place in the vector where that is another one. */
function placeData(pin: number, { set }: RunContext): PlaceData {
  const position = set.pinOrder ? set.pinOrder.indexOf(pin) + 1 : pin
  return position === pin || position === 0 ? { pin, counted: 'by-pin' } : { pin, counted: 'by-position', position }
}

/** Positions in a vector, from 0, of the pins that the logic reads and that the part does not always drive itself. */
function inputPositions({ logic, set }: RunContext): readonly number[] {
  const { cellAt, drives } = netlistOf(logic)
  const read = usedSignals(logic.cells.flatMap(expressionsOf)).flatMap((i) =>
    logic.signals[i]!.kind === 'pin' ? [logic.signals[i]!.pin] : [],
  )
  return read
    .filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always')
    .map((pin) => (set.pinOrder ? set.pinOrder.indexOf(pin) : pin - 1))
}

interface OpenPin {
  readonly number: number
  readonly check: PinCheck
}

function firstWhere(run: VectorRun, wanted: (check: PinCheck) => boolean): OpenPin | null {
  for (const { number, checks } of run.results) {
    const check = checks.find(wanted)
    if (check) return { number, check }
  }
  return null
}

function reportOpen(
  open: OpenPin,
  context: RunContext,
  findings: VectorCollector,
  place: { vector: number; offset: number | undefined },
): void {
  const { number, check } = open
  const { summary } = context
  const parameters = {
    count: summary.undetermined,
    total: summary.count,
    number,
    ...placeData(check.pin, context),
    ...causesData(check.causes),
  }
  const holding =
    summary.failed === 0 && summary.readings.find((reading) => reading.failed === 0 && reading.undetermined === 0)
  if (holding) findings.add('vector/holds-with', place, { ...parameters, reading: readingCodes(holding) })
  else findings.add('vector/undetermined', place, { ...parameters, expected: check.expected })
}
