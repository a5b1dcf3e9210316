/** A short seeded run of the fuzzing; `npm run fuzz` tries as long as it is told to. */
import { describe, expect, test } from 'vitest'
import { sampleSize } from '../sample-size'
import { ENTRY_POINTS } from './entry-points'
import { tableOf } from './table'
import { tallyOf, tryOne } from './try-inputs'

/** Entry points of which an input takes tenths of a second. */
const SLOW = ['grade', 'exercise', 'program grade', 'program exercise']

describe('every entry point that takes content', () => {
  test.each(Object.keys(ENTRY_POINTS))('%s', (name) => {
    const tally = tallyOf(name)
    const inputs = SLOW.includes(name) ? sampleSize(5, 200) : sampleSize(15, 2000)
    const failures = Array.from({ length: inputs }, (_, i) => tryOne(tally, i + 1)).filter((failure) => failure)
    expect(failures).toEqual([])
    expect(tally.tried).toBe(inputs)
  })
})

test('the table has a row an entry point and fits 80 columns', () => {
  const tallies = Object.keys(ENTRY_POINTS).map((name) => ({
    ...tallyOf(name),
    ...{ tried: 123456, threw: 1, wrong: 2, slowest: 98765.4, slowestSeed: 123456789 },
    ...{ largestInput: 1234567, largestAnswer: 2345678 },
  }))
  const lines = tableOf(tallies)
  expect(Math.max(...lines.map(({ length }) => length))).toBeLessThanOrEqual(80)
  const row = (name: string): string[] => lines.find((line) => line.startsWith(`${name} `))!.split(/ {2,}/)
  expect(row('decode').slice(1).join(' ').split(' ')).toEqual(
    ['123456', '1', '2', '98765', '123456789', '1234567', '2345678'],
  )
  expect(row('all')).toEqual(['all', String(123456 * tallies.length), String(tallies.length), String(2 * tallies.length)])
})
