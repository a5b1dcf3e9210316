/** A whole adapter against its original, single faults, findings, documents. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { adapterTable, examineAdapter, type AdapterReport, type Board } from '../../src/board'
import { levelInTable, type TruthTable } from '../../src/logic'
import { renderAdapter } from '../../src/report'
import { encode } from '../parts/encoder'
import { seededRandom, shuffled } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { boardOf, fileOf, passive, type PlainBoard } from './plain-boards'
import { straightFaults } from './straight-faults'
import { ADAPTER, AND_PART, DRIVER_PART, ORIGINAL } from './two-part-board'
import { granted } from '../granted'

const BOARD = boardOf(ADAPTER)
const ORIGINAL_FILE = fileOf(encode(ORIGINAL), 20)
const against = { file: ORIGINAL_FILE, device: '16V8', name: 'original.jed' }
const codesOf = ({ findings }: AdapterReport): string[] => findings.map(({ code }) => code)

/** The two functions by hand, row r having A to D as its bits 0 to 3. */
const bit = (row: number, k: number): boolean => ((row >> k) & 1) === 1
const x = (row: number): boolean => bit(row, 0) && bit(row, 1) && bit(row, 2)
const y = (row: number): boolean => !(x(row) || bit(row, 3))
const tableBy = (functions: readonly ((row: number) => boolean)[]): TruthTable => ({
  inputs: [2, 3, 4, 5].map((pin) => ({ kind: 'pin', pin })),
  outputs: [19, 12].map((pin) => ({ kind: 'pin', pin })),
  unlisted: [],
  rowCount: 16,
  ones: functions.map((f) =>
    Int32Array.of(Array.from({ length: 16 }, (_, row) => (f(row) ? 2 ** row : 0)).reduce((a, b) => a + b)),
  ),
  open: functions.map(() => new Int32Array(1)),
})

