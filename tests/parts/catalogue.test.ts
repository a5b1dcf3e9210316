/** What must hold for the data of every part, and how parts are found by name. */
import { expect, test } from 'vitest'
import { createFuseMap, deviceInOrder, findDevice, fuseMapFrom, fuseOrders, listDevices, nearestParts, setFuse, verify, type CellSetting, type Device, type FuseBlock, type Mode } from '../../src/index'
import { decode, roleOf } from '../../src/logic'
import { TABLES } from './encoder'

const catalogue = listDevices().map((device) => [device.part, device] as const)
/** Logic arrays whose order of fuses is open, in each order that can be asked for. */
const ordered = catalogue.flatMap(([part]) =>
  fuseOrders(part).map(({ name }) => [`${part} ${name}`, deviceInOrder(part, name)] as const),
)
const parts = [...catalogue, ...ordered]
/** Parts that are known by their size alone have no map, and so no modes. */
const undecoded = parts.filter(([, { modes }]) => modes.length === 0)
const decoded = parts.filter(([, { modes }]) => modes.length > 0)
const established = decoded.filter(([, { fuseOrder }]) => fuseOrder === undefined)

function range(first: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => first + i)
}

/** Some blocks take every second fuse, or runs of some with gaps between, so that two of them interlock. */
function fusesOf({ first, count, run = 1, step = run }: FuseBlock): number[] {
  const starts = range(0, Math.ceil(count / run)).map((index) => first + index * step)
  return starts.flatMap((start) => range(start, run)).slice(0, count)
}

/** Terms of an OR array: it has a fuse a term and output. */
function orTermsOf({ blocks, cells }: Device): number {
  return (blocks.find(({ use }) => use === 'or')?.count ?? 0) / (cells.length || 1)
}

function ascending(numbers: readonly number[]): number[] {
  return [...numbers].sort((a, b) => a - b)
}

function isPin({ pinCount, groundPin, powerPin }: Device, pin: number): boolean {
  return Number.isInteger(pin) && pin >= 1 && pin <= pinCount && pin !== groundPin && pin !== powerPin
}

test('every part whose fuses are decoded has a table of its own here, with the same count of fuses', () => {
  const counts = new Map(TABLES.map(({ part, fuseCount }) => [part, fuseCount]))
  expect([...counts.keys()].sort()).toEqual(established.map(([part]) => part).sort())
  // A 22V10 map of 5893 fuses has one fuse more, for a power-down pin (ATF22V10C data sheet, 0735U, table 10-1).
  const known = established.map(([part, { fuseCount, shorterCounts = [] }]) => ({
    part,
    takes: [fuseCount, ...shorterCounts].includes(counts.get(part)!),
  }))
  expect(known.filter(({ takes }) => !takes)).toEqual([])
})

test.each([
  ['22V10', [5828, 5892, 5893]],
  ['26CV12', [6368, 6432]],
  ['20RA10', [3210, 3274]],
  ['16V8', [2194]],
  ['20V8', [2706]],
])('%s takes maps of %j fuses', (part, counts) => {
  const { fuseCount, shorterCounts = [] } = findDevice(part)!
  expect(ascending([fuseCount, ...shorterCounts])).toEqual(counts)
})

/** Cells and fuses by arithmetic, from the geometry of the parts; pins that carry ground and supply. */
const SIZES: Readonly<
  Record<
    string,
    {
      readonly fuses: number
      readonly shorter?: number
      readonly pins: number
      readonly supply: readonly [ground: number, power: number]
    }
  >
> = {
  '16C1': { fuses: 16 * 32, pins: 20, supply: [10, 20] },
  '20C1': { fuses: 16 * 40, pins: 24, supply: [12, 24] },
  '16P8': { fuses: 64 * 32 + 8, pins: 20, supply: [10, 20] },
  '20P8': { fuses: 64 * 40 + 8, pins: 24, supply: [12, 24] },
  '18V10': { fuses: 96 * 36 + 20 + 64, shorter: 96 * 36 + 20, pins: 20, supply: [10, 20] },
  // 48 terms over 16 inputs and into 8 sums; 42 terms over 18 or 22 inputs, 32 of them into 10 sums.
  '82S100': { fuses: 48 * 32 + 48 * 8 + 8, pins: 28, supply: [14, 28] },
  PLS153: { fuses: 42 * 36 + 32 * 10 + 10, pins: 20, supply: [10, 20] },
  PLS173: { fuses: 42 * 44 + 32 * 10 + 10, pins: 24, supply: [12, 24] },
}

