/**
 * What a fault changes, as functions of what is free: the levels applied and the states of registers. Where nothing
 * changes the fault cannot be shown.
 */
import { takeSteps } from '../../arguments/work'
import type { Decoded } from '../../devices/decode'
import { createDiagrams, withConstants, withinLimit, type Node } from '../../logic/diagrams'
import { partFunctions, type OutputFunctions, type PartFunctions } from '../../logic/functions'
import {
  isBypassed,
  isContradiction,
  cellNameOf,
  type Cube,
  type Expression,
  type Literal,
  type Logic,
  type LogicCell,
} from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { staysAtRest, staysBetweenEdges } from '../../logic/tried-levels'
import { reachableStates, type Reached } from '../../logic/reachable'
import { stateBits } from '../../logic/register-steps'
import { nameVariables, planVariables, type Space } from '../../logic/variables'
import type { FuseMap } from '../../fuses/fuse-map'
import {
  allOf,
  beforeEdge,
  hangsOnLoops,
  NONE,
  seenOf,
  shows,
  together,
  type FaultDifference,
  type Differences,
  type Ground,
  type Unplaced,
} from './differences'
import { faultyLogic, toggled, type Fault } from './faults'
import { differencesOfMaps } from './map-differences'

/** Reaching all states may take one node in so many of all. */
const REACHING_SHARE = 3

/** A map's functions, prepared for its faults. */
export interface FaultFunctions {
  readonly space: Space
  /** `limit` where the diagrams have grown to their limit: those of other faults may have filled them. */
  readonly differencesOf: (fault: Fault) => Differences | Unplaced | 'limit'
  /** Both together. */
  readonly differenceOf: (fault: Fault) => FaultDifference | 'limit'
  /** True where every level hangs on the applied levels alone: no registers, no loops, nothing undefined. */
  readonly combinational: boolean
  /** What can be met from power-up; null where that is not known. */
  readonly reached: () => Reached | null
  readonly functions: PartFunctions
}

interface Work extends Ground {
  readonly decoded: Decoded
  readonly fuses: FuseMap
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
    readingOf: (pin) => readingNode(work, pin),
    literals: given.literals,
    readings: new Map(),
    products: new Map(),
    others: new Map(),
    uses: planOf(logic).uses,
  }
  let reached: Reached | null | undefined
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
interface Unchanging {
  readonly variables: ReturnType<typeof planVariables>
  readonly uses: ReadonlyMap<number, readonly Use[]>
}

/** Created with the first. */
let plans: WeakMap<Logic, Unchanging> | null = null

function planOf(logic: Logic): Unchanging {
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
    if (cell.register) constants[space.indexOf('state', String(cellNameOf(cell)))] = states[i]
  })
  return { ...space, diagrams: withConstants(space.diagrams, constants) }
}

function reachedBy({ logic, space, functions }: Work): Reached | null {
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

/** Steps of a fault besides those of its diagrams. */
const FAULT_STEPS = 32

function differencesOf(work: Work, fault: Fault): Differences | Unplaced {
  takeSteps(FAULT_STEPS)
  if (fault.literal === null || fault.row === null) {
    const other = faultyLogic(work.decoded, work.fuses, fault)
    return other ? differencesOfMaps(work, other) : 'unknown'
  }
  const literals = toggled(work.literals[fault.row]!, fault.literal)
  const { row } = fault
  return allOf(work, (work.uses.get(row) ?? []).map((use) => changeOf(work, use, { row, literals })))
}

/** What the change of a row does to one place that uses it. */
function changeOf(
  work: Work,
  use: Use,
  changed: { readonly row: number; readonly literals: readonly Literal[] },
): Differences | Unplaced {
  const { logic, space } = work
  const { diagrams } = space
  const cell = logic.cells[use.cell]!
  const { seen } = netlistOf(logic)
  const changes = expressionChange(work, use, changed)
  // Levels that the map composes to others may be held by a loop that the fault makes of them.
  const instant = use.purpose === 'enable' || use.purpose === 'value' || isBypassed(cell)
  const circular = instant && netlistOf(logic).circles.some((circle) => circle.includes(use.cell))
  if (changes === 0) return circular && expressionChange(work, use, changed, use.cell) !== 0 ? 'unknown' : NONE
  if (!cell.defined) return 'unknown'
  const output = work.functions.outputs.find((each) => each.cell === use.cell)!
  if (use.purpose === 'enable') return cell.pin === null ? NONE : seenOf(work, changes)
  if (use.purpose === 'value' || isBypassed(cell)) {
    const seen = diagrams.and(output.enable, changes)
    return seen === 0 && circular ? 'unknown' : seenOf(work, seen)
  }
  if (hangsOnLoops(work, changes)) return 'unknown'
  if (!seen[use.cell]) return NONE
  const taken = use.purpose === 'data' || use.purpose === 'clockedPreset'
  const difference =
    taken && staysBetweenEdges(logic, use.cell)
      ? beforeEdge(work, output, takenChange(work, cell, use, changes))
      : changes
  if (difference === 0) return NONE
  if (!shows(work, output)) return 'unknown'
  return taken ? { ...NONE, taken: difference } : { ...NONE, seen: difference, held: difference }
}

/** A change of what a register takes, where neither the other input nor a reset covers it. */
function takenChange(work: Work, cell: LogicCell, use: Use, changes: Node): Node {
  const { diagrams } = work.space
  const register = cell.register!
  const other = use.purpose === 'data' ? register.clockedPreset : register.data
  const covered = [other, register.reset].map((expression) => expressionNode(work, expression))
  return covered.reduce((left, cover) => diagrams.and(left, diagrams.not(cover)), changes)
}

/** Where an expression changes with a row of it made of other literals. */
function expressionChange(
  work: Work,
  { cell, purpose, expression }: Use,
  { row, literals }: { readonly row: number; readonly literals: readonly Literal[] },
  cutAfter: number | null = null,
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
    const change = diagrams.xor(productOf(work, cube, cutAfter), next)
    if (change === 0) continue
    const others = otherTerms(work, sum, { at, cutAfter })
    all = diagrams.xor(all, diagrams.and(change, diagrams.not(others)))
  }
  return all
}

/** All terms of a sum but one. */
function otherTerms(
  work: Work,
  sum: readonly Cube[],
  { at, cutAfter }: { readonly at: number; readonly cutAfter: number | null },
): Node {
  const { diagrams } = work.space
  if (cutAfter !== null)
    return sum.reduce<Node>((all, cube, i) => (i === at ? all : diagrams.or(all, productOf(work, cube, cutAfter))), 0)
  const [before, after] = othersOf(work, sum)
  return diagrams.or(before[at]!, after[at + 1]!)
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
    const state = diagrams.variable(space.indexOf('state', String(cellNameOf(cell))))
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
