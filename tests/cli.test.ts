/**
 * The program as a function of its arguments and a host: exit codes, JSON keys, one line on standard error for wrong
 * usage.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { run } from '../src/cli/every-command'
import type { Host } from '../src/cli/host'
import { check, listDevices, verify } from '../src/index'

const EXAMPLE = readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url))
const GAUGE = readFileSync(new URL('../vectors/demo/tide-gauge-16v8.jed', import.meta.url))
const FLIPPED = readFileSync(new URL('../vectors/demo/example-one-fuse-flipped.jed', import.meta.url))
const CHANGED = readFileSync(new URL('../vectors/demo/example-line-ends-changed.jed', import.meta.url))
/** The last digit of the transmission checksum is another one, which no change of line ends explains. */
const DOUBTFUL = Uint8Array.from(EXAMPLE, (byte, i) => (i === EXAMPLE.length - 1 ? byte ^ 1 : byte))

interface Ran {
  readonly code: number
  readonly out: string
  readonly err: string
  readonly written: ReadonlyMap<string, Uint8Array>
}

/** Runs the program over files held in memory; `-` is what stands under that name. */
function call(
  args: readonly string[],
  files: Readonly<Record<string, Uint8Array>> = {
    'example.jed': EXAMPLE,
    'gauge.jed': GAUGE,
    'flipped.jed': FLIPPED,
    'changed.jed': CHANGED,
    'doubtful.jed': DOUBTFUL,
  },
): Ran {
  let out = ''
  let err = ''
  const written = new Map<string, Uint8Array>()
  const host: Host = {
    read(path) {
      const bytes = files[path]
      if (!bytes) throw Object.assign(new Error(path), { code: 'ENOENT' })
      return bytes
    },
    write: (path, bytes) => void written.set(path, bytes),
    kind: () => 'none',
    list: () => [],
    same: (a, b) => a === b,
    out: (text) => void (out += text),
    err: (text) => void (err += text),
  }
  return { code: run(args, host), out, err, written }
}

const json = (ran: Ran): any => JSON.parse(ran.out)

