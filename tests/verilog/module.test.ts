/** Exported modules against hand-worked expectations: ports, levels, registers, comments, names. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { findDevice, fuseMapFrom, check } from '../../src/index'
import { decode, verilogModule, type Decoded } from '../../src/logic'
import type { Design, DesignOutput } from '../parts/design'
import { encode } from '../parts/encoder'
import { seededRandom } from '../parts/random-designs'
import { gated, mapOf } from '../vectors/maps'
import { FIRST, LAST, Restless, Running, type Choose, type Habits, type Value } from './event-simulation'
import { readModule } from './reader'
import { granted } from '../granted'

const ORDERS: readonly Choose[] = [FIRST, LAST, seededRandom(10), seededRandom(20), seededRandom(30)]

const decodedOf = (design: Design): Decoded =>
  decode(findDevice(design.part)!, fuseMapFrom([...encode(design)].join('')))
const textOf = (design: Design): string => granted(verilogModule(decodedOf(design)))

type Levels = Readonly<Record<number, string>>

/** Levels of one pin after each step, in every order of events; what is not named is not connected. */
function levelsAt(text: string, pin: number, steps: readonly Levels[], habits: Habits = {}, orders = ORDERS): string {
  const ways = orders.flatMap((choose) => [
    { choose, eager: false },
    { choose, eager: true },
  ])
  const results = ways.map(({ choose, eager }) => {
    const running = new Running(readModule(text), choose, { eager, ...habits })
    return steps
      .map((levels) => {
        running.drive(
          new Map(
            [...readModule(text).ports.keys()].map((port) => [port, (levels[Number(port.slice(1))] ?? 'z') as Value]),
          ),
        )
        return running.level(`p${pin}`)
      })
      .join('')
  })
  return [...new Set(results)].join(' or ')
}

/** Steps that hold `always` and give single pins one level a step. */
function steps(always: Levels, moving: Readonly<Record<number, string>>): Levels[] {
  const { length } = Object.values(moving)[0]!
  return Array.from({ length }, (_, i) => ({
    ...always,
    ...Object.fromEntries(Object.entries(moving).map(([pin, levels]) => [pin, levels[i]!])),
  }))
}

describe('vectors of files', () => {
  const published = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url))
  const gauge = readFileSync(new URL('../../vectors/demo/tide-gauge-16v8.jed', import.meta.url))

  /** Runs the V fields of a text on the module of its fuses; gives every expected level with what is found there. */
  function foundFor(bytes: Uint8Array, device?: string): { readonly expected: string; readonly found: string } {
    const text = granted(verilogModule(check(bytes, device ? { device } : {}).decoded!))
    const running = new Running(readModule(text))
    let [expected, found] = ['', '']
    for (const [, conditions] of new TextDecoder().decode(bytes).matchAll(/V\d+ ([^*\s]+)\*/g)) {
      const levels = [...conditions!]
        .map(
          (condition, i) =>
            [
              `p${i + 1}`,
              ({ 0: '0', 1: '1', C: '0' }[condition] ?? (condition === 'X' ? 'x' : 'z')) as Value,
            ] as const,
        )
        .filter(([port]) => readModule(text).ports.has(port))
      running.drive(new Map(levels))
      if (conditions!.includes('C'))
        for (const level of ['1', '0'] as const) running.drive(new Map([[`p${conditions!.indexOf('C') + 1}`, level]]))
      for (const [i, condition] of [...conditions!].entries())
        if ('HLZ'.includes(condition)) {
          expected += condition
          found += { 0: 'L', 1: 'H', z: 'Z', x: 'X' }[running.level(`p${i + 1}`)]
        }
    }
    return { expected, found }
  }

  test("the standard's 14L4 (3-A, worked example): eight vectors of four levels", () => {
    const { expected, found } = foundFor(published, '14L4')
    expect(expected).toHaveLength(32)
    expect(found).toBe(expected)
  })

  test('the demonstration, whose vectors its maker worked out by hand', () => {
    const { expected, found } = foundFor(gauge)
    // Ten vectors of five outputs.
    expect(expected).toHaveLength(50)
    expect(found).toBe(expected)
  })
})

