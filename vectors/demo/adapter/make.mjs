/**
 * Makes the files of the adapter demonstration beside it. Run with: node vectors/demo/adapter/make.mjs
 * With a name, it writes the original's table instead, 65,536 bytes: node vectors/demo/adapter/make.mjs ORIGINAL.bin
 * With --folder FOLDER, the files go there.
 *
 * Everything here is invented: the page decoder of a "TG-40 tide gauge recorder", a logic array of 16 inputs and 8
 * outputs
 * in a 28-pin socket, and its replacement, one 16V8 on a small board. The 16V8 has ten inputs left beside eight
 * outputs.
 * Of the original's inputs I8 to I15 only their AND counts, so that eight diodes and a pull-up make one signal of them.
 *
 * The original's functions, with W = I8 ∧ … ∧ I15:
 *   F0 = ¬(W ∧ I7 ∧ I6)                 chart drive, low
 *   F1 = ¬(W ∧ I7 ∧ ¬I6)                gauge head, low
 *   F2 = W ∧ ¬I7 ∧ I5 ∧ ¬I4             printer
 *   F3 = ¬W ∧ I7                        memory
 *   F4 = I0 ≠ I1 ≠ I2 (odd)             parity of the low lines
 *   F5 = W ∧ (I2 = I3)                  clock chip
 *   F6 = (I4 ∧ I5) ∨ (W ∧ ¬I6)          wait
 *   F7 = ¬((W ∧ I0 ∧ ¬I7) ∨ (I1 ∧ I6))  strobe, low
 */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'

const folder = process.argv[2] === '--folder' ? process.argv[3] : null
const here = (name) => (folder ? join(folder, name) : new URL(name, import.meta.url))
const sum = (text) => [...text].reduce((total, character) => (total + character.charCodeAt(0)) & 0xffff, 0)
const hex = (value) => value.toString(16).toUpperCase().padStart(4, '0')

/** Pins of the original (from memory) and of the 16V8, in the order of their numbers. */
const INPUT_PINS = [9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20]
const OUTPUT_PINS = [18, 17, 16, 15, 13, 12, 11, 10]
const ENABLE_PIN = 19
const WIDE = [8, 9, 10, 11, 12, 13, 14, 15]

/** The functions on one row of the table; bit n of the address is In. */
function originalOutputs(address) {
  const i = (n) => ((address >> n) & 1) === 1
  const w = WIDE.every(i)
  return [
    !(w && i(7) && i(6)),
    !(w && i(7) && !i(6)),
    w && !i(7) && i(5) && !i(4),
    !w && i(7),
    (i(0) !== i(1)) !== i(2),
    w && i(2) === i(3),
    (i(4) && i(5)) || (w && !i(6)),
    !((w && i(0) && !i(7)) || (i(1) && i(6))),
  ]
}

/** Sums of products: [number of the input, level], `'w'` for the eight wide inputs; and whether the sum is inverted. */
const ODD = [
  [0, 0, 1],
  [0, 1, 0],
  [1, 0, 0],
  [1, 1, 1],
].map((levels) => levels.map((level, n) => [n, level]))
const EQUATIONS = [
  {
    inverted: true,
    terms: [
      [
        ['w', 1],
        [7, 1],
        [6, 1],
      ],
    ],
  },
  {
    inverted: true,
    terms: [
      [
        ['w', 1],
        [7, 1],
        [6, 0],
      ],
    ],
  },
  {
    inverted: false,
    terms: [
      [
        ['w', 1],
        [7, 0],
        [5, 1],
        [4, 0],
      ],
    ],
  },
  {
    inverted: false,
    terms: [
      [
        ['w', 0],
        [7, 1],
      ],
    ],
  },
  { inverted: false, terms: ODD },
  {
    inverted: false,
    terms: [
      [
        ['w', 1],
        [2, 1],
        [3, 1],
      ],
      [
        ['w', 1],
        [2, 0],
        [3, 0],
      ],
    ],
  },
  {
    inverted: false,
    terms: [
      [
        [4, 1],
        [5, 1],
      ],
      [
        ['w', 1],
        [6, 0],
      ],
    ],
  },
  {
    inverted: true,
    terms: [
      [
        ['w', 1],
        [0, 1],
        [7, 0],
      ],
      [
        [1, 1],
        [6, 1],
      ],
    ],
  },
]

/** Terms over the sixteen inputs: `w` at 1 is eight literals, `w` at 0 a term for each of them. */
function widened(term) {
  const rest = term.filter(([name]) => name !== 'w')
  const wide = term.find(([name]) => name === 'w')
  if (!wide) return [rest]
  return wide[1] ? [[...WIDE.map((n) => [n, 1]), ...rest]] : WIDE.map((n) => [[n, 0], ...rest])
}

/**
 * The array's fuses, term by term: 32 cells of inputs, true before complement, and 8 of sums; polarity cells last. No
 * maker publishes this order; it is one of those that can be asked for.
 */
function originalFuses() {
  const fuses = new Uint8Array(1928)
  const terms = EQUATIONS.flatMap((equation, output) =>
    equation.terms.flatMap(widened).map((literals) => ({ literals, output })),
  )
  for (let row = 0; row < 48; row++) {
    fuses.fill(1, 40 * row + 32, 40 * row + 40)
    const term = terms[row]
    if (!term) continue
    fuses.fill(1, 40 * row, 40 * row + 32)
    for (const [n, level] of term.literals) fuses[40 * row + 2 * n + (level ? 0 : 1)] = 0
    fuses[40 * row + 32 + term.output] = 0
  }
  EQUATIONS.forEach(({ inverted }, output) => (fuses[1920 + output] = inverted ? 1 : 0))
  return fuses
}

