/** What an inspection says of a file or a map: kinds, reasons, blank maps, names; and that lists decide nothing. */
import { describe, expect, test } from 'vitest'
import { compare, createFuseMap, deviceInOrder, fuseMapFrom, inspect, readFuseFile, retarget, setFuse, verify, writeFuseFile, type CompareOptions, type FuseMap, type InspectOptions } from '../../src/index'
import { isUserDefined } from '../../src/inspect/chosen-device'
import { ownWordsOnPart, partsNamedIn } from '../../src/inspect/named-parts'
import { codesOf, mapOf, output, outputAt } from '../compare/pairs'

const SMALL = mapOf({ part: '14L4', mode: null, outputs: [output(17, [[2]])] })
const LARGE = mapOf({ part: '16V8', mode: 'complex', outputs: [output(19, [[2, 3]])] })
const PAL = mapOf({ part: '16L8', mode: null, outputs: [output(19, [[2, 3]])] })

/** A map with the fuses of a range at a state. */
function filled(map: FuseMap, from: number, to: number, state: 0 | 1): FuseMap {
  const copy = { length: map.length, bits: map.bits.slice() }
  for (let fuse = from; fuse < to; fuse++) setFuse(copy, fuse, state)
  return copy
}

describe('the kind of an inspection', () => {
  // 2192 and 2193 are SYN and AC0 of a 16V8 (GAL16V8 data sheet): both 0 are no mode.
  test.each<[string, string | FuseMap, InspectOptions, string, string | null, string | null]>([
    ['the only part of its size', LARGE, {}, 'decoded', null, 'size'],
    ['a chosen part', SMALL, { device: '14L4' }, 'decoded', null, 'choice'],
    ['no mode', filled(LARGE, 2192, 2194, 0), {}, 'no-mode', null, 'size'],
    ['two parts of its size', SMALL, {}, 'undecoded', 'ambiguous', null],
    ['another size than the chosen part', SMALL, { device: '16V8' }, 'undecoded', 'size', null],
    ['no part of its size', fuseMapFrom('0110'), {}, 'undecoded', 'unknown', null],
    ['an order that is open', createFuseMap(1928), {}, 'undecoded', 'order', 'size'],
    ['an order that is named', createFuseMap(1928), { fuseOrder: 'term-by-term' }, 'decoded', null, 'size'],
    ['a map that is not published', createFuseMap(2056), {}, 'undecoded', 'not-published', 'size'],
    ['vectors alone', '\x02*QP20*V1 NNNNNNNNNNNNNNNNNNNN*\x030000', {}, 'undecoded', 'no-fuses', null],
    ['no fuse file', 'hello', {}, 'undecoded', 'no-fuses', null],
    ['more fuses than the limit', '\x02*QF448*F0*\x030000', { maxFuses: 447 }, 'undecoded', 'too-many-fuses', null],
    ['a list past the limit', '\x02*L448 1*\x030000', { maxFuses: 447 }, 'undecoded', 'too-many-fuses', null],
    ['fuses without a state', '\x02*QF448*L0 01*\x030000', { device: '14L4' }, 'incomplete', null, 'choice'],
    ['an order, of parts whose order is known', SMALL, { fuseOrder: 'term-by-term' }, 'undecoded', 'ambiguous', null],
    ['a default of no fuses', '\x02*QP20*F0*\x030000', { device: '14L4' }, 'undecoded', 'no-fuses', null],
    ['lists alone, without a default for the rest', '\x02*L0 01*\x030000', { device: '14L4' }, 'undecoded', 'size', null],
    ['some of an ambiguous part', '\x02*QF448*L0 01*\x030000', {}, 'incomplete', 'ambiguous', null],
  ])('%s', (_, input, options, kind, why, basis) => {
    const inspection = inspect(input, options)
    expect(inspection).toMatchObject({ kind, why, basis })
    expect(inspection.complete).toBe(kind !== 'incomplete' && inspection.file.fuses !== null)
  })

  test('a map is taken as it is', () => {
    const inspection = inspect(LARGE)
    expect(inspection.file.fuses).toBe(LARGE)
    expect(inspection).toMatchObject({ source: 'map', candidates: ['16V8'], security: null })
    expect(inspection.file.bytes).toHaveLength(0)
  })

  test('a map as a file says nothing but its fuses', () => {
    expect(inspect(LARGE).file).toMatchObject({
      frame: { start: null, end: null },
      fields: { count: 0, starts: [], hasDesignSpecification: false },
      fuseCount: 2194,
      statedFuseCount: 2194,
      listed: { bounds: [0, 2194] },
      uncovered: { count: 0, first: null },
      tooManyFuses: false,
      cut: false,
      parity: null,
      securityField: null,
      checksums: { fuse: { stated: null, status: 'absent' }, transmission: { stated: null, status: 'absent' } },
      findings: [],
      findingCounts: { error: 0, warning: 0, note: 0 },
    })
    expect(inspect(createFuseMap(0)).file).toMatchObject({
      fuses: null,
      fuseCount: null,
      statedFuseCount: null,
      listed: { bounds: [] },
      checksums: { fuse: { computed: null } },
    })
    // Fuses 0 to 7 are one byte, 1 + 4 = 5 (3-A, "Fuse checksum field").
    expect(inspect(fuseMapFrom('101')).file.checksums.fuse.computed).toBe('0005')
  })

  test('a name that is none is told with at most three that are near', () => {
    const told = (device: string): string => {
      try {
        inspect(LARGE, { device })
      } catch (error) {
        return (error as Error).message
      }
      return ''
    }
    // Ten parts begin with 16.
    expect(told('16').split('near it: ')[1]!.split(', ')).toHaveLength(3)
    expect(told('16R5')).toMatch(/near it: 16R4, 16R6, 16R8$/)
    expect(told('2')).not.toContain('near')
  })

  test('a file as read is taken as it stands, and an inspection is given back', () => {
    const file = readFuseFile(writeFuseFile({ fuses: LARGE }))
    const inspection = inspect(file)
    expect(inspection.file).toBe(file)
    expect(inspect(inspection)).toBe(inspection)
    expect(inspect(inspect(SMALL), { device: '14L4' })).toMatchObject({ kind: 'decoded', basis: 'choice' })
  })

  test('every part that it can be is decoded, each once', () => {
    const inspection = inspect(SMALL)
    expect(inspection.alternatives().map(({ device }) => device.part)).toEqual(['14H4', '14L4'])
    expect(inspection.alternatives()).toBe(inspection.alternatives())
    const certain = inspect(LARGE)
    expect(certain.alternatives()).toEqual([certain.decoded])
    expect(inspect(SMALL, { device: '16V8' }).alternatives()).toEqual([])
  })

  test.each([null, 7, {}, { bits: 1 }, []])('%j is wrong use', (input) => {
    expect(() => inspect(input as never)).toThrow(TypeError)
    expect(() => inspect(input as never)).toThrow('input')
  })
})

