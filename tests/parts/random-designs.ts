/** Seeded random designs for a part in a mode, and test vectors whose expected levels come from straight evaluation. */
import { allTerms, type Design, type DesignOutput, type Enable, type OutputKind, type Term } from './design'
import { kindsAt, termLimits, type PartTable } from './encoder'
import { next, start, type Levels, type Step } from './straight'

/** A source of whole numbers below `limit`. */
export type Random = (limit: number) => number

/** A 32-bit generator (an odd increment, then multiply and shift to mix it): the same numbers for the same seed. */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0
  return (limit) => {
    state = (state + 0x9e3779b9) >>> 0
    let mixed = Math.imul(state ^ (state >>> 16), 0x85ebca6b)
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35)
    return ((mixed ^ (mixed >>> 16)) >>> 0) % limit
  }
}

export function pick<T>(random: Random, items: readonly T[]): T {
  return items[random(items.length)]!
}

export function shuffled<T>(random: Random, items: readonly T[]): T[] {
  const left = [...items]
  return items.map(() => left.splice(random(left.length), 1)[0]!)
}

/**
 * A term of one to three literals over `pins`, or of `more` than that; now and then constant 1 or, by a pin and its
 * complement, constant 0.
 */
export function randomTerm(random: Random, pins: readonly number[], more = 0): Term {
  const chance = random(60)
  if (chance === 0) return []
  const chosen = shuffled(random, pins)
    .slice(0, 1 + more + random(3))
    .map((pin) => (random(2) ? pin : -pin))
  return chance === 1 ? [...chosen, -chosen[0]!] : chosen
}

/** The order in which outputs may read each other; without an order there would be loops, which have no known level. */
export interface Ranked {
  readonly pin: number
  readonly kind: OutputKind
  readonly rank: number
}

/** Pins that an output may read: no output that reads it in turn, unless a register stands between. */
export function readableBy(table: PartTable, ranked: readonly Ranked[], reader: Ranked): number[] {
  return table.columns.filter((pin) => {
    const other = ranked.find((one) => one.pin === pin)
    return !other || other.kind !== 'combinational' || reader.kind === 'registered' || other.rank < reader.rank
  })
}

function randomEnable(
  random: Random,
  offered: NonNullable<PartTable['kinds'][OutputKind]>['enable'],
  pins: readonly number[],
): Enable {
  if (typeof offered === 'object' && 'rowAndLowPin' in offered)
    throw new RangeError('such an enable belongs to parts with clocks of their own')
  if (offered !== 'row') return offered
  const chance = random(6)
  return chance === 0 ? 'never' : chance < 3 ? 'always' : { term: randomTerm(random, pins) }
}

/**
 * So many terms, as likely all of them as any other number; longer ones where there are many, whose sum would hardly
 * ever be 0.
 */
export function randomTerms(random: Random, limit: number, pins: readonly number[]): Term[] {
  const count = random(2) ? limit : random(limit + 1)
  return Array.from({ length: count }, () => randomTerm(random, pins, count >= 6 ? 1 : 0))
}

/** A random design without loops through combinational outputs, for a part whose registers have one clock. */
export function randomDesign(table: PartTable, random: Random): Design {
  const ranks = shuffled(
    random,
    table.cells.map((_, i) => i),
  )
  const ranked = table.cells.map((cell, i): Ranked => ({
    pin: cell.pin,
    kind: pick(random, kindsAt(table, cell)),
    rank: ranks[i]!,
  }))
  const outputs = ranked.map((one): DesignOutput => {
    const kind = table.kinds[one.kind]!
    const pins = readableBy(table, ranked, one)
    const { first, other } = termLimits(table, one.pin, one.kind)
    return {
      pin: one.pin,
      kind: one.kind,
      activeHigh: kind.activeHigh ?? random(2) === 1,
      enable: randomEnable(random, kind.enable, pins),
      terms: randomTerms(random, first, pins),
      ...(other > 0 ? { otherTerms: randomTerms(random, other, pins) } : {}),
    }
  })
  const { part, mode, clockPin, registers } = table
  // Terms of two or three literals: a reset that holds half the time would leave little to see.
  const shared = (): Term =>
    shuffled(random, table.columns)
      .slice(0, 2 + random(2))
      .map((pin) => (random(2) ? pin : -pin))
  return {
    part,
    mode,
    outputs,
    ...(clockPin === undefined ? {} : { clockPin }),
    ...(registers ? { registers } : {}),
    ...(table.resetFuse !== undefined && random(3) > 0 ? { reset: shared() } : {}),
    ...(table.presetFuse !== undefined && random(3) > 0 ? { clockedPreset: shared() } : {}),
    disableUnusedRows: table.firstDisableFuse !== undefined && random(2) === 1,
  }
}

