/** Strongly connected components of a directed graph (R. E. Tarjan, SIAM J. Comput. 1(2), 1972). */

/**
 * Groups of items that can all reach each other; a single item only where it reaches itself. A group comes after
 * those that it can reach.
 */
export function componentsOf<T>(items: readonly T[], successors: (item: T) => readonly T[]): T[][] {
  const inside = new Set(items)
  const number = new Map<T, number>()
  const lowest = new Map<T, number>()
  const stack: T[] = []
  const open = new Set<T>()
  const found: T[][] = []
  const visit = (item: T): void => {
    number.set(item, number.size)
    lowest.set(item, number.get(item)!)
    stack.push(item)
    open.add(item)
    for (const next of successors(item)) {
      if (!inside.has(next)) continue
      if (!number.has(next)) visit(next)
      if (open.has(next)) lowest.set(item, Math.min(lowest.get(item)!, lowest.get(next)!))
    }
    if (lowest.get(item) !== number.get(item)) return
    const group: T[] = []
    for (let last = stack.pop()!; ; last = stack.pop()!) {
      open.delete(last)
      group.push(last)
      if (last === item) break
    }
    if (group.length > 1 || successors(item).includes(item)) found.push(group)
  }
  for (const item of items) if (!number.has(item)) visit(item)
  return found
}
