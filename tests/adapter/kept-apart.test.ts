/** What a board shows in few rows or at the ends of its limits, worked out by hand. */
import { describe, expect, test } from 'vitest'
import { adapterTable, examineAdapter, type AdapterReport, type Board } from '../../src/board'
import { levelInTable, type TruthTable } from '../../src/logic'
import { gates, type Design, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { boardOf, BUFFERED, BUFFERS, fileOf, passive, type PlainBoard } from './plain-boards'
import { straightFaults } from './straight-faults'
import { AND_PART, DRIVER_PART } from './two-part-board'
import { granted } from '../granted'

const codesOf = ({ findings }: AdapterReport): string[] => findings.map(({ code }) => code.replace('adapter/', ''))
const messageOf = ({ findings }: AdapterReport, code: string): string =>
  findings.find((finding) => finding.code === `adapter/${code}`)!.message
const rowsOf = (board: Board): string[] => {
  const table = granted(adapterTable(board))
  return Array.from({ length: table.rowCount }, (_, row) =>
    table.outputs.map((_, i) => levelInTable(table, i, row)).join(''),
  )
}
const buffers = { file: fileOf(encode(BUFFERS), 20), device: '16V8' }

describe('unknown readings of one row', () => {
  /** Pin 19 is pin 1 ∧ (pin 2 ∨ ¬pin 2), and pins 3 and on stand in one more term with pin 1. */
  const many = (count: number, pins: Readonly<Record<number, string>> = {}): PlainBoard['parts'][number] => ({
    name: 'U1',
    design: gates({ 19: [[1, 2], [1, -2], [1, ...Array.from({ length: count - 1 }, (_, i) => i + 3)]] }),
    pins: { 1: 'A', 19: 'F', ...pins },
  })
  const plain = (...parts: PlainBoard['parts']): Board =>
    boardOf(passive({ parts, inputs: [[1, 'A']], outputs: [[19, 'F']] }))

  test('are tried up to six; of more those alone that float, up to six', () => {
    expect(rowsOf(plain(many(6)))).toEqual(['0', '1'])
    expect(rowsOf(plain(many(7)))).toEqual(['0', 'X'])
    // Pin 8 hangs on a floating pin of another part: eight are unknown, of which seven float.
    const other = { name: 'U2', design: gates({ 19: [[2]] }), pins: { 19: 'L' } }
    expect(rowsOf(plain(many(7, { 8: 'L' }), other))).toEqual(['0', 'X'])
    // With that part's pin on its own output, eight are unknown, of which six float.
    const loop = { name: 'U2', design: gates({ 19: [[2]] }), pins: { 2: 'L', 19: 'L' } }
    expect(rowsOf(plain(many(7, { 8: 'L' }), loop))).toEqual(['0', '1'])
  })

  test.each([0, 1, 30, 31])('are tried where row %i of 32 alone has them', (row) => {
    const inputs = ['A', 'B', 'C', 'D', 'E'].map((net, i) => [i + 1, net] as const)
    /** All inputs as they are in the row. */
    const here = inputs.map(([pin], i) => ((row >> i) & 1 ? pin : -pin))
    const open = [6, 7, 8, 9, 11, 13, 14]
    const among = (count: number, pins: Readonly<Record<number, string>> = {}): PlainBoard['parts'][number] => ({
      name: 'U1',
      design: gates({ 19: [[...here, 6], [...here, -6], [...here, ...open.slice(0, count)]] }),
      pins: { ...Object.fromEntries(inputs), 19: 'F', ...pins },
    })
    const found = (...parts: PlainBoard['parts']): string =>
      rowsOf(boardOf(passive({ parts, inputs, outputs: [[19, 'F']] }))).join('')
    const expected = (level: string): string => '0'.repeat(row) + level + '0'.repeat(31 - row)
    expect(found(among(1))).toBe(expected('1'))
    expect(found(among(6))).toBe(expected('1'))
    expect(found(among(7))).toBe(expected('X'))
    const loop = { name: 'U2', design: gates({ 19: [[2]] }), pins: { 2: 'L', 19: 'L' } }
    expect(found(among(7, { 8: 'L' }), loop)).toBe(expected('1'))
  })

  test('are counted row by row: four that do not float, in two rows', () => {
    const loops = { name: 'U2', design: gates({ 19: [[2]], 18: [[3]] }), pins: { 2: 'L', 19: 'L', 3: 'M', 18: 'M' } }
    const reading = {
      name: 'U1',
      design: gates({ 19: [[1, 6], [1, -6], [1, 6, 7]] }),
      pins: { 1: 'A', 6: 'L', 7: 'M', 19: 'F' },
    }
    const inputs = [[1, 'A'], [2, 'B']] as const
    const board = boardOf(passive({ parts: [reading, loops], inputs, outputs: [[19, 'F']] }))
    expect(rowsOf(board)).toEqual(['0', '1', '0', '1'])
  })
})

describe('faults', () => {
  test('of an output that is off at times, and of three parts, have the verdicts of the straight evaluation', () => {
    const switched = (term: Term): Design => ({
      ...AND_PART,
      outputs: [{ pin: 19, kind: 'combinational', activeHigh: true, enable: { term: [3] }, terms: [term] }],
    })
    const [gated, both] = [switched([2]), switched([2, 4])]
    const inputs: PlainBoard['inputs'] = [
      [2, 'A'],
      [3, 'B'],
    ]
    const boards: readonly PlainBoard[] = [
      passive({
        // W is A; a short over the diode changes nothing, also where A is read beside W.
        parts: [{ name: 'U1', design: both, pins: { 2: 'W', 3: 'B', 4: 'A', 19: 'F' } }],
        inputs,
        outputs: [[19, 'F']],
        diodes: [['D1', 'W', 'A']],
        resistors: [['R1', 'W', 'supply']],
      }),
      passive({
        parts: [
          { name: 'U1', design: AND_PART, pins: { 2: 'A', 3: 'B', 19: 'F' } },
          { name: 'U2', design: DRIVER_PART, pins: { 2: 'F', 3: 'B', 19: 'G', 12: 'H' } },
          { name: 'U3', design: gated, pins: { 2: 'H', 3: 'A', 19: 'I' } },
        ],
        inputs,
        outputs: [
          [19, 'G'],
          [12, 'I'],
        ],
      }),
    ]
    // The first is off in the rows with B low, the second with A low.
    expect(boards.map((board) => rowsOf(boardOf(board)).join(' '))).toEqual(['Z Z 0 1', '0Z 01 0Z 10'])
    for (const board of boards)
      expect(
        examineAdapter(boardOf(board))
          .faults!.list.map(({ kind, of, result }) => `${kind} ${of.join(' and ')}: ${result}`)
          .sort(),
      ).toEqual(straightFaults(board).map(({ fault, result }) => `${fault}: ${result}`).sort())
  })

  test('that would not be noticed are named up to eight', () => {
    /** A pull-up at a driven net decides nothing. */
    const pulled = (count: number): AdapterReport =>
      examineAdapter(
        boardOf({
          ...BUFFERED,
          resistors: Array.from({ length: count }, (_, i) => [`R${i}`, 'FA', 'supply'] as const),
        }),
      )
    // Beside the resistors the two nets at the inputs of the part: open, they leave its output unknown.
    expect(messageOf(pulled(6), 'faults-unnoticed')).toMatch(/^8 of .* R5 .*, [AB] .*, [AB] \([^)]*\)\.$/)
    expect(messageOf(pulled(7), 'faults-unnoticed')).toMatch(/^9 of .* R6 .*, [AB] \([^)]*\), …\.$/)
  })
})

