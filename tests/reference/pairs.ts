/**
 * Seeded pairs of maps for the parts with registers: small designs (invented) with hidden registers, counters that
 * reset themselves, presets, feedback, rows that all registers share and enables by terms; against each a mutant with
 * one to three other fuses, or the same design written in another way.
 */
import type { Design, DesignOutput, Term } from '../parts/design'
import { cellAt, disableFuse, encode, firstFuseOf, tableOf, termLimits, type PartTable } from '../parts/encoder'
import { pick, seededRandom, shuffled, type Random } from '../parts/random-designs'
import { freePins, hasLoop, machineFrom, reached, type Machine } from './machine'

export interface SeededPair {
  readonly part: string
  readonly seed: number
  /** What was done to the first map. */
  readonly kind: string
  readonly fuses: readonly [Uint8Array, Uint8Array]
  readonly machines: readonly [Machine, Machine]
}

/** A part, its mode, the pins that registers and combinational outputs take, and its inputs. */
interface Field {
  readonly part: string
  readonly mode: string | null
  readonly registers: readonly number[]
  readonly outputs: readonly number[]
  readonly inputs: readonly number[]
}

const FIELDS: readonly Field[] = [
  { part: '16R4', mode: null, registers: [17, 16, 15, 14], outputs: [19, 12], inputs: [2, 3, 4] },
  { part: '16V8', mode: 'registered', registers: [19, 18, 17], outputs: [14, 12], inputs: [2, 3, 4] },
  { part: '16V8', mode: 'complex', registers: [], outputs: [18, 17, 12], inputs: [1, 2, 3, 11] },
  { part: '16V8', mode: 'simple', registers: [], outputs: [19, 15, 12], inputs: [1, 2, 3, 11] },
  { part: '20RA10', mode: null, registers: [23, 22, 14], outputs: [18], inputs: [2, 3, 4] },
  { part: '22V10', mode: null, registers: [23, 20, 15], outputs: [18, 14], inputs: [2, 3, 4] },
]

/** Most bits of levels from outside, and of registers, that all pairs of states are tried for: 2^7 times 2^8 nodes. */
const MAX_FREE = 7
const MAX_REGISTERS = 4

/** A term of one literal to `most` over the pins. */
function someTerm(random: Random, pins: readonly number[], most = 3): Term {
  const chosen = shuffled(random, pins).slice(0, 1 + random(most))
  return chosen.map((pin) => (random(2) ? pin : -pin))
}

function someTerms(random: Random, pins: readonly number[], limit: number): Term[] {
  return Array.from({ length: 1 + random(Math.min(limit, 3)) }, () => someTerm(random, pins))
}

interface Making {
  readonly table: PartTable
  readonly field: Field
  readonly random: Random
  readonly inputs: readonly number[]
}

/** Bits of a binary counter in the registers, the first counts fastest: bit i turns over while all before it are 1. */
function counterTerms(registers: readonly number[], index: number): Term[] {
  // The true column carries ¬Q, and Q is the bit.
  const own = registers[index]!
  const before = registers.slice(0, index)
  return [[own, ...before.map((pin) => -pin)], ...before.map((pin) => [-own, pin])]
}

function enableFor(
  { table, field, random, inputs }: Making,
  pin: number,
  registered: boolean,
): DesignOutput['enable'] {
  const { enable } = table.kinds[registered ? 'registered' : 'combinational'] ?? table.kinds.registered!
  const term = (): Term => (random(3) ? [] : someTerm(random, [...inputs, ...field.registers.slice(0, 2)], 2))
  if (typeof enable === 'object' && 'rowAndLowPin' in enable)
    return random(5) === 0 && pin !== field.registers[0] ? 'never' : { term: term(), lowPin: enable.rowAndLowPin }
  if (enable !== 'row') return enable
  return registered && random(2) ? 'never' : { term: term() }
}

/** Clock, reset and preset of a register with rows of its own. */
function controlsFor({ table, field, random, inputs }: Making, pin: number): Partial<DesignOutput> {
  if (table.kinds.registered?.clockRow === undefined) return {}
  const states = field.registers.filter((other) => other !== pin || random(2))
  const clock = random(3) ? [pick(random, inputs)] : [random(2) ? pick(random, states) : -pick(random, states)]
  const control = (): Term => someTerm(random, random(2) ? states : [...inputs, ...states], 2)
  const chance = random(4)
  return {
    clock: random(4) ? clock : clock.map((literal) => -literal),
    ...(chance & 1 ? { reset: control() } : {}),
    // Never together with the reset: that would take the register out of the way.
    ...(chance === 2 ? { preset: control() } : {}),
  }
}

function registerAt(making: Making, pins: readonly number[], index: number, counts: boolean): DesignOutput {
  const { table, field, random } = making
  const pin = field.registers[index]!
  const limit = termLimits(table, pin, 'registered').first
  const read = [...making.inputs, ...pins]
  const terms = counts ? counterTerms(field.registers, index) : someTerms(random, read, limit)
  return {
    pin,
    kind: 'registered',
    activeHigh: table.kinds.registered!.activeHigh ?? (table.part !== '20RA10' && random(2) === 1),
    enable: enableFor(making, pin, true),
    terms,
    ...controlsFor(making, pin),
  }
}

function combinationalAt(making: Making, index: number): DesignOutput {
  const { table, field, random } = making
  const pin = field.outputs[index]!
  // Reads registers, inputs, and the outputs before it.
  const pins = [...making.inputs, ...field.registers, ...field.outputs.slice(0, index)].filter((read) =>
    table.columns.includes(read),
  )
  const asynchronous = table.kinds.combinational === undefined
  return {
    pin,
    kind: asynchronous ? 'registered' : 'combinational',
    activeHigh: (table.kinds.combinational ?? table.kinds.registered)!.activeHigh ?? random(2) === 1,
    enable: enableFor(making, pin, false),
    terms: someTerms(random, pins, 3),
    ...(asynchronous ? { reset: [], preset: [] } : {}),
  }
}

