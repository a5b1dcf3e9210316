/**
 * Decision diagrams against texts of functions: every operation on all functions of three variables and on seeded
 * random ones of up to ten, one node for one function whatever the way to it, and limits that hold.
 */
import { describe, expect, test } from 'vitest'
import { onePiece, withinWork } from '../../src/arguments/work'
import { runPieces } from '../../src/arguments/pieces'
import { createDiagrams, NodeLimitError, withinLimit, type Diagrams, type Node } from '../../src/logic/diagrams'
import { seededRandom } from '../parts/random-designs'
import { same } from '../same'
import { sampleSize } from '../sample-size'
import { rowsOf, shortestWay, tableOf, testsOf } from './value-tables'

const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)
/** Texts of all functions of three variables: bit k of the number is the value in row k. */
const FUNCTIONS = upTo(256)
const ROWS = rowsOf(3)
const textOf = (number: number): string =>
  upTo(8)
    .map((row) => (number >> row) & 1)
    .join('')

/** The node of a number by its ones: an OR of products. */
function byOnes(d: Diagrams, number: number, x: readonly Node[]): Node {
  return ROWS.reduce(
    (f, bits, row) =>
      (number >> row) & 1
        ? d.or(
            f,
            bits.reduce((g, bit, i) => d.and(g, bit ? x[i]! : d.not(x[i]!)), 1),
          )
        : f,
    0,
  )
}

function threeVariables(): {
  readonly d: Diagrams
  readonly x: readonly Node[]
  readonly nodes: readonly Node[]
  readonly numberAt: ReadonlyMap<Node, number>
} {
  const d = createDiagrams(3)
  const x = upTo(3).map((i) => d.variable(i))
  const nodes = FUNCTIONS.map((number) => byOnes(d, number, x))
  return { d, x, nodes, numberAt: new Map(nodes.map((node, number) => [node, number])) }
}

