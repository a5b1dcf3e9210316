/** `run`: exit codes, the JSON document, the wave file, one line for wrong usage. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Host } from '../src/cli/host'
import { run } from '../src/cli/every-command'
import { readDump, valueAt } from './sequence/vcd-reader'

const EXAMPLE = readFileSync(new URL('../vectors/published/jesd3a-14l4.jed', import.meta.url))
const GAUGE = readFileSync(new URL('../vectors/demo/tide-gauge-16v8.jed', import.meta.url))
const FLIPPED = readFileSync(new URL('../vectors/demo/example-one-fuse-flipped.jed', import.meta.url))
const CHANGED = readFileSync(new URL('../vectors/demo/example-line-ends-changed.jed', import.meta.url))
/** The last digit of the transmission checksum is another one, which no change of line ends explains. */
const DOUBTFUL = Uint8Array.from(EXAMPLE, (byte, i) => (i === EXAMPLE.length - 1 ? byte ^ 1 : byte))

const bytes = (value: unknown): Uint8Array =>
  new TextEncoder().encode(typeof value === 'string' ? value : JSON.stringify(value))

/** Home, then four steps forward: pins 19 and 18 count in Gray code, as the notes of the file have it. */
const PINS = { clk: 1, run: 2, forward: 3, home: 4, off: 11 }
const AT_REST = { clk: 0, run: 1, forward: 1, home: 1, off: 0 }
const STEPS = {
  pins: PINS,
  watch: ['clk', 19, 18],
  steps: [
    { note: 'home', set: AT_REST, pulse: ['clk'] },
    { note: 'forward', set: { home: 0 }, pulse: ['clk'], repeat: 4 },
  ],
}
const expecting = (level: string): unknown => ({
  ...STEPS,
  steps: STEPS.steps.map((step, i) => (i === 1 ? { ...step, expect: { 19: level } } : step)),
})

const FILES: Readonly<Record<string, Uint8Array>> = {
  'gauge.jed': GAUGE,
  'example.jed': EXAMPLE,
  'flipped.jed': FLIPPED,
  'changed.jed': CHANGED,
  'doubtful.jed': DOUBTFUL,
  'ambiguous.jed': bytes('\x02*QF448*F0*C0000*\x03'),
  'uncovered.jed': bytes('\x02*QF448*L0 1010*C0005*\x03'),
  'empty.jed': new Uint8Array(0),
  'steps.json': bytes(STEPS),
  'holds.json': bytes(expecting('L')),
  'fails.json': bytes(expecting('H')),
  'open.json': bytes({ steps: [{ expect: { 19: 'H' } }] }),
  'gates.json': bytes({ steps: [{ set: { 1: 1 } }] }),
  'wrong.json': bytes({ steps: [{}, { set: { 27: 1 } }] }),
  'list.json': bytes([]),
  'foreign.json': bytes({ speed: 1, steps: [{}] }),
  'later.json': bytes({ schema: 2, steps: [{}] }),
  'quick.json': bytes({ timeStep: 3, steps: [{}] }),
  'cut.json': bytes('{"steps": [\n'),
  'lines.json': bytes('{"steps":\n [x\n]}'),
  'latin.json': new Uint8Array([0x7b, 0x22, 0xe4, 0x22, 0x7d]),
  'mark.json': bytes(`\ufeff${JSON.stringify(STEPS)}`),
}

interface Ran {
  readonly code: number
  readonly out: string
  readonly err: string
  readonly written: ReadonlyMap<string, Uint8Array>
}

function call(args: readonly string[], files = FILES, mayWrite = true): Ran {
  let out = ''
  let err = ''
  const written = new Map<string, Uint8Array>()
  const host: Host = {
    read(path) {
      const content = files[path]
      if (!content) throw Object.assign(new Error(path), { code: 'ENOENT' })
      return content
    },
    write(path, content) {
      if (!mayWrite) throw new Error(path)
      written.set(path, content)
    },
    kind: () => 'none',
    list: () => [],
    same: (a, b) => a === b,
    out: (text) => void (out += text),
    err: (text) => void (err += text),
  }
  return { code: run(['run', ...args], host), out, err, written }
}

const json = (ran: Ran): any => JSON.parse(ran.out)