/** Pins that some term of a design reads. */
export function pinsRead({ outputs, reset = [], clockedPreset = [] }: Design): Set<number> {
  return new Set([...outputs.flatMap((output) => allTerms(output).flat()), ...reset, ...clockedPreset].map(Math.abs))
}

/**
 * Whether the state after power-up is not the same for all makes of a part: true of the PALs, whose polarity no fuse
 * decides.
 */
export function startsUnknown({ kinds, cells }: PartTable): boolean {
  return kinds.registered !== undefined && cells[0]!.polarityFuse === undefined
}

/** A vector that loads every register by a level at its pin (3-A, "Register preload"), and the registers after it. */
function preload(
  table: PartTable,
  design: Design,
  applied: Levels,
): { readonly vector: string; readonly step: Step } {
  const enable = table.kinds.registered!.enable as { readonly lowPin: number }
  const conditions = [...applied].map(([pin, level]) =>
    table.supplyPins.includes(pin) ? 'N' : pin === table.clockPin ? 'P' : level || pin === enable.lowPin ? '1' : '0',
  )
  const loaded = design.outputs
    .filter(({ kind }) => kind === 'registered')
    .map(({ pin }) => [pin, !applied.get(pin)] as const)
  return {
    vector: conditions.join(''),
    step: start(design, new Map(applied).set(enable.lowPin, true), new Map(loaded)),
  }
}

/**
 * Random vectors for a design, expected levels from straight evaluation. Registers start as after power-up, or are
 * loaded by a first vector where that start differs from make to make. A pin that drives before and after the clock is
 * expected H or L. One that does not drive is expected Z where nothing reads it, else a level is applied there.
 */
export function vectorsFor(
  table: PartTable,
  design: Design,
  given: { readonly random: Random; readonly count: number },
): string[] {
  const read = pinsRead(design)
  // Without registers to clock, a clock pin that the array reads is an input like the others.
  const clockPin = design.outputs.some(({ kind }) => kind === 'registered') ? table.clockPin : undefined
  const pins = Array.from({ length: table.pinCount }, (_, i) => i + 1)
  let last: Step | null = null
  return Array.from({ length: given.count }, (_, index) => {
    const applied: Levels = new Map(pins.map((pin) => [pin, pin !== clockPin && given.random(2) === 1]))
    if (index === 0 && startsUnknown(table)) {
      const { vector, step } = preload(table, design, applied)
      last = step
      return vector
    }
    const clocked = clockPin !== undefined && given.random(4) > 0
    const steps: Step[] = [last ? next(design, last, applied) : start(design, applied)]
    if (clocked) steps.push(next(design, steps[0]!, new Map(applied).set(clockPin, true)))
    if (clocked) steps.push(next(design, steps[1]!, applied))
    const after = steps.at(-1)!
    last = after
    return pins
      .map((pin) => {
        if (table.supplyPins.includes(pin)) return 'N'
        if (pin === clockPin && clocked) return 'C'
        const output = design.outputs.find((one) => one.pin === pin)
        if (steps.every(({ always }) => always.has(pin))) return after.levels.get(pin) ? 'H' : 'L'
        if (output && steps.every(({ ever }) => !ever.has(pin)) && (output.kind === 'registered' || !read.has(pin)))
          return 'Z'
        return applied.get(pin) ? '1' : '0'
      })
      .join('')
  })
}