describe('two parts and diodes in the place of one part', () => {
  test('the table is that of the functions by hand', () => {
    const table = granted(adapterTable(BOARD))
    for (let row = 0; row < 16; row++)
      expect([0, 1].map((i) => levelInTable(table, i, row)).join(''), `row ${row}`).toBe(
        `${Number(x(row))}${Number(y(row))}`,
      )
  })

  test.each([
    ['the original’s fuse file', against],
    [
      'another board',
      {
        board: boardOf(
          passive({
            parts: [{ name: 'Q1', design: ORIGINAL, pins: { 2: 'a', 3: 'b', 4: 'c', 5: 'd', 19: 'x', 12: 'y' } }],
            inputs: [
              [5, 'd'],
              [4, 'c'],
              [2, 'a'],
              [3, 'b'],
            ],
            outputs: [
              [12, 'y'],
              [19, 'x'],
            ],
          }),
        ),
      },
    ],
    ['a table', { table: tableBy([x, y]) }],
    [
      'an image',
      {
        image: Uint8Array.from({ length: 16 }, (_, row) => Number(x(row)) | (Number(y(row)) << 1)),
        wiring: { address: [2, 3, 4, 5], data: [19, 12] },
      },
    ],
    [
      'an image with its lines in another order',
      {
        image: Uint8Array.from({ length: 16 }, (_, row) => {
          const turned = [3, 2, 1, 0].reduce((sum, k, i) => sum | (Number(bit(row, i)) << k), 0)
          return Number(y(turned)) | (Number(x(turned)) << 1)
        }),
        wiring: { address: [5, 4, 3, 2], data: [12, 19] },
      },
    ],
  ])('equals %s', (_, original) => {
    const report = examineAdapter(BOARD, { against: original })
    expect(report).toMatchObject({ relation: 'equivalent', rowCount: 16, faults: { against: 'original' } })
    expect(
      report.outputs.map(({ pin, relation, differingRows, openRows }) => [pin, relation, differingRows, openRows]),
    ).toEqual([
      [19, 'equivalent', 0, 0],
      [12, 'equivalent', 0, 0],
    ])
    expect(report.findings.filter(({ severity }) => severity === 'error')).toEqual([])
  })

  test('differs from another function in exactly the rows that differ by hand', () => {
    const other = (row: number): boolean => y(row) !== (row === 5 || row === 12)
    const report = examineAdapter(BOARD, { against: { table: tableBy([x, other]) } })
    expect(report.relation).toBe('different')
    // Row 5: A and C high. By hand Y = 1 there, and the table says 0.
    expect(report.outputs[1]).toMatchObject({
      pin: 12,
      differingRows: 2,
      firstRows: [5, 12],
      example: { row: 5, inputs: { 2: 1, 3: 0, 4: 1, 5: 0 }, original: '0', board: '1' },
    })
    expect(report.findings.find(({ code }) => code === 'adapter/output-differs')).toMatchObject({
      severity: 'error',
      pin: 12,
    })
    expect(report.faults!.against).toBe('board')
  })

  test('the verdict on every single fault is that of the straight evaluation', () => {
    const { list } = examineAdapter(BOARD, { against }).faults!
    expect(
      list
        .map(({ kind, of, result }) => ({ fault: `${kind} ${of.join(' and ')}`, result }))
        .sort((a, b) => a.fault.localeCompare(b.fault)),
    ).toEqual(straightFaults(ADAPTER).sort((a, b) => a.fault.localeCompare(b.fault)))
    // 4 diodes by 3, 2 resistors, the nets A B C D W T S X Y, one pair.
    expect(list).toHaveLength(12 + 2 + 9 + 1)
  })

  test('rows that do not matter in a captured table are not judged, neither on the board nor under a fault', () => {
    // Rows with D (pin 5, bit 3) high are wrong in the image throughout.
    const image = Uint8Array.from(
      { length: 16 },
      (_, row) => (Number(x(row)) | (Number(y(row)) << 1)) ^ (bit(row, 3) ? 3 : 0),
    )
    const wiring = { address: [2, 3, 4, 5], data: [19, 12] }
    expect(examineAdapter(BOARD, { against: { image, wiring } }).relation).toBe('different')
    // With the address lines turned round, so that the rows left out are turned too.
    const turned = Uint8Array.from(
      image,
      (_, row) => image[[0, 1, 2, 3].reduce((sum, k) => sum | (Number(bit(row, k)) << (3 - k)), 0)]!,
    )
    for (const against of [
      { image, wiring: { ...wiring, dontCare: [{ 5: 1 as const }] } },
      { image: turned, wiring: { ...wiring, address: [5, 4, 3, 2], dontCare: [{ 5: 1 as const }] } },
    ]) {
      const report = examineAdapter(BOARD, { against })
      expect(report).toMatchObject({ relation: 'equivalent', faults: { against: 'original' } })
      // D4 brings D to S: without it only rows with D high differ.
      expect(report.faults!.list.find(({ kind, of }) => kind === 'diode-open' && of[0] === 'D4')).toMatchObject({
        result: 'unnoticed',
        row: null,
      })
    }
  })

  test('some of these verdicts by hand', () => {
    const { list } = examineAdapter(BOARD, { against }).faults!
    const resultOf = (kind: string, of: string): string =>
      list.find((fault) => fault.kind === kind && fault.of.join(' and ') === of)!.result
    // Without D1, W = B: with A low, B and C high, X is 1 instead of 0.
    expect(list.find(({ kind, of }) => kind === 'diode-open' && of[0] === 'D1')).toMatchObject({
      result: 'noticed',
      row: 6,
      pin: 19,
      inputs: { 2: 0, 3: 1, 4: 1, 5: 0 },
    })
    // Shorted, W is A itself: it differs only with A high and B low, where D2 joins the two.
    expect(resultOf('diode-shorted', 'D1')).toBe('only-in-contention')
    // Without R1, W floats with A and B high; U1 may read either.
    expect(resultOf('resistor-missing', 'R1')).toBe('depends')
    // Without its net X, outside pin 19 is off throughout.
    expect(resultOf('net-open', 'X')).toBe('noticed')
    // U2 in U1’s place: T = W without C.
    expect(resultOf('parts-exchanged', 'U1 and U2')).toBe('noticed')
  })

  test('what is off counts as a level where asked', () => {
    const open: PlainBoard = { ...ADAPTER, outputs: [...ADAPTER.outputs, [15, 'N']] }
    const board = boardOf(open)
    const third = (level: 0 | -1): TruthTable => ({
      ...tableBy([x, y]),
      outputs: [19, 12, 15].map((pin) => ({ kind: 'pin', pin })),
      ones: [...tableBy([x, y]).ones, Int32Array.of(level & 0xffff)],
      open: [...tableBy([x, y]).open, new Int32Array(1)],
    })
    expect(examineAdapter(board, { against: { table: third(-1) } }).relation).toBe('different')
    expect(examineAdapter(board, { against: { table: third(-1) }, off: 1 }).relation).toBe('equivalent')
    expect(examineAdapter(board, { against: { table: third(-1) }, off: 0 }).relation).toBe('different')
    expect(examineAdapter(board, { against: { table: third(0) }, off: 0 }).relation).toBe('equivalent')
  })
})