describe('ports', () => {
  test('directions in the complex mode of a 16V8', () => {
    const outputs: DesignOutput[] = [
      { pin: 19, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2]] },
      { pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[18, 3], [4]] },
      { pin: 17, kind: 'combinational', activeHigh: true, enable: { term: [5] }, terms: [[6]] },
      { pin: 16, kind: 'combinational', activeHigh: true, enable: 'never', terms: [] },
    ]
    const text = textOf({
      part: '16V8',
      mode: 'complex',
      outputs: [
        ...outputs,
        { pin: 15, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[16, 17]] },
      ],
    })
    // 10 and 20 are supply. 19, 18 and 15 always drive, 18 although it is read; 17 at times; the cells of 16, 14, 13,
    // 12 never.
    const directions = [...readModule(text).ports].map(([port, direction]) => `${port} ${direction}`)
    const inputs = (...pins: number[]): string[] => pins.map((pin) => `p${pin} input`)
    expect(directions).toEqual([
      ...inputs(1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14),
      'p15 output',
      'p16 input',
      'p17 inout',
      'p18 output',
      'p19 output',
    ])
    // Terms read 2, 3, 4, 18 | 5, 6 | 16, 17.
    // What always drives is read back inside, so that nothing outside can change it.
    expect(text).toContain('p3 & value18')
    const idle = [...text.matchAll(/wire p(\d+),? \/\/ nothing reads it/g)].map(([, pin]) => Number(pin))
    expect(idle).toEqual([1, 7, 8, 9, 11, 12, 13, 14])
  })

  test('where nothing drives, nothing is read', () => {
    const text = textOf({ part: '20RA10', mode: null, outputs: [] })
    // 24 pins less two of supply; the last line has no comma.
    expect([...text.matchAll(/input {2}wire p\d+,? \/\/ nothing reads it/g)]).toHaveLength(22)
  })

  test('a pin that drives at times is read as it stands outside while it is off', () => {
    const text = textOf({
      part: '16V8',
      mode: 'complex',
      outputs: [
        { pin: 17, kind: 'combinational', activeHigh: true, enable: { term: [5] }, terms: [[6]] },
        { pin: 15, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[17]] },
      ],
    })
    // Pin 15 = ¬17: on with 6 = 1; off with 0, then 1 outside; off and open.
    expect(
      levelsAt(text, 15, [
        { 5: '1', 6: '1' },
        { 5: '0', 6: '1', 17: '0' },
        { 5: '0', 6: '1', 17: '1' },
        { 5: '0', 6: '1' },
      ]),
    ).toBe('010x')
    expect(
      levelsAt(text, 17, [
        { 5: '1', 6: '1' },
        { 5: '0', 6: '1' },
        { 5: '1', 6: '0' },
      ]),
    ).toBe('1z0')
  })

  describe('a cell that no data sheet defines', () => {
    // AC1 0 in complex mode (GAL16V8 data sheet p. 6): whether and what it drives is unknown.
    const undefinedAt18 = (term: readonly number[]): string =>
      granted(verilogModule(
        decode(
          findDevice('16V8')!,
          fuseMapFrom(mapOf('complex', { 18: { ac1: 0, xor: 0, rows: [] }, 17: gated([], term) })),
        ),
      ))

    test('is the unknown where something reads its pin, whatever comes from outside', () => {
      const text = undefinedAt18([2, 18])
      expect(readModule(text).ports.get('p18')).toBe('inout')
      expect(levelsAt(text, 18, [{}, { 18: '1' }])).toBe('xx')
      // 0 ∧ x = 0 and 1 ∧ x = x (IEEE Std 1364-2001, the bitwise and).
      expect(levelsAt(text, 17, [{ 2: '0', 18: '1' }, { 2: '1', 18: '1' }, { 2: '1', 18: '0' }, { 2: '1' }])).toBe(
        '0xxx',
      )
      expect(text).toContain('// Pin 18: no data sheet defines this setting')
    })

    test('leaves its pin alone where nothing reads it', () => {
      const text = undefinedAt18([2])
      expect(levelsAt(text, 18, [{}, { 18: '1' }])).toBe('z1')
      expect(levelsAt(text, 17, [{ 2: '0' }, { 2: '1' }])).toBe('01')
      expect(text).toContain('which nothing reads')
    })
  })
})

