/**
 * Boolean functions as texts: a digit a row, variable 0 the most significant bit of the row number. What decision
 * diagrams must say can be read off such a text directly, since the parts of equal length that it falls into are its
 * cofactors.
 */

type Rows = readonly (readonly number[])[]

/** Rows by their count of variables: they are asked for tens of thousands of times. */
const known = new Map<number, Rows>()

/** Values of the variables in each row. */
export function rowsOf(count: number): Rows {
  const rows =
    known.get(count) ??
    Array.from({ length: 2 ** count }, (_, row) =>
      Array.from({ length: count }, (__, i) => (row >> (count - 1 - i)) & 1),
    )
  known.set(count, rows)
  return rows
}

/** The text of a function that is given row by row. */
export function tableOf(count: number, f: (bits: readonly number[]) => unknown): string {
  return rowsOf(count)
    .map((bits) => (f(bits) ? '1' : '0'))
    .join('')
}

/** Both halves of a text: variable 0 at 0 and at 1. */
export function halvesOf(table: string): readonly [low: string, high: string] {
  return [table.slice(0, table.length / 2), table.slice(table.length / 2)]
}

/**
 * Tests in the reduced ordered diagram of functions together: a test of variable i for each different cofactor by the
 * variables before it whose halves differ (Bryant 1986: a vertex a subfunction, none without dependence).
 */
export function testsOf(tables: readonly string[]): number {
  const differing = new Set<string>()
  let parts = [...tables]
  for (; parts[0]!.length > 1; parts = [...new Set(parts.flatMap(halvesOf))])
    for (const part of parts) if (halvesOf(part)[0] !== halvesOf(part)[1]) differing.add(part)
  return differing.size
}

/** Tests on the shortest way to 1, variables that the rest does not depend on left out. */
export function shortestWay(table: string): number {
  if (!table.includes('1')) return Infinity
  if (!table.includes('0')) return 0
  const [low, high] = halvesOf(table)
  return low === high ? shortestWay(low) : 1 + Math.min(shortestWay(low), shortestWay(high))
}
