/** Registers that set one another off in one step: how many rounds of them are followed, and what counts as a loop. */
import { expect, test } from 'vitest'
import { ALWAYS, NEVER, type Expression, type Logic, type LogicCell, type Register } from '../../src/logic/logic'
import { applyTogether } from '../../src/logic/one-change'
import { startSimulation, type Simulation } from '../../src/logic/simulation-state'
import { X } from '../../src/logic/ternary'

const of = (literal: number): Expression => ({ sums: [[{ literals: [literal], origin: -1 }]], inverted: false })
/** Signal 0 is pin 1; signal i + 1 is Q of cell i. */
const PIN_1 = of(0)
const notQ = (cell: number): Expression => of(2 * (cell + 1) + 1)

/** Buried registers, all 1 after power-up unless they say otherwise. */
function logicOf(registers: readonly Partial<Register>[]): Logic {
  const none = { reset: NEVER, preset: NEVER, clockedPreset: NEVER, load: NEVER, bypass: false, inverted: false }
  const cells = registers.map((own, i): LogicCell => {
    const register: Register = { ...none, data: notQ(i), clock: PIN_1, powerUp: 1, ...own }
    return { pin: null, name: `B${i}`, defined: true, enable: ALWAYS, value: null, register }
  })
  const states = cells.map((_, cell) => ({ kind: 'register' as const, cell, inverted: false }))
  return { pinCount: 2, supplyPins: [], signals: [{ kind: 'pin', pin: 1 }, ...states], cells }
}

/** What pin 1 rising does, and how many rounds it takes. */
function afterRise(logic: Logic): { readonly simulation: Simulation; readonly rounds: number } {
  const simulation = startSimulation(logic, { registers: 'power-up' })
  applyTogether(simulation, [3, 0, 0])
  return { rounds: applyTogether(simulation, [3, 1, 0]), simulation }
}

/** Each stage turns over as the one before it falls: with all at 1 the first rise takes every one of them along. */
const ripple = (stages: number): Logic =>
  logicOf(Array.from({ length: stages }, (_, i) => (i === 0 ? {} : { clock: notQ(i - 1) })))

test('a ripple counter of 64 stages is followed to its end; of one more the last stage counts as a loop', () => {
  // One stage a round, and a round in which nothing changes.
  const most = afterRise(ripple(64))
  expect([most.simulation.q, most.rounds]).toEqual([Array(64).fill(0), 65])
  const { q, qCauses } = afterRise(ripple(65)).simulation
  expect(q).toEqual([...Array(64).fill(0), X])
  expect(qCauses[64]).toEqual([{ kind: 'loop', pin: 0, cell: 'B64' }])
})

test('a register that goes around is found once its state has come again, and others keep what they have', () => {
  const held = (...literals: readonly number[]): Expression => ({ sums: [[{ literals, origin: -1 }]], inverted: false })
  const [notQ0, q1] = [3, 4]
  // B0 and B2 fall at the pin, in the first round; from then on B1 resets itself at 1 and presets itself at 0.
  const logic = logicOf([{}, { reset: held(notQ0, q1), preset: held(notQ0, q1 + 1) }, {}])
  const { simulation, rounds } = afterRise(logic)
  expect(simulation.q).toEqual([0, X, 0])
  expect([1, 2].map((cell) => simulation.qCauses[cell])).toEqual([[{ kind: 'loop', pin: 0, cell: 'B1' }], []])
  // Rises of B1 are the third round and the fifth, which is the same again: states are watched from the third on. In
  // the sixth it is unknown, in the seventh nothing changes.
  expect(rounds).toBe(7)
})
