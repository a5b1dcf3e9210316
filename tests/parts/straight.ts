/**
 * Straight evaluation of a design with known levels: plain Booleans, no fuse numbers, nothing of the library. Levels
 * are looked up by pin. What the array reads at a registered pin is the complement of its Q, whether the pin drives or
 * not (Lattice GAL16V8 data sheet, 16v8_04, p. 4; GAL22V10, 22v10_08, p. 3), or the pin (GAL20RA10, 20ra10_02, p. 3).
 */
import type { Design, DesignOutput, PinLiteral, RegisterStyle, Term } from './design'

export type Levels = ReadonlyMap<number, boolean>
/** Q of every registered output; undefined after what no data sheet defines. */
export type Registers = ReadonlyMap<number, boolean | undefined>

/** A design at rest under applied levels. */
export interface Settled {
  readonly registers: Registers
  /** Level at each pin. */
  readonly levels: Levels
  /** Outputs that drive their pin. */
  readonly driving: ReadonlySet<number>
}

/** A step: the state it ends in, the outputs that drove at some moment of it, and those that always did. */
export interface Step extends Settled {
  readonly ever: ReadonlySet<number>
  readonly always: ReadonlySet<number>
  /** Registers that took a clock edge. */
  readonly clocked: ReadonlySet<number>
}

/** What happens next depends on delays, or is not defined: nothing to compare with. */
export class Open extends Error {}

const USUAL: RegisterStyle = { polarity: 'before', feedback: 'inverted-register' }

function styleOf({ registers }: Design): RegisterStyle {
  return registers ?? USUAL
}

function registered({ outputs }: Design): DesignOutput[] {
  return outputs.filter(({ kind }) => kind === 'registered')
}

/** Registers after power-up: every Q low (GAL16V8 data sheet, p. 20; GAL22V10, p. 13; GAL20RA10, p. 11). */
export function powerUp(design: Design): Registers {
  return new Map(registered(design).map(({ pin }) => [pin, false]))
}

interface Moment {
  readonly design: Design
  readonly levels: Levels
  readonly registers: Registers
}

function literalHolds(literal: PinLiteral, { design, levels, registers }: Moment): boolean {
  const pin = Math.abs(literal)
  const fromRegister = registers.has(pin) && styleOf(design).feedback === 'inverted-register'
  const q = registers.get(pin)
  const column = !fromRegister ? levels.get(pin) : q === undefined ? undefined : !q
  if (column === undefined) throw new Open(`no level at pin ${pin}`)
  return literal > 0 ? column : !column
}

function termHolds(term: Term | undefined, moment: Moment): boolean {
  return term !== undefined && term.every((literal) => literalHolds(literal, moment))
}

/** The sum of an output, before polarity. */
function sumOf({ terms, otherTerms }: DesignOutput, moment: Moment): boolean {
  return terms.some((term) => termHolds(term, moment)) !== (otherTerms ?? []).some((term) => termHolds(term, moment))
}

/** What the register takes at its clock, presets and resets aside. */
function dataOf(output: DesignOutput, moment: Moment): boolean {
  return styleOf(moment.design).polarity === 'after'
    ? sumOf(output, moment)
    : sumOf(output, moment) !== output.activeHigh
}

/** The level that an output drives. */
function valueOf(output: DesignOutput, moment: Moment): boolean {
  if (output.kind !== 'registered') return sumOf(output, moment) === output.activeHigh
  const { polarity, bypass } = styleOf(moment.design)
  if (bypass && termHolds(output.reset, moment) && termHolds(output.preset, moment)) return !dataOf(output, moment)
  const q = moment.registers.get(output.pin)
  if (q === undefined) throw new Open(`the register of pin ${output.pin} is not defined`)
  return polarity === 'after' ? q === output.activeHigh : !q
}

function enabled({ enable }: DesignOutput, moment: Moment): boolean {
  if (enable === 'always') return true
  if (enable === 'never') return false
  const low = !('lowPin' in enable) || !moment.levels.get(enable.lowPin)
  return low && (!('term' in enable) || termHolds(enable.term, moment))
}

