/** Seeded random designs for a part in a mode, and test vectors whose expected levels come from straight evaluation. */
import { allTerms, enableTerms, type Design, type DesignOutput, type Enable, type OutputKind, type Term } from './design'
import { termLimit, type PartTable } from './encoder'
import { clock, powerUp, settle, type Levels } from './straight'

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

function pick<T>(random: Random, items: readonly T[]): T {
  return items[random(items.length)]!
}

function shuffled<T>(random: Random, items: readonly T[]): T[] {
  const left = [...items]
  return items.map(() => left.splice(random(left.length), 1)[0]!)
}

/** A term of up to three literals over `pins`; now and then constant 1 or, by a pin and its complement, constant 0. */
function randomTerm(random: Random, pins: readonly number[]): Term {
  const chance = random(60)
  if (chance === 0) return []
  const chosen = shuffled(random, pins).slice(0, 1 + random(3)).map((pin) => (random(2) ? pin : -pin))
  return chance === 1 ? [...chosen, -chosen[0]!] : chosen
}

/** The order in which outputs may read each other; without an order there would be loops, which have no known level. */
interface Ranked {
  readonly pin: number
  readonly kind: OutputKind
  readonly rank: number
}

function readableBy(table: PartTable, ranked: readonly Ranked[], reader: Ranked): number[] {
  return table.columns.filter((pin) => {
    const other = ranked.find((one) => one.pin === pin)
    return !other || other.kind !== 'combinational' || reader.kind === 'registered' || other.rank < reader.rank
  })
}

function randomEnable(random: Random, offered: NonNullable<PartTable['kinds'][OutputKind]>['enable'], pins: readonly number[]): Enable {
  if (offered !== 'row') return offered
  const chance = random(6)
  return chance === 0 ? 'never' : chance < 3 ? 'always' : { term: randomTerm(random, pins) }
}

/** A random design without loops through combinational outputs. */
export function randomDesign(table: PartTable, random: Random): Design {
  const kinds = Object.keys(table.kinds) as OutputKind[]
  const ranks = shuffled(random, table.cells.map((_, i) => i))
  const ranked = table.cells.map(({ pin, alwaysOutput }, i): Ranked => ({ pin, kind: alwaysOutput ? 'combinational' : pick(random, kinds), rank: ranks[i]! }))
  const outputs = ranked.map((one): DesignOutput => {
    const kind = table.kinds[one.kind]!
    const pins = readableBy(table, ranked, one)
    const limit = termLimit(table, one.pin, one.kind)
    const count = random(2) ? limit : random(limit + 1)
    return {
      pin: one.pin,
      kind: one.kind,
      activeHigh: kind.activeHigh ?? random(2) === 1,
      enable: randomEnable(random, kind.enable, pins),
      terms: Array.from({ length: count }, () => randomTerm(random, pins)),
    }
  })
  const { part, mode, clockPin } = table
  return { part, mode, outputs, ...(clockPin === undefined ? {} : { clockPin }), disableUnusedRows: table.firstDisableFuse !== undefined && random(2) === 1 }
}

/**
 * Random vectors for a design, expected levels from straight evaluation, registers starting as after power-up. A pin
 * that drives before and after the clock is expected H or L. One that does not drive is expected Z where nothing reads
 * it, else a level is applied there.
 */
export function vectorsFor(table: PartTable, design: Design, given: { readonly random: Random; readonly count: number }): string[] {
  const read = new Set(design.outputs.flatMap((output) => allTerms(output).flat().map(Math.abs)))
  let registers = powerUp(design)
  return Array.from({ length: given.count }, () => {
    const pins = Array.from({ length: table.pinCount }, (_, i) => i + 1)
    const applied: Levels = new Map(pins.map((pin) => [pin, pin !== table.clockPin && given.random(2) === 1]))
    const clocked = table.clockPin !== undefined && given.random(4) > 0
    const before = settle(design, registers, applied)
    if (clocked) registers = clock(design, registers, before)
    const after = settle(design, registers, applied)
    return pins
      .map((pin) => {
        if (table.supplyPins.includes(pin)) return 'N'
        if (pin === table.clockPin && clocked) return 'C'
        const output = design.outputs.find((one) => one.pin === pin)
        const drives = Number(before.driving.has(pin)) + Number(after.driving.has(pin))
        if (drives === 2) return after.levels.get(pin) ? 'H' : 'L'
        if (output && drives === 0 && (output.kind === 'registered' || !read.has(pin))) return 'Z'
        return applied.get(pin) ? '1' : '0'
      })
      .join('')
  })
}

/** What a run over random designs really exercised, so that a generator gone dull is noticed. */
export function featuresOf(table: PartTable, { outputs }: Design): string[] {
  const features = outputs.flatMap((output) => [
    `${output.kind} active ${output.activeHigh ? 'high' : 'low'}`,
    ...(enableTerms(output).length > 0 ? ['enable row'] : []),
    ...(output.terms.length === termLimit(table, output.pin, output.kind) ? ['full block'] : []),
    ...(output.terms.some((term) => term.some((literal) => outputs.some(({ pin }) => pin === Math.abs(literal)))) ? ['feedback'] : []),
  ])
  return [...new Set(features)].filter((feature) => !feature.startsWith('input')).sort()
}

