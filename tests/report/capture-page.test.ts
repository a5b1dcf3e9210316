/** The page of a captured table: what it says first, what it lists, and what its picture marks. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { examineCapture, type CaptureOptions } from '../../src/capture'
import { capturePage } from '../../src/report'
import { answerIn, describedIn, labelsIn, named, pictureIn, rowsOf, shapesIn } from './page-parts'
import { pageErrors, textOf } from './page-rules'

/**
 * A chip of this test: 5 address lines at pins 1 to 5, 4 data lines at pins 17 to 14. By the published example
 * (JESD3-A) pin 17 is p1 ∧ p2 ∧ p3, pin 16 is ¬(p1 ∧ p2 ∧ p3 ∧ p4 ∧ ¬p5), and so on; the levels come from `tableOf`.
 */
const bytesOf = (path: string): Uint8Array => readFileSync(new URL(`../../vectors/${path}`, import.meta.url))
const EXAMPLE = bytesOf('published/jesd3a-14l4.jed')
const FLIPPED = bytesOf('demo/example-one-fuse-flipped.jed')
const wiring = { address: [1, 2, 3, 4, 5], data: [17, 16, 15, 14] }

/** The equations of the published example, address bit k at pin k + 1. */
function tableOf(count: number): Uint8Array {
  return Uint8Array.from({ length: count }, (_, address) => {
    const [a, b, c, d, e] = [0, 1, 2, 3, 4].map((bit) => ((address >> bit) & 1) === 1)
    const gates = [a && b && c, !(a && b && c && d && !e), !(a && b && c && !d && !e), !(a && b && c && d && e)]
    return gates.reduce((byte, level, line) => byte | (level ? 1 << line : 0), 0)
  })
}
const image = tableOf(32)

const pageOf = (bytes: Uint8Array | readonly Uint8Array[], options: CaptureOptions): string => {
  const images = bytes instanceof Uint8Array ? [bytes] : bytes
  return capturePage(examineCapture(images, { names: images.map((_, i) => `${i}.bin`), ...options }), { images })
}

describe('a capture against a file', () => {
  const page = pageOf(image, { wiring, against: FLIPPED, againstName: 'b.jed', device: '14L4' })

  test('keeps to the rules', () => {
    expect(pageErrors(page)).toEqual([])
  })

  test('says the relation with its cause first', () => {
    expect(answerIn(page)).toEqual(['answer fail', 'different: 1 output differs: pin 16; the worst in 1 of 32 rows.'])
    expect(textOf(named(page, 'h1')[0]!)).toBe('0.bin against b.jed')
  })

  test('shows every output, those that differ first, and the row in which one does', () => {
    const rows = rowsOf(page)
    const head = rows.findIndex(([first]) => first === 'Output')
    expect(rows.slice(head + 1, head + 5).map(([name]) => name)).toEqual(['pin 16', 'pin 17', 'pin 15', 'pin 14'])
    expect(rows[head + 1]).toEqual(['pin 16', 'D1', 'differs in 1 of 32 rows', 'p1 ∧ p2 ∧ p3 ∧ p4 ∧ p5'])
    expect(rows[head + 6]).toEqual(['pin 16', '0x001F', 'captured 1, expected 0', 'p1 p2 p3 p4 p5'])
  })

  test('draws a bar for each 1 of the image, and one mark below the address that differs', () => {
    const picture = pictureIn(page)!
    // An address is 8 wide from 100 on, a line 28 high from 18 on; a bar is 12 high, its mark lies below it.
    const expected = [0, 1, 2, 3].flatMap((line) =>
      [...image].flatMap((byte, address) => ((byte >> line) & 1 ? [[100 + 8 * address, 18 + 28 * line]] : [])),
    )
    expect(shapesIn(picture, 'on')).toEqual(expected)
    const marks = shapesIn(picture, 'differs')
    expect(marks).toHaveLength(1)
    expect(marks[0]![0]).toBeCloseTo(100 + 8 * 31 + 4, 5)
    expect(marks[0]![1]).toBeGreaterThan(18 + 28 + 12)
    expect(marks[0]![1]).toBeLessThan(18 + 2 * 28)
  })

  test('says the same in words, at the line and in the description', () => {
    const picture = pictureIn(page)!
    expect(labelsIn(picture).map(({ text }) => text)).toContain('1 row differs')
    // Of 32 rows the output is 0 in one (address 0x000F), 31/32 = 97 %.
    expect(describedIn(picture)).toContain(
      'D1, pin 16: 1 row differs, rows differ at 0x001F, 1 in 97 % of the reads. D2, pin 15: equal,',
    )
  })
})

