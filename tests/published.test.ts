/**
 * The complete file printed in JEDEC Standard No. 3-A (as reproduced in programmer manuals): 448 fuses, fuse checksum
 * C124E, transmission checksum 8A76, eight test vectors, a part of the 14L4 shape. The copies at hand lost blanks and
 * digits; the one in vectors/ is restored so that both printed sums and all printed vectors hold at once.
 */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { verify } from '../src/index'

const bytes = readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url))

test('the standard’s worked example reproduces its sums and passes its eight vectors', () => {
  const report = verify(bytes, { device: '14L4' })
  expect(report.checksums.fuse).toMatchObject({ stated: '124E', computed: '124E', status: 'match' })
  expect(report.checksums.transmission).toMatchObject({ stated: '8A76', computed: '8A76', status: 'match' })
  expect(report.testVectors).toEqual({ count: 8, passed: 8, failed: 0, undetermined: 0, readings: [] })
  expect(report.verdict).toBe('pass')
})
