/** Whether resets and presets leave open what the registers of an output do, though none of its functions differs. */
import type { Diagrams, Node } from '../../logic/diagrams'
import type { Levels } from '../../logic/register-steps'
import type { Both } from './both-functions'
import type { Undecided } from './compare-logic'
import { differing, type OutputPair } from './compare-output'

/**
 * Why an output whose functions are equal stays open; null where it does not. Resets and presets meet at some register
 * of one side alone, or never come to rest; or a clock leads through a state that cannot last, in which they differ.
 */
export function openStates(both: Both, pair: OutputPair, variable: number): Undecided | null {
  if (!pair.intended?.register && !pair.readback?.register) return null
  const { diagrams } = both.space
  const { intended, readback } = both.states
  const all = [
    intended.held,
    readback.held,
    intended.clocked(pair.intended?.register?.clock ?? 0),
    readback.clocked(pair.readback?.register?.clock ?? 0),
  ]
  if (all.includes(null)) return 'unsettled-resets'
  const [a, b, clockedA, clockedB] = all as [Levels, Levels, Levels, Levels]
  const apart = diagrams.or(meetApart(diagrams, a, b), meetApart(diagrams, clockedA, clockedB))
  if (diagrams.and(apart, diagrams.and(intended.possible, readback.possible)) !== 0) return 'unsettled-resets'
  // Clocks that are no pins may rise together, and so lead to any state.
  const anywhere = diagrams.or(apart, differing(diagrams, variable, [a.levels, b.levels]))
  if (anywhere !== 0 && !(intended.clockedByPins && readback.clockedByPins)) return 'not-reproduced'
  return movedByOthers(both, variable) ? 'not-reproduced' : null
}

/** Where a reset meets a preset at a register of one side alone: what it leaves is not known. */
function meetApart(diagrams: Diagrams, a: Levels, b: Levels): Node {
  return Array.from({ length: diagrams.variableCount }, (_, variable) =>
    diagrams.xor(a.openAt[variable] ?? 0, b.openAt[variable] ?? 0),
  ).reduce((any, each) => diagrams.or(any, each), 0)
}

/** True where a rise of a clock leaves its registers alike, and another one not: a hold that it ended did that. */
function movedByOthers({ space: { diagrams }, states: { intended, readback } }: Both, variable: number): boolean {
  const bits = [...intended.bits, ...readback.bits]
  const clocks = new Set(bits.map(({ register }) => register.clock))
  const lasting = diagrams.and(intended.lasting, readback.lasting)
  return [...clocks].some((clock) => {
    const after = [intended, readback].map(({ clocked }) => clocked(clock)?.levels ?? [])
    const clocked = bits.filter(({ register }) => register.clock === clock)
    const from = clocked.reduce(
      (all, bit) => diagrams.and(all, diagrams.not(differing(diagrams, bit.variable, after))),
      diagrams.and(lasting, diagrams.not(clock)),
    )
    return diagrams.and(from, differing(diagrams, variable, after)) !== 0
  })
}
