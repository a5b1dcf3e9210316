/**
 * Wirings found again: published functions with their lines exchanged, functions whose symmetries are known by
 * arithmetic, random ones with seeds, and tables that are not equal.
 */
import { describe, expect, test } from 'vitest'
import { findWiring, type FoundWiring, type WiringSearch } from '../../src/capture'
import type { TruthTable } from '../../src/logic'
import { pairing } from '../../src/jobs/capture/wiring-nearest'
import { seededRandom, type Random } from '../parts/random-designs'
import { ARRAY_82S100 } from '../parts/logic-array-maps'
import { longOnly, sampleSize } from '../sample-size'
import {
  ADDER_283,
  bit,
  DECODER_138,
  ENCODER_148,
  functionOf,
  functionOfArray,
  majorityOf,
  PARITY,
  randomArray,
  randomScramble,
  scrambled,
  SEVEN_SEGMENT,
  tableOf,
  upTo,
  type RowFunction,
  type Scramble,
} from './images'

/** Rows in which a function is not what another is under a wiring, by evaluating both: nothing of the library. */
function rowsApart(captured: RowFunction, reference: RowFunction, { inputs, outputs }: FoundWiring): number {
  let count = 0
  for (let row = 0; row < 2 ** inputs.length; row++) {
    let [place, levels] = [0, 0]
    for (let k = 0; k < inputs.length; k++)
      place |= (bit(row, k) ^ (inputs[k]!.inverted ? 1 : 0)) << inputs[k]!.column
    const given = captured(place)
    for (let j = 0; j < outputs.length; j++)
      levels |= (bit(given, outputs[j]!.column) ^ (outputs[j]!.inverted ? 1 : 0)) << j
    if (levels !== reference(row)) count++
  }
  return count
}

interface Search {
  readonly scramble: Scramble
  readonly captured: RowFunction
  readonly result: WiringSearch
}

function search(
  random: Random,
  reference: RowFunction,
  {
    size,
    turned = 'none',
    options = {},
  }: {
    readonly size: readonly [number, number]
    readonly turned?: 'none' | 'outputs' | 'all'
    readonly options?: object
  },
): Search {
  const scramble = randomScramble(random, size, turned)
  const captured = scrambled(reference, scramble)
  return { scramble, captured, result: findWiring(tableOf(...size, captured), tableOf(...size, reference), options) }
}

const groupsOf = (groups: readonly (readonly { readonly column: number }[])[]): number[][] =>
  groups.map((group) => group.map(({ column }) => column).sort((a, b) => a - b)).sort((a, b) => a[0]! - b[0]!)
/** Groups of reference inputs as the scramble moved them. */
const moved = (groups: readonly (readonly number[])[], { inputs }: Scramble): number[][] =>
  groups.map((group) => group.map((k) => inputs[k]!).sort((a, b) => a - b)).sort((a, b) => a[0]! - b[0]!)
const factorial = (n: number): bigint => upTo(n).reduce((product, i) => product * BigInt(i + 1), 1n)

interface Known {
  readonly name: string
  readonly reference: RowFunction
  readonly size: readonly [number, number]
  /** Wirings that do the same, by the arithmetic beside. */
  readonly wirings: bigint
  /** Inputs that can be exchanged at will. */
  readonly groups: readonly (readonly number[])[]
}

