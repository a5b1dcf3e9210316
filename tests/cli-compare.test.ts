/** The command compare: what it prints, its JSON, its exits, and how it refuses. */
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, writeFuseFile } from '../src/index'
import { callProgram, documentOf, type Files, type Ran } from './call-program'
import { output } from './compare/pairs'
import type { Design, Term } from './parts/design'
import { encode } from './parts/encoder'
import { codeTerm, levels, namedOutput, oneLow, type Pins } from './parts/function-tables'

/** A sound file: both sums, protection off. */
function fileOf(states: ArrayLike<number>): Uint8Array {
  return writeFuseFile({
    fuses: fuseMapFrom([...(states as number[])].join('')),
    designSpecification: 'Test',
    security: 0,
  })
}

const design = (...outputs: Design['outputs']): Design => ({ part: '16V8', mode: 'complex', outputs })
const SUM = encode(design(output(19, [[2, 3], [-4]])))
/** The same sum with its terms exchanged, and with one literal turned round. */
const EXCHANGED = encode(design(output(19, [[-4], [2, 3]])))
const TURNED = encode(design(output(19, [[2, -3], [-4]])))

/** A ring of three states; the fourth is never reached, and goes another way. */
const ring = (stray: Term): Uint8Array =>
  encode({
    part: '16V8',
    mode: 'registered',
    clockPin: 1,
    outputs: [
      { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[-19, 18], [19, -18], stray] },
      { pin: 18, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[19]] },
    ],
  })

const FILES: Files = {
  'sum.jed': fileOf(SUM),
  'exchanged.jed': fileOf(EXCHANGED),
  'turned.jed': fileOf(TURNED),
  'blank.jed': fileOf(new Uint8Array(2194).fill(1)),
  'photo.jpg': Uint8Array.from({ length: 300 }, (_, i) => (i * 91) & 0xff),
  'pal.jed': fileOf(encode({ part: '16L8', mode: null, outputs: [output(19, [[2, 3], [-4]])] })),
  'wide.jed': fileOf(encode({ part: '22V10', mode: null, outputs: [output(21, [[2, 3], [-4]])] })),
  'ring.jed': fileOf(ring([-19, -18, 2, -2])),
  'other-ring.jed': fileOf(ring([-19, -18])),
  'unknown.jed': fileOf([0, 1, 1, 0, 1]),
  'other-unknown.jed': fileOf([0, 1, 1, 0, 0]),
  'pins.json': '{ "2": 2, "3": 3, "4": 4, "19": 21 }',
  'ignored.json': '[{ "2": 1, "4": 1 }]',
  'broken.json': '{ "2": ',
  'list.json': '[1]',
  'number.json': '7',
  'far.json': '{ "25": 2 }',
  'far-ignored.json': '[{ "25": 1 }]',
}

const call = (...args: readonly string[]): Ran => callProgram(['compare', ...args], FILES)

describe('the exit follows the relation', () => {
  test.each([
    ['identical', ['sum.jed', 'sum.jed'], 0],
    ['equivalent', ['sum.jed', 'exchanged.jed'], 0],
    ['different', ['sum.jed', 'turned.jed'], 1],
    ['not-comparable', ['sum.jed', 'blank.jed'], 3],
    ['not-comparable', ['sum.jed', 'photo.jpg'], 3],
    ['not-comparable', ['photo.jpg', 'sum.jed'], 3],
    ['not-comparable', ['sum.jed', 'wide.jed'], 3],
    ['different', ['unknown.jed', 'other-unknown.jed'], 1],
    ['equivalent', ['sum.jed', 'pal.jed', '--other-device', '16L8'], 0],
    ['undecided', ['pal.jed', 'sum.jed'], 3],
    ['equivalent', ['sum.jed', 'wide.jed', '--pins', 'pins.json'], 0],
    ['equivalent', ['sum.jed', 'turned.jed', '--dont-care', 'ignored.json'], 0],
    ['equivalent', ['ring.jed', 'other-ring.jed'], 0],
    ['different', ['ring.jed', 'other-ring.jed', '--power-up', 'low', '--other-power-up', 'low'], 1],
    ['different', ['ring.jed', 'other-ring.jed', '--power-up', 'unknown'], 1],
  ] as const)('%s: compare %j', (relation, args, code) => {
    const ran = call(...args, '--json')
    expect([documentOf(ran).relation, ran.code, ran.err]).toEqual([relation, code, ''])
    // With --strict a caution counts where the relation is good, and nowhere else.
    const strict = code === 0 && documentOf(ran).verdict !== 'pass' ? 1 : code
    expect(call(...args, '--strict').code).toBe(strict)
    expect(call(...args).code).toBe(code)
  })

  test('--strict: a pass stays 0, a caution becomes 1, and 3 stays 3', () => {
    expect(call('sum.jed', 'exchanged.jed', '--strict').code).toBe(0)
    expect(call('ring.jed', 'other-ring.jed', '--strict').code).toBe(1)
    expect(call('sum.jed', 'blank.jed', '--strict').code).toBe(3)
    expect(call('sum.jed', 'wide.jed', '--strict').code).toBe(3)
  })

  test('standard input is a file, once', () => {
    expect(callProgram(['compare', 'a', '-'], { a: FILES['sum.jed']!, '-': FILES['exchanged.jed']! }).code).toBe(0)
    expect(callProgram(['compare', '-', 'a'], { a: FILES['sum.jed']!, '-': FILES['turned.jed']! }).code).toBe(1)
    expect(call('-', '-').code).toBe(2)
  })
})

