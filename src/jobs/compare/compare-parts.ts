/** Two decoded maps compared: pins paired, fuses by role, logic output by output, registers from their start. */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import type { COMPARE_FINDINGS } from '../../findings/compare-findings'
import type { DataByCode, FindingPlace } from '../../findings/finding'
import type { FuseMap } from '../../fuses/fuse-map'
import type { Decoded } from '../../devices/decode'
import { comparePins } from './compare-output'
import {
  compareLogic,
  undecidedOutput,
  type ComparedOutput,
  type LogicComparison,
  type LogicOptions,
} from './compare-logic'
import { sharedNames, type LogicSide, type PowerUp } from './logic-sides'
import { followHidden, hiddenRegister } from './hidden-registers'
import { fuseDifferences, type FuseDifferences } from './fuse-differences'
import { namesOfOther, type PinPairs } from './pin-pairs'
import { patternOf, type FusePattern } from './read-back'
import { followMachines, type MachineResult } from './state-machines'
import { walkMachines } from './walk-machines'

/** How two parts are compared. */
export interface PartOptions extends Required<Omit<LogicOptions, 'sameCells'>> {
  readonly powerUp: PowerUp
  readonly otherPowerUp: PowerUp
  readonly maxStates: number
  readonly watch: Watch | null
}

type CompareData = DataByCode<typeof COMPARE_FINDINGS>

/** A finding that is still to be made. */
export type Remark<K extends keyof CompareData = keyof CompareData> = {
  readonly [Code in K]: { readonly code: Code; readonly place: FindingPlace; readonly data: CompareData[Code] }
}[K]

/** What comparing two parts gave. */
export interface PairResult {
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable'
  readonly logic: LogicComparison | null
  readonly machines: MachineResult | null
  /** Null between different parts: their fuses have nothing to do with each other. */
  readonly differences: FuseDifferences | null
  readonly pattern: FusePattern | null
  readonly remarks: readonly Remark[]
}

interface Pair {
  readonly intended: Decoded
  readonly readback: Decoded
}

/** True for maps of one part; data of a caller's own are another object each time that they are checked. */
export function isSamePart({ device: a }: Decoded, { device: b }: Decoded): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b)
}

/** Compares two decoded maps of the same part or of two. */
export function* compareParts(
  pair: Pair,
  given: {
    readonly maps: { readonly intended: FuseMap; readonly readback: FuseMap }
    readonly pins: PinPairs | null
    readonly options: PartOptions
  },
): Pieces<PairResult> {
  const { intended, readback } = pair
  const { maps, options } = given
  const differences = isSamePart(intended, readback) ? fuseDifferences(intended, maps) : null
  const pattern =
    differences && intended.device.modes.length > 0 ? patternOf({ intended, readback, maps, differences }) : null
  const remarks: Remark[] = pattern ? [patternRemark(pattern)] : []
  const result = { differences, pattern, machines: null, logic: null }
  if (!intended.logic || !readback.logic) {
    const undecoded = [intended, readback].find(({ device }) => device.modes.length === 0)
    remarks.push(
      remark(
        'compare/logic-not-examined',
        undecoded ? { reason: 'undecoded', part: undecoded.device.part } : { reason: 'one-side-without-mode' },
      ),
    )
    return { ...result, relation: 'undecided', remarks }
  }
  const sides = sidesOf(pair, given.pins, options)
  if (!sides) {
    const [a, b] = [intended.device, readback.device]
    remarks.push(
      remark('compare/packages-differ', { intended: a.part, pins: a.pinCount, readback: b.part, others: b.pinCount }),
    )
    return { ...result, relation: 'not-comparable', remarks }
  }
  const byState = yield* compareLogic(sides[0], sides[1], { ...options, sameCells: sameCells(pair, differences) })
  const hidden = yield* followHidden(sides, byState, options)
  const machines = yield* followIfNeeded(sides, hidden.logic, { options, hidden: hidden.open.length > 0 })
  const logic = withMachines(hidden.logic, machines, { side: sides[0], hidden: hidden.open })
  const relations = logic.outputs.map(({ relation }) => relation)
  const relation = relations.includes('different')
    ? 'different'
    : relations.includes('undecided')
      ? 'undecided'
      : 'equivalent'
  return {
    ...result,
    relation,
    logic,
    machines,
    remarks: [
      ...remarks,
      ...logicRemarks(logic, machines, { options, byState: hidden.logic, hidden: hidden.open.length > 0 }),
    ],
  }
}

