/** What of two machines a search for a difference has to follow. */
import type { Diagrams, Node } from '../../logic/diagrams'
import type { PartFunctions } from '../../logic/functions'
import type { StateBit } from '../../logic/register-steps'
import type { Space } from '../../logic/variables'
import { comparePins, NO_OUTPUT } from './compare-output'
import type { Machine, Moves } from './machine-moves'

/** Levels of the registers of both machines. */
export type State = readonly (0 | 1)[]

/** What a search needs of two machines. */
export interface Start {
  readonly bits: readonly StateBit[]
  readonly moves: Moves
  readonly differences: readonly VisibleDifference[]
  readonly start: State
}

/**
 * The registers that can have a part in a difference: those that never leave their start are levels, and those that
 * nothing visible hangs on then are left out.
 */
export function reduced({ diagrams }: Space, given: Start): Start {
  const { bits, moves, start } = given
  const constants = lastingLevels(diagrams, given)
  const fix = (f: Node): Node => diagrams.substitute(f, constants)
  const differences = given.differences.map(({ name, where, drives }): VisibleDifference => ({
    name,
    where: fix(where),
    drives: drives.map(({ enable, value }) => ({ enable: fix(enable), value: fix(value) })),
  }))
  const all = { low: moves.low.map(fix), rise: moves.rise.map(fix), high: moves.high.map(fix) }
  const wanted = new Set(differences.flatMap(({ where }) => diagrams.support(where)))
  for (let size = -1; size !== wanted.size;) {
    size = wanted.size
    bits.forEach(({ variable }, i) => {
      if (!wanted.has(variable)) return
      for (const f of [all.low[i]!, all.rise[i]!, all.high[i]!])
        for (const other of diagrams.support(f)) wanted.add(other)
    })
  }
  const kept = bits.flatMap(({ variable }, i) => (wanted.has(variable) ? [i] : []))
  const pick = <T>(list: readonly T[]): T[] => kept.map((i) => list[i]!)
  return {
    bits: pick(bits),
    differences,
    start: pick(start),
    moves: { ...moves, clocked: moves.clocked, low: pick(all.low), rise: pick(all.rise), high: pick(all.high) },
  }
}

/** Levels of registers that no move from the start changes, whatever the others do. */
function lastingLevels(diagrams: Diagrams, { bits, moves, start }: Start): (Node | undefined)[] {
  let constants = fixing(bits, start)
  for (;;) {
    const fixed = constants
    const next = [...fixed]
    bits.forEach(({ variable }, i) => {
      if (fixed[variable] === undefined) return
      const stays = [moves.low[i]!, moves.rise[i]!, moves.high[i]!].every(
        (f) => diagrams.substitute(f, fixed) === start[i],
      )
      if (!stays) next[variable] = undefined
    })
    if (next.every((level, i) => level === fixed[i])) return fixed
    constants = next
  }
}

/** An output of both machines: where it shows different things, and what either side does there. */
export interface VisibleDifference {
  readonly name: string
  readonly where: Node
  readonly drives: readonly { readonly enable: Node; readonly value: Node }[]
}

/** Where the pins of the two machines show different things. */
export function visibleDifferences({ diagrams }: Space, [a, b]: readonly Machine[]): VisibleDifference[] {
  const byName = ({ functions, nameOf }: Machine): Map<string, PartFunctions['outputs'][number]> =>
    new Map(functions.outputs.map((output) => [nameOf(output.place, 'pin'), output]))
  const [first, second] = [byName(a!), byName(b!)]
  return [...new Set([...first.keys(), ...second.keys()])].sort(comparePins).map((name) => {
    const [one, other] = [first.get(name) ?? NO_OUTPUT, second.get(name) ?? NO_OUTPUT]
    const values = diagrams.and(diagrams.and(one.enable, other.enable), diagrams.xor(one.value, other.value))
    return { name, where: diagrams.or(diagrams.xor(one.enable, other.enable), values), drives: [one, other] }
  })
}

/** Diagrams in place of the registers' variables: the levels of a state. */
export function fixing(bits: readonly StateBit[], state: State): (Node | undefined)[] {
  const fixed: (Node | undefined)[] = []
  bits.forEach(({ variable }, i) => (fixed[variable] = state[i]))
  return fixed
}
