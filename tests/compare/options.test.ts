/**
 * What a caller says besides the files: patterns that do not matter, pins that belong together, limits; and what is
 * wrong use.
 */
import { describe, expect, test } from 'vitest'
import { compare, createFuseMap, fuseMapFrom, type CompareOptions, type Comparison } from '../../src/index'
import type { Design, Term } from '../parts/design'
import { pick, seededRandom, shuffled, type Random } from '../parts/random-designs'
import { settle } from '../parts/straight'
import {
  codesOf,
  compareDesigns,
  counterLevels,
  levelsOf,
  mapOf,
  output,
  outputAt,
  ratioAt,
  ratioOf,
  shownAt,
} from './pairs'

type Pattern = NonNullable<CompareOptions['dontCare']>[number]

const simple = (...outputs: Design['outputs']): Design => ({ part: '16V8', mode: 'simple', outputs })
const high = (pin: number, ...terms: readonly Term[]): Design['outputs'][number] =>
  output(pin, terms, { activeHigh: true })

describe('patterns that do not matter', () => {
  // p2 ∧ p3 against p2: they differ where p2 is 1 and p3 is 0.
  const [a, b] = [simple(high(19, [2, 3])), simple(high(19, [2]))]

  test('take the rows out that they name', () => {
    for (const dontCare of [[{ 2: 1, 3: 0 }], [{ 3: 0 }], [{ 2: 1 }], [{}]] as const) {
      const comparison = compareDesigns(a, b, { dontCare })
      expect(comparison).toMatchObject({ relation: 'equivalent', verdict: 'pass' })
      expect(codesOf(comparison)).toEqual(['compare/dont-care'])
    }
    for (const dontCare of [[], [{ 2: 0 }], [{ 3: 1 }], [{ 2: 1, 3: 1 }]] as const)
      expect(compareDesigns(a, b, { dontCare }).relation).toBe('different')
  })

  test('count in the ratio by the inputs that they name, read or not', () => {
    // 1/4 of the rows differ; of those 7/8 matter.
    const comparison = compareDesigns(a, b, { dontCare: [{ 4: 0, 5: 0, 6: 0 }] })
    expect(ratioAt(comparison, 19)).toBe('7/32')
    // The example lies outside of the patterns.
    const { inputs } = outputAt(comparison, 19).counterexample!
    expect([inputs['4'], inputs['5'], inputs['6']]).toContain(1)
    // All but one row in 64 of four more pins left out: what is left still differs.
    const all = [{ 4: 1 }, { 5: 1 }, { 6: 1 }, { 7: 1 }] as const
    expect(ratioAt(compareDesigns(a, b, { dontCare: all }), 19)).toBe('1/64')
    expect(outputAt(compareDesigns(a, b, { dontCare: all }), 19).counterexample!.inputs).toMatchObject({
      2: 1,
      3: 0,
      4: 0,
      5: 0,
      6: 0,
      7: 0,
    })
  })

  test('naming a pin that nothing stands for leave its other level', () => {
    // In the registered mode pins 1 and 11 are no inputs of the array, and pin 10 is ground.
    const [c, d] = [a, b].map((design) => ({ ...design, mode: 'registered' })) as [Design, Design]
    for (const pin of [1, 10]) {
      expect(compareDesigns(c, d, { dontCare: [{ [pin]: 0 }] }).relation).toBe('different')
      expect(ratioAt(compareDesigns(c, d, { dontCare: [{ [pin]: 1 }] }), 19)).toBe('1/4')
      expect(compareDesigns(c, d, { dontCare: [{ [pin]: 0 }, { [pin]: 1 }] }).relation).toBe('equivalent')
      expect(
        compareDesigns(c, d, {
          dontCare: [
            { [pin]: 0, 2: 1 },
            { [pin]: 1, 3: 0 },
          ],
        }).relation,
      ).toBe('equivalent')
      expect(
        compareDesigns(c, d, {
          dontCare: [
            { [pin]: 0, 2: 1 },
            { [pin]: 1, 3: 1 },
          ],
        }).relation,
      ).toBe('different')
    }
  })

  test('may name a register by what its pin shows', () => {
    // 16V8, active high: the pin takes p18 ∧ p2 against p2, different where pin 18 shows 0 and p2 is 1.
    const machine = (term: Term): Design => ({
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      outputs: [19, 18].map((pin) => ({
        pin,
        kind: 'registered',
        activeHigh: true,
        enable: { lowPin: 11 },
        terms: [pin === 19 ? term : [3]],
      })),
    })
    const [c, d] = [machine([18, 2]), machine([2])]
    expect(ratioAt(compareDesigns(c, d), 19)).toBe('1/4')
    expect(compareDesigns(c, d, { dontCare: [{ 18: 0 }] }).relation).toBe('equivalent')
    expect(compareDesigns(c, d, { dontCare: [{ 18: 1 }] }).relation).toBe('different')
    // Sequences are not followed: patterns say nothing about them.
    expect(compareDesigns(c, d, { dontCare: [{ 18: 1 }] }).machines).toBeNull()
  })

  test('random ones, against the rows', () => {
    const found = { equal: 0, different: 0 }
    for (let seed = 81_000; seed < 81_080; seed++) {
      const random = seededRandom(seed)
      const pins = [2, 3, 4, 5, 6]
      const [c, d] = [randomSum(random, pins), randomSum(random, pins)]
      const dontCare = Array.from(
        { length: 1 + random(4) },
        () =>
          Object.fromEntries(
            shuffled(random, pins)
              .slice(0, 1 + random(3))
              .map((pin) => [pin, random(2)]),
          ) as Pattern,
      )
      const rows = Array.from({ length: 32 }, (_, row) => levelsOf(pins, row)).filter(
        (levels) =>
          !dontCare.some((pattern) =>
            Object.entries(pattern).every(([pin, level]) => levels.get(Number(pin)) === (level === 1)),
          ),
      )
      const differing = rows.filter((levels) => shownAt(c, 19, { levels }) !== shownAt(d, 19, { levels }))
      const comparison = compareDesigns(c, d, { dontCare })
      const where = `seed ${seed}: ${JSON.stringify({ c: c.outputs, d: d.outputs, dontCare })}`
      expect(outputAt(comparison, 19).relation, where).toBe(differing.length > 0 ? 'different' : 'equivalent')
      expect(ratioAt(comparison, 19), where).toBe(ratioOf(differing.length, 32))
      found[differing.length > 0 ? 'different' : 'equal']++
      if (differing.length > 0)
        expectCover(comparison, {
          pins,
          rows,
          differing: (levels) => shownAt(c, 19, { levels }) !== shownAt(d, 19, { levels }),
          where,
        })
    }
    expect(Math.min(found.equal, found.different), JSON.stringify(found)).toBeGreaterThan(5)
  })
})