describe('check', () => {
  test('a sound file with a stated part passes and exits 0', () => {
    const ran = call(['check', 'example.jed', '--device', 'pal14l4', '--json'])
    expect(ran.code).toBe(0)
    expect(ran.err).toBe('')
    // Values as JEDEC Standard 3-A prints them: 448 fuses, C124E, 8A76, eight vectors.
    expect(json(ran)).toMatchObject({
      file: 'example.jed',
      verdict: 'pass',
      fuseCount: 448,
      pinCount: 20,
      device: { part: '14L4', mode: null, basis: 'choice' },
      candidates: ['14H4', '14L4'],
      checksums: {
        fuse: { stated: '124E', computed: '124E', status: 'match', explanation: null },
        transmission: { stated: '8A76', computed: '8A76', status: 'match', explanation: null },
      },
      security: null,
      testVectors: { count: 8, passed: 8, failed: 0, undetermined: 0, readings: [] },
    })
  })

  test('the fixed keys are all there, findings with code, severity, message and position', () => {
    const report = json(call(['check', 'flipped.jed', '--device', '14L4', '--json']))
    for (const key of [
      'file',
      'verdict',
      'fuseCount',
      'pinCount',
      'device',
      'candidates',
      'checksums',
      'security',
      'testVectors',
      'findings',
    ])
      expect(report).toHaveProperty(key)
    for (const finding of report.findings) {
      expect(finding.code).toMatch(/^[a-z]+\/[a-z-]+$/)
      expect(['error', 'warning', 'note']).toContain(finding.severity)
      expect(finding.message).not.toBe('')
      if (finding.position) expect(Object.keys(finding.position)).toEqual(['offset', 'line', 'column'])
    }
  })

  test('a failing file exits 1, a caution 0, and 1 with --strict', () => {
    expect(call(['check', 'flipped.jed', '--device', '14L4']).code).toBe(1)
    expect(call(['check', 'doubtful.jed', '--device', '14L4']).code).toBe(0)
    expect(call(['check', 'doubtful.jed', '--device', '14L4', '--strict']).code).toBe(1)
    // Line ends alone are no caution where the fuse checksum is right.
    expect(call(['check', 'changed.jed', '--device', '14L4', '--strict']).code).toBe(0)
    expect(call(['check', 'example.jed', '--device', '14L4', '--strict']).code).toBe(0)
  })

  test('a part that the size contradicts: error, device null, candidates kept', () => {
    const ran = call(['check', 'example.jed', '--device', '16V8', '--json'])
    expect(ran.code).toBe(1)
    expect(json(ran)).toMatchObject({ verdict: 'fail', device: null, candidates: ['14H4', '14L4'] })
    expect(json(ran).findings[0]).toMatchObject({ code: 'device/size-mismatch', severity: 'error' })
  })

  test('several files give an array; unreadable ones a line each on standard error and exit 2', () => {
    expect(json(call(['check', 'gauge.jed', 'flipped.jed', '--json']))).toHaveLength(2)
    const ran = call(['check', 'gauge.jed', 'missing.jed', 'flipped.jed', '--json'])
    expect(ran.code).toBe(2)
    expect(json(ran).map((report: any) => report.file)).toEqual(['gauge.jed', 'flipped.jed'])
    expect(ran.err).toBe('fuse-assay: missing.jed: there is no such file; check the name\n')
  })

  test('standard input is a file', () => {
    expect(json(call(['check', '-', '--json'], { '-': GAUGE })).verdict).toBe('pass')
  })

  test('vectors of another file are run on this one', () => {
    const withoutVectors = new TextEncoder().encode(
      new TextDecoder().decode(GAUGE).replace(/V\d{4} [^*]*\*\r\n/g, ''),
    )
    const files = { 'bare.jed': withoutVectors, 'gauge.jed': GAUGE, 'empty.jed': withoutVectors }
    expect(json(call(['check', 'bare.jed', '--json'], files)).testVectors.count).toBe(0)
    expect(json(call(['check', 'bare.jed', '--vectors', 'gauge.jed', '--json'], files)).testVectors).toMatchObject({
      count: 10,
      passed: 10,
    })
    const ran = json(call(['check', 'gauge.jed', '--vectors', 'empty.jed', '--json'], files))
    expect(ran.findings.map((finding: any) => finding.code)).toContain('vector/source-unusable')
  })

  test.each([
    ['an empty file', new Uint8Array(0), ['file/empty']],
    [
      'a picture',
      new Uint8Array([0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70, 2, 3, 42]),
      ['file/not-a-fuse-file', 'file/look-alike'],
    ],
    [
      'a web page',
      new TextEncoder().encode('<!DOCTYPE html><html><body>* not found *</body></html>'),
      ['file/not-a-fuse-file', 'file/look-alike'],
    ],
  ])('%s fails with a clear finding and no stack trace', (_, bytes, codes) => {
    const ran = call(['check', 'x.jed', '--json'], { 'x.jed': bytes })
    expect(ran.code).toBe(1)
    expect(json(ran).findings.map((finding: any) => finding.code)).toEqual(codes)
    expect(call(['check', 'x.jed'], { 'x.jed': bytes }).out).not.toMatch(/ at .*\.ts|undefined|NaN/)
  })
})

describe('wrong usage exits 2 with one line that says what to do', () => {
  test.each([
    [[]],
    [['assay', 'x']],
    [['check']],
    [['check', 'missing.jed']],
    [['check', 'example.jed', '--device', '99Z9']],
    [['check', 'example.jed', '--device']],
    [['check', 'example.jed', '--colour']],
    [['check', 'example.jed', '--out', 'x']],
    [['check', 'example.jed', '--vectors', 'missing.jed']],
    [['show']],
    [['show', 'example.jed', 'gauge.jed']],
    [['devices', '99Z9']],
    [['rewrite', 'changed.jed']],
    [['rewrite', 'changed.jed', '--out', 'changed.jed']],
    [['rewrite', 'changed.jed', '--out', 'x', '--line-ends', 'cr']],
    [['toString', 'x']],
  ])('%j', (args) => {
    const ran = call(args)
    expect(ran.code).toBe(2)
    expect(ran.out).toBe('')
    expect(ran.err).toMatch(/^fuse-assay: .+\n$/)
    expect(ran.err.trim().split('\n')).toHaveLength(1)
  })
})

describe('show', () => {
  test('prints the equations of the decoded part', () => {
    // The standard's rows: L0112 is 1 ∧ 2 ∧ 3 ∧ 4 ∧ ¬5 in the columns of a 14L4, outputs active low.
    const ran = call(['show', 'example.jed', '--device', '14L4'])
    expect(ran.code).toBe(0)
    expect(ran.out).toContain('p16 = ¬(p2 ∧ p1 ∧ p3 ∧ p4 ∧ ¬p5)')
  })

  test('exits 1 and names the candidates where the part is open', () => {
    const ambiguous = new TextEncoder().encode('\x02*QF448*F0*C0000*\x03')
    const ran = call(['show', 'x.jed', '--json'], { 'x.jed': ambiguous })
    expect(ran.code).toBe(1)
    expect(json(ran)).toMatchObject({ part: null, candidates: ['14H4', '14L4'] })
    expect(call(['show', 'x.jed'], { 'x.jed': ambiguous }).out).toContain('one of 14H4, 14L4')
  })
})

