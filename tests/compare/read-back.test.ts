/**
 * What the differences of a read-back look like: each name with its exact condition, its near misses, and what goes
 * before what. A scatter of differences has no name.
 */
import { describe, expect, test } from 'vitest'
import { compare, findingCatalogue, fuseMapFrom, type Comparison, type FusePattern } from '../../src/index'
import { V10, type Design, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { seededRandom, shuffled } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { codesOf, output } from './pairs'

type States = Uint8Array

const compared = (intended: States, readback: States, device: string): Comparison =>
  compare(fuseMapFrom(intended.join('')), fuseMapFrom(readback.join('')), { device })

/** The pattern, with the finding that goes with it, and no other of its kind. */
function patternOf(intended: States, readback: States, device = '14L4'): FusePattern | null {
  const comparison = compared(intended, readback, device)
  const named = codesOf(comparison).filter((code) => code.startsWith('readback/'))
  expect(named).toEqual(comparison.pattern ? [`readback/${comparison.pattern.kind}`] : [])
  return comparison.pattern
}

function changed(states: States, change: (copy: States) => void): States {
  const copy = states.slice()
  change(copy)
  return copy
}

const flipped = (states: States, ...fuses: readonly number[]): States =>
  changed(states, (copy) => fuses.forEach((fuse) => (copy[fuse]! ^= 1)))

/** Terms of two literals in every row, so that no row does nothing: 16 rows of 28 fuses, four an output. */
const TERMS: readonly Term[] = [
  [2, 3],
  [-4, 5],
  [6, -7],
  [8, 9],
]
const SMALL = encode({
  part: '14L4',
  mode: null,
  outputs: [17, 16, 15, 14].map((pin, i) =>
    output(
      pin,
      TERMS.map((term) => [...term, i % 2 ? 11 : -11]),
    ),
  ),
})
const WIDTH = 28

/** All 64 rows of a 16V8 in the simple mode, two literals each; row r from fuse 32r, tail from 2048. */
const OUTPUTS = [19, 18, 17, 16, 15, 14, 13, 12]
const PAIRS: readonly Term[] = [
  [2, 3],
  [-2, 4],
  [5, -6],
  [7, 8],
  [-9, 1],
  [-3, 11],
  [4, 6],
  [-7, 9],
]
const SIMPLE: Design = {
  part: '16V8',
  mode: 'simple',
  outputs: OUTPUTS.map((pin, i) =>
    output(
      pin,
      PAIRS.map(([a, b]) => (i % 2 ? [a!, b!] : [a!, -b!])),
      { activeHigh: i % 3 === 0 },
    ),
  ),
}
const LARGE = encode(SIMPLE)

/** Rows of a design with few terms: the rest hold both columns of every pin. */
const SPARSE_DESIGN: Design = {
  part: '16V8',
  mode: 'complex',
  outputs: [output(19, [[2, 3]]), output(18, [[5]])],
  signature: [0x31],
}
const SPARSE = encode(SPARSE_DESIGN)

describe('shifted', () => {
  const shifted = (states: States, by: number, fill: (fuse: number) => number = () => 1): States =>
    states.map((_, fuse) => states[fuse - by] ?? fill(fuse))

  test.each([1, -1, 2, -7, 28, 63, 64, -64])('by %i fuses, whatever stands where nothing came from', (by) => {
    expect(patternOf(SMALL, shifted(SMALL, by))).toEqual({ kind: 'shifted', by })
    expect(
      patternOf(
        SMALL,
        shifted(SMALL, by, (fuse) => fuse % 2),
      ),
    ).toEqual({ kind: 'shifted', by })
    expect(patternOf(LARGE, shifted(LARGE, by), '16V8')).toEqual({ kind: 'shifted', by })
  })

  test('not further than 64 fuses', () => {
    expect(patternOf(LARGE, shifted(LARGE, 65), '16V8')?.kind).not.toBe('shifted')
    expect(patternOf(LARGE, shifted(LARGE, -65), '16V8')?.kind).not.toBe('shifted')
  })

  test('not with one fuse that does not fit', () => {
    for (const fuse of [40, 200, 447]) expect(patternOf(SMALL, flipped(shifted(SMALL, 5), fuse))).toBeNull()
  })

  test('not where fewer than three fuses differ', () => {
    // A single 0 that moves by one: two fuses differ.
    const lone = new Uint8Array(448).fill(1)
    lone[100] = 0
    expect(patternOf(lone, shifted(lone, 1))).toBeNull()
  })

  test('in the words of the finding: the number of fuses', () => {
    const { findings } = compared(SMALL, shifted(SMALL, -3), '14L4')
    expect(findings.find(({ code }) => code === 'readback/shifted')).toMatchObject({ severity: 'warning' })
    expect(findings.find(({ code }) => code === 'readback/shifted')!.message).toContain('3 fuses')
    expect(
      compared(SMALL, shifted(SMALL, 1), '14L4').findings.find(({ code }) => code === 'readback/shifted')!.message,
    ).toMatch(/\b1 fuse\b/)
  })
})

describe('repeated halves', () => {
  const repeated = (states: States, half: number): States => changed(states, (copy) => copy.copyWithin(half, 0, half))

  test('the second half of the array like the first', () => {
    // SMALL's halves are alike (its outputs repeat every second one), so one fuse of the second is changed first.
    const own = flipped(SMALL, 224 + 30)
    expect(patternOf(own, repeated(own, 224))).toEqual({ kind: 'repeated-halves' })
    const large = flipped(LARGE, 1024 + 70, 1024 + 300)
    expect(patternOf(large, repeated(large, 1024), '16V8')).toEqual({ kind: 'repeated-halves' })
  })

  test('not where the intended array does so too, nor with one fuse that does not', () => {
    expect(patternOf(SMALL, flipped(SMALL, 9, 224 + 9))).toBeNull()
    const own = flipped(SMALL, 224 + 30, 224 + 90)
    expect(patternOf(own, flipped(repeated(own, 224), 300))?.kind).not.toBe('repeated-halves')
  })

  test('the tail of the map has no part in it', () => {
    const large = flipped(LARGE, 1024 + 70, 1024 + 300)
    expect(patternOf(large, flipped(repeated(large, 1024), 2050), '16V8')).toEqual({ kind: 'repeated-halves' })
  })
})

describe('signature only', () => {
  test('any number of its fuses, and no other', () => {
    // Signature: 2056 to 2119.
    expect(patternOf(SPARSE, flipped(SPARSE, 2056), '16V8')).toEqual({ kind: 'signature-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, 2056, 2100, 2119), '16V8')).toEqual({ kind: 'signature-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, 2056, 2055), '16V8')).toBeNull()
    expect(compared(SPARSE, flipped(SPARSE, 2056), '16V8')).toMatchObject({ relation: 'equivalent' })
  })
})

