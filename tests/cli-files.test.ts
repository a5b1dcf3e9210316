/** New files, hostile characters, help pages, and that the library knows nothing of the program. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { COMMANDS } from '../src/cli/commands'
import { nodeHost } from '../src/cli/host'
import { editDistance } from '../src/arguments/nearest'
import { REMEDY_CODES } from '../src/cli/remedies'
import { run } from '../src/cli/every-command'
import { findingCatalogue } from '../src/index'
import { callProgram } from './call-program'

const FOLDER = mkdtempSync(join(tmpdir(), 'files-'))
const EXAMPLE = readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url))
afterAll(() => rmSync(FOLDER, { recursive: true }))

function call(...args: string[]): { readonly code: number; readonly out: string; readonly err: string } {
  let [out, err] = ['', '']
  const host = { ...nodeHost, out: (text: string) => void (out += text), err: (text: string) => void (err += text) }
  return { code: run(args, host), out, err }
}

test('a file that exists is replaced only when asked, an input never', () => {
  const [old, made] = [join(FOLDER, 'old.jed'), join(FOLDER, 'new.jed')]
  writeFileSync(old, EXAMPLE)
  writeFileSync(made, 'kept')
  expect(call('rewrite', old, '--out', made)).toMatchObject({ code: 2, out: '' })
  expect(readFileSync(made, 'utf8')).toBe('kept')
  expect(call('rewrite', old, '--out', old, '--replace').err).toContain('would overwrite what is read')
  expect(readFileSync(old)).toEqual(EXAMPLE)
  expect(call('rewrite', old, '--out', made, '--replace').code).toBe(0)
  expect(readdirSync(FOLDER).sort()).toEqual(['new.jed', 'old.jed'])
})

test('a folder or a device is no document; full output has an exit of its own', () => {
  expect(call('adapter', FOLDER)).toMatchObject({ code: 2 })
  if (existsSync('/dev/null')) expect(call('adapter', '/dev/null').err).toContain('a device or a pipe')
  const host = {
    ...nodeHost,
    out: () => {
      throw Object.assign(new Error('full'), { code: 'ENOSPC' })
    },
    err: () => undefined,
  }
  expect(run(['devices'], host)).toBe(4)
})

test('characters that steer a terminal are shown escaped', () => {
  const ran = callProgram(['check', 'a\u001b[2J\u202e\u0085\nb.jed'], {})
  expect(ran.err).toBe('fuse-assay: a\\u001B[2J\\u202E\\u0085\\u000Ab.jed: there is no such file; check the name\n')
  const name = 'x\u202e\u007f.jed'
  const json = callProgram(['check', name, '--json'], { [name]: EXAMPLE }).out
  expect(json).toContain('x\\u202E\\u007F.jed')
  expect(JSON.parse(json).file).toBe(name)
})

test.each([
  [['chekc', 'x'], 'unknown command chekc; did you mean check?'],
  [['check', 'x', '--devise', 'y'], 'unknown option --devise; did you mean --device?'],
  [['check', 'x', '--json', '--json'], '--json is given twice'],
  [['compare', '-', '-'], 'standard input can be read only once'],
])('%j', (args, message) => {
  const ran = callProgram(args, {})
  expect(ran).toMatchObject({ code: 2, out: '' })
  expect(ran.err.startsWith(`fuse-assay: ${message}`), ran.err).toBe(true)
})

test('one exchange of neighbours is one step', () => {
  expect([editDistance('chekc', 'check'), editDistance('', 'abc'), editDistance('abc', 'abd')]).toEqual([1, 3, 1])
})

test.each(Object.keys(COMMANDS))('the page of %s fits 80 columns', (name) => {
  const { out, code } = callProgram([name, '--help'], {})
  expect(code).toBe(0)
  expect(out).toBe(callProgram(['help', name], {}).out)
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  for (const option of COMMANDS[name]!.takes) expect(out).toContain(`--${option}`)
})

test('the library names no option and no command; every remedy belongs to a code', () => {
  const catalogue = findingCatalogue()
  for (const { message, hint } of Object.values(catalogue))
    expect(`${message} ${hint}`).not.toMatch(/ --\w|fuse-assay/)
  expect(REMEDY_CODES.filter((code) => !(code in catalogue))).toEqual([])
})
