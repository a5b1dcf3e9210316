/** `table`: text, comma-separated values, images of a memory; which columns, in which order; what is refused. */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, writeFuseFile } from '../src/index'
import { callProgram, documentOf, type Files, type Ran } from './call-program'
import type { Design, DesignOutput, Term } from './parts/design'
import { encode } from './parts/encoder'
import { codeTerm, namedOutput, type Pins } from './parts/function-tables'

const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i)
const fileOf = (design: Design): Uint8Array => writeFuseFile({ fuses: fuseMapFrom(encode(design).join('')) })
const high = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
  ...more,
})
const complex = (...outputs: readonly DesignOutput[]): Design => ({ part: '16V8', mode: 'complex', outputs })

/**
 * '48, TI SDLS111 (March 1974, revised March 1988), p. 3: segments of codes 0 to 15, a the most significant of seven
 * bits.
 */
const SEGMENTS = [0x7e, 0x30, 0x6d, 0x79, 0x33, 0x5b, 0x1f, 0x70, 0x7f, 0x73, 0x0d, 0x19, 0x23, 0x4b, 0x0f, 0x00]
const PINS: Pins = { A: 2, B: 3, C: 4, D: 5, a: 19, b: 18, c: 17, d: 16, e: 15, f: 14, g: 13 }
const NAMES = ['a', 'b', 'c', 'd', 'e', 'f', 'g']

/** Eight terms an output: the codes that light a segment, or those that do not. */
const DECODER: Design = {
  part: '16V8',
  mode: 'simple',
  outputs: NAMES.map((name, i) => {
    const lit = upTo(16).filter((code) => (SEGMENTS[code]! >> (6 - i)) & 1)
    const low = lit.length > 8
    return namedOutput(PINS, name, {
      low,
      terms: (low ? upTo(16).filter((code) => !lit.includes(code)) : lit).map((code) =>
        codeTerm(['D', 'C', 'B', 'A'], code),
      ),
    })
  }),
}

/** Pin 19 is 2 ∧ 3 while 4 is high; pin 18 is ¬2. */
const GATED = complex(high(19, [[2, 3]], { enable: { term: [4] } }), high(18, [[-2]]))
/** Q at pin 19 takes 2 ∧ ¬q18, q18 takes q19. */
const REGISTERED: Design = {
  part: '16V8',
  mode: 'registered',
  clockPin: 1,
  outputs: [19, 18].map((pin) =>
    high(pin, pin === 19 ? [[2, -18]] : [[19]], { kind: 'registered', enable: { lowPin: 11 } }),
  ),
}
const LOOP = complex(high(18, [[18, 2]]), high(17, [[3]]))
const WIDE = (inputs: number): Design => ({
  part: '22V10',
  mode: null,
  outputs: [high(23, [[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22].slice(0, inputs)])],
})

const wrongSum = new TextDecoder().decode(fileOf(GATED)).replace(/C[0-9A-F]{4}\*/, 'C0001*')
const FILES: Files = {
  'segments.jed': fileOf(DECODER),
  'gated.jed': fileOf(GATED),
  'registered.jed': fileOf(REGISTERED),
  'loop.jed': fileOf(LOOP),
  'idle.jed': fileOf(complex(high(19, [[2]], { enable: 'never' }))),
  'wide16.jed': fileOf(WIDE(16)),
  'wide17.jed': fileOf(WIDE(17)),
  'wrong.jed': wrongSum,
  'protected.jed': writeFuseFile({ fuses: fuseMapFrom(encode(GATED).join('')), security: 1 }),
  'ambiguous.jed': '\x02*QF448*F0*C0000*\x03',
  'uncovered.jed': '\x02*QF448*L0 1010*C0005*\x03',
  'empty.jed': '',
  '-': fileOf(GATED),
}
const call = (...args: readonly string[]): Ran => callProgram(['table', ...args], FILES)
/** The rows of a table in text, which are levels alone. */
const textRows = ({ out }: Ran): string[] =>
  out
    .split('\n')
    .filter((line) => /^[01XZ ]+$/.test(line))
    .map((line) => line.trim().replace(/ +/g, ' '))
