/**
 * The fast evaluator of sequences against the reference simulation on small random logics, as they are and with the
 * literals of one row changed in place; and what it must take by itself, since the reference is slow.
 */
import { expect, test } from 'vitest'
import { prepareChanges, termChanges, withChanges } from '../../src/logic/changed-terms'
import { prepareFast } from '../../src/logic/fast-logic'
import type { Expression, Logic, Register } from '../../src/logic/logic'
import { netlistOf } from '../../src/logic/netlist'
import { applyLevels, applyPulses } from '../../src/logic/simulate'
import { startSimulation, type Applied } from '../../src/logic/simulation-state'
import { X } from '../../src/logic/ternary'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { compareSteps, randomLevels } from './fast-steps'
import { randomLiterals, smallDesign } from './small-logics'

const STEPS = 16
const NEVER: Expression = { sums: [], inverted: false }

/** A sum of terms that are part of the structure. */
function sumOf(...terms: readonly number[][]): Expression {
  return { sums: [terms.map((literals) => ({ literals, origin: -1 }))], inverted: false }
}

const randomOptions = (random: Random) => ({
  registers: pick(random, ['unknown', 'power-up'] as const),
  order: pick(random, ['open', 'data-then-clock'] as const),
  explain: random(2) === 0,
})

/** Seeds by the few, so that a fault is met early. */
const SEEDS = Array.from({ length: sampleSize(5, 100) }, (_, i) => 20 * i)

test.each(SEEDS)('logics as they are, seeds from %i', (first) => {
  let taken = 0
  for (let seed = first; seed < first + 20; seed++) {
    const random = seededRandom(seed)
    const { rows, logicOf } = smallDesign(random)
    const logic = logicOf(rows)
    const fast = prepareFast(logic)!
    taken += compareSteps({ logic, fast }, randomLevels(random, STEPS), randomOptions(random))
  }
  expect(taken).toBeGreaterThan(10 * STEPS)
})

/** What terms changed in place cannot be: wiring in a circle, and an output that a row of an unused enable may wake. */
function isBeyond(before: Logic, after: Logic, row: number): boolean {
  const { drives } = netlistOf(before)
  const mayWake = before.cells.some(
    ({ pin, enable }, cell) =>
      pin !== null && drives[cell] === 'never' && enable.sums.flat().some(({ origin }) => origin === row),
  )
  return mayWake || netlistOf(after).circles.length > 0
}

// Among those from 180 on are circles, inverted enables, and terms that hold a pin and its complement.
test.each([...new Set([...SEEDS, 180, 320, 680, 940])])('logics of which the literals of one row are changed, seeds from %i', (first) => {
  let changed = 0
  for (let seed = first; seed < first + 10; seed++) {
    const random = seededRandom(10_000 + seed)
    const { rows, logicOf, signals } = smallDesign(random, true)
    const logic = logicOf(rows)
    const changeable = prepareChanges(logic, (row) => rows[row]!)
    if (!changeable) {
      expect(prepareFast(logic)).toBeNull()
      continue
    }
    for (let n = 0; n < 4 && rows.length > 0; n++) {
      const row = random(rows.length)
      const literals = randomLiterals(random, signals)
      const after = logicOf(rows.map((old, at) => (at === row ? literals : old)))
      withChanges(changeable, termChanges(changeable, row, literals), (fast) => {
        expect(fast === null, `seed ${seed}, row ${row}`).toBe(isBeyond(logic, after, row))
        if (!fast) return
        changed++
        compareSteps({ logic: after, fast }, randomLevels(random, STEPS), randomOptions(random))
      })
      // What was changed is as it was again.
      compareSteps({ logic, fast: changeable.fast }, randomLevels(random, STEPS), randomOptions(random))
    }
  }
  expect(changed).toBeGreaterThan(10)
})

