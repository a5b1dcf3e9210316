/** The catalogue's findings of grading, making and telling apart; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const TESTS = '3-A, functional test information'

/** What grading vectors can show besides its counts. */
export const GRADE_FINDINGS = {
  'grade/no-vectors': {
    severity: 'warning',
    message: 'There are no vectors to grade, so no fault is shown.',
    hint: 'Make vectors for this map, or take those of another file.',
    clause: TESTS,
  },
  'grade/vectors-fail': {
    severity: 'warning',
    message:
      'On the map itself {count:vector fails|vectors fail}, first vector {number}; a good chip would be rejected.',
    hint: 'Find out whether the fuses or the vectors are right before you rely on these counts.',
    clause: TESTS,
  },
  'grade/left-out': {
    severity: 'note',
    message: 'Fuses of a {part} whose effect is not known here are not counted as faults.',
    hint: 'Compare these fuses by reading the chip back.',
    clause: TESTS,
  },
  'grade/not-decoded': {
    severity: 'error',
    message: 'The file cannot be graded: {reason}.',
    hint: 'Name the part, or see what checking the file says.',
    clause: TESTS,
  },
} as const satisfies Catalogue
