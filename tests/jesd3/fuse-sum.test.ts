/** The fuse checksum (3-A, "Fuse checksum field"): which C counts, against which fuses, and how it may be written. */
import { describe, expect, test } from 'vitest'
import { fuseDigits, verify } from '../../src/index'
import { readExplained } from './read-explained'
import { codesOf, expectCase, sound, SOUND } from './expect-findings'
import { framed, fuseSum, seeded } from './reference'

const LIST = '1011000111010010'

describe('the stated sum', () => {
  test('a right one has no finding, a wrong one is an error', () => {
    expect(fuseSum(LIST)).toBe('00D8')
    // Five off: no exchange of two digits moves the sum by that.
    const file = expectCase({ fields: sound('C00D8', '^C00DD'), placed: ['checksum/fuse-mismatch'] })
    expect(file.checksums.fuse).toEqual({ stated: '00DD', computed: '00D8', status: 'mismatch', explanation: null })
    expect(file.findings[0]).toMatchObject({ severity: 'error', message: expect.stringMatching(/00DD.*00D8/) })
    expect(verify(file.bytes).verdict).toBe('fail')
  })

  test('an absent one is told with the value', () => {
    const file = expectCase({ fields: sound('C00D8*', ''), unplaced: ['checksum/fuse-absent'] })
    expect(file.checksums.fuse).toEqual({ stated: null, computed: '00D8', status: 'absent', explanation: null })
    expect(file.findings[0]!.message).toContain('00D8')
  })

  test('seeded maps: the computed sum is that of a bit loop', () => {
    const random = seeded(71)
    for (let round = 0; round < 200; round++) {
      const digits = random.text(1 + random.below(700), random.pick(['01', '1', '0111']))
      const file = readExplained(framed(`*QF${digits.length}*L0 ${digits}*C${fuseSum(digits)}*`))
      expect([file.checksums.fuse.computed, file.checksums.fuse.status], `seed 71, round ${round}`).toEqual([
        fuseSum(digits),
        'match',
      ])
    }
  })

  test('without fuses there is nothing to compute', () => {
    const file = readExplained(framed('*QP4*QV1*V1 01HL*C00D8*'))
    expect(file.checksums.fuse).toMatchObject({ computed: null, explanation: null })
    expect(codesOf(file)).not.toContain('checksum/fuse-mismatch')
  })
})

describe('how it is written', () => {
  test.each(['C00d8', 'C 00d8', 'C\r\n00d8'])('%j: small letters are told and read by value', (field) => {
    const file = expectCase({ fields: sound('C00D8', `^${field}`), placed: ['file/lower-case-hex'] })
    expect(file.checksums.fuse).toEqual({ stated: '00d8', computed: '00D8', status: 'match', explanation: null })
  })

  // Three digits were met once, five in files of clock parts.
  test.each(['D8', '0D8', '000D8', '000000D8'])('C%s: the number of digits is told, the value counts', (text) => {
    const file = expectCase({ fields: sound('C00D8', `^C${text}`), placed: ['checksum/digit-count'] })
    expect(file.checksums.fuse).toEqual({ stated: text, computed: '00D8', status: 'match', explanation: null })
    expect(file.findings[0]!.message).toContain(`${text.length} digits`)
  })

  test('a wrong value with another number of digits is an error as well', () => {
    for (const text of ['D9', '100D8', '0D80']) {
      const file = readExplained(framed(sound('C00D8', `C${text}`)))
      expect([file.checksums.fuse.stated, file.checksums.fuse.status]).toEqual([text, 'mismatch'])
      expect(codesOf(file)[0]).toBe('checksum/fuse-mismatch')
    }
  })

  test('a C field without a number is no sum', () => {
    for (const text of ['C', 'Cxyz', 'C00 D8'])
      expect(readExplained(framed(sound('C00D8', text))).checksums.fuse).toEqual({
        stated: null,
        computed: '00D8',
        status: 'absent',
        explanation: null,
      })
  })
})

// Only the last C is significant.
describe('several C fields', () => {
  test('an earlier wrong one does no harm, a later wrong one does', () => {
    expectCase({ fields: sound('C00D8*', 'C0000*^C00D8*'), placed: ['file/field-repeated'] })
    const file = expectCase({
      fields: sound('C00D8*', 'C00D8*^^C0000*'),
      placed: ['checksum/fuse-mismatch', 'file/field-repeated'],
    })
    expect(file.checksums.fuse.stated).toBe('0000')
  })

  test('a patch with its own C', () => {
    const patched = SOUND.replace('V1 01', 'L0 0*^C00D7*V1 01')
    const file = expectCase({ fields: patched, placed: ['file/field-repeated'], unplaced: ['file/list-overlap'] })
    expect(file.checksums.fuse).toMatchObject({ stated: '00D7', status: 'match' })
  })
})