describe('idle rows only', () => {
  // Rows 0 (enable), 1 (term) of pin 19 and 8, 9 of pin 18 are live; row 20 holds every literal.
  const [live, dead] = [32, 20 * 32]

  test('rows that hold a pin and its complement on both sides', () => {
    expect(patternOf(SPARSE, flipped(SPARSE, dead), '16V8')).toEqual({ kind: 'idle-rows-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, dead, dead + 1, dead + 40), '16V8')).toEqual({ kind: 'idle-rows-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, dead, live + 8), '16V8')).toBeNull()
  })

  test('not a row that only one side leaves idle', () => {
    // Row 20 with one literal alone: all 32 fuses but one open.
    const woken = changed(SPARSE, (copy) => copy.fill(1, dead + 1, dead + 32))
    expect(patternOf(SPARSE, woken, '16V8')?.kind).not.toBe('idle-rows-only')
    expect(patternOf(woken, SPARSE, '16V8')?.kind).not.toBe('idle-rows-only')
  })

  test('rows that are taken out by their disable fuse on both sides, the fuse itself included', () => {
    // Disable fuse of row r: 2128 + r. The live term of pin 19 (row 1) taken out.
    const out = flipped(SPARSE, 2128 + 1)
    expect(patternOf(out, flipped(out, live + 8, live + 9), '16V8')).toEqual({ kind: 'idle-rows-only' })
    expect(patternOf(SPARSE, out, '16V8')).toBeNull()
    // Row 20 holds every literal: whether it is taken out as well changes nothing.
    expect(patternOf(SPARSE, flipped(SPARSE, 2128 + 20), '16V8')).toEqual({ kind: 'idle-rows-only' })
  })

  test('goes with equal logic', () => {
    expect(compared(SPARSE, flipped(SPARSE, dead, dead + 33), '16V8').relation).toBe('equivalent')
  })
})

