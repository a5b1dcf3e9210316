/**
 * What a fault changes, as functions of what is free: the levels applied and the states of registers. Where nothing
 * changes the fault cannot be shown.
 */
import type { Decoded } from '../../devices/decode'
import { createDiagrams, withConstants, withinLimit, type Diagrams, type Node } from '../../logic/diagrams'
import { partFunctions, type OutputFunctions, type PartFunctions } from '../../logic/functions'
import {
  isBypassed,
  isContradiction,
  placeOf,
  type Cube,
  type Expression,
  type Literal,
  type Logic,
  type LogicCell,
} from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { staysAtRest, staysBetweenEdges } from '../../logic/tried-levels'
import { reachableStates } from '../../logic/reachable'
import { clockVariable, stateBits } from '../../logic/register-steps'
import { nameVariables, planVariables, type Space } from '../../logic/variables'
import { faultyLogic, toggled, type Fault } from './faults'
import type { FuseMap } from '../../fuses/fuse-map'

/**
 * Where a fault makes a difference at pins: the function of the free levels; `unknown` where that is not decided. For
 * parts with registers it is the difference of levels and of next states together, each in some state.
 */
export type Difference = Node | 'unknown'

/** The same, apart: where a level differs as it stands, and where what registers take at a clock differs. */
export interface Differences {
  readonly seen: Node
  readonly taken: Node
}

const NONE: Differences = { seen: 0, taken: 0 }

/** Reaching all states may take one node in so many of all. */
const REACHING_SHARE = 3

/** A map's functions, prepared for its faults. */
export interface FaultFunctions {
  readonly space: Space
  /** `limit` where the diagrams have grown to their limit: those of other faults may have filled them. */
  readonly differencesOf: (fault: Fault) => Differences | 'unknown' | 'limit'
  /** Both together. */
  readonly differenceOf: (fault: Fault) => Difference | 'limit'
  /** True where every level hangs on the applied levels alone: no registers, no loops, nothing undefined. */
  readonly combinational: boolean
  /** Where the states are that can be met from power-up; null where that is not known. */
  readonly reached: () => Node | null
  readonly functions: PartFunctions
}

function together(diagrams: Diagrams, differences: Differences | 'unknown'): Difference {
  return differences === 'unknown' ? differences : diagrams.or(differences.seen, differences.taken)
}

interface Work {
  readonly decoded: Decoded
  readonly fuses: FuseMap
  readonly logic: Logic
  readonly space: Space
  readonly functions: PartFunctions
  readonly literals: readonly (readonly Literal[])[]
  readonly readings: Map<number, Node>
  readonly products: Map<Cube, Node>
  readonly others: Map<readonly Cube[], readonly [readonly Node[], readonly Node[]]>
  readonly uses: ReadonlyMap<number, readonly Use[]>
}

type Purpose = 'enable' | 'value' | 'data' | 'clockedPreset' | 'reset' | 'preset' | 'clock' | 'load'

/** A place at which the term of a row acts. */
interface Use {
  readonly cell: number
  readonly purpose: Purpose
  readonly expression: Expression
}

/** What the functions are made of. */
interface FunctionsGiven {
  /** Literals of each row of the array. */
  readonly literals: readonly (readonly Literal[])[]
  readonly maxNodes: number
  /** States that are known, as the levels that their pins show, by cell; the functions are those of that state. */
  readonly states?: readonly (0 | 1 | undefined)[]
}

/** Prepares the functions of a map; null where they grow past their limit. */
export function prepareFaultFunctions(
  decoded: Decoded,
  fuses: FuseMap,
  given: FunctionsGiven,
): FaultFunctions | null {
  const logic = decoded.logic!
  const space = spaceFor(logic, given)
  const functions = withinLimit(() => partFunctions(space, logic))
  if (!functions) return null
  const work: Work = {
    decoded,
    fuses,
    logic,
    space,
    functions,
    literals: given.literals,
    readings: new Map(),
    products: new Map(),
    others: new Map(),
    uses: planOf(logic).uses,
  }
  let reached: Node | null | undefined
  return {
    space,
    reached: () => (reached === undefined ? (reached = reachedBy(work)) : reached),
    functions,
    differencesOf: (fault) => withinLimit(() => differencesOf(work, fault)) ?? 'limit',
    differenceOf: (fault) => withinLimit(() => together(space.diagrams, differencesOf(work, fault))) ?? 'limit',
    combinational: isCombinational(logic),
  }
}

