/** What the facts of a file mean: one rule a finding, each with its condition and its data. */
import { DEVICE_FINDINGS } from '../../findings/device-findings'
import {
  collectFindings,
  type Catalogue,
  type DataByCode,
  type DataOfEach,
  type FindingCollector,
  type FindingList,
} from '../../findings/finding'
import { VECTOR_FINDINGS } from '../../findings/vector-findings'
import { blockOf, hasPackage, mapSizes, orTermCount } from '../../devices/device'
import { plainPartName } from '../../devices/part-names'
import { isUserDefined } from '../../inspect/chosen-device'
import type { Inspection } from '../../inspect/inspection'
import { ownWordsOnPart, partsNamedIn } from '../../inspect/named-parts'
import type { JudgedParts } from './judge-parts'

/** What the rules go by. */
export interface CheckFacts {
  readonly inspection: Inspection
  readonly judged: JudgedParts
  /** True where the vectors are the file's own. */
  readonly ownVectors: boolean
}

type Rule<C extends Catalogue, K extends keyof C = keyof C> = {
  readonly [Code in K]: {
    readonly code: Code
    /** The data of the finding; null where the facts do not call for it. */
    readonly data: (facts: CheckFacts) => DataByCode<C>[Code] | null
  }
}[K]

type Data<K extends keyof typeof DEVICE_FINDINGS> = DataByCode<typeof DEVICE_FINDINGS>[K]

const DEVICE_RULES: readonly Rule<typeof DEVICE_FINDINGS>[] = [
  { code: 'device/no-fuses', data: ({ inspection }) => when(lacksFuses(inspection), {}) },
  { code: 'device/blank-map', data: blankMap },
  { code: 'device/blank-array', data: blankArray },
  { code: 'device/size-mismatch', data: sizeMismatch },
  { code: 'device/configuration-missing', data: configurationMissing },
  { code: 'device/user-defined', data: userDefined },
  { code: 'device/pin-count-differs', data: pinCountDiffers },
  { code: 'device/power-down-fuse-missing', data: powerDownMissing },
  { code: 'device/unknown', data: unknownPart },
  { code: 'device/by-vectors', data: byVectors },
  { code: 'device/ambiguous', data: ambiguous },
  { code: 'device/named-otherwise', data: namedOtherwise },
  { code: 'device/own-words', data: ownWords },
]

const VECTOR_RULES: readonly Rule<typeof VECTOR_FINDINGS>[] = [
  { code: 'vector/none', data: ({ inspection, ownVectors }) => when(ownVectors && lacksVectors(inspection), {}) },
]

/** The findings that the facts of a file call for, apart from those of reading, decoding and running. */
export function findingsOf(
  facts: CheckFacts,
  limit: number,
): { readonly devices: FindingList; readonly vectors: FindingList } {
  const devices = collectFindings(DEVICE_FINDINGS, { limit })
  for (const rule of DEVICE_RULES) apply(rule, facts, devices)
  const vectors = collectFindings(VECTOR_FINDINGS, { limit })
  for (const rule of VECTOR_RULES) apply(rule, facts, vectors)
  return { devices: devices.list(), vectors: vectors.list() }
}

function apply<C extends Catalogue, K extends keyof C>(
  { code, data }: Rule<C, K>,
  facts: CheckFacts,
  findings: FindingCollector<C>,
): void {
  const found = data(facts)
  if (found) findings.add(code, {}, found as DataOfEach<C, K>)
}

function when<T>(holds: boolean, data: T): T | null {
  return holds ? data : null
}

function lacksFuses({ why, file }: Inspection): boolean {
  return why === 'no-fuses' && file.vectors.length > 0
}

function lacksVectors({ file, source }: Inspection): boolean {
  return source === 'file' && file.fuses !== null && file.vectors.length === 0
}

function blankMap({ inspection: { blank, file } }: CheckFacts): Data<'device/blank-map'> | null {
  return blank.map === null ? null : { count: file.fuses!.length, state: blank.map }
}

function blankArray({ inspection: { blank } }: CheckFacts): Data<'device/blank-array'> | null {
  return blank.map !== null || blank.array === null ? null : { state: blank.array }
}

