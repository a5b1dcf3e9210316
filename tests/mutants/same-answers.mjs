// Mutants that change no answer, only how much work it takes, or that no input can tell from the original: they are not
// run, and not counted. By file, a piece of the line and the change, with the reason.
export const SAME_ANSWERS = [
  ['src/jesd3/reading.ts', 'new Uint8Array(0)', '0 → 1', 'the store that is empty has a capacity of 0 all the same'],
  ['src/jesd3/reading.ts', 'countCameLate: false', 'false → true', 'the file is read twice, the second time alike'],
  ['src/jesd3/reading.ts', 'address: 0,', '0 → 1', 'reading the head of a list sets the address before it is used'],
  ['src/jesd3/read-fuse-file.ts', 'const whole = i & 7', '3 → 4', 'bytes that are not filled at once are set bit by bit'],
  ['src/fuses/fuse-map.ts', 'i < a.bits.length; i++', '< → <=', 'a byte past the end is undefined on both sides'],
  ['src/fuses/fuse-map.ts', 'bit < 8; bit++) if (byte &', '< → <=', 'a byte has no ninth bit'],
  [
    'src/jobs/vectors/trail.ts',
    'reading.order !== this.#reading.order ||',
    'reading.order !== this.#reading.order || (reading.x !== this → true',
    'every vector is run again',
  ],
  [
    'src/inspect/chosen-device.ts',
    'const open = fuseOrder !== undefined &&',
    '=== → !==',
    'the order is checked before, and parts with an open order have the same eight, so that some are named otherwise',
  ],
  ['src/jobs/exercise/make-sequence.ts', 'lastShowing = 0', '0 → 1', 'one vector is kept in any case'],
  ...['256 → 255', '256 → 257'].map((change) => [
    'src/jobs/exercise/make-sequence.ts',
    'const MAX_PLACES',
    change,
    'functions of a place are made again alike where they are not kept',
  ]),
  ...['this.#places.size >= MAX_PLACES → false', '>= → >', 'this.#places.clear() → ;'].map((change) => [
    'src/jobs/exercise/make-sequence.ts',
    'this.#places.clear()',
    change,
    'the same: only the memory that they take is bounded here',
  ]),
  ['src/jobs/exercise/make-sequence.ts', 'return true // Only null', 'true → false', 'any other value will do'],
  [
    'src/jobs/exercise/make-combinational.ts',
    'const own = pin !== null &&',
    '&& → ||',
    'a pin that is never left alone is driven here too: the same vector again, which shows nothing more',
  ],
  ['src/jobs/grade/live-part.ts', 'if (this.#marked)', 'this.#marked → true', 'who puts a part back has marked it'],
  ['src/jobs/grade/grade.ts', 'return true', 'true → false', 'only null says that the steps did not suffice'],
  ['src/logic/part-sequence.ts', 'known !== undefined', 'known !== undefined → false', 'what is prepared for a logic is not kept'],
]
