/** Every identifier (3-A, field syntax and identifier table), what it is read as and what is said of it. */
import { describe, expect, test } from 'vitest'
import { fieldAt, partsOf } from '../../src/index'
import { readExplained } from './read-explained'
import { codesOf, expectCase, sound, SOUND, type Case } from './expect-findings'
import { framed, latin1 } from './reference'

/** The sound file with a field put before its first list; the field carries its circumflexes. */
function having(field: string): string {
  return sound('L0', `${field}L0`)
}

const READ: readonly (readonly [name: string, Case])[] = [
  // Value fields: number, leading zeros allowed.
  ['QF with leading zeros', { fields: sound('QF16', 'QF0016'), holds: { fuseCount: 16, statedFuseCount: 16 } }],
  ['QP', { fields: SOUND, holds: { pinCount: 4 } }],
  ['QV', { fields: SOUND, holds: { vectorLimit: 1 } }],
  [
    'QV0 without vectors',
    { fields: sound('QV1', 'QV0').replace('V1 01HL*', ''), holds: { vectorLimit: 0, vectors: [] } },
  ],
  ['a Q field of no known kind', { fields: having('^QX5*'), placed: ['file/field-malformed'] }],
  [
    'a value that is no number',
    { fields: sound('QV1', '^QVone'), placed: ['file/field-malformed'], holds: { vectorLimit: null } },
  ],
  [
    'a value with a sign',
    { fields: sound('QV1', '^QV-1'), placed: ['file/field-malformed'], holds: { vectorLimit: null } },
  ],
  // Fuse fields.
  ['F0', { fields: SOUND, holds: { defaultFuse: 0 } }],
  ['F1', { fields: sound('F0', 'F1'), holds: { defaultFuse: 1 } }],
  ['F2', { fields: sound('F0', '^F2'), placed: ['file/field-malformed'], holds: { defaultFuse: null } }],
  [
    'F without a digit',
    { fields: sound('F0', '^F'), placed: ['file/field-malformed'], holds: { defaultFuse: null } },
  ],
  ['F with a blank', { fields: sound('F0', 'F 1'), holds: { defaultFuse: 1 } }],
  ['a C field that is no hexadecimal number', { fields: having('^C00G8*'), placed: ['file/field-unreadable'] }],
  ['a C field of nine digits', { fields: having('^C0000000D8*'), placed: ['file/field-unreadable'] }],
  // Extensions of the hardware manuals.
  ['K', { fields: having('^K0 FF*'), placed: ['file/extension-field'], unplaced: ['file/list-overlap'] }],
  [
    'E',
    {
      fields: SOUND.replace('V1 01', '^E10 1*V1 01'),
      placed: ['file/extension-field'],
      holds: { electricalData: '101' },
    },
  ],
  [
    'E with another digit',
    {
      fields: SOUND.replace('V1 01', '^E102*V1 01'),
      placed: ['file/field-malformed'],
      holds: { electricalData: null },
    },
  ],
  [
    'E without digits',
    { fields: SOUND.replace('V1 01', '^E*V1 01'), placed: ['file/field-malformed'], holds: { electricalData: null } },
  ],
  [
    'U',
    {
      fields: having('^U1011 0110*'),
      placed: ['file/extension-field'],
      holds: { userData: { form: 'binary', text: '10110110' } },
    },
  ],
  [
    'UH',
    {
      fields: having('^UH0000C95A*'),
      placed: ['file/extension-field'],
      holds: { userData: { form: 'hexadecimal', text: '0000C95A' } },
    },
  ],
  [
    'UA',
    {
      fields: having('^UAREV 7*'),
      placed: ['file/extension-field'],
      holds: { userData: { form: 'text', text: 'REV 7' } },
    },
  ],
  ['U with another digit', { fields: having('^U102*'), placed: ['file/field-malformed'], holds: { userData: null } }],
  [
    'UH with another letter',
    { fields: having('^UH00G0*'), placed: ['file/field-malformed'], holds: { userData: null } },
  ],
  // Security fuse.
  ['G0', { fields: SOUND, holds: { security: 0, securityField: '0' } }],
  ['G1', { fields: sound('G0', '^G1'), placed: ['security/requested'], holds: { security: 1, securityField: '1' } }],
  [
    'G2, a vendor’s',
    { fields: sound('G0', '^G2'), placed: ['security/requested'], holds: { security: null, securityField: '2' } },
  ],
  [
    'G3, a vendor’s',
    { fields: sound('G0', '^G3'), placed: ['security/requested'], holds: { security: null, securityField: '3' } },
  ],
  [
    'no G',
    { fields: sound('G0*', ''), unplaced: ['security/not-stated'], holds: { security: null, securityField: null } },
  ],
  [
    'G with a letter',
    {
      fields: sound('G0', '^Gx'),
      placed: ['file/field-unreadable'],
      holds: { security: null, securityField: null },
    },
  ],
  // Notes: anywhere, any number; often spelled NOTE.
  ['N', { fields: having('N first*Nsecond*N*'), holds: { notes: ['first', 'second', ''] } }],
  ['NOTE', { fields: having('NOTE spelled out*NOTEBOOK*'), holds: { notes: ['spelled out', 'OTEBOOK'] } }],
  ['a note of two lines', { fields: having('N one\r\n two *'), holds: { notes: ['one\r\n two'] } }],
  [
    'a note that looks like a list',
    { fields: having('N L0 0000*N QF8*'), holds: { notes: ['L0 0000', 'QF8'], fuseCount: 16 } },
  ],
  [
    'an asterisk meant as text in a note',
    { fields: having('N 2 * ^3 is 6*'), placed: ['file/unknown-identifier'], holds: { notes: ['2'] } },
  ],
  // Obsolete, kept and not interpreted.
  ['D', { fields: having('^D 82S100*'), placed: ['file/device-field'], holds: { otherFields: ['D 82S100'] } }],
  ['J', { fields: having('J0 0*'), holds: { otherFields: ['J0 0'] } }],
  ['A', { fields: having('A25*APD25*'), holds: { otherFields: ['A25', 'APD25'] } }],
  ['S, R and T', { fields: having('S0101*R5BCD34A7*T01*'), holds: { otherFields: ['S0101', 'R5BCD34A7', 'T01'] } }],
  // Test fields.
  ['X0', { fields: SOUND, holds: { defaultCondition: 0 } }],
  ['X1', { fields: sound('X0', 'X1'), holds: { defaultCondition: 1 } }],
  ['no X', { fields: sound('X0*', ''), holds: { defaultCondition: null } }],
  ['XZ', { fields: sound('X0', '^XZ'), placed: ['file/field-malformed'], holds: { defaultCondition: null } }],
  // Stray asterisks: an empty field without identifier.
  ['one stray asterisk', { fields: having('^*'), placed: ['file/stray-terminator'] }],
  ['several stray asterisks', { fields: having('^*\r\n* *'), placed: ['file/stray-terminator'] }],
]

