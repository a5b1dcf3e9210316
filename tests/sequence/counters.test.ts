/**
 * Counters as a user drives them, through the typical sequences that TI prints for the '160 to '163 (SDLS060, October
 * 1976, revised March 1988): p. 10 decade, p. 11 binary. The reset row of a 22V10 makes the asynchronous clear of the
 * '160 and '161; in a 16V8, clear stands in the terms as the synchronous one of the '162 and '163.
 */
import { describe, expect, test } from 'vitest'
import type { StepList } from '../../src/logic'
import type { Design, DesignOutput } from '../parts/design'
import { namedTerm, type Pins } from '../parts/function-tables'
import { levelsAt, numbersAt, runDesign } from './outcomes'

const BITS = ['A', 'B', 'C', 'D'] as const

/** Terms that keep a bit high while counting, and those that raise it. */
type Behaviour = Readonly<Record<(typeof BITS)[number], readonly [keeps: readonly string[], rises: string]>>
const BINARY: Behaviour = {
  A: [[], ''],
  B: [["QA'"], 'QA'],
  C: [["QA'", "QB'"], 'QA QB'],
  D: [["QA'", "QB'", "QC'"], 'QA QB QC'],
}
/** After nine comes 0: B does not rise while D is high, and D falls with A. */
const DECADE: Behaviour = {
  A: [[], ''],
  B: [["QA'"], "QA QD'"],
  C: [["QA'", "QB'"], 'QA QB'],
  D: [["QA'"], 'QA QB QC'],
}

function terms(bit: (typeof BITS)[number], behaviour: Behaviour, clear: string): string[] {
  const [keeps, rises] = behaviour[bit]
  return [
    `${clear} LOAD' ${bit}`,
    ...["ENP'", "ENT'", ...keeps].map((why) => `${clear} LOAD Q${bit} ${why}`),
    `${clear} LOAD ENP ENT Q${bit}' ${rises}`,
  ]
}

const INPUTS = { CLK: 1, CLR: 2, LOAD: 3, ENP: 4, ENT: 5, A: 6, B: 7, C: 8, D: 9 }

interface Counter {
  readonly name: string
  readonly pins: Pins
  readonly design: Design
  readonly load: number
  readonly counts: readonly number[]
  readonly last: number
}

function in16V8(name: string, behaviour: Behaviour, sequence: Pick<Counter, 'load' | 'counts' | 'last'>): Counter {
  const pins: Pins = { ...INPUTS, OFF: 11, QA: 18, QB: 17, QC: 16, QD: 15, RCO: 12 }
  const carry = sequence.last === 15 ? 'ENT QA QB QC QD' : 'ENT QA QD'
  const outputs = [
    ...BITS.map((bit): DesignOutput => ({
      pin: pins[`Q${bit}`]!,
      kind: 'registered',
      activeHigh: true,
      enable: { lowPin: 11 },
      terms: terms(bit, behaviour, 'CLR').map((term) => namedTerm(pins, term)),
    })),
    { pin: 12, kind: 'combinational', activeHigh: true, enable: 'always', terms: [namedTerm(pins, carry)] } as const,
  ]
  return { name, pins, design: { part: '16V8', mode: 'registered', clockPin: 1, outputs }, ...sequence }
}

/** In a 22V10 the true column of an active-high register is the opposite of its pin. */
function in22V10(name: string, behaviour: Behaviour, sequence: Pick<Counter, 'load' | 'counts' | 'last'>): Counter {
  const pins: Pins = { ...INPUTS, QA: 23, QB: 22, QC: 21, QD: 20, RCO: 14 }
  const reads: Pins = { ...pins, ...Object.fromEntries(BITS.map((bit) => [`Q${bit}`, -pins[`Q${bit}`]!])) }
  const carry = sequence.last === 15 ? 'ENT QA QB QC QD' : 'ENT QA QD'
  const outputs = [
    ...BITS.map((bit): DesignOutput => ({
      pin: pins[`Q${bit}`]!,
      kind: 'registered',
      activeHigh: true,
      enable: 'always',
      terms: terms(bit, behaviour, '').map((term) => namedTerm(reads, term)),
    })),
    { pin: 14, kind: 'combinational', activeHigh: true, enable: 'always', terms: [namedTerm(reads, carry)] } as const,
  ]
  return {
    name,
    pins,
    design: { part: '22V10', mode: null, clockPin: 1, outputs, reset: namedTerm(pins, "CLR'") },
    ...sequence,
  }
}

const BINARY_SEQUENCE = { load: 12, counts: [13, 14, 15, 0, 1, 2], last: 15 }
const DECADE_SEQUENCE = { load: 7, counts: [8, 9, 0, 1, 2, 3], last: 9 }

const SYNCHRONOUS = [
  in16V8("'163 in a 16V8", BINARY, BINARY_SEQUENCE),
  in16V8("'162 in a 16V8", DECADE, DECADE_SEQUENCE),
]
const ASYNCHRONOUS = [
  in22V10("'161 in a 22V10", BINARY, BINARY_SEQUENCE),
  in22V10("'160 in a 22V10", DECADE, DECADE_SEQUENCE),
]

const COUNT = ['D', 'C', 'B', 'A'] as const

/** Levels of the data inputs. */
function data(value: number): Record<string, 0 | 1> {
  return Object.fromEntries(BITS.map((bit, i) => [bit, ((value >> i) & 1) as 0 | 1]))
}

