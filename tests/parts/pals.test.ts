/** PALs by hand: the printed preload example on a real 16R4 map, exclusive-or of two sums in a 20X10, small parts. */
import { expect, test } from 'vitest'
import { findDevice, fuseMapFrom, verify, writeFuseFile } from '../../src/index'
import type { Design, DesignOutput, Term } from './design'
import { encode, tableOf } from './encoder'
import { decodeStates, probe, type Conditions } from './probe'

/** Next states that go with the vectors below, as pin levels: 14 ← 17, 15 ← 16, 16 ← 15, 17 ← ¬14. A 16R4 shows ¬OR. */
const PRINTED_16R4: Design = {
  part: '16R4',
  mode: null,
  clockPin: 1,
  outputs: (
    [
      [14, -17],
      [15, -16],
      [16, -15],
      [17, 14],
    ] as const
  ).map(([pin, literal]) => ({
    pin,
    kind: 'registered',
    activeHigh: false,
    enable: { lowPin: 11 },
    terms: [[literal]],
  })),
}

test('the preload example that the standard prints for a 16R4', () => {
  // JEDEC Standard No. 3-A, "Register preload": registers loaded with 1101 on pins 14 to 17, read back, clocked once.
  const vectors = ['PXXXXXXXXN1XX1101XXN', '0XXXXXXXXN0XXHHLHXXN', 'CXXXXXXXXN0XXHLHLXXN'].map((conditions, i) => ({
    number: i + 1,
    conditions,
    offset: null,
  }))
  const fuses = fuseMapFrom(encode(PRINTED_16R4).join(''))
  const report = verify(writeFuseFile({ fuses, vectors }), { device: '16R4' })
  expect(report.testVectors).toMatchObject({ count: 3, passed: 3, failed: 0, undetermined: 0 })
  // One bit of the preload turned round, and the read-back of that register contradicts.
  const other = vectors.map((vector, i) => (i === 0 ? { ...vector, conditions: 'PXXXXXXXXN1XX1111XXN' } : vector))
  expect(verify(writeFuseFile({ fuses, vectors: other }), { device: '16R4' }).testVectors).toMatchObject({
    passed: 1,
    failed: 2,
  })
})

test.each(['16R4', '16R6', '16R8', '20R4', '20R6', '20R8', '20X4', '20X8', '20X10'])(
  '%s: no start of the registers is assumed, for it differs by maker',
  (part) => {
    // AMD PAL16R8 Family, 16492D, p. 2-9: pins high; TI TIBPAL16-15M, SRPS018A, p. 1: pins low.
    const states = encode({ part, mode: null, clockPin: 1, outputs: [] })
    const enable = part.startsWith('16') ? 11 : 13
    const pin = part.startsWith('16') ? 15 : 18
    expect(probe(states, [{ 1: '0', [enable]: '0', [pin]: '?' }], { part, registers: 'power-up' })).toEqual(['X'])
    // Empty sums are 0, Q takes 0, and the pin shows its complement.
    expect(probe(states, [{ 1: 'C', [enable]: '0', [pin]: '?' }], { part })).toEqual(['1'])
  },
)

function counterBit(
  pin: number,
  lower: readonly number[],
  control: { readonly clear: number; readonly count: number },
): DesignOutput {
  // Q = ¬pin takes (¬pin ∨ clear) ⊕ (¬clear ∧ count ∧ all lower pins): the pin turns round exactly when it counts.
  return {
    pin,
    kind: 'registered',
    activeHigh: false,
    enable: { lowPin: 13 },
    terms: [[-pin], [control.clear]],
    otherTerms: [[-control.clear, control.count, ...lower]],
  }
}

const BITS = [14, 15, 16, 17, 18, 19, 20, 21, 22, 23]

test('20X10: a binary counter of ten bits by exclusive-or', () => {
  const states = encode({
    part: '20X10',
    mode: null,
    clockPin: 1,
    outputs: BITS.map((pin, i) => counterBit(pin, BITS.slice(0, i), { clear: 2, count: 3 })),
  })
  const asked = Object.fromEntries(BITS.map((pin) => [pin, '?']))
  const at = (clear: number, count: number): Conditions => ({
    1: 'C',
    2: String(clear),
    3: String(count),
    13: '0',
    ...asked,
  })
  const found = probe(
    states,
    [at(1, 1), at(0, 0), ...Array.from({ length: 1030 }, () => at(0, 1)), at(0, 0), at(1, 0)],
    { part: '20X10' },
  )
  // Pins ascend with the weight, so each text reads from the lowest bit on. 1024 counts go once around.
  const text = (value: number): string => (value % 1024).toString(2).padStart(10, '0').split('').reverse().join('')
  expect(found).toEqual([0, 0, ...Array.from({ length: 1030 }, (_, i) => i + 1), 1030, 0].map(text))
})

test('20X10: all sixteen values of two sums of two terms', () => {
  const output: DesignOutput = {
    pin: 23,
    kind: 'registered',
    activeHigh: false,
    enable: { lowPin: 13 },
    terms: [[2], [3]],
    otherTerms: [[4], [5]],
  }
  const states = encode({ part: '20X10', mode: null, clockPin: 1, outputs: [output] })
  const rows = Array.from({ length: 16 }, (_, i) => [i >> 3, (i >> 2) & 1, (i >> 1) & 1, i & 1])
  const found = probe(
    states,
    rows.map(([a, b, c, d]) => ({
      1: 'C',
      2: String(a),
      3: String(b),
      4: String(c),
      5: String(d),
      13: '0',
      23: '?',
    })),
    { part: '20X10' },
  )
  // Pin = ¬((a ∨ b) ⊕ (c ∨ d)), for abcd = 0000 … 1111: 1 where both sums agree.
  expect(found.join('')).toBe('1000011101110111')
})

