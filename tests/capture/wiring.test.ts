/** The wiring document: what it means, and every mistake with its path. */
import { describe, expect, test } from 'vitest'
import { namedWirings, readWiring, readWiringHints, type WiringDocument } from '../../src/capture'

const PLAIN: WiringDocument = { address: [2, 3], data: [19, 18] }

test('what is left out has its default', () => {
  expect(readWiring(PLAIN)).toEqual({
    title: null,
    address: [
      { pin: 2, inverted: false },
      { pin: 3, inverted: false },
    ],
    data: [
      { pin: 19, inverted: false },
      { pin: 18, inverted: false },
    ],
    held: {},
    width: 8,
    byteOrder: 'low-first',
    off: null,
    ignore: [],
    dontCare: [],
    badRows: [],
  })
})

test('a checked wiring is a document that checks to itself', () => {
  const checked = readWiring({
    ...PLAIN,
    title: 'mine',
    held: { 11: 0 },
    width: 16,
    byteOrder: 'high-first',
    off: 1,
    ignore: [18],
    dontCare: [{ 2: 1 }],
    badRows: [0, [1, 2]],
    address: [null, { pin: 2, inverted: true }],
  })
  expect(readWiring(checked)).toEqual(checked)
  expect(checked.badRows).toEqual([
    [0, 0],
    [1, 2],
  ])
})

test('the named wiring: input n at address line n, output n at data line n, pins from memory', () => {
  expect(namedWirings()).toEqual([{ name: 'plain-28', source: expect.stringMatching(/^from memory/) }])
  const { address, data, held } = readWiring('plain-28')
  const pins = (lines: typeof address): (number | undefined)[] => lines.map((wire) => wire?.pin)
  // I0 to I7 count down from pin 9, I8 to I15 from pin 27; F0 to F3 from 18, F4 to F7 from 13 (14 is ground).
  expect(pins(address)).toEqual([9, 8, 7, 6, 5, 4, 3, 2, 27, 26, 25, 24, 23, 22, 21, 20])
  expect(pins(data)).toEqual([18, 17, 16, 15, 13, 12, 11, 10])
  expect(held).toEqual({ 19: 0 })
  expect([...address, ...data].some((wire) => wire!.inverted)).toBe(false)
})

type Wrong = readonly [what: string, document: unknown, kind: ErrorConstructor, message: RegExp]