describe('a capture by itself', () => {
  /** Bit 1 stuck at 0, bit 3 as bit 2. */
  const spoiled = image.map((byte) => (byte & 0b0101) | ((byte & 0b0100) << 1))

  test('says what of its lines is odd, also where nothing is', () => {
    const page = pageOf(spoiled, { wiring })
    expect(pageErrors(page)).toEqual([])
    const quality = rowsOf(page).filter(([first]) => first === 'data lines')[1]
    expect(quality![1]).toBe('D1 (pin 16) reads 0 in every row; D3 (pin 14) reads as D2 (pin 15) does')
    expect(labelsIn(pictureIn(page)!).map(({ text }) => text)).toEqual(
      expect.arrayContaining(['stuck at 0', 'as pin 15']),
    )
    const sound = rowsOf(pageOf(image, { wiring })).filter(([first]) => first === 'data lines')[1]
    expect(sound![1]).toBe('each moves, and none is the copy of another')
  })

  test('marks where reads disagree, by another shape than a row that differs', () => {
    const noisy = image.map((byte, address) => (address === 9 ? byte ^ 4 : byte))
    const page = pageOf([image, noisy], { wiring })
    expect(answerIn(page)[0]).toBe('answer fail')
    const picture = pictureIn(page)!
    const [mark, ...others] = shapesIn(picture, 'differs')
    expect(others).toEqual([])
    // A tent begins at its tip, in the middle of the stretch of address 9, below the third line.
    expect(mark![0]).toBeCloseTo(100 + 8 * 9 + 4, 5)
    expect(mark![1]).toBeGreaterThan(18 + 2 * 28 + 12)
    expect(describedIn(picture)).toContain('D2, pin 15: read, reads disagree at 0x0009')
    expect(named(page, 'li').map(textOf)).toContain('reads of one address disagree')
    expect(rowsOf(page).find(([first]) => first === 'reads')![1]).toBe('2, which disagree in 1 row')
  })
})

describe('more addresses than stretches', () => {
  /** 11 address lines: 2048 addresses, 32 in each of 64 stretches. Line 7 inverts; pins 7 and above decide nothing. */
  const wide = {
    address: [7, 1, 8, 2, 9, 3, 11, { pin: 4, inverted: true }, 12, 5, 13],
    data: [17, 16, 15, 14],
  }
  const places = [1, 3, 5, 7, 9]
  const large = Uint8Array.from({ length: 2048 }, (_, address) => {
    const row = places.reduce((sum, line, k) => sum | (((address >> line) & 1) ^ (k === 3 ? 1 : 0)) << k, 0)
    return image[row]!
  })
  const against = { wiring: wide, against: FLIPPED, device: '14L4' }

  test('the marks from what describes the rows are those of all rows listed', () => {
    const [listed, described] = [pageOf(large, { ...against, maxRows: 2048 }), pageOf(large, against)]
    // The fuse makes row p1 ∧ p2 ∧ p3 ∧ p4 ∧ p5 differ: 64 of 2048 addresses; of the stretches (lines 5 to 10) those
    // with lines 5 and 9 at 1 and line 7, which inverts, at 0: 8 of 64.
    expect(shapesIn(pictureIn(listed)!, 'differs')).toHaveLength(8)
    expect(shapesIn(pictureIn(described)!, 'differs')).toEqual(shapesIn(pictureIn(listed)!, 'differs'))
    expect(labelsIn(pictureIn(described)!).map(({ text }) => text)).toContain('64 rows differ')
  })

  test('says how many rows are marked where neither is there', () => {
    // With a row left out, what describes the others may cover it.
    const page = pageOf(large, { ...against, wiring: { ...wide, badRows: [0] } })
    expect(labelsIn(pictureIn(page)!).map(({ text }) => text)).toContain('64 rows differ, the first 8 marked')
  })

  test('a bar is as high as the share of ones', () => {
    // Pin 17 is p1 ∧ p2 ∧ p3. In a stretch lines 0 to 4 move, so that p1 (line 1) and p2 (line 3) take all values: where
    // p3 (line 5) is 1, a quarter of the rows is 1, and a bar of 12 is 3 high.
    const picture = pictureIn(pageOf(large, { wiring: wide }))!
    const first = shapesIn(picture, 'on').filter(([, y]) => y >= 18 && y <= 30)
    expect(first).toEqual(Array.from({ length: 32 }, (_, i) => [100 + 8 * (2 * i + 1), 18 + 12 - 3]))
  })
})

