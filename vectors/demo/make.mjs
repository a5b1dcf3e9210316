/**
 * Makes the files of the demonstration beside it: three spoiled copies of the standard's worked example, and a fuse
 * file for an instrument that does not exist. Run with: node vectors/demo/make.mjs
 *
 * The instrument is invented: the chart-drive and decoding part of a "TG-40 tide gauge recorder". Inputs: 1 clock,
 * 2 run, 3 forward, 4 home, 6 read (low), 7 to 9 address bits 0 to 2, 11 output enable (low). Outputs: 19 and 18 the
 * two motor phases (a Gray count), 17 chart select (low), 16 gauge select (low), 15 phase read-back on the bus.
 */
import { readFileSync, writeFileSync } from 'node:fs'

const here = (name) => new URL(name, import.meta.url)
const sum = (bytes) => bytes.reduce((total, byte) => (total + (byte & 0x7f)) & 0xffff, 0)
const hex = (value) => value.toString(16).toUpperCase().padStart(4, '0')

// Spoiled copies of the published example.
const example = readFileSync(here('../published/jesd3a-14l4.jed'))
const flipped = Uint8Array.from(example)
const digit = example.indexOf('L0112 ') + 'L0112 '.length + 13
flipped[digit] ^= 1
writeFileSync(here('example-one-fuse-flipped.jed'), flipped)
writeFileSync(here('example-line-ends-changed.jed'), example.toString('latin1').replaceAll('\r\n', '\n'), 'latin1')
writeFileSync(here('example-cut-in-half.jed'), example.subarray(0, example.length >> 1))

// The invented instrument: a 16V8 in registered mode. Fuse numbers as in the GAL16V8 data sheet, 16v8_04, p. 5.
const COLUMN_PINS = [2, 19, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 12]
const fuses = new Uint8Array(2194)
const cell = (pin) => 19 - pin
/** A term: `4` for the level of pin 4, `-4` for its complement. */
function setRow(row, literals) {
  fuses.fill(1, row * 32, row * 32 + 32)
  for (const literal of literals)
    fuses[row * 32 + 2 * COLUMN_PINS.indexOf(Math.abs(literal)) + (literal < 0 ? 1 : 0)] = 0
}
function setCell(pin, { activeHigh, registered, rows }) {
  const index = cell(pin)
  fuses[2048 + index] = activeHigh ? 1 : 0
  fuses[2120 + index] = registered ? 0 : 1
  rows.forEach((literals, i) => setRow(index * 8 + i, literals))
}
for (let i = 0; i < 8; i++) fuses[2120 + i] = 1
fuses.fill(1, 2128, 2192)
fuses[2192] = 0
fuses[2193] = 1
setCell(19, {
  activeHigh: true,
  registered: true,
  rows: [
    [2, 3, 18, -4],
    [2, -3, -18, -4],
    [-2, 19, -4],
  ],
})
setCell(18, {
  activeHigh: true,
  registered: true,
  rows: [
    [2, 3, -19, -4],
    [2, -3, 19, -4],
    [-2, 18, -4],
  ],
})
setCell(17, { activeHigh: false, registered: false, rows: [[], [-6, 9, -8, -7]] })
setCell(16, { activeHigh: false, registered: false, rows: [[], [-6, 9, -8, 7]] })
setCell(15, { activeHigh: true, registered: false, rows: [[-6, 9, 8], [19]] })
;[...'TG-40 B '].forEach((letter, byte) => {
  for (let bit = 0; bit < 8; bit++) fuses[2056 + byte * 8 + bit] = (letter.charCodeAt(0) >> (7 - bit)) & 1
})

const vectors = [
  'C011X1000N0NNNZHHLLN', // home: both phases low
  'C110X1000N0NNNZHHHLN', // forward, four steps of the Gray count
  'C110X1000N0NNNZHHHHN',
  'C110X1000N0NNNZHHLHN',
  'C010X1000N0NNNZHHLHN', // halted
  'C100X1000N0NNNZHHHHN', // one step back
  '0100X0001N0NNNZHLHHN', // chart select
  '0100X0101N0NNNZLHHHN', // gauge select
  '0100X0011N0NNNHHHHHN', // phase on the bus
  '0100X1000N1NNNZHHZZN', // outputs switched off
]
let fuseSum = 0
fuses.forEach((state, i) => (fuseSum += state << (i & 7)))
const rows = []
for (let at = 0; at < fuses.length; at += 32)
  rows.push(`L${String(at).padStart(4, '0')} ${fuses.slice(at, at + 32).join('')}*`)
const body = [
  '\x02Tide gauge recorder TG-40, chart drive and decoding (an invented instrument)*',
  'QP20*',
  'QF2194*',
  `QV${vectors.length}*`,
  'G0*',
  'F0*',
  'X0*',
  'N 1 clock, 2 run, 3 forward, 4 home, 6 read low, 7 8 9 address, 11 enable low*',
  'N 19 18 motor phases, 17 chart low, 16 gauge low, 15 phase on the bus*',
  ...rows,
  `C${hex(fuseSum & 0xffff)}*`,
  ...vectors.map((vector, i) => `V${String(i + 1).padStart(4, '0')} ${vector}*`),
  '\x03',
].join('\r\n')
const bytes = Uint8Array.from(body, (character) => character.charCodeAt(0))
writeFileSync(here('tide-gauge-16v8.jed'), `${body}${hex(sum(bytes))}\r\n`, 'latin1')
