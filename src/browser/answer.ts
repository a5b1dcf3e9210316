/** What the worker does with files: a page on one that is checked, or on two that are compared. */
import { check, compare, findDevice, nearestParts, type Progress } from '../index'
import { checkPage, comparePage } from '../report'

/** A file as the page hands it over. */
export interface NamedBytes {
  readonly name: string
  readonly bytes: Uint8Array
}

/** One file to check, or the intended one and the read-back. */
export interface Question {
  readonly files: readonly NamedBytes[]
  /** The part, as it is printed on the chip; empty where the file is to tell it. */
  readonly part: string
}

/** How far it is, the page that it ends with, or why there is none. */
export type Answer =
  | ({ readonly kind: 'progress' } & Progress)
  | { readonly kind: 'page'; readonly title: string; readonly html: string }
  | { readonly kind: 'nothing'; readonly why: string }

/** Answers a question; `tell` gets every answer, a page or a reason last. */
export function answer({ files: [first, second], part }: Question, tell: (answer: Answer) => void): void {
  const name = part.trim()
  const device = name === '' ? undefined : findDevice(name)
  if (device === null) tell({ kind: 'nothing', why: `No part is named “${name}”.${nearWords(name)}` })
  else if (!first) tell({ kind: 'nothing', why: 'Choose a file.' })
  else {
    const options = device ? { device } : {}
    const checked = check(first.bytes, { ...options, name: first.name })
    tell(
      second
        ? compared({ checked, second, options: { ...options, otherName: second.name, name: first.name } }, tell)
        : { kind: 'page', title: first.name, html: checkPage(checked) },
    )
  }
}

function compared(
  given: {
    readonly checked: ReturnType<typeof check>
    readonly second: NamedBytes
    readonly options: Parameters<typeof compare>[2]
  },
  tell: (answer: Answer) => void,
): Answer {
  const { checked, second, options } = given
  const onProgress = (progress: Progress): void => tell({ kind: 'progress', ...progress })
  const comparison = compare(checked.inspection, second.bytes, { ...options, onProgress })
  const html = comparePage(comparison, { intended: checked })
  return { kind: 'page', title: `${checked.report.file} against ${second.name}`, html }
}

function nearWords(name: string): string {
  const near = nearestParts(name).slice(0, 3)
  return near.length === 0 ? '' : ` Near it: ${near.join(', ')}.`
}
