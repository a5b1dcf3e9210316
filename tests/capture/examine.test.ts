/**
 * Captures against fuse files and other images. Images come from published tables and straight evaluation, maps from
 * the encoder of the tests, so that both sides are independent of the library.
 */
import { describe, expect, test } from 'vitest'
import {
  compareCapture,
  examineCapture,
  readCapture,
  type CaptureOptions,
  type CaptureReport,
  type WiringDocument,
} from '../../src/capture'
import { fuseMapFrom, writeFuseFile } from '../../src/index'
import { renderCapture } from '../../src/report'
import { encode } from '../parts/encoder'
import type { Design, DesignOutput, Term } from '../parts/design'
import { codeTerm, namedOutput, type Pins } from '../parts/function-tables'
import {
  ARRAY_82S100,
  encodeArray,
  inputFuse,
  ORDERS,
  polarityFuse,
  sumFuse,
  type ArrayDesign,
  type Ordered,
} from '../parts/logic-array-maps'
import { seededRandom } from '../parts/random-designs'
import { sampleSize } from '../sample-size'
import {
  bit,
  DECODER_138,
  functionOf,
  functionOfArray,
  imageOf,
  randomArray,
  randomScramble,
  scrambled,
  SEVEN_SEGMENT,
  tableOf,
  upTo,
  wideImageOf,
  type RowFunction,
} from './images'
import { granted } from '../granted'

const fileOf = (states: Uint8Array): Uint8Array => writeFuseFile({ fuses: fuseMapFrom(states.join('')) })
const codes = ({ findings }: CaptureReport, group = 'capture/'): string[] =>
  findings.flatMap(({ code }) => (code.startsWith(group) ? [code.slice(group.length)] : [])).sort()
/** Why levels are open, output by output. */
const openReasons = ({ findings }: CaptureReport): unknown[] =>
  findings.flatMap(({ code, data }) => (code === 'capture/undecided' ? [(data as { readonly why?: string }).why] : []))
const examine = (image: Uint8Array | readonly Uint8Array[], options: CaptureOptions): CaptureReport =>
  examineCapture(image, options)

/** '48 in a 16V8: A to D on 2 to 5, a to g on 19 to 13. */
const SEGMENT_PINS: Pins = { A: 2, B: 3, C: 4, D: 5, a: 19, b: 18, c: 17, d: 16, e: 15, f: 14, g: 13 }
function segmentDesign(change: (name: string, codesLit: number[]) => number[] = (_, lit) => lit): Design {
  const outputs = ['a', 'b', 'c', 'd', 'e', 'f', 'g'].map((name, i) => {
    const lit = change(
      name,
      upTo(16).filter((code) => bit(SEVEN_SEGMENT(code), i)),
    )
    const low = lit.length > 8
    return namedOutput(SEGMENT_PINS, name, {
      low,
      terms: upTo(16)
        .filter((code) => lit.includes(code) !== low)
        .map((code) => codeTerm(['D', 'C', 'B', 'A'], code)),
    })
  })
  return { part: '16V8', mode: 'simple', outputs }
}
const SEGMENT_FILE = fileOf(encode(segmentDesign()))
const SEGMENT_WIRING: WiringDocument = { address: [2, 3, 4, 5], data: [19, 18, 17, 16, 15, 14, 13] }
const SEGMENT_IMAGE = imageOf(4, SEVEN_SEGMENT)

