/**
 * The modes of a 16V8, cell by cell, against the configuration tables of the Lattice GAL16V8 data sheet, 16v8_04, p. 4
 * (registered), p. 6 (complex) and p. 8 (simple). What a cell does is found out at the pins: each row of its block is
 * given a term alone, its output is switched, its feedback is watched from another output.
 */
import { expect, test } from 'vitest'
import { verify, writeFuseFile, fuseMapFrom } from '../../src/index'
import { roleOf } from '../../src/logic'
import { cellAt, disableFuse, encode, firstFuseOf, tableOf, writeTerm, type PartTable } from './encoder'
import type { Term } from './design'
import { decodeStates, probe, type Conditions } from './probe'

/** One line of the data sheet's tables. */
interface Line {
  readonly syn: 0 | 1
  readonly ac0: 0 | 1
  readonly ac1: 0 | 1
  readonly mode: 'registered' | 'complex' | 'simple'
  readonly registered: boolean
  /** Row: the first of the eight. Pin: pin 11 low. */
  readonly enable: 'row' | 'pin' | 'always' | 'never'
  readonly terms: 8 | 7 | 0
  readonly feedback: 'register' | 'pin'
  /** Output pins that no column carries. */
  readonly noFeedback: readonly number[]
}

const LINES: readonly Line[] = [
  {
    syn: 0,
    ac0: 1,
    ac1: 0,
    mode: 'registered',
    registered: true,
    enable: 'pin',
    terms: 8,
    feedback: 'register',
    noFeedback: [],
  },
  {
    syn: 0,
    ac0: 1,
    ac1: 1,
    mode: 'registered',
    registered: false,
    enable: 'row',
    terms: 7,
    feedback: 'pin',
    noFeedback: [],
  },
  {
    syn: 1,
    ac0: 1,
    ac1: 1,
    mode: 'complex',
    registered: false,
    enable: 'row',
    terms: 7,
    feedback: 'pin',
    noFeedback: [19, 12],
  },
  {
    syn: 1,
    ac0: 0,
    ac1: 0,
    mode: 'simple',
    registered: false,
    enable: 'always',
    terms: 8,
    feedback: 'pin',
    noFeedback: [16, 15],
  },
  {
    syn: 1,
    ac0: 0,
    ac1: 1,
    mode: 'simple',
    registered: false,
    enable: 'never',
    terms: 0,
    feedback: 'pin',
    noFeedback: [16, 15],
  },
]

const PINS = [19, 18, 17, 16, 15, 14, 13, 12]
const SYN = 2192
const AC0 = 2193

const cases = LINES.flatMap((line) =>
  PINS
    // "Not allowed" as an input on the inner two cells (p. 8): see the test of its own below.
    .filter((pin) => line.enable !== 'never' || !line.noFeedback.includes(pin))
    .flatMap((pin) =>
      ([0, 1] as const).map(
        (xor) => [`SYN ${line.syn} AC0 ${line.ac0} AC1 ${line.ac1} XOR ${xor} pin ${pin}`, line, pin, xor] as const,
      ),
    ),
)

interface Block {
  readonly pin: number
  readonly xor: 0 | 1
  readonly ac1: 0 | 1
  readonly rows: Readonly<Record<number, Term>>
}

/** Writes the block of one output fuse by fuse; rows that are not given stay constant 0. */
function writeBlock(states: Uint8Array, table: PartTable, { pin, xor, ac1, rows }: Block): void {
  const cell = cellAt(table, pin)
  states[cell.polarityFuse!] = xor
  states[cell.selectFuse!] = ac1
  for (const [row, term] of Object.entries(rows))
    writeTerm(states, table, { firstFuse: firstFuseOf(table, pin, Number(row)), term })
}

/** A map in the mode of a line with one block, or more, written. */
function mapOf({ syn, ac0, mode }: Pick<Line, 'syn' | 'ac0' | 'mode'>, ...blocks: readonly Block[]): Uint8Array {
  const design = { part: '16V8', mode, outputs: [] }
  const states = encode(design)
  states[SYN] = syn
  states[AC0] = ac0
  for (const block of blocks) writeBlock(states, tableOf(design), block)
  return states
}

/**
 * Conditions that let a line's output drive: clocked, pin 11 low. Complex and simple mode read pins 1 and 11 as
 * inputs.
 */
