/**
 * Feedback: which circles remember, which may oscillate, which are none after all. Kinds are worked out by hand, or
 * by counting the levels at rest.
 */
import { expect, test } from 'vitest'
import { findDevice, fuseMapFrom } from '../../src/index'
import { analyse, decode, type Analysis, type Loop } from '../../src/logic'
import type { DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { granted } from '../granted'

const high = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
  ...more,
})
const low = (pin: number, terms: readonly Term[]): DesignOutput => high(pin, terms, { activeHigh: false })

function analysed(outputs: readonly DesignOutput[]): Analysis {
  return granted(analyse(
    decode(findDevice('16V8')!, fuseMapFrom(encode({ part: '16V8', mode: 'complex', outputs }).join(''))).logic!,
  ))
}

const SET_RESET = high(18, [[2], [18, -3]])
const RING = [low(18, [[17]]), high(17, [[16]]), high(16, [[18]])]

test.each<[string, readonly DesignOutput[], readonly Loop[]]>([
  ['set or hold while not reset', [SET_RESET], [{ pins: [18], kind: 'latch' }]],
  [
    'two outputs that hold each other low',
    [low(18, [[2], [17]]), low(17, [[3], [18]])],
    [{ pins: [17, 18], kind: 'latch' }],
  ],
  [
    // While p2 is 1 pin 18 never rests; pin 17 holds either level then, and is 0 else.
    'what keeps changing keeps nothing from the next circle',
    [high(18, [[2, -18]]), high(17, [[2, 3], [2, 17]])],
    [
      { pins: [17], kind: 'latch' },
      { pins: [18], kind: 'oscillator' },
    ],
  ],
  [
    'an output that drives what it reads while it is on',
    [high(18, [[18]], { enable: { term: [2] } })],
    [{ pins: [18], kind: 'latch' }],
  ],
  ['an output that inverts itself', [low(18, [[18]])], [{ pins: [18], kind: 'oscillator' }]],
  ['one that inverts itself for some inputs only', [low(18, [[18, 2, 3]])], [{ pins: [18], kind: 'oscillator' }]],
  ['a ring of three that inverts once', RING, [{ pins: [16, 17, 18], kind: 'oscillator' }]],
  ['a ring of two that inverts twice', [low(18, [[17]]), low(17, [[18]])], [{ pins: [17, 18], kind: 'latch' }]],
  [
    'remembers for some inputs, oscillates for others: the worse',
    [
      high(18, [
        [2, -18],
        [-2, 18],
        [-2, 3],
      ]),
    ],
    [{ pins: [18], kind: 'oscillator' }],
  ],
  [
    'a bus driver in two directions, one at a time',
    [high(18, [[17]], { enable: { term: [2] } }), high(17, [[18]], { enable: { term: [-2] } })],
    [{ pins: [17, 18], kind: 'none' }],
  ],
  ['a term that names its own pin without effect', [high(18, [[2], [2, 18]])], [{ pins: [18], kind: 'none' }]],
  [
    'one level at which it rests, whichever way it gets there',
    [high(18, [[17, 2]]), high(17, [[18, -2]])],
    [{ pins: [17, 18], kind: 'none' }],
  ],
  ['none at all', [high(18, [[17]]), high(17, [[16]])], []],
  ['an output that is never on reads its own pin', [high(18, [[18]], { enable: 'never' })], []],
  [
    'several of different kinds',
    [SET_RESET, low(16, [[16, 4]]), high(14, [[5], [5, 14]])],
    [
      { pins: [14], kind: 'none' },
      { pins: [16], kind: 'oscillator' },
      { pins: [18], kind: 'latch' },
    ],
  ],
  // p17 and p18 are never both high at rest, so that what p16 would then do never shows.
  [
    'a circle that another one keeps quiet',
    [low(18, [[2], [17]]), low(17, [[3], [18]]), high(16, [[18, 17, -16]])],
    [
      { pins: [16], kind: 'none' },
      { pins: [17, 18], kind: 'latch' },
    ],
  ],
  // Both low at rest is possible, while both inputs are high.
  [
    'a circle that another one lets go',
    [low(18, [[2], [17]]), low(17, [[3], [18]]), high(16, [[-18, -17, -16]])],
    [
      { pins: [16], kind: 'oscillator' },
      { pins: [17, 18], kind: 'latch' },
    ],
  ],
])('%s', (_, outputs, loops) => {
  expect(analysed(outputs).loops).toEqual(loops)
})

test('a circle through a register is none: its level waits for the clock', () => {
  const fuses = encode({
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [
      { pin: 18, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[-18], [17]] },
      high(17, [[18]]),
    ],
  })
  expect(granted(analyse(decode(findDevice('16V8')!, fuseMapFrom(fuses.join(''))).logic!)).loops).toEqual([])
})

