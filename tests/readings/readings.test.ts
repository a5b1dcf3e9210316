/**
 * Several reads of one chip: which fuses move and where they lie. Expected values are counted by hand from the
 * changes made.
 */
import { describe, expect, test } from 'vitest'
import { compareReadings, fuseMapFrom, writeFuseFile, type ReadingsReport } from '../../src/index'
import { renderReadings } from '../../src/report'
import { seededRandom } from '../parts/random-designs'
import { readOf, STATES, statesWith } from './reads'

const codesOf = ({ findings }: ReadingsReport): string[] => findings.map(({ code }) => code)
const findingOf = ({ findings }: ReadingsReport, code: string) => findings.find((finding) => finding.code === code)

/**
 * Row 1 is the first term of pin 19 (row 0 its enable): fuses 32 to 63; its literals are pins 2 and ¬3 (fuses 32 and
 * 37).
 */
const OPEN = 40
const CONNECTED = 37

test('the map has the states that these tests count on', () => {
  expect([STATES.length, STATES[OPEN], STATES[CONNECTED], STATES[32]]).toEqual([2194, '1', '0', '0'])
  for (const fuse of [10, 33, 41, 42, 74, 75]) expect(STATES[fuse]).toBe('1')
})

describe('fuses that move', () => {
  test('toward 0, toward 1, and back and forth, over three reads', () => {
    const report = compareReadings([readOf(), readOf({ [OPEN]: 0, 74: 0 }), readOf({ [OPEN]: 0, [CONNECTED]: 1 })], {
      names: ['a.jed', 'b.jed', 'c.jed'],
    })
    expect(report).toMatchObject({
      files: ['a.jed', 'b.jed', 'c.jed'],
      equal: false,
      verdict: 'fail',
      fuseCount: 2194,
    })
    expect(report.moving.map(({ fuse, states, toward }) => ({ fuse, states, toward }))).toEqual([
      { fuse: 37, states: [0, 0, 1], toward: 1 },
      { fuse: 40, states: [1, 0, 0], toward: 0 },
      { fuse: 74, states: [1, 0, 1], toward: null },
    ])
    expect(codesOf(report)).toEqual(['readings/fuses-move'])
    expect(report.findings[0]).toMatchObject({ severity: 'error', fuse: 37 })
    expect(report.findings[0]!.message).toBe(
      '3 fuses are not the same in all 3 reads: 1 toward 1, 1 toward 0, 1 back and forth.',
    )
  })

  test('of two reads each fuse moves toward what the later one has', () => {
    const { moving } = compareReadings([readOf({ [CONNECTED]: 1 }), readOf({ [OPEN]: 0 })])
    expect(moving.map(({ fuse, toward }) => [fuse, toward])).toEqual([
      [37, 0],
      [40, 0],
    ])
    expect(compareReadings([readOf({ [OPEN]: 0 }), readOf()]).moving.map(({ toward }) => toward)).toEqual([1])
  })

  test('one fuse is told in the singular', () => {
    expect(compareReadings([readOf(), readOf({ 40: 0 })]).findings[0]!.message).toBe(
      '1 fuse is not the same in all 2 reads: 0 toward 1, 1 toward 0, 0 back and forth.',
    )
  })

  test('each with its role, pin, row, column and input', () => {
    const { moving } = compareReadings([readOf(), readOf({ 5: 0, 37: 1, 2048: 0, 2060: 1, 2130: 0, 2192: 0 })])
    // Rows of 32 fuses; column pair 2 of the complex array is pin 3 (GAL16V8 data sheet, 16v8_04, p. 7). PTD 2130 is
    // that of row 2.
    expect(moving).toMatchObject([
      { fuse: 5, role: 'output-enable', pin: 19, row: 0, column: 5, input: { pin: 3, complement: true } },
      { fuse: 37, role: 'and', pin: 19, row: 1, column: 5, input: { pin: 3, complement: true } },
      { fuse: 2048, role: 'polarity', pin: 19, row: null, column: null },
      { fuse: 2060, role: 'signature', pin: null, row: null, column: null },
      { fuse: 2130, role: 'term-disable', pin: 19, row: 2, column: null },
      { fuse: 2192, role: 'configuration', pin: null, row: null, column: null },
    ])
  })

  test('without a part by their numbers alone', () => {
    // 2048 fuses: one of four parts.
    const states = STATES.slice(0, 2048)
    const report = compareReadings([readOf({}, states), readOf({ 40: 0 }, states)])
    expect(report.moving).toEqual([{ fuse: 40, states: [1, 0], toward: 0 }])
    expect([report.byRow, report.byColumn]).toEqual([[], []])
    expect(
      compareReadings([readOf({}, states), readOf({ 40: 0 }, states)], { device: '16L8' }).moving[0],
    ).toMatchObject({ role: 'and', row: 1, column: 8 })
  })

  test('seeded random changes are all found, none else', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const random = seededRandom(6300 + seed)
      const reads = Array.from({ length: 2 + random(4) }, () => {
        const changes: Record<number, 0 | 1> = {}
        for (let i = random(30); i > 0; i--) changes[random(2194)] = random(2) as 0 | 1
        return statesWith(changes)
      })
      const expected = Array.from({ length: 2194 }, (_, fuse) => fuse).flatMap((fuse) => {
        const states = reads.map((read) => Number(read[fuse]))
        if (new Set(states).size === 1) return []
        // A run of one state and then a run of the other moves once.
        const steady = /^(0+1+|1+0+)$/.test(states.join(''))
        return [{ fuse, states, toward: steady ? states.at(-1)! : null }]
      })
      const report = compareReadings(reads.map((states) => writeFuseFile({ fuses: fuseMapFrom(states) })))
      expect(
        report.moving.map(({ fuse, states, toward }) => ({ fuse, states, toward })),
        `seed ${6300 + seed}`,
      ).toEqual(expected)
      expect(report.equal, `seed ${6300 + seed}`).toBe(expected.length === 0)
    }
  })
})

