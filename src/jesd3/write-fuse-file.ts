/** Writing fuse files that the strictest reader of JEDEC Standard No. 3-A takes. */
import type { SavedBytes } from '../fuses/saved-bytes'
import { isBytes, madeBy, oneOf, type OptionNames, optionsOf, wholeNumber } from '../arguments/arguments'
import { differingFuses } from '../fuses/fuse-map'
import { putDigits, putText, startSink, type ByteSink } from './byte-sink'
import { EMPTY_CONTENT, type FuseFile, type FuseFileContent } from './fuse-file'
import { looksLikeField, readFuseFile } from './read-fuse-file'
import { hex4, sumWith } from './sums'
import { areConditions } from './test-vectors'
import { sumBytes } from './transmission-sum'

/** How to write a file anew; a file that is given back unchanged keeps its own layout. */
export interface WriteOptions {
  /** Line ends of a file that is written anew (default `crlf`, as in the standard's worked example). */
  readonly lineEnds?: 'crlf' | 'lf'
  /** Fuses a list row of a file that is written anew, for the reader's eye only (default 32). */
  readonly rowLength?: number
}

/**
 * Writes a fuse file. What was read and not changed comes back byte for byte; everything else is written anew with both
 * checksums: every fuse listed, fields in the order of the standard, printable ASCII only. Vectors that could not be
 * read are left out.
 *
 * @param file what `readFuseFile` gave, a changed copy of it, or content of the caller's own (fields left out are
 *   empty); texts are trimmed and accents become question marks; QV is at least the highest vector number
 * @param options line ends of a new file
 * @returns the bytes of the file
 * @throws TypeError when text holds an asterisk or a control character, or a vector a wrong number of conditions
 * @example readFuseFile(writeFuseFile({ fuses: fuseMapFrom('11111111') })).fuseCount // 8
 */
export function writeFuseFile(file: Partial<FuseFileContent>, options: WriteOptions = {}): SavedBytes {
  madeBy(file, 'file', { keys: [], maker: 'an object: a fuse file, or what it is to hold' })
  const { lineEnds = 'crlf', rowLength = DEFAULT_ROW } = optionsOf(options, WRITE_OPTIONS)
  checkedLineEnds(lineEnds)
  wholeNumber(rowLength, 'options.rowLength', [1])
  const content: FuseFileContent = { ...EMPTY_CONTENT, ...file }
  const bytes = 'bytes' in file ? (file as FuseFile).bytes : null
  if (
    isBytes(bytes) &&
    options.lineEnds === undefined &&
    saysTheSame(readFuseFile(bytes, (file as FuseFile).options), content)
  )
    // A copy: slice of Node's Buffer would give the caller's own memory.
    return new Uint8Array(bytes)
  checkContent(content)
  return writeFrame(content, { rowLength, lineEnd: lineEnds === 'crlf' ? '\r\n' : '\n' })
}

/** `crlf` or `lf`, as an argument. */
export function checkedLineEnds(lineEnds: 'crlf' | 'lf'): 'crlf' | 'lf' {
  return oneOf(lineEnds, 'options.lineEnds', ['crlf', 'lf'])
}

const WRITE_OPTIONS: OptionNames<WriteOptions> = { lineEnds: true, rowLength: true }
const DEFAULT_ROW = 32

/** True where two files say the same. */
function saysTheSame(one: FuseFileContent, other: FuseFileContent): boolean {
  const sameFuses =
    one.fuses && other.fuses
      ? one.fuses.length === other.fuses.length && differingFuses(one.fuses, other.fuses, 0).count === 0
      : one.fuses === other.fuses
  return sameFuses && keyOf(one) === keyOf(other)
}

/** Content apart from the fuses as one comparable text. */
function keyOf(content: FuseFileContent): string {
  const vectors = content.vectors.map(({ number, conditions }) => [number, conditions])
  const keys = (Object.keys(EMPTY_CONTENT) as (keyof FuseFileContent)[]).filter((key) => key !== 'fuses')
  return JSON.stringify(keys.map((key) => (key === 'vectors' ? vectors : content[key])))
}

