/**
 * Small machines (invented) compared as logic, against the search of tests/reference through every state and every
 * change of levels, which shares nothing with the code under test.
 */
import { describe, expect, test } from 'vitest'
import { runPieces } from '../../src/arguments/pieces'
import { compareParts, type PairResult } from '../../src/jobs/compare/compare-parts'
import type { Cell, Machine, Term } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { replays } from '../reference/replay'
import { buriedIn, logicOf, smallPair, type SmallPair } from '../reference/small-machines'
import { sampleSize } from '../sample-size'

type Sides = Parameters<typeof compareParts>[0]

/** Two parts of which nothing but the logic is looked at. */
function compared({ machines }: SmallPair): PairResult {
  const buried = buriedIn(machines)
  const [intended, readback] = machines.map((machine, i) => ({
    device: { part: `small ${i}` },
    logic: logicOf(machine, buried),
  }))
  const options = {
    dontCare: [],
    maxNodes: 100_000,
    maxStates: 1000,
    powerUp: 'published',
    otherPowerUp: 'published',
    watch: null,
  } as const
  const given = { maps: {}, pins: null, options } as unknown as Parameters<typeof compareParts>[1]
  return runPieces(compareParts({ intended, readback } as unknown as Sides, given))
}

/** States by pin, also of buried cells: those have their pin in their name. */
const byPin = (state: Readonly<Record<string, 0 | 1>>): Record<string, 0 | 1> =>
  Object.fromEntries(Object.entries(state).map(([name, level]) => [name.replace('B', ''), level]))

/** What is wrong with the answer for a pair. */
function wrongOf({ machines }: SmallPair, { relation, logic, machines: followed, remarks }: PairResult): string[] {
  const wrong: string[] = []
  const from = (start: 'power-up' | 'any-state'): string => relationByBruteForce(...machines, { start }).relation
  const codes = remarks.map(({ code }) => code)
  if (relation === 'equivalent') {
    if (!codes.includes('compare/power-up-open') && from('power-up') === 'different')
      wrong.push('equal, but a difference shows from power-up')
    if (!codes.includes('compare/from-start-only') && from('any-state') === 'different')
      wrong.push('equal, but only from power-up at best')
  }
  const byStart = logic!.outputs.some(({ differsIn }) => differsIn.includes('power-up'))
  if (relation === 'different' && !byStart && followed?.result !== 'open' && from('power-up') === 'equal')
    wrong.push('different, but equal from power-up')
  for (const { pin, counterexample, differsIn } of logic!.outputs) {
    if (!counterexample || differsIn.includes('power-up')) continue
    const example = { pin, ...counterexample, state: byPin(counterexample.state) }
    if (!replays(...machines, example))
      wrong.push(`${counterexample.sequence ? 'sequence' : 'counterexample'} of pin ${pin} does not replay`)
  }
  return wrong
}

/** A term in signs: `p` reads a pin and `q` a register, ¬ before either. */
function term(text: string): Term {
  return text.split(' ').map((word) => {
    const at = word.replace('¬', '')
    return { tap: at.startsWith('q') ? 'register' : 'pin', pin: Number(at.slice(1)), level: word === at ? 1 : 0 }
  })
}

/** A register whose pin shows Q: what it takes, what clocks it, and what resets it. */
const register = (pin: number, data: string, clock: string, reset: string | null = null): Cell => ({
  pin,
  registered: true,
  terms: [term(data)],
  otherTerms: [],
  invertData: false,
  invertPin: false,
  enable: [[]],
  clock: term(clock),
  reset: reset === null ? null : term(reset),
  preset: null,
  clockedPreset: null,
  bypass: false,
})

const pairOf = (...pair: readonly (readonly Cell[])[]): SmallPair => {
  const [a, b] = pair.map(
    (cells): Machine => ({ part: 'small', pinCount: 9, cells, clockPin: null, loadPin: null, startIsPublished: true }),
  )
  return { seed: 0, machines: [a!, b!] }
}

describe('clocks that are no pin', () => {
  const [first, second] = [register(5, 'p2', 'p1'), register(6, 'p2', 'p1')]
  const [one, other] = [register(5, 'p2', 'p3', 'q6'), register(6, 'p2', 'p3 p4')]

  test.each([
    [
      'a reset that ends as they rise',
      pairOf([register(5, 'p3', '¬p2', 'q5 p2')], [register(5, 'p3 p4', '¬p2', 'q5 p2')]),
      'different',
    ],
    [
      'a reset that two registers end at once',
      pairOf(
        [first, second, register(7, 'p3 ¬q5 ¬q6', 'q5 q6', 'q7 ¬q5')],
        [first, second, register(7, 'p3 p4 ¬q5 ¬q6', 'q5 q6', 'q7 ¬q5')],
      ),
      'different',
    ],
    [
      'two of them at once, through a state that cannot last',
      pairOf([one, other, register(7, 'p4', 'p1', 'q5 q6')], [one, other, register(7, 'p4', 'p1')]),
      'undecided',
    ],
  ] as const)('%s', (_, pair, relation) => {
    for (const { machines } of [pair, pairOf(pair.machines[1].cells, pair.machines[0].cells)]) {
      expect(relationByBruteForce(...machines, { start: 'power-up' }).relation).toBe('different')
      const result = compared({ seed: 0, machines })
      expect(result.relation).toBe(relation)
      expect(wrongOf({ seed: 0, machines }, result)).toEqual([])
    }
  })
})

test('no relation is wrong, and every counterexample replays', () => {
  const found = { equivalent: 0, different: 0, undecided: 0, 'not-comparable': 0, followed: 0 }
  const wrong: string[] = []
  for (let seed = 1; seed <= sampleSize(250, 5000); seed++) {
    const pair = smallPair(seed)
    const result = compared(pair)
    found[result.relation]++
    if (result.machines?.result === 'equal') found.followed++
    wrong.push(...wrongOf(pair, result).map((what) => `seed ${seed}: ${what}`))
  }
  expect(wrong).toEqual([])
  expect(Math.min(found.equivalent, found.different, 4 * found.followed), JSON.stringify(found)).toBeGreaterThan(60)
  expect(found.undecided, JSON.stringify(found)).toBeLessThan(found.equivalent / 50)
})
