/** The page of a board: what it says first, its nets as a picture and as a table, faults, budget, cautions. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { examineAdapter, type Board } from '../../src/board'
import { adapterPage } from '../../src/report'
import { boardOf, passive } from '../adapter/plain-boards'
import { ADAPTER } from '../adapter/two-part-board'
import { answerIn, describedIn, labelsIn, named, pictureIn, rowsOf, shapesIn } from './page-parts'
import { elementsOf, pageErrors, textOf, type PageElement } from './page-rules'

/** Nets in the order of the document: A, B, C, D, X, Y from outside, then W, T, S. */
const BOARD = boardOf(ADAPTER)
const NETS = ['A', 'B', 'C', 'D', 'X', 'Y', 'W', 'T', 'S']
/** The first diode, W to A, the other way round. */
const REVERSED: Board = {
  ...BOARD,
  diodes: BOARD.diodes!.map((diode, i) =>
    i === 0 ? { ...diode, anode: diode.cathode, cathode: diode.anode } : diode,
  ),
}

const lineAt = (picture: PageElement, net: string): number =>
  labelsIn(picture).find(({ text, x }) => text === net && x === 0)!.y - 3.5
const pathOf = (picture: PageElement, kind: string): string =>
  elementsOf(picture)
    .filter(({ attributes }) => attributes['class'] === kind)
    .map(({ attributes }) => attributes['d']!)
    .join('')
const tableUnder = (page: string, caption: string): string[][] => {
  const table = named(page, 'table').find((each) => textOf(each).startsWith(caption))!
  return elementsOf(table)
    .filter(({ name }) => name === 'tr')
    .map(({ children }) => children.flatMap((cell) => (typeof cell === 'string' ? [] : [textOf(cell)])))
}

describe('a board by itself', () => {
  const report = examineAdapter(BOARD, { name: 'board.json' })
  const page = adapterPage(report, { board: BOARD })
  const picture = pictureIn(page)!

  test('keeps to the rules, with its picture and without', () => {
    expect(pageErrors(page)).toEqual([])
    expect(pageErrors(adapterPage(report))).toEqual([])
    expect(pictureIn(adapterPage(report))).toBeUndefined()
    expect(tableUnder(adapterPage(report), 'The pins of the socket')[1]).toEqual(['2', 'A', 'input', ''])
  })

  test('says the verdict first, and the cautions in full before the facts', () => {
    expect(answerIn(page)).toEqual(['answer pass', 'pass (nothing speaks against it).'])
    expect(named(page, 'h2').map(textOf).slice(0, 2)).toEqual(['Before power is on', 'Facts'])
    expect(named(page, 'li').map(textOf).slice(0, 4)).toEqual([
      'every diode the right way round',
      'each chip marked with its file',
      'pin 1 to pin 1',
      'supply off before a chip is moved',
    ])
  })

  test('draws a line for every net, each 18 below the one before', () => {
    const lines = NETS.map((net) => lineAt(picture, net))
    expect(lines).toEqual(NETS.map((_, i) => lines[0]! + 18 * i))
    // Each net has two ends or more, and so a line.
    expect(shapesIn(picture, 'wire').map(([, y]) => y)).toEqual(lines)
  })

  test('leads each diode from its anode, a ring, to its cathode, a dot', () => {
    const rings = shapesIn(picture, 'ring')
    const [from, to] = [['W', 'W', 'T', 'D'], ['A', 'B', 'S', 'S']]
    expect(rings.map(([, y]) => y)).toEqual(from.map((net) => lineAt(picture, net)))
    const ends = [...pathOf(picture, 'ring').matchAll(/V([\d.]+)/g)].map(([, y]) => Number(y))
    expect(ends).toEqual(to.map((net) => lineAt(picture, net)))
    const places = (kind: string): string[] =>
      shapesIn(picture, kind)
        .filter(([x]) => rings.some(([at]) => Math.abs(at - x) <= 3.5))
        .map(([, y]) => String(y))
        .sort()
    expect(places('open')).toEqual(from.map((net) => String(lineAt(picture, net))).sort())
    expect(places('on')).toEqual(to.map((net) => String(lineAt(picture, net))).sort())
  })

  test('writes each pin of a part on the line of its net', () => {
    const heads = labelsIn(picture).filter(({ y }) => y === 10)
    const at = (part: string, net: string): string[] => {
      const x = heads.find(({ text }) => text === part)!.x
      const next = Math.min(...heads.map((head) => head.x).filter((other) => other > x))
      return labelsIn(picture)
        .filter((label) => label.x > x && label.x < next && label.y === lineAt(picture, net) + 3.5)
        .map(({ text }) => text)
    }
    for (const { name, pins } of BOARD.parts)
      for (const [pin, net] of Object.entries(pins)) expect([name, net, at(name, net)]).toEqual([name, net, [pin]])
    expect(at('socket', 'A')).toEqual(['2'])
    expect(at('pulls', 'W')).toEqual(['R1'])
  })

  test('says the same as a table', () => {
    expect(tableUnder(page, 'Every net')).toEqual([
      ['Net', 'Socket and parts', 'Diodes and resistors'],
      ['A', 'input 2', 'D1 cathode'],
      ['B', 'input 3', 'D2 cathode'],
      ['C', 'input 4, U1 pin 3', ''],
      ['D', 'input 5', 'D4 anode'],
      ['X', 'output 19, U2 pin 19', ''],
      ['Y', 'output 12, U2 pin 12', ''],
      ['W', 'U1 pin 2', 'D1 anode, D2 anode, R1 to supply'],
      ['T', 'U1 pin 19, U2 pin 2', 'D3 anode'],
      ['S', 'U2 pin 3', 'D3 cathode, D4 cathode, R2 to ground'],
    ])
    expect(describedIn(picture)).toBe('No net has a remark. The table of nets below it says the same.')
  })
})

