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

const FEW = 12

test('no fault that differs is said to do the same', () => {
  const found: Record<string, number> = {}
  const wrong: string[] = []
  for (let seed = 1; seed <= sampleSize(150, 6000); seed++) {
    const { machines: [machine] } = smallPair(seed)
    const map = smallMap(machine, { bury: seed % 2 === 0 })
    if (map.faults.length === 0) continue
    const random = seededRandom(seed)
    const tried = [...new Set(Array.from({ length: FEW }, () => pick(random, map.faults)))]
    for (const start of STARTS) {
      const prove = proverFor(map, start)
      for (const each of tried) {
        const state = prove(each.fault)
        const what = `${start} ${each.fault.literal === null ? 'map' : 'row'} ${state}`
        found[what] = (found[what] ?? 0) + 1
        if (state !== 'cannotBeShown') continue
        const from = relationByBruteForce(machine, each.machine, { start: start === 'unknown' ? 'any-state' : start })
        if (from.relation === 'different') wrong.push(`seed ${seed}, ${start}: ${each.change}`)
      }
    }
  }
  console.log(JSON.stringify(found))
  expect(wrong).toEqual([])
})
