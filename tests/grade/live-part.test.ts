/**
 * Parts that take vectors one at a time: on the fast evaluator, with the reference where that cannot follow, they stand
 * where a part on the reference alone stands. Small random logics (invented), one clock at pin 1.
 */
import { expect, test } from 'vitest'
import { FastPart, SlowPart } from '../../src/jobs/grade/live-part'
import { prepareFast } from '../../src/logic/fast-logic'
import { smallDesign } from '../logic/small-logics'
import { pick, seededRandom } from '../parts/random-designs'

const PINS = [1, 2, 3, 4, 5, 6, 7]

/** What is found at each pin after each of a dozen vectors, with the states. */
function followed(seed: number): { readonly fast: string[]; readonly slow: string[]; readonly refused: number } | null {
  const random = seededRandom(seed)
  const { rows, logicOf } = smallDesign(random)
  const logic = logicOf(rows)
  const prepared = prepareFast(logic)
  if (!prepared) return null
  const start = random(2) ? 'power-up' : 'unknown'
  const parts = [new FastPart(prepared, start, 'reference'), new SlowPart(logic, start)]
  const alone = new FastPart(prepared, start)
  let refused = 0
  const found = Array.from({ length: 12 }, () => {
    const conditions = ['', ...PINS.map((pin) => pick(random, pin < 5 ? [...'01CKX'] : [...'01NL'])), 'N']
    // A part without help stays where another one left it: only whether it follows counts.
    alone.mark()
    if (!alone.step(conditions)) refused++
    alone.back()
    return parts.map((part) => {
      expect(part.step(conditions)).toBe(true)
      return `${conditions.join('')} ${PINS.map((pin) => part.look(pin)).join(' ')} ${part.states().join('')}`
    })
  })
  return { fast: found.map(([fast]) => fast!), slow: found.map(([, slow]) => slow!), refused }
}

test('a part that is helped stands where the reference stands, after several pulses and unknown clocks too', () => {
  let refused = 0
  let tried = 0
  for (let seed = 1; seed <= 60; seed++) {
    const both = followed(seed)
    if (!both) continue
    expect(both.fast, `seed ${seed}`).toEqual(both.slow)
    refused += both.refused
    tried++
  }
  expect([tried > 40, refused > 100]).toEqual([true, true])
})

test('a part that is not helped says where it cannot follow', () => {
  const { rows, logicOf } = smallDesign(seededRandom(1))
  const part = new FastPart(prepareFast(logicOf(rows))!, 'unknown')
  const vector = (clock: string, other: string): string[] => ['', clock, other, ...'00NNNN']
  expect(part.step(vector('C', '0'))).toBe(true)
  expect(part.step(vector('C', 'C'))).toBe(false)
})
