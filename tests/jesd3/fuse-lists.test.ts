/** Fuse lists and the default (3-A, fuse information fields): addresses, delimiters, overlap, gaps, the fuse count. */
import { describe, expect, test } from 'vitest'
import { fuseDigits } from '../../src/index'
import { type ExplainedFile, readExplained } from './read-explained'
import { codesOf, expectCase, findingsOf } from './expect-findings'
import { framed, fuseSum, seeded } from './reference'

/** Fields before the lists of these tests, and the notes of a file that has no more than them. */
const HEAD = 'T*QP4*QV0*G0*'
const PLAIN = ['checksum/fuse-absent'] as const

function digitsOf(file: ExplainedFile): string | null {
  return file.fuses && fuseDigits(file.fuses)
}

/** Reads lists, compares all findings beyond the ones that every such file has, and the fuses. */
function expectLists(
  fields: string,
  digits: string | null,
  findings: { readonly placed?: readonly string[]; readonly unplaced?: readonly string[] } = {},
): ExplainedFile {
  const file = expectCase({ fields: HEAD + fields, ...findings, unplaced: [...PLAIN, ...(findings.unplaced ?? [])] })
  expect(digitsOf(file)).toBe(digits)
  if (digits) expect(file.checksums.fuse.computed).toBe(fuseSum(digits))
  return file
}

describe('lists', () => {
  test.each([
    ['leading zeros are optional', 'QF16*F0*L8 11*', '0000000011000000'],
    ['and any number of them may stand', 'QF16*F0*L0000000008 11*', '0000000011000000'],
    ['a blank before the number', 'QF16*F0*L 8 11*', '0000000011000000'],
    ['CR as delimiter', 'QF16*F0*L8\r11*', '0000000011000000'],
    ['CR LF as delimiter', 'QF16*F0*L8\r\n11*', '0000000011000000'],
    // LF stands in the text and in examples, not in the grammar.
    ['LF as delimiter', 'QF16*F0*L8\n11*', '0000000011000000'],
    ['several delimiters', 'QF16*F0*L8 \r\n  11*', '0000000011000000'],
    ['blanks and line ends between digits', 'QF16*F0*L2 1 1\r\n1\n 1\r1*', '0011111000000000'],
    ['several lists on a line', 'QF16*F0*L0 1* L4 1*L8 1*', '1000100010000000'],
    ['lists in any order', 'QF16*F0*L8 1* L4 1*L0 1*', '1000100010000000'],
    ['a note between lists', 'QF16*F0*L0 1*N x*L8 1*', '1000000010000000'],
    ['the last fuse', 'QF16*F0*L15 1*', '0000000000000001'],
    ['a part of 13 fuses', 'QF13*F1*L0 0*', '0111111111111'],
    ['one fuse', 'QF1*F1*', '1'],
    ['one list over all', 'QF13*L0 1011000111010*', '1011000111010'],
  ])('%s', (_, fields, digits) => {
    expectLists(fields, digits)
  })

  test('a list without digits is legal and told (grammar of the list)', () => {
    expectLists('QF8*F1*^L4 *', '11111111', { placed: ['file/list-empty'] })
    // The same when the delimiter was lost, so that the digits belong to the number: 01 becomes fuse 401.
    expectLists('QF500*F0*^L401*', '0'.repeat(500), { placed: ['file/list-empty'] })
  })

  test('a tabulator is taken as a blank and told as a control character', () => {
    expectLists('QF8*F0*L4^\t1\t1*', '00001100', { placed: ['file/control-character'] })
  })

  test('a character that is no fuse state is an error', () => {
    const file = expectLists('QF8*F0*L0 11^2O11*', '11110000', { placed: ['file/list-character'] })
    expect(file.findings[0]).toMatchObject({ severity: 'error', message: expect.stringMatching(/“2”.*2 such/) })
    expectLists('QF8*F0*L4^X11*', '00001100', { placed: ['file/list-character'] })
  })

  test('a list without a number is an error and sets nothing', () => {
    expectLists('QF8*F0*^L*', '00000000', { placed: ['file/list-address-missing'] })
    expectLists('QF8*F0*^L x11*L4 1*', '00001000', { placed: ['file/list-address-missing'] })
  })

  test('every start and length within three bytes writes its own fuses and no others', () => {
    for (let at = 0; at < 24; at++)
      for (let length = 1; at + length <= 24; length++)
        for (const [ground, digit] of [
          ['0', '1'],
          ['1', '0'],
        ] as const) {
          const file = readExplained(framed(`*QF24*L0 ${ground.repeat(24)}*L${at} ${digit.repeat(length)}*`))
          expect(digitsOf(file)).toBe(ground.repeat(at) + digit.repeat(length) + ground.repeat(24 - at - length))
        }
  })

  test('digits in any grouping are the same digits', () => {
    const random = seeded(61)
    for (let round = 0; round < 300; round++) {
      const digits = random.text(1 + random.below(90), '01')
      const at = random.below(20)
      const grouped = [...digits]
        .map((digit) => digit + random.pick(['', '', '', '', ' ', '\r\n', '\n', '  ']))
        .join('')
      const file = readExplained(framed(`*QF128*F0*L${at} ${grouped}*`))
      expect(digitsOf(file), `seed 61, round ${round}: L${at} ${digits}`).toBe(
        '0'.repeat(at) + digits + '0'.repeat(128 - at - digits.length),
      )
    }
  })
})

