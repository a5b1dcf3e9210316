/**
 * Where a text stops being JSON (RFC 8259), for the person who wrote it by hand. What an engine says of that differs
 * from one version to the next, and mostly gives no place.
 */

/** What may come next, and what is said where something else comes. */
type Awaited = 'value' | 'element' | 'member' | 'name' | 'colon' | 'more' | 'end'

const WANTED: Readonly<Record<Awaited, string>> = {
  value: 'a value is expected',
  element: 'a value or ] is expected',
  member: 'a name in double quotes or } is expected',
  name: 'a name in double quotes is expected',
  colon: 'a colon is expected',
  more: 'a comma or a closing bracket is expected',
  end: 'something follows the end of the document',
}

const BLANKS = /[ \t\r\n]*/y
const SCALAR = /-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?(?![0-9.eE])|true|false|null/y
const STRING_PIECE = /[^"\\\u0000-\u001f]+|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/y

/** Where a sticky pattern ends that is looked for at a place; the place itself where it is not there. */
function endOf(pattern: RegExp, text: string, at: number): number {
  pattern.lastIndex = at
  return pattern.test(text) ? pattern.lastIndex : at
}

/** Where the string that begins at a place ends, or the first character that cannot be in it. */
function stringEnd(text: string, at: number): { readonly end: number; readonly whole: boolean } {
  let end = at + 1
  for (let next = endOf(STRING_PIECE, text, end); next > end; next = endOf(STRING_PIECE, text, end)) end = next
  return text[end] === '"' ? { end: end + 1, whole: true } : { end, whole: false }
}

/** What comes after a value, by the bracket that is open. */
const afterValue = (open: readonly string[]): Awaited => (open.length === 0 ? 'end' : 'more')

/** What a sign of punctuation leads to; null where it may not stand here. */
function afterSign(sign: string | undefined, awaited: Awaited, open: string[]): Awaited | null {
  const isValue = awaited === 'value' || awaited === 'element'
  if (isValue && (sign === '{' || sign === '[')) {
    open.push(sign)
    return sign === '{' ? 'member' : 'element'
  }
  if (sign === ':' && awaited === 'colon') return 'value'
  if (sign === ',' && awaited === 'more') return open.at(-1) === '{' ? 'name' : 'value'
  const empty = open.at(-1) === '{' ? 'member' : 'element'
  const closes = (sign === '}' && open.at(-1) === '{') || (sign === ']' && open.at(-1) === '[')
  if (!closes || (awaited !== 'more' && awaited !== empty)) return null
  open.pop()
  return afterValue(open)
}

export interface JsonFault {
  /** Characters before the fault. */
  readonly at: number
  readonly what: string
}

/** The first fault of a text that is no JSON; null where there is none. */
export function jsonFault(text: string): JsonFault | null {
  const open: string[] = []
  let awaited: Awaited = 'value'
  for (let at = endOf(BLANKS, text, 0); at < text.length; at = endOf(BLANKS, text, at)) {
    const isName: boolean = awaited === 'member' || awaited === 'name'
    const isValue: boolean = awaited === 'value' || awaited === 'element'
    if (text[at] === '"' && (isName || isValue)) {
      const { end, whole } = stringEnd(text, at)
      if (!whole) return { at: end, what: 'this string is not closed, or holds a sign that it may not' }
      at = end
      awaited = isName ? 'colon' : afterValue(open)
      continue
    }
    const end: number = isValue ? endOf(SCALAR, text, at) : at
    const next: Awaited | null = end > at ? afterValue(open) : afterSign(text[at], awaited, open)
    if (next === null) return { at, what: WANTED[awaited] }
    at = Math.max(end, at + 1)
    awaited = next
  }
  return awaited === 'end' ? null : { at: text.length, what: WANTED[awaited] }
}

/** The fault with its line and column, both from 1; what is told of a text that an engine alone refuses. */
export function jsonFaultWords(text: string): string {
  const fault = jsonFault(text)
  if (fault === null) return 'its brackets lie too deep'
  const before = text.slice(0, fault.at).split(/\r\n|\r|\n/)
  return `line ${before.length}, column ${before.at(-1)!.length + 1}: ${fault.what}`
}