const allSegments = ['--inputs', '2-5', '--outputs', '13-19']

describe("images of a memory: '48", () => {
  test('row r is byte r: the first input is A0, the first output D0', () => {
    const ran = call('segments.jed', ...allSegments, '--binary', 'out.bin')
    expect(ran).toMatchObject({ code: 0, err: '' })
    expect([...ran.written.get('out.bin')!]).toEqual(SEGMENTS)
    expect(ran.out.split('\n').slice(0, 3)).toEqual([
      'out.bin: written, 16 bytes.',
      '  address lines from A0: pin 2, pin 3, pin 4, pin 5',
      '  data lines from D0: pin 13, pin 14, pin 15, pin 16, pin 17, pin 18, pin 19',
    ])
  })

  test('a range may run down, and the order counts', () => {
    const bit = (value: number, i: number): number => (value >> i) & 1
    const turned = (value: number, count: number): number =>
      upTo(count).reduce((sum, i) => sum + bit(value, i) * 2 ** (count - 1 - i), 0)
    const down = call('segments.jed', '--inputs', '5-2', '--outputs', '13-19', '--binary', 'out.bin').written.get(
      'out.bin',
    )!
    expect([...down]).toEqual(upTo(16).map((row) => SEGMENTS[turned(row, 4)]))
    const outputs = call(
      'segments.jed',
      '--inputs',
      '2,3-4,5',
      '--outputs',
      '19-13',
      '--binary',
      'out.bin',
    ).written.get('out.bin')!
    expect([...outputs]).toEqual(SEGMENTS.map((segments) => turned(segments, 7)))
  })

  test('without a choice: inputs ascending, outputs in the order of the cells', () => {
    const image = [...call('segments.jed', '--binary', 'out.bin').written.get('out.bin')!]
    expect(image).toEqual(
      SEGMENTS.map((segments) => upTo(7).reduce((sum, i) => sum + ((segments >> (6 - i)) & 1) * 2 ** i, 0)),
    )
  })

  test('an input that does not matter doubles the image', () => {
    expect([
      ...call('segments.jed', '--inputs', '2-5,9', '--outputs', '13-19', '--binary', 'out.bin').written.get(
        'out.bin',
      )!,
    ]).toEqual([...SEGMENTS, ...SEGMENTS])
  })

  test('more than eight outputs take two bytes a row, the lower first', () => {
    const nine: Design = { part: '22V10', mode: null, outputs: upTo(10).map((i) => high(14 + i, [[i % 2 ? 2 : -2]])) }
    const ran = callProgram(['table', 'nine.jed', '--outputs', '14-23', '--binary', 'out.bin'], {
      'nine.jed': fileOf(nine),
    })
    // Pins 14, 16, … are ¬2, pins 15, 17, … are 2: row 0 is 01 0101 0101, row 1 is 10 1010 1010.
    expect([...ran.written.get('out.bin')!]).toEqual([0x55, 0x01, 0xaa, 0x02])
  })

  test('--json says what was written', () => {
    const ran = call('segments.jed', '--inputs', '2-5', '--outputs', '19', '--binary', 'out.bin', '--json')
    expect([ran.code, ran.err, ran.written.has('out.bin')]).toEqual([0, '', true])
    expect(documentOf(ran)).toEqual({
      schema: 1,
      file: 'segments.jed',
      verdict: 'pass',
      out: 'out.bin',
      bytes: 16,
      inputs: [2, 3, 4, 5].map((pin) => ({ kind: 'pin', pin })),
      outputs: [{ kind: 'pin', pin: 19 }],
    })
  })
})

