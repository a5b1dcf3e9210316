// Where a text stops being JSON. Whether it is JSON at all is held against the engine's own reader, over all short texts
// of a small alphabet; the places are worked out by hand beside each case (grammar: RFC 8259).
import { expect, test } from 'vitest'
import { jsonFault, jsonFaultWords } from '../src/cli/json-fault'
import { sampleSize } from './sample-size'

function isJson(text: string): boolean {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

/** All texts of so many signs. */
function* texts(signs: string, length: number): Generator<string> {
  if (length === 0) yield ''
  else for (const text of texts(signs, length - 1)) for (const sign of signs) yield text + sign
}

test.each([
  ['brackets and signs', '{}[],:"1 ', sampleSize(4, 5)],
  ['strings', '"\\u0n\n', sampleSize(5, 6)],
  ['numbers', '-0.1e+ ', 5],
  ['a member', '{"1:},', sampleSize(5, 6)],
] as const)('finds a fault in just those texts that are no JSON: %s', (_, signs, most) => {
  const wrong: string[] = []
  let tried = 0
  for (let length = 0; length <= most; length++)
    for (const text of texts(signs, length)) {
      tried++
      if ((jsonFault(text) === null) !== isJson(text)) wrong.push(text)
    }
  expect(wrong).toEqual([])
  expect(tried).toBeGreaterThan(5000)
})

test.each([
  ['{\n  "a": [1, 2\n  "b": 3\n}\n', 'line 3, column 3: a comma or a closing bracket is expected'],
  ['{"a": 1,}', 'line 1, column 9: a name in double quotes is expected'],
  ["{'a': 1}", 'line 1, column 2: a name in double quotes or } is expected'],
  ['{"a" 1}', 'line 1, column 6: a colon is expected'],
  ['{"a":\r\n tru}', 'line 2, column 2: a value is expected'],
  ['[01]', 'line 1, column 2: a value or ] is expected'],
  ['[1,]', 'line 1, column 4: a value is expected'],
  ['[,', 'line 1, column 2: a value or ] is expected'],
  ['["x\ny"]', 'line 1, column 4: this string is not closed, or holds a sign that it may not'],
  ['[1] 2', 'line 1, column 5: something follows the end of the document'],
  ['[1', 'line 1, column 3: a comma or a closing bracket is expected'],
  ['', 'line 1, column 1: a value is expected'],
])('says where %j ends to be JSON', (text, words) => {
  expect(jsonFaultWords(text)).toBe(words)
})

test('deep brackets and long strings of escapes end', () => {
  const deep = 1_000_000
  expect(jsonFault('['.repeat(deep))?.at).toBe(deep)
  const escapes = '\\n'.repeat(deep)
  expect(jsonFault(`["${escapes}`)?.at).toBe(2 + 2 * deep)
})