const KNOWN: readonly Known[] = [
  // Every segment of '48 tells the codes apart in its own way.
  { name: "'48", reference: SEVEN_SEGMENT, size: [4, 7], wirings: 1n, groups: [] },
  // G2A and G2B; any exchange of A, B, C goes with one of the outputs: 2 × 3!.
  { name: "'138", reference: functionOf(DECODER_138), size: [6, 8], wirings: 12n, groups: [[1, 2]] },
  { name: "'148", reference: functionOf(ENCODER_148), size: [9, 5], wirings: 1n, groups: [] },
  // A and B of every place, and the carry with those of place 0: 3! × 2 × 2 × 2.
  {
    name: "'283",
    reference: ADDER_283,
    size: [9, 5],
    wirings: 48n,
    groups: [
      [0, 4, 8],
      [1, 5],
      [2, 6],
      [3, 7],
    ],
  },
  { name: 'parity of 12', reference: PARITY, size: [12, 1], wirings: factorial(12), groups: [upTo(12)] },
  { name: 'majority of 9', reference: majorityOf(9), size: [9, 1], wirings: factorial(9), groups: [upTo(9)] },
  // Parity and its complement are two outputs that no exchange of inputs swaps.
  {
    name: 'parity both ways',
    reference: (row) => (PARITY(row) ? 1 : 2),
    size: [5, 2],
    wirings: factorial(5),
    groups: [upTo(5)],
  },
  // Pairs that are ANDed: within the pairs, and the pairs: 2^4 × 4!.
  {
    name: 'four pairs',
    reference: (row) => (upTo(4).some((k) => bit(row, k) && bit(row, k + 4)) ? 1 : 0),
    size: [8, 1],
    wirings: 16n * 24n,
    groups: [
      [0, 4],
      [1, 5],
      [2, 6],
      [3, 7],
    ],
  },
  // A rotation of three inputs that goes with one of the outputs, and no exchange: x0¬x1, x1¬x2, x2¬x0.
  {
    name: 'a ring of three',
    reference: (row) => upTo(3).reduce((sum, k) => sum + (bit(row, k) && !bit(row, (k + 1) % 3) ? 2 ** k : 0), 0),
    size: [3, 3],
    wirings: 3n,
    groups: [],
  },
  // Nothing depends on inputs 1 and 3; outputs 0 and 2 are equal: 2 × 2.
  {
    name: 'idle inputs and equal outputs',
    reference: (row) => (bit(row, 0) && !bit(row, 2) ? 5 : 0) + (bit(row, 2) ? 2 : 0),
    size: [4, 3],
    wirings: 4n,
    groups: [[1, 3]],
  },
  { name: 'constants', reference: () => 0, size: [4, 3], wirings: 24n * 6n, groups: [upTo(4)] },
  { name: 'one input', reference: (row) => row, size: [1, 1], wirings: 1n, groups: [] },
]

describe.each(KNOWN)('$name', ({ name, reference, size, wirings, groups }) => {
  test('is found again in scrambled order, with all its symmetries and no others', () => {
    for (const i of upTo(5)) {
      const seed = 61_000 + i
      const { result, captured, scramble } = search(seededRandom(seed), reference, { size })
      expect(result, `${name} seed ${seed}`).toMatchObject({
        relation: 'found',
        inversions: 'none',
        equivalents: String(wirings),
        nearest: null,
      })
      expect(groupsOf(result.symmetries!.inputs)).toEqual(moved(groups, scramble))
      expect(result.wirings).toHaveLength(wirings < 16n ? Number(wirings) : 16)
      expect(new Set(result.wirings.map((wiring) => JSON.stringify(wiring))).size).toBe(result.wirings.length)
      for (const wiring of result.wirings)
        expect(rowsApart(captured, reference, wiring), `${name} seed ${seed}`).toBe(0)
    }
  })

  test('is found again with lines turned round', () => {
    for (const i of upTo(4)) {
      const seed = 62_000 + i
      const { result, captured } = search(seededRandom(seed), reference, { size, turned: i % 2 ? 'all' : 'outputs' })
      expect(result.relation, `${name} seed ${seed}`).toBe('found')
      for (const wiring of result.wirings)
        expect(rowsApart(captured, reference, wiring), `${name} seed ${seed}`).toBe(0)
    }
  })
})

test('the one wiring of a function without symmetry is the one that was made', () => {
  const { result, scramble } = search(seededRandom(5), functionOf(ENCODER_148), { size: [9, 5] })
  expect(result.wirings[0]!.inputs.map(({ column }) => column)).toEqual(scramble.inputs)
  expect(result.wirings[0]!.outputs.map(({ column }) => column)).toEqual(scramble.outputs)
})

