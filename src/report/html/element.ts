/** Markup of HTML and SVG made from elements and texts; a text can never become markup. */

/** Markup that is ready: every text in it is escaped. */
export interface Markup {
  readonly markup: string
}

/** What stands in an element: markup, texts, numbers, lists of them; null is nothing. */
export type Content = Markup | string | number | null | readonly Content[]

/** Attributes by name; one without a value is left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>

const SIGNS: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/**
 * What no page should hold: controls, marks that change the direction of writing (UAX #9), separators of lines,
 * surrogates by themselves. A name that comes from a file could else look like another one.
 */
// eslint-disable-next-line no-control-regex
const STEERING = /[\0-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]|\p{Surrogate}/gu

/** A text as it stands in markup: signs of markup escaped, steering characters as \uXXXX. */
export function escaped(text: string): string {
  return text
    .replace(STEERING, (sign) => `\\u${sign.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}`)
    .replace(/[&<>"']/g, (sign) => SIGNS[sign]!)
}

function markupOf(content: Content): string {
  if (content === null) return ''
  if (typeof content === 'string') return escaped(content)
  if (typeof content === 'number') return String(content)
  return 'markup' in content ? content.markup : content.map(markupOf).join('')
}

/** The words of a content, without its elements; signs of markup stay escaped. */
export function textOf(content: Content): string {
  return markupOf(content).replace(/<[^>]*>/g, ' ')
}

/** Elements that have no content and no end. */
const VOID = ['br', 'meta', 'wbr']

/** One element. */
export function element(name: string, attributes: Attributes, ...content: readonly Content[]): Markup {
  const given = Object.entries(attributes).flatMap(([key, value]) =>
    value === undefined ? [] : [` ${key}="${escaped(String(value))}"`],
  )
  const start = `<${name}${given.join('')}>`
  return { markup: VOID.includes(name) ? start : `${start}${markupOf(content)}</${name}>` }
}
