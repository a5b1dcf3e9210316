/**
 * What decides about a design, by trying: every level at every pin that a term names and every state of its registers,
 * with straight evaluation, and then each of them turned round alone.
 */
import { allTerms, type Design, type DesignOutput, type Term } from '../parts/design'
import { next, settle, start, type Levels, type Registers, type Settled } from '../parts/straight'

/** What is seen of a design under one assignment. */
interface Seen {
  /** By pin: the level while it drives, `Z` while it does not. */
  readonly shown: ReadonlyMap<number, string>
  /**
   * By pin of a register: the level that it holds at rest, and the one after a pulse of the clock (none while it is
   * held).
   */
  readonly rest: ReadonlyMap<number, string>
  readonly taken: ReadonlyMap<number, string>
}

/** Everything that can be seen of a design. `free` names what an assignment sets: pins, then registers as `q19`. */
export interface Swept {
  readonly design: Design
  readonly free: readonly string[]
  /** Seen under assignment i, in which `free[k]` is bit k of i. */
  readonly seen: readonly Seen[]
}

export const isRegistered = ({ kind }: DesignOutput): boolean => kind === 'registered'
export const isContradictory = (term: Term): boolean => term.some((literal) => term.includes(-literal))

/** Constant value of an enable by its form alone; null where terms or pins decide. */
export function constantEnable({ enable }: DesignOutput): boolean | null {
  if (typeof enable === 'string') return enable === 'always'
  if (!('term' in enable)) return null
  return isContradictory(enable.term) ? false : enable.term.length === 0 && !('lowPin' in enable) ? true : null
}

/** Terms that can be 1, of outputs that can be on and of registers. */
export function liveTerms({ outputs, reset, clockedPreset }: Design): Term[] {
  const working = outputs.filter((output) => constantEnable(output) !== false || isRegistered(output))
  const shared = outputs.some(isRegistered) ? [reset, clockedPreset].filter((term) => term !== undefined) : []
  return [...working.flatMap(allTerms), ...shared].filter((term) => !isContradictory(term))
}

/** Pins that live terms read, or that the part's wiring does. */
export function namedPins(design: Design): number[] {
  const registers = design.outputs.filter(isRegistered)
  const wired = registers.flatMap(({ enable }) =>
    typeof enable === 'object' && 'lowPin' in enable ? [enable.lowPin] : [],
  )
  const read = liveTerms(design)
    .flat()
    .map(Math.abs)
    .filter((pin) => !registers.some((output) => output.pin === pin))
  return [
    ...new Set([
      ...read,
      ...wired,
      ...(registers.length > 0 && design.clockPin !== undefined ? [design.clockPin] : []),
    ]),
  ].sort((a, b) => a - b)
}

/** The level that a register shows: ¬Q, or Q where an active-high polarity acts behind it. */
function levelOf(design: Design, { pin, activeHigh }: DesignOutput, registers: Registers): string {
  const high = design.registers?.polarity === 'after' && activeHigh
  return String(Number(registers.get(pin) === high))
}

function holds(term: Term | undefined, { registers, levels }: Settled): boolean {
  return (
    term !== undefined &&
    term.every(
      (literal) =>
        (registers.has(Math.abs(literal)) ? !registers.get(Math.abs(literal))! : levels.get(Math.abs(literal))!) ===
        literal > 0,
    )
  )
}

function see(design: Design, applied: Levels, registers: Registers): Seen {
  const outputs = design.outputs.filter(({ kind }) => kind !== 'input')
  const resting = settle(design, registers, applied)
  const shown = new Map(
    outputs.map(({ pin }) => [pin, resting.driving.has(pin) ? String(Number(resting.levels.get(pin))) : 'Z']),
  )
  const cells = outputs.filter(isRegistered)
  if (cells.length === 0) return { shown, rest: new Map(), taken: new Map() }
  const begun = start(design, applied, registers)
  const clocked = next(design, begun, new Map(applied).set(design.clockPin!, true))
  const levels = (of: Registers): Map<number, string> =>
    new Map(cells.map((output) => [output.pin, levelOf(design, output, of)]))
  // A reset that stands, or that the edge itself brings about, is seen in `rest` of one state or another.
  return {
    shown,
    rest: levels(begun.registers),
    taken: holds(design.reset, resting) ? new Map() : levels(clocked.registers),
  }
}

/** Sweeps a design. Pins that can be driven from outside, but for the clock. */
export function sweep(design: Design): Swept {
  const registers = design.outputs.filter(isRegistered)
  const inputs = namedPins(design).filter((pin) => pin !== design.clockPin)
  const free = [...inputs.map(String), ...registers.map(({ pin }) => `q${pin}`)]
  const seen = Array.from({ length: 2 ** free.length }, (_, i) => {
    const bit = (name: string): boolean => ((i >> free.indexOf(name)) & 1) === 1
    const applied = new Map(
      Array.from({ length: 29 }, (__, pin) => [pin, free.includes(String(pin)) && bit(String(pin))]),
    )
    return see(design, applied, new Map(registers.map(({ pin }) => [pin, bit(`q${pin}`)])))
  })
  return { design, free, seen }
}

/** What of `free` changes anything that is seen of one output. */
export function dependenciesOf({ free, seen, design }: Swept, pin: number): string[] {
  const own = design.outputs.find((output) => output.pin === pin)!
  const parts = ({ shown, rest, taken }: Seen): string[] => [
    shown.get(pin)!,
    ...(isRegistered(own) ? [rest.get(pin)!, taken.get(pin) ?? ''] : []),
  ]
  return free.filter((name, k) =>
    seen.some((one, i) => {
      const [a, b] = [parts(one), parts(seen[i ^ (1 << k)]!)]
      // A register at rest holds its own state, which is no dependence; while it is held it has another's.
      return a.some((part, at) => part !== b[at] && !(at === 1 && name === `q${pin}`))
    }),
  )
}

/** Outputs that drive at some time, and registers that decide about those. */
export function relevantPins(swept: Swept): Set<number> {
  const { design, seen } = swept
  const relevant = new Set(
    design.outputs
      .filter(({ pin, kind }) => kind !== 'input' && seen.some(({ shown }) => shown.get(pin) !== 'Z'))
      .map(({ pin }) => pin),
  )
  for (let size = -1; size !== relevant.size;) {
    size = relevant.size
    for (const pin of [...relevant])
      for (const name of dependenciesOf(swept, pin)) if (name.startsWith('q')) relevant.add(Number(name.slice(1)))
  }
  return relevant
}

/** Level of an output whenever it drives, or of its register after every clock; null where there are two, or none. */
export function constantOf({ design, seen }: Swept, pin: number): 0 | 1 | null {
  const register = isRegistered(design.outputs.find((output) => output.pin === pin)!)
  const levels = new Set(
    seen
      .map(({ shown, taken }) => (register ? taken : shown).get(pin))
      .filter((level) => level === '0' || level === '1'),
  )
  return levels.size === 1 ? (Number([...levels][0]) as 0 | 1) : null
}
