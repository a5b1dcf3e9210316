/**
 * A PAL's map in the part that replaces it: copied as the data sheets of that part say, it does the same. Lattice
 * GAL16V8 data sheet, 16v8_04, p. 3, and GAL20V8, 20v8_04, p. 3: modes and parts; that arrays of 2048 and 2560 fuses go
 * over fuse by fuse, and small ones into the first rows of each block, is confirmed by published pairs of maps.
 */
import { describe, expect, test } from 'vitest'
import { simulate, fuseMapFrom, writeFuseFile } from '../../src/index'
import { sampleSize } from '../sample-size'
import type { Design } from './design'
import { cellAt, disableFuse, encode, firstFuseOf, literalFuse, tableOf, type PartTable } from './encoder'
import { randomDesign, seededRandom, vectorsFor, type Random } from './random-designs'
import { granted } from '../granted'

/** `ac1` and the outputs from the highest pin down. */
type Emulation = readonly [pal: string, part: '16V8' | '20V8', mode: 'registered' | 'complex' | 'simple', ac1: string]

const WHOLE: readonly Emulation[] = [
  ['16L8', '16V8', 'complex', '11111111'],
  ['16R4', '16V8', 'registered', '11000011'],
  ['16R6', '16V8', 'registered', '10000001'],
  ['16R8', '16V8', 'registered', '00000000'],
  ['20L8', '20V8', 'complex', '11111111'],
  ['20R4', '20V8', 'registered', '11000011'],
  ['20R6', '20V8', 'registered', '10000001'],
  ['20R8', '20V8', 'registered', '00000000'],
]

const SMALL: readonly Emulation[] = [
  ['10H8', '16V8', 'simple', '00000000'],
  ['10L8', '16V8', 'simple', '00000000'],
  ['12H6', '16V8', 'simple', '10000001'],
  ['12L6', '16V8', 'simple', '10000001'],
  ['14H4', '16V8', 'simple', '11000011'],
  ['14L4', '16V8', 'simple', '11000011'],
  ['16H2', '16V8', 'simple', '11100111'],
  ['16L2', '16V8', 'simple', '11100111'],
  ['14L8', '20V8', 'simple', '00000000'],
  ['16L6', '20V8', 'simple', '10000001'],
  ['18L4', '20V8', 'simple', '11000011'],
  ['20L2', '20V8', 'simple', '11100111'],
]

/** The configuration alone: mode fuses, AC1, XOR 1 for H parts; the array all 0, every row in service. */
function configured([pal, part, mode, ac1]: Emulation): { readonly table: PartTable; readonly states: Uint8Array } {
  const table = tableOf({ part, mode })
  const states = new Uint8Array(table.fuseCount)
  for (const [fuse, state] of table.fixed) states[fuse] = state
  states.fill(1, table.firstDisableFuse!, table.firstDisableFuse! + 64)
  table.cells.forEach(({ selectFuse, polarityFuse }, i) => {
    states[selectFuse!] = Number(ac1[i])
    states[polarityFuse!] = pal.includes('H') ? 1 : 0
  })
  return { table, states }
}

/** Every row of the PAL in the first rows of the same pin's block: phantom columns 1, missing rows 0 and disabled. */
function rowByRow(emulation: Emulation, pal: PartTable, states: Uint8Array): Uint8Array {
  const { table, states: target } = configured(emulation)
  for (const cell of table.cells) {
    const own = pal.cells.find(({ pin }) => pin === cell.pin)
    for (let row = 0; row < cell.rows; row++) {
      const firstFuse = firstFuseOf(table, cell.pin, row)
      if (!own || row >= own.rows) {
        target[disableFuse(table, firstFuse)] = 0
        continue
      }
      target.fill(1, firstFuse, firstFuse + table.width)
      for (const literal of pal.columns.flatMap((pin) => [pin, -pin]))
        target[literalFuse(table, firstFuse, literal)] =
          states[literalFuse(pal, firstFuseOf(pal, cell.pin, row), literal)]!
    }
  }
  return target
}

function fuseByFuse(emulation: Emulation, states: Uint8Array): Uint8Array {
  const { states: target } = configured(emulation)
  target.set(states)
  return target
}

/** Every check of every vector, as one text. */
function outcome(part: string, states: Uint8Array, vectors: readonly string[]): string[] {
  const { results } = granted(simulate(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: part, vectors }))
  return results.map(
    ({ number, checks }) => `V${number} ${checks.map(({ pin, found }) => `${pin}=${found}`).join(' ')}`,
  )
}

/** Vectors over arbitrary conditions, unknown and floating inputs among them: what stays open must stay open alike. */
function arbitraryVectors(
  table: PartTable,
  { random, count }: { readonly random: Random; readonly count: number },
): string[] {
  const isOutput = (pin: number): boolean => table.cells.some((cell) => cell.pin === pin)
  return Array.from({ length: count }, () =>
    Array.from({ length: table.pinCount }, (_, i) => {
      if (table.supplyPins.includes(i + 1)) return 'N'
      if (i + 1 === table.clockPin) return 'C01C'[random(4)]!
      if (isOutput(i + 1)) return random(4) ? 'H' : '01'[random(2)]!
      return '01010101XN'[random(10)]!
    }).join(''),
  )
}

const DESIGNS = sampleSize(3, 8)

function samples(table: PartTable): { readonly name: string; readonly design: Design; readonly random: Random }[] {
  return Array.from({ length: DESIGNS }, (_, i) => {
    const seed = 20_000 + 100 * [...WHOLE, ...SMALL].findIndex(([pal]) => pal === table.part) + i
    const random = seededRandom(seed)
    return { name: `${table.part} seed ${seed}`, design: randomDesign(table, random), random }
  })
}

describe.each([
  ...WHOLE.map((one) => [one[0], one, 'fuse by fuse'] as const),
  ...SMALL.map((one) => [one[0], one, 'row by row'] as const),
])('%s', (pal, emulation, way) => {
  const [, part] = emulation
  const table = tableOf({ part: pal, mode: null })

  test(`does the same in a ${part}, copied ${way}`, () => {
    for (const { name, design, random } of samples(table)) {
      const states = encode(design)
      const copied = way === 'fuse by fuse' ? fuseByFuse(emulation, states) : rowByRow(emulation, table, states)
      const vectors = [
        ...vectorsFor(table, design, { random, count: 10 }),
        ...arbitraryVectors(table, { random, count: 10 }),
      ]
      const original = outcome(pal, states, vectors)
      expect(original).toHaveLength(20)
      expect(outcome(part, copied, vectors), name).toEqual(original)
    }
  })

  test('one select or polarity fuse turned round makes a difference', () => {
    const { table: target } = configured(emulation)
    const fuses = table.cells.flatMap(({ pin }) => [
      cellAt(target, pin).polarityFuse!,
      cellAt(target, pin).selectFuse!,
    ])
    const unnoticed = new Set(fuses)
    for (const { design, random } of samples(table)) {
      const states = encode(design)
      const copied = way === 'fuse by fuse' ? fuseByFuse(emulation, states) : rowByRow(emulation, table, states)
      const vectors = vectorsFor(table, design, { random, count: 10 })
      const original = outcome(pal, states, vectors).join('\n')
      for (const fuse of unnoticed) {
        const turned = copied.slice()
        turned[fuse]! ^= 1
        if (outcome(part, turned, vectors).join('\n') !== original) unnoticed.delete(fuse)
      }
    }
    expect([...unnoticed]).toEqual([])
  })
})
