/** The page: takes files that are dropped or chosen, asks the worker, and shows the report that it gives. */
import type { Answer, NamedBytes, Question } from './answer'

/** What the page needs of the worker of its host. */
export interface PageWorker {
  onmessage: ((event: { readonly data: Answer }) => void) | null
  postMessage(question: Question): void
  terminate(): void
}

/** A file of the host. */
export interface PageFile {
  readonly name: string
  arrayBuffer(): Promise<ArrayBuffer>
}

/** What the page needs of an element. */
export interface PageElement {
  textContent: string | null
  hidden: boolean
  value?: string
  srcdoc?: string
  href?: string
  download?: string
  readonly files?: ArrayLike<PageFile> | null
  addEventListener(kind: string, listener: (event: PageEvent) => void): void
}

/** What the page needs of an event. */
export interface PageEvent {
  preventDefault(): void
  readonly dataTransfer?: { readonly files: ArrayLike<PageFile> } | null
}

/** What the page is in: a document, and what a browser makes. */
export interface PageHost {
  /** The element of an id of `pageHtml`. */
  element(id: 'all' | 'choose' | 'part' | 'swap' | 'stop' | 'save' | 'status' | 'report'): PageElement
  /** A new worker of `worker-start.ts`. */
  startWorker(): PageWorker
  /** An address under which a text can be saved. */
  addressOf(html: string): string
}

/** Lets a page work. */
export function startPage(host: PageHost): void {
  const { element } = host
  let files: readonly NamedBytes[] = []
  let worker: PageWorker | null = null
  const stop = (): void => {
    worker?.terminate()
    worker = null
    element('stop').hidden = true
  }
  const show = (answer: Answer): void => {
    if (answer.kind === 'progress') {
      element('status').textContent = `${namesOf(files)}: ${answer.done} of at most ${answer.most} steps`
      return
    }
    stop()
    const isPage = answer.kind === 'page'
    element('status').textContent = isPage ? namesOf(files) : answer.why
    element('report').hidden = element('save').hidden = !isPage
    if (!isPage) return
    element('report').srcdoc = answer.html
    element('save').href = host.addressOf(answer.html)
    element('save').download = `${answer.title}.html`
  }
  const ask = (): void => {
    stop()
    element('swap').hidden = files.length < 2
    if (files.length === 0) return
    element('status').textContent = `${namesOf(files)}: at work`
    element('stop').hidden = false
    worker = host.startWorker()
    worker.onmessage = ({ data }) => show(data)
    worker.postMessage({ files, part: element('part').value ?? '' })
  }
  const take = async (given: ArrayLike<PageFile>): Promise<void> => {
    files = await Promise.all(Array.from(given).slice(0, 2).map(readFile))
    ask()
    if (given.length > 2) element('status').textContent = `The first two files were taken. ${namesOf(files)}`
  }
  element('choose').addEventListener('change', () => void take(element('choose').files ?? []))
  element('all').addEventListener('dragover', (event) => event.preventDefault())
  element('all').addEventListener('drop', (event) => {
    event.preventDefault()
    void take(event.dataTransfer?.files ?? [])
  })
  element('part').addEventListener('change', ask)
  element('swap').addEventListener('click', () => {
    files = [...files].reverse()
    ask()
  })
  element('stop').addEventListener('click', () => {
    stop()
    element('status').textContent = 'Stopped. No result.'
  })
}

async function readFile(file: PageFile): Promise<NamedBytes> {
  return { name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) }
}

function namesOf([first, second]: readonly NamedBytes[]): string {
  if (!first) return ''
  return second ? `Intended: ${first.name}; read-back: ${second.name}` : first.name
}
