/**
 * Work that was refused for what its content is: no part, no logic, too many inputs. Every function that may
 * refuse gives this form, with more fields where there is more to say; `'refused' in result` tells it from a result.
 */
export interface Refused<Reason extends string = string> {
  /** Always true; no result has this key. */
  readonly refused: true
  /** Why, as a stable code. */
  readonly reason: Reason
}

/** True for a refusal, whatever was given. */
export function isRefused(value: unknown): value is Refused {
  return typeof value === 'object' && value !== null && 'refused' in value
}

/** The refusal for a reason that says all there is to say. */
export function refusedFor<Reason extends string>(reason: Reason): Refused<Reason> {
  return { refused: true, reason }
}
