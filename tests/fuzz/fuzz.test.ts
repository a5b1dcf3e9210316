/** A short seeded run of the fuzzing; `npm run fuzz` tries as long as it is told to. */
import { describe, expect, test } from 'vitest'
import { sampleSize } from '../sample-size'
import { ENTRY_POINTS } from './entry-points'
import { tallyOf, tryOne } from './try-inputs'

const INPUTS = sampleSize(25, 2000)

describe('every entry point that takes content', () => {
  test.each(Object.keys(ENTRY_POINTS))('%s', (name) => {
    const tally = tallyOf(name)
    const failures = Array.from({ length: INPUTS }, (_, seed) => tryOne(tally, seed)).filter((failure) => failure)
    expect(failures).toEqual([])
    expect(tally.tried).toBe(INPUTS)
  })
})