/** Pins of undefined cells that have the same fuses on both sides. */
function sameCells({ intended, readback }: Pair, differences: FuseDifferences | null): ReadonlySet<string> {
  if (!differences || intended.mode?.name !== readback.mode?.name) return new Set()
  const touched = new Set(differences.fuses.map(({ pin }) => pin))
  return new Set(
    intended.cells.flatMap(({ cell, setting }) =>
      setting.output === 'undefined' && !touched.has(cell.pin) ? [String(cell.pin)] : [],
    ),
  )
}

/** What following both parts from power-up adds: nothing that is seen, a difference, or less than was hoped for. */
function withMachines(
  logic: LogicComparison,
  machines: MachineResult | null,
  { side, hidden }: { readonly side: LogicSide; readonly hidden: LogicComparison['hidden'] },
): LogicComparison {
  if (machines?.result === 'equal') return equalFromStart(logic)
  if (machines?.result === 'different') return shownFromStart(logic, machines, side)
  const outputs = machines?.reason === 'limit' ? logic.outputs.map(openByStates) : logic.outputs
  return { ...logic, outputs: [...outputs, ...hidden.map(hiddenRegister)] }
}

/** A difference that some state shows is open where nobody knows whether that state is ever reached. */
function openByStates(output: ComparedOutput): ComparedOutput {
  return output.relation === 'different' && hangsOnStates(output) ? undecidedOutput(output, 'state-limit') : output
}

function hangsOnStates({ differsIn, counterexample }: ComparedOutput): boolean {
  return (
    differsIn.some((aspect) => aspect !== 'enable' && aspect !== 'value' && aspect !== 'power-up') ||
    Object.keys(counterexample?.state ?? {}).length > 0
  )
}

/** Both sides with names for their pins; null where packages differ and nothing is stated. */
function sidesOf(
  { intended, readback }: Pair,
  pins: PinPairs | null,
  options: PartOptions,
): readonly [LogicSide, LogicSide] | null {
  const [first, other] = [intended.logic!.pinCount, readback.logic!.pinCount]
  if (pins === null && first !== other) return null
  if (pins !== null)
    for (const [pin, paired] of Object.entries(pins)) {
      if (Number(pin) > first) throw new RangeError(`options.pins: the intended part has no pin ${pin}`)
      if (paired > other) throw new RangeError(`options.pins: the other part has no pin ${paired}`)
    }
  for (const [i, pattern] of options.dontCare.entries())
    for (const pin of Object.keys(pattern))
      if (Number(pin) > first) throw new RangeError(`options.dontCare[${i}]: the intended part has no pin ${pin}`)
  return [
    { logic: intended.logic!, powerUp: options.powerUp, names: null },
    {
      logic: readback.logic!,
      powerUp: options.otherPowerUp,
      names: pins === null ? null : namesOfOther(pins, { first, other }),
    },
  ]
}

/** Aspects that hang on states, so that following the machines from their start may show that they are never seen. */
function* followIfNeeded(
  sides: readonly [LogicSide, LogicSide],
  logic: LogicComparison,
  { options, hidden }: { readonly options: PartOptions; readonly hidden: boolean },
): Pieces<MachineResult | null> {
  const different = logic.outputs.filter(({ relation }) => relation === 'different')
  const registered = sides.some(({ logic: { cells } }) => cells.some(({ register }) => register))
  const unsettled = logic.outputs.some(({ reason }) => reason === 'not-reproduced')
  const byStates = different.some(hangsOnStates)
  // Patterns that do not matter say nothing about sequences.
  const byStart = different.length === 0 && (logic.hiddenStarts.length > 0 || logic.startMoves)
  if (
    !registered ||
    !(byStates || byStart || hidden || unsettled) ||
    options.dontCare.length > 0 ||
    different.some(({ differsIn }) => differsIn.includes('power-up'))
  )
    return null
  const { maxNodes, maxStates, watch } = options
  const { machines: followed } = yield* followMachines(sides, { nameOf: sharedNames, maxNodes, maxStates, watch })
  const several = followed.reason === 'several-clocks' || followed.reason === 'loads'
  return (several ? walkMachines(sides) : null) ?? followed
}

