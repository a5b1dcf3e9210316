/**
 * Levels of nets: tables worked out by hand from the rule (output before output through a diode before resistor
 * before nothing), and random boards against trying out.
 */
import { describe, expect, test } from 'vitest'
import { adapterTable, examineAdapter } from '../../src/board'
import { levelInTable } from '../../src/logic'
import type { Design, DesignOutput } from '../parts/design'
import { pick, randomTerm, seededRandom, shuffled, type Random } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import { boardOf, passive, type PlainBoard } from './plain-boards'
import { straightTable } from './straight-board'
import { granted } from '../granted'

/** Levels of all outputs, a word a row. */
function rowsOf(board: PlainBoard): string[] {
  const table = granted(adapterTable(boardOf(board)))
  return Array.from({ length: table.rowCount }, (_, row) =>
    table.outputs.map((_, i) => levelInTable(table, i, row)).join(''),
  )
}

const codes = (board: PlainBoard): string[] => [
  ...new Set(examineAdapter(boardOf(board), { faults: false }).findings.map(({ code }) => code)),
]

const A_AND_B = [
  [1, 'A'],
  [2, 'B'],
] as const
/** Diodes from the net Y to each of A and B, and from each of them to Y. */
const TO_INPUTS = [
  ['D1', 'Y', 'A'],
  ['D2', 'Y', 'B'],
] as const
const FROM_INPUTS = [
  ['D1', 'A', 'Y'],
  ['D2', 'B', 'Y'],
] as const
const OUT = [[10, 'Y']] as const

