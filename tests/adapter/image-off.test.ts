/** An image has no sign for an output that is off: the wiring says what it reads as, else the level is not known. */
import { expect, test } from 'vitest'
import { examineAdapter } from '../../src/board'
import { boardOf, passive } from './plain-boards'

/** Pin 10 is the input itself; nothing is on the net of pin 11, so that it is off in both rows. */
const BOARD = boardOf(
  passive({
    inputs: [[1, 'A']],
    outputs: [
      [10, 'A'],
      [11, 'N'],
    ],
  }),
)

/** Bit 0 of a byte is pin 10, which is the row; bit 1 is pin 11. */
const imageOf = (level: 0 | 1): Uint8Array => Uint8Array.of(2 * level, 2 * level + 1)

test.each<[off: 0 | 1 | null, read: 0 | 1, relation: string]>([
  [0, 0, 'equivalent'],
  [1, 1, 'equivalent'],
  [0, 1, 'different'],
  [1, 0, 'different'],
  [null, 0, 'undecided'],
  [null, 1, 'undecided'],
])('off reads as %s by the wiring and as %s in the image', (off, read, relation) => {
  const against = { image: imageOf(read), wiring: { address: [1], data: [10, 11], off } }
  expect(examineAdapter(BOARD, { against, faults: false }).relation).toBe(relation)
})
