/** A set of vectors on a map that the fast evaluator cannot run: all faults side by side, each run where it matters. */
import type { DecodedLogic } from '../../inspect/inspection'
import { conditionsByPin } from '../vectors/run-vectors'
import { FaultBench } from './fault-bench'
import { firstShowing, type FaultRuns } from './fault-runs'
import type { Fault } from './faults'
import { SlowPart, type Conditions } from './live-part'

/**
 * The first vector that shows a fault, as `firstShowing` gives it. Null where some vector needs more than the bench
 * has: preloads, vectors that cannot be read.
 */
export function benchedVectors(runs: FaultRuns, faults: readonly Fault[]): ((fault: Fault) => number | null) | null {
  const steps = stepsOf(runs)
  const bench = steps && new FaultBench({ ...benchGiven(runs), start: runs.reading.registers }, faults)
  if (!steps || !(bench?.part instanceof SlowPart)) return null
  const first = new Map<Fault, number>()
  for (const { conditions, index } of steps) for (const fault of bench.run(conditions)) first.set(fault, index)
  const lost = new Set(bench.lost)
  return (fault) => (lost.has(fault) ? firstShowing(runs, fault) : (first.get(fault) ?? -1))
}

type BenchGiven = Pick<ConstructorParameters<typeof FaultBench>[0], 'decoded' | 'fuses'>

function benchGiven({ decoded, fuses }: FaultRuns): BenchGiven {
  return { decoded: decoded as DecodedLogic, fuses }
}

interface BenchStep {
  readonly conditions: Conditions
  /** Place of the vector in the set; of the next one for a default vector. */
  readonly index: number
}

function stepsOf({ set, decoded }: FaultRuns): BenchStep[] | null {
  const { pinCount } = decoded.device
  const steps: BenchStep[] = []
  const add = (index: number, conditions: string): void => {
    const level = String(set.defaultCondition ?? 'X')
    const byPin = [...conditionsByPin(conditions, set, pinCount)].map((each) => (each === 'X' ? level : each))
    steps.push({ index, conditions: ['', ...byPin.slice(1)] })
  }
  let number = 1
  for (const [index, vector] of set.vectors.entries()) {
    if (vector.conditions === null || /[BP]/.test(vector.conditions)) return null
    if (vector.number > number) add(index, 'X'.repeat(set.pinOrder?.length ?? pinCount))
    number = vector.number + 1
    add(index, vector.conditions)
  }
  return steps
}