test('every one of a few wirings is listed, and a bound on the list holds', () => {
  const { result } = search(seededRandom(6), ADDER_283, { size: [9, 5], options: { maxWirings: 100 } })
  expect(result.wirings).toHaveLength(48)
  expect(
    search(seededRandom(6), ADDER_283, { size: [9, 5], options: { maxWirings: 1 } }).result.wirings,
  ).toHaveLength(1)
})

test('what may be turned round is bounded, and the least of it is taken', () => {
  const reference = functionOf(ENCODER_148)
  const inverted: RowFunction = (row) => reference(row) ^ 4
  const tables = [tableOf(9, 5, inverted), tableOf(9, 5, reference)] as const
  expect(findWiring(...tables, { inversions: 'none' })).toMatchObject({ relation: 'none', wirings: [] })
  const found = findWiring(...tables)
  expect(found).toMatchObject({ relation: 'found', inversions: 'outputs' })
  expect(found.wirings[0]!.outputs).toEqual(upTo(5).map((column) => ({ column, inverted: column === 2 })))
  const turned: RowFunction = (row) => reference(row ^ 8)
  expect(findWiring(tableOf(9, 5, turned), tables[1], { inversions: 'outputs' }).relation).toBe('none')
  expect(findWiring(tableOf(9, 5, turned), tables[1])).toMatchObject({ relation: 'found', inversions: 'all' })
})

test('majority turned round throughout is itself: with inversions allowed it is found without', () => {
  expect(
    search(seededRandom(7), majorityOf(5), { size: [5, 1], options: { inversions: 'all' } }).result,
  ).toMatchObject({ inversions: 'none', equivalents: '120' })
})

test('inputs that can be exchanged once one of them is turned round are named so', () => {
  // x0 ∧ ¬x1 ∧ x2 for x0 ∧ x1 ∧ x2: no exchange makes one of the other, and 3! do with x1 turned round.
  const reference: RowFunction = (row) => (row === 7 ? 1 : 0)
  const found = findWiring(
    tableOf(3, 1, (row) => reference(row ^ 2)),
    tableOf(3, 1, reference),
  )
  expect(found).toMatchObject({ relation: 'found', inversions: 'all', equivalents: '6' })
  expect(found.symmetries!.inputs).toEqual([
    [
      { column: 0, inverted: false },
      { column: 1, inverted: true },
      { column: 2, inverted: false },
    ],
  ])
  expect(found.wirings).toHaveLength(6)
  for (const { inputs } of found.wirings) expect(inputs.find(({ column }) => column === 1)!.inverted).toBe(true)
})

test('lines are paired with columns at the least cost, as trying all pairings finds it', () => {
  const arrangements = (left: readonly number[]): number[][] =>
    left.length === 0
      ? [[]]
      : left.flatMap((one) => arrangements(left.filter((other) => other !== one)).map((rest) => [one, ...rest]))
  for (const seed of upTo(sampleSize(30, 300))) {
    const random = seededRandom(67_000 + seed)
    const size = 1 + random(6)
    const costs = upTo(size).map(() => upTo(size).map(() => random(9)))
    const costOf = (columns: readonly number[]): number =>
      columns.reduce((sum, column, line) => sum + costs[line]![column]!, 0)
    const found = pairing(costs)
    expect([...found].sort()).toEqual(upTo(size))
    expect(costOf(found), `seed ${67_000 + seed}`).toBe(Math.min(...arrangements(upTo(size)).map(costOf)))
  }
})

