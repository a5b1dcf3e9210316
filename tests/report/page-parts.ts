/** What tests ask of a page: elements by name, rows of tables as texts, shapes of a picture. */
import { elementsOf, readPage, textOf, type PageElement } from './page-rules'

export const named = (page: string, name: string): PageElement[] =>
  elementsOf(readPage(page)).filter((element) => element.name === name)

/** Cells of all rows, as texts. */
export const rowsOf = (page: string): string[][] =>
  named(page, 'tr').map(({ children }) => children.flatMap((cell) => (typeof cell === 'string' ? [] : [textOf(cell)])))

/** The answer: the first paragraph after the kind of the page, with its class. */
export function answerIn(page: string): readonly [kind: string, words: string] {
  const [, answer] = named(page, 'p')
  return [answer!.attributes['class']!, textOf(answer!)]
}

/** The picture of a page; the shapes of its legend are not it. */
export const pictureIn = (page: string): PageElement | undefined =>
  named(page, 'svg').find(({ attributes }) => attributes['role'] === 'img')

/** Where the shapes of a class begin, one a point. */
export function shapesIn(picture: PageElement, kind: string): readonly (readonly [x: number, y: number])[] {
  return elementsOf(picture)
    .filter(({ attributes }) => attributes['class'] === kind)
    .flatMap(({ attributes }) => [...attributes['d']!.matchAll(/M([\d.]+) ([\d.]+)/g)])
    .map(([, x, y]) => [Number(x), Number(y)])
}

/** Labels of a picture with their places. */
export const labelsIn = (picture: PageElement): readonly { readonly text: string; readonly x: number; readonly y: number }[] =>
  elementsOf(picture)
    .filter(({ name }) => name === 'text')
    .map((label) => ({ text: textOf(label), x: Number(label.attributes['x']), y: Number(label.attributes['y']) }))

export const describedIn = (picture: PageElement): string =>
  textOf(elementsOf(picture).find(({ name }) => name === 'desc')!)
