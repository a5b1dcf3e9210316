/**
 * A part that remembers, read with addresses counting up and counting down: each image is a sequence of addresses, and
 * what the part should show in each of them follows row by row from unknown states, by the reference simulation.
 */
import type { Decoded } from '../../devices/decode'
import { applyLevels } from '../../logic/simulate'
import { levelAt, NOTHING, startSimulation, type Applied, type Simulation } from '../../logic/simulation-state'
import { X } from '../../logic/ternary'
import type { TruthTable } from '../table/truth-table'
import type { Capture } from './capture'
import { compareCapture, type CaptureComparison, type ComparedLine } from './compare-capture'

/** Most addresses that are followed: the reference simulation takes some 0.1 ms for each. */
export const MAX_SEQUENCE_ADDRESSES = 2 ** 15

/** The reads of one chip in both directions, each combined by agreement. */
export interface Directions {
  readonly up: Capture
  readonly down: Capture
}

/**
 * The comparison with outputs that remember judged by both sequences; null where that is not followed: too many
 * addresses, or lines that lead nowhere, so that the addresses do not say what was applied.
 */
export function compareSequences(
  decoded: Decoded,
  { up, down }: Directions,
  {
    table,
    stateful,
    plain,
  }: { readonly table: TruthTable; readonly stateful: readonly number[]; readonly plain: CaptureComparison },
): CaptureComparison | null {
  if (table.rowCount > MAX_SEQUENCE_ADDRESSES || up.wiring.address.some((wire) => !wire)) return null
  const judged = [up, down].map((capture, i) =>
    compareCapture(capture, sequenceTable(decoded, { capture, table, stateful }, i === 1)),
  )
  const outputs = plain.outputs.map((output, i) =>
    stateful.includes(output.pin) ? bothWays(judged[0]!.outputs[i]!, judged[1]!.outputs[i]!) : output,
  )
  const has = (relation: string): boolean => outputs.some((output) => output.relation === relation)
  const relation = has('different') ? 'different' : has('undecided') ? 'undecided' : 'equivalent'
  return { ...plain, relation: plain.relation === 'not-comparable' ? plain.relation : relation, outputs }
}

/** Rows of both sequences together; where it differs in one of them, the first rows are those of that one. */
function bothWays(up: ComparedLine, down: ComparedLine): ComparedLine {
  const shown = up.differingRows > 0 ? up : down
  const relations = [up.relation, down.relation]
  return {
    ...shown,
    relation: relations.includes('different')
      ? 'different'
      : relations.includes('undecided')
        ? 'undecided'
        : 'equivalent',
    differingRows: up.differingRows + down.differingRows,
    openRows: up.openRows + down.openRows,
    ofRows: up.ofRows + down.ofRows,
  }
}

/** The table with the outputs that remember as the sequence makes them; what is not known is X. */
function sequenceTable(
  decoded: Decoded,
  {
    capture,
    table,
    stateful,
  }: { readonly capture: Capture; readonly table: TruthTable; readonly stateful: readonly number[] },
  isFalling: boolean,
): TruthTable {
  const filled = table.outputs.map(({ pin }, i) => ({
    pin,
    isFollowed: stateful.includes(pin),
    ones: table.ones[i]!.slice(),
    open: table.open[i]!.slice(),
  }))
  const followed = filled.filter((column) => column.isFollowed)
  const simulation = startSimulation(decoded.logic!, { explain: false })
  for (let step = 0; step < table.rowCount; step++) {
    const address = isFalling ? table.rowCount - 1 - step : step
    const row = applyAddress(simulation, capture, address)
    const [word, bit] = [row >>> 5, 1 << (row & 31)]
    for (const { pin, ones, open } of followed) {
      const { level } = levelAt(simulation, pin)
      const shown = level === NOTHING ? (capture.wiring.off ?? X) : level
      ones[word] = shown === 0 ? ones[word]! & ~bit : ones[word]! | bit
      open[word] = shown === X ? open[word]! | bit : open[word]! & ~bit
    }
  }
  return { ...table, ones: filled.map(({ ones }) => ones), open: filled.map(({ open }) => open) }
}

/** Applies an address; the row that it is. */
function applyAddress(simulation: Simulation, { wiring, table }: Capture, address: number): number {
  const applied = Array<Applied>(simulation.logic.pinCount + 1).fill(NOTHING)
  if (wiring.off !== null) for (const { pin } of table.outputs) applied[pin] = wiring.off
  for (const [pin, level] of Object.entries(wiring.held)) applied[Number(pin)] = level
  let row = 0
  wiring.address.forEach((wire, line) => {
    const level = (((address >>> line) & 1) ^ (wire!.inverted ? 1 : 0)) as 0 | 1
    applied[wire!.pin] = level
    row |= level << line
  })
  applyLevels(simulation, applied)
  return row
}
