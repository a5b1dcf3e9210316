/** Searches in tables so small that all wirings can be tried, and how far a search goes in larger ones. */
import { describe, expect, test } from 'vitest'
import { findWiring, type InversionKind, type WiringSearch } from '../../src/capture'
import { seededRandom, type Random } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { randomScramble, scrambled, tableOf, upTo, type RowFunction } from './images'
import { allWirings, exchangeable, rowsOff, type SmallTable } from './straight-wirings'

const KINDS: readonly InversionKind[] = ['none', 'outputs', 'all']
const tableFor = ({ inputs, outputs, levels }: SmallTable): ReturnType<typeof tableOf> =>
  tableOf(inputs, outputs, levels)

/** A random function; outputs are constant, equal or complements of each other now and then. */
function randomTable(random: Random, inputs: number, outputs: number): SmallTable {
  const columns: number[] = []
  for (const _ of upTo(outputs)) {
    const before = columns[random(columns.length + 1)]
    const way = random(6)
    const own = random(2 ** 2 ** inputs)
    columns.push(before !== undefined && way < 2 ? (way ? ~before : before) : way === 2 ? 0 : own)
  }
  const rows = upTo(2 ** inputs).map((row) =>
    columns.reduce((levels, column, j) => levels | (((column >>> row) & 1) << j), 0),
  )
  return { inputs, outputs, levels: (row) => rows[row]! }
}

/** A random table, and one that is the same with its lines moved, the same but for a row, or another. */
function randomPair(random: Random): readonly [captured: SmallTable, reference: SmallTable] {
  const [inputs, outputs] = [1 + random(3), 1 + random(3)]
  const reference = randomTable(random, inputs, outputs)
  const turned = (['none', 'outputs', 'all'] as const)[random(3)]!
  const moved = scrambled(reference.levels, randomScramble(random, [inputs, outputs], turned))
  const changed = random(3) ? -1 : random(2 ** inputs)
  const levels: RowFunction = (row) => moved(row) ^ (row === changed ? 1 : 0)
  return [random(5) ? { inputs, outputs, levels } : randomTable(random, inputs, outputs), reference]
}

describe('in small tables a search gives what trying every wiring gives', () => {
  test('that there is one, with the least turned round, how many, and which columns can be exchanged', () => {
    const seen = new Set<string>()
    for (let seed = 1; seed <= sampleSize(60, 2000); seed++) {
      const [captured, reference] = randomPair(seededRandom(68_000 + seed))
      const found = findWiring(tableFor(captured), tableFor(reference))
      const least = KINDS.find((kind) => allWirings(captured, reference, kind).includes(0)) ?? null
      expect({ seed, kind: found.inversions }).toEqual({ seed, kind: least })
      seen.add(`${found.relation} ${least}`)
      if (least === null) checkNearest(found, { captured, reference, seed })
      else {
        const count = allWirings(captured, reference, least).filter((rows) => rows === 0).length
        expect({ seed, count: found.equivalents }).toEqual({ seed, count: String(count) })
        expect({ seed, groups: found.symmetries }).toEqual({ seed, groups: exchangeable(captured, least) })
        expect(found.wirings).toHaveLength(Math.min(count, 16))
        expect(new Set(found.wirings.map((wiring) => JSON.stringify(wiring))).size).toBe(found.wirings.length)
        for (const wiring of found.wirings)
          expect({ seed, rows: rowsOff(captured, reference, { wiring }) }).toEqual({ seed, rows: 0 })
      }
    }
    expect([...seen].sort()).toEqual(['found all', 'found none', 'found outputs', 'none null'])
  })

  /** All orders of the inputs are tried in tables as small as these: of one output the nearest is the nearest of all. */
  function checkNearest(
    { relation, wirings, nearest }: WiringSearch,
    { captured, reference, seed }: { captured: SmallTable; reference: SmallTable; seed: number },
  ): void {
    expect({ seed, relation, wirings }).toEqual({ seed, relation: 'none', wirings: [] })
    const { wiring, differingRows } = nearest!
    expect({ seed, rows: rowsOff(captured, reference, { wiring }) }).toEqual({ seed, rows: differingRows })
    const fewest = Math.min(...allWirings(captured, reference, 'all'))
    expect(differingRows).toBeGreaterThanOrEqual(fewest)
    if (reference.outputs === 1) expect({ seed, rows: differingRows }).toEqual({ seed, rows: fewest })
  }

  test('rows that do not count are not looked at, and that none exists is then not shown', () => {
    const relations = new Set<string>()
    for (let seed = 1; seed <= sampleSize(40, 2000); seed++) {
      const random = seededRandom(69_000 + seed)
      const [captured, reference] = randomPair(random)
      const rows = new Set(upTo(2 ** captured.inputs).filter(() => random(4) > 0))
      const known = Int32Array.of([...rows].reduce((bits, row) => bits | (1 << row), 0))
      const { relation, reason, wirings, nearest } = findWiring(tableFor(captured), tableFor(reference), { known })
      relations.add(relation)
      expect(relation === 'undecided' ? reason : null).toBe(relation === 'undecided' ? 'rows-left-out' : null)
      for (const wiring of wirings)
        expect({ seed, rows: rowsOff(captured, reference, { wiring, known: rows }) }).toEqual({ seed, rows: 0 })
      if (nearest)
        expect({ seed, rows: rowsOff(captured, reference, { wiring: nearest.wiring, known: rows }) }).toEqual({
          seed,
          rows: nearest.differingRows,
        })
    }
    expect([...relations].sort()).toEqual(['found', 'undecided'])
  })
})

test('few orders of the inputs are all tried for the nearest, and many are not', () => {
  const stepsOf = (inputs: number): number => {
    const rows = 2 ** inputs - 1
    return findWiring(
      tableOf(inputs, 1, (row) => (row === rows ? 1 : 0)),
      tableOf(inputs, 1, (row) => (row === rows || row === 1 ? 1 : 0)),
    ).steps
  }
  // An order and its look at all rows take a step each. 4! orders as they are, for outputs as they are and turned
  // round, and 4! · 2⁴ with inputs turned round.
  expect(stepsOf(4)).toBeGreaterThan(2 * (24 + 24 + 384))
  // 5! of both kinds without, and not the 5! · 2⁵ = 3840 with.
  expect(stepsOf(5)).toBeGreaterThan(2 * (120 + 120))
  expect(stepsOf(5)).toBeLessThan(3840)
})

test('32 outputs, the most, are found in any order', () => {
  for (const seed of upTo(3)) {
    const random = seededRandom(70_000 + seed)
    const rows = upTo(32).map(() => upTo(32).reduce((levels, j) => levels | (random(2) << j), 0))
    const reference: SmallTable = { inputs: 5, outputs: 32, levels: (row) => rows[row]! }
    const levels = scrambledWords(random, reference.levels)
    const captured: SmallTable = { ...reference, levels }
    const found = findWiring(tableFor(captured), tableFor(reference))
    expect(found).toMatchObject({ relation: 'found', equivalents: '1' })
    expect(rowsOff(captured, reference, { wiring: found.wirings[0]! })).toBe(0)
  }
})

/** The function with its 32 outputs moved and its inputs turned round. */
function scrambledWords(random: Random, levels: RowFunction): RowFunction {
  const { outputs } = randomScramble(random, [1, 32])
  const turned = random(32)
  return (row) => outputs.reduce((sum, place, j) => sum | (((levels(row ^ turned) >>> j) & 1) << place), 0)
}
