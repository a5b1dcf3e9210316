/** What images of a chip hold over their addresses, line by line: how many ones, and where the images disagree. */
import type { Wiring } from '../../jobs/capture/wiring'

/** A data line over stretches of addresses. */
export interface LineLevels {
  /** Levels 1 at the pin in each stretch, of all images together. */
  readonly ones: Float64Array
  /** Levels that were read in each stretch. */
  readonly of: number
  /** Addresses of each stretch at which the images disagree. */
  readonly unlike: Float64Array
}

/** Levels by data line. Bytes are counted by their value, so that each word takes one look. */
export function levelsOver(images: readonly Uint8Array[], wiring: Wiring, stretches: number): LineLevels[] {
  const each = 2 ** wiring.address.length / stretches
  const of = each * images.length
  const lines = wiring.data.map(() => ({
    ones: new Float64Array(stretches),
    of,
    unlike: new Float64Array(stretches),
  }))
  const step = wiring.width / 8
  for (let group = 0; group < step; group++) {
    const offset = step === 1 || (group === 1) === (wiring.byteOrder === 'high-first') ? 0 : 1
    const own = lines.slice(8 * group, 8 * group + 8)
    for (let stretch = 0; stretch < stretches; stretch++)
      countStretch(images, { first: stretch * each * step + offset, step, each }, (bit, ones, unlike) => {
        const [line, wire] = [own[bit], wiring.data[8 * group + bit]]
        if (!line) return
        line.ones[stretch] = wire?.inverted ? of - ones : ones
        line.unlike[stretch] = unlike
      })
  }
  return lines
}

interface Stretch {
  readonly first: number
  readonly step: number
  readonly each: number
}

function countStretch(
  images: readonly Uint8Array[],
  { first, step, each }: Stretch,
  take: (bit: number, ones: number, unlike: number) => void,
): void {
  const [values, changes] = [new Float64Array(256), new Float64Array(256)]
  const [reference, ...others] = images
  for (let i = 0, at = first; i < each; i++, at += step) {
    let changed = 0
    values[reference![at]!]!++
    for (const image of others) {
      values[image[at]!]!++
      changed |= image[at]! ^ reference![at]!
    }
    changes[changed]!++
  }
  const withBit = (counts: Float64Array, bit: number): number =>
    counts.reduce((sum, count, value) => ((value >>> bit) & 1 ? sum + count : sum), 0)
  for (let bit = 0; bit < 8; bit++) take(bit, withBit(values, bit), withBit(changes, bit))
}
