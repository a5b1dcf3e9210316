/** Hazards: published ones, ones worked by hand, and all of small random designs against trying every change. */
import { describe, expect, test } from 'vitest'
import { findDevice, fuseMapFrom } from '../../src/index'
import { addedHazards, decode, hazardsOf, passingLevels, type Expression, type Hazard, type Logic } from '../../src/logic'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { circlePins, unsafeChanges } from './ternary-reference'
import { granted } from '../granted'
import { longOnly, sampleSize } from '../sample-size'

const high = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
  ...more,
})
const low = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput =>
  high(pin, terms, { activeHigh: false, ...more })
const complex = (...outputs: readonly DesignOutput[]): Design => ({ part: '16V8', mode: 'complex', outputs })
const logicOf = (design: Design): Logic =>
  decode(findDevice(design.part)!, fuseMapFrom(encode(design).join(''))).logic!
const hazards = (design: Design): readonly Hazard[] => granted(hazardsOf(logicOf(design)))

/** In short: `pin part kind input from: rows low/high, combinations/of, cover`. */
const short = (found: readonly Hazard[]): string[] =>
  found.map(({ pin, cell, part, kind, input, from, combinations, ofCombinations, places }) => {
    const rows = places.map(({ rows, cover }) => `${rows ? `${rows.low}/${rows.high}` : 'none'} by ${cover}`)
    return `${cell ?? pin} ${part} ${kind} ${input} ${from}: ${combinations}/${ofCombinations} ${rows.join(', ')}`
  })

// Rows of a 16V8 come in blocks of eight from pin 19 on, the enable first: pin 18 has terms from row 9, pin 17 from 17.
describe('static hazards', () => {
  // M. Yoeli, S. Rinon, "Application of Ternary Algebra to the Study of Static Hazards", J. ACM 11(1), 1964: for
  // x·y ∨ ¬x·z at y = z = 1, x = 0, ½, 1 gives 1, ½, 1; with y·z as well 1, 1, 1.
  const [x, y, z] = [2, 3, 4]
  const MUX = [
    [x, y],
    [-x, z],
  ]

  test('x·y ∨ ¬x·z has one, and y·z covers it', () => {
    expect(hazards(complex(high(18, MUX)))).toEqual([
      {
        pin: 18,
        part: 'value',
        kind: 'static-1',
        input: '2',
        from: null,
        combinations: '1',
        ofCombinations: '4',
        places: [
          {
            rows: { low: 10, high: 9 },
            others: { inputs: { 3: 1, 4: 1 }, state: {}, feedback: {} },
            combinations: '1',
            cover: 'p3 ∧ p4',
          },
        ],
        complete: true,
      },
    ])
    expect(hazards(complex(high(18, [...MUX, [y, z]])))).toEqual([])
  })

  test('an inverted output makes a static 0 of it', () => {
    expect(short(hazards(complex(low(18, MUX))))).toEqual(['18 value static-0 2 null: 1/4 10/9 by p3 ∧ p4'])
  })

  test('a term with an input and its complement is 0 whatever they do', () => {
    expect(hazards(complex(high(18, [[2, -2], [3]]), low(17, [[4, -4]])))).toEqual([])
  })

  test('a term that decides nothing may be the only cover', () => {
    // p2 ∨ ¬p2 is always 1, and may pulse.
    expect(short(hazards(complex(high(18, [[2], [-2]]))))).toEqual(['18 value static-1 2 null: 1/1 10/9 by 1'])
  })

  test('a cover is as short as its sum allows', () => {
    // x·y·z ∨ x·y·¬z ∨ ¬x·y is y: y alone covers what falls between its rows, as x moves (for either z) and as z does.
    const terms = [
      [x, y, z],
      [x, y, -z],
      [-x, y],
    ]
    const found = hazards(complex(high(18, terms)))
    expect(found[0]!.places.map(({ combinations }) => combinations)).toEqual(['1', '1'])
    expect(short(found)).toEqual([
      '18 value static-1 2 null: 2/4 11/9 by p3, 11/10 by p3',
      '18 value static-1 4 null: 1/4 10/9 by p3',
    ])
  })

  test('an inverter and its input in another term: a pulse through a pin, that no term of the array covers', () => {
    // p18 = ¬p2; p17 = p18 ∧ p2 is 0 at rest and may pulse.
    expect(short(hazards(complex(low(18, [[2]]), high(17, [[18, 2]]))))).toEqual([
      '17 value static-0 2 null: 1/1 none by null',
    ])
  })

  test('what an output would do while it is off counts for nothing; an enable has hazards of its own', () => {
    const enabled = complex(high(18, MUX), high(17, [[5]], { enable: { term: [18] } }))
    expect(short(hazards(enabled))).toEqual([
      '17 enable static-1 2 null: 1/4 none by null',
      '18 value static-1 2 null: 1/4 10/9 by p3 ∧ p4',
    ])
    // Both terms need p5, and pin 17 is on only while p5 is low.
    const off = complex(
      high(
        17,
        MUX.map((term) => [...term, 5]),
        { enable: { term: [-5] } },
      ),
    )
    expect(hazards(off)).toEqual([])
  })
})

