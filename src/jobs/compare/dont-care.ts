/** Input patterns that do not matter in a comparison. */
import type { Node } from '../../logic/diagrams'
import type { Space } from '../../logic/variables'

/** Input patterns that do not matter: levels by pin name. */
export type RowPattern = Readonly<Record<string, 0 | 1>>

/** Most pins that decide nothing and that patterns may name all the same. */
const MAX_UNREAD = 8

/** Everything but the don't-care patterns. A pattern may name a pin with a register: its state, as the pin shows it. */
export function careOf({ diagrams, indexOf }: Space, patterns: readonly RowPattern[]): Node {
  const indexAt = (name: string): number =>
    indexOf('state', name) >= 0 ? indexOf('state', name) : indexOf('pin', name)
  const literal = (name: string, level: 0 | 1): Node =>
    level ? diagrams.variable(indexAt(name)) : diagrams.not(diagrams.variable(indexAt(name)))
  const product = (pattern: RowPattern): Node =>
    Object.entries(pattern).reduce(
      (all, [name, level]) => (indexAt(name) < 0 ? all : diagrams.and(all, literal(name, level))),
      1,
    )
  const ignoredBy = (some: readonly RowPattern[]): Node =>
    some.reduce((any, pattern) => diagrams.or(any, product(pattern)), 0)
  // What is ignored at one level of a pin that no variable stands for still counts at the other.
  const within = (some: readonly RowPattern[], pins: readonly string[]): Node => {
    const [pin, ...rest] = pins
    if (pin === undefined) return ignoredBy(some)
    return ([0, 1] as const)
      .map((level) =>
        within(
          some.filter((pattern) => (pattern[pin] ?? level) === level),
          rest,
        ),
      )
      .reduce((all, each) => diagrams.and(all, each), 1)
  }
  const unread = [...new Set(patterns.flatMap((pattern) => Object.keys(pattern)))].filter((name) => indexAt(name) < 0)
  // Each such pin doubles the work; patterns that name more of them are left out, which leaves more to compare.
  const few = unread.slice(0, MAX_UNREAD)
  const rest = new Set(unread.slice(MAX_UNREAD))
  return diagrams.not(
    within(
      patterns.filter((pattern) => !Object.keys(pattern).some((name) => rest.has(name))),
      few,
    ),
  )
}