describe('16 inputs and 8 outputs of 48 random terms', () => {
  test.each([2, ...longOnly(0, 1, 3, 4, 5, 6, 7, 8)])('are found within the bound, and with five changed rows the nearest misses by five, %i', (i) => {
    const seed = 63_000 + i
    const random = seededRandom(seed)
    const levels = functionOfArray(ARRAY_82S100, randomArray(random))
    const known = Uint8Array.from(upTo(65536), levels)
    const reference: RowFunction = (row) => known[row]!
    const { result, captured } = search(random, reference, { size: [16, 8], turned: i % 3 === 2 ? 'all' : 'none' })
    expect(result.relation, `seed ${seed}`).toBe('found')
    expect(result.steps).toBeLessThan(100)
    expect(rowsApart(captured, reference, result.wirings[0]!), `seed ${seed}`).toBe(0)
    const rows = new Set<number>()
    while (rows.size < 5) rows.add(random(65536))
    const changed: RowFunction = (row) => captured(row) ^ (rows.has(row) ? 1 << (row % 8) : 0)
    const missed = findWiring(tableOf(16, 8, changed), tableOf(16, 8, reference))
    expect(missed, `seed ${seed}`).toMatchObject({
      relation: 'none',
      wirings: [],
      equivalents: null,
      symmetries: null,
      nearest: { differingRows: 5 },
    })
    expect(rowsApart(changed, reference, missed.nearest!.wiring), `seed ${seed}`).toBe(5)
  })
})

describe('tables that are not equal', () => {
  const CASES = KNOWN.filter(({ size: [inputs] }) => inputs > 3 && inputs < 12)
  test.each(CASES.flatMap((known) => [1, 2, 3].map((flips) => [known.name, flips, known] as const)))(
    '%s with %i rows changed: none, and the nearest misses by no more',
    (name, flips, { reference, size }) => {
      for (const i of upTo(sampleSize(1, 8))) {
        const seed = 64_000 + 10 * flips + i
        const random = seededRandom(seed)
        const made = randomScramble(random, size)
        // Whole output words are turned round, so that no other row can take the place of a changed one.
        const rows = new Set<number>()
        while (rows.size < flips) rows.add(random(2 ** size[0]))
        const captured: RowFunction = (row) =>
          scrambled(reference, made)(row) ^ (rows.has(row) ? 2 ** size[1] - 1 : 0)
        const result = findWiring(tableOf(...size, captured), tableOf(...size, reference), { inversions: 'none' })
        const isSame = result.relation === 'found'
        // A few changed rows of a small table may be an exchange of its lines; then the found wiring must hold.
        if (isSame) expect(rowsApart(captured, reference, result.wirings[0]!)).toBe(0)
        else {
          expect(result.relation, `${name} seed ${seed}`).toBe('none')
          expect(result.nearest!.differingRows, `${name} seed ${seed}`).toBeLessThanOrEqual(flips)
          expect(rowsApart(captured, reference, result.nearest!.wiring), `${name} seed ${seed}`).toBe(
            result.nearest!.differingRows,
          )
        }
      }
    },
  )

  test("in '148 and the adder, whose rows are far apart, the nearest misses by exactly the changed rows", () => {
    for (const [reference, size] of [
      [functionOf(ENCODER_148), [9, 5]],
      [ADDER_283, [9, 5]],
    ] as const)
      for (const flips of [1, 2, 4, 7]) {
        const random = seededRandom(65_000 + flips)
        const rows = new Set<number>()
        while (rows.size < flips) rows.add(random(512))
        const made = scrambled(reference, randomScramble(random, size))
        const result = findWiring(
          tableOf(...size, (row) => made(row) ^ (rows.has(row) ? 1 : 0)),
          tableOf(...size, reference),
        )
        expect(result, `${flips} rows`).toMatchObject({ relation: 'none', nearest: { differingRows: flips } })
      }
  })

  test('functions of other weights, and of equal weights and other structure', () => {
    const and: RowFunction = (row) => (row === 15 ? 1 : 0)
    expect(findWiring(tableOf(4, 1, and), tableOf(4, 1, majorityOf(4)), { inversions: 'none' }).relation).toBe('none')
    // x0 x1 ∨ x2 x3 and x0 (x1 ∨ x2 ∨ x3): both 1 in 7 of 16 rows.
    const [pairs, gated]: RowFunction[] = [
      (row) => (row % 4 === 3 || row >> 2 === 3 ? 1 : 0),
      (row) => (row % 2 && row > 1 ? 1 : 0),
    ]
    expect([pairs, gated].map((f) => upTo(16).filter((row) => f!(row)).length)).toEqual([7, 7])
    expect(findWiring(tableOf(4, 1, pairs!), tableOf(4, 1, gated!)).relation).toBe('none')
  })
})

