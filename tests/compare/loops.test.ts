/**
 * Feedback through combinational outputs: drives that are equal, differences that a sequence of inputs shows whatever
 * the delays are, and what is left undecided. Sequences are followed here through every order in which pins could
 * switch.
 */
import { describe, expect, test } from 'vitest'
import type { Comparison } from '../../src/index'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { seededRandom, shuffled, type Random } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { codesOf, compareDesigns, output, outputAt, ratioAt, ratioOf, sweep } from './pairs'

const complex = (...outputs: readonly DesignOutput[]): Design => ({ part: '16V8', mode: 'complex', outputs })
const high = (pin: number, ...terms: readonly Term[]): DesignOutput => output(pin, terms, { activeHigh: true })

/** A network of outputs that are always on, over a few input pins, as bits of one number: inputs first. */
interface Network {
  readonly pins: readonly number[]
  readonly inputs: number
  /** The level that each output goes to. */
  readonly goals: readonly ((state: number) => number)[]
}

function networkOf({ outputs }: Design, inputs: readonly number[]): Network {
  const pins = [...inputs, ...outputs.map(({ pin }) => pin)]
  const holds = (literal: number, state: number): boolean =>
    ((state >> pins.indexOf(Math.abs(literal))) & 1) === Number(literal > 0)
  return {
    pins,
    inputs: inputs.length,
    goals: outputs.map(
      ({ terms, activeHigh }) =>
        (state) =>
          Number(terms.some((term) => term.every((literal) => holds(literal, state))) === activeHigh),
    ),
  }
}

/** States that one switching pin leads to, while the inputs go to `levels`, each when it likes. */
function successors({ inputs, goals }: Network, levels: number, state: number): number[] {
  const goal = (bit: number): number => (bit < inputs ? (levels >> bit) & 1 : goals[bit - inputs]!(state))
  return Array.from({ length: inputs + goals.length }, (_, bit) => bit)
    .filter((bit) => ((state >> bit) & 1) !== goal(bit))
    .map((bit) => state ^ (1 << bit))
}

function reachable(network: Network, levels: number, from: Iterable<number>): Set<number> {
  const seen = new Set(from)
  for (const state of seen) for (const next of successors(network, levels, state)) seen.add(next)
  return seen
}

/** Where the network can end up from any of some states: states that can be come back to from all that they lead to. */
function ends(network: Network, levels: number, from: Iterable<number>): Set<number> {
  const all = [...reachable(network, levels, from)]
  const after = new Map(all.map((state) => [state, reachable(network, levels, [state])]))
  return new Set(all.filter((state) => [...after.get(state)!].every((next) => after.get(next)!.has(state))))
}

/** Levels that a pin can have at the end of steps from anywhere, as text of digits. */
function possibleAt(network: Network, pin: number, steps: readonly Readonly<Record<string, 0 | 1>>[]): string {
  let states: Iterable<number> = Array.from({ length: 2 ** network.pins.length }, (_, state) => state)
  for (const step of steps) {
    const levels = network.pins
      .slice(0, network.inputs)
      .reduce((all, each, bit) => all | ((step[each] ?? 0) << bit), 0)
    states = ends(network, levels, states)
  }
  const bit = network.pins.indexOf(pin)
  return [...new Set([...states].map((state) => (state >> bit) & 1))].sort().join('')
}

/** Whether the counterexample of an output is certain for both sides, whatever the delays. */
function expectCertain(
  comparison: Comparison,
  pin: number,
  {
    a,
    b,
    inputs,
    where,
  }: { readonly a: Design; readonly b: Design; readonly inputs: readonly number[]; readonly where: string },
): void {
  const { counterexample } = outputAt(comparison, pin)
  const steps = counterexample!.sequence ?? [counterexample!.inputs]
  const digit = (level: string): string => (level === 'H' ? '1' : '0')
  expect([where, possibleAt(networkOf(a, inputs), pin, steps), possibleAt(networkOf(b, inputs), pin, steps)]).toEqual(
    [where, digit(counterexample!.intended), digit(counterexample!.readback)],
  )
  expect(counterexample!.intended).not.toBe(counterexample!.readback)
}

const [S, R, Q, P] = [2, 3, 18, 17]

