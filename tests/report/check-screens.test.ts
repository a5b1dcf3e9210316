/**
 * Screens of `check`: what a person sees first, written out by hand for the usual cases, and the size of a screen for
 * every file of vectors/.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { verify, type Finding, type Report, type VerifyOptions } from '../../src/index'
import { renderReport, type TextOptions } from '../../src/report'
import { callProgram } from '../call-program'

const folder = (name: string): URL => new URL(`../../vectors/${name}/`, import.meta.url)
const EXAMPLE = readFileSync(new URL('jesd3a-14l4.jed', folder('published')))
const demo = (name: string): Uint8Array => readFileSync(new URL(name, folder('demo')))

function screen(input: Uint8Array | string, given: VerifyOptions = {}, options: TextOptions = {}): string {
  return renderReport(verify(input, { name: 'x.jed', ...given }), options)
}

/** What is written out below, each line a string, without the empty line at its end. */
const text = (...lines: readonly string[]): string => `${lines.join('\n')}\n`

describe('a screen of check', () => {
  test('a pass: what speaks for it, the facts, what was looked at', () => {
    expect(screen(EXAMPLE, { device: '14L4' })).toBe(
      text(
        'x.jed: pass (nothing speaks against it): both checksums are right, 8 of 8 test',
        '  vectors hold.',
        '',
        '  part          14L4 (as chosen)',
        '  fuses         448; the checksum 124E is right',
        '  transmission  the checksum 8A76 is right',
        '  protection    not stated',
        '  test vectors  8 run: all hold',
        '',
        '  looked at     both sums, logic, 8 vectors; not: the chip, timing, the board',
        '  burning       keep the download; exact type; protect last; verify after',
      ),
    )
  })

  /** The example with pin 5 at X in some vectors, no level of X, and the transmission checksum not computed. */
  const withPin5Open = (...vectors: readonly string[]): string =>
    new TextDecoder('latin1')
      .decode(EXAMPLE)
      .split('\n')
      .map((line) => (vectors.includes(line.slice(0, 5)) ? line.replace(/^(.{6}....)./, '$1X') : line))
      .join('\n')
      .replace('X0*', '')
      .replace(/....$/, '0000')
  const headline = (input: string): string => screen(input, { device: '14L4' }).split('\n\n')[0]!

  test('vectors that hold under one plain reading are said to hold with it, not to fail', () => {
    // Vector 7 expects L at pin 16 = ¬(p1 ∧ p2 ∧ p3 ∧ p4 ∧ ¬p5), which is so with pin 5 at 0.
    expect(headline(withPin5Open('V0007'))).toBe(
      [
        'x.jed: pass (nothing speaks against it): the fuse checksum is right, 8 of 8',
        '  test vectors hold with X taken as 0.',
      ].join('\n'),
    )
  })

  test('vectors that no plain reading settles are the cause of a caution', () => {
    // Vector 8 expects L at pin 14 = ¬(p1 ∧ p2 ∧ p3 ∧ p4 ∧ p5), which is so with pin 5 at 1.
    expect(headline(withPin5Open('V0007', 'V0008'))).toContain('caution (look before you burn): of 8 vectors, 2 stay open')
  })

  test('the wrong part: which part the size fits instead, and nothing of its logic', () => {
    expect(screen(EXAMPLE, { device: '16V8' })).toBe(
      text(
        'x.jed: fail (do not burn it): a 16V8 has 2194 fuses, the file has 448, as have',
        '  the 14H4 and 14L4.',
        '  what to do    This file is for another part; do not burn it into a 16V8. To',
        '                examine it, choose 14H4 or 14L4.',
        '  where         the file as a whole [device/size-mismatch]',
        '',
        '  part          one of 14H4, 14L4',
        '  fuses         448; the checksum 124E is right',
        '  transmission  the checksum 8A76 is right',
        '  protection    not stated',
        '  test vectors  none run',
        '',
        '  looked at     both sums; not: the logic, the chip, timing, the board',
      ),
    )
  })

  test('a cut file: what is missing besides follows from that and is not told again', () => {
    expect(screen(demo('example-cut-in-half.jed'))).toBe(
      text(
        'x.jed: fail (do not burn it): the file ends before its end mark (ETX) in the',
        '  middle of “L0224 01”: it may have been cut, and what is missing cannot be',
        '  known.',
        '  what to do    Download or read it again; do not burn a part of a file.',
        '  where         line 10, column 1 (byte 300) [file/cut-short]',
        '',
        '  part          one of 14H4, 14L4',
        '  fuses         448, not all of them known',
        '  transmission  no checksum',
        '  protection    not stated',
        '  test vectors  none run',
        '',
        '  looked at     nothing; not: the logic, the chip, timing, the board',
      ),
    )
  })

  test('a cut file of a part with modes: its fuses that are not there make no mode and no signature', () => {
    // Cut before any list: F0 stands for every fuse, SYN and AC0 included (GAL16V8 data sheet, 16v8_04, p. 3).
    const lines = screen(demo('tide-gauge-16v8.jed').subarray(0, 420)).split('\n')
    expect(lines[0]).toContain('fail (do not burn it): the file ends before its end mark')
    expect(lines.filter((line) => /device\/|signature/.test(line))).toEqual([])
    expect(lines).toContain('  fuses         2194, not all of them known')
  })

  test('an empty file', () => {
    expect(screen('')).toBe(
      text(
        'x.jed: fail (do not burn it): the file is empty.',
        '  what to do    Download or read it again.',
        '  where         line 1, column 1 (byte 0) [file/empty]',
        '',
        '  looked at     nothing; not: the logic, the chip, timing, the board',
      ),
    )
  })

  test('a photograph: what it is stands in the sentence of the verdict', () => {
    // The first bytes of a JFIF image (ITU-T T.871).
    const photo = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 0x10, 0x4a, 0x46, 0x49, 0x46, 0, 1)
    expect(screen(photo)).toBe(
      text(
        'x.jed: fail (do not burn it): this is not a fuse file: it holds neither fuses',
        '  nor test vectors; the file begins like a JPEG picture.',
        '  what to do    Fetch the JEDEC file itself, as plain text; do not burn this.',
        '  where         line 1, column 1 (byte 0) [file/not-a-fuse-file]',
        '',
        '  looked at     nothing; not: the logic, the chip, timing, the board',
      ),
    )
  })

  test('line ends: a pass that says so, once', () => {
    expect(screen(demo('example-line-ends-changed.jed'), { device: '14L4' })).toBe(
      text(
        'x.jed: pass (nothing speaks against it): the fuse checksum is right, line ends',
        '  explain the transmission checksum, 8 of 8 test vectors hold.',
        '',
        '  part          14L4 (as chosen)',
        '  fuses         448; the checksum 124E is right',
        '  transmission  checksum stated 8A76, but the bytes sum to 897F: right once LF',
        '                is made CR LF',
        '  protection    not stated',
        '  test vectors  8 run: all hold',
        '',
        '  looked at     both sums, logic, 8 vectors; not: the chip, timing, the board',
        '  burning       keep the download; exact type; protect last; verify after',
      ),
    )
  })

  test('vectors that contradict the fuses are one finding with a count', () => {
    const wrong = new TextDecoder().decode(EXAMPLE).replace(/V\d{4} [^*]*/g, (vector) => vector.replaceAll('H', 'L'))
    const [first] = screen(wrong, { device: '14L4' }).split('\n  what to do')
    const failed = verify(wrong, { device: '14L4' }).findings.filter(({ code }) => code === 'vector/failed')
    expect(failed.length).toBeGreaterThan(1)
    expect(first!.replace(/\n\s+/g, ' ')).toContain(`; ${failed.length - 1} more of this kind.`)
  })
})

