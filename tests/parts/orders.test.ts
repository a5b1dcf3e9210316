/**
 * Several inputs and the clock change in one vector, in no particular order: what the library says of every registered
 * output must be the level that all orders of single changes lead to, by straight evaluation, or unknown where they
 * lead to different ones. Designs without a reset row; each change by itself has a known outcome.
 */
import { expect, test } from 'vitest'
import { runVectors, STRICT } from '../../src/jobs/vectors/run-vectors'
import { sampleSize } from '../sample-size'
import type { Design } from './design'
import { encode, TABLES, type PartTable } from './encoder'
import { decodeStates } from './probe'
import { pinsRead, randomDesign, seededRandom, shuffled, type Random } from './random-designs'
import { next, start, type Levels, type Step } from './straight'

const DESIGNS = sampleSize(3, 24)
const ROUNDS = 6

function permutations<T>(items: readonly T[]): T[][] {
  return items.length === 0
    ? [[]]
    : items.flatMap((item) => permutations(items.filter((other) => other !== item)).map((rest) => [item, ...rest]))
}

interface Change {
  readonly before: Levels
  readonly after: Levels
  readonly pins: readonly number[]
}

/** The clock rises together with one to three of the inputs that the design reads. */
function randomChange(table: PartTable, design: Design, random: Random): Change {
  const before = new Map(Array.from({ length: table.pinCount }, (_, i) => [i + 1, random(2) === 1] as const)).set(
    table.clockPin!,
    false,
  )
  // Outputs are on, so that every register shows.
  const enable = table.kinds.registered!.enable
  if (typeof enable === 'object' && 'lowPin' in enable) before.set(enable.lowPin, false)
  const inputs = [...pinsRead(design)].filter(
    (pin) => pin !== table.clockPin && !table.cells.some((cell) => cell.pin === pin),
  )
  const pins = [table.clockPin!, ...shuffled(random, inputs).slice(0, 1 + random(3))]
  const after = new Map(before)
  for (const pin of pins) after.set(pin, !before.get(pin))
  return { before, after, pins }
}

/** A register shows while it drives; an output without one is given a level, which counts while it is off. */
function vectorOf(table: PartTable, design: Design, levels: Levels): string {
  const shown = new Set(design.outputs.filter(({ kind }) => kind === 'registered').map(({ pin }) => pin))
  return Array.from({ length: table.pinCount }, (_, i) =>
    table.supplyPins.includes(i + 1) ? 'N' : shown.has(i + 1) ? 'H' : levels.get(i + 1) ? '1' : '0',
  ).join('')
}

/** Levels of the registered outputs, in the order of pins, for each order of the changes. */
function outcomes(design: Design, from: Step, { before, pins }: Change): string[] {
  const shown = design.outputs
    .filter(({ kind }) => kind === 'registered')
    .map(({ pin }) => pin)
    .sort((a, b) => a - b)
  return permutations(pins).map((order) => {
    const levels = new Map(before)
    let step = from
    for (const pin of order) step = next(design, step, levels.set(pin, !levels.get(pin)))
    return shown.map((pin) => (step.levels.get(pin) ? '1' : '0')).join('')
  })
}

const tables = TABLES.filter(({ kinds, clockPin }) => kinds.registered && clockPin !== undefined)

test.each(tables.map((table) => [table.part, table] as const))(
  '%s: a level is known exactly where the order of changes does not matter',
  (_, table) => {
    const counts = { known: 0, open: 0 }
    for (let i = 0; i < DESIGNS; i++) {
      const seed = 30_000 + 100 * TABLES.indexOf(table) + i
      const random = seededRandom(seed)
      const { reset: _left, ...made } = randomDesign(table, random)
      // Registers that are always on, with sums that are not too often 1.
      const outputs = made.outputs.map((output) =>
        output.kind === 'registered' && table.kinds.registered!.enable === 'row'
          ? { ...output, enable: 'always' as const }
          : output,
      )
      const design: Design = {
        ...made,
        outputs: outputs.map((output) => ({ ...output, terms: output.terms.slice(0, 3) })),
      }
      const logic = decodeStates(encode(design), table.part).logic!
      for (let round = 0; round < ROUNDS; round++) {
        const change = randomChange(table, design, random)
        // A preload by the clock pin makes the registers known: those of a PAL have no published start.
        const loaded = new Map(
          design.outputs
            .filter(({ kind }) => kind === 'registered')
            .map(
              ({ pin, activeHigh }) =>
                [
                  pin,
                  change.before.get(pin) === (table.registers?.polarity === 'after' ? activeHigh : false),
                ] as const,
            ),
        )
        const preload = vectorOf(table, { ...design, outputs: [] }, change.before)
          .split('')
          .map((condition, index) => (index + 1 === table.clockPin ? 'P' : condition))
          .join('')
        const conditions = [preload, vectorOf(table, design, change.before), vectorOf(table, design, change.after)]
        const set = {
          vectors: conditions.map((text, index) => ({ number: index + 1, conditions: text, offset: null })),
          pinOrder: null,
          defaultCondition: null,
        }
        const found = runVectors(logic, set, STRICT)
          .results.at(-1)!
          .checks.map((check) => check.found)
        const all = outcomes(design, start(design, change.before, loaded), change)
        const expected = [...all[0]!].map((level, at) => (all.every((one) => one[at] === level) ? level : 'X'))
        expect(found, `seed ${seed}, round ${round}: ${conditions.join(' ')}`).toEqual(expected)
        counts.known += expected.filter((level) => level !== 'X').length
        counts.open += expected.filter((level) => level === 'X').length
      }
    }
    // Enough of both to tell a reading that is too sure from one that is too careful.
    expect(counts.known, JSON.stringify(counts)).toBeGreaterThan(DESIGNS * ROUNDS)
    expect(counts.open, JSON.stringify(counts)).toBeGreaterThan(DESIGNS)
  },
)