describe('tail only', () => {
  // XOR 2048 to 2055, AC1 2120 to 2127, SYN 2192, AC0 2193.
  test('the array right, and another mode', () => {
    expect(patternOf(SPARSE, flipped(SPARSE, 2193), '16V8')).toEqual({ kind: 'tail-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, 2192, 2048), '16V8')).toEqual({ kind: 'tail-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, 2193, 32), '16V8')).toBeNull()
  })

  test('the array right, and all fuses behind it alike where they should not be', () => {
    const all = (state: number): States =>
      changed(SPARSE, (copy) =>
        [
          [2048, 2056],
          [2120, 2194],
        ].forEach(([from, to]) => copy.fill(state, from, to)),
      )
    expect(patternOf(SPARSE, all(0), '16V8')).toEqual({ kind: 'tail-only' })
    expect(patternOf(SPARSE, all(1), '16V8')).toEqual({ kind: 'tail-only' })
    // The 22V10 has no mode fuses: S0 and S1 of ten cells, 5808 to 5827.
    const cells = encode({
      ...V10,
      outputs: [
        output(23, [[2]]),
        { ...output(22, [[3]]), kind: 'registered' },
        { ...output(21, [[3]]), activeHigh: true },
      ],
    })
    const filled = (state: number): States => changed(cells, (copy) => copy.fill(state, 5808, 5828))
    expect(patternOf(cells, filled(0), '22V10')).toEqual({ kind: 'tail-only' })
    expect(patternOf(cells, filled(1), '22V10')).toEqual({ kind: 'tail-only' })
    expect(patternOf(cells, flipped(filled(1), 5810), '22V10')).toBeNull()
    // Where they are meant to be alike, another state is no sign of anything.
    expect(patternOf(filled(0), filled(1), '22V10')).toBeNull()
    expect(patternOf(cells, flipped(filled(1), 100), '22V10')).toBeNull()
  })

  test('not where two fuses make them alike', () => {
    // All S0 and S1 at 1 but those of pin 23 (5808, 5809).
    const states = changed(encode({ part: '22V10', mode: null, outputs: [output(23, [[2]])] }), (copy) =>
      copy.fill(1, 5808, 5828),
    )
    expect(patternOf(flipped(states, 5808, 5809), states, '22V10')).toBeNull()
    expect(patternOf(flipped(states, 5808, 5809, 5810), states, '22V10')).toEqual({ kind: 'tail-only' })
  })

  test('not single polarity fuses', () => {
    expect(patternOf(SPARSE, flipped(SPARSE, 2048, 2049, 2050), '16V8')).toBeNull()
  })
})

