/**
 * Strongly connected components and their order against plain reachability: all graphs of up to four items, and
 * random larger ones.
 */
import { expect, test } from 'vitest'
import { componentsOf } from '../../src/logic/components'
import { seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'

const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)

/** Bit j of entry i: a way of one or more steps leads from i to j (Warshall). */
function reachable(edges: readonly number[]): number[] {
  const reach = [...edges]
  for (let k = 0; k < reach.length; k++)
    for (let i = 0; i < reach.length; i++) if ((reach[i]! >> k) & 1) reach[i]! |= reach[k]!
  return reach
}

/** Items that reach themselves, grouped by what they reach and what reaches them; as one text, in ascending order. */
function expectedGroups(edges: readonly number[]): string {
  const reach = reachable(edges)
  const mates = (i: number): number[] =>
    upTo(edges.length).filter((j) => (reach[i]! >> j) & 1 && (reach[j]! >> i) & 1)
  return [
    ...new Set(
      upTo(edges.length)
        .filter((i) => (reach[i]! >> i) & 1)
        .map((i) => mates(i).join('')),
    ),
  ]
    .sort()
    .join(' ')
}

/** The same of what is found; a group that leads to a later one is marked. */
function foundGroups(edges: readonly number[]): string {
  const reach = reachable(edges)
  const groups = componentsOf(upTo(edges.length), (item) =>
    upTo(edges.length).filter((next) => (edges[item]! >> next) & 1),
  )
  const leadsOn = (group: readonly number[], i: number): boolean =>
    groups.slice(i + 1).some((later) => (reach[group[0]!]! >> later[0]!) & 1)
  return groups
    .map((group, i) => [...group].sort((a, b) => a - b).join('') + (leadsOn(group, i) ? ' too early' : ''))
    .sort()
    .join(' ')
}

test.each([
  [0, 1],
  [1, 2],
  [2, 16],
  [3, 512],
  [4, 65536],
])('all graphs of %i items (%i)', (count, graphs) => {
  let checked = 0
  const wrong: string[] = []
  // 5 and 2 have no common factor: every edge is there and not there.
  const step = graphs > 1000 ? sampleSize(5, 1) : 1
  for (let graph = 0; graph < 2 ** (count * count); graph += step) {
    const edges = upTo(count).map((i) => (graph >> (count * i)) & (2 ** count - 1))
    if (foundGroups(edges) !== expectedGroups(edges))
      wrong.push(`${edges.join()}: ${foundGroups(edges)}, not ${expectedGroups(edges)}`)
    checked += step
  }
  expect(wrong.slice(0, 3)).toEqual([])
  expect(checked).toBe(Math.ceil(graphs / step) * step)
})

test('random graphs of nine items', () => {
  const kinds = new Set<string>()
  for (let seed = 1972; seed < 1972 + 2000; seed++) {
    const random = seededRandom(seed)
    const edges = upTo(9).map(() => upTo(9).reduce((set, j) => set | (random(9) < 1 + (seed % 3) ? 1 << j : 0), 0))
    expect(foundGroups(edges), `seed ${seed}`).toBe(expectedGroups(edges))
    kinds.add(expectedGroups(edges))
  }
  expect(kinds.size).toBeGreaterThan(100)
})

test('what is no item is left out, and ways through it do not count', () => {
  const next: Readonly<Record<string, readonly string[]>> = { a: ['b'], b: ['c'], c: ['a'], d: ['d', 'x'] }
  expect(componentsOf(['a', 'b', 'd'], (item) => next[item]!)).toEqual([['d']])
  expect(componentsOf(['a', 'b', 'c'], (item) => next[item]!).map((group) => [...group].sort())).toEqual([
    ['a', 'b', 'c'],
  ])
  expect(componentsOf(['a'], () => ['x'])).toEqual([])
})
