/**
 * Fuse numbers of PALs of 20 and 24 pins. Their arrays have no tail: polarity and registers are those of the part
 * number.
 */
import type { CellTable, KindTable, PartTable } from './part-table'

const PINS_20 = { mode: null, pinCount: 20, supplyPins: [10, 20], unusedKind: 'combinational', fixed: [] } as const
const PINS_24 = { mode: null, pinCount: 24, supplyPins: [12, 24], unusedKind: 'combinational', fixed: [] } as const

/** `[pin, number of its first row's first fuse, rows]` of outputs that are combinational, or registered where named. */
type Block = readonly [pin: number, firstFuse: number, rows: number]

function cellsOf(blocks: readonly Block[], registered: readonly number[] = []): CellTable[] {
  return blocks.map(([pin, firstFuse, rows]) => ({
    pin,
    firstFuse,
    rows,
    only: registered.includes(pin) ? 'registered' : 'combinational',
  }))
}

const BY_ROW: KindTable = { enable: 'row', activeHigh: false }

/** AMD PAL16R8 Family, 16492D, logic diagrams p. 2-10 to 2-13: eight rows an output, first fuses at the left edge. */
const BLOCKS_16: readonly Block[] = [
  [19, 0, 8],
  [18, 256, 8],
  [17, 512, 8],
  [16, 768, 8],
  [15, 1024, 8],
  [14, 1280, 8],
  [13, 1536, 8],
  [12, 1792, 8],
]
/**
 * Lattice GAL20V8 data sheet, 20v8_04, p. 3: these parts are emulated by arrays whose diagrams print these numbers
 * (p. 5, 7).
 */
const BLOCKS_20: readonly Block[] = [
  [22, 0, 8],
  [21, 320, 8],
  [20, 640, 8],
  [19, 960, 8],
  [18, 1280, 8],
  [17, 1600, 8],
  [16, 1920, 8],
  [15, 2240, 8],
]

const REGISTERED_16 = { columns: [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12], clockPin: 1 }
const REGISTERED_20 = {
  columns: [2, 23, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 14],
  clockPin: 1,
}

const WITH_REGISTERS = [
  // Same AMD sheet, p. 2-2 to 2-9: registered outputs have eight terms, clock pin 1 and output enable pin 11.
  ...(
    [
      ['16R4', [17, 16, 15, 14]],
      ['16R6', [18, 17, 16, 15, 14, 13]],
      ['16R8', [19, 18, 17, 16, 15, 14, 13, 12]],
    ] as const
  ).map(([part, registered]): PartTable => {
    const kinds = {
      registered: { enable: { lowPin: 11 }, activeHigh: false },
      ...(part === '16R8' ? {} : { combinational: BY_ROW }),
    }
    return {
      ...PINS_20,
      part,
      fuseCount: 2048,
      width: 32,
      ...REGISTERED_16,
      cells: cellsOf(BLOCKS_16, registered),
      kinds,
      unusedKind: part === '16R8' ? 'registered' : 'combinational',
    }
  }),
  ...(
    [
      ['20R4', [20, 19, 18, 17]],
      ['20R6', [21, 20, 19, 18, 17, 16]],
      ['20R8', [22, 21, 20, 19, 18, 17, 16, 15]],
    ] as const
  ).map(([part, registered]): PartTable => {
    const kinds = {
      registered: { enable: { lowPin: 13 }, activeHigh: false },
      ...(part === '20R8' ? {} : { combinational: BY_ROW }),
    }
    return {
      ...PINS_24,
      part,
      fuseCount: 2560,
      width: 40,
      ...REGISTERED_20,
      cells: cellsOf(BLOCKS_20, registered),
      kinds,
      unusedKind: part === '20R8' ? 'registered' : 'combinational',
    }
  }),
]

