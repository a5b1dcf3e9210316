/** Screens for a person: the answer first, then what to do, then the facts; everything where all is asked for. */
import { oneOf, optionsOf, stringOf, wholeNumber } from '../arguments/arguments'
import type { FindingCode } from '../findings/catalogue'
import type { Finding, Severity } from '../findings/finding'
import { findingPlace, reportRow, WIDTH, wrapText } from './layout'

/** How a text is laid out. */
export interface TextOptions {
  /** Columns of the terminal (default 80), taken as 60 at least and 100 at most. */
  readonly width?: number | undefined
  /** Every finding by itself with what to do about it, and the scope in full. */
  readonly all?: boolean
  /** `and or not` for ∧ ∨ ¬, and plain quotation marks: for terminals that show no other signs. */
  readonly ascii?: boolean
  /** What is said where something was left out: how to see it. */
  readonly more?: string
}

/** Options with all of them decided. */
export interface Look {
  readonly width: number
  readonly all: boolean
  readonly more: string | undefined
}

/** Below 60 columns tables fall apart, past 100 lines are hard to read. */
const MIN_WIDTH = 60
const MAX_WIDTH = 100

/**
 * The columns that a text takes of a terminal: 60 at least, 100 at most, 80 where there is none.
 *
 * @param width columns of the terminal; left out where there is none
 * @returns columns of the text
 * @throws TypeError for no whole number, RangeError for one below 1
 * @example textColumns(132) // 100
 */
export function textColumns(width: number = WIDTH): number {
  return Math.min(MAX_WIDTH, Math.max(MIN_WIDTH, wholeNumber(width, 'width', [1])))
}

export function lookOf({ width, all = false, more }: TextOptions): Look {
  return { width: textColumns(width), all, more }
}

/** Throws TypeError or RangeError naming the option that is wrong. */
export function checkLook(options: TextOptions): void {
  const { width, all, ascii, more } = optionsOf(options, { width: true, all: true, ascii: true, more: true })
  if (width !== undefined) wholeNumber(width, 'options.width', [1])
  oneOf(all, 'options.all', [true, false, undefined])
  oneOf(ascii, 'options.ascii', [true, false, undefined])
  if (more !== undefined) stringOf(more, 'options.more')
}

/** A row as wide as the look. */
export function row(label: string, text: string, { width }: Look): string {
  return reportRow(label, text, width)
}

/** A text that is cut to what fits one line. */
export function oneLine(text: string, room: number): string {
  if (text.length <= room) return text
  const whole = text.slice(0, room - 1)
  return `${whole.slice(0, Math.max(whole.lastIndexOf(' '), room >> 1)).trimEnd()}…`
}

/** A sentence in the middle of another one: without its capital and its full stop. */
export function clauseOf(sentence: string): string {
  return sentence.replace(/\.$/, '').replace(/^[A-Z](?=[a-z]|\s)/, (letter) => letter.toLowerCase())
}

/** Findings of one code: the first of them, and how many there are. */
export interface Folded {
  readonly first: Finding
  readonly count: number
}

/** Findings folded by code and side, in their order. */
export function fold(findings: readonly Finding[]): readonly Folded[] {
  const byCode = new Map<string, { first: Finding; count: number }>()
  for (const finding of findings) {
    const key = `${finding.code} ${finding.side ?? ''}`
    const known = byCode.get(key)
    if (known) known.count++
    else byCode.set(key, { first: finding, count: 1 })
  }
  return [...byCode.values()]
}

/** What lies behind a finding, to be told in the same breath: code → codes of the causes. */
const CAUSES: Partial<Record<FindingCode, readonly FindingCode[]>> = {
  'file/not-a-fuse-file': ['file/look-alike'],
  'checksum/fuse-mismatch': ['checksum/one-fuse-digit', 'checksum/sum-digit', 'checksum/exchanged-digits'],
  'checksum/transmission-mismatch': ['checksum/transmission-explained'],
}

/** What a file lacks that is none, or of which a part is gone. */
const LACKING: readonly FindingCode[] = [
  'vector/none',
  'security/not-stated',
  'file/pin-count-missing',
  'file/fuse-count-missing',
  'file/design-specification-missing',
]