describe('one change that makes a board the same', () => {
  const exchanged: PlainBoard = {
    ...BUFFERED,
    outputs: [
      [19, 'FB'],
      [12, 'FA'],
    ],
  }
  const repairsOf = (board: PlainBoard): AdapterReport['repairs'] =>
    examineAdapter(boardOf(board), { against: buffers, faults: false }).repairs

  test('is none while drivers fight', () => {
    expect(repairsOf(exchanged)).toEqual([
      { kind: 'pins-exchanged', of: ['2', '3'] },
      { kind: 'pins-exchanged', of: ['19', '12'] },
    ])
    // A diode between the inputs: levels are the same, and in the row with A high and B low drivers fight.
    expect(repairsOf({ ...exchanged, diodes: [['D1', 'A', 'B']] })).toEqual([])
  })

  test('is named up to eight times', () => {
    // F is to be A and is not joined with it. Nine nets follow A through diodes; F joined with any of them would do.
    const nets = Array.from({ length: 9 }, (_, i) => `N${i}`)
    const wide = passive({
      inputs: [[2, 'A']],
      outputs: [[19, 'F']],
      diodes: nets.map((net, i) => [`D${i}`, 'A', net] as const),
      resistors: [['R1', 'F', 'ground']],
    })
    const table: TruthTable = {
      inputs: [{ kind: 'pin', pin: 2 }],
      outputs: [{ kind: 'pin', pin: 19 }],
      unlisted: [],
      rowCount: 2,
      ones: [Int32Array.of(2)],
      open: [Int32Array.of(0)],
    }
    const { relation, repairs } = examineAdapter(boardOf(wide), { against: { table }, faults: false })
    expect(relation).toBe('different')
    expect(repairs).toHaveLength(8)
  })
})

