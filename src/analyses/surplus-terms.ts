/** Product terms that say nothing new. */
import { createDiagrams, type Diagrams, type Node } from '../logic/diagrams'
import { isContradiction, structuralConstant, type Cube, type Logic, type LogicCell } from '../logic/logic'

/** A product term that could be left out without a change of the function. */
export interface SurplusTerm {
  /** Array row of the term. */
  readonly row: number
  /** 0 for a buried cell. */
  readonly pin: number
  /** Row of the same term; null where several other terms cover it together. */
  readonly sameAs: number | null
}

/** Terms of all cells that could be left out. */
export function surplusTerms(logic: Logic): SurplusTerm[] {
  return logic.cells.flatMap((cell) => surplusIn(logic, cell))
}

/** Terms that equal another one of their sum, or that the others cover, whatever the signals are. */
function surplusIn(logic: Logic, { pin, value, register, enable }: LogicCell): SurplusTerm[] {
  const sums = (value ?? register!.data).sums
  if (structuralConstant(enable) === 0 && !register) return []
  return sums.flatMap((sum) =>
    surplusOf(
      logic,
      sum.filter((cube) => !isContradiction(cube)),
    ).map(({ row, sameAs }) => ({ row, pin: pin ?? 0, sameAs })),
  )
}

function surplusOf(logic: Logic, cubes: readonly Cube[]): Omit<SurplusTerm, 'pin'>[] {
  if (cubes.length < 2) return []
  const diagrams = createDiagrams(logic.signals.length)
  const nodes = cubes.map(({ literals }) =>
    literals.reduce((product, literal) => diagrams.and(product, literalNode(diagrams, literal)), 1),
  )
  return cubes.flatMap(({ origin }, i) => {
    const same = nodes.indexOf(nodes[i]!)
    if (same < i) return [{ row: origin, sameAs: cubes[same]!.origin as number | null }]
    const others = nodes.reduce(
      (any, node, j) => (node === nodes[i] ? any : j === i ? any : diagrams.or(any, node)),
      0,
    )
    return diagrams.and(nodes[i]!, diagrams.not(others)) === 0 ? [{ row: origin, sameAs: null }] : []
  })
}

function literalNode(diagrams: Diagrams, literal: number): Node {
  const signal = diagrams.variable(literal >>> 1)
  return literal & 1 ? diagrams.not(signal) : signal
}
