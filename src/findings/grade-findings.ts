/** The catalogue's findings of grading, making and telling apart; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const TESTS = '3-A, functional test information'
const LIMIT = 'limit of this check'

/** What grading vectors can show besides its counts. */
export const GRADE_FINDINGS = {
  'grade/no-vectors': {
    severity: 'warning',
    message: 'There are no vectors, so no fault is shown.',
    hint: 'Make vectors for this map, or take those of another file.',
    clause: TESTS,
  },
  'grade/vectors-fail': {
    severity: 'warning',
    message:
      'The map itself fails {count:vector|vectors}, vector {number} first: its fuses and these vectors contradict each other.',
    hint: 'Find out which of the two is right before you use these counts.',
    clause: TESTS,
  },
  'grade/steps-limit': {
    severity: 'warning',
    message: 'Grading reached its limit of {limit} steps: what was open then is undecided.',
    hint: 'Grade fewer vectors, or raise the limit where the caller can.',
    clause: LIMIT,
  },
  'grade/left-out': {
    severity: 'note',
    message: 'Some fuses of a {part} have an effect that is not known here, and are not counted as faults.',
    hint: 'Compare these fuses by reading the chip back.',
    clause: TESTS,
  },
} as const satisfies Catalogue

/** What making vectors runs into. */
export const EXERCISE_FINDINGS = {
  'exercise/start-unknown': {
    severity: 'warning',
    message: 'No sequence was found that brings these registers from an unknown state to a known one: {places,}.',
    hint: 'Make vectors for the state after power-up, and test the chip right after power-up.',
    clause: TESTS,
  },
  'exercise/steps-limit': {
    severity: 'warning',
    message: 'Making vectors reached its limit of {limit} steps: more vectors may show more.',
    hint: 'Raise the limit where the caller can, or compare the fuses too where the chip can be read back.',
    clause: LIMIT,
  },
  'exercise/missed': {
    severity: 'warning',
    message: 'The vectors made miss {count:fault that changes|faults that change} what the part does.',
    hint: 'Compare the fuses too where the chip can be read back.',
    clause: TESTS,
  },
} as const satisfies Catalogue

/** What telling maps apart runs into; maps are named by their place in the call, from 1. */
export const DISTINGUISH_FINDINGS = {
  'distinguish/equal': {
    severity: 'warning',
    message: 'Maps {a} and {b} are proved to do the same, so no vector tells them apart.',
    hint: 'Compare their fuses where it matters which of the two a chip holds.',
    clause: TESTS,
  },
  'distinguish/steps-limit': {
    severity: 'warning',
    message: 'Telling apart reached its limit of {limit} steps: pairs of maps that were open then are not told apart.',
    hint: 'Give fewer maps, or raise the limit where the caller can.',
    clause: LIMIT,
  },
  'distinguish/not-found': {
    severity: 'warning',
    message: 'No vector was found that tells maps {a} and {b} apart, and they are not proved to do the same.',
    hint: 'Compare the two files, and run the sequence that tells them apart by hand.',
    clause: TESTS,
  },
} as const satisfies Catalogue
