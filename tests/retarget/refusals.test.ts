/** Every reason for which a map is not moved, each by a map that has this problem and no other. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { deviceInOrder, findDevice, fuseMapFrom, retarget, writeFuseFile, type Device, type Misfit, type RetargetOptions } from '../../src/index'
import { V10, type Design, type DesignOutput, type Term } from '../parts/design'
import { encode } from '../parts/encoder'
import { granted, refusal } from '../granted'

const output = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput => ({
  pin,
  kind: 'combinational',
  activeHigh: false,
  enable: 'always',
  terms,
  ...more,
})
const design = (part: string, outputs: readonly DesignOutput[], more: Partial<Design> = {}): Design => ({
  part,
  mode: null,
  outputs,
  ...more,
})
const registered = (pin: number, terms: readonly Term[], more: Partial<DesignOutput> = {}): DesignOutput =>
  output(pin, terms, { kind: 'registered', enable: { lowPin: 13 }, ...more })

const bytesOf = (given: Design): Uint8Array => writeFuseFile({ fuses: fuseMapFrom(encode(given).join('')) })
const move = (given: Design, to: string | Device, more: Partial<RetargetOptions> = {}): ReturnType<typeof retarget> =>
  retarget(bytesOf(given), { device: given.part, to, ...more })

/** Reasons with their pins, once it is certain that nothing was written. */
function reasonsOf(result: ReturnType<typeof retarget>): [Misfit['reason'], number | null][] {
  const { bytes, misfits } = refusal(result)
  expect(bytes).toBeNull()
  for (const { message } of misfits) expect(message).toMatch(/^[a-z].*[^.]$/)
  return misfits.map(({ reason, pin }) => [reason, pin])
}

/** A 22V10 whose first and last row do nothing, so that no row acts on all registers. */
function withoutSharedRows(): Device {
  const { sharedRows, ...rest } = findDevice('22V10')!
  expect(sharedRows).toEqual({ reset: 0, clockedPreset: 131 })
  const [, ...tail] = rest.blocks
  return {
    ...rest,
    part: 'WITHOUT',
    aliases: [],
    array: { rows: 130, columns: 44 },
    blocks: [
      { use: 'undecoded', name: 'first row', first: 0, count: 44 },
      { use: 'array', name: 'AND array', first: 44, count: 5720 },
      { use: 'undecoded', name: 'last row', first: 5764, count: 44 },
      ...tail,
    ],
    cells: rest.cells.map((cell) => ({ ...cell, firstRow: cell.firstRow - 1 })),
  }
}

const FIVE: readonly Term[] = [[1], [2], [3], [4], [5]]

