/** Whether resets and presets leave open what the registers of an output do, though none of its functions differs. */
import type { Diagrams, Node } from '../../logic/diagrams'
import type { OutputFunctions } from '../../logic/functions'
import type { Levels } from '../../logic/register-steps'
import type { Both, SideStates } from './both-functions'
import type { OutputPair } from './compare-output'

/**
 * True where resets and presets meet at some register of one side alone, or never come to rest. Clocks that are no pins
 * may rise together, and so lead through states that cannot last: there holds have to be alike in every state.
 */
export function statesOpen(
  { space: { diagrams }, states: { intended, readback } }: Both,
  { intended: a, readback: b }: OutputPair,
  variable: number,
): boolean {
  if (!a?.register && !b?.register) return false
  const levels = [intended.held, readback.held, clockedBy(intended, a), clockedBy(readback, b)]
  if (!levels.every((each) => each !== null)) return true
  const [heldA, heldB, clockedA, clockedB] = levels as [Levels, Levels, Levels, Levels]
  const apart = diagrams.or(meetApart(diagrams, heldA, heldB), meetApart(diagrams, clockedA, clockedB))
  if (diagrams.and(apart, diagrams.and(intended.possible, readback.possible)) !== 0) return true
  if (intended.clockedByPins && readback.clockedByPins) return false
  const state = diagrams.variable(variable)
  return apart !== 0 || (heldA.levels[variable] ?? state) !== (heldB.levels[variable] ?? state)
}

function clockedBy({ clocked }: SideStates, output: OutputFunctions | null): Levels | null {
  const clock = output?.register?.clock ?? 0
  return clock > 1 ? clocked(clock, null) : { levels: [], open: 0, openAt: [], passed: [] }
}

/** Where a reset meets a preset at a register of one side alone: what it leaves is not known. */
function meetApart(diagrams: Diagrams, a: Levels, b: Levels): Node {
  return Array.from({ length: diagrams.variableCount }, (_, variable) =>
    diagrams.xor(a.openAt[variable] ?? 0, b.openAt[variable] ?? 0),
  ).reduce((any, each) => diagrams.or(any, each), 0)
}
