/** Writing: what was read comes back byte for byte; everything else is written anew, whole and with both sums right. */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { createFuseMap, fuseDigits, fuseMapFrom, setFuse, writeFuseFile, type FuseFileContent } from '../../src/index'
import { type ExplainedFile, readExplained } from './read-explained'
import { codesOf } from './expect-findings'
import { framed, fuseSum, latin1, seeded, textFrom, transmissionSum, type Random } from './reference'

const FOLDER = new URL('../../vectors/', import.meta.url)
const STORED = readdirSync(FOLDER, { recursive: true })
  .filter((name) => name.endsWith('.jed'))
  .map((name) => [name, Uint8Array.from(readFileSync(new URL(name, FOLDER)))] as const)

const PUBLISHED = STORED.find(([name]) => name.endsWith('jesd3a-14l4.jed'))![1]

/** What a file says, apart from how; vectors without their places. */
function contentOf(file: ExplainedFile): FuseFileContent {
  const {
    designSpecification,
    notes,
    pinCount,
    vectorLimit,
    defaultFuse,
    fuses,
    security,
    defaultCondition,
    pinOrder,
    electricalData,
    electricalPacking,
    userData,
    otherFields,
  } = file
  const vectors = file.vectors.map(({ number, conditions }) => ({ number, conditions, offset: null }))
  return {
    designSpecification,
    notes,
    pinCount,
    vectorLimit,
    defaultFuse,
    fuses,
    security,
    defaultCondition,
    pinOrder,
    vectors,
    electricalData,
    electricalPacking,
    userData,
    otherFields,
  }
}

/** The sums that stand in the bytes against a byte loop and a bit loop. */
function expectRightSums(bytes: Uint8Array, trial: string): void {
  const text = textFrom(bytes)
  const { fuses, electricalData, electricalPacking } = readExplained(bytes)
  expect(/\x03([0-9A-F]{4})\r?\n$/.exec(text)?.[1], trial).toBe(transmissionSum(bytes))
  if (fuses)
    expect(/\nC([0-9A-F]{4})\*/.exec(text)?.[1], trial).toBe(
      fuseSum(fuseDigits(fuses) + (electricalPacking === 'outside' ? '' : electricalData)),
    )
}

describe('what was read', () => {
  test.each(STORED)('%s comes back byte for byte', (_, bytes) => {
    const written = writeFuseFile(readExplained(bytes))
    expect(textFrom(written)).toBe(textFrom(bytes))
    expect(written).not.toBe(bytes)
  })

  test('so do bytes that are no file, or a spoiled one', () => {
    const random = seeded(131)
    for (let round = 0; round < 100; round++) {
      const bytes = PUBLISHED.slice(0, random.below(PUBLISHED.length))
      for (let at = 0; at < bytes.length; at++) if (random.below(60) === 0) bytes[at] = random.below(256)
      expect(writeFuseFile(readExplained(bytes)), `seed 131, round ${round}`).toEqual(bytes)
    }
  })

  test('a copy with equal content is unchanged, one with other content is written anew', () => {
    const file = readExplained(PUBLISHED)
    expect(writeFuseFile({ ...file, fuses: fuseMapFrom(fuseDigits(file.fuses!)), notes: [] })).toEqual(PUBLISHED)
    for (const change of [
      { security: 0 },
      { notes: ['n'] },
      { fuses: createFuseMap(448, 1) },
      { pinOrder: file.vectors[0]!.conditions!.split('').map((__, i) => i + 1) },
    ] as const) {
      const written = writeFuseFile({ ...file, ...change })
      expect(written).not.toEqual(PUBLISHED)
      expect(contentOf(readExplained(written))).toMatchObject(change)
      expectRightSums(written, JSON.stringify(Object.keys(change)))
    }
  })

  test('asking for line ends writes anew', () => {
    for (const [lineEnds, end] of [
      ['crlf', '\r\n'],
      ['lf', '\n'],
    ] as const) {
      const text = textFrom(writeFuseFile(readExplained(PUBLISHED), { lineEnds }))
      expect(text.split(end).length).toBeGreaterThan(20)
      expect(text.replaceAll(end, '')).not.toMatch(/[\r\n]/)
    }
  })
})