/** What follows from a finding and need not be told again: code → codes of what follows. */
const EXPLAINED: Partial<Record<FindingCode, readonly FindingCode[]>> = {
  'file/empty': ['file/look-alike', 'file/marks-missing'],
  'file/not-a-fuse-file': [
    'file/marks-missing',
    'file/start-mark-missing',
    'file/stray-terminator',
    'file/unknown-identifier',
    'file/reserved-identifier',
    'file/unterminated-field',
    'file/eighth-bit',
    'file/control-character',
    'file/parity-bits',
    'checksum/both-absent',
    'checksum/transmission-absent',
  ],
  'file/cut-short': [
    'file/uncovered-fuses',
    'file/unterminated-field',
    'checksum/both-absent',
    'checksum/fuse-absent',
    'checksum/transmission-absent',
    'device/ambiguous',
    'device/no-mode',
    'vector/count-differs',
  ],
  'file/wrapped': [
    'file/text-before-start',
    'file/text-after-end',
    'file/control-character',
    'file/eighth-bit',
    'checksum/transmission-mismatch',
    'checksum/transmission-explained',
  ],
  'file/second-frame-differs': ['file/fields-after-end', 'file/text-after-end'],
  'file/marks-missing': ['checksum/transmission-absent'],
  'checksum/one-fuse-digit': ['checksum/transmission-mismatch'],
  'checksum/sum-digit': ['checksum/transmission-mismatch'],
  'device/blank-map': ['device/blank-array', 'device/ambiguous', 'vector/none', 'device/disabled-term'],
  'device/blank-array': ['vector/none', 'device/disabled-term', 'device/dead-cell'],
  'device/size-mismatch': ['device/ambiguous', 'vector/none'],
  'readback/all-alike': ['device/blank-map', 'device/blank-array', 'device/ambiguous', 'device/disabled-term'],
  'readback/array-alike': ['device/blank-array', 'device/ambiguous', 'device/disabled-term'],
  'compare/no-fuses': ['file/look-alike'],
  'compare/candidates': ['device/ambiguous'],
  'compare/candidates-disagree': ['device/ambiguous'],
  'compare/logic-not-examined': ['device/unknown'],
  'capture/no-logic': ['device/ambiguous', 'device/unknown'],
  'capture/all-alike': ['capture/different', 'capture/idle-address-line', 'capture/stuck-data-line'],
  'capture/no-wiring': ['capture/different'],
  'adapter/one-change': ['adapter/contention', 'adapter/contention-possible', 'adapter/output-unknown'],
  'adapter/contention': ['adapter/contention-possible', 'adapter/output-unknown'],
  'adapter/floating-input': ['adapter/output-unknown'],
  'adapter/registers': ['adapter/output-unknown'],
}

/** Findings after which nobody misses what else is not there. */
const INCOMPLETE: readonly FindingCode[] = ['file/empty', 'file/not-a-fuse-file', 'file/cut-short']

/** Whether a screen leaves a finding out, for what else was found of the same file. */
function isUntold({ code, side }: Finding, findings: readonly Finding[]): boolean {
  if (IN_FACTS.includes(code)) return true
  const others = findings.filter((other) => other.side === undefined || other.side === side)
  const isLacking = LACKING.includes(code)
  return others.some(
    (other) => EXPLAINED[other.code]?.includes(code) || (isLacking && INCOMPLETE.includes(other.code)),
  )
}

/** Findings that say most of what is wrong; where several are equally grave the first of these leads. */
const LEADING: readonly FindingCode[] = [
  'file/not-a-fuse-file',
  'file/cut-short',
  'device/size-mismatch',
  'checksum/fuse-mismatch',
  'device/blank-map',
  'device/blank-array',
  'file/wrapped',
]

/** What the rows of facts say in their own words. */
const IN_FACTS: readonly FindingCode[] = [
  'checksum/line-ends-changed',
  'checksum/transmission-not-computed',
  'checksum/fuse-absent',
  'security/not-stated',
  'vector/none',
  'adapter/faults-unnoticed',
  'adapter/rows-left-out',
  'capture/rows-left-out',
]

/** The findings that are told below the verdict. */
export interface Rest {
  readonly grave: readonly Folded[]
  readonly notes: readonly Folded[]
  /** How many kinds of findings are left to the long form for want of room. */
  readonly left: number
}

/** A list of findings as a screen tells it. */
export interface Told extends Rest {
  /** What decides the verdict; null for a pass. */
  readonly lead: Folded | null
  /** What lies behind the lead. */
  readonly causes: readonly Finding[]
}

interface Most {
  readonly grave: number
  readonly notes: number
}

/** Sorts findings into what a screen tells of them. */
export function tell(findings: readonly Finding[], most: Most): Told {
  const worst: Severity | undefined = findings[0]?.severity
  const first = worst === 'note' ? undefined : leadOf(findings.filter(({ severity }) => severity === worst))
  const same = findings.filter(({ code }) => code === first?.code)
  const causes = findings.filter(({ code }) => first && CAUSES[first.code]?.includes(code))
  return {
    lead: first ? { first, count: same.length } : null,
    causes,
    ...tellRest(findings, [...same, ...causes], most),
  }
}

