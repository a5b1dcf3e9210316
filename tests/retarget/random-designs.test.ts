/**
 * Random designs in a PAL, moved to another part: every fuse as the tests' own encoder writes the same design there,
 * and levels as straight evaluation of the design has them.
 */
import { describe, expect, test } from 'vitest'
import { findDevice, fuseDigits, fuseMapFrom, check, readFuseFile, retarget, simulate, verify, writeFuseFile, type Retargeted } from '../../src/index'
import type { Design, DesignOutput } from '../parts/design'
import { encode, tableOf } from '../parts/encoder'
import { randomDesign, seededRandom, vectorsFor } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { designIn22V10, INTO_22V10, MODE_FUSES, movedDesign, MOVES, TAIL } from './moves'
import { granted } from '../granted'

const DESIGNS = sampleSize(3, 16)
const VECTORS = 14

interface Sample {
  readonly name: string
  readonly design: Design
  readonly states: string
  readonly vectors: readonly string[]
  readonly moved: Retargeted
  /** Fuses of the new file, or nothing where it was refused. */
  readonly fuses: string
}

function sampleOf(from: string, to: string, seed: number): Sample {
  const table = tableOf({ part: from, mode: null })
  const random = seededRandom(seed)
  const design = randomDesign(table, random)
  const states = encode(design).join('')
  const moved = granted(retarget(writeFuseFile({ fuses: fuseMapFrom(states) }), { device: from, to }))
  const vectors = vectorsFor(table, design, { random, count: VECTORS })
  return {
    name: `${from} to ${to}, seed ${seed}`,
    design,
    states,
    vectors,
    moved,
    fuses: moved.bytes ? fuseDigits(check(moved.bytes, { device: to }).inspection.file.fuses!) : '',
  }
}

const samples = (from: string, to: string): Sample[] =>
  Array.from({ length: DESIGNS }, (_, i) => sampleOf(from, to, 6200 + 50 * from.charCodeAt(3) + i))

/** Fuses in which two maps differ; one number more where their lengths do. */
function differing(a: string, b: string): number[] {
  return Array.from({ length: Math.max(a.length, b.length) }, (_, i) => i).filter((i) => a[i] !== b[i])
}

/** False where the enable is constant 0. */
function mayDrive({ enable }: DesignOutput): boolean {
  return (
    enable !== 'never' &&
    !(typeof enable === 'object' && 'term' in enable && enable.term.some((literal) => enable.term.includes(-literal)))
  )
}

/** What holds of every move. */
function expectSound({ name, design, vectors, moved }: Sample, to: string): void {
  expect(moved.proof!.relation, name).toBe('equivalent')
  expect(
    moved.proof!.outputs.map(({ relation }) => relation).filter((relation) => relation !== 'equivalent'),
    name,
  ).toEqual([])
  expect(
    moved.proof!.outputs.map(({ pin }) => Number(pin)),
    name,
  ).toEqual(expect.arrayContaining(design.outputs.filter(mayDrive).map(({ pin }) => pin)))
  const report = verify(moved.bytes!, { device: to })
  expect(report, name).toMatchObject({
    verdict: 'pass',
    security: 0,
    device: { part: to, mode: moved.mode },
    checksums: { fuse: { status: 'match' }, transmission: { status: 'match' } },
  })
  expect(readFuseFile(moved.bytes!).pinCount, name).toBe(findDevice(to)!.pinCount)
  const { results } = granted(simulate(moved.bytes!, { device: to, vectors, order: 'data-then-clock' }))
  expect(results, name).toHaveLength(vectors.length)
  for (const { number, result, checks } of results) {
    const open = checks.find((check) => check.result !== 'passed')
    expect(result, `${name}, vector ${number} ${vectors[number - 1]}: ${JSON.stringify(open)}`).toBe('passed')
  }
}

describe.each(MOVES.map((move) => [`${move.from} to ${move.to}`, move] as const))('%s', (_, move) => {
  const { from, to, mode } = move
  const made = samples(from, to)
  const tail = TAIL[to]

  test('is proved, verifies, and does what straight evaluation says', () => {
    for (const sample of made) {
      expect(sample.moved, sample.name).toMatchObject({ part: to, mode, verdict: sample.moved.verdict })
      expectSound(sample, to)
    }
  })

  test('has the configuration of the published table', () => {
    // XOR 0 is active low, 1 active high, and it is the PAL's letter that says which (same sheets, p. 4).
    const xor = [...move.cells].map((_, cell) => (from.includes('H') && move.rows[cell]! > 0 ? 1 : 0)).join('')
    for (const { name, fuses } of made) {
      expect(fuses.slice(tail.cells, tail.cells + 8), name).toBe(move.cells)
      expect(fuses.slice(tail.mode), name).toBe(MODE_FUSES[mode])
      expect(fuses.slice(tail.xor, tail.xor + 8), name).toBe(xor)
      expect(fuses.slice(tail.rows, tail.rows + 64), name).toBe(
        move.rows.map((count) => '1'.repeat(count) + '0'.repeat(8 - count)).join(''),
      )
    }
  })

  test('has the array and the signature fuses that the encoder writes for the same design', () => {
    for (const { name, design, fuses } of made)
      expect(
        differing(fuses.slice(0, tail.cells), encode(movedDesign(design, move)).join('').slice(0, tail.cells)),
        name,
      ).toEqual([])
  })
})

test.each(MOVES.filter(({ rows }) => rows.every((count) => count === 8)).map((move) => [move.from, move] as const))(
  'the array of a %s is kept fuse by fuse',
  (_, { from, to }) => {
    for (const { name, states, fuses } of samples(from, to))
      expect(differing(fuses.slice(0, TAIL[to].xor), states), name).toEqual([])
  },
)

describe.each(INTO_22V10)('%s to 22V10', (from) => {
  const made = samples(from, '22V10')

  test('is proved, verifies, and does what straight evaluation says', () => {
    for (const sample of made) expectSound(sample, '22V10')
  })

  test('has every fuse that the encoder writes for the same design', () => {
    for (const { name, design, fuses } of made)
      expect(differing(fuses, encode(designIn22V10(design)).join('')), name).toEqual([])
  })
})

const OWN = [
  ...(['16V8', '20V8'] as const).flatMap((part) =>
    (['registered', 'complex', 'simple'] as const).map((mode) => [part, mode] as const),
  ),
  ...(['22V10', '20X10', '20L10'] as const).map((part) => [part, null] as const),
]

test.each(OWN)('a %s in %s mode moved to its own part keeps every fuse that decides', (part, mode) => {
  const table = tableOf({ part, mode })
  const blocks = table.cells.map(({ firstFuse, rows }) => [firstFuse, firstFuse + rows * table.width] as const)
  for (let seed = 6100; seed < 6100 + DESIGNS; seed++) {
    const design = { ...randomDesign(table, seededRandom(seed)), disableUnusedRows: false }
    const states = encode(design).join('')
    const bytes = writeFuseFile({ fuses: fuseMapFrom(states), pinCount: table.pinCount })
    const { bytes: made, proof } = granted(retarget(bytes, { device: part, to: part }))
    expect(['identical', 'equivalent'], `seed ${seed}`).toContain(proof!.relation)
    const fuses = fuseDigits(check(made!, { device: part }).inspection.file.fuses!)
    for (const [first, end] of blocks)
      expect(
        differing(fuses.slice(first, end), states.slice(first, end)),
        `seed ${seed}, from fuse ${first}`,
      ).toEqual([])
  }
})
