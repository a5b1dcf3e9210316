/**
 * Every single fuse of a representative map, flipped: what `decode` yields must change, or the fuse is one of those
 * whose state cannot matter, for a reason counted out here from the map's layout.
 *
 * "What decode yields" leaves out terms that are constant 0, since a sum without them is the same sum: a row all of
 * whose fuses are connected stays constant 0 when one of them is blown, for the other pairs still contradict
 * themselves (Vantis/Lattice PALCE20V8 data sheet, 16491 rev. E, p. 2).
 */
import { expect, test } from 'vitest'
import { findDevice } from '../../src/index'
import { roleOf, type Decoded, type Expression, type Register, type Role } from '../../src/logic'
import { disableFuse, encode, firstFuseOf, tableOf, TABLES, writeTerm, type PartTable } from './encoder'
import { decodeStates } from './probe'
import { REPRESENTATIVES, type Representative } from './representatives'
import { sampleSize } from '../sample-size'

/** One in so many of the array's fuses. No width of a row is a multiple of three: all columns come up. */
const STRIDE = sampleSize(5, 1)

const each = REPRESENTATIVES.map((one) => [one.name, one] as const)

/** The map of a representative, as long as the longest that the part takes. */
function statesOf({ design, disabled, undefinedPins, stray }: Representative): Uint8Array {
  const table = tableOf(design)
  const states = new Uint8Array(findDevice(design.part)!.fuseCount)
  states.set(encode(design))
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
  return (
    expression && {
      inverted: expression.inverted,
      sums: expression.sums.map((sum) => sum.filter(({ literals }) => !isConstantZero(literals))),
    }
  )
}

function registerWithoutConstants(register: Register): unknown {
  const { data, clock, reset, preset, clockedPreset, load, ...rest } = register
  return { ...rest, expressions: [data, clock, reset, preset, clockedPreset, load].map(withoutConstants) }
}

/** All that a map says, as one comparable text. */
function yieldOf({ mode, cells, logic, signature, disabledRows }: Decoded): string {
  const outputs = logic?.cells.map(({ pin, defined, enable, value, register }) => ({
    pin,
    defined,
    enable: withoutConstants(enable),
    value: withoutConstants(value),
    register: register && registerWithoutConstants(register),
  }))
  const settings = cells.map(({ cell, select, polarity, setting }) => [cell.pin, select, polarity, setting.output])
  return JSON.stringify({
    mode: mode?.name,
    settings,
    signals: logic?.signals,
    outputs,
    signature: signature && [...signature],
    disabledRows,
  })
}

/** Flips the given fuses one after the other and gives those after which `decode` yields the same as before. */
function idleAmong(part: string, states: Uint8Array, fuses: readonly number[]): number[] {
  const original = yieldOf(decodeStates(states, part))
  return fuses.filter((fuse) => {
    const flipped = states.slice()
    flipped[fuse]! ^= 1
    return yieldOf(decodeStates(flipped, part)) === original
  })
}

function rowOf(states: Uint8Array, table: PartTable, firstFuse: number): Uint8Array {
  return states.subarray(firstFuse, firstFuse + table.width)
}

/**
 * Every row of the array: of the outputs (row counted from the first of its block), and those of all registers (pin
 * null).
 */
function rowsOf({
  cells,
  width,
  resetFuse,
  presetFuse,
}: PartTable): { readonly pin: number | null; readonly row: number; readonly firstFuse: number }[] {
  const shared = [resetFuse, presetFuse]
    .filter((fuse) => fuse !== undefined)
    .map((firstFuse) => ({ pin: null, row: 0, firstFuse }))
  const own = cells.flatMap(({ pin, rows, firstFuse }) =>
    Array.from({ length: rows }, (_, row) => ({ pin, row, firstFuse: firstFuse + row * width })),
  )
  return [...own, ...shared].sort((a, b) => a.firstFuse - b.firstFuse)
}

/** The same set from the layout of the map: the test's own tables and the reasons given above, without decoding. */
function expectedIdleFuses(one: Representative, states: Uint8Array): number[] {
  const table = tableOf(one.design)
  const idle: number[] = []
  for (const { pin, row, firstFuse } of rowsOf(table)) {
    const fuses = Array.from({ length: table.width }, (_, i) => firstFuse + i)
    const at = (other: { readonly pin: number; readonly row: number }): boolean =>
      other.pin === pin && other.row === row
    // Reason 1: all connected, and constant 0 whichever of its fuses is blown.
    if (rowOf(states, table, firstFuse).every((state) => state === 0)) idle.push(...fuses)
    // Reason 2: out of service; only becoming constant 0 shows, by the other column of a pair in use.
    else if (one.disabled.some(at)) idle.push(...fuses.filter((fuse) => states[fuse] === 0 || states[fuse ^ 1] === 1))
    // Reason 3: rows of a cell that is no output take part in nothing (an undefined cell is told of as such).
    else if (one.stray.some(at)) idle.push(...fuses)
  }
  // Reason 4: no sheet says what the fuse of a power-down pin does (ATF22V10C data sheet, 0735U, table 10-1).
  if (one.roles['power-down']) idle.push(states.length - 1)
  return idle
}