/** Rows are A low B low, A high B low, A low B high, both high. */
describe('worked out by hand', () => {
  test.each<[name: string, board: Partial<PlainBoard>, rows: string]>([
    [
      'wired AND: a low input pulls Y low through its diode, else the pull-up',
      { inputs: A_AND_B, outputs: OUT, diodes: TO_INPUTS, resistors: [['R1', 'Y', 'supply']] },
      '0 0 0 1',
    ],
    [
      'wired OR: a high input lifts Y through its diode, else the pull-down',
      { inputs: A_AND_B, outputs: OUT, diodes: FROM_INPUTS, resistors: [['R1', 'Y', 'ground']] },
      '0 1 1 1',
    ],
    [
      'an AND without pull-up floats where no input is low',
      { inputs: A_AND_B, outputs: OUT, diodes: TO_INPUTS },
      '0 0 0 Z',
    ],
    [
      'an AND with a pull-down instead never rises',
      { inputs: A_AND_B, outputs: OUT, diodes: TO_INPUTS, resistors: [['R1', 'Y', 'ground']] },
      '0 0 0 0',
    ],
    [
      'an OR with a pull-up instead never falls',
      { inputs: A_AND_B, outputs: OUT, diodes: FROM_INPUTS, resistors: [['R1', 'Y', 'supply']] },
      '1 1 1 1',
    ],
    [
      'a diode passes nothing backwards: high at the cathode, low at the anode',
      {
        inputs: A_AND_B,
        outputs: OUT,
        diodes: [
          ['D1', 'Y', 'A'],
          ['D2', 'B', 'Y'],
        ],
      },
      '0 Z X 1',
    ],
    [
      'two resistors against each other',
      {
        inputs: A_AND_B,
        outputs: OUT,
        resistors: [
          ['R1', 'Y', 'supply'],
          ['R2', 'Y', 'ground'],
        ],
      },
      'X X X X',
    ],
    [
      'two resistors against each other through a forward diode: both its nets',
      {
        outputs: [
          [10, 'Y'],
          [11, 'Q'],
        ],
        diodes: [['D1', 'Y', 'Q']],
        resistors: [
          ['R1', 'Y', 'supply'],
          ['R2', 'Q', 'ground'],
        ],
      },
      'XX',
    ],
    [
      '… and through a diode that blocks',
      {
        outputs: [
          [10, 'Y'],
          [11, 'Q'],
        ],
        diodes: [['D1', 'Q', 'Y']],
        resistors: [
          ['R1', 'Y', 'supply'],
          ['R2', 'Q', 'ground'],
        ],
      },
      '10',
    ],
    [
      'an output holds against a resistor',
      { inputs: [[1, 'A']], outputs: [[10, 'A']], resistors: [['R1', 'A', 'supply']] },
      '0 1',
    ],
    [
      'two diodes in a row pass a low',
      {
        inputs: [[1, 'A']],
        outputs: [
          [10, 'M'],
          [11, 'Y'],
        ],
        diodes: [
          ['D1', 'M', 'A'],
          ['D2', 'Y', 'M'],
        ],
        resistors: [['R1', 'Y', 'supply']],
      },
      '00 11',
    ],
    [
      'a pull-up lifts nets behind forward diodes',
      {
        outputs: [
          [10, 'M'],
          [11, 'Y'],
        ],
        diodes: [['D1', 'M', 'Y']],
        resistors: [['R1', 'M', 'supply']],
      },
      '11',
    ],
    [
      'a net held through a diode does not pass its resistor on',
      {
        inputs: [[1, 'A']],
        outputs: [
          [10, 'M'],
          [11, 'Y'],
        ],
        diodes: [
          ['D1', 'M', 'A'],
          ['D2', 'M', 'Y'],
        ],
        resistors: [['R1', 'M', 'supply']],
      },
      '0Z 11',
    ],
    [
      'two inputs on one net that disagree',
      {
        inputs: [
          [1, 'A'],
          [2, 'A'],
        ],
        outputs: [[10, 'A']],
      },
      '0 X X 1',
    ],
    [
      'an input before what a diode brings',
      { inputs: A_AND_B, outputs: [[10, 'A']], diodes: [['D1', 'B', 'A']] },
      '0 1 0 1',
    ],
  ])('%s', (_, board, rows) => {
    expect(rowsOf(passive(board)).join(' ')).toBe(rows)
  })

  test.each<[name: string, board: Partial<PlainBoard>, fights: boolean]>([
    [
      'an AND of inputs: no contention',
      { inputs: A_AND_B, outputs: OUT, diodes: TO_INPUTS, resistors: [['R1', 'Y', 'supply']] },
      false,
    ],
    [
      'a driven high at the anode, a driven low at the cathode',
      { inputs: A_AND_B, outputs: [[10, 'A']], diodes: [['D1', 'B', 'A']] },
      true,
    ],
    [
      '… over two diodes and a net that nobody drives',
      {
        inputs: A_AND_B,
        outputs: OUT,
        diodes: [
          ['D1', 'A', 'Y'],
          ['D2', 'Y', 'B'],
        ],
      },
      true,
    ],
    [
      '… two inputs on one net',
      {
        inputs: [
          [1, 'A'],
          [2, 'A'],
        ],
        outputs: [[10, 'A']],
      },
      true,
    ],
    [
      'resistors never fight',
      {
        outputs: [
          [10, 'Y'],
          [11, 'Q'],
        ],
        diodes: [['D1', 'Y', 'Q']],
        resistors: [
          ['R1', 'Y', 'supply'],
          ['R2', 'Q', 'ground'],
        ],
      },
      false,
    ],
  ])('%s', (_, board, found) => {
    expect(codes(passive(board)).includes('adapter/contention')).toBe(found)
  })

  test('an unknown enable: X unless off and on give the same level', () => {
    // Pin 19 drives 0, enabled by pin 2, which floats; Y has a pull-down, Q of the twin a pull-up.
    const design: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [
        { pin: 19, kind: 'combinational', activeHigh: true, enable: { term: [2] }, terms: [] },
        { pin: 12, kind: 'combinational', activeHigh: true, enable: { term: [2] }, terms: [] },
      ],
    }
    const board = passive({
      parts: [{ name: 'U1', design, pins: { 19: 'Y', 12: 'Q' } }],
      outputs: [
        [10, 'Y'],
        [11, 'Q'],
      ],
      resistors: [
        ['R1', 'Y', 'ground'],
        ['R2', 'Q', 'supply'],
      ],
    })
    expect(rowsOf(board)).toEqual(['0X'])
  })

  test('a loop over two parts that nothing settles is unknown, one that an input settles is not', () => {
    // Pin 19 of each is A ∧ the other's output: 0 while A is 0, whatever stood there before while A is 1.
    const and: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [{ pin: 19, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, 3]] }],
    }
    const board = passive({
      parts: [
        { name: 'U1', design: and, pins: { 2: 'A', 3: 'Q', 19: 'P' } },
        { name: 'U2', design: and, pins: { 2: 'A', 3: 'P', 19: 'Q' } },
      ],
      inputs: [[1, 'A']],
      outputs: [
        [10, 'P'],
        [11, 'Q'],
      ],
    })
    expect(rowsOf(board)).toEqual(['00', 'XX'])
    expect(codes(board)).toContain('adapter/output-unknown')
  })

  test('internal pull-ups stand for a missing resistor in the logic', () => {
    const buffer: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [{ pin: 19, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2]] }],
    }
    const board = passive({
      parts: [{ name: 'U1', design: buffer, pins: { 2: 'Y', 19: 'F' } }],
      inputs: A_AND_B,
      outputs: [[10, 'F']],
      diodes: TO_INPUTS,
    })
    expect(rowsOf(board)).toEqual(['0', '0', '0', 'X'])
    expect(codes(board)).toContain('adapter/floating-input')
    const pulled = { ...board, internalPullUps: true }
    expect(rowsOf(pulled)).toEqual(['0', '0', '0', '1'])
    expect(codes(pulled)).toContain('adapter/internal-pull-ups')
    expect(codes(pulled)).not.toContain('adapter/floating-input')
  })

  test('a pin that is input and output is driven from outside while the board is off', () => {
    // Pin 19 drives A while E is high; pin 12 shows what pin 18, on the same net, reads.
    const design: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [
        { pin: 19, kind: 'combinational', activeHigh: true, enable: { term: [3] }, terms: [[2]] },
        { pin: 12, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[18]] },
      ],
    }
    const board = boardOf(
      passive({
        parts: [{ name: 'U1', design, pins: { 2: 'A', 3: 'E', 19: 'IO', 18: 'IO', 12: 'F' } }],
        inputs: [
          [1, 'A'],
          [2, 'E'],
        ],
        outputs: [[10, 'F']],
      }),
    )
    const outside = [...board.outside, { pin: 5, net: 'IO', direction: 'both' }] as const
    const table = granted(adapterTable({ ...board, outside }))
    expect(table.inputs.map(({ pin }) => pin)).toEqual([1, 2, 5])
    // Rows: A, E, IO from outside. Off: F follows IO and pin 5 shows nothing of the board; on: both follow A.
    const expected = Array.from({ length: 8 }, (_, row) => {
      const [a, e, io] = [row & 1, (row >> 1) & 1, (row >> 2) & 1]
      return e ? `${a}${a}` : `${io}Z`
    })
    expect(Array.from({ length: 8 }, (_, row) => [0, 1].map((i) => levelInTable(table, i, row)).join(''))).toEqual(
      expected,
    )
  })
})

