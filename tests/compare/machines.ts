/**
 * Two registered designs walked through together by straight evaluation: every pair of states, every input, by brute
 * force.
 */
import type { Design } from '../parts/design'
import { next, powerUp, start, type Registers, type Settled } from '../parts/straight'
import { levelsOf } from './pairs'

/**
 * What a walk found: steps of a shortest way to a difference (null where there is none), and pairs of states visited.
 */
export interface Walked {
  readonly steps: number | null
  readonly states: number
}

type Pair = readonly [Registers, Registers]

const keyOf = (pair: Pair): string =>
  pair.map((registers) => [...registers].map(([, q]) => Number(q)).join('')).join(' ')

/** True where some output does different things on both sides. */
export function differs(a: Settled, b: Settled, pins: readonly number[]): boolean {
  return pins.some(
    (pin) =>
      a.driving.has(pin) !== b.driving.has(pin) || (a.driving.has(pin) && a.levels.get(pin) !== b.levels.get(pin)),
  )
}

export function outputPins(...designs: readonly Design[]): number[] {
  return [...new Set(designs.flatMap(({ outputs }) => outputs.map(({ pin }) => pin)))]
}

/** Both designs from the start of their registers, over all levels of `inputs`; pin 1 clocks. */
export function walk(
  a: Design,
  b: Design,
  { inputs, from = [powerUp(a), powerUp(b)] }: { readonly inputs: readonly number[]; readonly from?: Pair },
): Walked {
  const pins = outputPins(a, b)
  const seen = new Set([keyOf(from)])
  let level: Pair[] = [from]
  for (let steps = 1; level.length > 0; steps++) {
    const following: Pair[] = []
    for (const [first, second] of level)
      for (let row = 0; row < 2 ** inputs.length; row++) {
        const [low, high] = [levelsOf(inputs, row), levelsOf([1, ...inputs], 2 * row + 1)]
        const [one, other] = [start(a, low, first), start(b, low, second)]
        if (differs(one, other, pins) || differs(start(a, high, first), start(b, high, second), pins))
          return { steps, states: seen.size }
        const pair: Pair = [next(a, one, high).registers, next(b, other, high).registers]
        if (seen.has(keyOf(pair))) continue
        seen.add(keyOf(pair))
        following.push(pair)
      }
    level = following
  }
  return { steps: null, states: seen.size }
}

/** Whether a sequence of levels, pin 1 included, ends in a difference: a rise of pin 1 clocks, anything else settles. */
export function replays(a: Design, b: Design, sequence: readonly Readonly<Record<string, 0 | 1>>[]): boolean {
  let pair: Pair = [powerUp(a), powerUp(b)]
  let before: Map<number, boolean> | null = null
  let settled: readonly [Settled, Settled] | null = null
  for (const step of sequence) {
    const levels = levelsOf([], 0)
    for (const [pin, level] of Object.entries(step)) levels.set(Number(pin), level === 1)
    const rises: boolean = before !== null && before.get(1) === false && levels.get(1) === true
    const [one, other]: readonly Settled[] = rises
      ? [next(a, settled![0], levels), next(b, settled![1], levels)]
      : [start(a, levels, pair[0]), start(b, levels, pair[1])]
    pair = [one!.registers, other!.registers]
    settled = [one!, other!]
    before = levels
  }
  return settled !== null && differs(settled[0], settled[1], outputPins(a, b))
}