/** What never changes of a logic, found once. */
interface Plan {
  readonly variables: ReturnType<typeof planVariables>
  readonly uses: ReadonlyMap<number, readonly Use[]>
}

/** Created with the first. */
let plans: WeakMap<Logic, Plan> | null = null

function planOf(logic: Logic): Plan {
  plans ??= new WeakMap()
  const plan = plans.get(logic) ?? { variables: planVariables([{ logic }]), uses: usesOf(logic) }
  plans.set(logic, plan)
  return plan
}

function spaceFor(logic: Logic, { maxNodes, states }: FunctionsGiven): Space {
  const { variables } = planOf(logic)
  const space = nameVariables(createDiagrams(variables.length, { maxNodes }), variables)
  if (!states) return space
  const constants: (Node | undefined)[] = []
  logic.cells.forEach((cell, i) => {
    if (cell.register) constants[space.indexOf('state', String(placeOf(cell)))] = states[i]
  })
  return { ...space, diagrams: withConstants(space.diagrams, constants) }
}

function reachedBy({ logic, space, functions }: Work): Node | null {
  const { diagrams } = space
  if (functions.loops.length > 0 || !staysAtRest(logic)) return null
  const variableOf = ({ place }: OutputFunctions): number => space.indexOf('state', String(place))
  const bits = stateBits(functions, variableOf, () => true)
  return diagrams.attempt(REACHING_SHARE, () => reachableStates(diagrams, functions, bits))
}

/** True where every level hangs on the applied levels alone. */
export function isCombinational(logic: Logic): boolean {
  const { circles, registered } = netlistOf(logic)
  return circles.length === 0 && !registered.includes(true) && logic.cells.every(({ defined }) => defined)
}

function usesOf({ cells }: Logic): Map<number, Use[]> {
  const uses = new Map<number, Use[]>()
  const add = (cell: number, purpose: Purpose, expression: Expression): void => {
    const rows = new Set(expression.sums.flat().map(({ origin }) => origin))
    for (const row of rows) if (row >= 0) uses.set(row, [...(uses.get(row) ?? []), { cell, purpose, expression }])
  }
  cells.forEach((cell, index) => {
    add(index, 'enable', cell.enable)
    if (cell.value) add(index, 'value', cell.value)
    for (const purpose of ['data', 'clockedPreset', 'reset', 'preset', 'clock', 'load'] as const)
      if (cell.register) add(index, purpose, cell.register[purpose])
  })
  return uses
}

function differencesOf(work: Work, fault: Fault): Differences | 'unknown' {
  if (fault.literal === null || fault.row === null) return differencesOfMaps(work, fault)
  const literals = toggled(work.literals[fault.row]!, fault.literal)
  let all = NONE
  for (const use of work.uses.get(fault.row) ?? []) {
    const difference = changeOf(work, use, { row: fault.row, literals })
    if (difference === 'unknown') return difference
    all = both(work, all, difference)
  }
  return all
}

function both({ space: { diagrams } }: Work, a: Differences, b: Differences): Differences {
  return { seen: diagrams.or(a.seen, b.seen), taken: diagrams.or(a.taken, b.taken) }
}

