/**
 * Levels that change together change in no particular order (3-A, "Test conditions"): what a simulation says for
 * certain must hold in every order. Small machines (invented) against the reference model of tests/reference, which
 * shares nothing with the code under test and takes one change after the other.
 */
import { expect, test } from 'vitest'
import type { Expression, Logic } from '../../src/logic/logic'
import { PartSequence } from '../../src/logic/part-sequence'
import { NOTHING, type Applied } from '../../src/logic/simulation-state'
import { X } from '../../src/logic/ternary'
import { seededRandom } from '../parts/random-designs'
import { behaviourOf, type Behaviour } from '../reference/behaviour'
import { freePins, type Cell, type Literal, type Machine } from '../reference/machine'
import { logicOf, smallPair } from '../reference/small-machines'
import { sampleSize } from '../sample-size'

/** A machine of which every register and every level from outside has a bit. */
interface Tried {
  readonly machine: Machine
  readonly logic: Logic
  readonly own: readonly number[]
  readonly free: readonly number[]
  readonly behaviour: Behaviour
}

function triedOf(machine: Machine): Tried {
  const own = machine.cells.flatMap(({ registered, pin }) => (registered ? [pin] : []))
  const free = freePins(machine)
  const logic = logicOf(machine, new Set())
  return { machine, logic, own, free, behaviour: behaviourOf(machine, { registers: own, free, shown: [] }) }
}

const LOAD_PIN = 4

/** The same where pin 4 low loads registers whose outputs are off, with pin = ¬Q; null with too many pins. */
function loadedOf(plain: Machine): Tried | null {
  const machine: Machine = { ...plain, loadPin: LOAD_PIN }
  const registers = machine.cells.filter(({ registered }) => registered)
  const off = registers.filter(({ enable }) => enable.every((term) => term.length > 0))
  const free = [...new Set([...freePins(machine), LOAD_PIN, ...off.map(({ pin }) => pin)])].sort((a, b) => a - b)
  if (free.length > 6 || registers.some(({ invertPin }) => !invertPin)) return null
  const own = registers.map(({ pin }) => pin)
  // With all pins among the signals, signal 3 is pin 4.
  const { cells, ...rest } = logicOf(machine, new Set(), (_, at) => at)
  const load: Expression = { sums: [[{ literals: [2 * (LOAD_PIN - 1) + 1], origin: -1 }]], inverted: false }
  const logic: Logic = {
    ...rest,
    cells: cells.map((cell) => ({ ...cell, register: cell.register && { ...cell.register, load } })),
  }
  return { machine, logic, own, free, behaviour: behaviourOf(machine, { registers: own, free, shown: [] }) }
}

type States = ReadonlySet<number>

/** States after levels change from `x` to `to`, one pin after the other in every order; null where one has no end. */
function inEveryOrder(behaviour: Behaviour, states: States, [x, to]: readonly [number, number]): States | null {
  if (x === to) return states
  const found = new Set<number>()
  for (let pin = 1; pin <= (x ^ to); pin <<= 1) {
    if (((x ^ to) & pin) === 0) continue
    const ends = [...states].map((q) => behaviour.step(q, x, x ^ pin))
    if (ends.includes(null)) return null
    const rest = inEveryOrder(behaviour, new Set(ends.map((end) => end!.q)), [x ^ pin, to])
    if (!rest) return null
    for (const q of rest) found.add(q)
  }
  return found
}

/** What was looked at: states of registers after a step, those that every order gives alike, those that were told. */
interface Counts {
  states: number
  determined: number
  certain: number
}

interface Way {
  readonly registers: 'unknown' | 'power-up'
  /** On the reference simulation alone, or on the fast evaluator as far as it goes. */
  readonly reference: boolean
}

