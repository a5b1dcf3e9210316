/** Images as tables: lines, polarity, words, rows left out, several reads; and what a bad read looks like. */
import { describe, expect, test } from 'vitest'
import { combineCaptures, readCapture, tableOddities, type Capture, type WiringDocument } from '../../src/capture'
import { levelInTable } from '../../src/logic'
import { setPattern } from '../../src/logic/table-bits'
import { seededRandom, shuffled } from '../parts/random-designs'
import { bit, imageOf, upTo, wideImageOf, type RowFunction } from './images'
import { granted, refusal } from '../granted'

const captured = (image: Uint8Array, wiring: WiringDocument): Capture => {
  const { capture, findings } = granted(readCapture(image, wiring))
  expect(findings.findings).toEqual([])
  return capture
}
const rowsOf = ({ table }: Capture): string[] =>
  upTo(table.rowCount).map((row) => table.outputs.map((_, i) => levelInTable(table, i, row)).join(''))
const rowsIn = (words: Int32Array, count: number): number[] =>
  upTo(count).filter((row) => bit(words[row >> 5]! >>> 0, row % 32))

describe('an image under a wiring', () => {
  test.each(upTo(40))('gives at each row what the byte at its address has, random wiring %i', (seed) => {
    const random = seededRandom(52_000 + seed)
    const [lines, width] = [1 + random(10), random(2) ? 16 : 8] as const
    const byteOrder = random(2) ? 'high-first' : 'low-first'
    const words = upTo(2 ** lines).map(() => random(2 ** width))
    const image = width === 8 ? Uint8Array.from(words) : wideImageOf(lines, (row) => words[row]!, byteOrder)
    const pins = shuffled(
      random,
      upTo(60).map((pin) => pin + 1),
    )
    const address = upTo(lines).map((line) => ({ pin: pins[line]!, inverted: random(3) === 0 }))
    const data = upTo(width).map((line) =>
      random(4) && line !== 2
        ? { pin: pins[20 + line]!, inverted: random(3) === 0 }
        : line === 2
          ? { pin: pins[22]!, inverted: false }
          : null,
    )
    const bad = upTo(2 ** lines).filter(() => random(9) === 0)
    const capture = captured(image, { address, data, width, byteOrder, badRows: bad })
    const shown = data.flatMap((wire, line) => (wire ? [{ ...wire, line }] : []))
    expect(capture.table.inputs.map(({ pin }) => pin)).toEqual(address.map(({ pin }) => pin))
    expect(capture.table.outputs.map(({ pin }) => pin)).toEqual(shown.map(({ pin }) => pin))
    const addressOf = (row: number): number =>
      address.reduce((sum, { inverted }, k) => sum + (bit(row, k) !== (inverted ? 1 : 0) ? 2 ** k : 0), 0)
    const expected = upTo(2 ** lines).map((row) =>
      shown.map(({ line, inverted }) => bit(words[addressOf(row)]!, line) ^ (inverted ? 1 : 0)).join(''),
    )
    expect(rowsOf(capture), `seed ${52_000 + seed}`).toEqual(expected)
    expect(rowsIn(capture.bad, 2 ** lines)).toEqual(upTo(2 ** lines).filter((row) => bad.includes(addressOf(row))))
  })

  test('address lines that lead nowhere make several reads of each row: X where these differ, bad where one of them is', () => {
    // Lines 1 and 3 lead nowhere; the row is bits 0 and 2.
    const levels: RowFunction = (row) => bit(row, 0) + 2 * bit(row, 2) + (row === 10 ? 4 : 0)
    const capture = captured(imageOf(4, levels), { address: [2, null, 3, null], data: [19, 18, 17], badRows: [6] })
    // Address 10 is 1010: row 00. Address 6 is 0110: bit 0 is 0 and bit 2 is 1, row 2.
    expect(rowsOf(capture)).toEqual(['00X', '100', '010', '110'])
    expect(rowsIn(capture.bad, 4)).toEqual([2])
  })

  test('a line above the first five that leads nowhere folds whole words', () => {
    // Line 6 leads nowhere in a table of 2^7 addresses; both halves alike.
    const capture = captured(
      imageOf(7, (row) => (row % 64) ^ ((row % 64) >> 1)),
      { address: [1, 2, 3, 4, 5, 6, null], data: [11, 12, 13, 14, 15, 16] },
    )
    expect(rowsOf(capture)).toEqual(
      upTo(64).map((row) =>
        upTo(6)
          .map((line) => bit(row ^ (row >> 1), line))
          .join(''),
      ),
    )
  })

  test('patterns leave out the rows that they hold in, and no other', () => {
    const { dontCare } = captured(
      imageOf(8, () => 0),
      {
        address: [1, 2, 3, 4, 5, 6, 7, { pin: 8, inverted: true }],
        data: [19],
        dontCare: [
          { 1: 1, 7: 0 },
          { 2: 0, 6: 1, 8: 1 },
        ],
      },
    )
    expect(rowsIn(dontCare, 256)).toEqual(
      upTo(256).filter(
        (row) =>
          (bit(row, 0) === 1 && bit(row, 6) === 0) || (bit(row, 1) === 0 && bit(row, 5) === 1 && bit(row, 7) === 1),
      ),
    )
    const all = new Int32Array(8)
    setPattern(all, new Map())
    expect(rowsIn(all, 256)).toEqual(upTo(256))
  })

  test.each([
    [0, 0],
    [31, 31],
    [31, 32],
    [32, 62],
    [32, 63],
    [33, 64],
    [0, 127],
    [5, 122],
    [96, 127],
  ])('addresses %i to %i are misread, and no other', (first, last) => {
    const { bad } = captured(
      imageOf(7, () => 0),
      { address: [1, 2, 3, 4, 5, 6, 7], data: [11], badRows: [[first, last]] },
    )
    expect(rowsIn(bad, 128)).toEqual(upTo(128).filter((row) => row >= first && row <= last))
  })

  test('ignored outputs are not in the table', () => {
    expect(
      captured(
        imageOf(2, (row) => row),
        { address: [2, 3], data: [19, 18, 17], ignore: [18] },
      ).table.outputs.map(({ pin }) => pin),
    ).toEqual([19, 17])
  })

  test.each([[0], [1], [3], [5], [8], [65536]])('%i bytes are no table of two address lines', (bytes) => {
    const { reason, findings } = refusal(readCapture(new Uint8Array(bytes), { address: [2, 3], data: [19] }))
    expect(reason).toBe('size')
    expect(findings.findings.map(({ code, message }) => [code, message])).toEqual([
      ['capture/size', expect.stringContaining(`${bytes} byte`)],
    ])
    expect(granted(readCapture(new Uint8Array(4), { address: [2, 3], data: [19] })).capture.table.rowCount).toBe(4)
  })

  test('words of 16 bits take twice the bytes', () => {
    const read = (size: number): ReturnType<typeof readCapture> =>
      readCapture(new Uint8Array(size), { address: [2, 3], data: [19], width: 16 })
    expect(refusal(read(4)).reason).toBe('size')
    expect(granted(read(8)).capture.table.rowCount).toBe(4)
  })

  test('a kind of image that is none is the caller’s mistake', () => {
    expect(() => readCapture('image' as never, { address: [2], data: [19] })).toThrow(/^image must be a Uint8Array/)
    expect(() => readCapture(new Uint8Array(2), { address: [2], data: [] })).toThrow(/^wiring\.data/)
  })

  test('24 address lines without an image of that size give no capture', () => {
    const read = readCapture(new Uint8Array(16), { address: upTo(24).map((k) => k + 1), data: [99] })
    expect(refusal(read).reason).toBe('size')
  })
})

