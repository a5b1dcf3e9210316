/** Differences of two maps as vectors, run on machines that are read straight from the fuses. */
import { describe, expect, test } from 'vitest'
import { compare, fuseMapFrom, readFuseFile, writeFuseFile } from '../../src/index'
import { counterexampleVectors } from '../../src/vectors'
import { granted, refusal } from '../granted'
import { certainlyFails, runStraight } from '../grade/straight-grade'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode, TABLES } from '../parts/encoder'
import { randomDesign, seededRandom } from '../parts/random-designs'
import { machineFrom } from '../reference/machine'

const bytesOf = (states: Uint8Array): Uint8Array => writeFuseFile({ fuses: fuseMapFrom(states.join('')) })
const conditionsOf = (bytes: Uint8Array): string[] => readFuseFile(bytes).vectors.map((each) => each.conditions ?? '')

/** Registers of a 16R4 at pins 17 and 16 by their next states (of the complements), and a gate at 19. */
function design16R4(parts: { readonly gate: Term; readonly first: Term; readonly second: Term }): Uint8Array {
  const register = (pin: number, term: Term): DesignOutput => ({
    pin,
    kind: 'registered',
    activeHigh: false,
    enable: { lowPin: 11 },
    terms: [term],
  })
  const design: Design = {
    part: '16R4',
    mode: null,
    clockPin: 1,
    outputs: [
      { pin: 19, kind: 'combinational', activeHigh: false, enable: 'always', terms: [parts.gate] },
      register(17, parts.first),
      register(16, parts.second),
    ],
  }
  return encode(design)
}

const PLAIN = { gate: [2, 3], first: [4], second: [17, 5] }

describe('a part with registers', () => {
  const intended = bytesOf(design16R4(PLAIN))

  test('a gate beside registers is shown by levels alone', () => {
    const other = bytesOf(design16R4({ ...PLAIN, gate: [2] }))
    const shown = granted(counterexampleVectors(intended, other, { device: '16R4' }))
    expect(shown).toMatchObject({ count: 1, start: 'unknown', shown: [{ pin: 19, vector: 1 }], notShown: [] })
    // Pin 19 is ¬(2 ∧ 3), then ¬2: they differ where pin 2 is 1 and pin 3 is 0.
    expect(conditionsOf(shown.bytes)[0]).toMatch(/^010/)
    expect(conditionsOf(shown.bytes)[0]![18]).toBe('H')
  })

  test('what needs a state is shown by a sequence from unknown registers', () => {
    // Pin 16 takes ¬(17 ∧ 5) or ¬17: seen with 17 high and 5 low, for which 17 must be brought high first.
    const other = design16R4({ ...PLAIN, gate: [2], second: [17] })
    const shown = granted(counterexampleVectors(intended, bytesOf(other), { device: '16R4' }))
    expect(shown.start).toBe('unknown')
    expect(shown.shown.map(({ pin }) => pin)).toEqual([16, 19])
    const vectors = conditionsOf(shown.bytes)
    expect(shown.count).toBe(vectors.length)
    expect(vectors.length).toBeGreaterThan(1)
    expect(certainlyFails(runStraight(machineFrom('16R4', design16R4(PLAIN)), vectors, 'unknown'), vectors)).toBe(false)
    expect(certainlyFails(runStraight(machineFrom('16R4', other), vectors, 'unknown'), vectors)).toBe(true)
  })

  test('a difference in a register that nothing makes known is not found', () => {
    // Pin 17 takes its complement, always; or holds.
    const [toggles, holds] = [[17], [-17]].map((first) => bytesOf(design16R4({ ...PLAIN, first, second: [5] })))
    const found = counterexampleVectors(toggles!, holds!, { device: '16R4', start: 'unknown' })
    expect(refusal(found).reason).toBe('not-found')
  })
})

test('equal maps, parts that differ', () => {
  const [plain, twice] = [design16R4(PLAIN), design16R4(PLAIN)]
  const map = bytesOf(plain)
  expect(refusal(counterexampleVectors(map, bytesOf(twice), { device: '16R4' })).reason).toBe('equal')
  const none = 'no fuses here'
  for (const [first, second] of [[map, none], [none, map]] as const)
    expect(refusal(counterexampleVectors(first, second, { device: '16R4' })).reason).toBe('no-logic')
  // 2,048 fuses are of four parts: without a choice none is certain.
  expect(refusal(counterexampleVectors(map, map)).reason).toBe('no-logic')
})

/** Null where the sheet leaves the configuration open. */
function machineOf(part: string, map: Uint8Array): ReturnType<typeof machineFrom> | null {
  try {
    return machineFrom(part, map)
  } catch {
    return null
  }
}

const PARTS: readonly (readonly [string, string | null])[] = [
  ['10H8', null],
  ['14L4', null],
  ['16V8', 'simple'],
  ['16V8', 'registered'],
]

describe.each(PARTS.flatMap(([part, mode]) => [1, 2].map((seed) => ({ part, mode, seed }))))(
  '$part $mode, seed $seed',
  ({ part, mode, seed }) => {
    const table = TABLES.find((one) => one.part === part && one.mode === mode)!
    const random = seededRandom(4200 + seed)
    const states = encode(randomDesign(table, random))

    test('fuses changed one at a time', () => {
      let found = 0
      for (let tries = 0; tries < 12; tries++) {
        const fuse = random(table.fuseCount)
        const other = states.map((state, i) => (i === fuse ? 1 - state : state))
        const [a, b] = [bytesOf(states), bytesOf(other)]
        const { relation } = compare(a, b, { device: part })
        const made = counterexampleVectors(a, b, { device: part })
        if ('refused' in made) {
          if (made.reason === 'equal') expect(['identical', 'equivalent']).toContain(relation)
          continue
        }
        expect(relation).not.toBe('equivalent')
        const vectors = conditionsOf(made.bytes)
        expect(vectors.join('')).toMatch(/^[01CKNXHLZ]*$/)
        expect(readFuseFile(made.bytes).fuses).toEqual(readFuseFile(a).fuses)
        const failing = [states, other].map((map) => {
          const machine = machineOf(part, map)
          return machine && certainlyFails(runStraight(machine, vectors, made.start), vectors)
        })
        expect([false, null], `fuse ${fuse}`).toContain(failing[0])
        expect([true, null], `fuse ${fuse}`).toContain(failing[1])
        found += failing.includes(null) ? 0 : 1
      }
      expect(found).toBeGreaterThan(0)
    })
  },
)