describe('what the target cannot do', () => {
  test('packages: another number of pins', () => {
    expect(reasonsOf(move(design('16L8', [output(18, [[2]])]), '20V8'))).toEqual([['packages', null]])
  })

  test('no-output: outputs at pins that are inputs there', () => {
    expect(reasonsOf(move(design('12L10', [output(23, [[2]])]), '20V8'))).toEqual([
      ['no-output', 23],
      ['no-output', 14],
    ])
  })

  test('no-output: a cell that is a register only', () => {
    // The seven other registers of a 20R8 cannot be switched off one by one.
    expect(reasonsOf(move(design('20L8', [output(21, [[2]])]), '20R8'))).toEqual(
      [22, 21, 20, 19, 18, 17, 16, 15].map((pin) => [pin === 21 ? 'no-output' : 'enable', pin]),
    )
  })

  test('no-column: a signal that the array there does not carry, and only where a term uses it', () => {
    // A 14L4 reads pins 19 and 12; the array of a 16L8 does not (AMD PAL16R8 Family, 16492D, p. 2-10).
    expect(reasonsOf(move(design('14L4', [output(17, [[2, -19]]), output(14, [[2, 3], [12]])]), '16L8'))).toEqual([
      ['no-column', 17],
      ['no-column', 14],
    ])
    expect(
      move(design('14L4', [output(17, [[2, -18]]), output(14, [[19, -19, 3], [13]])]), '16L8').proof!.relation,
    ).toBe('equivalent')
  })

  test('no-column: a pin where the target reads its register', () => {
    const part = findDevice('16R4')!
    const readsPins = {
      ...part,
      part: 'READS PINS',
      aliases: [],
      modes: part.modes.map((mode) => ({ ...mode, registerFeedback: 'pin' as const })),
    }
    const reading = design('16R4', [registered(17, [[2]], { enable: { lowPin: 11 } }), output(19, [[17]])], {
      clockPin: 1,
    })
    expect(reasonsOf(retarget(bytesOf(reading), { device: readsPins, to: '16V8' }))).toEqual([['no-column', 19]])
    expect(move(reading, '16V8').proof!.relation).toBe('equivalent')
  })

  test('terms: more than there is room for, constant ones not counted', () => {
    // Three terms an output in a 20L10.
    const four: readonly Term[] = [[2], [3], [4], [5]]
    expect(reasonsOf(move(design('20L8', [output(19, four), output(18, four.slice(1))]), '20L10'))).toEqual([
      ['terms', 19],
    ])
    const constant: readonly Term[] = [[2], [3, -3, 4], [5], [6, -6], [7]]
    expect(move(design('20L8', [output(19, constant)]), '20L10').proof!.relation).toBe('equivalent')
  })

  test('enable: an output that must switch off where the cell is always on', () => {
    expect(reasonsOf(move(design('16L8', [output(19, [[2]], { enable: { term: [3] } })]), '10L8'))).toEqual(
      [19, 18, 17, 16, 15, 14, 13, 12].map((pin) => ['enable', pin]),
    )
  })

  test('enable: a cell that is always on at a pin where the map has no output', () => {
    expect(reasonsOf(move(design('14L4', [output(17, [[2]])]), '12L6'))).toEqual([
      ['enable', 18],
      ['enable', 13],
    ])
  })

  test('polarity: a level that no fuse sets, where the complement has too many terms', () => {
    // p2 ∧ p3 ∨ p4 ∧ p5 has the complement (¬p2 ∨ ¬p3) ∧ (¬p4 ∨ ¬p5): four terms, and a 10L8 takes two.
    const high = (terms: readonly Term[]): Design => design('10H8', [output(19, terms, { activeHigh: true })])
    const refused = refusal(move(high([[2, 3], [4, 5]]), '10L8'))
    expect(reasonsOf(refused)).toEqual([['terms', 19]])
    expect(refused.misfits[0]!.message).toContain('takes 4 terms')
    expect(refused.misfits[0]!.message).toContain('room for 2')
    // One literal, or two, have a complement of one term or two; outputs of no term are constant and need one that is 1.
    expect(move(high([[2, 3]]), '10L8').proof!.relation).toBe('equivalent')
  })

  test('terms: a complement is looked for up to 64 of them', () => {
    // a ∨ b of conjunctions of so many inputs each, none in common, has a complement of their product in terms.
    const columns = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 17, 18, 19]
    const both = (a: number, b: number): ReturnType<typeof move> =>
      move(
        design('16H2', [output(16, [columns.slice(0, a), columns.slice(a, a + b)], { activeHigh: true })]),
        '16L2',
      )
    const messageOf = (result: ReturnType<typeof move>): string => refusal(result).misfits[0]!.message
    expect(reasonsOf(both(8, 8))).toEqual([['terms', 16]])
    expect(messageOf(both(8, 8))).toContain('takes 64 terms')
    expect(messageOf(both(7, 9))).toContain('takes 63 terms')
    expect(both(2, 4).proof!.relation).toBe('equivalent')
  })

  test('a register’s own clock, reset and preset go with it', () => {
    const outputs = Array.from({ length: 10 }, (_, i) =>
      registered(23 - i, [[2], [3, -4]], {
        activeHigh: true,
        enable: { term: [], lowPin: 13 },
        clock: [5],
        reset: [6, -7],
        preset: [8],
      }),
    )
    const own = { ...findDevice('20RA10')!, part: 'OWN', aliases: [] }
    expect(move(design('20RA10', outputs), own).proof!.relation).toBe('equivalent')
  })

  test('a register of the other polarity takes the complement of its terms', () => {
    const registers = [22, 21, 20, 19, 18, 17, 16, 15].map((pin) =>
      registered(pin, [[2]], { activeHigh: pin === 20 }),
    )
    expect(move(design('20V8', registers, { mode: 'registered', clockPin: 1 }), '20R8').proof!.relation).toBe(
      'equivalent',
    )
  })

  test('register: a cell without one, or with another clock', () => {
    const four = [17, 16, 15, 14]
    expect(
      reasonsOf(
        move(
          design(
            '16R4',
            four.map((pin) => registered(pin, [[2]], { enable: { lowPin: 11 } })),
            { clockPin: 1 },
          ),
          '16L8',
        ),
      ),
    ).toEqual(four.map((pin) => ['register', pin]))
    const ten = Array.from({ length: 10 }, (_, i) => 23 - i)
    const asynchronous = ten.map((pin) => registered(pin, [[2]], { enable: { term: [], lowPin: 13 }, clock: [3] }))
    expect(reasonsOf(move(design('20RA10', asynchronous), '22V10'))).toEqual(ten.map((pin) => ['register', pin]))
  })

  test('reset: a reset of all registers, or a preset, where the target has none', () => {
    const outputs = [registered(19, [[2]], { enable: 'always' })]
    const target = withoutSharedRows()
    for (const shared of [{ reset: [4] }, { clockedPreset: [4] }])
      expect(reasonsOf(move(design('22V10', outputs, { ...V10, ...shared }), target))).toEqual([
        ['reset', null],
      ])
    // The same without either fits, and so does one that is constant 0.
    expect(move(design('22V10', outputs, V10), target).proof!.relation).toBe('equivalent')
    expect(move(design('22V10', outputs, { ...V10, reset: [4, -4] }), target).proof!.relation).toBe(
      'equivalent',
    )
  })

  test('reset: a polarity that acts on the other side of the register', () => {
    // A 20V8 starts with its pin high whatever its polarity, an active-high 22V10 with its pin low (their data
    // sheets, p. 20 and 13): the one way needs the complement of the terms, the other cannot be.
    const made = (activeHigh: boolean): Design =>
      design('20V8', [registered(20, [[2], [3, 4]], { activeHigh })], { mode: 'registered', clockPin: 1 })
    for (const activeHigh of [true, false]) expect(move(made(activeHigh), '22V10').proof!.relation).toBe('equivalent')
    const high = design('22V10', [registered(20, [[2]], { activeHigh: true, enable: { term: [-13] } })], V10)
    expect(reasonsOf(move(high, '20V8'))).toEqual([['reset', 20]])
  })

  test('exclusive-or: two sums are multiplied out, up to the terms that there are', () => {
    const ten = Array.from({ length: 10 }, (_, i) => 23 - i)
    const made = (at: number, terms: readonly Term[], other: readonly Term[]): Design =>
      design(
        '20X10',
        ten.map((pin) => registered(pin, pin === at ? terms : [[2], [3]], { otherTerms: pin === at ? other : [] })),
        { clockPin: 1 },
      )
    // p2 ∨ p3, exclusive-or p4, is p2 ∧ ¬p4 ∨ p3 ∧ ¬p4 ∨ ¬p2 ∧ ¬p3 ∧ p4.
    expect(move(made(16, [[2], [3]], [[4]]), '22V10').proof!.relation).toBe('equivalent')
    expect(move(made(16, [[2], [3]], [[4, -4]]), '22V10').proof!.relation).toBe('equivalent')
    // a ⊕ b of two conjunctions of eight inputs each, none in common: a ∧ ¬b ∨ ¬a ∧ b takes 8 + 8 terms, every one of
    // them with 9 literals; the complement a ∧ b ∨ ¬a ∧ ¬b takes 1 + 8 · 8. Pin 23 has room for 8.
    const wide = refusal(move(made(23, [[2, 3, 4, 5, 6, 7, 8, 9]], [[10, 11, 14, 15, 16, 17, 18, 19]]), '22V10'))
    expect(reasonsOf(wide)).toEqual([['exclusive-or', 23]])
    expect(wide.misfits[0]!.message).toContain('takes 16 terms')
    expect(wide.misfits[0]!.message).toContain('room for 8')
    // Pin 18 has room for 16 (GAL22V10 data sheet, 22v10_08, p. 4).
    expect(
      move(made(18, [[2, 3, 4, 5, 6, 7, 8, 9]], [[10, 11, 14, 15, 16, 17, 19, 20]]), '22V10').proof!.relation,
    ).toBe('equivalent')
  })

  test('a register that fits as its complement alone is turned over while nothing says how it starts', () => {
    // a ⊕ 1 of a conjunction of nine inputs is the sum of their nine complements, its complement a itself: one term.
    // Pin 23 has room for 8, and a 22V10 inverts after the register, so that the register takes the complement too.
    const ten = Array.from({ length: 10 }, (_, i) => 23 - i)
    const nine = design(
      '20X10',
      ten.map((pin) =>
        pin === 23
          ? registered(pin, [[2, 3, 4, 5, 6, 7, 8, 9, 10]], { otherTerms: [[]] })
          : registered(pin, [[2]], { otherTerms: [] }),
      ),
      { clockPin: 1 },
    )
    for (const start of [{}, { powerUp: 'unknown' }] as const)
      expect(move(nine, '22V10', start).proof!.relation).toBe('equivalent')
    for (const powerUp of ['low', 'high'] as const) {
      const refused = refusal(move(nine, '22V10', { powerUp }))
      expect(refused.reason).toBe('does-not-fit')
      expect(reasonsOf(refused)).toEqual([['exclusive-or', 23]])
    }
  })

  test('undefined-cell: what no data sheet defines has no counterpart', () => {
    // AC1 = 0 in complex mode at pin 15 (fuse 2124).
    const states = encode(design('16V8', [output(18, [[2]])], { mode: 'complex' }))
    states[2124] = 0
    const file = writeFuseFile({ fuses: fuseMapFrom(states.join('')) })
    expect(reasonsOf(retarget(file, { to: '16L8' }))).toEqual([['undefined-cell', 15]])
  })

  test('not-decoded: a target of which no map is known', () => {
    expect(findDevice('16P8')!.modes).toEqual([])
    expect(reasonsOf(move(design('16L8', [output(18, [[2]])]), '16P8'))).toEqual([['not-decoded', null]])
  })

  test('terms: a target whose outputs share their terms', () => {
    expect(reasonsOf(move(design('16L8', [output(18, [[2]])]), deviceInOrder('PLS153', 'term-by-term')))).toEqual([
      ['terms', null],
    ])
  })

  test('several problems are all told', () => {
    const outputs = [output(19, [...FIVE.slice(1), [6]]), output(21, [[23]])]
    expect(reasonsOf(move(design('20L8', outputs), '20L10'))).toEqual([
      ['terms', 19],
      ['no-column', 21],
    ])
  })
})