describe('a board that differs', () => {
  const report = examineAdapter(REVERSED, { against: { board: BOARD, name: 'good.json' }, name: 'bad.json' })
  const page = adapterPage(report, { board: REVERSED })
  const picture = pictureIn(page)!

  test('says the relation with its cause, and what makes it the same', () => {
    expect(pageErrors(page)).toEqual([])
    expect(answerIn(page)[1]).toMatch(/^different: \d of 2 outputs? differs?; the same with D1 the other way round\.$/)
    expect(textOf(named(page, 'h1')[0]!)).toBe('bad.json against good.json')
  })

  test('marks the net of each output that differs, by a shape and in words', () => {
    const differing = report.outputs.filter(({ relation }) => relation === 'different').map(({ pin }) => pin)
    expect(differing.length).toBeGreaterThan(0)
    for (const pin of differing) {
      const line = lineAt(picture, pin === 19 ? 'X' : 'Y')
      const words = labelsIn(picture).filter(({ y }) => y === line + 3.5)
      expect(words.map(({ text }) => text).join()).toContain(`pin ${pin} differs`)
      const marks = shapesIn(picture, 'differs').map(([, y]) => Math.round(y + 4.5 * 1.25))
      expect(marks).toContain(Math.round(line))
    }
    expect(describedIn(picture)).toContain(`pin ${differing[0]} differs`)
    expect(named(page, 'li').map(textOf)).toContain('something is wrong, differs or is not known')
  })

  test('shows a row of each output that differs', () => {
    const rows = tableUnder(page, 'Every output')
    for (const { pin, example, differingRows } of report.outputs) {
      const row = rows.find(([first]) => first === `pin ${pin}`)!
      if (!example) continue
      expect(row[1]).toContain(`${differingRows} row`)
      const high = Object.entries(example.inputs).flatMap(([input, level]) => (level === 1 ? [`p${input}`] : []))
      expect(row[3]).toContain(`${example.board} instead of ${example.original}; inputs at 1: ${high.join(' ') || 'none'}`)
    }
  })
})

test('single faults: those that are not surely noticed one by one, the others by kind', () => {
  // One wire from pin 1 to pin 2: open, the output floats, which is another level in both rows.
  const wire = boardOf(passive({ inputs: [[1, 'a']], outputs: [[2, 'a']] }))
  const page = adapterPage(examineAdapter(wire), { board: wire })
  expect(named(page, 'p').map(textOf)).toContain('1 tried, one at a time, against the sound board.')
  expect(rowsOf(page)).toContainEqual(['1', 'noticed: net open: a'])
  // A diode from a driven net to another driven net does nothing while both agree, which needs no third level.
  const idle = boardOf(
    passive({ inputs: [[1, 'a']], outputs: [[2, 'b']], diodes: [['D1', 'a', 'b']], resistors: [['R1', 'b', 'ground']] }),
  )
  const report = examineAdapter(idle)
  const open = report.faults!.list.filter(({ result }) => result !== 'noticed')
  const listed = tableUnder(adapterPage(report, { board: idle }), 'Faults that')
  expect(listed.slice(1).map(([fault]) => fault!.split(':')[0]).sort()).toEqual(open.map(({ of }) => of.join(' and ')).sort())
  // Without its resistor the net floats at a low input: off, where the sound board has 0.
  expect(open.map(({ of }) => of.join(' and '))).not.toContain('R1')
})

