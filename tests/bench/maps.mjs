/**
 * Dense fuse maps for the bench, the same fuses every time. Fuse numbers as the data sheets of the two parts print
 * them.
 */
import { fuseMapFrom, writeFuseFile } from '../../dist/index.js'
import { numbersFrom } from './files.mjs'

/** A row of fuses with so many literals over the column pairs that it may use. */
function termOf(next, width, { pairs, literals }) {
  const row = new Uint8Array(width).fill(1)
  const left = [...pairs]
  for (let i = 0; i < literals; i++) row[2 * left.splice(next() % left.length, 1)[0] + (next() & 1)] = 0
  return row
}

const fileOf = (fuses, pinCount) => writeFuseFile({ fuses: fuseMapFrom(fuses.join('')), pinCount })

/**
 * A 16V8 in simple mode: the outputs at pins 16 and 15 (rows 24 to 39) take eight terms over the sixteen other pins,
 * which are all inputs (GAL16V8 data sheet, 16v8_04, p. 9: every column pair is one of them).
 */
export function dense16V8() {
  const next = numbersFrom(0x16f8)
  const fuses = new Uint8Array(2194)
  const pairs = Array.from({ length: 16 }, (_, pair) => pair)
  for (let row = 24; row < 40; row++) fuses.set(termOf(next, 32, { pairs, literals: 3 + (next() % 3) }), row * 32)
  // XOR 1 for both, AC1 0 for both and 1 for the inputs, every row in use, SYN 1, AC0 0.
  fuses.fill(1, 2048, 2056)
  fuses.fill(1, 2120, 2192)
  fuses.fill(0, 2123, 2125)
  fuses[2192] = 1
  return fileOf(fuses, 20)
}

/** First row and rows of the cells of pins 23 to 14, and their column pairs (GAL22V10 data sheet, 22v10_08, p. 5). */
const CELLS = [
  [1, 9],
  [10, 11],
  [21, 13],
  [34, 15],
  [49, 17],
  [66, 17],
  [83, 15],
  [98, 13],
  [111, 11],
  [122, 9],
]
/** Column pairs of the clock pin 1, of pin 14 and of pin 13. */
const [CLOCK, LAST, DIRECTION] = [0, 19, 21]

/**
 * Two 22V10 maps of the same logic, the second with the terms of every output in another order. Pins 23 to 15 are
 * registers; pin 14 is combinational and on while pin 13 is high. So 22 are free: twelve inputs, pin 14 while it is
 * off, nine states.
 */
export function denseTwins() {
  const next = numbersFrom(0x22f10)
  const [first, second] = [new Uint8Array(5892), new Uint8Array(5892)]
  CELLS.forEach(([firstRow, rowCount], cell) => {
    const registered = cell < 9
    const pairs = Array.from({ length: 22 }, (_, pair) => pair).filter((pair) => pair !== (registered ? CLOCK : LAST))
    const enable = new Uint8Array(44).fill(1)
    if (!registered) enable[2 * DIRECTION] = 0
    const terms = Array.from({ length: rowCount - 1 }, () => termOf(next, 44, { pairs, literals: 3 + (next() % 3) }))
    const write = (fuses, rows) => [enable, ...rows].forEach((row, i) => fuses.set(row, (firstRow + i) * 44))
    write(first, terms)
    write(second, [...terms].reverse())
    // S0 1 is active high, S1 0 a register.
    for (const fuses of [first, second]) fuses.set([1, registered ? 0 : 1], 5808 + 2 * cell)
  })
  return [fileOf(first, 24), fileOf(second, 24)]
}
