/**
 * The catalogue's findings of parts; `catalogue.ts` says what the entries mean. `{source}` is the part's data sheet.
 */
import type { Catalogue } from './finding'
import type { DataOf } from './wording'

const BARE = 'common practice, no published source'
const VALUES = '3-A, value fields'

/** Words of a file on its part, as data. */
export type OwnWords = DataOf<(typeof DEVICE_FINDINGS)['device/own-words']>['words']

/** What identifying a part can show, and what a file lacks for it. */
export const DEVICE_FINDINGS = {
  'device/unknown': {
    severity: 'warning',
    message: 'No part of the catalogue has {count} fuses{pins}; the logic was not examined.',
    hint: 'Compare the size with the data sheet of the part that you mean to burn.',
    clause: 'catalogue of parts',
    words: { pins: { stated: ' and {pinCount} pins', unstated: '' } },
  },
  'device/no-fuses': {
    severity: 'warning',
    message: 'The file holds test vectors and no fuses, so there is no logic to examine.',
    hint: 'Use its vectors on a fuse file.',
    clause: VALUES,
  },
  'device/ambiguous': {
    severity: 'warning',
    message:
      'The size fits {candidates,and}; which one is meant cannot be seen from the fuses{runs,=;}{mention}.',
    hint: 'State the part.',
    clause: 'catalogue of parts',
    words: {
      mention: { some: '; its text mentions {mentioned,and}, which is a hint and no proof', none: '' },
    },
    items: {
      runs: { message: 'as {part}, {failed} of {count} test vectors would fail', between: '; ' },
    },
  },
  'device/by-vectors': {
    severity: 'warning',
    message:
      'The size fits {candidates,and}; only as {part} is no test vector contradicted. That is evidence, not proof.',
    hint: 'State the part {part} if that is the part.',
    clause: 'catalogue of parts',
  },
  'device/size-mismatch': {
    severity: 'error',
    message: 'A {part} has {expected,or} fuses, the file has {count}{fits,and=, as has the|, as have the}.',
    hint: 'This file is for another part; do not burn it into a {part}{fits,or=. To examine it, choose}.',
    clause: 'catalogue of parts',
  },
  'device/pin-count-differs': {
    severity: 'warning',
    message: 'The file states {stated} pins, a {part} has {expected}.',
    hint: 'The file may be meant for another part.',
    clause: VALUES,
  },
  'device/blank-map': {
    severity: 'warning',
    message: 'All {count} fuses are {state}: that is what an empty, protected or unread chip gives.',
    hint: 'Read the chip again; all ones or all zeros is not a good copy of anything.',
    clause: BARE,
  },
  'device/blank-array': {
    severity: 'warning',
    message:
      'All fuses of the AND array are {state}, although others are not: some protected chips read like that, and their signature can still be read.',
    hint: 'Read the chip again, and see whether it is protected; such a map is no copy of anything.',
    clause: BARE,
  },
  'device/named-otherwise': {
    severity: 'warning',
    message: 'The text of the file names {named,and}, and it is taken for a {part}, which has as many fuses.',
    hint: 'Find out which of the two it is for before burning it; the same fuses do something else in the other.',
    clause: BARE,
  },
  'device/own-words': {
    severity: 'note',
    message: 'Of its part the file itself says: {words,}. Its sums were checked, its logic was not examined.',
    hint: 'Compare that with the label of the chip.',
    clause: BARE,
    items: {
      words: {
        message: '{said}',
        between: ', ',
        words: { said: { word: '{text}', field: '{field} field “{text}”' } },
      },
    },
  },
  'device/power-down-fuse-missing': {
    severity: 'note',
    message:
      'An {name} has a fuse for a power-down pin, which this map of {count} fuses leaves out (the whole map has {whole}).',
    hint: 'See what the programmer writes there: if power-down is on, pin {pin} is no logic input.',
    clause: '{source}',
  },
  'device/configuration-missing': {
    severity: 'note',
    message: '{count} fuses are the array of a {part} without its configuration: a PAL map, by its size.',
    hint: 'Find out which PAL it was; the configuration of a {part} follows from that and cannot be seen from these fuses.',
    clause: '{source}',
  },
  'device/user-defined': {
    severity: 'note',
    message: 'The map of the {part} is the caller’s own, by its own statement {basis}; nothing here vouches for it.',
    hint: 'Check it against a data sheet, a known chip or test vectors before relying on it.',
    clause: '{source}',
    words: {
      basis: {
        published: 'from a publication',
        inferred: 'inferred',
        unconfirmed: 'not confirmed',
        memory: 'from memory',
      },
    },
  },
} as const satisfies Catalogue

