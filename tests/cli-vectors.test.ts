/** The commands grade, exercise and distinguish: exits, JSON, and what the files that they write are worth. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { fuseMapFrom, readFuseFile, writeFuseFile } from '../src/index'
import { callProgram, documentOf, type Files, type Ran } from './call-program'

const vectors = (path: string): Uint8Array => readFileSync(new URL(`../vectors/${path}`, import.meta.url))
const GOOD = vectors('published/jesd3a-14l4.jed')

const FILES: Files = {
  'good.jed': GOOD,
  'same.jed': GOOD,
  'flipped.jed': vectors('demo/example-one-fuse-flipped.jed'),
  'gauge.jed': vectors('demo/tide-gauge-16v8.jed'),
  'unknown.jed': '\x02Five fuses*QF5*F0*L0 01101*\x030000',
  'blank.jed': writeFuseFile({ fuses: fuseMapFrom('1'.repeat(448)) }),
  'unknown-flipped.jed': '\x02Five fuses*QF5*F0*L0 01100*\x030000',
}

/**
 * A 16V8 in registered mode whose register at pin 19 takes its data from one column: 2 is its own level, 3 the
 * complement (GAL16V8 data sheet, 16v8_04, p. 11). The other cells are combinational and nothing is wired to them.
 */
function oneRegister(column: number): Uint8Array {
  const fuses = new Uint8Array(2194)
  fuses.fill(1, 0, 32)
  fuses[column] = 0
  fuses[2048] = 1 // XOR: active high
  fuses.fill(1, 2121, 2128) // AC1: a register at pin 19 alone
  fuses.fill(1, 2128, 2192) // every term is in use
  fuses[2193] = 1 // SYN 0, AC0 1
  return writeFuseFile({ fuses: fuseMapFrom(fuses.join('')), pinCount: 20 })
}

const call = (...args: readonly string[]): Ran => callProgram(args, FILES)
const AS_14L4 = ['--device', '14L4']
const OUT = ['--vectors', 'shows.jed']

const GRADE_KEYS = [
  'schema',
  'file',
  'verdict',
  'part',
  'mode',
  'start',
  'vectors',
  'faults',
  'missed',
  'idleVectors',
  'unjudgedOutputs',
  'findings',
]

describe('grade', () => {
  test('exits 0 with counts that add up, in total and by class', () => {
    const ran = call('grade', 'good.jed', ...AS_14L4, '--json')
    expect([ran.code, ran.err]).toEqual([0, ''])
    const grade = documentOf(ran)
    expect(Object.keys(grade)).toEqual(GRADE_KEYS)
    const { total, shown, cannotBeShown, missed, undecided, byClass } = grade.faults
    expect(total).toBe(448)
    expect(shown + cannotBeShown + missed + undecided).toBe(total)
    expect(Object.keys(byClass)).toEqual(['array', 'polarity', 'configuration'])
    expect(Object.values<any>(byClass).reduce((sum, each) => sum + each.total, 0)).toBe(total)
  })

  test('exits 1 where the map cannot be decoded, and says why', () => {
    const ran = call('grade', 'unknown.jed', '--json')
    expect(ran.code).toBe(1)
    expect(documentOf(ran)).toMatchObject({ file: 'unknown.jed', reason: 'no-logic', verdict: 'caution' })
    expect(call('grade', 'unknown.jed').out).toContain('not graded')
  })

  test('grades the vectors of another file', () => {
    // Those that exercise makes show everything: 162 faults.
    const made = call('exercise', 'good.jed', ...AS_14L4, '--out', 'new.jed').written.get('new.jed')!
    const ran = callProgram(['grade', 'good.jed', ...AS_14L4, '--vectors', 'new.jed', '--json'], {
      ...FILES,
      'new.jed': made,
    })
    expect(documentOf(ran).faults).toMatchObject({ shown: 162, missed: 0 })
  })
})

describe('exercise', () => {
  test.each([
    ['good.jed', AS_14L4],
    ['gauge.jed', []],
  ])('writes a file for %s whose vectors all hold and whose sums are right', (name, device) => {
    const ran = call('exercise', name, ...device, '--out', 'new.jed', '--json')
    expect([ran.code, ran.err]).toEqual([0, ''])
    const made = documentOf(ran)
    expect(Object.keys(made)).toEqual([...GRADE_KEYS, 'lowerBound', 'out'])
    expect(made.out).toBe('new.jed')
    const files = { 'new.jed': ran.written.get('new.jed')! }
    const checked = callProgram(['check', 'new.jed', ...device, '--json'], files)
    expect(checked.code).toBe(0)
    const { checksums, testVectors } = documentOf(checked)
    expect([checksums.fuse.status, checksums.transmission.status]).toEqual(['match', 'match'])
    expect(testVectors).toMatchObject({ count: made.vectors, passed: made.vectors })
    // The same fuses: the checksum that the file states has not changed.
    expect(checksums.fuse.computed).toBe(
      documentOf(call('check', name, ...device, '--json')).checksums.fuse.computed,
    )
  })

  test('exits 1 and writes nothing where the map cannot be decoded', () => {
    const ran = call('exercise', 'unknown.jed', '--out', 'new.jed', '--json')
    expect([ran.code, ran.written.size]).toEqual([1, 0])
    expect(documentOf(ran)).toMatchObject({ reason: 'no-logic', out: null })
  })
})

