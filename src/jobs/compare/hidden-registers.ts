/** Registers that no pin shows and that act otherwise on one side: whether a pin ever shows it. */
import type { Pieces } from '../../arguments/pieces'
import { undecidedOutput, type ComparedOutput, type HiddenDifference, type LogicComparison } from './compare-logic'
import { sharedNames, type LogicSide } from './logic-sides'
import type { PartOptions } from './compare-parts'
import { followMachines, type MachineResult, type SharedState } from './state-machines'

/** Outputs with what hidden registers make of them, and hidden registers of which that was not found out. */
export interface HiddenOutcome {
  readonly logic: LogicComparison
  readonly open: readonly HiddenDifference[]
}

/** Follows both parts from every state in which a hidden register differs, until a pin shows it or nothing is left. */
export function* followHidden(
  sides: readonly [LogicSide, LogicSide],
  logic: LogicComparison,
  options: PartOptions,
): Pieces<HiddenOutcome> {
  const { hidden, outputs } = logic
  const settled = outputs.some(({ relation }) => relation === 'different')
  if (hidden.length === 0 || settled) return { logic, open: [] }
  if (options.dontCare.length > 0) return { logic, open: hidden }
  const from = hidden.flatMap((each) => each.from ?? [])
  const followed = yield* followMachines(sides, {
    nameOf: sharedNames,
    maxNodes: options.maxNodes,
    maxStates: options.maxStates,
    watch: options.watch,
    from,
  })
  if (followed.from !== null) {
    const shown = { start: from[followed.from]!, side: sides[0] }
    return { logic: shownAt(logic, followed.machines, shown), open: [] }
  }
  const open = followed.machines.result === 'equal' ? hidden.filter((each) => each.from === null) : hidden
  return { logic, open }
}

/** The output that shows it, with the way there. */
function shownAt(
  logic: LogicComparison,
  { pin, sequence, intended, readback }: MachineResult,
  { start, side }: { readonly start: SharedState; readonly side: LogicSide },
): LogicComparison {
  const steps = sequence ?? []
  const outputs = logic.outputs.map((output): ComparedOutput => {
    if (sharedNames(side)(output.cell ?? output.pin, 'pin') !== pin) return output
    const counterexample = {
      inputs: steps.at(-1) ?? {},
      state: statesAsQ(side, start),
      intended: intended ?? 'X',
      readback: readback ?? 'X',
      sequence: steps,
      rows: { intended: [], readback: [] },
    }
    return { ...output, relation: 'different', differsIn: ['next-state'], counterexample, reason: null }
  })
  return { ...logic, outputs }
}

/** Q of the registers of the intended part. */
function statesAsQ(side: LogicSide, { intended }: SharedState): Readonly<Record<string, 0 | 1>> {
  return Object.fromEntries(
    side.logic.cells.flatMap((cell) => {
      const name = sharedNames(side)(cell.pin ?? cell.name, 'state')
      const level = intended[name]
      if (!cell.register || level === undefined) return []
      return [[name, (cell.register.inverted ? 1 - level : level) as 0 | 1] as const]
    }),
  )
}

/** A hidden register as an output of which nothing is claimed. */
export function hiddenRegister({ reason, ...place }: HiddenDifference): ComparedOutput {
  return undecidedOutput({ ...place, side: 'both' }, reason ?? 'hidden-register')
}