test('a file compared with itself: the same, and nothing is confirmed by it', () => {
  const ran = call('sum.jed', 'sum.jed')
  expect(ran.code).toBe(0)
  expect(ran.out).toContain('Both names lead to one file: nothing is confirmed by this.')
  expect(call('sum.jed', 'turned.jed').out).not.toContain('one file')
})

describe('--json', () => {
  test('has the fixed keys, and a counterexample for each difference', () => {
    const found = documentOf(call('sum.jed', 'turned.jed', '--json'))
    for (const key of ['relation', 'verdict', 'fuseDifferences', 'outputs', 'findings'])
      expect(found).toHaveProperty(key)
    // The literal of pin 3 turned round: two fuses of one row.
    expect(found).toMatchObject({
      intended: 'sum.jed',
      readback: 'turned.jed',
      relation: 'different',
      verdict: 'fail',
      basis: 'logic',
      fuseDifferences: { count: 2, byRole: { and: 2 } },
    })
    expect(found.outputs).toHaveLength(1)
    const [only] = found.outputs
    // p2 ∧ p3 ∨ ¬p4 and p2 ∧ ¬p3 ∨ ¬p4 differ where p2 and p4 are 1: a quarter of the rows. Pin 19 is the complement.
    expect(only).toMatchObject({ pin: 19, relation: 'different' })
    expect(only.differingInputs).toMatch(/^\d+$/)
    expect(4n * BigInt(only.differingInputs)).toBe(BigInt(only.ofInputs))
    expect(only.counterexample.inputs).toMatchObject({ 2: 1, 4: 1 })
    expect([only.counterexample.intended, only.counterexample.readback]).toEqual(
      only.counterexample.inputs['3'] === 1 ? ['L', 'H'] : ['H', 'L'],
    )
    for (const finding of found.findings) {
      expect(finding.code).toMatch(/^[a-z]+\/[a-z-]+$/)
      expect(['error', 'warning', 'note']).toContain(finding.severity)
      expect(finding.message).not.toBe('')
    }
  })

  test('prints one document and nothing else, also where a side is no fuse file', () => {
    for (const args of [
      ['sum.jed', 'photo.jpg'],
      ['photo.jpg', 'photo.jpg'],
      ['sum.jed', 'sum.jed'],
    ]) {
      const ran = call(...args, '--json')
      expect(() => documentOf(ran)).not.toThrow()
      expect(ran.out.endsWith('}\n')).toBe(true)
    }
    expect(documentOf(call('sum.jed', 'photo.jpg', '--json'))).toMatchObject({
      relation: 'not-comparable',
      verdict: 'fail',
      outputs: [],
    })
  })

  test('gives every differing fuse its places in both files', () => {
    const { fuses } = documentOf(call('sum.jed', 'turned.jed', '--json')).fuseDifferences
    for (const { fuse, intended, readback, positions } of fuses)
      for (const [name, state, position] of [
        ['sum.jed', intended, positions.intended],
        ['turned.jed', readback, positions.readback],
      ] as const) {
        // The digit at that place is the state of the fuse; the writer names every fuse in lists.
        expect([fuse, String.fromCharCode((FILES[name] as Uint8Array)[position.offset]!)]).toEqual([
          fuse,
          String(state),
        ])
      }
    expect(fuses).toHaveLength(2)
  })
})