describe('run', () => {
  test('prints the levels after each step', () => {
    const ran = call(['gauge.jed', '--steps', 'steps.json'])
    expect(ran).toMatchObject({ code: 0, err: '' })
    expect(ran.out.split('\n')[0]).toMatch(/^gauge\.jed, a 16V8 in registered mode: \d+ steps run, /)
    // Forward from 00: 19 rises with 18 low, 18 follows, 19 falls, 18 follows (the vectors of the file say so too).
    const rows = ran.out
      .split('\n')
      .filter((line) => /^ +\d /.test(line))
      .map((line) => line.trim().replace(/ +/g, ' '))
    expect(rows).toEqual(['1 0 0 0 home', '2 0 0 1 forward', '3 0 1 1', '4 0 1 0', '5 0 0 0'])
    expect(ran.written.size).toBe(0)
  })

  test('--json prints one document with the run', () => {
    const ran = call(['gauge.jed', '--steps', 'steps.json', '--json'])
    expect(ran.code).toBe(0)
    const document = json(ran)
    expect(Object.keys(document)).toEqual([
      'schema',
      'file',
      'verdict',
      'candidates',
      'steps',
      'vcd',
      'run',
      'findings',
    ])
    expect(document).toMatchObject({
      file: 'gauge.jed',
      verdict: 'pass',
      candidates: ['16V8'],
      steps: 'steps.json',
      vcd: null,
    })
    expect(document.run).toMatchObject({
      part: '16V8',
      mode: 'registered',
      pins: [
        { pin: 1, name: 'clk' },
        { pin: 19, name: null },
        { pin: 18, name: null },
      ],
      registers: [19, 18],
    })
    expect(document.run.steps.map((step: any) => step.levels)).toEqual(['000', '001', '011', '010', '000'])
  })

  test('--vcd writes waves of the same run', () => {
    const ran = call(['gauge.jed', '--steps', 'steps.json', '--vcd', 'out.vcd'])
    expect(ran.code).toBe(0)
    expect(ran.out.endsWith('\nout.vcd: written.\n')).toBe(true)
    const { variables, end } = readDump(new TextDecoder().decode(ran.written.get('out.vcd')!))
    expect(variables.map(({ name }) => name)).toEqual(['clk', 'p19', 'p18', 'q19', 'q18'])
    expect(end).toBe(500)
    // At the end of each step, and while the clock is high in it.
    expect(
      [0, 1, 2, 3, 4].map((step) =>
        variables
          .slice(1, 3)
          .map((variable) => valueAt(variable, 100 * step + 99))
          .join(''),
      ),
    ).toEqual(['00', '01', '11', '10', '00'])
    expect([0, 1, 2, 3, 4].map((step) => valueAt(variables[0]!, 100 * step + 60))).toEqual(['1', '1', '1', '1', '1'])
    const quiet = call(['gauge.jed', '--steps', 'steps.json', '--vcd', 'out.vcd', '--json'])
    expect(json(quiet).vcd).toBe('out.vcd')
    expect(quiet.written.has('out.vcd')).toBe(true)
  })

  test('contradicted expectations exit 1, open ones with --strict only', () => {
    expect(call(['gauge.jed', '--steps', 'holds.json', '--strict']).code).toBe(0)
    const contradicted = call(['gauge.jed', '--steps', 'fails.json', '--vcd', 'out.vcd'])
    expect(contradicted.code).toBe(1)
    expect(contradicted.out).toContain('step 5, pin 19: expected H, found 0')
    expect(contradicted.written.has('out.vcd')).toBe(true)
    expect(call(['gauge.jed', '--steps', 'open.json']).code).toBe(0)
    expect(call(['gauge.jed', '--steps', 'open.json', '--strict']).code).toBe(1)
    expect(json(call(['gauge.jed', '--steps', 'open.json', '--json'])).run.expectations).toEqual({
      held: 0,
      contradicted: 0,
      open: 1,
    })
  })

  test('says what checking says of the file, and runs all the same', () => {
    const flipped = call(['flipped.jed', '--device', '14L4', '--steps', 'gates.json'])
    expect(flipped.code).toBe(0)
    const start = (ran: Ran): string => ran.out.split('\n\n')[0]!.replace(/\s+/g, ' ')
    expect(start(flipped)).toContain(
      'flipped.jed, a 14L4 (checked: fail (do not burn it); fuse-assay check tells why): ',
    )
    const changed = call(['doubtful.jed', '--device', '14L4', '--steps', 'gates.json'])
    expect(start(changed)).toContain('(checked: caution (look before you burn); fuse-assay check tells why)')
    expect(changed.code).toBe(0)
    expect(call(['doubtful.jed', '--device', '14L4', '--steps', 'gates.json', '--strict']).code).toBe(1)
    expect(call(['example.jed', '--device', '14L4', '--steps', 'gates.json', '--strict']).out).not.toContain(
      'checked:',
    )
  })

  test.each(['ambiguous.jed', 'uncovered.jed', 'empty.jed'])(
    '%s cannot be run: exit 1, findings, no wave file',
    (name) => {
      const device = name === 'uncovered.jed' ? ['--device', '14L4'] : []
      const ran = call([name, '--steps', 'steps.json', '--vcd', 'out.vcd', ...device])
      expect(ran).toMatchObject({ code: 1, err: '' })
      expect(ran.out).toContain(`${name}: its logic cannot be run: `)
      expect(ran.written.size).toBe(0)
      const document = json(call([name, '--steps', 'steps.json', '--vcd', 'out.vcd', '--json', ...device]))
      expect(document).toMatchObject({ run: null, vcd: null })
      expect(document.findings.length).toBeGreaterThan(0)
    },
  )

  test('either file may be standard input, and a byte order mark is no part of JSON', () => {
    expect(call(['-', '--steps', 'steps.json'], { ...FILES, '-': GAUGE }).code).toBe(0)
    expect(call(['gauge.jed', '--steps', '-'], { ...FILES, '-': bytes(STEPS) }).code).toBe(0)
    expect(call(['gauge.jed', '--steps', 'mark.json']).code).toBe(0)
  })
})

