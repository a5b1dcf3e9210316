/**
 * Parts of the caller's own: which documents are taken, what is told of the others, and what a part so described
 * does.
 */
import { describe, expect, test } from 'vitest'
import { deviceErrors, deviceInOrder, fuseMapFrom, fuseOrders, check, listDevices, readDevice, simulate, verify, type Device } from '../../src/index'
import { decode, roleOf, type Decoded } from '../../src/logic'
import { asynchronousDocument, cellDocument, orDocument, sizeDocument, type Document } from './part-documents'
import { granted } from '../granted'

const again = (value: unknown): unknown => JSON.parse(JSON.stringify(value))
const codesOf = (text: string, options: object): string[] => verify(text, options).findings.map(({ code }) => code)

describe('documents that are taken', () => {
  test.each(listDevices().map((device) => [device.part, device] as const))(
    '%s, printed and read back, is the same data',
    (_, device) => {
      expect(deviceErrors(again(device))).toEqual([])
      expect(readDevice(again(device))).toEqual(device)
    },
  )

  test.each(
    ['82S100', 'PLS153', 'PLS173'].flatMap((part) => fuseOrders(part).map(({ name }) => [part, name] as const)),
  )('%s in the order %s too', (part, order) => {
    const device = deviceInOrder(part, order)
    expect(readDevice(again(device))).toEqual(device)
  })

  test.each([cellDocument, orDocument, asynchronousDocument, sizeDocument])('%o', (make) => {
    expect(deviceErrors(make())).toEqual([])
    expect(readDevice(make())).toMatchObject(make())
  })

  test('what is left out: unconfirmed, no other names, no remarks, one mode without a name', () => {
    const { basis, aliases, sources, remarks, modes } = readDevice(asynchronousDocument())
    expect({ basis, aliases, remarks, mode: [modes[0]!.name, modes[0]!.select] }).toEqual({
      basis: 'unconfirmed',
      aliases: [],
      remarks: [],
      mode: [null, []],
    })
    expect(sources).toHaveLength(1)
    const sums = readDevice(orDocument()).modes[0]!.settings[0]!.sums
    expect(sums).toEqual([])
  })

  test('the part is a copy: what the caller changes later changes nothing', () => {
    const document = cellDocument()
    const device = readDevice(document)
    document.cells[0].pin = 99
    document.modes.length = 0
    expect(device).toEqual(readDevice(cellDocument()))
    expect(Object.getPrototypeOf(device)).toBe(Object.prototype)
  })

  test('what a document inherits is not in it', () => {
    const { part, ...rest } = orDocument()
    expect(deviceErrors(Object.assign(Object.create({ part }) as object, rest))).toEqual([
      { path: 'device.part', message: 'is missing' },
    ])
  })

  test('undefined is as good as left out, and −0 is 0', () => {
    const document = { ...orDocument(), carriers: undefined, remarks: undefined }
    document.blocks[0].first = -0
    expect(deviceErrors(document)).toEqual([])
    expect(readDevice(document)).toEqual(readDevice(orDocument()))
  })
})

type Mistake = readonly [what: string, spoil: (document: Document) => void, path: string, words: RegExp]