describe('the first row alone', () => {
  test('has drivers that fight: it counts as unknown, and is told', () => {
    // Pin 1 is low in row 0, and pin 2 holds its net high. Pin 5 is 0 whatever these do.
    const board: Board = {
      parts: [],
      outside: [
        { pin: 1, net: 'A', direction: 'input' },
        { pin: 2, net: 'A', direction: 'input', held: 1 },
        { pin: 3, net: 'L', direction: 'input', held: 0 },
        { pin: 5, net: 'L', direction: 'output' },
      ],
    }
    const column = (pin: number): TruthTable['inputs'][number] => ({ kind: 'pin', pin })
    const zero: TruthTable = {
      inputs: [column(1)],
      outputs: [column(5)],
      unlisted: [],
      rowCount: 2,
      ones: [Int32Array.of(0)],
      open: [Int32Array.of(0)],
    }
    const report = examineAdapter(board, { against: { table: zero }, faults: false })
    expect(report).toMatchObject({ relation: 'undecided', rows: { fights: 1 }, outputs: [{ openRows: 1 }] })
    expect(codesOf(report)).toContain('contention')
  })

  test('has a pin that floats, of which no output hangs', () => {
    // Pin 2 follows pin 3 through a diode, and floats while that is low; then pin 19, the AND of both, is 0 anyway.
    const board = boardOf(
      passive({
        parts: [{ name: 'U1', design: AND_PART, pins: { 2: 'N', 3: 'A', 19: 'F' } }],
        inputs: [[1, 'A']],
        outputs: [[19, 'F']],
        diodes: [['D1', 'A', 'N']],
      }),
    )
    const report = examineAdapter(board, { faults: false })
    expect(rowsOf(board)).toEqual(['0', '1'])
    expect(codesOf(report)).toContain('input-floats')
    expect(codesOf(report)).not.toContain('floating-input')
  })
})

test('a pin that floats on the first net of the document is told', () => {
  const given = boardOf(passive({ parts: [{ name: 'U1', design: AND_PART, pins: { 2: 'N', 3: 'A', 19: 'F' } }] }))
  const board: Board = {
    ...given,
    outside: [
      { pin: 4, net: 'N', direction: 'output' },
      { pin: 1, net: 'A', direction: 'input' },
      { pin: 5, net: 'F', direction: 'output' },
    ],
    diodes: [{ name: 'D1', anode: 'A', cathode: 'N' }],
  }
  expect(codesOf(examineAdapter(board, { faults: false }))).toContain('input-floats')
})

test('a table of four words with its inputs in another order is brought into that of the board', () => {
  const pins = [1, 2, 3, 4, 5, 6, 7]
  const board = boardOf(
    passive({
      inputs: pins.map((pin) => [pin, `I${pin}`] as const),
      outputs: pins.map((pin) => [10 + pin, `I${pin}`] as const),
    }),
  )
  const inputs = [3, 7, 1, 6, 2, 5, 4]
  /** Each output is its input: bit k of a row, where the input stands at place k. */
  const ones = pins.map((pin) => {
    const words = new Int32Array(4)
    for (let row = 0; row < 128; row++)
      if ((row >> inputs.indexOf(pin)) & 1) words[Math.floor(row / 32)]! |= 2 ** (row % 32)
    return words
  })
  const column = (pin: number): TruthTable['inputs'][number] => ({ kind: 'pin', pin })
  const table: TruthTable = {
    inputs: inputs.map(column),
    outputs: pins.map((pin) => column(10 + pin)),
    unlisted: [],
    rowCount: 128,
    ones,
    open: pins.map(() => new Int32Array(4)),
  }
  expect(examineAdapter(board, { against: { table }, faults: false }).relation).toBe('equivalent')
})

describe('what drives a net from outside', () => {
  test('supply, ground and held pins do so in every row', () => {
    const outside: Board['outside'] = [
      ...BUFFERED.inputs.map(([pin, net]) => ({ pin, net, direction: 'input' as const })),
      { pin: 10, net: 'G', direction: 'ground' },
      { pin: 20, net: 'V', direction: 'supply' },
      { pin: 4, net: 'H', direction: 'input', held: 1 },
      { pin: 5, net: 'L', direction: 'input', held: 0 },
      ...['G', 'V', 'H', 'L'].map((net, i) => ({ pin: 11 + i, net, direction: 'output' as const })),
    ]
    expect(rowsOf({ parts: [], outside })).toEqual(['0110', '0110', '0110', '0110'])
  })

  test('at a pin that is an output too fights for certain while the board is off', () => {
    for (const [anode, cathode] of [
      ['IO', 'A'],
      ['A', 'IO'],
    ] as const) {
      const report = examineAdapter({
        parts: [],
        outside: [
          { pin: 1, net: 'A', direction: 'input' },
          { pin: 2, net: 'IO', direction: 'both' },
        ],
        diodes: [{ name: 'D1', anode, cathode }],
      })
      expect(report.rows).toMatchObject({ all: 4, fights: 1 })
      expect(codesOf(report)).toContain('contention')
      expect(codesOf(report)).not.toContain('contention-possible')
    }
  })
})