describe('clusters', () => {
  test('rows and columns are counted, most first, then by number', () => {
    const { byRow, byColumn } = compareReadings([readOf(), readOf({ 33: 0, 40: 0, 42: 0, 74: 0, 2060: 1 })])
    // 33, 40 and 42 are columns 1, 8 and 10 of row 1; 74 is column 10 of row 2; the signature is in no row.
    expect(byRow).toEqual([
      { index: 1, count: 3 },
      { index: 2, count: 1 },
    ])
    expect(byColumn).toEqual([
      { index: 10, count: 2 },
      { index: 1, count: 1 },
      { index: 8, count: 1 },
    ])
  })

  test('as many in each: by number, whichever moves first', () => {
    // 42 is column 10 of row 1; 65 is column 1 of row 2.
    const { byColumn } = compareReadings([readOf(), readOf({ 42: 0, 65: 0 })])
    expect(byColumn.map(({ index }) => index)).toEqual([1, 10])
  })

  test('three in one column and nowhere else are remarked', () => {
    const report = compareReadings([readOf(), readOf({ 10: 0, 42: 0, 74: 0 })])
    expect(findingOf(report, 'readings/clustered')).toMatchObject({
      severity: 'warning',
      message: 'All 3 of them lie in column 10.',
    })
  })

  test('three in one row too', () => {
    const report = compareReadings([readOf(), readOf({ 33: 0, 40: 0, 41: 0 })])
    expect(findingOf(report, 'readings/clustered')!.message).toBe('All 3 of them lie in row 1.')
  })

  test.each([
    ['two of them', { 10: 0, 42: 0 }],
    ['one beside them', { 10: 0, 42: 0, 74: 0, 75: 0 }],
    ['one outside the array', { 10: 0, 42: 0, 74: 0, 2060: 1 }],
  ] as const)('%s: no remark', (_, changes) => {
    expect(codesOf(compareReadings([readOf(), readOf(changes)]))).toEqual(['readings/fuses-move'])
  })
})

