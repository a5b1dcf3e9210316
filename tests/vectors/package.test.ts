/** Vectors over the contacts of another package than the DIP one. */
import { expect, test } from 'vitest'
import { findDevice } from '../../src/index'
import type { VectorSet } from '../../src/jobs/vectors/run-vectors'
import { placeOnPackage } from '../../src/jobs/vectors/vector-set'

const DEVICE = findDevice('22V10')!
/** GAL22V10 data sheet, pin drawings: of the 28 contacts of the PLCC 1, 8, 15 and 22 are not connected. */
const PINS_OF_CONTACTS = [
  ...[0, 1, 2, 3, 4, 5, 6, 0, 7, 8, 9, 10, 11, 12],
  ...[0, 13, 14, 15, 16, 17, 18, 0, 19, 20, 21, 22, 23, 24],
]

const setOf = (conditions: readonly (string | null)[], pinOrder: VectorSet['pinOrder'] = null): VectorSet => ({
  vectors: conditions.map((each, i) => ({ number: i + 1, conditions: each, offset: null })),
  pinOrder,
  defaultCondition: null,
})

test('as wide as the DIP package a set stays as it is', () => {
  for (const set of [setOf([]), setOf([null]), setOf(['N'.repeat(24)]), setOf([null, 'N'.repeat(24)])])
    expect(placeOnPackage(set, DEVICE)).toBe(set)
})

test('as wide as another package its places lead from contacts to pins, in the order that the set names', () => {
  const wide = ['N'.repeat(28)]
  expect(placeOnPackage(setOf(wide), DEVICE)).toEqual(setOf(wide, PINS_OF_CONTACTS))
  expect(placeOnPackage(setOf([null, ...wide]), DEVICE)!.pinOrder).toEqual(PINS_OF_CONTACTS)
  const backwards = Array.from({ length: 28 }, (_, i) => 28 - i)
  expect(placeOnPackage(setOf(wide, backwards), DEVICE)!.pinOrder).toEqual([...PINS_OF_CONTACTS].reverse())
})

test('of another width it fits no package', () => {
  for (const width of [1, 20, 23, 25, 27, 29])
    expect(placeOnPackage(setOf(['N'.repeat(width)]), DEVICE)).toBeNull()
})
