/**
 * Reduced ordered binary decision diagrams (R. E. Bryant, "Graph-Based Algorithms for Boolean Function Manipulation",
 * IEEE Trans. Comput. C-35(8), 1986) in packed integer tables: two functions of the same diagrams are equal exactly
 * when their nodes are. Nodes are never freed: diagrams live for one question. There are no complement edges, so that
 * the sizes are those that the literature gives.
 */
import { optionsOf, wholeNumber } from '../arguments/arguments'
import { takeSteps } from '../arguments/work'

/** A function: 0 and 1 are the constants, anything else is a place in the tables. */
export type Node = number

/** Thrown by every operation that would need more nodes or look-ups than allowed; `withinLimit` turns it into null. */
export class NodeLimitError extends Error {
  override readonly name = 'NodeLimitError'
}

/** Limits of a set of diagrams. */
export interface DiagramOptions {
  /**
   * Most nodes, the two constants included (default 1,000,000; 16 bytes each and as much again for lookups). Work ends
   * there too: after a hundred look-ups for each node that is allowed.
   */
  readonly maxNodes?: number
}

const CONSTANT_LEVEL = 0x7fffffff
const XOR = -2
const EXISTS = -3
const SMALLEST_TABLE = 1 << 10
const LARGEST_CACHE = 1 << 19
/** Steps of a look-up: in tables of a million nodes it takes twice what a small step takes. */
const LOOK_UP_STEPS = 2
/**
 * Most look-ups for each node that is allowed. Two functions can meet in as many pairs as their sizes have when
 * multiplied, and make no node: 10,234 nodes took 12 million. Random maps of parts whose pins feed each other take
 * up to 33.
 */
const MAX_LOOK_UPS_A_NODE = 100

/** Functions over variables 0, 1, 2 …, in that order from the root. */
export interface Diagrams {
  /** Number of variables. */
  readonly variableCount: number
  /** Nodes made so far, the two constants included. */
  nodeCount(): number
  variable(index: number): Node
  not(f: Node): Node
  and(f: Node, g: Node): Node
  or(f: Node, g: Node): Node
  xor(f: Node, g: Node): Node
  /** g where f, else h. */
  choose(f: Node, g: Node, h: Node): Node
  /** f with variables replaced, all at once; index = variable, undefined leaves it. */
  substitute(f: Node, replacements: readonly (Node | undefined)[]): Node
  /** Whether some values of the variables make f true; the result does not depend on them any more. */
  exists(f: Node, variables: readonly number[]): Node
  /** The variables that f depends on, ascending. Structure and dependence are the same thing here. */
  support(f: Node): readonly number[]
  /** Number of tests (nodes without the constants) that functions have together. */
  size(functions: readonly Node[]): number
  /** How many of the 2^variableCount assignments make f true. */
  count(f: Node): bigint
  /**
   * An assignment that makes f true, with as few fixed variables as there are on a shortest way: 0, 1 or 2 (free), 0
   * where 1 is no shorter; null for constant 0.
   */
  shortestCube(f: Node): Uint8Array | null
  /** The value of f under an assignment (index = variable). */
  evaluate(f: Node, assignment: ArrayLike<number>): 0 | 1
  /**
   * What `work` returns, or null where it needed more than a share (1 / `part`) of the nodes allowed in all: for
   * questions that need no answer.
   */
  attempt<T>(part: number, work: () => T): T | null
}

/** The same diagrams with some variables standing for constants: functions that are built with them stay small. */
export function withConstants(diagrams: Diagrams, constants: readonly (Node | undefined)[]): Diagrams {
  return {
    variableCount: diagrams.variableCount,
    nodeCount: () => diagrams.nodeCount(),
    variable: (index) => constants[index] ?? diagrams.variable(index),
    not: (f) => diagrams.not(f),
    and: (f, g) => diagrams.and(f, g),
    or: (f, g) => diagrams.or(f, g),
    xor: (f, g) => diagrams.xor(f, g),
    choose: (f, g, h) => diagrams.choose(f, g, h),
    substitute: (f, replacements) => diagrams.substitute(f, replacements),
    exists: (f, variables) => diagrams.exists(f, variables),
    support: (f) => diagrams.support(f),
    size: (functions) => diagrams.size(functions),
    count: (f) => diagrams.count(f),
    shortestCube: (f) => diagrams.shortestCube(f),
    evaluate: (f, assignment) => diagrams.evaluate(f, assignment),
    attempt: (part, work) => diagrams.attempt(part, work),
  }
}

