/** `check` of many files and of folders: a line a file, totals, which maps are alike. Invented designs. */
import { expect, test } from 'vitest'
import { renderOverview } from '../src/cli/check-overview'
import type { Kind } from '../src/cli/host'
import { check, fuseMapFrom, writeFuseFile } from '../src/index'
import { callProgram, documentOf, type Files, type Ran } from './call-program'
import type { DesignOutput, Term } from './parts/design'
import { encode } from './parts/encoder'

const high = (pin: number, terms: readonly Term[]): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: true,
  enable: 'always',
  terms,
})
const fileOf = (terms: readonly Term[], note = ''): Uint8Array =>
  writeFuseFile({
    fuses: fuseMapFrom(encode({ part: '16V8', mode: 'complex', outputs: [high(18, terms)] }).join('')),
    ...(note ? { notes: [note] } : {}),
  })

const wrong = new TextDecoder().decode(fileOf([[4]])).replace(/C[0-9A-F]{4}\*/, 'C0001*')
const FILES: Files = {
  'set/and.jed': fileOf([[2, 3]]),
  'set/and-noted.JED': fileOf([[2, 3]], 'the same'),
  // p2 ∧ p3 ∨ p2 ∧ p3 ∧ p4 is p2 ∧ p3 (absorption).
  'set/deep/absorbed.jed': fileOf([
    [2, 3],
    [2, 3, 4],
  ]),
  'set/or.jed': fileOf([[2], [3]]),
  'set/wrong.jed': wrong,
  'set/read me.txt': 'no fuse file',
  'bare/notes.txt': 'none',
}
const FOLDERS = ['set', 'set/deep', 'bare']
const tree = {
  kind: (name: string): Kind =>
    FOLDERS.includes(name.replace(/\/$/, '')) ? 'folder' : name in FILES ? 'file' : 'none',
  list: (name: string): readonly string[] =>
    [...Object.keys(FILES), ...FOLDERS]
      .filter((path) => path.startsWith(`${name}/`))
      .map((path) => path.slice(name.length + 1))
      .filter((rest) => !rest.includes('/')),
}
const call = (...args: readonly string[]): Ran => callProgram(['check', ...args], FILES, tree)

test('a folder: a line a file, the worst first, totals, equal maps', () => {
  const ran = call('set/')
  expect([ran.code, ran.err]).toEqual([1, ''])
  const lines = ran.out.split('\n')
  expect(lines[0]).toMatch(/^fail {5}set\/wrong\.jed {10}The fuse checksum/)
  expect(lines.slice(1)).toEqual([
    'pass     set/and-noted.JED      16V8, complex mode',
    'pass     set/and.jed            16V8, complex mode',
    'pass     set/deep/absorbed.jed  16V8, complex mode',
    'pass     set/or.jed             16V8, complex mode',
    '',
    '5 files: 1 fail, 4 pass',
    '',
    'the same fuses:',
    '  set/and-noted.JED',
    '  set/and.jed',
    '',
    'other fuses, logic proved equal as a 16V8:',
    '  set/and-noted.JED',
    '  set/deep/absorbed.jed',
    '',
  ])
  expect(lines.filter((line) => line.length > 80)).toEqual([])
})

test('in ASCII a cut reason ends in three dots, within 80 columns', () => {
  const [first] = call('set/', '--ascii').out.split('\n')
  expect(first).toMatch(/^fail {5}set\/wrong\.jed {10}The fuse checksum[ -~]*\.\.\.$/)
  expect(first!.length).toBeLessThanOrEqual(80)
})

test('a folder is what a call without a command may name too', () => {
  expect(callProgram(['set'], FILES, tree).out).toBe(call('set').out)
})

test('a file that cannot be read stands first and hides no other', () => {
  const ran = call('set/or.jed', 'locked.jed', 'set/and.jed')
  expect([ran.code, ran.err]).toEqual([2, 'fuse-assay: locked.jed: it may not be read; check the name\n'])
  expect(ran.out.split('\n')).toEqual([
    'unread   locked.jed   it may not be read',
    'pass     set/or.jed   16V8, complex mode',
    'pass     set/and.jed  16V8, complex mode',
    '',
    '3 files: 2 pass, 1 unread',
    '',
  ])
})

test('--all prints the full reports, --json an array, also of a folder with one file', () => {
  const all = call('set', '--all')
  expect(all.out.match(/^set\/\S+: (pass|fail)/gm)).toHaveLength(5)
  expect(documentOf(call('set', '--json'))).toHaveLength(5)
  expect(documentOf(call('set/deep', '--json'))).toHaveLength(1)
  expect(documentOf(call('set/or.jed', '--json')).verdict).toBe('pass')
})

test('a folder without a fuse file is wrong usage', () => {
  const ran = call('bare')
  expect([ran.code, ran.out, ran.err]).toEqual([
    2,
    '',
    'fuse-assay: bare: no file in it ends in .jed, .jedec or .jdc; name the files\n',
  ])
})

test('a name stays whole; what would not fit beside it is cut', () => {
  const name = `${'long/'.repeat(15)}a.jed` // 80 characters with the verdict in front: no room for a reason
  const out = renderOverview([{ name, checked: check(fileOf([[2]]), { name }) }], [])
  expect(out.split('\n')[0]).toBe(`pass     ${name}`)
})

test.each([
  [60, 60],
  [80, 80],
  [100, 100],
  [200, 100],
  [20, 60],
])('a terminal of %i columns: lines of at most %i, reasons behind names of up to half of that', (width, most) => {
  const names = ['short.jed', `${'x'.repeat(most / 2 - 4)}.jed`]
  const files = names.map((name) => ({ name, checked: check(wrong, { name }) }))
  const lines = renderOverview(files, [], { width }).split('\n').slice(0, 2)
  for (const line of lines) {
    expect(line.length).toBeLessThanOrEqual(most)
    expect(line.length).toBeGreaterThan(most - 12)
    expect(line.indexOf('  The fuse')).toBe(9 + most / 2)
  }
})

test('pairs beyond the bound are counted and said', () => {
  // Four different maps have six pairs: with two compared, four are left.
  const files = [[[2]], [[3]], [[4]], [[5]]].map((terms, i) => {
    const name = `${i}.jed`
    return { name, checked: check(fileOf(terms), { name }) }
  })
  expect(renderOverview(files, [], { maxPairs: 2 })).toContain(
    '\n2 pairs of maps of one part were compared, which is the bound; 4 pairs were not\n',
  )
  expect(renderOverview(files, [], { maxPairs: 6 })).not.toContain('pairs')
})
