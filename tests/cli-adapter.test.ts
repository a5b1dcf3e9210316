/** `adapter`: exit codes, the JSON document, files beside the board, one line for wrong usage. */
import { describe, expect, test } from 'vitest'
import type { Host } from '../src/cli/host'
import { run } from '../src/cli/every-command'
import type { Board } from '../src/board'
import { encode } from './parts/encoder'
import { boardOf, fileOf } from './adapter/plain-boards'
import { ADAPTER, ORIGINAL } from './adapter/two-part-board'

const bytes = (value: unknown): Uint8Array =>
  new TextEncoder().encode(typeof value === 'string' ? value : JSON.stringify(value))

/** The board as a document: its files by name, in a folder of their own. */
const BOARD = boardOf(ADAPTER)
const documentOf = (board: Board): object => ({
  ...board,
  parts: board.parts.map((part) => ({ ...part, file: `${part.name}.jed` })),
})
const REVERSED = boardOf({
  ...ADAPTER,
  diodes: ADAPTER.diodes.map((diode) => (diode[0] === 'D1' ? (['D1', 'A', 'W'] as const) : diode)),
})
const FLOATING = boardOf({ ...ADAPTER, resistors: [ADAPTER.resistors[1]!] })

/** X = A ∧ B ∧ C at bit 0, Y = ¬(X ∨ D) at bit 1; address line k is pin 2 + k. */
const IMAGE = Uint8Array.from(
  { length: 16 },
  (_, row) => ((row & 7) === 7 ? 1 : 0) | ((row & 7) === 7 || row > 7 ? 0 : 2),
)

const FILES: Readonly<Record<string, Uint8Array>> = {
  'there/board.json': bytes(documentOf(BOARD)),
  'there/reversed.json': bytes(documentOf(REVERSED)),
  'there/floating.json': bytes(documentOf(FLOATING)),
  'there/U1.jed': BOARD.parts[0]!.file,
  'there/U2.jed': BOARD.parts[1]!.file,
  'original.jed': fileOf(encode(ORIGINAL), 20),
  'broken.jed': new Uint8Array(3),
  'image.bin': IMAGE,
  'short.bin': IMAGE.slice(1),
  'wiring.json': bytes({ address: [2, 3, 4, 5], data: [19, 12] }),
  'wrong-wiring.json': bytes({ address: [2, 3, 4, 5], data: 7 }),
  'moved.json': bytes(documentOf(BOARD)),
  'wrong.json': bytes({ ...documentOf(BOARD), diodes: [{ name: 'D1', anode: 'W' }] }),
  'number.json': bytes('7'),
  'cut.json': bytes('{"parts": ['),
}

function call(...args: string[]): { readonly code: number; readonly out: string; readonly err: string } {
  let out = ''
  let err = ''
  const host: Host = {
    read(path) {
      const content = FILES[path]
      if (!content) throw Object.assign(new Error(path), { code: 'ENOENT' })
      return content
    },
    write: () => undefined,
    kind: () => 'none',
    list: () => [],
    same: (a, b) => a === b,
    out: (text) => void (out += text),
    err: (text) => void (err += text),
  }
  return { code: run(['adapter', ...args], host), out, err }
}