const WRONG: readonly Wrong[] = [
  ['no object', 5, TypeError, /^wiring must be an object/],
  ['a list', [], TypeError, /^wiring must be an object/],
  ['null', null, TypeError, /^wiring must be an object/],
  ['an unknown name', 'plain-29', RangeError, /^wiring: no wiring is named “plain-29”/],
  [
    'a foreign entry',
    { ...PLAIN, adress: [] },
    RangeError,
    /^wiring\.adress is not known; known are address, data, title/,
  ],
  ['another version', { ...PLAIN, schema: 2 }, RangeError, /^wiring\.schema must be 1, not 2/],
  ['a title that is no text', { ...PLAIN, title: 1 }, TypeError, /^wiring\.title must be/],
  ['no address', { data: [19] }, TypeError, /^wiring\.address is missing/],
  ['no data', { address: [2] }, TypeError, /^wiring\.data is missing/],
  ['no address pin', { address: [null], data: [19] }, RangeError, /^wiring\.address: must name at least one pin/],
  ['no data pin', { address: [2], data: [] }, RangeError, /^wiring\.data: must name at least one pin/],
  [
    '25 address lines',
    { address: Array.from({ length: 25 }, (_, i) => i + 1), data: [99] },
    RangeError,
    /^wiring\.address must have at most 24 entries, not 25/,
  ],
  [
    'nine data lines in a byte',
    { address: [1], data: [11, 12, 13, 14, 15, 16, 17, 18, 19] },
    RangeError,
    /^wiring\.data: at most 8 lines, not 9/,
  ],
  [
    '17 data lines in a word',
    { address: [1], width: 16, data: Array.from({ length: 17 }, (_, i) => i + 2) },
    RangeError,
    /^wiring\.data must have at most 16 entries, not 17/,
  ],
  ['a pin as text', { address: [2, '3'], data: [19] }, TypeError, /^wiring\.address\[1\] must be a pin number from 1 to 999, an object or null, not "3"/],
  [
    'pin 0',
    { address: [2, 0], data: [19] },
    RangeError,
    /^wiring\.address\[1\] must be a pin number from 1 to 999, an object or null, not 0/,
  ],
  ['half a pin', { address: [2], data: [1.5] }, RangeError, /^wiring\.data\[0\] must be a pin number/],
  ['pin 1000', { address: [2], data: [1000] }, RangeError, /^wiring\.data\[0\] must be/],
  [
    'a wire without pin',
    { address: [2, 3, 4, { inverted: true }], data: [19] },
    TypeError,
    /^wiring\.address\[3\]\.pin is missing/,
  ],
  [
    'a wire at a wrong pin',
    { address: [2, 3, 4, { pin: -1 }], data: [19] },
    RangeError,
    /^wiring\.address\[3\]\.pin must be a pin number from 1/,
  ],
  [
    'a wire with a foreign entry',
    { address: [{ pin: 2, inverse: true }], data: [19] },
    RangeError,
    /^wiring\.address\[0\]\.inverse is not known; known are pin, inverted/,
  ],
  [
    'inverted as a number',
    { address: [{ pin: 2, inverted: 1 }], data: [19] },
    TypeError,
    /^wiring\.address\[0\]\.inverted must be/,
  ],
  [
    'a pin at two address lines',
    { address: [2, 3, 2], data: [19] },
    RangeError,
    /^wiring\.address\[2\]: pin 2 is at wiring\.address\[0\] already/,
  ],
  [
    'a pin at both kinds of lines',
    { address: [2], data: [19, 2] },
    RangeError,
    /^wiring\.data\[1\]: pin 2 is at wiring\.address\[0\] already/,
  ],
  [
    'a held pin at a line',
    { ...PLAIN, held: { 3: 1 } },
    RangeError,
    /^wiring\.held\.3: pin 3 is at wiring\.address\[1\] already/,
  ],
  ['held as a list', { ...PLAIN, held: [1] }, TypeError, /^wiring\.held must be an object/],
  ['held by a name', { ...PLAIN, held: { CE: 0 } }, RangeError, /^wiring\.held\.CE is no pin number/],
  ['held at 2', { ...PLAIN, held: { 11: 2 } }, RangeError, /^wiring\.held\.11 must be 0 or 1, not 2/],
  ['12 bits a word', { ...PLAIN, width: 12 }, RangeError, /^wiring\.width must be 8 or 16, not 12/],
  ['an unknown byte order', { ...PLAIN, byteOrder: 'little' }, RangeError, /^wiring\.byteOrder must be/],
  ['off at a word', { ...PLAIN, off: 'high' }, RangeError, /^wiring\.off must be 0, 1 or null/],
  ['ignore as a number', { ...PLAIN, ignore: 19 }, TypeError, /^wiring\.ignore must be a list/],
  [
    'an ignored pin that is no output',
    { ...PLAIN, ignore: [19, 2] },
    RangeError,
    /^wiring\.ignore\[1\]: pin 2 is at no data line/,
  ],
  ['an ignored name', { ...PLAIN, ignore: ['F0'] }, TypeError, /^wiring\.ignore\[0\] must be a pin number/],
  ['all outputs ignored', { ...PLAIN, ignore: [19, 18] }, RangeError, /^wiring\.ignore: leaves no output/],
  ['patterns that are no list', { ...PLAIN, dontCare: {} }, TypeError, /^wiring\.dontCare must be a list/],
  [
    'a pattern that is none',
    { ...PLAIN, dontCare: [{ 2: 0 }, 3] },
    TypeError,
    /^wiring\.dontCare\[1\] must be an object/,
  ],
  [
    'a pattern with a level 2',
    { ...PLAIN, dontCare: [{ 2: 2 }] },
    RangeError,
    /^wiring\.dontCare\[0\]\.2 must be 0 or 1/,
  ],
  [
    'a pattern over an output',
    { ...PLAIN, dontCare: [{ 19: 0 }] },
    RangeError,
    /^wiring\.dontCare\[0\]\.19: pin 19 is at no address line/,
  ],
  [
    '1001 patterns',
    { ...PLAIN, dontCare: Array.from({ length: 1001 }, () => ({ 2: 0 })) },
    RangeError,
    /^wiring\.dontCare must have at most 1000 entries, not 1001/,
  ],
  ['bad rows that are no list', { ...PLAIN, badRows: 3 }, TypeError, /^wiring\.badRows must be a list/],
  [
    'a bad row behind the end',
    { ...PLAIN, badRows: [0, 4] },
    RangeError,
    /^wiring\.badRows\[1\]: addresses are whole numbers from 0 to 3/,
  ],
  ['a bad row in words', { ...PLAIN, badRows: ['first'] }, TypeError, /^wiring\.badRows\[0\] must be/],
  ['a bad row past the end, as printed', { ...PLAIN, badRows: ['0x4'] }, RangeError, /from 0 to 3/],
  ['a range that ends first, as printed', { ...PLAIN, badRows: ['0x2-0x1'] }, RangeError, /ends before it begins/],
  [
    'a range of three',
    { ...PLAIN, badRows: [[0, 1, 2]] },
    RangeError,
    /^wiring\.badRows\[0\] must be an address, or the first and the last/,
  ],
  [
    'a range turned round',
    { ...PLAIN, badRows: [[2, 1]] },
    RangeError,
    /^wiring\.badRows\[0\]: the range ends before it begins/,
  ],
]

describe('every mistake throws with its path', () => {
  test.each(WRONG)('%s', (_, document, kind, message) => {
    let thrown: unknown = null
    try {
      readWiring(document)
    } catch (error) {
      thrown = error
    }
    expect(thrown).toBeInstanceOf(kind)
    expect((thrown as Error).message).toMatch(message)
  })

  test('near misses are taken', () => {
    expect(readWiring({ address: Array.from({ length: 24 }, (_, i) => i + 1), data: [999] }).address).toHaveLength(24)
    expect(
      readWiring({ address: [1], width: 16, data: Array.from({ length: 16 }, (_, i) => i + 2) }).data,
    ).toHaveLength(16)
    expect(
      readWiring({
        ...PLAIN,
        badRows: [[0, 3]],
        ignore: [19],
        dontCare: Array.from({ length: 1000 }, () => ({ 3: 1 as const })),
      }).badRows,
    ).toEqual([[0, 3]])
  })

  test('what is known of an image without a wiring has no lines', () => {
    expect(readWiringHints({ width: 16, held: { 19: 0 } })).toEqual({
      title: null,
      width: 16,
      byteOrder: 'low-first',
      off: null,
      held: { 19: 0 },
      badRows: [],
    })
    expect(readWiringHints({ badRows: [7, '0x1F', '0x10-0x12', ['2', '0x3']] }).badRows).toEqual([
      [7, 7],
      [31, 31],
      [16, 18],
      [2, 3],
    ])
    expect(() => readWiringHints(PLAIN)).toThrow(
      /^wiring\.address is not known; known are title, held, width, byteOrder, off, badRows, schema/,
    )
    expect(() => readWiringHints('plain-28')).toThrow(TypeError)
  })
})
