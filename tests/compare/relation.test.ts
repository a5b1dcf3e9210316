/**
 * What decides the relation of two files, and what is said besides: rule by rule, on files whose places are counted
 * by hand.
 */
import { describe, expect, test } from 'vitest'
import { run } from '../../src/cli/every-command'
import { compare, createFuseMap, deviceInOrder, fuseMapFrom, readDevice, readFuseFile, setFuse, writeFuseFile, type CompareInput, type CompareOptions, type Comparison, type FuseMap } from '../../src/index'
import type { Design, Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { codesOf, compareDesigns, mapOf, output, outputAt, ratioAt } from './pairs'

/** Pin 17 of a 14L4 is the complement of pin 2. */
const SMALL: Design = { part: '14L4', mode: null, outputs: [output(17, [[2]])] }
const COMPLEX: Design = {
  part: '16V8',
  mode: 'complex',
  outputs: [output(19, [[2, 3], [-4]]), output(18, [[5]], { activeHigh: true, enable: { term: [6] } })],
}

const bytesOf = (fuses: FuseMap): Uint8Array => writeFuseFile({ fuses })
const textOf = (fuses: FuseMap): string => new TextDecoder('latin1').decode(bytesOf(fuses))

/** A map with fuses flipped. */
function flipped(map: FuseMap, ...fuses: readonly number[]): FuseMap {
  const copy = { length: map.length, bits: map.bits.slice() }
  for (const fuse of fuses) setFuse(copy, fuse, (copy.bits[fuse >>> 3]! >>> (fuse & 7)) & 1 ? 0 : 1)
  return copy
}

/** A map with fuses set to a state. */
function filled(map: FuseMap, from: number, to: number, state: 0 | 1): FuseMap {
  const copy = { length: map.length, bits: map.bits.slice() }
  for (let fuse = from; fuse < to; fuse++) setFuse(copy, fuse, state)
  return copy
}

/** Exit code of the program for two files. */
function exitOf(a: Uint8Array | string, b: Uint8Array | string, ...options: readonly string[]): number {
  const files = new Map(
    [
      ['a', a],
      ['b', b],
    ].map(
      ([name, content]) =>
        [name, typeof content === 'string' ? new TextEncoder().encode(content) : content] as [string, Uint8Array],
    ),
  )
  return run(['compare', 'a', 'b', ...options], {
    read: (path) => files.get(path)!,
    write: () => {},
    kind: () => 'none',
    list: () => [],
    same: () => false,
    out: () => {},
    err: () => {},
  })
}

function expectAll(comparison: Comparison, expected: object): void {
  expect(comparison).toMatchObject(expected)
}

describe('a side that gives no complete map', () => {
  const good = bytesOf(mapOf(COMPLEX))
  // The first bytes of a JPEG file (ITU-T T.81, B.1.1.3: SOI, then a marker), with others behind them.
  const photo = Uint8Array.from({ length: 600 }, (_, i) => [0xff, 0xd8, 0xff, 0xe0][i] ?? (i * 73) & 0xff)
  const whole = textOf(mapOf(COMPLEX))
  const cut = whole.slice(0, whole.indexOf('*', whole.indexOf('L') + 40) - 3)
  const cases = [
    ['a photograph', photo],
    ['an empty file', ''],
    ['a file cut within a list', cut],
    ['a fuse without a state', '\x02x*QF8*L0 1010*\x030000'],
    ['a gap at the beginning', '\x02x*QF8*L4 1010*\x030000'],
    ['a gap in the middle', '\x02x*QF8*L0 101*L4 1010*\x030000'],
    // The default would fill in what the cut took away.
    ['a cut file without marks', `QF2194*F0*L0 ${'10'.repeat(50)}`],
    ['a cut file with a default', `${whole.slice(0, 20)}*QF2194*F0*L0 ${'10'.repeat(50)}`],
  ] as const
  test.each(cases)('%s', (_, bad) => {
    for (const [a, b, words] of [
      [good, bad, 'read-back'],
      [bad, good, 'intended file'],
    ] as const) {
      const comparison = compare(a, b)
      expectAll(comparison, {
        relation: 'not-comparable',
        verdict: 'fail',
        basis: null,
        outputs: [],
        machines: null,
        pattern: null,
        fuseDifferences: { count: null, byRole: {}, groups: [], fuses: [] },
      })
      expect(codesOf(comparison)).toEqual(['compare/no-fuses'])
      expect(comparison.findings.find(({ code }) => code === 'compare/no-fuses')!.message).toContain(words)
      expect(exitOf(a, b)).toBe(3)
      expect(exitOf(a, b, '--strict')).toBe(3)
    }
    expect(codesOf(compare(bad, bad))).toEqual(['compare/no-fuses', 'compare/no-fuses'])
  })

  test('an error that the list of findings has no room for counts as well', () => {
    // Two errors, a wrong sum first, and room for one.
    const both = '\x02x*QF8*L0 101*C0000*L4 1010*\x030000'
    expect(compare(both, both, { maxFindings: 1 }).relation).toBe('not-comparable')
  })

  test('a file as read is taken as its bytes are', () => {
    expect(compare(readFuseFile(photo), good).relation).toBe('not-comparable')
    expect(compare(readFuseFile(good), good).relation).toBe('identical')
  })

  test('a missing end mark does not hide fuses that the sum vouches for', () => {
    const endless = whole.slice(0, whole.indexOf('\x03'))
    const comparison = compare(good, endless)
    expectAll(comparison, { relation: 'identical', verdict: 'caution' })
    expect(exitOf(good, endless)).toBe(0)
    expect(exitOf(good, endless, '--strict')).toBe(1)
  })
})

describe('a read-back that says nothing', () => {
  const map = mapOf(COMPLEX)

  test.each([0, 1] as const)('all fuses %i', (state) => {
    const blank = createFuseMap(map.length, state)
    for (const intended of [map, blank]) {
      const comparison = compare(intended, blank)
      // Mode fuses 0, 0 are no mode of this part: an error of the blank file's own.
      expectAll(comparison, {
        relation: 'not-comparable',
        verdict: state === 0 ? 'fail' : 'caution',
        security: { intended: null, readback: null, chip: 'blank-or-protected' },
      })
      expect(codesOf(comparison)).toEqual(['readback/all-alike'])
      expect(exitOf(bytesOf(intended), bytesOf(blank))).toBe(3)
    }
  })

  test.each([0, 1] as const)('an array of %i, and the signature still readable', (state) => {
    // Array: fuses 0 to 2047; signature from 2056, most significant bit first: "HI".
    const blank = fuseMapFrom([...encode({ ...COMPLEX, signature: [0x48, 0x49] })].join(''))
    const readback = filled(blank, 0, 2048, state)
    const comparison = compare(map, readback)
    expectAll(comparison, { relation: 'not-comparable', security: { chip: 'blank-or-protected' } })
    expect(codesOf(comparison)).toEqual(['readback/array-alike'])
    expect(comparison.findings.find(({ code }) => code === 'readback/array-alike')!.message).toContain('“HI”')
  })

  test.each([0, 1] as const)('an array of %i on both sides shows nothing, whatever else is the same', (state) => {
    const empty = filled(map, 0, 2048, state)
    expectAll(compare(empty, empty), { relation: 'not-comparable', security: { chip: 'blank-or-protected' } })
    // Fuse 2056 is of the signature.
    expect(compare(empty, flipped(empty, 2056)).relation).toBe('not-comparable')
    expect(exitOf(bytesOf(empty), bytesOf(empty))).toBe(3)
  })

  test('a blank map is equal to nothing, also where a chip does no more than it', () => {
    // Fuse 2 is one of two columns of a pin that are both connected in row 0, which stays constant 0 by the others.
    const empty = filled(map, 0, 2048, 0)
    const comparison = compare(empty, flipped(empty, 2))
    expect(comparison.relation).toBe('not-comparable')
    expect(codesOf(comparison)).toContain('readback/array-alike')
    expect(comparison.security.chip).toBe('readable')
  })

  test('one fuse of another state is a reading', () => {
    // Fuse 2056 lies in the signature, so the array is still all 1; fuse 7 lies in the array.
    expect(compare(map, flipped(createFuseMap(map.length, 1), 2056)).relation).toBe('not-comparable')
    expect(compare(map, flipped(createFuseMap(map.length, 1), 7)).relation).toBe('different')
    expect(compare(mapOf(SMALL), flipped(createFuseMap(448, 1), 7), { device: '14L4' }).relation).toBe('different')
  })

  test('an intended map that is blank is told from a chip that is not', () => {
    expect(compare(createFuseMap(448, 1), mapOf(SMALL), { device: '14L4' }).relation).toBe('different')
    // Another part whose array is blank, against a blank map of fewer fuses than that array has.
    expect(
      compare(createFuseMap(448, 0), filled(map, 0, 2048, 0), { device: '14L4', otherDevice: '16V8' }).relation,
    ).not.toBe('identical')
  })

  test('a part that is not certain: the array of any candidate counts, and here it is the whole map', () => {
    const pal = mapOf({ part: '16L8', mode: null, outputs: [output(18, [[2]])] })
    expect(codesOf(compare(pal, createFuseMap(2048, 0)))).toEqual(['readback/all-alike'])
  })
})

describe('the same fuses', () => {
  test('of the same part are identical', () => {
    const comparison = compare(mapOf(COMPLEX), mapOf(COMPLEX))
    expectAll(comparison, {
      relation: 'identical',
      verdict: 'pass',
      basis: 'fuses',
      fuseDifferences: { count: 0, byRole: {}, groups: [], fuses: [] },
    })
    // Pins 19 and 18; the other cells never drive.
    expect(comparison.outputs.map(({ pin, relation, counterexample }) => [pin, relation, counterexample])).toEqual([
      [18, 'equivalent', null],
      [19, 'equivalent', null],
    ])
    expect(exitOf(bytesOf(mapOf(COMPLEX)), bytesOf(mapOf(COMPLEX)), '--strict')).toBe(0)
  })

  test('of a part that is not certain, or not known, are identical', () => {
    const small = mapOf(SMALL)
    expectAll(compare(small, small), {
      relation: 'identical',
      basis: 'fuses',
      verdict: 'caution',
      devices: { intended: null, readback: null },
    })
    const unknown = fuseMapFrom('0110100110')
    expectAll(compare(unknown, unknown), { relation: 'identical', basis: 'fuses', verdict: 'caution', outputs: [] })
    // Nothing was examined but the fuses, which is said; of a part that is one of two the logic is the same whichever
    // it is.
    expect(codesOf(compare(unknown, unknown))).toEqual(['compare/logic-not-examined'])
    expect(codesOf(compare(small, small))).toEqual([])
    const bySize = filled(createFuseMap(2056), 0, 100, 1)
    expect(codesOf(compare(bySize, bySize, { device: '16P8' }))).toEqual(['compare/logic-not-examined'])
  })

  test('of what may be two parts, one of which is known by size only, are undecided', () => {
    // 512 fuses are a 16H2, a 16L2 or a 16C1.
    const map = mapOf({ part: '16L2', mode: null, outputs: [output(16, [[2]])] })
    for (const options of [
      { device: '16C1', otherDevice: '16L2' },
      { device: '16L2', otherDevice: '16C1' },
      { otherDevice: '16C1' },
    ]) {
      const comparison = compare(map, map, options)
      expectAll(comparison, {
        relation: 'undecided',
        verdict: 'caution',
        basis: 'fuses',
        outputs: [],
        fuseDifferences: { count: null, byRole: {}, groups: [], fuses: [] },
      })
      expect(codesOf(comparison)).toEqual(['compare/logic-not-examined'])
    }
    expect(compare(map, map, { device: '16C1' }).relation).toBe('identical')
  })

  test('as a 16L8 and as a 16R4 are judged by logic', () => {
    // The enable row of pin 17 (fuses 512 to 543) is a term of its register there.
    const map = mapOf({ part: '16L8', mode: null, outputs: [output(17, [[2]]), output(19, [[3]])] })
    const comparison = compare(map, map, { device: '16L8', otherDevice: '16R4' })
    expectAll(comparison, {
      relation: 'different',
      basis: 'logic',
      fuseDifferences: { count: null, byRole: {}, groups: [], fuses: [] },
    })
    expect(outputAt(comparison, 17).relation).toBe('different')
    expect(outputAt(comparison, 19).relation).toBe('equivalent')
    expect(compare(map, map, { device: '16L8' }).relation).toBe('identical')
  })

  test('with part data of the caller’s own are identical, and fuses are compared one by one', () => {
    const own = readDevice({
      part: 'GATE',
      fuseCount: 8,
      pinCount: 5,
      groundPin: 4,
      powerPin: 5,
      array: { rows: 2, columns: 4 },
      blocks: [{ use: 'array', name: 'AND array', first: 0, count: 8 }],
      cells: [{ pin: 3, firstRow: 0, rowCount: 2 }],
      modes: [
        {
          columns: [1, 2],
          registerFeedback: 'pin',
          settings: [
            {
              output: 'combinational',
              enable: 'always',
              sums: [{ from: 0, count: 2 }],
              polarity: 'none',
              inverting: false,
            },
          ],
        },
      ],
      basis: 'published',
    })
    // Pin 3 = p1 ∨ p2, and p1 ∨ ¬p1 ∧ p2, which is the same.
    const [a, b] = [fuseMapFrom('0111 1101'), fuseMapFrom('0111 1001')]
    expect(compare(a, a, { device: own }).relation).toBe('identical')
    expectAll(compare(a, b, { device: own }), {
      relation: 'equivalent',
      fuseDifferences: { count: 1, byRole: { and: 1 } },
    })
    expect(compare(a, b, { device: own, otherDevice: JSON.parse(JSON.stringify(own)) }).fuseDifferences.count).toBe(1)
  })

  test('of a 22V10 with and without signature are at best equivalent', () => {
    const long = mapOf({ part: '22V10', mode: null, outputs: [output(23, [[2, 3]])], signature: [0x41] })
    const short: FuseMap = { length: 5828, bits: filled(long, 5828, 5832, 0).bits.slice(0, 729) }
    for (const [a, b] of [
      [short, long],
      [long, short],
    ] as const) {
      const comparison = compare(a, b)
      expectAll(comparison, { relation: 'equivalent', basis: 'logic', fuseDifferences: { count: 0, byRole: {} } })
      expect(codesOf(comparison)).toEqual(['compare/same-array'])
      expect(comparison.fileDifferences).toContainEqual({
        what: 'size',
        intended: String(a.length),
        readback: String(b.length),
      })
    }
    // Row 2 is the first term of pin 23: fuse 88 is its column of pin 1.
    expect(compare(short, flipped(long, 88)).relation).toBe('different')
  })
})

describe('a part that is not certain', () => {
  const literal = (fuses: readonly number[]): FuseMap => flipped(mapOf(SMALL), ...fuses)

  test('all candidates agree on equal', () => {
    // Row 1 of pin 17 (fuses 28 to 55) is all connected; one fuse less leaves it constant 0.
    const comparison = compare(mapOf(SMALL), literal([28]))
    expectAll(comparison, {
      relation: 'equivalent',
      basis: 'logic',
      verdict: 'caution',
      outputs: [],
      fuseDifferences: { count: 1, byRole: {}, groups: [] },
    })
    expect(codesOf(comparison)).toEqual(['compare/candidates'])
    expect(comparison.findings.find(({ code }) => code === 'compare/candidates')!.message).toContain('14H4, 14L4')
    expect(exitOf(bytesOf(mapOf(SMALL)), bytesOf(literal([28])))).toBe(0)
    expect(exitOf(bytesOf(mapOf(SMALL)), bytesOf(literal([28])), '--strict')).toBe(1)
  })

  test('all candidates agree on different', () => {
    // Fuse 0 connects pin 2 to the first row.
    const comparison = compare(mapOf(SMALL), literal([0]))
    expectAll(comparison, { relation: 'different', basis: 'logic', verdict: 'fail' })
    expect(codesOf(comparison)).toEqual(['compare/candidates', 'compare/different'])
    expect(exitOf(bytesOf(mapOf(SMALL)), bytesOf(literal([0])))).toBe(1)
  })

  test('test vectors of one side alone say which candidate it is; the other side may still be any', () => {
    // As a 14L4 pin 17 is ¬p2, as a 14H4 it is p2: one vector is held by the first alone.
    const map = mapOf(SMALL)
    const vector = `V1 ${'0'.repeat(9)}N${'0'.repeat(3)}XXXH00N`
    const sure = textOf(map).replace('\x03', `${vector}*\r\n\x03`)
    expect(compare(sure, sure).devices.intended).toMatchObject({ part: '14L4', basis: 'vectors' })
    // Fuse 28 is the first of a row that is all connected without it too.
    for (const [other, relation, codes] of [
      [map, 'identical', []],
      [literal([28]), 'equivalent', ['compare/candidates']],
    ] as const)
      for (const comparison of [compare(sure, other), compare(other, sure)])
        expect([comparison.relation, codesOf(comparison)]).toEqual([relation, codes])
  })

  test('candidates that disagree leave it undecided', () => {
    // The enable row of pin 17 of a 16L8 (fuses 512 to 543) is constant 1 or holds both columns of pin 2: off, or on,
    // there; as a 16R8 the same row is a term beside another that is constant 1, and decides nothing.
    const free: Term = []
    const pal = mapOf({
      part: '16R8',
      mode: null,
      outputs: [{ pin: 17, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: [free, free] }],
    })
    const other = filled(pal, 512, 514, 0)
    const comparison = compare(pal, other)
    expectAll(comparison, { relation: 'undecided', basis: 'logic', verdict: 'caution', outputs: [] })
    expect(codesOf(comparison)).toEqual(['compare/candidates-disagree'])
    const { message } = comparison.findings.find(({ code }) => code === 'compare/candidates-disagree')!
    expect(message).toContain('as 16L8 different')
    expect(message).toContain('as 16R8 equivalent')
    expect(exitOf(bytesOf(pal), bytesOf(other))).toBe(3)
    expect(exitOf(bytesOf(pal), bytesOf(other), '--strict')).toBe(3)
  })

  test('a candidate whose fuses nobody can read leaves it undecided', () => {
    // 512 fuses are a 16H2, a 16L2 or a 16C1, of which only the size is known.
    const map = mapOf({ part: '16L2', mode: null, outputs: [output(16, [[2]])] })
    expectAll(compare(map, flipped(map, 0)), { relation: 'undecided', verdict: 'caution' })
    expectAll(compare(map, flipped(map, 0), { device: '16L2' }), { relation: 'different' })
  })

  test('sizes of other packages, both uncertain: not comparable, and why', () => {
    // 1600 fuses are parts of 24 pins.
    const other = mapOf({ part: '20L10', mode: null, outputs: [output(21, [[2]])] })
    const comparison = compare(mapOf(SMALL), other)
    expectAll(comparison, { relation: 'not-comparable', basis: null, verdict: 'caution' })
    expect(codesOf(comparison)).toEqual(['compare/packages-differ'])
  })
})

describe('a part that is not known', () => {
  const [a, b] = [fuseMapFrom('0110100110'), fuseMapFrom('0110100111')]

  test('is compared by fuses', () => {
    const comparison = compare(a, b)
    expectAll(comparison, {
      relation: 'different',
      basis: 'fuses',
      verdict: 'fail',
      outputs: [],
      devices: { intended: null, readback: null },
      fuseDifferences: { count: 1, byRole: {} },
    })
    expect(codesOf(comparison)).toEqual(['compare/fuses-differ', 'compare/logic-not-examined'])
    expect(comparison.findings.find(({ code }) => code === 'compare/fuses-differ')!.fuse).toBe(9)
    expect(exitOf(bytesOf(a), bytesOf(b))).toBe(1)
  })

  test('one that is known by size only, too', () => {
    const map = filled(createFuseMap(2056), 0, 100, 1)
    const comparison = compare(map, flipped(map, 5), { device: '16P8' })
    expectAll(comparison, { relation: 'different', basis: 'fuses' })
    expect(comparison.findings.find(({ code }) => code === 'compare/logic-not-examined')!.message).toContain('16P8')
  })

  test('of another size is not comparable', () => {
    const comparison = compare(a, fuseMapFrom('01101001101'))
    expectAll(comparison, {
      relation: 'not-comparable',
      basis: null,
      verdict: 'caution',
      fuseDifferences: { count: null, byRole: {}, groups: [], fuses: [] },
    })
    expect(codesOf(comparison)).toEqual(['compare/same-array', 'compare/sizes-differ'])
    // Fuses 0 and 8 exchanged leave the sum as it is: each is the lowest bit of its byte. Of other sizes that is no news.
    expect(codesOf(compare(a, fuseMapFrom('11101001000')))).toEqual(['compare/sizes-differ'])
    expect(codesOf(compare(a, fuseMapFrom('1110100100')))).toContain('compare/equal-sums')
    expect(exitOf(bytesOf(a), bytesOf(fuseMapFrom('01101001101')))).toBe(3)
  })

  test('against a known part of another size, on either side', () => {
    const known = mapOf(COMPLEX)
    for (const [first, second] of [
      [a, known],
      [known, a],
    ] as const)
      expectAll(compare(first, second), { relation: 'not-comparable' })
    expect(codesOf(compare(known, filled(createFuseMap(3540), 0, 9, 1), { otherDevice: '18V10' }))).toEqual([
      'compare/sizes-differ',
    ])
  })
})

describe('packages', () => {
  const pal: Design = { part: '16L8', mode: null, outputs: [output(18, [[2, -3]])] }
  const gal: Design = { part: '22V10', mode: null, outputs: [output(18, [[2, -3]])] }

  test('with other pin counts and no pairing are not comparable', () => {
    const comparison = compareDesigns(pal, gal)
    expectAll(comparison, { relation: 'not-comparable', basis: null, verdict: 'caution', outputs: [] })
    expect(codesOf(comparison)).toEqual(['compare/packages-differ'])
    expect(compareDesigns(pal, gal, { pins: { 18: 18, 2: 2, 3: 3 } }).relation).not.toBe('not-comparable')
  })

  test('the part named for the intended file holds for the read-back where the size fits, and only there', () => {
    expect(compare(mapOf(SMALL), flipped(mapOf(SMALL), 28), { device: '14L4' }).devices).toMatchObject({
      intended: { part: '14L4' },
      readback: { part: '14L4', basis: 'choice' },
    })
    expect(compare(mapOf(SMALL), mapOf(COMPLEX), { device: '14L4' }).devices).toMatchObject({
      intended: { part: '14L4' },
      readback: { part: '16V8', basis: 'size' },
    })
  })

  test('an order of fuses is that of the side whose order is open, and is no word of the other', () => {
    // 1928 fuses are an 82S100, of 28 pins.
    const array = filled(createFuseMap(1928), 0, 100, 1)
    const fuseOrder = 'term-by-term'
    for (const comparison of [
      compare(array, mapOf(gal), { device: '82S100', otherDevice: '22V10', fuseOrder }),
      compare(mapOf(gal), array, { otherDevice: '82S100', fuseOrder }),
    ])
      expect([comparison.relation, codesOf(comparison)]).toEqual(['not-comparable', ['compare/packages-differ']])
  })

  test('a part that does not fit the size is an error of that side', () => {
    const comparison = compare(mapOf(SMALL), mapOf(COMPLEX), { device: '14L4', otherDevice: '14L4' })
    expectAll(comparison, { relation: 'not-comparable', verdict: 'fail' })
    expect(comparison.findings.filter(({ code }) => code === 'device/size-mismatch').map(({ side }) => side)).toEqual(
      ['readback'],
    )
  })
})

describe('the verdict', () => {
  const map = mapOf(COMPLEX)
  /** A file with sums, so that nothing about it is worth more than a note. */
  const quiet = (fuses: FuseMap): string => textOf(fuses).replace(/(L0)/, 'G0*$1')
  const resummed = (text: string): string => {
    const body = text.slice(0, text.indexOf('\x03') + 1)
    return (
      body +
      [...body]
        .reduce((sum, c) => sum + c.charCodeAt(0), 0)
        .toString(16)
        .toUpperCase()
        .slice(-4)
        .padStart(4, '0')
    )
  }
  const sound = resummed(quiet(map))

  test.each([
    ['identical', map, 'pass'],
    // 2056 is a bit of the signature, 0 a literal in a row of pin 19 that is its enable.
    ['equivalent', flipped(map, 2056), 'pass'],
    ['different', flipped(map, 0), 'fail'],
  ] as const)('%s', (relation, other, verdict) => {
    expectAll(compare(sound, resummed(quiet(other))), { relation, verdict })
  })

  test('is made worse by what either file says by itself', () => {
    const wrongSum = sound.replace(/C[0-9A-F]{4}\*/, 'C0000*')
    const wrongTransmission = `${sound.slice(0, -4)}1234`
    for (const [bad, verdict] of [
      [wrongSum, 'fail'],
      [wrongTransmission, 'caution'],
    ] as const)
      for (const [a, b] of [
        [sound, bad],
        [bad, sound],
      ] as const) {
        expectAll(compare(a, b), { relation: 'identical', verdict })
        expect(exitOf(a, b)).toBe(0)
        expect(exitOf(a, b, '--strict')).toBe(1)
      }
    expect(exitOf(sound, sound, '--strict')).toBe(0)
  })

  test('findings of a file name their side, those of the comparison none', () => {
    const { findings } = compare(sound, `${resummed(quiet(flipped(map, 0))).slice(0, -4)}1234`)
    expect(findings.find(({ code }) => code === 'checksum/transmission-mismatch')!.side).toBe('readback')
    expect(findings.find(({ code }) => code === 'compare/different')).not.toHaveProperty('side')
  })

  test('counts what is not listed', () => {
    const many = sound.replace('G0*', `${'QZ*'.repeat(50)}G0*`)
    const { findings, verdict } = compare(many, resummed(quiet(flipped(map, 0))), { maxFindings: 1 })
    expect(findings.map(({ code }) => code)).toEqual(['compare/different', 'file/more-findings'])
    expect(verdict).toBe('fail')
  })
})

describe('differing fuses', () => {
  const by = (comparison: Comparison): Comparison['fuseDifferences']['byRole'] => comparison.fuseDifferences.byRole

  test('of a 16V8, one of each role', () => {
    // Fuse numbers of the data sheet's diagrams: XOR from 2048, signature from 2056, AC1 from 2120, PTD from 2128,
    // SYN 2192.
    // Row 1 of pin 19 (from fuse 32) is a term, row 0 its enable; AC1 of pin 12 is 2127.
    const map = mapOf(COMPLEX)
    const comparison = compare(map, flipped(map, 0, 33, 34, 2048, 2060, 2061, 2127, 2140))
    expect(by(comparison)).toEqual({
      'output-enable': 1,
      and: 2,
      polarity: 1,
      signature: 2,
      configuration: 1,
      'term-disable': 1,
    })
    expect(comparison.fuseDifferences.count).toBe(8)
    expect(
      comparison.fuseDifferences.groups.map(({ role, pin, row, count, fuse }) => [role, pin, row, count, fuse]),
    ).toEqual([
      ['output-enable', 19, 0, 1, 0],
      ['and', 19, 1, 2, 33],
      ['polarity', 19, null, 1, 2048],
      ['signature', null, null, 2, 2060],
      ['configuration', 12, null, 1, 2127],
      // 2140 is the disable fuse of row 12, a row of pin 18; behind the array fuses are one group a pin.
      ['term-disable', 18, null, 1, 2140],
    ])
    // Column 1 of the array is the complement of pin 2, column 2 pin 1 (diagram of the complex mode).
    expect(comparison.fuseDifferences.fuses.slice(1, 3)).toMatchObject([
      { fuse: 33, role: 'and', pin: 19, row: 1, column: 1, input: { pin: 2, complement: true } },
      { fuse: 34, role: 'and', pin: 19, row: 1, column: 2, input: { pin: 1, complement: false } },
    ])
  })

  test('are read in the mode of the intended file', () => {
    // In the registered mode the first row of a registered cell is a term; 2192 is SYN.
    const registered = mapOf({
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      outputs: [{ pin: 19, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: [[2]] }],
    })
    expect(by(compare(registered, flipped(registered, 40, 2192)))).toEqual({ and: 1, configuration: 1 })
    expect(by(compare(flipped(registered, 40, 2192), registered))).toEqual({ and: 1, configuration: 1 })
    const complex = mapOf(COMPLEX)
    // 2193 is AC0: with it at 0 the mode is the simple one, which has no enable rows.
    expect(by(compare(complex, flipped(complex, 3, 2193)))).toEqual({ 'output-enable': 1, configuration: 1 })
    expect(by(compare(flipped(complex, 3, 2193), complex))).toEqual({ and: 1, configuration: 1 })
  })

  test('of a 22V10: reset, preset, and the fuse that only the longest map has', () => {
    // Row 0 resets (fuses 0 to 43), row 131 presets (from 5764); S0 of pin 23 is 5808, S1 5809; 5892 is the
    // power-down fuse.
    const states = encode({ part: '22V10', mode: null, outputs: [output(23, [[2]])] })
    const map = fuseMapFrom(`${states.join('')}0`)
    const comparison = compare(map, flipped(map, 3, 5770, 5771, 5808, 5811, 5892))
    expect(by(comparison)).toEqual({ reset: 1, preset: 2, polarity: 1, configuration: 1, 'power-down': 1 })
  })

  test('of a 20RA10: enable, clock, reset and preset of a cell', () => {
    // Four control rows a cell of 40 fuses each (data sheet p. 4): pin 23 from 0, 40, 80, 120; its first term from 160.
    const map = mapOf({
      part: '20RA10',
      mode: null,
      outputs: [
        {
          pin: 23,
          kind: 'registered',
          activeHigh: true,
          enable: { term: [2], lowPin: 13 },
          terms: [[3]],
          clock: [4],
          reset: [5],
          preset: [6],
        },
      ],
    })
    expect(by(compare(map, flipped(map, 1, 41, 81, 121, 161, 3200)))).toEqual({
      'output-enable': 1,
      clock: 1,
      reset: 1,
      preset: 1,
      and: 1,
      polarity: 1,
    })
  })

  test('of a logic array in an order that the caller names: AND and OR array', () => {
    // 48 terms of 32 AND cells and 8 OR cells each, then 8 polarity cells: 48 · 40 + 8 = 1928.
    const map = filled(createFuseMap(1928, 1), 0, 1, 0)
    const comparison = compare(map, flipped(map, 1, 32, 40, 1920), { device: '82S100', fuseOrder: 'term-by-term' })
    expect(by(comparison)).toEqual({ and: 2, or: 1, polarity: 1 })
    expect(compare(map, map, { device: '82S100', fuseOrder: 'term-by-term' }).relation).toBe('identical')
    expect(
      compare(map, map, {
        device: deviceInOrder('82S100', 'term-by-term'),
        otherDevice: deviceInOrder('82S100', 'array-by-array'),
      }).relation,
    ).not.toBe('identical')
  })

  test('of parts known by size are reserved', () => {
    const map = filled(createFuseMap(2056), 0, 100, 1)
    expect(compare(map, flipped(map, 5), { device: '16P8' }).fuseDifferences.fuses.map(({ fuse }) => fuse)).toEqual(
      [],
    )
    expect(compare(map, flipped(map, 5), { device: '16P8' }).fuseDifferences.count).toBe(1)
  })

  test('between different parts are not counted', () => {
    const comparison = compareDesigns(
      { part: '16L8', mode: null, outputs: [output(18, [[2]])] },
      { part: '16V8', mode: 'complex', outputs: [output(18, [[2]])] },
    )
    expect(comparison.fuseDifferences).toEqual({ count: null, byRole: {}, groups: [], fuses: [] })
  })

  test('are listed up to a limit and counted beyond', () => {
    const map = mapOf(COMPLEX)
    const { fuseDifferences } = compare(map, flipped(map, 0, 1, 2, 3, 4), { maxDifferences: 2 })
    expect(fuseDifferences.fuses.map(({ fuse }) => fuse)).toEqual([0, 1])
    expect(fuseDifferences).toMatchObject({ count: 5, byRole: { 'output-enable': 5 } })
    expect(fuseDifferences.groups).toHaveLength(1)
  })

  test('are a thousand at most where no limit is given', () => {
    const map = mapOf(COMPLEX)
    const { fuseDifferences } = compare(map, flipped(map, ...Array.from({ length: 1002 }, (_, fuse) => fuse)))
    expect(fuseDifferences.count).toBe(1002)
    expect(fuseDifferences.fuses).toHaveLength(1000)
  })

  test('with equal fuse sums are told as a trap', () => {
    // Fuses 0 and 8 weigh the same, 2⁰; one goes from 0 to 1 and the other from 1 to 0.
    const map = fuseMapFrom('0000000010101010')
    const other = flipped(map, 0, 8)
    expect(codesOf(compare(map, other))).toContain('compare/equal-sums')
    expect(codesOf(compare(map, flipped(map, 0)))).not.toContain('compare/equal-sums')
  })
})

describe('places of a fuse in both files', () => {
  const position = (text: string, offset: number): object => {
    const before = text.slice(0, offset)
    const line = before.split('\r\n').length
    return { offset, line, column: offset - before.lastIndexOf('\n') }
  }
  const placed = (a: string, b: string, options: CompareOptions = {}): [number, object | null, object | null][] =>
    compare(a, b, options).fuseDifferences.fuses.map(({ fuse, positions }) => [
      fuse,
      positions.intended,
      positions.readback,
    ])
  /** Eight fuses: `0110 1001`. */
  const lists = '\x02Ten*\r\nQF8*\r\nL0000 0110*\r\nL4\r\n10 01*\r\n\x030000'

  test('lists, by hand', () => {
    // Fuse 7 is the digit before the asterisk of the second list; in the other file it stands in one list of eight.
    const other = '\x02Ten*\r\nQF8*\r\nL00 01101000*\r\n\x030000'
    expect(placed(lists, other, {})).toEqual([])
    const unknown = compare(lists, other)
    expect(unknown.relation).toBe('different')
    expect(unknown.fuseDifferences.count).toBe(1)
  })

  test('a list, a later list that overrides it, and the default', () => {
    // A 14L4 needs 448 fuses: a default, and lists for a few.
    const head = '\x02x*\r\nQF448*\r\nF0*\r\n'
    const first = `${head}L0005 1100*\r\nL6 0*\r\nL440 1*\r\n\x030000`
    const second = `${head}L8 1*\r\nL440 1*\r\n\x030000`
    // The first file sets 5, 6 (then back to 0), the second 8: they differ in 5 and 8.
    expect(placed(first, second, { device: '14L4' })).toEqual([
      [5, position(first, first.indexOf('1100')), null],
      [8, position(first, first.indexOf('1100') + 3), position(second, second.indexOf('L8 1') + 3)],
    ])
    // With the second list of fuse 6 at 1, that digit is the place.
    const third = first.replace('L6 0', 'L6 1')
    expect(placed(third, second, { device: '14L4' })[1]).toEqual([
      6,
      position(third, third.indexOf('L6 1') + 3),
      null,
    ])
  })

  test('a hexadecimal list: one digit stands for four fuses, the highest bit first', () => {
    const head = '\x02x*\r\nQF448*\r\nF0*\r\n'
    // Digits A and 1 from fuse 8 on: fuses 8, 10 and 15.
    const hex = `${head}K8 A1*\r\nL440 1*\r\n\x030000`
    const plain = `${head}L440 1*\r\n\x030000`
    const at = hex.indexOf('A1')
    expect(placed(hex, plain, { device: '14L4' })).toEqual([
      [8, position(hex, at), null],
      [10, position(hex, at), null],
      [15, position(hex, at + 1), null],
    ])
  })

  test('a character in a list that is no state takes no place', () => {
    const head = '\x02x*\r\nQF448*\r\nF0*\r\n'
    const odd = `${head}L0 0A21*\r\nL440 1*\r\n\x030000`
    const plain = `${head}L440 1*\r\n\x030000`
    expect(placed(odd, plain, { device: '14L4' })).toEqual([[1, position(odd, odd.indexOf('A21') + 2), null]])
  })

  test('a design specification that looks like a list is none', () => {
    // As a list it would be that of fuses 1 and 2.
    const first = `\x02L1 01 is the name*\r\nQF448*\r\nF0*\r\nL1 1*\r\n\x030000`
    const second = `\x02x*\r\nQF448*\r\nF0*\r\nL2 1*\r\n\x030000`
    expect(placed(first, second, { device: '14L4' })).toEqual([
      [1, position(first, first.indexOf('L1 1') + 3), null],
      [2, null, position(second, second.indexOf('L2 1') + 3)],
    ])
  })
})

describe('what else differs', () => {
  const base = 'QP20*\r\nQF448*\r\nG0*\r\nF0*\r\nL0 1*\r\nL40 1*\r\n'
  const file = (title: string, fields: string, sum: string): string => `\x02${title}*\r\n${fields}\x03${sum}`
  const whats = (a: string, b: string): [string, string | null, string | null][] =>
    compare(a, b, { device: '14L4' }).fileDifferences.map(({ what, intended, readback }) => [
      what,
      intended,
      readback,
    ])

  test('nothing, where nothing does', () => {
    expect(whats(file('One', base, '0000'), file('One', base, '0000'))).toEqual([])
  })

  test.each([
    ['the header', file('Two', base, '0000'), ['design specification', 'One', 'Two']],
    ['notes', file('One', `N seen*\r\n${base}`, '0000'), ['notes', '', 'seen']],
    ['the transmission sum', file('One', base, '1234'), ['transmission checksum', '0000', '1234']],
    ['the fuse sum', file('One', `${base}C0002*\r\n`, '0000'), ['fuse checksum', null, '0002']],
    ['the security field', file('One', base.replace('G0', 'G1'), '0000'), ['security', '0', '1']],
    ['the pin count', file('One', base.replace('QP20*\r\n', ''), '0000'), ['pin count', '20', null]],
    [
      'the level of pins that a vector leaves open',
      file('One', `${base}X1*\r\n`, '0000'),
      ['test vectors', '0 vectors', '0 vectors'],
    ],
    ['vectors', file('One', `${base}V1 ${'N'.repeat(20)}*\r\n`, '0000'), ['test vectors', '0 vectors', '1 vector']],
  ] as const)('%s', (_, other, expected) => {
    expect(
      whats(file('One', base, '0000'), other).map((row) =>
        row.map((text) => (typeof text === 'string' ? text.trim() : text)),
      ),
    ).toEqual([expected])
  })

  test('protection: what the files ask for, and what the chip shows', () => {
    const advice = (a: CompareInput, b: CompareInput): Comparison['security'] =>
      compare(a, b, { device: '14L4' }).security
    const protect = file('One', base.replace('G0', 'G1'), '0000')
    expect(advice(file('One', base, '0000'), protect)).toMatchObject({ intended: 0, readback: 1, chip: 'readable' })
    expect(advice(file('One', base, '0000'), protect).advice[0]).toContain('G1')
    expect(advice(file('One', base, '0000'), file('One', base, '0000')).advice.join(' ')).not.toContain('G1')
    expect(advice(file('One', base, '0000'), createFuseMap(448, 1))).toMatchObject({ chip: 'blank-or-protected' })
    expect(advice(file('One', base, '0000'), '')).toMatchObject({ chip: 'not-known', readback: null })
  })

  test('the scope says what was compared and what was not', () => {
    const map = mapOf(COMPLEX)
    expect(compare(map, map).scope).toMatchObject({ compared: ['the fuses of both maps'] })
    expect(compare(map, map).scope.notExamined).toContain('the logic')
    const { compared, notExamined } = compare(map, flipped(map, 2056)).scope
    expect(compared.join(' ')).toContain('2 outputs')
    expect(notExamined).not.toContain('the logic')
    expect(compare(map, '').scope.compared).toEqual([])
  })
})

describe('outputs', () => {
  test('all of either side are listed, also where only one side drives', () => {
    const both: Design = { part: '16V8', mode: 'simple', outputs: [output(19, [[2]]), output(18, [[3]])] }
    const one: Design = { part: '16V8', mode: 'simple', outputs: [output(18, [[3]])] }
    for (const [a, b, side] of [
      [both, one, 'intended'],
      [one, both, 'readback'],
    ] as const) {
      const comparison = compareDesigns(a, b)
      // Pins 15 and 16 cannot be inputs in this mode, so they drive on both sides.
      expect(comparison.outputs.map(({ pin }) => pin)).toEqual([15, 16, 18, 19])
      // Pin 19 is the complement of pin 2 on one side, and off on the other: in no row do they do the same.
      expect(outputAt(comparison, 19)).toMatchObject({ relation: 'different', side, differsIn: ['enable'] })
      expect(ratioAt(comparison, 19)).toBe('1/1')
      expect(outputAt(comparison, 19).counterexample).toMatchObject(
        side === 'intended' ? { readback: 'Z' } : { intended: 'Z' },
      )
      expect(codesOf(comparison)).toContain('compare/one-sided')
    }
  })

  test('values count only where both drive, enables by themselves', () => {
    // Pin 18 drives while pin 6 is high; the values differ while pin 5 is 0 … and only then is it seen.
    const a: Design = { part: '16V8', mode: 'complex', outputs: [output(18, [[5]], { enable: { term: [6] } })] }
    const b: Design = { part: '16V8', mode: 'complex', outputs: [output(18, [[5, 6]], { enable: { term: [6] } })] }
    expect(compareDesigns(a, b).relation).toBe('equivalent')
    const c: Design = { part: '16V8', mode: 'complex', outputs: [output(18, [[5, 7]], { enable: { term: [6] } })] }
    // Both on in half of the rows, the values differ where pin 5 is 1 and pin 7 is 0: 1/8 in all.
    expect(outputAt(compareDesigns(a, c), 18)).toMatchObject({ relation: 'different', differsIn: ['value'] })
    expect(ratioAt(compareDesigns(a, c), 18)).toBe('1/8')
    const d: Design = { part: '16V8', mode: 'complex', outputs: [output(18, [[5]], { enable: { term: [6, 7] } })] }
    expect(outputAt(compareDesigns(a, d), 18)).toMatchObject({
      differsIn: ['enable'],
      counterexample: { inputs: { 6: 1, 7: 0 }, readback: 'Z' },
    })
    expect(ratioAt(compareDesigns(a, d), 18)).toBe('1/4')
  })

  test('rows of the array that are 1 under the counterexample', () => {
    // Pin 19 has rows 0 to 7: enable in row 0, terms from row 1. Intended: row 1 is ¬p2. Read-back: row 1 is ¬p2 ∧ p3.
    const a: Design = { part: '16V8', mode: 'complex', outputs: [output(19, [[-2]])] }
    const b: Design = { part: '16V8', mode: 'complex', outputs: [output(19, [[-2, 3]])] }
    const { counterexample } = outputAt(compareDesigns(a, b), 19)
    expect(counterexample).toEqual({
      inputs: { 2: 0, 3: 0 },
      state: {},
      intended: 'L',
      readback: 'H',
      sequence: null,
      rows: { intended: [0, 1], readback: [0] },
    })
  })

  test('a cell that no data sheet defines is undecided, and the rest is not', () => {
    // AC1 of pin 12 (fuse 2127) at 0 in the complex mode.
    const map = mapOf(COMPLEX)
    const comparison = compare(map, flipped(map, 2127))
    expect(outputAt(comparison, 12)).toMatchObject({
      relation: 'undecided',
      reason: 'undefined-cell',
      differingInputs: null,
      ofInputs: null,
      counterexample: null,
    })
    expect(outputAt(comparison, 19).relation).toBe('equivalent')
    expectAll(comparison, { relation: 'undecided', verdict: 'caution' })
    expect(codesOf(comparison)).toEqual(['compare/undecided'])
    // One output that is certainly different decides, whatever the undecided one does. Fuse 48 puts pin 6
    // (column 16) into the first term of pin 19.
    const worse = compare(map, flipped(map, 2127, 48))
    expect([outputAt(worse, 12).relation, outputAt(worse, 19).relation]).toEqual(['undecided', 'different'])
    expectAll(worse, { relation: 'different', verdict: 'fail' })
  })

  test('a cell that no data sheet defines is the same on both sides where its fuses are', () => {
    // Fuse 2056 belongs to the signature, fuse 48 to pin 19; pin 12 has rows 56 to 63 and fuses 2055 and 2127.
    const map = flipped(mapOf(COMPLEX), 2127)
    const signature = compare(map, flipped(map, 2056))
    expectAll(signature, { relation: 'equivalent' })
    expect(outputAt(signature, 12)).toMatchObject({ relation: 'equivalent', reason: null })
    expect(outputAt(compare(map, flipped(map, 48)), 12).relation).toBe('equivalent')
    for (const own of [56 * 32, 63 * 32 + 31, 2055])
      expect(outputAt(compare(map, flipped(map, own)), 12), `fuse ${own}`).toMatchObject({
        relation: 'undecided',
        reason: 'undefined-cell',
      })
  })

  test('mode fuses that name no mode leave the logic undecided', () => {
    // SYN and AC0 (2192, 2193) both 0 are no mode of the data sheet.
    const map = mapOf(COMPLEX)
    const comparison = compare(map, flipped(map, 2192, 2193))
    expectAll(comparison, { relation: 'undecided', verdict: 'fail', outputs: [] })
    const reason = (one: FuseMap, other: FuseMap): unknown =>
      compare(one, other, { device: '14L4', otherDevice: '16V8' }).findings.find(
        ({ code }) => code === 'compare/logic-not-examined',
      )!.data
    expect(comparison.findings.find(({ code }) => code === 'compare/logic-not-examined')!.message).toContain('mode')
    // A 14L4 has the one mode, so that it is the 16V8 that has none.
    expect(reason(mapOf(SMALL), flipped(map, 2192, 2193))).toEqual({ reason: 'one-side-without-mode' })
  })
})