function driving({ registered, mode }: Line): Conditions {
  return { 1: registered ? 'C' : '0', 11: '0', ...(mode === 'simple' ? {} : { 3: '0' }) }
}

test.each(cases)('%s: rows, polarity and enable', (_, line, pin, xor) => {
  const first = line.enable === 'row' ? 1 : 0
  for (let row = 0; row < 8; row++) {
    const enabling = line.enable === 'row' && row > 0
    const states = mapOf(line, { pin, xor, ac1: line.ac1, rows: { ...(enabling ? { 0: [] } : {}), [row]: [2] } })
    const found = probe(
      states,
      [0, 1].map((level) => ({ ...driving(line), 2: String(level), [pin]: '?' })),
    )
    const isTerm = row >= first && row < first + line.terms
    // XOR 1 is active high, XOR 0 active low, in every mode; a row that enables leaves the sum at 0.
    if (isTerm) expect(found, `row ${row}`).toEqual(xor ? ['0', '1'] : ['1', '0'])
    else if (line.enable === 'row') expect(found, `row ${row}`).toEqual(['Z', xor ? '0' : '1'])
    else expect(found, `row ${row}`).toEqual(['Z', 'Z'])
  }
})

test.each(cases)('%s: pin 11 enables registered outputs only', (_, line, pin, xor) => {
  const rows = { ...(line.enable === 'row' ? { 0: [] } : {}), 1: [2] }
  const states = mapOf(line, { pin, xor, ac1: line.ac1, rows })
  const found = probe(
    states,
    ['0', '1', '0'].map((level) => ({ ...driving(line), 2: '1', 11: level, [pin]: '?' })),
  )
  const on = xor ? '1' : '0'
  expect(found).toEqual(
    line.enable === 'pin' ? [on, 'Z', on] : line.enable === 'never' ? ['Z', 'Z', 'Z'] : [on, on, on],
  )
})

/** Another output of the same map that shows the column of `pin`: an active-high copy of it. */
function observer({ mode }: Line, pin: number): Block {
  const at = pin === 19 ? 18 : 19
  return {
    pin: at,
    xor: 1,
    ac1: mode === 'simple' ? 0 : 1,
    rows: mode === 'simple' ? { 0: [pin] } : { 0: [], 1: [pin] },
  }
}

test.each(cases.filter(([, line, pin]) => !line.noFeedback.includes(pin)))('%s: feedback', (_, line, pin, xor) => {
  const watching = observer(line, pin)
  // Enable rows hold pin 3, so that it switches those outputs on (1) and off (0).
  const states = mapOf(line, watching, {
    pin,
    xor,
    ac1: line.ac1,
    rows: { ...(line.enable === 'row' ? { 0: [3] } : {}), 1: [2] },
  })
  for (const data of [0, 1])
    for (const outside of [0, 1])
      for (const on of [true, false]) {
        const conditions = {
          ...driving(line),
          2: String(data),
          3: on ? '1' : '0',
          11: on ? '0' : '1',
          [pin]: String(outside),
          [watching.pin]: '?',
        }
        const driven = xor ? data : 1 - data
        const drives = line.enable === 'always' || (line.enable === 'row' && on)
        // From the register even while the pin is off and something else is applied there; else the pin as it stands.
        const expected = line.feedback === 'register' || drives ? driven : outside
        expect(probe(states, [conditions]), JSON.stringify({ data, outside, on })).toEqual([String(expected)])
      }
})

test.each(LINES.map((line) => [line.mode, line] as const))(
  '%s mode: what the columns carry and what they leave out',
  (_, line) => {
    const decoded = decodeStates(mapOf(line))
    expect(decoded.mode?.name).toBe(line.mode)
    const carried = Array.from(
      { length: 16 },
      (__, pair) => (roleOf(decoded, 2 * pair).input as { readonly pin: number }).pin,
    ).sort((a, b) => a - b)
    // 18 pins without supply; clock and output enable are no inputs of the array in registered mode (p. 5).
    const without = line.mode === 'registered' ? [1, 11] : line.noFeedback
    expect(carried).toEqual(
      Array.from({ length: 19 }, (__, i) => i + 1).filter((pin) => pin !== 10 && !without.includes(pin)),
    )
  },
)

