/**
 * 22V10 and 26CV12 by hand: polarity behind the register, feedback from the register whatever the polarity, reset and
 * preset of all registers. Lattice GAL22V10 data sheet, 22v10_08: p. 3 (macrocell), p. 4 (reset and preset), p. 12
 * (signature), p. 13 (power-up).
 */
import { describe, expect, test } from 'vitest'
import { findDevice, fuseMapFrom, verify, writeFuseFile } from '../../src/index'
import { decode, roleOf } from '../../src/logic'
import type { Design, DesignOutput } from './design'
import { encode } from './encoder'
import { decodeStates, probe, type Conditions } from './probe'

/** A registered output that is always on. */
function register(pin: number, activeHigh: boolean, ...terms: DesignOutput['terms']): DesignOutput {
  return { pin, kind: 'registered', activeHigh, enable: 'always', terms }
}

function wire(pin: number, ...terms: DesignOutput['terms']): DesignOutput {
  return { pin, kind: 'combinational', activeHigh: true, enable: 'always', terms }
}

interface Family {
  readonly part: string
  /** Two registered pins and one combinational. */
  readonly high: number
  readonly low: number
  readonly seen: number
}

const FAMILIES: readonly Family[] = [
  { part: '22V10', high: 23, low: 14, seen: 18 },
  { part: '26CV12', high: 27, low: 15, seen: 20 },
]

describe.each(FAMILIES.map((one) => [one.part, one] as const))('%s', (part, { high, low, seen }) => {
  const run = (
    design: Omit<Design, 'part' | 'mode'>,
    vectors: readonly Conditions[],
    registers: 'unknown' | 'power-up' = 'unknown',
  ): string[] => probe(encode({ part, mode: null, clockPin: 1, ...design }), vectors, { part, registers })
  /** Levels of the active-low pin, the combinational one if asked for, the active-high one: pins ascending. */
  const asked = { [low]: '?', [high]: '?' }

  test('after power-up Q is low: the active-high pin is low, the active-low pin high', () => {
    const outputs = [register(high, true, [2]), register(low, false, [2])]
    // With pin 2 high both take Q = 1 at the clock, and both pins turn round.
    expect(
      run(
        { outputs },
        [
          { 1: '0', 2: '1', ...asked },
          { 1: 'C', 2: '1', ...asked },
          { 1: 'C', 2: '0', ...asked },
        ],
        'power-up',
      ),
    ).toEqual(['10', '01', '10'])
    expect(run({ outputs }, [{ 1: '0', 2: '1', ...asked }])).toEqual(['XX'])
  })

  test('that is told in two notes, one a level', () => {
    const decoded = decodeStates(
      encode({
        part,
        mode: null,
        clockPin: 1,
        outputs: [register(high, true), register(low, false), wire(seen, [2])],
      }),
      part,
    )
    // A cell that the design leaves out is combinational with nothing in its rows.
    const notes = decoded.findings.findings
      .filter(({ code }) => code === 'device/power-up')
      .map(({ message }) => [message.match(/\b(high|low)\b/)![0], message.match(/pin (\d+)/)![1]])
    expect(notes).toEqual([
      ['high', String(low)],
      ['low', String(high)],
    ])
  })

  test('the clocked preset sets Q at the clock only, the reset at once', () => {
    const design = { outputs: [register(high, true), register(low, false)], reset: [3], clockedPreset: [4] }
    const vectors = [
      { 1: '0', 3: '1', 4: '0', ...asked },
      { 1: '0', 3: '0', 4: '1', ...asked },
      { 1: 'C', 3: '0', 4: '1', ...asked },
      { 1: '0', 3: '0', 4: '0', ...asked },
      { 1: '0', 3: '1', 4: '0', ...asked },
    ]
    // Q: 0, still 0 with the preset term true and no clock, 1, 1, 0. The active-low pin shows ¬Q, the other Q.
    expect(run(design, vectors)).toEqual(['10', '10', '01', '01', '10'])
  })

  test('the reset wins over the clocked preset at an edge, and over data', () => {
    const design = { outputs: [register(high, true, [2]), register(low, false, [2])], reset: [3], clockedPreset: [4] }
    const vectors = [
      { 1: 'C', 2: '1', 3: '1', 4: '1', ...asked },
      { 1: 'C', 2: '1', 3: '1', 4: '0', ...asked },
      { 1: 'C', 2: '0', 3: '0', 4: '1', ...asked },
      { 1: 'C', 2: '0', 3: '0', 4: '0', ...asked },
    ]
    // Q: reset, reset, preset although the sum is 0, and the sum.
    expect(run(design, vectors)).toEqual(['10', '10', '01', '10'])
  })

  test('what a row reads of an active-high register is the opposite of its pin', () => {
    // The wire reads the true column of the active-high pin, which carries ¬Q.
    const outputs = [register(high, true, [2]), wire(seen, [high])]
    const found = run({ outputs }, [
      { 1: 'C', 2: '1', [seen]: '?', [high]: '?' },
      { 1: 'C', 2: '0', [seen]: '?', [high]: '?' },
    ])
    expect(found).toEqual(['01', '10'])
  })

  test('of an active-low register it is the level of its pin', () => {
    const outputs = [register(high, false, [2]), wire(seen, [high])]
    expect(
      run({ outputs }, [
        { 1: 'C', 2: '1', [seen]: '?', [high]: '?' },
        { 1: 'C', 2: '0', [seen]: '?', [high]: '?' },
      ]),
    ).toEqual(['00', '11'])
  })

  test('a register feeds back while its pin is off and something else is applied there', () => {
    const outputs: DesignOutput[] = [{ ...register(high, true, [2]), enable: { term: [5] } }, wire(seen, [high])]
    const at = (conditions: Conditions): Conditions => ({ 1: 'C', [seen]: '?', ...conditions })
    // Q = 1, so ¬Q = 0, whatever is applied to the pin; a combinational output reads the pin itself.
    expect(
      run({ outputs }, [
        at({ 2: '1', 5: '0', [high]: '0' }),
        at({ 2: '1', 5: '0', [high]: '1' }),
        at({ 2: '0', 5: '0', [high]: '0' }),
      ]),
    ).toEqual(['0', '0', '1'])
    const pins = [{ ...wire(high, [2]), enable: { term: [5] } }, wire(seen, [high])]
    expect(
      run({ outputs: pins }, [
        at({ 1: '0', 2: '1', 5: '0', [high]: '0' }),
        at({ 1: '0', 2: '0', 5: '0', [high]: '1' }),
        at({ 1: '0', 2: '1', 5: '1' }),
      ]),
    ).toEqual(['0', '1', '1'])
  })

  test('a registered output is switched by its row alone', () => {
    const outputs: DesignOutput[] = [{ ...register(high, true, [2]), enable: { term: [5, -6] } }]
    const off = [
      { 5: '0', 6: '0' },
      { 5: '1', 6: '1' },
    ].map((conditions) => ({ 1: 'C', 2: '1', [high]: '?', ...conditions }))
    expect(run({ outputs }, [{ 1: 'C', 2: '1', 5: '1', 6: '0', [high]: '?' }, ...off])).toEqual(['1', 'Z', 'Z'])
  })

  test('the clock pin is an input of the array too: at the edge a register takes what was before', () => {
    // The register takes ¬p1: 1 before the edge. The wire copies pin 1 as it rests.
    const outputs = [register(high, true, [-1]), wire(seen, [1])]
    expect(
      run({ outputs }, [
        { 1: '0', [seen]: '?' },
        { 1: 'C', [seen]: '?', [high]: '?' },
        { 1: '1', [seen]: '?', [high]: '?' },
      ]),
    ).toEqual(['0', '01', '11'])
  })

  test.each([true, false])('preload gives the level of the pin, active high: %s', (activeHigh) => {
    const outputs = [register(high, activeHigh, [high]), register(low, activeHigh, [low])]
    const vectors = [
      { 1: 'P', [high]: '1', [low]: '0' },
      { 1: '0', ...asked },
      { 1: 'P', [high]: '0', [low]: '1' },
      { 1: '0', ...asked },
    ]
    expect(run({ outputs }, vectors)).toEqual(['', '01', '', '10'])
  })
})

