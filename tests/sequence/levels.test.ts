/**
 * What a run shows pin by pin, hand-worked on small designs: outputs that are switched, levels from outside, unknown
 * states and why, power-up, pulses, preloads, registers that clock each other.
 */
import { describe, expect, test } from 'vitest'
import { runSteps, type Step } from '../../src/logic'
import type { Design, DesignOutput } from '../parts/design'
import { decodeStates } from '../parts/probe'
import { driven, mapOf } from '../vectors/maps'
import { levelsAt, runDesign, statesAt, unknownIn } from './outcomes'
import { granted } from '../granted'

function registered16V8(...outputs: readonly DesignOutput[]): Design {
  return { part: '16V8', mode: 'registered', clockPin: 1, outputs }
}

/** A register of a 16V8 that pin 11 low switches on. */
function register(pin: number, ...terms: readonly (readonly number[])[]): DesignOutput {
  return { pin, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms }
}

function gate(pin: number, enable: DesignOutput['enable'], ...terms: readonly (readonly number[])[]): DesignOutput {
  return { pin, kind: 'combinational', activeHigh: true, enable, terms }
}

describe('a ring of registers', () => {
  // 19 takes 17, or 1 while pin 2 is high; 18 takes 19 and 17 takes 18, both unless pin 2 is high.
  const ring = registered16V8(register(19, [17], [2]), register(18, [19, -2]), register(17, [18, -2]))

  test('carries its one round', () => {
    const run = runDesign(ring, [
      { set: { 1: 0, 11: 0, 2: 1 }, pulse: [1] },
      { set: { 2: 0 }, pulse: [1], repeat: 7 },
    ])
    expect(levelsAt(run, [19, 18, 17])).toEqual(['100', '010', '001', '100', '010', '001', '100', '010'])
    // The buffer inverts (GAL16V8 data sheet, 16v8_04, p. 4): Q is the opposite of the pin.
    expect(statesAt(run, 19)).toBe('01101101')
    expect(run.registers).toEqual([19, 18, 17])
  })

  test('is unknown as long as nothing has set it, register by register', () => {
    const run = runDesign(ring, [{ set: { 1: 0, 11: 0, 2: 0 } }, { pulse: [1] }, { set: { 2: 1 } }, { pulse: [1] }])
    expect(levelsAt(run, [19, 18, 17])).toEqual(['XXX', 'XXX', 'XXX', '100'])
    const why = (pin: number, register: number): unknown => ({ pin, causes: [{ kind: 'register', pin: register }] })
    expect(unknownIn(run)[0]).toEqual([why(17, 17), why(18, 18), why(19, 19)])
    // One clock on, 17 holds what 18 had at the start, 18 what 19 had, 19 what 17 had.
    expect(unknownIn(run)[1]).toEqual([why(17, 18), why(18, 19), why(19, 17)])
    expect(unknownIn(run)[3]).toEqual([])
  })

  test('starts from the power-up state when told so', () => {
    // GAL16V8 data sheet, 16v8_04, p. 20: all Q are 0, so that the pins are high.
    const run = runDesign(ring, [{ set: { 1: 0, 11: 0, 2: 0 } }, { pulse: [1] }, { set: { 2: 1 }, pulse: [1] }], {
      start: 'power-up',
    })
    expect(run.start).toBe('power-up')
    expect(levelsAt(run, [19, 18, 17])).toEqual(['111', '111', '100'])
    expect(run.steps[0]!.states).toBe('000')
  })
})