describe('as text', () => {
  test('an identical pair', () => {
    const { out } = call('sum.jed', 'sum.jed')
    expect(out.split('\n')[0]).toBe('sum.jed against sum.jed: identical: the same fuses.')
    expect(out).toContain('none differs')
  })

  test('a difference: what, how often, where, for example, which fuses, on which lines', () => {
    const { out } = call('sum.jed', 'turned.jed')
    expect(out.split('\n')[0]).toBe('sum.jed against turned.jed: different: 2 fuses of the AND array differ; pin 19')
    for (const part of [
      'pin 19',
      'differs in value',
      'p2 ∧ p4',
      'for example',
      'AND array, row 1: 2 fuses',
      '0 of 1 output proved equal, 1 differs',
      'looked at     fuses, logic of 1 output; not:',
    ])
      expect(out).toContain(part)
    // Row 1 of pin 19: the true column of pin 3 is fuse 32 + 4 (diagram of the complex mode: 2, 1, 3, …), its
    // complement the next.
    expect(out).toMatch(/36 \(p3\) 0→1, 37 \(¬p3\) 1→0/)
    expect(out).toMatch(/line\s+\d+\s+of\s+both\s+files|lines\s+\d+\s+and\s+\d+/)
  })

  test('machines: the sequence from the start', () => {
    const { out } = call('ring.jed', 'other-ring.jed', '--power-up', 'low', '--other-power-up', 'low')
    expect(out).toMatch(/from the start, 2 steps show it at\s+pin 19 \(0 against 1\)/)
  })

  test('a blank read-back is no conclusion, and says what to do', () => {
    const { out } = call('sum.jed', 'blank.jed')
    expect(out).toContain('not comparable: all fuses of the')
    expect(out).toContain('not compared')
    expect(out).toMatch(/blank,\s+protected\s+or\s+unread\s+chip/)
  })

  test.each([
    ['sum.jed', 'sum.jed'],
    ['sum.jed', 'exchanged.jed'],
    ['sum.jed', 'turned.jed'],
    ['sum.jed', 'blank.jed'],
    ['sum.jed', 'photo.jpg'],
    ['sum.jed', 'wide.jed'],
    ['pal.jed', 'sum.jed'],
    ['unknown.jed', 'other-unknown.jed'],
    ['ring.jed', 'other-ring.jed'],
    ['sum.jed', 'pal.jed', '--other-device', '16L8'],
  ])('%s against %s: nothing is left unfilled', (...args) => {
    const { out } = call(...args)
    expect(out).not.toMatch(/undefined|null|NaN|\[object|\{\w/)
    expect(out.length).toBeGreaterThan(150)
    expect(out.endsWith('\n')).toBe(true)
    // No colour: what is printed is text.
    expect(out).not.toContain('\x1b')
  })
})

describe('wrong usage is one line on standard error, and 2', () => {
  test.each([
    [[], 'two files'],
    [['sum.jed'], 'two files'],
    [['sum.jed', 'sum.jed', 'sum.jed'], 'two files'],
    [['sum.jed', 'missing.jed'], 'missing.jed: there is no such file'],
    [['missing.jed', 'sum.jed'], 'missing.jed: there is no such file'],
    [['locked.jed', 'sum.jed'], 'may not be read'],
    [['sum.jed', 'sum.jed', '--device', '16V9'], '--device 16V9'],
    [['sum.jed', 'sum.jed', '--other-device', '16V9'], '--other-device 16V9'],
    [['sum.jed', 'sum.jed', '--power-up', 'middle'], '--power-up'],
    [['sum.jed', 'sum.jed', '--other-power-up', '1'], '--other-power-up'],
    [['sum.jed', 'turned.jed', '--pins', 'missing.json'], 'missing.json'],
    [['sum.jed', 'turned.jed', '--pins', 'broken.json'], 'broken.json: not a JSON document'],
    [['sum.jed', 'turned.jed', '--pins', 'list.json'], '--pins'],
    [['sum.jed', 'turned.jed', '--pins', 'far.json'], '--pins'],
    [['sum.jed', 'turned.jed', '--dont-care', 'number.json'], '--dont-care'],
    [['sum.jed', 'turned.jed', '--dont-care', 'list.json'], '--dont-care[0]'],
    [['sum.jed', 'turned.jed', '--dont-care', 'far-ignored.json'], '--dont-care[0]'],
    [['sum.jed', 'turned.jed', '--vectors', 'sum.jed'], '--vectors sum.jed would overwrite what is read'],
  ] as const)('compare %j', (args, words) => {
    for (const more of [[], ['--json']]) {
      const ran = call(...args, ...more)
      expect([ran.code, ran.out]).toEqual([2, ''])
      expect(ran.err).toContain(words)
      expect(ran.err.trimEnd()).not.toContain('\n')
      expect(ran.err).not.toContain('options.')
    }
  })
})

/** '138, Fairchild DM74LS138, DS006391 (March 2000), p. 2: one output low where G1 is high, both G2 low. */
describe("a '138 in two parts", () => {
  const names = ['C', 'B', 'A'] as const
  const pins16: Pins = {
    A: 2,
    B: 3,
    C: 4,
    G1: 5,
    G2A: 6,
    G2B: 7,
    Y0: 19,
    Y1: 18,
    Y2: 17,
    Y3: 16,
    Y4: 15,
    Y5: 14,
    Y6: 13,
    Y7: 12,
  }
  const pins24: Pins = {
    A: 1,
    B: 2,
    C: 3,
    G1: 9,
    G2A: 10,
    G2B: 11,
    Y0: 23,
    Y1: 22,
    Y2: 21,
    Y3: 20,
    Y4: 19,
    Y5: 18,
    Y6: 17,
    Y7: 16,
  }
  const decoder = (part: string, mode: string | null, pins: Pins, gate: string): Design => ({
    part,
    mode,
    outputs: Array.from({ length: 8 }, (_, i) =>
      namedOutput(pins, `Y${i}`, { low: true, terms: [`${gate} ${codeTerm(names, i)}`] }),
    ),
  })
  const files: Files = {
    'gal.jed': fileOf(encode(decoder('16V8', 'simple', pins16, "G1 G2A' G2B'"))),
    'wide.jed': fileOf(encode(decoder('22V10', null, pins24, "G1 G2A' G2B'"))),
    // One gate input forgotten.
    'wrong.jed': fileOf(encode(decoder('22V10', null, pins24, "G1 G2A'"))),
    'pins.json': JSON.stringify(Object.fromEntries(Object.keys(pins16).map((name) => [pins16[name], pins24[name]]))),
  }

  test('is proved equal with its pins paired', () => {
    const ran = callProgram(['compare', 'gal.jed', 'wide.jed', '--pins', 'pins.json', '--json'], files)
    expect([ran.code, documentOf(ran).relation, documentOf(ran).outputs.length]).toEqual([0, 'equivalent', 8])
  })

  test('with a gate input forgotten it is told apart by a row of the table', () => {
    const ran = callProgram(['compare', 'gal.jed', 'wrong.jed', '--pins', 'pins.json', '--json'], files)
    expect(ran.code).toBe(1)
    for (const [i, each] of documentOf(ran).outputs.entries()) {
      const at = 7 - i
      // The sheet's rows: with G2B high all outputs are H; without it, code i makes Y(i) low. One row of 64 for each.
      expect(each).toMatchObject({
        pin: pins16[`Y${at}`],
        relation: 'different',
        differsIn: ['value'],
        counterexample: { intended: 'H', readback: 'L' },
      })
      expect(64n * BigInt(each.differingInputs)).toBe(BigInt(each.ofInputs))
      const { inputs } = each.counterexample
      expect([inputs[5], inputs[6], inputs[7]]).toEqual([1, 0, 1])
      const code = names.map((name) => (inputs[pins16[name]!] ? 'H' : 'L')).join('')
      expect(code).toBe(levels(at, 3))
      expect(oneLow(8, at)[at]).toBe('L')
    }
  })
})
