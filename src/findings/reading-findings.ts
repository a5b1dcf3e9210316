/** The catalogue's findings of reading; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const FIELDS = '3-A, field syntax'
const FUSES = '3-A, fuse information fields'
const VALUES = '3-A, value fields'
const PROTOCOL = '3-A, transmission protocol'
const FUSE_SUM = '3-A, fuse checksum field'
const TRANSMISSION_SUM = '3-A, transmission checksum'
const TESTS = '3-A, functional test information'
const EXTENSION = '3-A as reproduced in a device-programmer hardware manual, appendix Translation formats'

/** What reading a file can find: its form, its two checksums, its security field, its test-vector fields. */
export const READING_FINDINGS = {
  'file/empty': {
    severity: 'error',
    message: 'The file is empty.',
    hint: 'Download or read it again.',
    clause: PROTOCOL,
  },
  'file/not-a-fuse-file': {
    severity: 'error',
    message: 'This is not a fuse file: it holds neither fuses nor test vectors.',
    hint: 'Fetch the JEDEC file itself, as plain text; do not burn this.',
    clause: PROTOCOL,
  },
  'file/too-many-fuses': {
    severity: 'error',
    message: 'The file speaks of {count} fuses; this reader was told to take at most {limit}.',
    hint: 'No PAL has that many. If the number is meant, raise that limit.',
    clause: 'limit of this library',
  },
  'file/cut-short': {
    severity: 'error',
    message:
      'The file ends before its end mark (ETX){where}: it may have been cut, and what is missing cannot be known.',
    hint: 'Download or read it again; do not burn a part of a file.',
    clause: PROTOCOL,
    words: { where: { 'in-field': ' in the middle of “{text}”', 'between-fields': '' } },
  },
  'file/end-mark-missing': {
    severity: 'warning',
    message:
      'The end mark (ETX) is missing, but the fuse checksum stands after the last fuse list and fits the fuses.',
    hint: 'The fuses are whole; what followed them is lost. Prefer a complete download.',
    clause: PROTOCOL,
  },
  'file/uncovered-fuses': {
    severity: 'error',
    message: 'Of {total} fuses, {count:is|are} neither listed nor given a default; the first is fuse {first}.',
    hint: 'Their state is unknown and programmers differ in what they burn there. Get a complete file.',
    clause: FUSES,
  },
  'file/list-past-end': {
    severity: 'error',
    message: 'A fuse list reaches fuse {last}, but the file states {total} fuses (0 to {highest}).',
    hint: 'The size or the address is wrong; the surplus fuses are not used here. Get the file for this very part.',
    clause: FUSES,
  },
  'file/list-character': {
    severity: 'error',
    message:
      'A fuse list holds “{character}”, which is no fuse state ({count:such character|such characters} in this list).',
    hint: 'Fuses after it may stand one place off. Get an undamaged file.',
    clause: FUSES,
  },
  'file/list-address-missing': {
    severity: 'error',
    message: 'A fuse list does not begin with a fuse number; its fuses belong nowhere.',
    hint: 'Get an undamaged file.',
    clause: FUSES,
  },
  'file/value-conflict': {
    severity: 'warning',
    message: '{field} is stated as {first} and again as {second}; the last one is used.',
    hint: 'Find out which is meant; the file may be two files joined.',
    clause: VALUES,
  },
  'file/field-malformed': {
    severity: 'note',
    message: 'The {field} field reads “{text}”, which is not of its form; it is ignored.',
    hint: 'A programmer may refuse the file here; rewriting it helps.',
    clause: FIELDS,
  },
  'file/field-unreadable': {
    severity: 'warning',
    message: 'The {field} field reads “{text}”, which is not of its form: what it should say is not known.',
    hint: 'Get an undamaged file, or find out what was meant before burning.',
    clause: FIELDS,
  },
  'file/stray-start-mark': {
    severity: 'note',
    message: 'A second start mark (STX) stands inside the file.',
    hint: 'Two transfers may have been joined; look at the place.',
    clause: PROTOCOL,
  },
  'file/eighth-bit': {
    severity: 'note',
    message: '{count:byte is|bytes are} outside 7-bit ASCII; the first reads as “{character}” in a 7-bit receiver.',
    hint: 'Usually an accent or a sign in a header or note. Rewriting the file puts question marks for them.',
    clause: '3-A, character set',
  },
  'file/control-character': {
    severity: 'note',
    message:
      '{count:control character|control characters} other than STX, ETX, CR and LF; the first is {hex} hexadecimal.',
    hint: 'Often a tabulator; a strict receiver may stumble. Rewriting the file puts blanks for them.',
    clause: '3-A, character set',
  },
  'file/design-specification-missing': {
    severity: 'note',
    message: 'The file begins with {field} where the design specification should stand.',
    hint: 'A strict receiver would take this field for a title and lose it; rewrite the file for such a one.',
    clause: '3-A, design specification',
  },
  'file/stray-terminator': {
    severity: 'note',
    message: '{count:empty field|empty fields}: an asterisk with nothing before it.',
    hint: 'Nothing to do.',
    clause: FIELDS,
  },
  'file/unterminated-field': {
    severity: 'note',
    message: 'The last field, {field}, has no closing asterisk.',
    hint: 'Compare with the checksums; rewriting the file closes it.',
    clause: FIELDS,
  },
  'file/unknown-identifier': {
    severity: 'note',
    message:
      '{count:field begins|fields begin} with no field letter of the standard, the first with “{character}”; that is ignored.',
    hint: 'Often an asterisk used inside a note, which ends the note early.',
    clause: FIELDS,
  },
  'file/reserved-identifier': {
    severity: 'note',
    message:
      '{count:field uses|fields use} a letter that the standard reserves, the first {character}; that is ignored.',
    hint: 'Nothing to do.',
    clause: FIELDS,
  },
  'file/device-field': {
    severity: 'note',
    message: 'The obsolete device field D is present; it is ignored.',
    hint: 'Choose the part yourself.',
    clause: '3-A, device identification (obsolete)',
  },
  'file/extension-field': {
    severity: 'note',
    message: 'The file uses {field}, an extension ({meaning}).',
    hint: 'A strict receiver may not know it.',
    clause: EXTENSION,
    words: {
      meaning: {
        'hexadecimal-list': 'a fuse list in hexadecimal',
        'electrical-data': 'electrical data, fuses outside the logic',
        'user-data': 'user data without effect on the logic',
      },
    },
  },
  'file/list-form': {
    severity: 'warning',
    message: 'A fuse list {what}; read by a guess, its fuses fit the fuse checksum.',
    hint: 'Compare with a second copy of the file. Rewriting it gives lists of the right form.',
    clause: FUSES,
    words: {
      what: {
        'strange-state': 'holds a character that is no fuse state',
        'no-address': 'does not begin with a fuse number',
      },
    },
  },
  'file/list-overlap': {
    severity: 'note',
    message: '{count:fuse is|fuses are} listed more than once, the first is fuse {first}; the last statement counts.',
    hint: 'Legal, and meant for patching. Make sure that the patch was intended.',
    clause: FUSES,
  },
  'file/list-empty': {
    severity: 'note',
    message: 'The fuse list at fuse {address} holds no fuse.',
    hint: 'If the number looks too long, the blank after it was lost; get an undamaged file.',
    clause: FUSES,
  },
  'file/field-repeated': {
    severity: 'note',
    message: 'The {field} field occurs more than once; the last one counts.',
    hint: 'Nothing to do if that was meant.',
    clause: FIELDS,
  },
  'file/field-order': {
    severity: 'note',
    message: 'The {field} field stands after a field that it should precede.',
    hint: 'Read all the same. If a programmer refuses the file, rewrite it.',
    clause: '3-A, order of fields',
  },
  'file/lower-case-hex': {
    severity: 'note',
    message: 'A checksum is written with small letters ({text}).',
    hint: 'Nothing to do; the standard knows capital letters only.',
    clause: FUSE_SUM,
  },
  'file/blank-before-terminator': {
    severity: 'note',
    message: '{count:field ends|fields end} in a blank or a line end before the asterisk.',
    hint: 'Nothing to do; some receivers are strict about it.',
    clause: FIELDS,
  },
  'checksum/fuse-mismatch': {
    severity: 'error',
    message: 'The fuse checksum is stated as {stated} but the fuses sum to {computed}.',
    hint: 'Fuses and checksum do not belong together. Get the file again; do not burn it.',
    clause: FUSE_SUM,
  },
  'checksum/lists-after-sum': {
    severity: 'warning',
    message:
      'The fuse checksum {stated} fits the fuses as they stood where it was written; lists after it changed them to {computed}.',
    hint: 'The file was patched without a new checksum. Make sure that the patch is wanted.',
    clause: FUSE_SUM,
  },
  'checksum/both-absent': {
    severity: 'warning',
    message: 'Neither checksum is present, so nothing shows whether the fuses are those that were written.',
    hint: 'Compare with a second copy from another place before burning.',
    clause: FUSE_SUM,
  },
  'checksum/transmission-mismatch': {
    severity: 'warning',
    message: 'The transmission checksum is stated as {stated} but the bytes sum to {computed}{frame}.',
    hint: 'The fuse checksum vouches for the fuses alone: look at protection and vectors too. Keep the download untouched; rewrite a copy if a programmer refuses it.',
    clause: TRANSMISSION_SUM,
    words: { frame: { framed: '', unframed: ' without a start mark' } },
  },
  'checksum/transmission-absent': {
    severity: 'warning',
    message: 'The end mark (ETX) is not followed by the four digits of the transmission checksum.',
    hint: 'Look whether the file ends too early; only the fuse checksum, where there is one, protects it.',
    clause: TRANSMISSION_SUM,
  },
  'checksum/electrical-packing': {
    severity: 'note',
    message: 'The fuse checksum includes the bits of the E field, which {packing}.',
    hint: 'The standard does not fix the packing; both were tried.',
    clause: EXTENSION,
    words: { packing: { continued: 'continue after the last fuse', apart: 'begin a word of their own' } },
  },
  'security/requested': {
    severity: 'warning',
    message: 'The file asks for the security fuse (G{value}): after burning, the chip cannot be read back any more.',
    hint: 'Burn without protection until the machine runs; protect last, if at all.',
    clause: '3-A, security fuse field',
  },
  'vector/malformed': {
    severity: 'warning',
    message: 'A test vector cannot be read: {reason}.',
    hint: 'It is not run; what it would have tested is open.',
    clause: TESTS,
    words: {
      reason: {
        'no-number': 'it has no number from 1 to 999,999,999',
        'number-zero': 'vectors are numbered from 1',
        'no-conditions': 'it has no conditions after its number',
        'strange-condition': 'it holds a condition that the standard does not know',
        'stray-preload': 'a buried preload (B) stands elsewhere than first',
        'wrong-width': 'it has not one condition for each pin',
      },
    },
  },
  'vector/too-many': {
    severity: 'warning',
    message: 'The file holds more than {limit} test vectors; the rest is not run.',
    hint: 'Raise that limit if they are meant.',
    clause: 'limit of this library',
  },
  'vector/pin-order': {
    severity: 'warning',
    message: 'The pin sequence (P field) cannot be used: {reason}.',
    hint: 'Without it, no condition can be brought to its pin; the vectors are not run.',
    clause: '3-A, pin sequence field',
    words: {
      reason: {
        'no-pins': 'it is not a list of pin numbers',
        'wrong-pin-count': 'it does not list as many pins as there are conditions',
        'not-each-pin': 'it does not list each pin once',
      },
    },
  },
  'vector/replaced': {
    severity: 'note',
    message: 'Vector {number} is given more than once; the last one is used.',
    hint: 'Legal, and meant for patching.',
    clause: TESTS,
  },
  'vector/layout': {
    severity: 'note',
    message:
      '{count:vector holds|vectors hold} blanks, line ends or small letters among the conditions; read all the same.',
    hint: 'A strict tester may refuse them.',
    clause: TESTS,
  },
} as const satisfies Catalogue