describe('one latch', () => {
    // Ten pins at 1 set while Q of pin 23 is 1, and pin 13 lets hold then. Q keeps itself, so that it is known only where
    // it is given. Columns carry ¬Q.
    const set = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11]
    const latch = (...keep: readonly Term[]): Design => ({
      ...V10,
      outputs: [
        { pin: 23, kind: 'registered', activeHigh: true, enable: 'always', terms: [[-23]] },
        high(Q, [...set, -23], ...keep),
      ],
    })

  const holding = complex(high(Q, [S], [-R, Q]))

  test('driven by the same function is equal, and the loop is told', () => {
    // D ∧ C ∨ ¬C ∧ Q with and without the consensus D ∧ Q.
    const comparison = compareDesigns(complex(high(Q, [S, R], [-R, Q])), complex(high(Q, [S, R], [S, Q], [-R, Q])))
    expect(comparison).toMatchObject({ relation: 'equivalent', verdict: 'pass' })
    expect(codesOf(comparison)).toEqual(['compare/loops'])
    expect(comparison.findings.find(({ code }) => code === 'compare/loops')!.message).toContain('pin 18')
  })

  test('that lets set win against one that lets reset win: told by the inputs alone', () => {
    // S ∨ ¬R ∧ Q against ¬R ∧ (S ∨ Q): both S and R.
    const other = complex(high(Q, [S, -R], [-R, Q]))
    const comparison = compareDesigns(holding, other)
    expect(outputAt(comparison, Q)).toMatchObject({
      relation: 'different',
      counterexample: { inputs: { 2: 1, 3: 1 }, intended: 'H', readback: 'L' },
    })
    expectCertain(comparison, Q, { a: holding, b: other, inputs: [S, R], where: 'set against reset' })
  })

  test('against no latch: told by a sequence that ends where both hold', () => {
    const other = complex(high(Q, [S]))
    for (const [a, b] of [
      [holding, other],
      [other, holding],
    ] as const) {
      const comparison = compareDesigns(a, b)
      expect(outputAt(comparison, Q)).toMatchObject({ relation: 'different', differsIn: ['value'] })
      const { sequence, inputs } = outputAt(comparison, Q).counterexample!
      // Set, then let go: one step does not do, since what the latch holds before is not known.
      expect(sequence).toHaveLength(2)
      expect(sequence!.at(-1)).toMatchObject({ 2: 0, 3: 0 })
      expect(inputs).toEqual(sequence!.at(-1))
      expectCertain(comparison, Q, { a, b, inputs: [S, R], where: 'latch against none' })
      expect(codesOf(comparison)).toEqual(expect.arrayContaining(['compare/different', 'compare/loops']))
    }
  })

  test('that only one side has leaves alone what reads it: loops are cut at the same pins on both', () => {
    // The second output is p18 ∨ p4 on both sides, of two levels: the difference is that of pin 18.
    const reader = high(P, [Q], [4])
    for (const [a, b] of [
      [complex(high(Q, [S], [-R, Q]), reader), complex(high(Q, [S]), reader)],
      [complex(high(Q, [S]), reader), complex(high(Q, [S], [-R, Q]), reader)],
    ] as const) {
      const comparison = compareDesigns(a, b)
      expect(outputAt(comparison, P)).toMatchObject({ relation: 'equivalent', differingInputs: '0', ofInputs: '4' })
      expect(outputAt(comparison, Q).relation).toBe('different')
    }
  })

  test.each([2, 5])('is set next to where it holds: pin %i stays low on the way', (low) => {
    // p3 ∧ p4 ∧ (p2 ∨ p5) sets. It holds where one of pins 2 and 5 is low and the other high: what sets there is that
    // one alone, with pins 3 and 4, which then go low.
    const other = 7 - low
    const set = [2, 5].map((pin) => [3, 4, pin])
    const comparison = compareDesigns(complex(high(Q, ...set, [-low, other, Q])), complex(high(Q, ...set)))
    const { sequence } = outputAt(comparison, Q).counterexample!
    const ones = sequence!.map((levels) => Object.keys(levels).filter((pin) => levels[pin] === 1).map(Number))
    expect(ones).toEqual([[3, 4, other].sort((x, y) => x - y), [other]])
  })

  test('a register that inverts lets it hold at the level that its pin shows', () => {
    const inverting = (...keep: readonly Term[]): Design => {
      const [register, ...others] = latch(...keep).outputs
      return { ...latch(), outputs: [{ ...register!, activeHigh: false, terms: [[23]] }, ...others] }
    }
    const comparison = compareDesigns(inverting([13, -23, Q]), inverting())
    const { state, intended, readback } = outputAt(comparison, Q).counterexample!
    expect({ state, intended, readback }).toEqual({ state: { 23: 1 }, intended: 'H', readback: 'L' })
  })

  test('that many pins set and a register lets hold: levels and state lead there, which no walk would meet', () => {
    const comparison = compareDesigns(latch([13, -23, Q]), latch())
    expect(outputAt(comparison, Q)).toMatchObject({ relation: 'different', differsIn: ['value'] })
    const { sequence, state, intended, readback } = outputAt(comparison, Q).counterexample!
    expect({ state, intended, readback }).toEqual({ state: { 23: 1 }, intended: 'H', readback: 'L' })
    expect(sequence).toHaveLength(2)
    const highAt = (step: number): number[] => [...set, 13].filter((pin) => sequence![step]![pin] === 1)
    expect(highAt(0)).toEqual([...set, 13])
    expect(highAt(1)).toContain(13)
    expect(highAt(1).length).toBeLessThan(11)
  })

  test('the same where the shortest difference is at a state in which nothing sets: it goes on to another one', () => {
    // It also holds at Q = 0 of pin 23, where no levels bring it to 1; that difference has the fewest literals.
    const comparison = compareDesigns(latch([13, -23, Q], [23, Q]), latch())
    expect(outputAt(comparison, Q)).toMatchObject({
      relation: 'different',
      counterexample: { state: { 23: 1 }, intended: 'H', readback: 'L' },
    })
  })

  test.each([0, 1])('that many pins set or reset together, against one of them (side %i has the latch)', (side) => {
    // All at 1 set and all at 0 reset, 2 of 16,384 combinations; the other side shows pin 13, also in between.
    const pins = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16]
    const [holds, other] = [[pins, ...pins.map((pin) => [pin, Q])], [[13]]].map(
      (terms): Design => ({ part: '22V10', mode: null, outputs: [high(Q, ...terms)] }),
    ) as [Design, Design]
    const comparison = side === 0 ? compareDesigns(holds, other) : compareDesigns(other, holds)
    expect(outputAt(comparison, Q)).toMatchObject({ relation: 'different', differsIn: ['value'] })
    const { sequence, intended, readback } = outputAt(comparison, Q).counterexample!
    const [first, last] = sequence!.map((levels) => pins.map((pin) => levels[pin]))
    const level = sequence!.at(-1)![13]!
    expect(first).toEqual(Array(14).fill(1 - level))
    expect(new Set(last).size).toBe(2)
    expect(side === 0 ? [intended, readback] : [readback, intended]).toEqual(level ? ['L', 'H'] : ['H', 'L'])
  })

  test.each([false, true])('that a register takes: the clock rises last (active high: %s)', (activeHigh) => {
    // Pin 18 is the latch on both sides. Register 23 takes it, or pin 13.
    const pins = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16]
    const [a, b] = [Q, 13].map(
      (from): Design => ({
        ...latch(),
        outputs: [
          { pin: 23, kind: 'registered', activeHigh, enable: 'always', terms: [[from]] },
          high(Q, pins, ...pins.map((pin) => [pin, Q])),
        ],
      }),
    ) as [Design, Design]
    const comparison = compareDesigns(a, b)
    expect(outputAt(comparison, 23)).toMatchObject({ relation: 'different', differsIn: ['next-state'] })
    const { sequence, intended, readback } = outputAt(comparison, 23).counterexample!
    expect(sequence!.map((levels) => levels[1])).toEqual([0, 0, 1])
    const level = sequence![2]![13]!
    expect(pins.map((pin) => sequence![0]![pin])).toEqual(Array(14).fill(1 - level))
    expect([intended, readback]).toEqual(level === Number(activeHigh) ? ['L', 'H'] : ['H', 'L'])
  })

  test.each([
    [4, 'different'],
    [5, 'undecided'],
  ])('that %i pins set is %s where one difference more comes first: six are tried', (count, relation) => {
    // With Q of pin 23 at 0 nothing sets, and pin 14 lets it hold; one difference for each that is the first at 0, and
    // one for all at 1. With Q at 1 nine more pins let it hold, so that these differences have more literals.
    const setting = set.slice(0, count)
    const other = [...setting, -23]
    const holding = [[13, 14, 15, 16, 17, 19, 20, 21, 22, -23, Q], [23, 14, Q]]
    const [a, b] = [[other, ...holding], [other]].map((terms): Design => ({
      ...latch(),
      outputs: [latch().outputs[0]!, high(Q, ...terms)],
    })) as [Design, Design]
    expect(outputAt(compareDesigns(a, b), Q).relation).toBe(relation)
  })

  test('read in opposite ways while it holds: a sequence shows it, since levels alone leave what it holds open', () => {
    // Pin 17 shows pin 18, or its complement, while pins 2 and 3 are low, so that pin 18 keeps what it has.
    const reading = (level: number): Design => complex(high(Q, [S], [-R, Q]), high(P, [level, -S, -R]))
    const [a, b] = [reading(Q), reading(-Q)]
    const comparison = compareDesigns(a, b)
    expect(outputAt(comparison, P).relation).toBe('different')
    expect(outputAt(comparison, P).counterexample!.sequence).toHaveLength(2)
    expect(outputAt(comparison, P).counterexample!.sequence!.at(-1)).toMatchObject({ 2: 0, 3: 0 })
    expectCertain(comparison, P, { a, b, inputs: [S, R], where: 'opposite readers' })
  })

  test('that nothing ever sets is undecided: no sequence shows what it holds', () => {
    const comparison = compareDesigns(complex(high(Q, [Q])), complex(high(Q, [Q], [S, Q, P], [S, -S, 4])), {})
    expect(comparison.relation).toBe('equivalent')
    const other = compareDesigns(complex(high(Q, [Q])), complex(high(Q, [Q, S])))
    expect(other).toMatchObject({ relation: 'undecided', verdict: 'caution' })
    expect(outputAt(other, Q)).toMatchObject({
      relation: 'undecided',
      reason: 'loop',
      counterexample: null,
      differingInputs: null,
      ofInputs: null,
    })
    expect(codesOf(other)).toEqual(['compare/loops', 'compare/undecided'])
  })
})

