/** The frame of every screen: the sentence of the answer, what to do, remarks, what was looked at. */
import type { FindingCode } from '../findings/catalogue'
import type { Finding } from '../findings/finding'
import { renderFinding, wrapText } from './layout'
import {
  asciiText,
  clauseOf,
  findingRows,
  inAscii,
  oneLine,
  row,
  tellRest,
  type Look,
  type TextOptions,
} from './screen'

/** The first sentence of a screen: whom it is about, the answer, and why, in that order. */
export function answerLines(
  {
    subject,
    answer,
    causes,
  }: { readonly subject: string; readonly answer: string; readonly causes: readonly string[] },
  look: Look,
): string {
  const why = causes.filter((cause) => cause !== '').join('; ')
  const joined = why === '' ? answer : `${answer}${answer.includes(':') ? ';' : ':'} ${why}`
  return wrapText(`${subject}: ${joined}.`, 2, look.width)
}

/** What to do about the finding that leads; nothing where none does. */
export function todoRows(lead: Finding | null, look: Look): string[] {
  return lead ? [row('what to do', `${lead.hint} [${lead.code}]`, look)] : []
}

/** The first finding of a list of codes, in the order of the codes. */
export function firstOf(findings: readonly Finding[], codes: readonly FindingCode[]): Finding | null {
  for (const code of codes) {
    const found = findings.find((finding) => finding.code === code)
    if (found) return found
  }
  return null
}

/** The finding that leads: of the gravest ones the first in the order of the codes, else the first. Null for notes. */
export function gravestOf(findings: readonly Finding[], codes: readonly FindingCode[]): Finding | null {
  const worst = findings[0]?.severity
  const same = worst === 'note' ? [] : findings.filter(({ severity }) => severity === worst)
  return firstOf(same, codes) ?? same[0] ?? null
}

/** The first sentence of a message as part of another sentence. */
export function findingCause(lead: Finding | null): string {
  return lead ? clauseOf(lead.message.split(/\. (?=[A-Z])/)[0]!) : ''
}

/** The findings below the facts: a few of them folded, or all of them in full. */
export function remarkRows(
  findings: readonly Finding[],
  { said, most }: { readonly said: readonly Finding[]; readonly most: Parameters<typeof tellRest>[2] },
  look: Look,
): string[] {
  if (!look.all) return findingRows(tellRest(findings, said, most), look)
  return findings.length === 0 ? [] : ['', ...findings.map((each) => renderFinding(each, look.width))]
}

/** What was looked at and what was not. */
export interface Scope {
  readonly compared: readonly string[]
  readonly notExamined: readonly string[]
}

/** The scope in one line, or in full where all is asked for. */
export function scopeRows(
  short: { readonly seen: readonly string[]; readonly unseen: readonly string[] },
  full: Scope,
  look: Look,
): string[] {
  if (look.all)
    return [
      row('looked at', full.compared.join('; ') || 'nothing', look),
      row('not looked at', full.notExamined.join('; '), look),
    ]
  return [row('looked at', `${short.seen.join(', ') || 'nothing'}; not: ${short.unseen.join(', ')}`, look)]
}

/** Rows of which a screen shows the first, and how many more there are. */
export function bounded(rows: readonly string[], most: number, what: readonly [string, string], look: Look): string[] {
  const left = rows.length - most
  if (left <= 0) return [...rows]
  return [...rows.slice(0, most), row('', moreWords(left, what, look), look)]
}

/** How many more there are of what was cut short. */
export function moreWords(left: number, [one, many]: readonly [string, string], { more }: Look): string {
  return `and ${left} more ${left === 1 ? one : many}${more === undefined ? '' : ` (${more})`}`
}

/** A text with an addition, where both fit one line of a row or all is asked for. */
export function withMore(text: string, addition: string, look: Look): string {
  const whole = `${text}${addition}`
  return look.all || ROW_INDENT + whole.length <= look.width ? whole : text
}

/** Column at which the text of a row begins. */
const ROW_INDENT = 16

/** A count with the word that goes with it. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`
}

/** Renders a result whose texts are in ASCII where that is asked for, so that lines are broken by what is shown. */
export function inSigns<T>(
  result: T,
  options: TextOptions,
  render: (result: T, options: TextOptions) => string,
): string {
  return options.ascii ? asciiText(render(inAscii(result), { ...options, ascii: false })) : render(result, options)
}

/** A text that may fill two lines of a screen at most. */
export function shortened(text: string, look: Look): string {
  return look.all ? text : oneLine(text, 2 * (look.width - ROW_TEXT))
}

/** Columns of a row that its label and a few words take. */
const ROW_TEXT = 30