describe("'48 captured, against its map", () => {
  test('the same function is equal in all rows', () => {
    const report = examine(SEGMENT_IMAGE, { wiring: SEGMENT_WIRING, against: SEGMENT_FILE, device: '16V8' })
    expect(report).toMatchObject({
      relation: 'equivalent',
      device: { part: '16V8' },
      rows: { all: 16, judged: 16, disagreeing: 0 },
      orders: [],
      search: null,
    })
    expect(
      report.outputs.map(({ pin, line, relation, differingRows, ofRows }) => [
        pin,
        line,
        relation,
        differingRows,
        ofRows,
      ]),
    ).toEqual([19, 18, 17, 16, 15, 14, 13].map((pin, line) => [pin, line, 'equivalent', 0, 16]))
    expect(codes(report)).toEqual([])
    expect(report.scope.compared).toEqual([
      '16 of 16 rows of 7 outputs with the logic of its fuses as those of a 16V8',
    ])
    expect(report.scope.notExamined.join('; ')).toMatch(/the wiring itself.*order of addresses.*timing/)
    expect(JSON.parse(JSON.stringify(report))).toEqual(report)
  })

  test('wires exchanged, turned round and leading nowhere are described and make no difference', () => {
    // Address lines: C, nothing, ¬A, D, B. Data lines: ¬g, a, nothing, f, b, e, ¬d, c.
    const wiring: WiringDocument = {
      address: [4, null, { pin: 2, inverted: true }, 5, 3],
      data: [{ pin: 13, inverted: true }, 19, null, 14, 18, 15, { pin: 16, inverted: true }, 17],
    }
    const image = imageOf(5, (row) => {
      const levels = SEVEN_SEGMENT((bit(row, 2) ^ 1) + 2 * bit(row, 4) + 4 * bit(row, 0) + 8 * bit(row, 3))
      return [
        1 - bit(levels, 6),
        bit(levels, 0),
        bit(row, 1),
        bit(levels, 5),
        bit(levels, 1),
        bit(levels, 4),
        1 - bit(levels, 3),
        bit(levels, 2),
      ].reduce((sum, level, line) => sum + (level << line), 0)
    })
    expect(examine(image, { wiring, against: SEGMENT_FILE, device: '16V8' })).toMatchObject({
      relation: 'equivalent',
      rows: { all: 16 },
    })
    expect(
      examine(image, {
        wiring: { ...wiring, data: [13, ...wiring.data.slice(1)] },
        against: SEGMENT_FILE,
        device: '16V8',
      }),
    ).toMatchObject({ relation: 'different' })
  })

  test('words of 16 bits, either byte first; with the bytes exchanged all that is wired is low', () => {
    const wiring: WiringDocument = {
      address: [2, 3, 4, 5],
      data: [null, null, null, 19, 18, 17, 16, 15, 14, 13],
      width: 16,
    }
    for (const byteOrder of ['low-first', 'high-first'] as const) {
      const image = wideImageOf(4, (row) => SEVEN_SEGMENT(row) << 3, byteOrder)
      expect(
        examine(image, { wiring: { ...wiring, byteOrder }, against: SEGMENT_FILE, device: '16V8' }).relation,
      ).toBe('equivalent')
      expect(
        examine(image, {
          wiring: { ...wiring, byteOrder: byteOrder === 'low-first' ? 'high-first' : 'low-first' },
          against: SEGMENT_FILE,
          device: '16V8',
        }),
      ).toMatchObject({ relation: 'not-comparable', quality: { allAlike: 0 } })
    }
  })

  test('changed rows are counted, listed with levels, and described exactly', () => {
    // Segment a (pin 19) turned round in 1 and 9: codes with A = 1, B = C = 0. Segment g (pin 13) in 8.
    const image = imageOf(4, (row) => SEVEN_SEGMENT(row) ^ (row === 1 || row === 9 ? 1 : 0) ^ (row === 8 ? 64 : 0))
    const report = examine(image, { wiring: SEGMENT_WIRING, against: SEGMENT_FILE, device: '16V8' })
    expect(report.relation).toBe('different')
    const [a, ...rest] = report.outputs
    expect(a).toMatchObject({
      pin: 19,
      relation: 'different',
      differingRows: 2,
      ofRows: 16,
      openRows: 0,
      differsWhere: { text: 'p2 ∧ ¬p3 ∧ ¬p4', complete: true },
    })
    // 1 has segment a off, 9 has it on.
    expect(a!.firstRows).toEqual([
      { address: 1, inputs: { 2: 1, 3: 0, 4: 0, 5: 0 }, captured: '1', expected: '0' },
      { address: 9, inputs: { 2: 1, 3: 0, 4: 0, 5: 1 }, captured: '0', expected: '1' },
    ])
    expect(rest.map(({ differingRows }) => differingRows)).toEqual([0, 0, 0, 0, 0, 1])
    expect(report.findings.find(({ code }) => code === 'capture/different')!.message).toBe(
      '2 outputs differ: pins 19, 13; the worst in 2 of 16 rows.',
    )
    expect(
      examine(image, { wiring: SEGMENT_WIRING, against: SEGMENT_FILE, device: '16V8', maxRows: 1 }).outputs[0]!
        .firstRows,
    ).toHaveLength(1)
  })

  test('rows that are bad or do not matter, and outputs that are ignored, decide nothing', () => {
    const image = imageOf(4, (row) => SEVEN_SEGMENT(row) ^ (row === 3 ? 1 : 0) ^ (row > 9 ? 2 : 0) ^ 64)
    const against = { against: SEGMENT_FILE, device: '16V8' }
    const wiring: WiringDocument = {
      ...SEGMENT_WIRING,
      badRows: [3],
      ignore: [13],
      dontCare: [
        { 5: 1, 4: 1 },
        { 5: 1, 3: 1 },
      ],
    }
    const report = examine(image, { wiring, ...against })
    expect(report).toMatchObject({ relation: 'equivalent', rows: { all: 16, judged: 9 } })
    expect(report.scope.compared[0]).toMatch(/^9 of 16 rows of 6 outputs/)
    expect(report.scope.notExamined).toContain('rows that were left out')
    expect(codes(report)).toEqual(['rows-left-out'])
    for (const name of ['badRows', 'ignore', 'dontCare'] as const) {
      const { [name]: _, ...less } = wiring
      expect(examine(image, { wiring: less, ...against }).relation, name).toBe('different')
    }
  })

  test('three noisy captures: what does not agree is undecided, and not called equal', () => {
    const noisy = (row: number): Uint8Array => imageOf(4, (at) => SEVEN_SEGMENT(at) ^ (at === row ? 4 : 0))
    const report = examine([noisy(2), noisy(7), SEGMENT_IMAGE], {
      wiring: SEGMENT_WIRING,
      against: SEGMENT_FILE,
      device: '16V8',
    })
    expect(report).toMatchObject({ relation: 'undecided', verdict: 'fail', rows: { judged: 16, disagreeing: 2 } })
    expect(report.outputs[2]).toMatchObject({ pin: 17, relation: 'undecided', openRows: 2, differingRows: 0 })
    expect(codes(report)).toEqual(['noise', 'undecided'])
    expect(report.findings.find(({ code }) => code === 'capture/undecided')).toMatchObject({
      pin: 17,
      message: expect.stringContaining('the captures disagree'),
    })
    expect(codes(examine([noisy(2), noisy(2)], { wiring: SEGMENT_WIRING }))).toEqual([])
  })

  test('images of other sizes are not comparable', () => {
    const report = examine([SEGMENT_IMAGE, new Uint8Array(32)], {
      wiring: SEGMENT_WIRING,
      against: SEGMENT_FILE,
      device: '16V8',
    })
    expect(report).toMatchObject({ relation: 'not-comparable', rows: null, quality: null, outputs: [] })
    expect(codes(report)).toEqual(['images-differ-in-size', 'size'])
    expect(codes(examine(new Uint8Array(0), { wiring: SEGMENT_WIRING }))).toEqual(['size'])
  })
})