// 3-A: where a fuse is given more than once the last state counts; meant for patching.
describe('overlap', () => {
  test('the last statement counts, and the overlap is told', () => {
    const file = expectLists('QF16*F0*L0 11111111*L2 00*', '1100111100000000', { unplaced: ['file/list-overlap'] })
    expect(file.findings.find(({ code }) => code === 'file/list-overlap')).toMatchObject({
      severity: 'note',
      fuse: 2,
      message: expect.stringMatching(/^2 fuses/),
    })
  })

  test('file order counts, not the order of addresses', () => {
    expectLists('QF16*F0*L4 0000*L0 11111111*', '1111111100000000', { unplaced: ['file/list-overlap'] })
    expectLists('QF16*F0*L0 11111111*L4 0000*', '1111000000000000', { unplaced: ['file/list-overlap'] })
  })

  test('lists that touch do not overlap', () => {
    expectLists('QF16*F0*L0 1111*L4 1111*', '1111111100000000')
    expectLists('QF16*F0*L4 1111*L0 1111*', '1111111100000000')
  })

  test('seeded lists give the fuses, the gaps and the overlap of a plain array', () => {
    const random = seeded(62)
    for (let round = 0; round < 300; round++) {
      const state: (string | null)[] = Array<string | null>(40).fill(null)
      const again = new Set<number>()
      let lists = ''
      for (let n = 1 + random.below(5); n > 0; n--) {
        const at = random.below(40)
        const digits = random.text(1 + random.below(40 - at), '01')
        lists += `L${at} ${digits}*`
        for (let i = 0; i < digits.length; i++) {
          if (state[at + i] !== null) again.add(at + i)
          state[at + i] = digits[i]!
        }
      }
      const ground = random.pick(['0', '1'])
      const file = readExplained(framed(`*QF40*F${ground}*${lists}`))
      const trial = `seed 62, round ${round}: F${ground} ${lists}`
      expect(digitsOf(file), trial).toBe(state.map((digit) => digit ?? ground).join(''))
      const bounds = state.flatMap((digit, i) => ((digit === null) !== ((state[i - 1] ?? null) === null) ? [i] : []))
      expect(file.listed.bounds, trial).toEqual(bounds.length % 2 ? [...bounds, 40] : bounds)
      const told = file.findings.find(({ code }) => code === 'file/list-overlap')
      expect(told ? parseInt(told.message, 10) : 0, trial).toBe(again.size)
    }
  })
})

describe('fuses without a state', () => {
  test.each([
    ['QF8*L0 1111*', '11110000', 4],
    ['QF8*L4 1111*', '00001111', 0],
    ['QF8*L0 1*L3 1*', '10010000', 1],
    ['QF8*L0 1111111*', '11111110', 7],
    ['QF8*', '00000000', 0],
  ])('%s is an error that names the first', (fields, digits, first) => {
    const file = expectLists(fields, digits, { unplaced: ['file/uncovered-fuses'] })
    expect(file.findings[0]).toMatchObject({ code: 'file/uncovered-fuses', severity: 'error', fuse: first })
  })

  test('a default or full lists leave none', () => {
    expectLists('QF8*F1*L0 0*', '01111111')
    expectLists('QF8*L0 0111*L4 1111*', '01111111')
  })

  test('a default alone fills every fuse', () => {
    for (let count = 1; count <= 70; count++) expectLists(`QF${count}*F1*`, '1'.repeat(count))
  })
})

