/**
 * Functions of as many inputs as the parts have, which no table holds: equal by different covers, and one row apart.
 */
import { describe, expect, test } from 'vitest'
import { V10, type Design, type Term } from '../parts/design'
import { cellAt, tableOf, termLimits } from '../parts/encoder'
import { pick, seededRandom, shuffled } from '../parts/random-designs'
import { codesOf, compareDesigns, counterLevels, output, outputAt, ratioAt, shownAt } from './pairs'

/** All columns of a 22V10 but that of pin 19, which is the output. */
const INPUTS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16, 17, 18, 20, 21, 22, 23]
const v10 = (terms: readonly Term[], more: Design['outputs'] = []): Design => ({
  part: '22V10',
  mode: null,
  outputs: [output(19, terms, { activeHigh: true }), ...more],
})

/** Ten products of two pins and one pin alone: every pin is used. */
const PRODUCTS: readonly Term[] = Array.from({ length: 10 }, (_, i) => [INPUTS[i]!, INPUTS[20 - i]!])
const MIDDLE = INPUTS[10]!

describe('a 22V10 with every pin in use', () => {
  const terms: readonly Term[] = [...PRODUCTS, [MIDDLE]]

  test('is equal to another cover of the same sum', () => {
    // Each of five products split by a pin of another, x = x ∧ y ∨ x ∧ ¬y: sixteen terms, as many as pin 19 has.
    const split = PRODUCTS.slice(0, 5).flatMap((term, i) => [
      [...term, INPUTS[i + 5]!],
      [...term, -INPUTS[i + 5]!],
    ])
    const other = [[MIDDLE], ...[...PRODUCTS.slice(5)].reverse(), ...split]
    expect(other).toHaveLength(16)
    const comparison = compareDesigns(v10(terms), v10(other))
    expect(comparison).toMatchObject({ relation: 'equivalent', basis: 'logic' })
    expect(outputAt(comparison, 19)).toMatchObject({ differingInputs: '0', ofInputs: String(2 ** 21) })
  })

  test('is equal where terms are widened by what others cover', () => {
    // x ∨ ¬x ∧ y = x ∨ y, for the middle pin and each product.
    const other: Term[] = [[MIDDLE], ...PRODUCTS.map((term) => [...term, -MIDDLE])]
    expect(compareDesigns(v10(terms), v10(other)).relation).toBe('equivalent')
  })

  test('differs by one row of 2²¹ where one term of all pins is added, and is counted and shown exactly so', () => {
    const random = seededRandom(71_000)
    for (let i = 0; i < 4; i++) {
      // A row in which no term holds: one pin of each pair low, and the middle pin low.
      const low = PRODUCTS.map((term) => pick(random, term))
      const row = INPUTS.map((pin) => (pin === MIDDLE || low.includes(pin) || random(2) ? -pin : pin))
      const [a, b] = [v10(terms), v10([...terms, row])]
      const comparison = compareDesigns(a, b)
      expect(comparison.relation).toBe('different')
      expect(ratioAt(comparison, 19)).toBe(`1/${2 ** 21}`)
      const { counterexample, differsWhere } = outputAt(comparison, 19)
      expect(counterexample).toMatchObject({
        intended: 'L',
        readback: 'H',
        inputs: Object.fromEntries(row.map((literal) => [Math.abs(literal), literal > 0 ? 1 : 0])),
      })
      expect(differsWhere).toMatchObject({
        complete: true,
        products: [Object.fromEntries(row.map((literal) => [Math.abs(literal), literal > 0 ? 1 : 0]))],
      })
      const levels = counterLevels(outputAt(comparison, 19))
      expect([shownAt(a, 19, { levels }), shownAt(b, 19, { levels })]).toEqual(['L', 'H'])
    }
  })

  test('counts a single row also where the register’s own state is one of the variables', () => {
    const own = (term: Term): Design => ({
      ...V10,
      outputs: [{ pin: 19, kind: 'registered', activeHigh: false, enable: 'always', terms: [term] }],
    })
    // Twenty pins without the clock, and the state: 21 variables.
    const row = [19, ...INPUTS.slice(1)].map((pin, i) => (i % 3 ? pin : -pin))
    const comparison = compareDesigns(own([2, -2]), own(row))
    expect(ratioAt(comparison, 19)).toBe(`1/${2 ** 21}`)
  })
})

test('a 26CV12: one row of 2²², and of 2²⁵', () => {
  const { columns } = tableOf({ part: '26CV12', mode: null })
  const design = (terms: readonly Term[]): Design => ({
    part: '26CV12',
    mode: null,
    outputs: [output(22, terms, { activeHigh: true })],
  })
  const pins = columns.filter((pin) => pin !== 22)
  for (const count of [22, 25]) {
    const row = pins.slice(0, count).map((pin, i) => (i % 2 ? pin : -pin))
    const comparison = compareDesigns(design([[2, -2]]), design([row]))
    expect(ratioAt(comparison, 22)).toBe(`1/${2 ** count}`)
  }
})

