/**
 * Every single fuse of a representative map, flipped: what `decode` yields must change, or the fuse is one of those
 * whose state cannot matter, for a reason counted out here from the map's layout.
 *
 * "What decode yields" leaves out terms that are constant 0, since a sum without them is the same sum: a row all of
 * whose fuses are connected stays constant 0 when one of them is blown, for the other pairs still contradict
 * themselves (Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, p. 2).
 */
import { expect, test } from 'vitest'
import { roleOf, type Decoded, type Expression, type Role } from '../../src/index'
import type { Design } from './design'
import { disableFuse, encode, firstFuseOf, tableOf, writeTerm, type PartTable } from './encoder'
import { decodeStates } from './probe'

/** A design with what its map leaves unused. */
interface Representative {
  readonly name: string
  readonly design: Design
  /** Rows (output pin, row from 0) that hold a live term of so many literals and are taken out by their disable fuse. */
  readonly disabled: readonly { readonly pin: number; readonly row: number; readonly literals: number }[]
  /** Pins whose cell is set to AC1 0 in complex mode, which the data sheet does not define. */
  readonly undefinedPins: readonly number[]
  /** Live terms in rows of cells that are no outputs. */
  readonly stray: readonly { readonly pin: number; readonly row: number; readonly term: readonly number[] }[]
  /** Live terms and enables that take part. */
  readonly liveRows: number
  readonly roles: Readonly<Partial<Record<Role, number>>>
  /** Fuses whose state does not matter, counted. */
  readonly idle: number
}

const SIGNATURE = [0x46, 0x55, 0x53, 0x45, 0x2d, 0x31, 0x36, 0x37]

const REPRESENTATIVES: readonly Representative[] = [
  {
    name: '16V8 registered',
    design: {
      part: '16V8',
      mode: 'registered',
      clockPin: 1,
      signature: SIGNATURE,
      disableUnusedRows: true,
      outputs: [
        { pin: 19, kind: 'registered', activeHigh: true, enable: { lowPin: 11 }, terms: [[-19, 2], [19, -2, 3]] },
        { pin: 18, kind: 'registered', activeHigh: false, enable: { lowPin: 11 }, terms: Array.from({ length: 8 }, (_, i) => [2 + i, -19]) },
        { pin: 12, kind: 'combinational', activeHigh: true, enable: { term: [9, -18] }, terms: [[13], [-4, 5, 6]] },
        { pin: 13, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[2], [-3]] },
      ],
    },
    disabled: [],
    undefinedPins: [],
    stray: [],
    // Terms 2 + 8 + 2 + 2, enable rows of pins 12 and 13.
    liveRows: 16,
    // Combinational cells, and so enable rows, are 13 and 12 and the four that the design leaves out: 6 rows of 32.
    // Terms: 64 − 6 rows. Tail: 8 XOR, 8 AC1 with SYN and AC0, 64 PTD, 64 signature. In all 2194.
    roles: { and: 58 * 32, 'output-enable': 6 * 32, polarity: 8, configuration: 10, 'term-disable': 64, signature: 64 },
    // 64 − 16 rows constant 0, 32 fuses each.
    idle: 48 * 32,
  },
  {
    name: '16V8 complex',
    design: {
      part: '16V8',
      mode: 'complex',
      signature: SIGNATURE,
      outputs: [
        { pin: 19, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[1, -11], [18], [2, 3, 4]] },
        { pin: 18, kind: 'combinational', activeHigh: true, enable: { term: [5] }, terms: [[6, 7], [-8]] },
        { pin: 15, kind: 'combinational', activeHigh: true, enable: 'never', terms: [] },
      ],
    },
    // The row [2, 3, 4] of pin 19: its enable is row 0, so the third term is row 3.
    disabled: [{ pin: 19, row: 3, literals: 3 }],
    undefinedPins: [12],
    stray: [{ pin: 12, row: 4, term: [2, -9] }],
    // Enables of 19 and 18, terms 2 (the third is disabled) + 2.
    liveRows: 6,
    // Enable rows of the seven defined cells. The first row of the cell of pin 12 enables nothing: a term.
    roles: { and: 57 * 32, 'output-enable': 7 * 32, polarity: 8, configuration: 10, 'term-disable': 64, signature: 64 },
    // 64 − 6 rows; but the disabled row is told of as live as long as it is not constant 0, which it becomes by the
    // complement of any of its three literals.
    idle: 58 * 32 - 3,
  },
  {
    name: '16V8 simple',
    design: {
      part: '16V8',
      mode: 'simple',
      signature: SIGNATURE,
      disableUnusedRows: true,
      outputs: [
        { pin: 16, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[2, 3], [-4, 19]] },
        { pin: 15, kind: 'combinational', activeHigh: false, enable: 'always', terms: [[-12, 11]] },
        { pin: 14, kind: 'combinational', activeHigh: true, enable: 'always', terms: Array.from({ length: 8 }, (_, i) => [2 + i, -1]) },
        { pin: 17, kind: 'combinational', activeHigh: true, enable: 'always', terms: [[5, 6], [7]] },
      ],
    },
    disabled: [{ pin: 17, row: 1, literals: 1 }],
    undefinedPins: [],
    stray: [{ pin: 13, row: 0, term: [6] }],
    // Terms 2 + 1 + 8 + 1: the second term of pin 17 is disabled.
    liveRows: 12,
    // No enable rows: all 64 rows are terms.
    roles: { and: 64 * 32, polarity: 8, configuration: 10, 'term-disable': 64, signature: 64 },
    idle: 52 * 32 - 1,
  },
  ...(['14L4', '14H4'] as const).map(
    (part): Representative => ({
      name: part,
      design: {
        part,
        mode: null,
        outputs: [
          { pin: 17, kind: 'combinational', activeHigh: part === '14H4', enable: 'always', terms: [[2, -1], [3], [19, 18, -11], [13]] },
          { pin: 15, kind: 'combinational', activeHigh: part === '14H4', enable: 'always', terms: [[-12, -9]] },
        ],
      },
      disabled: [],
      undefinedPins: [],
      stray: [],
      // Terms 4 + 1.
      liveRows: 5,
      roles: { and: 16 * 28 },
      idle: 11 * 28,
    }),
  ),
]

