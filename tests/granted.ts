/** What a function gave, in tests that are about its results and not about its refusals. */
import type { Refused } from '../src/index'

/** The result; a refusal fails the test with its reason. */
export function granted<T>(result: T): Exclude<T, Refused> {
  if (typeof result === 'object' && result !== null && 'refused' in result)
    throw new Error(`refused: ${(result as unknown as Refused).reason}`)
  return result as Exclude<T, Refused>
}

/** Why a function refused; a result fails the test. */
export function refusal<T>(result: T): Extract<T, Refused> {
  if (typeof result === 'object' && result !== null && 'refused' in result) return result as Extract<T, Refused>
  throw new Error('not refused')
}
