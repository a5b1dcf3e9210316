/**
 * The octal down counter that Monolithic Memories published as PAL design specification P7059 (PAL20X8, 27 April 1982):
 * the first sixteen rows of its function table, on a map built from its equations. It holds exclusive-or, polarity,
 * feedback, output control and clock, and not the numbers of fuses.
 */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, readFuseFile, simulate, verify, writeFuseFile } from '../../src/index'
import { exercise, grade } from '../../src/vectors'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { prepareFast } from '../../src/logic/fast-logic'
import { runVectors, STRICT } from '../../src/jobs/vectors/run-vectors'
import { cellAt, encode, firstFuseOf, literalFuse, tableOf } from '../parts/encoder'
import type { Design, DesignOutput, PinLiteral } from '../parts/design'
import { vectorOf } from '../parts/function-tables'
import { granted } from '../granted'

const [CLOCK, I0, I1, CONTROL, BORROW_OUT, BORROW_IN] = [1, 2, 11, 13, 14, 23]
const BITS = [0, 1, 2, 3, 4, 5, 6, 7]
const dataPin = (bit: number): number => 3 + bit
const countPin = (bit: number): number => 22 - bit
const not = (pin: number): PinLiteral => -pin
const lowBits = (count: number): PinLiteral[] => BITS.slice(0, count).map((bit) => not(countPin(bit)))

/** Its equations, of the complements: load or count, exclusive-ored with hold or count. */
const DESIGN: Design = {
  part: '20X8',
  mode: null,
  clockPin: CLOCK,
  outputs: [
    ...BITS.map((bit): DesignOutput => ({
      pin: countPin(bit),
      kind: 'registered',
      activeHigh: false,
      enable: { lowPin: CONTROL },
      terms: [
        [I1, not(I0), not(dataPin(bit))],
        [I1, I0, not(BORROW_IN), ...lowBits(bit)],
      ],
      otherTerms: [[I0, not(countPin(bit))]],
    })),
    {
      pin: BORROW_OUT,
      kind: 'combinational',
      activeHigh: false,
      enable: 'always',
      terms: [[not(BORROW_IN), ...lowBits(8)]],
    },
  ],
}

interface Row {
  readonly mode: 'load' | 'count' | 'hold' | 'set'
  readonly data?: number
  readonly borrowIn?: '0' | '1'
  /** Pin 14 and pins 22 to 15 after the clock; no number: the outputs are off. */
  readonly borrowOut: 'H' | 'L'
  readonly count?: number
}

/** I1 and I0: HL loads, HH counts down, LH holds, LL sets all. */
const MODES = { load: '10', count: '11', hold: '01', set: '00' }

function vector({ mode, data = 0, borrowIn = '0', borrowOut, count }: Row): string {
  const conditions = new Map([
    [CLOCK, 'C'],
    [I1, MODES[mode][0]!],
    [I0, MODES[mode][1]!],
    [CONTROL, count === undefined ? '1' : '0'],
    [BORROW_IN, borrowIn],
    [BORROW_OUT, borrowOut],
  ])
  for (const bit of BITS) {
    conditions.set(dataPin(bit), String((data >> bit) & 1))
    conditions.set(countPin(bit), count === undefined ? 'Z' : 'LH'[(count >> bit) & 1]!)
  }
  return vectorOf(conditions, 24)
}

/** Rows 1 to 14 by turns: load, count; the table says nothing of pin 23 in a load. Row 15 loads 00, row 16 counts. */
const LOADED = [0xfe, 0xfc, 0xf8, 0xf0, 0xe0, 0xc0, 0x80]
const COUNTED = [0xfd, 0xfb, 0xf7, 0xef, 0xdf, 0xbf, 0x7f]
const PRINTED: readonly Row[] = [
  ...LOADED.flatMap((data, i): Row[] => [
    { mode: 'load', data, borrowOut: 'H', count: data },
    { mode: 'count', borrowOut: 'H', count: COUNTED[i]! },
  ]),
  { mode: 'load', data: 0, borrowOut: 'L', count: 0 },
  { mode: 'count', borrowOut: 'H', count: 0xff },
]

/** What its equations say beside the sixteen rows: hold, set, no borrow in, outputs off while it goes on. */
const FURTHER: readonly Row[] = [
  { mode: 'load', data: 0x5a, borrowOut: 'H', count: 0x5a },
  { mode: 'hold', data: 0xff, borrowOut: 'H', count: 0x5a },
  { mode: 'count', borrowIn: '1', borrowOut: 'H', count: 0x5a },
  { mode: 'count', borrowOut: 'H' },
  { mode: 'hold', borrowOut: 'H', count: 0x59 },
  { mode: 'load', data: 0, borrowIn: '1', borrowOut: 'H', count: 0 },
  { mode: 'hold', borrowOut: 'L' },
  { mode: 'hold', borrowIn: '1', borrowOut: 'H', count: 0 },
  { mode: 'set', borrowOut: 'H', count: 0xff },
]

const STATES = encode(DESIGN)

function fileOf(states: Uint8Array, vectors: readonly string[]): Uint8Array {
  return writeFuseFile({
    fuses: fuseMapFrom(states.join('')),
    vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
  })
}