describe('devices', () => {
  test('lists the catalogue and one part', () => {
    expect(json(call(['devices', '--json'])).map((device: any) => device.part)).toEqual(
      expect.arrayContaining(['14H4', '14L4', '16V8']),
    )
    const ran = call(['devices', 'gal16v8'])
    expect(ran.code).toBe(0)
    for (const fact of [
      '2194',
      'PTD 2128 to 2191',
      'SYN, AC0 2192 to 2193',
      'pin 18: 8-15',
      'registered mode',
      'GAL16V8 data sheet',
    ])
      expect(ran.out).toContain(fact)
  })

  test('has every part once, under the title of its family, with pins, fuses and title in a line of 80', () => {
    const { out } = call(['devices'])
    const lines = out.split('\n').filter((line) => line.startsWith('  '))
    expect(lines.map((line) => line.trim().split(' ')[0])).toEqual(listDevices().map(({ part }) => part))
    expect(out).toContain('Small PALs of 20 pins\n  10H8    20 pins   320 fuses')
    expect(out).toContain('  14L4    20 pins   448 fuses  Four active-low outputs, 14 inputs\n')
    expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  })

  test.each(listDevices().map(({ part }) => part))('%s: one screen of 24 lines by 80 columns, all of it in full', (part) => {
    const { code, out } = call(['devices', part])
    expect(code).toBe(0)
    expect(out.trimEnd().split('\n').length).toBeLessThanOrEqual(24)
    expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
    const all = call(['devices', part, '--all']).out.replace(/\s+/g, ' ')
    for (const source of listDevices().find((device) => device.part === part)!.sources) expect(all).toContain(source)
  })
})

describe('rewrite', () => {
  test('says that a file which asks for protection makes a chip that cannot be read back', () => {
    const asked = (security: '0' | '1') =>
      call(['rewrite', 'changed.jed', '--out', 'new.jed', '--security', security]).out
    expect(asked('1')).toContain('asks to protect the chip (G1)')
    expect(asked('0')).not.toContain('G1')
  })

  test('writes the same fuses with right sums', () => {
    const ran = call(['rewrite', 'changed.jed', '--out', 'new.jed'])
    expect(ran.code).toBe(0)
    expect(ran.out).toContain('read back, 0 differ')
    const report = json(
      call(['check', 'new.jed', '--device', '14L4', '--json'], { 'new.jed': ran.written.get('new.jed')! }),
    )
    expect(report.checksums.transmission.status).toBe('match')
    expect(report.checksums.fuse.computed).toBe('124E')
  })

  test('is refused where the fuse checksum is wrong', () => {
    const ran = call(['rewrite', 'flipped.jed', '--out', 'new.jed', '--json'])
    expect(ran.code).toBe(1)
    expect(ran.written.size).toBe(0)
    expect(json(ran)).toMatchObject({ out: null, refused: true, reason: 'not-trusted' })
    expect(json(ran).findings[0].code).toBe('checksum/fuse-mismatch')
  })

  test('sets the security field when asked', () => {
    const ran = call(['rewrite', 'gauge.jed', '--out', 'new.jed', '--security', '1', '--line-ends', 'lf'])
    const text = new TextDecoder().decode(ran.written.get('new.jed')!)
    expect(text).toContain('G1*\n')
    expect(text).not.toContain('\r')
  })
})

test('help and version', () => {
  const version = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')).version
  expect(call(['--help'])).toMatchObject({ code: 0, err: '' })
  expect(call(['check', '--help']).out).toContain('check FILE')
  expect(call(['--version']).out).toBe(`${version}\n`)
})

test('checking gives the report of verifying, the inspected file and its decoded part', () => {
  const { report, inspection, decoded } = check(GAUGE)
  expect(report).toEqual(verify(GAUGE))
  // As the maker beside the file states: 2194 fuses, registered mode, signature “TG-40 B ”.
  expect(inspection.file.fuses!.length).toBe(2194)
  expect(decoded!.mode!.name).toBe('registered')
  expect(new TextDecoder().decode(decoded!.signature!)).toBe('TG-40 B ')
  expect(check(new Uint8Array(0)).decoded).toBeNull()
})

test('an unknown part is refused with the nearest name', () => {
  expect(call(['devices', 'GAL16V9']).err).toBe('fuse-assay: no part GAL16V9; did you mean 16V8?\n')
})
