/** Reads of one chip: a sound map of a 16V8 in complex mode, and copies in which chosen fuses are in other states. */
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import { encode } from '../parts/encoder'

/** Two outputs; every fuse by the tests' own encoder. */
export const STATES = encode({
  part: '16V8',
  mode: 'complex',
  outputs: [
    { pin: 19, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, -3], [4]] },
    { pin: 18, kind: 'combinational', activeHigh: false, enable: { term: [5] }, terms: [[6, 7]] },
  ],
}).join('')

/** The map with fuses in other states; `changes` holds `fuse: state`. */
export function statesWith(changes: Readonly<Record<number, 0 | 1>> = {}, states = STATES): string {
  const digits = [...states]
  for (const [fuse, state] of Object.entries(changes)) digits[Number(fuse)] = String(state)
  return digits.join('')
}

/** A read as a file with right sums. */
export function readOf(changes: Readonly<Record<number, 0 | 1>> = {}, states = STATES): Uint8Array {
  return writeFuseFile({ fuses: fuseMapFrom(statesWith(changes, states)) })
}