describe('the form of a screen', () => {
  const files = ['demo', 'published', 'findings'].flatMap((name) =>
    readdirSync(folder(name))
      .filter((file) => file.endsWith('.jed'))
      .map((file) => ({ file, bytes: readFileSync(new URL(file, folder(name))) })),
  )
  /** The report of each of these files, made once. */
  const reports = files.map(({ file, bytes }) => ({ file, report: verify(bytes, { name: file }) }))
  /** A line past the width that could be broken: it has a blank behind its indentation and its first word. */
  const tooWide = (shown: string, width: number): readonly string[] =>
    shown.split('\n').filter((line) => line.length > width && /^\s*(\S+\s+)?\S+\s\S/.test(line))

  test.each([60, 80, 100])('no line of a file in vectors/ is wider than %i where it could be broken', (width) => {
    for (const { file, report } of reports) {
      for (const all of [false, true]) {
        const shown = renderReport(report, { width, all })
        expect({ file, wide: tooWide(shown, width) }).toEqual({ file, wide: [] })
      }
    }
  })

  test('nine in ten files of vectors/ fit 24 lines of 80 columns, and those of the demonstration all do', () => {
    const linesOf = (report: Report): number => renderReport(report).trimEnd().split('\n').length
    const counts = reports.map(({ report }) => linesOf(report))
    expect(counts.filter((count) => count <= 24).length).toBeGreaterThanOrEqual(0.9 * counts.length)
    for (const name of readdirSync(folder('demo')).filter((file) => file.endsWith('.jed')))
      expect(linesOf(verify(demo(name), { name }))).toBeLessThanOrEqual(24)
  })

  test('a width out of range is taken as the nearest that is in it', () => {
    for (const [given, taken] of [
      [20, 60],
      [300, 100],
      [undefined, 80],
    ] as const)
      expect(screen(EXAMPLE, {}, { width: given })).toBe(screen(EXAMPLE, {}, { width: taken }))
  })

  test('everything is there on request: each finding with what to do about it', () => {
    for (const { file, report } of reports) {
      const shown = renderReport(report, { all: true }).replace(/\s+/g, ' ')
      const missing = report.findings.filter(
        ({ message, hint }: Finding) => ![message, hint].every((words) => shown.includes(words.replace(/\s+/g, ' '))),
      )
      expect({ file, missing }).toEqual({ file, missing: [] })
    }
  })

  test('in ASCII no other sign is left, and lines still fit', () => {
    for (const { bytes } of files) {
      const shown = renderReport(verify(bytes), { ascii: true, width: 60 })
      expect(shown).not.toMatch(/[∧∨¬“”‘’…→⁺]/)
      expect(tooWide(shown, 64)).toEqual([])
    }
  })
})