describe('an output that is off', () => {
  // Rows by 2, 3, 4: while 4 is low (rows 0 to 3) pin 19 is off; then only row 7 is high.
  test.each([
    ['0', [0, 0, 0, 0, 0, 0, 0, 1]],
    ['1', [1, 1, 1, 1, 0, 0, 0, 1]],
  ] as const)('counts as %s where --off says so', (off, image) => {
    const ran = call('gated.jed', '--inputs', '2-4', '--outputs', '19', '--binary', 'out.bin', '--off', off)
    expect([ran.code, [...ran.written.get('out.bin')!]]).toEqual([0, image])
  })

  test('has no level without it: refused, with the row and what to do', () => {
    const ran = call('gated.jed', '--inputs', '2-4', '--outputs', '18,19', '--binary', 'out.bin')
    expect([ran.code, ran.err, ran.written.size]).toEqual([1, '', 0])
    expect(ran.out.replace(/\s+/g, ' ').trim()).toBe(
      'gated.jed: no table: an image needs a level everywhere, and row 0 has none for pin 19: it is off; --off 0 or --off 1 says what that counts as.',
    )
    expect(documentOf(call('gated.jed', '--outputs', '19', '--binary', 'out.bin', '--json'))).toMatchObject({
      file: 'gated.jed',
      rows: null,
      verdict: 'pass',
      findings: expect.any(Array),
    })
  })

  test('is Z in text', () => {
    expect(textRows(call('gated.jed', '--inputs', '2-4', '--outputs', '19'))).toEqual([
      '0 0 0 Z',
      '1 0 0 Z',
      '0 1 0 Z',
      '1 1 0 Z',
      '0 0 1 0',
      '1 0 1 0',
      '0 1 1 0',
      '1 1 1 1',
    ])
  })
})

describe('a level that the inputs do not fix', () => {
  test.each([
    ['an input left out', 'gated.jed', ['--inputs', '3', '--outputs', '18'], 'pin 18'],
    // 18 ∧ 2 holds itself while pin 2 is high.
    ['a loop', 'loop.jed', ['--outputs', '17,18'], 'pin 18'],
  ])('%s: no image, --off or not', (_, name, args, output) => {
    for (const off of [[], ['--off', '0']]) {
      const ran = call(name, ...args, '--binary', 'out.bin', ...off)
      expect([ran.code, ran.written.size]).toEqual([1, 0])
      expect(ran.out.replace(/\s+/g, ' ')).toContain(`has none for ${output}: these inputs do not fix it`)
    }
  })

  test('is X in text, and what was left out is named', () => {
    const ran = call('gated.jed', '--inputs', '3', '--outputs', '18')
    expect(ran.code).toBe(0)
    expect(textRows(ran)).toEqual(['0 X', '1 X'])
    expect(ran.out).toContain('not listed, and X where they matter: p2')
  })
})

describe('text', () => {
  test('a line a row, inputs counting up from the first, outputs behind a gap', () => {
    const ran = call('segments.jed', '--inputs', '2-5', '--outputs', '19-13')
    expect(ran).toMatchObject({ code: 0, err: '' })
    const lines = ran.out.split('\n').filter(Boolean)
    expect(lines.slice(0, 3)).toEqual([
      '16 rows',
      '0 1: level while driven; Z: off; X: not fixed by these inputs',
      'p2 p3 p4 p5   p19 p18 p17 p16 p15 p14 p13',
    ])
    const rows = upTo(16).map((row) =>
      [...upTo(4).map((k) => (row >> k) & 1), ...SEGMENTS[row]!.toString(2).padStart(7, '0')].join(' '),
    )
    expect(lines.slice(3).map((line) => line.trim().replace(/ +/g, ' '))).toEqual(rows)
  })

  test('states of registers are q, and their next ones q+', () => {
    const ran = call('registered.jed')
    expect(ran.out.split('\n').slice(0, 4)).toEqual([
      '8 rows',
      'q: state of a register as its enabled pin shows it; q+: the next one, at the',
      '  rise of its clock',
      'p2 q18 q19   q19+ q18+',
    ])
    // q19+ = 2 ∧ ¬q18; q18+ = q19.
    expect(textRows(ran)).toEqual(
      upTo(8).map((row) => {
        const [two, q18, q19] = [row & 1, (row >> 1) & 1, row >> 2]
        return [two, q18, q19, two & (1 - q18), q19].join(' ')
      }),
    )
  })

  test('a part found by --device, and standard input', () => {
    expect(call('-', '--outputs', '18', '--device', 'gal16v8').code).toBe(0)
  })
})