describe('registers', () => {
  const registered = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput =>
    high(pin, terms, { kind: 'registered', ...more })

  test('what a register takes is sampled at rest; what decodes two of them may pulse', () => {
    // 22V10: D is the sum and the columns carry ¬Q (22v10_08, p. 3).
    const design: Design = {
      ...V10,
      outputs: [
        registered(23, [
          [2, 3],
          [-2, 4],
        ]),
        high(22, [
          [23, 5],
          [-23, 6],
        ]),
      ],
    }
    const found = hazards(design)
    expect(found.map(({ pin, part, kind, input }) => [pin, part, kind, input])).toEqual([
      [22, 'value', 'static-1', 'q23'],
    ])
    expect(found[0]!.places.map(({ cover, others }) => [cover, others.inputs])).toEqual([['p5 ∧ p6', { 5: 1, 6: 1 }]])
  })

  test('clocks and resets fed by hazardous logic come first', () => {
    // 20RA10: reset and preset that are always 1 make pin 23 combinational (data sheet 20ra10_02, p. 3); it clocks pin
    // 22, and it may pulse.
    const design: Design = {
      part: '20RA10',
      mode: null,
      outputs: [
        registered(
          23,
          [
            [2, 3],
            [-2, 4],
          ],
          { enable: { term: [], lowPin: 13 }, clock: [], reset: [], preset: [] },
        ),
        registered(22, [[5]], { enable: { term: [], lowPin: 13 }, clock: [23], reset: [6] }),
      ],
    }
    const found = hazards(design)
    expect(found[0]).toMatchObject({ pin: 22, part: 'clock', input: '2' })
    expect(found.map(({ part }) => part)).toContain('value')
  })

  test('a register that terms read at its pin may make what reads it pulse', () => {
    // 20RA10 feeds back the pin, here the state of pin 22 (20ra10_02, p. 3); pin 23 is combinational.
    const enable = { term: [], lowPin: 13 }
    const terms = [
      [22, 3],
      [-22, 4],
    ]
    const found = hazards({
      part: '20RA10',
      mode: null,
      outputs: [
        registered(23, terms, { enable: 'always', clock: [], reset: [], preset: [] }),
        registered(22, [[5]], { enable: 'always', clock: [6] }),
      ].map((output) => ({ ...output, enable })),
    })
    const shown = found.filter(({ part, pin }) => part === 'value' && pin === 23).map(({ input, kind }) => [input, kind])
    expect(shown).toContainEqual(['q22', 'static-1'])
  })

  test('a buried register is named, and has no pin', () => {
    // Made by hand: B1 is reset by x·y ∨ ¬x·z of pins 2, 3, 4, and pin 8 shows its state.
    const sumOf = (...sum: readonly number[][]): Expression => ({
      sums: [sum.map((literals, origin) => ({ literals, origin }))],
      inverted: false,
    })
    const [never, cell] = [sumOf(), { defined: true, value: null, register: null }]
    const register = {
      ...{ data: sumOf([4]), clock: sumOf([6]), reset: sumOf([0, 2], [1, 4]), preset: never, clockedPreset: never },
      ...{ load: never, bypass: false, inverted: false, powerUp: null },
    }
    const logic: Logic = {
      pinCount: 8,
      supplyPins: [],
      signals: [
        ...[2, 3, 4, 5].map((pin) => ({ kind: 'pin', pin }) as const),
        { kind: 'register', cell: 1, inverted: false },
      ],
      cells: [
        { ...cell, pin: 8, name: '8', enable: sumOf([]), value: sumOf([8]) },
        { ...cell, pin: null, name: 'B1', enable: never, register },
      ],
    }
    expect(granted(hazardsOf(logic))).toMatchObject([
      { pin: 0, cell: 'B1', part: 'reset', kind: 'static-1', input: '2' },
    ])
  })

  test('a register that is now and then bypassed shows the hazards of its data then', () => {
    // 20RA10: while reset and preset are both 1 the data come through (data sheet 20ra10_02, p. 3), here while p5 is.
    const terms = [
      [2, 3],
      [-2, 4],
    ]
    const enable = { term: [], lowPin: 13 }
    const through = registered(23, terms, { enable, clock: [6], reset: [5], preset: [5] })
    const found = hazards({ part: '20RA10', mode: null, outputs: [through] })
    expect(found.map(({ pin, part, kind, input }) => [pin, part, kind, input])).toContainEqual([
      23,
      'value',
      'static-1',
      '2',
    ])
    const [{ places }] = found.filter(({ part, input }) => part === 'value' && input === '2') as [Hazard]
    expect(places.map(({ others }) => others.inputs)).toEqual([{ 3: 1, 4: 1, 5: 1, 13: 0 }])
    // Without the preset the register stands between.
    expect(
      hazards({ part: '20RA10', mode: null, outputs: [{ ...through, preset: [5, -5] }] }).filter(
        ({ input }) => input === '2',
      ),
    ).toEqual([])
  })
})

