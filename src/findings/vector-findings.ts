/** The catalogue's findings of running test vectors; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const TESTS = '3-A, functional test information'

/** What running test vectors can show. */
export const VECTOR_FINDINGS = {
  'vector/failed': {
    severity: 'error',
    message: 'Vector {number} expects {expected} at pin {pin}; the fuses give {found}.',
    hint: 'Fuses and vectors contradict each other: find out which of them is right before burning.',
    clause: TESTS,
  },
  'vector/contradicted': {
    severity: 'warning',
    message:
      'Vector {number} expects {expected} at pin {pin}; by a map that is not confirmed, the fuses give {found}.',
    hint: 'Either the file contradicts itself or the map is wrong; check the map against a data sheet.',
    clause: TESTS,
  },
  'vector/undetermined': {
    severity: 'warning',
    message:
      'Of {total:vector|vectors}, {count:stays|stay} open; the first is vector {number} at pin {pin}, which expects {expected} and depends on {causes}.',
    hint: 'Not a fault by itself: the vectors do not fix everything that they rely on.',
    clause: TESTS,
  },
  'vector/holds-with': {
    severity: 'note',
    message:
      'Of {total:vector|vectors}, {count:stays|stay} open as they stand (the first is vector {number} at pin {pin}, which depends on {causes}); all hold with {reading}.',
    hint: 'The vectors rely on what a tester does by itself. Nothing contradicts the fuses.',
    clause: TESTS,
  },
  'vector/level-at-input': {
    severity: 'warning',
    message:
      'Vector {number} expects {expected} at pin {pin}, which is no output of this part ({count:such place|such places}).',
    hint: 'The vectors may be for another part or another pin order.',
    clause: TESTS,
  },
  'vector/overridden': {
    severity: 'note',
    message:
      'In {count:place|places} an enabled output overrides the applied level, first in vector {number} at pin {pin}.',
    hint: 'Allowed by the standard; on a board two drivers would fight.',
    clause: TESTS,
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
      'Vectors from {number} on apply a super voltage (condition {condition}) at pin {pin}, which is no logic level; what follows from it is open.',
    hint: 'Do not apply it to a part of another maker: it may be damaged.',
    clause: TESTS,
  },
  'vector/none': {
    severity: 'note',
    message: 'The file holds no test vectors, so it does not say what it should do.',
    hint: 'Logic is known from the fuses alone; compare it with the original where you can.',
    clause: TESTS,
  },
  'vector/source-unusable': {
    severity: 'warning',
    message: 'Vectors of the other file cannot be used: {reason}.',
    hint: 'Check that file by itself first.',
    clause: TESTS,
  },
  'vector/preload': {
    severity: 'note',
    message:
      'Vector {number} asks for a preload that reaches no register of a {part}, or is not published for it; its registers, if any, are taken as unknown.',
    hint: 'What depends on them stays open.',
    clause: '3-A, register preload',
  },
} as const satisfies Catalogue
