/** What `show` says of the logic as computed: pins that must not float, and the section “Computed from the logic”. */
import { describe, expect, test } from 'vitest'
import { findDevice, fuseMapFrom, writeFuseFile } from '../../src/index'
import { analyse, decode, describe as describePart, type Analysis, type Decoded, type Description } from '../../src/logic'
import { callProgram, documentOf, type Ran } from '../call-program'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { encode, tableOf } from '../parts/encoder'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { granted } from '../granted'

const high = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
  ...more,
})
const complex = (...outputs: readonly DesignOutput[]): Design => ({ part: '16V8', mode: 'complex', outputs })

const decoded = (design: Design): Decoded => decode(findDevice(design.part)!, fuseMapFrom(encode(design).join('')))
const described = (design: Design): Description => granted(describePart(decoded(design)))
const analysed = (design: Design): Analysis => described(design).analysis!
const show = (design: Design, ...more: readonly string[]): Ran =>
  callProgram(['show', 'map.jed', '--device', design.part, '--all', ...more], {
    'map.jed': writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) }),
  })

/** Lines of the section of what was computed; an empty line ends it. */
function computed({ code, out }: Ran): string[] {
  expect(code).toBe(0)
  const [section] = out.slice(out.indexOf('Computed from the logic')).split('\n\n')
  return section!
    .split('\n')
    .slice(1)
    .map((line) => line.trim())
}

/** Everything that the section tells, in one part. */
const ODD = complex(
  high(19, [
    [2, 3],
    [2, -3],
  ]),
  high(18, [[4], [-4]]),
  high(17, [[5, -5]], { enable: { term: [6] } }),
  high(16, [[7]], { enable: { term: [8, -8, 9] } }),
  high(15, [
    [8, 9],
    [8, 9],
    [8, 9, 2],
  ]),
  high(14, [[14, -2]], { activeHigh: false }),
)

describe('the section', () => {
  test('tells constants, idle inputs, loops and surplus terms', () => {
    expect(computed(show(ODD))).toEqual([
      'pin 18 is always high',
      'pin 17 is always low while on',
      'terms name p3, p4, and the level there decides nothing',
      'feedback through p14: some inputs let it keep changing, it may oscillate',
      // Blocks of eight rows, the enable first; pin 15 has rows 32 to 39.
      'row 34 of pin 15 repeats row 33',
      'row 35 of pin 15 is covered by the other terms of that pin',
      'a covered term may be there against glitches; leave it in',
    ])
  })

  test('is short where there is nothing to tell', () => {
    expect(computed(show(complex(high(19, [[2, 3], [4]]))))).toEqual([
      'nothing unusual: no constant output, no idle input, no loop, no surplus term',
    ])
  })

  test('an output that its enable never switches on, though no fuse says so', () => {
    // Pin 18 is 2 ∧ 3; what would switch pin 17 on is that with ¬2.
    const design = complex(high(18, [[2, 3]]), high(17, [[4]], { enable: { term: [18, -2] } }))
    expect(computed(show(design))).toEqual([
      'pin 17 is never on',
      'terms name p4, and the level there decides nothing',
    ])
    expect(analysed(design)).toMatchObject({
      outputs: [
        { pin: 18, enabled: 'always', dependsOn: ['2', '3'] },
        { pin: 17, enabled: 'never', constant: null, dependsOn: [] },
      ],
      decidingPins: [2, 3],
      idleInputs: [4],
    })
  })

  test('what an output would show while it is off decides nothing', () => {
    // Pin 3 shows only while pin 2 is low, and then the output is off.
    const design = complex(high(18, [[-2, 3]], { enable: { term: [2] } }))
    expect(analysed(design)).toMatchObject({
      outputs: [{ pin: 18, enabled: 'sometimes', constant: 0, dependsOn: ['2'] }],
      decidingPins: [2],
      idleInputs: [3],
    })
  })

  test('latch, two-way driver', () => {
    expect(computed(show(complex(high(18, [[2], [18, -3]]))))).toEqual([
      'feedback through p18: a latch, it remembers',
    ])
    expect(
      computed(
        show(complex(high(18, [[17]], { enable: { term: [2] } }), high(17, [[18]], { enable: { term: [-2] } }))),
      ),
    ).toEqual(['feedback through p17, p18: no loop after all, every input breaks it or gives', 'it one level'])
  })
})