test('a word of 16 bits: the lines of both bytes, whichever comes first', () => {
  const words = Uint8Array.from({ length: 64 }, (_, i) => (i % 2 === 0 ? image[i >> 1]! : (i >> 1) & 1 ? 0xff : 0))
  const data = [17, 16, 15, 14, null, null, null, null, 13]
  const address = [1, 2, 3, 4, 5]
  const page = pageOf(words, { wiring: { address, data, width: 16 } })
  const turned = words.map((_, i) => words[i ^ 1]!)
  const other = pageOf(turned, { wiring: { address, data, width: 16, byteOrder: 'high-first' } })
  const ninth = shapesIn(pictureIn(page)!, 'on').filter(([, y]) => y >= 18 + 4 * 28)
  expect(ninth).toEqual(Array.from({ length: 16 }, (_, i) => [100 + 8 * (2 * i + 1), 18 + 4 * 28]))
  expect(shapesIn(pictureIn(other)!, 'on')).toEqual(shapesIn(pictureIn(page)!, 'on'))
})

test('an inverted data line is drawn as its pin', () => {
  const turned = image.map((byte) => byte ^ 1)
  const inverted = { address: wiring.address, data: [{ pin: 17, inverted: true }, 16, 15, 14] }
  expect(shapesIn(pictureIn(pageOf(turned, { wiring: inverted }))!, 'on')).toEqual(
    shapesIn(pictureIn(pageOf(image, { wiring }))!, 'on'),
  )
})

test('against another image, whose lines have no pins, rows that differ are marked', () => {
  const other = image.map((byte, address) => (address === 5 ? byte ^ 2 : byte))
  const page = pageOf(image, { search: {}, against: other, againstName: 'other.bin' })
  expect(pageErrors(page)).toEqual([])
  expect(page).toContain('of the other image')
  expect(shapesIn(pictureIn(page)!, 'differs').length).toBeGreaterThan(0)
  expect(shapesIn(pictureIn(page)!, 'on')).toEqual([])
})

test('there is no picture where there is nothing to draw', () => {
  const report = examineCapture(image, { wiring, against: EXAMPLE, device: '14L4' })
  expect(report.relation).toBe('equivalent')
  expect(pictureIn(capturePage(report))).toBeUndefined()
  expect(pageErrors(capturePage(report))).toEqual([])
})

test('images that are not those of the report are refused', () => {
  const report = examineCapture(image, { wiring })
  const use = (images: Uint8Array[]) => () => capturePage(report, { images })
  expect(use([image, image])).toThrow(new RangeError('options.images: the report is about 1 image, not 2'))
  expect(use([image.slice(1)])).toThrow(new RangeError('options.images[0] has 31 bytes; those of the report have 32'))
})