describe('registers', () => {
  const v10 = (outputs: readonly DesignOutput[], more: Partial<Design> = {}): string =>
    textOf({ part: '22V10', mode: null, clockPin: 1, outputs, ...more })
  const register = (pin: number, activeHigh: boolean, ...terms: DesignOutput['terms']): DesignOutput => ({
    pin,
    kind: 'registered',
    activeHigh,
    enable: 'always',
    terms,
  })

  test.each([
    [true, '0011', '0'],
    [false, '1100', '1'],
  ])('22V10, active high %s: polarity behind the register, low Q at power-up', (activeHigh, expected, start) => {
    const text = v10([register(23, activeHigh, [2])])
    expect(levelsAt(text, 23, steps({}, { 1: '0010', 2: '0110' }))).toBe(expected)
    expect(levelsAt(text, 23, [{}])).toBe(start)
    expect(text).toContain("initial q23 = 1'b0;")
  })

  test('22V10: a buried register feeds back ¬Q although its pin is an input', () => {
    const buried: DesignOutput = { ...register(23, true, [2]), enable: 'never' }
    const text = v10([buried, { pin: 14, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[-23]] }])
    expect(readModule(text).ports.get('p23')).toBe('input')
    // Pin 14 = ¬(¬Q) = Q, whatever stands at pin 23.
    expect(levelsAt(text, 14, steps({ 23: '0' }, { 1: '010', 2: '110' }))).toBe('011')
  })

  test('22V10: what a register takes is from before the edge, its clock pin in the terms included', () => {
    const text = v10([
      register(23, true, [1]),
      register(22, true, [-1]),
      register(21, true, [14]),
      { pin: 14, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[1]] },
    ])
    const clocked = steps({}, { 1: '0101' })
    // Pin 1 is 0 before each rising edge, and so is pin 14, which follows it.
    expect([23, 22, 21].map((pin) => levelsAt(text, pin, clocked))).toEqual(['0000', '0111', '0000'])
  })

  test('22V10: reset at once, clocked preset at the clock, reset before preset', () => {
    const text = v10([register(23, true, [2])], { reset: [3], clockedPreset: [4] })
    const moves = { 1: '0001100110', 3: '0000010010', 4: '0111111111', 2: '0000000000' }
    // Preset alone does nothing; the edge of step 4 sets; reset in step 6 clears; the edge of step 8 sets; reset in
    // step 9.
    expect(levelsAt(text, 23, steps({}, moves))).toBe('0001100100')
  })

  test('22V10: levels that change together and meet for no time neither reset nor clock', () => {
    const text = v10([register(23, true, [2])], { reset: [3, 4] })
    // Q is 0 and pin 2 is 1: a false edge would take 1. Pins 3 and 4 change places, and back.
    expect(levelsAt(text, 23, steps({ 1: '0', 2: '1' }, { 3: '010', 4: '101' }))).toBe('000')
    // And a reset that stays does reset a Q of 1.
    expect(levelsAt(text, 23, steps({ 2: '1', 4: '1' }, { 1: '01000', 3: '00010' }))).toBe('01100')
  })

  test('22V10: a reset that ends with the edge of the clock holds over it', () => {
    // Reset = ¬1, and the sum is 1: before every rise of pin 1 the reset holds.
    expect(levelsAt(v10([register(23, true, [2])], { reset: [-1] }), 23, steps({ 2: '1' }, { 1: '0101' }))).toBe(
      '0000',
    )
    expect(levelsAt(v10([register(23, true, [2])], { reset: [-1, 2] }), 23, steps({ 2: '1' }, { 1: '0101' }))).toBe(
      '0000',
    )
  })

  test('22V10: a reset that always holds', () => {
    expect(
      levelsAt(
        v10([register(23, true, [2]), register(22, false, [2])], { reset: [] }),
        23,
        steps({ 2: '1' }, { 1: '010' }),
      ),
    ).toBe('000')
  })

  test('a first clock counts, also where a simulator starts its procedures late', () => {
    // Q⁺ = ¬Q, by the column of 23; the clock is in the terms too.
    const text = v10([register(23, true, [23], [1, 2])])
    for (const lateStart of [false, true])
      expect(levelsAt(text, 23, steps({ 2: '0' }, { 1: '0101' }), { lateStart })).toBe('0110')
  })

  const ra10 = (output: Partial<DesignOutput>): string =>
    textOf({
      part: '20RA10',
      mode: null,
      outputs: [
        { pin: 23, kind: 'registered', activeHigh: true, enable: { term: [], lowPin: 13 }, terms: [[5]], ...output },
      ],
    })
  const ON = { 1: '1', 13: '0' }

  test('20RA10: a clock of a term, rising', () => {
    const text = ra10({ clock: [2, -3] })
    // The pin shows ¬Q of Q = ¬sum: at power-up 1, then pin 5 at each rise of 2 ∧ ¬3, which steps 1, 4 and 7 bring.
    expect(levelsAt(text, 23, steps(ON, { 2: '01111101', 3: '00010000', 5: '00111000' }))).toBe('10001110')
  })

  test('20RA10: a sum that its own clock moves counts as before the edge', () => {
    expect(levelsAt(ra10({ clock: [2], terms: [[2]] }), 23, steps(ON, { 2: '0101' }))).toBe('1000')
    expect(levelsAt(ra10({ clock: [2], terms: [[-2]] }), 23, steps(ON, { 2: '0101' }))).toBe('1111')
    expect(levelsAt(ra10({ clock: [2, -3], terms: [[2]] }), 23, steps({ ...ON, 3: '0' }, { 2: '0101' }))).toBe('1000')
    expect(levelsAt(ra10({ clock: [-2], terms: [[-2]] }), 23, steps(ON, { 2: '1010' }))).toBe('1000')
  })

  test('20RA10: a register without a clock keeps what it was set to', () => {
    const text = ra10({ reset: [3], preset: [4] })
    expect(text).toContain('// Its clock is constant.')
    expect(levelsAt(text, 23, steps({ ...ON, 5: '1' }, { 3: '0001000', 4: '0100010' }))).toBe('1001100')
  })

  /** A 20RA10 without preload and, unless told otherwise, without bypass: a part of nobody's. */
  function plainRegister(output: Partial<DesignOutput>, bypass = false): string {
    const states = encode({
      part: '20RA10',
      mode: null,
      outputs: [
        { pin: 23, kind: 'registered', activeHigh: true, enable: { term: [], lowPin: 13 }, terms: [[5]], ...output },
      ],
    })
    const device = findDevice('20RA10')!
    const settings = device.modes[0]!.settings.map(({ loadPin, ...setting }) => ({ ...setting, bypass }))
    return granted(verilogModule(
      decode({ ...device, modes: [{ ...device.modes[0]!, settings }] }, fuseMapFrom([...states].join(''))),
    ))
  }

  test('without bypass: reset comes first, as the text says, and preset is still there when it ends', () => {
    const text = plainRegister({ clock: [2], reset: [3], preset: [4] })
    expect(levelsAt(text, 23, steps({ ...ON, 2: '0', 5: '0' }, { 3: '0110', 4: '0011' }))).toBe('1110')
    expect(text).toContain('While reset and preset are both 1, Q is 0 here')
    expect(text).not.toContain('past the register')
  })

  test('a preset that ends with the edge holds over it; one that always holds leaves Q at 1', () => {
    // The pin shows ¬Q. The sum is 1, so that the clock would bring Q = 0.
    expect(levelsAt(plainRegister({ clock: [2], preset: [-2] }), 23, steps({ ...ON, 5: '1' }, { 2: '0101' }))).toBe(
      '0000',
    )
    expect(levelsAt(plainRegister({ clock: [2], preset: [] }), 23, steps({ ...ON, 5: '1' }, { 2: '010' }))).toBe(
      '000',
    )
  })

  test('20RA10: one of reset and preset that stays longer decides; both let the data through', () => {
    const text = ra10({ clock: [2], reset: [3], preset: [4] })
    // Pin 23 while pin 5 is 0: preset (0), both (data 0), reset alone (1), none (1), preset (0), both (0), preset
    // alone (0).
    expect(levelsAt(text, 23, steps({ ...ON, 2: '0', 5: '0' }, { 3: '0110010', 4: '1100111' }))).toBe('0011000')
    // Both: the pin follows the sum.
    expect(levelsAt(text, 23, steps({ ...ON, 2: '0', 3: '1', 4: '1' }, { 5: '0101' }))).toBe('0101')
    expect(text).toContain('no data sheet says')
  })

  test('20RA10: reset and preset always on leave no register', () => {
    const text = ra10({ reset: [], preset: [] })
    expect(readModule(text).regs).toEqual([])
    expect(levelsAt(text, 23, steps(ON, { 5: '011' }))).toBe('011')
  })

  test('20RA10: pin 1 low loads the register from its pin while the output is off', () => {
    const text = ra10({ clock: [2], reset: [3] })
    const load = (level: string): Levels => ({ 1: '0', 13: '1', 23: level, 2: '0', 3: '0' })
    const off = (level: string): Levels => ({ ...load(level), 1: '1' })
    const on = { 1: '1', 13: '0', 2: '0', 3: '0' }
    expect(levelsAt(text, 23, [load('0'), off('0'), off('1'), on])).toBe('0010')
    expect(levelsAt(text, 23, [load('0'), load('1'), off('1'), off('0'), on])).toBe('01101')
    // Loading comes before the reset, which would make the pin high; it takes over when loading ends.
    expect(
      levelsAt(text, 23, [
        { ...load('0'), 3: '1' },
        { ...load('0'), 3: '1', 13: '0' },
      ]),
    ).toBe('01')
  })

  test('20RA10: a ripple counter starts as after power-up and counts', () => {
    const toggle = (pin: number, clock: number): DesignOutput => ({
      pin,
      kind: 'registered',
      activeHigh: true,
      enable: { term: [], lowPin: 13 },
      clock: [clock],
      terms: [[-pin]],
    })
    const text = textOf({ part: '20RA10', mode: null, outputs: [toggle(23, 2), toggle(22, -23), toggle(21, -22)] })
    const clocked = steps(ON, { 2: '0101010101' })
    // Pins 21, 22, 23 start high as 111 and count up at every rise: 000, 001, 010, 011, 100.
    const columns = [21, 22, 23].map((pin) => levelsAt(text, pin, clocked))
    expect(columns).toEqual(['1000000001', '1000011110', '1001100110'])
    // Also where everything but the clock stands from time 0 on.
    const tied = new Map<string, Value>([
      ['p1', '1'],
      ['p13', '0'],
    ])
    expect([21, 22, 23].map((pin) => levelsAt(text, pin, clocked, { tied }))).toEqual(columns)
    // Clocked by the levels themselves, which are 1 from the start, it counts down: 111, 110, 101, 100, 011, 010.
    const down = textOf({ part: '20RA10', mode: null, outputs: [toggle(23, 2), toggle(22, 23), toggle(21, 22)] })
    // At time 0 edges come of it, before or after a start that the standard puts in no order: here that of the text.
    expect([21, 22, 23].map((pin) => levelsAt(down, pin, clocked, { tied }, [FIRST]))).toEqual([
      '1111111000',
      '1110000111',
      '1001100110',
    ])
  })

  test('20X10: the exclusive-or of two sums, inverted at the pin', () => {
    const text = textOf({
      part: '20X10',
      mode: null,
      clockPin: 1,
      outputs: [
        {
          pin: 23,
          kind: 'registered',
          activeHigh: false,
          enable: { lowPin: 13 },
          terms: [[2], [3]],
          otherTerms: [[4], [5]],
        },
      ],
    })
    // Pin = ¬((2 ∨ 3) ⊕ (4 ∨ 5)) after the clock, for (2,3,4,5) = 0000, 1000, 0010, 1001, 0110, 1111.
    const rows = ['0000', '1000', '0010', '1001', '0110', '1111'].flatMap((row) =>
      ['0', '1'].map((clock) => ({ 1: clock, 13: '0', 2: row[0]!, 3: row[1]!, 4: row[2]!, 5: row[3]! })),
    )
    expect(levelsAt(text, 23, rows).replace(/.(.)/g, '$1')).toBe('100111')
    // No state after power-up is published for it.
    expect(levelsAt(text, 23, [rows[0]!])).toBe('x')
    expect(text).not.toContain('initial')
  })
})

