/** Parts of the caller's own and orders of fuses on the command line. */
import { describe, expect, test } from 'vitest'
import { deviceInOrder, readDevice } from '../../src/index'
import type { Host } from '../../src/cli/host'
import { run } from '../../src/cli/every-command'
import { orDocument, type Document } from './part-documents'

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)
const json = (document: unknown): Uint8Array => bytesOf(JSON.stringify(document))

/**
 * Terms over ¬1, 1, ¬2, 2 of the small array: 1 ∧ ¬2 into pin 4, 2 into pins 4 and 5, a virgin one; both outputs
 * drive always, pin 5 inverted.
 */
const MAP = ['1001', '01', '1110', '00', '0000', '11', '1111', '1111', '01'].join('')
const FILE = bytesOf(`\x02*QP6*QF28*G0*L0 ${MAP}*V1 10NHHN*V2 01NHLN*\x030000`)
const ARRAY = bytesOf(`\x02*QP28*QF1928*F0*L0 1*V1 N00000000LLLLNLLLL000000000N*\x030000`)

function spoiled(...spoils: readonly ((document: Document) => void)[]): Uint8Array {
  const document = orDocument()
  for (const spoil of spoils) spoil(document)
  return json(document)
}

const FILES: Readonly<Record<string, Uint8Array>> = {
  'x.jed': FILE,
  'array.jed': ARRAY,
  'part.json': json(orDocument()),
  'PART.JSON': json(orDocument()),
  'marked.json': new Uint8Array([0xef, 0xbb, 0xbf, ...json(orDocument())]),
  'parts/own': json(orDocument()),
  '82S100': json(orDocument()),
  // Standard input and no name hold a part too, and are not where one is looked for.
  '-': json(orDocument()),
  '': json(orDocument()),
  'wrong.json': spoiled(
    (d) => (d.cells[1].pin = 27),
    (d) => (d.title = 5),
    (d) => (d.colour = 1),
  ),
  'one.json': spoiled((d) => (d.cells[1].pin = 27)),
  'broken.json': bytesOf('{"part": '),
  'bytes.json': new Uint8Array([0x22, 0xff, 0x22]),
}

function call(...args: string[]): { readonly code: number; readonly out: string; readonly err: string } {
  let out = ''
  let err = ''
  const host: Host = {
    read(path) {
      const bytes = FILES[path]
      if (!bytes) throw Object.assign(new Error(path), { code: 'ENOENT' })
      return bytes
    },
    write: () => expect.unreachable('nothing is written here'),
    kind: () => 'none',
    list: () => [],
    same: (a, b) => a === b,
    out: (text) => void (out += text),
    err: (text) => void (err += text),
  }
  return { code: run(args, host), out, err }
}

describe('--device FILE', () => {
  test.each(['part.json', 'PART.JSON', 'marked.json', 'parts/own'])(
    '%s: the file is checked as the part that it describes',
    (name) => {
      const ran = call('check', 'x.jed', '--device', name, '--json')
      expect(ran.err).toBe('')
      expect(ran.code).toBe(0)
      const report = JSON.parse(ran.out)
      expect(report).toMatchObject({
        device: { part: 'SMALL ARRAY', basis: 'choice' },
        candidates: [],
        testVectors: { count: 2, passed: 2 },
      })
      expect(report.findings.map(({ code }: { code: string }) => code)).toContain('device/user-defined')
    },
  )

  test('show gives its equations', () => {
    const { code, out } = call('show', 'x.jed', '--device', 'part.json')
    expect(code).toBe(0)
    expect(out).toContain('p4 = (p1 ∧ ¬p2) ∨ p2')
    expect(out).toContain('p5 = ¬p2')
  })

  test('a name of the catalogue comes before a file of that name', () => {
    expect(JSON.parse(call('check', 'array.jed', '--device', '82S100', '--json').out).device.part).toBe('82S100')
  })

  test.each([
    ['wrong.json', /^fuse-assay: wrong\.json: device\.colour: is not known; known are [^\n]*; and 2 more\n$/],
    ['one.json', /^fuse-assay: one\.json: device\.cells\[1\]\.pin: 27 is not a pin of a 6-pin package\n$/],
    ['broken.json', /^fuse-assay: broken\.json: not a JSON document [^\n]*\n$/],
    ['bytes.json', /^fuse-assay: bytes\.json: not a JSON document \(it is not UTF-8\); correct it\n$/],
    ['missing.json', /^fuse-assay: missing\.json: there is no such file; check the name\n$/],
    ['x.jed', /^fuse-assay: x\.jed: not a JSON document [^\n]*\n$/],
    ['99Z9', /^fuse-assay: --device 99Z9: no such part; fuse-assay devices lists them\n$/],
    ['-', /^fuse-assay: --device -: no such part/],
    ['', /^fuse-assay: --device : no such part/],
  ])('%j: exit 2 and one line', (name, line) => {
    for (const command of ['check', 'show']) {
      const ran = call(command, 'x.jed', '--device', name)
      expect(ran).toEqual({ code: 2, out: '', err: expect.stringMatching(line) })
    }
  })
})

