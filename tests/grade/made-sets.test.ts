/**
 * Sets made for small maps without registers and loops, against all assignments of their inputs: every fault that some
 * assignment shows is shown, and no smaller set does it.
 */
import { expect, test } from 'vitest'
import { fuseMapFrom, readFuseFile, writeFuseFile } from '../../src/index'
import { exercise } from '../../src/vectors'
import { granted } from '../granted'
import { encode, tableOf } from '../parts/encoder'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { dataOf } from '../reference/behaviour'
import { leastSet } from '../reference/least-set'
import { machineFrom } from '../reference/machine'

/** Ten inputs, eight outputs of two terms that are always on (tables-pals.ts). */
const PART = { part: '10H8', mode: null } as const
const { columns, pinCount } = tableOf(PART)
const ASSIGNMENTS = Array.from({ length: 1 << columns.length }, (_, mask) => {
  const levels = new Uint8Array(pinCount + 1)
  columns.forEach((pin, i) => (levels[pin] = (mask >> i) & 1))
  return levels
})

/** Output by output the assignments under which it is 1, a bit each. */
function outputs(states: Uint8Array, pins: readonly number[]): bigint[] {
  return machineFrom(PART.part, states)
    .cells.filter(({ pin }) => pins.includes(pin))
    .map((cell) => BigInt(`0b${ASSIGNMENTS.map((levels) => Number(dataOf(cell, levels, levels))).join('')}`))
}

/** For each assignment the faults that it shows, a bit each, and how many faults there are that some of them shows. */
function shownBy(states: Uint8Array, pins: readonly number[]): { byAssignment: bigint[]; count: number } {
  const own = outputs(states, pins)
  const byAssignment = ASSIGNMENTS.map(() => 0n)
  let count = 0
  for (let fuse = 0; fuse < states.length; fuse++) {
    const other = states.slice()
    other[fuse] = 1 - states[fuse]!
    const differing = outputs(other, pins).reduce((all, bits, i) => all | (bits ^ own[i]!), 0n)
    if (differing === 0n) continue
    const signs = differing.toString(2).padStart(ASSIGNMENTS.length, '0')
    for (const [i, sign] of [...signs].entries()) if (sign === '1') byAssignment[i]! |= 1n << BigInt(count)
    count++
  }
  return { byAssignment, count }
}

/** Seed, vectors more than the fewest, and how far the bound stays below these. */
const SEEDS = [
  [2, 0, 0],
  [3, 0, 0],
  [10, 0, 0],
  [11, 0, 0],
  // Some faults show under a common assignment pair by pair, so that four vectors are proved and five needed.
  [7, 0, 1],
  // What is taken greedily has more.
  [1, 1, 0],
  [5, 2, 1],
] as const

test.each(SEEDS)('seed %i: the fewest vectors and %i more; the bound is %i below the fewest', (seed, more, below) => {
  const design = randomDesign(tableOf(PART), seededRandom(9200 + seed))
  const used = design.outputs.slice(0, 2)
  const states = encode({ ...design, outputs: used })
  const made = granted(exercise(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: PART.part }))
  const { byAssignment, count } = shownBy(states, used.map(({ pin }) => pin))
  const assigned = readFuseFile(made.bytes).vectors.map(({ conditions }) =>
    columns.reduce((mask, pin, i) => mask | (Number(conditions![pin - 1]) << i), 0),
  )
  expect(assigned.reduce((faults, mask) => faults | byAssignment[mask]!, 0n)).toBe((1n << BigInt(count)) - 1n)
  expect(made.faults).toMatchObject({ shown: count, missed: 0, undecided: 0 })
  const least = leastSet(byAssignment, count)
  expect(assigned.length).toBeLessThanOrEqual(least + more)
  expect(made.lowerBound).toBeLessThanOrEqual(least)
  expect(made.lowerBound).toBeGreaterThanOrEqual(least - below)
})

test('no more vectors are made than the caller allows', () => {
  const design = randomDesign(tableOf(PART), seededRandom(9203))
  const states = encode({ ...design, outputs: design.outputs.slice(0, 2) })
  const bytes = writeFuseFile({ fuses: fuseMapFrom(states.join('')) })
  // Seven are the fewest, see seed 3 above.
  for (const maxVectors of [1, 6, 7, 8])
    expect(granted(exercise(bytes, { device: PART.part, maxVectors })).vectors).toBe(Math.min(maxVectors, 7))
})