function randomSum(random: Random, pins: readonly number[]): Design {
  const terms = Array.from({ length: 1 + random(4) }, () =>
    shuffled(random, pins)
      .slice(0, 1 + random(3))
      .map((pin) => pick(random, [pin, -pin])),
  )
  return simple(output(19, terms, { activeHigh: random(2) === 1 }))
}

type Levels = ReturnType<typeof levelsOf>

/**
 * The products cover every row that matters and differs, and none that matters and does not; the text says the same.
 */
function expectCover(
  comparison: Comparison,
  given: {
    readonly pins: readonly number[]
    readonly rows: readonly Levels[]
    readonly differing: (levels: Levels) => boolean
    readonly where: string
  },
): void {
  const { products, complete, text } = outputAt(comparison, 19).differsWhere!
  expect(complete, given.where).toBe(true)
  const covered = (levels: Levels): boolean =>
    products.some((product) =>
      Object.entries(product).every(([pin, level]) => levels.get(Number(pin)) === (level === 1)),
    )
  for (const levels of given.rows)
    expect([given.where, [...levels].filter(([pin]) => given.pins.includes(pin)), covered(levels)]).toEqual([
      given.where,
      [...levels].filter(([pin]) => given.pins.includes(pin)),
      given.differing(levels),
    ])
  // Signs of ISO 80000-2: the text read back as a sum of products of pins.
  const read = text.split(' ∨ ').map((product) =>
    Object.fromEntries(
      product
        .replace(/[()]/g, '')
        .split(' ∧ ')
        .filter((each) => each !== '1')
        .map((each) => [Number(each.replace(/^¬?p/, '')), each.startsWith('¬') ? 0 : 1]),
    ),
  )
  expect(read, given.where).toEqual(products.map((product) => ({ ...product })))
}