/** What decoding the fuses of a part can show: apart, since logic is decoded without a file too. */
export const DECODING_FINDINGS = {
  'device/no-mode': {
    severity: 'error',
    message: 'The configuration fuses {fuses,} read {values,}, which is no mode of a {part}.',
    hint: 'The file is damaged or for another part; do not burn it.',
    clause: '{source}',
  },
  'device/disabled-term': {
    severity: 'warning',
    message:
      '{count:disabled row holds|disabled rows hold} a live term, which does nothing; the first is row {row}, by fuse {disable}.',
    hint: 'Compare with the original; some programs leave the disable fuses out.',
    clause: '{source}',
  },
  'device/undefined-cell': {
    severity: 'warning',
    message:
      'The output cell of pin {pin} is set to a combination that the data sheet does not define, and it is in use.',
    hint: 'What the pin does is not known here; it is taken as unknown.',
    clause: '{source}',
  },
  'device/unused-cell': {
    severity: 'note',
    message: 'The unused output cell of pin {pin} is set to a combination that the data sheet does not define.',
    hint: 'Ordinary in working files. The pin may be driven: do not connect it to another output.',
    clause: '{source}',
  },
  'device/dead-cell': {
    severity: 'note',
    message: 'Pin {pin} is switched to input, but in this mode it reaches no term: it does nothing.',
    hint: 'Nothing to do if nothing is connected to it.',
    clause: '{source}',
  },
  'device/undecoded': {
    severity: 'warning',
    message: 'By its size this is for a {part}, whose fuse map is not published; its fuses are not decoded.',
    hint: 'Compare it fuse by fuse with a second copy; {shown}.',
    clause: '{source}',
    words: {
      shown: {
        'in-named-order': 'its logic is shown only in an order of fuses that you name',
        never: 'its logic cannot be shown',
      },
    },
  },
  'device/unconfirmed-map': {
    severity: 'warning',
    message: 'What the fuses of a {part} mean {basis}; the logic shown may be wrong.',
    hint: 'Check it against a data sheet, a known chip or test vectors before relying on it.',
    clause: '{source}',
    words: { basis: { memory: 'is known from memory only', unconfirmed: 'is derived and not confirmed' } },
  },
  'device/unconfirmed-order': {
    severity: 'warning',
    message:
      'The fuses of this {part} are read in the order “{order}”, as asked for. No publication confirms it, and a wrong order gives logic that looks right.',
    hint: 'Check it against test vectors, a known chip or a table captured from one; see the other orders of the {part}.',
    clause: '{source}',
  },
  'device/inferred-map': {
    severity: 'note',
    message: 'What the fuses of a {part} mean is inferred in part, as its sources say.',
    hint: 'See the sources of the {part}.',
    clause: '{source}',
  },
  'device/power-down': {
    severity: 'note',
    message:
      'Fuse {fuse} of this {part}, which is {state}, belongs to a power-down pin; which value switches it on is not published.',
    hint: 'If it is on, pin {pin} is no logic input: keep it low, and do not trust terms that use it.',
    clause: '{source}',
  },
  'device/power-up': {
    severity: 'note',
    message: 'Registered outputs show {level} after power-up, once enabled: {pins,=pin|pins}.',
    hint: 'If it replaces another part, compare the power-up state: some PALs start the other way.',
    clause: '{source}',
    words: { level: { 0: 'low', 1: 'high' } },
  },
} as const satisfies Catalogue
