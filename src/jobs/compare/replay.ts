/** Counterexamples tried on the reference simulation, so that none is shown that it does not reproduce. */
import { evaluateCube, X, type Ternary } from '../../logic/ternary'
import { cubesOf, expressionsOf, placeOf, type Logic, type Place } from '../../logic/logic'
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

/** Levels on one part: applied to pins, and shown by registers, by pin number of that part. */
export interface PartLevels {
  readonly inputs: ReadonlyMap<number, 0 | 1>
  readonly states: ReadonlyMap<Place, 0 | 1>
}

/** What is seen at an output: high, low, off, or unknown. */
export type Seen = 'H' | 'L' | 'Z' | 'X'

/** A part at rest under given levels; pins without one are not driven. */
function restingPart(logic: Logic, { inputs, states }: PartLevels): Simulation {
  const simulation = startSimulation(logic, { explain: false })
  const applied = Array.from({ length: logic.pinCount + 1 }, (_, pin): Applied => inputs.get(pin) ?? NOTHING)
  simulation.applied = applied
  simulation.q = logic.cells.map((cell): Ternary => {
    const { register } = cell
    const level = states.get(placeOf(cell))
    return !register || level === undefined ? X : register.inverted ? ((1 - level) as 0 | 1) : level
  })
  simulation.readings = settle(
    simulation,
    applied,
    applied.map(() => X),
  ).readings
  return simulation
}

/** What an output shows at rest. */
export function seenAtRest(logic: Logic, cell: number, levels: PartLevels): Seen {
  const simulation = restingPart(logic, levels)
  const { enable, value } = driveOf(simulation, cell, signalsOf(simulation, simulation.readings))
  return enable === 0 ? 'Z' : enable === X || value === X ? 'X' : value ? 'H' : 'L'
}

/**
 * What the register behind a pin would show after a rise at its clock pin, the other levels held; X without a clock
 * pin.
 */
export function seenAfterClock(
  logic: Logic,
  cell: number,
  { clockPin, levels }: { readonly clockPin: number; readonly levels: PartLevels },
): Seen {
  const register = logic.cells[cell]?.register
  if (!register) return 'X'
  const simulation = restingPart(logic, { ...levels, inputs: new Map(levels.inputs).set(clockPin, 0) })
  applyLevels(
    simulation,
    simulation.applied.map((level, at) => (at === clockPin ? 1 : level)),
  )
  const q = simulation.q[cell]!
  return q === X ? 'X' : (q === 1) === register.inverted ? 'L' : 'H'
}

/** Rows of the array whose terms are 1 and belong to an output, under given levels. */
export function liveRows(logic: Logic, cell: number, levels: PartLevels): readonly number[] {
  const output = logic.cells[cell]
  if (!output) return []
  const simulation = restingPart(logic, levels)
  const signals = signalsOf(simulation, simulation.readings)
  const rows = expressionsOf(output)
    .flatMap(cubesOf)
    .filter((cube) => cube.origin >= 0 && evaluateCube(cube, signals) === 1)
  return [...new Set(rows.map(({ origin }) => origin))].sort((a, b) => a - b)
}
