/** Where the registers of two parts start, and what that leaves open. */
import type { Node } from '../../logic/diagrams'
import type { CellName } from '../../logic/logic'
import type { Both } from './both-functions'
import type { ComparedOutput } from './compare-logic'
import { sharedNames, startLevel, type LogicSide, type LogicSides } from './logic-sides'
import type { NamedOutput } from './named-output'

/** Registers that no pin shows and that start at another state, as they are paired. */
export function hiddenStarts({ intended, readback }: Both, sides: LogicSides): number[] {
  return intended.outputs.flatMap((output) => {
    const name = sharedNames(sides.intended)(output.place, 'pin')
    const other = readback.outputs.find(({ place }) => sharedNames(sides.readback)(place, 'pin') === name)
    const [a, b] = [startLevel(sides.intended, output), startLevel(sides.readback, other ?? null)]
    const flipped = other?.register?.flipped === true
    return a !== null && b !== null && (a !== b) !== flipped && output.enable === 0 ? [output.pin ?? 0] : []
  })
}

/** Whether the registers start at a state that cannot last on one side; false where the start is not known. */
export function startMoves({ space: { diagrams }, states }: Both, sides: LogicSides): boolean {
  return (['intended', 'readback'] as const).some((side) => {
    const start: (Node | undefined)[] = []
    for (const { variable, register } of states[side].bits) {
      const level = startLevel(sides[side], { register })
      if (level === null) return false
      start[variable] = register.flipped ? 1 - level : level
    }
    return diagrams.substitute(states[side].lasting, start) !== 1
  })
}

/** Pins of equal registers of which one side's start is not known. */
export function openPowerUp(
  { intended, readback }: LogicSides,
  outputs: readonly ComparedOutput[],
  named: readonly NamedOutput[],
): number[] {
  const known = (side: LogicSide, place: CellName | undefined): boolean | null => {
    const register = side.logic.cells.find((cell) => (cell.pin ?? cell.name) === place)?.register
    if (!register) return null
    return side.powerUp === 'published' ? register.powerUp !== null : side.powerUp !== 'unknown'
  }
  return outputs.flatMap(({ pin, relation }, i) => {
    const both = [known(intended, named[i]!.intended), known(readback, named[i]!.readback)]
    return relation === 'equivalent' && both.includes(false) && !both.includes(null) ? [pin] : []
  })
}
