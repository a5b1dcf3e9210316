/**
 * Sizes and counts of Boolean functions that are published or follow by arithmetic. Each size is also taken from the
 * text of the function, where a test of the diagram is a cofactor whose halves differ.
 */
import { expect, test } from 'vitest'
import { createDiagrams, type Diagrams, type Node } from '../../src/logic/diagrams'
import { rowsOf, tableOf, testsOf } from './value-tables'

/** A function, or several, row by row and by operations of diagrams over variables in their order. */
interface Example {
  readonly name: string
  readonly variables: number
  readonly tests: number
  readonly values: (bits: readonly number[]) => readonly unknown[]
  readonly build: (d: Diagrams, x: readonly Node[]) => readonly Node[]
}

const sumOf = (bits: readonly number[]): number => bits.reduce((sum, bit) => sum + bit, 0)
/** The number that bits make, most significant first. */
const numberOf = (bits: readonly number[]): number => bits.reduce((sum, bit) => 2 * sum + bit, 0)
const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)

/** For each j whether exactly j of the functions are 1. */
function exactly(d: Diagrams, functions: readonly Node[]): Node[] {
  return functions.reduce<Node[]>(
    (counts, x) => [...counts, 0].map((same, j) => d.choose(x, counts[j - 1] ?? 0, same)),
    [1],
  )
}

const anyOf = (d: Diagrams, functions: readonly Node[]): Node => functions.reduce((any, f) => d.or(any, f), 0)

/**
 * The order of variables decides: R. E. Bryant, "Graph-Based Algorithms for Boolean Function Manipulation", IEEE Trans.
 * Comput. C-35(8), 677-691, August 1986: x1x2 + x3x4 + x5x6 has 8 vertices, x1x4 + x2x5 + x3x6 has 16, both leaves
 * counted; in general 2n + 2 against 2^(n+1).
 */
function pairs(n: number, order: 'together' | 'apart'): Example {
  const [left, right] =
    order === 'together' ? [(i: number) => 2 * i, (i: number) => 2 * i + 1] : [(i: number) => i, (i: number) => n + i]
  return {
    name: `${n} products of two variables, ${order}`,
    variables: 2 * n,
    tests: (order === 'together' ? 2 * n + 2 : 2 ** (n + 1)) - 2,
    values: (bits) => [upTo(n).some((i) => bits[left(i)] && bits[right(i)])],
    build: (d, x) => [
      anyOf(
        d,
        upTo(n).map((i) => d.and(x[left(i)]!, x[right(i)]!)),
      ),
    ],
  }
}

/**
 * Two functions remain after each variable but the first (even and odd so far): 2n − 1 tests (symmetric functions,
 * same paper).
 */
function parity(n: number): Example {
  return {
    name: `parity of ${n}`,
    variables: n,
    tests: 2 * n - 1,
    values: (bits) => [sumOf(bits) % 2],
    build: (d, x) => [x.reduce((f, g) => d.xor(f, g))],
  }
}

/**
 * With n = 2m − 1 a test is left for every pair of how many are 1 (fewer than m) and how many are 0 (fewer than m) so
 * far:
 * m² tests, so 4, 9, 16, 25.
 */
function majority(m: number): Example {
  const n = 2 * m - 1
  return {
    name: `majority of ${n}`,
    variables: n,
    tests: m * m,
    values: (bits) => [sumOf(bits) >= m],
    build: (d, x) => [anyOf(d, exactly(d, x).slice(m))],
  }
}

/**
 * Sums and carry of two n-bit words; most significant bits first, and operands bit by bit in turn or one after the
 * other.
 */
function adder(n: number, order: 'interleaved' | 'apart', tests: number): Example {
  const placeOf = (word: number, bit: number): number =>
    order === 'interleaved' ? 2 * (n - 1 - bit) + word : word * n + n - 1 - bit
  return {
    name: `${n}-bit adder, operands ${order}`,
    variables: 2 * n,
    tests,
    values: (bits) => {
      const [a, b] = [0, 1].map((word) => numberOf(upTo(n).map((i) => bits[placeOf(word, n - 1 - i)]!)))
      return upTo(n + 1).map((i) => ((a! + b!) >> i) & 1)
    },
    build: (d, x) => {
      let carry: Node = 0
      const sums = upTo(n).map((bit) => {
        const [a, b] = [x[placeOf(0, bit)]!, x[placeOf(1, bit)]!]
        const sum = d.xor(d.xor(a, b), carry)
        carry = d.or(d.and(a, b), d.and(carry, d.or(a, b)))
        return sum
      })
      return [...sums, carry]
    },
  }
}

function multiplexer(selects: number, order: 'first' | 'last', tests: number): Example {
  const inputs = 2 ** selects
  const select = (i: number): number => (order === 'first' ? i : inputs + i)
  const data = (i: number): number => (order === 'first' ? selects + i : i)
  return {
    name: `${inputs}-to-1 multiplexer, selects ${order}`,
    variables: selects + inputs,
    tests,
    values: (bits) => [bits[data(numberOf(upTo(selects).map((i) => bits[select(i)]!)))]],
    build: (d, x) => [
      anyOf(
        d,
        upTo(inputs).map((code) =>
          upTo(selects).reduce(
            (f, i) => d.and(f, (code >> (selects - 1 - i)) & 1 ? x[select(i)]! : d.not(x[select(i)]!)),
            x[data(code)]!,
          ),
        ),
      ),
    ],
  }
}

/**
 * Of n variables of which s are 1, the one numbered s (from 1), or 0: R. E. Bryant, IEEE Trans. Comput. 40(2),
 * 205-213, 1991.
 */
