/** What is free in a part, as variables of diagrams with a meaning each, in an order that suits the product terms. */
import type { Diagrams } from './diagrams'
import {
  cubesOf,
  expressionsOf,
  isContradiction,
  cellNameOf,
  type Cube,
  type Logic,
  type LogicCell,
  type CellName,
} from './logic'
import { orderByGroups } from './variable-order'

/**
 * Something free: the level applied to a pin; the state of the register behind it, as the level that the enabled pin
 * shows; the level at a pin where a loop is cut; or what a cell does that no data sheet defines (`unknown`, its enable,
 * and `unknown-value`).
 */
export interface FreeVariable {
  readonly kind: 'pin' | 'state' | 'loop' | 'unknown' | 'unknown-value'
  /** Name of the pin; pins of two parts that are compared share it. */
  readonly name: string
}

/** Diagrams with a meaning for each variable. */
export interface Space {
  readonly diagrams: Diagrams
  readonly variables: readonly FreeVariable[]
  /** Index of a variable, by kind and name. */
  readonly indexOf: (kind: FreeVariable['kind'], name: string) => number
}

/** How what is free at a place is called; by the pin's number, or the cell's name, where nothing else is said. */
export type NameOf = (place: CellName, kind: FreeVariable['kind']) => string

/** Variables for parts that are looked at together, in an order that suits their product terms. */
export function planVariables(
  parts: readonly { readonly logic: Logic; readonly nameOf?: NameOf }[],
): readonly FreeVariable[] {
  /** The variables of each place stay together. */
  const atPlace = new Map<string, Map<string, FreeVariable>>()
  const groups: string[][] = []
  for (const { logic, nameOf = String } of parts) {
    const add = (at: CellName, kind: FreeVariable['kind']): void => {
      const name = nameOf(at, kind)
      const place = nameOf(at, 'pin')
      atPlace.set(place, (atPlace.get(place) ?? new Map()).set(`${kind} ${name}`, { kind, name }))
    }
    const placeOfSignal = (literal: number): CellName => {
      const signal = logic.signals[literal >>> 1]!
      return signal.kind === 'pin' ? signal.pin : cellNameOf(logic.cells[signal.cell]!)
    }
    for (const signal of logic.signals) if (signal.kind === 'pin') add(signal.pin, 'pin')
    for (const cell of logic.cells) {
      for (const kind of kindsAt(cell)) add(cellNameOf(cell), kind)
      const named = (cube: Cube): string[] => [
        ...new Set(cube.literals.map((literal) => nameOf(placeOfSignal(literal), 'pin'))),
      ]
      const live = expressionsOf(cell)
        .flatMap(cubesOf)
        .filter((cube) => !isContradiction(cube))
      groups.push(...live.map(named))
    }
  }
  const places = [...atPlace.keys()]
  const indexOf = new Map(places.map((name, i) => [name, i]))
  const order = orderByGroups(
    places.length,
    groups.map((group) => group.flatMap((name) => indexOf.get(name) ?? [])),
  )
  return order.flatMap((item) => [...atPlace.get(places[item]!)!.values()])
}

function kindsAt({ register, defined, pin }: LogicCell): FreeVariable['kind'][] {
  return [
    ...(pin === null ? [] : (['pin', 'loop'] as const)),
    ...(register ? (['state'] as const) : []),
    ...(defined ? [] : (['unknown', 'unknown-value'] as const)),
  ]
}

/** Puts meaning to the variables of diagrams. */
export function nameVariables(diagrams: Diagrams, variables: readonly FreeVariable[]): Space {
  const places = new Map(variables.map(({ kind, name }, i) => [`${kind} ${name}`, i]))
  return { diagrams, variables, indexOf: (kind, name) => places.get(`${kind} ${name}`) ?? -1 }
}
