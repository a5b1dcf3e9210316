/** The two parts of a comparison of logic: common names for what belongs together, and where registers start. */
import type { OutputFunctions } from '../../logic/functions'
import type { NameOf } from '../../logic/variables'
import { pinCells, cellNameOf, type Logic, type CellName } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { comparePins } from './compare-output'

/** Levels after power-up, as enabled registered pins show them: what is published, or what somebody states. */
export type PowerUp = 'published' | 'high' | 'low' | 'unknown'

/** One part in a comparison. */
export interface LogicSide {
  readonly logic: Logic
  readonly powerUp: PowerUp
  /** Name of each pin, shared by the pins of both parts that belong together; null: by number. */
  readonly names: ReadonlyMap<number, string> | null
}

/** Both parts. */
export interface LogicSides {
  readonly intended: LogicSide
  readonly readback: LogicSide
}

/** Names of a side's places, shared by those that belong together. */
export function sharedNames(side: LogicSide): NameOf {
  return side.names
    ? (place) => (typeof place === 'number' ? side.names?.get(place) : null) ?? `readback ${place}`
    : String
}

/** Cells that can be seen outside, at their own pins or through others, by name. */
export function seenCells(side: LogicSide): Map<string, CellName> {
  const { seen } = netlistOf(side.logic)
  const places = side.logic.cells.filter((_, i) => seen[i]).map(cellNameOf)
  return new Map(places.map((place) => [sharedNames(side)(place, 'pin'), place]))
}

/** Whether the cell of a name drives its pin at some time on a side. */
export function drivesAt(side: LogicSide, name: string): boolean {
  const { drives } = netlistOf(side.logic)
  return side.logic.cells.some(
    (cell, i) => drives[i] !== 'never' && sharedNames(side)(cellNameOf(cell), 'pin') === name,
  )
}

/** Places of cells of the given names. */
export function placesNamed(side: LogicSide, names: readonly string[]): CellName[] {
  return side.logic.cells.map(cellNameOf).filter((place) => names.includes(sharedNames(side)(place, 'pin')))
}

/** Pins of cells of the given names. */
export function pinsNamed(side: LogicSide, names: readonly string[]): number[] {
  return pinCells(side.logic).flatMap(({ pin }) => (names.includes(sharedNames(side)(pin, 'pin')) ? [pin] : []))
}

/** Names of all pins to which a level must be applied: those that either side reads and does not always drive. */
export function freePins({ intended, readback }: LogicSides): readonly string[] {
  const names = [intended, readback].flatMap((side) => {
    const { readPins, cellAt, drives } = netlistOf(side.logic)
    const free = [...readPins].filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always')
    return free.map((pin) => sharedNames(side)(pin, 'pin'))
  })
  return [...new Set(names)].sort(comparePins)
}

/** Level that a registered pin shows after power-up; null where there is no register or nothing is known. */
export function startLevel({ powerUp }: LogicSide, output: Pick<OutputFunctions, 'register'> | null): 0 | 1 | null {
  if (!output?.register) return null
  return powerUp === 'published' ? output.register.powerUp : statedLevel(powerUp)
}

function statedLevel(powerUp: Exclude<PowerUp, 'published'>): 0 | 1 | null {
  if (powerUp === 'unknown') return null
  return powerUp === 'high' ? 1 : 0
}

/** An output with the registers that resets can hang on: all of them decide which states can be. */
export function withRegisters(sides: LogicSides, name: string): string[] {
  const registers = [sides.intended, sides.readback].flatMap((side) =>
    side.logic.cells.flatMap((cell) => (cell.register ? [sharedNames(side)(cell.pin ?? cell.name, 'pin')] : [])),
  )
  return [...new Set([name, ...registers])]
}
