/**
 * Counters in the registered mode of a 16V8, through the typical sequences that TI prints for the '160 to '163
 * (SDLS060, October 1976, revised March 1988): p. 10 decade, p. 11 binary. The cells of this part have no asynchronous
 * clear, so clear is synchronous as in the '162 and '163.
 */
import { expect, test } from 'vitest'
import type { Design } from './design'
import { namedOutput, runTable, vectorOf, type Pins } from './function-tables'

const PINS: Pins = {
  CLR: 2,
  LOAD: 3,
  ENP: 4,
  ENT: 5,
  A: 6,
  B: 7,
  C: 8,
  D: 9,
  QA: 18,
  QB: 17,
  QC: 16,
  QD: 15,
  RCO: 12,
}
const BITS = ['A', 'B', 'C', 'D'] as const

/** Terms of the next state: load, hold, and `toggles` while counting, all while CLR is high. */
function nextState(bit: string, keeps: readonly string[], rises: string): string[] {
  return [
    `CLR LOAD' ${bit}`,
    ...["ENP'", "ENT'", ...keeps].map((why) => `CLR LOAD Q${bit} ${why}`),
    `CLR LOAD ENP ENT Q${bit}' ${rises}`,
  ]
}

/** '163: a bit stays high unless all lower ones are, and rises when they are. */
const BINARY: Design = {
  part: '16V8',
  mode: 'registered',
  clockPin: 1,
  outputs: [
    ...BITS.map((bit, i) => {
      const lower = BITS.slice(0, i).map((name) => `Q${name}`)
      return namedOutput(PINS, `Q${bit}`, {
        registered: true,
        terms: nextState(
          bit,
          lower.map((name) => `${name}'`),
          lower.join(' '),
        ),
      })
    }),
    namedOutput(PINS, 'RCO', { terms: ['ENT QA QB QC QD'] }),
  ],
}

/** '162: after 9 comes 0, so B does not rise while D is high, and D falls with A. */
const DECADE: Design = {
  part: '16V8',
  mode: 'registered',
  clockPin: 1,
  outputs: [
    namedOutput(PINS, 'QA', { registered: true, terms: nextState('A', [], '') }),
    namedOutput(PINS, 'QB', { registered: true, terms: nextState('B', ["QA'"], "QA QD'") }),
    namedOutput(PINS, 'QC', { registered: true, terms: nextState('C', ["QA'", "QB'"], 'QA QB') }),
    namedOutput(PINS, 'QD', { registered: true, terms: nextState('D', ["QA'"], 'QA QB QC') }),
    namedOutput(PINS, 'RCO', { terms: ['ENT QA QD'] }),
  ],
}

interface Step {
  readonly controls: { readonly CLR?: 0; readonly LOAD?: 0; readonly ENP?: 0; readonly ENT?: 0 }
  readonly data?: number
  /** Count after the clock. */
  readonly count: number
  readonly carry: boolean
}

function vector({ controls, data = 0, count, carry }: Step): string {
  const conditions = new Map<number, string>([
    [1, 'C'],
    [11, '0'],
  ])
  for (const name of ['CLR', 'LOAD', 'ENP', 'ENT'] as const) conditions.set(PINS[name]!, String(controls[name] ?? 1))
  BITS.forEach((bit, i) => {
    conditions.set(PINS[bit]!, String((data >> i) & 1))
    conditions.set(PINS[`Q${bit}`]!, (count >> i) & 1 ? 'H' : 'L')
  })
  return vectorOf(conditions.set(PINS['RCO']!, carry ? 'H' : 'L'))
}

const counts = (values: readonly number[], last: number): Step[] =>
  values.map((count) => ({ controls: {}, count, carry: count === last }))

function sequence(load: number, values: readonly number[], last: number): Step[] {
  const held = values.at(-1)!
  return [
    { controls: { CLR: 0 }, count: 0, carry: false },
    { controls: { LOAD: 0 }, data: load, count: load, carry: false },
    ...counts(values, last),
    { controls: { ENP: 0 }, count: held, carry: false },
    { controls: { ENP: 0 }, data: 15, count: held, carry: false },
  ]
}

test.each([
  [
    'binary: clear, load 12, 13, 14, 15, 0, 1, 2, hold; carry during 15',
    BINARY,
    sequence(12, [13, 14, 15, 0, 1, 2], 15),
  ],
  ['decade: clear, load 7, 8, 9, 0, 1, 2, 3, hold; carry during 9', DECADE, sequence(7, [8, 9, 0, 1, 2, 3], 9)],
] as const)('%s', (_, design, steps) => {
  // Clear comes first, so that the start, unknown here, does not matter: all levels are certain from the first vector
  // on.
  const { passed, first } = runTable(design, steps.map(vector))
  expect(first).toBeNull()
  expect(passed).toBe(steps.length)
  // The same sequence expected one clock later is wrong at every vector at which the count moves on.
  const late = steps.map((step, i) => vector({ ...step, count: steps[Math.max(0, i - 1)]!.count }))
  const moving = steps.filter((step, i) => i > 0 && step.count !== steps[i - 1]!.count).length
  expect(runTable(design, late).passed).toBe(steps.length - moving)
})

test('the binary counter goes through its sixteen states and back', () => {
  const around = Array.from({ length: 17 }, (_, i): Step => ({ controls: {}, count: (i + 1) % 16, carry: i === 14 }))
  expect(
    runTable(BINARY, [{ controls: { CLR: 0 as const }, count: 0, carry: false }, ...around].map(vector)),
  ).toEqual({ passed: 18, first: null })
})

test('clear goes before load, load before counting, and the carry needs ENT', () => {
  // Not part of the printed sequence: it follows from the terms above, where CLR stands in every term, LOAD' in the
  // terms of the data alone, and ENT in the carry.
  const steps: Step[] = [
    { controls: { LOAD: 0 }, data: 15, count: 15, carry: true },
    { controls: { ENT: 0 }, count: 15, carry: false },
    { controls: { LOAD: 0, ENP: 0, ENT: 0 }, data: 9, count: 9, carry: false },
    { controls: { CLR: 0, LOAD: 0 }, data: 15, count: 0, carry: false },
  ]
  expect(runTable(BINARY, steps.map(vector))).toEqual({ passed: 4, first: null })
})

test('outputs go off with pin 11 high and count on behind it', () => {
  const off = vector({ controls: {}, count: 0, carry: false }).replace(/[HL]/g, 'Z').split('')
  off[10] = '1'
  // The carry is combinational, reads the registers, and stays on.
  off[PINS['RCO']! - 1] = 'L'
  const steps = [
    vector({ controls: { LOAD: 0 }, data: 5, count: 5, carry: false }),
    off.join(''),
    vector({ controls: {}, count: 7, carry: false }),
  ]
  expect(runTable(BINARY, steps)).toEqual({ passed: 3, first: null })
})
