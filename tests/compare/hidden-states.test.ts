/**
 * States that cannot be, registers that no pin shows, and resets that hang on states: each pair (invented) with its
 * relation by the product-state search of tests/reference, which shares nothing with the code under test.
 */
import { describe, expect, test } from 'vitest'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { machineFrom } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { replays } from '../reference/replay'
import { codesOf, compareDesigns, output, outputAt, ra10, ra10Register, ratioAt } from './pairs'

/** Active high, so that the pin shows Q; columns carry ¬Q, so that −pin reads Q. */
function register(pin: number, terms: readonly Term[], given: Partial<DesignOutput> = {}): DesignOutput {
  return { pin, kind: 'registered', activeHigh: true, enable: 'always', terms, ...given }
}

const hidden = (pin: number, terms: readonly Term[]): DesignOutput => register(pin, terms, { enable: 'never' })

function v10(outputs: readonly DesignOutput[], given: Partial<Design> = {}): Design {
  return { ...V10, outputs, ...given }
}

function truth(a: Design, b: Design, start: 'any-state' | 'power-up'): string {
  const [first, second] = [a, b].map((design) => machineFrom(design.part, Uint8Array.from(encode(design))))
  return relationByBruteForce(first!, second!, { start }).relation
}

/** Whether every counterexample of a comparison is seen on the reference model too. */
function allReplay(a: Design, b: Design): boolean {
  const [first, second] = [a, b].map((design) => machineFrom(design.part, Uint8Array.from(encode(design))))
  return compareDesigns(a, b).outputs.every(
    ({ pin, counterexample }) => !counterexample || replays(first!, second!, { pin, ...counterexample }),
  )
}

type Kind = 'different' | 'equal' | 'equal from the start'

