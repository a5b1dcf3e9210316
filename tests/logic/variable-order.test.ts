/** The order of variables: a permutation, always the same one, and never worse than the order that is given. */
import { expect, test } from 'vitest'
import { createDiagrams, type Node } from '../../src/logic/diagrams'
import { orderByGroups } from '../../src/logic/variable-order'
import { seededRandom, shuffled } from '../parts/random-designs'

type Groups = readonly (readonly number[])[]

const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)

/** How far the members of each group lie apart, all groups together. */
const spanOf = (order: readonly number[], groups: Groups): number =>
  groups.reduce(
    (sum, group) =>
      group.length === 0
        ? sum
        : sum +
          Math.max(...group.map((item) => order.indexOf(item))) -
          Math.min(...group.map((item) => order.indexOf(item))),
    0,
  )

function randomGroups(random: (limit: number) => number, count: number): Groups {
  return upTo(random(12)).map(() => shuffled(random, upTo(count)).slice(0, random(Math.min(count, 5) + 1)))
}

test('random groups: a permutation, deterministic, never a greater span than at the start', () => {
  let better = 0
  for (let seed = 2003; seed < 2003 + 500; seed++) {
    const random = seededRandom(seed)
    const count = 1 + random(16)
    const groups = randomGroups(random, count)
    const order = orderByGroups(count, groups)
    expect(
      [...order].sort((a, b) => a - b),
      `seed ${seed}`,
    ).toEqual(upTo(count))
    expect(
      orderByGroups(
        count,
        groups.map((group) => [...group]),
      ),
      `seed ${seed}`,
    ).toEqual(order)
    expect(spanOf(order, groups), `seed ${seed}`).toBeLessThanOrEqual(spanOf(upTo(count), groups))
    if (spanOf(order, groups) < spanOf(upTo(count), groups)) better++
  }
  expect(better).toBeGreaterThan(250)
})

test('groups are left as they are given', () => {
  const groups = [[3, 0], [2, 1, 3], []]
  orderByGroups(4, groups)
  expect(groups).toEqual([[3, 0], [2, 1, 3], []])
})

test('nothing to go by: the order stays', () => {
  expect(orderByGroups(0, [])).toEqual([])
  expect(orderByGroups(4, [])).toEqual([0, 1, 2, 3])
  expect(orderByGroups(4, [[], [2]])).toEqual([0, 1, 2, 3])
})

test('pairs that lie apart come together', () => {
  // Three pairs in the order 0 1 2 3 4 5 with partners three places away: span 9; together it is 3, and less cannot be.
  const groups = [
    [0, 3],
    [1, 4],
    [2, 5],
  ]
  expect(spanOf(upTo(6), groups)).toBe(9)
  const order = orderByGroups(6, groups)
  expect(spanOf(order, groups)).toBe(3)
  // So x0·x3 ∨ x1·x4 ∨ x2·x5 takes 6 tests instead of 14 (Bryant 1986, IEEE Trans. Comput. C-35(8)).
  const sizeIn = (places: readonly number[]): number => {
    const d = createDiagrams(6)
    return d.size([
      groups.reduce<Node>(
        (f, group) =>
          d.or(
            f,
            group.reduce<Node>((g, item) => d.and(g, d.variable(places.indexOf(item))), 1),
          ),
        0,
      ),
    ])
  }
  expect([sizeIn(upTo(6)), sizeIn(order)]).toEqual([14, 6])
})

function permutations(items: readonly number[]): number[][] {
  return items.length === 0
    ? [[]]
    : items.flatMap((item) => permutations(items.filter((other) => other !== item)).map((rest) => [item, ...rest]))
}

test('six items: most of what the best of all 720 orders gains', () => {
  const all = permutations(upTo(6))
  const total = { start: 0, found: 0, best: 0 }
  for (let seed = 720; seed < 720 + 150; seed++) {
    const random = seededRandom(seed)
    const groups = upTo(2 + random(6)).map(() => shuffled(random, upTo(6)).slice(0, 2 + random(2)))
    const [found, best] = [
      spanOf(orderByGroups(6, groups), groups),
      Math.min(...all.map((order) => spanOf(order, groups))),
    ]
    expect(found, `seed ${seed}`).toBeGreaterThanOrEqual(best)
    total.start += spanOf(upTo(6), groups)
    total.found += found
    total.best += best
  }
  // Five sixths when this was written; half where terms pull by their sum instead of their mean.
  expect((total.start - total.found) / (total.start - total.best), JSON.stringify(total)).toBeGreaterThan(0.75)
})
