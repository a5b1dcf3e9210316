/** Logic arrays: both arrays programmable, and an order of fuses that has to be asked for. */
import { describe, expect, test } from 'vitest'
import { deviceInOrder, findDevice, fuseMapFrom, fuseOrders, check, listDevices, simulate, verify, type VectorRun } from '../../src/index'
import { decode, roleOf, type Decoded, type Expression, type FuseRole } from '../../src/logic'
import { renderDevice } from '../../src/report'
import { sampleSize } from '../sample-size'
import type { Term } from './design'
import {
  ARRAY_82S100,
  ARRAY_PLS153,
  ARRAY_PLS173,
  ARRAYS,
  arrayFile,
  encodeArray,
  evaluateArray,
  inputFuse,
  ORDERS,
  polarityFuse,
  rowFuse,
  sumFuse,
  type ArrayDesign,
  type ArrayTable,
  type Ordered,
} from './logic-array-maps'
import { granted } from '../granted'

const COMBINATIONS = ARRAYS.flatMap((table) =>
  ORDERS.map((order): readonly [string, Ordered] => [`${table.part} ${order}`, { table, order }]),
)

/** Mulberry32: small, seeded, the same everywhere. */
function seeded(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32
  }
}

const decodeIn = ({ table, order }: Ordered, states: Uint8Array): Decoded =>
  decode(deviceInOrder(table.part, order), fuseMapFrom(states.join('')))
const codesOf = (file: string, options: object): string[] => verify(file, options).findings.map(({ code }) => code)

describe('orders', () => {
  test('the three logic arrays have eight orders each, and no other part has one', () => {
    for (const { part } of listDevices())
      expect(
        fuseOrders(part).map(({ name }) => name),
        part,
      ).toEqual(ARRAYS.some((table) => table.part === part) ? ORDERS : [])
    expect(fuseOrders('no such part')).toEqual([])
    expect(
      fuseOrders('82S100').map(({ layout, complementFirst, inputsDescending }) => [
        layout,
        complementFirst,
        inputsDescending,
      ]),
    ).toEqual(
      ORDERS.map((name) => [
        name.slice(0, name.startsWith('term') ? 12 : 14),
        name.includes('complement-first'),
        name.includes('inputs-descending'),
      ]),
    )
  })

  test('an unknown order, a part without one and a wrong type are named', () => {
    expect(() => deviceInOrder('82S100', 'sideways')).toThrow(/^order: “sideways”/)
    expect(() => deviceInOrder('16V8', 'term-by-term')).toThrow(/^part: .*16V8/)
    expect(() => deviceInOrder('82S100', 1 as never)).toThrow(TypeError)
    expect(() => fuseOrders(1 as never)).toThrow(TypeError)
    expect(() => deviceInOrder('82S100', 'sideways')).toThrow(RangeError)
    const file = arrayFile(ARRAY_82S100, new Uint8Array(1928))
    for (const given of [
      { fuseOrder: 'sideways' },
      { device: '82S100', fuseOrder: 'sideways' },
      { device: '16V8', fuseOrder: 'term-by-term' },
      { device: deviceInOrder('82S100', 'term-by-term'), fuseOrder: 'array-by-array' },
    ]) {
      expect(() => verify(file, given), JSON.stringify(given.fuseOrder)).toThrow(/^options\.fuseOrder: /)
      expect(() => simulate(file, given)).toThrow(RangeError)
    }
    expect(() => verify(file, { fuseOrder: 1 as never })).toThrow(TypeError)
    expect(simulate(file)).toMatchObject({ refused: true, reason: 'not-decoded', candidates: ['82S100'] })
  })

  test.each(ARRAYS)('$part: by its size alone it is recognised and has no logic', (table) => {
    const { report, decoded } = check(arrayFile(table, new Uint8Array(table.fuseCount).fill(1, 0, 9)))
    expect(report).toMatchObject({
      device: { part: table.part, basis: 'size' },
      candidates: [table.part],
      verdict: 'caution',
    })
    expect(decoded!.logic).toBeNull()
    const undecoded = report.findings.find(({ code }) => code === 'device/undecoded')!
    expect(undecoded.hint).toContain('in an order of fuses that you name')
    expect(report.findings.map(({ code }) => code)).not.toContain('device/unconfirmed-order')
    expect(renderDevice(findDevice(table.part)!)).toContain('array-by-array-complement-first-inputs-descending\n')
  })

  test.each(COMBINATIONS)(
    '%s: found by size or by name it is decoded with the one warning',
    (_, { table, order }) => {
      const file = arrayFile(table, new Uint8Array(table.fuseCount).fill(1, 0, 9))
      for (const options of [
        { fuseOrder: order },
        { device: table.part, fuseOrder: order },
        { device: deviceInOrder(table.part, order) },
      ]) {
        const { report, decoded } = check(file, options)
        expect(decoded!.logic).not.toBeNull()
        expect(
          report.findings
            .filter(({ code }) => code.startsWith('device/'))
            .map(({ code, severity }) => [code, severity]),
        ).toEqual([['device/unconfirmed-order', 'warning']])
        expect(report.findings.find(({ code }) => code === 'device/unconfirmed-order')!.message).toContain(
          `“${order}”`,
        )
      }
    },
  )

  test('an order changes nothing of a part whose own is established', () => {
    const file = `\x02*QP20*QF2194*F0*L2192 1*\x03`
    expect(codesOf(file, { fuseOrder: 'term-by-term' })).toEqual(codesOf(file, {}))
  })
})

