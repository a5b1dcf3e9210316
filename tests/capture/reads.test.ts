/** Several reads of one chip: with pull-ups and pull-downs, up and down through a register, unsteady while searched. */
import { describe, expect, test } from 'vitest'
import { examineCapture, type CaptureReport, type WiringDocument } from '../../src/capture'
import type { Design } from '../parts/design'
import { encode } from '../parts/encoder'
import { ARRAY_82S100, encodeArray } from '../parts/logic-array-maps'
import { seededRandom } from '../parts/random-designs'
import { fileOf } from '../adapter/plain-boards'
import { bit, functionOfArray, imageOf, randomArray, randomScramble, scrambled, sums, upTo } from './images'

const codesOf = ({ findings }: CaptureReport): string[] => findings.map(({ code }) => code.replace('capture/', ''))

/** Invented: pin 19 = p2 while p4, else off; pin 18 = p2 ∧ p3, always on. */
const SWITCHED: Design = {
  part: '16V8',
  mode: 'complex',
  outputs: [
    { pin: 19, kind: 'combinational', activeHigh: true, enable: { term: [4] }, terms: [[2]] },
    { pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, 3]] },
  ],
}

describe('read with pull-ups and with pull-downs', () => {
  const against = fileOf(encode(SWITCHED), 20)
  const wiring: WiringDocument = { address: [2, 3, 4], data: [19, 18] }
  /** A row has p2, p3, p4 as its bits; an output that is off has the level of its resistor. */
  const levels =
    (resistor: 0 | 1, isOn: (row: number) => boolean = (row) => bit(row, 2) === 1) =>
    (row: number): number =>
      (isOn(row) ? bit(row, 0) : resistor) | ((bit(row, 0) & bit(row, 1)) << 1)
  const pulled = (up: Uint8Array, down: Uint8Array): CaptureReport =>
    examineCapture([], { wiring, against, device: '16V8', pullUp: up, pullDown: down })

  test('what follows the resistor is off, as the fuses have it', () => {
    const report = pulled(imageOf(3, levels(1)), imageOf(3, levels(0)))
    expect(report).toMatchObject({ relation: 'equivalent', outputs: [{ ofRows: 8, openRows: 0 }, { ofRows: 8 }] })
    expect(codesOf(report)).not.toContain('drive-not-shown')
  })

  test('a chip that drives where the fuses switch it off differs, and one image alone does not show that', () => {
    // This chip is always on: it drives p2 in all rows, 4 of which have p4 low.
    const always = imageOf(
      3,
      levels(0, () => true),
    )
    const report = pulled(always, always)
    expect(report).toMatchObject({ relation: 'different', outputs: [{ pin: 19, differingRows: 4 }, {}] })
    expect(report.outputs[0]!.firstRows[0]).toMatchObject({ address: 0, captured: '0', expected: 'Z' })
    const single = examineCapture(always, { wiring, against, device: '16V8' })
    expect(single.relation).toBe('equivalent')
    expect(codesOf(single)).toContain('drive-not-shown')
  })

  test('exchanged images are not equal, and what goes against its resistor is told', () => {
    const report = pulled(imageOf(3, levels(0)), imageOf(3, levels(1)))
    expect(report).toMatchObject({ relation: 'undecided', outputs: [{ openRows: 4 }, { relation: 'equivalent' }] })
    expect(codesOf(report)).toContain('against-resistor')
  })

  test('one pull without the other, and no image at all, are refused', () => {
    const image = imageOf(3, levels(1))
    expect(() => examineCapture([], { wiring, pullUp: image })).toThrow(/^options\.pullDown/)
    expect(() => examineCapture([], { wiring })).toThrow(/^images/)
    expect(() => examineCapture([], { wiring, pullUp: image, pullDown: image, down: [image] })).toThrow(RangeError)
  })
})

