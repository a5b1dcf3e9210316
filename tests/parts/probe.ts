/** Looks at single pins of a fuse map: conditions by pin in, levels found by the library's simulation out. */
import { runVectors, STRICT, type Reading } from '../../src/jobs/vectors/run-vectors'
import { findDevice, fuseMapFrom } from '../../src/index'
import { decode, type Decoded } from '../../src/logic'

/** Conditions by pin. `?` asks for the level that is found there; pins that are left out are not connected. */
export type Conditions = Readonly<Record<number, string>>

/** The map of fuse states decoded as a part. */
export function decodeStates(states: Uint8Array, part = '16V8'): Decoded {
  return decode(findDevice(part)!, fuseMapFrom(states.join('')))
}

/**
 * Runs vectors from the start and gives what is found at each `?`: `0`, `1`, `X` or `Z`, in one text a vector, pins
 * ascending.
 */
export function probe(
  states: Uint8Array,
  vectors: readonly Conditions[],
  { part = '16V8', ...reading }: Partial<Reading> & { readonly part?: string } = {},
): string[] {
  const { logic } = decodeStates(states, part)
  const set = {
    vectors: vectors.map((conditions, i) => ({
      number: i + 1,
      conditions: vectorText(conditions, logic!.pinCount),
      offset: null,
    })),
    pinOrder: null,
    defaultCondition: null,
  }
  return runVectors(logic!, set, { ...STRICT, ...reading }).results.map(({ checks }) =>
    checks.map(({ found }) => found).join(''),
  )
}

/**
 * One vector for so many pins. A level that is asked for is written as an expected H: what is found does not depend
 * on it.
 */
function vectorText(conditions: Conditions, pinCount: number): string {
  return Array.from({ length: pinCount }, (_, i) =>
    conditions[i + 1] === '?' ? 'H' : (conditions[i + 1] ?? 'N'),
  ).join('')
}