describe('an edited file', () => {
  // A file of no fuses has none to change, and one of millions would only take longer.
  const editable = STORED.flatMap(([name, bytes]) => {
    const file = readExplained(bytes)
    return file.fuses && file.fuses.length < 10_000 ? [[name, file, file.fuses] as const] : []
  })

  test.each(editable)('%s with some fuses changed: these fuses, and both sums', (name, file, old) => {
    const random = seeded(132)
    const fuses = { length: old.length, bits: old.bits.slice() }
    for (let n = 0; n < 5; n++) setFuse(fuses, random.below(fuses.length), random.below(2) as 0 | 1)
    setFuse(fuses, 0, fuses.bits[0]! & 1 ? 0 : 1)
    const edited = { ...file, designSpecification: 'edited', notes: [], otherFields: [], userData: null, fuses }
    for (const lineEnds of ['crlf', 'lf'] as const) {
      const written = writeFuseFile(edited, { lineEnds })
      const again = readExplained(written)
      expect(fuseDigits(again.fuses!), `seed 132, ${name}`).toBe(fuseDigits(fuses))
      expect([again.checksums.fuse.status, again.checksums.transmission.status], name).toEqual(['match', 'match'])
      expect(again.findingCounts.error, name).toBe(0)
      expectRightSums(written, name)
    }
  })

  test('fuses changed in place are seen as changed', () => {
    const file = readExplained(PUBLISHED)
    setFuse(file.fuses!, 7, file.fuses!.bits[0]! & 128 ? 0 : 1)
    expect(readExplained(writeFuseFile(file)).checksums.fuse).toMatchObject({
      computed: file.fuses!.bits[0]! & 128 ? '12CE' : '11CE',
      status: 'match',
    })
  })

  test('a vector changed, taken away, put in', () => {
    const file = readExplained(PUBLISHED)
    const [first, ...rest] = file.vectors
    const vectors = [
      { ...first!, conditions: first!.conditions!.replaceAll('H', 'L') },
      ...rest.slice(1),
      { number: 12, conditions: 'X'.repeat(20), offset: null },
    ]
    const again = readExplained(writeFuseFile({ ...file, vectors, vectorLimit: 12 }))
    expect(again.vectors.map(({ number, conditions }) => [number, conditions])).toEqual(
      vectors.map(({ number, conditions }) => [number, conditions]),
    )
  })
})

const TEXT = 'ABC abc 0123 .,:;-+/()[]{}<>!?"#$%&\'=@\\^_`|~'
const CONDITIONS = '0123456789CDFHKLNPUXZ'

/** Seeded content with every field, each of them sometimes absent. */
function randomContent(random: Random, end: string): FuseFileContent {
  const maybe = <T>(make: () => T): T | null => (random.below(3) ? make() : null)
  const text = (): string =>
    `t${random.text(random.below(12), TEXT)}${random.below(4) ? '' : `x${end}y`}${random.text(random.below(6), TEXT)}z`
  const several = <T>(make: () => T): T[] => Array.from({ length: random.below(4) }, make)
  const pinCount = 1 + random.below(28)
  const numbers = [...new Set(several(() => 1 + random.below(20_000)))].sort((a, b) => a - b)
  const vectors = numbers.map((number) => ({ number, conditions: random.text(pinCount, CONDITIONS), offset: null }))
  const fuses = maybe(() => fuseMapFrom(random.text(1 + random.below(500), '01')))
  const electricalData = fuses && maybe(() => random.text(1 + random.below(20), '01'))
  const shuffled = Array.from({ length: pinCount }, (_, i) => [random.below(1e9), i + 1] as const).sort(
    (a, b) => a[0] - b[0],
  )
  return {
    designSpecification: random.below(4) ? text() : '',
    notes: several(text),
    pinCount,
    vectorLimit: vectors.at(-1)?.number ?? maybe(() => 1 + random.below(100)),
    defaultFuse: maybe(() => random.below(2) as 0 | 1),
    fuses,
    security: maybe(() => random.below(2) as 0 | 1),
    defaultCondition: maybe(() => random.below(2) as 0 | 1),
    pinOrder: maybe(() => shuffled.map(([, pin]) => pin)),
    vectors: fuses || vectors.length ? vectors : [{ number: 1, conditions: 'X'.repeat(pinCount), offset: null }],
    electricalData,
    // Before C its bits are in the sum, on from the last fuse; behind C they are not.
    electricalPacking: electricalData === null ? 'outside' : random.pick(['outside', 'continued'] as const),
    userData: maybe(() =>
      random.pick([
        { form: 'binary', text: random.text(1 + random.below(40), '01') },
        { form: 'hexadecimal', text: random.text(1 + random.below(16), '0123456789ABCDEF') },
        { form: 'text', text: text() },
      ] as const),
    ),
    otherFields: several(() =>
      random.pick(['A25', 'APD25', 'J0 0', 'D PART', 'S0101', 'R5BCD34A7', 'T01', 'B', 'Z9']),
    ),
  }
}