describe('roles', () => {
  // 16 inputs, 48 terms, 8 sums; 18 or 22 inputs, 32 terms, 10 sums, 10 directions.
  const COUNTS: Readonly<Record<string, object>> = {
    '82S100': { and: 48 * 32, or: 48 * 8, polarity: 8 },
    PLS153: { and: 32 * 36, or: 32 * 10, 'output-enable': 10 * 36, polarity: 10 },
    PLS173: { and: 32 * 44, or: 32 * 10, 'output-enable': 10 * 44, polarity: 10 },
  }

  test.each(COMBINATIONS)('%s: every fuse has the role, row, input and output of the formulas', (_, given) => {
    const { table } = given
    const decoded = decodeIn(given, new Uint8Array(table.fuseCount))
    const counts: Record<string, number> = {}
    for (let fuse = 0; fuse < table.fuseCount; fuse++) {
      const { role } = roleOf(decoded, fuse)
      counts[role] = (counts[role] ?? 0) + 1
    }
    expect(counts).toEqual(COUNTS[table.part])
    const mismatches: string[] = []
    const compare = (fuse: number, expected: Partial<FuseRole>): void => {
      const found = roleOf(decoded, fuse)
      for (const [key, value] of Object.entries(expected))
        if (JSON.stringify(found[key as keyof FuseRole]) !== JSON.stringify(value))
          mismatches.push(`fuse ${fuse}: ${key} ${JSON.stringify(found)}`)
    }
    const rows = table.terms + (table.directed ? table.outputs.length : 0)
    for (let row = 0; row < rows; row++)
      for (const pin of table.ascending)
        for (const complement of [false, true]) {
          const owner = row < table.terms ? null : table.outputs[row - table.terms]!
          compare(inputFuse(given, row, complement ? -pin : pin), {
            role: owner === null ? 'and' : 'output-enable',
            row,
            pin: owner,
            input: { pin, complement },
          })
        }
    table.outputs.forEach((pin, output) => {
      for (let row = 0; row < table.terms; row++)
        compare(sumFuse(given, row, output), { role: 'or', row, pin, column: null, input: null })
      compare(polarityFuse(given, output), { role: 'polarity', row: null, pin })
    })
    expect(mismatches).toEqual([])
    expect(() => roleOf(decoded, table.fuseCount)).toThrow(RangeError)
  })
})

const isDead = (term: Term): boolean => term.some((literal) => term.includes(-literal))

/** A random design without loops: output i reads inputs and outputs before it. */
function randomDesign(table: ArrayTable, random: () => number): ArrayDesign {
  const below = (count: number): number => Math.floor(random() * count)
  const readable = (output: number): number[] =>
    table.ascending.filter((pin) => !table.outputs.includes(pin) || table.outputs.indexOf(pin) < output)
  const termFor = (output: number): Term => {
    const pins = readable(output)
    return Array.from({ length: below(4) }, () => pins[below(pins.length)]! * (random() < 0.5 ? 1 : -1))
  }
  // Term t may read outputs before `reach[t]`, and so serves that output and later ones.
  const reach = Array.from({ length: table.terms }, () => below(table.outputs.length + 1))
  const terms = reach.map((output) => (random() < 0.2 ? null : termFor(output)))
  const sums = table.outputs.map((_, output) =>
    terms.flatMap((_, term) => (reach[term]! <= output && random() < 0.12 ? [term] : [])),
  )
  const directions = table.directed
    ? table.outputs.map((_, output) => (random() < 0.15 ? null : random() < 0.4 ? [] : termFor(output)))
    : []
  return { terms, sums, inverted: table.outputs.map(() => random() < 0.5), directions }
}