describe('a register read up and down', () => {
  /** Invented: pin 19 takes pin 3 at a rising edge of pin 1, which is address line 0; line 2 is pin 3. */
  const design: Design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [{ pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[3]] }],
  }
  const options = {
    wiring: { address: [1, 2, 3], data: [19], held: { 11: 0 } } as WiringDocument,
    against: fileOf(encode(design), 20),
    device: '16V8',
  }
  const image = (...rows: number[]): Uint8Array => imageOf(3, (row) => rows[row]!)
  /*
   * Up: unknown, then edges at 1 and 3 with pin 3 low, at 5 and 7 with pin 3 high: X 0 0 0 0 1 1 1. Down: unknown at 7
   * and 6; an edge at 5 with pin 3 high, which row 4 keeps; at 3 clock and data change together, unknown with row 2; an
   * edge at 1 with pin 3 low, which row 0 keeps. By row: 0 0 X X 1 1 X X.
   */
  const UP = image(0, 0, 0, 0, 0, 1, 1, 1)
  const DOWN = image(0, 0, 1, 1, 1, 1, 0, 0)

  test('what the fuses explain is no noise; rows from unknown states stay open', () => {
    const report = examineCapture(UP, { ...options, down: [DOWN] })
    expect(report).toMatchObject({
      relation: 'undecided',
      outputs: [{ pin: 19, differingRows: 0, openRows: 5, ofRows: 16 }],
    })
    expect(codesOf(report)).toContain('sequence')
    expect(codesOf(report)).not.toContain('direction')
  })

  test('a level that the sequence excludes is a difference', () => {
    const report = examineCapture(UP, { ...options, down: [image(0, 0, 1, 1, 0, 1, 0, 0)] })
    expect(report).toMatchObject({ relation: 'different', outputs: [{ differingRows: 1, openRows: 5 }] })
    expect(report.outputs[0]!.firstRows).toMatchObject([{ address: 4, captured: '0', expected: '1' }])
  })
})

test('a register read up and down over 64 addresses, with the line of its data turned round', () => {
  // As above, with pins 4 to 6 at lines 3 to 5, which do nothing, and pin 3 at ¬ line 2.
  const data = (address: number): number => 1 - bit(address, 2)
  /*
   * Up: an odd address sets the clock while the data stay, the even one after it keeps what was taken; address 0 is
   * unknown. Down: of addresses 4n + 1 the clock alone rises, which 4n keeps; at 4n + 3 line 2 changes with the clock
   * (nothing is known at 63), which 4n + 2 keeps: unknown.
   */
  const up = imageOf(6, (address) => (address === 0 ? 0 : data(address % 2 ? address : address - 1)))
  const down = imageOf(6, (address) => (bit(address, 1) ? 0 : data(address | 1)))
  const design: Design = {
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [{ pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[3]] }],
  }
  const examined = (image: Uint8Array): CaptureReport =>
    examineCapture(image, {
      wiring: { address: [1, 2, { pin: 3, inverted: true }, 4, 5, 6], data: [19], held: { 11: 0 } },
      against: fileOf(encode(design), 20),
      device: '16V8',
      down: [down],
    })
  const report = examined(up)
  expect(report).toMatchObject({
    relation: 'undecided',
    outputs: [{ pin: 19, differingRows: 0, openRows: 1 + 32, ofRows: 128 }],
  })
  expect(report.findings.find(({ code }) => code === 'capture/sequence')!.message).toContain('95')
  // Address 0 comes first, whatever its lines apply: any level is right there.
  const first = examined(up.map((level, address) => (address === 0 ? 1 - level : level)))
  expect(first).toMatchObject({ relation: 'undecided', outputs: [{ differingRows: 0, openRows: 33 }] })
  const changed = examined(up.map((level, address) => (address === 42 ? 1 - level : level)))
  expect(changed).toMatchObject({ relation: 'different', outputs: [{ differingRows: 1, openRows: 33 }] })
  expect(changed.outputs[0]!.firstRows).toMatchObject([{ address: 42 }])
})

