/** Single-fuse faults of a decoded map: one fuse at its other state, everything else as it is. */
import { takeSteps } from '../../arguments/work'
import { arrayBlocks, fuseOf, type Device, type FuseBlock } from '../../devices/device'
import { decode, type Decoded } from '../../devices/decode'
import { roleOf, type Role } from '../../devices/fuse-role'
import { fuseAt, setFuse, type FuseMap } from '../../fuses/fuse-map'
import {
  cubesOf,
  expressionsOf,
  type Cube,
  type Expression,
  type Literal,
  type Logic,
  type LogicCell,
} from '../../logic/logic'

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
  return arrayBlocks(device).flatMap(({ block }) =>
    Array.from({ length: block.count / device.array.columns }, (_, row) => literalsAt(device, fuses, { block, row })),
  )
}

function literalsOfRow({ device }: Decoded, fuses: FuseMap, row: number): Literal[] {
  const at = arrayBlocks(device).filter(({ firstRow }) => firstRow <= row).at(-1)!
  return literalsAt(device, fuses, { block: at.block, row: row - at.firstRow })
}

/** The literals of a row of a block. */
function literalsAt(
  { array: { columns, complementFirst } }: Device,
  fuses: FuseMap,
  { block, row }: { readonly block: FuseBlock; readonly row: number },
): Literal[] {
  const flip = complementFirst ? 1 : 0
  return Array.from({ length: columns }, (_, literal) => literal).filter(
    (literal) => fuseAt(fuses, fuseOf(block, row * columns + (literal ^ flip))) === 0,
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
export function faultyLogic(decoded: Decoded, fuses: FuseMap, fault: Fault): Logic | null {
  if (fault.logic) return fault.logic
  built ??= new WeakMap()
  const known = built.get(fault)
  if (known?.fuses === fuses) return known.logic
  const logic = buildFaulty(decoded, fuses, fault)
  built.set(fault, { fuses, logic })
  return logic
}

/** Made once for each fault, since the sequences of a job run on the same parts. Created with the first. */
let built: WeakMap<Fault, { readonly fuses: FuseMap; readonly logic: Logic | null }> | null = null

/** Building a logic, and deriving its wiring, takes some tenths of a millisecond. */
const BUILDING_STEPS = 1500

function buildFaulty(decoded: Decoded, fuses: FuseMap, { fuse, row, literal }: Fault): Logic | null {
  takeSteps(BUILDING_STEPS)
  if (decoded.logic && row !== null && literal !== null) {
    const own = literalsOfRow(decoded, fuses, row)
    const changed = toggled(own, literal)
    return withTerm(decoded.logic, row, (old) => [...changed, ...old.slice(own.length)])
  }
  const faulty = { length: fuses.length, bits: fuses.bits.slice() }
  setFuse(faulty, fuse, fuseAt(fuses, fuse) ? 0 : 1)
  return decode(decoded.device, faulty).logic
}

/** The logic with other literals in the terms of a row: what decoding makes, without decoding the other rows again. */
function withTerm(logic: Logic, row: number, next: (literals: readonly Literal[]) => Literal[]): Logic {
  const inCube = (cube: Cube): Cube => (cube.origin === row ? { ...cube, literals: next(cube.literals) } : cube)
  const inExpression = <E extends Expression | null>(expression: E): E =>
    expression?.sums.some((sum) => sum.some(({ origin }) => origin === row))
      ? { ...expression, sums: expression.sums.map((sum) => sum.map(inCube)) }
      : expression
  const inCell = (cell: LogicCell): LogicCell => ({
    ...cell,
    enable: inExpression(cell.enable),
    value: inExpression(cell.value),
    register: cell.register && {
      ...cell.register,
      data: inExpression(cell.register.data),
      clock: inExpression(cell.register.clock),
      reset: inExpression(cell.register.reset),
      preset: inExpression(cell.register.preset),
      clockedPreset: inExpression(cell.register.clockedPreset),
      load: inExpression(cell.register.load),
    },
  })
  return { ...logic, cells: logic.cells.map(inCell) }
}
