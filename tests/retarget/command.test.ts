/** `retarget` as a command, on a published function table: a decoder in a 16L8 that goes to a 16V8. */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, inspect, retarget, simulate, verify, writeFuseFile } from '../../src/index'
import { callProgram, documentOf, type Ran } from '../call-program'
import type { Design } from '../parts/design'
import { encode } from '../parts/encoder'
import {
  codeTerm,
  expandRows,
  levels,
  namedOutput,
  oneLow,
  rowVector,
  type FunctionTable,
  type Pins,
} from '../parts/function-tables'
import { granted } from '../granted'

/** '138, Fairchild DM74LS138, DS006391 (March 2000), p. 2: three-to-eight decoder; G2 = G2A + G2B. */
const PINS: Pins = {
  A: 1,
  B: 2,
  C: 3,
  G1: 4,
  G2A: 5,
  G2B: 6,
  ...Object.fromEntries(Array.from({ length: 8 }, (_, i) => [`Y${i}`, 12 + i])),
}
const TABLE: FunctionTable = {
  inputs: ['G1', 'G2A', 'G2B', 'C', 'B', 'A'],
  outputs: Array.from({ length: 8 }, (_, i) => `Y${i}`),
  rows: [
    ['XHXXXX', 'HHHHHHHH'],
    ['XLHXXX', 'HHHHHHHH'],
    ['LLLXXX', 'HHHHHHHH'],
    ...Array.from({ length: 8 }, (_, i) => [`HLL${levels(i, 3)}`, oneLow(8, i)] as const),
  ],
}
const DECODER: Design = {
  part: '16L8',
  mode: null,
  outputs: TABLE.outputs.map((name, i) =>
    namedOutput(PINS, name, { low: true, terms: [`G1 G2A' G2B' ${codeTerm(['C', 'B', 'A'], i)}`] }),
  ),
}
const ROWS = expandRows(TABLE)
const VECTORS = ROWS.map((row) => rowVector(PINS, TABLE, row))

const STATES = encode(DECODER).join('')
const PAL = writeFuseFile({
  fuses: fuseMapFrom(STATES),
  pinCount: 20,
  security: 1,
  vectors: VECTORS.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
})
const FOUR: Design = {
  part: '16R4',
  mode: null,
  clockPin: 1,
  outputs: [{ pin: 17, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: [[2]] }],
}
const REGISTERED = writeFuseFile({ fuses: fuseMapFrom(encode(FOUR).join('')) })
const spoiled = new TextDecoder().decode(PAL).replace(/C[0-9A-F]{4}\*/, 'C0001*')

const FILES = {
  'pal.jed': PAL,
  'registered.jed': REGISTERED,
  'spoiled.jed': spoiled,
  'empty.jed': '',
  '-': PAL,
  'other.jed': REGISTERED,
}
const call = (...args: readonly string[]): Ran => callProgram(['retarget', ...args], FILES)
const move = (...args: readonly string[]): Ran =>
  call('pal.jed', '--device', '16L8', '--to', '16V8', '--out', 'gal.jed', ...args)