describe('a search', () => {
  const random = seededRandom(91_100)
  const design = randomArray(random)
  const made = randomScramble(random, [16, 8], 'outputs')
  const image = imageOf(16, scrambled(functionOfArray(ARRAY_82S100, design), made))
  const file = (order: string): Uint8Array => fileOf(encodeArray({ table: ARRAY_82S100, order }, design), 28)
  const misread = (...addresses: readonly number[]): Uint8Array =>
    image.map((byte, address) => (addresses.includes(address) ? byte ^ 1 : byte))
  const wires = upTo(16).map((line) => ARRAY_82S100.ascending[made.inputs.indexOf(line)])

  test('leaves out inputs that make no difference where the image has fewer lines', () => {
    // Pin 19 is p2 ∧ p4 ∧ ¬p5 and pin 18 is p4 ∧ p5, whatever p3 is. Lines: p5, p2, p4.
    const given = sums([[2, 4, -5, 3], [2, 4, -5, -3]], [[4, 5]])
    const image = imageOf(3, (row) => (row === 6 ? 1 : 0) + (bit(row, 2) && bit(row, 0) ? 2 : 0))
    const report = examineCapture(image, { search: {}, against: given, device: '16V8' })
    expect(report).toMatchObject({ relation: 'equivalent', search: { relation: 'found', equivalents: '1' } })
    expect(report.wiring!.address.map((wire) => wire!.pin)).toEqual([5, 2, 4])
  })

  test('names outputs that can be exchanged because they are equal', () => {
    // Pins 19 and 17 are p2 ∧ p3, pin 18 is p2 ∧ ¬p3. Lines: 17 or 19, 18, the other.
    const report = examineCapture(
      imageOf(2, (row) => (row === 3 ? 5 : 0) + (row === 1 ? 2 : 0)),
      { search: {}, against: sums([[2, 3]], [[2, -3]], [[2, 3]]), device: '16V8' },
    )
    expect(report).toMatchObject({ relation: 'equivalent', search: { equivalents: '2' } })
    expect(report.search!.exchangeable.outputs.map((pins) => [...pins].sort())).toEqual([[17, 19]])
    expect(report.search!.exchangeable.inputs).toEqual([])
  })

  test('tries the orders of an array by itself', () => {
    const report = examineCapture(image, { search: {}, against: file('array-by-array'), device: '82S100' })
    expect(report).toMatchObject({ relation: 'equivalent', search: { relation: 'found' } })
    expect(report.orders[0]).toMatchObject({ order: 'array-by-array', relation: 'equivalent' })
    expect(report.wiring!.address.map((wire) => wire!.pin)).toEqual(wires)
  })

  test('two reads that each have a bad row find what one good read finds; the rows stay open', () => {
    const report = examineCapture([misread(0x1234), misread(0xbeef)], {
      search: {},
      against: file('term-by-term'),
      device: '82S100',
      fuseOrder: 'term-by-term',
    })
    expect(report).toMatchObject({ relation: 'undecided', search: { relation: 'found' } })
    expect(report.rows!.disagreeing).toBe(2)
    expect(report.wiring!.address.map((wire) => wire!.pin)).toEqual(wires)
    expect(report.findings.find(({ code }) => code === 'capture/noise')!.message).toContain('0x1234, 0xBEEF')
  })

  test('bad rows are taken as they are printed, and the wiring found is a document for the next read', () => {
    const given = { against: file('term-by-term'), device: '82S100', fuseOrder: 'term-by-term' }
    const report = examineCapture(misread(0x1234), { ...given, search: { badRows: ['0x1234'] } })
    expect(report).toMatchObject({ relation: 'equivalent', rows: { misread: 1, judged: 65535 } })
    expect(examineCapture(image, { ...given, wiring: report.search!.wiring! }).relation).toBe('equivalent')
  })
})