/** Each document has one mistake and must give one error, at its path. */
const CELL_MISTAKES: readonly Mistake[] = [
  ['an unknown key', (d) => (d.colour = 'red'), 'device.colour', /is not known/],
  [
    'an unknown key further in',
    (d) => (d.modes[1].settings[0].pulse = 1),
    'device.modes[1].settings[0].pulse',
    /is not known/,
  ],
  [
    'a key of the prototype',
    (d) => Object.defineProperty(d, '__proto__', { value: { part: 'X' }, enumerable: true }),
    'device.__proto__',
    /is not known/,
  ],
  ['a key that would garble a line', (d) => (d['a\u001b[31m\n'] = 1), 'device."a\\u001b[31m\\n"', /is not known/],
  ['a missing name', (d) => delete d.part, 'device.part', /is missing/],
  ['an empty name', (d) => (d.part = ' '), 'device.part', /is empty/],
  ['a long name', (d) => (d.part = 'X'.repeat(65)), 'device.part', /65 characters/],
  ['a control character', (d) => (d.title = 'red \u001b[31m'), 'device.title', /control character/],
  [
    'text that turns its direction',
    (d) => (d.remarks[0] = 'left \u202e right'),
    'device.remarks[0]',
    /control character/,
  ],
  ['a number for a text', (d) => (d.aliases = [16]), 'device.aliases[0]', /must be a text, not 16/],
  ['a text for a list', (d) => (d.sources = 'a sheet'), 'device.sources', /must be a list, not "a sheet"/],
  ['no source', (d) => (d.sources = []), 'device.sources', /must have 1 to 256 entries, not 0/],
  ['a number as text', (d) => (d.powerPin = '8'), 'device.powerPin', /whole number from 1 to 256, not "8"/],
  ['NaN', (d) => (d.fuseCount = NaN), 'device.fuseCount', /whole number from 1 to 262144, not NaN/],
  ['infinity', (d) => (d.fuseCount = Infinity), 'device.fuseCount', /not Infinity/],
  ['half a fuse', (d) => (d.blocks[0].first = 0.5), 'device.blocks[0].first', /not 0.5/],
  ['a fuse before the first', (d) => (d.blocks[0].first = -1), 'device.blocks[0].first', /not -1/],
  ['a million fuses', (d) => (d.fuseCount = 1_000_000), 'device.fuseCount', /not 1000000/],
  ['null for a list', (d) => (d.cells = null), 'device.cells', /must be a list, not null/],
  ['a list for an object', (d) => (d.array = [8, 8]), 'device.array', /must be an object, not a list/],
  [
    'one for true',
    (d) => (d.modes[0].settings[0].inverting = 1),
    'device.modes[0].settings[0].inverting',
    /must be true or false, not 1/,
  ],
  [
    'an unknown use',
    (d) => (d.blocks[5].use = 'spare'),
    'device.blocks[5].use',
    /must be "array", "or", .*, not "spare"/,
  ],
  ['an unknown basis', (d) => (d.basis = 'certain'), 'device.basis', /"published", "inferred", "unconfirmed" or "memory"/],
  [
    'an unknown enable',
    (d) => (d.modes[0].settings[1].enable = 'sometimes'),
    'device.modes[0].settings[1].enable',
    /"always", "never" or an object/,
  ],
  ['a state that is none', (d) => (d.modes[0].select[0] = 2), 'device.modes[0].select[0]', /must be 0 or 1, not 2/],
  // Pins.
  ['a pin that is none', (d) => (d.cells[1].pin = 27), 'device.cells[1].pin', /27 is not a pin of a 8-pin package/],
  ['a cell at ground', (d) => (d.cells[1].pin = 4), 'device.cells[1].pin', /pin 4 is ground/],
  ['two cells at a pin', (d) => (d.cells[1].pin = 5), 'device.cells[1].pin', /pin 5 has a cell already/],
  ['ground outside', (d) => (d.groundPin = 9), 'device.groundPin', /9 is not a pin/],
  ['supply at ground', (d) => (d.powerPin = 4), 'device.powerPin', /pin 4 is ground already/],
  ['a column of the supply', (d) => (d.modes[0].columns[1] = 8), 'device.modes[0].columns[1]', /pin 8 is the supply/],
  ['a column that is no pin', (d) => (d.modes[1].columns[1] = 200), 'device.modes[1].columns[1]', /200 is not a pin/],
  [
    'a pin with two column pairs',
    (d) => (d.modes[0].columns[3] = 1),
    'device.modes[0].columns[3]',
    /pin 1 has a column pair already/,
  ],
  [
    'an enable at ground',
    (d) => (d.modes[0].settings[0].enable.lowPin = 4),
    'device.modes[0].settings[0].enable.lowPin',
    /pin 4 is ground/,
  ],
  [
    'a clock outside',
    (d) => (d.modes[0].settings[0].clock.pin = 11),
    'device.modes[0].settings[0].clock.pin',
    /11 is not a pin/,
  ],
  [
    'a load pin outside',
    (d) => (d.modes[0].settings[0].loadPin = 12),
    'device.modes[0].settings[0].loadPin',
    /12 is not a pin/,
  ],
  ['a power-down pin outside', (d) => (d.powerDownPin = 10), 'device.powerDownPin', /10 is not a pin/],
  ['a power-down fuse without a pin', (d) => delete d.powerDownPin, 'device.blocks[6]', /needs powerDownPin/],
  [
    'a power-down pin without a fuse',
    (d) => (d.blocks[6].use = 'undecoded'),
    'device.powerDownPin',
    /needs a power-down block/,
  ],
  [
    'a contact of no pin',
    (d) => (d.carriers[0].dipPins[1] = 9),
    'device.carriers[0].dipPins[1]',
    /9 is not a pin of a 8-pin package/,
  ],
  [
    'two contacts of a pin',
    (d) => (d.carriers[0].dipPins[2] = 1),
    'device.carriers[0].dipPins[2]',
    /pin 1 has a contact already/,
  ],
  [
    'a carrier as wide as the DIP',
    (d) => (d.carriers[0].dipPins.length = 8),
    'device.carriers[0].dipPins',
    /cannot be told apart/,
  ],
  [
    'two carriers of one width',
    (d) => d.carriers.push({ ...d.carriers[0], name: 'other' }),
    'device.carriers[1].dipPins',
    /cannot be told apart/,
  ],
  // Fuses.
  ['a gap behind the last block', (d) => (d.fuseCount = 88), 'device.blocks', /fuse 87 lies in no block/],
  [
    'a block past the end',
    (d) => ((d.fuseCount = 86), (d.shorterCounts = [78])),
    'device.blocks[6]',
    /reaches fuse 86; the last of 86 fuses is 85/,
  ],
  ['an empty block', (d) => (d.blocks[6].count = 0), 'device.blocks[6].count', /from 1 to/],
  [
    'runs that overlap themselves',
    (d) => ((d.blocks[5].run = 2), (d.blocks[5].step = 1)),
    'device.blocks[5].step',
    /1 is less than the run of 2/,
  ],
  ['names too few', (d) => d.blocks[4].names.pop(), 'device.blocks[4].names', /1 names for 2 fuses/],
  [
    'a signature of seven bits',
    (d) => ((d.blocks[5].count = 7), d.blocks.push({ use: 'undecoded', name: 'rest', first: 85, count: 1 })),
    'device.blocks[5].count',
    /7 fuses are no whole bytes/,
  ],
  [
    'two signatures',
    (d) => (
      (d.blocks[6] = { use: 'signature', name: 'more', first: 86, count: 8 }),
      (d.fuseCount = 94),
      delete d.powerDownPin
    ),
    'device.blocks[6]',
    /one block of the use signature/,
  ],
  [
    'two fuses for one power-down pin',
    (d) => ((d.blocks[6].count = 2), (d.fuseCount = 88)),
    'device.blocks[6].count',
    /2 fuses for 1 pin/,
  ],
  [
    'a shorter map that is longer',
    (d) => (d.shorterCounts = [78, 87]),
    'device.shorterCounts[1]',
    /87 is not less than the 87/,
  ],
  ['shorter maps that descend', (d) => (d.shorterCounts = [86, 78]), 'device.shorterCounts[1]', /78 does not ascend/],
  [
    'a shorter map that ends inside a block',
    (d) => (d.shorterCounts = [80]),
    'device.shorterCounts[0]',
    /fuse 80 lies within the block signature/,
  ],
  [
    'a shorter map without its mode',
    (d) => (d.shorterCounts = [76]),
    'device.shorterCounts[0]',
    /leaves out the block mode, on which the logic hangs/,
  ],
  ['a basis of no shorter map', (d) => delete d.shorterCounts, 'device.shorterBasis', /needs shorterCounts/],
  // Rows.
  [
    'rows of two cells',
    (d) => (
      (d.cells[1].firstRow = 3),
      (d.cells[1].rowCount = 4),
      (d.modes[0].settings[1].sums[0].count = 3),
      (d.modes[0].settings[0].sums[0].count = 3)
    ),
    'device.cells[1]',
    /row 3 belongs to the cell of pin 5 already/,
  ],
  [
    'a cell over the shared preset',
    (d) => (
      (d.sharedRows.clockedPreset = 6),
      (d.array.rows = 7),
      (d.blocks[0].count = 56),
      (d.blocks[3] = { ...d.blocks[3], first: 68, count: 7 }),
      d.blocks.push(
        { use: 'undecoded', name: 'rest', first: 56, count: 8 },
        { use: 'undecoded', name: 'more', first: 75, count: 1 },
      )
    ),
    'device.sharedRows.clockedPreset',
    /row 6 belongs to the cell of pin 6 already/,
  ],
  ['a name at a pin', (d) => (d.cells[1].name = 'Q'), 'device.cells[1].name', /no meaning for a cell with a pin/],
  ['a cell without its last row', (d) => (d.cells[1].rowCount = 2), 'device.array.rows', /row 6 belongs to no cell/],
  [
    'no shared rows where there are two',
    (d) => delete d.sharedRows,
    'device.array.rows',
    /row (0|7) belongs to no cell/,
  ],
  [
    'a row that a setting does not have',
    (d) => (d.modes[1].settings[1].enable.row = 3),
    'device.modes[1].settings[1].enable.row',
    /row 3 is not one of the 3 rows of the cell of pin 5/,
  ],
  [
    'a sum that begins behind the cell',
    (d) => d.modes[0].settings[1].sums.push({ from: 3, count: 1 }),
    'device.modes[0].settings[1].sums[1]',
    /row 3 is not one/,
  ],
  [
    'an enable row in the sum',
    (d) => (d.modes[0].settings[1].sums[0].from = 0),
    'device.modes[0].settings[1].sums[0]',
    /row 0 serves enable.row already/,
  ],
  [
    'sums that share a row',
    (d) => d.modes[0].settings[0].sums.push({ from: 2, count: 1 }),
    'device.modes[0].settings[0].sums[1]',
    /row 2 serves sums\[0\] already/,
  ],
  [
    'a row that nothing uses',
    (d) =>
      d.modes.forEach((mode: Document) =>
        mode.settings.forEach(
          (setting: Document) => (setting.sums = setting.sums.map(() => ({ from: 1, count: 1 }))),
        ),
      ),
    'device.cells[0].rowCount',
    /row 2 of its 3 has no use/,
  ],
  // Modes and settings.
  [
    'two modes of one select',
    (d) => (d.modes[1].select = [0, 1]),
    'device.modes[1].select',
    /is that of modes\[0\] too/,
  ],
  [
    'a select too long',
    (d) => d.modes[1].select.push(0),
    'device.modes[1].select',
    /3 values for 2 mode-select fuses/,
  ],
  ['two modes of one name', (d) => (d.modes[1].name = 'clocked'), 'device.modes[1].name', /is taken already/],
  [
    'several modes and one without a name',
    (d) => delete d.modes[1].name,
    'device.modes[1].name',
    /is needed where there are several/,
  ],
  [
    'three settings for a select fuse',
    (d) => d.modes[1].settings.push(d.modes[1].settings[0]),
    'device.modes[1].settings',
    /has 3 settings/,
  ],
  [
    'cell settings beside select fuses',
    (d) => (d.modes[0].cellSettings = [0, 1]),
    'device.modes[0].cellSettings',
    /no meaning where fuses select/,
  ],
  ['too few columns', (d) => d.modes[0].columns.pop(), 'device.modes[0].columns', /names 3 pins for 8 columns/],
  [
    'a register without a clock',
    (d) => delete d.modes[0].settings[0].clock,
    'device.modes[0].settings[0].clock',
    /is missing; a registered output has one/,
  ],
  [
    'a clock of a pin and a row',
    (d) => (d.modes[0].settings[0].clock = {}),
    'device.modes[0].settings[0].clock',
    /either a pin or a row/,
  ],
  [
    'a clock without a register',
    (d) => (d.modes[1].settings[1].clock = { pin: 1 }),
    'device.modes[1].settings[1].clock',
    /no meaning for an output that is combinational/,
  ],
  [
    'a power-up state without a register',
    (d) => (d.modes[1].settings[1].powerUp = 1),
    'device.modes[1].settings[1].powerUp',
    /no meaning/,
  ],
  [
    'a bypass without rows',
    (d) => (d.modes[0].settings[0].bypass = true),
    'device.modes[0].settings[0].bypass',
    /needs resetRow and presetRow/,
  ],
  [
    'an enable by nothing',
    (d) => ((d.modes[0].settings[0].enable = {}), (d.modes[0].settings[0].sums = [{ from: 0, count: 3 }])),
    'device.modes[0].settings[0].enable',
    /neither a row nor a lowPin/,
  ],
  [
    'an input that is enabled',
    (d) => (d.modes[1].settings[0].enable = 'always'),
    'device.modes[1].settings[0].enable',
    /must be never for an output that is none/,
  ],
  [
    'an output without a sum',
    (d) => (d.modes[1].settings[1].sums = []),
    'device.modes[1].settings[1].sums',
    /is empty/,
  ],
  [
    'an input with a sum',
    (d) => (d.modes[1].settings[0].sums = [{ from: 0, count: 3 }]),
    'device.modes[1].settings[0].sums',
    /must be empty for an output that is none/,
  ],
  [
    'a sum of an OR array that is none',
    (d) => ((d.modes[1].settings[1].orArray = true), (d.modes[1].settings[1].sums = [])),
    'device.modes[1].settings[1].orArray',
    /needs a block of the use or/,
  ],
]