test('cross-coupled gates: the same, one gate changed, both forms of a latch', () => {
  const nor = complex(output(Q, [[R], [P]]), output(P, [[S], [Q]]))
  expect(compareDesigns(nor, complex(output(Q, [[P], [R, -P]]), output(P, [[Q], [S]])))).toMatchObject({
    relation: 'equivalent',
  })
  const other = complex(output(Q, [[R], [P]]), output(P, [[S, R], [Q]]))
  const comparison = compareDesigns(nor, other)
  expect(comparison.relation).not.toBe('equivalent')
  for (const { pin, relation } of comparison.outputs)
    if (relation === 'different') expectCertain(comparison, pin, { a: nor, b: other, inputs: [S, R], where: 'gates' })
})

test('random networks: equal only where every pin is driven alike, different only where every order of switching shows it', () => {
  const found = { equivalent: 0, different: 0, undecided: 0, sequences: 0 }
  for (let seed = 91_000; seed < 91_000 + sampleSize(80, 300); seed++) {
    const random = seededRandom(seed)
    const a = randomNetwork(random)
    const b = seed % 3 ? oneTermChanged(a, random) : randomNetwork(random)
    const comparison = compareDesigns(a, b)
    const where = `seed ${seed}: ${JSON.stringify([a.outputs.map(({ terms, activeHigh }) => [terms, activeHigh]), b.outputs.map(({ terms, activeHigh }) => [terms, activeHigh])])}`
    for (const { pin, relation, counterexample } of comparison.outputs) {
      found[relation]++
      if (relation !== 'different') continue
      if (counterexample!.sequence) found.sequences++
      expectCertain(comparison, pin, { a, b, inputs: INPUTS, where: `${where}, pin ${pin}` })
    }
    if (comparison.relation !== 'equivalent' && comparison.relation !== 'identical') continue
    // States in which nothing moves are the same, for every input.
    for (let levels = 0; levels < 4; levels++)
      expect([where, stableStates(a, levels)]).toEqual([where, stableStates(b, levels)])
  }
  expect(Math.min(found.equivalent, found.different, found.sequences), JSON.stringify(found)).toBeGreaterThan(10)
  expect(found.undecided, JSON.stringify(found)).toBeLessThan(found.equivalent + found.different)
})

