/** `readings` as a command: exit codes, the JSON document, unreadable files, wrong usage. */
import { describe, expect, test } from 'vitest'
import { callProgram, documentOf, type Ran } from '../call-program'
import { readOf, STATES } from './reads'

const FILES = {
  'one.jed': readOf(),
  'two.jed': readOf(),
  'three.jed': readOf({ 40: 0 }),
  'blank.jed': readOf({}, '1'.repeat(2194)),
  'bare.jed': readOf({}, '1'.repeat(2194)),
  'pal.jed': readOf({}, STATES.slice(0, 2048)),
  'faded.jed': readOf({ 40: 0 }, STATES.slice(0, 2048)),
  'empty.jed': '',
  '-': readOf(),
}
const call = (...args: readonly string[]): Ran => callProgram(['readings', ...args], FILES)

describe('readings', () => {
  test('equal reads exit 0', () => {
    const ran = call('one.jed', 'two.jed')
    expect(ran).toMatchObject({ code: 0, err: '' })
    expect(ran.out.split('\n')[0]).toBe('2 reads: the same: all 2194 fuses.')
    expect(call('one.jed', '-').code).toBe(0)
  })

  test('reads that differ exit 1', () => {
    const ran = call('one.jed', 'two.jed', 'three.jed')
    expect(ran).toMatchObject({ code: 1, err: '' })
    expect(ran.out).toContain('fuse 40')
    expect(
      ran.out
        .split('\n')
        .filter((line) => /^ {2}read \d/.test(line))
        .map((line) => line.trim().replace(/ +/g, ' ')),
    ).toEqual(['read 1 one.jed', 'read 2 two.jed', 'read 3 three.jed'])
  })

  test.each(['empty.jed', 'pal.jed'])('%s beside a read of 2194 fuses exits 1', (name) => {
    expect(call('one.jed', name)).toMatchObject({ code: 1, err: '' })
  })

  test('blank reads are equal; with --strict that is not enough', () => {
    expect(call('blank.jed', 'bare.jed').code).toBe(0)
    expect(call('blank.jed', 'bare.jed', '--strict').code).toBe(1)
    expect(call('one.jed', 'two.jed', '--strict').code).toBe(0)
  })

  test('--json prints one document with the fixed keys', () => {
    const ran = call('one.jed', 'three.jed', '--json')
    expect([ran.code, ran.err]).toEqual([1, ''])
    const document = documentOf(ran)
    expect(Object.keys(document)).toEqual([
      'schema',
      'files',
      'equal',
      'verdict',
      'fuseCount',
      'moving',
      'byRow',
      'byColumn',
      'findings',
    ])
    expect(document).toMatchObject({
      files: ['one.jed', 'three.jed'],
      equal: false,
      verdict: 'fail',
      fuseCount: 2194,
      byRow: [{ index: 1, count: 1 }],
      byColumn: [{ index: 8, count: 1 }],
    })
    expect(document.moving).toEqual([
      {
        fuse: 40,
        states: [1, 0],
        toward: 0,
        role: 'and',
        block: 'AND array',
        pin: 19,
        row: 1,
        column: 8,
        input: { pin: 4, complement: false },
      },
    ])
  })

  test('--device tells what fuses are for where the size does not', () => {
    expect(documentOf(call('pal.jed', 'faded.jed', '--json')).moving).toEqual([
      { fuse: 40, states: [1, 0], toward: 0 },
    ])
    expect(documentOf(call('pal.jed', 'faded.jed', '--json', '--device', 'pal16l8')).moving[0]).toMatchObject({
      role: 'and',
      row: 1,
    })
  })

  test('an unreadable file gets its line, the others are compared, exit 2 wins', () => {
    const ran = call('one.jed', 'missing.jed', 'three.jed', '--json')
    expect([ran.code, ran.err]).toEqual([2, 'fuse-assay: missing.jed: there is no such file; check the name\n'])
    expect(documentOf(ran)).toMatchObject({ files: ['one.jed', 'three.jed'], equal: false })
    const two = call('locked.jed', 'one.jed', 'two.jed', 'missing.jed')
    expect([two.code, two.err.trim().split('\n')]).toEqual([
      2,
      [
        'fuse-assay: locked.jed: it may not be read; check the name',
        'fuse-assay: missing.jed: there is no such file; check the name',
      ],
    ])
    expect(two.out.split('\n')[0]).toBe('2 reads: the same: all 2194 fuses.')
  })

  test('with one file left there is nothing to compare', () => {
    expect(call('one.jed', 'missing.jed')).toMatchObject({
      code: 2,
      out: '',
      err: 'fuse-assay: missing.jed: there is no such file; check the name\n',
    })
  })

  test.each([
    [[], 'readings takes two or more files'],
    [['one.jed'], 'readings takes two or more files'],
    [['-', '-'], 'standard input can be read only once'],
    [['one.jed', 'two.jed', '--device', '99Z9'], '--device 99Z9: no such part'],
    [['one.jed', 'two.jed', '--out', 'x'], 'readings takes no --out'],
  ])('%j is wrong usage: exit 2 and one line', (args, message) => {
    const ran = call(...args)
    expect([ran.code, ran.out]).toEqual([2, ''])
    expect(ran.err.startsWith(`fuse-assay: ${message}`), ran.err).toBe(true)
    expect(ran.err.trim().split('\n')).toHaveLength(1)
  })
})