test('an output that a changed row keeps off or on for good: what is read there hangs on what stands there', () => {
  // Pin 5 shows p3 while p2 is 1, by row 0, and pin 6 shows p5 ∨ ¬p5; then row 0 is p2 ∧ ¬p2.
  const logicOf = (literals: readonly number[]): Logic => {
    const cell = { defined: true, register: null }
    const enable: Expression = { sums: [[{ literals, origin: 0 }]], inverted: false }
    return {
      ...{ pinCount: 8, supplyPins: [], signals: [1, 2, 3, 4, 5].map((pin) => ({ kind: 'pin', pin })) },
      cells: [
        { ...cell, pin: 5, name: '5', enable, value: sumOf([4]) },
        { ...cell, pin: 6, name: '6', enable: sumOf([]), value: sumOf([8], [9]) },
      ],
    }
  }
  const changeable = prepareChanges(logicOf([2]), () => [2])!
  const options = { registers: 'unknown', order: 'open', explain: false } as const
  const steps: Applied[][] = [0, 1, X, 3].map((level) => [0, 0, 1, 1, 0, level as Applied, 3, 3, 3])
  withChanges(changeable, termChanges(changeable, 0, [2, 3]), (fast) => {
    // Whatever steady level pin 5 has, pin 6 is 1: both are tried.
    expect(compareSteps({ logic: logicOf([2, 3]), fast: fast! }, steps, options)).toBe(steps.length)
  })
  // A row of no literal has pin 5 on for good: then pin 6 hangs on p3, whose levels are tried.
  const others: Applied[][] = [0, 1, X, 3].map((level) => [0, 0, 1, level as Applied, 0, 3, 3, 3, 3])
  withChanges(changeable, termChanges(changeable, 0, []), (fast) => {
    expect(compareSteps({ logic: logicOf([]), fast: fast! }, others, options)).toBe(others.length)
  })
})

test('an output that is off lets through the old level or the new one, so that a reset may pulse', () => {
  // Pin 5 is off while p3 is 0, and what is applied there is read. The reset is ¬p5 ∧ p2, of which both fall at once, or
  // p5 ∧ ¬p2, of which both rise: 0 before and after, and 1 in between where pin 5 changes first.
  for (const [reset, from] of [[[9, 2], 1], [[8, 3], 0]] as const) {
    const { cells, ...others } = oneRegister({ reset: sumOf([...reset]), powerUp: 1 })
    const gate = { pin: 5, name: '5', defined: true, enable: sumOf([4]), value: sumOf([6]), register: null }
    const logic: Logic = {
      ...{ ...others, cells: [cells[0]!, gate] },
      signals: [1, 2, 3, 4, 5].map((pin) => ({ kind: 'pin', pin })),
    }
    const at = (level: 0 | 1): Applied[] => [0, 0, level, 0, 0, level, 3, 3, 3]
    const steps = [at(from), at(from === 1 ? 0 : 1)]
    const reference = startSimulation(logic, { registers: 'power-up' })
    for (const levels of steps) applyLevels(reference, levels)
    expect(reference.q[0]).toBe(X)
    compareSteps({ logic, fast: prepareFast(logic)! }, steps, { registers: 'power-up', order: 'open', explain: false })
  }
})

/** Pins 5, 6 and 7 always show a row each: p6, p2 and p5 at first. Enables may be inverted. */
function threeGates(rows: readonly (readonly number[])[], enable: Expression = sumOf([])): Logic {
  const shown = (row: number): Expression => ({ sums: [[{ literals: rows[row]!, origin: row }]], inverted: false })
  return {
    pinCount: 8,
    supplyPins: [],
    signals: [2, 5, 6, 7].map((pin) => ({ kind: 'pin', pin })),
    cells: [5, 6, 7].map((pin, row) => ({
      ...{ pin, name: String(pin), defined: true, enable, value: shown(row), register: null },
    })),
  }
}

const [P2, P5, P6] = [0, 2, 4]