/**
 * The 16V8 in complex mode; fuse numbers as in the GAL16V8 data sheet, 16v8_04, p. 7. Pin 1 is W, pins 2 to 9 are I0
 * to I7, pin 11 the enable (low); outputs from pin 19 down.
 */
function replacementFuses() {
  const columns = [2, 1, 3, 18, 4, 17, 5, 16, 6, 15, 7, 14, 8, 13, 9, 11]
  const fuses = new Uint8Array(2194)
  const setRow = (row, literals) => {
    fuses.fill(1, 32 * row, 32 * row + 32)
    for (const [pin, level] of literals) fuses[32 * row + 2 * columns.indexOf(pin) + (level ? 0 : 1)] = 0
  }
  const pinOf = (name) => (name === 'w' ? 1 : name + 2)
  EQUATIONS.forEach(({ inverted, terms }, cell) => {
    setRow(8 * cell, [[11, 0]])
    terms.forEach((term, i) =>
      setRow(
        8 * cell + 1 + i,
        term.map(([name, level]) => [pinOf(name), level]),
      ),
    )
    fuses[2048 + cell] = inverted ? 0 : 1
    fuses[2120 + cell] = 1
  })
  fuses.fill(1, 2128, 2194)
  return fuses
}

function fuseFile(title, pins, fuses) {
  let fuseSum = 0
  fuses.forEach((state, i) => (fuseSum += state << (i & 7)))
  const rows = []
  for (let at = 0; at < fuses.length; at += 40)
    rows.push(`L${String(at).padStart(4, '0')} ${fuses.slice(at, at + 40).join('')}*`)
  const body = [
    `\x02${title}*`,
    `QP${pins}*`,
    `QF${fuses.length}*`,
    'G0*',
    'F0*',
    ...rows,
    `C${hex(fuseSum & 0xffff)}*`,
    '\x03',
  ].join('\r\n')
  return `${body}${hex(sum(body))}\r\n`
}

const MEMORY = 'from memory, common for such parts; check against the data sheet'
const DIODE = { drop: 0.35, capacitance: 1e-11, source: `small Schottky diode at 1 mA, ${MEMORY}` }

/** The board. `reversed` names a diode that is fitted the wrong way round. */
function board(reversed) {
  const outside = [
    ...INPUT_PINS.map((pin, n) => ({ pin, net: `I${n}`, direction: 'input' })),
    ...OUTPUT_PINS.map((pin, n) => ({ pin, net: `F${n}`, direction: 'output' })),
    { pin: ENABLE_PIN, net: 'ENABLE', direction: 'input', held: 0 },
    { pin: 14, net: 'GND', direction: 'ground' },
    { pin: 28, net: 'VCC', direction: 'supply' },
  ]
  const pins = {
    1: 'WIDE',
    ...Object.fromEntries([0, 1, 2, 3, 4, 5, 6, 7].map((n) => [n + 2, `I${n}`])),
    10: 'GND',
    11: 'ENABLE',
    ...Object.fromEntries(OUTPUT_PINS.map((_, n) => [19 - n, `F${n}`])),
    20: 'VCC',
  }
  const diodes = WIDE.map((n, k) => {
    const [anode, cathode] = reversed === `D${k + 1}` ? [`I${n}`, 'WIDE'] : ['WIDE', `I${n}`]
    return { name: `D${k + 1}`, anode, cathode, limits: DIODE }
  })
  return {
    title: 'Page decoder of the TG-40 tide gauge recorder (an invented instrument)',
    parts: [
      {
        name: 'U1',
        file: 'page-decoder-16v8.jed',
        pins,
        limits: {
          lowOut: 0.5,
          highOut: 2.4,
          lowIn: 0.8,
          highIn: 2,
          sink: 0.024,
          delay: 1.5e-8,
          inputCapacitance: 8e-12,
          inputCurrent: 0.00001,
          source: `16V8 of 15 ns, ${MEMORY}`,
        },
      },
    ],
    outside,
    diodes,
    resistors: [{ name: 'R1', net: 'WIDE', to: 'supply', ohms: 4700, tolerance: 0.05 }],
    internalPullUps: false,
    machine: {
      supplyLeast: 4.75,
      supplyMost: 5.25,
      lowOut: 0.4,
      highOut: 2.4,
      lowIn: 0.8,
      highIn: 2,
      sink: 0.004,
      inputCapacitance: 1.5e-11,
      netCapacitance: 5e-12,
      time: 3e-7,
      source: 'invented, as the instrument is',
    },
  }
}

/** One entry a line. */
const line = (value) => JSON.stringify(value, null, 1).replace(/\n */g, ' ')
const json = (value) =>
  `{\n${Object.entries(value)
    .map(
      ([key, entry]) =>
        `  "${key}": ${Array.isArray(entry) ? `[\n${entry.map((each) => `    ${line(each)}`).join(',\n')}\n  ]` : line(entry)}`,
    )
    .join(',\n')}\n}\n`

const image = folder ? undefined : process.argv[2]
if (image !== undefined)
  writeFileSync(
    image,
    Uint8Array.from({ length: 65536 }, (_, address) =>
      originalOutputs(address).reduce((byte, level, n) => byte | (level ? 1 << n : 0), 0),
    ),
  )
else {
  writeFileSync(
    here('page-decoder-original.jed'),
    fuseFile('TG-40 page decoder, the original array (an invented instrument)', 28, originalFuses()),
    'latin1',
  )
  writeFileSync(
    here('page-decoder-16v8.jed'),
    fuseFile('TG-40 page decoder, 16V8 with a diode AND (an invented instrument)', 20, replacementFuses()),
    'latin1',
  )
  writeFileSync(here('board.json'), json(board(null)))
  writeFileSync(here('board-diode-reversed.json'), json(board('D3')))
}
