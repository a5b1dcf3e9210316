/** Two machines over shared inputs, and the moves by which one pair of states leads to others. */
import type { Node } from '../../logic/diagrams'
import { partFunctions, type PartFunctions } from '../../logic/functions'
import { netlistOf } from '../../logic/netlist'
import type { NameOf, Space } from '../../logic/variables'
import type { LogicSide } from './logic-sides'
import { afterHolds, clockVariable, stateBits, takenBy, type StateBit } from '../../logic/register-steps'

/** Why two machines cannot be followed move by move. */
export type Stop = 'loops' | 'loads' | 'several-clocks' | 'unsettled-resets'

/** A side as functions over shared inputs and states of its own. */
export interface Machine {
  readonly functions: PartFunctions
  readonly nameOf: NameOf
  readonly bits: readonly StateBit[]
  readonly side: LogicSide
}

/** A side with its functions, its states under names of their own. */
export function machineOf(space: Space, side: LogicSide, nameOf: NameOf): Machine {
  const functions = partFunctions(space, side.logic, { nameOf })
  const { seen } = netlistOf(side.logic)
  const bits = stateBits(
    functions,
    ({ place }) => space.indexOf('state', nameOf(place, 'state')),
    ({ cell }) => seen[cell] === true,
  )
  return { functions, nameOf, bits, side }
}

/** Ways to go on from a pair of states, as functions of it and of the inputs. */
export interface Moves {
  /** Inputs with the clock low; a rise of the clock after that; inputs while the clock stays high. */
  readonly low: readonly Node[]
  readonly rise: readonly Node[]
  readonly high: readonly Node[]
  /** Inputs at which the clock is low, and high. */
  readonly isLow: Node
  readonly isHigh: Node
  /** The clock pin; null where the clock is another function, or where there is none. */
  readonly clock: number | null
  /** True where a rise does anything. */
  readonly clocked: boolean
  /** True where it matters outside of edges whether the clock is high. */
  readonly twoPhases: boolean
}

/** The moves of two machines; or why they have none. */
export function movesOf({ diagrams }: Space, machines: readonly Machine[]): Moves | Stop {
  if (machines.some(({ functions }) => functions.loops.length > 0)) return 'loops'
  const bits = machines.flatMap((machine) => machine.bits)
  // A load depends on what is applied while it lasts.
  if (bits.some(({ register }) => register.load !== 0)) return 'loads'
  const clocks = new Set(bits.flatMap(({ register: { clock } }) => (clock > 1 ? [clock] : [])))
  if (clocks.size > 1) return 'several-clocks'
  const [clock = 0] = clocks
  const hangs = (f: Node, variable: number): boolean => diagrams.support(f).includes(variable)
  if (bits.some(({ variable }) => hangs(clock, variable))) return 'several-clocks'
  const pin = clockVariable(diagrams, clock)
  const holds = bits.some(({ register: { setHigh, setLow } }) => setHigh !== 0 || setLow !== 0)
  // Between levels of several pins that clock, holds could act in between.
  if (pin === null && clock !== 0 && holds) return 'several-clocks'
  const at = (level: 0 | 1): (Node | undefined)[] => {
    const replacements: (Node | undefined)[] = []
    if (pin !== null) replacements[pin] = level
    return replacements
  }
  const settle = (from: readonly (Node | undefined)[]): readonly Node[] | null => {
    const sides = machines.map(({ bits: own }) => afterHolds(diagrams, own, from))
    if (sides.some((levels) => levels === null || levels.open !== 0)) return null
    return bits.map(({ variable }, i) => {
      const own = i < machines[0]!.bits.length ? sides[0]! : sides[1]!
      return own.levels[variable] ?? diagrams.variable(variable)
    })
  }
  const low = settle(at(0))
  if (!low) return 'unsettled-resets'
  const lowered = replacing(bits, low, at(0))
  const raised = replacing(bits, low, at(1))
  const taken = bits.map(({ register }, i) =>
    register.clock > 1 ? takenBy(diagrams, register, { before: lowered, high: raised }) : low[i]!,
  )
  const rise = settle(replacing(bits, taken, at(1)))
  const high = settle(at(1))
  if (!rise || !high) return 'unsettled-resets'
  const reads = (f: Node): boolean => pin !== null && hangs(f, pin)
  const twoPhases =
    bits.some(({ register: { setHigh, setLow } }) => reads(setHigh) || reads(setLow)) ||
    machines.some(({ functions }) => functions.outputs.some(({ enable, value }) => reads(enable) || reads(value)))
  return {
    low,
    rise,
    high,
    isLow: diagrams.not(clock),
    isHigh: clock,
    clock: pin,
    clocked: clock !== 0,
    twoPhases,
  }
}

/** Levels of registers, with pins at given levels, as replacements of variables. */
export function replacing(
  bits: readonly StateBit[],
  levels: readonly Node[],
  pins: readonly (Node | undefined)[],
): (Node | undefined)[] {
  const replacements = [...pins]
  bits.forEach(({ variable }, i) => (replacements[variable] = levels[i]))
  return replacements
}
