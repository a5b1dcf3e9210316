/**
 * In which order the fuses of a chip are numbered, where nobody published it: the orders whose logic fits a capture
 * of the same chip.
 */
import { decode, type Decoded } from '../../devices/decode'
import { deviceInOrder, fuseOrders } from '../../devices/fuse-orders'
import type { WiringMisfit } from '../../findings/capture-findings'
import type { FuseMap } from '../../fuses/fuse-map'
import type { Capture } from './capture'
import { compareCapture } from './compare-capture'
import { partLevels, pulledLevels, type WiredTable, type WiredPins } from '../table/part-levels'

/** One order against a capture. */
export interface TriedOrder {
  /** Name of the order, as `fuseOrders` has it. */
  readonly order: string
  /** What the capture is to the map in this order. */
  readonly relation: 'equivalent' | 'different' | 'undecided' | 'not-comparable'
  /** Of the output that differs in the most rows. */
  readonly differingRows: number
}

/** What a part should give under the wiring of a capture, as the capture was read. */
export function expectedLevels(capture: Capture, decoded: Decoded): WiredTable | WiringMisfit {
  return capture.pulled ? pulledLevels(decoded, wiredPins(capture)) : partLevels(decoded, wiredPins(capture))
}

/** Pins of a capture as `partLevels` takes them. */
export function wiredPins({ table, wiring }: Capture): WiredPins {
  return {
    inputs: table.inputs.map(({ pin }) => pin),
    outputs: table.outputs.map(({ pin }) => pin),
    held: wiring.held,
    off: wiring.off,
  }
}

/**
 * Tries all orders of `fuseOrders` on a map; the fitting ones first, then by differing rows. Orders that the wiring
 * does not fit are left out: all are of one part, so that it fits none.
 */
export function triedOrders(capture: Capture, part: string, fuses: FuseMap): readonly TriedOrder[] {
  const tried = fuseOrders(part).flatMap(({ name }): TriedOrder[] => {
    const levels = expectedLevels(capture, decode(deviceInOrder(part, name), fuses))
    if ('misfit' in levels) return []
    const { relation, outputs } = compareCapture(capture, levels.table, { off: levels.off, describe: false })
    return [{ order: name, relation, differingRows: Math.max(...outputs.map(({ differingRows }) => differingRows)) }]
  })
  const rank = ({ relation }: TriedOrder): number =>
    ['equivalent', 'undecided', 'not-comparable', 'different'].indexOf(relation)
  return tried.sort((a, b) => rank(a) - rank(b) || a.differingRows - b.differingRows)
}