interface Layout {
  readonly rowLength: number
  readonly lineEnd: string
}

/** The whole file, field by field in the standard's order. */
function writeFrame(content: FuseFileContent, layout: Layout): SavedBytes {
  const count = content.fuses?.length ?? 0
  const row = 'L'.length + String(count).length + ' *'.length + layout.lineEnd.length
  const sink = startSink(ROOM_FOR_THE_REST + count + row * Math.ceil(count / layout.rowLength))
  putText(sink, '\x02')
  const put = (field: string): void => putText(sink, `${field.replace(/\n/g, layout.lineEnd)}*${layout.lineEnd}`)
  headFields(content).forEach(put)
  if (content.fuses) putLists(sink, content.fuses, layout)
  dataFields(content).forEach(put)
  putVectors(content, put)
  putText(sink, '\x03')
  putText(sink, hex4(sumBytes(sink.bytes, { start: 0, end: sink.length })) + layout.lineEnd)
  return sink.bytes.slice(0, sink.length)
}

/** Bytes for what is no list, in most files; the sink grows past it. */
const ROOM_FOR_THE_REST = 4096

/** A field for each value that is stated. */
function stated(fields: readonly (readonly [prefix: string, value: number | string | null])[]): string[] {
  return fields.filter(([, value]) => value !== null).map(([prefix, value]) => `${prefix}${value}`)
}

/** Vectors that can be written: without a usable pin sequence the conditions belong to no pins. */
function writableVectors({ pinOrder, vectors }: FuseFileContent): FuseFileContent['vectors'] {
  return pinOrder?.length === 0 ? [] : vectors.filter(({ conditions }) => conditions !== null)
}

/** Conditions of a vector: QP, else as many as the first one has. */
function widthOf(content: FuseFileContent): number | null {
  return content.pinCount ?? writableVectors(content)[0]?.conditions?.length ?? null
}

/** Design specification, values and options, notes and other fields. */
function headFields(content: FuseFileContent): string[] {
  const { fuses, vectorLimit } = content
  const highest = writableVectors(content).reduce((most, { number }) => Math.max(most, number), 0)
  const notes = content.notes.map((text) => plainText(text.trim(), 'notes'))
  return [
    plainText(content.designSpecification.trim(), 'designSpecification'),
    ...stated([
      ['QP', widthOf(content)],
      ['QF', fuses && fuses.length],
      ['QV', vectorLimit === null && highest === 0 ? null : Math.max(vectorLimit ?? 0, highest)],
      ['G', content.security],
      ['F', content.defaultFuse],
      ['X', content.defaultCondition],
    ]),
    ...notes.map((note) => (/^OTE(?!\w)/.test(note) ? `NOTE ${note}` : `N ${note}`)),
    ...content.otherFields.map((other) => plainText(other.trim(), 'otherFields')),
  ]
}

function putLists(sink: ByteSink, fuses: NonNullable<FuseFileContent['fuses']>, layout: Layout): void {
  const { rowLength, lineEnd } = layout
  const digits = String(Math.max(0, fuses.length - 1)).length
  for (let at = 0; at < fuses.length; at += rowLength) {
    putText(sink, `L${String(at).padStart(digits, '0')} `)
    putDigits(sink, fuses, at, Math.min(at + rowLength, fuses.length))
    putText(sink, `*${lineEnd}`)
  }
}

/** The fuse sum, electrical data before or behind it, user data and the pin sequence. */
function dataFields({ fuses, electricalData, electricalPacking, userData, pinOrder }: FuseFileContent): string[] {
  const sum = fuses && hex4(sumWith(fuses, electricalData ?? '', electricalPacking))
  const isOutside = electricalPacking === 'outside'
  return stated([
    ['C', isOutside ? sum : null],
    ['E', electricalData],
    ['C', isOutside ? null : sum],
    ['U', userData && USER_DATA_PREFIX[userData.form] + plainText(userData.text, 'userData')],
    ['P ', pinOrder && pinOrder.length > 0 ? pinOrder.join(' ') : null],
  ])
}

