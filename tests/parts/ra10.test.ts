/**
 * 20RA10 by hand: every register with a clock, a reset and a preset of its own. Lattice GAL20RA10 data sheet,
 * 20ra10_02:
 * p. 3 (text and table), p. 4 (figures), p. 8 (preload), p. 11 (power-up).
 */
import { expect, test } from 'vitest'
import { roleOf } from '../../src/logic'
import type { DesignOutput, Term } from './design'
import { encode } from './encoder'
import { decodeStates, probe, type Conditions } from './probe'

type Rows = Partial<Pick<DesignOutput, 'activeHigh' | 'terms' | 'clock' | 'reset' | 'preset'>> & {
  readonly enable?: Term
}

/** An output that pin 13 alone switches, unless a term is given. */
function cell(pin: number, { enable = [], activeHigh = true, terms = [], ...rows }: Rows): DesignOutput {
  return { pin, kind: 'registered', activeHigh, enable: { term: enable, lowPin: 13 }, terms, ...rows }
}

function mapOf(...outputs: readonly DesignOutput[]): Uint8Array {
  return encode({ part: '20RA10', mode: null, outputs })
}

/** Outputs on, preload off. */
const ON = { 1: '1', 13: '0' }

function run(
  states: Uint8Array,
  vectors: readonly Conditions[],
  registers: 'unknown' | 'power-up' = 'unknown',
): string[] {
  return probe(
    states,
    vectors.map((conditions) => ({ ...ON, ...conditions })),
    { part: '20RA10', registers },
  )
}

test.each([true, false])('a term clocks the register at its rising edge, active high: %s', (activeHigh) => {
  const states = mapOf(cell(23, { activeHigh, clock: [2, 3], terms: [[4]] }))
  const on = activeHigh ? '1' : '0'
  const off = activeHigh ? '0' : '1'
  const vectors = [
    { 2: '0', 3: '1', 4: '1', 23: '?' },
    { 2: '1', 3: '1', 4: '1', 23: '?' },
    { 2: '1', 3: '1', 4: '0', 23: '?' },
    { 2: '0', 3: '1', 4: '0', 23: '?' },
    { 2: '0', 3: '0', 4: '0', 23: '?' },
    { 2: '1', 3: '0', 4: '0', 23: '?' },
    { 2: '1', 3: '1', 4: '0', 23: '?' },
  ]
  // Power-up is high whatever the polarity. Clocked at the second vector, held, and clocked again at the last.
  expect(run(states, vectors, 'power-up')).toEqual(['1', on, on, on, on, on, off])
})

test('the complement column makes a falling-edge clock', () => {
  const states = mapOf(cell(23, { clock: [-2], terms: [[4]] }))
  const vectors = [
    { 2: '1', 4: '0', 23: '?' },
    { 2: '0', 4: '0', 23: '?' },
    { 2: '0', 4: '1', 23: '?' },
    { 2: '1', 4: '1', 23: '?' },
    { 2: '0', 4: '1', 23: '?' },
  ]
  expect(run(states, vectors, 'power-up')).toEqual(['1', '0', '0', '0', '1'])
})

test('a clock row that is constant, 0 or 1, never clocks', () => {
  for (const rows of [{}, { clock: [] }]) {
    const states = mapOf(cell(23, { ...rows, terms: [[4]] }))
    expect(
      run(
        states,
        [
          { 4: '0', 23: '?' },
          { 4: '1', 23: '?' },
          { 4: '0', 23: '?' },
        ],
        'power-up',
      ),
    ).toEqual(['1', '1', '1'])
  }
})

test.each([true, false])(
  'reset makes the pin high and preset low, at once and whatever the clock does, active high: %s',
  (activeHigh) => {
    const states = mapOf(cell(23, { activeHigh, clock: [2], reset: [3], preset: [4], terms: [[5]] }))
    // The sum that would bring the opposite level: after reset the clock would make the pin low, after preset high.
    const low = activeHigh ? '0' : '1'
    const high = activeHigh ? '1' : '0'
    const vectors = [
      { 2: '0', 3: '1', 4: '0', 5: low, 23: '?' },
      { 2: '1', 3: '1', 4: '0', 5: low, 23: '?' },
      { 2: '0', 3: '0', 4: '0', 5: low, 23: '?' },
      { 2: '0', 3: '0', 4: '1', 5: high, 23: '?' },
      { 2: '1', 3: '0', 4: '1', 5: high, 23: '?' },
      { 2: '0', 3: '0', 4: '0', 5: high, 23: '?' },
      { 2: '1', 3: '0', 4: '0', 5: high, 23: '?' },
    ]
    expect(run(states, vectors)).toEqual(['1', '1', '1', '0', '0', '0', '1'])
  },
)