/**
 * A random board: up to two parts of two outputs, some of them off at times or in a loop, four inputs, seven nets in
 * all.
 */
function randomBoard(random: Random): PlainBoard {
  const nets = ['N0', 'N1', 'N2', 'N3', 'N4', 'N5', 'N6']
  const netPair = (): [string, string] => shuffled(random, nets).slice(0, 2) as [string, string]
  const output = (pin: number): DesignOutput => ({
    pin,
    kind: 'combinational',
    activeHigh: random(2) === 1,
    enable: random(2) ? 'always' : { term: randomTerm(random, [2, 3, 4]) },
    terms: Array.from({ length: random(3) }, () => randomTerm(random, [2, 3, 4])),
  })
  const part = (name: string): PlainBoard['parts'][number] => ({
    name,
    design: { part: '16V8', mode: 'complex', outputs: [output(19), output(12)] },
    // Pins are left open now and then.
    pins: Object.fromEntries([2, 3, 4, 19, 12].filter(() => random(8) > 0).map((pin) => [pin, pick(random, nets)])),
  })
  return {
    parts: ['U1', 'U2'].slice(0, random(3)).map(part),
    inputs: shuffled(random, nets)
      .slice(0, 1 + random(4))
      .map((net, i) => [i + 1, net] as const),
    outputs: nets.map((net, i) => [i + 11, net] as const),
    diodes: Array.from({ length: random(8) }, (_, i) => [`D${i}`, ...netPair()] as const),
    resistors: Array.from(
      { length: random(5) },
      (_, i) => [`R${i}`, pick(random, nets), random(2) ? 'supply' : 'ground'] as const,
    ),
    internalPullUps: random(6) === 0,
  }
}

test('random boards have the levels and the fights that trying out every possibility gives', () => {
  const seen = new Set<string>()
  for (let seed = 1; seed <= sampleSize(40, 1500); seed++) {
    const board = randomBoard(seededRandom(seed))
    const expected = straightTable(board)
    const words = expected.map(({ levels }) => levels.join(''))
    for (const word of words) for (const level of word) seen.add(level)
    expect({ seed, rows: rowsOf(board) }).toEqual({ seed, rows: words })
    const found = codes(board)
    const ways = expected.map(({ fights }) => fights)
    // Certain contention is reported only where it is certain, and always where no source is unknown; possible one is
    // always told.
    if (found.includes('adapter/contention'))
      expect({ seed, certain: ways.some((way) => way.found === 'in all') }).toEqual({ seed, certain: true })
    if (ways.some((way) => way.single && way.found === 'in all'))
      expect({ seed, found }).toMatchObject({ seed, found: expect.arrayContaining(['adapter/contention']) })
    expect({
      seed,
      told:
        found.some((code) => code.startsWith('adapter/contention')) || ways.every((way) => way.found === 'in none'),
    }).toEqual({ seed, told: true })
  }
  expect([...seen].sort()).toEqual(['0', '1', 'X', 'Z'])
})