const WITHOUT_REGISTERS: readonly PartTable[] = [
  {
    // AMD PAL16R8 Family, 16492D, logic diagram p. 2-10: outputs 19 and 12 have no columns, pins 1 and 11 are inputs.
    ...PINS_20,
    part: '16L8',
    fuseCount: 2048,
    width: 32,
    columns: [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11],
    cells: cellsOf(BLOCKS_16),
    kinds: { combinational: BY_ROW },
  },
  {
    // Lattice GAL20V8 data sheet, 20v8_04, p. 3 and 7.
    ...PINS_24,
    part: '20L8',
    fuseCount: 2560,
    width: 40,
    columns: [2, 1, 3, 23, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 14, 11, 13],
    cells: cellsOf(BLOCKS_20),
    kinds: { combinational: BY_ROW },
  },
]

/** Four rows an output, 40 fuses each. */
const BLOCKS_X: readonly Block[] = [
  [23, 0, 4],
  [22, 160, 4],
  [21, 320, 4],
  [20, 480, 4],
  [19, 640, 4],
  [18, 800, 4],
  [17, 960, 4],
  [16, 1120, 4],
  [15, 1280, 4],
  [14, 1440, 4],
]

/** Exclusive-or of the first two rows with the last two: AMD PAL20X10A Series data sheet, first page. */
const EXCLUSIVE_OR: KindTable = { enable: { lowPin: 13 }, activeHigh: false, firstSum: 2 }

const EXCLUSIVE_OR_PARTS: readonly PartTable[] = [
  // Published maps decode under these columns to exact counters for the 20X10; the 20X8 and 20X4 are inferred from it.
  ...(
    [
      ['20X10', [23, 22, 21, 20, 19, 18, 17, 16, 15, 14]],
      ['20X8', [22, 21, 20, 19, 18, 17, 16, 15]],
      ['20X4', [20, 19, 18, 17]],
    ] as const
  ).map(([part, registered]): PartTable => {
    const kinds = { registered: EXCLUSIVE_OR, ...(part === '20X10' ? {} : { combinational: BY_ROW }) }
    return {
      ...PINS_24,
      part,
      fuseCount: 1600,
      width: 40,
      ...REGISTERED_20,
      cells: cellsOf(BLOCKS_X, registered),
      kinds,
      unusedKind: part === '20X10' ? 'registered' : 'combinational',
    }
  }),
  {
    // Terms: same data sheet. Columns: inferred, the array above with pins 1 and 13 in place of the outer outputs.
    ...PINS_24,
    part: '20L10',
    fuseCount: 1600,
    width: 40,
    columns: [2, 1, 3, 22, 4, 21, 5, 20, 6, 19, 7, 18, 8, 17, 9, 16, 10, 15, 11, 13],
    cells: cellsOf(BLOCKS_X),
    kinds: { combinational: BY_ROW },
  },
]

/** A part of which all rows are terms and all outputs are on. */
function smallPart(
  part: string,
  common: typeof PINS_20 | typeof PINS_24,
  given: { readonly fuseCount: number; readonly columns: readonly number[]; readonly blocks: readonly Block[] },
): PartTable {
  const { fuseCount, columns, blocks } = given
  const kinds = { combinational: { enable: 'always', activeHigh: part.includes('H') } } as const
  return { ...common, part, fuseCount, width: 2 * columns.length, columns, cells: cellsOf(blocks), kinds }
}

const SMALL_20 = ['H', 'L'].flatMap((level) => [
  // Measured dumps of a PAL10L8 and a PAL12L6 with printed fuse numbers; inferred from the L parts for the H parts.
  smallPart(`10${level}8`, PINS_20, {
    fuseCount: 320,
    columns: [2, 1, 3, 4, 5, 6, 7, 8, 9, 11],
    blocks: [
      [19, 0, 2],
      [18, 40, 2],
      [17, 80, 2],
      [16, 120, 2],
      [15, 160, 2],
      [14, 200, 2],
      [13, 240, 2],
      [12, 280, 2],
    ],
  }),
  smallPart(`12${level}6`, PINS_20, {
    fuseCount: 384,
    columns: [2, 1, 3, 19, 4, 5, 6, 7, 8, 12, 9, 11],
    blocks: [
      [18, 0, 4],
      [17, 96, 2],
      [16, 144, 2],
      [15, 192, 2],
      [14, 240, 2],
      [13, 288, 4],
    ],
  }),
  // JEDEC Standard No. 3-A, worked example of a complete file: 448 fuses in rows of 28, and vectors that hold with
  // these columns: those of the 16V8's simple array without the pairs of the four output pins (14, 17) and of the pins
  // 15 and 16, which have none there.
  smallPart(`14${level}4`, PINS_20, {
    fuseCount: 448,
    columns: [2, 1, 3, 19, 4, 18, 5, 6, 7, 13, 8, 12, 9, 11],
    blocks: [
      [17, 0, 4],
      [16, 112, 4],
      [15, 224, 4],
      [14, 336, 4],
    ],
  }),
  // Inferred: the 16V8's simple array (Lattice GAL16V8 data sheet, 16v8_04, p. 9) with its inner two outputs alone.
  smallPart(`16${level}2`, PINS_20, {
    fuseCount: 512,
    columns: [2, 1, 3, 19, 4, 18, 5, 17, 6, 14, 7, 13, 8, 12, 9, 11],
    blocks: [
      [16, 0, 8],
      [15, 256, 8],
    ],
  }),
])