test.each(undecoded)('%s: known by its size, and never given any logic', (part, device) => {
  const { fuses, shorter, pins, supply } = SIZES[part]!
  expect(device).toMatchObject({
    fuseCount: fuses,
    pinCount: pins,
    groundPin: supply[0],
    powerPin: supply[1],
    cells: [],
    blocks: [{ use: 'undecoded', first: 0, count: fuses }],
  })
  expect(device.shorterCounts ?? []).toEqual(shorter === undefined ? [] : [shorter])
  const found = decode(device, fuseMapFrom('0'.repeat(fuses)))
  expect(found).toMatchObject({ logic: null, mode: null, cells: [], disabledRows: [], signature: null })
  expect(found.findings.findings.map(({ code }) => code)).toContain('device/undecoded')
  expect([0, fuses - 1].map((fuse) => roleOf(found, fuse).role)).toEqual(['reserved', 'reserved'])
})

test('part names occur once, aliases too', () => {
  const names = listDevices().flatMap(({ part, aliases }) => [part, ...aliases])
  expect(new Set(names).size).toBe(names.length)
  expect(names.filter((name) => name !== name.toUpperCase())).toEqual([])
})

test.each(decoded)(
  '%s: every fuse lies in exactly one block, and blocks ascend',
  (_, { blocks, fuseCount, array, shorterCounts }) => {
    // All fuses of all blocks, in order, must give 0, 1, 2 … fuseCount − 1: none is missing and none occurs twice.
    expect(ascending(blocks.flatMap(fusesOf))).toEqual(range(0, fuseCount))
    expect(blocks.map(({ first }) => first)).toEqual(ascending(blocks.map(({ first }) => first)))
    // A shorter map of the same part ends between two blocks.
    for (const count of shorterCounts ?? [])
      expect(
        blocks.filter(
          (block) => fusesOf(block).some((fuse) => fuse >= count) && fusesOf(block).some((fuse) => fuse < count),
        ),
      ).toEqual([])
    const arrays = blocks.filter(({ use }) => use === 'array')
    expect(arrays.reduce((sum, { count }) => sum + count, 0)).toBe(array.rows * array.columns)
    expect(arrays.filter(({ count }) => count % array.columns !== 0)).toEqual([])
  },
)

test.each(parts)(
  '%s: each use has one block, as long as what it holds one fuse for',
  (_, { blocks, cells, array, modes }) => {
    const single = blocks.map(({ use }) => use).filter((use) => use !== 'array')
    expect(new Set(single).size).toBe(single.length)
    const counts = new Map(blocks.map(({ use, count }) => [use, count]))
    expect([cells.length, undefined]).toContain(counts.get('polarity'))
    expect([cells.length, undefined]).toContain(counts.get('cell-select'))
    expect([array.rows, undefined]).toContain(counts.get('term-disable'))
    expect((counts.get('signature') ?? 0) % 8).toBe(0)
    for (const { select, settings, cellSettings } of modes) {
      expect(select).toHaveLength(counts.get('mode-select') ?? 0)
      // By the value of the select fuse, or by what the cells name, which parts of one family share.
      if (counts.has('cell-select')) expect(settings).toHaveLength(2)
      expect(
        cellSettings === undefined ||
          (!counts.has('cell-select') &&
            cellSettings.length === cells.length &&
            cellSettings.every((index) => settings[index])),
      ).toBe(true)
    }
    for (const { names, count } of blocks) if (names) expect(names).toHaveLength(count)
  },
)

