/** The catalogue's explanations of what reading found; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const ARITHMETIC = 'arithmetic on the two sums'
const PROTOCOL = '3-A, transmission protocol'
const TRANSMISSION_SUM = '3-A, transmission checksum'
const FUSE_SUM = '3-A, fuse checksum field'
const VALUES = '3-A, value fields'

/** What wrong sums are consistent with, what other receivers would read, and what a file that is none looks like. */
export const EXPLANATION_FINDINGS = {
  'file/look-alike': {
    severity: 'note',
    message: 'The file {what}.',
    hint: 'Fetch the fuse file itself, as plain text.',
    clause: 'common practice, no published source',
  },
  'file/fuse-count-missing': {
    severity: 'note',
    message: 'The file does not state its number of fuses (QF); it is read as one of {count}.',
    hint: 'State the part if it is not found.',
    clause: VALUES,
  },
  'file/pin-count-missing': {
    severity: 'note',
    message: 'The file does not state its number of pins (QP).',
    hint: 'Nothing to do for burning; test vectors need it.',
    clause: VALUES,
  },
  'file/text-before-start': {
    severity: 'note',
    message:
      '{count:byte of text stands|bytes of text stand} before the start mark (STX), which is no part of the file proper.',
    hint: 'Nothing to do; a receiver ignores them.',
    clause: PROTOCOL,
  },
  'file/marks-missing': {
    severity: 'note',
    message: 'The file has neither start mark (STX) nor end mark (ETX), so nothing shows whether it is complete.',
    hint: 'Allowed on local storage. If a programmer refuses it, rewrite it.',
    clause: PROTOCOL,
  },
  'file/start-mark-missing': {
    severity: 'note',
    message: 'The file has an end mark (ETX) but no start mark (STX); reading starts at the first byte.',
    hint: 'If a programmer refuses it, rewrite it.',
    clause: PROTOCOL,
  },
  'file/parity-bits': {
    severity: 'note',
    message: 'The bytes carry a parity bit ({kind}); it was left out, as the standard asks.',
    hint: 'Nothing to do.',
    clause: PROTOCOL,
  },
  'file/small-letter': {
    severity: 'warning',
    message: 'The field “{text}” begins with a small letter, which the standard does not know: it is not read.',
    hint: 'Find out what was meant before burning; a programmer may read it or not.',
    clause: '3-A, field syntax',
  },
  'file/wrapped': {
    severity: 'warning',
    message: 'The fuse file stands inside {what}, which may have changed it.',
    hint: 'Fetch the fuse file itself, as plain text.',
    clause: 'common practice, no published source',
  },
  'file/eighth-bit-matters': {
    severity: 'error',
    message:
      'A byte here has its eighth bit set, and a receiver of seven bits reads the file otherwise in this: {what}.',
    hint: 'Get an undamaged file; neither checksum sees such a bit.',
    clause: '3-A, character set',
  },
  'file/second-start': {
    severity: 'warning',
    message: 'A receiver that starts at the start mark (STX) here, inside the file, reads other fuses.',
    hint: 'Find out which are meant; two transfers may have been joined.',
    clause: PROTOCOL,
  },
  'file/second-frame': {
    severity: 'note',
    message: 'Another transmission follows the first, with the same fuses or none; only the first one is read.',
    hint: 'Split the file if the second one is wanted.',
    clause: PROTOCOL,
  },
  'file/second-frame-differs': {
    severity: 'warning',
    message: 'Another transmission follows the first, and its fuses are others; only the first one is read.',
    hint: 'Split the file and find out which transmission is meant.',
    clause: PROTOCOL,
  },
  'file/fields-after-end': {
    severity: 'warning',
    message:
      'Fields or another end mark follow the end mark (ETX), so the file may end too early; they are not read.',
    hint: 'Get an undamaged file: a byte that turned into an end mark hides what follows.',
    clause: PROTOCOL,
  },
  'file/text-after-end': {
    severity: 'note',
    message: 'Text follows the end of the transmission; it is no part of the file proper.',
    hint: 'Nothing to do; a receiver ignores it.',
    clause: PROTOCOL,
  },
  'security/not-stated': {
    severity: 'note',
    message: 'The file says nothing of the security fuse (no G field).',
    hint: 'Leave protection off in the programmer.',
    clause: '3-A, security fuse field',
  },
  'vector/past-limit': {
    severity: 'note',
    message:
      '{count:vector lies|vectors lie} beyond the stated number of vectors (QV{limit}), the first is vector {number}; all are run.',
    hint: 'A tester may leave them out.',
    clause: VALUES,
  },
  'vector/count-differs': {
    severity: 'warning',
    message: 'The file states vectors up to {limit} (QV), but {found}, and its end is in doubt.',
    hint: 'Look whether vectors are missing.',
    clause: VALUES,
  },
  'checksum/fuse-absent': {
    severity: 'note',
    message: 'The file states no fuse checksum; its fuses sum to {computed}.',
    hint: 'Compare {computed} with what the programmer shows.',
    clause: FUSE_SUM,
  },
  'checksum/transmission-not-computed': {
    severity: 'note',
    message: 'The transmission checksum is 0000: declared as not computed.',
    hint: 'Only the fuse checksum, where there is one, protects this file.',
    clause: TRANSMISSION_SUM,
  },
  'checksum/digit-count': {
    severity: 'note',
    message: 'A checksum is written as {text}, with {count:digit|digits} instead of four.',
    hint: 'It is taken by its value.',
    clause: FUSE_SUM,
  },
  'checksum/line-ends-changed': {
    severity: 'note',
    message:
      'The transmission checksum is stated as {stated} but the bytes sum to {computed}, which is consistent with {cause}; the fuse checksum is right.',
    hint: 'Nothing to do for burning. If a programmer refuses the file, rewrite it.',
    clause: TRANSMISSION_SUM,
  },
  'checksum/transmission-explained': {
    severity: 'note',
    message: 'The wrong transmission checksum is consistent with {causes}.',
    hint: 'It says nothing of the fuses; their own checksum does.',
    clause: TRANSMISSION_SUM,
  },
  'checksum/one-fuse-digit': {
    severity: 'note',
    message: 'Both checksums are off as by one digit: consistent with {candidates}.',
    hint: 'Restore the digit only from a second copy of the file, never by guessing.',
    clause: ARITHMETIC,
  },
  'checksum/sum-digit': {
    severity: 'note',
    message:
      'Both checksums are off by one digit of the fuse checksum itself: consistent with {computed} having been written as {stated}.',
    hint: 'The fuses may be whole; confirm with a second copy of the file.',
    clause: ARITHMETIC,
  },
  'checksum/exchanged-digits': {
    severity: 'note',
    message:
      'The transmission checksum is right and the fuse checksum off by {difference}: consistent with two fuse digits exchanged, a 0 and a 1 at {places}.',
    hint: 'The transmission sum cannot see an exchange. Compare with a second copy.',
    clause: ARITHMETIC,
  },
} as const satisfies Catalogue

/** Words with which explaining fills its findings. */
export const EXPLANATION_WORDS = {
  fuses: 'fuses',
  security: 'the security field',
  vectors: 'test vectors',
  sizes: 'stated sizes',
  sums: 'checksums',
  data: 'electrical or user data',
  lastVector: 'the highest that it holds is vector',
  noVector: 'it holds none',
} as const