test.each(each)('%s: a single fuse changes what decode yields, or is one that cannot matter', (_, one) => {
  const states = statesOf(one)
  const idle = expectedIdleFuses(one, states)
  expect(idle).toHaveLength(one.idle)
  const arrayFuses = rowsOf(tableOf(one.design)).length * tableOf(one.design).width
  const isFlipped = (fuse: number): boolean => {
    if (idle.includes(fuse)) return fuse % (one.sampled ? 7 : STRIDE) === 0
    return fuse >= arrayFuses || fuse % STRIDE === 0
  }
  const flipped = [...states.keys()].filter(isFlipped)
  expect(idleAmong(one.design.part, states, flipped)).toEqual(idle.filter((fuse) => flipped.includes(fuse)))
  // The tail never hides anything: each of its fuses is told of, also where no logic hangs on it (a disable fuse of a
  // constant row appears in the list of disabled rows, a polarity fuse of an input in its cell).
  expect(idle.filter((fuse) => fuse >= arrayFuses)).toEqual(one.roles['power-down'] ? [states.length - 1] : [])
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
  const live = decoded.logic!.cells.flatMap(({ enable, value, register }) =>
    [
      enable,
      value,
      ...(register ? [register.data, register.clock, register.reset, register.preset, register.clockedPreset] : []),
    ]
      .flatMap((expression) => expression?.sums.flat() ?? [])
      .filter(({ origin, literals }) => origin >= 0 && !isConstantZero(literals)),
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
  for (const { pin, firstFuse } of rowsOf(table))
    for (let column = 0; column < table.width; column++) {
      const input = { pin: table.columns[Math.floor(column / 2)], complement: column % 2 === 1 }
      const expected = { pin, row: firstFuse / table.width, column, input }
      const found = roleOf(decoded, firstFuse + column)
      if (
        found.pin !== pin ||
        found.row !== expected.row ||
        found.column !== column ||
        (found.input as { pin: number } | null)?.pin !== input.pin ||
        found.input?.complement !== input.complement
      )
        expect(found, `fuse ${firstFuse + column}`).toMatchObject(expected)
    }
  const first = rowsOf(table)[0]!
  expect(roleOf(decoded, 0)).toMatchObject({
    pin: first.pin,
    row: 0,
    column: 0,
    input: { pin: table.columns[0]!, complement: false },
  })
})

/** Role that a row of an output has by the test's own table. */
function roleByTable(table: PartTable, kind: keyof PartTable['kinds'], row: number): Role {
  const { enable, clockRow, resetRow, presetRow } = table.kinds[kind]!
  const enables = enable === 'row' || (typeof enable === 'object' && 'rowAndLowPin' in enable)
  return enables && row === 0
    ? 'output-enable'
    : row === clockRow
      ? 'clock'
      : row === resetRow
        ? 'reset'
        : row === presetRow
          ? 'preset'
          : 'and'
}

test.each(TABLES.map((table) => [`${table.part} ${table.mode ?? ''}`.trim(), table] as const))(
  '%s: the rows of an empty map have the roles of the table',
  (_, table) => {
    const decoded = decodeStates(encode({ part: table.part, mode: table.mode, outputs: [] }), table.part)
    const found = rowsOf(table).map(({ pin, firstFuse }) => ({
      pin,
      role: roleOf(decoded, firstFuse).role,
      last: roleOf(decoded, firstFuse + table.width - 1).role,
    }))
    const expected = rowsOf(table).map(({ pin, row, firstFuse }) => {
      const role =
        pin === null
          ? firstFuse === table.resetFuse
            ? 'reset'
            : 'preset'
          : roleByTable(table, table.cells.find((cell) => cell.pin === pin)!.only ?? table.unusedKind, row)
      return { pin, role, last: role }
    })
    expect(found).toEqual(expected)
    const tail = table.cells.flatMap(({ pin, polarityFuse, selectFuse }) => [
      ...(polarityFuse === undefined ? [] : [{ pin, fuse: polarityFuse, role: 'polarity' }]),
      ...(selectFuse === undefined ? [] : [{ pin, fuse: selectFuse, role: 'configuration' }]),
    ])
    expect(
      tail.map(({ fuse }) => ({ fuse, pin: roleOf(decoded, fuse).pin, role: roleOf(decoded, fuse).role })),
    ).toEqual(tail.map(({ fuse, pin, role }) => ({ fuse, pin, role })))
  },
)

test('the tail fuses of a 16V8 belong to the outputs that the data sheet draws them at', () => {
  const one = REPRESENTATIVES[0]!
  const decoded = decodeStates(statesOf(one))
  for (const { pin, polarityFuse, selectFuse, firstFuse, rows } of tableOf(one.design).cells) {
    expect(roleOf(decoded, polarityFuse!)).toEqual({
      role: 'polarity',
      block: 'XOR',
      pin,
      row: null,
      column: null,
      input: null,
    })
    expect(roleOf(decoded, selectFuse!)).toEqual({
      role: 'configuration',
      block: 'AC1',
      pin,
      row: null,
      column: null,
      input: null,
    })
    for (let row = 0; row < rows; row++)
      expect(roleOf(decoded, disableFuse(tableOf(one.design), firstFuse + 32 * row))).toEqual({
        role: 'term-disable',
        block: 'PTD',
        pin,
        row: firstFuse / 32 + row,
        column: null,
        input: null,
      })
  }
  // Signature, SYN and AC0 belong to the whole part.
  for (const fuse of [2056, 2119, 2192, 2193]) expect(roleOf(decoded, fuse).pin).toBeNull()
})