test.each([true, false])('reset and preset together bypass the register, active high: %s', (activeHigh) => {
  const states = mapOf(cell(23, { activeHigh, clock: [2], reset: [3], preset: [4], terms: [[5, 6]] }))
  const both = (five: number, six: number): Conditions => ({
    2: '0',
    3: '1',
    4: '1',
    5: String(five),
    6: String(six),
    23: '?',
  })
  const expected = [0, 0, 0, 1].map((level) => String(activeHigh ? level : 1 - level))
  expect(run(states, [both(0, 0), both(0, 1), both(1, 0), both(1, 1)])).toEqual(expected)
  // One that remains decides; both gone at once leave what no sheet defines.
  expect(run(states, [both(0, 0), { ...both(0, 0), 3: '0' }, both(0, 0), { ...both(0, 0), 4: '0' }])).toEqual([
    expected[0],
    '0',
    expected[0],
    '1',
  ])
  expect(run(states, [both(1, 1), { ...both(1, 1), 3: '0', 4: '0' }])).toEqual([expected[3], 'X'])
})

test('both rows all blown make a fixed combinational output', () => {
  const states = mapOf(cell(14, { reset: [], preset: [], terms: [[2, -3], [11]] }))
  const table = [
    [0, 0, 0],
    [1, 0, 0],
    [1, 1, 0],
    [0, 1, 1],
  ]
  expect(
    run(
      states,
      table.map(([two, three, eleven]) => ({ 2: String(two), 3: String(three), 11: String(eleven), 14: '?' })),
    ),
  ).toEqual(['0', '1', '0', '1'])
})

test('enabled needs the row and pin 13 low', () => {
  const states = mapOf(cell(23, { enable: [2, -3], reset: [], preset: [], terms: [[4]] }))
  const vectors = ['00', '10', '11', '01'].flatMap((levels) =>
    ['0', '1'].map((off) => ({ 2: levels[0]!, 3: levels[1]!, 4: '1', 13: off, 23: '?' })),
  )
  expect(run(states, vectors)).toEqual(['Z', 'Z', '1', 'Z', 'Z', 'Z', 'Z', 'Z'])
  const never: DesignOutput = { ...cell(23, { reset: [], preset: [], terms: [[]] }), enable: 'never' }
  expect(run(mapOf(never), [{ 23: '?' }])).toEqual(['Z'])
})

test('the array reads the pin, of registers too', () => {
  // Pin 22 copies pin 23, whose register holds Q = 0 after reset: high while it drives, what is applied while it is
  // off.
  const states = mapOf(cell(23, { enable: [2], reset: [3] }), cell(22, { reset: [], preset: [], terms: [[23]] }))
  const at = (on: string, conditions: Conditions): Conditions => ({ 2: on, 3: '1', 22: '?', ...conditions })
  expect(run(states, [at('1', {}), at('0', { 23: '0' }), at('0', { 23: '1' }), at('1', { 23: 'N' })])).toEqual([
    '1',
    '0',
    '1',
    '1',
  ])
})

test('pin 1 low loads what is applied to outputs that are off, and the pin shows it afterwards', () => {
  const states = mapOf(
    cell(23, { clock: [2], terms: [[-23]] }),
    cell(22, { activeHigh: false, clock: [2] }),
    cell(14, { clock: [2], enable: [3] }),
  )
  const load = { 1: '0', 2: '0', 3: '1', 13: '1' }
  const show = { 1: '1', 2: '0', 3: '1', 13: '0', 14: '?', 22: '?', 23: '?' }
  const keep = { ...load, 1: '1' }
  // Pins ascending: 14, 22, 23.
  expect(run(states, [{ ...load, 23: '1', 22: '0', 14: '1' }, { ...keep, 23: '1', 22: '0', 14: '1' }, show])).toEqual(
    ['', '', '101'],
  )
  expect(run(states, [{ ...load, 23: '0', 22: '1', 14: '0' }, { ...keep, 23: '0', 22: '1', 14: '0' }, show])).toEqual(
    ['', '', '010'],
  )
  // While it is low it follows the pins; released, it keeps the last.
  expect(
    run(states, [
      { ...load, 23: '0', 22: '1', 14: '0' },
      { ...load, 23: '1', 22: '1', 14: '1' },
      { ...keep, 23: '1', 22: '1', 14: '1' },
      { ...keep, 23: '0', 22: '0', 14: '0' },
      show,
    ]),
  ).toEqual(['', '', '', '', '111'])
  // Released in the very vector that changes the levels, it may keep the old or the new ones (setup and hold, p. 8).
  expect(run(states, [{ ...load, 23: '1', 22: '1', 14: '1' }, { ...keep, 23: '0', 22: '0', 14: '0' }, show])).toEqual(
    ['', '', 'XXX'],
  )
})