describe('quality without a comparison', () => {
  const quality = (levels: RowFunction, more: Partial<CaptureOptions> = {}): CaptureReport =>
    examine(imageOf(4, levels), { wiring: SEGMENT_WIRING, ...more })

  test('a sound capture has no relation and passes', () => {
    expect(quality(SEVEN_SEGMENT)).toMatchObject({ relation: null, verdict: 'pass', findings: [], against: null })
  })

  test.each([
    ['all ones', 0xff, '1'],
    ['all zeros', 0x00, '0'],
  ])('%s, and one bit that is not', (_, value, level) => {
    const report = quality(() => value)
    expect(report).toMatchObject({ verdict: 'fail', relation: null })
    expect(codes(report)).toEqual(['all-alike'])
    expect(report.findings[0]!.message).toContain(`reads ${level} `)
    expect(codes(quality((row) => (row === 5 ? value ^ 16 : value)))).not.toContain('all-alike')
    // It says nothing of a chip that should be like that, either.
    const blank = fileOf(
      encode({
        part: '16V8',
        mode: 'simple',
        outputs: Object.values(SEGMENT_PINS)
          .slice(4)
          .map((pin): DesignOutput => ({
            pin,
            kind: 'combinational',
            activeHigh: value === 0,
            enable: 'always',
            terms: [],
          })),
      }),
    )
    expect(
      examine(
        imageOf(4, () => value),
        { wiring: SEGMENT_WIRING, against: blank, device: '16V8' },
      ).relation,
    ).toBe('not-comparable')
  })

  test('an idle address line, a stuck and a copied data line are named by line and pin', () => {
    const report = quality((row) => (SEVEN_SEGMENT(row & 11) & 0b1011110) | (bit(SEVEN_SEGMENT(row & 11), 3) << 5))
    expect(report.findings.map(({ code, pin, message }) => [code, pin, message.split(':')[0]!.slice(0, 44)])).toEqual(
      [
        ['capture/idle-address-line', 4, 'Address line A2 (pin 4) makes no difference'],
        ['capture/stuck-data-line', 19, 'Data line D0 (pin 19) reads 0 in every row.'],
        ['capture/copied-data-line', 14, 'Data line D5 (pin 14) reads the same as D3 ('],
      ],
    )
    expect(report.verdict).toBe('caution')
  })

  test('what the map has too is not remarked on, and what it has not is', () => {
    // A map in which D does not matter and segment a is constant.
    const levels: RowFunction = (row) => (SEVEN_SEGMENT(row & 7) & 0b1111110) | 1
    const against = fileOf(
      encode(
        segmentDesign((name, lit) => (name === 'a' ? upTo(16) : upTo(16).filter((code) => lit.includes(code & 7)))),
      ),
    )
    expect(codes(quality(levels))).toEqual(['idle-address-line', 'stuck-data-line'])
    expect(quality(levels).verdict).toBe('caution')
    const report = quality(levels, { against, device: '16V8' })
    expect([report.relation, codes(report)]).toEqual(['equivalent', []])
    expect(codes(quality(levels, { against: SEGMENT_FILE, device: '16V8' }))).toEqual([
      'different',
      'idle-address-line',
      'stuck-data-line',
    ])
  })

  test('up against down', () => {
    const held = imageOf(4, (row) => SEVEN_SEGMENT(row) ^ (row === 6 ? 8 : 0))
    const report = examine(SEGMENT_IMAGE, {
      wiring: SEGMENT_WIRING,
      down: [held],
      against: SEGMENT_FILE,
      device: '16V8',
    })
    expect(codes(report)).toEqual(['direction', 'undecided'])
    expect(report).toMatchObject({ relation: 'undecided', rows: { disagreeing: 1 } })
    expect(report.findings[0]!.message).toContain('0006')
    expect(report.scope.notExamined.join()).not.toContain('order of addresses')
    expect(codes(examine(SEGMENT_IMAGE, { wiring: SEGMENT_WIRING, down: [SEGMENT_IMAGE] }))).toEqual([])
  })
})

