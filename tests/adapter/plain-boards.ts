/** Boards for tests: designs on nets, as documents for the library with fuse files from the encoder. */
import type { Board, BoardPart } from '../../src/board'
import { gates, type Design } from '../parts/design'
import { encode, tableOf } from '../parts/encoder'

/** A board in few words; nets are named by their use. */
export interface PlainBoard {
  readonly parts: readonly {
    readonly name: string
    readonly design: Design
    readonly pins: Readonly<Record<number, string>>
  }[]
  /** Pin and net. */
  readonly inputs: readonly (readonly [pin: number, net: string])[]
  readonly outputs: readonly (readonly [pin: number, net: string])[]
  readonly diodes: readonly (readonly [name: string, anode: string, cathode: string])[]
  readonly resistors: readonly (readonly [name: string, net: string, to: 'supply' | 'ground'])[]
  readonly internalPullUps?: boolean
}

/** A fuse file of these states, whole and with its fuse checksum. */
export function fileOf(states: Uint8Array, pins: number): Uint8Array {
  let sum = 0
  states.forEach((state, i) => (sum += state << (i & 7)))
  const checksum = (sum & 0xffff).toString(16).toUpperCase().padStart(4, '0')
  return new TextEncoder().encode(`\x02*QP${pins}*QF${states.length}*G0*L0 ${states.join('')}*C${checksum}*\x030000`)
}

/** A part of a board with the file of its design. */
export function partOf(name: string, design: Design, pins: Readonly<Record<number, string>>): BoardPart {
  return { name, file: fileOf(encode(design), tableOf(design).pinCount), device: design.part, pins }
}

/** The document of a board. */
export function boardOf({ parts, inputs, outputs, diodes, resistors, internalPullUps = false }: PlainBoard): Board {
  return {
    parts: parts.map(({ name, design, pins }) => partOf(name, design, pins)),
    outside: [
      ...inputs.map(([pin, net]) => ({ pin, net, direction: 'input' as const })),
      ...outputs.map(([pin, net]) => ({ pin, net, direction: 'output' as const })),
    ],
    diodes: diodes.map(([name, anode, cathode]) => ({ name, anode, cathode })),
    resistors: resistors.map(([name, net, to]) => ({ name, net, to })),
    internalPullUps,
  }
}

/** A board without parts: outside levels, diodes and resistors alone. */
export function passive(given: Partial<PlainBoard>): PlainBoard {
  return { parts: [], inputs: [], outputs: [], diodes: [], resistors: [], ...given }
}

/** Invented: pin 19 = p2, pin 12 = p3. */
export const BUFFERS: Design = gates({ 19: [[2]], 12: [[3]] })

/** The buffers alone on a board, pin by pin. */
export const BUFFERED: PlainBoard = passive({
  parts: [{ name: 'U1', design: BUFFERS, pins: { 2: 'A', 3: 'B', 19: 'FA', 12: 'FB' } }],
  inputs: [
    [2, 'A'],
    [3, 'B'],
  ],
  outputs: [
    [19, 'FA'],
    [12, 'FB'],
  ],
})
