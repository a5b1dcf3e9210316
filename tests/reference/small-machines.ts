/**
 * Seeded pairs of small machines that no part has to be able to hold: registers with clocks, resets and presets of
 * their own, read by Q or at their pins, buried or not, and the same machine once more with a change that is seen, or
 * not, or only from some states. With the logic that each of them is.
 */
import { NEVER, type Expression, type Logic, type LogicCell, type Signal } from '../../src/logic/logic'
import { pick, seededRandom, type Random } from '../parts/random-designs'
import { freePins, hasLoop, reached, termsOf, type Cell, type Literal, type Machine, type Term } from './machine'

/** Pin 1 is a clock, pins 2 to 4 are inputs, 5 to 8 have cells. */
const PIN_COUNT = 9
const CLOCK = 1
const INPUTS = [2, 3, 4]
const CELLS = [5, 6, 7, 8]

/** Most registers, and most levels from outside, that are tried. */
const MAX_REGISTERS = 3
export const MAX_FREE = 5

export interface SmallPair {
  readonly seed: number
  readonly machines: readonly [Machine, Machine]
  /** True where a register of the second may hold the complement. */
  readonly isTurned: boolean
}

type Tap = Omit<Literal, 'level'>

function someTerm(random: Random, taps: readonly Tap[], most: number): Term {
  const chosen = Array.from({ length: 1 + random(most) }, () => pick(random, taps))
  return [...new Set(chosen)].map((tap) => ({ ...tap, level: random(2) as 0 | 1 }))
}

const someTerms = (random: Random, taps: readonly Tap[]): Term[] =>
  Array.from({ length: 1 + random(3) }, () => someTerm(random, taps, 3))

function clockFor(random: Random, taps: readonly Tap[]): Term {
  const kind = random(6)
  if (kind < 4) return [{ ...CLOCK_TAP, level: 1 }]
  return kind === 4 ? someTerm(random, [CLOCK_TAP, ...INPUT_TAPS], 2) : someTerm(random, taps, 1)
}

const CLOCK_TAP: Tap = { tap: 'pin', pin: CLOCK }
const INPUT_TAPS: readonly Tap[] = INPUTS.map((pin) => ({ tap: 'pin', pin }))

function someMachine(random: Random): Machine {
  const registers = CELLS.slice(0, 1 + random(MAX_REGISTERS))
  const states = registers.map((pin): Tap => ({ tap: 'register', pin }))
  const inputs = INPUT_TAPS.slice(0, 1 + random(3))
  const pins = CELLS.map((pin): Tap => ({ tap: 'pin', pin }))
  const shared = random(3) ? null : someTerm(random, [...states, ...inputs, CLOCK_TAP], 2)
  const ownClocks = random(3) === 0
  const cells = CELLS.slice(0, registers.length + 1).map((pin, i): Cell => {
    const registered = registers.includes(pin)
    const below = pins.slice(0, i)
    const taps = [...inputs, ...inputs, ...states, ...(random(3) ? [] : registered ? pins.slice(0, -1) : below)]
    const control = (): Term | null =>
      random(3) ? null : someTerm(random, [...states, ...inputs, ...(random(3) ? [] : [CLOCK_TAP])], 2)
    const reset = registered ? (shared ?? control()) : null
    return {
      pin,
      registered,
      terms: someTerms(random, taps),
      otherTerms: random(5) ? [] : [someTerm(random, taps, 2)],
      invertData: random(3) === 0,
      invertPin: random(2) === 1,
      enable: random(registered ? 2 : 4) ? [[]] : random(3) ? [] : [someTerm(random, taps, 2)],
      clock: registered ? (ownClocks ? clockFor(random, taps) : [{ ...CLOCK_TAP, level: 1 }]) : null,
      reset,
      preset: !registered || random(3) ? null : random(4) ? control() : reset,
      clockedPreset: registered && random(6) === 0 ? someTerm(random, taps, 2) : null,
      bypass: registered && random(2) === 1,
    }
  })
  const clockPin = ownClocks ? null : CLOCK
  return { part: 'small', pinCount: PIN_COUNT, cells, clockPin, loadPin: null, startIsPublished: true }
}