/** The findings that are left to tell once some stand in the sentence of the verdict. */
export function tellRest(findings: readonly Finding[], said: readonly Finding[], most: Most): Rest {
  const told = fold(findings.filter((each) => !said.includes(each) && !isUntold(each, findings)))
  const grave = told.filter(({ first }) => first.severity !== 'note')
  const notes = told.filter(({ first }) => first.severity === 'note')
  return {
    grave: grave.slice(0, most.grave),
    notes: notes.slice(0, most.notes),
    left: Math.max(0, grave.length - most.grave) + Math.max(0, notes.length - most.notes),
  }
}

function leadOf(worst: readonly Finding[]): Finding | undefined {
  for (const code of LEADING) {
    const found = worst.find((finding) => finding.code === code)
    if (found) return found
  }
  return worst[0]
}

/** The cause of a verdict, for the sentence of the verdict. */
export function causeWords({ lead, causes }: Told): string | null {
  if (!lead) return null
  const more = lead.count > 1 ? [`${lead.count - 1} more of this kind`] : []
  return [lead.first, ...causes]
    .map(({ message }) => clauseOf(message))
    .concat(more)
    .join('; ')
}

/** Rows below the verdict: what to do, and where. */
export function leadRows({ lead }: Told, look: Look): string[] {
  if (!lead) return []
  const place = findingPlace(lead.first)
  return [
    row('what to do', lead.first.hint, look),
    row('where', `${place === '' ? 'the file as a whole' : place} [${lead.first.code}]`, look),
  ]
}

/** The findings besides the lead: errors and warnings with what to do, notes a line each. */
export function findingRows(told: Rest, look: Look): string[] {
  const lines = [...told.grave.map((each) => graveRow(each, look)), ...told.notes.map((each) => noteRow(each, look))]
  const more = look.more === undefined ? '' : ` (${look.more})`
  const left =
    told.left === 0 ? [] : [labelled('', `${told.left} more ${told.left === 1 ? 'remark' : 'remarks'}${more}`, look)]
  return lines.length + left.length === 0 ? [] : ['', ...lines, ...left]
}

/** Column at which the text of a finding begins. */
const FINDING_INDENT = 11

function labelled(label: string, text: string, { width }: Look): string {
  return `  ${label.padEnd(FINDING_INDENT - 3)} ${wrapText(text, FINDING_INDENT, width)}`
}

function graveRow({ first, count }: Folded, look: Look): string {
  const place = findingPlace(first)
  const where = place === '' ? '' : `At ${place}${count > 1 ? ' and elsewhere' : ''}. `
  return labelled(first.severity, `${timesOf(count)}${first.message} [${first.code}] ${where}${first.hint}`, look)
}

function noteRow({ first, count }: Folded, look: Look): string {
  const side = first.side === undefined ? '' : first.side === 'intended' ? 'intended file: ' : 'read-back: '
  return labelled('note', oneLine(`${side}${timesOf(count)}${first.message}`, look.width - FINDING_INDENT), look)
}

function timesOf(count: number): string {
  return count === 1 ? '' : `${count} times: `
}

/** Signs and what stands for them where only ASCII can be shown. */
const ASCII: readonly (readonly [RegExp, string])[] = [
  [/∧/g, 'and'],
  [/∨/g, 'or'],
  [/¬/g, 'not '],
  [/⊕/g, 'xor'],
  [/⁺/g, '+'],
  [/→/g, '->'],
  [/…/g, '...'],
  [/[“”]/g, '"'],
  [/[‘’]/g, "'"],
  [/[–−]/g, '-'],
  [/×/g, 'x'],
  [/µ/g, 'u'],
]

/**
 * A text with ASCII for the signs that texts of this library use; other signs, as in names of files, stay.
 *
 * @param text a text with the signs of logic
 * @returns the same with `and`, `or`, `not` and ASCII marks
 * @throws TypeError for anything but a string
 * @example asciiText('p1 ∧ ¬p2') // 'p1 and not p2'
 */
export function asciiText(text: string): string {
  return ASCII.reduce((words, [sign, word]) => words.replace(sign, word), stringOf(text, 'text'))
}

/** A result with all of its texts in ASCII, so that lines are broken by what is shown. */
export function inAscii<T>(value: T): T {
  if (typeof value === 'string') return asciiText(value) as T
  if (Array.isArray(value)) return value.map(inAscii) as T
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, inAscii(each)])) as T
}