describe('wrong usage exits 2 with one line that says what to do', () => {
  test.each([
    [[], 'run takes one FILE'],
    [['gauge.jed'], 'run needs --steps'],
    [['gauge.jed', 'example.jed', '--steps', 'steps.json'], 'run takes one FILE'],
    [['missing.jed', '--steps', 'steps.json'], 'missing.jed: there is no such file'],
    [['gauge.jed', '--steps', 'missing.json'], 'missing.json: there is no such file'],
    [['gauge.jed', '--steps', 'cut.json'], 'cut.json: not a JSON document'],
    [['gauge.jed', '--steps', 'lines.json'], 'lines.json: not a JSON document'],
    [['gauge.jed', '--steps', 'latin.json'], 'latin.json: not a JSON document (it is not UTF-8)'],
    [['gauge.jed', '--steps', 'list.json'], 'list.json: stepList must be an object, not a list'],
    [['gauge.jed', '--steps', 'wrong.json'], 'wrong.json: stepList.steps[1].set.27: a 16V8 has pins 1 to 20'],
    [['gauge.jed', '--steps', 'foreign.json'], 'foreign.json: stepList.speed is not known; known are steps, start, pins'],
    [['gauge.jed', '--steps', 'later.json'], 'later.json: stepList.schema must be 1, not 2'],
    [['gauge.jed', '--steps', 'quick.json'], 'quick.json: stepList.timeStep must be a whole number from 4'],
    [['-', '--steps', '-'], 'standard input can be read only once'],
    [['gauge.jed', '--steps', 'steps.json', '--vcd', '-'], '--vcd needs the name of a file'],
    [['gauge.jed', '--steps', 'steps.json', '--vcd', 'gauge.jed'], '--vcd gauge.jed would overwrite'],
    [['gauge.jed', '--steps', 'steps.json', '--vcd', 'steps.json'], '--vcd steps.json would overwrite'],
    [['gauge.jed', '--steps', 'steps.json', '--device', '99Z9'], '--device 99Z9: no such part'],
    [['gauge.jed', '--steps', 'steps.json', '--out', 'x'], 'run takes no --out'],
  ])('%j', (args, message) => {
    const ran = call(args)
    expect(ran).toMatchObject({ code: 2, out: '' })
    expect(ran.err.startsWith(`fuse-assay: ${message}`), ran.err).toBe(true)
    expect(ran.err.trim().split('\n')).toHaveLength(1)
    expect(ran.written.size).toBe(0)
  })

  test('a wave file that cannot be written', () => {
    const ran = call(['gauge.jed', '--steps', 'steps.json', '--vcd', 'out.vcd'], FILES, false)
    expect(ran).toMatchObject({
      code: 2,
      out: '',
      err: 'fuse-assay: out.vcd cannot be written; choose another place\n',
    })
  })
})
