/**
 * The frame: STX, fields, ETX, four digits (3-A, "Transmission protocol"); text around it; parity; accents; the
 * title.
 */
import { describe, expect, test } from 'vitest'
import { readExplained } from './read-explained'
import { codesOf, expectCase, findingsOf, sound, SOUND } from './expect-findings'
import { framed, latin1, seeded, textFrom, transmissionSum } from './reference'

const FRAME = textFrom(framed(SOUND))

describe('marks', () => {
  test('a file that states everything, rightly framed, has no finding', () => {
    const file = expectCase({ fields: SOUND })
    expect(file.frame).toEqual({ start: 0, end: 1 + SOUND.length })
    expect(file.checksums.transmission.status).toBe('match')
  })

  test('neither mark is needed on local storage (3-A, introduction)', () => {
    const file = readExplained(latin1(SOUND))
    expect(findingsOf(file)).toEqual(['file/marks-missing at 0'])
    expect(file.frame).toEqual({ start: null, end: null })
    expect(file.checksums.transmission).toEqual({ stated: null, computed: null, status: 'absent', explanation: null })
    expect(file.checksums.fuse.status).toBe('match')
  })

  test('ETX without STX: the fields are read, and the sum has no beginning', () => {
    const file = readExplained(latin1(FRAME.slice(1)))
    expect(findingsOf(file)).toEqual([
      'file/start-mark-missing at 0',
      `checksum/transmission-explained at ${SOUND.length + 1}`,
      `checksum/transmission-mismatch at ${SOUND.length + 1}`,
    ])
    expect(file.checksums.transmission).toMatchObject({ computed: null, explanation: null })
    expect(file.findings.map(({ message }) => message).join()).toContain('consistent with a start mark lost')
    expect(file.fuses?.length).toBe(16)
  })

  test('STX without ETX is a cut file, unless the last C vouches for all lists before it', () => {
    const uncut = latin1(`\x02${SOUND}`)
    expect(findingsOf(readExplained(uncut))).toEqual([`file/end-mark-missing at ${uncut.length}`])
    expect(readExplained(uncut).findings[0]!.severity).toBe('warning')
    for (const fields of [
      sound('C00D8*', ''),
      sound('C00D8', 'C00D9'),
      SOUND.replace('L0', 'C00D8*L0').replace('C00D8*V', 'V'),
    ]) {
      const cut = readExplained(latin1(`\x02${fields}`))
      expect(codesOf(cut)).toContain('file/cut-short')
      expect(cut.findingCounts.error).toBeGreaterThan(0)
    }
  })

  test('ETX may follow the last asterisk or a line end; both ways are summed as they stand', () => {
    for (const end of ['', '\r\n', '\n', '\r', ' ']) {
      const file = readExplained(framed(SOUND + end))
      expect([end, file.checksums.transmission.status, file.findings]).toEqual([end, 'match', []])
    }
  })

  test('a second STX inside is told; the first one begins the sum', () => {
    const file = expectCase({ fields: SOUND.replace('F0*', 'F0*^\x02'), placed: ['file/stray-start-mark'] })
    expect(file.checksums.transmission.status).toBe('match')
    expectCase({ fields: sound('T*', 'T^\x02t*'), placed: ['file/stray-start-mark'] })
  })

  test('an ETX inside ends the transmission there', () => {
    const at = 1 + SOUND.indexOf('C00D8')
    const file = readExplained(latin1(`${FRAME.slice(0, at)}\x03${FRAME.slice(at)}`))
    expect([file.frame.end, file.checksums.fuse.stated, file.vectors]).toEqual([at, null, []])
  })
})

