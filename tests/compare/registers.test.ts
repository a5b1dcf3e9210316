/** Registers: what each part of them decides, where they start, and machines that are followed from their start. */
import { describe, expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { sharedNames, type LogicSide } from '../../src/jobs/compare/logic-sides'
import { followMachines } from '../../src/jobs/compare/state-machines'
import { findDevice, type Comparison } from '../../src/index'
import { decode } from '../../src/logic'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { next, start } from '../parts/straight'
import { sampleSize } from '../sample-size'
import { codesOf, compareDesigns, counterLevels, mapOf, output, outputAt, ratioAt } from './pairs'
import { replays, walk } from './machines'

function registered(pin: number, terms: readonly Term[], given: Partial<DesignOutput> = {}): DesignOutput {
  return { pin, kind: 'registered', activeHigh: false, enable: 'always', terms, ...given }
}

function v10(outputs: readonly DesignOutput[], given: Partial<Design> = {}): Design {
  return { ...V10, outputs, ...given }
}

function v8(outputs: readonly DesignOutput[]): Design {
  return {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: outputs.map((each) => (each.kind === 'registered' ? { ...each, enable: { lowPin: 11 } } : each)),
  }
}

/** Inputs 2 to 9 and the clock stay; the enable, pin 11, becomes 10; outputs 12 to 19 become 14 to 21. */
const PINS = {
  1: 1,
  2: 2,
  3: 3,
  4: 4,
  5: 5,
  6: 6,
  7: 7,
  8: 8,
  9: 9,
  11: 10,
  12: 14,
  13: 15,
  14: 16,
  15: 17,
  16: 18,
  17: 19,
  18: 20,
  19: 21,
}
const OFF_BY_10 = { enable: { term: [-10] } } as const

describe('polarity before the register and after it', () => {
  test('active low: the same at the pin, and the same start', () => {
    // 16V8: pin = ¬Q, Q takes the sum. 22V10: the same where S0 is 0. Both columns carry ¬Q. Both start high.
    const a = v8([registered(19, [[2, -19], [3]])])
    const b = v10([registered(21, [[3], [2, -21]], OFF_BY_10)])
    const comparison = compareDesigns(a, b, { pins: PINS })
    expect(comparison).toMatchObject({ relation: 'equivalent', basis: 'logic', verdict: 'pass' })
    expect(codesOf(comparison)).toEqual([])
  })

  // 16V8: Q takes the complement of the sum, pin = ¬Q is the sum; it starts high. 22V10: Q takes the sum, pin = Q; it
  // starts low, and its column carries ¬Q, the complement of the pin (GAL16V8 data sheet p. 4 and 20, GAL22V10 p. 3 and
  // 13).
  const high = v8([registered(19, [[2, -19], [3]], { activeHigh: true })])
  const after = v10([registered(21, [[2, 21], [3]], { activeHigh: true, ...OFF_BY_10 })])

  test('active high: the same but for the start', () => {
    const comparison = compareDesigns(high, after, { pins: PINS })
    expect(comparison.relation).toBe('different')
    expect(outputAt(comparison, 19)).toMatchObject({
      relation: 'different',
      differsIn: ['power-up'],
      differingInputs: '0',
      counterexample: { inputs: {}, state: {}, intended: 'H', readback: 'L', sequence: null },
    })
    expect(codesOf(comparison)).toEqual(['compare/different'])
  })

  test('the start can be stated, or said to be unknown', () => {
    expect(compareDesigns(high, after, { pins: PINS, otherPowerUp: 'high' })).toMatchObject({
      relation: 'equivalent',
    })
    expect(codesOf(compareDesigns(high, after, { pins: PINS, otherPowerUp: 'high' }))).toEqual([])
    expect(compareDesigns(high, after, { pins: PINS, powerUp: 'low' }).relation).toBe('equivalent')
    expect(compareDesigns(high, after, { pins: PINS, powerUp: 'low', otherPowerUp: 'high' }).relation).toBe(
      'different',
    )
    for (const options of [
      { powerUp: 'unknown' },
      { otherPowerUp: 'unknown' },
      { powerUp: 'unknown', otherPowerUp: 'unknown' },
    ] as const) {
      const comparison = compareDesigns(high, after, { pins: PINS, ...options })
      expect(comparison).toMatchObject({ relation: 'equivalent', verdict: 'caution' })
      expect(codesOf(comparison)).toEqual(['compare/power-up-open'])
    }
  })

  test('feedback of the other sense is another next state', () => {
    const wrong = v10([registered(21, [[2, -21], [3]], { activeHigh: true, ...OFF_BY_10 })])
    // 16V8: p2 ∧ ¬pin ∨ p3. Here: p2 ∧ pin ∨ p3. They differ where p2 is 1 and p3 is 0, whatever the state: 1/4.
    const comparison = compareDesigns(high, wrong, { pins: PINS })
    expect(outputAt(comparison, 19)).toMatchObject({ relation: 'different', differsIn: ['next-state'] })
    expect(ratioAt(comparison, 19)).toBe('1/4')
  })
})

test('the state of a counterexample is that of the intended part’s Q', () => {
  // The pin takes p2 ∧ ¬pin on one side and 0 on the other: they differ where the pin is low.
  const gal16 = v8([registered(19, [[2, -19]], { activeHigh: true })])
  const gal22 = v10([registered(21, [[2, -2]], { activeHigh: true, ...OFF_BY_10 })])
  const back = Object.fromEntries(Object.entries(PINS).map(([pin, other]) => [other, Number(pin)]))
  // The 16V8 shows ¬Q, the 22V10 with S0 1 shows Q.
  expect(outputAt(compareDesigns(gal16, gal22, { pins: PINS }), 19).counterexample).toMatchObject({
    state: { 19: 1 },
    intended: 'H',
    readback: 'L',
  })
  expect(outputAt(compareDesigns(gal22, gal16, { pins: back }), 21).counterexample).toMatchObject({
    state: { 21: 0 },
    intended: 'L',
    readback: 'H',
  })
})

describe('a start that is not published', () => {
  const pal: Design = {
    part: '16R8',
    mode: null,
    clockPin: 1,
    outputs: [registered(19, [[2]], { enable: { lowPin: 11 } })],
  }
  const gal = v8([19, 18, 17, 16, 15, 14, 13, 12].map((pin) => registered(pin, pin === 19 ? [[2]] : [])))

  test('is a warning beside equal logic', () => {
    const comparison = compareDesigns(pal, gal)
    expect(comparison).toMatchObject({ relation: 'equivalent', verdict: 'caution' })
    // The 2048 fuses of the one are the first of the other, which is said as well.
    expect(codesOf(comparison)).toEqual(['compare/power-up-open', 'compare/same-array'])
  })

  test('decides once it is stated for that side', () => {
    expect(codesOf(compareDesigns(pal, gal, { powerUp: 'high' }))).toEqual(['compare/same-array'])
    expect(outputAt(compareDesigns(pal, gal, { powerUp: 'low' }), 19).differsIn).toEqual(['power-up'])
    expect(compareDesigns(gal, pal, { otherPowerUp: 'high' }).relation).toBe('equivalent')
    expect(compareDesigns(gal, pal, { otherPowerUp: 'low' }).relation).toBe('different')
  })
})

/**
 * A next-state difference tried by straight evaluation: registers as the counterexample has them, then one rise of
 * pin 1.
 */
function shownAfterClock(design: Design, pin: number, comparison: Comparison): 'H' | 'L' {
  const { state } = outputAt(comparison, pin).counterexample!
  const low = new Map(counterLevels(outputAt(comparison, pin))).set(1, false)
  const registers = new Map(
    design.outputs.filter(({ kind }) => kind === 'registered').map((each) => [each.pin, state[each.pin] === 1]),
  )
  const after = next(design, start(design, low, registers), new Map(low).set(1, true))
  const q = after.registers.get(pin)!
  const { activeHigh } = design.outputs.find((each) => each.pin === pin)!
  return (design.registers ? q === activeHigh : !q) ? 'H' : 'L'
}

describe('one aspect alone', () => {
  test('the next state, counted over the inputs and states that decide it', () => {
    // p2 ∧ p3 against p2 ∧ ¬p3: they differ where p2 is 1.
    const [a, b] = [v8([registered(19, [[2, 3]])]), v8([registered(19, [[2, -3]])])]
    const comparison = compareDesigns(a, b)
    expect(outputAt(comparison, 19)).toMatchObject({ relation: 'different', differsIn: ['next-state'] })
    expect(ratioAt(comparison, 19)).toBe('1/2')
    const { counterexample } = outputAt(comparison, 19)
    expect([counterexample!.intended, counterexample!.readback]).toEqual([
      shownAfterClock(a, 19, comparison),
      shownAfterClock(b, 19, comparison),
    ])
  })

  test('the state of a counterexample is the level of Q, by pin', () => {
    // Q of pin 18 is 1 where the pin is low; the term reads ¬Q by its true column.
    const [a, b] = [
      v8([registered(18, [[2]]), registered(19, [[18]])]),
      v8([registered(18, [[2]]), registered(19, [])]),
    ]
    const comparison = compareDesigns(a, b)
    expect(ratioAt(comparison, 19)).toBe('1/2')
    expect(outputAt(comparison, 19).counterexample).toMatchObject({ state: { 18: 0 }, intended: 'L', readback: 'H' })
    // 22V10 with S0 1: the pin shows Q, and the column carries ¬Q.
    const [c, d] = [
      v10([registered(18, [[2]], { activeHigh: true }), registered(19, [[18]])]),
      v10([registered(18, [[2]], { activeHigh: true }), registered(19, [])]),
    ]
    expect(outputAt(compareDesigns(c, d), 19).counterexample).toMatchObject({
      state: { 18: 0 },
      intended: 'L',
      readback: 'H',
    })
    expect(shownAfterClock(c, 19, compareDesigns(c, d))).toBe('L')
  })

  test.each([
    ['held-high', false],
    ['held-low', true],
  ] as const)('the reset row: %s', (aspect, activeHigh) => {
    // Reset makes Q 0; the pin shows ¬Q or Q.
    const design = (reset: Term): Design => v10([registered(23, [[2]], { activeHigh })], { reset })
    const comparison = compareDesigns(design([5]), design([6]))
    expect(outputAt(comparison, 23).differsIn).toContain(aspect)
    // One of p5 and p6 alone resets in half of all cases. Half of the states are not the level of the reset, 1/4; of
    // the others half would leave it at the clock on the other side, 1/8.
    expect(ratioAt(comparison, 23)).toBe('3/8')
    expect(outputAt(compareDesigns(design([5]), design([5, 6])), 23).differsIn).toContain(aspect)
    expect(ratioAt(compareDesigns(design([5]), design([5, 6])), 23)).toBe('3/16')
  })

  test('the row that presets at the clock is part of the next state', () => {
    const design = (clockedPreset: Term): Design => v10([registered(23, [[2]])], { clockedPreset })
    const comparison = compareDesigns(design([5]), design([6]))
    // p5 ∨ p2 against p6 ∨ p2: p2 is 0 and the other two differ.
    expect(outputAt(comparison, 23).differsIn).toEqual(['next-state'])
    expect(ratioAt(comparison, 23)).toBe('1/4')
    expect(shownAfterClock(design([5]), 23, comparison)).toBe(outputAt(comparison, 23).counterexample!.intended)
  })

  test('what a reset hides does not count in the next state', () => {
    // While p5 resets, the sum does not matter: p2 ∧ p5 against p2 ∧ p5 ∧ p6.
    expect(
      compareDesigns(
        v10([registered(23, [[2, 5]])], { reset: [5] }),
        v10([registered(23, [[2, 5, 6]])], { reset: [5] }),
      ).relation,
    ).toBe('equivalent')
    expect(
      compareDesigns(
        v10([registered(23, [[2, 5]])], { reset: [7] }),
        v10([registered(23, [[2, 5, 6]])], { reset: [7] }),
      ).relation,
    ).toBe('different')
  })

  const ra10 = (given: Partial<DesignOutput>): Design => ({
    part: '20RA10',
    mode: null,
    registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
    outputs: [
      registered(23, [[2]], {
        enable: { term: [3], lowPin: 13 },
        clock: [4],
        reset: [5, 6],
        preset: [7, 8],
        ...given,
      }),
    ],
  })

  test.each([
    // The pin is ¬Q: a reset holds it high, a preset low.
    // A quarter of the inputs; no hold forbids the state in 3/4; a hold moves half of the states.
    ['clock', { clock: [4, 9] }, 'clock', '3/16'],
    ['reset', { reset: [5] }, 'held-high', '3/32'],
    ['preset', { preset: [7] }, 'held-low', '3/32'],
  ] as const)('a %s of a register’s own', (_, change, aspect, ratio) => {
    const comparison = compareDesigns(ra10({}), ra10(change))
    expect(outputAt(comparison, 23).differsIn).toContain(aspect)
    const others = outputAt(comparison, 23).differsIn.filter((each) => each !== aspect)
    // Reset and preset at once let the data pass, which is seen in the value as well.
    expect(others.every((each) => each !== 'clock' && aspect !== 'clock')).toBe(true)
    if (others.length === 0) expect(ratioAt(comparison, 23)).toBe(ratio)
    expect(outputAt(comparison, 23).counterexample!.intended).not.toBe(
      outputAt(comparison, 23).counterexample!.readback,
    )
  })

  test('the enable of a register', () => {
    const comparison = compareDesigns(
      v10([registered(23, [[2]], { enable: { term: [5] } })]),
      v10([registered(23, [[2]], { enable: { term: [5, 6] } })]),
    )
    expect(outputAt(comparison, 23)).toMatchObject({
      differsIn: ['enable'],
      counterexample: { inputs: { 5: 1, 6: 0 }, readback: 'Z' },
    })
    expect(ratioAt(comparison, 23)).toBe('1/4')
  })

  test('a register against the same sum without one', () => {
    const comparison = compareDesigns(v10([registered(23, [[2]])]), v10([output(23, [[2]])]))
    // The state is free: half of all states differ from the sum.
    expect(outputAt(comparison, 23).differsIn).toEqual(['value'])
    expect(ratioAt(comparison, 23)).toBe('1/2')
  })
})

describe('the clock pin’s own column', () => {
  test('reads 0 before the edge, so a register cannot tell', () => {
    // JEDEC 3-A, condition C: the pin goes from 0 to 1; data are taken as before.
    expect(compareDesigns(v10([registered(23, [[1, 2]])]), v10([registered(23, [[2, 3, -3]])])).relation).toBe(
      'equivalent',
    )
    expect(compareDesigns(v10([registered(23, [[-1, 2]])]), v10([registered(23, [[2]])])).relation).toBe('equivalent')
    // The same by straight evaluation: with pin 1 in the term Q takes 0.
    const low = new Map([...Array(25).keys()].map((pin) => [pin, pin === 2] as const))
    expect(
      next(
        v10([registered(23, [[1, 2]])]),
        start(v10([registered(23, [[1, 2]])]), low),
        new Map(low).set(1, true),
      ).registers.get(23),
    ).toBe(false)
  })

  test('and counts out of the ratio: the difference is that of the other inputs', () => {
    const comparison = compareDesigns(v10([registered(23, [[-1, 2]])]), v10([registered(23, [[2, 3]])]))
    expect(ratioAt(comparison, 23)).toBe('1/4')
  })

  test('is an input like others to what is not clocked', () => {
    const comparison = compareDesigns(v10([output(23, [[1, 2]])]), v10([output(23, [[2]])]))
    expect(outputAt(comparison, 23)).toMatchObject({
      differsIn: ['value'],
      counterexample: { inputs: { 1: 0, 2: 1 } },
    })
    expect(ratioAt(comparison, 23)).toBe('1/4')
  })
})

/** Three states in a ring, 11 → 01 → 10 → 11 as the pins show them; `stray`: a term that makes pin 19 high besides. */
function ring(stray: Term): Design {
  // 16V8, active high: the pin takes its sum, and columns carry the pins.
  return v8([
    registered(19, [[-19, 18], [19, -18], stray], { activeHigh: true }),
    registered(18, [[19]], { activeHigh: true }),
  ])
}

describe('states that are never reached', () => {
  // From 00 one ring stays at 00, the other goes to 10; both start at 11 and never come there.
  const [plain, other] = [ring([-19, -18, 2, -2]), ring([-19, -18])]

  test('do not tell two parts apart, and that is said', () => {
    expect(walk(plain, other, { inputs: [11] })).toEqual({ steps: null, states: 3 })
    const comparison = compareDesigns(plain, other)
    expect(comparison).toMatchObject({
      relation: 'equivalent',
      verdict: 'caution',
      machines: { result: 'equal', states: 3, sequence: null, pin: null },
    })
    expect(codesOf(comparison)).toEqual(['compare/from-start-only'])
    expect(outputAt(comparison, 19)).toMatchObject({ relation: 'equivalent', differsIn: [], counterexample: null })
  })

  test('do so where the start is stated to be there', () => {
    // From 00: one step of equal outputs, one clock, and pin 19 differs.
    const comparison = compareDesigns(plain, other, { powerUp: 'low', otherPowerUp: 'low' })
    expect(comparison).toMatchObject({ relation: 'different', machines: { result: 'different', pin: '19' } })
    expect(comparison.machines!.sequence).toHaveLength(2)
    expect(comparison.machines).toMatchObject({ intended: 'L', readback: 'H' })
  })

  test('leave it at different where the start is unknown', () => {
    const comparison = compareDesigns(plain, other, { powerUp: 'unknown', otherPowerUp: 'unknown' })
    expect(comparison).toMatchObject({ relation: 'different', machines: { result: 'open', reason: 'start-unknown' } })
    expect(codesOf(comparison)).toEqual(['compare/different', 'compare/power-up-open', 'compare/start-not-explored'])
    // Two of the three free pins of state and the enable decide: 00 is a quarter of the states.
    expect(ratioAt(comparison, 19)).toBe('1/4')
    expect(outputAt(comparison, 19).counterexample!.state).toEqual({ 18: 1, 19: 1 })
    // What differs is told as that; the open start is told of the other register.
    expect(comparison.findings.find(({ code }) => code === 'compare/power-up-open')!.message).toContain('pin 18 ')
  })

  test('are not searched past a limit', () => {
    expect(compareDesigns(plain, other, { maxStates: 3 }).relation).toBe('equivalent')
    const comparison = compareDesigns(plain, other, { maxStates: 2 })
    expect(comparison).toMatchObject({
      relation: 'undecided',
      machines: { result: 'open', reason: 'limit', states: 2 },
    })
    expect(codesOf(comparison).sort()).toEqual(['compare/start-not-explored', 'compare/undecided'])
  })

  test('an output that differs besides, only while the clock is high, is still told', () => {
    const machine = (terms: readonly Term[], stray: readonly Term[]): Design =>
      v10([
        registered(19, [[-19, 18], [19, -18], ...stray], { activeHigh: false }),
        registered(18, [[-19]]),
        output(23, terms),
      ])
    // Columns carry the pins here too. Ring in Q: 00 → … ; whatever it is, pin 23 answers to pin 1 on one side alone.
    const [a, b] = [machine([[1, 2]], []), machine([[1, 2, 3]], [[-19, -18, 5]])]
    expect(walk(a, b, { inputs: [2, 3, 5] }).steps).toBe(1)
    const comparison = compareDesigns(a, b)
    expect(comparison.relation).toBe('different')
    expect(outputAt(comparison, 23).relation).toBe('different')
  })
})

/**
 * Terms of the next state of a bit, over Q of registers (their columns carry ¬Q) and a count input, pin 2; kept while
 * it is low.
 */
type Next = readonly (readonly number[])[]
const q = (literals: readonly number[]): Term => literals.map((literal) => -literal)

function counter(bits: ReadonlyMap<number, Next>, states: readonly (readonly number[])[]): Design {
  return v10([
    ...[...bits].map(([pin, terms]) =>
      registered(pin, [...terms.map((term) => [2, ...q(term)]), [-2, ...q([pin])]], { enable: 'never' }),
    ),
    // Pins 14 to 17 are high in states 0 to 3.
    ...states.map((state, i) => output(14 + i, [q(state)], { activeHigh: true })),
  ])
}

const BINARY = counter(
  new Map([
    [23, [[-23]]],
    [
      22,
      [
        [22, -23],
        [-22, 23],
      ],
    ],
  ]),
  [
    [-22, -23],
    [-22, 23],
    [22, -23],
    [22, 23],
  ],
)
/** 00 → 01 → 11 → 10 (F. Gray, US patent 2,632,058). */
const GRAY = counter(
  new Map([
    [21, [[-20]]],
    [20, [[21]]],
  ]),
  [
    [-20, -21],
    [-20, 21],
    [20, 21],
    [20, -21],
  ],
)
/** State 0 is no register at 1, since all start at 0; then one after the other. */
const ONE_HOT = counter(
  new Map([
    [23, [[-23, -22, -21]]],
    [22, [[23]]],
    [21, [[22]]],
  ]),
  [[-21, -22, -23], [23], [22], [21]],
)

describe('two encodings of one counter', () => {
  test.each([
    ['binary and Gray', BINARY, GRAY],
    ['binary and one of four', BINARY, ONE_HOT],
    ['Gray and one of four', GRAY, ONE_HOT],
  ] as const)('%s are equal from the start on', (_, a, b) => {
    expect(walk(a, b, { inputs: [2] })).toEqual({ steps: null, states: 4 })
    const comparison = compareDesigns(a, b)
    expect(comparison).toMatchObject({
      relation: 'equivalent',
      verdict: 'caution',
      machines: { result: 'equal', states: 4 },
    })
    expect(codesOf(comparison)).toContain('compare/from-start-only')
    expect(comparison.outputs.every(({ relation }) => relation === 'equivalent')).toBe(true)
  })

  test.each([0, 1, 2, 3])('an error in state %i is found by a shortest sequence', (state) => {
    const wrong: Design = {
      ...GRAY,
      outputs: GRAY.outputs.map((each) =>
        each.pin === 14 + state ? { ...each, terms: [[...each.terms[0]!, 3]] } : each,
      ),
    }
    const { steps } = walk(BINARY, wrong, { inputs: [2, 3] })
    expect(steps).toBe(state + 1)
    const comparison = compareDesigns(BINARY, wrong)
    expect(comparison).toMatchObject({
      relation: 'different',
      verdict: 'fail',
      machines: { result: 'different', pin: String(14 + state), intended: 'H', readback: 'L' },
    })
    // Low and high for each clock; the last levels are those that stand after it.
    expect(comparison.machines!.sequence).toHaveLength(Math.max(1, 2 * state))
    expect(replays(BINARY, wrong, comparison.machines!.sequence!)).toBe(true)
  })
})

describe('registers that are never shown', () => {
  // A register behind a pin that is off, read by pin 14. With S0 1 the pin would show Q; the column carries ¬Q both
  // ways, so the same function of what the pin would show needs the other literals, and starts the other way round.
  const hidden = (activeHigh: boolean, sign: 1 | -1, enable: DesignOutput['enable'] = 'never'): Design =>
    v10([
      registered(
        23,
        activeHigh
          ? [
              [2, 23],
              [-2, -23],
            ]
          : [
              [-2, -23],
              [2, 23],
            ],
        { activeHigh, enable },
      ),
      output(14, [[23 * sign]], { activeHigh: true }),
    ])

  test('count by what they make others show from the start', () => {
    const [a, b] = [hidden(false, 1), hidden(true, -1)]
    // Toggles while pin 2 is high, so both are the same function of what their pins would show, and start apart.
    expect(walk(a, b, { inputs: [2] }).steps).toBe(1)
    const comparison = compareDesigns(a, b)
    expect(comparison).toMatchObject({ relation: 'different', machines: { result: 'different', pin: '14' } })
    expect(outputAt(comparison, 14)).toMatchObject({
      relation: 'different',
      differsIn: ['power-up'],
      counterexample: { intended: 'H', readback: 'L' },
    })
    expect(replays(a, b, comparison.machines!.sequence!)).toBe(true)
  })

  test('and are equal where the start is stated to be the same', () => {
    const comparison = compareDesigns(hidden(false, 1), hidden(true, -1), { powerUp: 'high', otherPowerUp: 'high' })
    expect(comparison.relation).toBe('equivalent')
    expect(codesOf(comparison)).toEqual([])
  })
})

/** Two inputs, two or three hidden registers, one or two outputs; all may read the clock pin too. */
function randomMachine(random: Random): Design {
  const pins = [23, 22, 21].slice(0, 1 + random(3))
  const term = (from: readonly number[]): Term => from.filter(() => random(2)).map((pin) => (random(2) ? pin : -pin))
  const terms = (from: readonly number[]): Term[] => Array.from({ length: 1 + random(3) }, () => term(from))
  const shared = random(3) === 0 ? { reset: [pick(random, [2, -2]), pick(random, [3, -3])] } : {}
  return v10(
    [
      ...pins.map((pin) =>
        registered(pin, terms([...(random(3) ? [] : [1]), 2, 3, ...pins]), {
          enable: 'never',
          activeHigh: random(2) === 1,
        }),
      ),
      ...[15, 14]
        .slice(0, 1 + random(2))
        .map((pin) => output(pin, terms([...pins, pick(random, [1, 2, 3])]), { activeHigh: random(2) === 1 })),
    ],
    shared,
  )
}

function sideOf(design: Design): LogicSide {
  return { logic: decode(findDevice(design.part)!, mapOf(design)).logic!, powerUp: 'published', names: null }
}

test('random machines: equal or not as the walk through all states says, as shortly, and each sequence plays', () => {
  const found = { equal: 0, different: 0, open: 0, longest: 0 }
  // 51,484: a reset after one edge shows the difference, which two edges show as well.
  const seeds = [...Array.from({ length: sampleSize(60, 2000) }, (_, i) => 51_000 + i), 51_484]
  for (const seed of seeds) {
    const random = seededRandom(seed)
    const a = randomMachine(random)
    // Every other machine against itself with one term changed, so that differences lie deep.
    const other = randomMachine(random)
    const changed = pick(random, a.outputs)
    const spare: Design = {
      ...a,
      outputs: a.outputs.map((each) =>
        each === changed
          ? {
              ...each,
              terms: each.terms.map((term, i) =>
                i ? term : [...new Set([...term, pick(random, [2, -2, 23, -23])])],
              ),
            }
          : each,
      ),
    }
    const b = seed % 4 ? spare : ({ ...other, ...(a.reset ? { reset: a.reset } : { reset: undefined }) } as Design)
    const limits = { maxNodes: 100_000, maxStates: 1000, watch: null }
    const { machines: result } = runPieces(
      followMachines([sideOf(a), sideOf(b)], { nameOf: sharedNames, ...limits }),
    )
    const walked = walk(a, b, { inputs: [2, 3] })
    if (result.result === 'open') {
      expect(result.reason, `seed ${seed}`).toBe('unsettled-resets')
      found.open++
      continue
    }
    found[result.result]++
    const clocks = result.sequence?.filter(
      (step, i) => step['1'] === 1 && result.sequence![i - 1]?.['1'] === 0,
    ).length
    expect([seed, result.result, clocks === undefined ? null : clocks + 1]).toEqual([
      seed,
      walked.steps === null ? 'equal' : 'different',
      walked.steps,
    ])
    if (result.sequence) expect([seed, replays(a, b, result.sequence)]).toEqual([seed, true])
    // Registers that have no part in a difference are left out, so that fewer states are visited than there are.
    if (result.result === 'equal') expect(result.states, `seed ${seed}`).toBeLessThanOrEqual(2 * walked.states)
    found.longest = Math.max(found.longest, walked.steps ?? 0)
  }
  expect(Math.min(found.equal, found.different), JSON.stringify(found)).toBeGreaterThan(25)
  expect(found.longest, JSON.stringify(found)).toBeGreaterThan(2)
})

describe('what following from the start leaves open, and what not', () => {
  const open = (a: Design, b: Design, options = {}): string | null | undefined =>
    compareDesigns(a, b, options).machines?.reason

  test('a reset by a state, and resets of some registers alone', () => {
    const stray = (reset: Term, extra: readonly Term[]): Design =>
      v10([registered(23, [[-23, 22], ...extra]), registered(22, [[23]])], { reset })
    // Followed to the end: nothing stays open.
    expect(open(stray([-23, -22, 5], []), stray([-23, -22, 5], [[-23, -22]]))).toBeFalsy()
    expect(open(stray([5], []), stray([6], [[-23, -22]]))).toBeFalsy()
    expect(open(stray([1, 5], []), stray([1, 5], [[-23, -22]]))).toBeFalsy()
  })

  test('clocks of their own, and loops', () => {
    const ra10 = (clock: Term, terms: readonly Term[]): Design => ({
      part: '20RA10',
      mode: null,
      registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
      outputs: [
        registered(23, terms, { enable: { term: [], lowPin: 13 }, clock: [4] }),
        registered(22, [[3]], { enable: { term: [], lowPin: 13 }, clock }),
      ],
    })
    // Clocks of their own are followed one pin at a time.
    expect(open(ra10([5], [[22]]), ra10([5], [[22, 23]]))).toBeNull()
    const loop = (terms: readonly Term[]): Design =>
      v10([
        registered(23, terms),
        output(
          18,
          [
            [2, 3],
            [-3, 18],
          ],
          { activeHigh: true },
        ),
      ])
    expect(open(loop([[23]]), loop([[23], [2, -23]]))).toBe('loops')
  })
})
