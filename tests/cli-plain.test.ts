/** The small program that checks one file, beside the whole one: the same answers, or none. */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { checkOneFile, isPlainCheck } from '../src/cli/check-one-file'
import type { Host, Kind } from '../src/cli/host'
import { runWith } from '../src/cli/run'
import { callProgram, type Files } from './call-program'

const EXAMPLE = new Uint8Array(readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url)))
const files: Files = { 'a.jed': EXAMPLE, 'b.jed': EXAMPLE, 'a.txt': new TextEncoder().encode('no fuse file') }
const kind = (name: string): Kind => (name === 'folder' ? 'folder' : name in files ? 'file' : 'none')

/** What a program prints and returns; `asked` is what it read. */
function plain(args: readonly string[]) {
  const seen = { out: '', err: '', asked: [] as string[] }
  const host: Partial<Host> = {
    read(name) {
      seen.asked.push(name)
      const content = files[name]
      if (content !== undefined) return content as Uint8Array
      throw Object.assign(new Error(name), { code: 'ENOENT' })
    },
    kind,
    same: (a, b) => a === b,
    out: (text) => void (seen.out += text),
    err: (text) => void (seen.err += text),
  }
  const code = runWith(args, host as Host, (name, call) => (isPlainCheck(name, call) ? checkOneFile : null))
  return { code, ...seen }
}

test.each([
  ['check a.jed'],
  ['a.jed'],
  ['check a.jed --device 14L4'],
  ['check a.jed --device 14L4 --json'],
  ['check a.jed --strict'],
  ['check a.jed --device 14L4 --all --ascii'],
  ['a.txt'],
  ['check a.txt --json'],
  ['check missing.jed'],
  ['check missing.jed --json'],
  ['check a.jed --device 99Z9'],
  ['check a.jed --hazards'],
  ['check a.jed --html'],
  ['--help'],
  ['show --help'],
  ['--version'],
  ['nonsense'],
  [''],
])('%s: as the whole program says', (line) => {
  const args = line.split(' ').filter((word) => word !== '')
  const { code, out, err } = plain(args)
  const whole = callProgram(args, files, { kind })
  expect({ code, out, err }).toEqual({ code: whole.code, out: whole.out, err: whole.err })
  expect(out + err).not.toBe('')
})

test.each([
  ['check'],
  ['check a.jed b.jed'],
  ['check folder'],
  ['folder'],
  ['check a.jed --vectors b.jed'],
  ['check a.jed --html out.html'],
  ['check a.jed --sarif out.sarif'],
  ['check a.jed --html out.html --replace'],
  ['show a.jed --device 14L4'],
  ['compare a.jed b.jed'],
])('%s: left to the whole program, with nothing read or said', (line) => {
  expect(plain(line.split(' '))).toEqual({ code: null, out: '', err: '', asked: [] })
})