/** Rows that act on all registers: held by inputs, by a state (two literals or more), or by the clock pin itself. */
function sharedTerms({ table, field, random, inputs }: Making): Partial<Design> {
  const byState = (): Term =>
    shuffled(random, field.registers)
      .slice(0, 2 + random(2))
      .map((pin) => (random(3) ? -pin : pin))
  const term = (): Term => {
    const chance = random(6)
    if (chance === 0) return [random(2) ? 1 : -1]
    return chance < 4 ? byState() : someTerm(random, [...inputs, ...field.registers], 2)
  }
  return {
    ...(table.resetFuse !== undefined && random(4) ? { reset: term() } : {}),
    ...(table.presetFuse !== undefined && random(2) ? { clockedPreset: term() } : {}),
  }
}

function designFor(making: Making): Design {
  const { table, field, random } = making
  const counts = random(3) === 0
  const registers = field.registers.map((_, i) => registerAt(making, field.registers, i, counts))
  return {
    part: table.part,
    mode: table.mode,
    outputs: [...registers, ...field.outputs.map((_, i) => combinationalAt(making, i))],
    ...sharedTerms(making),
  }
}

/** The same sum in other terms: one twice, one that another absorbs, or one split by an input; null for no terms. */
function rewritten(random: Random, terms: readonly Term[], inputs: readonly number[]): Term[] | null {
  if (terms.length === 0) return null
  const term = pick(random, terms)
  const input = inputs.find((pin) => !term.map(Math.abs).includes(pin))
  const others = terms.filter((other) => other !== term)
  const way = random(3)
  if (way === 0 || input === undefined) return shuffled(random, [...terms, term])
  return shuffled(random, way === 1 ? [...terms, [...term, input]] : [...others, [...term, input], [...term, -input]])
}

function rewrittenDesign({ table, random, inputs }: Making, design: Design): Design {
  const outputs = design.outputs.map((output) => {
    const terms = rewritten(random, output.terms, inputs)
    const fits = terms !== null && terms.length <= termLimits(table, output.pin, output.kind).first
    return fits && random(3) ? { ...output, terms } : output
  })
  return { ...design, outputs }
}

/** Fuses that a mutant may change: rows in use at pins in use, polarities, now and then a choice of kind. */
function mutableFuses({ table, field, random, inputs }: Making, fuses: Uint8Array): number[] {
  const pins = [...inputs, ...field.registers, ...field.outputs].filter((pin) => table.columns.includes(pin))
  const columns = pins.flatMap((pin) => [0, 1].map((side) => 2 * table.columns.indexOf(pin) + side))
  const used = [...field.registers, ...field.outputs].map((pin) => cellAt(table, pin))
  const shared = [table.resetFuse, table.presetFuse].filter((fuse) => fuse !== undefined)
  const rows = [
    ...used.flatMap(({ pin, rows: n }) => Array.from({ length: n }, (_, i) => firstFuseOf(table, pin, i))),
  ]
  const live = [...rows, ...shared].filter((first) =>
    fuses.subarray(first, first + table.width).some((state) => state),
  )
  const tails = used.flatMap(({ polarityFuse, selectFuse }) => [polarityFuse, random(4) ? undefined : selectFuse])
  const disables = table.firstDisableFuse === undefined ? [] : live.map((first) => disableFuse(table, first))
  return [
    ...live.flatMap((first) => columns.map((column) => first + column)),
    ...tails.filter((fuse) => fuse !== undefined),
    ...(random(4) ? [] : disables),
  ]
}

function mutant(making: Making, fuses: Uint8Array, count: number): Uint8Array {
  const changed = fuses.slice()
  for (const fuse of shuffled(making.random, mutableFuses(making, fuses)).slice(0, count)) changed[fuse]! ^= 1
  return changed
}

/** Small enough to be tried in all states, and without loops. */
function suits(a: Machine, b: Machine): boolean {
  const machines = [reached(a), reached(b)]
  const registers = machines.flatMap(({ cells }) =>
    cells.filter(({ registered }) => registered).map(({ pin }) => pin),
  )
  const few = new Set(registers).size <= MAX_REGISTERS && new Set(machines.flatMap(freePins)).size <= MAX_FREE
  return few && !machines.some(hasLoop)
}

function attempt(part: string, seed: number, random: Random): SeededPair | null {
  const field = pick(
    random,
    FIELDS.filter((one) => one.part === part),
  )
  const making = { table: tableOf(field), field, random, inputs: field.inputs.slice(0, 2 + random(2)) }
  const design = designFor(making)
  const first = encode(design)
  const changes = random(5)
  const kind = changes > 3 ? 'rewritten' : changes === 0 ? 'rewritten and mutant' : `mutant ${changes}`
  const base = changes === 0 || changes > 3 ? encode(rewrittenDesign(making, design)) : first
  const second = changes > 3 ? base : mutant(making, base, changes || 1)
  const cut = part === '22V10' && random(2) ? 5828 : first.length
  const fuses = [first.subarray(0, cut), second.subarray(0, cut)] as const
  try {
    const machines = [machineFrom(part, fuses[0]), machineFrom(part, fuses[1])] as const
    return suits(...machines) ? { part, seed, kind, fuses, machines } : null
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
}

/** The pair of a seed: designs are drawn until one suits. */
export function seededPair(part: string, seed: number): SeededPair {
  const random = seededRandom(seed)
  for (;;) {
    const made = attempt(part, seed, random)
    if (made) return made
  }
}