describe('devices', () => {
  test('prints a part of a document', () => {
    const { code, out } = call('devices', 'part.json')
    expect(code).toBe(0)
    for (const fact of [
      'SMALL ARRAY',
      'terms 0 to 15, 4 together every 6',
      'sums 4 to 17, 2 together',
      'directions 18 to 25',
      'odd: true signals',
      'pin 4: 3',
    ])
      expect(out).toContain(fact)
    expect(JSON.parse(call('devices', 'part.json', '--json').out)).toEqual({ schema: 1, ...readDevice(orDocument()) })
    expect(call('devices', 'one.json').code).toBe(2)
  })

  test('a part of one array is printed with its blocks by their steps', () => {
    expect(call('devices', '22V10').out).toContain('S0 5808 to 5826, every second')
  })

  test('lists the orders of a logic array, and prints it in one of them as a document to go on from', () => {
    expect(call('devices', '82S100').out).toContain(' term-by-term\n')
    const { out } = call('devices', '82S100', '--all')
    for (const order of ['term-by-term: ', 'array-by-array-complement-first-inputs-descending: '])
      expect(out).toContain(order)
    expect(call('devices', '16V8').out).not.toContain('fuse orders')
    const printed = call('devices', '82S100', '--fuse-order', 'array-by-array', '--json')
    expect(readDevice(JSON.parse(printed.out))).toEqual(deviceInOrder('82S100', 'array-by-array'))
    expect(call('devices', '82S100', '--fuse-order', 'array-by-array').out).toContain('OR array 1536 to 1919')
  })
})

describe('--fuse-order', () => {
  test.each([[['--fuse-order', 'term-by-term']], [['--fuse-order', 'term-by-term', '--device', 'pls100']]])(
    '%j: the logic is shown, with the warning',
    (options) => {
      const ran = call('check', 'array.jed', '--json', ...options)
      const report = JSON.parse(ran.out)
      expect(report).toMatchObject({
        verdict: 'caution',
        device: { part: '82S100' },
        testVectors: { count: 1, passed: 1 },
      })
      expect(report.findings.map(({ code }: { code: string }) => code)).toContain('device/unconfirmed-order')
      expect(call('show', 'array.jed', ...options)).toMatchObject({
        code: 0,
        err: '',
        out: expect.stringContaining('fuses in the order term-by-term, which is not confirmed'),
      })
      expect(call('check', 'array.jed', '--strict', ...options).code).toBe(1)
    },
  )

  test('without it the logic is not shown, and the advice names it', () => {
    const ran = call('show', 'array.jed')
    expect(ran.code).toBe(1)
    expect(ran.out.replace(/\s+/g, ' ')).toContain('--fuse-order')
  })

  test.each([
    [
      ['check', 'array.jed', '--fuse-order', 'sideways'],
      /--fuse-order sideways: no such order; fuse-assay devices PART lists them/,
    ],
    [['check', 'array.jed', '--fuse-order', 'sideways', '--device', '82S100'], /no such order/],
    [
      ['check', 'array.jed', '--fuse-order', 'term-by-term', '--device', '16V8'],
      /the order of the fuses of this 16V8 is not open/,
    ],
    [
      ['check', 'x.jed', '--fuse-order', 'term-by-term', '--device', 'part.json'],
      /the order of the fuses of this SMALL ARRAY is not open/,
    ],
    [['devices', '--fuse-order', 'term-by-term'], /--fuse-order needs a PART/],
    [['devices', '16V8', '--fuse-order', 'term-by-term'], /not open/],
    [['rewrite', 'x.jed', '--out', 'y', '--fuse-order', 'term-by-term'], /rewrite takes no --fuse-order/],
  ])('%j: exit 2 and one line', (args, line) => {
    const ran = call(...args)
    expect(ran).toEqual({ code: 2, out: '', err: expect.stringMatching(line) })
    expect(ran.err.trim().split('\n')).toHaveLength(1)
  })
})
