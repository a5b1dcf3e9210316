/** The outputs of one map on both sides: nothing has to be proved where the fuses are the same. */
import { planVariables } from '../../logic/functions'
import type { Decoded } from '../../devices/decode'
import { outputNames, type ComparedOutput, type LogicSide } from './compare-logic'
import { comparePins } from './compare-output'

/** Every output of a part as equal to itself; no diagram is built, and the inputs counted are those of the part. */
export function outputsOfOne(decoded: Decoded | null): readonly ComparedOutput[] {
  if (!decoded?.logic) return []
  const side: LogicSide = { logic: decoded.logic, powerUp: 'published', names: null }
  const ofInputs = String(2n ** BigInt(planVariables([{ logic: decoded.logic }]).length))
  return [...outputNames(side)]
    .sort(([a], [b]) => comparePins(a, b))
    .map(([, pin]): ComparedOutput => ({ ...EQUAL, pin, ofInputs }))
}

const EQUAL = {
  relation: 'equivalent',
  side: 'both',
  differsIn: [],
  differingInputs: '0',
  counterexample: null,
  differsWhere: null,
  reason: null,
} as const