/** One vector that applies what is given and judges every pin that should drive, with the levels expected there. */
function vectorFor(
  table: ArrayTable,
  {
    applied,
    driving,
    off,
  }: {
    readonly applied: ReadonlyMap<number, boolean>
    readonly driving: ReadonlySet<number>
    readonly off: ReadonlySet<number>
  },
): string {
  return Array.from({ length: table.pinCount }, (_, i) => {
    const pin = i + 1
    if (table.supplyPins.includes(pin)) return 'N'
    if (driving.has(pin)) return 'H'
    if (off.has(pin)) return 'Z'
    return applied.has(pin) ? (applied.get(pin) ? '1' : '0') : 'N'
  }).join('')
}

function foundAt(run: VectorRun, vector = 0): Map<number, string> {
  return new Map(run.results[vector]!.checks.map(({ pin, found }) => [pin, found]))
}

describe('random designs', () => {
  test.each(COMBINATIONS)('%s: the reference simulation gives what straight evaluation gives', (name, given) => {
    const { table, order } = given
    let shownDead = 0
    let shownDriving = 0
    for (let seed = 1; seed <= sampleSize(8, 16); seed++) {
      const random = seeded(seed * 7919 + COMBINATIONS.findIndex(([one]) => one === name))
      const design = randomDesign(table, random)
      shownDead += design.sums.flat().filter((term) => design.terms[term] && isDead(design.terms[term]!)).length
      const file = arrayFile(table, encodeArray(given, design))
      const steps = Array.from({ length: 6 }, () => {
        const applied = new Map<number, boolean>(table.ascending.map((pin) => [pin, random() < 0.5]))
        if (table.lowPin !== null) applied.set(table.lowPin, random() < 0.15)
        const { levels, driving } = evaluateArray(table, design, applied)
        shownDriving += driving.size
        const off = new Set(table.directed ? [] : table.outputs.filter((pin) => !driving.has(pin)))
        const expected = new Map(
          table.outputs
            .filter((pin) => driving.has(pin) || off.has(pin))
            .map((pin) => [pin, off.has(pin) ? 'Z' : levels.get(pin) ? '1' : '0']),
        )
        return { vector: vectorFor(table, { applied, driving, off }), expected }
      })
      const vectors = steps.map(({ vector }) => vector)
      const run = granted(simulate(file, { device: table.part, fuseOrder: order, vectors }))
      const label = `${name}, seed ${seed}`
      steps.forEach(({ expected }, i) => expect([...foundAt(run, i)].sort(), label).toEqual([...expected].sort()))
      expect(run.overridden, label).toEqual([])
    }
    expect(shownDead).toBeGreaterThan(0)
    expect(shownDriving).toBeGreaterThan(100)
  })
})

/** TI SN7448 data sheet, SDLS111, function table: segments a to g of codes 0 to 15, a in bit 6. */
const SEGMENTS = [0x7e, 0x30, 0x6d, 0x79, 0x33, 0x5b, 0x1f, 0x70, 0x7f, 0x73, 0x0d, 0x19, 0x23, 0x4b, 0x0f, 0x00]
/** A, B, C, D at I0 to I3. */
const CODE_PINS = [9, 8, 7, 6]

const DECODER: ArrayDesign = {
  terms: SEGMENTS.map((_, code) => CODE_PINS.map((pin, bit) => ((code >> bit) & 1 ? pin : -pin))),
  sums: [6, 5, 4, 3, 2, 1, 0].map((bit) =>
    SEGMENTS.flatMap((segments, code) => ((segments >> bit) & 1 ? [code] : [])),
  ),
  inverted: Array<boolean>(8).fill(false),
  directions: [],
}

