/**
 * The cases of comparisons: a file, another one, and what comparing them yields. As in `make.mjs`, to which they
 * belong,
 * nothing of the library is used. Findings of one of the files name their side; a mark stands in the text of that side.
 */

const AS_14L4 = { device: '14L4' }
const AS_16V8 = { device: '16V8' }
const NO_PINS = (count) => `V1 ${'N'.repeat(count)}*`

/** Files made with the helpers of `make.mjs`. */
export function compareCases({ frame, fuseSum, lists, run, small }) {
  const fields = (ones, { count, pins, vectors = [NO_PINS(pins)], fill = 'F0*', listed = lists(ones) }) =>
    frame(['Sample*', `QP${pins}*`, `QF${count}*`, 'QV1*', 'G0*', fill, ...listed, `C${fuseSum(ones)}*`, ...vectors])
  /** A row in which only the fuses `connected`, counted from its first, are intact. */
  const row = (first, width, connected) => run(first, width).filter((fuse) => !connected.includes(fuse - first))

  /**
   * 14L4: rows of 28; columns 0, 4 and 8 carry pins 2, 3 and 4. Pin 17 has rows 0 to 3, pin 16 the next four, and so
   * on.
   */
  const pal = (ones, options = {}) => fields(ones, { count: 448, pins: 20, ...options })
  const palRow = (index, connected) => row(28 * index, 28, connected)
  /** Pin 2 low: pin 17 is high whatever else its terms hold. */
  const PIN_2_LOW = { vectors: ['V1 N0NNNNNNNNNNNHHHHNNN*'] }
  const PINS_2_AND_3_LOW = { vectors: ['V1 N00NNNNNNNNNNHHHHNNN*'] }
  const PINS_2_TO_4_LOW = { vectors: ['V1 N000NNNNNNNNNHHHHNNN*'] }
  const HIGH = { vectors: ['V1 NNNNNNNNNNNNNHHHHNNN*'] }

  /**
   * 16V8 (Lattice GAL16V8 data sheet, logic diagrams): rows of 32, XOR from 2048, signature from 2056, AC1 from 2120,
   * PTD
   * from 2128, SYN 2192, AC0 2193. All rows enabled, so that only their own fuses decide.
   */
  const gal = (ones, options = {}) => fields([...ones, ...run(2128, 64)], { count: 2194, pins: 20, ...options })
  const galRow = (index, connected) => row(32 * index, 32, connected)
  const COMPLEX = [...run(2120, 8), 2192, 2193]
  const REGISTERED = [2193]

  /**
   * Complex mode: pins 2, 3, 18 and 4 stand on columns 0, 4, 6 and 8. Row 8 enables pin 18, rows 9 and up are its
   * terms.
   */
  const latch = (...terms) =>
    gal([...COMPLEX, 2049, ...galRow(8, []), ...terms.flatMap((term, i) => galRow(9 + i, term))])

  /**
   * Registered mode: pins 2, 19 and 18 stand on columns 0, 2 and 6, complements one further; the other cells are
   * combinational and off. Pin 19 takes p19 ⊕ p18 and pin 18 takes p19: 11, 01, 10 and again 11. `stray` is a third
   * term.
   */
  const ring = (stray) =>
    gal([
      ...REGISTERED,
      ...run(2122, 6),
      2048,
      2049,
      ...galRow(0, [3, 6]),
      ...galRow(1, [2, 7]),
      ...galRow(2, stray),
      ...galRow(8, [2]),
    ])
  const POWER_UP = ['intended', 'readback'].map((side) => ['device/power-up', null, { side }])

  /** 22V10: row 2 is the first term of pin 23, whose S1, fuse 5809, makes it combinational. All other cells are off. */
  const wide = (count) =>
    fields([...run(5809, 19).filter((fuse) => fuse % 2), ...row(44, 44, []), ...row(88, 44, [4])], {
      count,
      pins: 24,
    })
  /** The same with pin 4 (columns 12 and 13) as the one literal of pin 23. */
  const powered = (count, more = []) =>
    fields([...run(5809, 19).filter((fuse) => fuse % 2), ...row(44, 44, []), ...row(88, 44, [12]), ...more], {
      count,
      pins: 24,
    })

  const UNKNOWN = ['intended', 'readback'].map((side) => ['device/unknown', null, { side }])
  const AMBIGUOUS = ['intended', 'readback'].map((side) => ['device/ambiguous', null, { side }])

  return {
    'compare-no-fuses': {
      why: 'The read-back is a web page.',
      text: small(),
      other: '<!DOCTYPE html>\n<title>Not found</title>\n',
      options: AS_14L4,
      verdict: 'fail',
      findings: [
        ['compare/no-fuses', null],
        ['file/not-a-fuse-file', 0, { side: 'readback' }],
        ['file/look-alike', 0, { side: 'readback' }],
      ],
    },
    'compare-different': {
      why: 'Pin 17 is the complement of pin 2 in one file and of pins 2 and 3 together in the other.',
      text: pal(palRow(0, [0]), PIN_2_LOW),
      other: pal(palRow(0, [0, 4]), PIN_2_LOW),
      options: AS_14L4,
      verdict: 'fail',
      findings: [['compare/different', null]],
    },
    'compare-opposite-level': {
      why: 'The polarity fuse of pin 18 differs (XOR, fuse 2049), and nothing else.',
      text: latch([0]),
      other: gal([...COMPLEX, ...galRow(8, []), ...galRow(9, [0])]),
      options: AS_16V8,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['compare/opposite-level', null, { pin: 18 }],
      ],
    },
    'compare-added-hazards': {
      why: 'The term p3 ∧ p4 covers the change of pin 2 between two others; the second file has the first term twice.',
      text: pal([...palRow(0, [0, 4]), ...palRow(1, [1, 8]), ...palRow(2, [4, 8])], PINS_2_TO_4_LOW),
      other: pal([...palRow(0, [0, 4]), ...palRow(1, [1, 8]), ...palRow(2, [0, 4])], PINS_2_TO_4_LOW),
      options: AS_14L4,
      verdict: 'caution',
      findings: [
        ['compare/added-hazards', null, { pin: 17 }],
        ['compare/equal-sums', null],
      ],
    },
    'compare-fuses-differ': {
      why: 'No part has ten fuses, so that only they can be compared; fuse 3 differs.',
      text: fields([0], { count: 10, pins: 20 }),
      other: fields([0, 3], { count: 10, pins: 20 }),
      verdict: 'fail',
      findings: [['compare/fuses-differ', null, { fuse: 3 }], ['compare/logic-not-examined', null], ...UNKNOWN],
    },
    'compare-logic-not-examined': {
      why: 'The same ten fuses of a part that is not known.',
      text: fields([0], { count: 10, pins: 20 }),
      other: fields([0], { count: 10, pins: 20 }),
      verdict: 'caution',
      findings: [['compare/logic-not-examined', null], ...UNKNOWN],
    },
    'compare-sizes-differ': {
      why: 'Ten and eleven fuses of unknown parts have nothing to do with each other.',
      text: fields([0], { count: 10, pins: 20 }),
      other: fields([1], { count: 11, pins: 20 }),
      verdict: 'caution',
      findings: [['compare/sizes-differ', null], ...UNKNOWN],
    },
    'compare-packages-differ': {
      why: 'A part with 20 pins and one with 24: nobody says which pins belong together.',
      text: small(),
      other: wide(5828),
      options: AS_14L4,
      verdict: 'caution',
      findings: [['compare/packages-differ', null]],
    },
    'compare-candidates': {
      why: 'A 14L4 or a 14H4; in either a fuse more in a row that holds both columns of other pins changes nothing.',
      text: pal([0], { vectors: [NO_PINS(20)] }),
      other: pal([0, 1], { vectors: [NO_PINS(20)] }),
      verdict: 'caution',
      findings: [['compare/candidates', null], ...AMBIGUOUS],
    },
    'compare-candidates-disagree': {
      why: 'Row 16 enables pin 17 of a 16L8; of a 16R8 it is one term beside another that is always 1.',
      text: fields([...galRow(16, []), ...galRow(17, [])], { count: 2048, pins: 20 }),
      other: fields([...galRow(16, [0, 1]), ...galRow(17, [])], { count: 2048, pins: 20 }),
      verdict: 'caution',
      findings: [['compare/candidates-disagree', null], ...AMBIGUOUS],
    },
    'compare-undecided': {
      why: 'The caller allows no more than three nodes, and the complement of a pin, at pins 16 and 17, needs another; pins 14 and 15 are constant.',
      text: pal([...palRow(0, [0]), ...palRow(4, [4])], PINS_2_AND_3_LOW),
      other: pal([...palRow(0, [0, 4]), ...palRow(4, [4])], PINS_2_AND_3_LOW),
      options: { ...AS_14L4, maxNodes: 3 },
      verdict: 'caution',
      findings: [16, 17].map((pin) => ['compare/undecided', null, { pin }]),
    },
    'compare-loops': {
      why: 'A latch p2 ∧ p3 ∨ ¬p3 ∧ p18 at pin 18 with a third term that is always 0, or is p2 ∧ p18: one function, with a loop.',
      text: latch([0, 4], [5, 6], [0, 6, 8, 9]),
      other: latch([0, 4], [5, 6], [0, 6]),
      options: AS_16V8,
      verdict: 'pass',
      findings: [['compare/loops', null]],
    },
    'compare-one-sided': {
      why: 'Simple mode: pin 19 is an output that is always low in one file and an input in the other.',
      text: gal([...run(2121, 7).filter((fuse) => fuse !== 2123 && fuse !== 2124), 2048, 2192, 5]),
      other: gal([...run(2120, 8).filter((fuse) => fuse !== 2123 && fuse !== 2124), 2048, 2192, 5]),
      options: AS_16V8,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['compare/one-sided', null, { pin: 19 }],
      ],
    },
    'compare-power-up-open': {
      why: 'Equal registers, and the caller says that the start of the read-back’s is not known; a row that does nothing differs.',
      text: ring([2, 3, 6]),
      other: ring([2, 3, 7]),
      options: { ...AS_16V8, otherPowerUp: 'unknown' },
      verdict: 'caution',
      findings: [['compare/power-up-open', null], ['readback/idle-rows-only', null], ...POWER_UP],
    },
    'compare-from-start-only': {
      why: 'From 00, which the ring never comes to, one of the two goes to 10 and the other stays.',
      text: ring([3, 7, 0, 1]),
      other: ring([3, 7]),
      options: AS_16V8,
      verdict: 'caution',
      findings: [['compare/from-start-only', null], ...POWER_UP],
    },
    'compare-start-not-explored': {
      why: 'The same two rings, and the caller says that neither start is known.',
      text: ring([3, 7, 0, 1]),
      other: ring([3, 7]),
      options: { ...AS_16V8, powerUp: 'unknown', otherPowerUp: 'unknown' },
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['compare/power-up-open', null],
        ['compare/start-not-explored', null],
        ...POWER_UP,
      ],
    },
    'compare-equal-sums': {
      why: 'Fuse 0 in one file and fuse 8 in the other weigh the same in the fuse checksum; both lie in a row that does nothing.',
      text: pal([0], HIGH),
      other: pal([8], HIGH),
      options: AS_14L4,
      verdict: 'pass',
      findings: [
        ['compare/equal-sums', null],
        ['readback/idle-rows-only', null],
      ],
    },
    'compare-same-array': {
      why: 'One 22V10 design without and with the 64 fuses of the signature.',
      text: wide(5828),
      other: wide(5892),
      verdict: 'pass',
      findings: [['compare/same-array', null]],
    },
    'compare-dont-care': {
      why: 'The two differ only where pin 2 is high, and that does not matter to the caller.',
      text: pal(palRow(0, [0]), PIN_2_LOW),
      other: pal(palRow(0, [0, 4]), PIN_2_LOW),
      options: { ...AS_14L4, dontCare: [{ 2: 1 }] },
      verdict: 'pass',
      findings: [['compare/dont-care', null]],
    },
    'readback-all-alike': {
      why: 'All fuses of the read-back are 1: a blank chip.',
      text: pal(palRow(0, [0]), PIN_2_LOW),
      other: pal(run(0, 448), { fill: 'F1*', listed: [] }),
      options: AS_14L4,
      verdict: 'caution',
      findings: [
        ['readback/all-alike', null],
        ['device/blank-map', null, { side: 'readback' }],
      ],
    },
    'readback-array-alike': {
      why: 'The array of the read-back is all 1 while its configuration can be read: a protected chip.',
      text: latch([0, 4], [5, 6]),
      other: gal([...run(0, 2048), ...COMPLEX]),
      options: AS_16V8,
      verdict: 'caution',
      findings: [
        ['readback/array-alike', null],
        ['device/blank-array', null, { side: 'readback' }],
      ],
    },
    'compare-power-down-differs': {
      why: 'Pin 23 of a 22V10 is pin 4, which fuse 5892 may turn into a control pin; the fuse is 0 and 1.',
      text: powered(5893),
      other: powered(5893, [5892]),
      verdict: 'caution',
      findings: [
        ['compare/power-down-differs', null, { fuse: 5892 }],
        ...['intended', 'readback'].map((side) => ['device/power-down', null, { fuse: 5892, side }]),
      ],
    },
    'compare-power-down-one-sided': {
      why: 'The same logic with and without the power-down fuse of a 22V10.',
      text: powered(5893),
      other: powered(5892),
      verdict: 'caution',
      findings: [
        ['compare/power-down-one-sided', null],
        ['compare/same-array', null],
        ['device/power-down', null, { fuse: 5892, side: 'intended' }],
      ],
    },
    'readback-shifted': {
      why: 'Every list of the read-back stands one fuse later than in the intended file.',
      text: pal([...palRow(0, [0]), ...palRow(4, [0])], { vectors: ['V1 N0NNNNNNNNNNNHHHHNNN*'] }),
      other: pal([...palRow(0, [0]), ...palRow(4, [0])].map((fuse) => fuse + 1)),
      options: AS_14L4,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['readback/shifted', null],
      ],
    },
    'readback-repeated-halves': {
      why: 'Rows 8 to 15 of the read-back are rows 0 to 7 again: pin 15 does what pin 17 does.',
      text: pal(palRow(0, [0]), PIN_2_LOW),
      other: pal([...palRow(0, [0]), ...palRow(8, [0])], PIN_2_LOW),
      options: AS_14L4,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['readback/repeated-halves', null],
      ],
    },
    'readback-signature-only': {
      why: 'One bit of the signature differs.',
      text: latch([0]),
      other: gal([...COMPLEX, 2049, 2056, ...galRow(8, []), ...galRow(9, [0])]),
      options: AS_16V8,
      verdict: 'pass',
      findings: [['readback/signature-only', null]],
    },
    'readback-idle-rows-only': {
      why: 'Fuse 1 more in a row that holds both columns of every other pin.',
      text: pal([0], HIGH),
      other: pal([0, 1], HIGH),
      options: AS_14L4,
      verdict: 'pass',
      findings: [['readback/idle-rows-only', null]],
    },
    'readback-tail-only': {
      why: 'The array is the same, and SYN is not: the read-back is in another mode, in which pin 18 happens to do the same.',
      text: latch([0]),
      other: gal([...run(2120, 8), 2193, 2049, ...galRow(8, []), ...galRow(9, [0])]),
      options: AS_16V8,
      verdict: 'caution',
      findings: [['readback/tail-only', null]],
    },
    'readback-alike-from-row': {
      why: 'Rows 4 to 15 read 1 throughout: pin 2, fuse 4 · 28 = 112, is the first that is lost. Pin 17 is as it was; pin 14, whose rows did nothing, is low instead of high.',
      text: pal(
        [0, 4, 8].flatMap((index) => palRow(index, [0])),
        PIN_2_LOW,
      ),
      other: pal([...palRow(0, [0]), ...run(112, 336)]),
      options: AS_14L4,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['compare/opposite-level', null, { pin: 14 }],
        ['readback/alike-from-row', null, { fuse: 112 }],
      ],
    },
    'readback-stuck-column': {
      why: 'Three rows lose pin 3, whose column reads 1 in all of them.',
      text: pal(
        [0, 4, 8].flatMap((index) => palRow(index, [0, 4])),
        PIN_2_LOW,
      ),
      other: pal(
        [0, 4, 8].flatMap((index) => palRow(index, [0])),
        PIN_2_LOW,
      ),
      options: AS_14L4,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['readback/stuck-column', null],
      ],
    },
    'readback-stuck-row': {
      why: 'One row loses all its three pins: it reads 1 throughout, so that pin 17 is low for good.',
      text: pal(palRow(0, [0, 4, 8]), PIN_2_LOW),
      other: pal(palRow(0, [])),
      options: AS_14L4,
      verdict: 'fail',
      findings: [
        ['compare/different', null],
        ['readback/stuck-row', null],
      ],
    },
  }
}