describe('equal reads', () => {
  test('are steady, and that is only a note', () => {
    const report = compareReadings([readOf(), readOf(), readOf()])
    expect(report).toMatchObject({
      files: [null, null, null],
      equal: true,
      verdict: 'pass',
      fuseCount: 2194,
      moving: [],
      byRow: [],
      byColumn: [],
    })
    expect(report.findings).toMatchObject([
      { code: 'readings/steady', severity: 'note', message: 'All 3 reads give the same 2194 fuses.' },
    ])
  })

  test('how a file is laid out does not matter', () => {
    const listed = `\x02*QF2194*F0*L0 ${STATES}*\x030000`
    expect(compareReadings([readOf(), listed])).toMatchObject({ equal: true, verdict: 'pass' })
  })

  test.each([
    ['0', 'connected (0)'],
    ['1', 'open (1)'],
  ])('all %s: a blank chip or a protected one, and no conclusion', (state, words) => {
    const report = compareReadings([readOf({}, state.repeat(2194)), readOf({}, state.repeat(2194))])
    expect(report).toMatchObject({ equal: true, verdict: 'caution' })
    expect(codesOf(report)).toEqual(['readings/all-alike', 'readings/steady'])
    expect(report.findings[0]).toMatchObject({ severity: 'warning' })
    expect(report.findings[0]!.message).toContain(words)
    expect(renderReadings(report)).toMatch(/^2 reads: the same, which says nothing: all fuses of every read/)
  })

  test('all alike but for a fuse that moves: that alone is told', () => {
    expect(codesOf(compareReadings([readOf({}, '1'.repeat(2194)), readOf({ 7: 0 }, '1'.repeat(2194))]))).toEqual([
      'readings/fuses-move',
    ])
  })
})

describe('reads that cannot be compared', () => {
  test('different sizes', () => {
    const report = compareReadings([readOf(), readOf({}, '1'.repeat(2048)), readOf()])
    expect(report).toMatchObject({ equal: false, verdict: 'fail', fuseCount: null, moving: [] })
    expect(report.findings).toMatchObject([{ code: 'readings/sizes-differ', severity: 'error' }])
    expect(report.findings[0]!.message).toContain('2194 and 2048 fuses')
  })

  test.each([
    ['empty', ''],
    ['no fuse file', 'GIF89a, not a fuse file'],
    ['not every fuse stated', '\x02*QF2194*L0 1010*\x030000'],
    ['cut short behind a default', '\x02*QF2194*F0*L0 1010'],
    ['cut short with ETX lost and the sum wrong', '\x02*QF2194*F0*L0 1010*C1234*'],
    ['cut short and without its start mark', 'QF2194*F0*L0 1010'],
    ['cut short behind more errors than are listed', `\x02*QF2194*F0*${'L9999 1*'.repeat(120)}L0 1010`],
    ['no list at all', '\x02*QF2194*\x030000'],
  ])('%s', (_, content) => {
    const report = compareReadings([readOf(), content, readOf({ 40: 0 })])
    expect(report).toMatchObject({
      equal: false,
      verdict: 'fail',
      fuseCount: null,
      moving: [],
      byRow: [],
      byColumn: [],
    })
    expect(report.findings).toMatchObject([
      { code: 'readings/unusable', severity: 'error', message: 'Read 2 gives no complete fuse map.' },
    ])
  })

  test('each unusable read is told, and two equal ones do not make it good', () => {
    const report = compareReadings(['', readOf(), readOf(), 'x'])
    expect(report.findings.map(({ message }) => message)).toEqual([
      'Read 1 gives no complete fuse map.',
      'Read 4 gives no complete fuse map.',
    ])
    expect(report.equal).toBe(false)
  })

  test('a read whose fuse checksum contradicts its fuses is compared with a warning', () => {
    const wrong = new TextDecoder().decode(readOf()).replace(/C([0-9A-F]{4})\*/, 'C0001*')
    const report = compareReadings([readOf(), wrong])
    expect(codesOf(report)).toEqual(['readings/sum-contradicts', 'readings/steady'])
    // 1 is not what they sum to, as the sum that was there before says.
    const stated = /C([0-9A-F]{4})\*/.exec(new TextDecoder().decode(readOf()))![1]!
    expect(report.findings[0]!.message).toContain(
      `Read 2 states the fuse checksum 0001, and its fuses sum to ${stated}`,
    )
    expect(report).toMatchObject({ equal: true, verdict: 'caution' })
  })
})