describe('outputs that are off, pins that are held or not wired', () => {
  /** Pin 19 is 2 ∧ 3 while 4 is high; pin 18 is 2 ∨ 3. */
  const DESIGN: Design = {
    part: '16V8',
    mode: 'complex',
    outputs: [
      { pin: 19, kind: 'combinational', activeHigh: true, enable: { term: [4] }, terms: [[2, 3]] },
      { pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2], [3]] },
    ],
  }
  const against = fileOf(encode(DESIGN))
  const levels =
    (off: number): RowFunction =>
    (row) =>
      (bit(row, 2) ? bit(row, 0) & bit(row, 1) : off) + 2 * (bit(row, 0) | bit(row, 1))
  const wiring: WiringDocument = { address: [2, 3, 4], data: [19, 18] }

  test.each([0, 1] as const)('off reads as %i: judged where the wiring says so, else left out', (off) => {
    const image = imageOf(3, levels(off))
    expect(examine(image, { wiring: { ...wiring, off }, against, device: '16V8' })).toMatchObject({
      relation: 'equivalent',
      outputs: [
        { offRows: 0, ofRows: 8 },
        { offRows: 0, ofRows: 8 },
      ],
    })
    const other = examine(image, { wiring: { ...wiring, off: off ? 0 : 1 }, against, device: '16V8' })
    expect(other).toMatchObject({
      relation: 'different',
      outputs: [{ differingRows: 4, ofRows: 8 }, { differingRows: 0 }],
    })
    const open = examine(image, { wiring, against, device: '16V8' })
    expect(open).toMatchObject({
      relation: 'equivalent',
      outputs: [
        { offRows: 4, ofRows: 4 },
        { offRows: 0, ofRows: 8 },
      ],
    })
    // One image has a level there whether the chip drives or not.
    expect(codes(open)).toEqual(['drive-not-shown', 'off-rows'])
  })

  test('a difference while the output is on is one whatever off reads as', () => {
    const image = imageOf(3, (row) => levels(0)(row) ^ (row === 7 ? 1 : 0))
    for (const off of [0, null] as const)
      expect(examine(image, { wiring: { ...wiring, off }, against, device: '16V8' }).outputs[0]).toMatchObject({
        relation: 'different',
        differingRows: 1,
        firstRows: [{ address: 7 }],
      })
  })

  test('an input that is neither wired nor held leaves open what depends on it', () => {
    const narrow: WiringDocument = { address: [2, 3], data: [19, 18], off: 0 }
    const image = imageOf(2, (row) => (row === 3 ? 1 : 0) + (row ? 2 : 0))
    const report = examine(image, { wiring: narrow, against, device: '16V8' })
    // Pin 4 decides in every row whether pin 19 is on.
    expect(report).toMatchObject({
      relation: 'undecided',
      outputs: [{ openRows: 4, differingRows: 0 }, { relation: 'equivalent' }],
    })
    expect(codes(report)).toEqual(['undecided', 'unwired-inputs'])
    expect(report.findings.find(({ code }) => code === 'capture/unwired-inputs')!.message).toContain('pin 4')
    expect(openReasons(report)).toEqual(['not-wired'])
    // Pins 3 and 4 both, in ascending order.
    const one: WiringDocument = { ...narrow, address: [2] }
    const alone = examine(Uint8Array.of(0, 3), { wiring: one, against, device: '16V8' })
    expect(alone.findings.find(({ code }) => code === 'capture/unwired-inputs')!.message).toContain('pins 3, 4')
    expect(examine(image, { wiring: { ...narrow, held: { 4: 1 } }, against, device: '16V8' }).relation).toBe(
      'equivalent',
    )
    expect(
      examine(image, { wiring: { ...narrow, held: { 4: 0 } }, against, device: '16V8' }).outputs[0],
    ).toMatchObject({ relation: 'different', differingRows: 1 })
    // Supply pins may be listed among the held ones.
    expect(
      examine(image, { wiring: { ...narrow, held: { 4: 1, 10: 0, 20: 1 } }, against, device: '16V8' }).relation,
    ).toBe('equivalent')
  })

  test.each<readonly [string, Partial<WiringDocument>, string]>([
    ['a pin that the part has not', { address: [2, 3, 21] }, 'it has 20 pins, and the wiring names pin 21'],
    ['supply', { data: [19, 20] }, 'pin 20 is supply or ground'],
    ['ground held high', { held: { 10: 1 } }, 'pin 10 is held high and is ground'],
    ['supply held low', { held: { 20: 0 } }, 'pin 20 is held low and is supply'],
    ['an input read as output', { data: [19, 9] }, 'pin 9 is no output'],
    [
      'an address line at an output',
      { address: [2, 3, 18], data: [19] },
      'pin 18 is always an output, and an address line drives it',
    ],
  ])('a wiring that no such part can have: %s', (_, change, words) => {
    const report = examine(imageOf(3, levels(0)), { wiring: { ...wiring, ...change }, against, device: '16V8' })
    expect([report.relation, codes(report)]).toEqual([
      'not-comparable',
      expect.arrayContaining(['wiring-does-not-fit']),
    ])
    expect(report.findings.find(({ code }) => code === 'capture/wiring-does-not-fit')!.message).toBe(
      `The wiring does not fit a 16V8: ${words}.`,
    )
  })

  test('a part with registers: what shows them is undecided, the rest is compared', () => {
    const design: Design = {
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      outputs: [
        { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[2]] },
        { pin: 18, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, 3]] },
        { pin: 17, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[19, 3]] },
      ],
    }
    const image = imageOf(2, (row) => bit(row, 0) + (row === 3 ? 2 : 0))
    const report = examine(image, {
      wiring: { address: [2, 3], data: [19, 18, 17], held: { 1: 0, 11: 0 } },
      against: fileOf(encode(design)),
      device: '16V8',
    })
    expect(report.relation).toBe('undecided')
    // While 3 is low, pin 17 is 0 whatever the register holds.
    expect(
      report.outputs.map(({ pin, relation, openRows, differingRows }) => [pin, relation, openRows, differingRows]),
    ).toEqual([
      [19, 'undecided', 4, 0],
      [18, 'equivalent', 0, 0],
      [17, 'undecided', 2, 0],
    ])
    expect(report.findings.find(({ code }) => code === 'capture/state')!.message).toContain('pins 19, 17')
    expect(openReasons(report)).toEqual(['register', 'hangs-on-register'])
    const driven = examine(image, {
      wiring: { address: [2, 19], data: [18] },
      against: fileOf(encode(design)),
      device: '16V8',
    })
    expect(driven.findings.find(({ code }) => code === 'capture/wiring-does-not-fit')!.message).toContain(
      'pin 19 is the pin of a register',
    )
  })

  test('a latch by feedback is undecided where it holds', () => {
    // Pin 19 = 2 ∧ 3 ∨ ¬3 ∧ 19: follows 2 while 3 is high.
    const loop: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [
        {
          pin: 18,
          kind: 'combinational',
          activeHigh: true,
          enable: 'always',
          terms: [
            [2, 3],
            [-3, 18],
          ],
        },
      ],
    }
    const report = examine(
      imageOf(2, (row) => (row === 3 ? 1 : 0)),
      { wiring: { address: [2, 3], data: [18] }, against: fileOf(encode(loop)), device: '16V8' },
    )
    expect(report).toMatchObject({ relation: 'undecided', outputs: [{ pin: 18, openRows: 2, differingRows: 0 }] })
    expect(codes(report)).toEqual(['state', 'undecided'])
    expect(openReasons(report)).toEqual(['loop'])
  })
})