const INPUTS = [2, 3]
const OUTPUTS = [16, 17, 18]

function randomTerm(random: Random): Term {
  const pins = [...INPUTS, ...OUTPUTS].filter(() => random(5) < 2)
  return pins.length ? pins.map((pin) => (random(2) ? pin : -pin)) : [INPUTS[random(2)]!]
}

function randomNetwork(random: Random): Design {
  return complex(
    ...OUTPUTS.map((pin) =>
      output(
        pin,
        Array.from({ length: 1 + random(2) }, () => randomTerm(random)),
        { activeHigh: random(2) === 1 },
      ),
    ),
  )
}

/** The same with one term put in the place of another, or added. */
function oneTermChanged(design: Design, random: Random): Design {
  const at = random(OUTPUTS.length)
  return {
    ...design,
    outputs: design.outputs.map((each, i) =>
      i === at ? { ...each, terms: [...each.terms.slice(random(2)), randomTerm(random)] } : each,
    ),
  }
}

function stableStates(design: Design, levels: number): number[] {
  const network = networkOf(design, INPUTS)
  return Array.from({ length: 2 ** OUTPUTS.length }, (_, i) => (i << INPUTS.length) | levels).filter(
    (state) => successors(network, levels, state).length === 0,
  )
}

describe('circles that are none', () => {
  // A two-way driver: pin 2 high passes pin 18 on to pin 17, low the other way.
  const bus = (first: Term, second: Term, value: readonly Term[] = [[Q]]): Design =>
    complex({ ...high(P, ...value), enable: { term: first } }, { ...high(Q, [P]), enable: { term: second } })

  test('a two-way driver is composed: its inputs decide, and nothing is said of loops', () => {
    const comparison = compareDesigns(
      bus([2], [-2]),
      bus(
        [2],
        [-2],
        [
          [Q, 4],
          [Q, -4],
        ],
      ),
    )
    expect(comparison).toMatchObject({ relation: 'equivalent' })
    // Q ∧ p4 ∨ Q ∧ ¬p4 for Q may fall for a moment while p4 changes; that is all that is said.
    expect(codesOf(comparison)).toEqual(['compare/added-hazards'])
    expect(comparison.findings.find(({ code }) => code === 'compare/added-hazards')!.data).toMatchObject({
      input: 'pin',
      inputPin: 4,
    })
  })

  test('and a difference is counted over them, as straight evaluation does', () => {
    const [a, b] = [bus([2, 4], [-2]), bus([2, 4], [-2], [[Q, 5]])]
    const { inputs, differing } = sweep(a, b)
    const comparison = compareDesigns(a, b)
    // While pin 17 drives it shows pin 18 on one side and pin 18 ∧ p5 on the other: p2, p4, p18 are 1 and p5 is 0.
    expect(ratioOf(differing.get(P)!, 2 ** inputs)).toBe('1/16')
    expect(ratioAt(comparison, P)).toBe('1/16')
    expect(outputAt(comparison, P).counterexample).toMatchObject({
      inputs: { 2: 1, 4: 1, 5: 0, 18: 1 },
      intended: 'H',
      readback: 'L',
      sequence: null,
    })
    expect(outputAt(comparison, Q).relation).toBe('equivalent')
    expect(codesOf(comparison)).toEqual(['compare/different'])
  })

  test('a function that reads its own pin and does not depend on it', () => {
    const comparison = compareDesigns(complex(high(Q, [S, Q], [S, -Q])), complex(high(Q, [S])))
    expect(comparison).toMatchObject({ relation: 'equivalent' })
    expect(codesOf(comparison)).toEqual([])
  })

  test('outputs that follow one another are no circle', () => {
    const comparison = compareDesigns(
      complex(high(Q, [P]), high(P, [16]), high(16, [S])),
      complex(high(Q, [S]), high(P, [S]), high(16, [S])),
    )
    expect(comparison).toMatchObject({ relation: 'equivalent' })
  })
})