describe("'138 from a 16L8 to a 16V8", () => {
  const { bytes, proof } = granted(retarget(PAL, { device: '16L8', to: '16V8', name: 'pal.jed' }))

  test('every row of the table holds, and none with its outputs turned round', () => {
    expect(VECTORS).toHaveLength(64)
    const { results } = granted(simulate(bytes!, { device: '16V8', vectors: VECTORS }))
    expect(results.filter(({ result }) => result === 'passed')).toHaveLength(64)
    const turned = ROWS.map(([inputs, outputs]) =>
      rowVector(PINS, TABLE, [inputs, outputs.replace(/[HL]/g, (level) => (level === 'H' ? 'L' : 'H'))]),
    )
    expect(
      granted(simulate(bytes!, { device: '16V8', vectors: turned })).results.filter(({ result }) => result === 'passed'),
    ).toEqual([])
  })

  test('every fuse is where the published table has it', () => {
    // 2048 array fuses as they were; XOR and signature 0; AC1 all 1; PTD all 1; SYN 1, AC0 1 (twenty published pairs,
    // 16L8).
    const { file } = inspect(bytes!)
    expect(Array.from({ length: 2194 }, (_, i) => (file.fuses!.bits[i >> 3]! >> (i & 7)) & 1).join('')).toBe(
      STATES + '0'.repeat(72) + '1'.repeat(74),
    )
    expect(
      proof!.outputs.map(({ pin, ofInputs, differingInputs }) => [Number(pin), ofInputs, differingInputs]),
    ).toEqual([12, 13, 14, 15, 16, 17, 18, 19].map((pin) => [pin, '64', '0']))
  })

  test('the new file says where it comes from, keeps the vectors and asks for no protection', () => {
    const { file } = inspect(bytes!)
    expect(file.designSpecification).toBe('pal.jed moved from 16L8 to 16V8')
    expect(file.vectors.map(({ conditions }) => conditions)).toEqual(VECTORS)
    expect([file.security, file.pinCount]).toEqual([0, 20])
    expect(verify(bytes!)).toMatchObject({
      verdict: 'pass',
      pinCount: 20,
      device: { part: '16V8', mode: 'complex', basis: 'size' },
      testVectors: { count: 64, passed: 64 },
    })
  })

  test('a name that a fuse file cannot hold is written without what would end the field', () => {
    const { file } = inspect(granted(retarget(PAL, { device: '16L8', to: '16V8', name: 'a*b\u0002ü\n.jed' })).bytes!)
    expect(file.designSpecification).toBe('a?b???.jed moved from 16L8 to 16V8')
  })
})

