/**
 * What is certain although it hangs on unknowns: a sum over x and ¬x is 1 whatever x is, but term by term it is
 * unknown. Where few sources are unknown, both values of each are tried, 32 assignments in one step of the sweep.
 *
 * Only sources at rest have one value each: a steady level that is applied, a pin that nothing drives (it floats, but
 * one input buffer feeds both of its columns), the Q of a register. Logic with circles, and registers that could set
 * one another off without end (clocked by terms, preset, loaded, bypassed), are left alone: what is unknown there may
 * be on its way.
 */
import { takeSteps } from '../arguments/work'
import { cubesOf, isBypassed, structuralConstant, type Expression, type Logic } from './logic'
import { sourcesOf, netlistOf } from './netlist'
import { NOTHING, type Applied, type PinLevel } from './simulation-state'
import {
  createDriveWords,
  driveWords,
  nextStateWords,
  prepareSweep,
  settleWords,
  type DriveWords,
  type Sweep,
} from './sweep'
import { X, type Ternary } from './ternary'
import { COLUMN_BITS } from './words'

/** Most sources that are tried: their 2⁵ assignments are the 32 rows of one step. */
export const MAX_TRIED_SOURCES = COLUMN_BITS.length

/** What a cell's level, or what its register takes, hangs on at once. */
interface Sources {
  readonly pins: readonly number[]
  readonly cells: readonly number[]
}

/** A logic prepared for trying. */
interface Trial {
  readonly sweep: Sweep
  readonly drive: DriveWords
  readonly zero: Int32Array
  readonly one: Int32Array
  readonly levelSources: readonly Sources[]
  readonly dataSources: readonly Sources[]
}

/** What stands at the pins from outside, and in the registers. */
export interface Standing {
  readonly logic: Logic
  readonly applied: readonly Applied[]
  readonly q: readonly Ternary[]
}

/** Made once for each logic; null for one in which nothing is tried. Created with the first. */
let made: WeakMap<Logic, Trial | null> | null = null

function trialOf(logic: Logic): Trial | null {
  made ??= new WeakMap()
  const known = made.get(logic)
  if (known !== undefined) return known
  const trial = staysAtRest(logic) ? prepare(logic) : null
  made.set(logic, trial)
  return trial
}

/** True where no register can set off another one or itself without end, and no wiring runs in a circle. */
export function staysAtRest(logic: Logic): boolean {
  return netlistOf(logic).circles.length === 0 && logic.cells.every((_, cell) => staysBetweenEdges(logic, cell))
}

/** True for a cell whose register, where it has one, moves at rises of a pin and by its reset alone. */
export function staysBetweenEdges(logic: Logic, index: number): boolean {
  const { clockPin, drivenPins } = netlistOf(logic)
  const cell = logic.cells[index]!
  const { register } = cell
  if (!register || isBypassed(cell)) return !register
  const pin = clockPin[index]!
  const held = [register.preset, register.load].some((expression) => structuralConstant(expression) !== 0)
  return pin !== null && !drivenPins.has(pin) && isPlainLevel(register.clock) && !register.bypass && !held
}

/** True for an expression that is the level of its one signal. */
function isPlainLevel(expression: Expression): boolean {
  const cubes = cubesOf(expression)
  return (
    !expression.inverted &&
    cubes.length === 1 &&
    cubes[0]!.literals.length === 1 &&
    (cubes[0]!.literals[0]! & 1) === 0
  )
}

function prepare(logic: Logic): Trial {
  const { drives, cellAt } = netlistOf(logic)
  const triable = ({ pins, cells }: Sources): Sources => ({
    pins: [...new Set(pins)].filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always'),
    cells: [...new Set(cells)].filter((cell) => logic.cells[cell]!.register),
  })
  const levelSources = logic.cells.map(({ enable, value, pin }, cell): Sources => {
    const { pins, cells } = sourcesOf(logic, [enable, ...(value ? [value] : [])])
    return triable({ pins: pin === null ? pins : [...pins, pin], cells: [...cells, cell] })
  })
  const dataSources = logic.cells.map(({ register }): Sources =>
    register
      ? triable(sourcesOf(logic, [register.data, register.clockedPreset, register.reset, register.preset]))
      : { pins: [], cells: [] },
  )
  return {
    sweep: prepareSweep(logic),
    drive: createDriveWords(),
    zero: new Int32Array(logic.pinCount + 1),
    one: new Int32Array(logic.pinCount + 1),
    levelSources,
    dataSources,
  }
}

/** What the level, and the next state, of each cell hang on that could be tried; null where nothing is. */
export function triedSources(logic: Logic): Pick<Trial, 'levelSources' | 'dataSources'> | null {
  return trialOf(logic)
}

/** Steps of settling one cell in all assignments. */
const CELL_STEPS = 2

/** Settles all assignments of the unknown sources; null where there is none or there are too many. */
function settleAll({ logic, applied, q }: Standing, trial: Trial, sources: Sources): Sweep | null {
  const pins = sources.pins.filter((pin) => applied[pin] === X || applied[pin] === NOTHING)
  const cells = sources.cells.filter((cell) => q[cell] === X)
  const count = pins.length + cells.length
  if (count === 0 || count > MAX_TRIED_SOURCES) return null
  const { sweep, zero, one } = trial
  takeSteps(CELL_STEPS * logic.cells.length)
  for (let pin = 1; pin <= logic.pinCount; pin++) {
    zero[pin] = applied[pin] === 1 ? 0 : -1
    one[pin] = applied[pin] === 0 ? 0 : -1
  }
  const first = logic.pinCount + 1
  for (let cell = 0; cell < logic.cells.length; cell++) {
    sweep.zero[first + cell] = q[cell] === 1 ? 0 : -1
    sweep.one[first + cell] = q[cell] === 0 ? 0 : -1
  }
  pins.forEach((pin, i) => {
    one[pin] = COLUMN_BITS[i]!
    zero[pin] = ~COLUMN_BITS[i]!
  })
  cells.forEach((cell, i) => {
    sweep.one[first + cell] = COLUMN_BITS[pins.length + i]!
    sweep.zero[first + cell] = ~COLUMN_BITS[pins.length + i]!
  })
  settleWords(sweep, trial, trial.drive)
  return sweep
}

/** What all rows agree on. */
function agreed({ zero, one }: { readonly zero: number; readonly one: number }): Ternary {
  return one === 0 ? 0 : zero === 0 ? 1 : X
}

/** What is certain of a cell's drive and level with every unknown source tried; null where nothing was tried. */
export function triedLevel(
  standing: Standing,
  cell: number,
): { readonly enable: Ternary; readonly value: Ternary; readonly reading: PinLevel } | null {
  const trial = trialOf(standing.logic)
  const pin = standing.logic.cells[cell]!.pin
  if (!trial || pin === null) return null
  const sweep = settleAll(standing, trial, trial.levelSources[cell]!)
  if (!sweep) return null
  driveWords(sweep, cell, trial.drive)
  return {
    enable: agreed(trial.drive.enable),
    value: agreed(trial.drive.value),
    reading: agreed({ zero: sweep.zero[pin]!, one: sweep.one[pin]! }),
  }
}

/** Q that a register certainly takes at an edge with every unknown source tried; X where none is certain. */
export function triedState(standing: Standing, cell: number): Ternary {
  const trial = trialOf(standing.logic)
  const sweep = trial && settleAll(standing, trial, trial.dataSources[cell]!)
  if (!trial || !sweep) return X
  nextStateWords(sweep, cell, trial.drive.value)
  return agreed(trial.drive.value)
}
