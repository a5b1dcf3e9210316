/** Pages of check and compare: what every page keeps to, over all of vectors/, and what a page says and shows. */
import { describe, expect, test } from 'vitest'
import { check, compare, inspect, type CompareOptions, type VerifyOptions } from '../../src/index'
import { runSteps, type StepList } from '../../src/logic'
import { checkPage, comparePage, runPage } from '../../src/report'
import { named, rowsOf } from './page-parts'
import { elementsOf, pageErrors, textOf } from './page-rules'
import { granted } from '../granted'
import { bytesOf, files, pairs } from './vector-files'

const EXAMPLE = bytesOf('published/jesd3a-14l4.jed')
const FLIPPED = bytesOf('demo/example-one-fuse-flipped.jed')
const GAUGE = bytesOf('demo/tide-gauge-16v8.jed')

const pageOf = (input: Uint8Array | string, options: VerifyOptions = {}): string =>
  checkPage(check(input, { name: 'a.jed', ...options }))
function comparedPage(a: Uint8Array, b: Uint8Array, options: CompareOptions = {}): string {
  const intended = check(a, options.device === undefined ? {} : { device: options.device })
  return comparePage(compare(a, b, { name: 'a.jed', otherName: 'b.jed', ...options }), { intended })
}

describe('every page keeps to the rules', () => {
  test.each(files)('check %s', (name) => {
    expect(pageErrors(pageOf(bytesOf(name), { name }))).toEqual([])
  })

  test.each(pairs)('compare $name', ({ name, other }) => {
    expect(pageErrors(comparedPage(bytesOf(name), bytesOf(other)))).toEqual([])
  })

  test('several files on one page', () => {
    const checked = files.slice(0, 12).map((name) => check(bytesOf(name), { name }))
    expect(pageErrors(checkPage(checked))).toEqual([])
    expect(pageErrors(checkPage([]))).toEqual([])
  })

  test('and a page that does not is seen', () => {
    const page = pageOf(EXAMPLE)
    const broken = (from: string, to: string): string[] => pageErrors(page.replace(from, to))
    expect(broken('<h2>Facts</h2>', '<h4>Facts</h4>')).toHaveLength(1)
    expect(() => broken('</h2>', '</h4>')).toThrow()
    expect(broken('scope="row"', 'scope=""')).toHaveLength(1)
    expect(broken(' class="kind"', ' onclick="x"')).toHaveLength(1)
    expect(broken('body{', 'body {')).toHaveLength(1)
    expect(broken('lang="en"', 'lang="de"')).toHaveLength(1)
    expect(broken(' tabindex="0"', '')).toHaveLength(1)
  })

  test('a long word of a table may break anywhere, and others never do', () => {
    // 17 characters between two places at which any browser breaks a line are left whole, 18 are not.
    const classOf = (name: string): string | undefined => {
      const page = checkPage([check(EXAMPLE, { name }), check(EXAMPLE, { name: 'b.jed' })])
      return named(page, 'th').find((head) => textOf(head) === name)!.attributes['class']
    }
    expect(classOf('a-afileofmorele.jed')).toBeUndefined()
    expect(classOf('afileofmorelet.jed')).toBe('long')
  })
})

test('no text of a file becomes markup, and what steers the direction of writing is shown', () => {
  const name = '<script>"&\'\u202e\ud800.jed'
  const page = pageOf('\x02N DEVICE <b>16R4</b>*QF2048*F0*C0000*\x03', { name })
  expect(pageErrors(page)).toEqual([])
  expect(textOf(named(page, 'h1')[0]!)).toBe('<script>"&\'\\u202E\\uD800.jed')
  expect(page).not.toContain('<script')
})

describe('the page of a checked file', () => {
  test('says the verdict with its cause first, in the words of the screen', () => {
    const [, answer] = named(pageOf(GAUGE), 'p')
    expect(textOf(answer!)).toBe(
      'pass (nothing speaks against it): both checksums are right, 10 of 10 test vectors hold.',
    )
    const [, failing] = named(pageOf(FLIPPED, { device: '14L4' }), 'p')
    expect([failing!.attributes['class'], textOf(failing!).slice(0, 23)]).toEqual(['answer fail', 'fail (do not burn it): '])
  })

  test('lists every finding, those that follow from others apart', () => {
    const checked = check('', { name: 'a.jed' })
    const cells = rowsOf(checkPage(checked)).map((row) => row.join(' '))
    for (const { code } of checked.report.findings) expect(cells.filter((text) => text.includes(code))).toHaveLength(1)
  })

  test('shows the array: as many marks as fuses connect in rows that somebody programmed', () => {
    // The example has 448 fuses in 16 rows of 28, all 0 in rows that nobody programmed; each 0 elsewhere is a mark.
    const { file } = inspect(EXAMPLE, { device: '14L4' })
    const digits = Array.from({ length: 448 }, (_, i) => (file.fuses!.bits[i >> 3]! >> (i & 7)) & 1)
    const rows = Array.from({ length: 16 }, (_, row) => digits.slice(28 * row, 28 * row + 28))
    const connecting = rows.filter((row) => row.some((fuse) => fuse === 1)).flat().filter((fuse) => fuse === 0).length
    const page = pageOf(EXAMPLE, { device: '14L4' })
    const [picture] = named(page, 'svg')
    const marks = elementsOf(picture!)
      .filter(({ attributes }) => ['on', 'ring'].includes(attributes['class'] ?? ''))
      .reduce((sum, { attributes }) => sum + attributes['d']!.split('M').length - 1, 0)
    expect(connecting).toBeGreaterThan(0)
    expect(marks).toBe(connecting)
  })

  test('has no picture where the part is not known', () => {
    expect(named(pageOf('\x02*QF448*F0*C0000*\x03'), 'svg')).toEqual([])
  })
})