describe('a stuck column or row', () => {
  const column = (index: number, state: number, rows: readonly number[]): States =>
    changed(SMALL, (copy) => rows.forEach((row) => (copy[row * WIDTH + index] = state)))
  const rowsWith = (index: number, state: number): number[] =>
    Array.from({ length: 16 }, (_, row) => row).filter((row) => SMALL[row * WIDTH + index] === state)
  // Column 0 carries pin 2: the first of every four rows reads it; column 26 and 27 pin 11 and its complement.

  test.each([0, 1])('a column of which all differences read %i', (state) => {
    for (const index of [0, 26]) {
      const rows = rowsWith(index, 1 - state)
      expect(rows.length).toBeGreaterThanOrEqual(3)
      expect(patternOf(SMALL, column(index, state, rows))).toEqual({
        kind: 'stuck-column',
        index,
        state,
        count: rows.length,
      })
      expect(patternOf(SMALL, column(index, state, rows.slice(0, 3)))).toEqual({
        kind: 'stuck-column',
        index,
        state,
        count: 3,
      })
    }
  })

  test('not with two differences, nor with two states, nor with one fuse elsewhere', () => {
    const [zeros, ones] = [rowsWith(26, 0), rowsWith(26, 1)]
    expect(patternOf(SMALL, column(26, 1, zeros.slice(0, 2)))).toBeNull()
    expect(patternOf(SMALL, flipped(column(26, 1, zeros), ones[0]! * WIDTH + 26))).toBeNull()
    expect(patternOf(SMALL, flipped(column(26, 1, zeros), 5))).toBeNull()
  })

  test.each([0, 1])('a row of which all differences read %i', (state) => {
    const row = 2
    const own = changed(SMALL, (copy) => copy.fill(state, row * WIDTH, (row + 1) * WIDTH))
    const count = SMALL.slice(row * WIDTH, (row + 1) * WIDTH).filter((each) => each !== state).length
    // Three literals in a row: reading 1 differs in three fuses, reading 0 in the other 25.
    expect(count).toBe(state ? 3 : 25)
    expect(patternOf(SMALL, own)).toEqual({ kind: 'stuck-row', index: row, state, count })
    expect(patternOf(SMALL, flipped(own, 300))).toBeNull()
  })

  test('not two fuses of a row', () => {
    // The connected fuses of row 2 are those of its three literals.
    const connected = Array.from({ length: WIDTH }, (_, i) => 2 * WIDTH + i).filter((fuse) => SMALL[fuse] === 0)
    expect(patternOf(SMALL, flipped(SMALL, ...connected.slice(0, 2)))).toBeNull()
    expect(patternOf(SMALL, flipped(SMALL, ...connected))).toMatchObject({ kind: 'stuck-row', index: 2, count: 3 })
  })

  test('not a row in which a term was edited: the row itself does not read alike', () => {
    // Three fuses that are open in row 2 read connected: three more literals, and the others stay open.
    const open = Array.from({ length: WIDTH }, (_, i) => 2 * WIDTH + i).filter((fuse) => SMALL[fuse] === 1)
    expect(patternOf(SMALL, flipped(SMALL, ...open.slice(0, 3)))).toBeNull()
  })

  test('no difference, no name', () => {
    expect(patternOf(SMALL, SMALL)).toBeNull()
    expect(patternOf(LARGE, LARGE, '16V8')).toBeNull()
  })
})

describe('alike from a row on', () => {
  /** From a fuse on all in one state; the rows of the array are 28 fuses wide, and it has nothing behind it. */
  const from = (fuse: number, state: number): States => changed(SMALL, (copy) => copy.fill(state, fuse))
  const wrongIn = (other: States): number[] => [...other.keys()].filter((fuse) => other[fuse] !== SMALL[fuse])

  test.each([0, 1])('all %i, with the first fuse that is wrong', (state) => {
    for (const row of [2, 5, 14]) {
      const readback = from(row * WIDTH, state)
      const wrong = wrongIn(readback)
      expect(patternOf(SMALL, readback)).toEqual({
        kind: 'alike-from-row',
        index: row,
        fuse: wrong[0],
        state,
        count: wrong.length,
      })
    }
  })

  test('the end of one row alone is none, also where all rows behind are that state on both sides', () => {
    // The only term of pin 16, in row 4: 112 and up. From fuse 126 on its ones are read as zeros.
    const lone = encode({ part: '14L4', mode: null, outputs: [output(16, [[2, 3]])] })
    expect(patternOf(lone, changed(lone, (copy) => copy.fill(0, 126)))).toBeNull()
  })

  test('from the middle of a row', () => {
    const readback = from(3 * WIDTH + 14, 0)
    expect(patternOf(SMALL, readback)).toMatchObject({ index: 3, fuse: wrongIn(readback)[0] })
  })

  test('what is behind the array is right, or reads alike too', () => {
    const lost = changed(LARGE, (copy) => copy.fill(1, 40 * 32, 64 * 32))
    expect(patternOf(LARGE, lost, '16V8')).toMatchObject({ kind: 'alike-from-row', index: 40, state: 1 })
    // Fuse 2048 is the polarity of pin 19, which is active high: it is 1, and 0 is not what the array reads.
    expect(patternOf(LARGE, flipped(lost, 2048), '16V8')).toBeNull()
  })

  test('not with a fuse besides, nor where the end of the array is right, nor in one row', () => {
    expect(patternOf(SMALL, flipped(from(5 * WIDTH, 1), 30))).toBeNull()
    expect(
      patternOf(
        SMALL,
        changed(SMALL, (copy) => copy.fill(1, 5 * WIDTH, 15 * WIDTH)),
      ),
    ).toBeNull()
    expect(patternOf(SMALL, from(15 * WIDTH, 1))).toMatchObject({ kind: 'stuck-row' })
  })
})