describe('loops', () => {
  const complex = (...outputs: readonly DesignOutput[]): string => textOf({ part: '16V8', mode: 'complex', outputs })
  const output = (pin: number, activeHigh: boolean, ...terms: DesignOutput['terms']): DesignOutput => ({
    pin,
    kind: 'combinational',
    activeHigh,
    enable: 'always',
    terms,
  })

  test('a latch holds, and the text says what it is', () => {
    // Q⁺ = DC ∨ ¬CQ ∨ DQ.
    const text = complex(output(18, true, [2, 3], [-3, 18], [2, 18]))
    expect(levelsAt(text, 18, steps({}, { 2: '111000', 3: '010010' }))).toBe('x11100')
    expect(text).toContain('// A loop without a register, through pin 18:')
  })

  test('two outputs that hold each other are both told of, and nothing else is', () => {
    const text = complex(output(18, false, [2], [17]), output(17, false, [3], [18]), output(16, true, [18]))
    expect(
      [...text.matchAll(/^ {2}\/\/ A loop without a register, through (.*):/gm)].map(([, through]) => through),
    ).toEqual(['pins 17, 18', 'pins 17, 18'])
    // Set by 3, reset by 2.
    expect(levelsAt(text, 18, steps({}, { 2: '00100', 3: '10000' }))).toBe('11000')
  })

  test('a register breaks a loop, its bypass does not', () => {
    const broken = textOf({
      part: '22V10',
      mode: null,
      clockPin: 1,
      outputs: [
        { pin: 23, kind: 'registered', activeHigh: true, enable: { term: [14] }, terms: [[2]] },
        { pin: 14, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[-23]] },
      ],
    })
    expect(broken).not.toContain('A loop')
    const bypassed = (preset: readonly number[]): string =>
      textOf({
        part: '20RA10',
        mode: null,
        outputs: [
          {
            pin: 23,
            kind: 'registered',
            activeHigh: true,
            enable: { term: [], lowPin: 13 },
            reset: [3],
            preset,
            terms: [[23, 5]],
          },
        ],
      })
    expect(bypassed([4])).toContain('// A loop without a register, through pin 23:')
    // Reset 3 and preset ¬3 ∧ 4 never meet.
    expect(bypassed([-3, 4])).not.toContain('A loop')
  })

  test('a ring stays a ring', () => {
    const text = complex(output(18, false, [2, 18]))
    const running = new Running(readModule(text))
    running.drive(new Map([['p2', '0']]))
    expect(running.level('p18')).toBe('1')
    expect(() => running.drive(new Map([['p2', '1']]))).toThrow(Restless)
  })
})

