/**
 * Logic arrays whose fuses are known by number and meaning and not by order: no maker's publication was found that says
 * which fuse of a file is which. Their logic is decoded only in an order that the caller names.
 */
import { stringOf } from '../arguments/arguments'
import type { Cell, CellSetting, Device, FuseBlock } from './device'
import { OPEN_ORDERS } from './open-orders'
import { partOf, type StatedPart } from './stated-part'
import { FPLA16X48X8, FPLA18X42X10, FPLA22X42X10 } from './data/undecoded-parts'

/** One order in which the fuses of a part may be numbered; none of them is established. */
export interface FuseOrder {
  /** The word by which it is chosen. */
  readonly name: string
  /** The order in words. */
  readonly description: string
  /** All cells of a term, then those of the next; or the whole AND array, then the whole OR array. */
  readonly layout: 'term-by-term' | 'array-by-array'
  /** True where the complement stands before the true signal in each column pair. */
  readonly complementFirst: boolean
  /** True where each group of inputs begins with its highest number. */
  readonly inputsDescending: boolean
}

/** What is known of a logic array. */
interface Geometry {
  /** The part by its size. */
  readonly base: StatedPart
  /** Pins of each group of inputs, by number from 0. */
  readonly inputs: readonly (readonly number[])[]
  /** Pins of the sums, by number from 0. */
  readonly outputs: readonly number[]
  readonly terms: number
  /** True where a row behind the terms enables each output; its pin is an input too. */
  readonly directions: boolean
  readonly setting: CellSetting
  readonly sources: readonly string[]
  readonly remarks: readonly string[]
}

/** A sum of the OR array; polarity cell 1 inverts it. */
const CHIP_ENABLED: CellSetting = {
  output: 'combinational',
  enable: { lowPin: 19 },
  sums: [],
  orArray: true,
  polarity: 'before',
  inverting: false,
}

/** Enabled by the cell's one row, its direction term. */
const DIRECTED: CellSetting = {
  output: 'combinational',
  enable: { row: 0 },
  sums: [],
  orArray: true,
  polarity: 'before',
  inverting: false,
}

const LINKS =
  'inferred: what an intact link of the AND array and of the OR array does, from gates with links to both lines (link 0 intact, JEDEC 3-A)'
const POLARITY = 'from memory: a polarity cell of 1 inverts its output'
const ORDER =
  'Assumed in every order: sums and direction terms by ascending number, terms before direction terms, polarity cells last. Any other order can be stated as a document of the part.'
const INVERTS = 'From memory: a polarity cell of 1 inverts its output.'
const DIRECTIONS: readonly string[] = [
  'A direction term that holds makes its B pin an output; inferred: all its links blown, always; a virgin one, never.',
  'The array reads the B pin, so an output feeds its own level back.',
]

const GEOMETRY_82S100: Geometry = {
  base: FPLA16X48X8,
  inputs: [[9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20]],
  outputs: [18, 17, 16, 15, 13, 12, 11, 10],
  terms: 48,
  directions: false,
  setting: CHIP_ENABLED,
  sources: [
    'Signetics, Introducing the Series 3000 Bipolar Microprocessor, contents: 16 × 8 × 48',
    'Texas Instruments TIB82S105BC data sheet, SRPS025A, p. 1: pins of inputs and outputs of the part built on it',
    LINKS,
    POLARITY,
    'from memory: the pins of the 82S100 itself; pin 19 low enables all outputs',
  ],
  remarks: [
    'From memory: pin 19 low enables all outputs; while it is high those of an 82S100 are off, those of an 82S101 (open collector) are high.',
    'From memory: pin 1 is for programming only, open or grounded in use.',
  ],
}

const GEOMETRY_PLS153: Geometry = {
  base: FPLA18X42X10,
  inputs: [
    [1, 2, 3, 4, 5, 6, 7, 8],
    [9, 11, 12, 13, 14, 15, 16, 17, 18, 19],
  ],
  outputs: [9, 11, 12, 13, 14, 15, 16, 17, 18, 19],
  terms: 32,
  directions: true,
  setting: DIRECTED,
  sources: [
    'Philips PLS153/A product specification, Oct 1993, p. 1: geometry, pins, direction terms',
    LINKS,
    POLARITY,
  ],
  remarks: ['PLCC-20 packages use the same pin numbers.'],
}

const GEOMETRY_PLS173: Geometry = {
  base: FPLA22X42X10,
  inputs: [
    [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13],
    [14, 15, 16, 17, 18, 19, 20, 21, 22, 23],
  ],
  outputs: [14, 15, 16, 17, 18, 19, 20, 21, 22, 23],
  terms: 32,
  directions: true,
  setting: DIRECTED,
  sources: ['Philips PLS173 product specification, p. 1: geometry, pins, direction terms', LINKS, POLARITY],
  remarks: [],
}

function geometryOf(part: string): Geometry | null {
  return [GEOMETRY_82S100, GEOMETRY_PLS153, GEOMETRY_PLS173].find(({ base }) => base.part === part) ?? null
}