test.each(PINS.flatMap((pin) => [0, 1].map((xor) => [pin, xor as 0 | 1] as const)))(
  'pin %i XOR %i: high after power-up, whatever the XOR',
  (pin, xor) => {
    // Data sheet p. 20: Q low, and the output buffer inverts. Without an assumption on the start it is unknown.
    const states = mapOf(LINES[0]!, { pin, xor, ac1: 0, rows: {} })
    const still = [{ 1: '0', 11: '0', [pin]: '?' }]
    expect(probe(states, still, { registers: 'power-up' })).toEqual(['1'])
    expect(probe(states, still)).toEqual(['X'])
    const { findings } = decodeStates(states)
    expect(findings.findings).toMatchObject([{ code: 'device/power-up', severity: 'note' }])
    // The wording is free, the facts are not: this pin, and high.
    const { message } = findings.findings[0]!
    expect(message.match(/\b(high|low)\b/g)).toEqual(['high'])
    expect(message.match(/\d+/g)).toEqual([String(pin)])
  },
)

test.each([0, 1] as const)('XOR %i: preload gives the level of the pin', (xor) => {
  // Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, p. 7: registers are loaded from the output pins.
  const states = mapOf(LINES[0]!, { pin: 17, xor, ac1: 0, rows: {} }, { pin: 13, xor, ac1: 0, rows: {} })
  const vectors = [
    { 1: 'P', 11: '1', 17: '1', 13: '0' },
    { 1: '0', 11: '0', 17: '?', 13: '?' },
    { 1: 'P', 11: '1', 17: '0', 13: '1' },
    { 1: '0', 11: '0', 17: '?', 13: '?' },
  ]
  // Read in the order of pins: 13, then 17.
  expect(probe(states, vectors)).toEqual(['', '01', '', '10'])
})

test('SYN, AC0 = 0, 0 is no mode: an error and no logic', () => {
  const states = mapOf({ syn: 0, ac0: 0, mode: 'simple' }, { pin: 19, xor: 1, ac1: 0, rows: { 0: [2] } })
  const decoded = decodeStates(states)
  expect(decoded).toMatchObject({ mode: null, logic: null, cells: [] })
  expect(decoded.findings.findings).toMatchObject([{ code: 'device/no-mode', severity: 'error', fuse: SYN }])
  // The roles of fuses stay known, but not the pins that the columns carry.
  expect(roleOf(decoded, 4)).toMatchObject({ role: 'and', pin: 19, row: 0, column: 4, input: null })
  const report = verify(writeFuseFile({ fuses: fuseMapFrom(states.join('')) }), { device: '16V8' })
  expect(report).toMatchObject({ verdict: 'fail', device: { part: '16V8', mode: null } })
})

const COMPLEX = LINES[2]!
const findingsOf = (states: Uint8Array): unknown[] =>
  decodeStates(states).findings.findings.map(({ code, severity, pin }) => [code, severity, pin])

test.each(PINS)('complex mode, pin %i with AC1 0, unused: a note', (pin) => {
  expect(findingsOf(mapOf(COMPLEX, { pin, xor: 0, ac1: 0, rows: {} }))).toEqual([['device/unused-cell', 'note', pin]])
})

test.each(PINS)('complex mode, pin %i with AC1 0 and a live row: a warning, and its level is unknown', (pin) => {
  const states = mapOf(COMPLEX, { pin, xor: 0, ac1: 0, rows: { 0: [], 3: [2] } })
  expect(findingsOf(states)).toEqual([['device/undefined-cell', 'warning', pin]])
  expect(
    probe(states, [
      { 2: '1', [pin]: '?' },
      { 2: '0', [pin]: '?' },
    ]),
  ).toEqual(['X', 'X'])
})

test.each(PINS.filter((pin) => !COMPLEX.noFeedback.includes(pin)))(
  'complex mode, pin %i with AC1 0 and read by a term: a warning',
  (pin) => {
    const states = mapOf(COMPLEX, { pin, xor: 0, ac1: 0, rows: {} }, observer(COMPLEX, pin))
    expect(findingsOf(states)).toEqual([['device/undefined-cell', 'warning', pin]])
  },
)