describe('ten outputs that all read each other', () => {
  /**
   * A 22V10 in which every output is enabled by a term and reads the others: one circle of ten pins, far too large to
   * settle.
   */
  function tangled(seed: number): Design {
    const random = seededRandom(seed)
    const columns = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23]
    const term = (): number[] =>
      shuffled(random, columns)
        .slice(0, 3 + random(3))
        .map((pin) => (random(2) ? pin : -pin))
    const outputs = Array.from({ length: 10 }, (_, i) =>
      output(14 + i, Array.from({ length: 8 }, term), { activeHigh: random(2) === 1, enable: { term: term() } }),
    )
    return { part: '22V10', mode: null, outputs }
  }

  test.each([91_000, 91_001, 91_002])(
    'are compared by what drives them: the terms in another order are the same (seed %i)',
    (seed) => {
      const design = tangled(seed)
      const other: Design = {
        ...design,
        outputs: design.outputs.map((each) => ({ ...each, terms: [...each.terms].reverse() })),
      }
      const comparison = compareDesigns(design, other)
      expect(comparison.relation).toBe('equivalent')
      expect(comparison.outputs).toHaveLength(10)
    },
  )

  test.each([91_000, 91_001, 91_002])('leave nine outputs equal where one is changed (seed %i)', (seed) => {
    const design = tangled(seed)
    const other: Design = {
      ...design,
      outputs: design.outputs.map((each) => (each.pin === 18 ? { ...each, enable: { term: [1, 2, 3] } } : each)),
    }
    const relations = compareDesigns(design, other).outputs.map(({ pin, relation }) => [pin, relation] as const)
    expect(relations.filter(([pin]) => pin !== 18).map(([, relation]) => relation)).toEqual(
      Array(9).fill('equivalent'),
    )
    expect(relations.find(([pin]) => pin === 18)![1]).not.toBe('equivalent')
  })
})