describe('registers', () => {
  const registered = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput =>
    high(pin, terms, { kind: 'registered', ...more })
  const design = (...outputs: readonly DesignOutput[]): Design => ({
    ...V10,
    outputs,
  })

  test('one that never reaches its pin is listed where another reads it, and not where none does', () => {
    const buried = design(
      registered(23, [[2]], { enable: 'never' }),
      registered(22, [[-23, 3]]),
      registered(21, [[4]], { enable: 'never' }),
    )
    const { outputs, decidingPins, idleInputs } = analysed(buried)
    // The column of pin 23 carries ¬Q; the level that its pin would show is Q, so that it is called q23 all the same.
    expect(outputs).toEqual([
      { pin: 23, enabled: 'never', constant: null, dependsOn: ['1', '2'] },
      { pin: 22, enabled: 'always', constant: null, dependsOn: ['1', '3', 'q22', 'q23'] },
    ])
    expect([decidingPins, idleInputs]).toEqual([[1, 2, 3], [4]])
    expect(computed(show(buried))).toEqual([
      'pin 23 is never on',
      'terms name p4, and the level there decides nothing',
    ])
    expect(show(buried).out).toContain('q23⁺ = p2')
  })

  test('one that takes the same at every clock is not called always high: it may start low', () => {
    expect(computed(show(design(registered(22, [[]]))))).toEqual([
      'pin 22 goes high at every clock, whatever the inputs are',
    ])
    expect(computed(show(design(registered(22, []))))).toEqual([
      'pin 22 goes low at every clock, whatever the inputs are',
    ])
  })

  test('just before its edge the clock is low: as an input of its own data it decides nothing more', () => {
    expect(analysed(design(registered(22, [[1, 3]])))).toMatchObject({
      outputs: [{ pin: 22, constant: 0, dependsOn: ['1', 'q22'] }],
      decidingPins: [1],
      idleInputs: [3],
    })
    expect(analysed(design(registered(22, [[-1, 3]]))).decidingPins).toEqual([1, 3])
  })

  test('while a reset holds, the data decide nothing', () => {
    expect(analysed({ ...design(registered(22, [[4, 5]])), reset: [4] })).toMatchObject({
      outputs: [{ constant: 0 }],
      decidingPins: [1, 4],
      idleInputs: [5],
    })
  })

  test('a level that loads a register decides', () => {
    // 20RA10: while pin 1 is low, an output that is off takes the level at its pin (20ra10_02, p. 3); pin 13 low
    // enables.
    const loaded: Design = {
      part: '20RA10',
      mode: null,
      outputs: [registered(22, [[2]], { enable: { term: [], lowPin: 13 }, clock: [3] })],
    }
    expect(analysed(loaded).decidingPins).toEqual([1, 2, 3, 13, 22])
    // A register whose clock never rises takes nothing from its terms.
    expect(
      analysed({ ...loaded, outputs: [registered(22, [[2]], { enable: { term: [], lowPin: 13 }, clock: [3, -3] })] }),
    ).toMatchObject({ decidingPins: [1, 13, 22], idleInputs: [2] })
  })
})