test('faults of boards of diodes and random gates have the verdicts of the straight evaluation', () => {
  const counts = { noticed: 0, 'only-in-contention': 0, depends: 0, unnoticed: 0 }
  for (let seed = 1; seed <= sampleSize(10, 200); seed++) {
    const random = seededRandom(seed)
    const nets = shuffled(random, ['A', 'B', 'C'])
    const diodes = nets
      .slice(0, 2)
      .map((net, i) => (random(4) ? ([`D${i}`, 'W', net] as const) : ([`D${i}`, net, 'W'] as const)))
    const board = passive({
      parts: [
        { name: 'U1', design: random(2) ? AND_PART : DRIVER_PART, pins: { 2: 'W', 3: nets[2]!, 19: 'P' } },
        { name: 'U2', design: DRIVER_PART, pins: { 2: 'P', 3: 'P', 19: 'Q', 12: 'R' } },
      ],
      inputs: [
        [1, 'A'],
        [2, 'B'],
        [3, 'C'],
      ],
      outputs: [
        [10, 'Q'],
        [11, 'R'],
      ],
      diodes,
      resistors: [
        ['R1', 'W', random(4) ? 'supply' : 'ground'],
        ...(random(3) ? [] : [['R2', 'P', 'supply'] as const]),
      ],
    })
    const table = granted(adapterTable(boardOf(board)))
    if (table.open.some((words) => (words[0]! & 0xff) !== 0)) continue
    const found = examineAdapter(boardOf(board))
      .faults!.list.map(({ kind, of, result }) => `${kind} ${of.join(' and ')}: ${result}`)
      .sort()
    const expected = straightFaults(board)
    for (const { result } of expected) counts[result]++
    expect({ seed, found }).toEqual({
      seed,
      found: expected.map(({ fault, result }) => `${fault}: ${result}`).sort(),
    })
  }
  for (const [result, count] of Object.entries(counts)) expect(count, result).toBeGreaterThan(0)
})