const PAIRS: readonly [string, Kind, Design, Design][] = [
  [
    'a register read by a register that a pin reads',
    'different',
    v10([output(14, [[-15]]), hidden(15, [[-16]]), hidden(16, [[2]])]),
    v10([output(14, [[-15]]), hidden(15, [[-16]]), hidden(16, [[3]])]),
  ],
  [
    'a hidden register that feeds the shared reset alone',
    'different',
    v10([register(14, [[4]]), hidden(15, [[2]])], { reset: [-15] }),
    v10([register(14, [[4]]), hidden(15, [[3]])], { reset: [-15] }),
  ],
  [
    'a hidden register that feeds the shared preset alone',
    'different',
    v10([register(14, [[4]]), hidden(15, [[2]])], { clockedPreset: [-15] }),
    v10([register(14, [[4]]), hidden(15, [[3]])], { clockedPreset: [-15] }),
  ],
  [
    'the polarity of a register that never shows',
    'equal',
    v10([output(14, [[-15, 3]]), register(15, [[2]], { enable: 'never', activeHigh: false })]),
    v10([output(14, [[-15, 3]]), hidden(15, [[2]])]),
  ],
  [
    'a reset of one input against one of two',
    'different',
    v10([register(14, [[2]])], { reset: [3] }),
    v10([register(14, [[2]])], { reset: [3, 4] }),
  ],
  [
    'an output that needs a state and its reset at once',
    'equal',
    v10([register(23, [[2]]), output(22, [[-23, 3]], { activeHigh: true })], { reset: [3] }),
    v10([register(23, [[2]]), output(22, [[3, -3]], { activeHigh: true })], { reset: [3] }),
  ],
  [
    'a reset by the clock pin, so that data are never seen',
    'equal',
    v10([register(14, [[2]])], { reset: [1] }),
    v10([register(14, [[3]])], { reset: [1] }),
  ],
  [
    'data that differ only where a register resets itself at once',
    'equal',
    v10([register(22, [[2]]), register(21, [[2, 3]])], { reset: [-22] }),
    v10([register(22, [[2]]), register(21, [[2, 4]])], { reset: [-22] }),
  ],
  [
    'a register that stays at its start and so lets nothing through',
    'equal from the start',
    v10([register(23, [[-22, -14]]), hidden(22, [[2]]), register(14, [[-14]])]),
    v10([register(23, [[-22, -14]]), hidden(22, [[3]]), register(14, [[-14]])]),
  ],
  [
    'two registers of opposite data, which no clock leaves at 1 both',
    'equal from the start',
    v10([register(14, [[-15, -16]]), hidden(15, [[2]]), hidden(16, [[-2]])]),
    v10([register(14, []), hidden(15, [[2]]), hidden(16, [[-2]])]),
  ],
  ...[
    [15, 16, 17, 18],
    [18, 17, 16, 15],
  ].map(([last, between, one, other]) => {
    // Chains in both orders of the pins.
    const chain = (terms: readonly Term[]): Design =>
      v10([
        output(14, [[-last!]]),
        hidden(last!, [[-between!]]),
        hidden(between!, terms),
        hidden(one!, [[2]]),
        hidden(other!, [[-2]]),
      ])
    const name = `two registers of opposite data three clocks before the pin, by way of ${between} and ${last}`
    return [name, 'equal from the start', chain([[-one!, -other!]]), chain([])] as [string, Kind, Design, Design]
  }),
  [
    'data that a reset by the clock and a state before it never lets through',
    'equal from the start',
    ...([[[2]], [[2, 21], [-1, 2, -5]]].map((data, side) =>
      v10(
        [
          // 20 and 19 are never both 1, so that this pin stays low on both sides from the start.
          register(23, side === 0 ? [[-20, -19]] : []),
          register(22, data),
          register(21, [[21]]),
          hidden(20, [[2]]),
          hidden(19, [[-2]]),
        ],
        { reset: [1, -21, 5] },
      ),
    ) as [Design, Design]),
  ],
  [
    'two hidden registers of the other polarity, told by their resets alone: turned over nothing else differs',
    'equal',
    ...([true, false].map((activeHigh) =>
      v10(
        [
          output(14, [[23, -22], [-23, 22]]),
          ...[23, 22].map((pin, i) =>
            // Q keeps its level or changes it, as pin 2 or 3 says: the same function of ¬Q.
            register(pin, [[2 + i, pin], [-2 - i, -pin]], { enable: 'never', activeHigh }),
          ),
        ],
        { reset: [5] },
      ),
    ) as [Design, Design]),
  ],
  [
    'data of a register of the other polarity that differ only where a second register hides it',
    'equal',
    v10([output(14, [[-15, -16]]), hidden(15, [[3]]), hidden(16, [[2]])]),
    v10([
      output(14, [[-15, -16]]),
      register(15, [[3, 2]], { enable: 'never', activeHigh: false }),
      hidden(16, [[2]]),
    ]),
  ],
  [
    'data of a register of the other polarity that differ where nothing hides it',
    'different',
    v10([output(14, [[-15, -16]]), hidden(15, [[3]]), hidden(16, [[2]])]),
    v10([
      output(14, [[-15, -16]]),
      register(15, [[3, -2]], { enable: 'never', activeHigh: false }),
      hidden(16, [[2]]),
    ]),
  ],
]

/** Counts 0, 1, 2 on pins 23 (low bit) and 22, and resets itself at 3; `stray` is what it does beyond. */
const selfResetting = (stray: readonly Term[]): Design =>
  v10(
    [
      register(23, [[23]]),
      register(22, [
        [-23, 22],
        [23, -22],
      ]),
      register(21, stray),
    ],
    { reset: [-23, -22] },
  )