describe('pins that must not float', () => {
  // Pin 3 cancels out; pin 18 is read back while it may be off; pin 17 always drives; pin 9 is in no term.
  const design = complex(
    high(19, [[2, 3], [2, -3], [18]]),
    high(18, [[4]], { enable: { term: [5] } }),
    high(17, [[6]]),
  )
  const deciding = [2, 4, 5, 6, 18]

  test('in JSON', () => {
    const document = documentOf(show(design, '--json'))
    expect(document.pins.map(({ pin }: any) => pin)).toEqual(Array.from({ length: 20 }, (_, i) => i + 1))
    expect(document.pins.filter(({ mustNotFloat }: any) => mustNotFloat).map(({ pin }: any) => pin)).toEqual(deciding)
    expect(document.analysis).toEqual({
      outputs: [
        { pin: 19, enabled: 'always', constant: null, dependsOn: ['2', '4', '5', '18'] },
        { pin: 18, enabled: 'sometimes', constant: null, dependsOn: ['4', '5'] },
        { pin: 17, enabled: 'always', constant: null, dependsOn: ['6'] },
      ],
      idleInputs: [3],
      decidingPins: deciding,
      loops: [],
      surplusTerms: [],
    })
  })

  test('in the text', () => {
    const lines = show(design).out.split('\n')
    const marked = lines
      .filter((line) => line.includes('must not float'))
      .map((line) => Number(line.trim().split(' ')[0]))
    expect(marked).toEqual(deciding)
    expect(lines.find((line) => /^ +3 /.test(line))).toMatch(/ input$/)
  })
})

describe('hazards', () => {
  // x·y ∨ ¬x·z, rows 9 and 10 of pin 18 as in tests/analysis/hazards.test.ts.
  const design = complex(
    high(18, [
      [2, 3],
      [-2, 4],
    ]),
  )

  test('as text', () => {
    expect(show(design, '--hazards')).toMatchObject({
      code: 0,
      out: [
        'Hazards of 1 signal while one input changes',
        '  p18 stays 1 and may pulse to 0 while p2 changes (1 of 4 combinations)',
        '    between rows 10 and 9 at p3 = 1, p4 = 1; the term p3 ∧ p4 would cover it',
        '',
      ].join('\n'),
    })
    expect(show(complex(high(18, [[2, 3]])), '--hazards').out).toContain('none')
  })

  test('a screenful of many, the signals first; all of them where all is asked for', () => {
    // Each of eight pins hands over from p2 ∧ p3 to ¬p2 ∧ p4 while p2 changes: one hazard a pin.
    const pins = [19, 18, 17, 16, 15, 14, 13, 12]
    const many = complex(...pins.map((pin) => high(pin, [[2, 3], [-2, 4]])))
    const bytes = writeFuseFile({ fuses: fuseMapFrom(encode(many).join('')) })
    const screen = callProgram(['show', 'map.jed', '--hazards'], { 'map.jed': bytes }).out.split('\n')
    expect(screen.slice(0, 2)).toEqual([
      'Hazards of 8 signals while one input changes: p19, p18, p17, p16, p15, p14,',
      '  p13, p12',
    ])
    expect(screen.filter((line) => line.includes('may pulse'))).toHaveLength(6)
    expect(screen.at(-2)).toBe('  and 2 more hazards (--all shows them)')
    const all = show(many, '--hazards').out
    expect(all.split('\n')[0]).toBe('Hazards of 8 signals while one input changes')
    expect(all.match(/may pulse/g)).toHaveLength(8)
  })

  test('in JSON, beside all else', () => {
    const document = documentOf(show(design, '--hazards', '--json'))
    expect(document.hazards).toMatchObject([{ pin: 18, kind: 'static-1', input: '2', from: null }])
    expect(document.equations).toHaveLength(1)
    expect(documentOf(show(design, '--json'))).not.toHaveProperty('hazards')
  })

  test('a map that cannot be decoded has none to show', () => {
    const ran = callProgram(['show', 'map.jed', '--hazards'], {
      'map.jed': writeFuseFile({ fuses: fuseMapFrom('01') }),
    })
    expect(ran.code).toBe(1)
  })
})

describe('limits', () => {
  const dense = randomDesign(tableOf({ part: '22V10', mode: null }), seededRandom(6500))
  const { logic } = decoded(dense)

  test('past the limit of the diagrams there is no analysis', () => {
    expect(granted(analyse(logic!)).outputs).not.toEqual([])
    expect(analyse(logic!, { maxNodes: 50 })).toEqual({ refused: true, reason: 'node-limit' })
  })

  test('a limit that is none throws and names the argument', () => {
    for (const maxNodes of [1, 0, -5, 2.5, Number.NaN])
      expect(() => analyse(logic!, { maxNodes })).toThrow(/maxNodes/)
  })
})
