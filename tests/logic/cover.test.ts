/** Short sums of products against the function row by row: they cover it, and nothing in them is too much. */
import { expect, test } from 'vitest'
import { coverOf, type Product } from '../../src/logic/cover'
import { createDiagrams, type Diagrams, type Node } from '../../src/logic/diagrams'
import { seededRandom } from '../parts/random-designs'
import { rowsOf, shortestWay } from './value-tables'

const VARIABLES = 5
const ROWS = rowsOf(VARIABLES)

const inProduct = (product: ArrayLike<number>, bits: readonly number[]): boolean =>
  bits.every((bit, i) => product[i] === 2 || product[i] === bit)
const rowsIn = (product: ArrayLike<number>): number[] =>
  ROWS.flatMap((bits, row) => (inProduct(product, bits) ? [row] : []))

/** The function that is 1 in the rows of a text. */
function nodeOf(d: Diagrams, text: string): Node {
  const product = (bits: readonly number[]): Node =>
    bits.reduce((f, bit, i) => d.and(f, bit ? d.variable(i) : d.not(d.variable(i))), 1)
  return ROWS.reduce<Node>((f, bits, row) => (text[row] === '1' ? d.or(f, product(bits)) : f), 0)
}

/** Every way to free one fixed variable. */
function widerThan(product: Product): Product[] {
  return [...product].flatMap((level, i) => (level === 2 ? [] : [product.map((old, at) => (at === i ? 2 : old))]))
}

test.each([0, 20, 40])('random functions with rows that are free, seeds from %i', (first) => {
  for (let seed = first; seed < first + 20; seed++) {
    const random = seededRandom(seed)
    const d = createDiagrams(VARIABLES)
    const [ones, frees] = [1 + random(4), random(4)]
    const kinds = ROWS.map(() => (random(5) < ones ? '1' : random(8) < frees ? 'F' : '0'))
    const text = kinds.map((kind) => (kind === '1' ? '1' : '0')).join('')
    const isAllowed = (row: number): boolean => kinds[row] !== '0'
    const [f, free] = [nodeOf(d, text), nodeOf(d, kinds.map((kind) => (kind === 'F' ? '1' : '0')).join(''))]
    const { products, complete } = coverOf(d, f, frees ? { free, limit: 100 } : { limit: 100 })
    expect(complete).toBe(true)
    for (const product of products) {
      expect(rowsIn(product).every(isAllowed), `seed ${seed}`).toBe(true)
      for (const wider of widerThan(product)) expect(rowsIn(wider).every(isAllowed), `seed ${seed}`).toBe(false)
    }
    const covered = (some: readonly Product[]): boolean =>
      ROWS.every((bits, row) => kinds[row] !== '1' || some.some((product) => inProduct(product, bits)))
    expect(covered(products), `seed ${seed}`).toBe(true)
    for (const one of products) expect(covered(products.filter((other) => other !== one)), `seed ${seed}`).toBe(false)
    // With a limit there are just so many, and the first of them starts at a shortest way of the diagram.
    for (const limit of [0, 1, 2]) {
      const cut = coverOf(d, f, { free, limit })
      expect(cut.products.length).toBeLessThanOrEqual(limit)
      if (!cut.complete) expect(cut.products).toHaveLength(limit)
      expect(cut.complete).toBe(covered(cut.products))
      const fixed = cut.products[0]?.filter((level) => level !== 2).length ?? 0
      if (limit > 0 && text.includes('1')) expect(fixed).toBeLessThanOrEqual(shortestWay(text))
    }
  }
})

test('nothing needs no product, everything needs the one that is free', () => {
  const d = createDiagrams(3)
  expect(coverOf(d, 0, { limit: 0 })).toEqual({ products: [], complete: true })
  expect(coverOf(d, 1, { limit: 1 })).toEqual({ products: [Uint8Array.of(2, 2, 2)], complete: true })
})

test('a product that others cover is left out, the last first', () => {
  // x0 x1 ∨ ¬x0 x2 (∨ x1 x2, the consensus, which both cover): two primes are enough.
  const d = createDiagrams(3)
  const [x, y, z] = [0, 1, 2].map((i) => d.variable(i)) as [Node, Node, Node]
  const { products } = coverOf(d, d.or(d.and(x, y), d.and(d.not(x), z)), { limit: 9 })
  expect(products.map((product) => product.join('')).sort()).toEqual(['021', '112'])
})