test('a pulse goes to the other level and back, and is seen on the way', () => {
  // 23 takes pin 2 at the rise of pin 1; 22 shows the clock itself while pin 3 is high.
  const design: Design = {
    part: '22V10',
    mode: null,
    clockPin: 1,
    outputs: [
      { pin: 23, kind: 'registered', activeHigh: true, enable: 'always', terms: [[2]] },
      gate(22, 'always', [1, 3]),
    ],
  }
  const run = runDesign(
    design,
    [{ set: { 1: 0, 2: 1, 3: 1 }, pulse: [1] }, { set: { 1: 1 } }, { set: { 2: 0 }, pulse: [1] }, { set: { 1: 0 } }],
    { watch: [1, 22, 23] },
  )
  const moments = run.steps.map((step) => [...step.onTheWay, step].map(({ moment, levels }) => `${moment} ${levels}`))
  expect(moments).toEqual([
    ['set 00X', 'pulse 111', 'return 001'],
    // The level of pin 1 itself rises: again a clock, of the same data.
    ['set 111'],
    // Resting high the pulse is low, and the clock rises on its return.
    ['set 111', 'pulse 001', 'return 110'],
    ['set 000'],
  ])
})

describe('outputs that are switched', () => {
  // 18 copies pin 2 while pin 3 is high; 17 copies pin 18, whatever drives that.
  const design: Design = {
    part: '16V8',
    mode: 'complex',
    outputs: [gate(18, { term: [3] }, [2]), gate(17, 'always', [18])],
  }
  const watch = [18, 17]

  test('off: nothing, or what is applied from outside, and then the part does not drive', () => {
    const run = runDesign(
      design,
      [{ set: { 2: 1, 3: 0 } }, { set: { 18: 1 } }, { set: { 18: 0 } }, { set: { 18: 'X' } }, { set: { 18: 'Z' } }],
      { watch },
    )
    expect(levelsAt(run, watch)).toEqual(['ZX', '11', '00', 'XX', 'ZX'])
    expect(run.steps.map(({ driving }) => driving)).toEqual(['01', '01', '01', '01', '01'])
    expect(unknownIn(run)).toEqual([
      [{ pin: 17, causes: [{ kind: 'floating', pin: 18 }] }],
      [],
      [],
      [
        { pin: 18, causes: [{ kind: 'input', pin: 18 }] },
        { pin: 17, causes: [{ kind: 'input', pin: 18 }] },
      ],
      [{ pin: 17, causes: [{ kind: 'floating', pin: 18 }] }],
    ])
  })

  test('on: an applied level is overridden and named only where it differs', () => {
    const run = runDesign(
      design,
      [{ set: { 2: 1, 3: 1, 18: 0 } }, { set: { 18: 1 } }, { set: { 3: 0, 18: 0 } }, { set: { 3: 1, 2: 'X' } }],
      { watch },
    )
    expect(levelsAt(run, watch)).toEqual(['11', '11', '00', 'XX'])
    expect(run.steps.map(({ overridden }) => overridden)).toEqual([[18], [], [], []])
    expect(run.steps.map(({ driving }) => driving)).toEqual(['11', '11', '01', '11'])
  })

  test('perhaps on: what both cases share, and driving is unknown', () => {
    const run = runDesign(design, [{ set: { 2: 1, 3: 'X', 18: 1 } }, { set: { 18: 0 } }, { set: { 18: 'Z' } }], {
      watch,
    })
    expect(run.steps.map(({ levels, driving }) => `${levels} ${driving}`)).toEqual(['11 X1', 'XX X1', 'XX X1'])
    expect(unknownIn(run)[1]![0]).toEqual({ pin: 18, causes: [{ kind: 'input', pin: 3 }] })
  })

  test('expectations: off, on, and open where that is unknown', () => {
    const steps: Step[] = [
      { set: { 2: 1, 3: 0 }, expect: { 18: 'Z', 17: 'H' } },
      { set: { 3: 1 }, expect: { 18: 'Z' } },
      { expect: { 18: 'H' } },
      { expect: { 18: 'L' } },
      { set: { 3: 'X' }, expect: { 18: 'Z' } },
      { set: { 3: 0 }, expect: { 18: 'L' } },
      { set: { 18: 0 }, expect: { 18: 'L' } },
      { set: { 18: 0 }, expect: { 18: 'Z' } },
      { expect: { 18: 'X', 17: 'X' } },
      { set: { 2: 'X', 3: 'X', 18: 'Z' }, expect: { 18: 'Z' } },
    ]
    const run = runDesign(design, steps)
    const outcomes = run.steps.map(({ checks }) =>
      checks.map(({ pin, expected, found, result }) => `${pin} ${expected} ${found} ${result}`).join(', '),
    )
    expect(outcomes).toEqual([
      '17 H X open, 18 Z Z held',
      '18 Z 1 contradicted',
      '18 H 1 held',
      '18 L 1 contradicted',
      '18 Z X open',
      // Nothing drives: neither level is there.
      '18 L Z contradicted',
      // Driven from outside, the level is there; and the output is off all the same.
      '18 L 0 held',
      '18 Z 0 held',
      '',
      '18 Z X open',
    ])
    expect(run.expectations).toEqual({ held: 4, contradicted: 3, open: 3 })
    expect(run.steps[0]!.checks[0]!.causes).toEqual([{ kind: 'floating', pin: 18 }])
    expect(run.steps[4]!.checks[0]!.causes).toEqual([{ kind: 'input', pin: 3 }])
    // Whether it is off hangs on pin 3 alone, though the level hangs on pin 2 as well.
    expect(run.steps[9]!.checks[0]!.causes).toEqual([{ kind: 'input', pin: 3 }])
  })

  test('by default all pins that are named and all outputs that can drive are shown, inputs first', () => {
    const many: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [
        gate(18, { term: [3] }, [2]),
        gate(17, 'always', [18]),
        gate(19, 'never'),
        gate(16, 'never'),
        gate(14, 'never'),
      ],
    }
    const pins = { enable: 3, out: 18 }
    const run = runDesign(many, [{ set: { 9: 1, enable: 1 } }, { set: { 19: 0, 2: 1 }, pulse: [2] }], { pins })
    expect(run.pins).toEqual([
      { pin: 2, name: null },
      { pin: 3, name: 'enable' },
      { pin: 9, name: null },
      { pin: 19, name: null },
      { pin: 17, name: null },
      { pin: 18, name: 'out' },
    ])
    // Pin 19 is an input by its setting, and stands among them.
    expect(runDesign(many, [{ set: { 9: 1 } }], { pins, watch: ['out', 5, '9'] }).pins).toEqual([
      { pin: 18, name: 'out' },
      { pin: 5, name: null },
      { pin: 9, name: null },
    ])
  })
})