describe('files that give nothing to compare with', () => {
  test.each<readonly [string, Uint8Array | string, object, RegExp]>([
    ['no fuse file', 'nothing at all', {}, /the file holds no fuses/],
    ['a file that is cut', '\x02*QF2194*L0 1010*', { device: '16V8' }, /does not say what every fuse is/],
    ['a size that fits several parts', '\x02*QF2048*F0*L0 1*\x030000', {}, /its size fits .*, .*/],
    ['a size that fits none', '\x02*QF77*F0*L0 1*\x030000', {}, /no part of the catalogue/],
  ])('%s', (_, against, options, words) => {
    const report = examine(SEGMENT_IMAGE, { wiring: SEGMENT_WIRING, against, ...options })
    expect(report).toMatchObject({ relation: 'not-comparable', verdict: 'fail', outputs: [] })
    expect(report.findings.find(({ code }) => code === 'capture/no-logic')!.message).toMatch(words)
    expect(examine(SEGMENT_IMAGE, { search: {}, against, ...options })).toMatchObject({
      relation: 'not-comparable',
      wiring: null,
    })
  })
})

describe('a 16 × 48 × 8 array under its plain wiring', () => {
  const random = seededRandom(71_000)
  const design = randomArray(random)
  const levels = functionOfArray(ARRAY_82S100, design)
  const image = imageOf(16, levels)
  const given: Ordered = { table: ARRAY_82S100, order: 'array-by-array' }
  const states = encodeArray(given, design)

  test('65,536 rows are equal, and with one fuse changed differ in the rows that straight evaluation gives', () => {
    const options = { wiring: 'plain-28', device: '82S100', fuseOrder: given.order } as const
    const report = examine(image, { ...options, against: fileOf(states) })
    expect(report).toMatchObject({ relation: 'equivalent', rows: { all: 65536, judged: 65536 } })
    expect(codes(report)).toEqual(['wiring-from-memory'])
    const changed: ArrayDesign = {
      ...design,
      sums: design.sums.map((sum, i) =>
        i === 3 ? (sum.includes(7) ? sum.filter((term) => term !== 7) : [...sum, 7]) : sum,
      ),
    }
    const other = Uint8Array.from(states)
    other[sumFuse(given, 7, 3)]! ^= 1
    expect(encodeArray(given, changed)).toEqual(other)
    const changedLevels = functionOfArray(ARRAY_82S100, changed)
    const apart = upTo(65536).filter((row) => levels(row) !== changedLevels(row))
    expect(apart.length).toBeGreaterThan(0)
    const different = examine(image, { ...options, against: fileOf(other) })
    expect(different.relation).toBe('different')
    expect(different.outputs.map(({ pin, differingRows }) => [pin, differingRows])).toEqual(
      ARRAY_82S100.outputs.map((pin, i) => [pin, i === 3 ? apart.length : 0]),
    )
    expect(different.outputs[3]!.firstRows.map(({ address }) => address)).toEqual(apart.slice(0, 8))
    // The products are 1 exactly in those rows.
    const { products, complete } = different.outputs[3]!.differsWhere!
    const holds = (row: number): boolean =>
      products.some((product) =>
        Object.entries(product).every(
          ([pin, level]) => bit(row, ARRAY_82S100.ascending.indexOf(Number(pin))) === level,
        ),
      )
    const covered = upTo(65536).filter(holds)
    if (complete) expect(covered).toEqual(apart)
    else expect(covered.every((row) => apart.includes(row))).toBe(true)
  })

  test('without a level at the enable nothing is decided', () => {
    const wiring = { address: ARRAY_82S100.ascending, data: ARRAY_82S100.outputs }
    const report = examine(image, { wiring, against: fileOf(states), device: '82S100', fuseOrder: given.order })
    expect(report).toMatchObject({ relation: 'undecided' })
    expect(report.findings.find(({ code }) => code === 'capture/unwired-inputs')!.message).toContain('pin 19')
  })
})

