/** Two whole maps of one part, compared for what they do alone: nothing is said about it. */
import type { Pieces } from '../../arguments/pieces'
import type { Watch } from '../../arguments/watch'
import type { Decoded } from '../../devices/decode'
import type { FuseMap } from '../../fuses/fuse-map'
import type { ComparedOutput } from './compare-logic'
import { compareParts, type PairResult, type PartOptions } from './compare-parts'
import type { Relation } from './comparison'
import { commonDifferences } from './fuse-differences'
import type { PinPairs } from './pin-pairs'
import { withPowerDown } from './power-down'
import type { DecodedPair } from './sides'

/** How parts are compared where nothing else is asked for. */
export const USUAL: PartOptions = {
  powerUp: 'published',
  otherPowerUp: 'published',
  dontCare: [],
  maxNodes: 1_000_000,
  maxStates: 20_000,
  watch: null,
}

/** A pair of decoded maps compared, power-down fuses included. */
export function* comparePair(
  pair: DecodedPair,
  given: {
    readonly maps: { readonly intended: FuseMap; readonly readback: FuseMap }
    readonly pins: PinPairs | null
    readonly options: PartOptions
  },
): Pieces<PairResult> {
  return withPowerDown(yield* compareParts({ intended: pair.a, readback: pair.b }, given), pair, given.maps)
}

/** A map of a certain part of which every fuse is stated. */
export interface WholeMap {
  readonly decoded: Decoded
  readonly fuses: FuseMap
  /** True where it is that of a blank, protected or unread chip. */
  readonly blank: boolean
}

/** The relation of two maps of one part, and each output where it is none of fuses alone. */
export interface RelatedMaps {
  readonly relation: Relation
  readonly outputs: readonly ComparedOutput[]
}

/** What `compare` finds of two maps of one part, without its findings. */
export function* compareMaps(a: WholeMap, b: WholeMap, watch: Watch | null = null): Pieces<RelatedMaps> {
  const maps = { intended: a.fuses, readback: b.fuses }
  if (b.blank) return { relation: 'not-comparable', outputs: [] }
  if (a.fuses.length === b.fuses.length && commonDifferences(a.fuses, b.fuses).length === 0)
    return { relation: 'identical', outputs: [] }
  const pair = { a: a.decoded, b: b.decoded }
  const { relation, logic } = yield* comparePair(pair, { maps, pins: null, options: { ...USUAL, watch } })
  if (relation === 'equivalent' && a.blank) return { relation: 'not-comparable', outputs: [] }
  return { relation, outputs: logic?.outputs ?? [] }
}