describe('uncertain clocks and orders', () => {
  const single = registered16V8(register(19, [2]))

  test('a clock that comes from nowhere may have risen', () => {
    const constant = registered16V8(register(19))
    const run = runDesign(constant, [{ set: { 11: 0, 1: 1 } }], { start: 'power-up' })
    // Without a term the pin takes 0, and it starts high: unknown.
    expect(levelsAt(run, [19])).toEqual(['X'])
    expect(unknownIn(run)[0]).toEqual([{ pin: 19, causes: [{ kind: 'clock', pin: 19 }] }])
    expect(
      levelsAt(runDesign(constant, [{ set: { 11: 0, 1: 0 } }, { set: { 1: 1 } }], { start: 'power-up' }), [19]),
    ).toEqual(['1', '0'])
  })

  test('data that change together with the clock leave the order open; a step later they do not', () => {
    const together = runDesign(single, [{ set: { 11: 0, 1: 0, 2: 0 } }, { set: { 1: 1, 2: 1 } }])
    expect(unknownIn(together)[1]).toEqual([{ pin: 19, causes: [{ kind: 'order', pin: 1 }] }])
    const apart = runDesign(single, [{ set: { 11: 0, 1: 0, 2: 0 } }, { set: { 2: 1 } }, { set: { 1: 1 } }])
    expect(levelsAt(apart, [19])).toEqual(['X', 'X', '1'])
    // A pulse follows the levels of its step.
    expect(
      levelsAt(runDesign(single, [{ set: { 11: 0, 1: 0, 2: 0 } }, { set: { 2: 1 }, pulse: [1] }]), [19]),
    ).toEqual(['X', '1'])
  })

  test('several pulses in one step: only what every order gives is known, and nothing else while they last', () => {
    // 20RA10: 23 takes pin 4 at the rise of pin 2, and 22 takes pin 23 at the rise of pin 3.
    const cell = (pin: number, clock: number, data: number): DesignOutput => ({
      pin,
      kind: 'registered',
      activeHigh: true,
      enable: { term: [], lowPin: 13 },
      clock: [clock],
      reset: [5],
      terms: [[data]],
    })
    const design: Design = { part: '20RA10', mode: null, outputs: [cell(23, 2, 4), cell(22, 3, 23)] }
    const rest = { 1: 1, 13: 0, 2: 0, 3: 0, 4: 0 } as const
    const watch = [2, 3, 4, 23, 22]
    // Reset makes both pins high; then 23 takes 0, and 22 either the old 1 or the new 0.
    const run = runDesign(
      design,
      [{ set: { ...rest, 5: 1 } }, { set: { 5: 0 } }, { pulse: [2, 3] }, { pulse: [3] }, { pulse: [3, 2] }],
      { watch },
    )
    expect(levelsAt(run, [23, 22])).toEqual(['11', '11', '0X', '00', '00'])
    expect(unknownIn(run)[2]).toEqual([{ pin: 22, causes: [{ kind: 'order', pin: 22 }] }])
    // Meanwhile each clock is high at some moment and low at another.
    expect(run.steps[2]!.onTheWay.at(-1)).toEqual({
      moment: 'pulse',
      levels: 'XX0XX',
      driving: '00011',
      states: 'XX',
    })
    expect(run.steps[4]!.onTheWay.at(-1)).toEqual({
      moment: 'pulse',
      levels: 'XX000',
      driving: '00011',
      states: '11',
    })
  })
})