function hiddenWeightedBit(n: number, tests: number): Example {
  return {
    name: `hidden weighted bit of ${n}`,
    variables: n,
    tests,
    values: (bits) => [sumOf(bits) > 0 && bits[sumOf(bits) - 1]],
    build: (d, x) => [
      anyOf(
        d,
        exactly(d, x)
          .slice(1)
          .map((f, i) => d.and(f, x[i]!)),
      ),
    ],
  }
}

const EXAMPLES: readonly Example[] = [
  ...[1, 2, 3, 4, 5, 6].flatMap((n) => [pairs(n, 'together'), pairs(n, 'apart')]),
  ...[2, 3, 4, 5, 6, 7, 8, 9, 10].map(parity),
  ...[2, 3, 4, 5].map(majority),
  // Linear against exponential growth (Bryant 1986); the numbers are those of the cofactors.
  ...[4, 11, 20, 29].map((tests, i) => adder(i + 1, 'interleaved', tests)),
  ...[4, 15, 42, 101].map((tests, i) => adder(i + 1, 'apart', tests)),
  // Selects first: 2^s − 1 tests of selects and one of each data input.
  multiplexer(2, 'first', 3 + 4),
  multiplexer(3, 'first', 7 + 8),
  multiplexer(2, 'last', 29),
  multiplexer(3, 'last', 509),
  ...[5, 8, 15, 23, 38, 55].map((tests, i) => hiddenWeightedBit(i + 3, tests)),
]

test.each(EXAMPLES.map((one) => [one.name, one.tests, one] as const))(
  '%s: %i tests',
  (_, tests, { variables, values, build }) => {
    const d = createDiagrams(variables)
    const functions = build(
      d,
      upTo(variables).map((i) => d.variable(i)),
    )
    const tables = functions.map((__, i) => tableOf(variables, (bits) => values(bits)[i]))
    functions.forEach((f, i) => expect(tableOf(variables, (bits) => d.evaluate(f, bits))).toBe(tables[i]))
    expect(testsOf(tables)).toBe(tests)
    expect(d.size(functions)).toBe(tests)
    functions.forEach((f, i) => expect(d.count(f)).toBe(BigInt(tables[i]!.replaceAll('0', '').length)))
  },
)

test('8 vertices against 16 for three products, as printed', () => {
  const sizes = [pairs(3, 'together'), pairs(3, 'apart')].map(({ build }) => {
    const d = createDiagrams(6)
    return (
      d.size(
        build(
          d,
          upTo(6).map((i) => d.variable(i)),
        ),
      ) + 2
    )
  })
  expect(sizes).toEqual([8, 16])
})

/** Nodes of all functions of n variables; those of n − 1 are put together by the first variable that is left. */
function allFunctions(d: Diagrams, n: number, first = 0): readonly Node[] {
  if (n === 0) return [0, 1]
  const smaller = allFunctions(d, n - 1, first + 1)
  return smaller.flatMap((low) => smaller.map((high) => d.choose(d.variable(first), high, low)))
}

/** Number of classes of nodes that maps lead into one another. */
function classCount(nodes: readonly Node[], maps: readonly ((f: Node) => Node)[]): number {
  const seen = new Set<Node>()
  let classes = 0
  for (const node of nodes) {
    if (seen.has(node)) continue
    classes++
    seen.add(node)
    const waiting = [node]
    for (let f = waiting.pop(); f !== undefined; f = waiting.pop()) {
      const fresh = maps.map((map) => map(f!)).filter((g) => !seen.has(g))
      for (const g of fresh) seen.add(g)
      waiting.push(...fresh)
    }
  }
  return classes
}

test.each([
  [1, 2],
  [2, 4],
  [3, 14],
  [4, 222],
])(
  // M. A. Harrison, Introduction to Switching and Automata Theory, 1965. Neighbours exchanged and one complement make
  // all permutations and complements.
  'functions of %i variables fall into %i classes under permuted and complemented inputs and a complemented output',
  (n, classes) => {
    const d = createDiagrams(n)
    const x = upTo(n).map((i) => d.variable(i))
    const exchanges = upTo(n - 1).map(
      (i) => (f: Node) =>
        d.substitute(
          f,
          x.map((_, k) => (k === i ? x[i + 1] : k === i + 1 ? x[i] : undefined)),
        ),
    )
    const nodes = allFunctions(d, n)
    expect(new Set(nodes).size).toBe(2 ** (2 ** n))
    expect(classCount(nodes, [...exchanges, (f) => d.substitute(f, [d.not(x[0]!)]), (f) => d.not(f)])).toBe(classes)
  },
)

test.each([
  [1, 3],
  [2, 6],
  [3, 20],
  [4, 168],
])('of the functions of %i variables %i are monotone (Dedekind)', (n, monotone) => {
  const d = createDiagrams(n)
  // No input that goes from 0 to 1 takes the output from 1 to 0.
  const rises = (f: Node): boolean =>
    upTo(n).every(
      (i) =>
        d.and(
          d.substitute(
            f,
            upTo(i + 1).map((k) => (k === i ? 0 : undefined)),
          ),
          d.not(
            d.substitute(
              f,
              upTo(i + 1).map((k) => (k === i ? 1 : undefined)),
            ),
          ),
        ) === 0,
    )
  expect(allFunctions(d, n).filter(rises)).toHaveLength(monotone)
})

test('all 65536 functions of four variables are counted and found as their texts have them', () => {
  const d = createDiagrams(4)
  const rows = rowsOf(4)
  const texts = new Set<string>()
  const wrong = allFunctions(d, 4).filter((f) => {
    const values = rows.map((bits) => d.evaluate(f, bits))
    texts.add(values.join(''))
    return d.count(f) !== BigInt(sumOf(values))
  })
  expect(wrong).toEqual([])
  expect(texts.size).toBe(65536)
})