describe('the command', () => {
  test('writes the file and says what was proved and what not', () => {
    const ran = move()
    expect(ran).toMatchObject({ code: 0, err: '' })
    expect([...ran.written.keys()]).toEqual(['gal.jed'])
    expect(verify(ran.written.get('gal.jed')!).verdict).toBe('pass')
    const lines = ran.out.split('\n')
    expect(lines[0]).toBe('gal.jed: written, a map for a 16V8, complex mode: proved to do what pal.jed')
    expect(ran.out).toContain('8 outputs, over all inputs')
    expect(ran.out).toContain('not: timing')
    // The old file asks for protection, which is a warning about it.
    expect(ran.out).toContain('[security/requested]')
  })

  test('--json prints one document with the proof, and the file is written all the same', () => {
    const ran = move('--json')
    expect([ran.code, ran.err, ran.written.has('gal.jed')]).toEqual([0, '', true])
    const document = documentOf(ran)
    expect(Object.keys(document)).toEqual([
      'schema',
      'file',
      'out',
      'part',
      'mode',
      'proof',
      'notCarried',
      'verdict',
    ])
    expect(document).toMatchObject({
      file: 'pal.jed',
      out: 'gal.jed',
      part: '16V8',
      mode: 'complex',
      verdict: 'caution',
    })
    expect(document.proof).toMatchObject({
      relation: 'equivalent',
      devices: { intended: { part: '16L8' }, readback: { part: '16V8' } },
    })
  })

  test('a refusal exits 1, writes nothing and says why', () => {
    const ran = call('pal.jed', '--device', '16L8', '--to', '20V8', '--out', 'gal.jed')
    expect(ran).toMatchObject({ code: 1, err: '' })
    expect(ran.out.split('\n')[0]).toBe('pal.jed: not moved to a 20V8: a 16L8 has 20 pins, a 20V8 has 24.')
    expect(ran.written.size).toBe(0)
    const document = documentOf(call('pal.jed', '--device', '16L8', '--to', '20V8', '--out', 'gal.jed', '--json'))
    expect(document).toMatchObject({
      out: null,
      refused: true,
      reason: 'does-not-fit',
      part: '20V8',
      proof: null,
      misfits: [{ pin: null, reason: 'packages' }],
    })
  })

  test.each(['spoiled.jed', 'empty.jed'])('%s, which fails, exits 1', (name) => {
    const ran = call(name, '--device', '16L8', '--to', '16V8', '--out', 'gal.jed')
    expect([ran.code, ran.err, ran.written.size]).toEqual([1, '', 0])
    expect(ran.out).toContain('the file itself does not pass')
  })

  test('a part that is open exits 1 and names the candidates', () => {
    const ran = call('pal.jed', '--to', '16V8', '--out', 'gal.jed')
    expect([ran.code, ran.written.size]).toEqual([1, 0])
    expect(ran.out.replace(/\s+/g, ' ')).toContain('16L8, 16R4, 16R6, 16R8')
  })

  test('--power-up: refused for low, a warning less for high', () => {
    const from = ['registered.jed', '--device', '16R4', '--to', '16V8', '--out', 'gal.jed']
    const open = call(...from)
    expect(open.code).toBe(0)
    expect(open.out).toContain('[compare/power-up-open]')
    const high = call(...from, '--power-up', 'high')
    expect([high.code, high.out.includes('[compare/power-up-open]')]).toEqual([0, false])
    const low = call(...from, '--power-up', 'low')
    expect([low.code, low.written.size]).toEqual([1, 0])
    expect(low.out.replace(/\s+/g, ' ')).toContain('start at other levels after power-up')
    const document = documentOf(call(...from, '--power-up', 'low', '--json'))
    expect([document.misfits[0].reason, document.proof.relation]).toEqual(['reset', 'different'])
  })

  test('--strict makes a caution exit 1; the file is there', () => {
    const from = ['registered.jed', '--device', '16R4', '--to', '16V8', '--out', 'gal.jed', '--strict']
    const open = call(...from)
    expect([open.code, open.written.has('gal.jed')]).toEqual([1, true])
    expect(call(...from, '--power-up', 'high').code).toBe(0)
  })

  test('a file may come from standard input', () => {
    expect(call('-', '--device', '16L8', '--to', '16V8', '--out', 'gal.jed').code).toBe(0)
  })

  test.each([
    [[], 'retarget takes one FILE'],
    [['pal.jed', 'other.jed', '--to', '16V8', '--out', 'x.jed'], 'retarget takes one FILE'],
    [['pal.jed', '--to', '16V8'], 'retarget needs --out NEW'],
    [['pal.jed', '--to', '16V8', '--out', '-'], '--out needs the name of a file'],
    [['pal.jed', '--to', '16V8', '--out', ''], '--out needs the name of a file'],
    [['pal.jed', '--to', '16V8', '--out', 'pal.jed'], '--out pal.jed would overwrite'],
    [['pal.jed', '--to', '16V8', '--out', './pal.jed'], '--out ./pal.jed would overwrite'],
    [['pal.jed', '--out', 'x.jed'], 'retarget needs --to PART'],
    [['pal.jed', '--to', '99Z9', '--out', 'x.jed'], '--to 99Z9: no such part'],
    [['pal.jed', '--device', '99Z9', '--to', '16V8', '--out', 'x.jed'], '--device 99Z9: no such part'],
    [
      ['pal.jed', '--device', '16L8', '--to', '16V8', '--out', 'x.jed', '--power-up', 'up'],
      '--power-up is high or low or unknown',
    ],
    [['missing.jed', '--device', '16L8', '--to', '16V8', '--out', 'x.jed'], 'missing.jed: there is no such file'],
    [['pal.jed', '--device', '16L8', '--to', '16V8', '--out', 'locked.jed'], 'locked.jed cannot be written'],
    [['pal.jed', '--to', '16V8', '--out', 'x.jed', '--pins', 'x'], 'retarget takes no --pins'],
  ])('%j is wrong usage: exit 2 and one line', (args, message) => {
    const ran = call(...args)
    expect([ran.code, ran.out, ran.written.size]).toEqual([2, '', 0])
    expect(ran.err.startsWith(`fuse-assay: ${message}`), ran.err).toBe(true)
    expect(ran.err.trim().split('\n')).toHaveLength(1)
  })
})
