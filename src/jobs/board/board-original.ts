/** What a board is compared with, as a table over the board's own outside pins. */
import type { Decoded } from '../../devices/decode'
import { isBypassed, pinCells } from '../../logic/logic'
import { netlistOf } from '../../logic/netlist'
import { boardTable, alignTable, alignRows } from './board-table'
import { columnsOf, type Network } from './board-network'
import type { AdapterCollector } from './board-wiring'
import { truthTable, type TruthTable } from '../table/truth-table'

/**
 * The original's table and the board's outputs that it has, by their place among the board's; `ignore`: rows not
 * judged; `off`: what it shows where an output is off.
 */
export interface Original {
  readonly table: TruthTable
  readonly outputs: readonly number[]
  readonly ignore?: Int32Array
  readonly off?: 0 | 1 | 'X'
}

const notComparable = (findings: AdapterCollector, reason: string): null => (
  findings.add('adapter/inputs-differ', {}, { reason }),
  null
)

/** Adds that there is nothing to compare with, and why. */
export function noOriginal(findings: AdapterCollector, reason: string): null {
  findings.add('adapter/original-unusable', {}, { reason })
  return null
}

/** Adds which outputs only one side has; the pins that both have. */
function sharedOutputs(network: Network, theirs: readonly number[], findings: AdapterCollector): number[] {
  const own = columnsOf(network).outputs.map(({ pin }) => pin)
  for (const pin of own)
    if (!theirs.includes(pin)) findings.add('adapter/output-not-compared', { pin }, { pin, side: 'the board' })
  for (const pin of theirs)
    if (!own.includes(pin)) findings.add('adapter/output-not-compared', { pin }, { pin, side: 'the original' })
  const shared = own.filter((pin) => theirs.includes(pin))
  if (shared.length === 0)
    findings.add('adapter/original-unusable', {}, { reason: 'it has no output in common with the board' })
  return shared
}

const placesOf = (network: Network, pins: readonly number[]): number[] =>
  pins.map((pin) => columnsOf(network).outputs.findIndex((column) => column.pin === pin))

/** The table of one part in the board's place; null, with findings, where it cannot be compared. */
export function originalOfPart(network: Network, decoded: Decoded, findings: AdapterCollector): Original | null {
  const logic = decoded.logic!
  const { inputs } = columnsOf(network)
  const isSignal = (pin: number): boolean => pin <= logic.pinCount && !logic.supplyPins.includes(pin)
  const foreign = network.outside.filter(
    ({ direction, pin }) => direction !== 'supply' && direction !== 'ground' && !isSignal(pin),
  )
  if (foreign.length > 0) return notComparable(findings, `pin ${foreign[0]!.pin} carries no signal on the original`)
  const { drives, cellAt } = netlistOf(logic)
  const able = pinCells(logic).filter(({ pin }) => drives[cellAt.get(pin) ?? -1] !== 'never')
  if (able.some((output) => output.register && !isBypassed(output)))
    return noOriginal(findings, 'it has registers, and a table shows no sequences')
  const shared = sharedOutputs(
    network,
    able.map(({ pin }) => pin),
    findings,
  )
  if (shared.length === 0) return null
  const held = Object.fromEntries(
    network.outside.flatMap(({ pin, held: level }) => (level === null ? [] : [[pin, level]])),
  )
  const table = truthTable(decoded, { inputs: inputs.map(({ pin }) => pin), outputs: shared, held })
  if ('reason' in table) return notComparable(findings, `the original depends on ${table.needed.length} inputs`)
  if (table.unlisted.length > 0)
    return notComparable(
      findings,
      `the original depends on pin ${table.unlisted.map(({ pin }) => pin).join(', ')}, which the board does not have`,
    )
  return { table, outputs: placesOf(network, shared) }
}

/** The table of another board. */
export function originalOfBoard(network: Network, other: Network, findings: AdapterCollector): Original | null {
  const [own, theirs] = [columnsOf(network).inputs, columnsOf(other).inputs].map((pins) =>
    pins.map(({ pin }) => pin),
  ) as [number[], number[]]
  const odd = own.find((pin) => !theirs.includes(pin)) ?? theirs.find((pin) => !own.includes(pin))
  if (odd !== undefined) return notComparable(findings, `pin ${odd} is swept on one side only`)
  const shared = sharedOutputs(
    network,
    columnsOf(other).outputs.map(({ pin }) => pin),
    findings,
  )
  return shared.length === 0
    ? null
    : { table: alignTable(boardTable(other).table, own, shared)!, outputs: placesOf(network, shared) }
}

/** A table that somebody made, such as a captured one. */
export function originalOfTable(
  network: Network,
  table: TruthTable,
  { ignore, findings }: { readonly ignore: Int32Array | null; readonly findings: AdapterCollector },
): Original | null {
  const own = columnsOf(network).inputs.map(({ pin }) => pin)
  const theirs = table.inputs.map(({ kind, pin }) => (kind === 'pin' ? pin : -pin))
  const odd = own.find((pin) => !theirs.includes(pin)) ?? theirs.find((pin) => !own.includes(pin))
  if (odd !== undefined)
    return notComparable(
      findings,
      odd < 0
        ? 'the original has states, which a board’s table does not show'
        : `pin ${odd} is swept on one side only`,
    )
  const shared = sharedOutputs(
    network,
    table.outputs.map(({ pin }) => pin),
    findings,
  )
  if (shared.length === 0) return null
  const aligned = alignTable(table, own, shared)
  return (
    aligned && {
      table: aligned,
      outputs: placesOf(network, shared),
      ...(ignore ? { ignore: alignRows(ignore, table, own) } : {}),
    }
  )
}