describe('all functions of three variables', () => {
  test('have one node each, the constants 0 and 1', () => {
    const { d, nodes, numberAt } = threeVariables()
    expect(numberAt.size).toBe(256)
    expect([nodes[0], nodes[255]]).toEqual([0, 1])
    // Every node is a function; those of the products on the way are among them.
    expect(d.nodeCount()).toBe(256)
    expect(d.variableCount).toBe(3)
  })

  test('come to the same node on five other ways', () => {
    const { d, x, nodes } = threeVariables()
    const byZeros = (number: number): Node =>
      ROWS.reduce(
        (f, bits, row) =>
          (number >> row) & 1
            ? f
            : d.and(
                f,
                bits.reduce((g, bit, i) => d.or(g, bit ? d.not(x[i]!) : x[i]!), 0),
              ),
        1,
      )
    // Exclusive-or of products without complements: a product is in it where an odd number of the rows below it are 1.
    const byParity = (number: number): Node =>
      ROWS.reduce((f, product) => {
        const below = ROWS.filter(
          (bits, row) => (number >> row) & 1 && bits.every((bit, i) => bit <= product[i]!),
        ).length
        return below % 2
          ? d.xor(
              f,
              product.reduce((g, used, i) => (used ? d.and(g, x[i]!) : g), 1),
            )
          : f
      }, 0)
    // One variable after the other, from the last one and from the first one up.
    const byChoice = (
      number: number,
      order: readonly number[],
      given: readonly (readonly [number, number])[] = [],
    ): Node => {
      const [variable, ...rest] = order
      if (variable === undefined)
        return (number >> ROWS.findIndex((bits) => given.every(([i, bit]) => bits[i] === bit))) & 1
      return d.choose(
        x[variable]!,
        byChoice(number, rest, [...given, [variable, 1]]),
        byChoice(number, rest, [...given, [variable, 0]]),
      )
    }
    const byComplement = (number: number): Node => d.not(byOnes(d, 255 - number, x))
    for (const number of FUNCTIONS) {
      const found = [
        byZeros(number),
        byParity(number),
        byChoice(number, [2, 1, 0]),
        byChoice(number, [0, 1, 2]),
        byComplement(number),
      ]
      expect(found, textOf(number)).toEqual(Array(5).fill(nodes[number]))
    }
  })

  test('and, or, xor of all pairs, and the choice of all triples of a third function', () => {
    const { d, nodes, numberAt } = threeVariables()
    const wrong: string[] = []
    const check = (what: string, found: Node, expected: number): void =>
      void (numberAt.get(found) === expected || wrong.push(what))
    for (const f of FUNCTIONS) {
      check(`not ${f}`, d.not(nodes[f]!), 255 - f)
      for (const g of FUNCTIONS) {
        check(`${f} and ${g}`, d.and(nodes[f]!, nodes[g]!), f & g)
        check(`${f} or ${g}`, d.or(nodes[f]!, nodes[g]!), f | g)
        check(`${f} xor ${g}`, d.xor(nodes[f]!, nodes[g]!), f ^ g)
        // 17 and 256 have no common factor: with f and g every third function comes up.
        for (const h of [0, 255, f, g, (17 * f + 91 * g + 5) & 255])
          check(`${f} ? ${g} : ${h}`, d.choose(nodes[f]!, nodes[g]!, nodes[h]!), (f & g) | (~f & h & 255))
      }
    }
    expect(wrong).toEqual([])
    expect(d.nodeCount()).toBe(256)
  })

  test('the choice of all triples of functions of two variables', () => {
    const d = createDiagrams(2)
    const [x, y] = [d.variable(0), d.variable(1)]
    const nodes = upTo(16).map((number) =>
      upTo(4).reduce<Node>(
        (f, row) => ((number >> row) & 1 ? d.or(f, d.and(row & 2 ? x : d.not(x), row & 1 ? y : d.not(y))) : f),
        0,
      ),
    )
    const wrong = upTo(4096).filter((i) => {
      const [f, g, h] = [i & 15, (i >> 4) & 15, i >> 8]
      return d.choose(nodes[f]!, nodes[g]!, nodes[h]!) !== nodes[(f & g) | (~f & h & 15)]
    })
    expect(wrong).toEqual([])
  })

  test('values, number of ones, dependence, size and shortest way', () => {
    const { d, nodes } = threeVariables()
    for (const number of FUNCTIONS) {
      const [f, text] = [nodes[number]!, textOf(number)]
      same(ROWS.map((bits) => d.evaluate(f, bits)).join(''), text, text)
      same(d.count(f), BigInt(text.replaceAll('0', '').length), text)
      expect(d.support(f), text).toEqual(dependence(text, 3))
      expect(d.size([f]), text).toBe(testsOf([text]))
      expectShortestCube(d, f, text)
    }
  })

  test('sizes of two functions together', () => {
    const { d, nodes } = threeVariables()
    const wrong = FUNCTIONS.flatMap((f) =>
      FUNCTIONS.filter((g) => g >= f && d.size([nodes[f]!, nodes[g]!]) !== testsOf([textOf(f), textOf(g)])).map(
        (g) => [f, g],
      ),
    )
    expect(wrong).toEqual([])
    expect(d.size([])).toBe(0)
    expect(d.size([0, 1])).toBe(0)
  })

  test('whether some values of some variables make them true', () => {
    const { d, nodes, numberAt } = threeVariables()
    const subsets = upTo(8).map((set) => upTo(3).filter((i) => (set >> i) & 1))
    for (const number of FUNCTIONS) {
      expect(d.exists(nodes[number]!, []), textOf(number)).toBe(nodes[number])
      for (const variables of subsets) {
        const expected = tableOf(3, (bits) =>
          ROWS.some(
            (other, row) => (number >> row) & 1 && other.every((bit, i) => bit === bits[i] || variables.includes(i)),
          ),
        )
        const found = d.exists(nodes[number]!, variables)
        const what = `${number} over ${variables.join()}`
        same(textOf(numberAt.get(found)!), expected, what)
        same(d.exists(nodes[number]!, [...variables, ...variables].reverse()), found, what)
      }
    }
  })

  test('replaced variables, all at once', () => {
    const { d, nodes, numberAt } = threeVariables()
    const random = seededRandom(1986)
    for (let n = 0; n < 20_000; n++) {
      const number = n % 256
      // Now and then a variable stays: left out in the middle or at the end.
      const given = upTo(1 + random(3)).map(() => (random(4) ? random(256) : undefined))
      const expected = tableOf(3, (bits) => {
        const row = bits.reduce(
          (place, bit, i) =>
            2 * place + (given[i] === undefined ? bit : (given[i]! >> bits.reduce((sum, b) => 2 * sum + b, 0)) & 1),
          0,
        )
        return (number >> row) & 1
      })
      const found = d.substitute(
        nodes[number]!,
        given.map((one) => (one === undefined ? undefined : nodes[one]!)),
      )
      same(textOf(numberAt.get(found)!), expected, `${number} by ${given.join()}`)
    }
    // Two variables exchanged: one after the other would make both the same.
    const [x, y] = [d.variable(0), d.variable(1)]
    expect(d.substitute(d.and(x, d.not(y)), [y, x])).toBe(d.and(y, d.not(x)))
  })
})

