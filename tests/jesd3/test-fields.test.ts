/** Test fields as text (3-A, functional test information): vectors, pin sequence, their limits and deviations. */
import { describe, expect, test } from 'vitest'
import { readFuseFile } from '../../src/jesd3/read-fuse-file'
import { readExplained } from './read-explained'
import { codesOf, expectCase, SOUND, type Case } from './expect-findings'
import { framed, seeded } from './reference'

/** The sound file with its one vector replaced, and QV raised to nine. */
function vectors(text: string): string {
  return SOUND.replace('V1 01HL*', text).replace('QV1', 'QV9')
}

function conditionsOf(fields: string): Record<number, string | null> {
  return Object.fromEntries(
    readExplained(framed(fields)).vectors.map(({ number, conditions }) => [number, conditions]),
  )
}

describe('vectors', () => {
  test('leading zeros and any delimiter', () => {
    expect(
      conditionsOf(vectors('V1 0000*V02 0001*V0003 0010*V 4 0011*V5\r\n0100*V6\r0101*V7\n0110*V8  \r\n 0111*')),
    ).toEqual({
      1: '0000',
      2: '0001',
      3: '0010',
      4: '0011',
      5: '0100',
      6: '0101',
      7: '0110',
      8: '0111',
    })
  })

  test('they are kept in numerical order (3-A: applied in numerical order)', () => {
    expect(readExplained(framed(vectors('V9 0000*V2 0000*V3 0000*'))).vectors.map(({ number }) => number)).toEqual([
      2, 3, 9,
    ])
  })

  // A blank behind the V is a deviation that changes nothing; a field with it is read another way than one without.
  describe('a field says the same with a blank behind its V', () => {
    const says = (fields: string): unknown => {
      const { vectors: read, findings } = readFuseFile(framed(vectors(fields)))
      return [read.map(({ number, conditions }) => [number, conditions]), findings.map(({ code }) => code)]
    }

    test.each(Array.from({ length: 256 }, (_, code) => [`0x${code.toString(16)}`, String.fromCharCode(code)]))(
      'with the character %s in each place',
      (_, c) => {
        // An asterisk right behind the V leaves the blank alone there, which is told.
        const first = c === '*' ? [] : [`${c}1 01HL`]
        for (const field of [...first, `1${c} 01HL`, `1${c}01HL`, `1 ${c}1HL`, `1 0${c}HL`, `1 01H${c}`, `1 01HL${c}`])
          expect(says(`V${field}*V2 01HL*`), JSON.stringify(field)).toEqual(says(`V ${field}*V2 01HL*`))
      },
    )

    test.each(['0 01HL', '1', '1 ', '000000001 01HL', '0000000001 01HL', '999999999 01HL', '1234567890 01HL'])(
      'V%s',
      (field) => expect(says(`V${field}*V2 01HL*`)).toEqual(says(`V ${field}*V2 01HL*`)),
    )

    test.each([
      [['3 0000', '1 0001', '2 0010', '3 0011', '4 0100', '4 0101']],
      [['1 0000', '1 0001', '1 0010']],
      [['2 B000', '2 000B', '3 0001']],
    ])('%j, of which the last with a number counts', (fields) =>
      expect(says(fields.map((field) => `V${field}*`).join(''))).toEqual(
        says(fields.map((field) => `V ${field}*`).join('')),
      ),
    )
  })

  test('long vectors, whose text is cut from that of many', () => {
    const random = seeded(11)
    const sets = Array.from({ length: 400 }, (_, i) => [i + 1, random.text(28, '01CKHLZXN')])
    const fields = sets.map(([number, conditions]) => `V${number} ${conditions}*\r\n`).join('')
    expect(conditionsOf(`T*QP28*QV400*QF8*F0*${fields}`)).toEqual(Object.fromEntries(sets))
  })

  test('each keeps the offset of its V', () => {
    const file = readExplained(framed(vectors('V2 0000*V1 0000*')))
    expect(
      file.vectors.map(({ offset }) => String.fromCharCode(file.bytes[offset!]!, file.bytes[offset! + 1]!)),
    ).toEqual(['V1', 'V2'])
  })

  test('of two with one number the last counts, wherever it stands', () => {
    const file = expectCase({ fields: vectors('V1 0000*V2 0000*^V1 1111*'), placed: ['vector/replaced'] })
    expect(file.findings[0]).toMatchObject({ severity: 'note', vector: 1 })
    expect(file.vectors[0]!.conditions).toBe('1111')
  })

  test('every condition of the table is taken', () => {
    const known = '0123456789CFHKLNPXZ'
    for (const condition of known) expect(conditionsOf(vectors(`V1 ${condition}XXX*`))[1]).toBe(`${condition}XXX`)
    // Later additions, from memory: drive low or high with a fast slew.
    expect(conditionsOf(vectors('V1 DUXX*'))[1]).toBe('DUXX')
  })

  test('other letters and signs are no conditions', () => {
    for (const condition of 'AEGIJMOQRSTVWY?-.') {
      const file = readExplained(framed(vectors(`V1 0${condition}XX*`)))
      expect([condition, file.vectors.map(({ conditions }) => conditions), codesOf(file)]).toEqual([
        condition,
        [null],
        ['vector/malformed'],
      ])
    }
  })

  const MALFORMED: readonly (readonly [string, Case])[] = [
    ['too short', { fields: vectors('^V1 01H*'), placed: ['vector/malformed'] }],
    ['too long', { fields: vectors('^V1 01HLX*'), placed: ['vector/malformed'] }],
    ['empty', { fields: vectors('^V1*'), placed: ['vector/malformed'] }],
    ['an unknown condition', { fields: vectors('^V1 01HA*'), placed: ['vector/malformed'] }],
  ]
  test.each(MALFORMED)('%s: a warning, and the vector is kept without conditions', (_, given) => {
    const file = expectCase(given)
    expect(file.findings[0]!.severity).toBe('warning')
    expect(file.vectors).toHaveLength(1)
    expect(file.vectors[0]!.conditions).toBeNull()
  })

  test('without a number, or with number zero, there is nothing to keep', () => {
    // What begins with no number is no vector at all: an asterisk inside a note leaves such words behind.
    for (const [text, code] of [
      ['^V*', 'file/field-malformed'],
      ['^V X1HL*', 'file/field-malformed'],
      ['^Vcc*', 'file/field-malformed'],
      ['^V0 01HL*', 'vector/malformed'],
    ] as const) {
      const file = expectCase({ fields: vectors(text), placed: [code] })
      expect(file.vectors).toEqual([])
    }
  })

  test('a number past QV is told and the vector kept', () => {
    const file = expectCase({ fields: SOUND.replace('V1 01HL*', 'V1 01HL*^V2 01HL*'), placed: ['vector/past-limit'] })
    expect(file.findings[0]).toMatchObject({ severity: 'note', vector: 2 })
    expect(file.vectors).toHaveLength(2)
  })

  test('blanks and small letters among the conditions are told once and read', () => {
    const file = expectCase({ fields: vectors('V1 0000*^V2 01 HL*V3 01hl*V4 01\r\nHL*'), placed: ['vector/layout'] })
    expect(file.findings[0]!.message).toMatch(/^3 vectors/)
    expect(file.vectors.map(({ conditions }) => conditions)).toEqual(['0000', '01HL', '01HL', '01HL'])
  })

  test('a tabulator as delimiter is read and told as a control character', () => {
    const file = expectCase({ fields: vectors('V1^\t01HL*'), placed: ['file/control-character'] })
    expect(file.vectors[0]!.conditions).toBe('01HL')
  })

  test('without QP the first vector gives the width', () => {
    const file = expectCase({
      fields: vectors('V1 01*^V2 011*').replace('QP4*', ''),
      placed: ['vector/malformed'],
      unplaced: ['file/pin-count-missing'],
    })
    expect(file.vectors.map(({ conditions }) => conditions)).toEqual(['01', null])
  })

  test('QP and QV alone do not make a fuse file, vectors do (3-A: testing fields need no QF)', () => {
    expect(codesOf(readExplained(framed('*QP4*QV1*')))).toEqual(['file/not-a-fuse-file'])
    const file = expectCase({ fields: 'T*QP4*QV1*G0*X0*V1 01HL*' })
    expect(file).toMatchObject({ fuses: null, fuseCount: null, vectors: [{ number: 1, conditions: '01HL' }] })
  })

  // A buried-register preload begins with B and a page digit (3-A, register preload).
  test('preload vectors are read like others', () => {
    expect(conditionsOf(vectors('V1 B010*V2 PXXX*'))).toEqual({ 1: 'B010', 2: 'PXXX' })
  })

  test('seeded vectors come back as given', () => {
    const random = seeded(81)
    for (let round = 0; round < 100; round++) {
      const width = 1 + random.below(40)
      const given = new Map<number, string>()
      let text = ''
      for (let n = 1 + random.below(12); n > 0; n--) {
        const number = 1 + random.below(20)
        const conditions = random.text(width, '0123456789CFHKLNPXZ')
        given.set(number, conditions)
        text += `V${'0'.repeat(random.below(4))}${number}${random.pick([' ', '\r\n', '  '])}${conditions}*\r\n`
      }
      const fields = `*QP${width}*QF8*QV20*F0*${text}`
      expect(conditionsOf(fields), `seed 81, round ${round}`).toEqual(Object.fromEntries(given))
    }
  })
})

