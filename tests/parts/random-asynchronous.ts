/**
 * Random designs for a part whose registers have clocks, resets and presets by terms of their own (20RA10), and vectors
 * for them. One input changes at a time, and a change that would make a race is not made: with several inputs, or with
 * data that move with their clock, what a register takes depends on delays.
 */
import type { Design, DesignOutput, Term } from './design'
import { termLimits, type PartTable } from './encoder'
import { pick, randomTerm, randomTerms, readableBy, shuffled, type Random, type Ranked } from './random-designs'
import { next, Open, start, type Levels, type Step } from './straight'

/** Part of an output in a random design. Nothing reads an output that a term switches. */
type Role = 'register' | 'switched register' | 'combinational' | 'bypassed at times' | 'input only'

/** Registers twice: they are what this part is for. */
const ROLES: readonly Role[] = [
  'register',
  'register',
  'switched register',
  'combinational',
  'bypassed at times',
  'input only',
]

interface Place extends Ranked {
  readonly role: Role
}

/** A clock of one or two literals, other outputs among them more often than not. */
function randomClock(random: Random, pins: readonly number[], outputs: readonly number[]): Term {
  const others = pins.filter((pin) => outputs.includes(pin))
  const first = random(2) && others.length > 0 ? pick(random, others) : pick(random, pins)
  const chosen = random(3)
    ? [first]
    : [
        first,
        pick(
          random,
          pins.filter((pin) => pin !== first),
        ),
      ]
  return chosen.map((pin) => (random(2) ? pin : -pin))
}

/** Reset and preset: none, one, both but never together, both and now and then together, or both always. */
function randomControl(random: Random, role: Role, pins: readonly number[]): Pick<DesignOutput, 'reset' | 'preset'> {
  if (role === 'combinational') return { reset: [], preset: [] }
  const literal = random(2) ? pick(random, pins) : -pick(random, pins)
  const rest = pick(random, pins)
  if (role === 'bypassed at times') return { reset: [literal], preset: [random(2) ? rest : -rest] }
  const chance = random(4)
  if (chance === 0) return {}
  if (chance === 1) return { reset: [literal, -rest] }
  return chance === 2 ? { preset: [literal, rest] } : { reset: [literal, rest], preset: [-literal, rest] }
}

/** A random design without combinational loops. */
export function randomAsynchronousDesign(table: PartTable, random: Random): Design {
  const ranks = shuffled(
    random,
    table.cells.map((_, i) => i),
  )
  const places = table.cells.map(({ pin }, i): Place => {
    const role = pick(random, ROLES)
    return {
      pin,
      role,
      rank: ranks[i]!,
      kind: role === 'combinational' || role === 'bypassed at times' ? 'combinational' : 'registered',
    }
  })
  const read = places
    .filter(({ role }) => role === 'register' || role === 'combinational' || role === 'bypassed at times')
    .map(({ pin }) => pin)
  const outputs = places.map((place): DesignOutput => {
    const { pin, role } = place
    const pins = readableBy(table, places, place).filter(
      (one) => one !== pin && !places.some((other) => other.pin === one && other.role === 'switched register'),
    )
    const lowPin = (table.kinds.registered!.enable as { readonly rowAndLowPin: number }).rowAndLowPin
    const ownPin = role === 'register' ? [pin] : []
    return {
      pin,
      kind: 'registered',
      activeHigh: random(2) === 1,
      enable:
        role === 'input only'
          ? 'never'
          : { term: role === 'switched register' ? randomTerm(random, pins) : [], lowPin },
      terms: randomTerms(random, termLimits(table, pin, 'registered').first, [...pins, ...ownPin]),
      ...(role === 'combinational' ? {} : { clock: randomClock(random, pins, read) }),
      ...randomControl(random, role, pins),
    }
  })
  return { part: table.part, mode: table.mode, outputs, registers: table.registers! }
}

function attempt(move: () => Step): Step | null {
  try {
    return move()
  } catch (error) {
    if (error instanceof Open) return null
    throw error
  }
}

interface Run {
  readonly table: PartTable
  readonly design: Design
  readonly random: Random
}

/**
 * Off and loaded, load released, outputs on: three steps after which every register is known. Null after ten
 * attempts.
 */
function opening({ table, design, random }: Run): { readonly applied: Levels; readonly step: Step }[] | null {
  const loadPin = table.registers!.loadPin!
  const enablePin = (table.kinds.registered!.enable as { readonly rowAndLowPin: number }).rowAndLowPin
  for (let i = 0; i < 10; i++) {
    const loading = new Map(Array.from({ length: table.pinCount }, (_, index) => [index + 1, random(2) === 1]))
      .set(loadPin, false)
      .set(enablePin, true)
    const loaded = new Map(loading).set(loadPin, true)
    const on = new Map(loaded).set(enablePin, false)
    const first = attempt(() => start(design, loading))
    const second = first && attempt(() => next(design, first, loaded))
    const third = second && attempt(() => next(design, second, on))
    // Many pins change with the enable: no clock may rise by it.
    if (first && second && third && second.clocked.size + third.clocked.size === 0)
      return [
        { applied: loading, step: first },
        { applied: loaded, step: second },
        { applied: on, step: third },
      ]
  }
  return null
}

/**
 * Vectors for a design with expected levels from straight evaluation; fewer than `count` where no further change is
 * without a race.
 */
export function asynchronousVectors(
  table: PartTable,
  design: Design,
  { random, count }: { readonly random: Random; readonly count: number },
): string[] {
  const begun = opening({ table, design, random })
  if (!begun) return []
  const vectors = begun.map(({ applied, step }) => vectorOf({ table, design, random }, applied, step))
  const outputs = design.outputs.filter(({ enable }) => enable !== 'never').map(({ pin }) => pin)
  const inputs = table.columns.filter((pin) => !outputs.includes(pin))
  const clocks = inputs.filter((pin) => design.outputs.some(({ clock = [] }) => clock.map(Math.abs).includes(pin)))
  let { applied, step } = begun.at(-1)!
  while (vectors.length < count) {
    // Inputs that are clocks first, half of the time.
    const order = random(2) ? [...shuffled(random, clocks), ...shuffled(random, inputs)] : shuffled(random, inputs)
    const moves = order.map((pin) => new Map(applied).set(pin, !applied.get(pin)))
    const moved = firstOf(moves, (levels) => attempt(() => next(design, step, levels)))
    if (!moved) return vectors
    ;({ from: applied, found: step } = moved)
    vectors.push(vectorOf({ table, design, random }, applied, step))
  }
  return vectors
}

function firstOf<T, U>(
  items: readonly T[],
  find: (item: T) => U | null,
): { readonly from: T; readonly found: U } | null {
  for (const from of items) {
    const found = find(from)
    if (found) return { from, found }
  }
  return null
}

/**
 * Levels where inputs are, also at outputs while all are off; H, L and Z at outputs; nothing where an output was on
 * and off.
 */
function vectorOf({ table, design }: Run, applied: Levels, { levels, ever, always }: Step): string {
  const enablePin = (table.kinds.registered!.enable as { readonly rowAndLowPin: number }).rowAndLowPin
  return Array.from({ length: table.pinCount }, (_, index) => {
    const pin = index + 1
    if (table.supplyPins.includes(pin)) return 'N'
    const output = design.outputs.find((one) => one.pin === pin && one.enable !== 'never')
    if (!output || applied.get(enablePin)) return applied.get(pin) ? '1' : '0'
    return always.has(pin) ? (levels.get(pin) ? 'H' : 'L') : ever.has(pin) ? 'N' : 'Z'
  }).join('')
}