const OR_MISTAKES: readonly Mistake[] = [
  [
    'OR cells too few',
    (d) => ((d.blocks[1].count = 5), d.blocks.push({ use: 'undecoded', name: 'rest', first: 17, count: 1 })),
    'device.blocks[1].count',
    /5 fuses are not one for each of 2 cells/,
  ],
  [
    'a step too short',
    (d) => (d.blocks[0].step = 5),
    'device.blocks[1]',
    /fuse 5 lies in another block already|fuse 4 lies/,
  ],
  [
    'a cell in a row of the OR array',
    (d) => (d.cells[0].firstRow = 2),
    'device.cells[0]',
    /row 2 belongs to the OR array already/,
  ],
  ['columns that are not pairs', (d) => (d.array.columns = 5), 'device.array.columns', /5 columns are not pairs/],
  [
    'rows too many',
    (d) => (d.array.rows = 6),
    'device.array',
    /6 rows of 4 columns are 24 fuses; the array blocks hold 20/,
  ],
  [
    'polarity fuses too many',
    (d) => ((d.blocks[3].count = 3), (d.fuseCount = 29)),
    'device.blocks[3].count',
    /3 fuses for 2 cells/,
  ],
  [
    'polarity without fuses',
    (d) => (d.blocks[3].use = 'undecoded'),
    'device.modes[0].settings[0].polarity',
    /must be none/,
  ],
  [
    'an OR array that nothing uses',
    (d) =>
      (d.modes[0].settings[0] = {
        output: 'combinational',
        enable: 'always',
        sums: [{ from: 0, count: 1 }],
        polarity: 'before',
        inverting: false,
      }),
    'device.blocks[1]',
    /no setting takes its sum from the OR array/,
  ],
  [
    'a sum beside that of the OR array',
    (d) => ((d.modes[0].settings[0].enable = 'always'), (d.modes[0].settings[0].sums = [{ from: 0, count: 1 }])),
    'device.modes[0].settings[0].sums',
    /must be empty where the sum is that of the OR array/,
  ],
  [
    'the OR array in a cell that is no output',
    (d) =>
      d.modes[0].settings.push({
        output: 'none',
        enable: 'never',
        orArray: true,
        polarity: 'none',
        inverting: false,
      }),
    'device.modes[0].settings[1].orArray',
    /no meaning for an output that is none/,
  ],
  [
    'cell settings too few',
    (d) => (d.modes[0].cellSettings = [0]),
    'device.modes[0].cellSettings',
    /1 entries for 2 cells/,
  ],
  [
    'a setting that is none',
    (d) => (d.modes[0].cellSettings = [0, 1]),
    'device.modes[0].cellSettings[1]',
    /1 is not one of 1 settings/,
  ],
]

