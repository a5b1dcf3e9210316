/** What is watched for hazards, and what may change. */
import type { PossibleLevels } from '../logic/functions'
import type { Space } from '../logic/variables'
import {
  isBypassed,
  cellNameOf,
  structuralConstant,
  usedSignals,
  expressionsOf,
  type Cube,
  type Expression,
  type Logic,
  type LogicCell,
  type CellName,
} from '../logic/logic'
import { netlistOf } from '../logic/netlist'
import { cutPins, type Stage } from '../logic/passing-levels'

/** A signal that must not pulse. */
export interface Watched {
  readonly cell: number
  readonly place: CellName
  readonly part: 'value' | 'enable' | 'clock' | 'reset' | 'preset' | 'load'
  /** True for a pin whose level feeds back to itself. */
  readonly fedBack: boolean
  /** The sums of products that it is made of. */
  readonly sums: readonly (readonly Cube[])[]
  readonly levels: (stage: Stage) => PossibleLevels
  /** When an output drives, so that its level counts; null for a signal that always counts. */
  readonly enable: ((stage: Stage) => PossibleLevels) | null
}

/**
 * Signals of the cells that can be seen from outside. What a register takes is none: its clock samples it at rest. A
 * row that controls several registers is watched at the first.
 */
export function watchedIn(logic: Logic): Watched[] {
  const { seen } = netlistOf(logic)
  const all = logic.cells.flatMap((cell, index) => (seen[index] && cell.defined ? watchedOf(logic, cell, index) : []))
  const keys = all.map(({ part, sums, cell }) =>
    [part, part === 'value' || part === 'enable' ? cell : '', ...sums.flat().map(({ origin }) => origin)].join(' '),
  )
  return all.filter((_, i) => keys.indexOf(keys[i]!) === i)
}

function watchedOf(logic: Logic, cell: LogicCell, index: number): Watched[] {
  const { registered, drives } = netlistOf(logic)
  const { register } = cell
  const common = { cell: index, place: cellNameOf(cell), fedBack: false, enable: null }
  const control = (part: Watched['part'], expression: Expression): Watched[] =>
    structuralConstant(expression) === null
      ? [{ ...common, part, sums: expression.sums, levels: (stage) => stage.expression(expression) }]
      : []
  const controls =
    register && registered[index]
      ? (['clock', 'reset', 'preset', 'load'] as const).flatMap((part) => control(part, register[part]))
      : []
  const showsState = register !== null && !isBypassed(cell) && !register.bypass
  const value: Watched = {
    ...common,
    part: 'value',
    fedBack: cell.pin !== null && cutPins(logic).includes(cell.pin),
    sums: (cell.value ?? register?.data)?.sums ?? [],
    levels: (stage) => stage.value(cell),
    enable: (stage) => stage.enable(cell),
  }
  return [...controls, ...control('enable', cell.enable), ...(drives[index] === 'never' || showsState ? [] : [value])]
}

/** Variables of what may change: levels that are applied to pins that terms read, and registers. */
export function changingVariables({ variables }: Space, logic: Logic): number[] {
  const { drives, cellAt, registered } = netlistOf(logic)
  const used = usedSignals(logic.cells.flatMap(expressionsOf)).map((index) => logic.signals[index]!)
  const pins = new Set(used.flatMap((signal) => (signal.kind === 'pin' ? [signal.pin] : [])))
  const cells = new Set(used.flatMap((signal) => (signal.kind === 'register' ? [signal.cell] : [])))
  for (const pin of pins) {
    const cell = cellAt.get(pin)
    if (cell !== undefined && drives[cell] !== 'never') cells.add(cell)
  }
  const applied = new Set([...pins].filter((pin) => drives[cellAt.get(pin) ?? -1] !== 'always').map(String))
  const states = new Set(
    [...cells].filter((cell) => registered[cell]).map((cell) => String(cellNameOf(logic.cells[cell]!))),
  )
  return variables.flatMap(({ kind, name }, i) =>
    (kind === 'pin' && applied.has(name)) || (kind === 'state' && states.has(name)) ? [i] : [],
  )
}