describe('where an output differs, as a sum of products', () => {
  test('of random sums: exactly the rows that differ', () => {
    const pins = [2, 3, 4, 5, 6]
    const rows = Array.from({ length: 32 }, (_, row) => levelsOf(pins, row))
    let differing = 0
    for (let seed = 82_000; seed < 82_040; seed++) {
      const random = seededRandom(seed)
      const [a, b] = [randomSum(random, pins), randomSum(random, pins)]
      const differs = (levels: Levels): boolean =>
        settle(a, new Map(), levels).levels.get(19) !== settle(b, new Map(), levels).levels.get(19)
      const comparison = compareDesigns(a, b)
      if (!rows.some(differs)) continue
      differing++
      expectCover(comparison, { pins, rows, differing: differs, where: `seed ${seed}` })
    }
    expect(differing).toBeGreaterThan(20)
  })

  test('is short: one literal where one decides, 1 where everything differs', () => {
    // Pin 18 is there so that no array is empty.
    const where = (a: readonly Term[], b: readonly Term[]): string =>
      outputAt(compareDesigns(simple(high(19, ...a), high(18, [9])), simple(high(19, ...b), high(18, [9]))), 19)
        .differsWhere!.text
    expect(where([[2]], [])).toBe('p2')
    expect(where([[]], [[2]])).toBe('¬p2')
    expect(where([[2]], [[-2]])).toBe('1')
    // x ∧ y against x ∨ y: where x and y differ.
    expect(
      where([[2, 3]], [[2], [3]])
        .split(' ∨ ')
        .sort(),
    ).toEqual(['(p2 ∧ ¬p3)', '(¬p2 ∧ p3)'].sort())
  })

  test('what does not matter makes it shorter', () => {
    const [a, b] = [simple(high(19, [2, 3]), high(18, [9])), simple(high(18, [9]), high(19))]
    expect(outputAt(compareDesigns(a, b), 19).differsWhere!.text).toBe('p2 ∧ p3')
    expect(outputAt(compareDesigns(a, b, { dontCare: [{ 2: 1, 3: 0 }] }), 19).differsWhere!.text).toBe('p2')
  })

  test('names the level of Q of a register', () => {
    const machine = (term: Term): Design => ({
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      outputs: [19, 18].map((pin) => ({
        pin,
        kind: 'registered',
        activeHigh: false,
        enable: { lowPin: 11 },
        terms: [pin === 19 ? term : [3]],
      })),
    })
    // The true column of pin 18 carries ¬Q: the term holds while Q is 0.
    const { differsWhere } = outputAt(compareDesigns(machine([18]), machine([2, -2])), 19)
    expect(differsWhere).toEqual({ products: [{ q18: 0 }], complete: true, text: '¬q18' })
  })
})