const ROW_MISTAKES: readonly Mistake[] = [
  [
    'a last row without an owner',
    (d) => ((d.array.rows = 6), (d.blocks[0].count = 24), (d.fuseCount = 24)),
    'device.array.rows',
    /row 5 belongs to no cell/,
  ],
  ['a mode without cells', (d) => (d.cells = []), 'device.cells', /a part with modes has cells/],
]

const OTHER_MISTAKES: readonly Mistake[] = [
  ['another version', (d) => (d.schema = 2), 'device.schema', /1/],
  [
    'cells without modes',
    (d) => (d.cells = [{ pin: 1, firstRow: 0, rowCount: 0 }]),
    'device.cells',
    /a part without modes has no cells/,
  ],
  ['rows without modes', (d) => (d.array = { rows: 3, columns: 4 }), 'device.array', /0 rows and 0 columns/],
  [
    'a block decoded without modes',
    (d) => (d.blocks[0].use = 'array'),
    'device.blocks[0].use',
    /all blocks are undecoded/,
  ],
]

describe('documents with one mistake', () => {
  const each = [
    ...CELL_MISTAKES.map((one) => [cellDocument, one] as const),
    ...OR_MISTAKES.map((one) => [orDocument, one] as const),
    ...ROW_MISTAKES.map((one) => [asynchronousDocument, one] as const),
    ...OTHER_MISTAKES.map((one) => [sizeDocument, one] as const),
  ]

  test.each(each.map(([make, one]) => [one[0], make, one] as const))('%s', (_, make, [, spoil, path, words]) => {
    const document = make()
    spoil(document)
    const errors = deviceErrors(document)
    expect(errors[0]).toEqual({ path, message: expect.stringMatching(words) })
    // A mistake of geometry can show in more than one place; never as something unrelated.
    expect(
      errors.filter(
        (error) => error.path !== path && !/^device\.(blocks|array|cells|modes\[0\]\.columns$)/.test(error.path),
      ),
    ).toEqual([])
    expect(() => readDevice(document)).toThrow(TypeError)
    expect(() => readDevice(document)).toThrow(`data is no part: ${path}: `)
    expect(() => verify('\x02*QF87*F0*\x03', { device: document })).toThrow(`options.device is no part: ${path}: `)
    expect(() => simulate('\x02*QF87*F0*\x03', { device: document })).toThrow(TypeError)
  })

  test.each([undefined, null, 7, 'part', true, [], () => 0, Symbol('x'), 10n])('no object at all: %o', (document) => {
    expect(deviceErrors(document)).toEqual([{ path: 'device', message: expect.stringMatching(/^must be an object/) }])
    expect(() => readDevice(document)).toThrow(TypeError)
  })

  test('all mistakes are told, of shape and of sense, at most twenty', () => {
    const document = cellDocument()
    document.colour = 1
    document.title = 5
    document.powerPin = 4
    document.modes[1].select = [0, 1]
    document.shorterCounts = [80, 86]
    expect(
      deviceErrors(document)
        .map(({ path }) => path)
        .sort(),
    ).toEqual([
      'device.colour',
      'device.modes[1].select',
      'device.powerPin',
      'device.shorterCounts[0]',
      'device.title',
    ])
    const many = cellDocument()
    many.remarks = Array<number>(50).fill(0)
    expect(deviceErrors(many)).toHaveLength(20)
    expect(() => readDevice(many)).toThrow(/device\.remarks\[19\].*there may be more$/)
  })
})

