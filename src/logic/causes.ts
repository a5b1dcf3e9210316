/** Why something in a simulation is unknown, followed back to where the uncertainty comes in. */
import { cubesOf, isContradiction, type Expression } from './logic'
import { driveOf, NOTHING, signalsOf, UNSTEADY, type Cause, type Simulation } from './simulation-state'
import { evaluateCube, X } from './ternary'

/** Why the level at a pin is unknown: the unknown things that it hangs on, each once. */
export function causesAt(simulation: Simulation, pin: number): readonly Cause[] {
  return collectCauses(simulation, (visitor) => visitor.pin(pin))
}

/** Why it is unknown whether the output at a pin drives. */
export function causesOfEnable(simulation: Simulation, pin: number): readonly Cause[] {
  const cell = simulation.logic.cells[simulation.netlist.cellAt.get(pin) ?? -1]
  if (cell && !cell.defined) return [{ kind: 'undefined-cell', pin }]
  return cell ? causesOfExpressions(simulation, [cell.enable], { kind: 'loop', pin }) : []
}

/** Why expressions are unknown; `otherwise` stands where nothing else is found. */
export function causesOfExpressions(
  simulation: Simulation,
  expressions: readonly Expression[],
  otherwise: Cause,
): readonly Cause[] {
  return collectCauses(
    simulation,
    (visitor) => {
      for (const expression of expressions) visitUnknown(simulation, expression, visitor)
    },
    otherwise,
  )
}

/** Follows an unknown level at a pin, or an unknown Q. */
interface Visitor {
  readonly pin: (pin: number) => void
  readonly register: (cell: number) => void
}

function collectCauses(
  simulation: Simulation,
  start: (visitor: Visitor) => void,
  otherwise: Cause | null = null,
): readonly Cause[] {
  const { logic, netlist, options, q, qCauses } = simulation
  if (!options.explain) return []
  const causes = new Map<string, Cause>()
  const add = (cause: Cause): void => void causes.set(`${cause.kind} ${cause.pin} ${cause.cell}`, cause)
  const seen = new Set<number>()
  let last: Cause | null = otherwise
  const visitor: Visitor = {
    register: (cell) => qCauses[cell]!.forEach(add),
    pin: (pin) => {
      const index = netlist.cellAt.get(pin)
      const cell = logic.cells[index ?? -1]
      if (index !== undefined && cell?.register && q[index] === X) visitor.register(index)
      if (seen.has(pin)) return
      seen.add(pin)
      last = { kind: 'loop', pin }
      if (cell && !cell.defined) add({ kind: 'undefined-cell', pin })
      const drive =
        index === undefined
          ? { enable: 0, value: X }
          : driveOf(simulation, index, signalsOf(simulation, simulation.readings))
      if (drive.enable !== 1 && simulation.readings[pin] === X)
        addOutside(simulation, pin, { add, off: drive.enable === 0 })
      if (!cell) return
      if (drive.enable === X) visitUnknown(simulation, cell.enable, visitor)
      if (drive.enable !== 0 && drive.value === X && cell.value) visitUnknown(simulation, cell.value, visitor)
    },
  }
  start(visitor)
  if (causes.size === 0 && last) add(last)
  return [...causes.values()].sort((a, b) => a.pin - b.pin)
}

/** What is unknown because of what the outside applies. */
function addOutside(
  { applied }: Simulation,
  pin: number,
  { add, off }: { readonly add: (cause: Cause) => void; readonly off: boolean },
): void {
  if (applied[pin] === X || applied[pin] === UNSTEADY) add({ kind: 'input', pin })
  if (applied[pin] === NOTHING && off) add({ kind: 'floating', pin })
}

/** Visits the unknown signals in the unknown cubes of an expression. */
function visitUnknown(simulation: Simulation, expression: Expression, visitor: Visitor): void {
  const signals = signalsOf(simulation, simulation.readings)
  for (const cube of cubesOf(expression)) {
    if (isContradiction(cube) || evaluateCube(cube, signals) !== X) continue
    for (const literal of cube.literals) {
      if (signals[literal >>> 1] !== X) continue
      const signal = simulation.logic.signals[literal >>> 1]!
      if (signal.kind === 'pin') visitor.pin(signal.pin)
      else visitor.register(signal.cell)
    }
  }
}
