/** `capture`: exit codes, the JSON document, one line for wrong usage. */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, writeFuseFile } from '../src/index'
import { callProgram, documentOf, type Files } from './call-program'
import { encode } from './parts/encoder'
import type { DesignOutput } from './parts/design'

/** Pin 19 is 2 ∧ ¬3, pin 18 is 2 ∨ 3 ∨ 4. */
const OUTPUTS: readonly DesignOutput[] = [
  { pin: 19, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, -3]] },
  { pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2], [3], [4]] },
]
const fileOf = (outputs: readonly DesignOutput[]): Uint8Array =>
  writeFuseFile({ fuses: fuseMapFrom(encode({ part: '16V8', mode: 'simple', outputs }).join('')) })
// Address lines 2, 3, 4; data lines 19, 18.
const IMAGE = [0, 3, 2, 2, 2, 3, 2, 2]
const WIRING = { address: [2, 3, 4], data: [19, 18] }

const FILES: Files = {
  'chip.bin': Uint8Array.from(IMAGE),
  'again.bin': Uint8Array.from(IMAGE),
  'noisy.bin': Uint8Array.from(IMAGE.map((byte, i) => (i === 6 ? 0 : byte))),
  // Address lines 3, 4, 2; data lines 19, 18.
  'turned.bin': Uint8Array.from([0, 2, 2, 2, 3, 2, 3, 2]),
  // The last address line makes no difference.
  'idle.bin': Uint8Array.from([0, 3, 2, 2, 0, 3, 2, 2]),
  'empty.bin': new Uint8Array(8).fill(255),
  'short.bin': new Uint8Array(7),
  'map.jed': fileOf(OUTPUTS),
  'other.jed': fileOf(OUTPUTS.map((output) => ({ ...output, terms: [[2]] }))),
  'wiring.json': JSON.stringify(WIRING),
  'bad-row.json': JSON.stringify({ ...WIRING, badRows: [6] }),
  'named.json': JSON.stringify('plain-28'),
  'wrong.json': JSON.stringify({ ...WIRING, address: [2, 3, { pin: 0 }] }),
  'known.json': JSON.stringify({ off: 1 }),
  'cut.json': '{"address": [',
}
const call = (...args: readonly string[]): ReturnType<typeof callProgram> => callProgram(['capture', ...args], FILES)
const against = (file: string): string[] => ['--against', file, '--device', '16V8']
const WIRED = ['--wiring', 'wiring.json']

describe('exit codes', () => {
  test.each<readonly [string, number, readonly string[]]>([
    ['a sound capture', 0, ['chip.bin', ...WIRED]],
    ['two equal captures', 0, ['chip.bin', 'again.bin', ...WIRED, '--down', 'again.bin']],
    ['two that disagree', 1, ['chip.bin', 'noisy.bin', ...WIRED]],
    ['up and down that disagree', 1, ['chip.bin', ...WIRED, '--down', 'noisy.bin']],
    ['a row known to be bad', 0, ['chip.bin', 'noisy.bin', '--wiring', 'bad-row.json']],
    ['an empty socket', 1, ['empty.bin', ...WIRED]],
    ['a wrong size', 1, ['short.bin', ...WIRED]],
    ['equal', 0, ['chip.bin', ...WIRED, ...against('map.jed')]],
    ['different', 1, ['noisy.bin', ...WIRED, ...against('map.jed')]],
    ['another map', 1, ['chip.bin', ...WIRED, ...against('other.jed')]],
    ['another image, equal', 0, ['chip.bin', ...WIRED, '--against', 'again.bin']],
    ['another image, different', 1, ['chip.bin', ...WIRED, '--against', 'noisy.bin']],
    ['undecided', 3, ['chip.bin', 'noisy.bin', ...WIRED, ...against('map.jed')]],
    ['an empty socket against a map', 3, ['empty.bin', ...WIRED, ...against('map.jed')]],
    ['a wrong size against a map', 3, ['short.bin', ...WIRED, ...against('map.jed')]],
    ['nothing to compare with', 3, ['chip.bin', ...WIRED, '--against', 'wiring.json']],
    ['a wiring found', 0, ['turned.bin', '--find-wiring', ...against('map.jed')]],
    [
      'a wiring found, something known',
      0,
      ['turned.bin', '--find-wiring', '--wiring', 'known.json', ...against('map.jed')],
    ],
    ['no wiring', 1, ['noisy.bin', '--find-wiring', ...against('map.jed')]],
    ['a wiring sought in noise', 3, ['chip.bin', 'noisy.bin', '--find-wiring', ...against('map.jed')]],
    ['a caution', 0, ['idle.bin', ...WIRED]],
    ['a caution, taken strictly', 1, ['idle.bin', ...WIRED, '--strict']],
    ['none, taken strictly', 0, ['chip.bin', ...WIRED, '--strict']],
    [
      'equal, with no caution in the file, taken strictly',
      0,
      ['chip.bin', ...WIRED, ...against('map.jed'), '--strict'],
    ],
  ])('%s: %i', (_, code, args) => {
    const ran = call(...args)
    expect([ran.code, ran.err], ran.out).toEqual([code, ''])
    const json = call(...args, '--json')
    expect(json.code).toBe(code)
    expect(documentOf(json)).toMatchObject({
      images: args.slice(
        0,
        args.findIndex((arg) => arg.startsWith('--')),
      ),
    })
  })
})