test('a hundred findings are listed, and how many were left out', () => {
  // 102 reads without a fuse, each a finding.
  const { findings } = compareReadings(Array.from({ length: 102 }, () => ''))
  expect(findings).toHaveLength(101)
  expect(findings.at(-1)!.message).toMatch(/^2 /)
})

test('a caller’s mistake throws and names the argument', () => {
  const call = (reads: unknown, options?: unknown) => () => compareReadings(reads as Uint8Array[], options as object)
  expect(call([readOf()])).toThrow(/^reads must be a list of two or more/)
  expect(call([])).toThrow(TypeError)
  expect(call(readOf())).toThrow(TypeError)
  expect(call('\x02*\x030000')).toThrow(TypeError)
  expect(call([readOf(), 7])).toThrow(TypeError)
  expect(call([readOf(), readOf()], null)).toThrow(/^options/)
  expect(call([readOf(), readOf()], { device: '99Z9' })).toThrow(RangeError)
})

describe('as text', () => {
  test('names the reads, the fuses with their places, rows and columns', () => {
    const text = renderReadings(compareReadings([readOf(), readOf({ 40: 0, 2060: 1 })], { names: ['a.jed'] }))
    const lines = text.split('\n')
    expect(lines[0]).toBe('2 reads: not the same: 2 fuses are not the same in all 2 reads: 1 toward 1, 1')
    const first = lines.findIndex((line) => line.startsWith('  read 1'))
    expect(lines.slice(first, first + 6).map((line) => line.trim().replace(/ +/g, ' '))).toEqual([
      'read 1 a.jed',
      'read 2 without a name',
      'fuse 40 reads 1 0 (and, pin 19, row 1 column 8)',
      'fuse 2060 reads 0 1 (signature)',
      'by row 1 (1)',
      'by column 8 (1)',
    ])
    expect(text).toContain('[readings/fuses-move]')
    expect(text).toContain('not: what is right')
  })

  test('many fuses are cut short and counted', () => {
    const changes = Object.fromEntries(Array.from({ length: 25 }, (_, i) => [2056 + i, 1 as const]))
    const report = compareReadings([readOf(), readOf(changes)])
    const lines = renderReadings(report, { more: '--all shows them' }).split('\n')
    expect(lines.filter((line) => /^ {2}fuse \d/.test(line))).toHaveLength(8)
    expect(lines.some((line) => line.includes('and 17 more fuses (--all shows them)'))).toBe(true)
    const all = renderReadings(report, { all: true })
    expect(all.split('\n').filter((line) => /^ {2}fuse \d/.test(line))).toHaveLength(25)
    expect(all).toContain('whether steady fuses are the right ones')
  })

  test('says when reads are the same, and when nothing could be compared', () => {
    expect(renderReadings(compareReadings([readOf(), readOf()])).split('\n')[0]).toBe('2 reads: the same: all 2194 fuses.')
    expect(renderReadings(compareReadings([readOf(), ''])).split('\n')[0]).toBe(
      '2 reads: not comparable: read 2 gives no complete fuse map.',
    )
  })
})