/** A dozen steps of random levels; what is told for certain and does not hold in every order. */
function wrongAnswers(seed: number, tried: Tried, way: Way, counts: Counts): string[] {
  const { machine, logic, own, free, behaviour } = tried
  const random = seededRandom(seed)
  const part = new PartSequence(logic, { ...way, explain: false })
  const cellOf = (pin: number): number => machine.cells.findIndex((cell) => cell.pin === pin)
  const apply = (x: number): void => {
    const levels = Array<Applied>(machine.pinCount + 1).fill(NOTHING)
    free.forEach((pin, i) => (levels[pin] = ((x >> i) & 1) as 0 | 1))
    part.apply(levels)
  }
  let x = random(1 << free.length)
  apply(x)
  const starts = Array.from({ length: way.registers === 'unknown' ? 1 << own.length : 1 }, (_, q) => q)
  const ends = starts.map((q) => behaviour.step(q, x, x))
  let states: States | null = ends.includes(null) ? null : new Set(ends.map((end) => end!.q))
  const wrong: string[] = []
  for (let step = 0; step < 12 && wrong.length === 0; step++) {
    const to = random(1 << free.length)
    states = states && inEveryOrder(behaviour, states, [x, to])
    if (!states) break
    apply(to)
    x = to
    own.forEach((pin, i) => {
      const found = new Set([...states!].map((state) => (state >> i) & 1))
      const told = part.reference('look').q[cellOf(pin)]!
      counts.states++
      if (found.size === 1) counts.determined++
      if (told === X) return
      counts.certain++
      if (found.size > 1 || !found.has(told)) wrong.push(`seed ${seed}, ${JSON.stringify(way)}, step ${step}: q${pin}`)
    })
  }
  return wrong
}

const WAYS = (['unknown', 'power-up'] as const).flatMap((registers) =>
  [true, false].map((reference): Way => ({ registers, reference })),
)

function tryAll(
  seeds: readonly number[],
  prepared: (machine: Machine) => Tried | null = triedOf,
): { readonly wrong: string[]; readonly counts: Counts } {
  const counts: Counts = { states: 0, determined: 0, certain: 0 }
  const wrong = seeds.flatMap((seed) =>
    smallPair(seed).machines.flatMap((machine) => {
      const tried = prepared(machine)
      return tried ? WAYS.flatMap((way) => wrongAnswers(seed, tried, way, counts)) : []
    }),
  )
  return { wrong, counts }
}

test('what is told after several changes at once holds in every order', () => {
  const { wrong, counts } = tryAll(Array.from({ length: sampleSize(40, 10000) }, (_, i) => i + 1))
  expect(wrong).toEqual([])
  // Three quarters of what every order gives alike is told: the rest hangs on what is unknown.
  expect(counts.certain / counts.determined).toBeGreaterThan(0.7)
})

test('the same where a pin loads registers: the output, the level and the load change in any order', () => {
  const usual = Array.from({ length: sampleSize(60, 10000) }, (_, i) => i + 1)
  // In 363 and 2652 the pin that ends the load clocks as well.
  const { wrong, counts } = tryAll([...usual, 363, 2652], loadedOf)
  expect(wrong).toEqual([])
  expect(counts.certain / counts.determined).toBeGreaterThan(0.7)
})

test('a clock of three inputs that is an exclusive-or, which falls by way of a rise', () => {
  const literal = (pin: number, level: 0 | 1): Literal => ({ tap: 'pin', pin, level })
  const none = { otherTerms: [], invertData: false, invertPin: false, reset: null, preset: null, clockedPreset: null }
  const sum: Cell = {
    ...{ ...none, pin: 5, registered: false, enable: [[]], clock: null, bypass: false },
    terms: [
      [literal(2, 1), literal(3, 0)],
      [literal(2, 0), literal(3, 1)],
    ],
    otherTerms: [[literal(4, 1)]],
  }
  const clock = [literal(5, 1)]
  const register: Cell = { ...sum, pin: 6, registered: true, clock, terms: [[literal(2, 1)]], otherTerms: [] }
  const machine: Machine = {
    ...{ part: 'small', pinCount: 9, cells: [sum, register], clockPin: null, loadPin: null, startIsPublished: true },
  }
  const counts: Counts = { states: 0, determined: 0, certain: 0 }
  const wrong = Array.from({ length: 20 }, (_, seed) =>
    WAYS.flatMap((way) => wrongAnswers(seed, triedOf(machine), way, counts)),
  )
  expect(wrong.flat()).toEqual([])
  expect(counts.certain).toBeGreaterThan(0)
})

// A second clock, a reset or a preset comes with the clock of a register that reads the one it moves; in 2352, what
// is applied to an output that goes off changes with its enable. In 34994 a register that is unknown resets itself, and
// so clocks another one.
test('machines whose orders end in different states', () => {
  expect(tryAll([24, 55, 97, 114, 143, 152, 2352, 34994]).wrong).toEqual([])
})