function putVectors(content: FuseFileContent, put: (field: string) => void): void {
  const width = widthOf(content)!
  for (const { number, conditions } of writableVectors(content))
    put(`V${String(number).padStart(4, '0')} ${conditionsOf(conditions!, width)}`)
}

/** Throws where content would not read back as what was given. */
function checkContent(content: FuseFileContent): void {
  const need = (met: boolean, name: string, what: string): void => {
    if (!met) throw new TypeError(`file.${name} must ${what}`)
  }
  const { fuses, pinOrder } = content
  need(typeof content.designSpecification === 'string', 'designSpecification', 'be a string')
  for (const name of ['notes', 'otherFields'] as const)
    need(
      Array.isArray(content[name]) && content[name].every((text) => typeof text === 'string'),
      name,
      'be a list of strings',
    )
  need(Array.isArray(content.vectors), 'vectors', 'be a list')
  need(
    fuses === null || (isBytes(fuses.bits) && fuses.bits.length === Math.ceil(fuses.length / 8)),
    'fuses',
    'be a fuse map or null',
  )
  need(
    ['outside', 'continued', 'apart'].includes(content.electricalPacking),
    'electricalPacking',
    'be outside, continued or apart',
  )
  const width =
    content.pinCount ?? content.vectors.find(({ conditions }) => conditions)?.conditions?.length ?? pinOrder?.length
  need(
    !pinOrder?.length ||
      (pinOrder.length === width &&
        new Set(pinOrder).size === width &&
        pinOrder.every((pin) => pin >= 1 && pin <= width)),
    'pinOrder',
    'name each pin once',
  )
  for (const name of ['security', 'defaultFuse', 'defaultCondition'] as const)
    need([null, 0, 1].includes(content[name]), name, 'be 0, 1 or null')
  for (const name of ['pinCount', 'vectorLimit'] as const)
    need(
      content[name] === null || (Number.isSafeInteger(content[name]) && content[name]! >= 0),
      name,
      'be a whole number or null',
    )
  need(!looksLikeField(content.designSpecification.trim()), 'designSpecification', 'not look like a field')
  need(/^[01]+$/.test(content.electricalData ?? '0'), 'electricalData', 'hold 0 and 1 only')
  need(
    content.otherFields.every((text) => /^[ABDHIJMORSTWYZ]/.test(text)),
    'otherFields',
    'begin with a letter that this library does not interpret',
  )
  need(
    content.vectors.every(({ number }) => Number.isSafeInteger(number) && number >= 1),
    'vectors',
    'be numbered from 1',
  )
  const { userData } = content
  need(!userData || USER_DATA_DIGITS[userData.form].test(userData.text), 'userData', 'hold the digits of its form')
}

const USER_DATA_DIGITS = { binary: /^[01]+$/, hexadecimal: /^[0-9A-Fa-f]+$/, text: /^/ } as const
const USER_DATA_PREFIX = { binary: '', hexadecimal: 'H', text: 'A' } as const

function conditionsOf(conditions: string, width: number): string {
  if (!areConditions(conditions) || conditions.length !== width)
    throw new TypeError(`file.vectors: “${conditions}” is not ${width} test conditions`)
  return conditions
}

/** Text that may stand in a field: printable ASCII and line ends; accents become question marks, tabulators blanks. */
function plainText(text: string, name: string): string {
  const plain = text
    .replace(/\t/g, ' ')
    .replace(/\r\n?/g, '\n')
    .replace(/[^\n -~\x00-\x1f\x7f]/g, '?')
  if (/[*\x00-\x09\x0b-\x1f\x7f]/.test(plain))
    throw new TypeError(`file.${name} must not hold an asterisk or a control character`)
  return plain
}