/** Variables of which a change alone changes the value somewhere. */
function dependence(text: string, count: number): number[] {
  return upTo(count).filter((i) => [...text].some((value, row) => value !== text[row ^ (1 << (count - 1 - i))]))
}

/** The cube lies in the function, and fixes as many variables as there are tests on the shortest way. */
function expectShortestCube(d: Diagrams, f: Node, text: string): void {
  const cube = d.shortestCube(f)
  if (!text.includes('1')) return expect(cube, text).toBeNull()
  expect(cube!.length).toBe(d.variableCount)
  expect(
    [...cube!].filter((level) => level !== 2),
    text,
  ).toHaveLength(shortestWay(text))
  const inside = rowsOf(d.variableCount).flatMap((bits, row) =>
    bits.every((bit, i) => cube![i] === 2 || cube![i] === bit) ? [text[row]] : [],
  )
  expect(new Set(inside), text).toEqual(new Set(['1']))
}

interface Known {
  readonly node: Node
  readonly text: string
}

/** A random operation on functions that are already there, on nodes and row by row on their texts. */
function randomStep(
  d: Diagrams,
  random: (limit: number) => number,
  known: readonly Known[],
): Known & { readonly what: string } {
  const [a, b, c] = upTo(3).map(() => known[random(known.length)]!)
  const rowwise = (value: (f: string, g: string, h: string) => boolean): string =>
    [...a!.text].map((f, row) => (value(f, b!.text[row]!, c!.text[row]!) ? '1' : '0')).join('')
  const count = d.variableCount
  const variable = random(count)
  const steps: readonly (readonly [string, () => Node, () => string])[] = [
    ['and', () => d.and(a!.node, b!.node), () => rowwise((f, g) => f === '1' && g === '1')],
    ['or', () => d.or(a!.node, b!.node), () => rowwise((f, g) => f === '1' || g === '1')],
    ['xor', () => d.xor(a!.node, b!.node), () => rowwise((f, g) => f !== g)],
    ['not', () => d.not(a!.node), () => rowwise((f) => f === '0')],
    ['choose', () => d.choose(a!.node, b!.node, c!.node), () => rowwise((f, g, h) => (f === '1' ? g : h) === '1')],
    [
      'exists',
      () => d.exists(a!.node, [variable]),
      () =>
        [...a!.text]
          .map((f, row) => (f === '1' || a!.text[row ^ (1 << (count - 1 - variable))] === '1' ? '1' : '0'))
          .join(''),
    ],
    [
      'substitute',
      () => d.substitute(a!.node, [...Array<undefined>(variable).fill(undefined), b!.node]),
      () =>
        [...a!.text]
          .map(
            (_, row) =>
              a!.text[(row & ~(1 << (count - 1 - variable))) | (Number(b!.text[row]) << (count - 1 - variable))],
          )
          .join(''),
    ],
  ]
  const [what, ofNodes, ofTexts] = steps[random(steps.length)]!
  return { what, node: ofNodes(), text: ofTexts() }
}

const SEEDS = sampleSize(3, 6)

test.each([4, 5, 6, 7, 8, 9, 10])('random functions of %i variables', (count) => {
  const operations = new Set<string>()
  let different = 0
  for (let seed = 1000 * count; seed < 1000 * count + SEEDS; seed++) {
    const random = seededRandom(seed)
    const d = createDiagrams(count)
    const known: Known[] = upTo(count).map((i) => ({ node: d.variable(i), text: tableOf(count, (bits) => bits[i]) }))
    for (let step = 0; step < 60; step++) {
      const { what, node, text } = randomStep(d, random, known)
      const place = `seed ${seed}, step ${step}, ${what}`
      operations.add(what)
      const values = rowsOf(count).map((bits) => d.evaluate(node, bits))
      same(values.join(''), text, place)
      same(d.count(node), BigInt(text.replaceAll('0', '').length), place)
      expect(d.support(node), place).toEqual(dependence(text, count))
      expect(d.size([node]), place).toBe(testsOf([text]))
      expectShortestCube(d, node, text)
      known.push({ node, text })
    }
    // One node a function, one function a node.
    expect(new Set(known.map(({ text }) => text)).size, `seed ${seed}`).toBe(
      new Set(known.map(({ node }) => node)).size,
    )
    different += new Set(known.map(({ node }) => node)).size
  }
  expect(operations.size).toBe(7)
  expect(different).toBeGreaterThan(SEEDS * 20)
})