describe('preload', () => {
  // 19 takes the opposite of pin 19 and 18 takes 19.
  const design = registered16V8(register(19, [-19]), register(18, [19]))

  test('gives registers the levels that their pins then show', () => {
    const run = runDesign(design, [
      { set: { 1: 0, 11: 0 } },
      { load: { 19: 0, 18: 0 } },
      { pulse: [1] },
      { load: { 19: 1 }, pulse: [1] },
    ])
    expect(levelsAt(run, [19, 18])).toEqual(['XX', '00', '10', '01'])
    expect(run.steps[3]!.onTheWay.map(({ moment, levels }) => `${moment} ${levels.slice(-2)}`)).toEqual([
      'set 01',
      'load 01',
      'pulse 10',
    ])
    expect(run.steps[1]!.moment).toBe('load')
  })

  test('reaches registers whose outputs are off, and those alone that it names', () => {
    const run = runDesign(design, [{ set: { 1: 0, 11: 1 }, load: { 19: 1 } }, { set: { 11: 0 } }])
    expect(levelsAt(run, [19, 18])).toEqual(['ZZ', '1X'])
  })

  test('gives way to a reset that holds', () => {
    // 22V10: the reset row is pin 3; active high, pin = Q.
    const held: Design = {
      part: '22V10',
      mode: null,
      clockPin: 1,
      reset: [3],
      outputs: [{ pin: 23, kind: 'registered', activeHigh: true, enable: 'always', terms: [[2]] }],
    }
    const run = runDesign(held, [
      { set: { 1: 0, 2: 0, 3: 0 }, load: { 23: 1 } },
      { set: { 3: 1 } },
      { load: { 23: 1 } },
    ])
    expect(levelsAt(run, [23])).toEqual(['1', '0', '0'])
  })
})

