/** Counterexamples on the reference simulation: what a part shows under levels and states, and after later levels. */
import { evaluateCube, X, type Ternary } from '../../logic/ternary'
import { cubesOf, expressionsOf, cellNameOf, type Logic, type CellName } from '../../logic/logic'
import { applyLevels } from '../../logic/simulate'
import {
  driveOf,
  NOTHING,
  settle,
  signalsOf,
  startSimulation,
  type Applied,
  type Simulation,
} from '../../logic/simulation-state'

/** Levels applied to pins, and states of registers as their enabled pins show them. */
export interface AppliedState {
  readonly inputs: ReadonlyMap<number, 0 | 1>
  readonly states: ReadonlyMap<CellName, 0 | 1>
}

/** What is seen at an output: high, low, off, or unknown. */
export type Seen = 'H' | 'L' | 'Z' | 'X'

/** A part whose pins have levels and whose registers have states before anything acts. */
function restingPart(logic: Logic, { inputs, states }: AppliedState): Simulation {
  const simulation = startSimulation(logic, { explain: false })
  const applied = Array.from({ length: logic.pinCount + 1 }, (_, pin): Applied => inputs.get(pin) ?? NOTHING)
  simulation.applied = applied
  simulation.q = logic.cells.map((cell): Ternary => {
    const { register } = cell
    const level = states.get(cellNameOf(cell))
    if (!register || level === undefined) return X
    return register.inverted ? ((1 - level) as 0 | 1) : level
  })
  const unknown = applied.map((): Ternary => X)
  simulation.readings = settle(simulation, applied, { readings: unknown, applied }).readings
  return simulation
}

/**
 * A part once resets and presets have acted on the given states, and then under further levels, one after the other.
 */
export function replay(logic: Logic, levels: AppliedState, further: readonly ReadonlyMap<number, 0 | 1>[]): Simulation {
  const simulation = restingPart(logic, levels)
  applyLevels(simulation, simulation.applied)
  for (const changed of further)
    applyLevels(
      simulation,
      simulation.applied.map((level, pin) => changed.get(pin) ?? level),
    )
  return simulation
}

/** What a cell shows at its pin, and the level that it would show of its register. */
export function seenAt(simulation: Simulation, cell: number): { readonly pin: Seen; readonly state: Seen } {
  const { enable, value } = driveOf(simulation, cell, signalsOf(simulation, simulation.readings))
  return { pin: enable === 0 ? 'Z' : enable === X ? 'X' : seen(value), state: seen(value) }
}

function seen(value: Ternary): Seen {
  if (value === X) return 'X'
  return value ? 'H' : 'L'
}

/** Rows of the array whose terms are 1 and belong to an output, under given levels. */
export function liveRows(logic: Logic, cell: number, levels: AppliedState): readonly number[] {
  const output = logic.cells[cell]
  if (!output) return []
  const simulation = restingPart(logic, levels)
  const signals = signalsOf(simulation, simulation.readings)
  const rows = expressionsOf(output)
    .flatMap(cubesOf)
    .filter((cube) => cube.origin >= 0 && evaluateCube(cube, signals) === 1)
  return [...new Set(rows.map(({ origin }) => origin))].sort((a, b) => a - b)
}