/**
 * Makes an empty set of diagrams.
 *
 * @param variableCount number of variables, in the order in which functions test them
 * @param options most nodes
 * @returns an algebra in which equal functions are one number
 * @throws RangeError for a number of variables that is no whole number from 0, or a limit below 2
 * @example const d = createDiagrams(2); d.count(d.or(d.variable(0), d.variable(1))) // 3n
 */
export function createDiagrams(variableCount: number, options: DiagramOptions = {}): Diagrams {
  const { maxNodes = 1_000_000 } = optionsOf(options, { maxNodes: true })
  wholeNumber(variableCount, 'variableCount', [0])
  wholeNumber(maxNodes, 'options.maxNodes', [2])
  return new NodeTable(variableCount, maxNodes)
}

/**
 * What `work` returns, or null where it reached a limit of nodes.
 *
 * @param work what makes diagrams
 * @returns the result of the work, or null
 * @throws whatever the work throws, the limit of nodes aside
 * @example withinLimit(() => createDiagrams(1, { maxNodes: 2 }).variable(0)) // null
 */
export function withinLimit<T>(work: () => T): T | null {
  if (typeof work !== 'function') throw new TypeError('work must be a function')
  try {
    return work()
  } catch (error) {
    if (error instanceof NodeLimitError) return null
    throw error
  }
}

class NodeTable implements Diagrams {
  readonly variableCount: number
  #maxNodes: number
  /** Look-ups that are left. */
  #lookUps: number
  #count = 2
  #level: Int32Array
  #low: Int32Array
  #high: Int32Array
  /** Next node of the same bucket. */
  #next: Int32Array
  #buckets: Int32Array
  /** Four numbers an entry: operands (or an operation below 0) and result. */
  #cache: Int32Array

  constructor(variableCount: number, maxNodes: number) {
    this.variableCount = variableCount
    this.#maxNodes = maxNodes
    this.#lookUps = MAX_LOOK_UPS_A_NODE * maxNodes
    this.#level = new Int32Array(SMALLEST_TABLE).fill(CONSTANT_LEVEL, 0, 2)
    this.#low = new Int32Array(SMALLEST_TABLE)
    this.#high = new Int32Array(SMALLEST_TABLE)
    this.#next = new Int32Array(SMALLEST_TABLE)
    this.#buckets = new Int32Array(SMALLEST_TABLE)
    this.#cache = new Int32Array(4 * SMALLEST_TABLE).fill(-1)
  }

  nodeCount(): number {
    return this.#count
  }

  variable(index: number): Node {
    if (!Number.isSafeInteger(index) || index < 0 || index >= this.variableCount)
      throw new RangeError(`index must be a variable from 0 to ${this.variableCount - 1}`)
    return this.#node(index, 0, 1)
  }

  not(f: Node): Node {
    return this.xor(f, 1)
  }

  and(f: Node, g: Node): Node {
    return this.choose(f, g, 0)
  }

  or(f: Node, g: Node): Node {
    return this.choose(f, 1, g)
  }