/** Segments that a map shows for each code when it is read in an order. */
function segmentsShown(states: Uint8Array, order: string): (number | null)[] {
  const vectors = SEGMENTS.map((_, code) => {
    const applied = new Map<number, boolean>([
      [19, false],
      ...ARRAY_82S100.ascending.map((pin): [number, boolean] => [
        pin,
        CODE_PINS.includes(pin) && ((code >> CODE_PINS.indexOf(pin)) & 1) === 1,
      ]),
    ])
    return vectorFor(ARRAY_82S100, { applied, driving: new Set(ARRAY_82S100.outputs.slice(0, 7)), off: new Set() })
  })
  const run = granted(simulate(arrayFile(ARRAY_82S100, states), { device: '82S100', fuseOrder: order, vectors }))
  return SEGMENTS.map((_, code) => {
    const found = foundAt(run, code)
    const digits = ARRAY_82S100.outputs
      .slice(0, 7)
      .map((pin) => found.get(pin)!)
      .join('')
    return /^[01]{7}$/.test(digits) ? parseInt(digits, 2) : null
  })
}

describe('a seven-segment decoder in an 82S100', () => {
  test.each(ORDERS)('%s: lights the segments of the function table', (order) => {
    expect(segmentsShown(encodeArray({ table: ARRAY_82S100, order }, DECODER), order)).toEqual(SEGMENTS)
  })

  test.each(ORDERS.flatMap((made) => ORDERS.filter((read) => read !== made).map((read) => [made, read] as const)))(
    'made %s and read %s, it is never shown without the warning',
    (made, read) => {
      const states = encodeArray({ table: ARRAY_82S100, order: made }, DECODER)
      expect(codesOf(arrayFile(ARRAY_82S100, states), { device: '82S100', fuseOrder: read })).toContain(
        'device/unconfirmed-order',
      )
      expect(segmentsShown(states, read)).not.toEqual(SEGMENTS)
    },
  )

  test('read with true and complement exchanged it looks right and shows every code as 15 less the code', () => {
    const states = encodeArray({ table: ARRAY_82S100, order: 'term-by-term' }, DECODER)
    expect(segmentsShown(states, 'term-by-term-complement-first')).toEqual([...SEGMENTS].reverse())
  })
})

/** An empty design of a part: virgin terms, nothing in any sum. */
function empty({ outputs, directed }: ArrayTable): ArrayDesign {
  return {
    terms: [],
    sums: outputs.map(() => []),
    inverted: outputs.map(() => false),
    directions: directed ? outputs.map(() => null) : [],
  }
}

/** Runs vectors, blanks left out, on a design of a part. */
function runDesign(given: Ordered, design: ArrayDesign, vectors: readonly string[]): VectorRun {
  return granted(simulate(arrayFile(given.table, encodeArray(given, design)), {
    device: given.table.part,
    fuseOrder: given.order,
    vectors,
  }))
}

const outcomes = (run: VectorRun): string[] =>
  run.results.map(({ checks }) => checks.map(({ found }) => found).join(''))

