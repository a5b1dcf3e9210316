/** The outputs of one map on both sides: nothing has to be proved where the fuses are the same. */
import { expressionsOf, structuralConstant, usedSignals, type Logic } from '../../logic/logic'
import type { Decoded } from '../../devices/decode'
import { outputNames, type ComparedOutput } from './compare-logic'
import { comparePins } from './compare-output'

/** Every output of a part as equal to itself, over all that is free in the part; no diagram is built for that. */
export function outputsOfOne(decoded: Decoded | null): readonly ComparedOutput[] {
  if (!decoded?.logic) return []
  const ofInputs = String(2n ** BigInt(freeCount(decoded.logic)))
  return [...outputNames({ logic: decoded.logic, powerUp: 'published', names: null })]
    .sort(([a], [b]) => comparePins(a, b))
    .map(([, pin]): ComparedOutput => ({
      pin,
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
function freeCount({ outputs, signals }: Logic): number {
  const driven = new Set(outputs.flatMap(({ pin, enable }) => (structuralConstant(enable) === 1 ? [pin] : [])))
  const read = usedSignals(outputs.flatMap(expressionsOf))
    .map((signal) => signals[signal]!)
    .filter(({ kind, pin }) => kind === 'pin' && !driven.has(pin))
  return new Set(read.map(({ pin }) => pin)).size + outputs.filter(({ register }) => register).length
}