/** Outputs that differ in some state and never from the start on. */
function equalFromStart(logic: LogicComparison): LogicComparison {
  return {
    ...logic,
    outputs: logic.outputs.map((output) =>
      output.relation === 'different' || output.reason === 'not-reproduced'
        ? { ...output, relation: 'equivalent', differsIn: [], counterexample: null, differsWhere: null, reason: null }
        : output,
    ),
  }
}

/** Outputs that tell where hidden registers start, or what no state by itself has shown. */
function shownFromStart(
  logic: LogicComparison,
  { pin, sequence, intended, readback }: MachineResult,
  side: LogicSide,
): LogicComparison {
  if (logic.outputs.some(({ relation }) => relation === 'different')) return logic
  const rows = { intended: [], readback: [] }
  const counterexample = {
    inputs: sequence!.at(-1)!,
    state: {},
    intended: intended!,
    readback: readback!,
    sequence,
    rows,
  }
  const outputs = logic.outputs.map((output): ComparedOutput =>
    sharedNames(side)(output.pin, 'pin') === pin
      ? {
          ...output,
          relation: 'different',
          // What the simulation did not show from the states alone is no matter of where registers start.
          differsIn: [output.reason === null ? 'power-up' : 'next-state'],
          counterexample,
          reason: null,
        }
      : output,
  )
  return { ...logic, outputs }
}

function remark<K extends Remark['code']>(code: K, data: CompareData[K], place: FindingPlace = {}): Remark<K> {
  return { code, data, place }
}

function patternRemark(pattern: FusePattern): Remark {
  switch (pattern.kind) {
    case 'shifted':
      return remark('readback/shifted', { by: pattern.by })
    case 'stuck-column':
    case 'stuck-row': {
      const { index, state, count } = pattern
      return remark(`readback/${pattern.kind}`, { index, state, count })
    }
    case 'alike-from-row': {
      const { index, fuse, state, count } = pattern
      return remark('readback/alike-from-row', { index, fuse, state, count }, { fuse })
    }
    default:
      return remark(`readback/${pattern.kind}`, {})
  }
}

/** That outputs differ, by their pins. */
export function differentRemark(pins: readonly number[]): Remark {
  return remark('compare/different', { count: pins.length, outputs: 'pins', pins })
}

function logicRemarks(
  logic: LogicComparison,
  machines: MachineResult | null,
  {
    options,
    byState,
    hidden,
  }: { readonly options: PartOptions; readonly byState: LogicComparison; readonly hidden: boolean },
): Remark[] {
  const remarks: Remark[] = []
  const pinsWhere = (relation: string): number[] =>
    logic.outputs.filter((output) => output.relation === relation).map(({ pin }) => pin)
  const different = pinsWhere('different')
  if (different.length > 0) remarks.push(differentRemark(different))
  for (const { pin, relation, opposite, reason, side } of logic.outputs) {
    if (relation === 'different' && opposite) remarks.push(remark('compare/opposite-level', { pin }, { pin }))
    if (reason) remarks.push(remark('compare/undecided', { pin, reason }, { pin }))
    if (side !== 'both' && reason !== 'undefined-cell')
      remarks.push(remark('compare/one-sided', { pin, side }, { pin }))
  }
  if (logic.loops.length > 0)
    remarks.push(remark('compare/loops', { pins: [...logic.loops].sort(comparePins) }))
  const openStarts = [
    ...logic.openPowerUp,
    ...(different.length === 0 && machines?.result !== 'equal' ? logic.hiddenStarts : []),
  ]
  if (openStarts.length > 0) remarks.push(remark('compare/power-up-open', { pins: openStarts }))
  if (machines?.result === 'equal' && (hidden || byState.outputs.some(({ relation }) => relation !== 'equivalent')))
    remarks.push(remark('compare/from-start-only', { states: machines.states }))
  if (machines?.result === 'open')
    remarks.push(remark('compare/start-not-explored', { reason: machines.reason! }))
  if (options.dontCare.length > 0) remarks.push(remark('compare/dont-care', { count: options.dontCare.length }))
  return remarks
}