/**
 * For each j whether exactly j of the functions are 1; from the last variable up, so that what is made on the way
 * stays in use.
 */
function exactly(d: Diagrams, functions: readonly Node[]): Node[] {
  return functions.reduceRight<Node[]>(
    (counts, x) => [...counts, 0].map((same, j) => d.choose(x, counts[j - 1] ?? 0, same)),
    [1],
  )
}

/**
 * The variable whose number is how many are 1: R. E. Bryant, IEEE Trans. Comput. 40(2), 1991; exponential in every
 * order.
 */
function hiddenWeightedBit(d: Diagrams, steps: { count: number }): Node {
  const counts = exactly(
    d,
    upTo(d.variableCount).map((i) => d.variable(i)),
  )
  return counts.slice(1).reduce((any, f, i) => {
    steps.count++
    return d.or(any, d.and(f, d.variable(i)))
  }, 0)
}

/** Bits of the product of two words of half of the variables, least significant first, by rows of full adders. */
function product(d: Diagrams, steps: { count: number }): Node[] {
  const n = d.variableCount / 2
  const sum = Array<Node>(2 * n).fill(0)
  for (let i = 0; i < n; i++) {
    let carry: Node = 0
    for (let j = 0; i + j < 2 * n; j++) {
      steps.count++
      const [a, b] = [sum[i + j]!, j < n ? d.and(d.variable(i), d.variable(n + j)) : 0]
      sum[i + j] = d.xor(d.xor(a, b), carry)
      carry = d.or(d.and(a, b), d.and(carry, d.or(a, b)))
    }
  }
  return sum
}