describe('what a board shows by itself', () => {
  const examined = (change: (board: Board) => Board): AdapterReport =>
    examineAdapter(change(BOARD), { faults: false })

  test('the sound board shows nothing but that it states no limits', () => {
    expect(examined((board) => board)).toMatchObject({
      verdict: 'pass',
      relation: null,
      faults: null,
      outputs: [],
      counts: { diodes: 4, resistors: 2, nets: 9 },
    })
    expect(codesOf(examined((board) => board))).toEqual(['adapter/budget-open'])
  })

  test.each<[code: string, change: (board: Board) => Board]>([
    [
      'adapter/part-unusable',
      (board) => ({ ...board, parts: [{ ...board.parts[0]!, file: new Uint8Array(3) }, board.parts[1]!] }),
    ],
    [
      'adapter/part-file',
      (board) => ({
        ...board,
        parts: [
          {
            ...board.parts[0]!,
            file: new TextEncoder().encode(
              new TextDecoder().decode(board.parts[0]!.file).replace(/C[0-9A-F]{4}/, 'C1234'),
            ),
          },
          board.parts[1]!,
        ],
      }),
    ],
    [
      'adapter/supply-pin',
      (board) => ({
        ...board,
        parts: [{ ...board.parts[0]!, pins: { ...board.parts[0]!.pins, 20: 'A' } }, board.parts[1]!],
      }),
    ],
    [
      'adapter/net-without-driver',
      (board) => ({ ...board, parts: [{ ...board.parts[0]!, pins: { 2: 'W', 19: 'T' } }, board.parts[1]!] }),
    ],
    [
      'adapter/net-one-end',
      (board) => ({
        ...board,
        wires: [['LONE', 'LONE2']],
        outside: [...board.outside, { pin: 6, net: 'LONE', direction: 'input' }],
      }),
    ],
    [
      'adapter/diode-loop',
      (board) => ({ ...board, diodes: [...board.diodes!, { name: 'D9', anode: 'A', cathode: 'W' }] }),
    ],
    ['adapter/contention', (board) => ({ ...board, wires: [['A', 'B']] })],
    ['adapter/floating-input', (board) => ({ ...board, resistors: [board.resistors![1]!] })],
    ['adapter/internal-pull-ups', (board) => ({ ...board, internalPullUps: true })],
  ])('%s', (code, change) => {
    expect(codesOf(examined(change))).toContain(code)
  })

  test('a wire joins two nets: W to the net of its pull-up', () => {
    const wired: Board = {
      ...BOARD,
      resistors: [{ name: 'R1', net: 'PULL', to: 'supply' }, BOARD.resistors![1]!],
      wires: [['W', 'PULL']],
    }
    expect(examineAdapter(wired, { against })).toMatchObject({ relation: 'equivalent', counts: { nets: 9 } })
    expect(examineAdapter({ ...wired, wires: [] }, { against }).relation).toBe('undecided')
  })

  test('a held input is no column: with D held low, Y is ¬X', () => {
    const held: Board = { ...BOARD, outside: BOARD.outside.map((pin) => (pin.pin === 5 ? { ...pin, held: 0 } : pin)) }
    const table = granted(adapterTable(held))
    expect(table.rowCount).toBe(8)
    for (let row = 0; row < 8; row++) expect(levelInTable(table, 1, row)).toBe(x(row) ? '0' : '1')
    expect(examineAdapter(held, { against }).relation).toBe('equivalent')
  })

  test('too many inputs are refused with a finding', () => {
    const report = examineAdapter(BOARD, { maxInputs: 3, against })
    expect(report).toMatchObject({ relation: 'not-comparable', rowCount: null, verdict: 'fail' })
    expect(codesOf(report)).toContain('adapter/too-many-inputs')
    expect(adapterTable(BOARD, { maxInputs: 3 })).toEqual({ refused: true, reason: 'too-wide' })
  })

  test('what cannot be compared is said', () => {
    const without = (pin: number): Board => ({ ...BOARD, outside: BOARD.outside.filter((each) => each.pin !== pin) })
    const fewer = examineAdapter({ ...without(19) }, { against })
    expect(fewer).toMatchObject({
      relation: 'undecided',
      lacking: [19],
      outputs: [{ pin: 12, relation: 'equivalent' }],
    })
    expect(renderAdapter(fewer).replace(/\s+/g, ' ')).toContain('1 output not compared: 19')
    expect(fewer.findings.find(({ code }) => code === 'adapter/output-not-compared')).toMatchObject({
      pin: 19,
      severity: 'warning',
    })
    const lacking = examineAdapter(
      { ...without(5), resistors: [...BOARD.resistors!, { name: 'R3', net: 'D', to: 'ground' }] },
      { against },
    )
    expect(lacking.relation).toBe('not-comparable')
    expect(lacking.findings.find(({ code }) => code === 'adapter/inputs-differ')!.message).toContain('pin 5')
    expect(codesOf(examineAdapter(BOARD, { against: { file: new Uint8Array(3) } }))).toContain(
      'adapter/original-unusable',
    )
    const register = (pin: number) =>
      ({ pin, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[2]] }) as const
    const registered = fileOf(
      encode({ part: '16V8', mode: 'registered', clockPin: 1, outputs: [register(19), register(12)] }),
      20,
    )
    expect(
      examineAdapter(BOARD, { against: { file: registered, device: '16V8' } }).findings.some(
        ({ code, message }) => code === 'adapter/original-unusable' && message.includes('registers'),
      ),
    ).toBe(true)
    const clocked = examineAdapter(
      { ...BOARD, parts: [BOARD.parts[0]!, { ...BOARD.parts[1]!, file: registered }] },
      { against },
    )
    expect(clocked.relation).toBe('undecided')
    expect(codesOf(clocked)).toContain('adapter/registers')
  })
})

