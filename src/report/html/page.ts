/** The frame of a page and what all pages are put together from: sections, tables, findings, the scope. */
import type { Finding, Verdict } from '../../findings/finding'
import { findingPlace } from '../layout'
import { fold, tellRest, type Folded } from '../screen'
import { element, textOf, type Content, type Markup } from './element'
import { styleSheet } from './style'

/** SHA-256 of the style sheet in base64, the only style that the policy lets through; a test computes it. */
export const STYLE_HASH = 'RXN22XTebf3cwG2ihIU2J87oQMA1FtR0FKxFYg6sgGc='

/** What a page is about. */
export interface PageHead {
  /** What was done, in a word or two: “check”, “comparison”. */
  readonly kind: string
  readonly title: string
}

/** A whole page: no script, nothing loaded, nothing that is not in it. */
export function pageOf({ kind, title }: PageHead, ...content: readonly Content[]): string {
  const policy = `default-src 'none'; style-src 'sha256-${STYLE_HASH}'; base-uri 'none'; form-action 'none'`
  const head = element(
    'head',
    {},
    element('meta', { charset: 'utf-8' }),
    element('meta', { 'http-equiv': 'Content-Security-Policy', content: policy }),
    element('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }),
    element('title', {}, `${title} (${kind}, fuse-assay)`),
    // No sign of the sheet is one of markup, and none may be escaped in it.
    element('style', {}, { markup: styleSheet() }),
  )
  const main = element('main', {}, element('p', { class: 'kind' }, `fuse-assay: ${kind}`), ...content)
  return `<!DOCTYPE html>\n${element('html', { lang: 'en' }, head, '\n', element('body', {}, main)).markup}\n`
}

/** Level of the heading of a page or of one result among several. */
export type Level = 1 | 2 | 3 | 4

export function heading(level: Level, text: string): Markup {
  return element(`h${level}`, {}, breakable(text))
}

/** A text that may break after each slash, as paths should: a browser breaks them at any letter else. */
function breakable(content: Content): Content {
  if (typeof content !== 'string') return content
  const [first = '', ...others] = content.split(/(?<=\/)/)
  return [first, ...others.map((part) => [element('wbr', {}), part])]
}

/** A heading and what stands below it; nothing where nothing does. */
export function section(level: Level, title: string, ...content: readonly Content[]): Content {
  const isEmpty = content.every((each) => each === null || (Array.isArray(each) && each.length === 0))
  return isEmpty ? null : element('section', {}, heading(level, title), '\n', ...content, '\n')
}

/** The sentence of the answer: the answer itself, then why. The kind of border beside it tells the verdict again. */
export function answerOf(verdict: Verdict, words: string, causes: string): Markup {
  const rest = causes === '' ? '.' : `${words.includes(':') ? '; ' : ': '}${causes}.`
  return element('p', { class: `answer ${verdict}` }, element('b', {}, words), rest)
}

/** A label and what it says. */
export type Fact = readonly [string, Content]

/** Facts as a table with a head a row. */
export function facts(rows: readonly Fact[]): Content {
  const lines = rows.map(([label, text]) =>
    element('tr', {}, element('th', { scope: 'row' }, label), element('td', {}, breakable(text)), '\n'),
  )
  return rows.length === 0 ? null : element('table', { class: 'facts' }, element('tbody', {}, lines))
}

/** Most columns that 400 pixels have room for: a table of more is a stop of the keyboard, so that it can be moved. */
const MAX_NARROW = 4

/** A word that a narrow column has no room for. */
const LONG_WORD = /[^\s-]{18}/

/** A cell that may break a long word where it has one. */
function cellOf(name: 'th' | 'td', content: Content): Markup {
  const scope = name === 'th' ? 'row' : undefined
  const isLong = LONG_WORD.test(textOf(content))
  return isLong ? element(name, { scope, class: 'long' }, breakable(content)) : element(name, { scope }, content)
}

/** A table with a head a column; nothing where it has no row. */
export function table(
  caption: string,
  heads: readonly string[],
  rows: readonly (readonly Content[])[],
  rowClass: (index: number) => string | undefined = () => undefined,
): Content {
  if (rows.length === 0) return null
  const head = element('tr', {}, heads.map((each) => element('th', { scope: 'col' }, each)))
  const body = rows.map(([first = null, ...cells], i) =>
    element(
      'tr',
      { class: rowClass(i) },
      cellOf('th', first),
      cells.map((cell) => cellOf('td', cell)),
      '\n',
    ),
  )
  const isWide = heads.length > MAX_NARROW
  return element(
    'div',
    { class: 'wide', ...(isWide ? { role: 'group', 'aria-label': caption, tabindex: 0 } : {}) },
    element(
      'table',
      {},
      element('caption', {}, caption),
      element('thead', {}, head),
      '\n',
      element('tbody', {}, body),
    ),
  )
}

/** Above cells of `highWords`. */
export const INPUTS_HEAD = 'Inputs at 1, all others at 0'

/** The inputs of a row that are 1: all 24 in full would fill a screen of 400 pixels. */
export function highWords(inputs: Readonly<Record<string, 0 | 1>>): string {
  const high = Object.keys(inputs).filter((pin) => inputs[pin] === 1)
  return high.map((pin) => (/^\d/.test(pin) ? `p${pin}` : pin)).join(' ') || 'none'
}

/** The findings: those that stand by themselves, then those that follow from them. */
export function findingSection(findings: readonly Finding[], level: Level): Content {
  const { grave, notes } = tellRest(findings, [], { grave: Infinity, notes: Infinity })
  const told = [...grave, ...notes]
  const rest = fold(findings).filter(({ first }) => !told.some((each) => each.first === first))
  return section(
    level,
    'Findings',
    findingTable('What was found, the gravest first', told),
    findingTable('What follows from it, or is said above', rest),
  )
}

/** What to do about a finding. A browser would break an option of the program between its two hyphens. */
export function hintOf({ hint }: Finding): Content {
  return hint.split(/(--[a-z-]+)/).map((part, i) => (i % 2 === 0 ? part : element('code', { class: 'option' }, part)))
}

const timesWords = (count: number): string => (count === 1 ? '' : `${count} times: `)

function placeWords(finding: Finding, count: number): string {
  const place = findingPlace(finding)
  return place === '' ? '' : ` At ${place}${count === 1 ? '' : ' and elsewhere'}.`
}

function findingTable(caption: string, list: readonly Folded[]): Content {
  return table(
    caption,
    ['Severity', 'Finding', 'What to do'],
    list.map(({ first, count }) => [
      element('b', {}, first.severity),
      [timesWords(count), first.message, placeWords(first, count), ' ', element('code', {}, first.code)],
      hintOf(first),
    ]),
    (i) => list[i]?.first.severity,
  )
}

/** What was compared with what, and what was not looked at, in full. */
export function scopeSection(
  { compared, notExamined }: { readonly compared: readonly string[]; readonly notExamined: readonly string[] },
  level: Level,
  ...more: readonly Fact[]
): Content {
  return section(
    level,
    'What was looked at',
    facts([
      ['looked at', compared.join('; ') || 'nothing'],
      ['not looked at', notExamined.join('; ')],
      ...more,
    ]),
  )
}
