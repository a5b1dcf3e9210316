/** Numbers as ranges: two neighbours stay apart, three and more are a range. */
import { expect, test } from 'vitest'
import { rangeWords } from '../../src/report/layout'

test.each([
  [[], ''],
  [[7], '7'],
  [[1, 2], '1, 2'],
  [[1, 2, 4, 5, 6, 9], '1, 2, 4-6, 9'],
] as const)('%j is %j', (numbers, words) => {
  expect(rangeWords(numbers)).toBe(words)
})
