/** The catalogue's findings of running test vectors; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'
import type { DataOf, ItemEntry } from './wording'

const TESTS = '3-A, functional test information'

/** Where a vector's condition stands, where that is not the number of its pin. */
const COUNTED = { 'by-pin': '', 'by-position': ' (position {position} of the vector)' } as const

/** What an unknown level hangs on. */
export const CAUSES = {
  message: '{kind}',
  between: '; ',
  words: {
    kind: {
      'input-only': 'a pin that is only an input',
      register: 'the register of pin {pin}, which nothing has set',
      input: 'the unknown level applied to pin {pin}',
      floating: 'pin {pin}, to which nothing is applied',
      clock: 'a clock edge for pin {pin} that is not certain',
      order: 'the order of changes around pin {pin}, which the standard leaves open',
      loop: 'the state of a loop through pin {pin}, which a race or an open order leaves unknown',
      'undefined-cell': 'pin {pin}, whose setting the data sheet does not define',
      preload: 'a preload of pin {pin} that is not published',
      vector: 'an earlier vector that could not be read (pin {pin})',
    },
  },
} as const satisfies ItemEntry

/** How many of the causes are named. */
export const NAMED = { all: '', some: '; and {others} more' } as const

/** How open points of vectors are taken. */
export const READINGS = {
  'x-0': 'X taken as 0',
  'x-1': 'X taken as 1',
  'power-up': 'registers at their power-up state',
  'data-then-clock': 'data changing before the clock',
} as const

/** Causes as data of a finding. */
export type CausesData = DataOf<{
  readonly message: '{causes,}{named}'
  readonly words: { readonly named: typeof NAMED }
  readonly items: { readonly causes: typeof CAUSES }
}>

/** The place of a condition as data of a finding. */
export type PlaceData = DataOf<{
  readonly message: '{pin}{counted}'
  readonly words: { readonly counted: typeof COUNTED }
}>

/** What running test vectors can show. */
export const VECTOR_FINDINGS = {
  'vector/failed': {
    severity: 'error',
    message: 'Vector {number} expects {expected} at pin {pin}{counted}; the fuses give {found}.',
    hint: 'Fuses and vectors contradict each other: find out which of them is right before burning.',
    clause: TESTS,
    words: { counted: COUNTED },
  },
  'vector/contradicted': {
    severity: 'warning',
    message:
      'Vector {number} expects {expected} at pin {pin}{counted}; by a map that is not confirmed, the fuses give {found}.',
    hint: 'Either the file contradicts itself or the map is wrong; check the map against a data sheet.',
    clause: TESTS,
    words: { counted: COUNTED },
  },
  'vector/undetermined': {
    severity: 'warning',
    message:
      'Of {total:vector|vectors}, {count:stays|stay} open; the first is vector {number} at pin {pin}{counted}, which expects {expected} and depends on {causes,}{named}.',
    hint: 'Not a fault by itself: the vectors do not fix everything that they rely on.',
    clause: TESTS,
    words: { counted: COUNTED, named: NAMED },
    items: { causes: CAUSES },
  },
  'vector/holds-with': {
    severity: 'note',
    message:
      'Of {total:vector|vectors}, {count:stays|stay} open as they stand (the first is vector {number} at pin {pin}{counted}, which depends on {causes,}{named}); all hold with {reading,and}.',
    hint: 'The vectors rely on what a tester does by itself. Nothing contradicts the fuses.',
    clause: TESTS,
    words: { counted: COUNTED, named: NAMED, reading: READINGS },
    items: { causes: CAUSES },
  },
  'vector/level-at-input': {
    severity: 'warning',
    message:
      'Vector {number} expects {expected} at pin {pin}{counted}, which is no output of this part ({count:such place|such places}).',
    hint: 'The vectors may be for another part or another pin order.',
    clause: TESTS,
    words: { counted: COUNTED },
  },
  'vector/overridden': {
    severity: 'note',
    message:
      'In {count:place|places} an enabled output overrides the applied level, first in vector {number} at pin {pin}{counted}.',
    hint: 'Allowed by the standard; on a board two drivers would fight.',
    clause: TESTS,
    words: { counted: COUNTED },
  },
  'vector/no-default-level': {
    severity: 'note',
    message: 'Vectors leave inputs at X, but no X field says which level that is; it is taken as unknown.',
    hint: 'Nothing to do for burning.',
    clause: '3-A, default test condition',
  },
  'vector/pin-count': {
    severity: 'warning',
    message: 'The vectors hold {width} conditions, a {part} has {pins} pins; they are not run.',
    hint: 'The vectors may be for another part or package.',
    clause: TESTS,
  },
  'vector/super-voltage': {
    severity: 'note',
    message:
      'Vectors from {number} on apply a super voltage (condition {condition}) at pin {pin}{counted}, which is no logic level; what follows from it is open.',
    hint: 'Do not apply it to a part of another maker: it may be damaged.',
    clause: TESTS,
    words: { counted: COUNTED },
  },
  'vector/none': {
    severity: 'note',
    message: 'The file holds no test vectors, so it does not say what it should do.',
    hint: 'Logic is known from the fuses alone; compare it with the original where you can.',
    clause: TESTS,
  },
  'vector/source-unusable': {
    severity: 'warning',
    message: 'Vectors of the other file cannot be used: {reason}',
    hint: 'Check that file by itself first.',
    clause: TESTS,
    words: {
      reason: {
        'none-well-formed': 'it holds none that is well formed.',
        'seven-bit': 'a receiver of seven bits reads others from it.',
        found: '{finding!}',
      },
    },
  },
  'vector/preload': {
    severity: 'note',
    message:
      'Vector {number} asks for a preload that reaches no register of a {part}, or is not published for it; its registers, if any, are taken as unknown.',
    hint: 'What depends on them stays open.',
    clause: '3-A, register preload',
  },
} as const satisfies Catalogue