describe('text around the frame', () => {
  test('what stands before STX is ignored, asterisks and fields in it too', () => {
    const before = 'QF99*L0 1*\r\nheader with * in it\r\n'
    const file = readExplained(latin1(before + FRAME))
    expect(findingsOf(file)).toEqual(['file/text-before-start at 0'])
    expect(file).toMatchObject({ statedFuseCount: 16, designSpecification: 'T', frame: { start: before.length } })
    expect(file.findings[0]!.message).toContain(`${before.length} bytes`)
    expect(file.checksums.transmission.status).toBe('match')
  })

  // The alignment of the frame in memory must not matter to the sum.
  test('the sum is the same wherever the frame begins', () => {
    for (let before = 0; before < 9; before++)
      for (const fields of ['', '*', '**', '***', 'T*QF8*F1*'])
        expect(
          readExplained(latin1('x'.repeat(before) + textFrom(framed(fields)))).checksums.transmission.status,
          `${before} bytes before ${fields}`,
        ).toBe('match')
  })

  test('long transmissions of high bytes sum like a byte loop', () => {
    const random = seeded(51)
    for (const length of [1000, 4095, 5000, 70_000]) {
      const filled = framed(`${'~'.repeat(length)}*`)
      const mixed = framed(`${random.text(length, 'x}~\xfe\xff0 ')}*`)
      for (const bytes of [filled, mixed])
        expect(readExplained(bytes).checksums.transmission, `seed 51, ${length} characters`).toMatchObject({
          computed: transmissionSum(bytes),
          status: 'match',
        })
    }
  })

  test('a view into a larger buffer reads like the bytes alone', () => {
    const around = latin1(`\x02*QF3*${FRAME}\x02`)
    const view = around.subarray(6, 6 + FRAME.length)
    expect({ ...readExplained(view), bytes: null }).toEqual({ ...readExplained(latin1(FRAME)), bytes: null })
  })

  test('line ends after the digits are silent, text is told, also without a gap', () => {
    expect(readExplained(latin1(`${FRAME}\r\n`)).findings).toEqual([])
    for (const after of [
      '\r\nrandom text',
      ' random text',
      'random text',
      'Edited',
      'deadbeef and more',
    ]) {
      const file = readExplained(latin1(FRAME + after))
      expect([after, file.checksums.transmission.status, file.checksums.transmission.stated]).toEqual([
        after,
        'match',
        FRAME.slice(-4),
      ])
      expect(codesOf(file)).toContain('file/text-after-end')
    }
  })

  test('a control-Z after the digits is silent', () => {
    expect(readExplained(latin1(`${FRAME}\x1a`)).findings).toEqual([])
  })

  test('of several frames behind the first the one that differs is named, also behind one that does not', () => {
    const second = textFrom(framed('*QF99*F1*'))
    expect(findingsOf(readExplained(latin1(`${FRAME}\r\n${FRAME}\r\n${second}`)))).toEqual([
      `file/second-frame-differs at ${2 * FRAME.length + 4}`,
    ])
  })

  test('of two frames the first is read', () => {
    const second = textFrom(framed('*QF99*F1*'))
    const file = readExplained(latin1(`${FRAME}\r\n${second}`))
    expect(findingsOf(file)).toEqual([`file/second-frame-differs at ${FRAME.length + 2}`])
    expect(findingsOf(readExplained(latin1(`${FRAME}\r\n${FRAME}`)))).toEqual([
      `file/second-frame at ${FRAME.length + 2}`,
    ])
    expect(findingsOf(readExplained(latin1(`${FRAME}\r\nL0 1*`)))).toEqual([
      `file/fields-after-end at ${FRAME.length + 2}`,
    ])
    expect(file.fuseCount).toBe(16)
  })
})

describe('the digits after ETX', () => {
  const body = `\x02${SOUND}\x03`
  const after = (text: string): ReturnType<typeof readExplained> => readExplained(latin1(body + text))

  test('0000 means not computed', () => {
    expect(after('0000').checksums.transmission).toMatchObject({
      stated: '0000',
      status: 'not-computed',
      explanation: null,
    })
    expect(findingsOf(after('0000'))).toEqual([`checksum/transmission-not-computed at ${body.length}`])
  })

  test('without digits the sum is absent', () => {
    for (const text of ['', '\r\n', '\r\nno hexadecimal here'])
      expect(after(text).checksums.transmission).toEqual({
        stated: null,
        computed: FRAME.slice(-4),
        status: 'absent',
        explanation: null,
      })
    expect(findingsOf(after(''))).toEqual([`checksum/transmission-absent at ${body.length}`])
  })

  test('blanks or a line end before the digits are passed over', () => {
    for (const gap of [' ', '\r\n', '\n'])
      expect(after(gap + FRAME.slice(-4)).checksums.transmission.status).toBe('match')
  })

  test('small letters are read and told', () => {
    const fields = SOUND.replace('T*', 'Title*')
    const digits = transmissionSum(framed(fields))
    expect(digits).toMatch(/[A-F]/)
    const file = readExplained(framed(fields, digits.toLowerCase()))
    expect(file.checksums.transmission).toMatchObject({
      stated: digits.toLowerCase(),
      computed: digits,
      status: 'match',
    })
    expect(findingsOf(file)).toEqual([`file/lower-case-hex at ${fields.length + 2}`])
  })

  test('neither sum: a warning, whether the digits are left out or 0000', () => {
    for (const sum of ['', '0000']) {
      const file = readExplained(framed(sound('C00D8*', ''), sum))
      expect(file.findings).toContainEqual(
        expect.objectContaining({ code: 'checksum/both-absent', severity: 'warning' }),
      )
    }
    expect(codesOf(readExplained(framed(sound('C00D8*', ''))))).not.toContain('checksum/both-absent')
  })
})