  xor(f: Node, g: Node): Node {
    if (f === g) return 0
    if (f === 0) return g
    if (g === 0) return f
    this.#takeLookUps(1)
    const a = f < g ? f : g
    const b = f < g ? g : f
    const slot = this.#slot(a, b, XOR)
    if (this.#holds(slot, a, b, XOR)) return this.#cache[slot + 3]!
    const level = Math.min(this.#level[a]!, this.#level[b]!)
    const low = this.xor(this.#below(a, level, 0), this.#below(b, level, 0))
    const high = this.xor(this.#below(a, level, 1), this.#below(b, level, 1))
    return this.#keep(a, b, XOR, this.#node(level, low, high))
  }

  choose(f: Node, g: Node, h: Node): Node {
    if (f === 1 || g === h) return f === 1 ? g : h
    if (f === 0) return h
    if (g === 1 && h === 0) return f
    this.#takeLookUps(1)
    const slot = this.#slot(f, g, h)
    if (this.#holds(slot, f, g, h)) return this.#cache[slot + 3]!
    const level = Math.min(this.#level[f]!, this.#level[g]!, this.#level[h]!)
    const low = this.choose(this.#below(f, level, 0), this.#below(g, level, 0), this.#below(h, level, 0))
    const high = this.choose(this.#below(f, level, 1), this.#below(g, level, 1), this.#below(h, level, 1))
    return this.#keep(f, g, h, this.#node(level, low, high))
  }

  substitute(f: Node, replacements: readonly (Node | undefined)[]): Node {
    const done = new Map<Node, Node>([
      [0, 0],
      [1, 1],
    ])
    const visit = (node: Node): Node => {
      const known = done.get(node)
      if (known !== undefined) return known
      this.#takeLookUps(1)
      const level = this.#level[node]!
      const result = this.choose(
        replacements[level] ?? this.variable(level),
        visit(this.#high[node]!),
        visit(this.#low[node]!),
      )
      done.set(node, result)
      return result
    }
    return visit(f)
  }

  exists(f: Node, variables: readonly number[]): Node {
    // The set of variables as a product, so that results can be looked up by node.
    const set = [...variables].sort((a, b) => b - a).reduce((product, variable) => this.#node(variable, 0, product), 1)
    return this.#exists(f, set)
  }

  #exists(f: Node, set: Node): Node {
    let rest = set
    while (this.#level[rest]! < this.#level[f]!) rest = this.#high[rest]!
    if (f < 2 || rest === 1) return f
    this.#takeLookUps(1)
    const slot = this.#slot(f, rest, EXISTS)
    if (this.#holds(slot, f, rest, EXISTS)) return this.#cache[slot + 3]!
    const level = this.#level[f]!
    const low = this.#exists(this.#low[f]!, rest)
    const high = this.#exists(this.#high[f]!, rest)
    const result = level === this.#level[rest]! ? this.or(low, high) : this.#node(level, low, high)
    return this.#keep(f, rest, EXISTS, result)
  }

  support(f: Node): readonly number[] {
    const levels = new Set<number>()
    for (const node of this.#reached([f])) levels.add(this.#level[node]!)
    return [...levels].sort((a, b) => a - b)
  }

  size(functions: readonly Node[]): number {
    return this.#reached(functions).size
  }

  count(f: Node): bigint {
    const done = new Map<Node, bigint>([
      [0, 0n],
      [1, 1n],
    ])
    const level = (node: Node): number => (node < 2 ? this.variableCount : this.#level[node]!)
    const skipped = (from: number, to: Node): bigint => done.get(to)! << BigInt(level(to) - from)
    // Children have larger levels, so deepest first needs no recursion.
    for (const node of [...this.#reached([f])].sort((a, b) => this.#level[b]! - this.#level[a]!))
      done.set(node, skipped(level(node) + 1, this.#low[node]!) + skipped(level(node) + 1, this.#high[node]!))
    return skipped(0, f)
  }

  shortestCube(f: Node): Uint8Array | null {
    if (f === 0) return null
    const length = new Map<Node, number>([
      [0, Infinity],
      [1, 0],
    ])
    for (const node of [...this.#reached([f])].sort((a, b) => this.#level[b]! - this.#level[a]!))
      length.set(node, 1 + Math.min(length.get(this.#low[node]!)!, length.get(this.#high[node]!)!))
    const cube = new Uint8Array(this.variableCount).fill(2)
    for (let node = f; node > 1;) {
      const high = length.get(this.#high[node]!)! < length.get(this.#low[node]!)!
      cube[this.#level[node]!] = high ? 1 : 0
      node = high ? this.#high[node]! : this.#low[node]!
    }
    return cube
  }

  evaluate(f: Node, assignment: ArrayLike<number>): 0 | 1 {
    let node = f
    while (node > 1) node = assignment[this.#level[node]!] ? this.#high[node]! : this.#low[node]!
    return node as 0 | 1
  }

  attempt<T>(part: number, work: () => T): T | null {
    const all = this.#maxNodes
    this.#maxNodes = Math.min(all, this.#count + Math.ceil(all / part))
    try {
      return withinLimit(work)
    } finally {
      this.#maxNodes = all
    }
  }

  #takeLookUps(count: number): void {
    takeSteps(LOOK_UP_STEPS * count)
    this.#lookUps -= count
    if (this.#lookUps < 0) throw new NodeLimitError('too many look-ups')
  }

  /** All nodes below the given ones and themselves, without the constants. */
  #reached(functions: readonly Node[]): Set<Node> {
    const seen = new Set<Node>()
    const stack = functions.filter((node) => node > 1)
    for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
      if (seen.has(node)) continue
      seen.add(node)
      for (const child of [this.#low[node]!, this.#high[node]!]) if (child > 1) stack.push(child)
    }
    this.#takeLookUps(seen.size)
    return seen
  }

  /** The branch of a function at a level that may lie above its root. */
  #below(node: Node, level: number, value: 0 | 1): Node {
    return this.#level[node] === level ? (value ? this.#high[node]! : this.#low[node]!) : node
  }

  /** The one node of a test and its branches. */
  #node(level: number, low: Node, high: Node): Node {
    if (low === high) return low
    const bucket = mix(level, low, high) & (this.#buckets.length - 1)
    for (let node = this.#buckets[bucket]!; node !== 0; node = this.#next[node]!)
      if (this.#level[node] === level && this.#low[node] === low && this.#high[node] === high) return node
    return this.#add(level, low, high)
  }

  #add(level: number, low: Node, high: Node): Node {
    if (this.#count >= this.#maxNodes) throw new NodeLimitError(`more than ${this.#maxNodes} nodes`)
    if (this.#count === this.#level.length) this.#grow()
    const node = this.#count++
    this.#level[node] = level
    this.#low[node] = low
    this.#high[node] = high
    this.#link(node)
    return node
  }

  #link(node: Node): void {
    const bucket = mix(this.#level[node]!, this.#low[node]!, this.#high[node]!) & (this.#buckets.length - 1)
    this.#next[node] = this.#buckets[bucket]!
    this.#buckets[bucket] = node
  }

  #grow(): void {
    const length = 2 * this.#level.length
    const larger = (old: Int32Array): Int32Array => {
      const grown = new Int32Array(length)
      grown.set(old)
      return grown
    }
    this.#level = larger(this.#level)
    this.#low = larger(this.#low)
    this.#high = larger(this.#high)
    this.#next = new Int32Array(length)
    this.#buckets = new Int32Array(length)
    for (let node = 2; node < this.#count; node++) this.#link(node)
    if (this.#cache.length < 4 * LARGEST_CACHE) this.#cache = new Int32Array(4 * length).fill(-1)
  }

  #slot(a: number, b: number, c: number): number {
    return 4 * (mix(a, b, c) & ((this.#cache.length >>> 2) - 1))
  }

  #holds(slot: number, a: number, b: number, c: number): boolean {
    return this.#cache[slot] === a && this.#cache[slot + 1] === b && this.#cache[slot + 2] === c
  }

  /**
   * Notes a result (four numbers, since an object a step would be slow). The place is looked up anew: the cache may
   * have grown.
   */
  #keep(a: number, b: number, c: number, result: Node): Node {
    const slot = this.#slot(a, b, c)
    this.#cache[slot] = a
    this.#cache[slot + 1] = b
    this.#cache[slot + 2] = c
    this.#cache[slot + 3] = result
    return result
  }
}

/** Spreads three numbers over 32 bits. */
function mix(a: number, b: number, c: number): number {
  const h = Math.imul(a, 0x9e3779b1) ^ Math.imul(b, 0x85ebca6b) ^ Math.imul(c, 0xc2b2ae35)
  return h ^ (h >>> 15)
}
