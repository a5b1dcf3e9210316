/**
 * Levels that are certain although they hang on an unknown pin: both of its levels are tried, with what is known left
 * as it is. A 16V8, its fuses by tests/vectors/maps.ts. Arithmetic shown.
 */
import { expect, test } from 'vitest'
import { findDevice } from '../../src/devices/catalogue'
import { decode } from '../../src/devices/decode'
import { fuseMapFrom } from '../../src/index'
import { runVectors, STRICT } from '../../src/jobs/vectors/run-vectors'
import { driven, joined, mapOf, register } from '../vectors/maps'
import { letters, story } from '../vectors/outcomes'

/** Pin 19 takes pin 2 at the clock; 18 = 19 ∧ 3 ∨ 19 ∧ ¬3 = 19, 16 = ¬19 likewise, and 17 = 19 ∨ 3 ∧ 4. */
const map = mapOf('registered', {
  19: register([2]),
  18: driven([19, 3], [19, -3]),
  17: driven([19], [3, 4]),
  16: driven([-19, 3], [-19, -3]),
})
const { logic } = decode(findDevice('16V8')!, fuseMapFrom(map))

test.each([true, false])('a known register counts beside an unknown pin (reference alone: %s)', (reference) => {
  const found = (vectors: readonly string[]) => {
    const numbered = vectors.map((conditions, i) => ({ number: i + 1, conditions: joined(conditions), offset: null }))
    return runVectors(logic!, { vectors: numbered, pinOrder: null, defaultCondition: null }, STRICT, { reference })
  }
  // Groups: pin 1, pins 2 to 9, 10, 11, pins 12 to 19, 20.
  const high = found(['C 10000000 N 0 NNNNNNNH N', '0 1X000000 N 0 NNNNLHHH N'])
  expect(letters(high)).toBe('pp')
  // With 19 low, 18 is low and 16 high; 17 is low with pin 4 low, and open with it high.
  const low = found(['C 00000000 N 0 NNNNNNNL N', '0 0X000000 N 0 NNNNHLLL N', '0 0X100000 N 0 NNNNNLLL N'])
  expect(letters(low)).toBe('ppu')
  expect(story(low).at(-3)).toBe('V3 pin 17 expects L, finds X: undetermined')
})
