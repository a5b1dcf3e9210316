/**
 * Random designs: encoded with the test's own fuse numbers, decoded and simulated by the library, compared with
 * straight evaluation. And the proof that such designs notice an error: every column, every row start and every start
 * of a tail block of a part is shifted in a copy of its data, and each time some design comes out differently.
 */
import { expect, test } from 'vitest'
import { runVectors, type Reading } from '../../src/jobs/vectors/run-vectors'
import { findDevice, fuseMapFrom, simulate, writeFuseFile, type BlockUse, type CellSetting, type Device, type FuseMap, type Mode, type TestVector } from '../../src/index'
import { decode } from '../../src/logic'
import { same } from '../same'
import { sampleSize } from '../sample-size'
import type { Design } from './design'
import { encode, TABLES, type PartTable } from './encoder'
import { asynchronousVectors, randomAsynchronousDesign } from './random-asynchronous'
import { randomDesign, seededRandom, startsUnknown, vectorsFor } from './random-designs'
import { featuresOf, featuresOffered } from './random-features'
import { granted } from '../granted'

const DESIGNS = sampleSize(24, 48)
/** Of them, those that run as files; all run as logic below. */
const SIMULATED = sampleSize(8, 48)
const VECTORS = 18
/** Known levels need a known start; the state after power-up is published (GAL16V8 data sheet, 16v8_04, p. 20). */
// Several pins change in one vector, which a term may answer with a pulse; orders.test.ts looks at that.
const READING: Reading = { x: null, registers: 'power-up', order: 'data-then-clock' }

interface Sample {
  readonly name: string
  readonly design: Design
  readonly fuses: FuseMap
  readonly vectors: readonly string[]
}

function sampleOf(table: PartTable, seed: number): Sample {
  const random = seededRandom(seed)
  const asynchronous = table.kinds.registered?.clockRow !== undefined
  const design = asynchronous ? randomAsynchronousDesign(table, random) : randomDesign(table, random)
  const vectors = asynchronous
    ? asynchronousVectors(table, design, { random, count: 2 * VECTORS })
    : vectorsFor(table, design, { random, count: VECTORS })
  return {
    name: `${table.part} ${table.mode ?? ''} seed ${seed}`,
    design,
    fuses: fuseMapFrom([...encode(design)].join('')),
    vectors,
  }
}

const made = new Map<PartTable, readonly Sample[]>()

/** The samples of a part in a mode, made once. */
function samplesOf(table: PartTable): readonly Sample[] {
  const samples =
    made.get(table) ??
    Array.from({ length: DESIGNS }, (_, i) => sampleOf(table, 16_000 + 100 * TABLES.indexOf(table) + i))
  made.set(table, samples)
  return samples
}

function asSet(vectors: readonly string[]): { vectors: TestVector[]; pinOrder: null; defaultCondition: null } {
  return {
    vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
    pinOrder: null,
    defaultCondition: null,
  }
}

/** Whether a part's data make of a sample what straight evaluation makes of it. */
function agrees(device: Device, { fuses, vectors }: Sample): boolean {
  const { logic } = decode(device, fuses)
  return (
    logic !== null && runVectors(logic, asSet(vectors), READING).results.every(({ result }) => result === 'passed')
  )
}

const each = TABLES.map(
  (table) => [`${table.part} ${table.mode ?? ''}`.trim(), table, findDevice(table.part)!] as const,
)

test.each(each)('%s: random designs do what straight evaluation says', (_, table, device) => {
  const found = { H: 0, L: 0, Z: 0 }
  let ran = 0
  for (const { name, fuses, vectors } of samplesOf(table).slice(0, SIMULATED)) {
    const { results } = granted(simulate(writeFuseFile({ fuses }), {
      device,
      vectors,
      order: 'data-then-clock',
      registers: startsUnknown(table) || table.registers?.loadPin !== undefined ? 'unknown' : 'power-up',
    }))
    expect(results, name).toHaveLength(vectors.length)
    ran += vectors.length
    for (const { number, result, checks } of results) {
      const failing = (): string => JSON.stringify(checks.find((check) => check.result !== 'passed'))
      same(result, 'passed', () => `${name}, vector ${number} ${vectors[number - 1]}: ${failing()}`)
      for (const { expected } of checks) found[expected]++
    }
  }
  // Where changes that race are left out, a design may come to an end early, but most do not.
  expect(ran).toBeGreaterThanOrEqual(SIMULATED * VECTORS)
  // Both levels often enough to tell right from wrong, and off wherever the mode can switch off.
  expect(Math.min(found.H, found.L), JSON.stringify(found)).toBeGreaterThan(
    (SIMULATED * VECTORS * table.cells.length) / 16,
  )
  const isOff = samplesOf(table).some(({ vectors }) => vectors.some((conditions) => conditions.includes('Z')))
  expect(isOff).toBe(Object.values(table.kinds).some(({ enable }) => enable !== 'always'))
})

test.each(each)('%s: the random designs use everything that the mode offers', (_, table) => {
  const used = new Set(samplesOf(table).flatMap(({ design }) => featuresOf(table, design)))
  expect([...used].sort()).toEqual(featuresOffered(table))
})

interface Alteration {
  readonly what: string
  readonly device: Device
}

function withMode(device: Device, modeName: string | null, change: (mode: Mode) => Partial<Mode>): Device {
  return {
    ...device,
    modes: device.modes.map((mode) => (mode.name === modeName ? { ...mode, ...change(mode) } : mode)),
  }
}

/** The column pair `pair` read as the next pin's. */
function withColumn(device: Device, modeName: string | null, pair: number): Device {
  return withMode(device, modeName, ({ columns }) => ({
    columns: columns.map((pin, i) => (i === pair ? columns[(i + 1) % columns.length]! : pin)),
  }))
}

