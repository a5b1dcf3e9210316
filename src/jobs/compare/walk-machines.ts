/**
 * Two parts followed together on the reference simulation, one pin changing at a time: for parts whose registers have
 * clocks of their own, so that a change of any pin may be an edge. Every pair of states with the levels applied is
 * visited, breadth first; a level that is not known ends it.
 */
import { applyLevels } from '../../logic/simulate'
import { netlistOf } from '../../logic/netlist'
import { cellNameOf } from '../../logic/logic'
import { evaluate, X, type Ternary } from '../../logic/ternary'
import {
  NOTHING,
  settle,
  signalsOf,
  startSimulation,
  type Applied,
  type Simulation,
} from '../../logic/simulation-state'
import { comparePins } from './compare-output'
import { freePins, sharedNames, type LogicSide } from './logic-sides'
import { seenAt, type Seen } from './replay'
import type { MachineInputs, MachineResult } from './state-machines'

/** Most moments to visit; each costs a simulation of both parts a pin, some 0.1 ms. */
const MAX_MOMENTS = 3000

const OPEN: MachineResult = {
  result: 'open',
  reason: 'limit',
  states: 0,
  sequence: null,
  pin: null,
  intended: null,
  readback: null,
}

interface Moment {
  readonly inputs: MachineInputs
  readonly sides: readonly [Simulation, Simulation]
  readonly from: Moment | null
}

/** What following gave: as for machines with one clock; null where something is not known on the way. */
export function walkMachines(sides: readonly [LogicSide, LogicSide]): MachineResult | null {
  const start = [startOf(sides[0]), startOf(sides[1])] as const
  const names = freePins({ intended: sides[0], readback: sides[1] })
  if (2 ** names.length > MAX_MOMENTS) return OPEN
  const queue: Moment[] = []
  const seen = new Set<string>()
  // The supply may come up under any levels.
  for (let row = 0; row < 2 ** names.length; row++) {
    const inputs = Object.fromEntries(names.map((name, i) => [name, ((row >>> i) & 1) as 0 | 1] as const))
    const first = beginning(sides, start, inputs)
    if (first === 'loading') continue
    if (!first) return null
    seen.add(keyOf(first))
    queue.push(first)
  }
  for (let at = 0; at < queue.length; at++) {
    const moment = queue[at]!
    const shown = differenceIn(sides, moment)
    if (shown === 'open') return null
    if (shown) return { ...shown, states: seen.size, sequence: wayTo(moment) }
    for (const name of names) {
      const next = changed(sides, moment, name)
      // Loading registers from pins is for testing; what a part does by itself is followed.
      if (next.sides.some((simulation, i) => loads(sides[i]!, simulation))) continue
      if (next.sides.some(({ q }, i) => isOpen(sides[i]!, q))) return null
      const key = keyOf(next)
      if (seen.has(key)) continue
      if (seen.size >= MAX_MOMENTS) return { ...OPEN, states: seen.size }
      seen.add(key)
      queue.push(next)
    }
  }
  return {
    result: 'equal',
    reason: null,
    states: seen.size,
    sequence: null,
    pin: null,
    intended: null,
    readback: null,
  }
}

/** Q of every register after power-up; unknown where nothing is published or stated. */
function startOf({ logic, powerUp }: LogicSide): readonly Ternary[] {
  return logic.cells.map(({ register }): Ternary => {
    if (!register || powerUp === 'unknown') return X
    if (powerUp === 'published') return register.powerUp ?? X
    const shown = powerUp === 'high' ? 1 : 0
    return register.inverted ? ((1 - shown) as 0 | 1) : shown
  })
}

function isOpen({ logic }: LogicSide, q: readonly Ternary[]): boolean {
  const { seen, registered } = netlistOf(logic)
  return q.some((level, i) => level === X && seen[i] === true && registered[i] === true)
}

/** Registers at their start under first levels; null where they do not come to rest. */
function beginning(
  sides: readonly [LogicSide, LogicSide],
  start: readonly [readonly Ternary[], readonly Ternary[]],
  inputs: MachineInputs,
): Moment | 'loading' | null {
  const simulations = sides.map((side, i): Simulation => {
    const simulation = startSimulation(side.logic, { explain: false })
    simulation.applied = appliedTo(side, inputs)
    simulation.q = [...start[i]!]
    simulation.readings = settle(simulation, simulation.applied, simulation).readings
    return simulation
  })
  if (simulations.some((simulation, i) => loads(sides[i]!, simulation))) return 'loading'
  // The levels stand already, so that none of them is an edge; resets and presets act.
  for (const simulation of simulations) applyLevels(simulation, simulation.applied)
  if (simulations.some(({ q }, i) => isOpen(sides[i]!, q))) return null
  return { inputs, sides: [simulations[0]!, simulations[1]!], from: null }
}

function appliedTo(side: LogicSide, inputs: MachineInputs): Applied[] {
  const { logic } = side
  return Array.from({ length: logic.pinCount + 1 }, (_, pin): Applied => {
    const level = pin === 0 ? undefined : inputs[sharedNames(side)(pin, 'pin')]
    return level ?? NOTHING
  })
}

function changed(sides: readonly [LogicSide, LogicSide], moment: Moment, name: string): Moment {
  const inputs = { ...moment.inputs, [name]: (1 - moment.inputs[name]!) as 0 | 1 }
  const next = moment.sides.map((simulation, i): Simulation => {
    const copy = { ...simulation }
    applyLevels(copy, appliedTo(sides[i]!, inputs))
    return copy
  })
  return { inputs, sides: [next[0]!, next[1]!], from: moment }
}

function keyOf({ inputs, sides }: Moment): string {
  return `${Object.values(inputs).join('')} ${sides.map(({ q }) => q.join('')).join(' ')}`
}

/** The first output that shows different things; `open` where one is not known. */
function differenceIn(
  sides: readonly [LogicSide, LogicSide],
  { sides: simulations }: Moment,
): Omit<MachineResult, 'states' | 'sequence'> | 'open' | null {
  const shown = sides.map((side, i) => shownBy(side, simulations[i]!))
  const names = [...new Set(shown.flatMap((each) => [...each.keys()]))].sort(comparePins)
  let open = false
  for (const name of names) {
    const [intended, readback] = shown.map((each) => each.get(name) ?? 'Z') as [Seen, Seen]
    if (intended === 'X' || readback === 'X') open = true
    else if (intended !== readback) return { result: 'different', reason: null, pin: name, intended, readback }
  }
  return open ? 'open' : null
}

function shownBy(side: LogicSide, simulation: Simulation): Map<string, Seen> {
  const { drives } = netlistOf(side.logic)
  return new Map(
    side.logic.cells.flatMap((cell, i) =>
      drives[i] === 'never' ? [] : [[sharedNames(side)(cellNameOf(cell), 'pin'), seenAt(simulation, i).pin] as const],
    ),
  )
}

function wayTo(moment: Moment): MachineInputs[] {
  const steps: MachineInputs[] = []
  for (let at: Moment | null = moment; at; at = at.from) steps.unshift(at.inputs)
  return steps
}

/** Whether a load acts at a moment. */
function loads({ logic }: LogicSide, simulation: Simulation): boolean {
  const signals = signalsOf(simulation, simulation.readings)
  return logic.cells.some(({ register }) => register !== null && evaluate(register.load, signals) !== 0)
}
