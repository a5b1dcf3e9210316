/** The README and the pages beside the code, cut into what tests hold. */
import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const root = fileURLToPath(new URL('..', import.meta.url))

/** A fenced block of a page. */
export interface Block {
  readonly language: string
  readonly text: string
  /** What stands between the block before it, or the top of the page, and this one. */
  readonly before: string
}

export interface Page {
  /** Below the repository, with slashes. */
  readonly path: string
  readonly text: string
  readonly blocks: readonly Block[]
}

/** Calls of the program that stand in one block, with what the page says that the last of them prints. */
export interface ShownCalls {
  readonly lines: readonly string[]
  readonly printed: string | null
}

function blocksOf(text: string): Block[] {
  let end = 0
  return [...text.matchAll(/^```(\w*)\n([\s\S]*?)^```$/gm)].map((found) => {
    const before = text.slice(end, found.index)
    end = found.index + found[0].length
    return { language: found[1]!, text: found[2]!, before }
  })
}

function pageAt(path: string): Page {
  const text = readFileSync(join(root, path), 'utf8')
  return { path, text, blocks: blocksOf(text) }
}

/** The README first, then every page below src. */
export function readPages(): Page[] {
  const below = readdirSync(join(root, 'src'), { recursive: true })
    .map((name) => `src/${name.split('\\').join('/')}`)
    .filter((path) => path.endsWith('/README.md'))
  return ['README.md', ...below.sort()].map(pageAt)
}

/** True for a block of text that says what the block before it prints. */
export function isPrinted(page: Page, index: number): boolean {
  const [block, before] = [page.blocks[index], page.blocks[index - 1]]
  if (block?.language !== 'text' || !before) return false
  return before.language === 'js' ? block.before === '\n\nprints\n\n' : before.language === 'sh' && block.before === '\n\n'
}

/** The blocks of one language, each with what the page says that it prints; null where it says nothing. */
function withPrinted(page: Page, language: string): { readonly text: string; readonly printed: string | null }[] {
  return page.blocks.flatMap(({ language: own, text }, i) =>
    own === language ? [{ text, printed: isPrinted(page, i + 1) ? page.blocks[i + 1]!.text : null }] : [],
  )
}

export const examplesOf = (page: Page): { readonly text: string; readonly printed: string | null }[] =>
  withPrinted(page, 'js')

/** The calls of a page in order. Lines of npm are left out: they make the program that is called here. */
export function shownCallsOf(page: Page): ShownCalls[] {
  return withPrinted(page, 'sh').map(({ text, printed }) => ({
    lines: text
      .trimEnd()
      .split('\n')
      .filter((line) => !line.startsWith('npm ')),
    printed,
  }))
}

/** The headings of a page as anchors: small letters, blanks as dashes, other signs left out. */
function anchorsOf({ text }: Page): string[] {
  return [...text.matchAll(/^#+ (.*)$/gm)].map(([, heading]) =>
    heading!
      .toLowerCase()
      .replace(/[^\p{L}\p{N} -]/gu, '')
      .replaceAll(' ', '-'),
  )
}

/** The links of a page that lead nowhere: to no page, or to no heading of one. */
export function deadLinks(page: Page, pages: readonly Page[]): string[] {
  return [...page.text.matchAll(/\]\(([^)]*)\)/g)]
    .map(([, link]) => link!)
    .filter((link) => {
      const [path, anchor] = link.split('#')
      const wanted = path === '' ? page.path : join(dirname(page.path), path!).split('\\').join('/')
      const target = pages.find((each) => each.path === wanted)
      return !target || (anchor !== undefined && !anchorsOf(target).includes(anchor))
    })
}

/** The first cells of the rows of all tables of a page. */
export function firstCells({ text }: Page): string[] {
  return [...text.matchAll(/^\| (.*?[^\\]) \|/gm)].map(([, cell]) => cell!)
}