/** Settles a design without loops under given registers: goes round until nothing changes. */
export function settle(design: Design, registers: Registers, applied: Levels): Settled {
  const levels = new Map(applied)
  for (let round = 0; round <= design.outputs.length + 1; round++) {
    const driving = new Set<number>()
    let changed = false
    for (const output of design.outputs) {
      const moment = { design, levels, registers }
      const drives = enabled(output, moment)
      if (drives) driving.add(output.pin)
      const level = drives ? valueOf(output, moment) : applied.get(output.pin)!
      changed ||= level !== levels.get(output.pin)
      levels.set(output.pin, level)
    }
    if (!changed) return { registers, levels, driving }
  }
  throw new Open('the design does not settle')
}

/** Most rounds of registers that clock or reset each other. */
const MOST_ROUNDS = 40

/** Applies levels to a design, registers as given and no clock edge: the start of a run. */
export function start(design: Design, applied: Levels, registers: Registers = powerUp(design)): Step {
  return run(design, { applied, registers, from: null })
}

/**
 * Applies the next levels: settles, lets registers take the edges that come of it and those that they set off in turn.
 * A register takes what its sum was before the edge. Where a register is clocked by terms of its own, a sum that the
 * same change moves is a race, and so `Open`.
 */
export function next(design: Design, from: Settled, applied: Levels): Step {
  return run(design, { applied, registers: from.registers, from })
}

function run(
  design: Design,
  given: { readonly applied: Levels; readonly registers: Registers; readonly from: Settled | null },
): Step {
  let { registers, from } = given
  const ever = new Set<number>()
  const clocked = new Set<number>()
  let always: ReadonlySet<number> | null = null
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const now = settle(design, registers, given.applied)
    now.driving.forEach((pin) => ever.add(pin))
    always = new Set([...(always ?? now.driving)].filter((pin) => now.driving.has(pin)))
    const moments: Moments = { before: from && { design, ...from }, now: { design, ...now } }
    const states = registered(design).map(
      (output) => [output.pin, nextState(output, { ...moments, clocked })] as const,
    )
    if (states.every(([pin, q]) => q === registers.get(pin))) return { ...now, ever, always, clocked }
    from = now
    registers = new Map(states)
  }
  throw new Open('registers set each other off without end')
}

interface Moments {
  readonly before: Moment | null
  readonly now: Moment & Settled
}

function nextState(
  output: DesignOutput,
  { before, now, clocked }: Moments & { readonly clocked: Set<number> },
): boolean | undefined {
  const { design } = now
  let q = now.registers.get(output.pin)
  if (before && risesFor(output, { before, now })) {
    clocked.add(output.pin)
    q = takenBy(output, before)
    if (design.clockPin === undefined && (q !== takenBy(output, now) || q === undefined))
      throw new Open(`pin ${output.pin} is clocked while its sum changes`)
  }
  const { loadPin } = styleOf(design)
  if (loadPin !== undefined && !now.levels.get(loadPin) && !now.driving.has(output.pin))
    return !now.levels.get(output.pin)
  return heldBy(output, q, now)
}

function risesFor(
  { clock }: DesignOutput,
  { before, now }: { readonly before: Moment; readonly now: Moment },
): boolean {
  const { clockPin } = now.design
  const term = clockPin === undefined ? clock : [clockPin]
  return !termHolds(term, before) && termHolds(term, now)
}

/**
 * Q after an edge at which the signals are as given: a reset that holds wins over a preset at the clock (GAL22V10, p.
 * 3).
 */
function takenBy(output: DesignOutput, moment: Moment): boolean | undefined {
  return heldBy(output, termHolds(moment.design.clockedPreset, moment) || dataOf(output, moment), moment)
}

/** Q under the levels that hold a register whatever its clock does; both at once leave nothing that is defined. */
function heldBy({ reset, preset }: DesignOutput, q: boolean | undefined, moment: Moment): boolean | undefined {
  const down = termHolds(reset, moment) || termHolds(moment.design.reset, moment)
  const up = termHolds(preset, moment)
  return down && up ? undefined : down ? false : up ? true : q
}