describe('blank maps', () => {
  test.each([0, 1] as const)('all %i', (state) => {
    expect(inspect(createFuseMap(2194, state)).blank).toEqual({ map: state, array: state })
    // Fuses 0 to 2047 are the array of a 16V8 (GAL16V8 data sheet).
    expect(inspect(filled(LARGE, 0, 2048, state)).blank).toEqual({ map: null, array: state })
    expect(inspect(filled(LARGE, 0, 2047, state)).blank.array).toBe(
      // Fuse 2047 of this map, in a row that no design mentions, is 0.
      state === 0 ? 0 : null,
    )
  })

  test('a map that says something is not blank, nor one of which nothing is stated', () => {
    expect(inspect(LARGE).blank).toEqual({ map: null, array: null })
    expect(inspect('\x02*QF448*\x030000').blank).toEqual({ map: null, array: null })
  })

  test.each([0, 1] as const)('an array of %i is no pass and is not moved', (state) => {
    const bytes = writeFuseFile({ fuses: filled(LARGE, 0, 2048, state) })
    const { verdict, findings } = verify(bytes)
    expect(findings.map(({ code }) => code)).toContain('device/blank-array')
    expect(verdict).toBe('caution')
    expect(retarget(bytes, { device: '16V8', to: '16L8' })).toMatchObject({
      bytes: null,
      misfits: [{ reason: 'blank' }],
    })
  })
})