/** The printed sequence: clear, load, count, inhibit. */
function sequence({ pins, load, counts }: Counter, isAsynchronous: boolean): StepList {
  return {
    pins,
    steps: [
      {
        note: 'clear',
        set: { CLK: 0, ...(pins['OFF'] ? { OFF: 0 } : {}), CLR: 0, LOAD: 1, ENP: 1, ENT: 1, ...data(0) },
        ...(isAsynchronous ? {} : { pulse: ['CLK'] }),
      },
      { note: 'preset', set: { CLR: 1, LOAD: 0, ...data(load) }, pulse: ['CLK'] },
      { note: 'count', set: { LOAD: 1 }, pulse: ['CLK'], repeat: counts.length },
      { note: 'inhibit', set: { ENP: 0 }, pulse: ['CLK'] },
      { set: { ENP: 1, ENT: 0 }, pulse: ['CLK'], repeat: 2 },
    ],
  }
}

describe.each([
  ...SYNCHRONOUS.map((one) => [one.name, one, false] as const),
  ...ASYNCHRONOUS.map((one) => [one.name, one, true] as const),
])('%s', (_, counter, isAsynchronous) => {
  const { design, pins, load, counts, last } = counter
  const { steps, ...more } = sequence(counter, isAsynchronous)
  const outputs = COUNT.map((bit) => pins[`Q${bit}`]!)

  test('clear, load, count, hold', () => {
    const run = runDesign(design, steps, more)
    const held = counts.at(-1)!
    const expected = [0, load, ...counts, held, held, held]
    expect(numbersAt(run, outputs)).toEqual(expected)
    // The carry is high during the last count alone, and only while ENT is high.
    expect(levelsAt(run, [pins['RCO']!])).toEqual(
      expected.map((count, i) => (count === last && i < expected.length - 2 ? '1' : '0')),
    )
    // Clear comes first, so that nothing stays open after the first step.
    expect(run.steps.flatMap(({ unknown }) => unknown)).toEqual([])
    expect(run.steps.map(({ entry }) => entry)).toEqual([0, 1, ...counts.map(() => 2), 3, 4, 4])
    expect(run.steps.map(({ note }) => note)).toEqual([
      'clear',
      'preset',
      'count',
      ...counts.slice(1).map(() => null),
      'inhibit',
      null,
      null,
    ])
  })

  test('the count moves at the rise of the clock and not at its fall', () => {
    const run = runDesign(design, steps, more)
    const number = (levels: string): number =>
      Number.parseInt(outputs.map((pin) => levels[run.pins.findIndex((watched) => watched.pin === pin)]).join(''), 2)
    const step = run.steps[2]!
    expect(step.onTheWay.map(({ moment, levels }) => [moment, number(levels)])).toEqual([
      ['set', load],
      ['pulse', counts[0]],
    ])
    expect([step.moment, number(step.levels)]).toEqual(['return', counts[0]])
  })

  test('what is expected is held against what is found, after the last repetition', () => {
    const at = (count: number): Record<string, 'H' | 'L'> =>
      Object.fromEntries(BITS.map((bit, i) => [`Q${bit}`, (count >> i) & 1 ? 'H' : 'L']))
    const withExpectations = (count: number): StepList => ({
      ...more,
      steps: steps.map((step) => (step.note === 'count' ? { ...step, expect: { ...at(count), RCO: 'X' } } : step)),
    })
    const good = withExpectations(counts.at(-1)!)
    expect(runDesign(design, good.steps, more).expectations).toEqual({ held: 4, contradicted: 0, open: 0 })
    // One count too few: bits A and B differ between 2 and 1, bit A alone between 3 and 2.
    const wrong = runDesign(design, withExpectations(counts.at(-2)!).steps, more)
    const differing = counts.at(-1)! ^ counts.at(-2)!
    const bits = BITS.filter((__, i) => (differing >> i) & 1)
    expect(wrong.expectations).toEqual({ held: 4 - bits.length, contradicted: bits.length, open: 0 })
    expect(
      wrong.steps.flatMap(({ checks, number: at }) =>
        checks.filter(({ result }) => result === 'contradicted').map(({ pin }) => [at, pin]),
      ),
    ).toEqual(bits.map((bit) => [2 + counts.length, pins[`Q${bit}`]]))
  })
})

test.each(ASYNCHRONOUS)('$name: clear needs no clock, and wins over the load', ({ design, pins, load }) => {
  const set = { CLK: 0 as const, CLR: 1 as const, LOAD: 0 as const, ENP: 1 as const, ENT: 1 as const, ...data(load) }
  const run = runDesign(
    design,
    [{ set, pulse: ['CLK'] }, { set: { CLR: 0 } }, { pulse: ['CLK'] }, { set: { CLR: 1 } }, { pulse: ['CLK'] }],
    { pins },
  )
  expect(
    numbersAt(
      run,
      COUNT.map((bit) => pins[`Q${bit}`]!),
    ),
  ).toEqual([load, 0, 0, 0, load])
})

test.each(SYNCHRONOUS)('$name: clear waits for the clock', ({ design, pins, load }) => {
  const set = {
    CLK: 0 as const,
    OFF: 0 as const,
    CLR: 1 as const,
    LOAD: 0 as const,
    ENP: 1 as const,
    ENT: 1 as const,
    ...data(load),
  }
  const run = runDesign(design, [{ set, pulse: ['CLK'] }, { set: { CLR: 0 } }, { pulse: ['CLK'] }], { pins })
  expect(
    numbersAt(
      run,
      COUNT.map((bit) => pins[`Q${bit}`]!),
    ),
  ).toEqual([load, load, 0])
})