test('a term that holds a pin and its complement is 0, also where it is read before that pin', () => {
  const rows = [[P6], [P2], [P5]]
  const changeable = prepareChanges(threeGates(rows), (row) => rows[row]!)!
  const literals = [P6, P6 + 1]
  const logic = threeGates([literals, ...rows.slice(1)])
  const at = (level: Applied): Applied[] => [0, 3, level, 3, 3, 3, 3, 3, 3]
  const options = { registers: 'unknown', order: 'open', explain: false } as const
  withChanges(changeable, termChanges(changeable, 0, literals), (fast) => {
    // Pin 5 needs no other pin now and comes first, and pin 7 shows its 0.
    expect(fast!.inner.map(({ cell }) => cell)).toEqual([0, 1, 2])
    expect(compareSteps({ logic, fast: fast! }, [at(1), at(0), at(2)], options)).toBe(3)
  })
  const reference = startSimulation(logic)
  applyLevels(reference, at(1))
  expect([5, 6, 7].map((pin) => reference.readings[pin])).toEqual([0, 1, 0])
})

test.each([
  // Inverted terms that are 0 switch on for good, and those that are 1 off; only what is off may stand in a circle.
  ['on by a term that is 0', [P2, P2 + 1], false],
  ['off by a term that is 1', [], true],
] as const)('outputs in a circle that are %s, inverted: taken %s', (_, literals, isTaken) => {
  const rows = [[P2], [P2], [P2], literals]
  const enable: Expression = { sums: [[{ literals, origin: 3 }]], inverted: true }
  const changeable = prepareChanges(threeGates(rows, enable), (row) => rows[row]!)
  const circle = changeable && withChanges(changeable, termChanges(changeable, 0, [P5 + 1]), (fast) => fast)
  expect(circle !== null).toBe(isTaken)
})

/** Pin 8 shows a register that takes p2 at rises of p1, with whatever else is given; pin 7 shows p2. */
function oneRegister(given: Partial<Register>): Logic {
  const [never, p1, p2] = [NEVER, sumOf([0]), sumOf([2])]
  const register: Register = {
    ...{ data: p2, clock: p1, reset: never, preset: never, clockedPreset: never, load: never },
    ...{ bypass: false, inverted: false, powerUp: null, ...given },
  }
  const cell = { defined: true, enable: sumOf([]) }
  return {
    pinCount: 8,
    supplyPins: [],
    signals: [1, 2, 3, 7].map((pin) => ({ kind: 'pin', pin })),
    cells: [
      { ...cell, pin: 8, name: '8', value: null, register },
      { ...cell, pin: 7, name: '7', value: p2, register: null },
    ],
  }
}

test.each<[string, Partial<Register>, boolean]>([
  ['a clock that is a pin', {}, true],
  ['a reset', { reset: sumOf([4]) }, true],
  ['a preset at the clock', { clockedPreset: sumOf([4]) }, true],
  ['a preset that never is', { preset: sumOf([2, 3]) }, true],
  ['a preset', { preset: sumOf([4]) }, false],
  ['a load', { load: sumOf([4]) }, false],
  ['a way past the register', { bypass: true }, false],
  ['reset and preset for good', { bypass: true, reset: sumOf([]), preset: sumOf([]) }, false],
  ['a falling clock', { clock: sumOf([1]) }, false],
  ['a clock inverted', { clock: { ...sumOf([0]), inverted: true } }, false],
  ['a clock of two levels', { clock: sumOf([0, 4]) }, false],
  ['a clock of two terms', { clock: sumOf([0], [4]) }, false],
  ['a clock that a term makes', { clock: { sums: [[{ literals: [0], origin: 3 }]], inverted: false } }, false],
  ['a clock that never rises', { clock: NEVER }, false],
  ['a clock that another output drives', { clock: sumOf([6]) }, false],
])('%s: followed fast %s', (_, given, isFast) => {
  expect(prepareFast(oneRegister(given)) !== null).toBe(isFast)
})