test.each([16, 15])(
  'simple mode, pin %i has no feedback: as an output it is on, as an input it reaches nothing',
  (pin) => {
    const on = mapOf(LINES[3]!, { pin, xor: 1, ac1: 0, rows: {} })
    expect(probe(on, [{ [pin]: '?' }])).toEqual(['0'])
    expect(findingsOf(on)).toEqual([])
    // "Not allowed" (p. 8): taken as an input without a column, and told of.
    expect(findingsOf(mapOf(LINES[4]!, { pin, xor: 1, ac1: 1, rows: {} }))).toEqual([
      ['device/dead-cell', 'note', pin],
    ])
  },
)

test('a live term on a disabled row takes no part, and is told of', () => {
  const states = mapOf(COMPLEX, { pin: 18, xor: 1, ac1: 1, rows: { 0: [], 1: [2], 2: [3] } })
  const vectors = [
    { 2: '0', 3: '0', 18: '?' },
    { 2: '1', 3: '0', 18: '?' },
    { 2: '0', 3: '1', 18: '?' },
  ]
  expect(probe(states, vectors)).toEqual(['0', '1', '1'])
  const fuse = disableFuse(
    tableOf({ part: '16V8', mode: 'complex' }),
    firstFuseOf(tableOf({ part: '16V8', mode: 'complex' }), 18, 2),
  )
  // Row 2 of the second block: 8 + 2, its disable fuse 2128 + 10.
  expect(fuse).toBe(2138)
  states[fuse] = 0
  expect(probe(states, vectors)).toEqual(['0', '1', '0'])
  const { disabledRows, findings } = decodeStates(states)
  expect(disabledRows).toEqual([{ row: 10, live: true }])
  expect(findings.findings).toMatchObject([{ code: 'device/disabled-term', severity: 'warning', fuse: 2138 }])
})

test('a live term on a disabled row of an output is told of beside cells without outputs before and behind it', () => {
  // Simple mode (16v8_04, p. 8): AC1 = 1 makes an input. Row 2 of pin 17, the third block from pin 19 on, is row 18.
  const simple = LINES.find(({ mode }) => mode === 'simple')!
  const inputs = [19, 12].map((pin) => ({ pin, xor: 1, ac1: 1, rows: {} }) as const)
  const states = mapOf(simple, ...inputs, { pin: 17, xor: 1, ac1: 0, rows: { 1: [2], 2: [3] } })
  for (const row of [18, 2, 58]) states[2128 + row] = 0
  // Rows 2 and 58 are those of the two inputs: a live term there does nothing in any case.
  const table = tableOf({ part: '16V8', mode: 'simple' })
  for (const row of [2, 58]) writeTerm(states, table, { firstFuse: 32 * row, term: [4] })
  const told = decodeStates(states).findings.findings.filter(({ code }) => code === 'device/disabled-term')
  expect(told.map(({ fuse, data }) => [fuse, (data as { readonly count: number }).count])).toEqual([[2128 + 18, 1]])
})

test('a disabled enable row switches its output off', () => {
  // No data sheet says so; it is the reading that drives nothing, and the part's data mark it as inferred.
  const states = mapOf(COMPLEX, { pin: 18, xor: 1, ac1: 1, rows: { 0: [], 1: [2] } })
  states[2128 + 8] = 0
  expect(probe(states, [{ 2: '1', 18: '?' }])).toEqual(['Z'])
  expect(decodeStates(states).device.sources.join('\n')).toMatch(
    /inferred: .*disabled enable row switches the output off/,
  )
})

test('the signature reads from byte 7 down, each byte most significant bit first', () => {
  // Logic diagrams p. 5, 7, 9: fuses 2056 to 2063 are byte 7, 2112 to 2119 byte 0.
  for (let bit = 0; bit < 64; bit++) {
    const states = mapOf(COMPLEX)
    states[2056 + bit] = 1
    const expected = Array.from({ length: 8 }, (_, i) => (i === Math.floor(bit / 8) ? 2 ** (7 - (bit % 8)) : 0))
    expect([...decodeStates(states).signature!], `fuse ${2056 + bit}`).toEqual(expected)
  }
  const text = encode({
    part: '16V8',
    mode: 'simple',
    outputs: [],
    signature: [...'BYTE7..0'].map((letter) => letter.charCodeAt(0)),
  })
  expect(verify(writeFuseFile({ fuses: fuseMapFrom(text.join('')) }), { device: '16V8' }).signature).toEqual({
    bytes: '42 59 54 45 37 2E 2E 30',
    text: 'BYTE7..0',
  })
})