test('an enabled output keeps its state while pin 1 is low', () => {
  const states = mapOf(cell(23, { clock: [2], terms: [[4]], reset: [5] }))
  expect(
    run(states, [
      { 1: '1', 2: '0', 4: '0', 5: '1', 23: '?' },
      { 1: '1', 2: '0', 4: '0', 5: '0', 23: '?' },
      { 1: '0', 2: '0', 4: '0', 5: '0', 23: '?' },
      { 1: '1', 2: '0', 4: '0', 5: '0', 23: '?' },
    ]),
  ).toEqual(['1', '1', '1', '1'])
})

const STAGES = [23, 22, 21, 20, 19, 18]

/**
 * Every stage takes the opposite of its pin when the pin before it falls: the count is in the pins, first stage
 * lowest.
 */
const RIPPLE = mapOf(
  ...STAGES.map((pin, i) => cell(pin, { clock: i === 0 ? [2] : [-STAGES[i - 1]!], terms: [[-pin]], preset: [3] })),
)

test('a ripple counter of six stages counts through all its states', () => {
  const asked = Object.fromEntries(STAGES.map((pin) => [pin, '?']))
  const pulses = Array.from({ length: 130 }, (_, i) => ({ 2: String(1 - (i % 2)), 3: '0', ...asked }))
  const found = run(RIPPLE, [{ 2: '0', 3: '1', ...asked }, { 2: '0', 3: '0', ...asked }, ...pulses])
  // Pins ascending are stages from the highest down, so each text is the count in binary. Preset: pins low.
  const count = (value: number): string => (value % 64).toString(2).padStart(6, '0')
  // One count a rising edge, which is every first of two vectors.
  expect(found).toEqual([count(0), count(0), ...pulses.map((_, i) => count(Math.floor(i / 2) + 1))])
})

test('a stage that clocks on the rise of the one before counts down', () => {
  const states = mapOf(
    ...STAGES.map((pin, i) => cell(pin, { clock: [i === 0 ? 2 : STAGES[i - 1]!], terms: [[-pin]], reset: [3] })),
  )
  const asked = Object.fromEntries(STAGES.map((pin) => [pin, '?']))
  const found = run(states, [
    { 2: '0', 3: '1', ...asked },
    { 2: '0', 3: '0', ...asked },
    ...Array.from({ length: 70 }, () => ({ 2: 'C', 3: '0', ...asked })),
  ])
  expect(found).toEqual(
    [63, 63, ...Array.from({ length: 70 }, (_, i) => (63 - (i + 1) + 128) % 64)].map((value) =>
      value.toString(2).padStart(6, '0'),
    ),
  )
})

test('the control rows of a block are told by their use', () => {
  const decoded = decodeStates(RIPPLE, '20RA10')
  // Pin 14 has rows 72 to 79, 40 fuses each: 2880 to 3199.
  expect(Array.from({ length: 8 }, (_, row) => roleOf(decoded, 2880 + 40 * row).role)).toEqual([
    'output-enable',
    'clock',
    'reset',
    'preset',
    'and',
    'and',
    'and',
    'and',
  ])
  expect(roleOf(decoded, 3199)).toMatchObject({ pin: 14, row: 79, column: 39, input: { pin: 14, complement: true } })
  expect(roleOf(decoded, 3209)).toMatchObject({ role: 'polarity', pin: 14 })
})

test('a map without a signature has 3210 fuses, and counts alike', () => {
  const short = RIPPLE.slice(0, 3210)
  expect(decodeStates(short, '20RA10').signature).toBeNull()
  expect(
    run(short, [
      { 2: '0', 3: '1', 23: '?' },
      { 2: '0', 3: '0' },
      { 2: '1', 3: '0', 23: '?' },
    ]),
  ).toEqual(['0', '', '1'])
})