describe('distinguish', () => {
  test('exits 0 where all are told apart; a chip with the first passes, one with the second fails', () => {
    const ran = call('distinguish', 'good.jed', 'flipped.jed', ...AS_14L4, '--out', 'which.jed', '--json')
    expect([ran.code, ran.err]).toEqual([0, ''])
    const told = documentOf(ran)
    expect(Object.keys(told).sort()).toEqual(
      ['failing', 'files', 'findings', 'out', 'pairs', 'part', 'schema', 'start', 'vectors', 'verdict'].sort(),
    )
    const [pair] = told.pairs
    const files = { ...FILES, 'which.jed': ran.written.get('which.jed')! }
    const judge = (name: string): any =>
      documentOf(callProgram(['check', name, ...AS_14L4, '--vectors', 'which.jed', '--json'], files)).testVectors
    expect(judge('good.jed')).toMatchObject({ count: told.vectors, passed: told.vectors })
    expect(judge('flipped.jed')).toMatchObject({ failed: told.failing[1].length })
    expect(pair).toEqual({ a: 1, b: 2, apart: true, vector: 1, pin: 16 })
  })

  test('exits 1 where two are the same, and writes nothing', () => {
    const ran = call('distinguish', 'good.jed', 'same.jed', ...AS_14L4, '--out', 'which.jed', '--json')
    expect([ran.code, ran.written.size]).toEqual([1, 0])
    expect(documentOf(ran)).toMatchObject({
      vectors: 0,
      out: null,
      pairs: [{ a: 1, b: 2, apart: false, why: 'equal' }],
    })
  })

  test('exits 1 where a map cannot be decoded, and says which', () => {
    const ran = call('distinguish', 'gauge.jed', 'unknown.jed', '--out', 'which.jed', '--json')
    expect(ran.code).toBe(1)
    expect(documentOf(ran)).toMatchObject({ number: 2, reason: 'no-logic', out: null })
  })
})

describe('compare --vectors', () => {
  const DIFFERENT = ['compare', 'good.jed', 'flipped.jed', ...AS_14L4]

  test('writes the counterexample: the intended map passes, the other fails', () => {
    const ran = call(...DIFFERENT, ...OUT, '--json')
    expect([ran.code, ran.err]).toEqual([1, ''])
    const { vectors: made, outputs } = documentOf(ran)
    expect(made).toEqual({
      out: 'shows.jed',
      count: 1,
      start: 'unknown',
      shown: [{ pin: 16, vector: 1 }],
      notShown: [],
    })
    const files = { ...FILES, 'shows.jed': ran.written.get('shows.jed')! }
    const judge = (name: string): any =>
      documentOf(callProgram(['check', name, ...AS_14L4, ...['--vectors', 'shows.jed'], '--json'], files))
    expect(judge('good.jed').testVectors).toMatchObject({ count: 1, passed: 1 })
    expect(judge('flipped.jed').testVectors).toMatchObject({ count: 1, failed: 1 })
    const own = documentOf(callProgram(['check', 'shows.jed', ...AS_14L4, '--json'], files))
    expect(own.checksums).toMatchObject({ fuse: { status: 'match' }, transmission: { status: 'match' } })
    const { conditions } = readFuseFile(files['shows.jed']).vectors[0]!
    // The counterexample of the comparison: pins 1 to 5 at 1, pin 16 high as intended.
    const [{ counterexample }] = outputs.filter(({ relation }: { relation: string }) => relation === 'different')
    for (const [pin, level] of Object.entries(counterexample.inputs))
      expect(conditions![Number(pin) - 1]).toBe(String(level))
    expect(conditions![15]).toBe(counterexample.intended)
    expect(conditions).toMatch(/^[01CKNXHLZ]{20}$/)
  })

  test('says in words what was written, and keeps the comparison as it is', () => {
    const [plain, ran] = [call(...DIFFERENT), call(...DIFFERENT, ...OUT)]
    expect(ran.out.startsWith(plain.out)).toBe(true)
    expect(ran.out).toContain('shows.jed: written, 1 vector.')
    expect(ran.out).toContain('fails at pin 16')
    expect(documentOf(call(...DIFFERENT, '--json'))).not.toHaveProperty('vectors')
  })

  test.each([
    ['equal', ['good.jed', 'same.jed', ...AS_14L4], 0],
    ['no-logic', ['unknown.jed', 'unknown-flipped.jed'], 1],
    ['not-comparable', ['good.jed', 'blank.jed', ...AS_14L4], 3],
  ])('writes nothing, and says so: %s', (why, args, code) => {
    const ran = call('compare', ...args, ...OUT, '--json')
    expect([ran.code, ran.written.size]).toEqual([code, 0])
    expect(documentOf(ran).vectors).toEqual({ out: null, count: 0, why })
    expect(call('compare', ...args, ...OUT).out).toContain('No vectors written: ')
  })

  test('counts on the published power-up state only where no other is stated', () => {
    // Registers that only turn over, or only hold, stay unknown from unknown: what tells them apart is power-up alone.
    const files = { 'turns.jed': oneRegister(3), 'holds.jed': oneRegister(2) }
    const made = (...more: readonly string[]): any =>
      documentOf(callProgram(['compare', 'turns.jed', 'holds.jed', ...more, ...OUT, '--json'], files)).vectors
    expect(made()).toMatchObject({ start: 'power-up', shown: [{ pin: 19 }] })
    for (const stated of ['--power-up', '--other-power-up'])
      for (const state of ['high', 'low', 'unknown'])
        expect(made(stated, state)).toEqual({ out: null, count: 0, why: 'not-found' })
  })

  test('replaces no file unless it is told to, and never one that it reads', () => {
    const kept = { kind: () => 'file' as const }
    const files = { ...FILES, 'shows.jed': GOOD }
    const refused = callProgram([...DIFFERENT, ...OUT], files, kept)
    expect([refused.code, refused.written.size]).toEqual([2, 0])
    expect(refused.err).toContain('--replace')
    expect(callProgram([...DIFFERENT, ...OUT, '--replace'], files, kept)).toMatchObject({ code: 1 })
    const itself = callProgram([...DIFFERENT, '--vectors', 'flipped.jed', '--replace'], files, kept)
    expect([itself.code, itself.written.size]).toEqual([2, 0])
  })
})