describe('of two that fit, the first counts', () => {
  test('shifted before repeated halves', () => {
    // A read-back with equal halves; the intended map is the same one fuse earlier, but for its last fuse.
    const readback = flipped(SMALL, 100, 324)
    const intended = readback.map((_, fuse) => readback[fuse + 1] ?? 1 - readback[0]!)
    expect(patternOf(intended, readback)).toEqual({ kind: 'shifted', by: 1 })
    expect(patternOf(flipped(intended, 50), readback)).toEqual({ kind: 'repeated-halves' })
  })

  test('repeated halves before a stuck column', () => {
    // Column 6 carries pin 19, which no row reads.
    const intended = flipped(SMALL, ...[8, 9, 10].map((row) => row * WIDTH + 6))
    expect(patternOf(intended, SMALL)).toEqual({ kind: 'repeated-halves' })
    const other = flipped(intended, 2)
    expect(patternOf(other, flipped(SMALL, 2))?.kind).toBe('stuck-column')
  })

  test('idle rows before a stuck row or column', () => {
    const row = 20 * 32
    expect(patternOf(SPARSE, flipped(SPARSE, row + 3, row + 5, row + 7), '16V8')).toEqual({ kind: 'idle-rows-only' })
    expect(patternOf(SPARSE, flipped(SPARSE, row + 3, row + 35, row + 67), '16V8')).toEqual({
      kind: 'idle-rows-only',
    })
  })
})

test('parts that differ have no pattern', () => {
  const a = encode({ part: '16L8', mode: null, outputs: [output(18, [[2]])] })
  const b = encode({ part: '16V8', mode: 'complex', outputs: [output(18, [[2]])] })
  expect(
    compare(fuseMapFrom(a.join('')), fuseMapFrom(b.join('')), { device: '16L8', otherDevice: '16V8' }).pattern,
  ).toBeNull()
})

test('a random scatter has no name', () => {
  const named: string[] = []
  for (let seed = 61_000; seed < 61_000 + sampleSize(30, 400); seed++) {
    const random = seededRandom(seed)
    const [states, device] = seed % 3 ? [LARGE, '16V8'] : [SMALL, '14L4']
    // Not all in one row or column, which is for the tests above: the fuses are drawn without regard to either.
    const fuses = shuffled(
      random,
      Array.from({ length: 60 }, () => random(states.length)),
    ).slice(0, 5 + random(40))
    const pattern = patternOf(states, flipped(states, ...new Set(fuses)), device)
    if (pattern) named.push(`seed ${seed}: ${JSON.stringify(pattern)}`)
  }
  expect(named).toEqual([])
})

test('every pattern has its entry in the catalogue', () => {
  const kinds = [
    'shifted',
    'repeated-halves',
    'signature-only',
    'idle-rows-only',
    'tail-only',
    'stuck-column',
    'stuck-row',
    'alike-from-row',
    'all-alike',
    'array-alike',
  ]
  expect(
    Object.keys(findingCatalogue())
      .filter((code) => code.startsWith('readback/'))
      .sort(),
  ).toEqual(kinds.map((kind) => `readback/${kind}`).sort())
})