describe('the page of a comparison', () => {
  const page = comparedPage(EXAMPLE, FLIPPED, { device: '14L4' })

  test('says the relation first, then what to do', () => {
    expect(named(page, 'p').map(textOf)[1]).toMatch(/^different: 1 fuse of the AND array differs; pin 16 differs\.$/)
    expect(rowsOf(page)[0]![0]).toBe('what to do')
  })

  test('shows the output that differs with a case of it', () => {
    const row = rowsOf(page).find(([first]) => first === 'pin 16')!
    expect(row[1]).toBe('differs in value, for 1 of 32 combinations')
    expect(row[3]).toBe('p1=1 p2=1 p3=1 p4=1 p5=1: intended 1, read-back 0')
  })

  test('marks the fuse in the map, at its row and column', () => {
    const [picture] = named(page, 'svg')
    const marks = elementsOf(picture!).filter(({ attributes }) => attributes['class'] === 'differs')
    expect(marks).toHaveLength(1)
    const [x, y] = marks[0]!.attributes['d']!.match(/[\d.]+/g)!.map(Number)
    const labels = elementsOf(picture!).filter(({ name }) => name === 'text')
    // Fuse 125 = 4 · 28 + 13: row 4, the complement of the seventh signal, which is that of pin 5.
    const signal = labels.find((label) => textOf(label) === 'p5')!
    const row = labels.find((label) => textOf(label) === '4')!
    const [half, middle] = [5.5, Number(signal.attributes['x'])]
    expect(x).toBeGreaterThan(middle)
    expect(x).toBeLessThan(middle + 2 * half)
    expect(Math.abs(y! - Number(row.attributes['y']))).toBeLessThan(11)
  })

  test('says in words what the shapes mean', () => {
    expect(named(page, 'li').map(textOf)).toContain('differs: 1 fuse of the AND array')
  })
})

describe('the page of a run', () => {
  // Home, then forward: by the notes of the file pins 19 and 18 go from 00 through 01.
  const REST: Readonly<Record<string, 0 | 1>> = { 1: 0, 2: 1, 3: 1, 4: 1, 11: 0 }
  const steps: StepList = {
    watch: [19, 18],
    steps: [
      { set: REST },
      { note: 'home', pulse: [1], expect: { 19: 'L', 18: 'L' } },
      { note: 'a <wrong> one', set: { 4: 0 }, pulse: [1], expect: { 19: 'H' } },
    ],
  }
  const { decoded, report } = check(GAUGE)
  const run = granted(runSteps(decoded!, steps))
  const page = runPage(run, { name: 'gauge', report })

  test('keeps to the rules, also of one with more steps than are drawn', () => {
    expect(pageErrors(page)).toEqual([])
    const long = granted(runSteps(decoded!, { steps: [{ set: REST }, { pulse: [1], repeat: 600 }] }))
    const longPage = runPage(long)
    expect(pageErrors(longPage)).toEqual([])
    expect(longPage).toContain('the first 500 of 601')
    expect(longPage).toContain('The first 200 steps are drawn.')
  })

  test('says first what became of the expectations, and which does not hold', () => {
    expect(textOf(named(page, 'p')[1]!)).toBe('3 steps run, of 3 expectations 1 contradicted, 2 held.')
    expect(named(page, 'p')[1]!.attributes['class']).toBe('answer fail')
    expect(rowsOf(page)[1]).toEqual(['3', 'pin 19', 'contradicted: H expected, 0 found', ''])
  })

  test('shows the levels as a table with a row a step', () => {
    const rows = rowsOf(page)
    const head = rows.findIndex((row) => row[1] === 'p19')
    expect(rows.slice(head + 1, head + 4).map(([step, p19, p18]) => [step, p19, p18])).toEqual([
      ['1', 'X', 'X'],
      ['2', '0', '0'],
      ['3', '0', '1'],
    ])
  })

  test('shows them as a picture: bars as wide as the level lasts, a mark at the contradiction', () => {
    const [picture] = named(page, 'svg')
    const paths = elementsOf(picture!).filter(({ name }) => name === 'path')
    const of = (kind: string): string => paths.find(({ attributes }) => attributes['class'] === kind)!.attributes['d']!
    // Pin 19 is the first line. A step is 24 wide from 110 on; it is unknown for one step and half of the next, up to
    // the pulse, and low from there on to the end of the third.
    expect(of('unknown')).toMatch(/^M110 18h36v12h-36z/)
    expect(of('wire')).toMatch(/^M146 30H182/)
    expect(of('differs').split('M')).toHaveLength(2)
  })
})