describe('content of one’s own', () => {
  test.each(['crlf', 'lf'] as const)('reads back equal, field by field, with %s', (lineEnds) => {
    const seed = lineEnds === 'crlf' ? 133 : 134
    const random = seeded(seed)
    for (let round = 0; round < 150; round++) {
      const content = randomContent(random, lineEnds === 'crlf' ? '\r\n' : '\n')
      const limit = content.vectorLimit ?? content.vectors.at(-1)?.number ?? null
      const written = writeFuseFile(content, { lineEnds, rowLength: 1 + random.below(60) })
      const file = readExplained(written)
      const trial = `seed ${seed}, round ${round}`
      expect(contentOf(file), trial).toEqual({ ...content, vectorLimit: limit })
      expect(
        file.findings.filter(({ severity, code }) => severity !== 'note' && code !== 'security/requested'),
        trial,
      ).toEqual([])
      expect(
        codesOf(file).filter(
          (code) =>
            /order|repeated|layout|terminator|control|lower|missing|overlap/.test(code) &&
            code !== 'file/pin-count-missing',
        ),
        trial,
      ).toEqual([])
      expectRightSums(written, trial)
      expect(writeFuseFile(file), trial).toEqual(written)
    }
  })

  test('is printable ASCII, one field a line, CR LF unless told otherwise', () => {
    const written = textFrom(
      writeFuseFile({
        designSpecification: 'Title',
        fuses: fuseMapFrom('1011'),
        notes: ['one'],
        pinCount: 2,
        security: 0,
      }),
    )
    expect(written).toBe(
      '\x02Title*\r\nQP2*\r\nQF4*\r\nG0*\r\nN one*\r\nL0 1011*\r\nC000D*\r\n\x03' +
        transmissionSum(latin1(written)) +
        '\r\n',
    )
  })

  test('lists every fuse, in rows of the asked length', () => {
    const fuses = fuseMapFrom(seeded(135).text(100, '01'))
    for (const rowLength of [1, 7, 8, 32, 44, 100, 1000]) {
      const rows = [
        ...textFrom(writeFuseFile({ fuses, defaultFuse: 0 }, { rowLength })).matchAll(/L(\d+) ([01]+)\*/g),
      ]
      expect(rows.map(([, at]) => Number(at))).toEqual(
        Array.from({ length: Math.ceil(100 / rowLength) }, (_, i) => i * rowLength),
      )
      expect(rows.map(([, , digits]) => digits).join('')).toBe(fuseDigits(fuses))
    }
  })

  test('takes QP and QV from the vectors where they are not given', () => {
    const file = readExplained(writeFuseFile({ vectors: [{ number: 3, conditions: '01HL', offset: null }] }))
    expect(file).toMatchObject({ pinCount: 4, vectorLimit: 3, fuses: null })
  })

  test('vectors that could not be read are left out', () => {
    const written = writeFuseFile({
      fuses: createFuseMap(8),
      vectors: [
        { number: 1, conditions: null, offset: null },
        { number: 2, conditions: '0X', offset: null },
      ],
    })
    expect(readExplained(written).vectors.map(({ number }) => number)).toEqual([2])
  })

  test('accents become question marks, tabulators blanks', () => {
    const file = readExplained(
      writeFuseFile({ designSpecification: 'caf\xe9\tbar', notes: ['\u20ac 5'], fuses: createFuseMap(8) }),
    )
    expect(file).toMatchObject({ designSpecification: 'caf? bar', notes: ['? 5'] })
    expect(codesOf(file)).not.toContain('file/eighth-bit')
  })
})

describe('text that would break a file', () => {
  const fuses = createFuseMap(8)
  test.each<[string, Partial<FuseFileContent>]>([
    ['designSpecification', { fuses, designSpecification: 'a * b' }],
    ['designSpecification', { fuses, designSpecification: 'a\x03b' }],
    ['designSpecification', { fuses, designSpecification: 'QF99' }],
    ['designSpecification', { fuses, designSpecification: ' F1 ' }],
    ['notes', { fuses, notes: ['fine', '2 * 3'] }],
    ['notes', { fuses, notes: ['\x02'] }],
    ['notes', { fuses, notes: ['a\x7fb'] }],
    ['otherFields', { fuses, otherFields: ['A25*'] }],
    ['otherFields', { fuses, otherFields: ['A\x1b'] }],
    ['userData', { fuses, userData: { form: 'text', text: 'a*b' } }],
    ['userData', { fuses, userData: { form: 'text', text: 'a\x00b' } }],
    ['vectors', { fuses, pinCount: 3, vectors: [{ number: 1, conditions: '01', offset: null }] }],
    [
      'vectors',
      {
        fuses,
        vectors: [
          { number: 1, conditions: '01', offset: null },
          { number: 2, conditions: '011', offset: null },
        ],
      },
    ],
    ['vectors', { fuses, vectors: [{ number: 1, conditions: '0*', offset: null }] }],
    ['pinOrder', { fuses, pinCount: 2, pinOrder: [1] }],
    ['pinOrder', { fuses, pinCount: 2, pinOrder: [1, 2, 3] }],
    ['pinOrder', { fuses, pinCount: 2, pinOrder: [2, 2] }],
    ['pinOrder', { fuses, pinCount: 2, pinOrder: [0, 1] }],
    ['pinOrder', { fuses, pinCount: 2, pinOrder: [1, 3] }],
    ['vectors', { fuses, vectors: [{ number: 1, conditions: '0a', offset: null }] }],
  ])('%s is a TypeError that names it', (name, content) => {
    expect(() => writeFuseFile(content)).toThrow(TypeError)
    expect(() => writeFuseFile(content)).toThrow(`file.${name}`)
  })

  test('a title that merely begins like a field is a title', () => {
    for (const designSpecification of ['QF99 and more', 'F1 racing', 'L0 is not this'])
      expect(readExplained(writeFuseFile({ fuses, designSpecification })).designSpecification).toBe(
        designSpecification,
      )
  })

  test('nothing else is refused: an empty content is an empty file', () => {
    expect(writeFuseFile({})).toEqual(framed('*\r\n', `${transmissionSum(framed('*\r\n'))}\r\n`))
  })
})