const TOGGLE: Design = {
  part: '22V10',
  mode: null,
  clockPin: 1,
  signature: [0x31, 0x2e, 0x30],
  outputs: [register(19, true, [19, -3]), wire(20, [2])],
  reset: [-4],
}

test.each([[5828], [5892], [5893]])(
  'a 22V10 map of %i fuses is the same logic; the signature starts at fuse 5828',
  (count) => {
    const states = [...encode(TOGGLE), 0].slice(0, count)
    const decoded = decode(findDevice('22V10')!, fuseMapFrom(states.join('')))
    // 5828 + 64 = 5892; the text “1.0”, then zeros.
    expect(decoded.signature && [...decoded.signature]).toEqual(
      count === 5828 ? null : [0x31, 0x2e, 0x30, 0, 0, 0, 0, 0],
    )
    const vectors = [
      '0N00NNNNNNNNNNNNNNLNNNNN',
      'CN01NNNNNNNNNNNNNNHNNNNN',
      'CN01NNNNNNNNNNNNNNLNNNNN',
      'CN11NNNNNNNNNNNNNNLNNNNN',
      'C111NNNNNNNNNNNNNNLHNNNN',
    ]
    const report = verify(
      writeFuseFile({
        fuses: fuseMapFrom(states.join('')),
        vectors: vectors.map((conditions, i) => ({ number: i + 1, conditions, offset: null })),
      }),
      { device: '22V10' },
    )
    // Reset; T = pin 3 low: 0 → 1 → 0; then held by pin 3.
    expect(report.testVectors).toMatchObject({ count: 5, passed: 5, failed: 0, undetermined: 0 })
    expect(report.device?.part).toBe('22V10')
  },
)

test('the power-down fuse of a map of 5893 has a role of its own', () => {
  // ATF22V10C data sheet, 0735U, table 10-1: one fuse more than 5892; that it is the last one is inferred from the
  // count.
  const decoded = decode(findDevice('22V10')!, fuseMapFrom([...encode(TOGGLE), 1].join('')))
  expect(roleOf(decoded, 5892)).toMatchObject({ role: 'power-down', pin: null })
})