describe('pins that belong together', () => {
  test('of one part with pins exchanged', () => {
    const a = simple(high(19, [2, -3]), high(18, [4]))
    const b = simple(high(18, [3, -2]), high(19, [4]))
    expect(compareDesigns(a, b).relation).toBe('different')
    expect(compareDesigns(a, b, { pins: { 2: 3, 3: 2, 18: 19, 19: 18 } })).toMatchObject({ relation: 'equivalent' })
    expect(compareDesigns(a, b, { pins: { 2: 3, 3: 2 } }).relation).toBe('different')
    // Pin 1 too belongs to pin 1.
    const [c, d] = [simple(high(19, [1, 2])), simple(high(19, [1, 3]))]
    expect(compareDesigns(c, d, { pins: { 2: 3, 3: 2 } }).relation).toBe('equivalent')
  })

  test('the pin of an output is that of the intended part, and a counterexample names its pins', () => {
    const a = simple(high(19, [2, -3]))
    const b = simple(high(18, [3, 2]), high(19))
    const comparison = compareDesigns(a, b, { pins: { 2: 3, 3: 2, 18: 19, 19: 18 } })
    expect(comparison.outputs.map(({ pin, relation }) => [pin, relation])).toEqual([
      [15, 'equivalent'],
      [16, 'equivalent'],
      [18, 'different'],
      [19, 'different'],
    ])
    const found = outputAt(comparison, 19)
    // p2 ∧ ¬p3 against (in the same names) p3 ∧ p2: they differ wherever p2 is 1.
    expect(ratioAt(comparison, 19)).toBe('1/2')
    const levels = counterLevels(found)
    const swapped = new Map([...levels].map(([pin, level]) => [pin === 2 ? 3 : pin === 3 ? 2 : pin, level]))
    expect([found.counterexample!.intended, found.counterexample!.readback]).toEqual([
      shownAt(a, 19, { levels }),
      shownAt(b, 18, { levels: swapped }),
    ])
  })

  test('a pin whose partner was given away stands for itself', () => {
    // Pin 2 goes with pin 3 of the read-back; its own pin 2 then belongs to nobody.
    const comparison = compareDesigns(simple(high(19, [2])), simple(high(19, [2], [2, 5])), { pins: { 2: 3 } })
    expect(ratioAt(comparison, 19)).toBe('1/2')
    expect(Object.keys(outputAt(comparison, 19).counterexample!.inputs)).toEqual(['2', '5', 'readback 2'])
    expect(compareDesigns(simple(high(19, [2])), simple(high(19, [3])), { pins: { 2: 3 } }).relation).toBe(
      'equivalent',
    )
  })

  test('with another number of pins only those that are stated', () => {
    const pal: Design = { part: '16L8', mode: null, outputs: [output(18, [[2, -3]])] }
    const gal: Design = { part: '22V10', mode: null, outputs: [output(20, [[5, -6]])] }
    expect(compareDesigns(pal, gal, { pins: { 2: 5, 3: 6, 18: 20 } })).toMatchObject({ relation: 'equivalent' })
    const partly = compareDesigns(pal, gal, { pins: { 2: 5, 18: 20 } })
    // ¬(p2 ∧ ¬p3) against ¬(p2 ∧ ¬x), with x a pin of the other part alone: p2 is 1, and p3 and x differ.
    expect(ratioAt(partly, 18)).toBe('1/4')
    const unpaired = compareDesigns(pal, gal, { pins: { 2: 5, 3: 6 } })
    expect(unpaired.outputs.map(({ pin, side, relation }) => [pin, side, relation])).toEqual([
      [18, 'intended', 'different'],
      [20, 'readback', 'different'],
    ])
    expect(codesOf(unpaired)).toEqual(['compare/different', 'compare/one-sided', 'compare/one-sided'])
  })
})

