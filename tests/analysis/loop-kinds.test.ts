/**
 * Kinds of feedback against the graph of all its states: for every input, every level at the pins of the circles, and
 * every single pin that may switch next. Nothing here of the library but the answer.
 */
import { expect, test } from 'vitest'
import { findDevice, fuseMapFrom } from '../../src/index'
import { analyse, decode, type Loop } from '../../src/logic'
import type { Design, DesignOutput, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { circlePins, enableOf, valueOf, type Level } from './ternary-reference'
import { granted } from '../granted'
import { sampleSize } from '../sample-size'

const INPUTS = [2, 3, 4]

/** Random outputs (invented) that read one another and themselves. */
function network(random: Random, part: string): Design {
  const outputPins = (part === '22V10' ? [23, 22, 21, 20] : [18, 17, 16, 15]).slice(0, 2 + random(3))
  const readable = [...INPUTS, ...outputPins]
  const term = (): Term => {
    const pins = readable.filter(() => random(5) < 2)
    return pins.length ? pins.map((each) => (random(2) ? each : -each)) : [pick(random, readable)]
  }
  const outputs = outputPins.map((pin): DesignOutput => ({
    pin,
    kind: 'combinational',
    activeHigh: part !== '16L8' && random(2) === 1,
    enable: random(5) ? 'always' : { term: term() },
    terms: Array.from({ length: 1 + random(3) }, term),
  }))
  return { part, mode: part === '16V8' ? 'complex' : null, outputs }
}

/** For one input: where each state (a word of pins) leads when one pin switches. */
interface Graph {
  readonly next: readonly (readonly number[])[]
  readonly pins: readonly number[]
}

/** Graphs over all output pins, for every level applied. */
function graphsOf(design: Design): Graph[] {
  const pins = design.outputs.map(({ pin }) => pin)
  const free = [...INPUTS, ...design.outputs.filter(({ enable }) => enable !== 'always').map(({ pin }) => pin)]
  return Array.from({ length: 2 ** free.length }, (_, word) => {
    const applied = (pin: number): Level => ((word >> free.indexOf(pin)) & 1) as Level
    const next = Array.from({ length: 2 ** pins.length }, (__, state) => {
      const levels = new Map<number, Level>([
        ...INPUTS.map((pin): [number, Level] => [pin, applied(pin)]),
        ...pins.map((pin, i): [number, Level] => [pin, ((state >> i) & 1) as Level]),
      ])
      return design.outputs.flatMap((output, i) => {
        const given = enableOf(output, levels) ? valueOf(output, levels) : applied(output.pin)
        return given === levels.get(output.pin) ? [] : [state ^ (1 << i)]
      })
    })
    return { next, pins }
  })
}

/** Groups of states that reach one another, those of a single state left out. */
function rounds({ next }: Graph): number[][] {
  const reach = next.map((to) => new Set(to))
  for (let grown = true; grown;) {
    grown = false
    for (const set of reach)
      for (const via of [...set])
        for (const state of reach[via]!)
          if (!set.has(state)) {
            set.add(state)
            grown = true
          }
  }
  return reach.flatMap((set, state) => {
    const group = [...set].filter((other) => reach[other]!.has(state))
    return set.has(state) && Math.min(...group) === state ? [group] : []
  })
}

/**
 * True where states can be gone around for good: no pin is about to switch in all of them and never does, as one with
 * an end to its delay cannot (J. A. Brzozowski, C.-J. H. Seger, "Asynchronous Circuits", 1995: a nontransient cycle).
 */
function lasts({ next, pins }: Graph, group: readonly number[]): boolean {
  return pins.every((_, i) => {
    const waits = group.every(
      (state) => ((state ^ group[0]!) & (1 << i)) === 0 && next[state]!.includes(state ^ (1 << i)),
    )
    return !waits
  })
}

test.each(['16V8', '22V10', '16L8'])('%s', (part) => {
  const seen = { none: 0, latch: 0, oscillator: 0 }
  for (let seed = 9500; seed < 9500 + sampleSize(150, 300); seed++) {
    const design = network(seededRandom(seed), part)
    const cut = circlePins(design)
    if (cut.length === 0) continue
    const { logic } = decode(findDevice(part)!, fuseMapFrom(encode(design).join('')))
    const kinds = granted(analyse(logic!)).loops.map(({ kind }: Loop) => kind)
    const graphs = graphsOf(design)
    const around = graphs.map((graph) => ({ graph, groups: rounds(graph) }))
    const name = `seed ${seed}, ${kinds.join(' ')}`
    for (const kind of kinds) seen[kind]++
    if (kinds.includes('oscillator'))
      expect(
        around.some(({ groups }) => groups.length > 0),
        name,
      ).toBe(true)
    else
      expect(
        around.some(({ graph, groups }) => groups.some((group) => lasts(graph, group))),
        name,
      ).toBe(false)
    if (kinds.includes('oscillator')) continue
    const rests = graphs.map(({ next }) => next.filter((to) => to.length === 0).length)
    expect(Math.min(...rests), name).toBeGreaterThan(0)
    expect(Math.max(...rests) > 1, `${name}, ${rests.join(' ')} at rest`).toBe(kinds.includes('latch'))
  }
  expect(Math.min(seen.none, seen.latch, seen.oscillator), JSON.stringify(seen)).toBeGreaterThan(10)
})