describe('latches', () => {
  // Gated latch: Q⁺ = D·C ∨ ¬C·Q. With C falling while D = Q = 1 ternary algebra gives ½; with D·Q as well 1.
  const [D, C, Q] = [2, 3, 18]

  test('one without its hold term may lose its level, and the hold term covers it', () => {
    expect(
      short(
        hazards(
          complex(
            high(Q, [
              [D, C],
              [-C, Q],
            ]),
          ),
        ),
      ),
    ).toEqual(['18 value static-1 3 0: 1/4 10/9 by p2 ∧ p18', '18 value race-1 3 1: 1/4 10/9 by p2 ∧ p18'])
    expect(
      hazards(
        complex(
          high(Q, [
            [D, C],
            [-C, Q],
            [D, Q],
          ]),
        ),
      ),
    ).toEqual([])
  })

  test('a set-reset latch is safe under single changes, and open where both inputs fall together', () => {
    const pair = logicOf(complex(low(18, [[2], [17]]), low(17, [[3], [18]])))
    expect(hazardsOf(pair)).toEqual([])
    // The cross-coupled pair with S = R going from 1 to 0 together: (½, ½).
    expect(passingLevels(pair, { from: { 2: 1, 3: 1 }, to: { 2: 0, 3: 0 } })).toEqual([
      { pin: 18, part: 'value', before: '0', passing: 'X', after: 'X' },
      { pin: 17, part: 'value', before: '0', passing: 'X', after: 'X' },
    ])
    expect(granted(passingLevels(pair, { from: { 2: 1, 3: 1 }, to: { 2: 0 } })).map(({ after }) => after)).toEqual(['1', '0'])
    expect(
      granted(passingLevels(pair, { from: { 2: 0, 3: 0 }, to: { 2: 1 }, feedback: { 17: 0, 18: 1 } })).map(
        ({ before, after }) => before + after,
      ),
    ).toEqual(['10', '01'])
  })

  test('levels that are nothing of the logic are wrong use', () => {
    const pair = logicOf(complex(high(18, [[2]])))
    expect(() => passingLevels(pair, { from: { 99: 1 }, to: {} })).toThrow(/change\.from.*99/)
    expect(() => passingLevels(pair, { from: {}, to: {}, feedback: { 18: 1 } })).toThrow(/change\.feedback.*18/)
    expect(() => passingLevels(pair, { from: { 2: 2 as 1 }, to: {} })).toThrow(/change\.from\[2\]/)
    expect(() => passingLevels(pair, { from: {} } as never)).toThrow(/^change .*object with from and to/)
  })
})

describe('added hazards', () => {
  const whole = complex(
    high(18, [
      [2, 3],
      [-2, 4],
      [3, 4],
    ]),
    high(17, [
      [5, 6],
      [-5, 7],
    ]),
  )
  const simplified = complex(
    high(18, [
      [2, 3],
      [-2, 4],
    ]),
    high(17, [
      [5, 6],
      [-5, 7],
    ]),
  )

  test('are those of the second alone', () => {
    expect(short(granted(addedHazards(logicOf(whole), logicOf(simplified))))).toEqual([
      '18 value static-1 2 null: 1/4 10/9 by p3 ∧ p4',
    ])
    expect(addedHazards(logicOf(simplified), logicOf(whole))).toEqual([])
    expect(addedHazards(logicOf(simplified), logicOf(simplified))).toEqual([])
  })

  test('count only where the first is safe', () => {
    // The first covers y·z·w only.
    const partly = complex(
      high(18, [
        [2, 3],
        [-2, 4],
        [3, 4, 8],
      ]),
      high(17, [
        [5, 6],
        [-5, 7],
      ]),
    )
    const bare = complex(
      high(18, [
        [2, 3],
        [-2, 4],
        [3, 4, 8, -8],
      ]),
      high(17, [
        [5, 6],
        [-5, 7],
      ]),
    )
    expect(addedHazards(logicOf(partly), logicOf(bare))).toMatchObject([
      { pin: 18, combinations: '1', places: [{ others: { inputs: { 3: 1, 4: 1, 8: 1 } } }] },
    ])
  })
})