test.each(parts)('%s: pins of cells and columns exist and carry no supply', (_, device) => {
  const { cells, modes, groundPin, powerPin, pinCount } = device
  expect([groundPin, powerPin].every((pin) => pin >= 1 && pin <= pinCount)).toBe(true)
  expect(new Set(cells.map(({ pin }) => pin)).size).toBe(cells.length)
  expect(cells.filter(({ pin }) => !isPin(device, pin as number))).toEqual([])
  for (const { columns, settings } of modes) {
    expect(2 * columns.length).toBe(device.array.columns)
    expect(new Set(columns).size).toBe(columns.length)
    expect(columns.filter((pin) => !isPin(device, pin as number))).toEqual([])
    const named = settings.flatMap(({ enable, clock, loadPin }) => [
      typeof enable === 'object' ? enable.lowPin : undefined,
      clock && 'pin' in clock ? clock.pin : undefined,
      loadPin,
    ])
    expect(named.filter((pin) => pin !== undefined && !isPin(device, pin as number))).toEqual([])
  }
})

test.each(parts)(
  '%s: rows of cells are disjoint and, with those of an OR array and those that act on all registers, cover the array',
  (_, device) => {
    const { cells, sharedRows, array } = device
    const shared = sharedRows ? [sharedRows.reset, sharedRows.clockedPreset] : []
    expect(
      ascending([
        ...range(0, orTermsOf(device)),
        ...cells.flatMap(({ firstRow, rowCount }) => range(firstRow, rowCount)),
        ...shared,
      ]),
    ).toEqual(range(0, array.rows))
  },
)

/** Settings that a cell can have: those of the select fuse, or its own. */
function settingsOf({ settings, cellSettings }: Mode, index: number, selectable: boolean): readonly CellSetting[] {
  return selectable ? settings : [settings[cellSettings?.[index] ?? 0]!]
}