describe('several captures of one chip', () => {
  const WIRING: WiringDocument = { address: [1, 2, 3, 4, 5, 6], data: [11, 12, 13, 14] }
  const clean: RowFunction = (row) => (row * 7) % 16
  const reads = (levels: RowFunction): Capture => captured(imageOf(6, levels), WIRING)
  const noisy =
    (rows: Readonly<Record<number, number>>): RowFunction =>
    (row) =>
      clean(row) ^ (rows[row] ?? 0)

  test('three with noise: what all agree on stands, the rest is X and counted once a row', () => {
    const { capture, disagreeing, directional } = combineCaptures([
      reads(noisy({ 3: 1, 40: 8 })),
      reads(clean),
      reads(noisy({ 3: 2, 63: 4 })),
    ])
    expect(rowsOf(capture)).toEqual(
      upTo(64).map((row) =>
        upTo(4)
          .map((line) => (bit({ 3: 3, 40: 8, 63: 4 }[row] ?? 0, line) ? 'X' : bit(clean(row), line)))
          .join(''),
      ),
    )
    expect(disagreeing).toEqual({ count: 3, addresses: [3, 40, 63] })
    expect(directional.count).toBe(0)
  })

  test('the same noise in all of them cannot be seen', () => {
    const read = reads(noisy({ 5: 1 }))
    expect(combineCaptures([read, read, read]).disagreeing.count).toBe(0)
  })

  test('addresses are those of the image, in the order of the rows, and at most eight', () => {
    const wiring: WiringDocument = { address: [1, 2, { pin: 3, inverted: true }], data: [11] }
    const [a, b] = [
      captured(
        imageOf(3, () => 0),
        wiring,
      ),
      captured(
        imageOf(3, (row) => (row === 1 ? 1 : 0)),
        wiring,
      ),
    ]
    // Address 001 is row 101.
    expect(combineCaptures([a, b]).disagreeing.addresses).toEqual([1])
    expect(combineCaptures([reads(() => 0), reads(() => 1)]).disagreeing).toEqual({ count: 64, addresses: upTo(8) })
  })

  test('a latch answers by the order of addresses: up and down differ where it holds', () => {
    // A transparent latch: while its enable (bit 0) is high Q follows D (bit 1), while it is low Q stays.
    const latched = (order: readonly number[]): RowFunction => {
      let q = 0
      const seen = new Map(order.map((row) => [row, (q = bit(row, 0) ? bit(row, 1) : q)]))
      return (row) => seen.get(row)!
    }
    const wiring: WiringDocument = { address: [2, 3], data: [19] }
    const [up, down] = [latched(upTo(4)), latched(upTo(4).reverse())].map((levels) =>
      captured(imageOf(2, levels), wiring),
    ) as [Capture, Capture]
    // Up: row 0 holds the 0 of the start, row 1 follows 0, row 2 holds 0, row 3 follows 1. Down: 3 follows 1, 2 holds
    // 1, 1 follows 0, 0 holds 0.
    expect([rowsOf(up), rowsOf(down)]).toEqual([
      ['0', '0', '0', '1'],
      ['0', '0', '1', '1'],
    ])
    const { capture, directional, disagreeing } = combineCaptures([up, up], [down])
    expect(directional).toEqual({ count: 1, addresses: [2] })
    expect(disagreeing.count).toBe(0)
    expect(rowsOf(capture)).toEqual(['0', '0', 'X', '1'])
  })

  test('a row that is noisy in one direction is noise and not direction', () => {
    const { directional, disagreeing } = combineCaptures(
      [reads(clean), reads(noisy({ 9: 1 }))],
      [reads(noisy({ 9: 1, 20: 2 }))],
    )
    expect([disagreeing.addresses, directional.addresses]).toEqual([[9], [20]])
  })

  test('rows stated to be misread are neither', () => {
    const wiring = { ...WIRING, badRows: [9, [20, 21]] as const }
    const [a, b] = [captured(imageOf(6, clean), wiring), captured(imageOf(6, noisy({ 9: 1, 20: 2, 22: 1 })), wiring)]
    expect(combineCaptures([a, b]).disagreeing.addresses).toEqual([22])
  })

  test('captures of other tables, or none, are the caller’s mistake', () => {
    expect(() => combineCaptures([])).toThrow(TypeError)
    expect(() =>
      combineCaptures([reads(clean), captured(imageOf(2, clean), { address: [1, 2], data: [11, 12, 13, 14] })]),
    ).toThrow(RangeError)
  })
})