describe('a screenful', () => {
  const lines = ({ out }: Ran): string[] => out.split('\n').slice(0, -1)

  test('is what is shown of 65536 rows, with their number and the way to all of them', () => {
    const ran = call('wide16.jed')
    // 24 lines less one for the prompt.
    expect(lines(ran)).toHaveLength(23)
    expect(lines(ran)[0]).toBe('65536 rows, of which the first 19 are shown')
    expect(lines(ran).at(-1)).toBe('--all prints every row.')
    expect(textRows(ran)).toHaveLength(19) // 23 less the count, the legend, the names and the last line
  })

  test('a table that just fits is whole', () => {
    expect(textRows(call('segments.jed', '--inputs', '2-5'))).toHaveLength(16)
    const five = call('gated.jed', '--inputs', '2-6')
    expect([textRows(five).length, lines(five).length]).toEqual([19, 23])
  })

  test('is as high as the terminal', () => {
    const ran = callProgram(['table', 'wide16.jed'], FILES, { rows: () => 40 })
    expect(lines(ran)).toHaveLength(39)
    expect(textRows(callProgram(['table', 'gated.jed', '--inputs', '2-6'], FILES, { rows: () => 60 }))).toHaveLength(
      32,
    )
  })

  test('--all prints every row', () => {
    const ran = call('gated.jed', '--inputs', '2-6', '--all')
    expect([ran.out.split('\n')[0], textRows(ran).length]).toEqual(['32 rows', 32])
  })
})

describe('--held', () => {
  test('keeps pins at a level, which are no columns then', () => {
    // Pin 19 is 2 ∧ 3 while 4 is high: with 4 and 2 high it is 3, with 4 low it is off.
    const on = call('gated.jed', '--outputs', '19', '--held', '4=1, 2=1')
    expect(on.out.split('\n').slice(0, 2)).toEqual(['held: p2 = 1, p4 = 1', '2 rows'])
    expect(textRows(on)).toEqual(['0 0', '1 1'])
    const off = call('gated.jed', '--outputs', '19', '--held', '4=0', '--csv')
    expect(off.out.split('\r\n')).toEqual(['p2,p3,p19', '0,0,Z', '1,0,Z', '0,1,Z', '1,1,Z', ''])
  })
})

describe('comma-separated values', () => {
  const CSV = ['p2,p18', '0,1', '1,0', ''].join('\r\n')

  test('on standard output', () => {
    expect(call('gated.jed', '--outputs', '18', '--csv')).toMatchObject({ code: 0, err: '', out: CSV })
  })

  test('under a name', () => {
    const ran = call('gated.jed', 'out.csv', '--outputs', '18', '--csv')
    expect(ran).toMatchObject({ code: 0, err: '', out: 'out.csv: written, 2 rows.\n' })
    expect(new TextDecoder().decode(ran.written.get('out.csv')!)).toBe(CSV)
  })

  test('under a name with --json: one document, and the file', () => {
    const ran = call('gated.jed', 'out.csv', '--outputs', '18', '--csv', '--json')
    expect(documentOf(ran)).toEqual({
      schema: 1,
      file: 'gated.jed',
      verdict: 'pass',
      out: 'out.csv',
      rowCount: 2,
      inputs: [{ kind: 'pin', pin: 2 }],
      outputs: [{ kind: 'pin', pin: 18 }],
      unlisted: [],
    })
    expect(new TextDecoder().decode(ran.written.get('out.csv')!)).toBe(CSV)
  })

  test('Z and X as they are, states by their names', () => {
    expect(call('gated.jed', '--inputs', '4', '--outputs', '19', '--csv').out).toBe('p4,p19\r\n0,Z\r\n1,X\r\n')
    expect(
      call('registered.jed', '--inputs', '19,18', '--outputs', '18', '--csv').out.split('\r\n').slice(0, 3),
    ).toEqual(['q19,q18,q18+', '0,0,0', '1,0,1'])
  })
})