test.each(decoded)('%s: every row of an output has one use in every setting', (_, { cells, modes, blocks }) => {
  const selectable = blocks.some(({ use }) => use === 'cell-select')
  for (const mode of modes)
    for (const [index, cell] of cells.entries())
      for (const { output, sums, enable, clock, resetRow, presetRow } of settingsOf(mode, index, selectable)) {
        const single = [
          typeof enable === 'object' ? enable.row : undefined,
          clock && 'row' in clock ? clock.row : undefined,
          resetRow,
          presetRow,
        ].filter((row) => row !== undefined)
        // A sum takes as many of its rows as the cell has.
        const summed = sums.map(({ from, count }) => range(from, Math.min(count, cell.rowCount - from)))
        if (output === 'none' || output === 'undefined') expect([...single, ...summed]).toEqual([])
        else {
          expect(summed.filter((rows) => rows.length === 0)).toEqual([])
          expect(ascending([...single, ...summed.flat()]), `pin ${cell.pin}`).toEqual(range(0, cell.rowCount))
        }
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
  expect(['published', 'inferred', 'unconfirmed', 'memory']).toContain(basis)
  expect(sources.length).toBeGreaterThan(0)
  // What is inferred or from memory must say so in a source line.
  if (basis !== 'published') expect(sources.join('\n')).toMatch(basis === 'memory' ? /from memory/ : /inferred/)
})

test.each([
  // Part numbers as they are printed on chips: maker's prefix, then version, power, range, package and speed behind.
  // Common practice, no published source.
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
  ['GAL20V8B-15LP', '20V8'],
  ['PALCE20V8H', '20V8'],
  ['GAL22V10D-10LP', '22V10'],
  ['ATF22V10C-15PU', '22V10'],
  ['GAL26CV12B', '26CV12'],
  ['GAL20RA10B', '20RA10'],
  ['PAL16L8A', '16L8'],
  ['TIBPAL16R4-15C', '16R4'],
  ['PAL16R6BCN', '16R6'],
  ['PAL16R8', '16R8'],
  ['PAL20L8A', '20L8'],
  ['TIBPAL20R8-15C', '20R8'],
  ['PAL20L10', '20L10'],
  ['PAL20X10A', '20X10'],
  ['PAL12L6', '12L6'],
  ['PAL8L14', '8L14'],
  ['PAL18L4', '18L4'],
  ['AMPAL16L8', '16L8'],
  ['AMPAL16L8BPC', '16L8'],
  ['DMPAL16L8A', '16L8'],
  ['DMPAL16R4ANC', '16R4'],
  ['PAL16L8A-2CN', '16L8'],
  ['PAL16R8AMJ/883B', '16R8'],
  ['TIBPAL16R8-15CN', '16R8'],
  ['TIBPAL20L8-15CNT', '20L8'],
  ['PAL20L8ACNS', '20L8'],
  ['GAL 16V8', '16V8'],
  ['gal-16v8', '16V8'],
  ['GAL16V8D 15LP', '16V8'],
  ['16V8 15', '16V8'],
  ['GAL16V8D-15LPN', '16V8'],
  ['GAL20V8B-15LP', '20V8'],
  ['GAL20V8Z', '20V8'],
  ['PALCE16V8H-25PC/4', '16V8'],
  ['PALCE16V8Q-25', '16V8'],
  ['PALC22V10', '22V10'],
  ['PAL C 22V10B-25PC', '22V10'],
  ['CY7C22V10', '22V10'],
  ['ATF22V10C', '22V10'],
  ['ATF22V10CQZ-20PU', '22V10'],
  ['AMPAL22V10A', '22V10'],
  ['N82S153', 'PLS153'],
  ['N82S153AN', 'PLS153'],
  ['PLUS153B', 'PLS153'],
  ['82S100', '82S100'],
  ['S82S101F', '82S100'],
])('%s is a %s', (name, part) => {
  expect(findDevice(name)?.part).toBe(part)
})

test.each([
  '',
  '16V',
  '16V80',
  '6V8',
  'V8',
  '16V8 OR 20V8',
  '16V8 1500',
  'GAL',
  'GAL16',
  'XGAL16V8',
  '14L',
  '14L44',
  '14L4ABCD',
  '-15',
  'PAL16V8X4',
  // Another part of the same beginning: GAL16V8ZD and GAL20V8ZD have a power-down pin, PALCE16V8HD has 24 pins.
  'GAL16V8ZD-12QP',
  'GAL 20V8ZD',
  'PALCE16V8HD-15',
  // Letters of a maker in front of a family that is not theirs.
  'NGAL16V8',
  'TIEPAL16P8',
])('“%s” is the name of no part', (name) => {
  expect(findDevice(name)).toBeNull()
})

test('parts of similar names are not taken for each other', () => {
  // A name that the catalogue does not have finds nothing, however near it comes to one that it has.
  for (const name of [
    '20S10',
    '16X4',
    '16RA8',
    '22VP10',
    '20X',
    '1L8',
    '2V10',
    'L8',
    '16L',
    '22V1',
    '20RA1',
    '26V12',
  ])
    expect(findDevice(name), name).toBeNull()
  for (const { part, aliases } of listDevices())
    for (const name of [part, ...aliases]) expect(findDevice(name)?.part, name).toBe(part)
})

test.each([
  ['GAL16V9', ['16V8']],
  ['PALCE22VP10H-25', ['22V10']],
  ['16V', ['16V8']],
  ['PAL16L9', ['16L2', '16L6', '16L8']],
  ['PLS154', ['PLS153']],
  ['XC9572XL-10', []],
  ['', []],
])('the nearest parts to “%s” are %j', (name, parts) => {
  // One letter or digit away, counted by hand; the last two have nothing near.
  expect([...nearestParts(name)].sort()).toEqual(parts)
  expect(findDevice(name)).toBeNull()
})

test('a wrong name is refused with the nearest ones', () => {
  expect(() => verify(new Uint8Array(), { device: 'GAL16V9' })).toThrow(
    new RangeError('options.device: no part “GAL16V9” in the catalogue; near it: 16V8'),
  )
})

test.each(decoded)('%s: no pin and no cell has two signals', (_, device) => {
  for (const mode of device.modes) {
    const map = createFuseMap(device.fuseCount)
    const select = device.blocks.find(({ use }) => use === 'mode-select')
    mode.select.forEach((state, i) => select && setFuse(map, fusesOf(select)[i]!, state))
    const signals = (decode(device, map).logic?.signals ?? []).map((signal) => JSON.stringify(signal))
    expect(signals.length).toBeGreaterThan(0)
    expect(new Set(signals).size).toBe(signals.length)
  }
})
