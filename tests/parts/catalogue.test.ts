/** What must hold for the data of every part, and how parts are found by name. */
import { expect, test } from 'vitest'
import { findDevice, listDevices, type Device, type FuseBlock } from '../../src/index'

const parts = listDevices().map((device) => [device.part, device] as const)

function range(first: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => first + i)
}

/** Some blocks take every second fuse, so that two of them interlock. */
function fusesOf({ first, count, step }: FuseBlock): number[] {
  return range(0, count).map((index) => first + index * (step ?? 1))
}

function ascending(numbers: readonly number[]): number[] {
  return [...numbers].sort((a, b) => a - b)
}

function isPin({ pinCount, groundPin, powerPin }: Device, pin: number): boolean {
  return Number.isInteger(pin) && pin >= 1 && pin <= pinCount && pin !== groundPin && pin !== powerPin
}

test('part names occur once, aliases too', () => {
  const names = listDevices().flatMap(({ part, aliases }) => [part, ...aliases])
  expect(new Set(names).size).toBe(names.length)
  expect(names.filter((name) => name !== name.toUpperCase())).toEqual([])
})

test.each(parts)('%s: every fuse lies in exactly one block, and blocks ascend', (_, { blocks, fuseCount, array, shorterCounts }) => {
  // All fuses of all blocks, in order, must give 0, 1, 2 … fuseCount − 1: none is missing and none occurs twice.
  expect(ascending(blocks.flatMap(fusesOf))).toEqual(range(0, fuseCount))
  expect(blocks.map(({ first }) => first)).toEqual(ascending(blocks.map(({ first }) => first)))
  // A shorter map of the same part ends between two blocks.
  for (const count of shorterCounts ?? []) expect(blocks.filter((block) => fusesOf(block).some((fuse) => fuse >= count) && fusesOf(block).some((fuse) => fuse < count))).toEqual([])
  const arrays = blocks.filter(({ use }) => use === 'array')
  expect(arrays.map(({ count }) => count)).toEqual([array.rows * array.columns])
})

test.each(parts)('%s: each use has one block, as long as what it holds one fuse for', (_, { blocks, cells, array, modes }) => {
  expect(new Set(blocks.map(({ use }) => use)).size).toBe(blocks.length)
  const counts = new Map(blocks.map(({ use, count }) => [use, count]))
  expect([cells.length, undefined]).toContain(counts.get('polarity'))
  expect([cells.length, undefined]).toContain(counts.get('cell-select'))
  expect([array.rows, undefined]).toContain(counts.get('term-disable'))
  expect((counts.get('signature') ?? 0) % 8).toBe(0)
  for (const { select, settings } of modes) {
    expect(select).toHaveLength(counts.get('mode-select') ?? 0)
    expect(settings).toHaveLength(counts.has('cell-select') ? 2 : 1)
  }
  for (const { names, count } of blocks) if (names) expect(names).toHaveLength(count)
})

test.each(parts)('%s: pins of cells and columns exist and carry no supply', (_, device) => {
  const { cells, modes, groundPin, powerPin, pinCount } = device
  expect([groundPin, powerPin].every((pin) => pin >= 1 && pin <= pinCount)).toBe(true)
  expect(new Set(cells.map(({ pin }) => pin)).size).toBe(cells.length)
  expect(cells.filter(({ pin }) => !isPin(device, pin))).toEqual([])
  for (const { columns, settings } of modes) {
    expect(2 * columns.length).toBe(device.array.columns)
    expect(new Set(columns).size).toBe(columns.length)
    expect(columns.filter((pin) => !isPin(device, pin))).toEqual([])
    const named = settings.flatMap(({ enable, clock, loadPin }) => [typeof enable === 'object' ? enable.lowPin : undefined, clock && 'pin' in clock ? clock.pin : undefined, loadPin])
    expect(named.filter((pin) => pin !== undefined && !isPin(device, pin))).toEqual([])
  }
})

test.each(parts)('%s: rows of cells are disjoint and, with those that act on all registers, cover the array', (_, { cells, sharedRows, array }) => {
  const shared = sharedRows ? [sharedRows.reset, sharedRows.clockedPreset] : []
  expect(ascending([...cells.flatMap(({ firstRow, rowCount }) => range(firstRow, rowCount)), ...shared])).toEqual(range(0, array.rows))
})

test.each(parts)('%s: a row of a cell has one use in every setting', (_, { cells, modes }) => {
  const least = Math.min(...cells.map(({ rowCount }) => rowCount))
  for (const { sums, enable, clock, resetRow, presetRow } of modes.flatMap(({ settings }) => settings)) {
    const single = [typeof enable === 'object' ? enable.row : undefined, clock && 'row' in clock ? clock.row : undefined, resetRow, presetRow]
    const used = [...sums.flatMap(({ from, count }) => range(from, count)), ...single.filter((row) => row !== undefined)]
    expect(new Set(used).size).toBe(used.length)
    expect(Math.max(...used, 0)).toBeLessThan(least)
  }
})

test.each(parts)('%s: modes differ in their fuses and a registered setting says what clocks it', (_, { modes }) => {
  expect(new Set(modes.map(({ select }) => select.join(''))).size).toBe(modes.length)
  for (const { output, clock, powerUp } of modes.flatMap(({ settings }) => settings)) {
    expect(clock !== undefined).toBe(output === 'registered')
    if (output !== 'registered') expect(powerUp).toBeUndefined()
  }
})

test.each(parts)('%s: says where its data come from', (_, { basis, sources }) => {
  expect(['published', 'inferred', 'memory']).toContain(basis)
  expect(sources.length).toBeGreaterThan(0)
  // What is inferred or from memory must say so in a source line.
  if (basis !== 'published') expect(sources.join('\n')).toMatch(new RegExp(basis))
})

test.each([
  // Part numbers as they are printed on chips: maker's prefix, then speed, power and package behind.
  ['16V8', '16V8'],
  ['gal16v8', '16V8'],
  ['GAL16V8D-15LP', '16V8'],
  ['GAL16V8C', '16V8'],
  ['atf16v8b', '16V8'],
  ['ATF16V8BQL-15PU', '16V8'],
  ['palce16v8h-25', '16V8'],
  [' 16v8 ', '16V8'],
  ['PAL14L4', '14L4'],
  ['pal14l4', '14L4'],
  ['PAL14L4CN', '14L4'],
  ['14H4', '14H4'],
  ['PAL14H4', '14H4'],
])('%s is a %s', (name, part) => {
  expect(findDevice(name)?.part).toBe(part)
})

test.each(['', '16V', '16V80', '6V8', 'V8', '16V8 15', 'GAL', 'GAL16', 'XGAL16V8', '14L', '14L44', '14L4ABCD', '-15', 'PAL16V8X4'])(
  '“%s” is the name of no part',
  (name) => {
    expect(findDevice(name)).toBeNull()
  },
)

test('parts of similar names are not taken for each other', () => {
  // 20V8, 22V10 and others come and go with the catalogue: whatever it holds, a name finds that part or none.
  for (const name of ['20V8', '22V10', '16L8', '16R8', '20L8', '12L6', '10L8', '16L2', '18V10', '26CV12'])
    expect([null, name]).toContain(findDevice(name)?.part ?? null)
  for (const { part, aliases } of listDevices()) for (const name of [part, ...aliases]) expect(findDevice(name)?.part, name).toBe(part)
})
