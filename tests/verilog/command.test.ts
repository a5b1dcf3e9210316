/** `show --verilog`: the module on standard output, as JSON, and what happens where there is none. */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { Host } from '../../src/cli/host'
import { run } from '../../src/cli/every-command'
import { readModule } from './reader'

const FILES: Readonly<Record<string, Uint8Array>> = {
  'gauge.jed': readFileSync(new URL('../../vectors/demo/tide-gauge-16v8.jed', import.meta.url)),
  'example.jed': readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url)),
  'flipped.jed': readFileSync(new URL('../../vectors/demo/example-one-fuse-flipped.jed', import.meta.url)),
  'other.jed': new TextEncoder().encode('\x02*QF448*F0*C0000*\x03'),
}

function call(...args: readonly string[]): { readonly code: number; readonly out: string; readonly err: string } {
  let [out, err] = ['', '']
  const host: Host = {
    read(path) {
      const bytes = FILES[path]
      if (!bytes) throw Object.assign(new Error(path), { code: 'ENOENT' })
      return bytes
    },
    write: () => undefined,
    kind: () => 'none',
    list: () => [],
    same: (a, b) => a === b,
    out: (text) => void (out += text),
    err: (text) => void (err += text),
  }
  return { code: run(args, host), out, err }
}

test('prints one module and nothing else', () => {
  const { code, out, err } = call('show', 'gauge.jed', '--verilog')
  expect([code, err]).toEqual([0, ''])
  expect(readModule(out).name).toBe('part_16v8')
  // 20 pins less two of supply.
  expect(readModule(out).ports.size).toBe(18)
  expect(out).toMatch(/^\/\/ 16V8/)
})

test('the part can be named', () => {
  expect(readModule(call('show', 'example.jed', '--device', '14L4', '--verilog').out).name).toBe('part_14l4')
})

test('a file that fails still shows its logic, as show does, and the module says that it failed', () => {
  const { code, out } = call('show', 'flipped.jed', '--device', '14L4', '--verilog')
  expect(code).toBe(call('show', 'flipped.jed', '--device', '14L4').code)
  expect(out.split('\n')[0]).toMatch(/^\/\/ The file's verdict is fail: .*checksum\/fuse-mismatch/)
  expect(readModule(out).name).toBe('part_14l4')
})

test('with --json an object that holds the module beside what show gives', () => {
  const { code, out } = call('show', 'gauge.jed', '--verilog', '--json')
  const { verilog, ...rest } = JSON.parse(out)
  expect(code).toBe(0)
  expect(verilog).toBe(call('show', 'gauge.jed', '--verilog').out)
  expect(rest).toEqual(JSON.parse(call('show', 'gauge.jed', '--json').out))
  expect(rest).toMatchObject({ file: 'gauge.jed', candidates: ['16V8'] })
})

test('without a part: exit 1, the reason, and null in JSON', () => {
  const plain = call('show', 'other.jed', '--verilog')
  expect(plain).toEqual(call('show', 'other.jed'))
  expect(plain.code).toBe(1)
  expect(plain.out).toContain('one of 14H4, 14L4')
  const { code, out } = call('show', 'other.jed', '--verilog', '--json')
  expect(code).toBe(1)
  expect(JSON.parse(out)).toMatchObject({ verilog: null, candidates: ['14H4', '14L4'] })
})

test('no other command takes it', () => {
  expect(call('check', 'gauge.jed', '--verilog')).toMatchObject({ code: 2, out: '' })
  expect(call('show', '--help').out).toContain('[--verilog]')
})