describe('hostile documents end soon', () => {
  const spoiled = (spoil: (document: Document) => void): Document => {
    const document = cellDocument()
    spoil(document)
    return document
  }
  const cyclic = cellDocument()
  cyclic.modes[0].settings[0].enable = cyclic
  cyclic.array = cyclic
  // 64 modes of 64 settings of 16 sums, all the same few objects.
  const setting = {
    output: 'combinational',
    enable: 'always',
    sums: Array(16).fill({ from: 0, count: 1 }),
    polarity: 'none',
    inverting: false,
  }
  const shared = { name: null, select: [], columns: [1], registerFeedback: 'pin', settings: Array(64).fill(setting) }

  test.each<readonly [string, Document, RegExp]>([
    [
      'a thousand million rows',
      spoiled((d) => (d.array = { rows: 1e9, columns: 1e9 })),
      /device\.array\.rows: must be a whole number/,
    ],
    [
      'a sparse list of a thousand million',
      spoiled((d) => (d.cells = Object.assign([], { length: 1e9 }))),
      /device\.cells: must have at most 256 entries, not 1000000000/,
    ],
    [
      'rows beyond the array',
      spoiled((d) => (d.cells[1] = { pin: 6, firstRow: 262_144, rowCount: 262_144 })),
      /device\.cells\[1\]: reaches row 524287; the last of 8 rows is 7$/m,
    ],
    [
      'sums of a quarter of a million rows',
      spoiled((d) => (d.modes[0].settings[1].sums = Array(16).fill({ from: 1, count: 262_144 }))),
      /device\.modes\[0\]\.settings\[1\]\.sums\[1\]: row 1 serves/,
    ],
    [
      'a step past everything',
      spoiled((d) => (d.blocks[1].step = 262_144)),
      /device\.blocks\[1\]: reaches fuse 262208/,
    ],
    [
      '256 blocks over all fuses',
      {
        ...sizeDocument(),
        fuseCount: 262_144,
        blocks: Array(256).fill({ use: 'undecoded', name: 'x', first: 0, count: 262_144 }),
      },
      /device\.blocks\[1\]: fuse 0 lies in another block/,
    ],
    ['a cycle', cyclic, /device\.array\.part: is not known/],
    ['the same setting four thousand times', { ...cellDocument(), modes: Array(64).fill(shared) }, /device\.modes/],
    [
      'a text of ten million characters',
      spoiled((d) => (d.title = 'x'.repeat(1e7))),
      /device\.title: has 10000000 characters/,
    ],
    ['a wrong value of ten million characters', spoiled((d) => (d.basis = 'x'.repeat(1e7))), /not "x{40}…"/],
    [
      'a hundred thousand keys',
      spoiled((d) => Array.from({ length: 1e5 }, (_, i) => (d[`k${i}`] = i))),
      /device\.k0: is not known/,
    ],
    ['a key of ten million characters', spoiled((d) => (d['y'.repeat(1e7)] = 1)), /device\."y{40}…": is not known/],
    [
      'keys of the prototype, parsed',
      {
        ...(JSON.parse('{"__proto__": {"x": 1}, "constructor": 2, "toString": 3}') as object),
        ...cellDocument(),
        hasOwnProperty: 4,
      },
      /device\.(constructor|toString|hasOwnProperty): is not known/,
    ],
    [
      'a value whose text throws',
      spoiled(
        (d) =>
          (d.part = {
            toString: () => {
              throw new Error('no')
            },
          }),
      ),
      /device\.part: must be a text, not a value of type object/,
    ],
    [
      'every value of a wrong type',
      Object.fromEntries(Object.keys(cellDocument()).map((key) => [key, 1n])),
      /a value of type bigint/,
    ],
  ])(
    '%s',
    (_, document, words) => {
      const errors = deviceErrors(document)
      expect(errors.length).toBeLessThanOrEqual(20)
      expect(errors.map(({ path, message }) => `${path}: ${message}`).join('\n')).toMatch(words)
      expect(errors.every(({ path, message }) => path.length + message.length < 1000)).toBe(true)
      expect(() => readDevice(document)).toThrow(TypeError)
    },
    3000,
  )

  test('a document that refers to one thing over and over is cut', () => {
    const modes = Array(64).fill({
      ...shared,
      settings: Array(64).fill({ ...setting, sums: Array(16).fill({ from: 0, count: 1 }) }),
    })
    expect(
      deviceErrors({ ...cellDocument(), modes })
        .map(({ message }) => message)
        .join(),
    ).toMatch(/more than 200000 values/)
  })

  test('nothing reaches the prototype of all objects', () => {
    deviceErrors(JSON.parse('{"__proto__": {"spoiled": 1}}'))
    expect(({} as Record<string, unknown>)['spoiled']).toBeUndefined()
  })
})