describe('--json', () => {
  test('prints one document: a text a row, a character an output', () => {
    const ran = call('gated.jed', '--inputs', '2-4', '--outputs', '19,18', '--json')
    expect([ran.code, ran.err]).toEqual([0, ''])
    expect(documentOf(ran)).toEqual({
      schema: 1,
      file: 'gated.jed',
      verdict: 'pass',
      inputs: [2, 3, 4].map((pin) => ({ kind: 'pin', pin })),
      outputs: [19, 18].map((pin) => ({ kind: 'pin', pin })),
      unlisted: [],
      rows: ['Z1', 'Z0', 'Z1', 'Z0', '01', '00', '01', '10'],
    })
  })

  test('names the inputs that are left out', () => {
    expect(documentOf(call('gated.jed', '--inputs', '2', '--outputs', '19', '--json'))).toMatchObject({
      unlisted: [
        { kind: 'pin', pin: 3 },
        { kind: 'pin', pin: 4 },
      ],
      rows: ['X', 'X'],
    })
  })
})

describe('what cannot be: exit 1', () => {
  test('more than sixteen inputs as text; an image takes more', () => {
    expect(call('wide16.jed', '--json').code).toBe(0)
    const ran = call('wide17.jed')
    expect([ran.code, ran.err]).toEqual([1, ''])
    expect(ran.out).toContain('depend on 17 inputs (pin 1, pin 2,')
    expect(ran.out.replace(/\s+/g, ' ')).toContain(
      'takes at most 16; choose fewer outputs with --outputs, or write an image with --binary.',
    )
    expect(call('wide17.jed', 'out.csv', '--csv').written.size).toBe(0)
    const image = call('wide17.jed', '--binary', 'out.bin').written.get('out.bin')!
    expect([image.length, image.lastIndexOf(1), image.indexOf(1)]).toEqual([2 ** 17, 2 ** 17 - 1, 2 ** 17 - 1])
  })

  test('unlisted inputs count, since they are swept too', () => {
    expect(call('wide17.jed', '--inputs', '1').code).toBe(1)
    expect(call('wide16.jed', '--inputs', '1').code).toBe(0)
  })

  test('a map of which no output ever drives', () => {
    expect(call('idle.jed')).toMatchObject({
      code: 1,
      out: 'idle.jed: no table: no output of this map ever drives its pin.\n',
    })
    expect(documentOf(call('idle.jed', '--json'))).toMatchObject({ refused: true, reason: 'no-output' })
  })

  test.each(['ambiguous.jed', 'uncovered.jed', 'empty.jed'])('%s has no logic', (name) => {
    const device = name === 'uncovered.jed' ? ['--device', '14L4'] : []
    const ran = call(name, '--binary', 'out.bin', ...device)
    expect([ran.code, ran.err, ran.written.size]).toEqual([1, '', 0])
    expect(ran.out.replace(/\s+/g, ' ')).toContain(`${name}: no table: its logic is not known; `)
    const document = documentOf(call(name, '--json', ...device))
    expect(document).toMatchObject({ file: name, refused: true, reason: 'no-logic', rows: null })
    expect(document.findings.length).toBeGreaterThan(0)
  })
})