describe('what the file does not allow', () => {
  const sound = design('16L8', [output(18, [[2]])])

  test('not-decoded: a part that the size does not tell', () => {
    const { misfits, proof } = refusal(retarget(bytesOf(sound), { to: '16V8' }))
    expect(misfits.map(({ reason }) => reason)).toEqual(['not-decoded'])
    expect(misfits[0]!.message).toContain('16L8, 16R4, 16R6, 16R8')
    expect(proof).toBeNull()
  })

  test('not-decoded: a part that only test vectors tell', () => {
    // The standard's example: 448 fuses are a 14L4 or a 14H4, and only as a 14L4 its eight vectors hold.
    const example = readFileSync(new URL('../../vectors/published/jesd3a-14l4.jed', import.meta.url))
    const { reason, misfits } = refusal(retarget(example, { to: '16V8' }))
    expect(reason).toBe('part-not-certain')
    expect(misfits[0]!.message).toContain('14H4, 14L4')
    expect(granted(retarget(example, { device: '14L4', to: '16V8' })).proof.relation).toBe('equivalent')
  })

  test('not-decoded: a file that fails', () => {
    const text = new TextDecoder().decode(bytesOf(sound))
    const wrong = text.replace(/C([0-9A-F]{4})\*/, (_, sum: string) => `C${sum === '0000' ? '0001' : '0000'}*`)
    const result = refusal(retarget(wrong, { device: '16L8', to: '16V8' }))
    expect(reasonsOf(result)).toEqual([['not-decoded', null]])
    expect(result.verdict).toBe('fail')
    expect(result.misfits[0]!.message).toContain('does not pass')
    expect(reasonsOf(retarget('', { device: '16L8', to: '16V8' }))).toEqual([['not-decoded', null]])
  })

  test('not-decoded: a part that contradicts the size', () => {
    expect(reasonsOf(retarget(bytesOf(sound), { device: '20L8', to: '20V8' }))).toEqual([['not-decoded', null]])
  })

  test.each(['0', '1'])('a map of %s alone is what a blank or protected chip gives, and is refused', (state) => {
    const { bytes, proof, misfits } = refusal(retarget(writeFuseFile({ fuses: fuseMapFrom(state.repeat(2048)) }), {
      device: '16L8',
      to: '16V8',
    }))
    expect([bytes, proof]).toEqual([null, null])
    expect(misfits).toEqual([
      { pin: null, reason: 'blank', message: expect.stringContaining('blank, protected or unread') },
    ])
  })
})

