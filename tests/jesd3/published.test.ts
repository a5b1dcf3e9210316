/**
 * Every worked number that is printed somewhere, with the print beside it. "3-A" is JEDEC Standard No. 3-A as
 * reproduced in programmer manuals, "manual" its reproductions with extensions (appendix Translation formats).
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { fuseChecksum, fuseDigits, createFuseMap, fuseMapFrom } from '../../src/index'
import { type ExplainedFile, readExplained } from './read-explained'
import { framed, fuseSum, latin1, textFrom, transmissionSum } from './reference'

const PRINTED = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url))

function sumsOf(file: ExplainedFile): { readonly fuse: string | null; readonly transmission: string | null } {
  return { fuse: file.checksums.fuse.computed, transmission: file.checksums.transmission.computed }
}

describe('transmission checksum', () => {
  // 3-A, "Transmission checksum", worked example; again in Lattice answer database, article 2037.
  const LINES = [
    ['\x02TEST*\r\n', 0x0183],
    ['QF0384*\r\n', 0x01a7],
    ['F0*  \r\n', 0x00f7],
    ['L10 101*\r\n', 0x01a0],
    ['\x03', 0x0003],
  ] as const
  const example = LINES.map(([line]) => line).join('')

  test('each line of the worked example sums to the printed number', () => {
    for (const [line, sum] of LINES) expect([...latin1(line)].reduce((a, b) => a + b, 0)).toBe(sum)
    expect(LINES.reduce((total, [, sum]) => total + sum, 0)).toBe(0x05c4)
  })

  test('the worked example gives 05C4, whatever stands before STX and after the four digits', () => {
    const file = readExplained(latin1(`random text\r\n${example}05C4\rrandom text\r\n`))
    expect(file.checksums.transmission).toEqual({
      stated: '05C4',
      computed: '05C4',
      status: 'match',
      explanation: null,
    })
    expect(readExplained(latin1(`${example}05C4`)).checksums.transmission.status).toBe('match')
  })

  test('the two blanks and the line ends of the worked example count: 05A4 with one blank, 0590 with LF alone', () => {
    const oneBlank = latin1(`${example.replace('  ', ' ')}05C4`)
    const lineFeeds = latin1(`${example.replaceAll('\r', '')}05C4`)
    expect(sumsOf(readExplained(oneBlank)).transmission).toBe('05A4')
    expect(sumsOf(readExplained(lineFeeds)).transmission).toBe('0590')
    expect([transmissionSum(oneBlank), transmissionSum(lineFeeds)]).toEqual(['05A4', '0590'])
  })

  test('the worked example’s fuses sum to 0014: word 1 holds fuses 10 and 12', () => {
    const file = readExplained(latin1(`${example}05C4`))
    expect(sumsOf(file).fuse).toBe('0014')
    expect(fuseSum(`${'0'.repeat(10)}101${'0'.repeat(371)}`)).toBe('0014')
    expect(fuseDigits(file.fuses!, 8, 8)).toBe('00101000')
  })

  // 3-A Example 1, "minimum file as defined by Standard No. 3, October 1983": 5718. Its digits are those of the
  // complete example; as printed, without a blank and with 11 CR LF, it gives 56F8, one blank short (20 hexadecimal).
  test('the minimum file of 1983 gives 5718 with one blank after its fuse number', () => {
    const digits = fuseDigits(readExplained(PRINTED).fuses!)
    const rows = digits.match(/.{56}/g)!
    const lines = (address: string): string => `\r\n*\r\n${address}\r\n${rows.join('\r\n')}*\r\n`
    expect(sumsOf(readExplained(framed(lines('L0000')))).transmission).toBe('56F8')
    const file = readExplained(framed(lines('L0000 '), '5718'))
    expect(file.checksums.transmission.status).toBe('match')
    expect(file.fuses).toEqual(readExplained(PRINTED).fuses)
    expect(sumsOf(file).fuse).toBe('124E')
    expect([file.designSpecification, file.fuseCount, file.statedFuseCount]).toEqual(['', 448, null])
  })

  // 3-A, complete example "PLD 12S8": transmission checksum 8A76, fuse checksum 124E.
  test('the complete example gives 8A76 and 124E', () => {
    const file = readExplained(PRINTED)
    expect(sumsOf(file)).toEqual({ fuse: '124E', transmission: '8A76' })
    expect(transmissionSum(PRINTED)).toBe('8A76')
    expect(fuseSum(fuseDigits(file.fuses!))).toBe('124E')
    expect(file).toMatchObject({
      pinCount: 20,
      fuseCount: 448,
      vectorLimit: 8,
      defaultFuse: 0,
      defaultCondition: 0,
      security: null,
    })
    expect(file.vectors.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8])
    expect(file.vectors.every(({ conditions }) => conditions?.length === 20)).toBe(true)
  })
})

describe('fuse checksum', () => {
  // 3-A, "Fuse checksum field": words 72, 10, 0F, FF and 8A; the last is a partial word in which 4 of QF500's fuses
  // stand.
  test.each([500, 40])('five words of the text’s example give 021A with QF%i', (count) => {
    const file = readExplained(framed(`*QF${count}*F0*L0000 01001110 00001000 11110000 11111111 01010001*C021A*`))
    expect([...file.fuses!.bits.subarray(0, 5)]).toEqual([0x72, 0x10, 0x0f, 0xff, 0x8a])
    expect(file.checksums.fuse).toMatchObject({ stated: '021A', computed: '021A', status: 'match' })
  })

  // 3-A Example 5: fuses 140 to 167 are listed as ones and then as zeros; the last statement counts.
  test('the example with a patched row gives 124E', () => {
    const patched = textFrom(PRINTED.subarray(1, PRINTED.indexOf(3))).replace(
      'L0224',
      `L140 ${'1'.repeat(28)}*L140 ${'0'.repeat(28)}*L0224`,
    )
    expect(readExplained(framed(patched)).checksums.fuse).toMatchObject({
      stated: '124E',
      computed: '124E',
      status: 'match',
    })
  })

  // Manual, K field: both ways of writing one map give C019E (AA + EA + 0A). QF is not printed.
  test.each(['L0 01010101*L0008 01010111*L1000 0101*', 'K0 55*K0008 57*K1000 5*'])('%s gives 019E', (lists) => {
    for (const count of [1004, 2048])
      expect(readExplained(framed(`*QF${count}*F0*${lists}C019E*`)).checksums.fuse.status).toBe('match')
  })

  // Manual, E and U fields: C011A holds the 35 of the fuses and the E5 of the E field, not the 6D of the U field.
  test('an E field before C is in the sum and a U field is not', () => {
    const fuses = 'QF24*L0 101011000000000000000000*'
    const file = readExplained(framed(`*${fuses}E10100111*C011A*U10110110*`))
    expect(file.checksums.fuse).toMatchObject({ stated: '011A', computed: '011A', status: 'match' })
    expect(file).toMatchObject({ electricalData: '10100111', userData: { form: 'binary', text: '10110110' } })
    expect(sumsOf(readExplained(framed(`*${fuses}`))).fuse).toBe('0035')
    expect([fuseSum('10100111'), fuseSum('10110110')]).toEqual(['00E5', '006D'])
  })

  // Published device files put E after C and leave it out of C.
  test('an E field after C is not in the sum', () => {
    expect(readExplained(framed('*QF8*L0 10101100*C0035*E10100111*')).checksums.fuse).toMatchObject({
      computed: '0035',
      status: 'match',
    })
  })

  // A published 130,036-fuse file ends in four ones and needs 0F there: a partial word is filled from its low end.
  test('a partial last word is filled from the least significant bit', () => {
    expect(sumsOf(readExplained(framed('*QF130036*F0*L130032 1111*'))).fuse).toBe('000F')
  })

  // Sums of maps in one state: what an empty or unreadable chip of that size gives.
  test.each([
    [448, '37C8'],
    [2048, 'FF00'],
    [2194, '10F1'],
    [2706, '50B1'],
    [5828, 'D537'],
    [5892, 'DD2F'],
    [5893, 'DD3F'],
    [2560, '3EC0'],
    [1928, 'F00F'],
  ])('%i fuses of 1 sum to %s, of 0 to 0000', (count, sum) => {
    expect(fuseSum('1'.repeat(count))).toBe(sum)
    expect(sumsOf(readExplained(framed(`*QF${count}*F1*`))).fuse).toBe(sum)
    expect(fuseChecksum(createFuseMap(count))).toBe(0)
  })

  // GAL16V8 data sheet, "Electronic signature": it is included in the checksum (fuses 2056 to 2119).
  test('a changed electronic signature changes the sum', () => {
    const plain = readExplained(framed('*QF2194*F0*'))
    const signed = readExplained(framed('*QF2194*F0*L2056 01000001*'))
    expect([sumsOf(plain).fuse, sumsOf(signed).fuse]).toEqual(['0000', '0082'])
  })
})

// Small files whose sums were computed beside the standard's text; each settles one reading of it.
describe('small files', () => {
  test.each([
    ['a file of one empty field', '*', null, '002F'],
    ['a partial word', '*QF10*F0*L8 11*C0003*', '0003', '0451'],
    ['a sum of exactly 65535 (modulo 65535 it would be 0000)', '*QF2056*F1*CFFFF*', 'FFFF', '03E3'],
    ['a sum above it (modulo 65535 it would be 00FF)', '*QF2064*F1*C00FE*', '00FE', '03B5'],
    ['overlapping lists', '*QF16*F0*L0 11111111*L2 00*C00F3*', '00F3', '06B3'],
    ['two C fields', '*QF8*F0*C1234*L0 10000001*C0081*', '0081', '067D'],
    ['a list in hexadecimal', '*QF8*F0*K0 81*C0081*', '0081', '042C'],
    ['all ones', '*QF8*F1*C00FF*', '00FF', '0322'],
    ['CR LF', 'T*\r\nQF8*\r\nF1*\r\nC00FF*\r\n', '00FF', '03D2'],
    ['LF', 'T*\nQF8*\nF1*\nC00FF*\n', '00FF', '039E'],
    ['CR', 'T*\rQF8*\rF1*\rC00FF*\r', '00FF', '03AA'],
  ])('%s', (_, fields, fuse, transmission) => {
    const bytes = framed(fields, transmission)
    const file = readExplained(bytes)
    expect(transmissionSum(bytes)).toBe(transmission)
    expect(file.checksums.transmission).toMatchObject(
      fuse === null ? { status: 'match' } : { computed: transmission, status: 'match' },
    )
    expect(file.checksums.fuse).toMatchObject({ computed: fuse, status: fuse === null ? 'absent' : 'match' })
  })

  test('a parity bit on every byte changes neither sum', () => {
    const marked = framed('*QF8*F1*C00FF*', '0322').map((byte) => byte | 0x80)
    expect(readExplained(marked).checksums).toEqual(readExplained(framed('*QF8*F1*C00FF*', '0322')).checksums)
  })

  // The packing of E bits after a partial word is printed nowhere: on from the last fuse, or in a word of their own.
  test.each([
    ['E101*C0116*', 'match', 'continue after the last fuse'],
    ['E101*C0107*', 'match', 'begin a word of their own'],
    ['C0102*E101*', 'match', null],
    ['E101*C0102*', 'mismatch', null],
  ])('ten ones and %s: %s', (fields, status, packing) => {
    const file = readExplained(framed(`*QF10*F1*${fields}`))
    const note = file.findings.find(({ code }) => code === 'checksum/electrical-packing')
    expect(file.checksums.fuse.status).toBe(status)
    expect(packing === null ? note === undefined : note?.message.includes(packing)).toBe(true)
    expect([fuseSum('1111111111'), fuseSum('1111111111101'), fuseSum('1111111111000000101')]).toEqual([
      '0102',
      '0116',
      '0107',
    ])
  })
})

test('moving all line ends between LF and CR LF moves the transmission sum by 13 each', () => {
  const lines = textFrom(PRINTED).match(/\r\n/g)!.length
  const shorter = transmissionSum(latin1(textFrom(PRINTED).replaceAll('\r', '')))
  expect(parseInt('8A76', 16) - parseInt(shorter, 16)).toBe(13 * lines)
  expect(fuseChecksum(fuseMapFrom('01001110'))).toBe(0x72)
})
