/** The outputs of one map on both sides: nothing has to be proved where the fuses are the same. */
import type { Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import type { Decoded } from '../../devices/decode'
import { outputNames, type ComparedOutput } from './compare-logic'
import { comparePins } from './compare-output'

/** Every output of a part as equal to itself, over all that is free in the part; no diagram is built for that. */
export function outputsOfOne(decoded: Decoded | null): readonly ComparedOutput[] {
  if (!decoded?.logic) return []
  const ofInputs = String(2n ** BigInt(freeCount(decoded.logic)))
  return [...outputNames({ logic: decoded.logic, powerUp: 'published', names: null })]
    .sort(([a], [b]) => comparePins(a, b))
    .map(([, place]): ComparedOutput => ({
      ...(typeof place === 'number' ? { pin: place } : { pin: 0, cell: place }),
      relation: 'equivalent',
      side: 'both',
      differsIn: [],
      differingInputs: '0',
      ofInputs,
      counterexample: null,
      differsWhere: null,
      reason: null,
    }))
}

/** Pins that terms read and that no output drives for good, and registers. */
function freeCount(logic: Logic): number {
  const { readPins, cellAt, drives } = netlistOf(logic)
  const free = [...readPins].filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always')
  return free.length + logic.cells.filter(({ register }) => register).length
}