function withSettings(
  device: Device,
  modeName: string | null,
  change: (setting: CellSetting) => Partial<CellSetting>,
): Device {
  return withMode(device, modeName, ({ settings }) => ({
    settings: settings.map((setting) => ({ ...setting, ...change(setting) })),
  }))
}

function withRowStart(device: Device, index: number, by: number): Device {
  return {
    ...device,
    cells: device.cells.map((cell, i) => (i === index ? { ...cell, firstRow: cell.firstRow + by } : cell)),
  }
}

function withBlock(device: Device, use: BlockUse, by: number): Device {
  return {
    ...device,
    blocks: device.blocks.map((block) => (block.use === use ? { ...block, first: block.first + by } : block)),
  }
}

/** The blocks whose place logic hangs on, besides the array; the mode fuses and the signature have their own tests. */
const TAIL: readonly BlockUse[] = ['polarity', 'cell-select', 'term-disable']

/** One alteration a column pair; two a cell, but one where the array ends; two a tail block. */
function shiftsOf(device: Device, modeName: string | null): Alteration[] {
  const mode = device.modes.find(({ name }) => name === modeName)!
  const columns = mode.columns.map((pin, pair) => ({
    what: `column pair ${pair} (pin ${pin})`,
    device: withColumn(device, modeName, pair),
  }))
  const rows = device.cells.flatMap(({ pin, firstRow, rowCount }, index) =>
    [-1, 1]
      .filter((by) => firstRow + by >= 0 && firstRow + by + rowCount <= device.array.rows)
      .map((by) => ({ what: `rows of pin ${pin} from ${firstRow + by}`, device: withRowStart(device, index, by) })),
  )
  const tail = TAIL.filter((use) => device.blocks.some((block) => block.use === use)).flatMap((use) =>
    [-1, 1].map((by) => ({ what: `block ${use} shifted by ${by}`, device: withBlock(device, use, by) })),
  )
  return [...columns, ...rows, ...tail]
}

/** What the registers of a part do, read wrongly in every way that its table gives a meaning to. */
function misreadingsOf(device: Device, table: PartTable): Alteration[] {
  const { registered } = table.kinds
  if (!registered) return []
  const settings = (what: string, change: (setting: CellSetting) => Partial<CellSetting>): Alteration => ({
    what,
    device: withSettings(device, table.mode, (setting) => (setting.output === 'registered' ? change(setting) : {})),
  })
  const shared = (by: { readonly reset: number; readonly clockedPreset: number }): Alteration => ({
    what: `shared rows ${JSON.stringify(by)}`,
    device: { ...device, sharedRows: by },
  })
  const lastRow = device.array.rows - 1
  return [
    settings('output buffer', ({ inverting }) => ({ inverting: !inverting })),
    ...(table.cells.some(({ pin, only }) => table.columns.includes(pin) && (only ?? 'registered') === 'registered')
      ? [
          {
            what: 'register feedback',
            device: withMode(device, table.mode, ({ registerFeedback }) => ({
              registerFeedback: registerFeedback === 'pin' ? 'inverted-register' : 'pin',
            })),
          },
        ]
      : []),
    ...(table.cells[0]!.polarityFuse === undefined
      ? []
      : [
          settings('place of the polarity', ({ polarity }) => ({
            polarity: polarity === 'before' ? 'after' : 'before',
          })),
        ]),
    ...(table.resetFuse === undefined
      ? []
      : [
          shared({ reset: lastRow, clockedPreset: 0 }),
          shared({ reset: 1, clockedPreset: lastRow }),
          shared({ reset: 0, clockedPreset: lastRow - 1 }),
        ]),
    ...(registered.firstSum === undefined
      ? []
      : [
          settings('one sum', () => ({ sums: [{ from: 0, count: 4 }] })),
          settings('sums of one and three', () => ({
            sums: [
              { from: 0, count: 1 },
              { from: 1, count: 3 },
            ],
          })),
        ]),
    ...(registered.clockRow === undefined
      ? []
      : [
          settings('reset and preset rows', ({ resetRow, presetRow }) => ({
            resetRow: presetRow!,
            presetRow: resetRow!,
          })),
          settings('clock and reset rows', () => ({ clock: { row: 2 }, resetRow: 1 })),
          settings('enable and clock rows', ({ enable }) => ({
            enable: { ...(enable as object), row: 1 },
            clock: { row: 0 },
          })),
          settings('enable pin', () => ({ enable: { row: 0 } })),
          settings('bypass', () => ({ bypass: false })),
          settings('load pin', ({ loadPin, ...setting }) => ({ ...setting, loadPin: loadPin! + 1 })),
          settings('term row', () => ({ sums: [{ from: 5, count: 3 }] })),
        ]),
  ]
}

test.each(each)(
  '%s: a shifted column, row start or tail block is noticed, and registers read wrongly',
  (_, table, device) => {
    const samples = samplesOf(table)
    const shifts = shiftsOf(device, table.mode)
    const tailBlocks = [table.cells[0]!.polarityFuse, table.cells[0]!.selectFuse, table.firstDisableFuse].filter(
      (fuse) => fuse !== undefined,
    ).length
    const ends = table.resetFuse === undefined ? 2 : 0
    expect(shifts).toHaveLength(table.columns.length + 2 * table.cells.length - ends + 2 * tailBlocks)
    expect(samples.every((sample) => agrees(device, sample))).toBe(true)
    const alterations = [...shifts, ...misreadingsOf(device, table)]
    const unnoticed = alterations
      .filter((alteration) => samples.every((sample) => agrees(alteration.device, sample)))
      .map(({ what }) => what)
    expect(unnoticed, `seeds from ${samples[0]!.name}`).toEqual([])
  },
)
