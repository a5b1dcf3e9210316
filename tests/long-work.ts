/** Work that takes many steps, for what is said of all long work. */
import { boardOf, passive, fileOf } from './adapter/plain-boards'
import type { Design } from './parts/design'
import { encode, tableOf } from './parts/encoder'

/** A board of sixteen inputs at the diodes of one net, and an output there: 65,536 rows. */
const INPUTS = Array.from({ length: 16 }, (_, i) => [i + 2, `I${i}`] as const)
export const wideBoard = boardOf(
  passive({
    inputs: INPUTS,
    outputs: [[30, 'W']],
    diodes: INPUTS.map(([, net], i) => [`D${i}`, 'W', net] as const),
    resistors: [['R1', 'W', 'supply']],
  }),
)

/** Two registers that count in a circle, with further terms in the first. */
const counter = (...more: readonly (readonly number[])[]): Design => ({
  part: '16V8',
  mode: 'registered',
  outputs: [
    { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[-19, -18], ...more] },
    { pin: 18, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[19, -18]] },
  ],
})

/** A counter, and one that differs in a state that is never reached: all states are followed. */
export const ring = fileOf(encode(counter()), tableOf(counter()).pinCount)
export const otherRing = fileOf(encode(counter([19, 18])), tableOf(counter()).pinCount)
