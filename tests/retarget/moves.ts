/**
 * Moves that the data sheets' emulation tables name, as those tables have them, and a design as it stands in the other
 * part: said in pins again, so that the tests' own encoder can write the map that must come out.
 */
import type { Design, DesignOutput } from '../parts/design'

/**
 * A PAL in a part of two modes and more; settings from the highest output pin down, as the emulation tables are read.
 */
export interface Move {
  readonly from: string
  readonly to: '16V8' | '20V8'
  readonly mode: 'registered' | 'complex' | 'simple'
  /** AC1 of the eight cells. */
  readonly cells: string
  /** Rows of each cell that the PAL has, the first ones of its eight. */
  readonly rows: readonly number[]
}

const ALL = [8, 8, 8, 8, 8, 8, 8, 8]

/**
 * Lattice GAL16V8 data sheet, 16v8_04, p. 3 (modes of the emulated parts), p. 4, 6, 8 (what AC1 makes of a cell), and
 * the same pages of the GAL20V8 data sheet, 20v8_04. Twenty published maps of 16L8, 16R4, 16R6 and 16R8 beside their
 * 16V8 versions have the same AC1, SYN and AC0.
 */
export const MOVES: readonly Move[] = [
  { from: '16L8', to: '16V8', mode: 'complex', cells: '11111111', rows: ALL },
  { from: '16R4', to: '16V8', mode: 'registered', cells: '11000011', rows: ALL },
  { from: '16R6', to: '16V8', mode: 'registered', cells: '10000001', rows: ALL },
  { from: '16R8', to: '16V8', mode: 'registered', cells: '00000000', rows: ALL },
  ...['H', 'L'].flatMap((level): Move[] => [
    { from: `10${level}8`, to: '16V8', mode: 'simple', cells: '00000000', rows: [2, 2, 2, 2, 2, 2, 2, 2] },
    { from: `12${level}6`, to: '16V8', mode: 'simple', cells: '10000001', rows: [0, 4, 2, 2, 2, 2, 4, 0] },
    { from: `14${level}4`, to: '16V8', mode: 'simple', cells: '11000011', rows: [0, 0, 4, 4, 4, 4, 0, 0] },
    { from: `16${level}2`, to: '16V8', mode: 'simple', cells: '11100111', rows: [0, 0, 0, 8, 8, 0, 0, 0] },
  ]),
  { from: '20L8', to: '20V8', mode: 'complex', cells: '11111111', rows: ALL },
  { from: '20R4', to: '20V8', mode: 'registered', cells: '11000011', rows: ALL },
  { from: '20R6', to: '20V8', mode: 'registered', cells: '10000001', rows: ALL },
  { from: '20R8', to: '20V8', mode: 'registered', cells: '00000000', rows: ALL },
  { from: '14L8', to: '20V8', mode: 'simple', cells: '00000000', rows: [4, 2, 2, 2, 2, 2, 2, 4] },
  { from: '16L6', to: '20V8', mode: 'simple', cells: '10000001', rows: [0, 4, 4, 2, 2, 4, 4, 0] },
  { from: '18L4', to: '20V8', mode: 'simple', cells: '11000011', rows: [0, 0, 6, 4, 4, 6, 0, 0] },
  { from: '20L2', to: '20V8', mode: 'simple', cells: '11100111', rows: [0, 0, 0, 8, 8, 0, 0, 0] },
]

/** Mode-select fuses, SYN and AC0 (same sheets, p. 4, 6, 8). */
export const MODE_FUSES = { registered: '01', complex: '11', simple: '10' } as const

/** Where the tail of each part begins (logic diagrams, p. 5): XOR, AC1, PTD, SYN and AC0. */
export const TAIL = {
  '16V8': { xor: 2048, cells: 2120, rows: 2128, mode: 2192 },
  '20V8': { xor: 2560, cells: 2632, rows: 2640, mode: 2704 },
} as const

/**
 * PALs whose outputs all have a place in a 22V10, with at least as many terms there (GAL22V10 data sheet, 22v10_08,
 * p. 4).
 */
export const INTO_22V10 = ['20L8', '20R4', '20R6', '20R8', '20L10', '12L10', '14L8', '16L6', '18L4', '20L2'] as const

/** A design in the part of a move, cell by cell. */
export function movedDesign(design: Design, { to, mode }: Pick<Move, 'to' | 'mode'>): Design {
  return { ...design, part: to, mode }
}

/** A design in a 22V10: a register's enable by a pin becomes a term, and its polarity acts behind the register. */
export function designIn22V10(design: Design): Design {
  const outputs = design.outputs.map((output): DesignOutput => {
    const { enable } = output
    return typeof enable === 'object' && 'lowPin' in enable
      ? { ...output, enable: { term: [-enable.lowPin] } }
      : output
  })
  return {
    ...design,
    part: '22V10',
    mode: null,
    outputs,
    registers: { polarity: 'after', feedback: 'inverted-register' },
  }
}
