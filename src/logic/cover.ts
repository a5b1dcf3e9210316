/** A function as a short sum of products, read off its diagram. */
import type { Diagrams, Node } from './diagrams'

/** A product: 0 or 1 where a variable is fixed, 2 where it is free; index = variable. */
export type Product = Uint8Array

/** Products whose OR is the function, or, where not `complete`, a part of it. */
export interface Cover {
  readonly products: readonly Product[]
  readonly complete: boolean
}

function productNode(diagrams: Diagrams, product: Product): Node {
  let node: Node = 1
  for (let variable = product.length - 1; variable >= 0; variable--)
    if (product[variable] !== 2)
      node = diagrams.and(
        product[variable] ? diagrams.variable(variable) : diagrams.not(diagrams.variable(variable)),
        node,
      )
  return node
}

/** True where everything in the product lies in the function. */
function lies(diagrams: Diagrams, product: Product, within: Node): boolean {
  return diagrams.and(productNode(diagrams, product), diagrams.not(within)) === 0
}

/** Frees variables of a product as long as it stays within `allowed`: a prime of it. */
function widen(diagrams: Diagrams, product: Product, allowed: Node): Product {
  const prime = product.slice()
  for (let variable = 0; variable < prime.length; variable++) {
    const fixed = prime[variable]!
    if (fixed === 2) continue
    prime[variable] = 2
    if (!lies(diagrams, prime, allowed)) prime[variable] = fixed
  }
  return prime
}

/**
 * At most `limit` primes that cover f, largest products first, none of them covered by the others. `free` marks what
 * may be covered as well (don't-cares). Short, not always the shortest.
 */
export function coverOf(diagrams: Diagrams, f: Node, given: { readonly free?: Node; readonly limit: number }): Cover {
  const allowed = diagrams.or(f, given.free ?? 0)
  const products: Product[] = []
  let rest = f
  while (rest !== 0 && products.length < given.limit) {
    const prime = widen(diagrams, diagrams.shortestCube(rest)!, allowed)
    products.push(prime)
    rest = diagrams.and(rest, diagrams.not(productNode(diagrams, prime)))
  }
  return { products: rest === 0 ? withoutSurplus(diagrams, f, products) : products, complete: rest === 0 }
}

/** Leaves out products that the others cover, the last ones first. */
function withoutSurplus(diagrams: Diagrams, f: Node, products: readonly Product[]): Product[] {
  const kept = [...products]
  for (let i = kept.length - 1; i >= 0; i--) {
    const others = kept
      .filter((_, j) => j !== i)
      .reduce((any, product) => diagrams.or(any, productNode(diagrams, product)), 0)
    if (diagrams.and(f, diagrams.not(others)) === 0) kept.splice(i, 1)
  }
  return kept
}

/** Where an output differs as a sum of products. */
export interface DifferenceCover {
  /** Levels by name, as in counterexamples; states as `q19`, loops as `loop 19`. */
  readonly products: readonly Readonly<Record<string, 0 | 1>>[]
  /** False where there are more products than listed. */
  readonly complete: boolean
  /** The same in the signs of ISO 80000-2. */
  readonly text: string
}