const each = REPRESENTATIVES.map((one) => [one.name, one] as const)

function statesOf({ design, disabled, undefinedPins, stray }: Representative): Uint8Array {
  const table = tableOf(design)
  const states = encode(design)
  for (const { pin, row } of disabled) states[disableFuse(table, firstFuseOf(table, pin, row))] = 0
  for (const pin of undefinedPins) states[table.cells.find((cell) => cell.pin === pin)!.selectFuse!] = 0
  for (const { pin, row, term } of stray) {
    const firstFuse = firstFuseOf(table, pin, row)
    writeTerm(states, table, { firstFuse, term })
    states[disableFuse(table, firstFuse)] = 1
  }
  return states
}

/** Written out here, not taken from the library: some signal stands beside its own complement. */
function isConstantZero(literals: readonly number[]): boolean {
  return literals.some((literal) => literals.includes(literal % 2 === 0 ? literal + 1 : literal - 1))
}

function withoutConstants(expression: Expression | null): unknown {
  return expression && { inverted: expression.inverted, sums: expression.sums.map((sum) => sum.filter(({ literals }) => !isConstantZero(literals))) }
}

/** All that a map says, as one comparable text. */
function yieldOf({ mode, cells, logic, signature, disabledRows }: Decoded): string {
  const outputs = logic?.outputs.map(({ pin, defined, enable, value, register }) => ({
    pin,
    defined,
    enable: withoutConstants(enable),
    value: withoutConstants(value),
    register: register && { ...register, data: withoutConstants(register.data), clock: withoutConstants(register.clock) },
  }))
  const settings = cells.map(({ cell, select, polarity, setting }) => [cell.pin, select, polarity, setting.output])
  return JSON.stringify({ mode: mode?.name, settings, signals: logic?.signals, outputs, signature: signature && [...signature], disabledRows })
}

/** Flips one fuse after the other and gives those after which `decode` yields the same as before. */
function idleFuses(part: string, states: Uint8Array): number[] {
  const original = yieldOf(decodeStates(states, part))
  return [...states.keys()].filter((fuse) => {
    const flipped = states.slice()
    flipped[fuse]! ^= 1
    return yieldOf(decodeStates(flipped, part)) === original
  })
}

function rowOf(states: Uint8Array, table: PartTable, firstFuse: number): Uint8Array {
  return states.subarray(firstFuse, firstFuse + table.width)
}

/** The same set from the layout of the map: the test's own tables and the reasons given above, without decoding. */
function expectedIdleFuses(one: Representative, states: Uint8Array): number[] {
  const table = tableOf(one.design)
  const idle: number[] = []
  for (const { pin, rows } of table.cells)
    for (let row = 0; row < rows; row++) {
      const firstFuse = firstFuseOf(table, pin, row)
      const fuses = Array.from({ length: table.width }, (_, i) => firstFuse + i)
      const at = (other: { readonly pin: number; readonly row: number }): boolean => other.pin === pin && other.row === row
      // Reason 1: all connected, and constant 0 whichever of its fuses is blown.
      if (rowOf(states, table, firstFuse).every((state) => state === 0)) idle.push(...fuses)
      // Reason 2: out of service; only becoming constant 0 shows, by the other column of a pair in use.
      else if (one.disabled.some(at)) idle.push(...fuses.filter((fuse) => states[fuse] === 0 || states[fuse ^ 1] === 1))
      // Reason 3: rows of a cell that is no output take part in nothing (an undefined cell is told of as such).
      else if (one.stray.some(at)) idle.push(...fuses)
    }
  return idle
}