describe('where registers start', () => {
  const made = (part: string): Design =>
    design(part, [registered(17, [[2]], { enable: { lowPin: 11 } })], { clockPin: 1 })

  test.each(['16R4', '16R6', '16R8'])('of a %s no start is published: moved, with a warning', (part) => {
    const { bytes, proof } = move(made(part), '16V8')
    expect(bytes).not.toBeNull()
    expect(proof).toMatchObject({ relation: 'equivalent', verdict: 'caution' })
    expect(
      proof!.findings.filter(({ code }) => code === 'compare/power-up-open').map(({ severity }) => severity),
    ).toEqual(['warning'])
  })

  test('stated high, as a 16V8 starts (GAL16V8 data sheet, 16v8_04, p. 20): moved without one', () => {
    const { bytes, proof } = move(made('16R4'), '16V8', { powerUp: 'high' })
    expect(bytes).not.toBeNull()
    expect(proof!.findings.map(({ code }) => code)).not.toContain('compare/power-up-open')
    expect(proof!.relation).toBe('equivalent')
  })

  test('stated low: refused, with the proof that says why', () => {
    const result = refusal(move(made('16R4'), '16V8', { powerUp: 'low' }))
    expect(reasonsOf(result)).toEqual([['reset', null]])
    expect(result.misfits[0]!.message).toContain('start at other levels')
    expect(result.proof!.relation).toBe('different')
    const different = result.proof!.outputs.filter(({ relation }) => relation === 'different')
    expect(different.map(({ pin }) => Number(pin)).sort()).toEqual([14, 15, 16, 17])
    expect(different.every(({ differsIn }) => differsIn.join() === 'power-up')).toBe(true)
  })

  test('of a part without registers nothing is asked', () => {
    expect(
      move(design('16L8', [output(18, [[2]])]), '16V8', { powerUp: 'low' }).proof!.findings.map(({ code }) => code),
    ).not.toContain('compare/power-up-open')
  })
})

test('a caller’s mistake throws and names the argument', () => {
  const bytes = bytesOf(design('16L8', [output(18, [[2]])]))
  const call = (input: unknown, options?: unknown) => () => granted(retarget(input as Uint8Array, options as RetargetOptions))
  expect(call(bytes)).toThrow(TypeError)
  expect(call(bytes, {})).toThrow(/options\.to/)
  expect(call(bytes, { to: '99Z9' })).toThrow(RangeError)
  expect(call(bytes, { to: '16V8', device: '99Z9' })).toThrow(/options\.device/)
  expect(call(bytes, { to: '16V8', powerUp: 'up' })).toThrow(/options\.powerUp/)
  expect(call(7, { to: '16V8' })).toThrow(TypeError)
})
