/** The report on one file as text for a person: the verdict with its cause, what to do, the facts. */
import { madeBy } from '../arguments/arguments'
import { describeReading } from '../jobs/vectors/vector-words'
import type { Report } from '../jobs/check/report'
import { renderFinding, wrapText } from './layout'
import {
  asciiText,
  causeWords,
  checkLook,
  findingRows,
  inAscii,
  leadRows,
  lookOf,
  row,
  tell,
  type Look,
  type TextOptions,
  type Told,
} from './screen'

/** A verdict in words for a person. */
export const VERDICT_WORDS = {
  pass: 'pass (nothing speaks against it)',
  caution: 'caution (look before you burn)',
  fail: 'fail (do not burn it)',
} as const

/** What makes an object a report. */
export const REPORT = {
  keys: ['verdict', 'checksums', 'testVectors', 'findings', 'scope'],
  maker: 'what verify returned',
}

/** Most findings besides the first that a screen has room for. */
const MOST_TOLD = { grave: 4, notes: 5 } as const

/**
 * The report on one file. A typical one fits a screen of 24 lines by 80 columns.
 *
 * @param report what `verify` gave
 * @param options width, how much is shown, and the signs of logic
 * @returns a screen, the verdict with its cause first
 * @throws TypeError for what is no report, RangeError for an option out of range
 * @example renderReport(report, { width: 72 }).includes('pass') // true
 */
export function renderReport(report: Report, options: TextOptions = {}): string {
  madeBy(report, 'report', REPORT)
  checkLook(options)
  if (options.ascii) return asciiText(renderReport(inAscii(report), { ...options, ascii: false }))
  const look = lookOf(options)
  const told = tell(report.findings, MOST_TOLD)
  const cause = verdictCause(report, told)
  const verdict = `${report.file ?? 'file'}: ${VERDICT_WORDS[report.verdict]}${cause === '' ? '' : `: ${cause}`}.`
  return [
    wrapText(verdict, 2, look.width),
    ...leadRows(told, look),
    ...(report.fuseCount === null ? [] : ['', ...factsOf(report).map(([label, text]) => row(label, text, look))]),
    ...(look.all
      ? ['', ...report.findings.map((finding) => renderFinding(finding, look.width))]
      : findingRows(told, look)),
    '',
    ...(look.all ? longScope(report, look) : [row('looked at', scopeWords(report), look)]),
    ...(report.verdict === 'fail' ? [] : [row('burning', look.all ? CAUTION : CAUTION_IN_SHORT, look)]),
    '',
  ].join('\n')
}

/** Why the verdict is what it is, in the words of one sentence; empty where nothing can be said. */
export function verdictCause(report: Report, told: Told): string {
  return causeWords(told) ?? passWords(report)
}

/** What is wise when a file is burned. */
export const CAUTION =
  'keep the untouched download; choose the exact maker, type and suffix; leave protection off until the machine runs; verify in a separate run.'
const CAUTION_IN_SHORT = 'keep the download; exact type; protect last; verify after'

/** What speaks for a file against which nothing speaks. */
function passWords({ checksums: { fuse, transmission }, testVectors }: Report): string {
  const both = fuse.status === 'match' && transmission.status === 'match'
  const sums = both
    ? ['both checksums are right']
    : [
        ...(fuse.status === 'match' ? ['the fuse checksum is right'] : []),
        ...(transmission.status === 'match' ? ['the transmission checksum is right'] : []),
        ...(transmission.explanation ? [`line ends explain the transmission checksum`] : []),
      ]
  return [...sums, ...(testVectors.count === 0 ? [] : [holdWords(testVectors)])].join(', ')
}

type VectorSummary = Report['testVectors']

/** Vectors none of which is contradicted. */
function holdWords(vectors: VectorSummary): string {
  const { count, passed } = vectors
  const nouns = count === 1 ? 'vector holds' : 'vectors hold'
  const reading = passed < count ? plainReading(vectors) : undefined
  if (reading) return `${count} of ${count} test ${nouns} with ${describeReading(reading)}`
  return `${passed} of ${count} test ${nouns}`
}

/** A plain reading under which every vector holds, where as they stand none is contradicted. */
function plainReading({ failed, readings }: VectorSummary): VectorSummary['readings'][number] | undefined {
  return failed > 0 ? undefined : readings.find((reading) => reading.failed === 0 && reading.undetermined === 0)
}