test.each(each)('%s: a single fuse changes what decode yields, or is one that cannot matter', (_, one) => {
  const states = statesOf(one)
  const idle = idleFuses(one.design.part, states)
  expect(idle).toEqual(expectedIdleFuses(one, states))
  expect(idle).toHaveLength(one.idle)
  // The tail never hides anything: each of its fuses is told of, also where no logic hangs on it (a disable fuse of a
  // constant row appears in the list of disabled rows, a polarity fuse of an input in its cell).
  expect(Math.max(...idle)).toBeLessThan(tableOf(one.design).cells.length * tableOf(one.design).cells[0]!.rows * tableOf(one.design).width)
})

test('a disable fuse of a row that is constant 0 changes the list of disabled rows and no logic', () => {
  const one = REPRESENTATIVES[1]!
  const table = tableOf(one.design)
  const states = statesOf(one)
  const firstFuse = firstFuseOf(table, 17, 5)
  const before = decodeStates(states)
  states[disableFuse(table, firstFuse)] = 0
  const after = decodeStates(states)
  expect(after.disabledRows).toContainEqual({ row: firstFuse / table.width, live: false })
  expect(after.disabledRows).toHaveLength(before.disabledRows.length + 1)
  expect(yieldOf({ ...after, disabledRows: before.disabledRows })).toBe(yieldOf(before))
})

test.each(each)('%s: the rows that decode yields are the live ones', (_, one) => {
  const decoded = decodeStates(statesOf(one), one.design.part)
  const live = decoded.logic!.outputs.flatMap(({ enable, value, register }) =>
    [enable, value, register?.data ?? null].flatMap((expression) => expression?.sums.flat() ?? []).filter(({ origin, literals }) => origin >= 0 && !isConstantZero(literals)),
  )
  expect(new Set(live.map(({ origin }) => origin)).size).toBe(one.liveRows)
  const rows = decoded.disabledRows.filter((row) => row.live).map(({ row }) => row)
  const table = tableOf(one.design)
  expect(rows).toEqual(one.disabled.map(({ pin, row }) => firstFuseOf(table, pin, row) / table.width))
})

test.each(each)('%s: each fuse has one role, and the roles are as many as the arithmetic says', (_, one) => {
  const states = statesOf(one)
  const decoded = decodeStates(states, one.design.part)
  const counts: Partial<Record<Role, number>> = {}
  for (const fuse of states.keys()) {
    const { role } = roleOf(decoded, fuse)
    counts[role] = (counts[role] ?? 0) + 1
  }
  expect(counts).toEqual(one.roles)
  expect(Object.values(counts).reduce((sum, count) => sum + count, 0)).toBe(states.length)
  expect(() => roleOf(decoded, states.length)).toThrow(RangeError)
  expect(() => roleOf(decoded, -1)).toThrow(RangeError)
})

test.each(each)('%s: a fuse of the array is told by its output, row, column and input', (_, one) => {
  const table = tableOf(one.design)
  const decoded = decodeStates(statesOf(one), one.design.part)
  for (const { pin, rows } of table.cells)
    for (let row = 0; row < rows; row++)
      for (let column = 0; column < table.width; column++) {
        const firstFuse = firstFuseOf(table, pin, row)
        const input = { pin: table.columns[Math.floor(column / 2)], complement: column % 2 === 1 }
        const expected = { pin, row: firstFuse / table.width, column, input }
        const found = roleOf(decoded, firstFuse + column)
        if (found.pin !== pin || found.row !== expected.row || found.column !== column || found.input?.pin !== input.pin || found.input?.complement !== input.complement)
          expect(found, `fuse ${firstFuse + column}`).toMatchObject(expected)
      }
  expect(roleOf(decoded, 0)).toMatchObject({ pin: table.cells[0]!.pin, row: 0, column: 0, input: { pin: 2, complement: false } })
})

test('the tail fuses of a 16V8 belong to the outputs that the data sheet draws them at', () => {
  const one = REPRESENTATIVES[0]!
  const decoded = decodeStates(statesOf(one))
  for (const { pin, polarityFuse, selectFuse, firstFuse, rows } of tableOf(one.design).cells) {
    expect(roleOf(decoded, polarityFuse!)).toEqual({ role: 'polarity', block: 'XOR', pin, row: null, column: null, input: null })
    expect(roleOf(decoded, selectFuse!)).toEqual({ role: 'configuration', block: 'AC1', pin, row: null, column: null, input: null })
    for (let row = 0; row < rows; row++)
      expect(roleOf(decoded, disableFuse(tableOf(one.design), firstFuse + 32 * row))).toEqual({ role: 'term-disable', block: 'PTD', pin, row: firstFuse / 32 + row, column: null, input: null })
  }
  // Signature, SYN and AC0 belong to the whole part.
  for (const fuse of [2056, 2119, 2192, 2193]) expect(roleOf(decoded, fuse).pin).toBeNull()
})