describe('sums built over other pins', () => {
  const parity = (pins: readonly number[]): Term[] =>
    Array.from({ length: 2 ** pins.length }, (_, row) => row)
      .filter((row) => [...row.toString(2)].filter((digit) => digit === '1').length % 2)
      .map((row) => pins.map((pin, i) => ((row >> i) & 1 ? pin : -pin)))
  const tree = (groups: readonly (readonly number[])[]): Design => ({
    part: '22V10',
    mode: null,
    outputs: [
      ...groups.map((group, i) => output(23 - i, parity(group), { activeHigh: true })),
      output(19, parity([23, 22, 21]), { activeHigh: true }),
    ],
  })
  const a = tree([
    [1, 2, 3, 4],
    [5, 6, 7, 8],
    [9, 10, 11, 13],
  ])

  test('the parity of twelve inputs does not depend on the grouping; the groups do', () => {
    const comparison = compareDesigns(
      a,
      tree([
        [1, 5, 9, 2],
        [6, 10, 3, 7],
        [11, 4, 8, 13],
      ]),
    )
    expect(outputAt(comparison, 19)).toMatchObject({ relation: 'equivalent', ofInputs: '4096' })
    // Parities of different sets of pins differ in half of all rows.
    for (const pin of [23, 22, 21]) expect(ratioAt(comparison, pin)).toBe('1/2')
  })

  test('one term of a group turned round is seen in the sum as often as there', () => {
    const turned: Design = {
      ...a,
      outputs: a.outputs.map((each) => (each.pin === 22 ? { ...each, terms: each.terms.slice(1) } : each)),
    }
    const comparison = compareDesigns(a, turned)
    expect([ratioAt(comparison, 22), ratioAt(comparison, 19)]).toEqual(['1/16', '1/16'])
  })

  test('a difference of many products is cut short, and says so', () => {
    // Parity against constant 0: eight primes of four variables fit; parity of five has sixteen.
    const five = (terms: readonly Term[]): Design => ({
      part: '22V10',
      mode: null,
      outputs: [output(19, terms, { activeHigh: true })],
    })
    const { differsWhere } = outputAt(compareDesigns(five(parity([2, 3, 4, 5, 6])), five([])), 19)
    expect(differsWhere).toMatchObject({ complete: false })
    expect(differsWhere!.products).toHaveLength(12)
    expect(differsWhere!.text).toMatch(/ ∨ …$/)
    expect(outputAt(compareDesigns(five(parity([2, 3, 4, 5])), five([])), 19).differsWhere).toMatchObject({
      complete: true,
    })
  })
})

test('random full designs against the same with their terms in another order', () => {
  const table = tableOf({ part: '22V10', mode: null })
  const random = seededRandom(72_000)
  for (let i = 0; i < 3; i++) {
    const outputs = table.cells.map(({ pin }) => {
      const others = table.columns.filter((each) => each < 14)
      const terms = Array.from({ length: termLimits(table, cellAt(table, pin).pin, 'combinational').first }, () =>
        shuffled(random, others)
          .slice(0, 2 + random(5))
          .map((each) => (random(2) ? each : -each)),
      )
      return output(pin, terms, { activeHigh: random(2) === 1 })
    })
    const design: Design = { part: '22V10', mode: null, outputs }
    const other: Design = {
      ...design,
      outputs: outputs.map((each) => ({
        ...each,
        terms: shuffled(random, each.terms).map((term) => shuffled(random, term)),
      })),
    }
    expect(compareDesigns(design, other), `design ${i}`).toMatchObject({ relation: 'equivalent' })
  }
})

describe('past the limit of nodes', () => {
  // With the first pins of all products before the second ones a sum of ten products needs thousands of nodes; here
  // even the best order needs more than ten.
  const other: Term[] = PRODUCTS.map((term) => [...term].reverse())
  const changed = [...PRODUCTS.slice(1), [MIDDLE]]

  test('an output that is small enough is decided all the same', () => {
    // Pin 18 is the level at pin 2 on both sides: one test. Pin 19 needs more than ten.
    const small = output(18, [[2]], { activeHigh: true })
    const comparison = compareDesigns(v10(PRODUCTS, [small]), v10(changed, [small]), { maxNodes: 10 })
    expect(outputAt(comparison, 18)).toMatchObject({ relation: 'equivalent', differingInputs: '0', ofInputs: '2' })
    expect(outputAt(comparison, 19)).toMatchObject({ relation: 'undecided', reason: 'node-limit' })
  })

  test('nothing is claimed, and why is said', () => {
    for (const terms of [[...other, [2, -2]], changed]) {
      const comparison = compareDesigns(v10(PRODUCTS), v10(terms), { maxNodes: 10 })
      expect(comparison).toMatchObject({ relation: 'undecided', basis: 'logic', verdict: 'caution' })
      expect(outputAt(comparison, 19)).toMatchObject({
        relation: 'undecided',
        reason: 'node-limit',
        differingInputs: null,
        ofInputs: null,
        counterexample: null,
        differsWhere: null,
      })
      expect(codesOf(comparison)).toContain('compare/undecided')
      expect(comparison.findings.find(({ code }) => code === 'compare/undecided')).toMatchObject({
        pin: 19,
        severity: 'warning',
      })
    }
  })

  test('with room enough the same is decided', () => {
    expect(compareDesigns(v10(PRODUCTS), v10([...other, [2, -2]]), { maxNodes: 10_000 }).relation).toBe('equivalent')
    expect(compareDesigns(v10(PRODUCTS), v10(changed), { maxNodes: 10_000 }).relation).toBe('different')
  })
})