const LAYOUTS = {
  'term-by-term': 'each term with its AND cells and then its OR cells',
  'array-by-array': 'the AND array, then the OR array',
} as const

/**
 * The orders in which the fuses of a part may be numbered; empty for a part whose order is established, and for one
 * that the catalogue does not have. `part` is the catalogue's own name.
 *
 * @param part name of a part
 * @returns its orders with what each means; empty for a part whose order is known
 * @throws TypeError when `part` is no string
 * @example fuseOrders('82S100')[0]?.name // 'term-by-term'
 */
export function fuseOrders(part: string): readonly FuseOrder[] {
  if (!geometryOf(stringOf(part, 'part', 'the name of a part'))) return []
  const layouts: readonly FuseOrder['layout'][] = ['term-by-term', 'array-by-array']
  return layouts.flatMap((layout) =>
    [false, true].flatMap((complementFirst) =>
      [false, true].map((inputsDescending): FuseOrder => ({
        name: `${layout}${complementFirst ? '-complement-first' : ''}${inputsDescending ? '-inputs-descending' : ''}`,
        description: `${LAYOUTS[layout]}; the ${complementFirst ? 'complement' : 'true signal'} first in each pair; inputs from the ${inputsDescending ? 'highest' : 'lowest'} number`,
        layout,
        complementFirst,
        inputsDescending,
      })),
    ),
  )
}

/**
 * A part with its fuses taken in an order of `fuseOrders`. Decoding with it always gives the finding
 * `device/unconfirmed-order`: a wrong order gives plausible wrong logic.
 *
 * @param part name of the part
 * @param order name of one of its `fuseOrders`
 * @returns the data of the part with its fuses in that order
 * @throws TypeError when an argument is no string; RangeError for a part without open order and for an unknown order
 * @example deviceInOrder('82S100', 'term-by-term').fuseOrder // 'term-by-term'
 */
export function deviceInOrder(part: string, order: string): Device {
  const orders = fuseOrders(part)
  stringOf(order, 'order', 'the name of an order')
  const geometry = geometryOf(part)
  if (!geometry)
    throw new RangeError(
      `part: the order of fuses of “${part}” is not open; ${OPEN_ORDERS.join(', ')} have orders`,
    )
  const found = orders.find(({ name }) => name === order)
  if (!found)
    throw new RangeError(
      `order: “${order}” is no order of a ${part}; it is one of ${orders.map(({ name }) => name).join(', ')}`,
    )
  return arranged(geometry, found)
}

function arranged(geometry: Geometry, order: FuseOrder): Device {
  const { base, inputs, outputs, terms, directions, setting } = geometry
  const columns = inputs.flatMap((group) => (order.inputsDescending ? [...group].reverse() : group))
  return {
    ...partOf(base),
    array: {
      rows: terms + (directions ? outputs.length : 0),
      columns: 2 * columns.length,
      ...(order.complementFirst ? { complementFirst: true } : {}),
    },
    blocks: order.layout === 'term-by-term' ? termByTerm(geometry) : arrayByArray(geometry),
    cells: outputs.map((pin, index): Cell =>
      directions ? { pin, firstRow: terms + index, rowCount: 1 } : { pin, firstRow: 0, rowCount: 0 },
    ),
    modes: [{ name: null, select: [], columns, registerFeedback: 'pin', settings: [setting] }],
    basis: 'unconfirmed',
    fuseOrder: order.name,
    sources: [
      ...geometry.sources,
      `inferred: nothing but their number speaks for the order of the fuses “${order.name}”`,
    ],
    remarks: [...geometry.remarks, ...(directions ? DIRECTIONS : []), INVERTS, ORDER],
  }
}

/** Numbers of AND cells of a row, and of all rows of each kind. */
function sizesOf({ inputs, outputs, terms, directions }: Geometry): {
  readonly width: number
  readonly and: number
  readonly or: number
  readonly direction: number
} {
  const width = 2 * inputs.flat().length
  return { width, and: terms * width, or: terms * outputs.length, direction: directions ? outputs.length * width : 0 }
}

function termByTerm(geometry: Geometry): readonly FuseBlock[] {
  const { width, and, or, direction } = sizesOf(geometry)
  const { length } = geometry.outputs
  const step = width + length
  return [
    { use: 'array', name: 'AND array', first: 0, count: and, run: width, step },
    { use: 'or', name: 'OR array', first: width, count: or, run: length, step },
    ...directionBlock(and + or, direction),
    { use: 'polarity', name: 'polarity', first: and + or + direction, count: length },
  ]
}

function arrayByArray(geometry: Geometry): readonly FuseBlock[] {
  const { and, or, direction } = sizesOf(geometry)
  return [
    { use: 'array', name: 'AND array', first: 0, count: and },
    ...directionBlock(and, direction),
    { use: 'or', name: 'OR array', first: and + direction, count: or },
    { use: 'polarity', name: 'polarity', first: and + direction + or, count: geometry.outputs.length },
  ]
}

function directionBlock(first: number, count: number): readonly FuseBlock[] {
  return count > 0 ? [{ use: 'array', name: 'direction terms', first, count }] : []
}
