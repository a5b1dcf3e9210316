/**
 * What every page keeps to, read from its markup by a small reader of its own: balanced elements, nothing that runs or
 * is loaded, headings in order, tables and pictures that can be heard.
 */
import { createHash } from 'node:crypto'

/** An element as it stands in the page. */
export interface PageElement {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: (PageElement | string)[]
  readonly parent: PageElement | null
}

const VOID = ['meta', 'br', 'wbr']
const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" }

function unescaped(text: string): string {
  return text.replace(/&([^;]*);/g, (whole, name: string) => {
    if (!(name in ENTITIES)) throw new Error(`${whole} is no entity that a page uses`)
    return ENTITIES[name]!
  })
}

/** Reads a page strictly: what a browser would mend is an error. */
export function readPage(page: string): PageElement {
  const doctype = '<!DOCTYPE html>\n'
  if (!page.startsWith(doctype)) throw new Error('no document type')
  const root: PageElement = { name: '#root', attributes: {}, children: [], parent: null }
  let open = root
  const token = /<\/([a-z][a-z0-9]*)>|<([a-z][a-zA-Z0-9]*)((?: [a-zA-Z-]+="[^"<]*")*)>|([^<]+)/gy
  token.lastIndex = doctype.length
  while (token.lastIndex < page.length) {
    const at = token.lastIndex
    const found = token.exec(page)
    if (!found) throw new Error(`no markup: ${page.slice(at, at + 60)}`)
    const [, end, start, attributes = '', text] = found
    if (text !== undefined) open.children.push(open.name === 'style' ? text : unescaped(text))
    else if (end !== undefined) {
      if (open.name !== end) throw new Error(`</${end}> closes <${open.name}>`)
      open = open.parent!
    } else {
      const pairs = [...attributes.matchAll(/ ([a-zA-Z-]+)="([^"]*)"/g)].map(([, key, value]) => [key!, unescaped(value!)])
      const made: PageElement = { name: start!, attributes: Object.fromEntries(pairs), children: [], parent: open }
      open.children.push(made)
      if (!VOID.includes(start!)) open = made
    }
  }
  if (open !== root) throw new Error(`<${open.name}> stays open`)
  return root
}

/** All elements below one, in the order of the page. */
export function elementsOf(node: PageElement): PageElement[] {
  return node.children.flatMap((child) => (typeof child === 'string' ? [] : [child, ...elementsOf(child)]))
}

/** The text of an element, without markup. */
export function textOf(node: PageElement): string {
  return node.children.map((child) => (typeof child === 'string' ? child : textOf(child))).join('')
}

/** Elements that a page is made of; none of them runs, loads, or takes input. */
const KNOWN = new Set(
  'html head meta title style body main section div h1 h2 h3 h4 p b wbr code table caption thead tbody tr th td ul li figure figcaption svg desc path text rect'.split(
    ' ',
  ),
)

/** Cells of the first row. */
function widthOf(table: PageElement): number {
  const [first] = elementsOf(table).filter(({ name }) => name === 'tr')
  return first!.children.filter((child) => typeof child !== 'string').length
}

type Rule = (page: PageElement, all: readonly PageElement[]) => string[]

const RULES: readonly Rule[] = [
  (_, all) => all.filter(({ name }) => !KNOWN.has(name)).map(({ name }) => `<${name}> is no element of a page`),
  (_, all) =>
    all.flatMap(({ name, attributes }) =>
      Object.entries(attributes)
        .filter(([key, value]) => /^(on|style$|src|href)/.test(key) || /url\(|javascript:|https?:/.test(value))
        .map(([key]) => `${key} of <${name}> may run or load something`),
    ),
  (_, all) => (all.find(({ name }) => name === 'html')?.attributes['lang'] === 'en' ? [] : ['the language is not said']),
  // HTML Standard 4.2.5.4: within the first 1024 bytes, and before the policy nothing that it is about.
  (_, all) => {
    const metas = all.filter(({ name }) => name === 'meta').map(({ attributes }) => attributes)
    return metas[0]?.['charset'] === 'utf-8' && metas[1]?.['http-equiv'] === 'Content-Security-Policy'
      ? []
      : ['the encoding does not come first, and the policy second']
  },
  (_, all) => {
    const levels = all.filter(({ name }) => /^h[1-6]$/.test(name)).map(({ name }) => Number(name[1]))
    const wrong = levels.filter((level, i) => level > (levels[i - 1] ?? 0) + 1)
    return [
      ...(levels.filter((level) => level === 1).length === 1 ? [] : ['there is not one first heading']),
      ...wrong.map((level) => `a heading of level ${level} leaves one out`),
    ]
  },
  (_, all) =>
    all
      .filter(({ name, attributes }) => name === 'th' && !['row', 'col'].includes(attributes['scope'] ?? ''))
      .map((head) => `“${textOf(head)}” heads neither a row nor a column`),
  (_, all) =>
    all
      .filter(({ name }) => name === 'table')
      .flatMap((table) => {
        const widths = elementsOf(table)
          .filter(({ name }) => name === 'tr')
          .map(({ children }) => children.filter((child) => typeof child !== 'string').length)
        return new Set(widths).size === 1 ? [] : [`rows of ${widths.join(', ')} cells in one table`]
      }),
  (_, all) => {
    const style = all.filter(({ name }) => name === 'style').map(textOf).join('')
    const used = new Set(all.flatMap(({ attributes }) => attributes['class']?.split(' ') ?? []))
    return [...used].filter((kind) => !new RegExp(`\\.${kind}\\b`).test(style)).map((kind) => `no rule is for ${kind}`)
  },
  // WCAG 2.2, 1.4.10 and 2.1.1: what 400 pixels have no room for moves by itself, and with the keyboard too.
  (_, all) =>
    all
      .filter(({ name }) => name === 'table' || name === 'svg')
      .filter((each) => (each.name === 'table' ? widthOf(each) > 4 : each.attributes['aria-hidden'] !== 'true'))
      .filter(({ parent }) => parent!.attributes['tabindex'] !== '0' || !parent!.attributes['aria-label'])
      .map(({ name }) => `a wide ${name} is no stop of the keyboard with a name`),
  (_, all) => {
    const ids = all.flatMap(({ attributes }) => (attributes['id'] === undefined ? [] : [attributes['id']]))
    const named = all.flatMap(({ attributes }) => attributes['aria-labelledby']?.split(' ') ?? [])
    return [
      ...ids.filter((id, i) => ids.indexOf(id) < i).map((id) => `the id ${id} is there twice`),
      ...named.filter((id) => !ids.includes(id)).map((id) => `there is no ${id}`),
    ]
  },
  (_, all) =>
    all
      .filter(({ name, attributes }) => name === 'svg' && attributes['aria-hidden'] !== 'true')
      .filter(({ children, attributes }) => {
        const names = children.map((child) => (typeof child === 'string' ? '' : child.name))
        return attributes['role'] !== 'img' || names[0] !== 'title' || names[1] !== 'desc' || !attributes['aria-labelledby']
      })
      .map(() => 'a picture has no title and description'),
]

/** Everything in which a page does not keep to the rules; throws where it is no well-formed markup. */
export function pageErrors(page: string): string[] {
  const root = readPage(page)
  const all = elementsOf(root)
  return [...RULES.flatMap((rule) => rule(root, all)), ...policyErrors(all)]
}

/** The policy lets through the one style of the page by its hash, and nothing else. */
function policyErrors(all: readonly PageElement[]): string[] {
  const style = all.filter(({ name }) => name === 'style')
  const hash = createHash('sha256').update(style.map(textOf).join('')).digest('base64')
  const policy = all.find(({ attributes }) => 'http-equiv' in attributes)?.attributes['content']
  const wanted = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`
  return policy === wanted && style.length === 1 ? [] : [`the policy is not ${wanted}`]
}
