/**
 * Writes the vectors of this directory: for every finding code one small fuse file and a JSON that declares what
 * verifying it must yield, or, with a second file (`other`), comparing it with that one, or else the job that the key
 * `job` names. Run: node make.mjs [DIRECTORY] (default: this directory).
 *
 * Nothing of the library is used here. A spot that a finding must point at is marked in the literal itself by ① ② or ③;
 * the marks are taken out before the bytes are written, and the JSON gets the offsets at which they stood. Both
 * checksums are computed by the few lines below, from the rules of JEDEC Standard No. 3-A.
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { adapterCases } from './adapter-cases.mjs'
import { captureCases } from './capture-cases.mjs'
import { compareCases } from './compare-cases.mjs'
import { gradeCases } from './grade-cases.mjs'
import { readingsCases } from './readings-cases.mjs'

// ---- the format -----------------------------------------------------------------------------------------------------

const STX = '\x02'
const ETX = '\x03'

const unmarked = (text) => text.replace(/[①②③]/g, '')
const hex4 = (sum) => (sum % 65536).toString(16).toUpperCase().padStart(4, '0')

/** Transmission checksum: the 7-bit values of all characters, STX and ETX included. */
const transmissionSum = (text) =>
  hex4([...unmarked(text)].reduce((sum, character) => sum + (character.charCodeAt(0) & 0x7f), 0))

/** Fuse checksum of a map in which exactly the fuses `ones` are 1: fuse i weighs 2^(i mod 8). */
const fuseSum = (ones) => hex4([...new Set(ones)].reduce((sum, fuse) => sum + 2 ** (fuse % 8), 0))

/** `count` numbers from `first`. */
const run = (first, count) => Array.from({ length: count }, (_, i) => first + i)

/** L fields for the fuses `ones`, one a run of neighbours. */
function lists(ones) {
  const sorted = [...new Set(ones)].sort((a, b) => a - b)
  const starts = sorted.filter((fuse) => !sorted.includes(fuse - 1))
  return starts.map((start) => {
    let end = start
    while (sorted.includes(end)) end++
    return `L${start} ${'1'.repeat(end - start)}*`
  })
}

/**
 * A whole file from its fields. `sum` stands after ETX; the right one when it is left out. `null` leaves out a mark
 * (and no ETX means no sum).
 */
function frame(fields, { end = '\r\n', start = STX, etx = ETX, sum, before = '', after = '' } = {}) {
  const body = (start ?? '') + fields.map((field) => field + end).join('') + (etx ?? '')
  return before + body + (etx === null ? '' : (sum ?? transmissionSum(body))) + after
}

// ---- the designs ----------------------------------------------------------------------------------------------------

/** Fields in order; `over` replaces some by others, by several, or by none. */
const fieldsOf = (plain, over) => Object.keys(plain).flatMap((name) => over[name] ?? plain[name])

/**
 * The quiet small part: 448 fuses, all connected but fuse 0. Each row still holds both columns of some pin and is
 * constant 0, so the four active-low outputs, pins 14 to 17, are high. Verified as a 14L4 it gives no finding.
 */
const QUIET = {
  title: ['Sample*'],
  pins: ['QP20*'],
  fuseCount: ['QF448*'],
  vectorCount: ['QV1*'],
  security: ['G0*'],
  default: ['F0*'],
  lists: ['L0 1*'],
  sum: [`C${fuseSum([0])}*`],
  vectors: ['V1 NNNNNNNNNNNNNHHHHNNN*'],
}
const small = (over = {}, framing = {}) => frame(fieldsOf(QUIET, over), framing)

/** Row 0 of the small part with pin 2 (column 0) as its one literal: pin 17 is the complement of pin 2. */
const PIN_2_ALONE = run(1, 27)
const complementOfPin2 = { lists: [`L0 0${'1'.repeat(27)}*`], sum: [`C${fuseSum(PIN_2_ALONE)}*`] }

/**
 * Fuses in state 1 of a 16V8 map (Lattice GAL16V8 data sheet, logic diagrams): array row r from 32r on, AC1 from 2120,
 * PTD from 2128 a row, SYN 2192, AC0 2193. `freeRows` are rows without any connected fuse: constant 1.
 */
const MODES = { registered: [2193], complex: [2192, 2193], simple: [2192], none: [] }
const cellIndex = (pin) => 19 - pin
function map16V8({ mode, freeRows = [], enabledRows = [], ac1Pins = [] }) {
  return [
    ...(freeRows.includes(0) ? [] : [0]),
    ...freeRows.flatMap((row) => run(32 * row, 32)),
    ...ac1Pins.map((pin) => 2120 + cellIndex(pin)),
    ...enabledRows.map((row) => 2128 + row),
    ...MODES[mode],
  ]
}

/**
 * A 16V8 file. Rows not named are all connected, but for fuse 0, so that the array is not all alike, and disabled; XOR
 * is 0: every sum is 0.
 */
