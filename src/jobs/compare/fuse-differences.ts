/** Differences of two maps of one part, fuse by fuse, with what each fuse is for. */
import { differingFuses, fuseAt, type Bit, type FuseMap } from '../../fuses/fuse-map'
import type { Decoded } from '../../devices/decode'
import { roleOf, type FuseRole, type Role } from '../../devices/fuse-role'

/** A fuse that differs. */
export interface FuseDifference extends FuseRole {
  /** Number of the fuse, from 0. */
  readonly fuse: number
  /** Its state in the intended map. */
  readonly intended: Bit
  /** Its state in the read-back. */
  readonly readback: Bit
}

/** Differences that belong together: one role at one output, and in the array one row. */
export interface DifferenceGroup {
  /** What the fuses are for. */
  readonly role: Role
  /** Name of their block. */
  readonly block: string
  /** Output that they belong to; null for none. */
  readonly pin: number | null
  /** Row of the array; null outside it. */
  readonly row: number | null
  /** Number of fuses. */
  readonly count: number
  /** The first of them. */
  readonly fuse: number
}

/** All differences of two maps over the fuses that both have. */
export interface FuseDifferences {
  readonly count: number
  readonly byRole: Readonly<Partial<Record<Role, number>>>
  readonly groups: readonly DifferenceGroup[]
  readonly fuses: readonly FuseDifference[]
}

/** The differences of two maps, read in the mode of the intended one. */
export function fuseDifferences(
  intended: Decoded,
  maps: { readonly intended: FuseMap; readonly readback: FuseMap },
): FuseDifferences {
  const fuses = commonDifferences(maps.intended, maps.readback).map((fuse) => ({
    fuse,
    intended: fuseAt(maps.intended, fuse),
    readback: fuseAt(maps.readback, fuse),
    ...roleOf(intended, fuse),
  }))
  const byRole: Partial<Record<Role, number>> = {}
  const groups = new Map<string, { -readonly [K in keyof DifferenceGroup]: DifferenceGroup[K] }>()
  for (const { fuse, role, block, pin, column, row: ownRow } of fuses) {
    byRole[role] = (byRole[role] ?? 0) + 1
    // Fuses behind the array are one group a pin, even where each belongs to a row.
    const row = column === null ? null : ownRow
    const key = `${role} ${block} ${pin} ${row}`
    const group = groups.get(key)
    if (group) group.count++
    else groups.set(key, { role, block, pin, row, count: 1, fuse })
  }
  return { count: fuses.length, byRole, groups: [...groups.values()], fuses }
}

/** Fuse numbers below the length of the shorter map at which two maps differ. */
export function commonDifferences(a: FuseMap, b: FuseMap): readonly number[] {
  const length = Math.min(a.length, b.length)
  return differingFuses(firstFuses(a, length), firstFuses(b, length)).fuses
}

/** The first fuses of a map. */
function firstFuses(map: FuseMap, length: number): FuseMap {
  if (map.length === length) return map
  const bits = map.bits.slice(0, (length + 7) >>> 3)
  if (length % 8) bits[bits.length - 1]! &= (1 << (length % 8)) - 1
  return { length, bits }
}