/** A map of another size than the part's, with the parts that it fits instead. */
function sizeMismatch({
  inspection: { why, asked, file, candidates },
}: CheckFacts): Data<'device/size-mismatch'> | null {
  if (why !== 'size') return null
  const { part } = asked!.device
  return {
    part,
    expected: mapSizes(asked!.device),
    count: file.fuses!.length,
    fits: candidates,
  }
}

function configurationMissing({
  inspection: { why, asked, file },
}: CheckFacts): Data<'device/configuration-missing'> | null {
  if (why !== 'size') return null
  const { part, array, sources } = asked!.device
  const arrayOnly = file.fuses!.length === array.rows * array.columns && orTermCount(asked!.device) === 0
  return when(arrayOnly, { count: file.fuses!.length, part, source: sources[0]! })
}

function userDefined({ inspection: { decoded } }: CheckFacts): Data<'device/user-defined'> | null {
  if (!decoded || !isUserDefined(decoded.device)) return null
  const { part, basis, sources } = decoded.device
  return { part, basis, source: sources.join('; ') }
}

function pinCountDiffers({ inspection: { decoded, file } }: CheckFacts): Data<'device/pin-count-differs'> | null {
  if (!decoded || file.pinCount === null || hasPackage(decoded.device, file.pinCount)) return null
  return { stated: file.pinCount, part: decoded.device.part, expected: decoded.device.pinCount }
}

/** A part that has a power-down fuse, and a map that says nothing of it. */
function powerDownMissing({
  inspection: { asked, decoded },
}: CheckFacts): Data<'device/power-down-fuse-missing'> | null {
  if (!asked?.name || !decoded || blockOf(decoded.device, 'power-down', decoded.fuseCount)) return null
  const { powerDownNames = [], powerDownPin, fuseCount, sources } = decoded.device
  const name = plainPartName(asked.name)
  const has = powerDownPin !== undefined && powerDownNames.some((known) => name.startsWith(known))
  return has
    ? { name, count: decoded.fuseCount, whole: fuseCount, pin: powerDownPin, source: sources.join('; ') }
    : null
}

function unknownPart({ inspection: { why, file } }: CheckFacts): Data<'device/unknown'> | null {
  if (why !== 'unknown') return null
  const { pinCount } = file
  return { count: file.fuses!.length, ...(pinCount === null ? { pins: 'unstated' } : { pins: 'stated', pinCount }) }
}

function byVectors({
  inspection: { candidates },
  judged: { basis, decoded },
}: CheckFacts): Data<'device/by-vectors'> | null {
  return basis === 'vectors' ? { candidates, part: decoded!.device.part } : null
}

function ambiguous({ inspection: { why, candidates, file }, judged }: CheckFacts): Data<'device/ambiguous'> | null {
  if (why !== 'ambiguous' || judged.basis === 'vectors') return null
  const runs = judged.runs.flatMap(({ decoded: { device }, vectors: { summary } }) =>
    summary.count > 0 ? [{ part: device.part, failed: summary.failed, count: summary.count }] : [],
  )
  const names = partsNamedIn(file)
  const mentioned = candidates.filter((part) => names.includes(part))
  return { candidates, runs, ...(mentioned.length > 0 ? { mention: 'some', mentioned } : { mention: 'none' }) }
}

/** The file's text names other parts of this size, and not the one that is taken. */
function namedOtherwise({ inspection, judged: { decoded } }: CheckFacts): Data<'device/named-otherwise'> | null {
  if (!decoded) return null
  const { device } = decoded
  const named = partsNamedIn(inspection.file)
  const others = named.filter((part) => inspection.candidates.includes(part) && part !== device.part)
  if (others.length === 0 || named.includes(device.part)) return null
  return { named: others, part: device.part }
}

/** What the file says of a part that is known by its size at most. */
function ownWords({ inspection: { why, file } }: CheckFacts): Data<'device/own-words'> | null {
  const words = why === 'unknown' || why === 'order' || why === 'not-published' ? ownWordsOnPart(file) : []
  return when(words.length > 0, { words })
}