describe('by brute force', () => {
  test.each(PAIRS)('%s: %s', (_, kind, a, b) => {
    expect(truth(a, b, 'power-up')).toBe(kind === 'different' ? 'different' : 'equal')
    if (kind !== 'different') expect(truth(a, b, 'any-state')).toBe(kind === 'equal' ? 'equal' : 'different')
    const comparison = compareDesigns(a, b)
    expect(comparison.relation).toBe(kind === 'different' ? 'different' : 'equivalent')
    expect(codesOf(comparison).includes('compare/from-start-only')).toBe(kind === 'equal from the start')
    expect(allReplay(a, b)).toBe(true)
  })

  test('a counter that resets itself: only the state that it never keeps differs', () => {
    const [a, b] = [
      selfResetting([[2]]),
      selfResetting([
        [2, -23],
        [2, 23],
        [-23, -22],
      ]),
    ]
    expect(truth(a, b, 'any-state')).toBe('equal')
    expect(compareDesigns(a, b).relation).toBe('equivalent')
  })

  test('registers behind one that stays shut are not followed: a single state is enough', () => {
    // 14 takes itself and starts at 0, 23 takes 22 ∧ 14: both stay at 0, whatever 22, 21 and 20 take.
    const shut = (terms: readonly Term[]): Design =>
      v10([
        register(23, [[-22, -14]]),
        hidden(22, [...terms, [-21]]),
        hidden(21, [[-20], [2]]),
        hidden(20, [[20, 3]]),
        register(14, [[-14]]),
      ])
    const [a, b] = [shut([[2]]), shut([[3]])]
    expect(truth(a, b, 'power-up')).toBe('equal')
    expect(truth(a, b, 'any-state')).toBe('different')
    expect(compareDesigns(a, b, { maxStates: 2 })).toMatchObject({
      relation: 'equivalent',
      machines: { result: 'equal', states: 1 },
    })
  })

  test('a level shown at the end of a sequence is that under its last levels, of which some only stay', () => {
    // Q takes p2 on one side and enables pin 14, which shows p2: with pin 2 still high after the clock, a high level.
    const enabled = (terms: readonly Term[]): Design =>
      v10([hidden(23, terms), output(14, [[2]], { activeHigh: true, enable: { term: [-23] } })])
    const [a, b] = [enabled([]), enabled([[2]])]
    const { sequence, ...found } = compareDesigns(a, b).machines!
    expect(found).toMatchObject({ result: 'different', pin: '14', intended: 'Z', readback: 'H' })
    expect(sequence).toEqual([
      { 1: 0, 2: 1 },
      { 1: 1, 2: 1 },
    ])
    expect(allReplay(a, b)).toBe(true)
  })

  test('a chain of hidden registers, each of which takes the complement once the one before is turned over', () => {
    const chain = (first: Term, shown: Term): Design =>
      v10([
        hidden(23, [first]),
        hidden(22, [[-23]]),
        hidden(21, [[-22]]),
        output(14, [shown], { activeHigh: true }),
      ])
    const [a, b] = [chain([2], [-21]), chain([-2], [21])]
    expect(truth(a, b, 'any-state')).toBe('equal')
    const comparison = compareDesigns(a, b, { powerUp: 'low', otherPowerUp: 'high' })
    expect(comparison).toMatchObject({ relation: 'equivalent', machines: null })
    expect(codesOf(comparison)).toEqual([])
  })

  test('a register whose change may show at a pin for a moment is named as what changes', () => {
    // Q ∧ p2 ∨ ¬Q ∧ p3, with p2 ∧ p3 and without: with both at 1 the pin may fall while Q of pin 23 changes.
    const chosen = (...more: readonly Term[]): Design =>
      v10([register(23, [[4]]), output(14, [[-23, 2], [23, 3], ...more], { activeHigh: true })])
    const comparison = compareDesigns(chosen([2, 3]), chosen())
    expect(comparison.relation).toBe('equivalent')
    const { data, pin } = comparison.findings.find(({ code }) => code === 'compare/added-hazards')!
    expect(pin).toBe(14)
    expect(data).toMatchObject({ input: 'register', register: expect.stringContaining('23') })
  })

  test('where hidden registers start is told only where nothing better is known', () => {
    // Pin 14 shows Q23 ∧ ¬Q22: 0 with both at 0 as with both at 1, and after a clock, since both take p2.
    const alike = (...more: readonly Term[]): Design =>
      v10([output(14, [[-23, 22], ...more], { activeHigh: true }), hidden(23, [[2]]), hidden(22, [[2]])])
    const start = { powerUp: 'low', otherPowerUp: 'high' } as const
    const equal = compareDesigns(alike(), alike([-23, 22, 3]), start)
    expect(equal).toMatchObject({ relation: 'equivalent', machines: { result: 'equal' } })
    expect(codesOf(equal)).toEqual([])
    const other = compareDesigns(alike(), alike([3]), start)
    expect(other.relation).toBe('different')
    expect(codesOf(other)).toEqual(['compare/different'])
  })

  test('where a hold forbids the state at which registers start, both machines are followed from there', () => {
    // Pin 23 of a 20RA10 is ¬Q, and Q is 0 after power-up: a preset by the high pin acts at once, a reset by the low pin
    // not. Pin 22 keeps its Q, in B by a term that is not needed.
    const followed = (holds: Partial<DesignOutput>): unknown => {
      const machine = (...more: readonly Term[]): Design =>
        ra10(
          { ...ra10Register(23, [4], [[]]), ...holds },
          ra10Register(22, [4], [[-22], ...more]),
        )
      const { relation, machines } = compareDesigns(machine(), machine([-22, 5]))
      expect(relation).toBe('equivalent')
      return machines && machines.result
    }
    expect(followed({ preset: [23] })).toBe('equal')
    expect(followed({ reset: [-23] })).toBeNull()
    expect(followed({})).toBeNull()
  })

  test('equal data that a reset by the state takes back on one side alone differ in the reset', () => {
    // Q ∧ p5 resets, or Q ∧ p6. One of p5 and p6 is 1 in half of all cases, and Q in half of these: 1/4, whatever p2.
    const resetting = (pin: number): Design => v10([register(22, [[2]])], { reset: [-22, pin] })
    const comparison = compareDesigns(resetting(5), resetting(6))
    expect(outputAt(comparison, 22).differsIn).toEqual(['held-low'])
    expect(ratioAt(comparison, 22)).toBe('1/4')
  })

  test('states that an active reset forbids are no examples', () => {
    const [a, b] = [v10([register(14, [[2]])], { reset: [3] }), v10([register(14, [[2]])], { reset: [3, 4] })]
    // With Q at 1 and p3 at 1 the one resets at once; p4 at 0 keeps the other.
    expect(outputAt(compareDesigns(a, b), 14).counterexample).toMatchObject({
      inputs: { 3: 1, 4: 0 },
      state: { 14: 1 },
      intended: 'L',
      readback: 'H',
    })
  })

  test('one inverted register: its pin always shows the opposite level, and its readers are alike', () => {
    const machine = (activeHigh: boolean): Design =>
      v10([register(17, [[2, 17]], { activeHigh }), output(20, [[-17, 3]], { activeHigh: true })])
    const [a, b] = [machine(true), machine(false)]
    const comparison = compareDesigns(a, b)
    expect(outputAt(comparison, 17)).toMatchObject({ relation: 'different', differsIn: ['value'], opposite: true })
    expect(outputAt(comparison, 17).differingInputs).toBe(outputAt(comparison, 17).ofInputs)
    expect(outputAt(comparison, 20).relation).toBe('equivalent')
    expect(allReplay(a, b)).toBe(true)
  })

  test('a falling clock of a clock term is decided as a rising one', () => {
    const ra10 = (clock: number, term: Term): Design => ({
      part: '20RA10',
      mode: null,
      registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
      outputs: [
        {
          pin: 23,
          kind: 'registered',
          activeHigh: false,
          terms: [term],
          enable: { term: [], lowPin: 13 },
          clock: [clock],
          reset: [5, -5],
          preset: [5, -5],
        },
      ],
    })
    for (const clock of [4, -4]) {
      const comparison = compareDesigns(ra10(clock, [2]), ra10(clock, [3]))
      expect(outputAt(comparison, 23)).toMatchObject({ relation: 'different', differsIn: ['next-state'] })
      // A pin that clocks by itself rises after the levels given; anything else is spelt out.
      const { sequence, inputs } = outputAt(comparison, 23).counterexample!
      expect(sequence?.map((step) => step['4']) ?? [inputs['4'], 'rises']).toEqual(clock > 0 ? [0, 'rises'] : [1, 0])
    }
  })
})