describe('oddities of a table, each with its near miss', () => {
  const LINES: WiringDocument = { address: [1, 2, 3, 4, 5, 6], data: [11, 12, 13] }
  const oddities = (levels: RowFunction, wiring = LINES): ReturnType<typeof tableOddities> =>
    tableOddities(captured(imageOf(wiring.address.length, levels), wiring).table)
  /** Three functions of all six inputs, none like another. */
  const sound: RowFunction = (row) =>
    bit(PRIMES.has(row) ? 1 : 0, 0) + 2 * (row % 3 === 0 ? 1 : 0) + 4 * (row % 5 === 1 ? 1 : 0)
  const PRIMES = new Set([2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61])
  const NONE = { allAlike: null, idleInputs: [], stuckOutputs: [], copiedOutputs: [] }

  test('a sound one has none', () => {
    expect(oddities(sound)).toEqual(NONE)
  })

  test.each([0, 1] as const)('all at %i, and one bit that is not', (level) => {
    const value = level ? 7 : 0
    expect(oddities(() => value)).toMatchObject({
      allAlike: level,
      stuckOutputs: [11, 12, 13].map((pin) => ({ pin, level })),
    })
    expect(oddities((row) => (row === 63 ? value ^ 4 : value))).toMatchObject({
      allAlike: null,
      stuckOutputs: [11, 12].map((pin) => ({ pin, level })),
      idleInputs: [],
    })
    // One line high and another low is not all alike.
    expect(oddities(() => 5).allAlike).toBeNull()
  })

  test.each(upTo(6))('halves repeated by input %i, and one row in which they are not', (line) => {
    const folded: RowFunction = (row) => sound(bit(row, line) ? row - 2 ** line : row)
    expect(oddities(folded).idleInputs).toEqual([line + 1])
    expect(oddities((row) => (row === 63 ? folded(row) ^ 2 : folded(row))).idleInputs).toEqual([])
  })

  test('an address line of many: pins of the lines, not the lines', () => {
    const wiring: WiringDocument = { address: [21, 20, 19, 18, 17, 16, 15, 14, 13], data: [1] }
    const parity: RowFunction = (row) => [0, 1, 2, 4, 5, 6, 7, 8].reduce((sum, k) => sum ^ bit(row, k), 0)
    expect(oddities(parity, wiring).idleInputs).toEqual([18])
  })

  test('a stuck line, and one that moves in a single row', () => {
    expect(oddities((row) => sound(row) | 2).stuckOutputs).toEqual([{ pin: 12, level: 1 }])
    expect(oddities((row) => sound(row) & 5).stuckOutputs).toEqual([{ pin: 12, level: 0 }])
    expect(oddities((row) => (row === 0 ? 0 : sound(row) | 2)).stuckOutputs).toEqual([])
  })

  test('a copied line, and one that differs in a single row; stuck lines are no copies', () => {
    const copied: RowFunction = (row) => (sound(row) & 3) | (bit(sound(row), 0) << 2)
    expect(oddities(copied)).toEqual({ ...NONE, copiedOutputs: [{ pin: 13, of: 11 }] })
    expect(oddities((row) => (row === 33 ? copied(row) ^ 4 : copied(row))).copiedOutputs).toEqual([])
    expect(oddities((row) => sound(row) & 1).copiedOutputs).toEqual([])
  })

  test('rows that are not judged count for nothing', () => {
    const { table } = captured(
      imageOf(6, (row) => (row === 63 ? 0 : sound(row) | 2)),
      LINES,
    )
    expect(tableOddities(table).stuckOutputs).toEqual([])
    expect(tableOddities(table, Int32Array.from([-1, 0x7fffffff])).stuckOutputs).toEqual([{ pin: 12, level: 1 }])
  })
})
