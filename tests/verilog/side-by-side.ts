/** A part as the reference simulation has it and as its exported module behaves, under the same levels, pin by pin. */
import { verilogModule, type Decoded } from '../../src/logic'
import { pinCells } from '../../src/logic/logic'
import { applyLevels, preloadRegisters } from '../../src/logic/simulate'
import { levelAt, NOTHING, startSimulation, type Applied, type Simulation } from '../../src/logic/simulation-state'
import { seededRandom } from '../parts/random-designs'
import { same } from '../same'
import { FIRST, LAST, Running, type Value } from './event-simulation'
import { readModule, type Module } from './reader'
import { granted } from '../granted'

/** How often both sides knew the level of an output pin, and how often one of them did not. */
export interface Counts {
  known: number
  /** The reference says X: what happens is open. */
  open: number
  /** The reference knows, the module says x. */
  unknown: number
}

export interface SideBySide {
  readonly name: string
  readonly decoded: Decoded
  readonly text: string
  readonly module: Module
  readonly reference: Simulation
  /** The same module, its events taken in different orders. */
  readonly running: readonly Running[]
  readonly counts: Counts
  applied: Applied[]
}

const SIGNS: readonly Value[] = ['0', '1', 'x', 'z']

/** Both sides before the first step: nothing applied, registers as after power-up where a data sheet says so. */
export function startSideBySide(decoded: Decoded, name: string): SideBySide {
  const text = granted(verilogModule(decoded))
  const module = readModule(text)
  const orders = [FIRST, LAST, seededRandom(1364), seededRandom(2001)].flatMap((choose, i) =>
    i % 2
      ? [new Running(module, choose)]
      : [new Running(module, choose), new Running(module, choose, { eager: true })],
  )
  const { logic } = decoded
  return {
    name,
    decoded,
    text,
    module,
    reference: startSimulation(logic!, { registers: 'power-up', explain: false }),
    running: orders,
    counts: { known: 0, open: 0, unknown: 0 },
    applied: Array<Applied>(logic!.pinCount + 1).fill(NOTHING),
  }
}

/**
 * Applies levels (index = pin) on both sides, all at once, and compares every pin that has an output. Where the part
 * takes a pin over, the outside lets go of it afterwards, as a tester would: a pin that floats on the way would be a
 * pulse.
 */
export function step(pair: SideBySide, applied: readonly Applied[], what: string): void {
  pair.applied = [...applied]
  applyLevels(pair.reference, applied)
  const levels = [...pair.module.ports.keys()].map((port) => [port, SIGNS[applied[Number(port.slice(1))]!]!] as const)
  for (const running of pair.running) {
    running.drive(new Map(levels.filter(([, level]) => level !== 'z')))
    running.drive(new Map(levels))
  }
  compare(pair, what)
}

function compare({ name, reference, running, counts, text, applied }: SideBySide, what: string): void {
  for (const { pin } of pinCells(reference.logic)) {
    const expected = SIGNS[levelAt(reference, pin).level]!
    running.forEach((one, order) => {
      const found = one.level(`p${pin}`)
      if (expected === 'x') counts.open++
      else if (found === 'x') counts.unknown++
      else {
        counts.known++
        const place = (): string => `events in order ${order}, applied ${applied.slice(1).join('')}`
        same(found, expected, () => `${name}, ${what}, pin ${pin} with ${place()}\n${text}`)
      }
    })
  }
}

const LEVELS: Readonly<Record<string, Applied>> = { 0: 0, 1: 1, C: 0, K: 1, P: 0 }

/** Runs a vector on both sides; of the conditions that pulse there is at most one. */
export function runVector(pair: SideBySide, conditions: string, what: string): void {
  const rest: Applied[] = [NOTHING, ...[...conditions].map((condition): Applied => LEVELS[condition] ?? NOTHING)]
  step(pair, rest, what)
  if (conditions.includes('P')) preload(pair, conditions)
  const pulsed = [...conditions].findIndex((condition) => condition === 'C' || condition === 'K') + 1
  if (pulsed === 0) return
  const there = [...rest]
  there[pulsed] = rest[pulsed] === 0 ? 1 : 0
  step(pair, there, `${what}, clock`)
  step(pair, rest, `${what}, clock back`)
}

/** Loads the registers of PALs, whose pins show ¬Q, from the levels at their pins. */
function preload({ reference, running }: SideBySide, conditions: string): void {
  const pins = pinCells(reference.logic).flatMap(({ pin, register }) =>
    register && '01'.includes(conditions[pin - 1]!) ? [pin] : [],
  )
  preloadRegisters(
    reference,
    conditions.indexOf('P') + 1,
    new Map(pins.map((pin) => [pin, conditions[pin - 1] === '1' ? 1 : 0])),
  )
  const deposits = new Map(pins.map((pin) => [`q${pin}`, conditions[pin - 1] === '1' ? '0' : '1'] as const))
  for (const one of running) one.deposit(deposits)
}

/**
 * H, L and Z of a vector against the module alone. The levels are not the library's; where the reference is open,
 * nothing is expected.
 */
export function judge({ name, reference, running, text }: SideBySide, conditions: string, what: string): number {
  let judged = 0
  for (const { pin } of pinCells(reference.logic)) {
    const expected = { H: '1', L: '0', Z: 'z' }[conditions[pin - 1]!]
    if (expected === undefined || levelAt(reference, pin).level === 2) continue
    for (const one of running)
      same(one.level(`p${pin}`), expected, () => `${name}, ${what} ${conditions}, pin ${pin}\n${text}`)
    judged++
  }
  return judged
}