describe('an original', () => {
  test('whose file has a warning of its own is compared, and the warning is told', () => {
    const wrong = new TextDecoder().decode(buffers.file).replace(/\*C[0-9A-F]{4}/, '')
    const report = examineAdapter(boardOf(BUFFERED), {
      against: { ...buffers, file: new TextEncoder().encode(wrong) },
      faults: false,
    })
    expect(report.relation).toBe('equivalent')
    expect(codesOf(report)).toContain('part-file')
    expect(messageOf(report, 'part-file')).toContain('the original')
    expect(codesOf(examineAdapter(boardOf(BUFFERED), { against: buffers, faults: false }))).not.toContain('part-file')
  })

  test('of twenty pins has no signal at pin 21, nor at its ground and its supply', () => {
    for (const pin of [21, 10, 20])
      for (const direction of ['input', 'output'] as const) {
        const board = boardOf(BUFFERED)
        const report = examineAdapter(
          { ...board, outside: [...board.outside, { pin, net: 'A', direction }] },
          { against: buffers, faults: false },
        )
        expect(report.relation).toBe('not-comparable')
        expect(report.findings.map(({ data }) => data)).toContainEqual({ reason: 'no-signal', pin })
      }
  })

  test('with states is told so, also where these are buried', () => {
    const table = granted(adapterTable(boardOf(BUFFERED)))
    for (const state of [
      { kind: 'state', pin: 0, cell: 'buried' },
      { kind: 'state', pin: 18 },
    ] as const) {
      const report = examineAdapter(boardOf({ ...BUFFERED, inputs: BUFFERED.inputs.slice(0, 1) }), {
        against: { table: { ...table, inputs: [table.inputs[0]!, state] } },
        faults: false,
      })
      expect(report.relation).toBe('not-comparable')
      expect(report.findings.map(({ message }) => message).join()).toContain('the original has states')
    }
  })
})

describe('what is said of the work', () => {
  test('past the bound the rows are told, and a bound of no step is a mistake', () => {
    const report = examineAdapter(boardOf(BUFFERED), { maxSteps: 1, against: buffers })
    expect(report.relation).toBe('undecided')
    expect(messageOf(report, 'too-much-work')).toContain('4 rows')
    expect(() => examineAdapter(boardOf(BUFFERED), { maxSteps: 0 })).toThrow(/^options\.maxSteps/)
  })

  test('outside pins have numbers up to 256', () => {
    const at = (pin: number): Board => ({
      parts: [],
      outside: [
        { pin: 1, net: 'A', direction: 'input' },
        { pin, net: 'A', direction: 'output' },
      ],
    })
    expect(rowsOf(at(256))).toEqual(['0', '1'])
    expect(() => adapterTable(at(257))).toThrow(/^board\.outside\[1\]\.pin/)
  })

  test('every row, or those that count, are compared', () => {
    const image = Uint8Array.of(0, 1, 2, 3)
    const comparedWith = (more: object): string => {
      const wiring = { address: [2, 3], data: [19, 12], ...more }
      return examineAdapter(boardOf(BUFFERED), { against: { image, wiring } }).scope.compared.join('; ')
    }
    expect(comparedWith({})).toContain('every row with the original')
    expect(comparedWith({ badRows: [0] })).toContain('3 rows with the original')
  })

  test('an image of another size, and a file that does not state all fuses, are told', () => {
    const report = examineAdapter(boardOf(BUFFERED), {
      against: { image: new Uint8Array(3), wiring: { address: [2, 3], data: [19, 12] } },
    })
    expect(report.relation).toBe('not-comparable')
    expect(report.findings.map(({ code }) => code)).toContain('capture/size')
    const file = new TextEncoder().encode('\x02*QF2194*L0 1010*\x030000')
    const cut = examineAdapter(boardOf(BUFFERED), { against: { ...buffers, file } })
    expect(cut.findings.map(({ message }) => message).join()).toContain('its file does not give all fuses')
  })
})