describe('limits', () => {
  test.each([
    [
      'hidden weighted bit of 120 variables',
      120,
      (d: Diagrams, steps: { count: number }) => hiddenWeightedBit(d, steps),
      120,
    ],
    // Exponential in every order (Bryant 1991). 16 rows of at most 32 full adders.
    [
      'middle bit of a 16-bit multiplier',
      32,
      (d: Diagrams, steps: { count: number }) => product(d, steps)[15]!,
      16 * 32,
    ],
  ] as const)('%s: refused once the nodes are used up, and never more of them', (_, variables, build, mostSteps) => {
    for (const maxNodes of [20_000, 150_000]) {
      const d = createDiagrams(variables, { maxNodes })
      const steps = { count: 0 }
      expect(() => build(d, steps)).toThrow(NodeLimitError)
      expect(d.nodeCount()).toBe(maxNodes)
      expect(steps.count).toBeGreaterThan(0)
      expect(steps.count).toBeLessThan(mostSteps)
      expect(withinLimit(() => build(d, { count: 0 }))).toBeNull()
      expect(d.nodeCount()).toBe(maxNodes)
    }
  })

  test('the same multiplier of 4 bits fits, and multiplies', () => {
    const d = createDiagrams(8)
    const bits = product(d, { count: 0 })
    const number = (values: readonly number[]): number => values.reduce((sum, bit, i) => sum + (bit << i), 0)
    for (const row of rowsOf(8))
      expect(number(bits.map((f) => d.evaluate(f, row)))).toBe(number(row.slice(0, 4)) * number(row.slice(4)))
    // Exactly 24 of 48: C(48, 24) assignments. A test for every number of variables left and ones among them is enough.
    const many = createDiagrams(48, { maxNodes: 48 * 48 })
    expect(
      many.count(
        exactly(
          many,
          upTo(48).map((i) => many.variable(i)),
        )[24]!,
      ),
    ).toBe(32247603683100n)
  })

  test('counts both constants and stops at exactly so many nodes', () => {
    const d = createDiagrams(3, { maxNodes: 4 })
    expect(d.nodeCount()).toBe(2)
    const [x, y] = [d.variable(0), d.variable(1)]
    expect(d.nodeCount()).toBe(4)
    expect(() => d.variable(2)).toThrow(NodeLimitError)
    expect(() => d.and(x, y)).toThrow(/more than 4 nodes/)
    expect([d.variable(0), d.variable(1), d.choose(x, x, 0), d.xor(x, x), d.and(x, 0)]).toEqual([x, y, x, 0, 0])
    expect(d.nodeCount()).toBe(4)
    expect(() => createDiagrams(1, { maxNodes: 2 }).variable(0)).toThrow(NodeLimitError)
  })

  test('what a limit stopped leaves earlier functions as they were', () => {
    const d = createDiagrams(40, { maxNodes: 3000 })
    const parity = upTo(40).reduce<Node>((f, i) => d.xor(f, d.variable(i)), 0)
    // Forty variables give no way to be complete: 2^39 ones, and single assignments.
    const expectParity = (): void => {
      expect(d.count(parity)).toBe(2n ** 39n)
      for (const ones of [0, 1, 2, 17, 40])
        expect(
          d.evaluate(
            parity,
            upTo(40).map((i) => (i < ones ? 1 : 0)),
          ),
        ).toBe(ones % 2)
    }
    expectParity()
    expect(withinLimit(() => hiddenWeightedBit(d, { count: 0 }))).toBeNull()
    expectParity()
    expect(upTo(40).reduce<Node>((f, i) => d.xor(d.variable(i), f), 0)).toBe(parity)
    // Operations whose result is there go on working.
    expect(d.xor(parity, d.variable(39))).toBeGreaterThan(1)
    expect(d.xor(parity, parity)).toBe(0)
  })

  test('withinLimit gives what it is given, and passes other errors on', () => {
    expect(withinLimit(() => 7)).toBe(7)
    expect(withinLimit(() => 0)).toBe(0)
    expect(() => withinLimit(() => createDiagrams(1).variable(1))).toThrow(RangeError)
    const error = new NodeLimitError('x')
    expect([error.name, error instanceof Error]).toEqual(['NodeLimitError', true])
  })
})

test('tables that grow keep what they hold', () => {
  const d = createDiagrams(14)
  const x = upTo(14).map((i) => d.variable(i))
  // x0·x7 ∨ … ∨ x6·x13 has 2^8 − 2 tests; with more and more functions beside it the tables grow several times.
  const pairs = (): Node => upTo(7).reduce<Node>((f, i) => d.or(f, d.and(x[i]!, x[i + 7]!)), 0)
  const first = pairs()
  const random = seededRandom(14)
  const made: { readonly f: Node; readonly ones: bigint; readonly terms: readonly (readonly number[])[] }[] = []
  const build = (terms: readonly (readonly number[])[]): Node =>
    terms.reduce<Node>(
      (f, term) =>
        d.xor(
          f,
          term.reduce<Node>((g, i) => d.and(g, x[i]!), 1),
        ),
      0,
    )
  const sizes = new Set<number>()
  while (d.nodeCount() < 50_000) {
    const terms = upTo(8).map(() => upTo(14).filter(() => random(3) === 0))
    const f = build(terms)
    made.push({ f, ones: d.count(f), terms })
    sizes.add(Math.ceil(Math.log2(d.nodeCount())))
  }
  expect(sizes.size).toBeGreaterThan(4)
  const before = d.nodeCount()
  expect(pairs()).toBe(first)
  expect(d.size([first])).toBe(254)
  for (const { f, ones, terms } of made) {
    expect(build(terms)).toBe(f)
    expect(d.count(f)).toBe(ones)
    const bits = upTo(14).map(() => random(2))
    expect(d.evaluate(f, bits)).toBe(terms.filter((term) => term.every((i) => bits[i])).length % 2)
  }
  // All of it is found again, whatever the lookups have forgotten.
  expect(d.nodeCount()).toBe(before)
  expect(made.length).toBeGreaterThan(100)
})

test('counts pass the range of plain numbers', () => {
  const d = createDiagrams(100)
  expect(d.count(1)).toBe(2n ** 100n)
  expect(d.count(0)).toBe(0n)
  expect(d.count(d.variable(0))).toBe(2n ** 99n)
  expect(d.count(d.variable(99))).toBe(2n ** 99n)
  expect(d.count(d.or(d.variable(3), d.and(d.variable(50), d.variable(99))))).toBe(2n ** 99n + 2n ** 97n)
})