/** A file over the fuses of a part. */
function fileOf(digits: string, fields = ''): string {
  return `\x02*QF${digits.length}*L0 ${digits}*${fields}\x03`
}

describe('what a part of the caller’s own does', () => {
  // Complement first: a row of pins 1 and 2 is ¬1, 1, ¬2, 2. Term 0 is pin 1 ∧ ¬pin 2, term 1 is pin 2, term 2 is
  // virgin.
  // Sums: pin 4 takes terms 0 and 1, pin 5 term 1; pin 4 always drives, pin 5 while pin 1 is low; pin 5 is inverted.
  const MAP = ['1001', '01', '1110', '00', '0000', '11', '1111', '0111', '01'].join('')

  test.each([
    ['00NHHN', { 4: '0', 5: '1' }],
    ['10NHHN', { 4: '1', 5: 'Z' }],
    ['01NHHN', { 4: '1', 5: '0' }],
    ['11NHHN', { 4: '1', 5: 'Z' }],
  ])('an OR array with runs, complement first: %s', (vector, found) => {
    const run = granted(simulate(fileOf(MAP), { device: orDocument(), vectors: [vector] }))
    expect(Object.fromEntries(run.results[0]!.checks.map((check) => [check.pin, check.found]))).toEqual(found)
  })

  test('a disable fuse takes a term out of every sum of an OR array', () => {
    const document = orDocument()
    document.blocks.push({ use: 'term-disable', name: 'disable', first: 28, count: 5 })
    document.fuseCount = 33
    // Term 1, pin 2, feeds both sums; without it pin 4 is term 0 and pin 5, inverted, is 1.
    const found = (disable: string): string[] =>
      granted(simulate(fileOf(MAP + disable), { device: document, vectors: ['01NHHN'] })).results[0]!.checks.map(
        (check) => check.found,
      )
    expect([found('11111'), found('10111')]).toEqual([
      ['1', '0'],
      ['0', '1'],
    ])
  })

  test('it is told to be the caller’s, with its basis', () => {
    const told = (basis: string | undefined): string[] =>
      codesOf(fileOf(MAP), { device: { ...orDocument(), basis } }).filter((code) => code.startsWith('device/'))
    expect(told('published')).toEqual(['device/user-defined'])
    expect(told(undefined)).toEqual(['device/unconfirmed-map', 'device/user-defined'])
    expect(told('memory')).toEqual(['device/unconfirmed-map', 'device/user-defined'])
    expect(told('inferred')).toEqual(['device/user-defined', 'device/inferred-map'])
    const { report } = check(fileOf(MAP), { device: orDocument() })
    expect(report).toMatchObject({ device: { part: 'SMALL ARRAY', basis: 'choice' }, candidates: [], pinCount: 6 })
    expect(report.findings.find(({ code }) => code === 'device/user-defined')).toMatchObject({
      severity: 'note',
      message: expect.stringContaining('SMALL ARRAY'),
    })
  })

  test('parts of the catalogue are not told of, by name, as data, or in an order', () => {
    for (const device of ['14L4', listDevices().find(({ part }) => part === '14L4')!])
      expect(codesOf(fileOf('0'.repeat(447) + '1'), { device })).not.toContain('device/user-defined')
    expect(
      codesOf(fileOf('0'.repeat(1927) + '1'), { device: deviceInOrder('82S100', 'array-by-array') }),
    ).not.toContain('device/user-defined')
    // The same data from a document are the caller's; so is an order that the caller changed.
    expect(
      codesOf(fileOf('0'.repeat(447) + '1'), { device: again(listDevices().find(({ part }) => part === '14L4')) }),
    ).toContain('device/user-defined')
    const changed = again(deviceInOrder('82S100', 'array-by-array')) as Document
    changed.modes[0].columns.reverse()
    expect(codesOf(fileOf('0'.repeat(1927) + '1'), { device: changed })).toEqual(
      expect.arrayContaining(['device/user-defined', 'device/unconfirmed-order']),
    )
  })

  test('a cell without a pin holds a register and drives nothing in the setting that it has', () => {
    const pathsOf = (more: object): string[] => {
      const document = asynchronousDocument()
      document.cells = [{ pin: null, name: 'B', firstRow: 0, rowCount: 5 }]
      const [registered] = document.modes[0].settings
      delete registered.loadPin
      const plain = { output: 'combinational', enable: 'always', sums: [{ from: 4, count: 1 }] }
      document.modes[0].settings = [registered, { ...plain, polarity: 'none', inverting: false }]
      Object.assign(document.modes[0], more)
      const paths = deviceErrors(document).map(({ path }) => path.replace('device.modes[0].', ''))
      return paths.filter((path) => path.startsWith('settings'))
    }
    // No fuse selects and nothing else is said: the first setting. Its register would drive.
    expect(pathsOf({})).toEqual(['settings[0].enable'])
    expect(pathsOf({ cellSettings: [0] })).toEqual(['settings[0].enable'])
    expect(pathsOf({ cellSettings: [1] })).toEqual(['settings[1].output', 'settings[1].enable'])
  })

  test('an order cannot be asked for of it, whatever its name', () => {
    expect(() =>
      verify(fileOf('0'.repeat(12)), { device: { ...sizeDocument(), part: '82S100' }, fuseOrder: 'term-by-term' }),
    ).toThrow(/^options\.fuseOrder: /)
  })

  test('candidates stay those of the catalogue', () => {
    const document = {
      ...sizeDocument(),
      fuseCount: 448,
      blocks: [{ use: 'undecoded', name: 'fuses', first: 0, count: 448 }],
    }
    expect(verify(fileOf('0'.repeat(447) + '1'), { device: document }).candidates).toEqual(['14H4', '14L4'])
  })

  test('every fuse has the role that the document gives it', () => {
    const roles = (document: Document): string => {
      const decoded = decode(readDevice(document), fuseMapFrom('0'.repeat(document.fuseCount)))
      const letters: Readonly<Record<string, string>> = {
        and: 'a',
        or: 'o',
        'output-enable': 'e',
        polarity: 'p',
        reserved: '?',
      }
      return Array.from({ length: document.fuseCount }, (_, fuse) => letters[roleOf(decoded, fuse).role]).join('')
    }
    expect(roles(orDocument())).toBe('aaaaooaaaaooaaaaooeeeeeeeepp')
    expect(roles(sizeDocument())).toBe('????????????')
  })

  test('mode-select, signature and disable fuses may have steps too', () => {
    const document = cellDocument()
    // Fuses 68 to 83 are disable and signature by turns, 84 and 86 the mode, 85 and 87 nothing that is known.
    document.blocks.splice(3, 4)
    document.blocks.push(
      { use: 'term-disable', name: 'disable', first: 68, count: 8, step: 2 },
      { use: 'signature', name: 'signature', first: 69, count: 8, step: 2 },
      { use: 'mode-select', name: 'mode', first: 84, count: 2, step: 2 },
      { use: 'undecoded', name: 'rest', first: 85, count: 2, step: 2 },
    )
    Object.assign(document, {
      fuseCount: 88,
      shorterCounts: undefined,
      shorterBasis: undefined,
      powerDownPin: undefined,
    })
    const device: Device = readDevice(document)
    const decoded = (tail: string): Decoded => decode(device, fuseMapFrom('0'.repeat(68) + tail))
    // Signature 0100 0001, most significant bit first, is the letter A; row 2 is disabled.
    const found = decoded('10' + '11' + '00' + '10' + '10' + '10' + '10' + '11' + '0010')
    expect([...found.signature!]).toEqual([0x41])
    expect(found.disabledRows.map(({ row }) => row)).toEqual([2])
    expect(['0010', '0111', '1010', '1000'].map((mode) => decoded('0'.repeat(16) + mode).mode?.name)).toEqual([
      'clocked',
      'clocked',
      'plain',
      undefined,
    ])
  })

  test('a map of another size is told with the parts that have it', () => {
    const { findings } = verify(fileOf('0'.repeat(447) + '1'), { device: '20V8' })
    const mismatch = findings.find(({ code }) => code === 'device/size-mismatch')!
    expect(mismatch.hint).toContain('choose 14H4 or 14L4')
    expect(
      verify(fileOf('1'.repeat(7) + '0'), { device: '20V8' }).findings.find(
        ({ code }) => code === 'device/size-mismatch',
      )!.hint,
    ).not.toContain('--device')
  })
})