test('the orders of up to four pulses are tried; of five, every register is unknown', () => {
  // Pins 2 to 6 are read, and none of them clocks: Q stays 0 in every order.
  const part = oneRegister({ data: sumOf([2, 4, 6, 8, 10]), powerUp: 0 })
  const logic: Logic = { ...part, signals: [1, 2, 3, 4, 5, 6].map((pin) => ({ kind: 'pin', pin })) }
  const pulsed = (pins: readonly number[]) => {
    const simulation = startSimulation(logic, { registers: 'power-up' })
    applyLevels(simulation, [0, 0, 1, 1, 0, 0, 1, 3, 3])
    applyPulses(simulation, pins)
    return { q: simulation.q[0], causes: simulation.q[0] === X ? simulation.qCauses[0] : [] }
  }
  expect(pulsed([2, 3, 4, 5])).toEqual({ q: 0, causes: [] })
  expect(pulsed([2, 3, 4, 5, 6])).toEqual({ q: X, causes: [{ kind: 'order', pin: 8 }] })
  // A pin that nothing reads is no pulse.
  expect(pulsed([2, 3, 4, 5, 7])).toEqual({ q: 0, causes: [] })
})

test('a pin without a steady level is not tried, also where others move with it at the edge', () => {
  // Q takes p2 ∨ ¬p2: 1 for every steady level of pin 2, nothing certain for one that may pass in between.
  const logic = oneRegister({ data: sumOf([2], [3]) })
  const fast = prepareFast(logic)!
  for (const [level, taken] of [[0, 1], [2, 1], [3, 1], [4, X]] as const)
    for (const moved of [0, 1] as const)
      for (const order of ['open', 'data-then-clock'] as const) {
        const rest = [0, 0, 0, 3, 3] as const
        const steps = [[0, 0, 0, 0, ...rest], [0, 0, level, 0, ...rest], [0, 1, level, moved, ...rest]] as const
        const reference = startSimulation(logic, { order })
        for (const levels of steps) applyLevels(reference, levels)
        expect(reference.q, `level ${level}`).toEqual([taken, X])
        compareSteps({ logic, fast }, steps, { registers: 'unknown', order, explain: false })
        compareSteps({ logic, fast }, [steps[0], steps[2]], { registers: 'unknown', order, explain: false })
      }
})

test('where nobody asks for reasons, unknown levels are no reason to leave it to the reference', () => {
  // With data before clocks only a clock of no known level is.
  const options = { registers: 'unknown', order: 'data-then-clock', explain: false } as const
  for (let seed = 0; seed < 30; seed++) {
    const random = seededRandom(30_000 + seed)
    const { rows, logicOf } = smallDesign(random)
    const logic = logicOf(rows)
    const steps = randomLevels(random, STEPS).map((levels, step) => [0, step % 2, ...levels.slice(2)] as Applied[])
    expect(compareSteps({ logic, fast: prepareFast(logic)! }, steps, options), `seed ${seed}`).toBe(STEPS)
  }
})

test('known levels and states are the fast evaluator`s alone, with reasons asked for or not', () => {
  for (let seed = 0; seed < 60; seed++) {
    const random = seededRandom(20_000 + seed)
    const { rows, logicOf } = smallDesign(random)
    const logic = logicOf(rows)
    const known: Logic = {
      ...logic,
      cells: logic.cells.map((cell) => ({
        ...cell,
        defined: true,
        register: cell.register && { ...cell.register, powerUp: 0 as const },
      })),
    }
    const steps = Array.from({ length: STEPS }, (_, step) => {
      const level = (): 0 | 1 => random(2) as 0 | 1
      return [0, step % 2, ...Array.from({ length: 7 }, level)] as (0 | 1)[]
    })
    const options = { registers: 'power-up', order: 'data-then-clock', explain: seed % 2 === 0 } as const
    expect(compareSteps({ logic: known, fast: prepareFast(known)! }, steps, options), `seed ${seed}`).toBe(STEPS)
  }
})