test('of two assignments of the same length the one by 0 is given', () => {
  const d = createDiagrams(2)
  const differ = d.xor(d.variable(0), d.variable(1))
  expect([d.shortestCube(differ), d.shortestCube(d.not(differ))]).toEqual([new Uint8Array([0, 1]), new Uint8Array(2)])
})

test('no variables: two functions', () => {
  const d = createDiagrams(0)
  expect([d.not(0), d.not(1), d.and(1, 1), d.xor(1, 1), d.exists(1, []), d.substitute(1, [])]).toEqual([
    1, 0, 1, 0, 1, 1,
  ])
  expect([d.count(0), d.count(1)]).toEqual([0n, 1n])
  expect([d.shortestCube(0), d.shortestCube(1)]).toEqual([null, new Uint8Array(0)])
  expect(() => d.variable(0)).toThrow(RangeError)
})

test.each([-1, 1.5, NaN, Infinity, 2 ** 53])('%s variables are a mistake', (count) => {
  expect(() => createDiagrams(count)).toThrow(RangeError)
  expect(() => createDiagrams(count)).toThrow(/^variableCount/)
})

test.each([1, 0, -5, 2.5, NaN, Infinity])('a limit of %s nodes is a mistake', (maxNodes) => {
  expect(() => createDiagrams(3, { maxNodes })).toThrow(RangeError)
  expect(() => createDiagrams(3, { maxNodes })).toThrow(/^options\.maxNodes/)
})

test.each([-1, 3, 0.5, NaN])('variable %s of three is a mistake', (index) => {
  expect(() => createDiagrams(3).variable(index)).toThrow(RangeError)
  expect(() => createDiagrams(3).variable(index)).toThrow(/^index/)
})

test('an attempt may take a share of the nodes, and leaves the rest for what follows', () => {
  // The parity of n variables has 2n − 1 tests (Bryant 1986): 39 for 20, made one variable after the other.
  const diagrams = createDiagrams(20, { maxNodes: 1000 })
  const parity = (): number =>
    Array.from({ length: 20 }, (_, i) => diagrams.variable(i)).reduce(
      (sum, variable) => diagrams.xor(sum, variable),
      0,
    )
  expect(diagrams.attempt(100, parity)).toBeNull()
  expect(diagrams.nodeCount()).toBeLessThanOrEqual(2 + 10)
  const whole = parity()
  expect(diagrams.size([whole])).toBe(39)
  expect(diagrams.attempt(1, () => whole)).toBe(whole)
  expect(() => diagrams.attempt(1, () => expect.fail('passes on'))).toThrow('passes on')
})

/**
 * x0·y0 ∨ … over the even places of the order and z, and the same over the odd places and ¬z: with all x before all y
 * each has 2^n functions below its x, 2^2n pairs of them meet, and all pairs give 0 at z.
 */
function disjointPairs(d: Diagrams, n: number): readonly [Node, Node] {
  const sum = (side: 0 | 1): Node =>
    upTo(n).reduce<Node>((f, i) => d.or(f, d.and(d.variable(2 * i + side), d.variable(2 * (n + i) + side))), 0)
  const z = d.variable(4 * n)
  return [d.and(sum(0), z), d.and(sum(1), d.not(z))]
}

test('work that makes no nodes ends too: after a hundred look-ups for each node that is allowed', () => {
  const d = createDiagrams(37, { maxNodes: 6000 })
  const [f, g] = disjointPairs(d, 9)
  const before = d.nodeCount()
  const most = 1e9
  const work = { steps: most }
  const ended = runPieces(withinWork(work, most, onePiece(() => [withinLimit(() => d.and(f, g))])))
  expect(ended).toEqual([null])
  // Two steps a look-up, less those that made the functions; 2^18 pairs meet, more than once each.
  expect(most - work.steps).toBeLessThanOrEqual(2 * 100 * 6000 + 2)
  expect(most - work.steps).toBeGreaterThan(2 * 50 * 6000)
  expect(d.nodeCount()).toBe(before)
  expect(() => d.support(f)).toThrow(NodeLimitError)
  const enough = createDiagrams(37)
  expect(enough.and(...disjointPairs(enough, 9))).toBe(0)
})
