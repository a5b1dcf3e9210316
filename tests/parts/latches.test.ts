/**
 * Latches by combinational feedback, in the complex mode of a 16V8. What ternary simulation says of them is known from
 * Eichelberger (IBM J. Res. Dev. 9(2), 1965): a level that a changing input could upset on the way is unknown (X).
 */
import { expect, test } from 'vitest'
import { verify, writeFuseFile, fuseMapFrom } from '../../src/index'
import type { DesignOutput, Term } from './design'
import { encode } from './encoder'
import { probe, type Conditions } from './probe'

const D = 2
const C = 3
const Q = 18

function latch(...terms: readonly Term[]): Uint8Array {
  return complexMap({ pin: Q, kind: 'combinational', activeHigh: true, enable: 'always', terms })
}

function complexMap(...outputs: readonly DesignOutput[]): Uint8Array {
  return encode({ part: '16V8', mode: 'complex', outputs })
}

const at = (d: number, c: number): Conditions => ({ [D]: String(d), [C]: String(c), [Q]: '?' })

/** Q⁺ = DC ∨ ¬CQ, and the same with the consensus term DQ. */
const PLAIN: readonly Term[] = [
  [D, C],
  [-C, Q],
]
const COVERED: readonly Term[] = [...PLAIN, [D, Q]]

test('gated latch Q⁺ = DC ∨ ¬CQ, C 1 → 0 with D = Q = 1: the bit may be lost', () => {
  // While C changes (½): max(min(1, ½), min(1 − ½, 1)) = ½, so Q becomes ½; with C at 0, max(0, min(1, ½)) = ½ stays.
  expect(probe(latch(...PLAIN), [at(1, 1), at(1, 0)])).toEqual(['1', 'X'])
})

test('with the term DQ the bit is kept', () => {
  // max(½, ½, min(1, 1)) = 1 while C changes.
  expect(probe(latch(...COVERED), [at(1, 1), at(1, 0), at(0, 0), at(1, 0), at(0, 1), at(0, 0), at(1, 0)])).toEqual([
    '1',
    '1',
    '1',
    '1',
    '0',
    '0',
    '0',
  ])
})

test('D = Q = 0 is kept by both, for no term can become 1', () => {
  for (const terms of [PLAIN, COVERED])
    expect(probe(latch(...terms), [at(0, 1), at(0, 0), at(1, 0)])).toEqual(['0', '0', '0'])
})

test('D and C falling together: every order counts', () => {
  // D first would store 0, C first would keep 1: max(min(½, ½), min(½, 1), min(½, 1)) = ½.
  expect(probe(latch(...COVERED), [at(1, 1), at(0, 0)])).toEqual(['1', 'X'])
})

test('a latch that nothing has set is unknown, and known once it is set', () => {
  expect(probe(latch(...COVERED), [at(1, 0), at(1, 1), at(1, 0)])).toEqual(['X', '1', '1'])
})

const S = 2
const R = 3
const QN = 17
/** Active low: the pin is the complement of the OR of its terms, which is a NOR of pins. */
const NOR_LATCH = complexMap(
  { pin: Q, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[R], [QN]] },
  { pin: QN, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[S], [Q]] },
)
/** Levels are read in the order of pins: ¬Q at 17, then Q at 18. */
const set = (s: number, r: number): Conditions => ({ [S]: String(s), [R]: String(r), [QN]: '?', [Q]: '?' })

test('cross-coupled NORs, S = R 1 → 0 together: both unknown', () => {
  // With S and R at ½ both outputs go from 0 to 1 − max(½, 0) = ½, and with both at 0 each is 1 − max(0, ½) = ½.
  expect(probe(NOR_LATCH, [set(1, 1), set(0, 0)])).toEqual(['00', 'XX'])
})

test('cross-coupled NORs one after the other: set, kept, reset, kept, and set again out of the unknown', () => {
  expect(probe(NOR_LATCH, [set(1, 0), set(0, 0), set(0, 1), set(0, 0)])).toEqual(['01', '01', '10', '10'])
  expect(probe(NOR_LATCH, [set(1, 1), set(0, 1), set(0, 0)])).toEqual(['00', '10', '10'])
  expect(probe(NOR_LATCH, [set(1, 1), set(0, 0), set(1, 0), set(0, 0)])).toEqual(['00', 'XX', '01', '01'])
})

test('a vector that expects a level of such a loop is undetermined, not failed, and the loop is named', () => {
  // Pins 1 to 20: D 1 and C 1, then C 0, pin 18 expected H.
  const vectors = ['N11NNNNNNNNNNNNNNHNN', 'N10NNNNNNNNNNNNNNHNN'].map((conditions, i) => ({
    number: i + 1,
    conditions,
    offset: null,
  }))
  const report = verify(writeFuseFile({ fuses: fuseMapFrom(latch(...PLAIN).join('')), vectors }), { device: '16V8' })
  expect(report.testVectors).toMatchObject({ count: 2, passed: 1, failed: 0, undetermined: 1 })
  const finding = report.findings.find(({ code }) => code === 'vector/undetermined')
  expect(finding).toMatchObject({ severity: 'warning', vector: 2, pin: Q })
  expect(finding!.message).toContain('the state of a loop through pin 18')
})

test('an output that inverts itself has no level', () => {
  // Q⁺ = ¬Q has no solution in 0 and 1, and ½ = 1 − ½ is the only one of the algebra.
  expect(probe(latch([-Q]), [{ [Q]: '?' }])).toEqual(['X'])
})
