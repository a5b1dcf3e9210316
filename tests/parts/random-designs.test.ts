/**
 * Random designs: encoded with the test's own fuse numbers, decoded and simulated by the library, compared with
 * straight evaluation. And the proof that such designs notice an error: every column, every row start and every start
 * of a tail block of a part is shifted in a copy of its data, and each time some design comes out differently.
 */
import { expect, test } from 'vitest'
import { runVectors, type Reading } from '../../src/checks/run-vectors'
import { decode, findDevice, fuseMapFrom, simulate, writeFuseFile, type BlockUse, type Device, type FuseMap, type TestVector } from '../../src/index'
import type { Design } from './design'
import { encode, TABLES, type PartTable } from './encoder'
import { featuresOf, randomDesign, seededRandom, vectorsFor } from './random-designs'

const DESIGNS = 40
const VECTORS = 24
/** Known levels need a known start; the state after power-up is published (GAL16V8 data sheet, 16v8_04, p. 20). */
const READING: Reading = { x: null, registers: 'power-up', order: 'open' }

interface Sample {
  readonly name: string
  readonly design: Design
  readonly fuses: FuseMap
  readonly vectors: readonly string[]
}

function samplesOf(table: PartTable): Sample[] {
  return Array.from({ length: DESIGNS }, (_, i) => {
    const seed = 16_000 + 100 * TABLES.indexOf(table) + i
    const random = seededRandom(seed)
    const design = randomDesign(table, random)
    const name = `${table.part} ${table.mode ?? ''} seed ${seed}`
    return { name, design, fuses: fuseMapFrom([...encode(design)].join('')), vectors: vectorsFor(table, design, { random, count: VECTORS }) }
  })
}

function asSet(vectors: readonly string[]): { vectors: TestVector[]; pinOrder: null; defaultCondition: null } {
  return { vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })), pinOrder: null, defaultCondition: null }
}

/** Whether a part's data make of a sample what straight evaluation makes of it. */
function agrees(device: Device, { fuses, vectors }: Sample): boolean {
  const { logic } = decode(device, fuses)
  return logic !== null && runVectors(logic, asSet(vectors), READING).results.every(({ result }) => result === 'passed')
}

const each = TABLES.map((table) => [`${table.part} ${table.mode ?? ''}`.trim(), table, findDevice(table.part)!] as const)

test.each(each)('%s: random designs do what straight evaluation says', (_, table, device) => {
  const found = { H: 0, L: 0, Z: 0 }
  for (const { name, fuses, vectors } of samplesOf(table)) {
    const { results } = simulate(writeFuseFile({ fuses }), { device, vectors, registers: 'power-up' })
    expect(results, name).toHaveLength(VECTORS)
    for (const { number, result, checks } of results) {
      expect(result, `${name}, vector ${number} ${vectors[number - 1]}: ${JSON.stringify(checks.find((check) => check.result !== 'passed'))}`).toBe('passed')
      for (const { expected } of checks) found[expected]++
    }
  }
  // Both levels often enough to tell right from wrong, and off wherever the mode can switch off.
  expect(Math.min(found.H, found.L), JSON.stringify(found)).toBeGreaterThan(DESIGNS * VECTORS)
  expect(found.Z > 0).toBe(table.part === '16V8')
})

test.each(each)('%s: the random designs use everything that the mode offers', (_, table) => {
  const used = new Set(samplesOf(table).flatMap(({ design }) => featuresOf(table, design)))
  const outputs = Object.keys(table.kinds).filter((kind) => kind !== 'input')
  const polarities = table.kinds.combinational!.activeHigh === undefined ? ['high', 'low'] : [table.kinds.combinational!.activeHigh ? 'high' : 'low']
  const wanted = [
    ...outputs.flatMap((kind) => polarities.map((level) => `${kind} active ${level}`)),
    'full block',
    ...(table.part === '16V8' ? ['feedback'] : []),
    ...(Object.values(table.kinds).some(({ enable }) => enable === 'row') ? ['enable row'] : []),
  ]
  expect([...used].sort()).toEqual(wanted.sort())
})

interface Alteration {
  readonly what: string
  readonly device: Device
}

/** The column pair `pair` read as the next pin's. */
function withColumn(device: Device, modeName: string | null, pair: number): Device {
  const moved = (columns: readonly number[]): number[] => columns.map((pin, i) => (i === pair ? columns[(i + 1) % columns.length]! : pin))
  return { ...device, modes: device.modes.map((mode) => (mode.name === modeName ? { ...mode, columns: moved(mode.columns) } : mode)) }
}

function withRowStart(device: Device, index: number, by: number): Device {
  return { ...device, cells: device.cells.map((cell, i) => (i === index ? { ...cell, firstRow: cell.firstRow + by } : cell)) }
}

function withBlock(device: Device, use: BlockUse, by: number): Device {
  return { ...device, blocks: device.blocks.map((block) => (block.use === use ? { ...block, first: block.first + by } : block)) }
}

/** The blocks whose place logic hangs on, besides the array; the mode fuses and the signature have their own tests. */
const TAIL: readonly BlockUse[] = ['polarity', 'cell-select', 'term-disable']

function alterationsOf(device: Device, modeName: string | null): Alteration[] {
  const mode = device.modes.find(({ name }) => name === modeName)!
  const columns = mode.columns.map((pin, pair) => ({ what: `column pair ${pair} (pin ${pin})`, device: withColumn(device, modeName, pair) }))
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

test.each(each)('%s: a shifted column, row start or tail block is noticed', (_, table, device) => {
  const samples = samplesOf(table)
  const alterations = alterationsOf(device, table.mode)
  // One alteration a column pair; two a cell, but one for the first and the last; two a tail block.
  const tailBlocks = table.part === '16V8' ? 3 : 0
  expect(alterations).toHaveLength(table.columns.length + 2 * table.cells.length - 2 + 2 * tailBlocks)
  expect(samples.every((sample) => agrees(device, sample))).toBe(true)
  const unnoticed = alterations.filter((alteration) => samples.every((sample) => agrees(alteration.device, sample))).map(({ what }) => what)
  expect(unnoticed, `seeds from ${samples[0]!.name}`).toEqual([])
})
