/** What a report says was compared, and what was not looked at, for all that a file can leave out. */
import { expect, test } from 'vitest'
import { verify, writeFuseFile } from '../../src/index'
import { mapOf, output } from '../compare/pairs'

const MAP = mapOf({ part: '16V8', mode: 'complex', outputs: [output(19, [[2, 3]])] })

const SUM = 'the fuses with the fuse checksum'
const BYTES = 'the bytes with the transmission checksum'
const READ = 'the fuses as the published map of a 16V8 reads them'
const MEANING = 'what the fuses mean'
const VECTORS = 'the logic of the fuses with the test vectors'
/** Pins 2 and 3 high, pin 19 high. */
const VECTOR = { number: 1, conditions: 'N11NNNNNNNNNNNNNNNHN', offset: null }

/** Sum of all bytes from the start mark to the end mark, 0000 for none stated. */
function withSum(text: string, wrong = 0): string {
  const sum = [...text].reduce((all, character) => all + character.charCodeAt(0), wrong)
  return text + (sum % 65_536).toString(16).toUpperCase().padStart(4, '0')
}

const whole = (vectors: (typeof VECTOR)[]): string => new TextDecoder().decode(writeFuseFile({ fuses: MAP, vectors }))
const fuses = Array.from({ length: 2194 }, (_, fuse) => (MAP.bits[fuse >> 3]! >> (fuse & 7)) & 1).join('')

const CASES: readonly (readonly [name: string, text: string, compared: readonly string[], not: readonly string[]])[] = [
  ['everything', whole([VECTOR]), [SUM, BYTES, READ, VECTORS], []],
  ['no vectors', whole([]), [SUM, BYTES, READ], [VECTORS]],
  ['no fuse checksum', withSum(`\x02*QF2194*L0 ${fuses}*\x03`), [BYTES, READ], [SUM, VECTORS]],
  ['a wrong sum of the bytes', withSum(`\x02*QF2194*L0 ${fuses}*\x03`, 1), [BYTES, READ], [SUM, VECTORS]],
  ['no sum of the bytes', `\x02*QF2194*L0 ${fuses}*\x030000`, [READ], [SUM, BYTES, VECTORS]],
  ['no part', withSum('\x02*QF5*L0 01101*C0016*\x03'), [SUM, BYTES], [MEANING, VECTORS]],
  ['no fuses', withSum('\x02*QP20*V1 N11NNNNNNNNNNNNNNNHN*\x03'), [BYTES], [SUM, MEANING, VECTORS]],
  ['a fuse checksum without fuses', withSum('\x02*QP20*C0016*\x03'), [BYTES], [SUM, MEANING, VECTORS]],
]

test.each(CASES)('%s', (_, text, compared, not) => {
  const { scope } = verify(text)
  const always = ['the chip itself', 'timing and speed grade', 'drive, pull-ups and supply', 'the socket and the board']
  expect(scope).toEqual({ compared, notExamined: [...not, ...always] })
})