describe.each(['term-by-term', 'array-by-array-complement-first'])('single cells, %s', (order) => {
  const on153: Ordered = { table: ARRAY_PLS153, order }
  const on100: Ordered = { table: ARRAY_82S100, order }

  test('as it leaves the factory an 82S100 shows low while pin 19 is low, and nothing while it is high', () => {
    const virgin = new Uint8Array(1928)
    const file = arrayFile(ARRAY_82S100, virgin)
    // Inputs 0, outputs 10 to 13 and 15 to 18 judged, pin 19 as given.
    const vector = (enable: string, judged: string): string =>
      `N00000000${judged.repeat(4)}N${judged.repeat(4)}${enable}00000000N`
    const run = granted(simulate(file, { device: '82S100', fuseOrder: order, vectors: [vector('0', 'L'), vector('1', 'Z')] }))
    expect(run.results.map(({ result }) => result)).toEqual(['passed', 'passed'])
    expect(outcomes(run)).toEqual(['00000000', 'ZZZZZZZZ'])
  })

  test('a virgin PLS153 drives none of its B pins', () => {
    expect(outcomes(runDesign(on153, empty(ARRAY_PLS153), ['00000000ZNZZZZZZZZZN']))).toEqual(['ZZZZZZZZZZ'])
  })

  test('a direction term without links drives always; a sum without terms is 0 before polarity', () => {
    const design = {
      ...empty(ARRAY_PLS153),
      directions: ARRAY_PLS153.outputs.map(() => []),
      inverted: ARRAY_PLS153.outputs.map((_, i) => i % 2 === 1),
    }
    expect(outcomes(runDesign(on153, design, ['00000000HNHHHHHHHHHN']))).toEqual(['0101010101'])
  })

  test('a pair with both links intact makes its term 0, whatever the other pairs are; a term without links is 1', () => {
    // F0 has the dead term, F1 the term without links, F2 both.
    const design = { ...empty(ARRAY_82S100), terms: [[9, -9, 8], []], sums: [[0], [1], [0, 1], [], [], [], [], []] }
    const vector = (a: string): string => `N0000000${a}NNNNNNHHH000000000N`
    expect(outcomes(runDesign(on100, design, [vector('0'), vector('1'), vector('X')]))).toEqual(['110', '110', '110'])
  })

  test('a dead term leaves nothing in use: no pin is read, though its OR links are intact', () => {
    const design = { ...empty(ARRAY_82S100), terms: [[9, -9, 8]], sums: [[0], [0], [], [], [], [], [], []] }
    const { decoded } = check(arrayFile(ARRAY_82S100, encodeArray(on100, design)), {
      device: '82S100',
      fuseOrder: order,
    })
    const live = decoded!
      .logic!.cells.flatMap(({ value }) => value!.sums.flat())
      .filter(({ literals }) => !literals.some((literal) => literals.includes(literal ^ 1)))
    expect(live).toEqual([])
    expect(
      codesOf(arrayFile(ARRAY_82S100, encodeArray(on100, design)), { device: '82S100', fuseOrder: order }).filter(
        (code) => code.startsWith('device/'),
      ),
    ).toEqual(['device/unconfirmed-order'])
  })

  test('one term may serve every sum, and each output has a polarity of its own', () => {
    const design = {
      ...empty(ARRAY_82S100),
      terms: [[9]],
      sums: ARRAY_82S100.outputs.map(() => [0]),
      inverted: [true, false, false, false, false, false, false, true],
    }
    const vector = (a: string): string => `N0000000${a}HHHHNHHHH000000000N`
    // In the order of pins 10 (F7) to 13 (F4) and 15 (F3) to 18 (F0).
    expect(outcomes(runDesign(on100, design, [vector('1'), vector('0')]))).toEqual(['01111110', '10000001'])
  })

  test('a direction term follows its inputs, and a B pin that is off is an input', () => {
    // B0 (pin 9) drives while pin 1 is high; it is ¬pin 2; B1 (pin 11) always shows what is at pin 9.
    const design = {
      ...empty(ARRAY_PLS153),
      terms: [[2], [9]],
      sums: [[0], [1], [], [], [], [], [], [], [], []],
      inverted: [true, false, ...Array<boolean>(8).fill(false)],
      directions: [[1], [], ...Array<null>(8).fill(null)],
    }
    expect(
      outcomes(
        runDesign(on153, design, [
          '10000000HNHNNNNNNNNN',
          '11000000HNHNNNNNNNNN',
          '010000001NHNNNNNNNNN',
          '010000000NHNNNNNNNNN',
        ]),
      ),
    ).toEqual(['11', '00', '1', '0'])
  })

  test('an output that reads its own pin holds what it has: a latch', () => {
    // B0 = pin 1 ∨ (B0 ∧ ¬pin 2): set, keep, clear, keep.
    const design = {
      ...empty(ARRAY_PLS153),
      terms: [[1], [9, -2]],
      sums: [[0, 1], [], [], [], [], [], [], [], [], []],
      directions: [[], ...Array<null>(9).fill(null)],
    }
    const vectors = ['10', '00', '01', '00'].map((levels) => `${levels}000000HNNNNNNNNNNN`)
    expect(outcomes(runDesign(on153, design, vectors))).toEqual(['1', '1', '0', '0'])
    // Without a vector that sets it, nobody knows.
    expect(outcomes(runDesign(on153, design, vectors.slice(1, 2)))).toEqual(['X'])
  })
})