const large = (map, over = {}, framing = {}) => {
  const ones = map16V8(map)
  const own = {
    fuseCount: ['QF2194*'],
    lists: lists(ones),
    sum: [`C${fuseSum(ones)}*`],
    vectors: ['V1 NNNNNNNNNNNHHHHHHHHN*'],
  }
  return frame(fieldsOf({ ...QUIET, ...own }, over), framing)
}

/** Notes that make a file long: line ends weigh more than one changed byte can. */
const LONG = ['G0*', ...run(0, 12).map((line) => `N line ${line}*`)]

const NO_PINS = `V1 ${'N'.repeat(20)}*`
const AS_14L4 = { device: '14L4' }

/** A part of the caller's own: one row over pins 1 and 2. */
const GATE = {
  part: 'GATE',
  fuseCount: 4,
  pinCount: 5,
  groundPin: 4,
  powerPin: 5,
  array: { rows: 1, columns: 4 },
  blocks: [{ use: 'array', name: 'AND array', first: 0, count: 4 }],
  cells: [{ pin: 3, firstRow: 0, rowCount: 1 }],
  modes: [
    {
      columns: [1, 2],
      registerFeedback: 'pin',
      settings: [
        {
          output: 'combinational',
          enable: 'always',
          sums: [{ from: 0, count: 1 }],
          polarity: 'none',
          inverting: false,
        },
      ],
    },
  ],
  basis: 'published',
}

/** Even parity in the eighth bit of every byte. */
function withEvenParity(text) {
  const oddOnes = (value) => [...value.toString(2)].filter((digit) => digit === '1').length % 2
  return [...unmarked(text)]
    .map((character) => String.fromCharCode(character.charCodeAt(0) | (oddOnes(character.charCodeAt(0)) << 7)))
    .join('')
}

// ---- the vectors ----------------------------------------------------------------------------------------------------
// findings: [code, place, further fields]; place is a mark, 0 for the first byte, 'end' for the number of bytes, or
// null.

