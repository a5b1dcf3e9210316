/**
 * Documents of parts that nobody made, small enough to be worked out by hand; fresh at each call, so that a test can
 * spoil one.
 */

/** Untyped on purpose: tests put mistakes in. */
export type Document = any

/**
 * Two cells in two modes, with one block of every kind that a part without an OR array has. Rows of eight columns (pins
 * 1, 2, 5, 6): the shared reset in row 0, three for pin 5, three for pin 6, the shared preset in row 7.
 */
export function cellDocument(): Document {
  const registered = {
    output: 'registered',
    enable: { row: 0, lowPin: 3 },
    sums: [{ from: 1, count: 2 }],
    polarity: 'after',
    inverting: true,
    clock: { pin: 1 },
    powerUp: 0,
  }
  const combinational = (): Document => ({
    output: 'combinational',
    enable: { row: 0 },
    sums: [{ from: 1, count: 2 }],
    polarity: 'before',
    inverting: false,
  })
  const input = { output: 'none', enable: 'never', sums: [], polarity: 'none', inverting: false }
  return {
    part: 'TWO CELLS',
    aliases: ['TWOCELLS'],
    title: 'Two cells in two modes',
    fuseCount: 87,
    shorterCounts: [78, 86],
    shorterBasis: 'inferred',
    pinCount: 8,
    carriers: [{ name: 'square', dipPins: [0, 1, 2, 3, 4, 5, 6, 7, 8, 0] }],
    powerDownPin: 7,
    groundPin: 4,
    powerPin: 8,
    array: { rows: 8, columns: 8 },
    sharedRows: { reset: 0, clockedPreset: 7 },
    blocks: [
      { use: 'array', name: 'AND array', first: 0, count: 64 },
      { use: 'polarity', name: 'polarity', first: 64, count: 2, step: 2 },
      { use: 'cell-select', name: 'select', first: 65, count: 2, step: 2 },
      { use: 'term-disable', name: 'disable', first: 68, count: 8 },
      { use: 'mode-select', name: 'mode', first: 76, count: 2, names: ['M1', 'M0'] },
      { use: 'signature', name: 'signature', first: 78, count: 8 },
      { use: 'power-down', name: 'power-down', first: 86, count: 1 },
    ],
    cells: [
      { pin: 5, firstRow: 1, rowCount: 3 },
      { pin: 6, firstRow: 4, rowCount: 3 },
    ],
    modes: [
      {
        name: 'clocked',
        select: [0, 1],
        columns: [1, 2, 5, 6],
        registerFeedback: 'inverted-register',
        settings: [registered, combinational()],
      },
      {
        name: 'plain',
        select: [1, 1],
        columns: [1, 2, 5, 6],
        registerFeedback: 'pin',
        settings: [input, combinational()],
      },
    ],
    basis: 'published',
    sources: ['worked out by hand'],
    remarks: ['Nobody made this part.'],
  }
}

/** Three terms over pins 1 and 2 into the sums of pins 4 and 5, term by term, and a direction term for each. */
export function orDocument(): Document {
  return {
    part: 'SMALL ARRAY',
    fuseCount: 28,
    pinCount: 6,
    groundPin: 3,
    powerPin: 6,
    array: { rows: 5, columns: 4, complementFirst: true },
    blocks: [
      { use: 'array', name: 'terms', first: 0, count: 12, run: 4, step: 6 },
      { use: 'or', name: 'sums', first: 4, count: 6, run: 2, step: 6 },
      { use: 'array', name: 'directions', first: 18, count: 8 },
      { use: 'polarity', name: 'polarity', first: 26, count: 2 },
    ],
    cells: [
      { pin: 4, firstRow: 3, rowCount: 1 },
      { pin: 5, firstRow: 4, rowCount: 1 },
    ],
    modes: [
      {
        columns: [1, 2],
        registerFeedback: 'pin',
        settings: [
          { output: 'combinational', enable: { row: 0 }, orArray: true, polarity: 'before', inverting: false },
        ],
      },
    ],
    basis: 'published',
  }
}

/** One register with rows of its own for enable, clock, reset and preset, and one row of data. */
export function asynchronousDocument(): Document {
  return {
    part: 'ONE REGISTER',
    fuseCount: 20,
    pinCount: 5,
    groundPin: 4,
    powerPin: 5,
    array: { rows: 5, columns: 4 },
    blocks: [{ use: 'array', name: 'AND array', first: 0, count: 20 }],
    cells: [{ pin: 3, firstRow: 0, rowCount: 5 }],
    modes: [
      {
        columns: [1, 2],
        registerFeedback: 'pin',
        settings: [
          {
            output: 'registered',
            enable: { row: 0 },
            sums: [{ from: 4, count: 1 }],
            polarity: 'none',
            inverting: false,
            clock: { row: 1 },
            resetRow: 2,
            presetRow: 3,
            bypass: true,
            loadPin: 2,
            powerUp: 0,
          },
        ],
      },
    ],
  }
}

/** A part that is known by its size alone. */
export function sizeDocument(): Document {
  return {
    part: 'SIZE',
    fuseCount: 12,
    pinCount: 4,
    groundPin: 2,
    powerPin: 4,
    array: { rows: 0, columns: 0 },
    blocks: [{ use: 'undecoded', name: 'fuses', first: 0, count: 12 }],
    cells: [],
    modes: [],
  }
}
