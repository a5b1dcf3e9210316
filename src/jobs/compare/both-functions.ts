/** The functions of two parts over shared variables, with their registers paired: by Q, or by its complement. */
import { createDiagrams, type Diagrams, type Node } from '../../logic/diagrams'
import { partFunctions, type OutputFunctions, type PartFunctions, type RegisterFunctions } from '../../logic/functions'
import { nameVariables, planVariables, type FreeVariable, type Space } from '../../logic/variables'
import type { CellName } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { comparePins } from './compare-output'
import { pinsNamed, placesNamed, sharedNames, type LogicSide, type LogicSides } from './logic-sides'
import {
  afterHolds,
  clockVariable,
  lastingStates,
  stateBits,
  takenAt,
  type Levels,
  type StateBit,
} from '../../logic/register-steps'

/** What resets and presets make of the states of one side. */
export interface SideStates {
  readonly bits: readonly StateBit[]
  /** States that can last under the applied levels, and states that can last under some. */
  readonly lasting: Node
  readonly possible: Node
  /** Levels once holds have acted; null where they never come to rest. */
  readonly held: Levels | null
  /** Levels that registers take at a rise of a clock. */
  readonly taken: (clock: Node) => Levels['levels']
  /** The same once holds have acted; null where they never come to rest. */
  readonly clocked: (clock: Node) => Levels | null
  /** True where every clock is a pin. */
  readonly clockedByPins: boolean
}

/** Both sides over shared variables. */
export interface Both {
  readonly space: Space
  readonly intended: PartFunctions
  readonly readback: PartFunctions
  readonly states: { readonly intended: SideStates; readonly readback: SideStates }
  /** Names of pins at which loops are cut on both sides. */
  readonly loops: readonly string[]
}

/** How the functions are made. */
export interface Making {
  readonly maxNodes: number
  readonly order: (variables: readonly FreeVariable[]) => readonly FreeVariable[]
  /** Names of the outputs to look at; all where left out. */
  readonly only?: readonly string[]
}

/** Registers of the other side whose variable is the complement of what its pin shows. */
type Flips = ReadonlySet<CellName>

/** The functions of both sides; loops are cut at the same pins on both, and registers paired so that most is equal. */
export function functionsOfBoth(sides: LogicSides, making: Making): Both {
  const variables = making.order(
    planVariables([sides.intended, sides.readback].map((side) => ({ logic: side.logic, nameOf: sharedNames(side) }))),
  )
  const space = nameVariables(createDiagrams(variables.length, { maxNodes: making.maxNodes }), variables)
  const flips = choosePairing(space, sides, making)
  return makeBoth(space, sides, making, flips)
}

function makeBoth(space: Space, { intended, readback }: LogicSides, { only }: Making, flips: Flips): Both {
  const make = (side: LogicSide, cut: readonly string[]): PartFunctions =>
    partFunctions(space, side.logic, {
      nameOf: sharedNames(side),
      ...(only ? { only: placesNamed(side, only) } : {}),
      ...(cut.length > 0 ? { cutAt: pinsNamed(side, cut) } : {}),
      ...(side === readback ? { flipped: flips } : {}),
    })
  const first = [make(intended, []), make(readback, [])] as const
  const named = (part: PartFunctions, side: LogicSide): string[] =>
    part.loops.map(({ pin }) => sharedNames(side)(pin, 'pin'))
  const loops = [...new Set([...named(first[0], intended), ...named(first[1], readback)])].sort(comparePins)
  const [a, b] = loops.length === 0 ? first : [make(intended, loops), make(readback, loops)]
  return {
    space,
    intended: a,
    readback: b,
    states: { intended: statesOf(space, intended, a), readback: statesOf(space, readback, b) },
    loops,
  }
}

