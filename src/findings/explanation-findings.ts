/** The catalogue's explanations of what reading found; `catalogue.ts` says what the entries mean. */
import type { Catalogue } from './finding'
import type { DataOf, ItemEntry } from './wording'

const ARITHMETIC = 'arithmetic on the two sums'
const PROTOCOL = '3-A, transmission protocol'
const TRANSMISSION_SUM = '3-A, transmission checksum'
const FUSE_SUM = '3-A, fuse checksum field'
const VALUES = '3-A, value fields'

/** Single causes under which a wrong transmission sum would have been right. */
const SUM_CAUSES = {
  message: '{cause}',
  between: ', or with ',
  words: {
    cause: {
      'lf-to-crlf': 'its {count} line ends LF having been CR LF',
      'lf-or-cr-to-crlf': 'its {count} line ends LF or CR having been CR LF',
      'crlf-to-lf': 'the sum having been taken while its {count} line ends CR LF were LF',
      'to-cr': 'its {count} line ends having been lone CR',
      'cr-to-crlf': 'its {count} line ends of lone CR having been CR LF',
      'returns-lost':
        '{lost:carriage return|carriage returns} lost among the {count} line ends that are LF alone{where}',
      'start-mark-left-out': 'a sum taken without the start mark',
      'start-mark-lost': 'a start mark lost from the first place',
      'end-mark-left-out': 'a sum taken without the end mark',
      'digit-count': 'the right value written with {digits} digits',
    },
    where: { named: ' (line {lines,})', unnamed: '' },
  },
} as const satisfies ItemEntry

/** A cause as data. */
export type SumCause = DataOf<typeof SUM_CAUSES>

/** What wrong sums are consistent with, what other receivers would read, and what a file that is none looks like. */
export const EXPLANATION_FINDINGS = {
  'file/look-alike': {
    severity: 'note',
    message: 'The file {what}.',
    hint: 'Fetch the fuse file itself, as plain text.',
    clause: 'common practice, no published source',
    words: {
      what: {
        jpeg: 'begins like a JPEG picture',
        png: 'begins like a PNG picture',
        gif: 'begins like a GIF picture',
        pdf: 'begins like a PDF document',
        zip: 'begins like a ZIP archive',
        gzip: 'begins like a gzip archive',
        rar: 'begins like a RAR archive',
        '7z': 'begins like a 7z archive',
        'utf-16': 'begins like UTF-16 text: save it again as plain ASCII',
        'web-page': 'begins like a web page',
        'hexadecimal-records': 'begins like a memory image in hexadecimal records',
        'all-alike': 'holds {count} bytes that are all {hex} hexadecimal',
        'other-fields': 'is a transmission of other fields only',
        'start-mark-alone': 'begins with a start mark and holds no field, so it may have been cut right after',
        'binary-data': 'begins like binary data',
        text: 'begins with “{text}”',
      },
    },
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
    words: { kind: { 'always-1': 'always 1', even: 'even', odd: 'odd' } },
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
    words: { what: { 'web-page': 'a saved web page', mail: 'a mail' } },
  },
  'file/eighth-bit-matters': {
    severity: 'error',
    message:
      'A byte here has its eighth bit set, and a receiver of seven bits reads the file otherwise in this: {what,}.',
    hint: 'Get an undamaged file; neither checksum sees such a bit.',
    clause: '3-A, character set',
    words: {
      what: {
        fuses: 'fuses',
        security: 'the security field',
        vectors: 'test vectors',
        sizes: 'stated sizes',
        sums: 'checksums',
        data: 'electrical or user data',
      },
    },
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
    words: { found: { fewer: 'the highest that it holds is vector {number}', none: 'it holds none' } },
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
      'The transmission checksum is stated as {stated} but the bytes sum to {computed}, which is consistent with {causes,}; the fuse checksum is right.',
    hint: 'Nothing to do for burning. If a programmer refuses the file, rewrite it.',
    clause: TRANSMISSION_SUM,
    items: { causes: SUM_CAUSES },
  },
  'checksum/transmission-explained': {
    severity: 'note',
    message: 'The wrong transmission checksum is consistent with {causes,}.',
    hint: 'It says nothing of the fuses; their own checksum does.',
    clause: TRANSMISSION_SUM,
    items: { causes: SUM_CAUSES },
  },
  'checksum/one-fuse-digit': {
    severity: 'note',
    message: 'Both checksums are off as by one digit: consistent with {candidates,}.',
    hint: 'Restore the digit only from a second copy of the file, never by guessing.',
    clause: ARITHMETIC,
    items: {
      candidates: {
        message: '{kind}',
        between: ', or with ',
        words: {
          kind: {
            'one-digit':
              'one fuse digit that reads {now} and was {was}, at a fuse i with i mod 8 = {place} ({count} such fuses are listed)',
            'default-changed': 'the default F{was} having become F{now}',
          },
        },
      },
    },
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
      'The transmission checksum is right and the fuse checksum off by {difference}: consistent with two fuse digits exchanged, a 0 and a 1 at fuses i mod 8 = {ones} (now 1) and i mod 8 = {zeros} (now 0).',
    hint: 'The transmission sum cannot see an exchange. Compare with a second copy.',
    clause: ARITHMETIC,
  },
} as const satisfies Catalogue