test('vectors over the 28 contacts of a PLS173 carrier are brought to the pins of its DIP', () => {
  const given: Ordered = { table: ARRAY_PLS173, order: 'term-by-term' }
  // B9 (pin 23, contact 27) is I11 (pin 13, contact 15) ∧ I4 (pin 5, contact 6).
  const design = {
    ...empty(ARRAY_PLS173),
    terms: [[13, 5]],
    sums: [...Array<number[]>(9).fill([]), [0]],
    directions: [...Array<null>(9).fill(null), []],
  }
  const vector = (i4: string, i11: string): string =>
    Array.from({ length: 28 }, (_, i) => ({ 6: i4, 15: i11, 27: 'H' })[i + 1] ?? 'N').join('')
  const run = runDesign(given, design, [vector('1', '1'), vector('0', '1'), vector('1', '0')])
  expect(outcomes(run)).toEqual(['1', '0', '0'])
  expect(run.results[0]!.checks[0]!.pin).toBe(23)
})

test('contradicted vectors of a part in an order are a warning, since the order may be what is wrong', () => {
  const states = new Uint8Array(1928).fill(1, 0, 32)
  const file = arrayFile(ARRAY_82S100, states).replace('\x03', 'V1 N00000000NNNNNNNNL000000000N*\x03')
  // Term 0 has no links and feeds every sum: F0 is high.
  const { findings } = verify(file, { device: '82S100', fuseOrder: 'term-by-term' })
  expect(
    findings.filter(({ code }) => code.startsWith('vector/')).map(({ code, severity }) => [code, severity]),
  ).toContainEqual(['vector/contradicted', 'warning'])
})

describe('single fuses', () => {
  const withoutConstants = ({ sums, inverted }: Expression): unknown => [
    inverted,
    sums.map((sum) => sum.filter(({ literals }) => !literals.some((literal) => literals.includes(literal ^ 1)))),
  ]
  const yieldOf = ({ logic }: Decoded): string =>
    JSON.stringify(
      logic!.cells.map(({ pin, enable, value }) => [pin, withoutConstants(enable), withoutConstants(value!)]),
    )

  test.each(
    COMBINATIONS.filter(
      ([, { order }]) => order === 'term-by-term' || order === 'array-by-array-complement-first-inputs-descending',
    ),
  )(
    '%s: a flipped fuse changes what decode yields, or belongs to a term that stays dead or serves nothing',
    (_, given) => {
      const { table } = given
      const { length } = table.outputs
      const [a, b] = table.ascending as readonly [number, number]
      // Term 0 live and in use, 1 live and in no sum, 2 dead by one pair, 3 and all others as they left the factory.
      const design: ArrayDesign = {
        terms: [[a, -b], [b], [a, -a, b]],
        sums: table.outputs.map((_, output) => (output === 0 ? [0, 2, 3] : [])),
        inverted: table.outputs.map((_, output) => output === 1),
        directions: table.directed
          ? table.outputs.map((_, output) => (output === 0 ? [] : output === 1 ? [a] : null))
          : [],
      }
      const states = encodeArray(given, design)
      const width = 2 * table.ascending.length
      const rowFuses = (row: number): number[] => Array.from({ length: width }, (_, i) => rowFuse(given, row) + i)
      // Row 1 serves nothing. Row 2 comes alive only when one of the two links of its dead pair goes. A row with all
      // links intact stays dead.
      const deadRows = Array.from({ length: table.terms - 3 }, (_, i) => i + 3)
      const idleDirections = table.directed ? Array.from({ length: length - 2 }, (_, i) => table.terms + 2 + i) : []
      const idle = new Set([
        ...rowFuses(1),
        ...rowFuses(2).filter((fuse) => fuse !== inputFuse(given, 2, a) && fuse !== inputFuse(given, 2, -a)),
        ...[...deadRows, ...idleDirections].flatMap(rowFuses),
        // Links of dead terms into sums carry 0.
        ...[2, ...deadRows].flatMap((row) => table.outputs.map((_, output) => sumFuse(given, row, output))),
      ])
      const original = yieldOf(decodeIn(given, states))
      const found: number[] = []
      for (let fuse = 0; fuse < states.length; fuse++) {
        // Of the many fuses of virgin rows a seventh is enough.
        if (idle.has(fuse) && fuse % 7 !== 0) continue
        states[fuse]! ^= 1
        if (yieldOf(decodeIn(given, states)) === original) found.push(fuse)
        states[fuse]! ^= 1
      }
      expect(found).toEqual([...idle].filter((fuse) => fuse % 7 === 0).sort((x, y) => x - y))
    },
  )
})