describe('which order of fuses fits a capture', () => {
  /** The design that a map is in an order, by this file's numbers. */
  function designIn(given: Ordered, states: Uint8Array): ArrayDesign {
    const { table } = given
    const terms = upTo(table.terms).map((term): Term =>
      table.ascending.flatMap((pin) =>
        [pin, -pin].filter((literal) => states[inputFuse(given, term, literal)] === 0),
      ),
    )
    return {
      // A term with a pin and its complement is constant 0.
      terms: terms.map((term) => (term.some((literal) => term.includes(-literal)) ? null : term)),
      sums: table.outputs.map((_, output) =>
        upTo(table.terms).filter((term) => states[sumFuse(given, term, output)] === 0),
      ),
      inverted: table.outputs.map((_, output) => states[polarityFuse(given, output)] === 1),
      directions: [],
    }
  }
  const imageIn = (given: Ordered, states: Uint8Array): Uint8Array =>
    imageOf(16, functionOfArray(ARRAY_82S100, designIn(given, states)))
  const ordered = (order: string): Ordered => ({ table: ARRAY_82S100, order })
  const fittingOf = (report: CaptureReport): string[] =>
    report.orders
      .filter(({ relation }) => relation === 'equivalent')
      .map(({ order }) => order)
      .sort()

  // Half of the orders have each two of their three choices in all four ways.
  const tried = ORDERS.filter((order) => sampleSize(0, 1) || order.split(/term-by-term|complement|inputs/).length % 2)
  test.each(tried)('a random map in the order %s fits that order alone', (order) => {
    const design = randomArray(seededRandom(72_000 + ORDERS.indexOf(order)))
    const states = encodeArray(ordered(order), design)
    const report = examine(imageOf(16, functionOfArray(ARRAY_82S100, design)), {
      wiring: 'plain-28',
      against: fileOf(states),
    })
    expect(report.relation).toBe('equivalent')
    expect(report.orders).toHaveLength(8)
    expect(fittingOf(report)).toEqual([order])
    expect(codes(report)).toEqual(['order-fits', 'wiring-from-memory'])
    expect(codes(report, 'device/')).toEqual(['unconfirmed-order'].slice(1))
    expect(report.findings.find(({ code }) => code === 'capture/order-fits')!.message).toContain(
      `1 fit this capture: ${order}.`,
    )
    // Every other order: rows of the worst output by reading the map in that order here.
    const levels = functionOfArray(ARRAY_82S100, design)
    const other = report.orders[1]!
    const otherLevels = functionOfArray(ARRAY_82S100, designIn(ordered(other.order), states))
    const apart = upTo(65536).map((row) => levels(row) ^ otherLevels(row))
    expect(other.differingRows).toBe(
      Math.max(...upTo(8).map((output) => apart.filter((outputs) => bit(outputs, output)).length)),
    )
  })

  test('a map that says the same in several orders fits those, by straight reading', () => {
    // One term of I0 and ¬I15 and one of I15 and ¬I0: turning the inputs and the pairs round gives the same two.
    const terms: (Term | null)[] = upTo(48).map((i) => (i === 0 ? [9, -20] : i === 1 ? [20, -9] : null))
    const design: ArrayDesign = {
      terms,
      sums: upTo(8).map((i) => (i === 0 ? [0, 1] : [])),
      inverted: upTo(8).map((i) => i === 1),
      directions: [],
    }
    const states = encodeArray(ordered('term-by-term'), design)
    const image = imageIn(ordered('term-by-term'), states)
    const expected = ORDERS.filter((order) =>
      imageIn(ordered(order), states).every((byte, i) => byte === image[i]),
    ).sort()
    expect(expected.length).toBeGreaterThan(1)
    expect(expected.length).toBeLessThan(8)
    const report = examine(image, { wiring: 'plain-28', against: fileOf(states) })
    expect([report.relation, fittingOf(report)]).toEqual(['equivalent', expected])
  })

  test('another chip’s capture fits none', () => {
    const states = encodeArray(ordered('term-by-term'), randomArray(seededRandom(72_100)))
    const other = imageOf(16, functionOfArray(ARRAY_82S100, randomArray(seededRandom(72_101))))
    const report = examine(other, { wiring: 'plain-28', against: fileOf(states) })
    expect([report.relation, fittingOf(report), codes(report)]).toEqual([
      'different',
      [],
      ['different', 'no-order-fits', 'wiring-from-memory'],
    ])
    // The nearest first.
    const rows = report.orders.map(({ differingRows }) => differingRows)
    expect(rows).toEqual([...rows].sort((a, b) => a - b))
  })

  test('an order that is named is the only one', () => {
    const design = randomArray(seededRandom(72_102))
    const states = encodeArray(ordered('term-by-term'), design)
    const image = imageOf(16, functionOfArray(ARRAY_82S100, design))
    const named = (fuseOrder: string): CaptureReport =>
      examine(image, { wiring: 'plain-28', against: fileOf(states), fuseOrder })
    expect(named('term-by-term')).toMatchObject({ relation: 'equivalent', orders: [] })
    expect(named('array-by-array')).toMatchObject({ relation: 'different', orders: [] })
  })
})

describe('against another image', () => {
  test('the same wiring: equal, or the rows that differ', () => {
    const other = imageOf(4, (row) => SEVEN_SEGMENT(row) ^ (row === 11 ? 32 : 0))
    expect(examine(SEGMENT_IMAGE, { wiring: SEGMENT_WIRING, against: SEGMENT_IMAGE })).toMatchObject({
      relation: 'equivalent',
      verdict: 'pass',
      device: null,
    })
    const report = examine(SEGMENT_IMAGE, { wiring: SEGMENT_WIRING, against: other })
    expect(report.relation).toBe('different')
    expect(report.outputs[5]).toMatchObject({ pin: 14, differingRows: 1, firstRows: [{ address: 11 }] })
    expect(report.scope.compared[0]).toMatch(/with the other image$/)
  })

  test('no wiring: lines found by their numbers', () => {
    const random = seededRandom(73_000)
    const own: RowFunction = (row) => SEVEN_SEGMENT(row) + (row === 6 ? 128 : 0)
    const made = randomScramble(random, [4, 8])
    const report = examine(imageOf(4, scrambled(own, made)), { search: {}, against: imageOf(4, own) })
    expect(report).toMatchObject({
      relation: 'equivalent',
      search: { relation: 'found', inversions: 'none', equivalents: '1' },
    })
    // The other image has lines and no pins.
    expect(report).toMatchObject({ wiring: null, search: { wiring: null } })
    expect(report.search!.lines).toEqual({
      address: upTo(4).map((line) => `A${made.inputs.indexOf(line)}`),
      data: upTo(8).map((line) => `D${made.outputs.indexOf(line)}`),
    })
    expect(report.outputs.map(({ pin, otherLine }) => [pin, otherLine])).toEqual(
      upTo(8).map((line) => [null, `D${made.outputs.indexOf(line)}`]),
    )
    expect(JSON.stringify(report)).not.toMatch(/"pin":1/)
    expect(renderCapture(report)).not.toMatch(/\bpins? \d/)
  })
})

