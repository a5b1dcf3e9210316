/**
 * Every count and list of a grade against all assignments of the inputs of a small map without registers: a fault is
 * shown where a vector expects what the faulty map does not do, and can be shown where some assignment tells.
 */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import type { VectorSet } from '../../src/jobs/vectors/run-vectors'
import { grade, type Grade, type GradeOptions } from '../../src/vectors'
import { granted } from '../granted'
import { encode, tableOf } from '../parts/encoder'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { dataOf } from '../reference/behaviour'
import { machineFrom, type Machine } from '../reference/machine'

/** Ten inputs, eight outputs of two terms, always on; rows of twenty fuses, from pin 19 on (tables-pals.ts). */
const PART = { part: '10H8', mode: null } as const
const { columns, pinCount, cells } = tableOf(PART)

function levelsOf(mask: number): Uint8Array {
  const levels = new Uint8Array(pinCount + 1)
  columns.forEach((pin, i) => (levels[pin] = (mask >> i) & 1))
  return levels
}
const ALL = Array.from({ length: 1 << columns.length }, (_, mask) => levelsOf(mask))

/** H or L of each pin with a cell. */
function shownAt({ cells: all }: Machine, levels: Uint8Array): Map<number, string> {
  return new Map(all.map((cell) => [cell.pin, dataOf(cell, levels, levels) ? 'H' : 'L']))
}

const design = randomDesign(tableOf(PART), seededRandom(9203))
const states = encode({ ...design, outputs: design.outputs.slice(0, 3) })
const own = machineFrom(PART.part, states)
const pins = cells.map(({ pin }) => pin)

/** The pin of output `i` of a vector expects what it does, where `judged` says so, else nothing. */
function vectorAt(mask: number, judged: readonly number[]): string {
  const levels = levelsOf(mask)
  const shown = shownAt(own, levels)
  return Array.from({ length: pinCount }, (_, i) => {
    const pin = i + 1
    if (columns.includes(pin)) return String(levels[pin])
    return judged.includes(pin) ? shown.get(pin)! : 'N'
  }).join('')
}

const bytesOf = (vectors: readonly string[]): Uint8Array =>
  writeFuseFile({
    fuses: fuseMapFrom(states.join('')),
    vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
  })

/** Fuse by fuse: the first vector that shows its fault (from 1; 0: none does), and whether some assignment would. */
function expectedOf(vectors: readonly string[]) {
  return Array.from(states, (state, fuse) => {
    const other = states.slice()
    other[fuse] = 1 - state
    const faulty = machineFrom(PART.part, other)
    const row = Math.floor(fuse / 20)
    const pin = pins[Math.floor(row / 2)]!
    const cell = (machine: Machine) => machine.cells.find((each) => each.pin === pin)!
    const canBeShown = ALL.some((levels) => dataOf(cell(own), levels, levels) !== dataOf(cell(faulty), levels, levels))
    const vector = !canBeShown ? 0 : 1 + vectors.findIndex((conditions) => {
      const levels = levelsOf(columns.reduce((mask, each, i) => mask | (Number(conditions[each - 1]) << i), 0))
      const shown = shownAt(faulty, levels)
      return pins.some((each) => 'HL'.includes(conditions[each - 1]!) && shown.get(each) !== conditions[each - 1])
    })
    return { fuse, row, pin, vector, canBeShown }
  })
}

function expectedGrade(vectors: readonly string[]): Partial<Grade> {
  const all = expectedOf(vectors)
  const missed = all.filter(({ vector, canBeShown }) => canBeShown && vector === 0)
  const counts = {
    total: states.length,
    shown: all.filter(({ vector }) => vector > 0).length,
    cannotBeShown: all.filter(({ canBeShown }) => !canBeShown).length,
    missed: missed.length,
    undecided: 0,
  }
  const none = { total: 0, shown: 0, cannotBeShown: 0, missed: 0, undecided: 0 }
  const first = new Set(all.map(({ vector }) => vector))
  return {
    vectors: vectors.length,
    faults: { ...counts, byClass: { array: counts, polarity: none, configuration: none } },
    missed: missed.map(({ fuse, row, pin }) => ({ fuse, class: 'array', row, pin })),
    idleVectors: vectors.map((_, i) => i + 1).filter((number) => !first.has(number)),
    unjudgedOutputs: [...pins]
      .sort((a, b) => a - b)
      .filter((pin) => !vectors.some((conditions) => 'HL'.includes(conditions[pin - 1]!))),
  }
}

