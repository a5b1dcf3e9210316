/**
 * What two wrong sums say together. One changed character changes the transmission sum by the difference of the two
 * characters; one changed fuse i changes the fuse sum by 2^(i mod 8). Only what fits exactly is said.
 */
import { fuseAt, type Bit, type FuseMap } from '../fuses/fuse-map'
import type { FuseRanges } from './fuse-file'
import type { EXPLANATION_FINDINGS } from '../findings/explanation-findings'
import type { FindingCollector } from '../findings/finding'
import type { DataOf } from '../findings/wording'

/** The fuses behind the sums, and the offset of the fuse sum in the file. */
export interface SummedFuses {
  readonly fuses: FuseMap
  readonly listed: FuseRanges
  readonly defaultFuse: Bit | null
  readonly offset: number
}

/** Both sums as four hexadecimal digits. */
export interface SumPair {
  readonly fuse: { readonly stated: string; readonly computed: string }
  readonly transmission: { readonly stated: string; readonly computed: string }
}

/** Adds what the pair of sums allows, if anything. */
export function explainPair(
  pair: SumPair,
  given: SummedFuses,
  findings: FindingCollector<typeof EXPLANATION_FINDINGS>,
): void {
  const fuse = difference(pair.fuse)
  const transmission = difference(pair.transmission)
  const place = { offset: given.offset }
  if (transmission === 0) {
    const places = exchangedPlaces(fuse, given)
    if (places) findings.add('checksum/exchanged-digits', place, { difference: fuse, ...places })
    return
  }
  if (isChangedSumDigit(pair.fuse, transmission)) findings.add('checksum/sum-digit', place, pair.fuse)
  const candidates = Math.abs(transmission) === 1 ? flippedDigit(fuse, transmission, given) : null
  if (candidates) findings.add('checksum/one-fuse-digit', place, { candidates })
}

/** computed − stated as a signed 16-bit number. */
function difference(sum: { readonly stated: string; readonly computed: string }): number {
  return ((parseInt(sum.computed, 16) - parseInt(sum.stated, 16)) << 16) >> 16
}

/** Exchanging a 0 and a 1 adds 2^a and takes 2^b away; a and b follow from the difference alone. */
function exchangedPlaces(
  fuse: number,
  { fuses, listed }: SummedFuses,
): { readonly ones: number; readonly zeros: number } | null {
  for (let a = 0; a < 8; a++)
    for (let b = 0; b < 8; b++)
      if (
        a !== b &&
        (1 << a) - (1 << b) === fuse &&
        countListed(fuses, listed, { k: a, now: 1 }) &&
        countListed(fuses, listed, { k: b, now: 0 })
      )
        return { ones: a, zeros: b }
  return null
}

/**
 * True when stated and computed differ in one hexadecimal digit and the transmission sum by just that exchange of
 * characters.
 */
function isChangedSumDigit(
  sum: { readonly stated: string; readonly computed: string },
  transmission: number,
): boolean {
  const computed = /[a-f]/.test(sum.stated) ? sum.computed.toLowerCase() : sum.computed
  const places = [0, 1, 2, 3].filter((i) => sum.stated[i] !== computed[i])
  const [place] = places
  return (
    places.length === 1 &&
    place !== undefined &&
    sum.stated.charCodeAt(place) - computed.charCodeAt(place) === transmission
  )
}

/** One way in which one character can have changed. */
type Candidate = DataOf<(typeof EXPLANATION_FINDINGS)['checksum/one-fuse-digit']>['candidates'][number]

function flippedDigit(
  fuse: number,
  transmission: number,
  { fuses, listed, defaultFuse }: SummedFuses,
): readonly Candidate[] | null {
  const now = transmission > 0 ? 1 : 0
  const found: Candidate[] = []
  const was = 1 - now
  const k = Math.log2(fuse * transmission)
  if (Number.isInteger(k) && k >= 0 && k < 8) {
    const count = countListed(fuses, listed, { k, now })
    if (count > 0) found.push({ kind: 'one-digit', now, was, place: k, count })
  }
  if (defaultFuse === now && ((defaultWeight(fuses, listed) * transmission - fuse) & 0xffff) === 0)
    found.push({ kind: 'default-changed', now, was })
  return found.length > 0 ? found : null
}

function countListed(
  fuses: FuseMap,
  { bounds }: FuseRanges,
  { k, now }: { readonly k: number; readonly now: number },
): number {
  let count = 0
  for (let r = 0; r < bounds.length; r += 2)
    for (let i = bounds[r]! + ((k - bounds[r]! + 8 * 8) & 7); i < bounds[r + 1]!; i += 8)
      if (fuseAt(fuses, i) === now) count++
  return count
}

/** By how much the fuse sum moves when every fuse that no list sets changes from 0 to 1. */
function defaultWeight(fuses: FuseMap, { bounds }: FuseRanges): number {
  let weight = 0
  let from = 0
  for (let r = 0; r <= bounds.length; r += 2) {
    for (let i = from; i < (bounds[r] ?? fuses.length); i++) weight += 1 << (i & 7)
    from = bounds[r + 1] ?? fuses.length
  }
  return weight & 0xffff
}
