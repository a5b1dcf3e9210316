/** The catalogue's findings of comparisons; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'
import type { DataOf } from './wording'

const BARE = 'common practice, no published source'
const PROOF = 'R. E. Bryant, IEEE Trans. Comput. C-35(8), 1986: equal functions have one diagram'

/** What both sides are taken for: one part, or one each. */
const TAKEN = { part: '{part}', parts: '{part} and {otherPart}' } as const

/** What both sides are taken for, as data. */
export type TakenAs = DataOf<{ readonly message: '{taken}'; readonly words: { readonly taken: typeof TAKEN } }>

/** What comparing two files, maps or reads can show. */
export const COMPARE_FINDINGS = {
  'compare/no-fuses': {
    severity: 'error',
    message: 'The {side} gives no complete fuse map, so nothing was compared.',
    hint: 'Check that file by itself and see what is wrong first.',
    clause: '3-A, fuse information fields',
    words: { side: { intended: 'intended file', readback: 'read-back' } },
  },
  'compare/different': {
    severity: 'error',
    message: '{count:output differs|outputs differ} in logic: {outputs}.',
    hint: 'Do not take one for the other; each difference is shown with a case in which it is seen.',
    clause: PROOF,
    words: { outputs: { pins: '{pins,=pin|pins}', 'of-candidate': 'as {taken}' }, taken: TAKEN },
  },
  'compare/opposite-level': {
    severity: 'note',
    message: 'Pin {pin} always shows the opposite level.',
    hint: 'Look at the polarity fuse of that output, and at an inverter on the board.',
    clause: PROOF,
  },
  'compare/added-hazards': {
    severity: 'warning',
    message:
      'The read-back is equal in every settled level and worse on the way: {count:signal|signals} may pulse where the intended map is safe, first at pin {pin} while {input} changes.',
    hint: 'Use the intended map where such a pulse could clock, reset or latch something.',
    clause: 'Yoeli and Rinon, J. ACM 11(1), 1964, 84-97: static hazards by ternary algebra',
    words: { input: { pin: 'pin {inputPin}', register: 'register {register}' } },
  },
  'compare/fuses-differ': {
    severity: 'error',
    message: '{count:fuse differs|fuses differ}; what that does to the logic was not examined.',
    hint: 'Name the part where it is known.',
    clause: '3-A, fuse information fields',
  },
  'compare/logic-not-examined': {
    severity: 'warning',
    message: 'The logic was not examined: {reason}.',
    hint: 'What is said here holds for the fuses alone.',
    clause: 'catalogue of parts',
    words: {
      reason: {
        undecoded: 'what the fuses of a {part} mean is not known here',
        'no-mode': 'the configuration fuses name no mode',
        'one-side-without-mode': 'the configuration fuses of one side name no mode',
        'unknown-part': 'no part fits',
      },
    },
  },
  'compare/sizes-differ': {
    severity: 'warning',
    message:
      'The maps have {intended} and {readback} fuses, and what their fuses mean is not known, so nothing can be compared.',
    hint: 'State both parts.',
    clause: 'catalogue of parts',
  },
  'compare/packages-differ': {
    severity: 'warning',
    message: 'A {intended} has {pins} pins and a {readback} has {others}; which pins belong together is not known.',
    hint: 'State the pairs of pins.',
    clause: 'catalogue of parts',
  },
  'compare/candidates': {
    severity: 'note',
    message: 'The part is not certain; the result was proved for each of {candidates,}.',
    hint: 'State the part to see its outputs.',
    clause: 'catalogue of parts',
    items: { candidates: { message: '{taken}', between: ', ', words: { taken: TAKEN } } },
  },
  'compare/candidates-disagree': {
    severity: 'warning',
    message: 'The part decides: {results,}.',
    hint: 'State the part.',
    clause: 'catalogue of parts',
    items: {
      results: {
        message: 'as {taken} {relation}',
        between: '; ',
        words: {
          taken: TAKEN,
          relation: {
            identical: 'identical',
            equivalent: 'equivalent',
            different: 'different',
            undecided: 'undecided',
            'not-comparable': 'not comparable',
          },
        },
      },
    },
  },
  'compare/undecided': {
    severity: 'warning',
    message: 'Pin {pin} could not be decided: {reason}.',
    hint: 'Nothing is claimed about this output; look at it by other means.',
    clause: PROOF,
    words: {
      reason: {
        'node-limit': 'its function grew past the limit of the decision diagrams',
        'undefined-cell': 'it hangs on a cell that no data sheet defines',
        loop: 'its feedback loop is driven differently, which may or may not be seen outside',
        'power-down':
          'the power-down fuse differs, and which of its states turns a pin into a control input is not published',
        'unsettled-resets': 'resets and presets that hang on states do not come to rest, or meet on one side only',
        'state-limit': 'it differs in states, and there are too many to find out whether they are reached',
        'hidden-register':
          'a register that no pin shows acts otherwise on one side, and whether that is ever seen was not found out',
        'not-reproduced': 'the diagrams show a difference that the reference simulation confirms from no state at rest',
      },
    },
  },
  'compare/loops': {
    severity: 'note',
    message: 'Feedback loops through {pins,=pin|pins} were compared by what drives them, not by how they settle.',
    hint: 'Equal drives make equal loops; delays and start levels are another matter.',
    clause: PROOF,
  },
  'compare/one-sided': {
    severity: 'note',
    message: 'Only the {side} drives pin {pin}.',
    hint: 'See whether the board needs that output.',
    clause: 'catalogue of parts',
    words: { side: { intended: 'intended part', readback: 'other part' } },
  },
  'compare/power-up-open': {
    severity: 'warning',
    message: 'Where the registers of {pins,=pin|pins} start is not known for both sides: it depends on maker and series.',
    hint: 'State it for both (high, low), or see that the machine resets them.',
    clause: 'data sheets of the parts',
  },
  'compare/from-start-only': {
    severity: 'warning',
    message:
      'The two differ in states that they never reach from their start; from there on no difference can be seen.',
    hint: 'See that the registers start as stated: by the data sheets, or as the options say; {states} pairs of states were visited.',
    clause: 'product of both machines, all states that can be reached',
  },
  'compare/start-not-explored': {
    severity: 'note',
    message: 'Whether the states in which the two differ can be reached was not found out: {reason}.',
    hint: 'The counterexample holds for the state that it names.',
    clause: 'product of both machines, all states that can be reached',
    words: {
      reason: {
        'start-unknown': 'where the registers start is not known',
        'several-clocks': 'the registers have several clocks',
        loops: 'the parts have feedback loops',
        'unsettled-resets': 'resets and presets do not come to rest, or meet',
        loads: 'a pin loads registers',
        limit: 'there are more states than the limit',
      },
    },
  },
  'compare/power-down-differs': {
    severity: 'warning',
    message:
      'The power-down fuse {fuse} is {intended} in the intended map and {readback} in the read-back; in one of them pin {pin} may be a control input.',
    hint: 'Which state does what is not published: find out which fuse the chip is meant to have.',
    clause: 'data sheets of the parts',
  },
  'compare/power-down-one-sided': {
    severity: 'warning',
    message:
      'The {side} leaves out the power-down fuse, which is {state} in the other: pin {pin} may be a control input there.',
    hint: 'See what the programmer writes into that fuse.',
    clause: 'data sheets of the parts',
    words: { side: { intended: 'intended map', readback: 'read-back' } },
  },
  'compare/equal-sums': {
    severity: 'note',
    message: 'The maps differ although their fuse checksums are equal ({sum}).',
    hint: 'Equal checksums do not prove equal maps.',
    clause: '3-A, fuse checksum field',
  },
  'compare/same-array': {
    severity: 'note',
    message: 'The {count} fuses of the smaller map are the first fuses of the larger one.',
    hint: 'One design in two sizes: the larger map adds what the smaller part does not have. Burn the one made for the chip.',
    clause: 'data sheets of the parts',
  },
  'compare/dont-care': {
    severity: 'note',
    message: '{count:input pattern was|input patterns were} left out of the comparison, as asked for.',
    hint: 'Nothing is said about them.',
    clause: 'request of the caller',
  },
  'readback/all-alike': {
    severity: 'warning',
    message: 'All fuses of the {side} are {state}: that is a blank, protected or unread chip, and no conclusion.',
    hint: 'Read again, choose the exact type, and see whether the chip is protected.',
    clause: BARE,
    words: {
      side: { intended: 'intended file', readback: 'read-back' },
      state: { 0: 'connected (0)', 1: 'open (1)' },
    },
  },
  'readback/array-alike': {
    severity: 'warning',
    message:
      'The whole array of the {side} is {state}{signature}: that is a blank or protected chip, and no conclusion.',
    hint: 'A protected chip can still be compared by what it does, not by its fuses.',
    clause: BARE,
    words: {
      side: { intended: 'intended file', readback: 'read-back' },
      state: { 0: 'connected (0)', 1: 'open (1)' },
      signature: { read: ', while its signature reads “{text}”', none: '' },
    },
  },
  'readback/shifted': {
    severity: 'warning',
    message: 'The read-back is the intended map moved by {by:fuse|fuses}.',
    hint: 'Choose the exact variant of the part in the programmer and read again; a list may also have a wrong address.',
    clause: BARE,
  },
  'readback/repeated-halves': {
    severity: 'warning',
    message: 'The second half of the read-back’s array repeats the first.',
    hint: 'Clean the contacts and read again: an address line of the programmer or of the chip does not work.',
    clause: BARE,
  },
  'readback/signature-only': {
    severity: 'note',
    message: 'Only signature fuses differ.',
    hint: 'Nothing to do for the logic: signature fuses have no part in it.',
    clause: BARE,
  },
  'readback/idle-rows-only': {
    severity: 'note',
    message: 'The differences lie in rows that do nothing on either side.',
    hint: 'Nothing to do for the logic: such rows have no part in it.',
    clause: BARE,
  },
  'readback/tail-only': {
    severity: 'warning',
    message: 'The array is right, and the configuration fuses behind it are not.',
    hint: 'Choose the exact variant of the part in the programmer, and read again.',
    clause: BARE,
  },
  'readback/stuck-column': {
    severity: 'warning',
    message: 'All {count} differences lie in column {index} and read {state}.',
    hint: 'Clean the contacts, read again and compare both reads: a contact or a column of the chip may be bad.',
    clause: BARE,
  },
  'readback/stuck-row': {
    severity: 'warning',
    message: 'All {count} differences lie in row {index} and read {state}.',
    hint: 'Clean the contacts, read again and compare both reads: a contact or a row of the chip may be bad.',
    clause: BARE,
  },
  'readback/alike-from-row': {
    severity: 'warning',
    message:
      'From fuse {fuse} in row {index} on, the array of the read-back is all {state}; {count:fuse is|fuses are} wrong.',
    hint: 'Read again and compare both reads: reading may have stopped there, or an address line does not work.',
    clause: BARE,
  },
} as const satisfies Catalogue