/** The facts of a file, each with its label. */
export function factsOf(report: Report): readonly (readonly [string, string])[] {
  const { complete, security, signature } = report
  const protection = security === null ? 'not stated' : security ? 'asked for (G1)' : 'not asked for (G0)'
  return [
    ['part', partWords(report)],
    ['fuses', fuseWords(report)],
    ['transmission', transmissionWords(report)],
    ['protection', protection],
    ['test vectors', vectorWords(report)],
    ...(signature && complete ? [['signature', signatureWords(signature)] as const] : []),
  ]
}

function signatureWords({ bytes, text }: NonNullable<Report['signature']>): string {
  return text === null ? bytes : `“${text}” (${bytes})`
}

/** What was looked at and what was not, in one line. */
function scopeWords({ checksums: { fuse, transmission }, device, testVectors: { count }, scope }: Report): string {
  const fuses = fuse.stated !== null && fuse.computed !== null
  const bytes = transmission.status === 'match' || transmission.status === 'mismatch'
  const logic = device !== null && scope.compared.some((words) => words.includes(device.part))
  const seen = [
    ...(fuses && bytes ? ['both sums'] : fuses ? ['fuse sum'] : bytes ? ['transmission sum'] : []),
    ...(logic ? ['logic'] : []),
    ...(count === 0 ? [] : [`${count} ${count === 1 ? 'vector' : 'vectors'}`]),
  ]
  const unseen = [...(logic ? [] : ['the logic']), 'the chip', 'timing', 'the board']
  return `${seen.join(', ') || 'nothing'}; not: ${unseen.join(', ')}`
}

function longScope({ scope }: Report, look: Look): string[] {
  return [
    row('compared', scope.compared.join('; ') || 'nothing', look),
    row('not looked at', scope.notExamined.join('; '), look),
  ]
}

/** The part of a file, and how it is known. */
export function partWords({ device, candidates, fuseCount }: Report): string {
  if (!device)
    return candidates.length > 1
      ? `one of ${candidates.join(', ')}`
      : candidates.length
        ? `by its size a ${candidates[0]}`
        : 'not known'
  const basis = {
    size: `the only known part of ${fuseCount} fuses`,
    choice: 'as chosen',
    vectors: 'by its test vectors alone',
  }[device.basis]
  return `${device.part}${device.mode ? `, ${device.mode} mode` : ''} (${basis})`
}

function fuseWords({ fuseCount, complete, checksums: { fuse } }: Report): string {
  if (fuse.computed === null) return 'none read'
  if (!complete) return `${fuseCount}, not all of them known`
  if (fuse.status === 'absent') return `${fuseCount}; no checksum stated, they sum to ${fuse.computed}`
  if (fuse.status === 'match') return `${fuseCount}; the checksum ${fuse.stated} is right`
  return `${fuseCount}; checksum stated ${fuse.stated}, but they sum to ${fuse.computed}`
}

function transmissionWords({ checksums: { transmission: sum } }: Report): string {
  if (sum.status === 'absent')
    return sum.computed ? `no checksum stated; the bytes sum to ${sum.computed}` : 'no checksum'
  if (sum.status === 'not-computed') return 'checksum declared as not computed (0000)'
  if (sum.status === 'match') return `the checksum ${sum.stated} is right`
  const cause = sum.explanation ? `: ${CAUSE_WORDS[sum.explanation]}` : ''
  return `checksum stated ${sum.stated}, but the bytes sum to ${sum.computed ?? 'something else'}${cause}`
}

/** The one cause that fits, in a few words. */
const CAUSE_WORDS = {
  'line-ends-lf-to-crlf': 'right once LF is made CR LF',
  'line-ends-crlf-to-lf': 'right once CR LF is made LF',
  'line-ends-cr': 'right with other line ends',
  'carriage-returns-lost': 'right once a few lost CR are put back',
  'start-mark-left-out': 'right without the start mark',
  'end-mark-left-out': 'right without the end mark',
  'wrong-digit-count': 'right by its value',
} as const

function vectorWords({ testVectors, vectorsFrom }: Report): string {
  const { count, passed, failed, undetermined } = testVectors
  const from = vectorsFrom === null ? '' : ` from ${vectorsFrom}`
  if (count === 0) return 'none run'
  if (passed === count) return `${count} run${from}: ${count === 1 ? 'it holds' : 'all hold'}`
  const holding = plainReading(testVectors)
  const open = holding
    ? `${undetermined} open as they stand; all hold with ${describeReading(holding)}`
    : `${undetermined} open`
  return `${count} run${from}: ${passed} ${passed === 1 ? 'holds' : 'hold'}, ${failed} contradicted, ${open}`
}