describe('the demonstration, an invented board', () => {
  const folder = new URL('../../vectors/demo/adapter/', import.meta.url)
  const document = JSON.parse(readFileSync(new URL('board.json', folder), 'utf8')) as Board
  const board: Board = {
    ...document,
    parts: document.parts.map((part) => ({
      ...part,
      file: readFileSync(new URL(String(part.file), folder)),
    })),
  }
  const report = examineAdapter(board, { faults: false })
  const page = adapterPage(report, { board })

  test('shows the budget with what it assumes and where its limits stand', () => {
    expect(pageErrors(page)).toEqual([])
    // 0.4 V of the machine's driver and 0.35 V of a diode; the limit of the part is 0.8 V.
    expect(tableUnder(page, 'Levels, currents')[1]).toEqual([
      'WIDE',
      'low level',
      '0.75 V, limit 0.8 V: holds',
      'highest low of the drivers plus the drop of D1, D2, D3, D4, D5, D6, D7, D8',
    ])
    const items = named(page, 'li').map(textOf)
    for (const assumption of report.budget!.assumptions) expect(items).toContain(assumption)
    expect(tableUnder(page, 'Where the limits').map(([of]) => of)).toEqual([
      'Of',
      'U1',
      'D1, D2, D3, D4, D5, D6, D7, D8',
      'machine',
    ])
    expect(tableUnder(page, 'Ways through')[1]![2]).toMatch(/^266 ns, limit 300 ns: holds$/)
  })

  test('a limit that is exceeded is a remark of its net', () => {
    expect(tableUnder(page, 'Every net')[0]).not.toContain('Remark')
    const drops = { ...board, diodes: board.diodes!.map((diode) => ({ ...diode, limits: { drop: 0.7, source: 'test' } })) }
    const worse = adapterPage(examineAdapter(drops, { faults: false }), { board: drops })
    expect(tableUnder(worse, 'Every net').at(-1)).toEqual([
      'WIDE',
      'U1 pin 1',
      'D1 anode, D2 anode, D3 anode, D4 anode, D5 anode, D6 anode, D7 anode, D8 anode, R1 to supply',
      'limit exceeded',
    ])
  })
})

test.each([
  ['drivers fight', { inputs: [[1, 'a'], [2, 'a']], outputs: [[3, 'a']] }],
  ['no driver', { inputs: [[1, 'b']], outputs: [[2, 'b'], [3, 'a']] }],
  ['one end', { inputs: [[1, 'b'], [3, 'a']], outputs: [[2, 'b']] }],
] as const)('what is found of a net is its remark: %s', (words, given) => {
  const board = boardOf(passive(given))
  const page = adapterPage(examineAdapter(board), { board })
  expect(tableUnder(page, 'Every net').find(([net]) => net === 'a')!.at(-1)).toContain(words)
  const labels = labelsIn(pictureIn(page)!)
  const line = labels.find(({ text }) => text === 'a')!
  expect(labels.filter(({ y }) => y === line.y).at(-1)!.text).toContain(words)
})

test('nets that a wire joins are one', () => {
  const joined: Board = { ...boardOf(passive({ inputs: [[1, 'a']], outputs: [[2, 'b']] })), wires: [['a', 'b']] }
  const page = adapterPage(examineAdapter(joined), { board: joined })
  expect(tableUnder(page, 'Every net').slice(1)).toEqual([['a = b', 'input 1, output 2', '']])
})

test('a board of more nets than anybody follows has its table alone', () => {
  const many: Board = {
    ...boardOf(passive({ inputs: [[1, 'a']], outputs: [[2, 'a']] })),
    resistors: Array.from({ length: 200 }, (_, i) => ({ name: `R${i}`, net: `n${i}`, to: 'supply' as const })),
  }
  const page = adapterPage(examineAdapter(many, { faults: false }), { board: many })
  expect(pictureIn(page)).toBeUndefined()
  expect(page).toContain('201 nets and 0 diodes: too many to draw.')
  expect(tableUnder(page, 'Every net')).toHaveLength(202)
})

test('another board, and what is no board, are refused', () => {
  const report = examineAdapter(BOARD)
  const other = { ...BOARD, parts: BOARD.parts.map((part) => ({ ...part, name: `${part.name}x` })) }
  expect(() => adapterPage(report, { board: other })).toThrow(
    new RangeError('options.board is not the board of the report: parts or outside pins differ'),
  )
  expect(() => adapterPage(report, { board: { ...BOARD, outside: BOARD.outside.slice(1) } })).toThrow(RangeError)
  expect(() => adapterPage(report, { board: { ...BOARD, parts: 8 } as unknown as Board })).toThrow(
    new TypeError('options.board.parts must be a list, not 8'),
  )
})
