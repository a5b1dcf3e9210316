/** Why something in a simulation is unknown, followed back to where the uncertainty comes in. */
import { cubesOf, isContradiction, type Expression } from './logic'
import { driveOf, NOTHING, signalsOf, UNSTEADY, type Cause, type Simulation } from './simulation-state'
import { evaluateCube, X } from './ternary'

/** Why the level at a pin is unknown: the unknown things that it hangs on, each once. */
export function causesAt(simulation: Simulation, pin: number): readonly Cause[] {
  return collectCauses(simulation, (visit) => visit(pin))
}

/** Why it is unknown whether the output at a pin drives. */
export function causesOfEnable(simulation: Simulation, pin: number): readonly Cause[] {
  const output = simulation.outputAt.get(pin)
  if (output && !output.defined) return [{ kind: 'undefined-cell', pin }]
  return output ? causesOfExpressions(simulation, [output.enable], pin) : []
}

/** Why expressions are unknown; `pin` stands for a loop where nothing else is found. */
export function causesOfExpressions(
  simulation: Simulation,
  expressions: readonly Expression[],
  pin: number,
): readonly Cause[] {
  return collectCauses(
    simulation,
    (visit) => {
      for (const expression of expressions) unknownPins(simulation, expression, visit)
    },
    pin,
  )
}

type Visit = (pin: number, registerOnly?: boolean) => void

function collectCauses(simulation: Simulation, start: (visit: Visit) => void, pin = 0): readonly Cause[] {
  if (!simulation.options.explain) return []
  const causes = new Map<string, Cause>()
  const add = (cause: Cause): void => void causes.set(`${cause.kind} ${cause.pin}`, cause)
  const seen = new Set<number>()
  let lastPin = pin
  const visit: Visit = (pin, registerOnly = false) => {
    const output = simulation.outputAt.get(pin)
    if (registerOnly || (output?.register && simulation.q[simulation.indexAt.get(pin)!] === X))
      simulation.qCauses[simulation.indexAt.get(pin)!]!.forEach(add)
    if (registerOnly || seen.has(pin)) return
    seen.add(pin)
    lastPin = pin
    if (output && !output.defined) add({ kind: 'undefined-cell', pin })
    const drive = output
      ? driveOf(simulation, output, signalsOf(simulation, simulation.readings))
      : { enable: 0, value: X }
    if (drive.enable !== 1 && simulation.readings[pin] === X) {
      if (simulation.applied[pin] === X || simulation.applied[pin] === UNSTEADY) add({ kind: 'input', pin })
      if (simulation.applied[pin] === NOTHING && drive.enable === 0) add({ kind: 'floating', pin })
    }
    if (!output) return
    if (drive.enable === X) unknownPins(simulation, output.enable, visit)
    if (drive.enable !== 0 && drive.value === X && output.value) unknownPins(simulation, output.value, visit)
  }
  start(visit)
  if (causes.size === 0) add({ kind: 'loop', pin: lastPin })
  return [...causes.values()].sort((a, b) => a.pin - b.pin)
}

/** Visits the unknown signals in the unknown cubes of an expression. */
function unknownPins(simulation: Simulation, expression: Expression, visit: Visit): void {
  const signals = signalsOf(simulation, simulation.readings)
  for (const cube of cubesOf(expression)) {
    if (isContradiction(cube) || evaluateCube(cube, signals) !== X) continue
    for (const literal of cube.literals)
      if (signals[literal >>> 1] === X) {
        const signal = simulation.logic.signals[literal >>> 1]!
        visit(signal.pin, signal.kind === 'register')
      }
  }
}
