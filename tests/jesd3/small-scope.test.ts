/**
 * All short strings over the characters that mean something to the format, before anything random: bare ones, and ones
 * put where fields stand. The properties are those of properties.ts.
 */
import { expect, test } from 'vitest'
import { sampleSize } from '../sample-size'
import { readExplained } from './read-explained'
import { brokenReading, placeOf } from './properties'
import { latin1 } from './reference'

/** Calls `visit` with every string of up to `length` characters of `alphabet`. */
function everyString(alphabet: string, length: number, visit: (text: string) => void): number {
  let level = ['']
  let count = 0
  for (let n = 0; ; n++) {
    for (const text of level) visit(text)
    count += level.length
    if (n === length) return count
    level = level.flatMap((text) => [...alphabet].map((character) => text + character))
  }
}

const PLACES: readonly (readonly [name: string, before: string, alphabet: string])[] = [
  ['from the first byte on', '', '\x02\x03*QFL01 '],
  ['after the title', '\x02*', '\x03*QFPV01 \r'],
  ['after a fuse count', '\x02*QF3*', '\x03*LKCE01 \n'],
  ['after lists', '\x02*QF3*F0*L1 1*', '\x03*LCVU01 2'],
  ['after the end', '\x02*QF3*F0*C0000*\x03', '\x02*0AFa \r\x1a\xb0'],
]

/** Characters behind what stands before them: all mixtures of so many. */
const LENGTH = sampleSize(4, 5)

test.each(PLACES)('every short string %s', (_, before, alphabet) => {
  const broken: string[] = []
  const count = everyString(alphabet, LENGTH, (text) => {
    const fault = brokenReading(latin1(before + text))
    if (fault && broken.length < 10) broken.push(`${JSON.stringify(before + text)}: ${fault}`)
  })
  expect(broken).toEqual([])
  expect(count).toBe((alphabet.length ** (LENGTH + 1) - 1) / (alphabet.length - 1))
})

test('reading is deterministic and leaves its input alone', () => {
  everyString('\x02\x03*QFL01 ', LENGTH - 1, (text) => {
    const bytes = latin1(text)
    const [first, second] = [JSON.stringify(readExplained(bytes)), JSON.stringify(readExplained(text))]
    if (first !== second || bytes.join() !== latin1(text).join())
      throw new Error(`${JSON.stringify(text)} reads in two ways`)
  })
  expect(JSON.stringify(readExplained('\x02*QF3*F1*'))).toBe(JSON.stringify(readExplained('\x02*QF3*F1*')))
})

// Positions are counted by binary search or by a walk in the library; here every offset is counted from the start.
test('lines and columns of findings over every mixture of line ends', () => {
  const broken: string[] = []
  everyString('\r\n b', 5, (text) => {
    const bytes = latin1(`\x02*QF8*F0*N${text}*a*L${text}*L9 1*${text}b*\x01QF9*`)
    const fault = brokenReading(bytes)
    if (fault && broken.length < 10) broken.push(`${JSON.stringify(text)}: ${fault}`)
  })
  expect(broken).toEqual([])
  expect(['a\rb', 'a\nb', 'a\r\nb', 'a\n\rb'].map((text) => placeOf(text, text.length - 1).line)).toEqual([
    2, 2, 2, 3,
  ])
})