describe('lists past the fuse count', () => {
  test.each([
    ['one fuse too many', 'QF8*F0*^L0 000000001*', 'fuse 8'],
    ['an address at the count', 'QF8*F0*^L8 1*', 'fuse 8'],
    ['an address far off', 'QF8*F0*^L99999999999999999999 1*', 'fuse'],
    ['in hexadecimal', 'QF8*F0*^^K8 F*', 'fuse 11'],
  ])('%s: an error, and the surplus is not used', (_, fields, words) => {
    const file = expectLists(fields, '00000000', {
      placed: fields.includes('K') ? ['file/extension-field', 'file/list-past-end'] : ['file/list-past-end'],
    })
    expect(file.findings[0]).toMatchObject({
      code: 'file/list-past-end',
      severity: 'error',
      message: expect.stringContaining(words),
    })
  })

  test('what lies within the count is used', () => {
    expectLists('QF8*F0*^L6 1111*', '00000011', { placed: ['file/list-past-end'] })
  })

  test('also where QF follows the list', () => {
    const file = readExplained(framed('*F0*L0 111111*QF4*L0 1*'))
    expect(findingsOf(file)).toContain('file/list-past-end at 5')
    expect(digitsOf(file)).toBe('1111')
  })
})

// The minimum file of 1983 has no QF: the count follows from the lists (3-A Example 1).
describe('the fuse count', () => {
  test('without QF it is one past the highest fuse', () => {
    const file = expectLists('F0*L4 11*L0 1*', '100011', { unplaced: ['file/fuse-count-missing'] })
    expect(file).toMatchObject({ fuseCount: 6, statedFuseCount: null })
  })

  test('without QF and F every fuse must be listed', () => {
    expectLists('L0 1011*L4 1*', '10111', { unplaced: ['file/fuse-count-missing'] })
    expectLists('L0 1011*L5 1*', '101101', { unplaced: ['file/fuse-count-missing', 'file/uncovered-fuses'] })
  })

  test('without QF a default alone tells no fuse', () => {
    expect(codesOf(readExplained(framed('*F0*')))).toEqual(['file/not-a-fuse-file'])
  })

  test('QF0 tells no fuse either', () => {
    expect(readExplained(framed('*QF0*F0*')).fuses).toBeNull()
  })

  test('a long list without QF is stored as it grows', () => {
    const random = seeded(63)
    const digits = random.text(20_000, '01')
    const rows = digits.match(/.{1,37}/g)!.map((row, i) => `L${i * 37} ${row}*\r\n`)
    const file = readExplained(framed(`*${rows.join('')}`))
    expect(digitsOf(file), 'seed 63').toBe(digits)
    expect(file.checksums.fuse.computed).toBe(fuseSum(digits))
  })
})

// Manual, K field: each digit is four fuses, its most significant bit the lowest of them: K0 55 = L0 01010101.
describe('lists in hexadecimal', () => {
  const noted = { placed: ['file/extension-field'] }

  test('each digit is four fuses, most significant bit first', () => {
    for (let value = 0; value < 16; value++)
      expectLists(`QF4*^K0 ${value.toString(16).toUpperCase()}*`, value.toString(2).padStart(4, '0'), noted)
    expectLists('QF16*F0*^K2 8 1\r\nC*', '0010000001110000', noted)
  })

  test('surplus bits of the last digit belong to no fuse', () => {
    expectLists('QF10*^K0 FFF*', '1111111111', noted)
    expectLists('QF10*F0*^K8 8*', '0000000010', noted)
  })

  test('without QF every digit counts four fuses', () => {
    expectLists('^K0 81*', '10000001', { ...noted, unplaced: ['file/fuse-count-missing'] })
  })

  test('L and K may be mixed, the last one counting', () => {
    expectLists('QF8*L0 11111111*^K4 0*', '11110000', { ...noted, unplaced: ['file/list-overlap'] })
  })

  test.each(['K*', 'K0 G*', 'Kx F*'])('%s is not of its form', (field) => {
    expect(codesOf(readExplained(framed(`${HEAD}QF8*F0*${field}`)))).toContain('file/field-malformed')
  })
})