const opposite = ({ tap, pin, level }: Literal): Literal => ({ tap, pin, level: level ? 0 : 1 })

/** A sum with one change: the same in other words, without a term or a literal, or only while some term is 0. */
function changedSum(random: Random, terms: readonly Term[], others: readonly Term[]): Term[] {
  const at = random(terms.length)
  const term = terms[at]!
  const rest = terms.filter((_, i) => i !== at)
  const source = others.length > 0 ? pick(random, others) : term
  if (source.length === 0) return rest
  const literal = opposite(pick(random, source))
  switch (random(5)) {
    case 0:
      return rest
    case 1:
      return [...terms, [...term, literal]]
    case 2:
      return [...rest, [...term, literal]]
    case 3:
      return [...rest, [...term, literal], [...term, opposite(literal)]]
    default:
      return [...rest, term.slice(1)]
  }
}

const CONTROLS = ['clock', 'reset', 'preset', 'clockedPreset'] as const

/** One change of one cell. */
function changed(random: Random, machine: Machine): Machine {
  const cell = pick(random, machine.cells)
  const literals = machine.cells.flatMap(termsOf).filter((term) => term.length > 0)
  const others = random(2) ? CONTROLS.flatMap((control) => (cell[control]?.length ? [cell[control]] : [])) : literals
  const control = pick(random, CONTROLS)
  const own = cell[control]
  const kind = random(8)
  const next: Cell =
    kind === 0
      ? { ...cell, invertPin: !cell.invertPin }
      : kind === 1 && own?.length && control !== 'clock'
        ? { ...cell, [control]: random(2) ? own.slice(1) : [...own, opposite(pick(random, pick(random, literals)))] }
        : kind === 2 && cell.enable.some(({ length }) => length > 0)
          ? { ...cell, enable: changedSum(random, cell.enable, others) }
          : { ...cell, terms: cell.terms.length > 0 ? changedSum(random, cell.terms, others) : cell.terms }
  return { ...machine, cells: machine.cells.map((each) => (each === cell ? next : each)) }
}

/** The complement of a register in its place, which everything reads the other way round; it starts elsewhere. */
function turned(random: Random, machine: Machine): Machine {
  const registers = machine.cells.filter(({ registered, clockedPreset }) => registered && !clockedPreset)
  const cell = registers[random(registers.length || 1)]
  if (!cell) return machine
  const read = (term: Term): Term =>
    term.map((literal) => (literal.tap === 'register' && literal.pin === cell.pin ? opposite(literal) : literal))
  const cells = machine.cells.map((each): Cell => {
    const own = each === cell
    const [reset, preset] = own ? [each.preset, each.reset] : [each.reset, each.preset]
    const control = (term: Term | null): Term | null => term && read(term)
    return {
      ...each,
      terms: each.terms.map(read),
      otherTerms: each.otherTerms.map(read),
      enable: each.enable.map(read),
      clock: control(each.clock),
      reset: control(reset),
      preset: control(preset),
      clockedPreset: control(each.clockedPreset),
      invertData: own ? !each.invertData : each.invertData,
      invertPin: own ? !each.invertPin : each.invertPin,
    }
  })
  return { ...machine, cells }
}

/** Reset and preset at once leave Q unknown: they must not be able to meet where anything reads Q or shows it. */
export function isKnown({ cells }: Machine): boolean {
  const read = new Set(
    cells.flatMap((cell) => termsOf(cell).flat()).flatMap(({ tap, pin }) => (tap === 'register' ? [pin] : [])),
  )
  const meet = ({ reset, preset }: Cell): boolean =>
    reset !== null &&
    preset !== null &&
    !reset.some(({ tap, pin, level }) =>
      preset.some((other) => other.tap === tap && other.pin === pin && other.level !== level),
    )
  return cells.every((cell) => !meet(cell) || (cell.bypass && !read.has(cell.pin)))
}