describe('parity', () => {
  const ones = (byte: number): number => byte.toString(2).replaceAll('0', '').length
  test.each([
    ['always-1', (byte: number): number => byte | 0x80],
    ['even', (byte: number): number => (ones(byte) % 2 ? byte | 0x80 : byte)],
    ['odd', (byte: number): number => (ones(byte) % 2 ? byte : byte | 0x80)],
  ])('%s: left out of everything, and told', (kind, add) => {
    const plain = latin1(FRAME)
    const file = readExplained(plain.map(add))
    const { checksums, fuses, vectors, frame, designSpecification } = readExplained(plain)
    expect(file).toMatchObject({ checksums, fuses, vectors, frame, designSpecification })
    expect(findingsOf(file)).toEqual(['file/parity-bits at 0'])
    expect(file.findings[0]!.message).toContain(kind.replace('-', ' '))
    expect(file.bytes).toEqual(plain.map(add))
  })

  test('some bytes with an eighth bit are no parity', () => {
    expect(codesOf(readExplained(latin1(FRAME.replace('T*', 'T\xe9\xe8*'))))).not.toContain('file/parity-bits')
  })
})

// The low seven bits of these bytes are an asterisk (AA), STX (82) and ETX (83). In a file without parity they are
// halves of accented letters, and must neither end a field nor the frame.
describe('accents', () => {
  test('Ã in UTF-8, its second byte like ETX: a receiver of seven bits would stop there', () => {
    const file = readExplained(framed(sound('T*', 'C\xc3\x83O*')))
    expect(file.fuseCount).toBe(16)
    expect(codesOf(file)).toContain('file/eighth-bit-matters')
  })

  test.each([
    ['é in UTF-8', 'R\xc3\xa9gie', 2],
    ['ê in UTF-8, its second byte like an asterisk', 'T\xc3\xaate', 2],
    ['ª in ISO 8859-1, like an asterisk', '1\xaa', 1],
    ['Â in UTF-8, its second byte like STX', 'B\xc3\x82TON', 2],
  ])('%s', (_, title, count) => {
    const at = title.search(/[^\0-\x7f]/)
    const fields = sound('T*', `${title}*N ${title}*`)
    const file = readExplained(framed(fields))
    expect(findingsOf(file)).toEqual([`file/eighth-bit at ${1 + at}`])
    expect(file.findings[0]!.message).toContain(`${2 * count} bytes`)
    expect(file).toMatchObject({
      designSpecification: title,
      notes: [title],
      fuseCount: 16,
      frame: { end: 1 + fields.length },
    })
    expect(file.checksums).toMatchObject({ transmission: { status: 'match' }, fuse: { status: 'match' } })
  })

  test('a string is taken as UTF-8', () => {
    const text = textFrom(framed(sound('T*', 'T\xc3\xaate \xe2\x82\xac \xf0\x9f\x92\xa1*')))
    const file = readExplained(
      text.replace('\xc3\xaa', 'ê').replace('\xe2\x82\xac', '€').replace('\xf0\x9f\x92\xa1', '💡'),
    )
    expect(file.bytes).toEqual(latin1(text))
    expect(file.checksums.transmission.status).toBe('match')
    expect(textFrom(readExplained('\ud800').bytes)).toBe('\xef\xbf\xbd')
  })
})

// 3-A, "Design specification": the first field, without identifier; an empty one, just the asterisk, is valid.
describe('design specification', () => {
  test.each([
    ['T*', 'T'],
    ['*', ''],
    [' \r\n*', ''],
    ['Title\r\nof two lines *', 'Title\r\nof two lines'],
    ['QF8 demo*', 'QF8 demo'],
    ['F00*', 'F00'],
    ['Lamp 1010*', 'Lamp 1010'],
    ['V1 XX*', 'V1 XX'],
  ])('%j is read as %j', (title, text) => {
    const file = expectCase({ fields: sound('T*', title) })
    expect(file.designSpecification).toBe(text)
    expect(file.fields.hasDesignSpecification).toBe(true)
  })

  test.each(['QP4', 'QF16', 'QV1', 'QF 16', 'G0', 'F0', 'X0', 'L0 1011000111010010', ' QP4 ', '\r\nQP4\r\n'])(
    '%j in its place is a field: the title is missing',
    (field) => {
      const rest = SOUND.slice(2).replace(`${field.trim().replace(' ', '')}*`, '')
      const file = readExplained(framed(`${field}*${rest}`))
      const found = file.findings.find(({ code }) => code === 'file/design-specification-missing')
      expect(found?.position?.offset).toBe(1 + field.search(/\S/))
      expect(file).toMatchObject({
        designSpecification: '',
        statedFuseCount: 16,
        pinCount: 4,
        defaultFuse: 0,
        fields: { hasDesignSpecification: false },
      })
      expect(file.checksums.fuse.status).toBe('match')
    },
  )

  test('a transmission without any asterisk holds nothing', () => {
    const file = readExplained(framed('no asterisk'))
    expect(codesOf(file)).toEqual(['file/not-a-fuse-file'])
  })
})
