/** Few words for what a run or a report says, so that a test shows its vectors and not its plumbing. */
import { simulate, verify, type Report, type SimulateOptions, type VectorRun } from '../../src/index'
import type { Cause } from '../../src/logic'
import { fileOf, joined } from './maps'
import { granted } from '../granted'

/** Runs vectors, numbered from 1, on a map. */
export function run(map: string, vectors: readonly string[], options: SimulateOptions = {}): VectorRun {
  return granted(simulate(fileOf(map, ''), { vectors: vectors.map(joined), ...options }))
}

/** Every judged pin: `V1 pin 19 expects H, finds 1: passed`. */
export function story({ results }: VectorRun): string[] {
  return results.flatMap(({ number, checks }) =>
    checks.map(
      ({ pin, expected, found, result }) => `V${number} pin ${pin} expects ${expected}, finds ${found}: ${result}`,
    ),
  )
}

/** Results of the vectors, one letter each: p, f or u. */
export function letters({ results }: VectorRun): string {
  return results.map(({ result }) => result[0]).join('')
}

/** What the last judged pin of a run hangs on. */
export function lastCauses({ results }: VectorRun): readonly Cause[] | undefined {
  return results.at(-1)?.checks.at(-1)?.causes
}

/** Report on a map with the given test fields. */
export function report(map: string, tests: string, head = ''): Report {
  return verify(fileOf(map, tests, { head }))
}

/** Findings about vectors: `vector/failed V2 pin 16`. */
export function vectorFindings({ findings }: Report): string[] {
  return findings
    .filter(({ code }) => code.startsWith('vector/'))
    .map(
      ({ code, vector, pin }) =>
        code + (vector === undefined ? '' : ` V${vector}`) + (pin === undefined ? '' : ` pin ${pin}`),
    )
}