describe('bounds', () => {
  const reference = functionOf(DECODER_138)
  const table = tableOf(6, 8, reference)

  test('past the steps it is undecided, and with one more step than needed it is not', () => {
    const { steps } = findWiring(table, table, { maxSteps: 1000 })
    expect(findWiring(table, table, { maxSteps: 1 })).toMatchObject({
      relation: 'undecided',
      reason: 'steps',
      wirings: [],
      nearest: null,
      steps: 1,
    })
    expect(findWiring(table, table, { maxSteps: steps })).toMatchObject({ relation: 'found', equivalents: '12' })
    // Enough to find one and not enough to count all.
    const few = upTo(steps)
      .map((maxSteps) => findWiring(table, table, { maxSteps: maxSteps + 1 }))
      .filter(({ relation, equivalents }) => relation === 'found' && equivalents === null)
    expect(few.length).toBeGreaterThan(0)
    for (const each of few) expect(rowsApart(reference, reference, each.wirings[0]!)).toBe(0)
  })

  test('no bent function takes it long: a hard case ends at the bound', () => {
    // Inner product of eight pairs: all its Walsh coefficients have one size.
    const inner: RowFunction = (row) => upTo(8).reduce((sum, k) => sum ^ (bit(row, k) & bit(row, k + 8)), 0)
    const random = seededRandom(66_000)
    const captured = scrambled(inner, randomScramble(random, [16, 1]))
    const result = findWiring(tableOf(16, 1, captured), tableOf(16, 1, inner))
    expect(result.steps).toBeLessThanOrEqual(20_000)
    // Within the pairs, and the pairs.
    expect(result).toMatchObject({ relation: 'found', equivalents: String(256n * factorial(8)) })
    expect(rowsApart(captured, inner, result.wirings[0]!)).toBe(0)
  })

  test('more inputs than the limit, and levels that are not known', () => {
    expect(findWiring(table, table, { maxInputs: 5 })).toMatchObject({
      relation: 'undecided',
      reason: 'too-wide',
      steps: 0,
    })
    expect(findWiring(table, table, { maxInputs: 6 }).relation).toBe('found')
    const open: TruthTable = {
      ...table,
      open: table.open.map((words, i) => (i === 3 ? words.map((word) => word | 1) : words)),
    }
    expect(findWiring(open, table)).toMatchObject({ relation: 'undecided', reason: 'open-levels' })
    expect(findWiring(table, open)).toMatchObject({ relation: 'undecided', reason: 'open-levels' })
  })

  test('options out of range, and tables of other sizes, are the caller’s mistake', () => {
    expect(() => findWiring(table, table, { inversions: 'inputs' as never })).toThrow(/^options\.inversions/)
    for (const [name, value] of [
      ['maxSteps', 0],
      ['maxSteps', 1.5],
      ['maxInputs', 21],
      ['maxInputs', 0],
      ['maxWirings', 0],
    ] as const)
      expect(() => findWiring(table, table, { [name]: value }), `${name} ${value}`).toThrow(
        new RegExp(`^options\\.${name} must be`),
      )
    expect(() =>
      findWiring(
        table,
        tableOf(5, 8, () => 0),
      ),
    ).toThrow(RangeError)
    expect(() =>
      findWiring(
        table,
        tableOf(6, 7, () => 0),
      ),
    ).toThrow(RangeError)
  })
})