describe('a file without its number of fuses, with a default', () => {
  // A 22V10 has 5828 fuses, 5892 with its signature and 5893 with a power-down fuse (GAL22V10, ATF22V10C data sheets).
  const sized = (last: number): number =>
    inspect(`\x02*F0*L${last - 8} 00000001*\x030000`, { device: '22V10' }).file.fuses!.length

  test.each([
    [5828, 5828],
    [5829, 5892],
    [5892, 5892],
    [5893, 5893],
  ])('whose lists reach %i fuses is read as one of %i', (reached, size) => {
    expect(sized(reached)).toBe(size)
  })
})

describe('the text of a file', () => {
  const codesFor = (text: string, options: { readonly device?: string } = {}): string[] =>
    verify(writeFuseFile({ fuses: PAL, designSpecification: text, pinCount: 20 }), options).findings.map(
      ({ code }) => code,
    )

  test.each([
    ['Decoder, PAL16R4', true],
    ['Decoder 16r4-25', true],
    ['Decoder, PAL16L8A', false],
    ['16L8 or 16R4', false],
    ['Decoder of 1984', false],
    // A part of another size is no mistake of this kind.
    ['replaced by a GAL16V8', false],
  ])('“%s” checked as a 16L8', (text, told) => {
    expect(codesFor(text, { device: '16L8' }).includes('device/named-otherwise')).toBe(told)
  })

  test('that names another part of the size makes a caution, in a note and in a D field too', () => {
    const plain = { fuses: PAL, pinCount: 20 }
    const checked = (more: object): string =>
      verify(writeFuseFile({ ...plain, ...more, vectors: [] }), { device: '16L8' }).verdict
    expect(checked({ designSpecification: 'Decoder' })).toBe('pass')
    expect(checked({ notes: ['made for a PAL16R4'] })).toBe('caution')
    expect(checked({ otherFields: ['DPAL16R4'] })).toBe('caution')
  })

  test('that stands before the start mark counts from its first letter', () => {
    // Without its first digit the word would be 6R4, which is no part.
    const text = new TextDecoder().decode(writeFuseFile({ fuses: PAL, designSpecification: 'Decoder', pinCount: 20 }))
    const { findings } = verify(`16R4 decoder ${text}`, { device: '16L8' })
    expect(findings.map(({ code }) => code)).toContain('device/named-otherwise')
  })

  test.each<[string, string[]]>([
    ['DPLS153', ['PLS153']],
    ['D16R4', ['16R4']],
    // J fields say how many pins there are, not which part.
    ['J16R4', []],
  ])('names parts in a field %s: %j', (field, parts) => {
    const file = readFuseFile(writeFuseFile({ fuses: PAL, otherFields: [field] }))
    expect(partsNamedIn(file)).toEqual(parts)
  })

  test('is searched up to the 65,536th character, before the start mark and after it', () => {
    const ending = (end: number): string => `${'. '.repeat(end)}`.slice(0, end - 4) + '16R4'
    const named = (before: string, text: string): readonly string[] => {
      const file = new TextDecoder().decode(writeFuseFile({ fuses: PAL, designSpecification: text }))
      return partsNamedIn(readFuseFile(before + file))
    }
    expect(named(ending(65_536), 'x')).toEqual(['16R4'])
    expect(named(ending(65_537), 'x')).toEqual([])
    // A line end stands between the text before the start mark and the header.
    const header = (end: number): readonly string[] => named('', `x${ending(end - 2)}`)
    expect(header(65_536)).toEqual(['16R4'])
    expect(header(65_537)).toEqual([])
  })

  test('has words of up to 32 characters', () => {
    const quoted = (word: string): boolean =>
      ownWordsOnPart(readFuseFile(writeFuseFile({ fuses: PAL, designSpecification: word }))).length > 0
    expect([31, 32, 33].map((length) => quoted(`QX95${'A'.repeat(length - 4)}`))).toEqual([true, true, false])
  })

  test('is quoted at most four times, words before fields', () => {
    const texts = (words: string, otherFields: readonly string[]): readonly string[] =>
      ownWordsOnPart(readFuseFile(writeFuseFile({ fuses: PAL, designSpecification: words, otherFields }))).map(
        ({ text }) => String(text),
      )
    const numbers = ['QX9572', 'QX9573', 'QX9574', 'QX9575', 'QX9576']
    expect(texts(numbers.join(' '), ['J20 1'])).toEqual(numbers.slice(0, 4))
    expect(texts(numbers.slice(0, 3).join(' '), ['J20 1', 'DQX'])).toEqual([...numbers.slice(0, 3), '20 1'])
    // Dates, versions and sheets have the form of part numbers.
    expect(texts('Rev12 Sep1984 QX9572', [])).toEqual(['QX9572'])
  })

  test('is quoted where the part is known by its size at most', () => {
    const wordsOf = (fuses: FuseMap, text: string): string[] =>
      verify(writeFuseFile({ fuses, designSpecification: text, otherFields: ['J20 1'] })).findings.flatMap(
        ({ code, message }) => (code === 'device/own-words' ? [message] : []),
      )
    // Invented numbers, in the form that makers use.
    const unknown = fuseMapFrom('01'.repeat(50))
    expect(wordsOf(unknown, 'Sample in a QX9572XL-10')[0]).toContain('QX9572XL-10')
    expect(wordsOf(unknown, 'Sample')[0]).toContain('J field “20 1”')
    expect(wordsOf(filled(createFuseMap(2056), 0, 9, 1), 'Sample in a QX16P8')[0]).toContain('QX16P8')
    expect(wordsOf(LARGE, 'Sample in a QX9572XL-10')).toEqual([])
  })
})