describe('wrong usage is one line', () => {
  test.each<readonly [string, readonly string[], RegExp]>([
    ['no image', WIRED, /^fuse-assay: capture takes one IMAGE/],
    ['no wiring', ['chip.bin'], /needs --wiring W\.json, or --find-wiring/],
    ['a search in nothing', ['chip.bin', '--find-wiring'], /--find-wiring needs --against FILE/],
    [
      'a search with a whole wiring',
      ['chip.bin', '--find-wiring', ...WIRED, ...against('map.jed')],
      /^fuse-assay: wiring\.json: wiring\.address is not known; known are title, held, width, byteOrder, off, badRows, schema \(with --find-wiring\)/,
    ],
    [
      'a mistake in the wiring',
      ['chip.bin', '--wiring', 'wrong.json'],
      /^fuse-assay: wrong\.json: wiring\.address\[2\]\.pin must be a pin number from 1 to 999, not 0/,
    ],
    ['no JSON', ['chip.bin', '--wiring', 'cut.json'], /^fuse-assay: cut\.json: not a JSON document/],
    [
      'a wiring that is not there',
      ['chip.bin', '--wiring', 'none.json'],
      /^fuse-assay: none\.json: there is no such file/,
    ],
    ['an image that is not there', ['none.bin', ...WIRED], /^fuse-assay: none\.bin: there is no such file/],
    ['a down image that is not there', ['chip.bin', ...WIRED, '--down', 'none.bin'], /^fuse-assay: none\.bin: /],
    ['a part without a file', ['chip.bin', ...WIRED, '--device', '16V8'], /say what the file of --against is/],
    [
      'an unknown part',
      ['chip.bin', ...WIRED, '--against', 'map.jed', '--device', '99X9'],
      /--device 99X9: no such part/,
    ],
    ['standard input twice', ['-', ...WIRED, '--against', '-'], /standard input can be read only once/],
    ['an option of others', ['chip.bin', ...WIRED, '--steps', 'x'], /capture takes no --steps/],
  ])('%s', (_, args, message) => {
    const { code, out, err } = call(...args)
    expect([code, out]).toEqual([2, ''])
    expect(err).toMatch(message)
    expect(err.trimEnd().split('\n')).toHaveLength(1)
  })
})

test('the named wiring, by its name and in a document', () => {
  for (const wiring of ['plain-28', 'named.json']) {
    const { code, out } = callProgram(['capture', 'array.bin', '--wiring', wiring, '--json'], {
      ...FILES,
      'array.bin': Uint8Array.from({ length: 65536 }, (_, i) => (i * 2654435761) >>> 13),
    })
    expect([code, JSON.parse(out).wiring.title]).toEqual([0, 'plain-28'])
  }
})

test('the document of a comparison', () => {
  const document = documentOf(call('noisy.bin', ...WIRED, ...against('map.jed'), '--json'))
  expect(document).toMatchObject({
    images: ['noisy.bin'],
    down: [],
    against: 'map.jed',
    relation: 'different',
    verdict: 'fail',
    device: { part: '16V8' },
    rows: { all: 8, judged: 8, misread: 0, dontCare: 0, disagreeing: 0 },
    search: null,
    orders: [],
  })
  // Address 6 is 3 and 4 high: pin 18 should be high.
  expect(document.outputs[1]).toEqual({
    pin: 18,
    otherLine: null,
    line: 1,
    relation: 'different',
    differingRows: 1,
    openRows: 0,
    offRows: 0,
    ofRows: 8,
    firstRows: [{ address: 6, inputs: { 2: 0, 3: 1, 4: 1 }, captured: '0', expected: '1' }],
    differsWhere: { products: [{ 2: 0, 3: 1, 4: 1 }], complete: true, text: '¬p2 ∧ p3 ∧ p4' },
  })
})

test('the text says what was compared and what was not, and never that a chip is good', () => {
  expect(call('chip.bin', ...WIRED, ...against('map.jed')).out.split('\n')[0]).toBe(
    'chip.bin against map.jed: equal in every row judged: 8 rows.',
  )
  const { out } = call('chip.bin', ...WIRED, ...against('map.jed'), '--all')
  expect(out).toContain('8 of 8 rows of 2 outputs')
  expect(out).toMatch(/not looked at the wiring itself/)
  expect(out).not.toMatch(/\b(good|fine|ok|healthy|genuine)\b/i)
  expect(call('noisy.bin', ...WIRED, ...against('map.jed'), '--all').out).toContain(
    'address 0x0006: captured 0, expected 1 (2=0 3=1 4=1)',
  )
  const found = call('turned.bin', '--find-wiring', ...against('map.jed')).out
  expect(found).toContain('A0 … at pins 3 4 2')
  expect(found).toContain('D0 … at pins 19 18')
})

test('the help names the command', () => {
  expect(callProgram(['capture', '--help'], {}).out).toContain('fuse-assay capture IMAGE…')
})