describe('lists after the sum', () => {
  test('where the fuses fit as they stood at C, it is a warning that says so', () => {
    const file = expectCase({
      fields: SOUND.replace('C00D8', '^C00D8').replace('V1 01', 'L0 0*V1 01'),
      placed: ['checksum/lists-after-sum'],
      unplaced: ['file/list-overlap'],
    })
    expect(file.checksums.fuse).toEqual({
      stated: '00D8',
      computed: '00D7',
      status: 'mismatch',
      explanation: 'lists-after-sum',
    })
    expect(file.findings[0]).toMatchObject({ severity: 'warning', message: expect.stringMatching(/00D8.*00D7/) })
    expect(fuseDigits(file.fuses!)).toBe(`0${LIST.slice(1)}`)
  })

  test('lists in hexadecimal count as lists', () => {
    const file = readExplained(framed(SOUND.replace('V1 01', 'K0 0*V1 01')))
    expect(file.checksums.fuse).toMatchObject({ status: 'mismatch', explanation: 'lists-after-sum' })
  })

  test('where they fit neither then nor now, it is an error', () => {
    expectCase({
      fields: SOUND.replace('C00D8', '^C00E2').replace('V1 01', 'L0 0*V1 01'),
      placed: ['checksum/fuse-mismatch'],
      unplaced: ['file/list-overlap'],
    })
  })

  test('lists that change nothing, or that the sum already holds, need no word', () => {
    expectCase({ fields: SOUND.replace('V1 01', 'L0 1*V1 01'), unplaced: ['file/list-overlap'] })
    expectCase({ fields: `${sound('L0', 'C00D8*L0').replace('0010*C00D8', '0010')}` })
  })

  test('of several C the last one is looked at, over the lists between', () => {
    const file = readExplained(framed('*QF8*F0*L0 1*C0001*L1 1*C0003*L2 1*'))
    expect(file.checksums.fuse).toEqual({
      stated: '0003',
      computed: '0007',
      status: 'mismatch',
      explanation: 'lists-after-sum',
    })
    const stale = readExplained(framed('*QF8*F0*L0 1*C0001*L1 1*C0001*L2 1*'))
    expect(stale.checksums.fuse).toMatchObject({ status: 'mismatch', explanation: null })
  })

  test('the default holds for the fuses at C too', () => {
    const file = readExplained(framed('*QF8*F1*L0 0*C00FE*L1 0*'))
    expect(file.checksums.fuse).toEqual({
      stated: '00FE',
      computed: '00FC',
      status: 'mismatch',
      explanation: 'lists-after-sum',
    })
  })

  test('a count that comes later holds for the fuses at C too', () => {
    const file = readExplained(framed('*F0*L0 1*C0001*QF8*L1 1*'))
    expect(file.checksums.fuse).toMatchObject({ stated: '0001', computed: '0003', explanation: 'lists-after-sum' })
  })
})

// Manual, E field: its bits are in C where it precedes C; published device files put it after C and leave it out.
describe('electrical data', () => {
  const note = ['file/extension-field'] as const

  test('before C it is in the sum, after C it is not', () => {
    expectCase({ fields: sound('C00D8', '^E1*C00D9'), placed: note })
    expectCase({ fields: sound('C00D8*', 'C00D8*^E1*'), placed: note })
    expectCase({ fields: sound('C00D8', '^E101*^C00D8'), placed: [...note, 'checksum/fuse-mismatch'] })
    expectCase({ fields: sound('C00D8*', '^C00DD*^E101*'), placed: ['checksum/fuse-mismatch', ...note] })
  })

  test('it is read from the least significant bit, like lists', () => {
    expectCase({ fields: sound('C00D8', '^E0000 0001\r\n1*C0159'), placed: note })
    expect([fuseSum(LIST + '000000011'), fuseSum('000000011')]).toEqual(['0159', '0081'])
  })

  test('after a partial word both packings are tried, and the one that fits is told', () => {
    const random = seeded(72)
    for (let round = 0; round < 100; round++) {
      const digits = random.text(9 + random.below(7), '01')
      const bits = random.text(1 + random.below(12), '01')
      const goingOn = fuseSum(digits + bits)
      const apart = fuseSum(digits.padEnd(16, '0') + bits)
      for (const sum of [goingOn, apart]) {
        const file = readExplained(framed(`*QF${digits.length}*L0 ${digits}*E${bits}*C${sum}*`))
        const told = file.findings.find(({ code }) => code === 'checksum/electrical-packing')
        const trial = `seed 72, round ${round}: ${digits} and E${bits}`
        expect([file.checksums.fuse.status, file.checksums.fuse.computed], trial).toEqual(['match', sum])
        expect(told?.message.includes('own') ?? null, trial).toBe(goingOn === apart ? null : sum === apart)
      }
    }
  })

  test('user data is in no sum, before C or after it', () => {
    expectCase({ fields: sound('C00D8', '^U11111111*C00D8'), placed: note })
    expectCase({ fields: sound('C00D8*', 'C00D8*^UHFFFF*'), placed: note })
  })
})
