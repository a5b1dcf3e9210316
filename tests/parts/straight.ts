/**
 * Straight evaluation of a design with known levels: plain Booleans, no fuse numbers, nothing of the library. Levels
 * are looked up by pin; what the array reads at a registered pin is the complement of its Q, whether the pin drives or
 * not (Lattice GAL16V8 data sheet, 16v8_04, p. 4).
 */
import type { Design, DesignOutput, PinLiteral, Term } from './design'

export type Levels = ReadonlyMap<number, boolean>
/** Q of every registered output. */
export type Registers = ReadonlyMap<number, boolean>

/** A design at rest under applied levels. */
export interface Settled {
  /** Level at each pin. */
  readonly levels: Levels
  /** Outputs that drive their pin. */
  readonly driving: ReadonlySet<number>
}

/** Registers after power-up: every Q low (same sheet, p. 20). */
export function powerUp({ outputs }: Design): Registers {
  return new Map(outputs.filter(({ kind }) => kind === 'registered').map(({ pin }) => [pin, false]))
}

interface Moment {
  readonly levels: Levels
  readonly registers: Registers
}

function literalHolds(literal: PinLiteral, { levels, registers }: Moment): boolean {
  const pin = Math.abs(literal)
  const q = registers.get(pin)
  const column = q === undefined ? levels.get(pin) : !q
  if (column === undefined) throw new RangeError(`no level at pin ${pin}`)
  return literal > 0 ? column : !column
}

function termHolds(term: Term, moment: Moment): boolean {
  return term.every((literal) => literalHolds(literal, moment))
}

/** The sum with its polarity: the level of a combinational output, or the next level of a registered one. */
function sumOf({ terms, activeHigh }: DesignOutput, moment: Moment): boolean {
  return terms.some((term) => termHolds(term, moment)) === activeHigh
}

function enabled({ enable }: DesignOutput, moment: Moment): boolean {
  if (enable === 'always') return true
  if (enable === 'never') return false
  return 'lowPin' in enable ? !moment.levels.get(enable.lowPin) : termHolds(enable.term, moment)
}

/** Settles a design without loops: goes round until nothing changes. Throws when that does not come to an end. */
export function settle({ outputs }: Design, registers: Registers, applied: Levels): Settled {
  const levels = new Map(applied)
  for (let round = 0; round <= outputs.length + 1; round++) {
    const driving = new Set<number>()
    let changed = false
    for (const output of outputs) {
      const moment = { levels, registers }
      const drives = enabled(output, moment)
      if (drives) driving.add(output.pin)
      const level = !drives ? applied.get(output.pin)! : output.kind === 'registered' ? !registers.get(output.pin)! : sumOf(output, moment)
      changed ||= level !== levels.get(output.pin)
      levels.set(output.pin, level)
    }
    if (!changed) return { levels, driving }
  }
  throw new Error('the design does not settle')
}

/** Registers after a clock edge: the pin is ¬Q, so Q takes the complement of the next level. */
export function clock({ outputs }: Design, registers: Registers, { levels }: Settled): Registers {
  const next = outputs.filter(({ kind }) => kind === 'registered').map((output) => [output.pin, !sumOf(output, { levels, registers })] as const)
  return new Map(next)
}