test('what sets and resets a latch decides; a pin that is always driven does not', () => {
  expect(analysed([SET_RESET])).toMatchObject({ decidingPins: [2, 3], idleInputs: [] })
  // Off while pin 2 is low, the pin takes what is applied: that is what it then holds.
  expect(analysed([high(18, [[18]], { enable: { term: [2] } })]).decidingPins).toEqual([2, 18])
})

const INPUTS = [2, 3]
const OUTPUTS = [16, 17, 18]

function network(random: Random): DesignOutput[] {
  const term = (): Term => {
    const pins = [...INPUTS, ...OUTPUTS].filter(() => random(5) < 2)
    return pins.length ? pins.map((pin) => (random(2) ? pin : -pin)) : [pick(random, INPUTS)]
  }
  return OUTPUTS.map((pin) => high(pin, Array.from({ length: 1 + random(3) }, term), { activeHigh: random(2) === 1 }))
}

const PINS = [...INPUTS, ...OUTPUTS]
const UP_TO = (count: number): number[] => Array.from({ length: count }, (_, i) => i)

/** Level of an output under the levels of all pins, bit by bit in the order of PINS. */
function levelOf({ terms, activeHigh }: DesignOutput, levels: number): boolean {
  const holds = (literal: number): boolean =>
    ((levels >> PINS.indexOf(Math.abs(literal))) & 1) === Number(literal > 0)
  return terms.some((term) => term.every(holds)) === activeHigh
}

/** True where every output depends on every other, directly or through others, or a single one on itself. */
function isOneCircle(outputs: readonly DesignOutput[]): boolean {
  const reach = outputs.map((output) =>
    OUTPUTS.map((_, j) =>
      UP_TO(32).some((levels) => levelOf(output, levels) !== levelOf(output, levels ^ (1 << (INPUTS.length + j)))),
    ),
  )
  for (const via of UP_TO(3))
    for (const from of UP_TO(3))
      for (const to of UP_TO(3)) reach[from]![to] ||= reach[from]![via]! && reach[via]![to]!
  return reach.every((row) => row.every(Boolean))
}

/** Levels that follow a state of the outputs where one of them switches; none at rest. */
function switched(outputs: readonly DesignOutput[], inputs: number, state: number): number[] {
  return UP_TO(3)
    .filter((i) => levelOf(outputs[i]!, inputs | (state << 2)) !== (((state >> i) & 1) === 1))
    .map((i) => state ^ (1 << i))
}

/**
 * Whether single switches can go round without end: not at all; only while a pin that is about to switch never does; or
 * with every pin getting its turn, so that no delay prevents it.
 */
function goesRound(outputs: readonly DesignOutput[], inputs: number): 'not' | 'unfairly' | 'fairly' {
  const next = UP_TO(8).map((state) => switched(outputs, inputs, state))
  const reach = next.map((states) => new Set(states))
  for (const via of UP_TO(8))
    for (const from of UP_TO(8)) if (reach[from]!.has(via)) for (const to of reach[via]!) reach[from]!.add(to)
  const circles = UP_TO(8).flatMap((state) =>
    reach[state]!.has(state)
      ? [UP_TO(8).filter((other) => reach[state]!.has(other) && reach[other]!.has(state))]
      : [],
  )
  const isFair = (states: readonly number[]): boolean =>
    UP_TO(3).every((i) =>
      states.some((state) => !next[state]!.includes(state ^ (1 << i)) || states.includes(state ^ (1 << i))),
    )
  if (circles.length === 0) return 'not'
  return circles.some(isFair) ? 'fairly' : 'unfairly'
}

test('random circles of three, by the graph of their single switches', () => {
  const found = { oscillator: 0, latch: 0, none: 0 }
  let both = 0
  for (let seed = 6600; seed < 7400; seed++) {
    const outputs = network(seededRandom(seed))
    if (!isOneCircle(outputs)) continue
    const counts = UP_TO(4).map(
      (inputs) => UP_TO(8).filter((state) => switched(outputs, inputs, state).length === 0).length,
    )
    const rounds = UP_TO(4).map((inputs) => goesRound(outputs, inputs))
    const round = rounds.includes('fairly')
    // A pin that never gets its turn is no delay of a real part: both answers are right then.
    if (!round && rounds.includes('unfairly')) continue
    const remembers = counts.some((count) => count > 1) ? 'latch' : 'none'
    const kind = round ? 'oscillator' : remembers
    if (round && !counts.includes(0)) both++
    expect(analysed(outputs).loops, `seed ${seed}, levels at rest ${counts.join(' ')}`).toEqual([
      { pins: OUTPUTS, kind },
    ])
    found[kind]++
  }
  expect(Math.min(found.oscillator, found.latch, found.none), JSON.stringify(found)).toBeGreaterThan(3)
  // Some can keep changing although every input has a level at which they rest.
  expect(both).toBeGreaterThan(3)
})
