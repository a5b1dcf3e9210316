/** States of the registers of both sides within a region, one by one. */
import type { Node } from '../../logic/diagrams'
import type { Both } from './both-functions'
import { productOf } from './counterexamples'
import type { SharedState } from './state-machines'

/** Most states that are listed one by one; each of them is followed by itself. */
const MAX_SHARED_STATES = 64

/** States of all registers within a region; null where there are too many. */
export function sharedStates(both: Both, region: Node): readonly SharedState[] | null {
  const { diagrams, variables } = both.space
  const isState = (i: number): boolean => variables[i]!.kind === 'state'
  const all = variables.map((_, i) => i)
  let rest = diagrams.exists(
    region,
    all.filter((i) => !isState(i)),
  )
  const found: SharedState[] = []
  while (rest !== 0 && found.length < MAX_SHARED_STATES) {
    const cube = diagrams.shortestCube(rest)!.map((level, i) => (level === 2 && isState(i) ? 0 : level))
    found.push({ intended: shownStates(both, 'intended', cube), readback: shownStates(both, 'readback', cube) })
    rest = diagrams.and(rest, diagrams.not(productOf(both.space, cube)))
  }
  return rest === 0 ? found : null
}

/** States of the registers of a side as their enabled pins show them, by name. */
function shownStates(
  { space, states }: Both,
  key: 'intended' | 'readback',
  cube: Uint8Array,
): Readonly<Record<string, 0 | 1>> {
  const shown = states[key].bits.map(({ variable, register }) => {
    const level = cube[variable] === 1 ? 1 : 0
    return [space.variables[variable]!.name, (register.flipped ? 1 - level : level) as 0 | 1] as const
  })
  return Object.fromEntries(shown)
}