describe('a wiring that is not known', () => {
  test("'48: the pins of all lines, and a document that can be used again", () => {
    for (const i of upTo(6)) {
      const made = randomScramble(seededRandom(74_000 + i), [4, 7])
      const image = imageOf(4, scrambled(SEVEN_SEGMENT, made))
      const report = examine(image, { search: {}, against: SEGMENT_FILE, device: '16V8' })
      expect(report).toMatchObject({
        relation: 'equivalent',
        search: {
          relation: 'found',
          inversions: 'none',
          equivalents: '1',
          exchangeable: { inputs: [], outputs: [] },
        },
      })
      expect(
        report.wiring!.address.map((wire) => wire!.pin),
        `seed ${74_000 + i}`,
      ).toEqual(upTo(4).map((line) => [2, 3, 4, 5][made.inputs.indexOf(line)]))
      // The eighth line leads nowhere: it is low throughout.
      expect(report.wiring!.data.map((wire) => wire?.pin ?? null)).toEqual([
        ...upTo(7).map((line) => [19, 18, 17, 16, 15, 14, 13][made.outputs.indexOf(line)]),
        null,
      ])
      expect(codes(report)).toEqual(['wiring-found'])
      expect(examine(image, { wiring: report.search!.wiring!, against: SEGMENT_FILE, device: '16V8' }).relation).toBe(
        'equivalent',
      )
    }
  })

  test("'138: its twelve wirings and the two pins that can be exchanged", () => {
    const pins: Pins = {
      G1: 5,
      G2A: 6,
      G2B: 7,
      C: 4,
      B: 3,
      A: 2,
      Y0: 19,
      Y1: 18,
      Y2: 17,
      Y3: 16,
      Y4: 15,
      Y5: 14,
      Y6: 13,
      Y7: 12,
    }
    const against = fileOf(
      encode({
        part: '16V8',
        mode: 'simple',
        outputs: upTo(8).map((i) =>
          namedOutput(pins, `Y${i}`, { low: true, terms: [`G1 G2A' G2B' ${codeTerm(['C', 'B', 'A'], i)}`] }),
        ),
      }),
    )
    const image = imageOf(6, scrambled(functionOf(DECODER_138), randomScramble(seededRandom(74_100), [6, 8])))
    const report = examine(image, { search: {}, against, device: '16V8' })
    expect(report).toMatchObject({ relation: 'equivalent', search: { relation: 'found', equivalents: '12' } })
    expect(report.search!.exchangeable.inputs.map((group) => [...group].sort())).toEqual([[6, 7]])
    // A seventh address line that matters to nothing, and one too few.
    const wide = examine(
      imageOf(7, (row) => image[(row & 7) + ((row >> 4) << 3)]!),
      { search: {}, against, device: '16V8' },
    )
    expect(wide).toMatchObject({ relation: 'equivalent', search: { relation: 'found' } })
    // Any pin that nothing depends on fits the idle line: the first of the part's inputs, pin 1.
    expect(wide.wiring!.address[3]).toEqual({ pin: 1, inverted: false })
    expect(
      examine(
        imageOf(7, (row) => image[(row & 7) + ((row >> 4) << 3)]!),
        { wiring: wide.search!.wiring!, against, device: '16V8' },
      ).relation,
    ).toBe('equivalent')
    const narrow = examine(
      imageOf(5, (row) => functionOf(DECODER_138)((row & 3) + ((row >> 2) << 3))),
      { search: {}, against, device: '16V8' },
    )
    expect([narrow.relation, codes(narrow)]).toEqual(['not-comparable', ['no-logic']])
  })

  test('an array of 16 inputs: the enable is held where it must be, and found lines are the ones that were made', () => {
    const random = seededRandom(74_200)
    const design = randomArray(random)
    const made = randomScramble(random, [16, 8], 'outputs')
    const image = imageOf(16, scrambled(functionOfArray(ARRAY_82S100, design), made))
    const report = examine(image, {
      search: {},
      against: fileOf(encodeArray({ table: ARRAY_82S100, order: 'term-by-term' }, design)),
      device: '82S100',
      fuseOrder: 'term-by-term',
    })
    expect(report).toMatchObject({
      relation: 'equivalent',
      search: { relation: 'found', equivalents: '1' },
      wiring: { held: { 19: 0 } },
    })
    expect(report.wiring!.address.map((wire) => wire!.pin)).toEqual(
      upTo(16).map((line) => ARRAY_82S100.ascending[made.inputs.indexOf(line)]),
    )
    expect(report.wiring!.data).toEqual(
      upTo(8).map((line) => ({
        pin: ARRAY_82S100.outputs[made.outputs.indexOf(line)],
        inverted: bit(made.turnedOutputs, line) === 1,
      })),
    )
  })

  test('where there is none, the nearest is shown with its rows', () => {
    const image = imageOf(4, (row) => SEVEN_SEGMENT(row) ^ (row === 3 ? 127 : 0))
    const report = examine(image, {
      search: {},
      against: SEGMENT_FILE,
      device: '16V8',
      searchOptions: { inversions: 'none' },
    })
    expect(report).toMatchObject({
      relation: 'different',
      search: { relation: 'none', equivalents: null, differingRows: 1 },
    })
    expect(report.outputs.map(({ differingRows }) => differingRows)).toEqual(upTo(7).map(() => 1))
    expect(codes(report)).toEqual(['different', 'no-wiring'])
  })

  test('noise, an empty socket and a bound leave it open', () => {
    const noisy = imageOf(4, (row) => SEVEN_SEGMENT(row) ^ (row === 3 ? 1 : 0))
    const options = { search: {}, against: SEGMENT_FILE, device: '16V8' } as const
    const open = examine([SEGMENT_IMAGE, noisy], options)
    // Each read is searched by itself: one of them fits, and the row in which they differ stays open.
    expect([open.relation, codes(open)]).toEqual(['undecided', ['noise', 'undecided', 'wiring-found']])
    const known = { ...options, search: { badRows: ['0x3'] } }
    expect(examine(noisy, known)).toMatchObject({ relation: 'equivalent', search: { relation: 'found' } })
    // Without knowing which row is misread no wiring exists.
    expect(examine(noisy, options)).toMatchObject({ relation: 'different', search: { relation: 'none' } })
    const empty = examine(
      imageOf(4, () => 255),
      options,
    )
    expect([empty.relation, codes(empty)]).toEqual(['not-comparable', ['all-alike']])
    const bounded = examine(SEGMENT_IMAGE, { ...options, searchOptions: { maxSteps: 1 } })
    expect([bounded.relation, codes(bounded)]).toEqual(['undecided', ['wiring-undecided']])
  })

  test.each([[0], [1], [3], [24], [2 ** 20 + 1]])('%i bytes are no table', (bytes) => {
    const report = examine(new Uint8Array(bytes), { search: {}, against: SEGMENT_FILE, device: '16V8' })
    expect([report.relation, codes(report)]).toEqual(['not-comparable', ['no-table-size']])
  })

  test('levels of outputs that are off have to be stated', () => {
    const design: Design = {
      part: '16V8',
      mode: 'complex',
      outputs: [
        { pin: 18, kind: 'combinational', activeHigh: true, enable: { term: [4] }, terms: [[2, -3]] },
        { pin: 17, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, 4]] },
      ],
    }
    const against = fileOf(encode(design))
    // Address lines 4, 2, 3; data lines 17, 18.
    const image = imageOf(
      3,
      (row) => (bit(row, 0) & bit(row, 1)) + 2 * (bit(row, 0) ? bit(row, 1) & (1 - bit(row, 2)) : 1),
    )
    expect(examine(image, { search: {}, against, device: '16V8' })).toMatchObject({ relation: 'not-comparable' })
    const report = examine(image, {
      search: { off: 1 },
      against,
      device: '16V8',
      searchOptions: { inversions: 'none' },
    })
    expect(report).toMatchObject({ relation: 'equivalent', wiring: { off: 1 } })
    expect(report.wiring!.address.map((wire) => wire!.pin)).toEqual([4, 2, 3])
    expect(
      examine(image, { search: { off: 0 }, against, device: '16V8', searchOptions: { inversions: 'none' } }).relation,
    ).toBe('different')
  })
})

