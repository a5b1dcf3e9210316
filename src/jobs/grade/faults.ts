/** Single-fuse faults of a decoded map: one fuse at its other state, everything else as it is. */
import { arrayBlocks, fuseOf } from '../../devices/device'
import { decode, type Decoded } from '../../devices/decode'
import { roleOf, type Role } from '../../devices/fuse-role'
import { fuseAt, setFuse, type FuseMap } from '../../fuses/fuse-map'
import { cubesOf, expressionsOf, type Literal, type Logic } from '../../logic/logic'

/** The array (its OR part too), polarity, and what configures: mode and select fuses, disables of rows. */
export type FaultClass = 'array' | 'polarity' | 'configuration'

export const FAULT_CLASSES: readonly FaultClass[] = ['array', 'polarity', 'configuration']

/** One fault. */
export interface Fault {
  readonly fuse: number
  readonly class: FaultClass
  /** Row of the array; null for a fuse that belongs to none. */
  readonly row: number | null
  /** Output that the fuse belongs to; null for one of the whole part, or of a buried cell. */
  readonly pin: number | null
  /** Literal of the row that the fuse puts in or takes out; null for other fuses. */
  readonly literal: Literal | null
  /** What the part does instead, where that is another map altogether. */
  readonly logic?: Logic
}

/** Roles whose fuses decide nothing here: free bits, fuses of unknown meaning, a pin whose use is not modelled. */
const NO_FAULTS: readonly Role[] = ['signature', 'reserved', 'power-down']

const CLASS_OF: Partial<Readonly<Record<Role, FaultClass>>> = {
  polarity: 'polarity',
  configuration: 'configuration',
  'term-disable': 'configuration',
}

/** All faults of a map, by fuse. */
export function faultsOf(decoded: Decoded): Fault[] {
  const flip = decoded.device.array.complementFirst ? 1 : 0
  const faults: Fault[] = []
  for (let fuse = 0; fuse < decoded.fuseCount; fuse++) {
    const { role, row, column, pin } = roleOf(decoded, fuse)
    if (NO_FAULTS.includes(role)) continue
    const literal = column === null ? null : column ^ flip
    faults.push({ fuse, class: CLASS_OF[role] ?? 'array', row, pin, literal })
  }
  return faults
}

/** The literals of every row of the array, by row. */
export function rowLiterals({ device }: Decoded, fuses: FuseMap): Literal[][] {
  const { columns, complementFirst } = device.array
  const flip = complementFirst ? 1 : 0
  return arrayBlocks(device).flatMap(({ block }) =>
    Array.from({ length: block.count / columns }, (_, row) =>
      Array.from({ length: columns }, (__, literal) => literal).filter(
        (literal) => fuseAt(fuses, fuseOf(block, row * columns + (literal ^ flip))) === 0,
      ),
    ),
  )
}

/** Literals with one put in or taken out. */
export function toggled(literals: readonly Literal[], literal: Literal): Literal[] {
  return literals.includes(literal)
    ? literals.filter((each) => each !== literal)
    : [...literals, literal].sort((a, b) => a - b)
}

/** Rows that some sum uses: the fuses of others do nothing in either state. */
export function usedRows({ cells }: Logic): ReadonlySet<number> {
  return new Set(cells.flatMap(expressionsOf).flatMap(cubesOf).map(({ origin }) => origin))
}

/** Another map in place of a fault, numbered. */
export function otherMap(number: number, logic: Logic): Fault {
  return { fuse: number, class: 'array', row: null, pin: null, literal: null, logic }
}

/** What the map with a fault makes; null where it names no mode, so that nobody says what it does. */
export function faultyLogic({ device }: Decoded, fuses: FuseMap, { fuse, logic }: Fault): Logic | null {
  if (logic) return logic
  const faulty = { length: fuses.length, bits: fuses.bits.slice() }
  setFuse(faulty, fuse, fuseAt(fuses, fuse) ? 0 : 1)
  return decode(device, faulty).logic
}