describe('fields', () => {
  test.each(READ)('%s', (_, given) => {
    const file = expectCase(given)
    expect(file.checksums.transmission.status).toBe('match')
    expect(file.fuses?.length).toBe(16)
  })

  test.each([...'BHIMOWYZ'])('%s is reserved: ignored, kept and told', (letter) => {
    const file = expectCase({
      fields: having(`^${letter}0 1*${letter}*`),
      placed: ['file/reserved-identifier'],
      holds: { otherFields: [`${letter}0 1`, letter] },
    })
    expect(file.findings[0]!.message).toMatch(/^2 /)
    expect(file.findings[0]!.message).toContain(letter)
  })

  // 3-A knows capital letters only; anything else at the start of a field matches no production.
  test.each([...'lqfcgvn7$-"'])('%s begins no field', (character) => {
    const file = expectCase({
      fields: having(`^${character}0 1*`),
      placed: ['file/unknown-identifier'],
      holds: { otherFields: [], notes: [] },
    })
    expect(file.findings[0]!.message).toContain(`“${character}”`)
  })

  test('every letter of the alphabet is either read, kept or reserved', () => {
    for (const letter of 'ABCDEFGHIJKLMNOPQRSTUVWXYZ')
      expect([
        letter,
        codesOf(readExplained(framed(having(`${letter}0*`)))).includes('file/unknown-identifier'),
      ]).toEqual([letter, false])
  })
})

