/** What the differences of a read-back look like: exact conditions, at most one of them, in order of precedence. */
import { fuseAt, isConnected, type Bit, type FuseMap } from '../../fuses/fuse-map'
import { arrayFuses, fuseOf, type Device } from '../../devices/device'
import type { Decoded } from '../../devices/decode'
import type { FuseDifferences } from './fuse-differences'

/** What the differences look like. Numbers are those of the pattern: fuses of a shift, a column, a row. */
export type FusePattern =
  | { readonly kind: 'shifted'; readonly by: number }
  | { readonly kind: 'repeated-halves' | 'signature-only' | 'idle-rows-only' | 'tail-only' }
  | {
      readonly kind: 'stuck-column' | 'stuck-row'
      readonly index: number
      readonly state: Bit
      readonly count: number
    }
  /** From `fuse`, the first that is wrong, in row `index` on, the array reads alike to its end. */
  | {
      readonly kind: 'alike-from-row'
      readonly index: number
      readonly fuse: number
      readonly state: Bit
      readonly count: number
    }

/** Furthest shift that is looked for, in fuses. */
const FURTHEST_SHIFT = 64

/** Fewest differences that make a column or a row look stuck, or a map shifted. */
const FEWEST = 3

/**
 * How far the read-back stands behind the intended map, where that explains every fuse that both have; null
 * otherwise.
 */
export function shiftOf(intended: FuseMap, readback: FuseMap): number | null {
  for (let distance = 1; distance <= FURTHEST_SHIFT; distance++)
    for (const by of [distance, -distance]) if (fitsShifted(intended, readback, by)) return by
  return null
}

function fitsShifted(intended: FuseMap, readback: FuseMap, by: number): boolean {
  const from = Math.max(0, by)
  const to = Math.min(readback.length, intended.length + by)
  let ones = 0
  for (let fuse = from; fuse < to; fuse++) {
    const state = fuseAt(readback, fuse)
    if (state !== fuseAt(intended, fuse - by)) return false
    ones += state
  }
  // Half a map or less, or one state only, shows nothing.
  return to - from > intended.length / 2 && ones > 0 && ones < to - from
}

/** The one pattern that the differences of two maps of one part make; null for a scatter. */
export function patternOf(given: {
  readonly intended: Decoded
  readonly readback: Decoded | null
  readonly maps: { readonly intended: FuseMap; readonly readback: FuseMap }
  readonly differences: FuseDifferences
}): FusePattern | null {
  const { maps, differences, intended } = given
  const by = differences.count >= FEWEST ? shiftOf(maps.intended, maps.readback) : null
  if (by !== null) return { kind: 'shifted', by }
  if (halvesRepeat(intended.device, maps.readback) && !halvesRepeat(intended.device, maps.intended))
    return { kind: 'repeated-halves' }
  const { fuses } = differences
  if (fuses.length === 0) return null
  if (fuses.every(({ role }) => role === 'signature')) return { kind: 'signature-only' }
  if (given.readback && onlyIdleRows(given.readback, given)) return { kind: 'idle-rows-only' }
  if (tailWrong(given)) return { kind: 'tail-only' }
  return stuck(given) ?? alikeFromRow(given)
}

/** True where the second half of the array's rows repeats the first. */
function halvesRepeat(device: Device, map: FuseMap): boolean {
  const fuses = arrayFuses(device)
  const half = fuses.length / 2
  return (
    half >= 1 &&
    Number.isInteger(half) &&
    fuses.subarray(0, half).every((fuse, i) => fuseAt(map, fuse) === fuseAt(map, fuses[i + half]!))
  )
}

/**
 * True where all differences lie in rows that do nothing on either side: disabled, or holding a signal and its
 * complement.
 */
function onlyIdleRows(
  readback: Decoded,
  { intended, maps, differences: { fuses } }: Parameters<typeof patternOf>[0],
): boolean {
  const rows = new Set<number>()
  for (const { row, role } of fuses) {
    if (row === null || role === 'or') return false
    rows.add(row)
  }
  return areIdle(rows, intended, maps.intended) && areIdle(rows, readback, maps.readback)
}

function areIdle(rows: ReadonlySet<number>, { device, disabledRows }: Decoded, map: FuseMap): boolean {
  const { columns } = device.array
  const fuses = arrayFuses(device)
  const off = new Set(disabledRows.map(({ row }) => row))
  const isDead = (row: number): boolean => {
    for (let at = row * columns; at < (row + 1) * columns; at += 2)
      if (isConnected(map, fuses[at]!) && isConnected(map, fuses[at + 1]!)) return true
    return false
  }
  return [...rows].every((row) => off.has(row) || isDead(row))
}

/**
 * True where the array is right and the fuses behind it are those of another setting of the part: the mode differs,
 * or all read alike.
 */
function tailWrong({ intended, maps, differences }: Parameters<typeof patternOf>[0]): boolean {
  if (differences.fuses.some(({ column }) => column !== null)) return false
  const tail = intended.device.blocks.filter(
    ({ use, first }) => use !== 'array' && use !== 'or' && use !== 'signature' && first < maps.readback.length,
  )
  const states = (map: FuseMap): Bit[] =>
    tail.flatMap((block) => Array.from({ length: block.count }, (_, i) => fuseAt(map, fuseOf(block, i))))
  const alike = (map: FuseMap): boolean => new Set(states(map)).size === 1
  const modeDiffers = differences.fuses.some(({ role, pin }) => role === 'configuration' && pin === null)
  return modeDiffers || (differences.count >= FEWEST && alike(maps.readback) && !alike(maps.intended))
}

/**
 * All differences in one column and reading alike; or in one row that reads alike as a whole (an edited term differs
 * in one row too).
 */
function stuck({
  intended: { device },
  maps,
  differences: { fuses },
}: Parameters<typeof patternOf>[0]): FusePattern | null {
  const { column, row, readback } = fuses[0]!
  if (fuses.length < FEWEST || column === null || row === null || fuses.some((each) => each.readback !== readback))
    return null
  if (fuses.every((each) => each.column === column))
    return { kind: 'stuck-column', index: column, state: readback, count: fuses.length }
  const { columns } = device.array
  const whole = arrayFuses(device).subarray(row * columns, (row + 1) * columns)
  const oneRow =
    fuses.every((each) => each.row === row && each.column !== null) &&
    whole.every((fuse) => fuseAt(maps.readback, fuse) === readback)
  return oneRow ? { kind: 'stuck-row', index: row, state: readback, count: fuses.length } : null
}

/**
 * The array reads alike from the first wrong fuse on, over more than one row, and what lies behind it is right or reads
 * alike too.
 */
function alikeFromRow({
  intended: { device },
  maps,
  differences: { fuses },
}: Parameters<typeof patternOf>[0]): FusePattern | null {
  const array = arrayFuses(device)
  const wrong = new Set(fuses.map(({ fuse }) => fuse))
  const from = array.findIndex((fuse) => wrong.has(fuse))
  if (fuses.length < FEWEST || from < 0) return null
  const state = fuseAt(maps.readback, array[from]!)
  const { columns } = device.array
  const index = Math.floor(from / columns)
  const isAlike = array.every((fuse, i) => i < from || fuseAt(maps.readback, fuse) === state)
  const severalRows = array.subarray((index + 1) * columns).some((fuse) => wrong.has(fuse))
  const behind = fuses.every(({ readback }) => readback === state)
  return isAlike && severalRows && behind
    ? { kind: 'alike-from-row', index, fuse: array[from]!, state, count: fuses.length }
    : null
}