describe('the text', () => {
  const design: Design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [
      { pin: 18, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[2, -3], [-18]] },
      { pin: 12, kind: 'combinational', activeHigh: true, enable: { term: [4] }, terms: [[5]] },
    ],
  }

  test('names the row behind every term, counted through the whole array', () => {
    // Eight rows a cell from pin 19 on: the cell of 18 begins at row 8, that of 12 at row 56, its enable; terms in
    // order.
    const lines = textOf(design)
      .split('\n')
      .filter((line) => /row \d+$/.test(line))
      .map((line) => line.trim())
    // The columns of 18 carry ¬Q, so its complement Q.
    expect(lines).toEqual([
      'p2 & ~p3 // row 8',
      '| q18 // row 9',
      'assign on12 = p4; // row 56',
      'assign value12 = p5; // row 57',
    ])
  })

  test('says of rows that they are constant 0', () => {
    expect(textOf(design)).toContain('// Constant 0: rows 10 to 15.\n  assign data18')
  })

  test('begins with part, mode, fuses and supply', () => {
    expect(textOf(design)).toMatch(/^\/\/ 16V8 in registered mode, as computed from its 2194 fuses\.\n/)
    expect(textOf(design)).toContain('pin 10 is ground, pin 20 supply')
    expect(textOf(design)).toContain('Nothing of timing is modelled')
    expect(textOf(design)).not.toContain('CONFIRMED')
  })

  test.each([
    ['20L10', 'NOT CONFIRMED'],
    ['20X10', 'inferred in part'],
  ])('says of a %s that its map is not published: %s', (part, words) => {
    expect(verilogModule(decode(findDevice(part)!, fuseMapFrom('0'.repeat(1600))))).toContain(words)
  })

  test('says of the shorter map of a part that it is known from memory, and of a power-down fuse that it is left out', () => {
    expect(verilogModule(decode(findDevice('20RA10')!, fuseMapFrom('0'.repeat(3210))))).toContain('from memory only')
    const [shorter, whole] = [5892, 5893].map((count) =>
      granted(verilogModule(decode(findDevice('22V10')!, fuseMapFrom('0'.repeat(count))))),
    )
    expect(whole).toContain('power-down fuse that may change what pin 4 does')
    expect(shorter).not.toContain('power-down')
  })

  test('is the same every time', () => {
    expect(textOf(design)).toBe(textOf(structuredClone(design)))
  })

  test('a name of a part cannot leave its comment', () => {
    const device = { ...findDevice('14L4')!, part: 'é\nassign' }
    const text = granted(verilogModule(decode(device, fuseMapFrom('0'.repeat(448)))))
    expect(readModule(text).name).toBe('part___assign')
    expect(text.split('\n')[0]).toBe('// ??assign, as computed from its 448 fuses.')
  })
})

