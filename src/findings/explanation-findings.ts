/** The catalogue's explanations of what reading found; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'

const ARITHMETIC = 'arithmetic on the two sums'

/** What wrong sums are consistent with, and what a file that is no fuse file looks like. */
export const EXPLANATION_FINDINGS = {
  'file/look-alike': {
    severity: 'note',
    message: 'The file {what}.',
    hint: 'Fetch the fuse file itself, as plain text.',
    clause: 'common practice, no published source',
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
