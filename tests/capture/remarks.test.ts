/** What is remarked on a capture beside what it is compared with, each with its near miss. */
import { describe, expect, test } from 'vitest'
import { examineCapture, type CaptureReport, type WiringDocument } from '../../src/capture'
import type { Term } from '../parts/design'
import { bit, imageOf, sums, type RowFunction } from './images'

const codesOf = ({ findings }: CaptureReport): string[] =>
  findings.flatMap(({ code }) => (code.startsWith('capture/') ? [code.slice(8)] : []))

test('an output that reads as another is remarked on where the map has them apart, and where another is its like', () => {
  // Pins 19, 18, 17 are p2 ∧ p3, p2 ∨ p3, p2 ∧ p3.
  const image = imageOf(2, (row) => (row === 3 ? 5 : 0) + (row === 0 ? 0 : 2))
  const examined = (...terms: readonly (readonly Term[])[]): CaptureReport =>
    examineCapture(image, {
      wiring: { address: [2, 3], data: [19, 18, 17] },
      against: sums(...terms),
      device: '16V8',
    })
  const [and, or]: Term[][] = [[[2, 3]], [[2], [3]]]
  expect(codesOf(examined(and!, or!, and!))).toEqual([])
  const apart = examined(and!, or!, [[2, -3]])
  expect(codesOf(apart).sort()).toEqual(['copied-data-line', 'different'])
  expect(apart.findings.find(({ code }) => code === 'capture/copied-data-line')).toMatchObject({ pin: 17 })
  // In this map pin 17 is the like of pin 18.
  expect(codesOf(examined(and!, or!, or!)).sort()).toEqual(['copied-data-line', 'different'])
})

describe('a wiring under which nothing agrees', () => {
  /** Pin 19 is to be p3; the image has p2. In half of the rows they agree, as chance has it. */
  const codesWith = (lines: number, levels: RowFunction): string[] => {
    const wiring: WiringDocument = { address: [2, 3, 4, 5, 6].slice(0, lines), data: [19] }
    return codesOf(examineCapture(imageOf(lines, levels), { wiring, against: sums([[3]]), device: '16V8' }))
  }

  test('is doubted from 32 rows on', () => {
    expect(codesWith(5, (row) => bit(row, 0))).toContain('no-agreement')
    expect(codesWith(4, (row) => bit(row, 0))).not.toContain('no-agreement')
    // p3 ∧ ¬p2 agrees in 24 of 32 rows: half of what chance leaves.
    expect(codesWith(5, (row) => bit(row, 1) & (1 - bit(row, 0)))).not.toContain('no-agreement')
  })
})

test('the numbers of a wiring under which nothing agrees are those of the levels', () => {
  // Pin 19 is to be p3 ∧ p5, the image has p2 ∧ p4: 8 of 32 each. By chance they agree in (8 · 8 + 24 · 24) / 32 = 20
  // rows, and so they do, since the two have nothing to do with each other: in 2 both are 1, in 18 both are 0.
  const numbersOf = (data: readonly number[], ...terms: readonly (readonly Term[])[]): number[] => {
    const wiring = { address: [2, 3, 4, 5, 6], data }
    const image = imageOf(5, (row) => bit(row, 0) & bit(row, 2))
    const { findings } = examineCapture(image, { wiring, against: sums(...terms), device: '16V8' })
    return findings.find(({ code }) => code === 'capture/no-agreement')!.message.match(/\d+/g)!.map(Number)
  }
  expect(numbersOf([19], [[3, 5]])).toEqual([20, 32, 20])
  // Pin 18 hangs on a pin that is not wired, so that it has no level in any row and says nothing.
  expect(numbersOf([19, 18], [[3, 5]], [[8]])).toEqual([20, 32, 20])
})

test('a size that is that of no table is told with the largest that is, 2²⁰', () => {
  const report = examineCapture(new Uint8Array(3), { search: {}, against: sums([[3]]), device: '16V8' })
  const { message } = report.findings.find(({ code }) => code === 'capture/no-table-size')!
  expect(message.replace(/\D/g, ' ').split(/ +/)).toContain(String(2 ** 20))
})

test('pins that matter and are not wired are told in their order', () => {
  // Pin 19 is p2 ∧ p4 and pin 18 is p2 ∧ p3.
  const report = examineCapture(Uint8Array.of(0, 0), {
    wiring: { address: [2], data: [19, 18] },
    against: sums([[2, 4]], [[2, 3]]),
    device: '16V8',
  })
  expect(report.findings.find(({ code }) => code === 'capture/unwired-inputs')!.message).toContain('pins 3, 4')
})

describe('further reads beside those with pull-ups and pull-downs', () => {
  // Pin 19 is p2; pin 18 is p3. All are driven.
  const against = sums([[2]], [[3]])
  const levels: RowFunction = (row) => row
  const wiring: WiringDocument = { address: [2, 3], data: [19, 18] }
  const pulled = (...further: readonly Uint8Array[]): CaptureReport =>
    examineCapture([...further], {
      wiring,
      against,
      device: '16V8',
      pullUp: imageOf(2, levels),
      pullDown: imageOf(2, levels),
    })

  test('confirm what both have, or leave it open', () => {
    expect(pulled()).toMatchObject({ relation: 'equivalent' })
    expect(pulled(imageOf(2, levels))).toMatchObject({ relation: 'equivalent', outputs: [{ openRows: 0 }, {}] })
    const other = imageOf(2, (row) => row ^ (row === 1 ? 1 : 0))
    expect(pulled(imageOf(2, levels), other)).toMatchObject({
      relation: 'undecided',
      outputs: [
        { pin: 19, openRows: 1, differingRows: 0 },
        { pin: 18, openRows: 0, differingRows: 0 },
      ],
    })
  })
})
