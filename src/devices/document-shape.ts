/** The shape of a part written as JSON: which keys, of which kinds. */
import { FLAG, type Shape } from '../arguments/document'
import { SCHEMA } from '../findings/schema'

/** Most fuses of a part that a document can describe. */
const MOST_FUSES = 262_144
/** Most pins. */
const MOST_PINS = 256

const NAME: Shape = { text: [1, 64] }
const LINE: Shape = { text: [0, 2000] }
const LINES: Shape = { list: LINE, bounds: [0, 256] }
const NAMES: Shape = { list: NAME, bounds: [0, 256] }
const PIN: Shape = { whole: [1, MOST_PINS] }
const PLACE: Shape = { whole: [0, MOST_FUSES] }
const SIZE: Shape = { whole: [1, MOST_FUSES] }
const BASIS: Shape = { words: ['published', 'inferred', 'unconfirmed', 'memory'] }
const STATE: Shape = { words: [0, 1] }

/** What a column carries: a pin, or the register of a cell by its pin or name. */
const FEED: Shape = {
  whole: [1, MOST_PINS],
  or: { needed: { cell: { whole: [1, MOST_PINS], or: NAME }, tap: { words: ['q', 'not-q'] } } },
}

const BLOCK: Shape = {
  needed: {
    use: {
      words: [
        'array',
        'or',
        'polarity',
        'cell-select',
        'term-disable',
        'mode-select',
        'signature',
        'undecoded',
        'power-down',
      ],
    },
    name: NAME,
    first: PLACE,
    count: SIZE,
  },
  optional: { run: SIZE, step: SIZE, names: { list: NAME, bounds: [1, MOST_PINS] } },
}

const CELL: Shape = {
  needed: { pin: { whole: [1, MOST_PINS], orNull: true }, firstRow: PLACE, rowCount: PLACE },
  optional: { name: NAME },
}

const SETTING: Shape = {
  needed: {
    output: { words: ['combinational', 'registered', 'none', 'undefined'] },
    enable: { words: ['always', 'never'], or: { optional: { row: PLACE, lowPin: PIN } } },
    polarity: { words: ['before', 'after', 'none'] },
    inverting: FLAG,
  },
  optional: {
    sums: { list: { needed: { from: PLACE, count: SIZE } }, bounds: [0, 16] },
    orArray: FLAG,
    clock: { optional: { pin: PIN, row: PLACE } },
    resetRow: PLACE,
    presetRow: PLACE,
    bypass: FLAG,
    loadPin: PIN,
    powerUp: STATE,
  },
  otherwise: { sums: [] },
}

const MODE: Shape = {
  needed: {
    columns: { list: FEED, bounds: [1, MOST_PINS] },
    registerFeedback: { words: ['inverted-register', 'pin'] },
    settings: { list: SETTING, bounds: [1, 64] },
  },
  optional: {
    name: { text: [1, 64], orNull: true },
    select: { list: STATE, bounds: [0, 16] },
    cellSettings: { list: PLACE, bounds: [0, MOST_PINS] },
  },
  otherwise: { name: null, select: [] },
}

const CARRIER: Shape = {
  needed: { name: NAME, dipPins: { list: { whole: [0, MOST_PINS] }, bounds: [1, MOST_PINS] } },
}

/** The whole document: the data of a `Device`. */
export const PART: Shape = {
  needed: {
    part: NAME,
    fuseCount: SIZE,
    pinCount: PIN,
    groundPin: PIN,
    powerPin: PIN,
    array: { needed: { rows: PLACE, columns: PLACE }, optional: { complementFirst: FLAG } },
    blocks: { list: BLOCK, bounds: [1, 256] },
    cells: { list: CELL, bounds: [0, MOST_PINS] },
    modes: { list: MODE, bounds: [0, 64] },
  },
  optional: {
    schema: { words: [SCHEMA] },
    aliases: NAMES,
    otherParts: NAMES,
    title: LINE,
    shorterCounts: { list: SIZE, bounds: [0, 16] },
    shorterBasis: BASIS,
    carriers: { list: CARRIER, bounds: [0, 16] },
    powerDownPin: PIN,
    powerDownNames: NAMES,
    sharedRows: { needed: { reset: PLACE, clockedPreset: PLACE } },
    basis: BASIS,
    fuseOrder: NAME,
    sources: { list: LINE, bounds: [1, 256] },
    remarks: LINES,
  },
  otherwise: {
    aliases: [],
    title: 'A part of the caller’s own',
    basis: 'unconfirmed',
    sources: ['stated by the caller without a source'],
    remarks: [],
  },
}
