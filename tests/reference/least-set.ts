/** The fewest vectors that show a number of faults, by trying; faults that no vector shows count nothing. */

/** Faults, each a bit, by vector. */
type Shown = readonly bigint[]

const isWithin = (a: bigint, b: bigint): boolean => (a & ~b) === 0n

/** The sets that are in no other one, each once. */
function largest(sets: Iterable<bigint>): bigint[] {
  const all = [...new Set(sets)].sort((a, b) => ones(b) - ones(a))
  const kept: bigint[] = []
  for (const set of all) if (!kept.some((other) => isWithin(set, other))) kept.push(set)
  return kept
}

function ones(set: bigint): number {
  return set.toString(2).replaceAll('0', '').length
}

/** The other way round: for each of `count` bits the places of the sets that have it. */
function turned(sets: Shown, count: number): bigint[] {
  return Array.from({ length: count }, (_, bit) => {
    const mask = 1n << BigInt(bit)
    return sets.reduce((places, set, place) => (set & mask ? places | (1n << BigInt(place)) : places), 0n)
  })
}

/** The fewest of `shown` that have every one of `count` faults between them that any of them has. */
export function leastSet(shown: Shown, count: number): number {
  const vectors = largest(shown)
  // Where all vectors that show one fault show another one too, the first stands for both.
  const all = (1n << BigInt(vectors.length)) - 1n
  const sets = turned(vectors, count).filter((set) => set !== 0n)
  const needed = largest(sets.map((set) => all & ~set)).map((set) => all & ~set)
  let best = Infinity
  const look = (open: readonly bigint[], used: number): void => {
    if (used + apart(open).length >= best) return
    const [first] = open
    if (first === undefined) return void (best = used)
    for (let place = 0n; first >> place; place++)
      if ((first >> place) & 1n) look(open.filter((set) => !((set >> place) & 1n)), used + 1)
  }
  look([...needed].sort((a, b) => ones(a) - ones(b)), 0)
  return best
}

/** Some faults of which no vector shows two: each needs a vector of its own. */
function apart(sets: readonly bigint[]): bigint[] {
  const found: bigint[] = []
  for (const set of sets) if (found.every((other) => (other & set) === 0n)) found.push(set)
  return found
}
