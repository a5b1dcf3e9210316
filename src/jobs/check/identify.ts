/** Which part a map is for: by choice, by size, or, as evidence only, by its test vectors. */
import { DEVICE_FINDINGS } from '../../findings/device-findings'
import { collectFindings, type FindingList, type Locate } from '../../findings/finding'
import { uniformState, type FuseMap } from '../../fuses/fuse-map'
import type { FuseFile } from '../../jesd3/fuse-file'
import { candidatesFor } from '../../devices/catalogue'
import { decode, type Decoded } from '../../devices/decode'
import { isUserDefined, partInOrder } from '../../inspect/chosen-device'
import { hasPackage, mapSizes, orTermCount, takesMap, type Device } from '../../devices/device'
import { checkVectors, NO_VECTORS, type VectorCheck } from '../vectors/check-vectors'
import type { VectorSet } from '../vectors/run-vectors'

/** `size`: the only part that fits. `choice`: the caller's. `vectors`: the only one whose test vectors hold. */
export type Basis = 'size' | 'choice' | 'vectors'

export interface Identified {
  /** Names of all parts that fit, sorted. */
  readonly candidates: readonly string[]
  /** The decoded part; null while it is unknown or ambiguous. */
  readonly decoded: Decoded | null
  readonly basis: Basis | null
  readonly vectors: VectorCheck
  readonly findings: FindingList
}

const NOT_RUN: VectorCheck = {
  summary: NO_VECTORS,
  run: null,
  findings: { findings: [], counts: { error: 0, warning: 0, note: 0 } },
}

/** What identification goes by; `fuseOrder` is for a part found by its size. */
interface Given {
  readonly choice: Device | undefined
  readonly fuseOrder?: string | undefined
  readonly vectors: VectorSet
  readonly limit: number
  readonly locate?: Locate
}

/** Identifies the part of a file, decodes its fuses and runs the vectors. */
export function identify(file: FuseFile, given: Given): Identified {
  const { fuses, fuseCount, pinCount } = file
  const { choice, vectors } = given
  const findings = collectFindings(DEVICE_FINDINGS, { limit: given.limit })
  const candidates = candidatesFor({ fuseCount, pinCount })
  const unknown = (): Identified => ({
    candidates,
    decoded: null,
    basis: null,
    vectors: NOT_RUN,
    findings: findings.list(),
  })
  if (!fuses) {
    const refused = file.findings.some(({ code }) => code === 'file/too-many-fuses')
    if (file.vectors.length > 0 && !refused) findings.add('device/no-fuses')
    return unknown()
  }
  // A map of which nothing is stated is not blank but unknown, which reading has said.
  if (file.listed.bounds.length > 0 || file.defaultFuse !== null) reportBlank(fuses, findings)
  if (choice && !takesMap(choice, fuses.length)) {
    reportSize(choice, { count: fuses.length, candidates }, findings)
    if (fuses.length === choice.array.rows * choice.array.columns && orTermCount(choice) === 0)
      findings.add(
        'device/configuration-missing',
        {},
        { count: fuses.length, part: choice.part, source: choice.sources[0]! },
      )
    return unknown()
  }
  const run = (device: Device): { readonly decoded: Decoded; readonly vectors: VectorCheck } => {
    const decoded = decode(device, fuses)
    return {
      decoded,
      vectors: decoded.logic
        ? checkVectors(decoded.logic, vectors, {
            device,
            limit: given.limit,
            ...(given.locate ? { locate: given.locate } : {}),
          })
        : NOT_RUN,
    }
  }
  const single = choice ?? (candidates.length === 1 ? partInOrder(candidates[0]!, given.fuseOrder) : null)
  if (single) {
    if (isUserDefined(single))
      findings.add(
        'device/user-defined',
        {},
        { part: single.part, basis: BASIS_WORDS[single.basis], source: single.sources.join('; ') },
      )
    const fits = pinCount === null || hasPackage(single, pinCount)
    if (!fits)
      findings.add('device/pin-count-differs', {}, { stated: pinCount, part: single.part, expected: single.pinCount })
    return { candidates, ...run(single), basis: choice ? 'choice' : 'size', findings: findings.list() }
  }
  if (candidates.length === 0) {
    findings.add(
      'device/unknown',
      {},
      { count: fuses.length, pins: pinCount === null ? '' : ` and ${pinCount} pins` },
    )
    return unknown()
  }
  const runs = candidates.map((part) => ({ part, ...run(partInOrder(part, given.fuseOrder)) }))
  const holding = runs.filter(({ vectors }) => vectors.summary.count > 0 && vectors.summary.failed === 0)
  const [only] = holding
  if (only && holding.length === 1 && runs.every(({ vectors }) => vectors.summary.count > 0)) {
    findings.add('device/by-vectors', {}, { candidates: listWords(candidates), part: only.part })
    return { candidates, decoded: only.decoded, vectors: only.vectors, basis: 'vectors', findings: findings.list() }
  }
  findings.add(
    'device/ambiguous',
    {},
    { candidates: listWords(candidates), evidence: evidenceOf(runs) + headerHint(file, candidates) },
  )
  return unknown()
}

const BASIS_WORDS = {
  published: 'from a publication',
  inferred: 'inferred',
  unconfirmed: 'not confirmed',
  memory: 'from memory',
} as const

type Findings = ReturnType<typeof collectFindings<typeof DEVICE_FINDINGS>>

/** A map of another size than the part's, with the parts that it fits instead. */
function reportSize(
  device: Device,
  { count, candidates }: { readonly count: number; readonly candidates: readonly string[] },
  findings: Findings,
): void {
  const fits = candidates.length ? `, as has the ${listWords(candidates)}` : ''
  const instead = candidates.length ? ` To examine it, choose ${candidates.join(' or ')}.` : ''
  findings.add(
    'device/size-mismatch',
    {},
    { part: device.part, expected: mapSizes(device).join(' or '), count, fits, instead },
  )
}

function reportBlank(fuses: FuseMap, findings: Findings): void {
  const state = uniformState(fuses)
  if (state !== null) findings.add('device/blank-map', {}, { count: fuses.length, state })
}

function listWords(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

/** What the vectors say on each candidate, for a person to weigh. */
function evidenceOf(runs: readonly { readonly part: string; readonly vectors: VectorCheck }[]): string {
  const words = runs
    .filter(({ vectors }) => vectors.summary.count > 0)
    .map(({ part, vectors: { summary } }) => `as ${part}, ${summary.failed} of ${summary.count} test vectors fail`)
  return words.length ? `; ${words.join('; ')}` : ''
}

/** A part name in the header or a note: worth telling, never a proof. */
function headerHint(file: FuseFile, candidates: readonly string[]): string {
  const text = [file.designSpecification, ...file.notes].join('\n').toUpperCase()
  const named = candidates.filter((part) => text.includes(part))
  return named.length ? `; its text mentions ${listWords(named)}, which is a hint and no proof` : ''
}