describe('a caller’s mistake', () => {
  const image = SEGMENT_IMAGE
  test.each<readonly [string, unknown, unknown, RegExp]>([
    ['no images', [], { wiring: SEGMENT_WIRING }, /^images must hold/],
    ['images of another kind', 'abc', { wiring: SEGMENT_WIRING }, /^images must be/],
    ['a list with another kind', [image, 3], { wiring: SEGMENT_WIRING }, /^images\[1\] must be/],
    ['no options', image, null, /^options must be an object/],
    ['neither wiring nor search', image, {}, /^options must have either wiring or search/],
    ['both', image, { wiring: SEGMENT_WIRING, search: {}, against: image }, /^options must have either/],
    ['a search in nothing', image, { search: {} }, /^options\.search needs options\.against/],
    ['down of another kind', image, { wiring: SEGMENT_WIRING, down: image }, /^options\.down/],
    ['against of another kind', image, { wiring: SEGMENT_WIRING, against: 3 }, /^options\.against/],
    ['a wrong wiring', image, { wiring: { ...SEGMENT_WIRING, width: 9 } }, /^wiring\.width/],
    [
      'a wrong bound',
      image,
      { search: {}, against: image, searchOptions: { maxSteps: 0 } },
      /^options\.searchOptions\.maxSteps/,
    ],
    ['an unknown part', image, { wiring: SEGMENT_WIRING, against: image, device: 'NONE' }, /^options\.device/],
  ])('%s', (_, images, options, message) => {
    expect(() => examineCapture(images as never, options as never)).toThrow(message)
  })

  test('a table over other pins is not compared', () => {
    const { capture } = granted(readCapture(image, SEGMENT_WIRING))
    expect(() => compareCapture(capture!, tableOf(4, 7, SEVEN_SEGMENT))).toThrow(
      /^expected must have the inputs and outputs/,
    )
  })
})
