/**
 * Single stuck-at faults of c17, the smallest of the ISCAS-85 circuits (F. Brglez and H. Fujiwara, "A neutral netlist
 * of 10 combinational benchmark circuits", ISCAS 1985), by difference functions of diagrams: 17 lines, 34 faults, 22
 * after collapsing, none that cannot be shown, 4 vectors at least, in 10 sets.
 */
import { expect, test } from 'vitest'
import { createDiagrams, type Diagrams, type Node } from '../../src/logic/diagrams'

const INPUTS = [1, 2, 3, 6, 7]
/** Gate, and the lines that it reads: a branch is its stem and a letter. */
const NANDS: readonly (readonly [string, string, string])[] = [
  ['10', '1', '3a'],
  ['11', '3b', '6'],
  ['16', '2', '11a'],
  ['19', '11b', '7'],
  ['22', '10', '16a'],
  ['23', '16b', '19'],
]
const STEMS = [...INPUTS.map(String), ...NANDS.map(([gate]) => gate)]
const BRANCHES = [...new Set(NANDS.flatMap(([, a, b]) => [a, b]))].filter((line) => !STEMS.includes(line))

interface Stuck {
  readonly line: string
  readonly at: Node
}

/** Both outputs, with one line stuck. */
function outputs(d: Diagrams, stuck: Stuck | null): [Node, Node] {
  const values = new Map<string, Node>()
  const put = (line: string, value: Node): unknown => values.set(line, stuck?.line === line ? stuck.at : value)
  const read = (line: string): Node =>
    stuck?.line === line ? stuck.at : values.get(STEMS.includes(line) ? line : line.slice(0, -1)) ?? 0
  INPUTS.forEach((pin, i) => put(String(pin), d.variable(i)))
  for (const [gate, a, b] of NANDS) put(gate, d.not(d.and(read(a), read(b))))
  return [read('22'), read('23')]
}

/** The 32 values of a function, input 1 as the most significant bit. */
const values = (d: Diagrams, f: Node): number[] =>
  Array.from({ length: 32 }, (_, word) => d.evaluate(f, [16, 8, 4, 2, 1].map((bit) => Number((word & bit) > 0))))

const d = createDiagrams(5)
const good = outputs(d, null)
const faults = [...STEMS, ...BRANCHES].flatMap((line) => [0, 1].map((at) => ({ line, at })))
const differences = faults.map((fault) => {
  const faulty = outputs(d, fault)
  return d.or(d.xor(good[0], faulty[0]), d.xor(good[1], faulty[1]))
})

test('the truth table', () => {
  expect(good.map((f) => values(d, f).join(''))).toEqual([
    '00000000111111000000111111111111',
    '01010100111111000101010011111100',
  ])
})

test('34 faults of 17 lines, all of which can be shown, in 22 classes', () => {
  expect(STEMS.length + BRANCHES.length).toBe(17)
  expect(faults).toHaveLength(34)
  expect(differences.filter((f) => f === 0)).toEqual([])
  expect(new Set(faults.map((fault) => outputs(d, fault).join()))).toHaveProperty('size', 22)
})

test('no 3 vectors show all faults; exactly 10 sets of 4 do', () => {
  const shownBy = Array.from({ length: 32 }, () => 0n)
  differences.forEach((f, i) =>
    values(d, f).forEach((value, word) => {
      if (value) shownBy[word] = (shownBy[word] ?? 0n) | (1n << BigInt(i))
    }),
  )
  const all = (1n << 34n) - 1n
  const found: number[][] = []
  const search = (chosen: number[], shown: bigint): void => {
    if (shown === all) found.push(chosen)
    else if (chosen.length < 4)
      for (let word = (chosen.at(-1) ?? -1) + 1; word < 32; word++)
        search([...chosen, word], shown | (shownBy[word] ?? 0n))
  }
  search([], 0n)
  expect(found.map(({ length }) => length)).toEqual(Array.from({ length: 10 }, () => 4))
  expect(found).toContainEqual([0b00100, 0b01100, 0b10011, 0b11111])
})
