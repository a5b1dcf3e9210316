/** Screens of `compare`: the relation with its cause first, written out by hand; and the size of a screen. */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { compare, type CompareOptions } from '../../src/index'
import { renderComparison, type TextOptions } from '../../src/report'

const FOLDER = new URL('../../vectors/findings/', import.meta.url)
const bytes = (name: string): Uint8Array => readFileSync(new URL(name, FOLDER))
const NAMES = { name: 'a.jed', otherName: 'b.jed' }

/** The screen of a case of vectors/findings. */
function screen(name: string, given: CompareOptions, options: TextOptions = {}): string {
  const comparison = compare(bytes(`${name}.jed`), bytes(`${name}.other.jed`), { ...NAMES, ...given })
  return renderComparison(comparison, options)
}

const text = (...lines: readonly string[]): string => `${lines.join('\n')}\n`

describe('a screen of compare', () => {
  test('the same file twice', () => {
    const file = bytes('readback-stuck-row.jed')
    expect(renderComparison(compare(file, file, { ...NAMES, device: '14L4' }))).toBe(
      text(
        'a.jed against b.jed: identical: the same fuses.',
        '',
        '  parts         14L4 on both sides',
        '  fuses         none differs',
        '',
        '  looked at     fuses; not: the logic, timing, drive, the board',
      ),
    )
  })

  test('a stuck column: the pattern in the first sentence, roles with their article, one alphabet of levels', () => {
    // Each of three outputs is the complement of p2 ∧ p3, and of p2 alone once column 4, pin 3, is lost.
    expect(screen('readback-stuck-column', { device: '14L4' })).toBe(
      text(
        'a.jed against b.jed: different: all 3 differences lie in column 4 and read 1;',
        '  pins 15, 16, 17 differ.',
        '  what to do    Clean the contacts, read again and compare both reads: a contact',
        '                or a column of the chip may be bad. [readback/stuck-column]',
        '',
        '  parts         14L4 on both sides',
        '  fuses         3 fuses of the AND array differ',
        '  logic         1 of 4 outputs proved equal, 3 differ',
        '  pin 15        differs in value, for 1 of 4 combinations',
        '                where p2 ∧ ¬p3',
        '                for example p2=1 p3=0: intended 1, read-back 0',
        '  pin 16        differs in value, for 1 of 4 combinations',
        '                where p2 ∧ ¬p3',
        '                for example p2=1 p3=0: intended 1, read-back 0',
        '                and 1 more output',
        '',
        '  pin 17        AND array, row 0: 1 fuse, 4 (p3) 0→1; line 7 of the read-back',
        '  pin 16        AND array, row 4: 1 fuse, 116 (p3) 0→1; line 8 of the read-back',
        '  pin 15        AND array, row 8: 1 fuse, 228 (p3) 0→1; line 9 of the read-back',
        '',
        '  looked at     fuses, logic of 4 outputs; not: timing, drive, the board',
      ),
    )
  })

  test('one polarity fuse: the opposite level, once', () => {
    expect(screen('compare-opposite-level', { device: '16V8' })).toBe(
      text(
        'a.jed against b.jed: different: 1 polarity fuse differs; pin 18 always shows',
        '  the opposite level.',
        '  what to do    Do not take one for the other; each difference is shown with a',
        '                case in which it is seen. [compare/different]',
        '',
        '  parts         16V8 (complex) on both sides',
        '  logic         0 of 1 output proved equal, 1 differs',
        '  pin 18        always shows the opposite level',
        '                for example p2=0: intended 0, read-back 1',
        '',
        '  pin 18        polarity (XOR): 1 fuse, 2049 1→0; line 9 of the intended file',
        '',
        '  looked at     fuses, logic of 1 output; not: timing, drive, the board',
      ),
    )
  })

  test('a blank read-back: no conclusion, and what to do', () => {
    expect(screen('readback-all-alike', { device: '14L4' })).toBe(
      text(
        'a.jed against b.jed: not comparable: all fuses of the read-back are open (1):',
        '  that is a blank, protected or unread chip, and no conclusion.',
        '  what to do    Read again, choose the exact type, and see whether the chip is',
        '                protected. [readback/all-alike]',
        '',
        '  parts         14L4 on both sides',
        '  fuses         not compared',
        '',
        '  looked at     nothing; not: the logic, timing, drive, the board',
      ),
    )
  })

  test.each([
    ['readback-alike-from-row', '14L4', 'different: from fuse 112 in row 4 on, the array of the read-back is all 1'],
    ['readback-signature-only', '16V8', 'equivalent: fuses differ, and the logic is proved equal; only signature'],
    ['readback-repeated-halves', '14L4', 'different: the second half of the read-back’s array repeats the first'],
    ['compare-no-fuses', '14L4', 'not comparable: the read-back gives no complete fuse map, so nothing was compared'],
  ])('the sentence of %s', (name, device, words) => {
    const first = screen(name, { device })
      .split(/\n {2}what to do/)[0]!
      .replace(/\s+/g, ' ')
    expect(first).toContain(`a.jed against b.jed: ${words}`)
  })
})

describe('the form of a screen', () => {
  const cases = readdirSync(FOLDER)
    .filter((file) => file.endsWith('.other.jed'))
    .map((file) => file.replace('.other.jed', ''))
    .filter((name) => !name.startsWith('adapter') && !/^(readings|distinguish)/.test(name))
    .map((name) => {
      const { options = {} } = JSON.parse(readFileSync(new URL(`${name}.json`, FOLDER), 'utf8'))
      const { vectors: _, ...given } = options
      return { name, given: given as CompareOptions }
    })
  const isTooWide = (line: string, width: number): boolean => line.length > width && /^\s*(\S+\s+)?\S+\s\S/.test(line)

  test.each([60, 80, 100])('no line is wider than %i where it could be broken', (width) => {
    expect(cases.length).toBeGreaterThan(20)
    for (const { name, given } of cases)
      for (const all of [false, true]) {
        const wide = screen(name, given, { width, all })
          .split('\n')
          .filter((line) => isTooWide(line, width))
        expect({ name, wide }).toEqual({ name, wide: [] })
      }
  })

  test('nine in ten fit 24 lines of 80 columns', () => {
    const lines = cases.map(({ name, given }) => screen(name, given).trimEnd().split('\n').length)
    expect(lines.filter((count) => count <= 24).length).toBeGreaterThanOrEqual(0.9 * lines.length)
  })

  test('everything is there on request: each finding of both files with what to do about it', () => {
    for (const { name, given } of cases) {
      const comparison = compare(bytes(`${name}.jed`), bytes(`${name}.other.jed`), given)
      const shown = renderComparison(comparison, { all: true }).replace(/\s+/g, ' ')
      const missing = comparison.findings.filter(
        ({ message, hint }) => ![message, hint].every((words) => shown.includes(words.replace(/\s+/g, ' '))),
      )
      expect({ name, missing }).toEqual({ name, missing: [] })
    }
  })

  test('in ASCII the signs of logic are words', () => {
    const shown = screen('readback-stuck-column', { device: '14L4' }, { ascii: true })
    expect(shown).toContain('where p2 and not p3')
    expect(shown).not.toMatch(/[^\x20-\x7e\n]/)
  })
})