function statesOf(space: Space, side: LogicSide, part: PartFunctions): SideStates {
  const { diagrams, indexOf, variables } = space
  const { seen } = netlistOf(side.logic)
  const variableOf = ({ place }: OutputFunctions): number => indexOf('state', sharedNames(side)(place, 'state'))
  const bits = stateBits(part, variableOf, ({ cell }) => seen[cell] === true)
  const held = afterHolds(diagrams, bits, [])
  // What does not hang on registers that never come to rest differs all the same.
  const lasting = held ? lastingStates(diagrams, bits) : 1
  const outside = variables.flatMap(({ kind }, i) => (kind === 'state' ? [] : [i]))
  const clocked = new Map<Node, Levels | null>()
  const isPin = (clock: Node): boolean => variables[clockVariable(diagrams, clock) ?? -1]?.kind === 'pin'
  const taken: SideStates['taken'] = (clock) => takenAt(diagrams, bits, clock)
  return {
    bits,
    lasting,
    possible: lasting === 1 ? 1 : diagrams.exists(lasting, outside),
    held,
    taken,
    clocked: (clock) => {
      const known = clocked.get(clock)
      if (known !== undefined) return known
      const levels = afterHolds(diagrams, bits, taken(clock))
      clocked.set(clock, levels)
      return levels
    },
    clockedByPins: bits.every(({ register: { clock } }) => clock <= 1 || isPin(clock)),
  }
}

/** A register on both sides. */
interface RegisterPair {
  readonly place: CellName
  readonly a: RegisterFunctions
  readonly b: RegisterFunctions
}

/**
 * Rounds of turning over registers that take the complement; each round settles those that only the ones before kept.
 */
const MAX_TURNS = 4

/**
 * Pairs registers by the level that their pins show, or by Q, or with single ones turned over where they take the
 * complement: whichever leaves the most registers and outputs equal; the level at the pin where it makes no difference.
 */
function choosePairing(space: Space, sides: LogicSides, making: Making): Flips {
  const [shown, byQ] = [new Set<CellName>(), flipsByQ(sides)]
  const first = rate(space, makeBoth(space, sides, making, shown), sides)
  if (first.pairs.length === 0 || first.unlike === 0) return shown
  let best = { flips: shown as Flips, unlike: first.unlike }
  for (const start of byQ.size > 0 ? [byQ, shown] : [shown]) {
    let flips: Flips = start
    for (let turn = 0; turn < MAX_TURNS; turn++) {
      const rated = rate(space, makeBoth(space, sides, making, flips), sides)
      if (rated.unlike < best.unlike) best = { flips, unlike: rated.unlike }
      const opposite = rated.pairs.filter((pair) => takesComplement(space.diagrams, pair))
      if (opposite.length === 0) break
      flips = toggled(
        flips,
        opposite.map(({ place }) => place),
      )
    }
  }
  return best.flips
}

function toggled(flips: Flips, places: readonly CellName[]): Flips {
  const next = new Set(flips)
  for (const place of places) if (!next.delete(place)) next.add(place)
  return next
}

/** Registers whose output buffers invert on one side only. */
function flipsByQ({ intended, readback }: LogicSides): Flips {
  const inverted = new Map<string, boolean>()
  for (const cell of intended.logic.cells)
    if (cell.register) inverted.set(sharedNames(intended)(cell.pin ?? cell.name, 'state'), cell.register.inverted)
  return new Set(
    readback.logic.cells.flatMap((cell) => {
      const own = inverted.get(sharedNames(readback)(cell.pin ?? cell.name, 'state'))
      return cell.register && own !== undefined && own !== cell.register.inverted ? [cell.pin ?? cell.name] : []
    }),
  )
}

/** Pairs of registers, and how many outputs and registers that can be seen are not equal function by function. */
function rate(
  { diagrams }: Space,
  { intended, readback }: Both,
  sides: LogicSides,
): { readonly pairs: readonly RegisterPair[]; readonly unlike: number } {
  const { seen } = netlistOf(sides.readback.logic)
  const byName = new Map(intended.outputs.map((each) => [sharedNames(sides.intended)(each.place, 'pin'), each]))
  const pairs: RegisterPair[] = []
  let unlike = 0
  for (const b of readback.outputs) {
    const a = byName.get(sharedNames(sides.readback)(b.place, 'pin'))
    if (!a || !seen[b.cell]) continue
    if (a.enable !== b.enable || diagrams.and(a.enable, diagrams.xor(a.value, b.value)) !== 0) unlike++
    if (!a.register || !b.register) continue
    pairs.push({ place: b.place, a: a.register, b: b.register })
    if (functionsDiffer(a.register, b.register)) unlike++
  }
  return { pairs, unlike }
}

function functionsDiffer(a: RegisterFunctions, b: RegisterFunctions): boolean {
  return a.next !== b.next || a.setHigh !== b.setHigh || a.setLow !== b.setLow || a.clock !== b.clock
}

function takesComplement(diagrams: Diagrams, { a, b }: RegisterPair): boolean {
  return diagrams.xor(a.next, b.next) === 1
}
