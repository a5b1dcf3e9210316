/** Differences that a fuse outside the AND array makes: of the functions of the map and of those of the faulty one. */
import { takeSteps } from '../../arguments/work'
import { partFunctions, type LoopFunction, type OutputFunctions, type PartFunctions } from '../../logic/functions'
import { isContradiction, type Cube, type Logic } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { planVariables } from '../../logic/variables'
import {
  allOf,
  beforeEdge,
  hangsOnLoops,
  hasLoops,
  NONE,
  seenOf,
  shows,
  type Differences,
  type Ground,
  type Unplaced,
} from './differences'

/** Steps of setting two maps side by side, besides those of their diagrams: some milliseconds. */
const MAP_STEPS = 8000

/** What the logic of a faulty map does otherwise. */
export function differencesOfMaps(ground: Ground, other: Logic): Differences | Unplaced {
  takeSteps(MAP_STEPS)
  const { logic, space, functions } = ground
  if (seenPart(other) === seenPart(logic)) return NONE
  const same = [...logic.cells, ...other.cells].every(({ defined }) => defined)
  const needed = planVariables([{ logic: other }])
  if (!same || needed.some(({ kind, name }) => space.indexOf(kind, name) < 0)) return 'unknown'
  const faulty = partFunctions(space, other)
  const wired = [...new Set([...functions.wired, ...faulty.wired].flat())]
  // Cut wherever the wiring runs in a circle, both are functions of the same levels, and nothing is composed away.
  const cut = [logic, other].map((each) => partFunctions(space, each, { cutAt: wired }))
  const isSame = wired.length === 0 || sameFunctions(ground, cut[0]!, cut[1]!)
  if (functions.loops.length + faulty.loops.length > 0)
    return isSame ? NONE : placeless(ground, mapDifferences(ground, cut[0]!, cut[1]!))
  const found = mapDifferences(ground, functions, faulty)
  return isSame || typeof found === 'string' || found.seen !== 0 || found.taken !== 0 ? found : 'unknown'
}

/**
 * The cells that can be seen, with what they read; others, as most of a small map, change nothing that shows. A row
 * that is never 1 reads nothing.
 */
function seenPart(logic: Logic): string {
  const { cells, signals } = logic
  const { seen } = netlistOf(logic)
  const read = (cube: Cube): unknown =>
    isContradiction(cube) ? 0 : cube.literals.map((each) => [signals[each >>> 1], each & 1])
  const isCube = (value: unknown): value is Cube => typeof value === 'object' && value !== null && 'literals' in value
  const seenCells = cells.map((cell, i) => (seen[i] ? cell : null))
  return JSON.stringify(seenCells, (_, value: unknown) => (isCube(value) ? read(value) : value))
}

/** Differences of maps that are cut: what hangs on no loop is certain, and no place for what registers take. */
function placeless(ground: Ground, found: Differences | Unplaced): Unplaced {
  if (typeof found === 'string') return found
  const isCertain = found.seen !== 0 || (found.taken !== 0 && !hangsOnLoops(ground, found.taken))
  return isCertain && hasLoops(ground) ? 'differs' : 'unknown'
}

function mapDifferences(ground: Ground, own: PartFunctions, faulty: PartFunctions): Differences | Unplaced {
  return allOf(ground, own.outputs.map((a, i) => cellDifferences(ground, [a, faulty.outputs[i]!], own.loops)))
}

function sameFunctions({ space: { diagrams } }: Ground, a: PartFunctions, b: PartFunctions): boolean {
  return (
    JSON.stringify(a.loops) === JSON.stringify(b.loops) &&
    a.outputs.every((one, i) => {
      const other = b.outputs[i]!
      const values = diagrams.and(one.enable, diagrams.xor(one.value, other.value))
      const registers = JSON.stringify(one.register) === JSON.stringify(other.register)
      return one.enable === other.enable && values === 0 && registers
    })
  )
}

function cellDifferences(
  ground: Ground,
  [a, b]: readonly [OutputFunctions, OutputFunctions],
  loops: readonly LoopFunction[],
): Differences | Unplaced {
  const { diagrams } = ground.space
  const enables = diagrams.xor(a.enable, b.enable)
  const values = diagrams.and(a.enable, diagrams.xor(a.value, b.value))
  const seen = a.pin === null ? 0 : diagrams.or(enables, values)
  const registers = registerDifferences(ground, a, b)
  const levels = seenOf(ground, seen, loops)
  if (seen === 0) return registers
  if (typeof levels === 'string') return levels
  // A cell without a register shows all that there is of it.
  if (!b.register) return levels
  return typeof registers === 'string' ? { ...levels, isOpen: true } : { ...registers, seen }
}

/** What registers do otherwise, besides what stands at pins. */
function registerDifferences(ground: Ground, a: OutputFunctions, b: OutputFunctions): Differences | Unplaced {
  const [one, other] = [a.register, b.register]
  if (JSON.stringify(one) === JSON.stringify(other)) return NONE
  if (!one || !other || !shows(ground, a)) return 'unknown'
  const keys = ['clock', 'setHigh', 'setLow', 'load'] as const
  if (keys.some((key) => one[key] !== other[key])) return 'unknown'
  const taken = beforeEdge(ground, a, ground.space.diagrams.xor(one.next, other.next))
  return taken === 0 ? 'unknown' : { ...NONE, taken, isOpen: one.powerUp !== other.powerUp }
}