describe('names', () => {
  const decoded = decodedOf({ part: '16V8', mode: 'simple', outputs: [] })

  test('default and given', () => {
    expect(readModule(granted(verilogModule(decoded))).name).toBe('part_16v8')
    for (const name of ['chart_drive', '_', 'Module', 'a$1', 'x'.repeat(1024)])
      expect(readModule(granted(verilogModule(decoded, { name }))).name).toBe(name)
  })

  test.each([
    '',
    '1a',
    '$a',
    'a-b',
    'a b',
    'é',
    'a\n',
    'module',
    'wire',
    'generate',
    'signed',
    'pulsestyle_onevent',
    'xor',
    'always',
    'x'.repeat(1025),
  ])('%j is refused', (name) => {
    expect(() => verilogModule(decoded, { name })).toThrow(/^options\.name must/)
    expect(() => verilogModule(decoded, { name })).toThrow(RangeError)
  })

  test('wrong types are refused by name', () => {
    expect(() => verilogModule(decoded, { name: 1 as never })).toThrow(new TypeError('options.name must be a string'))
    expect(() => verilogModule(decoded, null as never)).toThrow(/^options must/)
    expect(() => verilogModule(null as never)).toThrow(/^decoded must/)
  })

  test('refused where the fuses name no mode; a wrong name is refused there too', () => {
    const none = decode(findDevice('16V8')!, fuseMapFrom('0'.repeat(2194)))
    expect(none.logic).toBeNull()
    expect(verilogModule(none)).toEqual({ refused: true, reason: 'no-logic' })
    expect(() => verilogModule(none, { name: 'wire' })).toThrow(RangeError)
  })
})
