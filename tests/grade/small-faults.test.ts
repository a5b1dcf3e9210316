/**
 * Faults of small machines (invented) that grading proves to do the same, against the search of tests/reference through
 * every state and every change of levels, which shares nothing with the code under test.
 */
import { expect, test } from 'vitest'
import { createFuseMap } from '../../src/index'
import { proverOf } from '../../src/jobs/grade/grade'
import { otherMap } from '../../src/jobs/grade/faults'
import type { FaultRuns } from '../../src/jobs/grade/fault-runs'
import { STRICT } from '../../src/jobs/vectors/run-vectors'
import { pick, seededRandom } from '../parts/random-designs'
import type { Cell, Machine, Term } from '../reference/machine'
import { relationByBruteForce } from '../reference/relation'
import { restAlike } from '../reference/rest'
import { smallMap, type SmallMap } from '../reference/small-faults'
import { logicOf, smallPair } from '../reference/small-machines'
import { sampleSize } from '../sample-size'

const STARTS = ['unknown', 'power-up'] as const

/** What is proved of faults that no vector shows. */
function proverFor({ logic, literals }: SmallMap, start: (typeof STARTS)[number]): ReturnType<typeof proverOf> {
  const runs = {
    decoded: { logic },
    fuses: createFuseMap(1),
    literals,
    reading: { ...STRICT, registers: start },
  } as unknown as FaultRuns
  return proverOf(runs, 100_000)
}

/** A term in signs: `p` reads a pin and `q` a register, ¬ before either. */
function term(text: string): Term {
  return text.split(' ').map((word) => {
    const at = word.replace('¬', '')
    return { tap: at.startsWith('q') ? 'register' : 'pin', pin: Number(at.slice(1)), level: word === at ? 1 : 0 }
  })
}

/** A machine of registers that pin 1 clocks. */
function machineOf(...cells: readonly Partial<Cell>[]): Machine {
  const plain = { registered: true, terms: [], otherTerms: [], invertData: false, invertPin: false, enable: [[]] }
  const controls = { clock: term('p1'), reset: null, preset: null, clockedPreset: null, bypass: false }
  return {
    ...{ part: 'small', pinCount: 9, clockPin: 1, loadPin: null, startIsPublished: true },
    cells: cells.map((cell, i) => ({ ...plain, ...controls, pin: 5 + i, ...cell })),
  }
}

test('an enable and data that change together, the one where the map never is', () => {
  // q5 stays at 0 from power-up on, where both enables are 1; with pin 2 at 1 the other map takes 1, and is off then.
  const map = machineOf({})
  const other = machineOf({ terms: [term('p2')], enable: [term('¬q5')] })
  expect(relationByBruteForce(map, other, { start: 'power-up' }).relation).toBe('different')
  const fault = otherMap(0, logicOf(other, new Set()))
  expect(proverFor(smallMap(map, { bury: false }), 'power-up')(fault)).not.toBe('cannotBeShown')
})

/** How many faults of a map are tried from power-up, and how many from any state, which takes longer. */
const FEW = { 'power-up': 12, unknown: 4 } as const

/** The seeds of several tests of some half a second each: what finds changes of the sources tries short tests alone. */
function inParts(seeds: number, parts: number): (readonly [first: number, last: number])[] {
  const ends = Array.from({ length: parts + 1 }, (_, i) => Math.floor((i * seeds) / parts))
  return ends.slice(1).map((last, i) => [ends[i]! + 1, last] as const)
}

test.each(inParts(sampleSize(120, 6000), 6))(
  'no fault that differs is said to do the same, seeds %i to %i',
  (first, last) => {
    const found = { cannotBeShown: 0, shown: 0, missed: 0, undecided: 0 }
    const wrong: string[] = []
    for (let seed = first; seed <= last; seed++) {
      const [machine] = smallPair(seed).machines
      const map = smallMap(machine, { bury: seed % 2 === 0 })
      if (map.faults.length === 0) continue
      const random = seededRandom(seed)
      // What is met from power-up is known only where a pin of the part clocks.
      for (const start of machine.clockPin === null ? (['unknown'] as const) : STARTS) {
        const prove = proverFor(map, start)
        for (let i = 0; i < FEW[start]; i++) {
          const each = pick(random, map.faults)
          const state = prove(each.fault)
          found[state]++
          if (state !== 'cannotBeShown') continue
          const from = relationByBruteForce(machine, each.machine, { start: start === 'unknown' ? 'any-state' : start })
          if (from.relation === 'different') wrong.push(`seed ${seed}, ${start}: ${each.change}`)
        }
      }
    }
    expect(wrong).toEqual([])
    expect(Math.min(found.cannotBeShown, found.missed), JSON.stringify(found)).toBeGreaterThan(25)
  },
)

test.each(inParts(sampleSize(60, 2000), 4))(
  'no fault that makes a loop with levels of its own is said to do the same, seeds %i to %i',
  (first, last) => {
    let proved = 0
    const wrong: string[] = []
    for (let seed = first; seed <= last; seed++) {
      const [machine] = smallPair(seed).machines
      const map = smallMap(machine, { bury: false })
      const prove = proverFor(map, 'unknown')
      for (const { fault, machine: faulty, change } of map.loops) {
        if (prove(fault) !== 'cannotBeShown') continue
        proved++
        if (!restAlike(machine, faulty)) wrong.push(`seed ${seed}: ${change}`)
      }
    }
    expect(wrong).toEqual([])
    expect(proved).toBeGreaterThan(10)
  },
)