// 3-A, pin sequence: the i-th number is the pin that takes the i-th condition.
describe('pin sequence', () => {
  const withOrder = (order: string): string => SOUND.replace('V1 01', `${order}V1 01`)

  test('the printed example of 20 pins', () => {
    const fields =
      'T*QP20*QF8*QV1*G0*F0*X0*P 1 2 3 4 5 6 14 15 16 17 7 8 9 10 11 12 13 18 19 20*V0001 111000HLHHNNNNNNNNNN*C0000*'
    const file = expectCase({ fields })
    expect(file.pinOrder).toEqual([1, 2, 3, 4, 5, 6, 14, 15, 16, 17, 7, 8, 9, 10, 11, 12, 13, 18, 19, 20])
    expect(file.vectors[0]!.conditions).toHaveLength(20)
  })

  test('any delimiter stands between the numbers', () => {
    expect(expectCase({ fields: withOrder('P\r\n4 3\r\n 02\r1*') }).pinOrder).toEqual([4, 3, 2, 1])
  })

  test.each([
    ['too few pins', 'P 1 2 3*'],
    ['too many pins', 'P 1 2 3 4 5*'],
    ['a pin twice', 'P 1 2 3 3*'],
    ['a pin that is not there', 'P 1 2 3 5*'],
    ['pin zero', 'P 0 1 2 3*'],
    ['a letter', 'P 1 2 3 A*'],
  ])('%s: a warning, and no order is given', (_, order) => {
    const file = expectCase({ fields: withOrder(`^${order}`), placed: ['vector/pin-order'] })
    expect(file.findings[0]!.severity).toBe('warning')
    expect(file.pinOrder).toEqual([])
  })

  // An asterisk inside a note leaves such words behind: “N supply*Pin 20 is VCC*”.
  test.each(['P*', 'Pin 20 is VCC*'])('%s is no pin sequence', (words) => {
    expect(expectCase({ fields: withOrder(`^${words}`), placed: ['file/field-malformed'] }).pinOrder).toBeNull()
  })
})