describe('a power-down fuse (22V10; ATF22V10C data sheet, 0735U, table 10-1: 5893 fuses with it)', () => {
  /** Pin 23 is pin `input` (columns of a 22V10: pin 4 stands on 12, pin 2 on 4); all other cells are off. */
  const wide = (count: number, input: 2 | 4, last: 0 | 1 = 0): FuseMap => {
    const map = createFuseMap(count)
    const open = (from: number, to: number): void => {
      for (let fuse = from; fuse < to; fuse++) setFuse(map, fuse, 1)
    }
    for (let cell = 0; cell < 10; cell++) setFuse(map, 5809 + 2 * cell, 1)
    open(44, 132)
    setFuse(map, 88 + (input === 4 ? 12 : 4), 0)
    if (count === 5893) setFuse(map, 5892, last)
    return map
  }

  test('stated on both sides and different: undecided where the pin is used, and equal where it is not', () => {
    const comparison = compare(wide(5893, 4, 0), wide(5893, 4, 1))
    expect(comparison).toMatchObject({ relation: 'undecided', verdict: 'caution' })
    expect(outputAt(comparison, 23)).toMatchObject({ relation: 'undecided', reason: 'power-down' })
    expect(compare(wide(5893, 2, 0), wide(5893, 2, 1))).toMatchObject({ relation: 'equivalent', verdict: 'pass' })
    expect(compare(wide(5893, 4, 1), wide(5893, 4, 1)).relation).toBe('identical')
  })

  test('a difference that hangs on the pin is not shown, one without it is', () => {
    // Pin 23 is pin 4 on one side and pin 2 on the other: each counterexample gives both.
    const hanging = compare(wide(5893, 4, 0), wide(5893, 2, 1))
    expect(hanging.relation).toBe('undecided')
    expect(codesOf(hanging)).not.toContain('compare/different')
    // Pin 22 (rows 10 and 11) is always high on one side only.
    const shown = compare(filled(wide(5893, 4, 0), 440, 528, 1), wide(5893, 4, 1))
    expect(shown).toMatchObject({ relation: 'different', verdict: 'fail' })
    expect(outputAt(shown, 22).relation).toBe('different')
    expect(outputAt(shown, 23).relation).toBe('undecided')
  })

  test('stated on one side only: equivalent at best, with a warning', () => {
    for (const [a, b] of [
      [5893, 5892],
      [5828, 5893],
    ] as const) {
      const comparison = compare(wide(a, 4), wide(b, 4))
      expect(comparison).toMatchObject({ relation: 'equivalent', verdict: 'caution' })
      expect(codesOf(comparison)).toContain('compare/power-down-one-sided')
    }
    expect(compare(wide(5828, 4), wide(5892, 4))).toMatchObject({ relation: 'equivalent', verdict: 'pass' })
  })

  test('missing from a map for a part that has it, by the name given', () => {
    const told = (count: number, device: string): boolean =>
      verify(writeFuseFile({ fuses: wide(count, 2) }), { device }).findings.some(
        ({ code, severity }) => code === 'device/power-down-fuse-missing' && severity === 'note',
      )
    expect(told(5892, 'ATF22V10C')).toBe(true)
    expect(told(5828, 'atf22v10cq-15')).toBe(true)
    expect(told(5893, 'ATF22V10C')).toBe(false)
    expect(told(5892, 'ATF22V10B')).toBe(false)
    expect(told(5892, 'GAL22V10')).toBe(false)
  })
})