const SMALL_24 = [
  // From memory, rows; columns by the rule that the columns of output pins are left out.
  smallPart('12L10', PINS_24, {
    fuseCount: 480,
    columns: [2, 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13],
    blocks: [
      [23, 0, 2],
      [22, 48, 2],
      [21, 96, 2],
      [20, 144, 2],
      [19, 192, 2],
      [18, 240, 2],
      [17, 288, 2],
      [16, 336, 2],
      [15, 384, 2],
      [14, 432, 2],
    ],
  }),
  smallPart('14L8', PINS_24, {
    fuseCount: 560,
    columns: [2, 1, 3, 23, 4, 5, 6, 7, 8, 9, 10, 14, 11, 13],
    blocks: [
      [22, 0, 4],
      [21, 112, 2],
      [20, 168, 2],
      [19, 224, 2],
      [18, 280, 2],
      [17, 336, 2],
      [16, 392, 2],
      [15, 448, 4],
    ],
  }),
  // A published map for a 20V8 that the maker's own conversion made from a map of this part.
  smallPart('16L6', PINS_24, {
    fuseCount: 640,
    columns: [2, 1, 3, 23, 4, 22, 5, 6, 7, 8, 9, 15, 10, 14, 11, 13],
    blocks: [
      [21, 0, 4],
      [20, 128, 4],
      [19, 256, 2],
      [18, 320, 2],
      [17, 384, 4],
      [16, 512, 4],
    ],
  }),
  // From memory, rows; columns by the same rule.
  smallPart('18L4', PINS_24, {
    fuseCount: 720,
    columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 7, 8, 16, 9, 15, 10, 14, 11, 13],
    blocks: [
      [20, 0, 6],
      [19, 216, 4],
      [18, 360, 4],
      [17, 504, 6],
    ],
  }),
  // From memory, rows; columns of Lattice GAL20V8 data sheet, 20v8_04, p. 9.
  smallPart('20L2', PINS_24, {
    fuseCount: 640,
    columns: [2, 1, 3, 23, 4, 22, 5, 21, 6, 20, 7, 17, 8, 16, 9, 15, 10, 14, 11, 13],
    blocks: [
      [19, 0, 8],
      [18, 320, 8],
    ],
  }),
  // Two published maps with pin tables agree; they do not decide the order of pins 7 and 8.
  smallPart('8L14', PINS_24, {
    fuseCount: 224,
    columns: [3, 4, 5, 6, 7, 8, 9, 10],
    blocks: [
      [1, 0, 1],
      [23, 16, 1],
      [2, 32, 1],
      [22, 48, 1],
      [21, 64, 1],
      [20, 80, 1],
      [19, 96, 1],
      [18, 112, 1],
      [17, 128, 1],
      [16, 144, 1],
      [15, 160, 1],
      [14, 176, 1],
      [11, 192, 1],
      [13, 208, 1],
    ],
  }),
]

export const TABLES_PALS: readonly PartTable[] = [
  ...WITHOUT_REGISTERS,
  ...WITH_REGISTERS,
  ...EXCLUSIVE_OR_PARTS,
  ...SMALL_20,
  ...SMALL_24,
]
