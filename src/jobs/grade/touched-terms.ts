/** Whether a change of a row would have changed a sum at moments of the reference simulation. */
import { expressionsOf, type Cube, type Literal, type Logic } from '../../logic/logic'
import { evaluateCube, type Ternary } from '../../logic/ternary'

/** A term in its sum, and what the changed row makes of it. */
export interface ChangedCube {
  readonly sum: readonly Cube[]
  readonly old: Cube
  readonly next: Cube
}

/** The terms that a row makes, and what they become with other literals. */
export function changedCubes(
  logic: Logic,
  row: number,
  { own, changed }: { readonly own: readonly Literal[]; readonly changed: readonly Literal[] },
): ChangedCube[] {
  return logic.cells
    .flatMap(expressionsOf)
    .flatMap(({ sums }) => sums)
    .flatMap((sum) =>
      sum
        .filter(({ origin }) => origin === row)
        .map((old) => {
          const added = old.literals.filter((each) => !own.includes(each))
          return { sum, old, next: { literals: [...changed, ...added], origin: row } }
        }),
    )
}

/** Rows that clock registers: what is certain of an edge hangs on what a clock reads, not on its level alone. */
export function clockRows({ cells }: Logic): ReadonlySet<number> {
  return new Set(cells.flatMap(({ register }) => register?.clock.sums.flat().map(({ origin }) => origin) ?? []))
}

/** Whether some change changes its sum at some moment. */
export function changesSum(moments: readonly (readonly Ternary[])[], changes: readonly ChangedCube[]): boolean {
  return moments.some((signals) =>
    changes.some(
      ({ sum, old, next }) =>
        evaluateCube(old, signals) !== evaluateCube(next, signals) &&
        sum.every((cube) => cube === old || evaluateCube(cube, signals) !== 1),
    ),
  )
}

/** Moments, each once. */
export function differentMoments(moments: readonly (readonly Ternary[])[]): (readonly Ternary[])[] {
  return [...new Map(moments.map((signals) => [signals.join(''), signals])).values()]
}