describe('how many findings are listed changes the list alone', () => {
  const WHOLE = `\x02*QP20*QF448*G0*L0 ${'10'.repeat(224)}*`
  /** Fuses 428 to 447 have no state, which is one error among 110 lists past the end. */
  const HOLES = `\x02*QP20*QF448*G0*L0 ${'10'.repeat(214)}*${'L500 1*'.repeat(110)}\x030000`
  const GOOD = `${WHOLE}\x030000`
  const TURNED = `${WHOLE}L0 0*\x030000`

  test('in a check with the vectors of another file, whose own first warning is about its sum', () => {
    const vectors = '\x02*QP20*C1*V1 NNNNNNNNNNNNNNNNNNNQ*V2 NNNNNNNNNNNNNNNNNNNN*\x031234'
    const verdicts = [1, 1000].map((maxFindings) => verify(GOOD, { device: '14L4', vectors, maxFindings }).verdict)
    expect(new Set(verdicts)).toEqual(new Set(['caution']))
  })

  test('in an inspection', () => {
    for (const maxFindings of [1, 100, 1000])
      expect(inspect(HOLES, { maxFindings, device: '14L4' })).toMatchObject({ kind: 'incomplete', complete: false })
  })

  test.each([
    [HOLES, HOLES, {}],
    [GOOD, HOLES, {}],
    [GOOD, GOOD, {}],
    [GOOD, TURNED, {}],
    [GOOD, TURNED, { device: '14L4' }],
    [GOOD, TURNED, { device: '16V8' }],
    [GOOD, GOOD, { device: '16V8' }],
  ] as readonly [string, string, CompareOptions][])('in a comparison, case %#', (a, b, options) => {
    const [few, many] = [1, 1000].map((maxFindings) => compare(a, b, { ...options, maxFindings }))
    expect({ ...few, findings: [] }).toEqual({ ...many, findings: [] })
  })
})

describe('a side whose part only its vectors tell', () => {
  // Pin 17 of a 14L4 is the complement of pin 2, of a 14H4 pin 2 itself.
  const vectors = [{ number: 1, conditions: `N1${'N'.repeat(14)}LNNN`, offset: null }]
  const withVectors = writeFuseFile({ fuses: SMALL, vectors, pinCount: 20 })

  test('holds the same fuses as a read-back without vectors', () => {
    expect(verify(withVectors).device).toMatchObject({ part: '14L4', basis: 'vectors' })
    expect(compare(withVectors, SMALL)).toMatchObject({ relation: 'identical', verdict: 'caution' })
  })

  test('is compared under every part that both can be', () => {
    // Row 0 of pin 17 without its literal is constant 1: either part differs.
    const other = filled(SMALL, 0, 28, 1)
    const comparison = compare(withVectors, other)
    expect(comparison.relation).toBe('different')
    expect(codesOf(comparison)).toContain('compare/candidates')
  })
})

describe('data of a part whose order is open', () => {
  const known = deviceInOrder('82S100', 'term-by-term')

  test('are the library’s own where they are what it makes of an order', () => {
    expect([isUserDefined(known), isUserDefined({ ...known })]).toEqual([false, false])
    const { fuseOrder: _, ...others } = known
    for (const own of [others, { ...known, fuseOrder: 'another order' }, { ...known, title: 'my own' }])
      expect(isUserDefined(own)).toBe(true)
  })

  test('take no order beside them, and neither does a part whose order is known', () => {
    const fuseOrder = 'term-by-term'
    for (const device of [{ ...known }, '14L4'])
      expect(() => inspect(createFuseMap(1928), { device, fuseOrder })).toThrow(/^options\.fuseOrder: .* is not open$/)
    expect(inspect(createFuseMap(1928), { device: '82S100', fuseOrder }).kind).toBe('decoded')
  })
})