/** What the change of a row does to one place that uses it. */
function changeOf(
  work: Work,
  use: Use,
  changed: { readonly row: number; readonly literals: readonly Literal[] },
): Differences | 'unknown' {
  const { logic, space } = work
  const { diagrams } = space
  const cell = logic.cells[use.cell]!
  const { seen } = netlistOf(logic)
  const changes = expressionChange(work, use, changed)
  if (changes === 0) return NONE
  const loops = space.variables.flatMap(({ kind }, i) => (kind === 'loop' ? [i] : []))
  if (!cell.defined || diagrams.support(changes).some((variable) => loops.includes(variable))) return 'unknown'
  const output = work.functions.outputs.find((each) => each.cell === use.cell)!
  if (use.purpose === 'enable') return cell.pin === null ? NONE : { seen: changes, taken: 0 }
  if (use.purpose === 'value' || isBypassed(cell)) return { seen: diagrams.and(output.enable, changes), taken: 0 }
  if (!seen[use.cell]) return NONE
  const taken = use.purpose === 'data' || use.purpose === 'clockedPreset'
  const difference =
    taken && staysBetweenEdges(logic, use.cell)
      ? beforeEdge(work, output, takenChange(work, cell, use, changes))
      : changes
  if (difference === 0) return NONE
  if (!shows(work, output)) return 'unknown'
  return taken ? { seen: 0, taken: difference } : { seen: difference, taken: 0 }
}

/** A difference of data as it is taken: just before an edge, the clock pin's own column reads 0. */
function beforeEdge({ space: { diagrams } }: Work, { register }: OutputFunctions, difference: Node): Node {
  const clock = register && clockVariable(diagrams, register.clock)
  if (clock === null) return difference
  const levels: (Node | undefined)[] = []
  levels[clock] = 0
  return diagrams.substitute(difference, levels)
}

/** A change of what a register takes, where neither the other input nor a reset covers it. */
function takenChange(work: Work, cell: LogicCell, use: Use, changes: Node): Node {
  const { diagrams } = work.space
  const register = cell.register!
  const other = use.purpose === 'data' ? register.clockedPreset : register.data
  const covered = [other, register.reset].map((expression) => expressionNode(work, expression))
  return covered.reduce((left, cover) => diagrams.and(left, diagrams.not(cover)), changes)
}

/** True where a register's state stands at its own pin at some time. */
function shows({ logic }: Work, output: OutputFunctions): boolean {
  return output.pin !== null && output.enable !== 0 && staysBetweenEdges(logic, output.cell)
}

/** Where an expression changes with a row of it made of other literals. */
function expressionChange(
  work: Work,
  { cell, purpose, expression }: Use,
  { row, literals }: { readonly row: number; readonly literals: readonly Literal[] },
): Node {
  const { diagrams } = work.space
  const instant = purpose === 'enable' || purpose === 'value' || work.logic.cells[cell]!.register?.bypass
  let all: Node = 0
  // An exclusive-or changes where one of its sums does, and the row stands in one sum at most twice over.
  for (const sum of expression.sums) {
    const at = sum.findIndex(({ origin }) => origin === row)
    if (at < 0) continue
    const cube = sum[at]!
    const added = cube.literals.slice(work.literals[row]!.length)
    const next = productOf(work, { literals: [...literals, ...added], origin: -1 }, instant ? cell : null)
    const change = diagrams.xor(productOf(work, cube, null), next)
    if (change === 0) continue
    const [before, after] = othersOf(work, sum)
    const others = diagrams.or(before[at]!, after[at + 1]!)
    all = diagrams.xor(all, diagrams.and(change, diagrams.not(others)))
  }
  return all
}

/** The function of an expression. */
function expressionNode(work: Work, { sums, inverted }: Expression): Node {
  const { diagrams } = work.space
  let parity: Node = inverted ? 1 : 0
  for (const sum of sums) parity = diagrams.xor(parity, othersOf(work, sum)[0][sum.length]!)
  return parity
}

/** The sums of the terms before each one, and of those from each one on. */
function othersOf(work: Work, sum: readonly Cube[]): readonly [readonly Node[], readonly Node[]] {
  const known = work.others.get(sum)
  if (known) return known
  const { diagrams } = work.space
  const products = sum.map((cube) => productOf(work, cube, null))
  const before: Node[] = [0]
  for (const product of products) before.push(diagrams.or(before.at(-1)!, product))
  const after: Node[] = Array<Node>(sum.length + 1).fill(0)
  for (let i = sum.length - 1; i >= 0; i--) after[i] = diagrams.or(after[i + 1]!, products[i]!)
  work.others.set(sum, [before, after])
  return [before, after]
}