describe('wrong use exits 2 with one line', () => {
  test.each([
    ['no file', ['grade'], 'grade'],
    ['two files to grade', ['grade', 'good.jed', 'same.jed'], 'grade'],
    ['no name to write to', ['exercise', 'gauge.jed'], '--out'],
    ['one map', ['distinguish', 'gauge.jed', '--out', 'new.jed'], 'two or more files'],
    ['no name for what tells apart', ['distinguish', 'good.jed', 'same.jed'], '--out'],
    ['no such start', ['grade', 'gauge.jed', '--start', 'warm'], '--start'],
    ['vectors for two parts', ['compare', 'gauge.jed', 'good.jed', '--other-device', '14L4', ...OUT], 'part'],
    ['no such file', ['grade', 'absent.jed'], 'absent.jed'],
  ])('%s', (_, args, said) => {
    const ran = call(...args)
    expect([ran.code, ran.out]).toEqual([2, ''])
    expect(ran.err).toContain(said)
    expect(ran.err.trim().split('\n')).toHaveLength(1)
  })

  test.each([
    ['exercise', ['gauge.jed']],
    ['distinguish', ['good.jed', 'flipped.jed', ...AS_14L4]],
  ])('%s replaces no file unless it is told to, and never one that it reads', (command, args) => {
    const kept = { kind: () => 'file' as const }
    const refused = callProgram([command, ...args, '--out', 'old.jed'], { ...FILES, 'old.jed': GOOD }, kept)
    expect([refused.code, refused.written.size]).toEqual([2, 0])
    expect(refused.err).toContain('--replace')
    const itself = callProgram([command, ...args, '--out', args[0]!, '--replace'], FILES, kept)
    expect([itself.code, itself.written.size]).toEqual([2, 0])
    const replaced = callProgram([command, ...args, '--out', 'old.jed', '--replace'], FILES, kept)
    expect([replaced.code, [...replaced.written.keys()]]).toEqual([0, ['old.jed']])
  })
})

describe('a file with an error besides its vectors', () => {
  // One fuse digit of the standard's example is wrong, and so is its sum (124E, 126E).
  test.each([
    ['exercise', ['flipped.jed']],
    ['distinguish', ['flipped.jed', 'good.jed']],
  ])('%s makes no new file of its fuses, in which they would look sound', (command, args) => {
    const ran = call(command, ...args, ...AS_14L4, '--out', 'new.jed')
    expect([ran.code, ran.err, ran.written.size]).toEqual([1, '', 0])
    expect(ran.out.replace(/\s+/g, ' ')).toContain(
      'flipped.jed: no vectors: its fuses cannot be trusted; the fuse checksum is stated as 124E',
    )
    const document = documentOf(call(command, ...args, ...AS_14L4, '--out', 'new.jed', '--json'))
    expect(document).toMatchObject({ refused: true, reason: 'not-trusted', verdict: 'fail', out: null })
  })

  test('compare --vectors writes none where the intended file has it', () => {
    const ran = call('compare', 'flipped.jed', 'good.jed', ...AS_14L4, ...OUT)
    expect([ran.code, ran.written.size]).toEqual([1, 0])
    expect(ran.out).toContain('the fuses of the intended file cannot be trusted')
  })

  test('grade counts on, and tells the error', () => {
    const document = documentOf(call('grade', 'flipped.jed', ...AS_14L4, '--json'))
    expect(document.verdict).toBe('fail')
    expect(document.findings.map(({ code }: { code: string }) => code)).toContain('checksum/fuse-mismatch')
  })
})
