/**
 * What resets and presets make of states: which states can be while given levels are applied, where registers stand
 * once holds have acted, and where they stand after a clock. Holds that hang on states act again until nothing moves,
 * all registers at once, as the reference simulation has it.
 */
import type { Diagrams, Node } from './diagrams'
import type { OutputFunctions, PartFunctions, RegisterFunctions } from './functions'

/** A register with the variable that stands for its state. */
export interface StateBit {
  readonly variable: number
  readonly register: RegisterFunctions
}

/** Levels of registers as functions, by variable. */
export interface Levels {
  readonly levels: readonly (Node | undefined)[]
  /** Where a reset and a preset meet at some register, so that its state is unknown. */
  readonly open: Node
  /** The same of each register, by variable; nothing where no register is ever held. */
  readonly openAt: readonly (Node | undefined)[]
  /** Levels in which holds act one after the other, from those given to those that stay. */
  readonly passed: readonly Levels['levels'][]
}

/** The registers of a part that count. */
export function stateBits(
  { outputs }: PartFunctions,
  variableOf: (output: OutputFunctions) => number,
  counts: (output: OutputFunctions) => boolean,
): StateBit[] {
  return outputs.flatMap((output) =>
    output.register && counts(output) ? [{ variable: variableOf(output), register: output.register }] : [],
  )
}

/**
 * Where no reset or preset contradicts a state: states that can last while the levels are applied. Where both act the
 * state is unknown and may be either, while a pin may show the data that pass.
 */
export function lastingStates(diagrams: Diagrams, bits: readonly StateBit[]): Node {
  return bits.reduce((all, { variable, register: { setHigh, setLow } }) => {
    const moved = diagrams.choose(diagrams.variable(variable), setLow, setHigh)
    return diagrams.and(all, diagrams.or(diagrams.not(moved), diagrams.and(setHigh, setLow)))
  }, 1)
}

/** Levels once resets and presets have acted on given levels; null where they never come to rest. */
export function afterHolds(diagrams: Diagrams, bits: readonly StateBit[], from: Levels['levels']): Levels | null {
  if (bits.every(({ register: { setHigh, setLow } }) => setHigh === 0 && setLow === 0))
    return { levels: from, open: 0, openAt: [], passed: [from] }
  const fixed = from.map((level, variable) => (bits.some((bit) => bit.variable === variable) ? undefined : level))
  let levels = bits.map(({ variable }) => from[variable] ?? diagrams.variable(variable))
  const meets = bits.map((): Node => 0)
  const passed: Levels['levels'][] = []
  // Each round that changes something moves at least one register; a chain longer than all of them repeats itself.
  for (let round = 0; round <= bits.length + 1; round++) {
    const replacements = [...fixed]
    bits.forEach(({ variable }, i) => (replacements[variable] = levels[i]))
    passed.push(replacements)
    const next = bits.map(({ register: { setHigh, setLow } }, i) => {
      const [high, low] = [setHigh, setLow].map((f) => diagrams.substitute(f, replacements)) as [Node, Node]
      meets[i] = diagrams.or(meets[i]!, diagrams.and(high, low))
      return diagrams.choose(high, 1, diagrams.choose(low, 0, levels[i]!))
    })
    if (next.every((level, i) => level === levels[i])) {
      const open = meets.reduce((any, each) => diagrams.or(any, each), 0)
      return { levels: replacements, open, openAt: byVariable(bits, meets), passed }
    }
    levels = next
  }
  return null
}

/** Functions of registers by their variables. */
function byVariable(bits: readonly StateBit[], functions: readonly Node[]): (Node | undefined)[] {
  const found: (Node | undefined)[] = []
  bits.forEach(({ variable }, i) => (found[variable] = functions[i]))
  return found
}

/** A clock as one pin; null where it is another function. */
export function clockVariable(diagrams: Diagrams, clock: Node): number | null {
  const [variable, ...others] = diagrams.support(clock)
  return variable !== undefined && others.length === 0 && clock === diagrams.variable(variable) ? variable : null
}

/**
 * What a register takes at a rise: its data just before, unless a reset or preset holds it that stands just before, or
 * once the clock is high. `before` and `high` give the states, and the clock pin at 0 and at 1.
 */
export function takenBy(
  diagrams: Diagrams,
  { next, setHigh, setLow }: RegisterFunctions,
  { before, high }: { readonly before: Levels['levels']; readonly high: Levels['levels'] },
): Node {
  const held = (level: Node, at: Levels['levels']): Node =>
    diagrams.choose(diagrams.substitute(setHigh, at), 1, diagrams.choose(diagrams.substitute(setLow, at), 0, level))
  return held(held(diagrams.substitute(next, before), before), high)
}

/**
 * Levels that registers take at a rise of `clock`, before the states that they take make holds act: none where it is
 * constant. Where the clock is no pin, nothing is said of what makes it rise: holds see what stood before.
 */
export function takenAt(diagrams: Diagrams, bits: readonly StateBit[], clock: Node): readonly (Node | undefined)[] {
  const pin = clockVariable(diagrams, clock)
  const [before, high] = [levelAt(pin, 0), levelAt(pin, 1)]
  const levels = [...high]
  for (const { variable, register } of bits)
    if (clock > 1 && register.clock === clock) levels[variable] = takenBy(diagrams, register, { before, high })
  return levels
}

function levelAt(pin: number | null, level: Node): (Node | undefined)[] {
  const replacements: (Node | undefined)[] = []
  if (pin !== null) replacements[pin] = level
  return replacements
}