describe('what checking says of the file', () => {
  test('stands above the table where it is not a pass', () => {
    const failing = call('wrong.jed', '--outputs', '18')
    expect([failing.code, failing.out.split('\n')[0]]).toEqual([
      0,
      'wrong.jed: checked: fail (do not burn it); fuse-assay check tells why',
    ])
    expect(call('protected.jed', '--outputs', '18').out.split('\n')[0]).toBe(
      'protected.jed: checked: caution (look before you burn); fuse-assay check tells why',
    )
    expect(call('gated.jed', '--outputs', '18').out).not.toContain('checked')
    expect(documentOf(call('wrong.jed', '--outputs', '18', '--json')).verdict).toBe('fail')
  })

  test('decides the exit with --strict', () => {
    const image = ['--outputs', '18', '--binary', 'out.bin']
    expect([
      call('wrong.jed', ...image).code,
      call('wrong.jed', ...image, '--strict').code,
      call('gated.jed', ...image, '--strict').code,
    ]).toEqual([0, 1, 0])
    expect(call('protected.jed', '--outputs', '18', '--csv', '--strict').code).toBe(1)
  })
})

test.each([
  [[], 'table takes one FILE'],
  [['gated.jed', 'out.csv'], 'table takes one FILE, and with --csv a name'],
  [['gated.jed', 'a.csv', 'b.csv', '--csv'], 'table takes one FILE'],
  [['missing.jed'], 'missing.jed: there is no such file'],
  [['gated.jed', '--csv', '--binary', 'out.bin'], 'table writes --csv or --binary, not both'],
  [['gated.jed', '--off', '0'], '--off says what an output that is off counts as'],
  [['gated.jed', '--binary', 'out.bin', '--off', 'high'], '--off is 0 or 1, not high'],
  [['gated.jed', '--binary', 'gated.jed'], '--binary gated.jed would overwrite'],
  [['gated.jed', '--binary', './gated.jed'], '--binary ./gated.jed would overwrite'],
  [['gated.jed', '--binary', '-'], '--binary needs the name of a file to write'],
  [['gated.jed', '--binary', ''], '--binary needs the name of a file to write'],
  [['gated.jed', 'gated.jed', '--csv'], '--csv gated.jed would overwrite'],
  [['gated.jed', '--outputs', '18', '--binary', 'locked.bin'], 'locked.bin cannot be written; choose another place'],
  [['gated.jed', '--inputs', '2,x'], '--inputs is a list of pins such as 2,3,5-9, not 2,x'],
  [['gated.jed', '--inputs', ''], '--inputs is a list of pins'],
  [['gated.jed', '--outputs', '19,'], '--outputs is a list of pins'],
  [['gated.jed', '--outputs', '1-2-3'], '--outputs is a list of pins'],
  [['gated.jed', '--inputs', '2,3,2'], '--inputs names a pin twice'],
  [['gated.jed', '--inputs', '10'], '--inputs: 10 is no signal pin of this part'],
  [['gated.jed', '--inputs', '21'], '--inputs: 21 is no signal pin of this part'],
  [['gated.jed', '--outputs', '19,19'], '--outputs names a pin twice'],
  [['gated.jed', '--outputs', '2'], '--outputs: 2 is no output pin of this part'],
  [['gated.jed', '--held', '19'], '--held is a list of pins with their levels such as 19=0,2=1, not 19'],
  [['gated.jed', '--held', '2=2'], '--held is a list of pins with their levels'],
  [['gated.jed', '--held', '2=0,02=1'], '--held names pin 2 twice'],
  [['gated.jed', '--held', '10=1'], '--held: 10 is no signal pin of this part'],
  [['gated.jed', '--held', '2=1', '--inputs', '2'], '--held: pin 2 is an input column too'],
  [['gated.jed', '--device', '99Z9'], '--device 99Z9: no such part'],
  [['gated.jed', '--steps', 'x'], 'table takes no --steps'],
])('%j is wrong usage: exit 2 and one line', (args, message) => {
  const ran = call(...args)
  expect([ran.code, ran.out, ran.written.size]).toEqual([2, '', 0])
  expect(ran.err.startsWith(`fuse-assay: ${message}`), ran.err).toBe(true)
  expect(ran.err.trim().split('\n')).toHaveLength(1)
})