describe('wrong use is told by the argument’s name', () => {
  const map = mapOf(simple(high(19, [2, 3])))
  const other = mapOf(simple(high(19, [2])))
  const call =
    (options: unknown): (() => Comparison) =>
    () =>
      compare(map, other, options as CompareOptions)

  test.each([
    ['options', null],
    ['options', 7],
    ['options', []],
    ['options.device', { device: 7 }],
    ['options.otherDevice', { otherDevice: {} }],
    ['options.maxNodes', { maxNodes: '100' }],
    ['options.pins', { pins: [] }],
    ['options.pins', { pins: null }],
    ['options.pins', { pins: '2' }],
    ['options.pins.2', { pins: { 2: '3' } }],
    ['options.dontCare', { dontCare: {} }],
    ['options.dontCare', { dontCare: null }],
    ['options.dontCare[1]', { dontCare: [{}, 5] }],
    ['options.dontCare[0]', { dontCare: [[2]] }],
    ['options.dontCare[0]', { dontCare: [null] }],
  ])('TypeError: %s, %j', (name, options) => {
    expect(call(options)).toThrow(TypeError)
    expect(call(options)).toThrow(name)
  })

  test.each([
    ['options.device', { device: '16V9' }],
    ['options.otherDevice', { otherDevice: 'nothing' }],
    ['options.fuseOrder', { fuseOrder: 'sideways' }],
    ['options.powerUp', { powerUp: 'up' }],
    ['options.powerUp', { powerUp: null }],
    ['options.otherPowerUp', { otherPowerUp: 1 }],
    ['options.maxNodes', { maxNodes: 1 }],
    ['options.maxNodes', { maxNodes: 2.5 }],
    ['options.maxStates', { maxStates: 0 }],
    ['options.maxStates', { maxStates: NaN }],
    ['options.maxDifferences', { maxDifferences: -1 }],
    ['options.maxDifferences', { maxDifferences: Infinity }],
    ['maxFindings', { maxFindings: -1 }],
    ['options.pins', { pins: { 0: 1 } }],
    ['options.pins', { pins: { A: 1 } }],
    ['options.pins', { pins: { '2.5': 1 } }],
    ['options.pins.2', { pins: { 2: 0 } }],
    ['options.pins.3', { pins: { 2: 2, 3: 1.5 } }],
    ['options.pins', { pins: { 2: 3, 4: 3 } }],
    ['options.pins', { pins: { 21: 2 } }],
    ['options.pins', { pins: { 2: 21 } }],
    ['options.dontCare[0]', { dontCare: [{ 0: 1 }] }],
    ['options.dontCare[0]', { dontCare: [{ x: 1 }] }],
    ['options.dontCare[1].3', { dontCare: [{}, { 3: 2 }] }],
    ['options.dontCare[0].3', { dontCare: [{ 3: true }] }],
    ['options.dontCare[1]', { dontCare: [{ 2: 1 }, { 21: 1 }] }],
  ])('RangeError: %s, %j', (name, options) => {
    expect(call(options)).toThrow(RangeError)
    expect(call(options)).toThrow(name)
  })

  test.each([undefined, null, 5, {}, [], { bits: 3 }])('an input that is none: %j', (input) => {
    expect(() => compare(input as never, map)).toThrow(TypeError)
    expect(() => compare(input as never, map)).toThrow('intended')
    expect(() => compare(map, input as never)).toThrow('readback')
  })

  test('content is never wrong use', () => {
    const contents: (string | Uint8Array)[] = [
      '',
      '\x02',
      '\x02*',
      '\x02x*QF*\x03',
      new Uint8Array(3),
      '\x02x*QF999999999*F0*\x030000',
      '\x02x*QF0*\x030000',
      'L0 01*',
    ]
    for (const first of contents)
      for (const second of [...contents, map, createFuseMap(0), fuseMapFrom('1')])
        for (const [a, b] of [
          [first, second],
          [second, first],
        ] as const)
          expect(['identical', 'different', 'undecided', 'equivalent', 'not-comparable']).toContain(
            compare(a, b).relation,
          )
  })
})

test('a comparison is plain data: it goes through JSON unchanged', () => {
  for (const [a, b] of [
    [simple(high(19, [2])), simple(high(19, [3]))],
    [simple(high(19, [2])), simple(high(19, [2], [2, 3]))],
  ] as const) {
    const comparison = compareDesigns(a, b, { name: 'a.jed', otherName: 'b.jed' })
    expect(JSON.parse(JSON.stringify(comparison))).toEqual(comparison)
    expect(comparison).toMatchObject({ intended: 'a.jed', readback: 'b.jed' })
  }
})

test('the same question has the same answer, byte for byte', () => {
  const [a, b] = [simple(high(19, [2, 3], [-4, 5])), simple(high(19, [2], [5]))]
  expect(JSON.stringify(compareDesigns(a, b))).toBe(JSON.stringify(compareDesigns(a, b)))
})