describe('a wrong document is refused with the path of what is wrong', () => {
  const change = (key: string, value: unknown): unknown => ({ ...BOARD, [key]: value })
  test.each<[board: unknown, message: RegExp]>([
    [null, /^board must be an object/],
    [{ parts: [] }, /^board\.outside is missing/],
    [change('colour', 'red'), /^board\.colour is not known; known are parts, outside, /],
    [
      change('diodes', [
        { name: 'D1', anode: 'W', cathode: 'A' },
        { name: 'D2', anode: 'W' },
      ]),
      /^board\.diodes\[1\]\.cathode is missing/,
    ],
    [change('diodes', [{ name: 'D1', anode: 'W', cathode: 'W' }]), /^board\.diodes\[0\]\.cathode/],
    [change('diodes', [{ name: 'D1', anode: 7, cathode: 'W' }]), /^board\.diodes\[0\]\.anode must be a text/],
    [change('diodes', [{ name: 'R1', anode: 'A', cathode: 'W' }]), /^board: two things are named “R1”/],
    [change('schema', 2), /^board\.schema must be 1, not 2/],
    [
      change('resistors', [{ name: 'R1', net: 'W', to: 'up' }]),
      /^board\.resistors\[0\]\.to must be "supply" or "ground"/,
    ],
    [
      change('resistors', [{ name: 'R1', net: 'W', to: 'supply', ohms: '4k7' }]),
      /^board\.resistors\[0\]\.ohms must be a number/,
    ],
    [change('wires', [['A']]), /^board\.wires\[0\] must have 2 entries, not 1/],
    [
      change('outside', [
        { pin: 1, net: 'A', direction: 'input' },
        { pin: 1, net: 'B', direction: 'input' },
      ]),
      /^board\.outside\[1\]\.pin: 1 stands there twice/,
    ],
    [change('outside', [{ pin: 1, net: 'A', direction: 'output', held: 1 }]), /^board\.outside\[0\]\.held/],
    [change('parts', [{ ...BOARD.parts[0]!, file: 'u1.jed' }]), /^board\.parts\[0\]\.file must be the bytes/],
    [
      change('parts', [{ ...BOARD.parts[0]!, pins: { 21: 'A' } }]),
      /^board\.parts\[0\]\.pins\.21: a 16V8 has pins 1 to 20/,
    ],
    [change('parts', [{ ...BOARD.parts[0]!, device: '99Z9' }]), /^board\.parts\[0\]\.device: no part/],
    [
      change('parts', [{ ...BOARD.parts[0]!, limits: { lowOut: 0.5 } }]),
      /^board\.parts\[0\]\.limits\.source is missing/,
    ],
    [change('machine', { time: -1, source: 'x' }), /^board\.machine\.time must be a number from 0/],
  ])('%#: %s', (board, message) => {
    expect(() => examineAdapter(board as Board)).toThrow(message)
    expect(() => examineAdapter(BOARD, { against: { board: board as Board } })).toThrow(
      new RegExp(message.source.replace('^', '^options\\.against\\.')),
    )
  })

  test.each([
    [{ maxInputs: 25 }, /^options\.maxInputs/],
    [{ off: 2 }, /^options\.off/],
    [{ against: {} }, /^options\.against/],
    [[], /^options/],
    [{ maxFindings: 0 }, /^options\.maxFindings/],
  ])('options %j', (options, message) => {
    expect(() => examineAdapter(BOARD, options as object)).toThrow(message)
  })
})