describe('the program', () => {
  const files = { 'x.jed': demo('tide-gauge-16v8.jed') }
  const widest = (out: string): number => Math.max(...out.split('\n').map((line) => line.length))

  test('takes the width of the terminal, and 80 columns where there is none', () => {
    const narrow = callProgram(['check', 'x.jed'], files, { columns: () => 60 }).out
    expect(widest(narrow)).toBeLessThanOrEqual(60)
    const { out } = callProgram(['check', 'x.jed'], files)
    expect([widest(out) > 60, widest(out) <= 80]).toEqual([true, true])
  })

  test.each([
    ['de_DE.ISO-8859-1', true],
    ['C', true],
    ['en_US.UTF-8', false],
    ['', false],
  ])('shows ASCII at a terminal of the locale “%s”: %s', (locale, plain) => {
    const host = { columns: () => 80, setting: (name: string) => (name === 'LANG' ? locale : undefined) }
    const { out } = callProgram(['check', 'x.jed'], files, host)
    expect(!out.includes('“')).toBe(plain)
  })

  test('shows ASCII where asked for, and what it left out with --all', () => {
    expect(callProgram(['check', 'x.jed', '--ascii'], files).out).toContain('"TG-40 B"')
    expect(callProgram(['check', 'x.jed'], files).out).not.toMatch(/some PALs\s+start/)
    expect(callProgram(['check', 'x.jed', '--all'], files).out).toMatch(/some PALs\s+start the other way/)
  })
})