test('a ripple of registers that clock each other counts in one step', () => {
  // GAL20RA10 data sheet, 20ra10_02, p. 3: a clock row each. A stage turns round when the pin before it falls.
  const stages = [23, 22, 21, 20]
  const outputs = stages.map((pin, i): DesignOutput => ({
    pin,
    kind: 'registered',
    activeHigh: true,
    enable: { term: [], lowPin: 13 },
    clock: i === 0 ? [2] : [-stages[i - 1]!],
    preset: [3],
    terms: [[-pin]],
  }))
  const steps: Step[] = [{ set: { 1: 1, 13: 0, 2: 0, 3: 1 } }, { set: { 3: 0 } }, { pulse: [2], repeat: 20 }]
  const run = runDesign({ part: '20RA10', mode: null, outputs }, steps)
  // Preset makes the pins low (same sheet, p. 4); then one more with each pulse, round after fifteen.
  const counts = [0, 0, ...Array.from({ length: 20 }, (_, i) => (i + 1) % 16)]
  expect(levelsAt(run, [...stages].reverse())).toEqual(counts.map((count) => count.toString(2).padStart(4, '0')))
})

test('the run tells what it ran, as plain data', () => {
  const run = runDesign(registered16V8(register(19, [2])), [{ set: { 1: 0 } }], { timeStep: 40 })
  expect(run).toMatchObject({
    part: '16V8',
    mode: 'registered',
    start: 'unknown',
    timeStep: 40,
    registers: [19],
    expectations: { held: 0, contradicted: 0, open: 0 },
  })
  expect(JSON.parse(JSON.stringify(run))).toEqual(run)
})

test('a long run tells each reason once', () => {
  // Nothing sets the registers: 19 and 18 take each other's unknown start, by turns.
  const swap = registered16V8(register(19, [18]), register(18, [19]))
  const run = runDesign(swap, [{ set: { 1: 0, 11: 0 } }, { pulse: [1], repeat: 40 }])
  expect(run.reasons).toEqual([[{ kind: 'register', pin: 18 }], [{ kind: 'register', pin: 19 }]])
  expect(
    unknownIn(run).map((pins) => pins.map(({ pin, causes }) => `${pin} from ${causes[0]!.pin}`).join(', ')),
  ).toEqual(Array.from({ length: 41 }, (_, i) => (i % 2 === 0 ? '18 from 18, 19 from 19' : '18 from 19, 19 from 18')))
})

test('a cell that no data sheet defines may drive, and so is shown', () => {
  // GAL16V8 data sheet, 16v8_04, p. 6: AC1 = 0 has no meaning in complex mode.
  const run = granted(runSteps(
    decodeStates(
      Uint8Array.from(mapOf('complex', { 18: { ac1: 0, xor: 1, rows: [[], [2]] }, 17: driven([2]) }), Number),
    ),
    { steps: [{ set: { 2: 1 } }] },
  ))
  expect(run.pins.map(({ pin }) => pin)).toEqual([2, 17, 18])
  expect(run.steps[0]).toMatchObject({ levels: '11X', driving: '01X' })
  expect(unknownIn(run)).toEqual([[{ pin: 18, causes: [{ kind: 'undefined-cell', pin: 18 }] }]])
})

test('registers that are bypassed for good, or that nothing shows, have no states', () => {
  // GAL20RA10 data sheet, 20ra10_02, p. 3: reset and preset together let the data past. All ten cells have a register.
  const cell = (pin: number, rows: Partial<DesignOutput>): DesignOutput => ({
    pin,
    kind: 'registered',
    activeHigh: true,
    enable: { term: [], lowPin: 13 },
    terms: [[2]],
    ...rows,
  })
  const run = runDesign(
    { part: '20RA10', mode: null, outputs: [cell(23, { clock: [3] }), cell(22, { reset: [], preset: [] })] },
    [{ set: { 1: 1, 13: 0, 2: 1 } }],
  )
  expect(run.registers).toEqual([23])
  expect(levelsAt(run, [22])).toEqual(['1'])
})

test('a part without registers has no states', () => {
  const run = runDesign({ part: '16V8', mode: 'simple', outputs: [gate(19, 'always', [2, 3])] }, [
    { set: { 2: 1, 3: 1 } },
    { set: { 3: 0 } },
  ])
  expect(run.registers).toEqual([])
  expect(run.steps.map(({ states }) => states)).toEqual(['', ''])
  expect(levelsAt(run, [19])).toEqual(['1', '0'])
})