test('every message is written out', () => {
  const boards = [
    BOARD,
    { ...BOARD, wires: [['A', 'B']] as const },
    { ...BOARD, resistors: [] },
    { ...BOARD, internalPullUps: true },
  ]
  for (const board of boards)
    for (const report of [
      examineAdapter(board, { against }),
      examineAdapter(board, { against: { table: tableBy([y, x]) } }),
    ])
      expect(renderAdapter(report)).not.toMatch(/undefined|NaN|\{\w+\}|\[object/)
})

describe('the demonstration', () => {
  const folder = fileURLToPath(new URL('../../vectors/demo/adapter/', import.meta.url))
  const files = (name: string): Board => {
    const board = JSON.parse(readFileSync(join(folder, name), 'utf8'))
    return {
      ...board,
      parts: board.parts.map((part: { readonly file: string }) => ({
        ...part,
        file: readFileSync(join(folder, part.file)),
      })),
    }
  }
  const original = {
    file: readFileSync(join(folder, 'page-decoder-original.jed')),
    device: '82S100',
    fuseOrder: 'term-by-term',
  }

  test('one 16V8 with eight diodes equals the original in all 65,536 rows, by its fuses and by its table', () => {
    const scratch = mkdtempSync(join(tmpdir(), 'adapter-'))
    try {
      execFileSync('node', [join(folder, 'make.mjs'), join(scratch, 'original.bin')])
      const image = { image: readFileSync(join(scratch, 'original.bin')), wiring: 'plain-28' }
      for (const each of [original, image])
        expect(examineAdapter(files('board.json'), { against: each, faults: false })).toMatchObject({
          relation: 'equivalent',
          rowCount: 65536,
        })
    } finally {
      rmSync(scratch, { recursive: true, force: true })
    }
  })

  test('D3 the wrong way round is found: contention in 32,512 rows', () => {
    const report = examineAdapter(files('board-diode-reversed.json'), { against: original, faults: false })
    expect(report.relation).toBe('different')
    // I10 high (32,768 rows) lifts the net, unless I8 to I15 are all high (256 of them), some other diode pulls it low.
    const found = report.findings.filter(({ code }) => code === 'adapter/contention')
    expect(found).toHaveLength(1)
    // The first such row has I10, bit 10 of the row, high alone.
    for (const words of ['net I10', `${32768 - 256} rows`, 'row 0x0400']) expect(found[0]!.message).toContain(words)
  })

  test('every single fault of the list is tried, over all rows where none shows it earlier', () => {
    const { list } = examineAdapter(files('board.json'), { against: original }).faults!
    // 8 diodes by 3, a resistor, and 26 nets: I0 to I15, F0 to F7, ENABLE, WIDE.
    expect(list).toHaveLength(24 + 1 + 26)
    const resultsOf = (kind: string): string[] => [
      ...new Set(list.filter((fault) => fault.kind === kind).map(({ result }) => result)),
    ]
    // Open, one wide input no longer counts. Shorted, the wide net is that input, and differs only where another
    // diode pulls against it.
    expect(resultsOf('diode-open')).toEqual(['noticed'])
    expect(resultsOf('diode-shorted')).toEqual(['only-in-contention'])
    expect(resultsOf('diode-reversed')).toEqual(['noticed'])
    // Without R1 the wide net floats while all eight are high.
    expect(resultsOf('resistor-missing')).toEqual(['depends'])
  })

  test('the generator beside the files makes exactly them', () => {
    const before = readdirSync(folder)
      .filter((name) => /\.(jed|json)$/.test(name))
      .sort()
    expect(before).toEqual([
      'board-diode-reversed.json',
      'board.json',
      'page-decoder-16v8.jed',
      'page-decoder-original.jed',
    ])
    const scratch = mkdtempSync(join(tmpdir(), 'adapter-'))
    try {
      execFileSync('node', [join(folder, 'make.mjs'), '--folder', scratch])
      for (const name of before)
        expect(readFileSync(join(scratch, name), 'latin1'), name).toBe(readFileSync(join(folder, name), 'latin1'))
    } finally {
      rmSync(scratch, { recursive: true, force: true })
    }
  })
})
