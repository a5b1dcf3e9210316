/** What stands only for a moment, what only may have happened, and why a level is unknown: invented designs by hand. */
import { expect, test } from 'vitest'
import { runSteps } from '../../src/logic'
import { V10, type Design, type DesignOutput } from '../parts/design'
import { gates } from '../parts/design'
import { decodedDesign, levelsAt, runDesign, unknownIn } from './outcomes'

test('of two pins that are pulsed in no order one is back before the other goes', () => {
  // Pin 19 is p2 ∧ p3, and pin 18 is p2 ∨ p3; both pins stand at 0.
  const run = runDesign(gates({ 19: [[2, 3]], 18: [[2], [3]] }), [{ set: { 2: 0, 3: 0 } }, { pulse: [2, 3] }], {
    watch: [19, 18],
  })
  const moments = [...run.steps[1]!.onTheWay, run.steps[1]!].map(({ moment, levels }) => `${moment} ${levels}`)
  // Pin 18 is 1 while one of them is pulsed and 0 between them.
  expect(moments).toEqual(['set 00', 'pulse 0X', 'return 00'])
})

test('an enable that is known to be 0 is no reason, whatever else stands in its term', () => {
  const design = gates({ 18: [[2]], 17: [[18]] })
  const gated: Design = {
    ...design,
    outputs: design.outputs.map((output) => (output.pin === 18 ? { ...output, enable: { term: [3, 4] } } : output)),
  }
  // Pin 18 is off and nothing is applied to it; pin 4 is unknown and does not matter.
  const run = runDesign(gated, [{ set: { 2: 1, 3: 0, 4: 'X' } }], { watch: [17] })
  expect(unknownIn(run)).toEqual([[{ pin: 17, causes: [{ kind: 'floating', pin: 18 }] }]])
})

test('registers that the array reads are listed, also where no pin shows them', () => {
  const register = (pin: number): DesignOutput => ({
    pin,
    kind: 'registered',
    activeHigh: true,
    enable: 'never',
    terms: [[2]],
  })
  const run = runDesign(
    {
      ...V10,
      outputs: [register(23), register(22), { ...register(21), kind: 'combinational', enable: 'always', terms: [[23]] }],
    },
    [{ set: { 1: 0, 2: 1 } }, { pulse: [1] }],
  )
  // Both have a column in the array, which reads their complement there (GAL22V10 data sheet, 22v10_08, p. 4).
  expect(run.registers).toEqual([23, 22])
  expect(levelsAt(run, [21])).toEqual(['X', '0'])
})

test('a register that stays unknown at its clock may clock another', () => {
  // 20RA10: 23 takes pin 2, which is unknown, at a rise of pin 7; 22 takes a constant at a rise of pin 23.
  const shown = (terms: DesignOutput['terms']): string[] => {
    const ra = { kind: 'registered', activeHigh: true, enable: { term: [], lowPin: 13 }, preset: [4] } as const
    const run = runDesign(
      {
        part: '20RA10',
        mode: null,
        registers: { polarity: 'before', feedback: 'pin', bypass: true, loadPin: 1 },
        outputs: [
          { ...ra, pin: 23, terms: [[2]], clock: [7], preset: [4, -4] },
          { ...ra, pin: 22, terms, clock: [23] },
        ],
      },
      [{ set: { 1: 1, 2: 'X', 4: 1, 7: 0, 13: 0 } }, { set: { 4: 0 } }, { set: { 7: 1 } }],
      { watch: [23, 22] },
    )
    return levelsAt(run, [23, 22])
  }
  const [zero, one] = [shown([]), shown([[]])]
  // Preset leaves Q at 1 and the pin at 0; after the rise of pin 7 either constant may have been taken.
  expect(zero.slice(0, 2)).toEqual(['X0', 'X0'])
  expect(one.slice(0, 2)).toEqual(['X0', 'X0'])
  expect([zero[2], one[2]].sort()).toEqual(['X0', 'XX'])
})

test('a million steps can be allowed, and not one more', () => {
  const decoded = decodedDesign(gates({ 19: [[2]] }))
  const steps = { steps: [{ set: { 2: 1 } }] } as const
  expect(runSteps(decoded, steps, { maxSteps: 1_000_000 })).toMatchObject({ steps: [{ levels: '11' }] })
  expect(() => runSteps(decoded, steps, { maxSteps: 1_000_001 })).toThrow(/options\.maxSteps/)
})