const CASES = {
  'file-empty': {
    why: 'Nothing at all was downloaded.',
    text: '',
    verdict: 'fail',
    findings: [['file/empty', 0]],
  },
  'file-not-a-fuse-file': {
    why: 'A web page was saved instead of the file.',
    text: '<!DOCTYPE html>\n<title>Not found</title>\n',
    verdict: 'fail',
    findings: [
      ['file/not-a-fuse-file', 0],
      ['file/look-alike', 0],
    ],
  },
  'file-look-alike': {
    why: 'A picture was renamed: it begins with the mark of a JPEG file.',
    text: '\xff\xd8\xff\xe0\x00\x10JFIF\x00',
    verdict: 'fail',
    findings: [
      ['file/not-a-fuse-file', 0],
      ['file/look-alike', 0],
    ],
  },
  'file-too-many-fuses': {
    why: 'The stated size is above the limit given by the caller, so the fuses are not taken; without fuses there is no part.',
    text: small({ fuseCount: ['①QF2000*'], lists: [], sum: [], vectors: [] }),
    options: { maxFuses: 1000 },
    verdict: 'fail',
    findings: [['file/too-many-fuses', '①']],
  },
  'file-cut-short': {
    why: 'The file ends in the middle of a list that follows the fuse checksum, so the checksum cannot vouch for it.',
    text: small({}, { etx: null }) + '①L4 00',
    options: AS_14L4,
    verdict: 'fail',
    findings: [['file/cut-short', '①']],
  },
  'file-end-mark-missing': {
    why: 'ETX and what follows it are lost, but the fuse checksum after the last list fits.',
    text: small({}, { etx: null }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['file/end-mark-missing', 'end']],
  },
  'file-uncovered-fuses': {
    why: 'Without an F field only fuse 0 is stated; fuse 1 is the first of 447 without a state.',
    text: small({ default: [] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [['file/uncovered-fuses', null, { fuse: 1 }]],
  },
  'file-list-past-end': {
    why: 'A list of three from fuse 446 reaches fuse 448 of a part whose last fuse is 447.',
    text: small({ lists: ['①L446 101*'], sum: [`C${fuseSum([446])}*`] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [['file/list-past-end', '①']],
  },
  'file-list-character': {
    why: 'The letter O stands where a zero was meant.',
    text: small({ lists: ['L0 10\r\n①O0*'], sum: [] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [
      ['file/list-character', '①'],
      ['checksum/fuse-absent', null],
    ],
  },
  'file-list-form': {
    why: 'Digits are grouped by underscores, and the fuse checksum fits what is left of them.',
    text: small({ lists: ['L0 10①_00_00*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['file/list-form', '①']],
  },
  'file-list-address-missing': {
    why: 'A list whose number was overtyped has fuses and no place for them.',
    text: small({ lists: ['L0 1*', '①L? 1*'], sum: [] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [
      ['file/list-address-missing', '①'],
      ['checksum/fuse-absent', null],
    ],
  },
  'file-value-conflict': {
    why: 'The number of pins is given twice, differently; the second one counts.',
    text: small({ pins: ['QP24*', '①QP20*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['file/value-conflict', '①']],
  },
  'file-field-malformed': {
    why: 'The number of vectors is written with the letter O.',
    text: small({ vectorCount: ['①QV1O*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/field-malformed', '①']],
  },
  'file-text-before-start': {
    why: 'Two lines of a message stand before STX.',
    text: small({}, { before: 'Dear reader,\nhere it is:\n', end: '\n' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/text-before-start', 0]],
  },
  'file-text-after-end': {
    why: 'Text follows the four digits of the transmission checksum at once.',
    text: small({}, { after: '①- sent on a Monday\r\n' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/text-after-end', '①']],
  },
  'file-second-frame': {
    why: 'Two whole transmissions stand in one file.',
    text: small({}, { after: '\r\n①' }) + small(),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/second-frame', '①']],
  },
  'file-second-frame-differs': {
    why: 'Two whole transmissions stand in one file; fuse 1 is another in the second.',
    text: small({}, { after: '\r\n①' }) + small({ lists: ['L0 01*'], sum: [`C${fuseSum([1])}*`] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['file/second-frame-differs', '①']],
  },
  'file-second-start': {
    why: 'A transfer that broke off after its list of fuse 0, and its repetition with fuse 1, in one frame.',
    text: small({ lists: ['L0 1*', '①\x02', 'L0 01*'], sum: [`C${fuseSum([1])}*`] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['file/list-overlap', null, { fuse: 0 }],
      ['file/second-start', '①'],
      ['file/stray-start-mark', '①'],
    ],
  },
  'file-fields-after-end': {
    why: 'The last vector and its asterisk stand behind an end mark that nothing was meant to be.',
    text: small({}, { after: '①V2 NNNNNNNNNNNNNHHHHNNN*' }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['file/fields-after-end', '①']],
  },
  'file-wrapped': {
    why: 'The file stands in a saved web page.',
    text: `<html><pre>\r\n${small()}\r\n①</pre></html>`,
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['file/wrapped', 0],
      ['file/text-before-start', 0],
      ['file/text-after-end', '①'],
    ],
  },
  'file-eighth-bit-matters': {
    why: 'The asterisk behind a note has its eighth bit set, so that a receiver of eight bits takes G1 for a part of it.',
    text: small({ security: ['N left①\xaa', 'G1*'] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [
      ['file/eighth-bit-matters', '①'],
      ['file/eighth-bit', '①'],
      ['security/not-stated', null],
    ],
  },
  'file-field-unreadable': {
    why: 'The security field has no digit.',
    text: small({ security: ['①G*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['file/field-unreadable', '①']],
  },
  'file-small-letter': {
    why: 'The security field begins with a small letter.',
    text: small({ security: ['①g1*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['file/small-letter', '①'],
      ['file/unknown-identifier', '①'],
      ['security/not-stated', null],
    ],
  },
  'vector-count-differs': {
    why: 'No digits follow ETX, and QV promises a second vector.',
    text: small({ vectorCount: ['QV2*'], vectors: ['①V1 NNNNNNNNNNNNNHHHHNNN*'] }, { sum: '' }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['vector/count-differs', '①'],
      ['checksum/transmission-absent', 'end'],
    ],
  },
  'checksum-line-ends-changed': {
    why: 'CR LF became LF in a file of twenty lines after the transmission checksum had been taken.',
    text: small({ security: LONG }, { end: '\n', sum: `①${small({ security: LONG }).slice(-4)}` }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['checksum/line-ends-changed', '①']],
  },
  'file-marks-missing': {
    why: 'Only the fields are there, as in a listing; the fuse checksum still fits.',
    text: small({}, { start: null, etx: null, end: '\n' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/marks-missing', 0]],
  },
  'file-start-mark-missing': {
    why: 'STX is lost; there are no digits after ETX, which is told as well.',
    text: small({}, { start: null, sum: '', after: '①' }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['file/start-mark-missing', 0],
      ['checksum/transmission-absent', '①'],
    ],
  },
  'file-stray-start-mark': {
    why: 'A second STX stands between two fields.',
    text: small({ security: ['G0*', '①\x02'] }, { end: '\r' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/stray-start-mark', '①']],
  },
  'file-parity-bits': {
    why: 'Every byte carries even parity; both sums hold for the seven bits.',
    text: withEvenParity(small({}, { end: '\n' })),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/parity-bits', 0]],
  },
  'file-eighth-bit': {
    why: 'An accent in the title; its low seven bits are in the transmission checksum.',
    text: small({ title: ['Caf①\xe9 sample*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/eighth-bit', '①']],
  },
  'file-control-character': {
    why: 'A tabulator in a note.',
    text: small({ security: ['G0*', 'N left①\tright*'] }, { end: '\r' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/control-character', '①']],
  },
  'file-design-specification-missing': {
    why: 'The first field after STX and a line end is a value field.',
    text: small({ title: ['\r\n①QP20*'], pins: [] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/design-specification-missing', '①']],
  },
  'file-stray-terminator': {
    why: 'Two asterisks close one field.',
    text: small({ security: ['G0*①*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/stray-terminator', '①']],
  },
  'file-unterminated-field': {
    why: 'The last vector is closed by ETX instead of an asterisk.',
    text: small({ vectors: ['①V1 NNNNNNNNNNNNNHHHHNNN'] }, { end: '' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/unterminated-field', '①']],
  },
  'file-unknown-identifier': {
    why: 'An asterisk inside a note ends it, and its rest begins with a digit.',
    text: small({ security: ['G0*', 'N 2*①2 is four*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/unknown-identifier', '①']],
  },
  'file-reserved-identifier': {
    why: 'A field with the reserved letter H.',
    text: small({ security: ['G0*', '①H12*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/reserved-identifier', '①']],
  },
  'file-device-field': {
    why: 'The obsolete field D.',
    text: small({ pins: ['①D12*', 'QP20*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/device-field', '①']],
  },
  'file-extension-field': {
    why: 'User data (U), which the standard does not have and the fuse checksum does not cover.',
    text: small({ sum: ['C0001*', '①U1011*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/extension-field', '①']],
  },
  'file-list-overlap': {
    why: 'Fuses 2 and 3 are listed again; the last statement counts, so fuse 3 is 0 and fuse 0 alone is 1.',
    text: small({ lists: ['L0 1001*', 'L2 00*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/list-overlap', null, { fuse: 2 }]],
  },
  'file-list-empty': {
    why: 'The blank after the fuse number was lost: fuse 11 and no digits, where fuse 1 and the digit 1 may have been meant.',
    text: small({ lists: ['L0 1*', '①L11*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/list-empty', '①']],
  },
  'file-fuse-count-missing': {
    why: 'No QF; the highest list reaches fuse 447, so there are 448.',
    text: small({ fuseCount: [], lists: ['L0 1*', 'L447 0*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/fuse-count-missing', null]],
  },
  'file-pin-count-missing': {
    why: 'No QP.',
    text: small({ pins: [] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/pin-count-missing', null]],
  },
  'file-field-repeated': {
    why: 'The security field twice, with one value.',
    text: small({ security: ['G0*', '①G0*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/field-repeated', '①']],
  },
  'file-field-order': {
    why: 'The default of the fuses stands before their number.',
    text: small({ fuseCount: [], vectorCount: ['QV1*', 'F0*', '①QF448*'], default: [] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/field-order', '①']],
  },
  'file-lower-case-hex': {
    why: 'Fuses 1 and 3 sum to 2 + 8 = A, written small.',
    text: small({ lists: ['L0 0101*'], sum: ['①C000a*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/lower-case-hex', '①']],
  },
  'file-blank-before-terminator': {
    why: 'A blank before the asterisk of a value field.',
    text: small({ pins: ['QP20① *'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['file/blank-before-terminator', '①']],
  },
  'checksum-fuse-mismatch': {
    why: 'Stated 0006 against 0001: five apart, which is no difference of two powers of two, so no exchange explains it.',
    text: small({ sum: ['①C0006*'] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [['checksum/fuse-mismatch', '①']],
  },
  'checksum-lists-after-sum': {
    why: 'The sum 0001 fits until a later list sets fuse 1.',
    text: small({ sum: ['①C0001*', 'L1 1*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['checksum/lists-after-sum', '①']],
  },
  'checksum-fuse-absent': {
    why: 'No C field; the transmission checksum is there.',
    text: small({ sum: [] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['checksum/fuse-absent', null]],
  },
  'checksum-both-absent': {
    why: 'No C field and no digits after ETX; each of them is told as well.',
    text: small({ sum: [] }, { sum: '', after: '①' }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['checksum/both-absent', null],
      ['checksum/transmission-absent', '①'],
    ],
  },
  'checksum-transmission-mismatch': {
    why: 'The transmission checksum is far from the right one, which no single cause explains.',
    text: small({}, { sum: '①1234' }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['checksum/transmission-mismatch', '①']],
  },
  'checksum-transmission-explained': {
    why: 'The line ends CR LF became LF after the transmission checksum had been taken.',
    text: small({}, { end: '\n', sum: `①${small().slice(-4)}` }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['checksum/transmission-mismatch', '①'],
      ['checksum/transmission-explained', '①'],
    ],
  },
  'checksum-transmission-not-computed': {
    why: 'The transmission checksum is 0000.',
    text: small({}, { sum: '①0000' }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['checksum/transmission-not-computed', '①']],
  },
  'checksum-transmission-absent': {
    why: 'ETX is the last byte.',
    text: small({}, { sum: '' }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['checksum/transmission-absent', 'end']],
  },
  'checksum-digit-count': {
    why: 'The right fuse checksum with three digits.',
    text: small({ sum: ['①C001*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['checksum/digit-count', '①']],
  },
  'checksum-electrical-packing': {
    why: '2194 fuses end in a word of two; the one E bit that goes on there weighs 4, and with fuse 0 and SYN 1 + 1 + 4 = 6 (a word of its own would give 1 + 1 + 1 = 3).',
    text: large({ mode: 'simple' }, { sum: ['①E1*', 'C0006*'] }),
    verdict: 'pass',
    findings: [
      ['file/extension-field', '①'],
      ['checksum/electrical-packing', '①'],
    ],
  },
  'checksum-one-fuse-digit': {
    why: 'Both sums were taken with fuse 1 in state 1: the fuse sum is 2 higher, the transmission sum 1 higher.',
    text: small(
      { lists: ['L0 10*'], sum: ['①C0003*'] },
      { sum: `②${small({ lists: ['L0 11*'], sum: ['C0003*'] }).slice(-4)}` },
    ),
    options: AS_14L4,
    verdict: 'fail',
    findings: [
      ['checksum/fuse-mismatch', '①'],
      ['checksum/one-fuse-digit', '①'],
      ['checksum/transmission-mismatch', '②'],
    ],
  },
  'checksum-sum-digit': {
    why: 'The fuse sum 0001 became 0006 on the way: the transmission sum is off by just that exchange of characters.',
    text: small({ sum: ['①C0006*'] }, { sum: `②${small().slice(-4)}` }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [
      ['checksum/fuse-mismatch', '①'],
      ['checksum/sum-digit', '①'],
      ['checksum/transmission-mismatch', '②'],
    ],
  },
  'checksum-exchanged-digits': {
    why: 'The sum 0002 was taken of the digits 01, the file holds 10; the transmission sum is the same for both.',
    text: small({ lists: ['L0 10*'], sum: ['①C0002*'] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [
      ['checksum/fuse-mismatch', '①'],
      ['checksum/exchanged-digits', '①'],
    ],
  },
  'security-requested': {
    why: 'G1 asks for the security fuse.',
    text: small({ security: ['①G1*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['security/requested', '①']],
  },
  'security-not-stated': {
    why: 'No G field.',
    text: small({ security: [] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['security/not-stated', null]],
  },
  'vector-malformed': {
    why: 'Vector 1 has 19 conditions instead of 20.',
    text: small({ vectors: ['①V1 NNNNNNNNNNNNNHHHHNN*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['vector/malformed', '①', { vector: 1 }]],
  },
  'vector-too-many': {
    why: 'Two vectors where the caller takes one.',
    text: small({ vectorCount: ['QV2*'], vectors: ['V1 NNNNNNNNNNNNNHHHHNNN*', '①V2 NNNNNNNNNNNNNHHHHNNN*'] }),
    options: { ...AS_14L4, maxVectors: 1 },
    verdict: 'caution',
    findings: [['vector/too-many', '①']],
  },
  'vector-pin-order': {
    why: 'The pin sequence names pin 19 twice and pin 20 not at all.',
    text: small({ sum: ['C0001*', '①P 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 19*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['vector/pin-order', '①']],
  },
  'vector-replaced': {
    why: 'Vector 1 is stated twice; only the last one expects the level that the fuses give.',
    text: small({ vectors: ['V1 NNNNNNNNNNNNNLLLLNNN*', '①V1 NNNNNNNNNNNNNHHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/replaced', '①', { vector: 1 }]],
  },
  'vector-past-limit': {
    why: 'Vector 2 where QV1 states one vector.',
    text: small({ vectors: ['V1 NNNNNNNNNNNNNHHHHNNN*', '①V2 NNNNNNNNNNNNNHHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/past-limit', '①', { vector: 2 }]],
  },
  'vector-layout': {
    why: 'Blanks and a small letter among the conditions.',
    text: small({ vectors: ['①V1 NNNNNNNNNN NNNhHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/layout', '①']],
  },
  'vector-none': {
    why: 'No V field.',
    text: small({ vectorCount: [], vectors: [] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/none', null]],
  },
  'device-unknown': {
    why: 'No part has eight fuses.',
    text: small({ fuseCount: ['QF8*'] }),
    verdict: 'caution',
    findings: [['device/unknown', null]],
  },
  'device-no-fuses': {
    why: 'A file of test vectors only.',
    text: small({ fuseCount: [], default: [], lists: [], sum: [] }),
    verdict: 'caution',
    findings: [['device/no-fuses', null]],
  },
  'device-ambiguous': {
    why: '448 fuses are a 14L4 or a 14H4, and a vector that expects nothing holds on both.',
    text: small({ vectors: [NO_PINS] }),
    verdict: 'caution',
    findings: [['device/ambiguous', null]],
  },
  'device-by-vectors': {
    why: 'Every term is 0 and the vector expects high outputs: that holds on the active-low 14L4 and fails on the 14H4.',
    text: small(),
    verdict: 'caution',
    findings: [['device/by-vectors', null]],
  },
  'device-size-mismatch': {
    why: 'The caller chose a 16V8 (2194 fuses) for a file of 448.',
    text: small(),
    options: { device: '16V8' },
    verdict: 'fail',
    findings: [['device/size-mismatch', null]],
  },
  'device-pin-count-differs': {
    why: 'The file states 24 pins and the caller chose a part with 20; without vectors, so that their width is no matter.',
    text: small({ pins: ['QP24*'], vectorCount: [], vectors: [] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['device/pin-count-differs', null],
      ['vector/none', null],
    ],
  },
  'device-blank-map': {
    why: 'All fuses are 0.',
    text: small({ lists: [], sum: ['C0000*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['device/blank-map', null]],
  },
  'device-blank-array': {
    why: 'All 2048 fuses of the array are 1 and its terms are disabled, while SYN is 1, AC0 is 0 and the signature is 0.',
    text: frame(
      fieldsOf(QUIET, {
        fuseCount: ['QF2194*'],
        lists: lists([...run(0, 2048), 2192]),
        sum: [`C${fuseSum([...run(0, 2048), 2192])}*`],
        vectorCount: [],
        vectors: [],
      }),
    ),
    verdict: 'caution',
    findings: [
      ['device/blank-array', null],
      ['device/disabled-term', null, { fuse: 2128 }],
      ['vector/none', null],
    ],
  },
  'device-named-otherwise': {
    why: 'The title names a 14H4, which has as many fuses as the 14L4 that the caller chose.',
    text: small({ title: ['Sample for a PAL14H4*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['device/named-otherwise', null]],
  },
  'device-own-words': {
    why: 'No part has eight fuses, and the title names one like the number of a part.',
    text: small({ title: ['Sample for an ABC1234X*'], fuseCount: ['QF8*'] }),
    verdict: 'caution',
    findings: [
      ['device/unknown', null],
      ['device/own-words', null],
    ],
  },
  'device-power-down-fuse-missing': {
    why: 'The caller names a part that has 5893 fuses, of which the file gives 5892.',
    text: small({ pins: ['QP24*'], fuseCount: ['QF5892*'], vectors: [`V1 ${'N'.repeat(24)}*`] }),
    options: { device: 'ATF22V10C' },
    verdict: 'pass',
    findings: [
      ['device/power-down-fuse-missing', null],
      ['device/power-up', null],
    ],
  },
  'device-no-mode': {
    why: 'SYN and AC0 of a 16V8 are both 0; fuse 2192 is SYN.',
    text: large({ mode: 'none' }, { lists: ['L0 1*'], sum: ['C0001*'] }),
    verdict: 'fail',
    findings: [['device/no-mode', null, { fuse: 2192 }]],
  },
  'device-disabled-term': {
    why: 'Row 0 has no connected fuse (constant 1) and its disable fuse, 2128, is 0.',
    text: large({ mode: 'simple', freeRows: [0] }),
    verdict: 'caution',
    findings: [['device/disabled-term', null, { fuse: 2128 }]],
  },
  'device-undefined-cell': {
    why: 'Complex mode with AC1 = 0 at pin 19, and a live, enabled row (1) in its cell; the others are off for want of an enable term.',
    text: large(
      { mode: 'complex', ac1Pins: [18, 17, 16, 15, 14, 13, 12], freeRows: [1], enabledRows: [1] },
      { vectors: ['V1 NNNNNNNNNNNZZZZZZZNN*'] },
    ),
    verdict: 'caution',
    findings: [['device/undefined-cell', null, { pin: 19 }]],
  },
  'device-unused-cell': {
    why: 'Complex mode with AC1 = 0 at pin 19, whose rows are all 0 and which no term uses.',
    text: large(
      { mode: 'complex', ac1Pins: [18, 17, 16, 15, 14, 13, 12] },
      { vectors: ['V1 NNNNNNNNNNNZZZZZZZNN*'] },
    ),
    verdict: 'pass',
    findings: [['device/unused-cell', null, { pin: 19 }]],
  },
  'device-dead-cell': {
    why: 'Simple mode with AC1 = 1 at pin 16, whose level no column carries.',
    text: large({ mode: 'simple', ac1Pins: [16] }, { vectors: ['V1 NNNNNNNNNNNHHHHNHHHN*'] }),
    verdict: 'pass',
    findings: [['device/dead-cell', null, { pin: 16 }]],
  },
  'device-undecoded': {
    why: 'A map of 2056 fuses is for a 16P8, whose polarity fuses are known from memory only.',
    text: small({ fuseCount: ['QF2056*'], vectors: [NO_PINS] }),
    verdict: 'caution',
    findings: [['device/undecoded', null]],
  },
  'device-unconfirmed-order': {
    why: 'A map of 1928 fuses is an 82S100, read in an order that the caller names; all its sums are 0.',
    text: small({ pins: ['QP28*'], fuseCount: ['QF1928*'], vectors: [`V1 ${'N'.repeat(28)}*`] }),
    options: { device: '82S100', fuseOrder: 'term-by-term' },
    verdict: 'caution',
    findings: [['device/unconfirmed-order', null]],
  },
  'device-user-defined': {
    why: 'The caller describes a part of five pins: pin 3 is high while pins 1 and 2 are; both columns of pin 2 are connected, so it is low.',
    text: small({ pins: ['QP5*'], fuseCount: ['QF4*'], vectors: ['V1 11LNN*'] }),
    options: { device: GATE },
    verdict: 'pass',
    findings: [['device/user-defined', null]],
  },
  'device-configuration-missing': {
    why: 'A PAL map of 2048 fuses is offered for a 16V8, whose configuration fuses it lacks.',
    text: small({ fuseCount: ['QF2048*'], vectors: [NO_PINS] }),
    options: { device: '16V8' },
    verdict: 'fail',
    findings: [
      ['device/size-mismatch', null],
      ['device/configuration-missing', null],
    ],
  },
  'device-power-down': {
    why: 'A 22V10 map of 5893 fuses has a fuse for a power-down pin. All sums are 0 and every cell is registered and off.',
    text: small({ pins: ['QP24*'], fuseCount: ['QF5893*'], vectors: [`V1 ${'N'.repeat(24)}*`] }),
    verdict: 'pass',
    findings: [
      ['device/power-down', null, { fuse: 5892 }],
      ['device/power-up', null],
    ],
  },
  'device-unconfirmed-map': {
    why: 'A map of 480 fuses is a 12L10, whose rows and columns are known from memory only.',
    text: small({ pins: ['QP24*'], fuseCount: ['QF480*'], vectors: [`V1 ${'N'.repeat(24)}*`] }),
    verdict: 'caution',
    findings: [['device/unconfirmed-map', null]],
  },
  'device-inferred-map': {
    why: 'A 14H4, inferred from the 14L4 by its part number; all its sums are 0, so its pins are low.',
    text: small({ vectors: ['V1 NNNNNNNNNNNNNLLLLNNN*'] }),
    options: { device: '14H4' },
    verdict: 'pass',
    findings: [['device/inferred-map', null]],
  },
  'device-power-up': {
    why: 'Registered mode: Q is 0 after power-up and the pins show its complement. A clocked 0 shows high as well.',
    text: large({ mode: 'registered' }, { vectors: ['V1 CNNNNNNNNN0HHHHHHHHN*'] }),
    verdict: 'pass',
    findings: [['device/power-up', null]],
  },
  'vector-failed': {
    why: 'The vector expects L at pin 14, where the fuses give a high level.',
    text: small({ vectors: ['①V1 NNNNNNNNNNNNNLHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'fail',
    findings: [['vector/failed', '①', { vector: 1, pin: 14 }]],
  },
  'vector-contradicted': {
    why: 'A vector expects L at pin 14 of a 12L10, whose map is known from memory only; its sums are 0, so its pins are high.',
    text: small({ pins: ['QP24*'], fuseCount: ['QF480*'], vectors: [`①V1 ${'N'.repeat(13)}L${'N'.repeat(10)}*`] }),
    verdict: 'caution',
    findings: [
      ['device/unconfirmed-map', null],
      ['vector/contradicted', '①', { vector: 1, pin: 14 }],
    ],
  },
  'vector-undetermined': {
    why: 'Pin 17 is the complement of pin 2, to which the vector applies nothing.',
    text: small({ ...complementOfPin2, vectors: ['①V1 NNNNNNNNNNNNNHHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [['vector/undetermined', '①', { vector: 1, pin: 17 }]],
  },
  'vector-holds-with': {
    why: 'Pin 17 is the complement of pin 2, which stands at X without an X field; with X taken as 0 it is high as expected.',
    text: small({ ...complementOfPin2, vectors: ['①V1 NXNNNNNNNNNNNHHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [
      ['vector/holds-with', '①', { vector: 1, pin: 17 }],
      ['vector/no-default-level', '①'],
    ],
  },
  'vector-level-at-input': {
    why: 'The vector expects H at pin 1 of a 14L4, an input; a level nobody drives stays open, which is told as well.',
    text: small({ vectors: ['①V1 HNNNNNNNNNNNNHHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'caution',
    findings: [
      ['vector/level-at-input', '①', { vector: 1, pin: 1 }],
      ['vector/undetermined', '①', { vector: 1, pin: 1 }],
    ],
  },
  'vector-overridden': {
    why: 'A 0 is applied at pin 14, which the part drives high.',
    text: small({ vectors: ['①V1 NNNNNNNNNNNNN0HHHNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/overridden', '①', { vector: 1, pin: 14 }]],
  },
  'vector-no-default-level': {
    why: 'Pin 2, which an unjudged output reads, is left at X without an X field.',
    text: small({ ...complementOfPin2, vectors: ['①V1 NXNNNNNNNNNNNHHHNNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/no-default-level', '①']],
  },
  'vector-pin-count': {
    why: 'Vectors of another file, with 24 conditions, are run on a part with 20 pins; offsets in that file are not offsets in this one.',
    text: small(),
    options: { ...AS_14L4, vectors: 'other-24-pins.jed' },
    verdict: 'caution',
    findings: [['vector/pin-count', null]],
  },
  'vector-source-unusable': {
    why: 'The caller names another file for the vectors, and that file holds none.',
    text: small(),
    options: { ...AS_14L4, vectors: 'vector-none.jed' },
    verdict: 'caution',
    findings: [['vector/source-unusable', null]],
  },
  'vector-super-voltage': {
    why: 'Condition 2 at pin 1, on which no output depends.',
    text: small({ vectors: ['①V1 2NNNNNNNNNNNNHHHHNNN*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/super-voltage', '①', { vector: 1, pin: 1 }]],
  },
  'vector-preload': {
    why: 'A buried-register preload, whose registers no 14L4 has.',
    text: small({ vectors: ['①V1 B0XXXXXXXXXXXXXXXXXX*'], vectorCount: ['QV1*', 'X0*'] }),
    options: AS_14L4,
    verdict: 'pass',
    findings: [['vector/preload', '①', { vector: 1 }]],
  },
  'file-more-findings': {
    why: 'One finding may be listed: the error, although two notes come before it in the file.',
    text: small({ security: ['G0**'], sum: ['①C0006*'] }, { before: 'Two notes and an error.\r\n' }),
    options: { ...AS_14L4, maxFindings: 1 },
    verdict: 'fail',
    findings: [
      ['checksum/fuse-mismatch', '①'],
      ['file/more-findings', null],
    ],
  },
}

Object.assign(
  CASES,
  compareCases({ frame, fuseSum, lists, run, small }),
  readingsCases({ frame, fuseSum, lists }),
  gradeCases({ frame, fuseSum, lists, run, small, complementOfPin2 }),
  adapterCases({ fuseSum, run, small, large, quiet: small() }),
  captureCases({ frame, fuseSum, lists, run, small, large, complementOfPin2 }),
)

/** Files that a case names in its options. */
const COMPANIONS = {
  'other-24-pins': frame(['Vectors for 24 pins*', 'QP24*', 'QV1*', `V1 ${'N'.repeat(24)}*`]),
}

// ---- writing --------------------------------------------------------------------------------------------------------

function offsetOf(place, text) {
  if (place === null || place === 0) return place
  const at = place === 'end' ? text.length : text.indexOf(place)
  if (at < 0) throw new Error(`the mark ${place} is missing`)
  return unmarked(text.slice(0, at)).length
}

function declarationOf(name, given) {
  const { why, job, options = {}, verdict, findings, text, other, reads = [], board, image, capture } = given
  const listed = findings.map(([code, place, further = {}]) => ({
    code,
    offset: offsetOf(place, further.side === 'readback' ? other : text),
    ...further,
  }))
  const rows = listed.map(
    (finding) =>
      `    ${JSON.stringify(finding)
        .replace(/([:,])(?=["\d-]|null)/g, '$1 ')
        .replace('{', '{ ')
        .replace(/}$/, ' }')}`,
  )
  const done = job === undefined ? '' : `  "job": ${JSON.stringify(job)},\n`
  const second = other === undefined ? '' : `  "other": ${JSON.stringify(`${otherNameOf(name)}.jed`)},\n`
  const further =
    reads.length === 0 ? '' : `  "reads": ${JSON.stringify(reads.map((_, i) => `${readNameOf(name, i)}.jed`))},\n`
  const whole = board === undefined ? '' : `  "board": ${JSON.stringify(board)},\n`
  const original = image === undefined ? '' : `  "image": ${JSON.stringify(image)},\n`
  const images = capture === undefined ? '' : `  "capture": ${JSON.stringify(capture)},\n`
  return `{\n  "why": ${JSON.stringify(why)},\n${done}${second}${further}${whole}${original}${images}  "options": ${JSON.stringify(options)},\n  "verdict": ${JSON.stringify(verdict)},\n  "findings": [\n${rows.join(',\n')}\n  ]\n}\n`
}

/** Name of the second file of a case. */
const otherNameOf = (name) => `${name}.other`
/** Name of a further read, from 0. */
const readNameOf = (name, i) => `${name}.read-${i + 2}`

const target = process.argv[2] ?? fileURLToPath(new URL('.', import.meta.url))
mkdirSync(target, { recursive: true })
const writeFuseFile = (name, text) =>
  writeFileSync(join(target, `${name}.jed`), Buffer.from(unmarked(text), 'latin1'))
for (const [name, given] of Object.entries(CASES)) {
  writeFuseFile(name, given.text)
  if (given.other !== undefined) writeFuseFile(otherNameOf(name), given.other)
  for (const [i, read] of (given.reads ?? []).entries()) writeFuseFile(readNameOf(name, i), read)
  writeFileSync(join(target, `${name}.json`), declarationOf(name, given))
}
for (const [name, text] of Object.entries(COMPANIONS)) writeFuseFile(name, text)
