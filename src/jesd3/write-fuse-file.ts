/** Writing fuse files that the strictest reader of JEDEC Standard No. 3-A takes. */
import { differingFuses, fuseDigits } from '../fuses/fuse-map'
import type { Finding } from '../findings/finding'
import type { FuseFile, FuseFileContent } from './fuse-file'
import { FIELD_AS_TITLE, readFuseFile } from './read-fuse-file'
import { hex4, sumWith } from './sums'
import { areConditions } from './test-vectors'
import { textOf } from './text'
import { sumBytes } from './transmission-sum'

/** How to write a file anew; a file that is given back unchanged keeps its own layout. */
export interface WriteOptions {
  /** Line ends of a file that is written anew (default `crlf`, as in the standard's worked example). */
  readonly lineEnds?: 'crlf' | 'lf'
  /** Fuses a list row of a file that is written anew, for the reader's eye only (default 32). */
  readonly rowLength?: number
}

/**
 * Writes a fuse file. What was read and not changed comes back byte for byte; everything else is written anew with
 * both checksums: every fuse listed, fields in the order of the standard, printable ASCII only. Vectors that could not
 * be read are left out.
 *
 * @param file what readFuseFile returned, a changed copy of it, or content of the caller's own (fields left out are
 *   empty); texts are trimmed and accents become question marks; QV is at least the highest vector number
 * @returns the bytes of the file
 * @throws TypeError when text holds an asterisk or a control character, or a vector a wrong number of conditions
 * @example writeFuseFile({ fuses: fuseMapFrom('11111111') })
 */
export function writeFuseFile(file: Partial<FuseFileContent>, options: WriteOptions = {}): Uint8Array {
  if (typeof file !== 'object' || file === null) throw new TypeError('file must be an object')
  const lineEnds = options.lineEnds ?? 'crlf'
  if (lineEnds !== 'crlf' && lineEnds !== 'lf') throw new RangeError('options.lineEnds must be "crlf" or "lf"')
  const content: FuseFileContent = { ...EMPTY, ...file }
  const bytes = 'bytes' in file ? (file as FuseFile).bytes : null
  if (
    bytes instanceof Uint8Array &&
    options.lineEnds === undefined &&
    contentKey(readFuseFile(bytes, (file as FuseFile).options)) === contentKey(content)
  )
    return bytes.slice()
  return encodeFrame(fieldsOf(content, options.rowLength ?? 32), lineEnds === 'crlf' ? '\r\n' : '\n')
}

const EMPTY: FuseFileContent = {
  designSpecification: '',
  notes: [],
  pinCount: null,
  vectorLimit: null,
  defaultFuse: null,
  fuses: null,
  security: null,
  defaultCondition: null,
  pinOrder: null,
  vectors: [],
  electricalData: null,
  electricalPacking: 'outside',
  userData: null,
  otherFields: [],
}

/** Content as one comparable text: two files say the same exactly when these are equal. */
function contentKey(content: FuseFileContent): string {
  const vectors = content.vectors.map(({ number, conditions }) => [number, conditions])
  const fuses = content.fuses && [content.fuses.length, textOf(content.fuses.bits, 0, content.fuses.bits.length)]
  return JSON.stringify(
    (Object.keys(EMPTY) as (keyof FuseFileContent)[]).map((key) =>
      key === 'vectors' ? vectors : key === 'fuses' ? fuses : content[key],
    ),
  )
}

/** The fields in the standard's order, each without its asterisk. */
function fieldsOf(content: FuseFileContent, rowLength: number): string[] {
  checkContent(content, rowLength)
  const { fuses, pinOrder } = content
  // Without a usable pin sequence the conditions belong to no pins.
  const vectors = pinOrder?.length === 0 ? [] : content.vectors.filter((vector) => vector.conditions !== null)
  const width = content.pinCount ?? vectors[0]?.conditions?.length ?? null
  const highest = vectors.reduce((most, { number }) => Math.max(most, number), 0)
  const fields = [plainText(content.designSpecification.trim(), 'designSpecification')]
  const add = (prefix: string, value: number | string | null): void => {
    if (value !== null) fields.push(prefix + value)
  }
  add('QP', width)
  add('QF', fuses && fuses.length)
  add('QV', content.vectorLimit === null && highest === 0 ? null : Math.max(content.vectorLimit ?? 0, highest))
  add('G', content.security)
  add('F', content.defaultFuse)
  add('X', content.defaultCondition)
  for (const note of content.notes.map((text) => plainText(text.trim(), 'notes')))
    fields.push(/^OTE(?!\w)/.test(note) ? `NOTE ${note}` : `N ${note}`)
  for (const other of content.otherFields) fields.push(plainText(other.trim(), 'otherFields'))
  if (fuses) {
    const digits = String(Math.max(0, fuses.length - 1)).length
    for (let at = 0; at < fuses.length; at += rowLength)
      fields.push(
        `L${String(at).padStart(digits, '0')} ${fuseDigits(fuses, at, Math.min(rowLength, fuses.length - at))}`,
      )
    const { electricalData, electricalPacking } = content
    const sum = `C${hex4(sumWith(fuses, electricalData ?? '', electricalPacking))}`
    if (electricalPacking === 'outside') fields.push(sum)
    add('E', electricalData)
    if (electricalPacking !== 'outside') fields.push(sum)
  }
  if (content.userData)
    fields.push(`U${USER_DATA_PREFIX[content.userData.form]}${plainText(content.userData.text, 'userData')}`)
  if (pinOrder && pinOrder.length > 0) fields.push(`P ${pinOrder.join(' ')}`)
  for (const { number, conditions } of vectors)
    fields.push(`V${String(number).padStart(4, '0')} ${conditionsOf(conditions!, width!)}`)
  return fields
}