describe('adapter', () => {
  test.each<[args: readonly string[], code: number, head: string]>([
    [['there/board.json'], 0, 'there/board.json: pass (nothing speaks against it).'],
    [['there/floating.json'], 1, 'there/floating.json: fail (leave power off): pin '],
    [
      ['there/board.json', '--against', 'original.jed'],
      0,
      'there/board.json against original.jed: equivalent: the same in',
    ],
    [
      ['there/board.json', '--against', 'original.jed', '--strict'],
      0,
      'there/board.json against original.jed: equivalent: ',
    ],
    [
      ['there/board.json', '--against', 'original.jed', '--device', '16V8'],
      0,
      'there/board.json against original.jed: equivalent: ',
    ],
    [['there/reversed.json', '--against', 'original.jed'], 1, 'there/reversed.json against original.jed: different: '],
    [['there/floating.json', '--against', 'original.jed'], 3, 'there/floating.json against original.jed: undecided: '],
    [['there/board.json', '--against', 'broken.jed'], 3, 'there/board.json against broken.jed: not comparable: '],
    [
      ['there/board.json', '--against', 'there/reversed.json'],
      1,
      'there/board.json against there/reversed.json: different: ',
    ],
    [
      ['there/board.json', '--against', 'there/board.json'],
      0,
      'there/board.json against there/board.json: equivalent: ',
    ],
    [
      ['there/board.json', '--against', 'image.bin', '--wiring', 'wiring.json'],
      0,
      'there/board.json against image.bin: equivalent: ',
    ],
    [
      ['there/board.json', '--against', 'short.bin', '--wiring', 'wiring.json'],
      3,
      'there/board.json against short.bin: not comparable: ',
    ],
  ])('%j', (args, code, head) => {
    const ran = call(...args)
    expect(ran).toMatchObject({ code, err: '' })
    expect(ran.out.replace(/\s+/g, ' ').slice(0, head.length)).toBe(head)
    expect(ran.out).toContain('diodes the right way round')
    expect(ran.out.split('\n').length).toBeLessThanOrEqual(25)
  })

  test('--json prints one document, the exit is the same', () => {
    const ran = call('there/reversed.json', '--against', 'original.jed', '--json')
    expect(ran.code).toBe(1)
    const document = JSON.parse(ran.out)
    expect(Object.keys(document)).toEqual([
      'schema',
      'file',
      'title',
      'verdict',
      'relation',
      'against',
      'parts',
      'outside',
      'counts',
      'rowCount',
      'rows',
      'outputs',
      'lacking',
      'repairs',
      'faults',
      'budget',
      'findings',
      'scope',
    ])
    expect(document).toMatchObject({
      file: 'there/reversed.json',
      relation: 'different',
      against: { name: 'original.jed', kind: 'file' },
      rowCount: 16,
      counts: { diodes: 4, resistors: 2, nets: 9 },
    })
    expect(document.parts.map((part: { file: string }) => part.file)).toEqual(['U1.jed', 'U2.jed'])
  })

  test('strict: a caution counts where the relation is good', () => {
    // Internal pull-ups are a note, an output that only the board has a warning.
    const board = { ...documentOf(BOARD), outside: [...BOARD.outside, { pin: 13, net: 'W', direction: 'output' }] }
    const files = FILES as Record<string, Uint8Array>
    files['there/more.json'] = bytes(board)
    expect(call('there/more.json', '--against', 'original.jed').code).toBe(0)
    expect(call('there/more.json', '--against', 'original.jed', '--strict').code).toBe(1)
    files['there/fewer.json'] = bytes({ ...board, outside: BOARD.outside.filter(({ pin }) => pin !== 12) })
    expect(call('there/fewer.json', '--against', 'original.jed').code).toBe(3)
  })

  test.each<[args: readonly string[], message: string]>([
    [[], 'adapter takes one BOARD.json'],
    [['there/board.json', 'original.jed'], 'adapter takes one BOARD.json'],
    [['missing.json'], 'missing.json: there is no such file'],
    [['cut.json'], 'cut.json: not a JSON document'],
    [['number.json'], 'number.json: board must be an object'],
    [['moved.json'], 'U1.jed: there is no such file'],
    [['there/board.json', '--against', 'missing.jed'], 'missing.jed: there is no such file'],
    [['there/board.json', '--against', 'number.json'], 'number.json: board must be an object'],
    [['there/board.json', '--wiring', 'wiring.json'], '--wiring, --device and --fuse-order go with --against'],
    [['there/board.json', '--against', 'image.bin', '--wiring', 'wrong-wiring.json'], '--wiring'],
    [['there/board.json', '--against', 'original.jed', '--device', '99Z9'], '--device 99Z9: no such part'],
    [['there/board.json', '--off', '2'], '--off is 0 or 1'],
    [['-', '--against', '-'], 'standard input can be read only once'],
  ])('%j exits 2 with one line', (args, message) => {
    const ran = call(...args)
    expect(ran).toMatchObject({ code: 2, out: '' })
    expect(ran.err.startsWith(`fuse-assay: ${message}`), ran.err).toBe(true)
    expect(ran.err.trim().split('\n')).toHaveLength(1)
  })

  test('--table prints what the board does by itself', () => {
    const { inputs, outputs, rows } = JSON.parse(call('there/board.json', '--table', '--json').out)
    const pins = (columns: { pin: number }[]): number[] => columns.map(({ pin }) => pin)
    expect([pins(inputs), pins(outputs)]).toEqual([
      [2, 3, 4, 5],
      [19, 12],
    ])
    // The bits of the image: X at bit 0, Y at bit 1.
    expect(rows).toEqual([...IMAGE].map((byte) => `${byte & 1}${byte >> 1}`))
    const ran = call('there/board.json', '--table')
    expect(ran.code).toBe(0)
    expect(ran.out.split('\n')).toContain(' 1  1  1  0     1   0')
    expect(ran.out).toMatch(/^(there\/board\.json: .*\n)?16 rows\n/)
    expect(call('there/board.json', '--table', '--against', 'original.jed').err).toBe(
      'fuse-assay: --table and --against do not go together\n',
    )
  })

  test('a mistake in a board is told with its path', () => {
    const ran = call('wrong.json')
    expect(ran.code).toBe(2)
    // The files of the parts are read first.
    expect(ran.err).toContain('U1.jed: there is no such file')
    const files = FILES as Record<string, Uint8Array>
    files['there/wrong.json'] = FILES['wrong.json']!
    expect(call('there/wrong.json').err).toBe('fuse-assay: there/wrong.json: board.diodes[0].cathode is missing\n')
  })
})