function suits(...pair: readonly Machine[]): boolean {
  if (!pair.every(isKnown)) return false
  const machines = pair.map(reached)
  const registers = machines.flatMap(({ cells }) => cells.filter(({ registered }) => registered).map(({ pin }) => pin))
  const few = new Set(registers).size <= MAX_REGISTERS && new Set(machines.flatMap(freePins)).size <= MAX_FREE
  return few && !machines.some(hasLoop)
}

/** The pair of a seed: machines are drawn until two suit. */
export function smallPair(seed: number): SmallPair {
  const random = seededRandom(seed)
  for (;;) {
    const a = someMachine(random)
    const isTurned = random(4) === 0
    let b = isTurned ? turned(random, a) : a
    for (let changes = random(4) ? 1 : random(3); changes > 0; changes--) b = changed(random, b)
    if (suits(a, b)) return { seed, machines: [a, b], isTurned }
  }
}

/** Registers that no machine of a pair shows at its pin, and at whose pins none reads a level from outside. */
export function buriedIn(machines: readonly Machine[]): ReadonlySet<number> {
  const cells = machines.flatMap((machine) => machine.cells)
  const read = cells.flatMap((cell) => termsOf(cell).flat()).filter(({ tap }) => tap === 'pin')
  const used = new Set([
    ...read.map(({ pin }) => pin),
    ...cells.filter(({ registered, enable }) => !registered || enable.length > 0).map(({ pin }) => pin),
  ])
  return new Set(cells.map(({ pin }) => pin).filter((pin) => !used.has(pin)))
}

/**
 * What a machine is as a logic; buried cells have no pin. `rowOf` numbers the rows of terms, −1 for what is no row;
 * else the terms of each sum count from 0. Its signals are the pins that it reads, or all where rows are numbered.
 */
export function logicOf(
  { pinCount, cells }: Machine,
  buried: ReadonlySet<number>,
  rowOf?: (term: Term, at: number) => number,
): Logic {
  const read = cells.flatMap((cell) => termsOf(cell).flat()).filter(({ tap }) => tap === 'pin')
  const pins = rowOf ? Array.from({ length: pinCount - 1 }, (_, i) => i + 1) : [...new Set(read.map(({ pin }) => pin))]
  const signals: Signal[] = [
    ...pins.map((pin): Signal => ({ kind: 'pin', pin })),
    ...cells.map((_, cell): Signal => ({ kind: 'register', cell, inverted: false })),
  ]
  const indexOf = ({ tap, pin }: Literal): number =>
    tap === 'pin' ? pins.indexOf(pin) : pins.length + cells.findIndex((cell) => cell.pin === pin)
  const cube = (term: Term, at: number): { literals: number[]; origin: number } => ({
    literals: term.map((literal) => 2 * indexOf(literal) + (literal.level ? 0 : 1)).sort((p, q) => p - q),
    origin: rowOf ? rowOf(term, at) : at,
  })
  const sum = (terms: readonly Term[]): Expression => ({ sums: [terms.map(cube)], inverted: false })
  const one = (term: Term | null): Expression => (term ? sum([term]) : NEVER)
  return {
    pinCount,
    supplyPins: [pinCount],
    signals,
    cells: cells.map((cell): LogicCell => {
      const isBuried = buried.has(cell.pin)
      const data = { sums: [cell.terms.map(cube), cell.otherTerms.map(cube)], inverted: cell.invertData }
      return {
        pin: isBuried ? null : cell.pin,
        name: isBuried ? `B${cell.pin}` : String(cell.pin),
        defined: true,
        enable: cell.enable.length === 0 ? NEVER : sum(cell.enable),
        value: cell.registered ? null : { ...data, inverted: cell.invertData !== cell.invertPin },
        register: cell.registered
          ? {
              data,
              clock: one(cell.clock),
              reset: one(cell.reset),
              preset: one(cell.preset),
              clockedPreset: one(cell.clockedPreset),
              load: NEVER,
              bypass: cell.bypass,
              inverted: cell.invertPin,
              powerUp: 0,
            }
          : null,
      }
    }),
  }
}
