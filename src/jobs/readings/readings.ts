/** Several reads of one chip: which fuses do not hold still. */
import { SCHEMA } from '../../findings/schema'
import { listOf, optionsOf, stringOf } from '../../arguments/arguments'
import { collectFindings, verdictOf, type Finding, type FindingCollector, type Verdict } from '../../findings/finding'
import { READINGS_FINDINGS } from '../../findings/readings-findings'
import { fuseAt, uniformState, type Bit, type FuseMap } from '../../fuses/fuse-map'
import type { Device } from '../../devices/device'
import { roleOf, type FuseRole } from '../../devices/fuse-role'
import type { Decoded } from '../../devices/decode'
import { type InspectInput, inspectWith } from '../../inspect/inspect'
import type { Inspection } from '../../inspect/inspection'

/** A fuse that differs between reads. */
export interface MovingFuse extends Partial<FuseRole> {
  /** Number of the fuse, from 0. */
  readonly fuse: number
  /** State in each read, in the order of the reads. */
  readonly states: readonly Bit[]
  /** The state toward which it moves: the later one where it changes once; null where it goes back and forth. */
  readonly toward: Bit | null
}

/** How many moving fuses lie in a row or a column of the array; most first. */
export interface Cluster {
  /** Number of the row or column. */
  readonly index: number
  /** Moving fuses in it. */
  readonly count: number
}

/** What several reads of one chip show. */
export interface ReadingsReport {
  /** Version of this document: 1. */
  readonly schema: 1
  /** Names given by the caller, in the order of the reads; null for one without. */
  readonly files: readonly (string | null)[]
  /** True where all reads are usable and have the same fuses. */
  readonly equal: boolean
  /** What the findings make of the reads. */
  readonly verdict: Verdict
  /** Null where the reads have different sizes or one is unusable. */
  readonly fuseCount: number | null
  /** Fuses that are not the same in all reads. */
  readonly moving: readonly MovingFuse[]
  /** How many of them lie in each row of the array, most first. */
  readonly byRow: readonly Cluster[]
  /** How many of them lie in each column of the array, most first. */
  readonly byColumn: readonly Cluster[]
  /** Everything that was found, worst first. */
  readonly findings: readonly Finding[]
}

/** What the reads are of. */
export interface ReadingsOptions {
  /** The part, for rows, columns and roles; found by size where left out. */
  readonly device?: string | Device
  /** Names of the files, for the report. */
  readonly names?: readonly string[]
}

/** Fewest moving fuses that make a cluster. */
const FEWEST = 3

/**
 * Compares two or more reads of one chip, fuse by fuse.
 *
 * @param reads bytes or text of fuse files, or what `inspect` gave of them, in the order in which they were read
 * @param options part and limits
 * @returns the fuses that are not the same in all reads, by row and column where the part is known
 * @throws TypeError for fewer than two reads or another kind of input, RangeError for an unknown part
 * @example compareReadings([palBytes, chipBytes]).moving.map(({ fuse }) => fuse) // [125]
 */
export function compareReadings(reads: readonly InspectInput[], options: ReadingsOptions = {}): ReadingsReport {
  if (!Array.isArray(reads) || reads.length < 2) throw new TypeError('reads must be a list of two or more fuse files')
  const { device, names = [] } = optionsOf(options, { device: true, names: true })
  listOf(names, 'options.names').forEach((name, i) => stringOf(name, `options.names[${i}]`))
  const inspections = reads.map((read, i) => inspectWith(read, `reads[${i}]`, device === undefined ? {} : { device }))
  const findings = collectFindings(READINGS_FINDINGS, { limit: 100 })
  const maps = usableMaps(inspections, findings)
  const moving = maps ? movingFuses(maps, inspections[0]!.decoded) : []
  const [byRow, byColumn] = [clusters(moving, 'row'), clusters(moving, 'column')]
  if (maps) remark({ maps, moving, byRow, byColumn }, findings)
  const list = findings.list()
  return {
    schema: SCHEMA,
    files: reads.map((_, i) => names[i] ?? null),
    equal: maps !== null && moving.length === 0,
    verdict: verdictOf(list.counts),
    fuseCount: maps?.[0]?.length ?? null,
    moving,
    byRow,
    byColumn,
    findings: list.findings,
  }
}

type Collector = FindingCollector<typeof READINGS_FINDINGS>

function usableMaps(inspections: readonly Inspection[], findings: Collector): FuseMap[] | null {
  inspections.forEach(({ file, complete }, i) => {
    if (!complete) findings.add('readings/unusable', {}, { number: i + 1 })
    else if (file.checksums.fuse.status === 'mismatch')
      findings.add(
        'readings/sum-contradicts',
        {},
        { number: i + 1, stated: file.checksums.fuse.stated!, computed: file.checksums.fuse.computed! },
      )
  })
  if (!inspections.every(({ complete }) => complete)) return null
  const maps = inspections.map(({ file }) => file.fuses!)
  const sizes = [...new Set(maps.map(({ length }) => length))]
  if (sizes.length === 1) return maps
  findings.add('readings/sizes-differ', {}, { sizes })
  return null
}

function movingFuses(maps: readonly FuseMap[], decoded: Decoded | null): MovingFuse[] {
  const [first, ...others] = maps as [FuseMap, ...FuseMap[]]
  const differing = (byte: number): number =>
    others.reduce((bits, map) => bits | (map.bits[byte]! ^ first.bits[byte]!), 0)
  const fuses = Array.from({ length: first.bits.length }, (_, byte) => byte).flatMap((byte) =>
    Array.from({ length: 8 }, (_, bit) => bit).flatMap((bit) =>
      (differing(byte) >>> bit) & 1 ? [8 * byte + bit] : [],
    ),
  )
  return fuses.map((fuse) => {
    const states = maps.map((map) => fuseAt(map, fuse))
    const changes = states.filter((state, i) => i > 0 && state !== states[i - 1]).length
    return {
      fuse,
      states,
      toward: changes === 1 ? states.at(-1)! : null,
      ...(decoded?.mode ? roleOf(decoded, fuse) : {}),
    }
  })
}

function clusters(moving: readonly MovingFuse[], line: 'row' | 'column'): Cluster[] {
  const counts = new Map<number, number>()
  for (const { row, column } of moving) {
    const index = column === null || column === undefined ? null : line === 'row' ? row! : column
    if (index !== null) counts.set(index, (counts.get(index) ?? 0) + 1)
  }
  return [...counts]
    .map(([index, count]) => ({ index, count }))
    .sort((a, b) => b.count - a.count || a.index - b.index)
}

function remark(
  {
    maps,
    moving,
    byRow,
    byColumn,
  }: { readonly maps: readonly FuseMap[] } & Pick<ReadingsReport, 'moving' | 'byRow' | 'byColumn'>,
  findings: Collector,
): void {
  const state = uniformState(maps[0]!)
  if (moving.length === 0) {
    if (state !== null) findings.add('readings/all-alike', {}, { state })
    findings.add('readings/steady', {}, { reads: maps.length, count: maps[0]!.length })
    return
  }
  const count = (toward: Bit | null): number => moving.filter((each) => each.toward === toward).length
  const moved = { up: count(1), down: count(0), both: count(null) }
  findings.add('readings/fuses-move', { fuse: moving[0]!.fuse }, { count: moving.length, reads: maps.length, ...moved })
  for (const [where, [top]] of [
    ['column', byColumn],
    ['row', byRow],
  ] as const)
    if (top && top.count === moving.length && top.count >= FEWEST)
      findings.add('readings/clustered', {}, { count: top.count, where, index: top.index })
}
