/** The catalogue's explanations of what reading found; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const ARITHMETIC = 'arithmetic on the two sums'
const PROTOCOL = '3-A, transmission protocol'

/** What wrong sums are consistent with, what other receivers would read, and what a file that is none looks like. */
export const EXPLANATION_FINDINGS = {
  'file/look-alike': {
    severity: 'note',
    message: 'The file {what}.',
    hint: 'Fetch the fuse file itself, as plain text.',
    clause: 'common practice, no published source',
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
  'vector/count-differs': {
    severity: 'warning',
    message: 'The file states vectors up to {limit} (QV), but {found}, and its end is in doubt.',
    hint: 'Look whether vectors are missing.',
    clause: '3-A, value fields',
  },
  'checksum/line-ends-changed': {
    severity: 'note',
    message:
      'The transmission checksum is stated as {stated} but the bytes sum to {computed}, which is consistent with {cause}; the fuse checksum is right.',
    hint: 'Nothing to do for burning. If a programmer refuses the file, rewrite it.',
    clause: '3-A, transmission checksum',
  },
  'checksum/transmission-explained': {
    severity: 'note',
    message: 'The wrong transmission checksum is consistent with {causes}.',
    hint: 'It says nothing of the fuses; their own checksum does.',
    clause: '3-A, transmission checksum',
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