const graded = (bytes: Uint8Array, options: GradeOptions = {}): Grade =>
  granted(grade(bytes, { device: PART.part, ...options }))

const random = seededRandom(31)
const SETS: Readonly<Record<string, readonly string[]>> = {
  'no vector': [],
  'one vector': [vectorAt(33, pins)],
  'vectors that judge two outputs': Array.from({ length: 6 }, () => vectorAt(random(1024), pins.slice(0, 2))),
  'the first of them judges nothing': [
    vectorAt(5, []),
    ...Array.from({ length: 12 }, () => vectorAt(random(1024), pins)),
  ],
}

test.each(Object.entries(SETS))('%s: counts, missed faults, idle vectors, outputs not judged', (_, vectors) => {
  expect(graded(bytesOf(vectors))).toMatchObject(expectedGrade(vectors))
})

describe('vectors that are given', () => {
  const vectors = SETS['vectors that judge two outputs']!
  const expected = expectedGrade(vectors)
  const setOf = (conditions: readonly (string | null)[], more: Partial<VectorSet> = {}): VectorSet => ({
    vectors: conditions.map((each, i) => ({ number: i + 1, conditions: each, offset: null })),
    pinOrder: null,
    defaultCondition: null,
    ...more,
  })
  const given = (set: VectorSet): Grade => graded(bytesOf([]), { vectors: set })

  test('count as if they were the file\'s own', () => {
    expect(given(setOf(vectors))).toMatchObject({ ...expected, findings: [] })
  })

  test('in another order of pins count at the pins that it names', () => {
    const pinOrder = Array.from({ length: pinCount }, (_, i) => pinCount - i)
    const turned = vectors.map((each) => [...each].reverse().join(''))
    expect(given(setOf(turned, { pinOrder }))).toMatchObject({ ...expected, findings: [] })
  })

  test('that the map fails at a pin expect nothing there, and are told', () => {
    const pin = pins[0]!
    const at = (sign: (own: string) => string): string[] =>
      vectors.map((each, i) => (i % 2 ? each.slice(0, pin - 1) + sign(each[pin - 1]!) + each.slice(pin) : each))
    const failing = at((sign) => (sign === 'H' ? 'L' : 'H'))
    const without = expectedGrade(at(() => 'N'))
    const data = { code: 'grade/vectors-fail', data: { count: 3, number: 2 } }
    for (const pinOrder of [null, Array.from({ length: pinCount }, (_, i) => pinCount - i)]) {
      const set = setOf(pinOrder ? failing.map((each) => [...each].reverse().join('')) : failing, { pinOrder })
      expect(given(set)).toMatchObject({ ...without, findings: [data] })
    }
  })

  test('with one that says nothing count without it', () => {
    const set = setOf([vectors[0]!, null, ...vectors.slice(1)])
    const { idleVectors, vectors: count, faults } = given(set)
    expect({ count, faults }).toEqual({ count: vectors.length, faults: expected.faults })
    expect(idleVectors).toEqual(expected.idleVectors!.map((number) => (number > 1 ? number + 1 : number)))
  })

  test('are none where every one says nothing', () => {
    const { faults } = expectedGrade([])
    expect(given(setOf([null]))).toMatchObject({ vectors: 0, faults, findings: [{ code: 'grade/no-vectors' }] })
  })

  test('list no more missed faults than asked for, and count all', () => {
    for (const maxMissed of [0, 1, 3])
      expect(graded(bytesOf(vectors), { maxMissed })).toMatchObject({
        ...expected,
        missed: expected.missed!.slice(0, maxMissed),
      })
  })
})