describe('the sixteen printed rows', () => {
  const vectors = PRINTED.map(vector)

  test('hold: 16 vectors, of 9 levels each', () => {
    expect(vectors).toHaveLength(16)
    expect(vectors.join('').match(/[HL]/g)).toHaveLength(144)
    const report = verify(fileOf(STATES, vectors), { device: '20X8' })
    expect(report.testVectors).toMatchObject({ count: 16, passed: 16, failed: 0, undetermined: 0 })
  })

  test('hold on the reference simulation and on the fast one, with whatever level pin 23 has in a load', () => {
    const { logic } = decode(findDevice('20X8')!, fuseMapFrom(STATES.join('')))
    if (!logic) throw new Error('no logic')
    // Fast where it is fast: else both runs would be the same one.
    expect(prepareFast(logic)).not.toBeNull()
    for (const borrowIn of ['0', '1'] as const) {
      const rows = PRINTED.map((row) => (row.mode === 'load' && row.data !== 0 ? { ...row, borrowIn } : row))
      const set = { ...readFuseFile(fileOf(STATES, rows.map(vector))), pinOrder: null, defaultCondition: null }
      for (const reference of [true, false]) {
        const { results } = runVectors(logic, set, STRICT, { explain: false, reference })
        expect(results.map(({ result }) => result)).toEqual(PRINTED.map(() => 'passed'))
      }
    }
  })

  test('each of the 144 levels is judged: its opposite fails, alone', () => {
    const wrong = vectors.flatMap((conditions, row) =>
      [...conditions].flatMap((level, i) => {
        if (!'HL'.includes(level)) return []
        const other = `${conditions.slice(0, i)}${level === 'H' ? 'L' : 'H'}${conditions.slice(i + 1)}`
        const { results } = granted(
          simulate(fileOf(STATES, []), {
            device: '20X8',
            vectors: vectors.map((each, at) => (at === row ? other : each)),
          }),
        )
        const failed = results.flatMap(({ number, checks }) =>
          checks.filter(({ result }) => result === 'failed').map(({ pin }) => [number, pin].join()),
        )
        return failed.join(' ') === [row + 1, i + 1].join() ? [] : [`row ${row + 1} pin ${i + 1}: ${failed.join(' ')}`]
      }),
    )
    expect(wrong).toEqual([])
  })
})

test('hold, set, no borrow and output control, by its equations', () => {
  const { results } = granted(simulate(fileOf(STATES, []), { device: '20X8', vectors: FURTHER.map(vector) }))
  expect(results.map(({ result }) => result)).toEqual(FURTHER.map(() => 'passed'))
})

/** Fuses of which each does another thing, with the state that the map does not have. */
function changes(): readonly (readonly [string, number])[] {
  const table = tableOf(DESIGN)
  const fuse = (pin: number, row: number, literal: number): number =>
    literalFuse(table, firstFuseOf(table, pin, row), literal)
  // Rows 0 and 1 are the first sum, 2 and 3 the second; the first row of an output without register enables it.
  expect(cellAt(table, BORROW_OUT).rows).toBe(4)
  return [
    ['load loses its data', fuse(countPin(3), 0, not(dataPin(3)))],
    ['load takes another bit', fuse(countPin(3), 0, not(dataPin(4)))],
    ['count does not wait for bit 0', fuse(countPin(7), 1, not(countPin(0)))],
    ['hold forgets its own bit', fuse(countPin(0), 2, not(countPin(0)))],
    ['hold waits for another bit', fuse(countPin(5), 2, not(countPin(4)))],
    ['borrow goes out without one coming in', fuse(BORROW_OUT, 1, not(BORROW_IN))],
    ['borrow out is off in a load', fuse(BORROW_OUT, 0, I0)],
  ]
}

function changed(fuse: number): Uint8Array {
  return STATES.map((state, i) => (i === fuse ? 1 - state : state))
}

describe('made vectors', () => {
  const made = granted(exercise(fileOf(STATES, []), { device: '20X8' }))
  const file = readFuseFile(made.bytes)
  const conditions = file.vectors.map((each) => each.conditions ?? '')

  test('pass on the map, from unknown registers', () => {
    expect(made.start).toBe('unknown')
    const { testVectors } = verify(made.bytes, { device: '20X8' })
    expect(testVectors).toMatchObject({ count: made.vectors, passed: made.vectors, failed: 0, undetermined: 0 })
  })

  test.each(changes())('fail where %s', (_, fuse) => {
    const { results } = granted(
      simulate(fileOf(changed(fuse), []), { device: '20X8', vectors: conditions }),
    )
    expect(results.some(({ result }) => result === 'failed')).toBe(true)
  })

  test('show more faults than the printed rows do', () => {
    const printed = granted(grade(fileOf(STATES, PRINTED.map(vector)), { device: '20X8' }))
    // 40 rows of 40 fuses. 14 hold nothing (row 3 of the registers, rows 2 and 3 of pin 14, all of pin 23): with one
    // fuse changed 19 pairs are still whole, and the row constant 0 as before.
    const counts = { total: 40 * 40, cannotBeShown: 14 * 40 }
    expect(printed.faults).toMatchObject(counts)
    expect(made.faults).toMatchObject(counts)
    expect(made.faults.shown).toBeGreaterThan(printed.faults.shown)
  })
})
