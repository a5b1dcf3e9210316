/** A short seeded run of the fuzzing; `npm run fuzz` tries as long as it is told to. */
import { describe, expect, test } from 'vitest'
import { sampleSize } from '../sample-size'
import { ENTRY_POINTS } from './entry-points'
import { tallyOf, tryOne } from './try-inputs'

/** Entry points of which an input takes tenths of a second. */
const SLOW = ['grade', 'exercise']

describe('every entry point that takes content', () => {
  test.each(Object.keys(ENTRY_POINTS))('%s', (name) => {
    const tally = tallyOf(name)
    const inputs = SLOW.includes(name) ? sampleSize(5, 200) : sampleSize(15, 2000)
    const failures = Array.from({ length: inputs }, (_, i) => tryOne(tally, i + 1)).filter((failure) => failure)
    expect(failures).toEqual([])
    expect(tally.tried).toBe(inputs)
  })
})