test('20X4: the two kinds of outputs side by side', () => {
  const sum: DesignOutput = {
    pin: 20,
    kind: 'registered',
    activeHigh: false,
    enable: { lowPin: 13 },
    terms: [[20]],
    otherTerms: [[2]],
  }
  const wire: DesignOutput = {
    pin: 21,
    kind: 'combinational',
    activeHigh: false,
    enable: { term: [4] },
    terms: [[20], [3]],
  }
  const states = encode({ part: '20X4', mode: null, clockPin: 1, outputs: [sum, wire] })
  const vectors: Conditions[] = [
    { 1: 'P', 13: '1', 2: '0', 3: '0', 4: '0', 20: '0' },
    { 1: '0', 13: '0', 2: '0', 3: '0', 4: '1', 20: '?', 21: '?' },
    // Q takes pin ⊕ p2, so the pin goes to ¬(pin ⊕ p2): it turns round while pin 2 is low and stays while it is high.
    { 1: 'C', 13: '0', 2: '0', 3: '0', 4: '1', 20: '?', 21: '?' },
    { 1: 'C', 13: '0', 2: '1', 3: '0', 4: '1', 20: '?', 21: '?' },
    { 1: 'C', 13: '0', 2: '0', 3: '1', 4: '1', 20: '?', 21: '?' },
    // Pin 13 switches the registered output off, its row the other.
    { 1: '0', 13: '1', 2: '0', 3: '0', 4: '1', 20: '?', 21: '?' },
    { 1: '0', 13: '0', 2: '0', 3: '0', 4: '0', 20: '?', 21: '?' },
  ]
  // The array reads the register while its pin is off.
  expect(probe(states, vectors, { part: '20X4' })).toEqual(['', '01', '10', '10', '00', 'Z1', '0Z'])
})

test.each([
  ['16L8', [19, 12]],
  ['20L8', [22, 15]],
  ['20L10', [23, 14]],
])('%s: every output has an enable row, the outer two no columns', (part, outer) => {
  const { columns, cells, fuseCount } = tableOf({ part, mode: null })
  const { modes } = findDevice(part)!
  expect(outer.filter((pin) => columns.includes(pin) || modes[0]!.columns.includes(pin))).toEqual([])
  for (const { pin, rows } of cells) {
    const outputs: DesignOutput[] = [
      {
        pin,
        kind: 'combinational',
        activeHigh: false,
        enable: { term: [2] },
        terms: Array.from({ length: rows - 1 }, (_, i): Term => [3 + i]),
      },
    ]
    const states = encode({ part, mode: null, outputs })
    expect(states).toHaveLength(fuseCount)
    // Each term alone makes the pin low.
    const zeros = Object.fromEntries(Array.from({ length: rows - 1 }, (_, i) => [3 + i, '0']))
    const vectors = [
      { 2: '0', ...zeros, [pin]: '?' },
      { 2: '1', ...zeros, [pin]: '?' },
      ...Object.keys(zeros).map((one) => ({ 2: '1', ...zeros, [one]: '1', [pin]: '?' })),
    ]
    expect(probe(states, vectors, { part }), `pin ${pin}`).toEqual(['Z', '1', ...Object.keys(zeros).map(() => '0')])
  }
})

test('8L14: fourteen outputs of one row, pins 1, 2, 11 and 13 among them', () => {
  const pins = [1, 2, 11, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23]
  const inputs = [3, 4, 5, 6, 7, 8, 9, 10]
  const outputs = pins.map((pin, i): DesignOutput => ({
    pin,
    kind: 'combinational',
    activeHigh: false,
    enable: 'always',
    terms: [[inputs[i % 8]!, -inputs[(i + 3) % 8]!]],
  }))
  const states = encode({ part: '8L14', mode: null, outputs })
  expect(states).toHaveLength(224)
  const asked = Object.fromEntries(pins.map((pin) => [pin, '?']))
  for (let code = 0; code < 256; code++) {
    const bit = (i: number): number => (code >> (i % 8)) & 1
    const levels = Object.fromEntries(inputs.map((pin, i) => [pin, String(bit(i))]))
    expect(probe(states, [{ ...levels, ...asked }], { part: '8L14' }), `inputs ${code}`).toEqual([
      pins.map((_, i) => (bit(i) && !bit(i + 3) ? '0' : '1')).join(''),
    ])
  }
})

test('what is inferred or remembered is told of with every map', () => {
  const codes = (part: string): string[] =>
    decodeStates(encode({ part, mode: null, outputs: [] }), part).findings.findings.map(({ code }) => code)
  expect(codes('18L4')).toContain('device/unconfirmed-map')
  expect(codes('20X8')).toContain('device/unconfirmed-map')
  expect(codes('20X10')).toContain('device/inferred-map')
  for (const code of ['device/unconfirmed-map', 'device/inferred-map']) expect(codes('16R4')).not.toContain(code)
})
