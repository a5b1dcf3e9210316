/** One logic under random levels, on the fast evaluator and on the reference simulation, step by step. */
import { expect } from 'vitest'
import { addApplied, createApplied } from '../../src/logic/applied-words'
import type { FastLogic } from '../../src/logic/fast-logic'
import { FastSequence, STATE_WORDS } from '../../src/logic/fast-sequence'
import type { Logic } from '../../src/logic/logic'
import { applyLevels } from '../../src/logic/simulate'
import { levelAt, startSimulation, type Applied, type SimulationOptions } from '../../src/logic/simulation-state'
import { pick, type Random } from '../parts/random-designs'
import { same } from '../same'

/** Levels of pins 1 to 8: known ones mostly, or anything that can be applied; several at once, or one by one. */
export function randomLevels(random: Random, steps: number): Applied[][] {
  const kinds = pick(random, [
    [0, 1],
    [0, 1],
    [0, 1, 0, 1, 2],
    [0, 1, 2, 3, 4],
  ] as const)
  const most = random(3)
  let last: Applied[] = Array.from({ length: 9 }, () => pick(random, kinds))
  return Array.from({ length: steps }, (_, step) => {
    const next = [...last]
    // The clock goes up and down; now and then it is anything.
    next[1] = random(10) === 0 ? pick(random, kinds) : ((step % 2) as Applied)
    for (let n = random(most + 1); n > 0; n--) next[2 + random(7)] = pick(random, kinds)
    return (last = next)
  })
}

/** Compares pins, registers and levels read after each step; gives how many steps the fast evaluator took. */
export function compareSteps(
  { logic, fast }: { readonly logic: Logic; readonly fast: FastLogic },
  steps: readonly (readonly Applied[])[],
  options: Required<SimulationOptions>,
): number {
  const reference = startSimulation(logic, options)
  const sequence = new FastSequence(fast, options)
  const copy = new FastSequence(fast, options)
  sequence.load(reference)
  let taken = 0
  for (const [number, levels] of steps.entries()) {
    const words = createApplied()
    levels.forEach((level, pin) => pin > 0 && addApplied(words, pin, level))
    const [before, after] = [new Int32Array(STATE_WORDS + 1), new Int32Array(STATE_WORDS + 1)]
    sequence.trace()
    reference.recorder = { moments: [], metUnknown: false }
    sequence.saveState(before, 1)
    // What was saved goes on elsewhere: nothing of a state is left out.
    copy.loadState(before, 1)
    const isTaken = copy.apply(words)
    same(sequence.apply(words), isTaken, `step ${number}`)
    applyLevels(reference, levels)
    if (!isTaken) {
      sequence.saveState(after, 1)
      expect(after).toEqual(before)
      sequence.load(reference)
    } else taken++
    const stored = startSimulation(logic, options)
    sequence.store(stored)
    const pins = [...levels.keys()].slice(1)
    // As one text each: there are some hundred thousand of them.
    const found = [stored.q, pins.map((pin) => [stored.readings[pin], stored.applied[pin], sequence.lookSurely(pin)])]
    const expected = pins.map((pin) => {
      const { level, enable } = levelAt(reference, pin)
      return [reference.readings[pin], levels[pin], level + 4 * enable]
    })
    same(JSON.stringify(found), JSON.stringify([reference.q, expected]), `step ${number}`)
    // Who changes terms must know where a moment is no answer by itself.
    if (isTaken && reference.recorder.metUnknown) same(sequence.metUnknown, true, `step ${number}`)
  }
  return taken
}