/** Throws where content would not read back as what was given. */
function checkContent(content: FuseFileContent, rowLength: number): void {
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
    fuses === null || (fuses.bits instanceof Uint8Array && fuses.bits.length === Math.ceil(fuses.length / 8)),
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
  if (!(Number.isSafeInteger(rowLength) && rowLength >= 1))
    throw new RangeError('options.rowLength must be a whole number from 1')
  for (const name of ['security', 'defaultFuse', 'defaultCondition'] as const)
    need([null, 0, 1].includes(content[name]), name, 'be 0, 1 or null')
  for (const name of ['pinCount', 'vectorLimit'] as const)
    need(
      content[name] === null || (Number.isSafeInteger(content[name]) && content[name]! >= 0),
      name,
      'be a whole number or null',
    )
  need(!FIELD_AS_TITLE.test(content.designSpecification), 'designSpecification', 'not look like a field')
  need(/^[01]+$/.test(content.electricalData ?? '0'), 'electricalData', 'hold 0 and 1 only')
  need(
    content.otherFields.every((text) => /^[ABDHIJMORSTWYZ]/.test(text)),
    'otherFields',
    'begin with a letter that this library does not interpret',
  )
  need(fuses !== null || content.electricalData === null, 'electricalData', 'come with fuses')
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

function encodeFrame(fields: readonly string[], lineEnd: string): Uint8Array {
  const body = `\x02${fields.map((field) => `${field.replace(/\n/g, lineEnd)}*${lineEnd}`).join('')}\x03`
  const bytes = new Uint8Array(body.length + 4 + lineEnd.length)
  for (let i = 0; i < body.length; i++) bytes[i] = body.charCodeAt(i)
  const tail = hex4(sumBytes(bytes, { start: 0, end: body.length })) + lineEnd
  for (let i = 0; i < tail.length; i++) bytes[body.length + i] = tail.charCodeAt(i)
  return bytes
}

/** How to rewrite. */
export interface RewriteOptions {
  /** Line ends of the new file (default `crlf`). */
  readonly lineEnds?: 'crlf' | 'lf'
  /** Security field of the new file; left as it was when not given. */
  readonly security?: 0 | 1
}

/** What rewriting gave: a new file, or why it was refused. */
export interface Rewritten {
  /** The new file; null when it was refused. */
  readonly bytes: Uint8Array | null
  /** Why it was refused: the findings that make the old file untrustworthy. Empty when it was written. */
  readonly refusedFor: readonly Finding[]
  /**
   * Fuses in the new file that differ from the old one: 0, found by reading the new file back; null when it was
   * refused.
   */
  readonly changedFuses: number | null
  /** True when a fuse checksum in the old file fitted its fuses; false where nothing had confirmed them. */
  readonly confirmed: boolean
  /** What the new file does not carry over or carries over changed, in words. */
  readonly leftOut: readonly string[]
}

/** Findings whose fields or characters do not come into a new file. */
const LEFT_OUT: readonly string[] = [
  'file/unknown-identifier',
  'file/field-malformed',
  'file/control-character',
  'file/eighth-bit',
  'file/text-before-start',
  'file/text-after-end',
  'file/second-frame',
  'vector/malformed',
  'vector/pin-order',
]

/**
 * The same fuses in a file that a strict reader takes: for a file that a programmer refuses for its form. Refused
 * itself where the fuses cannot be trusted (wrong fuse checksum, cut, fuses without a state).
 *
 * @throws RangeError for an option out of range
 */
export function rewrite(file: FuseFile, options: RewriteOptions = {}): Rewritten {
  if (![undefined, 0, 1].includes(options.security)) throw new RangeError('options.security must be 0 or 1')
  const refusedFor = file.findings.filter(
    (finding) => finding.severity === 'error' || finding.code === 'checksum/lists-after-sum',
  )
  const confirmed = file.checksums.fuse.status === 'match'
  if (file.findingCounts.error > 0 || file.checksums.fuse.status === 'mismatch')
    return { bytes: null, refusedFor, changedFuses: null, confirmed, leftOut: [] }
  const cleared = (text: string): string => text.replace(/[\x00-\x09\x0b\x0c\x0e-\x1f\x7f]/g, ' ')
  const title = cleared(file.designSpecification)
  const bytes = writeFuseFile(
    {
      ...file,
      designSpecification: FIELD_AS_TITLE.test(title) ? `Title ${title.trim()}` : title,
      notes: file.notes.map(cleared),
      otherFields: file.otherFields.map(cleared),
      userData: file.userData && { ...file.userData, text: cleared(file.userData.text) },
      security: options.security ?? file.security,
    },
    { lineEnds: options.lineEnds ?? 'crlf' },
  )
  const leftOut = file.findings.filter((f) => LEFT_OUT.includes(f.code)).map((f) => f.message)
  if (file.security === null && file.securityField !== null)
    leftOut.push(`The security field G${file.securityField}, which the standard does not know.`)
  const changedFuses = file.fuses ? differingFuses(file.fuses, readFuseFile(bytes, file.options).fuses!).count : 0
  return { bytes, refusedFor: [], changedFuses, confirmed, leftOut }
}