describe('field syntax', () => {
  test('line ends are not required, and several fields may share a line', () => {
    for (const end of ['\r\n', '\n', '\r', ' ', '  \r\n ']) {
      const file = readExplained(framed(SOUND.replaceAll('*', `*${end}`)))
      expect([end, file.findings, file.fuses?.bits]).toEqual([end, [], readExplained(framed(SOUND)).fuses?.bits])
    }
  })

  // 3-A ends a value field with its asterisk; blanks and line ends before it are a deviation met in published files.
  test.each(['QP4', 'QF16', 'QV1', 'G0', 'F0', 'X0', 'C00D8', 'V1 01HL'])(
    'blanks or a line end before the asterisk of %s are told',
    (field) => {
      for (const gap of [' ', '\r\n', '   \r\n '])
        expectCase({
          fields: sound(field, `${field}${gap.slice(0, -1)}^${gap.slice(-1)}`),
          placed: ['file/blank-before-terminator'],
        })
    },
  )

  test('they are told once, with a count', () => {
    const file = expectCase({
      fields: 'T*QP4\r^\n*QF16\r\n*QV1 *G0*F0*X0*L0 1011000111010010 *C00D8*V1 01HL*',
      placed: ['file/blank-before-terminator'],
    })
    expect(file.findings[0]!.message).toMatch(/^3 /)
  })

  test('lists, notes and the title may end in blanks', () => {
    expectCase({ fields: having('N note *').replace('T*', 'T *').replace('0010*', '0010 \r\n*') })
  })

  // 3-A, character set: STX, ETX, CR and LF are the only control characters; a receiver may stumble over others.
  test.each([
    ['\t', 'a tabulator'],
    ['\x1a', 'a control-Z'],
    ['\0', 'a NUL'],
    ['\x1b', 'an escape'],
    ['\x7f', 'a delete'],
  ])('%j is told in a note, between fields and in the title', (character) => {
    const hex = character.charCodeAt(0).toString(16).toUpperCase().padStart(2, '0')
    for (const fields of [
      having(`N a^${character}b*`),
      having(`^${character}N a*`),
      sound('T*', `T^${character}t*`),
    ]) {
      const file = expectCase({ fields, placed: ['file/control-character'] })
      expect(file.findings[0]!.message).toContain(`${hex} hexadecimal`)
      expect(file.checksums.transmission.status).toBe('match')
    }
  })

  test('control characters are told once, with a count', () => {
    const file = expectCase({
      fields: having('N a^\tb\tc*').replace('L0 ', 'L0\t '),
      placed: ['file/control-character'],
    })
    expect(file.findings[0]!.message).toMatch(/^3 /)
  })
})

describe('a last field without its asterisk', () => {
  // A published print shows UH0000C95A directly before ETX.
  test('before ETX it is read', () => {
    const file = expectCase({
      fields: `${SOUND}^^UH0000C95A`,
      placed: ['file/extension-field', 'file/unterminated-field'],
      holds: { userData: { form: 'hexadecimal', text: '0000C95A' } },
    })
    expect(file.checksums.transmission.status).toBe('match')
  })

  test.each(['V2 01HL', 'QP4', 'N a note', 'G0'])('%s is told before ETX', (field) => {
    expect(codesOf(readExplained(framed(SOUND + field)))).toContain('file/unterminated-field')
  })

  test('a list before ETX is read', () => {
    const file = expectCase({
      fields: 'T*QP4*QF8*QV1*G0*F0*X0*V1 01HL*C00FF*^L0 11111111',
      placed: ['file/unterminated-field'],
    })
    expect(file.checksums.fuse.status).toBe('match')
  })

  test('without ETX it may have been cut and is not read', () => {
    const file = readExplained(latin1(`\x02${SOUND.replace('V1 01HL*', 'V1 01HL')}`))
    expect(file.vectors).toEqual([])
    expect(codesOf(file)).toEqual(['file/end-mark-missing', 'file/unterminated-field'])
  })
})

describe('spans', () => {
  test('each field has its span, identifier and text; gaps lie between', () => {
    const file = readExplained(framed('Title*\r\nQP4* QF8*\r\n**L0 1111*NOTE x*'))
    const fields = Array.from({ length: file.fields.count }, (_, i) => fieldAt(file, i))
    expect(fields.map(({ identifier, text, start, end }) => [identifier, text, start, end])).toEqual([
      ['', 'Title', 1, 7],
      ['Q', 'QP4', 9, 13],
      ['Q', 'QF8', 14, 18],
      ['L', 'L0 1111', 22, 30],
      ['N', 'NOTE x', 30, 37],
    ])
    expect(partsOf(file).map(({ field, start, end }) => [field, start, end])).toEqual([
      [null, 0, 1],
      [0, 1, 7],
      [null, 7, 9],
      [1, 9, 13],
      [null, 13, 14],
      [2, 14, 18],
      [null, 18, 22],
      [3, 22, 30],
      [4, 30, 37],
      [null, 37, 42],
    ])
  })

  test('fieldAt names its argument outside the fields', () => {
    const file = readExplained(framed(SOUND))
    for (const index of [-1, file.fields.count, NaN]) expect(() => fieldAt(file, index)).toThrow(/index/)
    expect(() => fieldAt(file, -1)).toThrow(RangeError)
  })
})