/** Random outputs over four inputs that read one another; `loops` lets them read any, else only those before. */
function network(random: Random, part: string, loops: boolean): Design {
  const outputPins = part === '22V10' ? [23, 22, 21] : [18, 17, 16]
  const outputs = outputPins.map((pin, i): DesignOutput => {
    const readable = [2, 3, 4, 5, ...(loops ? outputPins : outputPins.slice(0, i))]
    const term = (): Term => {
      const pins = readable.filter(() => random(5) < 2)
      return pins.length ? pins.map((each) => (random(2) ? each : -each)) : [pick(random, readable)]
    }
    const enable = random(4) ? 'always' : { term: term() }
    return {
      ...high(pin, Array.from({ length: 1 + random(4) }, term)),
      enable,
      activeHigh: part !== '16L8' && random(2) === 1,
    }
  })
  return { part, mode: part === '16V8' ? 'complex' : null, outputs }
}

test('past the limit of the diagrams there is no answer, and a limit that is none throws', () => {
  const logic = logicOf(
    complex(
      high(18, [
        [2, 3],
        [-2, 4],
      ]),
    ),
  )
  expect(hazardsOf(logic, { maxNodes: 5 })).toEqual({ refused: true, reason: 'node-limit' })
  expect(addedHazards(logic, logic, { maxNodes: 5 })).toEqual({ refused: true, reason: 'node-limit' })
  expect(() => hazardsOf(logic, { maxNodes: 1 })).toThrow(/maxNodes/)
})

test.each([false, ...longOnly(true)])('a full 22V10 takes a bounded number of nodes, loops: %s', (loops) => {
  const options = loops ? {} : { maxNodes: 300_000 }
  expect(granted(hazardsOf(logicOf(full(loops)), options)).length).toBeGreaterThan(100)
})

/**
 * Every row of a 22V10 in use (invented): eight to sixteen terms an output, of three to seven literals. Outputs read
 * those before them, or, with loops, all of them the first three.
 */
function full(loops: boolean): Design {
  const random = seededRandom(9300)
  const outputPins = [23, 22, 21, 20, 19, 18, 17, 16, 15, 14]
  const counts = [8, 10, 12, 14, 16, 16, 14, 12, 10, 8]
  const inputs = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13]
  const outputs = outputPins.map((pin, i) => {
    const readable = [...inputs, ...outputPins.slice(0, loops ? 3 : i)]
    const term = (): Term =>
      Array.from({ length: 3 + random(5) }, () => pick(random, readable)).map((each) => (random(2) ? each : -each))
    return high(pin, Array.from({ length: counts[i]! }, term))
  })
  return { part: '22V10', mode: null, outputs }
}

describe('against trying every change', () => {
  test.each([
    ['16V8', false],
    ['16V8', true],
    ['22V10', false],
    ['22V10', true],
    ['16L8', false],
    ['16L8', true],
  ] as const)('%s, loops: %s', (part, loops) => {
    let found = 0
    for (let seed = 9100; seed < 9100 + sampleSize(24, 40); seed++) {
      const design = network(seededRandom(seed), part, loops)
      const free = [2, 3, 4, 5, ...design.outputs.filter(({ enable }) => enable !== 'always').map(({ pin }) => pin)]
      const tried = unsafeChanges(design, free)
      const expected = new Map<string, number>()
      for (const { key } of tried) expected.set(key, (expected.get(key) ?? 0) + 1)
      const cases = 2 ** (free.length - 1 + circlePins(design).length)
      const reported = new Map<string, number>()
      for (const hazard of hazards(design)) {
        const share = (cases * Number(hazard.combinations)) / Number(hazard.ofCombinations)
        for (const from of hazard.from === null ? [0, 1] : [hazard.from])
          reported.set(`${hazard.pin} ${hazard.part} ${hazard.kind} ${hazard.input} ${from}`, share)
        // Whatever lies in the named case is unsafe.
        for (const { others } of hazard.places) {
          const lies = tried.filter(
            ({ key, applied, levels }) =>
              key.startsWith(`${hazard.pin} ${hazard.part} ${hazard.kind} ${hazard.input} ${hazard.from ?? 0}`) &&
              Object.entries(others.inputs).every(([pin, level]) => applied.get(Number(pin)) === level) &&
              Object.entries(others.feedback).every(([pin, level]) => levels.get(Number(pin)) === level),
          )
          const fixed = Object.keys({ ...others.inputs }).length + Object.keys(others.feedback).length
          expect(lies.length, `seed ${seed}`).toBe(cases / 2 ** fixed)
        }
      }
      expect([...reported].sort(), `seed ${seed}`).toEqual([...expected].sort())
      found += reported.size
    }
    expect(found).toBeGreaterThan(40)
  })
})