function productOf(work: Work, cube: Cube, cutAfter: number | null): Node {
  if (isContradiction(cube)) return 0
  const { diagrams } = work.space
  let product: Node = 1
  for (const literal of cube.literals) {
    const signal = signalNode(work, literal >>> 1, cutAfter)
    product = diagrams.and(product, literal & 1 ? diagrams.not(signal) : signal)
  }
  return product
}

function signalNode(work: Work, index: number, cutAfter: number | null): Node {
  const { logic, space } = work
  const { diagrams } = space
  const signal = logic.signals[index]!
  if (signal.kind === 'register') {
    const cell = logic.cells[signal.cell]!
    const state = diagrams.variable(space.indexOf('state', String(placeOf(cell))))
    return signal.inverted !== cell.register?.inverted ? diagrams.not(state) : state
  }
  if (cutAfter !== null && hangsOn(logic, signal.pin, cutAfter))
    return diagrams.variable(space.indexOf('loop', String(signal.pin)))
  return readingNode(work, signal.pin)
}

/** What the array reads at a pin. */
function readingNode(work: Work, pin: number): Node {
  const known = work.readings.get(pin)
  if (known !== undefined) return known
  const { space, functions, logic } = work
  const { diagrams } = space
  const outside = diagrams.variable(space.indexOf('pin', String(pin)))
  const { drives, cellAt } = netlistOf(logic)
  const output = functions.outputs.find((each) => each.pin === pin)
  const cut = functions.loops.some((loop) => loop.pin === pin)
  const reading = cut
    ? diagrams.variable(space.indexOf('loop', String(pin)))
    : output && drives[cellAt.get(pin)!] !== 'never'
      ? diagrams.choose(output.enable, output.value, outside)
      : outside
  work.readings.set(pin, reading)
  return reading
}

/** True where the level at a pin hangs on that of a cell at once. */
function hangsOn(logic: Logic, pin: number, cell: number): boolean {
  const { feeds, cellAt, drives } = netlistOf(logic)
  const start = cellAt.get(pin)
  if (start === undefined || (drives[start] === 'never' && start !== cell)) return false
  const open = [start]
  const met = new Set(open)
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    if (at === cell) return true
    for (const other of feeds[at]!)
      if (!met.has(other)) {
        met.add(other)
        open.push(other)
      }
  }
  return false
}

/** The difference that a fuse outside the AND array makes, from both maps' functions. */
function differencesOfMaps(work: Work, fault: Fault): Differences | 'unknown' {
  const { decoded, fuses, logic, space, functions } = work
  const other = faultyLogic(decoded, fuses, fault)
  if (!other) return 'unknown'
  if (JSON.stringify(other) === JSON.stringify(logic)) return NONE
  const same = [...logic.cells, ...other.cells].every(({ defined }) => defined)
  const needed = planVariables([{ logic: other }])
  if (!same || needed.some(({ kind, name }) => space.indexOf(kind, name) < 0)) return 'unknown'
  const faulty = partFunctions(space, other)
  if (functions.loops.length + faulty.loops.length > 0) return 'unknown'
  let all = NONE
  for (const [i, a] of functions.outputs.entries()) {
    const difference = cellDifferences(work, a, faulty.outputs[i]!)
    if (difference === 'unknown') return difference
    all = both(work, all, difference)
  }
  return all
}

function cellDifferences(work: Work, a: OutputFunctions, b: OutputFunctions): Differences | 'unknown' {
  const { diagrams } = work.space
  const enables = diagrams.xor(a.enable, b.enable)
  const values = diagrams.and(a.enable, diagrams.xor(a.value, b.value))
  const seen = a.pin === null ? 0 : diagrams.or(enables, values)
  if ((!a.register && !b.register) || seen !== 0) return { seen, taken: 0 }
  if (JSON.stringify(a.register) === JSON.stringify(b.register)) return NONE
  if (!a.register || !b.register || !shows(work, a)) return 'unknown'
  const keys = ['clock', 'setHigh', 'setLow', 'load'] as const
  if (keys.some((key) => a.register![key] !== b.register![key])) return 'unknown'
  const taken = beforeEdge(work, a, diagrams.xor(a.register.next, b.register.next))
  return taken === 0 ? 'unknown' : { seen: 0, taken }
}
