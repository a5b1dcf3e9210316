/**
 * A good order of variables for decision diagrams, found from the product terms: variables that stand together in terms
 * come close together. Each round places every term at the mean of its variables and sorts the variables by the mean of
 * their terms (F. A. Aloul, I. L. Markov, K. A. Sakallah, "FORCE", GLSVLSI 2003).
 */

const MOST_ROUNDS = 40

/** Sum over the groups of the distance between their first and last members: what a good order keeps small. */
function span(groups: readonly (readonly number[])[], placeOf: ArrayLike<number>): number {
  let total = 0
  for (const group of groups) {
    let first = Infinity
    let last = -Infinity
    for (const item of group) {
      const place = placeOf[item]!
      if (place < first) first = place
      if (place > last) last = place
    }
    if (group.length > 1) total += last - first
  }
  return total
}

/** Items 0 … count − 1 in an order that keeps the members of each group close; deterministic. */
export function orderByGroups(count: number, groups: readonly (readonly number[])[]): readonly number[] {
  const inverse = (order: readonly number[]): number[] => {
    const placeOf = Array<number>(count).fill(0)
    order.forEach((item, place) => (placeOf[item] = place))
    return placeOf
  }
  let best = Array.from({ length: count }, (_, item) => item)
  let bestSpan = span(groups, best)
  let order = best
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const placeOf = inverse(order)
    const sum = Array<number>(count).fill(0)
    const degree = Array<number>(count).fill(0)
    for (const group of groups) {
      const centre = group.reduce((total, item) => total + placeOf[item]!, 0) / group.length
      for (const item of group) {
        sum[item]! += centre
        degree[item]!++
      }
    }
    const wanted = sum.map((total, item) => (degree[item] ? total / degree[item]! : placeOf[item]!))
    const next = [...order].sort((a, b) => wanted[a]! - wanted[b]! || placeOf[a]! - placeOf[b]!)
    if (next.every((item, place) => item === order[place])) break
    order = next
    const reached = span(groups, inverse(order))
    if (reached < bestSpan) [best, bestSpan] = [order, reached]
  }
  return best
}
